"""Why metal is eaten at one place: causes ranked by the signs, with what speaks for and against each and what is
missing; and the test that would tell most apart for its work.

Each cause is weighed alone against its absence, so that several may be at work together. A sign moves the odds of a
cause by how much more often it is seen with it than without; one that was looked for and not found moves them the
other way. The weights are judgement, and lie in `checklists/causes.toml`.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from types import MappingProxyType

from inspect_tui.domain.knowledge.causes import ANYWHERE, Cause, Causes, CauseTest, Spot
from inspect_tui.domain.plain import counted
from inspect_tui.domain.words import HullMetal
from inspect_tui.engineering.working import Seen, Source, Step, Working
from inspect_tui.judgement.causes.evidence import Act, Evidence

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
# A test from which less than this is to be learned is not waited for [bits].
WORTH_MAKING = 0.05
WEIGHTS = Source("weights of causes.toml", Seen.JUDGEMENT)


@dataclass(frozen=True)
class Shown:
    """A sign that is there, or was looked for and is not. `act`: what else was learned by the same act is one with
    it; `brought`: the question or the kind says so, and nobody looked; `measured`: a reading says so."""

    sign: str
    there: bool
    act: Act | None = None
    brought: bool = False
    measured: bool = False


@dataclass(frozen=True)
class Moved:
    """What one sign does to the odds of a cause (natural logarithm). One that was brought counts for less. `counts`:
    no other sign of its act weighs more; of each act only the weightiest moves the odds, one for and one against."""

    shown: Shown
    with_it: float
    base: float
    counts: bool = True

    @property
    def by(self) -> float:
        if self.shown.there:
            return math.log(self.with_it / self.base) * (BROUGHT if self.shown.brought else 1.0)
        return math.log((1 - self.with_it) / (1 - self.base))

    @property
    def speaks(self) -> bool:
        return self.by > math.log(SPEAKS)

    @property
    def speaks_against(self) -> bool:
        return self.by < -math.log(SPEAKS)

    def step(self) -> Step:
        there = self.shown.there
        with_it, base = (self.with_it, self.base) if there else (1 - self.with_it, 1 - self.base)
        name = f"{self.shown.sign}{'' if there else ' not there'}"
        formula, numbers = "ln(with it / base)", f"{with_it:g} / {base:g}"
        if there and self.shown.brought:
            formula, numbers = f"{formula} · {BROUGHT:g}, nobody looked", f"{numbers} · {BROUGHT:g}"
        if not self.counts:
            formula = f"{formula}; not counted: another sign from {self.shown.act} weighs more"
        return Step(name, formula, numbers, f"{self.by if self.counts else 0:+.2f}", WEIGHTS)


@dataclass(frozen=True)
class Weighed:
    """One cause at one place. `speaks_for` and `against` are signs by id, the heaviest first; `missing` were not
    looked for. `chance` puts causes in order and is never shown: the weights behind it are judgement."""

    cause: Cause
    chance: float
    moved: tuple[Moved, ...]
    missing: tuple[str, ...]

    @property
    def word(self) -> str:
        return "likely" if self.likely else "possible" if self.possible else "unproven"

    @property
    def told(self) -> str:
        """In words and counts of signs, and which of them come from one act."""
        against = f", {len(self.against)} against" if self.against else ""
        return f"{self.word}: {counted(len(self.speaks_for), 'sign')} for it{self._of_acts()}{against}"

    def _of_acts(self) -> str:
        acts = Counter(one.shown.act for one in self._for if one.shown.act is not None)
        told = [(act, number) for act, number in acts.most_common() if number > 1 or number == len(self._for)]
        if not told:
            return ""
        if told[0][1] == len(self._for):
            return f", {'all ' if told[0][1] > 1 else ''}from {told[0][0]}"
        return ", " + " and ".join(f"{number} of them from {act}" for act, number in told)

    @property
    def possible(self) -> bool:
        """From a chance on that is rounded, so that two that are alike to any eye never have two words."""
        return round(self.chance, 2) >= NAMED

    @property
    def likely(self) -> bool:
        """Never by one act alone, unless a reading measured it; and never by what the question brought alone."""
        acts = {one.shown.act or one.shown.sign for one in self._for}
        seen = any(not one.shown.brought for one in self._for)
        measured = any(one.shown.measured for one in self._for)
        return round(self.chance, 2) >= LIKELY and seen and (measured or len(acts) > 1)

    @property
    def _for(self) -> tuple[Moved, ...]:
        return tuple(one for one in sorted(self.moved, key=lambda one: -one.by) if one.speaks)

    @property
    def speaks_for(self) -> tuple[str, ...]:
        return tuple(one.shown.sign for one in self._for)

    @property
    def against(self) -> tuple[str, ...]:
        return tuple(one.shown.sign for one in sorted(self.moved, key=lambda one: one.by) if one.speaks_against)

    @property
    def working(self) -> Working:
        prior = self.cause.prior
        before = _odds(prior)
        odds = before + sum(one.by for one in self.moved if one.counts)
        steps = (
            Step("before any sign", "ln(prior / (1 - prior))", f"prior {prior:g}", f"{before:+.2f}", WEIGHTS),
            *(one.step() for one in self.moved),
            Step(
                "word",
                f"likely from {_odds(LIKELY):+.2f} by more than one observation, possible from {_odds(NAMED):+.2f}",
                f"sum {odds:+.2f}",
                self.word,
                WEIGHTS,
            ),
        )
        return Working(
            (), steps, ("Signs are taken as if each stood alone; the weights are judgement, not statistics.",)
        )


@dataclass(frozen=True)
class Found:
    """All causes at one place, the likeliest first, and which of them are named."""

    known: Causes = field(repr=False)
    ticked: frozenset[str]
    ranked: tuple[Weighed, ...]

    @cached_property
    def named(self) -> tuple[Weighed, ...]:
        return tuple(one for one in self.ranked if one.possible and one.speaks_for)

    @property
    def likely(self) -> tuple[Weighed, ...]:
        return tuple(one for one in self.named if one.likely)

    @property
    def enough(self) -> bool:
        return bool(self.named)

    def next_test(self, *, afloat: bool, below: bool = True) -> CauseTest | None:
        """The test from which most is to be learned for its work, of those that can be made there as she is now; None
        if none is left. What wipes the place or touches its metal waits for all that need it as it was found."""
        can_be_made = [test for test in self._tests if test.can_be_made(afloat=afloat, below=below)]
        dirty = [test for test in can_be_made if test.dirty and self.learned[test.id] >= WORTH_MAKING]
        return next((test for test in can_be_made if not _spoils_any(test, dirty)), None)

    @cached_property
    def learned(self) -> Mapping[str, float]:
        """What each test whose sign is not ticked yet tells of all causes there [bits]."""
        told = {sign for one in self.ranked for sign in one.cause.tells}
        left = [test for test in self.known.tests.values() if test.sign in told - self.ticked]
        return {test.id: _told_by(self.known, self.ranked, test) for test in left}

    @cached_property
    def _tests(self) -> tuple[CauseTest, ...]:
        """Those whose sign is not ticked yet, the most telling for its work first. What they tell of causes that
        nothing speaks for counts only where they tell nothing of the others."""
        open_ = tuple(one for one in self.ranked[1:] if one.chance >= IN_QUESTION)
        asked = (self.ranked[0], *open_)
        left = [self.known.tests[id] for id in self.learned]
        worth = {
            test.id: tuple(
                bits / (test.minutes + FETCHING)
                for bits in (_told_by(self.known, asked, test), self.learned[test.id])
            )
            for test in left
        }
        return tuple(sorted(left, key=lambda test: worth[test.id], reverse=True))


def _spoils_any(test: CauseTest, dirty: Iterable[CauseTest]) -> bool:
    """Whether a test takes away what another needs; of two that both need it and both take it, either may begin."""
    return test.spoils and any(one is not test and not (test.dirty and one.spoils) for one in dirty)


@lru_cache(maxsize=64)
def known_of(known: Causes, metal: HullMetal, spot: Spot = ANYWHERE) -> Causes:
    """What is known of causes in this metal and at this place: the causes that can be at work there, and the signs
    that can tell something of them."""
    signs = {id: sign for id, sign in known.signs.items() if sign.can_tell_at(spot)}
    causes = {
        id: cause.model_copy(
            update={
                "prior": cause.prior_in(metal),
                "tells": {sign: chance for sign, chance in cause.tells.items() if sign in signs},
            }
        )
        for id, cause in known.causes.items()
        if cause.at_work_in(metal) and cause.at_work_at(spot)
    }
    return replace(known, signs=signs, causes=causes)


def causes_at(known: Causes, evidence: Iterable[Evidence]) -> Found:
    """Rank the causes by the evidence of one place."""
    told = tuple(evidence)
    return find_causes(
        known,
        [one.sign for one in told if one.there and not one.brought],
        [one.sign for one in told if not one.there],
        [one.sign for one in told if one.brought],
        acts={one.sign: one.act for one in told if one.act is not None},
        measured=[one.sign for one in told if one.origin == "reading"],
    )


def find_causes(
    known: Causes,
    seen: Collection[str],
    absent: Collection[str] = (),
    brought: Collection[str] = (),
    *,
    acts: Mapping[str, Act] = MappingProxyType({}),
    measured: Collection[str] = (),
) -> Found:
    """Rank the causes by ids of signs: seen, looked for and not there, and brought by a question; by which act each
    was learned, if not by one of its own; and which of them a reading measured.

    Signs that the data does not know are passed over: prompts carry some that tell nothing of a cause.
    """
    told = {sign: Shown(sign, True, acts.get(sign, Act.QUESTION), brought=True) for sign in brought}
    told |= {sign: Shown(sign, False, acts.get(sign), measured=sign in measured) for sign in absent}
    told |= {sign: Shown(sign, True, acts.get(sign), measured=sign in measured) for sign in seen}
    return _ranked(known, frozenset(one for one in told.values() if one.sign in known.signs))


@lru_cache(maxsize=512)
def _ranked(known: Causes, shown: frozenset[Shown]) -> Found:
    """Many places show the same few signs: each set of them is weighed once."""
    order = {sign: place for place, sign in enumerate(known.signs)}
    told = tuple(sorted(shown, key=lambda one: (not one.there, one.brought, order[one.sign])))
    weighed = (_weighed(known, cause, told) for cause in known.causes.values())
    # What nobody looked at is still worth looking at.
    ticked = frozenset(one.sign for one in told if not one.brought)
    return Found(known, ticked, tuple(sorted(weighed, key=lambda one: -one.chance)))


def _odds(chance: float) -> float:
    return math.log(chance / (1 - chance))


def _weighed(known: Causes, cause: Cause, told: tuple[Shown, ...]) -> Weighed:
    moved = _of_each_act(
        [Moved(one, cause.tells[one.sign], known.signs[one.sign].base) for one in told if one.sign in cause.tells]
    )
    odds = _odds(cause.prior) + sum(one.by for one in moved if one.counts)
    looked = {one.sign for one in told}
    missing = sorted(
        (id for id, chance in cause.tells.items() if id not in looked and chance > SPEAKS * known.signs[id].base),
        key=lambda id: -cause.tells[id] / known.signs[id].base,
    )
    return Weighed(cause, 1 / (1 + math.exp(-odds)), moved, tuple(missing))


def _of_each_act(moved: list[Moved]) -> tuple[Moved, ...]:
    """Of several signs of one act only the weightiest counts, for the cause and against it apart."""
    heaviest: dict[tuple[Act, bool], Moved] = {}
    for one in moved:
        if one.shown.act is not None:
            side = one.shown.act, one.by > 0
            if side not in heaviest or abs(one.by) > abs(heaviest[side].by):
                heaviest[side] = one
    return tuple(
        one if one.shown.act is None else replace(one, counts=one is heaviest[one.shown.act, one.by > 0])
        for one in moved
    )


def _told_by(known: Causes, causes: tuple[Weighed, ...], test: CauseTest) -> float:
    """What is to be learned from a test of these causes [bits]."""
    base = known.signs[test.sign].base
    tells = [(one.chance, one.cause.tells[test.sign]) for one in causes if test.sign in one.cause.tells]
    return sum(_learned(chance, with_it, base) for chance, with_it in tells)


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
