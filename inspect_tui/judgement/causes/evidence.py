"""Signs of a cause at one place, and who says so: somebody ticked it, a reading shows it, the place is of a kind, or
the question and the kind of finding bring it. They are taken in this order: the first word on a sign counts."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from types import MappingProxyType
from typing import Literal

from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.causes import Spot
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.named import Kinds, Signs
from inspect_tui.domain.measuring.readings import in_words
from inspect_tui.domain.reading_records import PitReading, Reading, ResistanceReading
from inspect_tui.domain.records import NO_OTHER_METAL, Finding
from inspect_tui.domain.words import Across
from inspect_tui.domain.zones import zone_of_finding
from inspect_tui.engineering.electricity.bonding import JOINED_OHM, PARTED_OHM
from inspect_tui.engineering.electricity.circuit_hunt import Switched
from inspect_tui.engineering.electricity.couple import NOBLER_MV, driving_mv, most_mv
from inspect_tui.engineering.electricity.protection import State
from inspect_tui.judgement.causes.boat_wide import newest_ticks, ticked_at
from inspect_tui.judgement.causes.faces import TANKS, spot_of
from inspect_tui.judgement.causes.patches import signs_shown
from inspect_tui.judgement.electricity.electricity import Electricity

# What a kind of finding is a sign of by itself.
KIND_SIGNS: Mapping[str, str] = MappingProxyType(
    {
        Kinds.PITTING: Signs.PITS,
        Kinds.OLD_PATCH: Signs.OLD_PATCH,
        Kinds.STRAY_METAL: Signs.STRAY_METAL,
        Kinds.CREVICE: Signs.CREVICE,
        Kinds.LEAKAGE: Signs.HULL_LEAK,
        Kinds.WATER_TRAP: Signs.STANDING_WATER,
        Kinds.TWO_METALS: Signs.NOBLE_BESIDE,
    }
)
Origin = Literal["ticked", "reading", "place", "boat", "question", "kind"]


class Act(StrEnum):
    """What brings several signs at once, in words: together they are no more than one look."""

    PATCH = "one lifted patch"
    QUESTION = "the question it came from"
    KIND = "its kind of finding"
    POTENTIAL = "one potential"


@dataclass(frozen=True)
class Evidence:
    """A sign that is there, or was looked for and is not; `by` in words, and since when it is known. `act`: what else
    of the same act was learned counts as one with it; each is an act of its own where there is none."""

    sign: str
    there: bool
    origin: Origin
    by: str
    when: datetime | None = None
    act: Act | None = None

    @property
    def brought(self) -> bool:
        """Nobody looked: the question or the kind of finding says so."""
        return self.origin in ("question", "kind")


class Gathering:
    """The evidence of a whole book, gathered once for each state of it."""

    def __init__(self, book: Book, checklists: Checklists, electricity: Electricity) -> None:
        self._book = book
        self._checklists = checklists
        self._readings: Mapping[int, list[Reading]] = _by_finding(book)
        self.leak = newest_leak(book, electricity)
        self._of_outside = tuple(_of_outside(electricity))
        self._of_boat = newest_ticks(book, checklists)
        self._spots: dict[int, Spot] = {}

    def at(self, finding: Finding) -> tuple[Evidence, ...]:
        """One line for each sign that something is known of, the strongest word of each."""
        told: dict[str, Evidence] = {}
        spot = self.spot(finding)
        for one in self._all(finding):
            sign = self._checklists.causes.signs.get(one.sign)
            if sign is None or sign.can_tell_at(spot):
                told.setdefault(one.sign, one)
        return tuple(told.values())

    def _all(self, finding: Finding) -> Iterator[Evidence]:
        """In order of strength."""
        shown, shown_absent = signs_shown(finding.lifted) if finding.lifted else (frozenset(), frozenset())
        for sign in (*finding.signs_absent, *finding.signs):
            there = ticked_at(finding, self._checklists, sign)
            if there is not None and not self._said_since(finding, sign):
                of_patch = sign in (shown if there else shown_absent)
                yield Evidence(sign, there, "ticked", "ticked", act=Act.PATCH if of_patch else None)
        yield from _of_readings(self._readings.get(finding.chalk, []))
        if finding.beside:
            yield from _of_metal(self._book, self._checklists, finding.beside)
        yield from self._of_place(finding)
        for sign in finding.signs:
            yield Evidence(
                sign, True, "question", "assumed, from the question that led to this finding", act=Act.QUESTION
            )
        if sign := KIND_SIGNS.get(finding.kind, ""):
            yield Evidence(sign, True, "kind", "from the kind of finding", act=Act.KIND)

    def _said_since(self, finding: Finding, sign: str) -> bool:
        """Whether somebody said of the whole boat, at another finding and later, how it is with this sign."""
        newest = self._of_boat.get(sign)
        return newest is not None and newest.chalk != finding.chalk

    def spot(self, finding: Finding) -> Spot:
        """What the place of a finding is to the causes."""
        if finding.chalk not in self._spots:
            self._spots[finding.chalk] = spot_of(self._book, self._checklists, finding)
        return self._spots[finding.chalk]

    def _of_place(self, finding: Finding) -> Iterator[Evidence]:
        """What the compartment is, and what is known of the whole hull, where that can hold."""
        place = self._book.compartments.get(finding.compartment)
        area, name, spot = place.area if place else "", place.name if place else "", self.spot(finding)
        yield Evidence(Signs.FUEL_TANK, spot.tank, "place", f"the compartment: {name}")
        if area in TANKS or not zone_of_finding(self._book, self._checklists, finding).wet:
            return
        if self.leak is not None:
            yield self.leak
        if spot.sea_side:
            yield from self._of_outside
        for sign, tick in self._of_boat.items():
            if tick.chalk != finding.chalk:
                by = f"ticked at no. {tick.chalk}, for the whole boat"
                yield Evidence(sign, tick.there, "boat", by, tick.when)


def _by_finding(book: Book) -> Mapping[int, list[Reading]]:
    told: dict[int, list[Reading]] = defaultdict(list)
    for reading in book.readings.values():
        if reading.finding is not None:
            told[reading.finding].append(reading)
    return told


def _of_readings(readings: Iterable[Reading]) -> Iterator[Evidence]:
    """What was measured at the place itself. Of ohms the newest decides; a pit found once stays found."""
    newest = sorted(readings, key=lambda one: one.when, reverse=True)
    pits = [one for one in newest if isinstance(one, PitReading)]
    if pits:
        deep = next((one for one in pits if one.depths_mm or one.holed_through), None)
        yield _read(Signs.PITS, deep is not None, deep or pits[0])
    for reading in newest:
        if (
            isinstance(reading, ResistanceReading)
            and reading.across in (Across.PART, Across.PARTED)
            and reading.resistance_ohm
        ):
            ohm = min(reading.resistance_ohm)
            if ohm < JOINED_OHM or ohm >= PARTED_OHM:
                yield _read(Signs.JOINED, ohm < JOINED_OHM, reading)
            return


def _of_metal(book: Book, checklists: Checklists, beside: str) -> Iterator[Evidence]:
    """The couple that a part makes with the hull: there by what drives it, as `calc couple` tells it; absent only if
    their ranges leave no room for one."""
    if beside == NO_OTHER_METAL:
        yield Evidence(Signs.NOBLE_BESIDE, False, "reading", "no other metal touches her there")
        return
    series = checklists.metals.galvanic
    hull, part = series.get(book.boat.hull_metal.value), series.get(beside)
    if hull is None or part is None:
        return
    drives = driving_mv(hull, part)
    there = drives >= NOBLER_MV
    if there or most_mv(hull, part) < NOBLER_MV:
        yield Evidence(Signs.NOBLE_BESIDE, there, "reading", f"{part.name}, {drives:+.0f} mV against the hull")


def newest_leak(book: Book, electricity: Electricity) -> Evidence | None:
    """Whether current leaks into the hull, by the newest word of the circuit hunt and the isolation test; None if
    neither can tell."""
    told = sorted(
        [*_of_hunt(book, electricity), *_of_isolation(electricity)], key=lambda one: (str(one.when), one.there)
    )
    return told[-1] if told else None


def _of_outside(electricity: Electricity) -> Iterator[Evidence]:
    """What was measured in the water outside, of the metal that it touches."""
    last = electricity.at_work
    if last is not None:
        reading, judged = last
        if judged.state is not None:
            by = f"{judged.read.sea_mv:.0f} mV, {judged.word}, {reading.when:%Y-%m-%d}"
            for sign, state in ((Signs.OVER_POTENTIAL, State.OVER), (Signs.UNPROTECTED, State.CORRODING)):
                yield Evidence(sign, judged.state is state, "reading", by, reading.when, Act.POTENTIAL)
    readings = electricity.hunt_readings
    shifts = electricity.hunt.shifts if electricity.hunt else ()
    shore = next((one for one in shifts if one.taken.switched is Switched.SHORE_IN), None)
    if shore is not None:
        words = f"circuit hunt of {readings[-1].when:%Y-%m-%d}: shore lead {shore.shift_mv:+.0f} mV"
        yield Evidence(Signs.DOCK_SHIFT, shore.verdict != "none", "reading", words, readings[-1].when)


def _of_hunt(book: Book, electricity: Electricity) -> Iterator[Evidence]:
    """A fault is a leak. That there is none is said only of a hunt that tried every circuit, drifted little, and in
    which the shore lead moved nothing either."""
    readings, found = electricity.hunt_readings, electricity.hunt
    if found is None:
        return
    day, when = f"circuit hunt of {readings[-1].when:%Y-%m-%d}", readings[-1].when
    faults = [one for one in found.standing_out if one.faulty]
    tried = {one.taken.circuit for one in found.shifts if one.taken.switched is Switched.CIRCUIT}
    if faults:
        words = f"{day}: {faults[0].taken.circuit} {faults[0].shift_mv:+.0f} mV"
        yield Evidence(Signs.HULL_LEAK, True, "reading", words, when)
    elif (
        tried
        and tried >= set(book.boat.circuits)
        and found.repeats_mv is not None
        and not found.drifting
        and all(one.verdict == "none" for one in found.shifts)
    ):
        yield Evidence(
            Signs.HULL_LEAK, False, "reading", f"{day}: none of {len(tried)} circuits moved the hull", when
        )


def _of_isolation(electricity: Electricity) -> Iterator[Evidence]:
    test = electricity.hull_test
    if test is not None and test.leak is not None:
        yield Evidence(Signs.HULL_LEAK, test.leak, "reading", f"isolation test: {test.told}", test.reading.when)


def _read(sign: str, there: bool, reading: Reading) -> Evidence:
    return Evidence(sign, there, "reading", f"{in_words(reading)}, {reading.when:%Y-%m-%d}", reading.when)
