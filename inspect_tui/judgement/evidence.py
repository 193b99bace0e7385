"""Signs of a cause at one place, and who says so: somebody ticked it, the question and the kind of finding bring it,
or a reading shows it. What was ticked goes before readings, and readings before what comes with the question."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book
from inspect_tui.domain.checklists import Checklists
from inspect_tui.domain.readings import in_words
from inspect_tui.domain.records import (
    AcidityReading,
    Finding,
    PitReading,
    Reading,
    ResistanceReading,
)
from inspect_tui.domain.words import Across
from inspect_tui.engineering.bonding import JOINED_OHM, PARTED_OHM
from inspect_tui.engineering.circuit_hunt import Switched
from inspect_tui.engineering.errors import CannotCalculate
from inspect_tui.engineering.protection import State
from inspect_tui.judgement.hunted import judge_hunt, newest_hunt
from inspect_tui.judgement.isolation import newest_test
from inspect_tui.judgement.protected import at_rest, judge_reading

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
# A part nobler by more than this drives an attack in salt water [mV]; Carr Lane: salt water, harsh air.
NOBLER_MV = 150.0
ALKALINE_PH, NOT_ALKALINE_PH = 9.0, 8.0

Origin = Literal["ticked", "reading", "question", "kind"]


@dataclass(frozen=True)
class Evidence:
    """A sign that is there, or was looked for and is not; `by` in words."""

    sign: str
    there: bool
    origin: Origin
    by: str


class Gathering:
    """The evidence of a whole book, gathered once for each state of it."""

    def __init__(self, book: Book, checklists: Checklists) -> None:
        self._book = book
        self._checklists = checklists
        self._prompts = checklists.prompts_by_key()
        self._readings: Mapping[int, list[Reading]] = _by_finding(book)
        self._of_hull = tuple(_of_hull(book))

    def at(self, finding: Finding) -> tuple[Evidence, ...]:
        """One line for each sign that something is known of, the strongest word first of each."""
        told: dict[str, Evidence] = {}
        for one in self._all(finding):
            told.setdefault(one.sign, one)
        return tuple(told.values())

    def _all(self, finding: Finding) -> Iterator[Evidence]:
        """In order of strength."""
        prompt = self._prompts.get(finding.prompt or "")
        brought = set(prompt.signs if prompt else ()) - set(finding.signs_confirmed or ())
        for sign in finding.signs_absent:
            yield Evidence(sign, False, "ticked", "ticked")
        for sign in finding.signs:
            if sign not in brought:
                yield Evidence(sign, True, "ticked", "ticked")
        yield from _of_readings(self._readings.get(finding.chalk, []))
        if finding.beside:
            yield from _of_metal(self._book, self._checklists, finding.beside)
        place = self._book.compartments.get(finding.compartment)
        if place is None or walk.below_waterline(self._checklists, place):
            yield from self._of_hull
        for sign in finding.signs:
            yield Evidence(sign, True, "question", "the question it came from")
        if sign := KIND_SIGNS.get(finding.kind, ""):
            yield Evidence(sign, True, "kind", "its kind of finding")


def _by_finding(book: Book) -> Mapping[int, list[Reading]]:
    told: dict[int, list[Reading]] = defaultdict(list)
    for reading in book.readings.values():
        if reading.finding is not None:
            told[reading.finding].append(reading)
    return told


def _of_readings(readings: Iterable[Reading]) -> Iterator[Evidence]:
    """What was measured at the place itself; the newest word counts, but a pit found once stays found."""
    newest = sorted(readings, key=lambda one: one.when, reverse=True)
    pits = [one for one in newest if isinstance(one, PitReading)]
    if pits:
        deep = next((one for one in pits if one.depths_mm or one.holed_through), None)
        yield _read("pits", deep is not None, deep or pits[0])
    for reading in newest:
        if isinstance(reading, ResistanceReading) and reading.across is Across.PART and reading.resistance_ohm:
            ohm = min(reading.resistance_ohm)
            if ohm < JOINED_OHM or ohm >= PARTED_OHM:
                yield _read("joined", ohm < JOINED_OHM, reading)
        elif isinstance(reading, AcidityReading) and reading.ph:
            ph = max(reading.ph)
            if ph > ALKALINE_PH or ph <= NOT_ALKALINE_PH:
                yield _read("alkaline-blister", ph > ALKALINE_PH, reading)


def _of_metal(book: Book, checklists: Checklists, beside: str) -> Iterator[Evidence]:
    """The couple that a part makes with the hull."""
    series = checklists.metals.galvanic
    hull, part = series.get(book.boat.hull_metal.value), series.get(beside)
    if hull is not None and part is not None:
        nobler = part.middle_mv - hull.middle_mv
        by = f"{part.name}, {nobler:+.0f} mV against the hull"
        yield Evidence("noble-beside", nobler > NOBLER_MV, "reading", by)


def _of_hull(book: Book) -> Iterator[Evidence]:
    """What was measured of the whole hull: it speaks for every place below the waterline."""
    leaks = list(_of_hunt(book))
    test = newest_test(book)
    if test is not None and test.leak is not None:
        leaks.append(Evidence("hull-leak", test.leak, "reading", f"wiring against the hull: {test.told}"))
    # A leak found by either is a leak, whatever the other could not see.
    yield from sorted(leaks, key=lambda one: not one.there)
    rest = [one for one in at_rest(book) if not one.without_anodes]
    if rest:
        try:
            state = judge_reading(book.boat, rest[-1]).protection.state
        except CannotCalculate:
            return
        yield _read("over-potential", state is State.OVER, rest[-1])


def _of_hunt(book: Book) -> Iterator[Evidence]:
    readings = newest_hunt(book)
    if not readings:
        return
    try:
        found = judge_hunt(readings)
    except CannotCalculate:
        return
    day = f"circuit hunt of {readings[-1].when:%Y-%m-%d}"
    faults = [one for one in found.standing_out if one.faulty]
    if faults:
        worst = faults[0]
        yield Evidence("hull-leak", True, "reading", f"{day}: {worst.taken.circuit} {worst.shift_mv:+.0f} mV")
    elif found.repeats_mv is not None and not found.standing_out and not found.drifting:
        tried = sum(one.taken.switched is Switched.CIRCUIT for one in found.shifts)
        if tried:
            yield Evidence("hull-leak", False, "reading", f"{day}: none of {tried} circuits moved the hull")


def _read(sign: str, there: bool, reading: Reading) -> Evidence:
    return Evidence(sign, there, "reading", f"{in_words(reading)}, {reading.when:%Y-%m-%d}")
