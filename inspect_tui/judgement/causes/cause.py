"""Why metal is eaten at one place: causes ranked by the signs, with what speaks for and against each and what is
missing; and the test that would tell most apart for its work.

Each cause is weighed alone against its absence, so that several may be at work together. A sign moves the odds of a
cause by how much more often it is seen with it than without; one that was looked for and not found moves them the
other way. The weights are judgement, and lie in `checklists/causes.toml`.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache

from inspect_tui.domain.knowledge.causes import Cause, Causes, CauseTest
from inspect_tui.domain.plain import counted
from inspect_tui.domain.words import HullMetal
from inspect_tui.engineering.working import Seen, Source, Step, Working
from inspect_tui.judgement.causes.evidence import Evidence

# A cause is named from this chance on; below it the honest answer is that there is too little to say.
NAMED = 0.4
# A sign speaks for or against if it moves the odds by this factor.
SPEAKS = 1.3
# Work that every test asks for before it begins [minutes].
FETCHING = 10.0
LIKELY = 0.8
# What the question or the kind of finding brings counts for this share of what was seen.
BROUGHT = 0.5
# From this chance on a cause beside the first is worth telling apart from it.
IN_QUESTION = 0.15
WEIGHTS = Source("weights of causes.toml", Seen.JUDGEMENT)


@dataclass(frozen=True)
class Moved:
    """What one sign does to the odds of a cause (natural logarithm). `brought`: only the question or the kind of
    finding says so, and nobody looked: it counts for less."""

    sign: str
    there: bool
    with_it: float
    base: float
    brought: bool = False

    @property
    def by(self) -> float:
        if self.there:
            return math.log(self.with_it / self.base) * (BROUGHT if self.brought else 1.0)
        return math.log((1 - self.with_it) / (1 - self.base))

    def step(self) -> Step:
        with_it, base = (self.with_it, self.base) if self.there else (1 - self.with_it, 1 - self.base)
        name = f"{self.sign}{'' if self.there else ' not there'}"
        formula, numbers = "ln(with it / base)", f"{with_it:g} / {base:g}"
        if self.brought:
            formula, numbers = f"{formula} · {BROUGHT:g}, nobody looked", f"{numbers} · {BROUGHT:g}"
        return Step(name, formula, numbers, f"{self.by:+.2f}", WEIGHTS)


@dataclass(frozen=True)
class Weighed:
    """One cause at one place. `speaks_for` and `against` are signs by id, the heaviest first; `missing` were not
    looked for."""

    cause: Cause
    chance: float
    moved: tuple[Moved, ...]
    missing: tuple[str, ...]

    @property
    def word(self) -> str:
        return "likely" if self.likely else "possible" if self.percent >= 100 * NAMED else "not shown"

    @property
    def told(self) -> str:
        """In words and counts of signs: the weights behind them are judgement, and no percentage."""
        against = f", {len(self.against)} against" if self.against else ""
        return f"{self.word}: {counted(len(self.speaks_for), 'sign')} for it{against}"

    @property
    def percent(self) -> int:
        """As it is shown, so that the same number never has two words."""
        return round(100 * self.chance)

    @property
    def likely(self) -> bool:
        """Never by what the question brought alone."""
        seen = any(one.there and not one.brought and one.sign in self.speaks_for for one in self.moved)
        return self.percent >= 100 * LIKELY and seen

    @property
    def speaks_for(self) -> tuple[str, ...]:
        least = math.log(SPEAKS)
        return tuple(one.sign for one in sorted(self.moved, key=lambda one: -one.by) if one.by > least)

    @property
    def against(self) -> tuple[str, ...]:
        least = math.log(SPEAKS)
        return tuple(one.sign for one in sorted(self.moved, key=lambda one: one.by) if one.by < -least)

    @property
    def working(self) -> Working:
        prior = self.cause.prior
        before = _odds(prior)
        odds = before + sum(one.by for one in self.moved)
        steps = (
            Step("before any sign", "ln(prior / (1 - prior))", f"prior {prior:g}", f"{before:+.2f}", WEIGHTS),
            *(one.step() for one in self.moved),
            Step(
                "word",
                f"likely from {_odds(LIKELY):+.2f}, possible from {_odds(NAMED):+.2f}",
                f"sum {odds:+.2f}",
                self.word,
                WEIGHTS,
            ),
        )
        return Working(
            (), steps, ("Signs are taken as if each stood alone; the weights are judgement, no statistics.",)
        )


@dataclass(frozen=True)
class Found:
    """All causes at one place, the likeliest first, and which of them are named."""

    known: Causes = field(repr=False)
    ticked: frozenset[str]
    ranked: tuple[Weighed, ...]

    @cached_property
    def named(self) -> tuple[Weighed, ...]:
        return tuple(one for one in self.ranked if one.percent >= 100 * NAMED and one.speaks_for)

    @property
    def likely(self) -> tuple[Weighed, ...]:
        return tuple(one for one in self.named if one.likely)

    @property
    def enough(self) -> bool:
        return bool(self.named)

    def next_test(self, *, afloat: bool, below: bool = True) -> CauseTest | None:
        """The test from which most is to be learned for its work, of those that can be made there as she is now; None
        if none is left."""
        return next((test for test in self._tests if test.can_be_made(afloat=afloat, below=below)), None)

    @cached_property
    def _tests(self) -> tuple[CauseTest, ...]:
        """Those whose sign is not ticked yet, the most telling for its work first. What they tell of causes that
        nothing speaks for counts only where they tell nothing of the others."""
        open_ = tuple(one for one in self.ranked[1:] if one.chance >= IN_QUESTION)
        told = {sign for one in self.ranked for sign in one.cause.tells}
        left = [test for test in self.known.tests.values() if test.sign in told - self.ticked]
        asked = ((self.ranked[0], *open_), self.ranked)
        worth = {test.id: tuple(_worth(self.known, causes, test) for causes in asked) for test in left}
        return tuple(sorted(left, key=lambda test: worth[test.id], reverse=True))


@lru_cache(maxsize=16)
def known_of(known: Causes, metal: HullMetal, sea_side: bool = True) -> Causes:
    """What is known of causes in this metal; without `sea_side`, where the water outside does not reach."""
    return replace(
        known,
        causes={
            id: cause.model_copy(update={"prior": cause.prior_in(metal)})
            for id, cause in known.causes.items()
            if cause.at_work_in(metal) and (sea_side or not cause.sea_side)
        },
    )


def causes_at(known: Causes, evidence: Iterable[Evidence]) -> Found:
    """Rank the causes by the evidence of one place."""
    told = tuple(evidence)
    return find_causes(
        known,
        [one.sign for one in told if one.there and not one.brought],
        [one.sign for one in told if not one.there],
        [one.sign for one in told if one.brought],
    )


def find_causes(
    known: Causes, seen: Collection[str], absent: Collection[str] = (), brought: Collection[str] = ()
) -> Found:
    """Rank the causes by ids of signs: seen, looked for and not there, and brought by the question or the kind alone.

    Signs that the data does not know are passed over: prompts carry some that tell nothing of a cause.
    """
    here = frozenset(seen).intersection(known.signs)
    gone = frozenset(absent).intersection(known.signs) - here
    return _ranked(known, here, gone, frozenset(brought).intersection(known.signs) - here - gone)


@lru_cache(maxsize=512)
def _ranked(known: Causes, here: frozenset[str], gone: frozenset[str], brought: frozenset[str]) -> Found:
    """Many places show the same few signs: each set of them is weighed once."""
    weighed = (_weighed(known, cause, here, gone, brought) for cause in known.causes.values())
    # What nobody looked at is still worth looking at.
    return Found(known, here | gone, tuple(sorted(weighed, key=lambda one: -one.chance)))


def _odds(chance: float) -> float:
    return math.log(chance / (1 - chance))


def _weighed(
    known: Causes, cause: Cause, here: frozenset[str], gone: frozenset[str], brought: frozenset[str]
) -> Weighed:
    moved = tuple(
        Moved(id, id not in gone, cause.tells[id], known.signs[id].base, id in brought)
        for ids in (here, brought, gone)
        for id in known.signs
        if id in ids and id in cause.tells
    )
    odds = _odds(cause.prior) + sum(one.by for one in moved)
    missing = sorted(
        (
            id
            for id, told in cause.tells.items()
            if id not in here | gone | brought and told > SPEAKS * known.signs[id].base
        ),
        key=lambda id: -cause.tells[id] / known.signs[id].base,
    )
    return Weighed(cause, 1 / (1 + math.exp(-odds)), moved, tuple(missing))


def _worth(known: Causes, causes: tuple[Weighed, ...], test: CauseTest) -> float:
    """What is to be learned from a test, for each minute of its work [bits/minute]."""
    base = known.signs[test.sign].base
    tells = [(one.chance, one.cause.tells[test.sign]) for one in causes if test.sign in one.cause.tells]
    return sum(_learned(chance, with_it, base) for chance, with_it in tells) / (test.minutes + FETCHING)


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
