"""Why metal is eaten at one place: causes ranked by the signs, with what speaks for and against each and what is
missing; and the test that would tell most apart for its work.

Each cause is weighed alone against its absence, so that several may be at work together. A sign moves the odds of a
cause by how much more often it is seen with it than without; one that was looked for and not found moves them the
other way. The weights are judgement, and lie in `checklists/causes.toml`.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from inspect_tui.domain.book import Book
from inspect_tui.domain.causes import Cause, Causes, CauseTest
from inspect_tui.domain.records import Finding, PotentialReading
from inspect_tui.engineering.electrodes import potential
from inspect_tui.engineering.errors import CannotCalculate
from inspect_tui.engineering.working import Seen, Source, Step, Working

# A cause is named from this chance on; below it the honest answer is that there is too little to say.
NAMED = 0.4
# A sign speaks for or against if it moves the odds by this factor.
SPEAKS = 1.3
# Work that every test asks for before it begins [minutes].
FETCHING = 10.0
LIKELY = 0.8
WEIGHTS = Source("weights of causes.toml", Seen.JUDGEMENT)


# What a kind of finding is a sign of by itself.
KIND_SIGNS: Mapping[str, str] = MappingProxyType(
    {
        "old-patch": "old-patch",
        "stray-metal": "stray-metal",
        "crevice": "crevice",
        "leakage": "hull-leak",
        "water-trap": "standing-water",
        "two-metals": "ring-at-noble",
    }
)
OVER_MV = -1150.0


@dataclass(frozen=True)
class Weighed:
    """One cause at one place. `speaks_for` and `against` are signs by id, the heaviest first; `missing` were not
    looked for."""

    cause: Cause
    chance: float
    speaks_for: tuple[str, ...]
    against: tuple[str, ...]
    missing: tuple[str, ...]
    working: Working

    @property
    def word(self) -> str:
        return "likely" if self.chance >= LIKELY else "possible" if self.chance >= NAMED else "not shown"


@dataclass(frozen=True)
class Found:
    """All causes at one place, the likeliest first; those named; and the next test, None if none tells anything."""

    ranked: tuple[Weighed, ...]
    named: tuple[Weighed, ...]
    next_test: CauseTest | None

    @property
    def enough(self) -> bool:
        return bool(self.named)


def signs_at(book: Book, finding: Finding) -> tuple[frozenset[str], frozenset[str]]:
    """Signs seen and signs not there at a finding: what was ticked, what its question and kind say, and what the
    boat's potential says. What was ticked as not there counts, whatever the rest says."""
    seen = {*finding.signs, KIND_SIGNS.get(finding.kind, "")} - {""}
    for reading in book.readings.values():
        if isinstance(reading, PotentialReading) and _over_protected(reading):
            seen.add("over-potential")
    absent = frozenset(finding.signs_absent)
    return frozenset(seen) - absent, absent


def _over_protected(reading: PotentialReading) -> bool:
    try:
        return any(potential(value, reading.electrode).sea_mv < OVER_MV for value in reading.potential_mv)
    except CannotCalculate:
        return False


def find_causes(known: Causes, seen: Collection[str], absent: Collection[str] = ()) -> Found:
    """Rank the causes. `seen` and `absent` are ids of signs.

    Signs that the data does not know are passed over: prompts carry some that tell nothing of a cause.
    """
    here = [id for id in known.signs if id in set(seen)]
    gone = [id for id in known.signs if id in set(absent) - set(here)]
    ranked = tuple(
        sorted((_weighed(known, cause, here, gone) for cause in known.causes.values()), key=lambda one: -one.chance)
    )
    named = tuple(one for one in ranked if one.chance >= NAMED and one.speaks_for)
    return Found(ranked, named, _next_test(known, ranked, {*here, *gone}))


def _weighed(known: Causes, cause: Cause, here: list[str], gone: list[str]) -> Weighed:
    odds = math.log(cause.prior / (1 - cause.prior))
    steps = [Step("before any sign", "ln(prior / (1 - prior))", f"prior {cause.prior:g}", f"{odds:+.2f}", WEIGHTS)]
    moved: list[tuple[float, str]] = []
    for ids, is_seen in ((here, True), (gone, False)):
        for id in ids:
            if id not in cause.tells:
                continue
            with_it, base = cause.tells[id], known.signs[id].base
            by = math.log(with_it / base) if is_seen else math.log((1 - with_it) / (1 - base))
            moved.append((by, id))
            told = f"{with_it:g} / {base:g}" if is_seen else f"{1 - with_it:g} / {1 - base:g}"
            steps.append(
                Step(f"{id}{'' if is_seen else ' not there'}", "ln(with it / base)", told, f"{by:+.2f}", WEIGHTS)
            )
    odds += sum(by for by, _ in moved)
    chance = 1 / (1 + math.exp(-odds))
    steps.append(Step("chance", "1 / (1 + e^-sum)", f"sum {odds:+.2f}", f"{chance:.0%}", WEIGHTS))
    least = math.log(SPEAKS)
    speaking = sorted((one for one in moved if one[0] > least), reverse=True)
    against = sorted(one for one in moved if one[0] < -least)
    missing = sorted(
        (id for id, told in cause.tells.items() if id not in here + gone and told > SPEAKS * known.signs[id].base),
        key=lambda id: -cause.tells[id] / known.signs[id].base,
    )
    not_covered = ("Signs are taken as if each stood alone; the weights are judgement, no statistics.",)
    return Weighed(
        cause,
        chance,
        tuple(id for _, id in speaking),
        tuple(id for _, id in against),
        tuple(missing),
        Working((), tuple(steps), not_covered),
    )


def _next_test(known: Causes, ranked: tuple[Weighed, ...], ticked: Collection[str]) -> CauseTest | None:
    """The test from which most is to be learned for its work, of those whose sign is not ticked yet."""
    best: tuple[float, CauseTest] | None = None
    for test in known.tests.values():
        if test.sign in ticked:
            continue
        base = known.signs[test.sign].base
        tells = [(one.chance, one.cause.tells[test.sign]) for one in ranked if test.sign in one.cause.tells]
        worth = sum(_learned(chance, with_it, base) for chance, with_it in tells) / (test.minutes + FETCHING)
        if best is None or worth > best[0]:
            best = worth, test
    return best[1] if best else None


def _learned(chance: float, with_it: float, base: float) -> float:
    """How much the uncertainty about one cause is expected to shrink by a test [bits]."""
    yes = chance * with_it + (1 - chance) * base
    after_yes = chance * with_it / yes
    after_no = chance * (1 - with_it) / (1 - yes)
    return _bits(chance) - yes * _bits(after_yes) - (1 - yes) * _bits(after_no)


def _bits(chance: float) -> float:
    if not 0 < chance < 1:
        return 0.0
    return -chance * math.log2(chance) - (1 - chance) * math.log2(1 - chance)
