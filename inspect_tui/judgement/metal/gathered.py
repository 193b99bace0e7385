"""Which readings speak for which finding and which plate field, today and before."""

from __future__ import annotations

import statistics
from collections import defaultdict
from collections.abc import Collection, Hashable, Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

from inspect_tui.domain.book import Book
from inspect_tui.domain.reading_records import LengthReading, PitReading, Reading, ThicknessReading
from inspect_tui.domain.records import Finding
from inspect_tui.domain.words import WELDED, Status, Treatment
from inspect_tui.engineering.metal.deepest_pit import FEWEST_PATCHES
from inspect_tui.engineering.metal.spot_growth import SpotGrowth
from inspect_tui.judgement.metal.growing import growth_of, read_twice, set_aside, spot_of, spots_of
from inspect_tui.judgement.metal.readings_of_metal import (
    PAINTED,
    PIT_ERROR_MM,
    THICKNESS_ERROR_MM,
    error_of,
    metal_mm,
)

T = TypeVar("T", PitReading, ThicknessReading)
SMALLEST_SEEN_MM = 0.1


def _field_of(book: Book, reading: Reading, apart: Collection[str]) -> str | None:
    """The plate field a reading was taken on: the one it names, or its compartment's only one. None of a member, nor
    of a part that its question (`apart`: keys of such) keeps by itself."""
    if reading.member is not None:
        return None
    if reading.plate_field in book.plate_fields:
        return reading.plate_field
    if reading.prompt in apart:
        return None
    return only_field(book, reading.compartment)


def only_field(book: Book, compartment: str) -> str | None:
    """The plate field of a compartment that lies on just one."""
    place = book.compartments.get(compartment)
    known = [one for one in place.plate_fields if one in book.plate_fields] if place else []
    return known[0] if len(known) == 1 else None


@dataclass(frozen=True)
class Metal:
    """Depths and thicknesses of one finding or plate field that may be judged: on bright metal, not cut out since.

    Metal does not grow back: `pits` are those of all rounds, `thickness` those of the round with the least mean, and
    `earlier` those of the rounds before it. `squares`, of a field: each once, of all rounds; `gauged`: the thickness
    of all rounds; `aside`: readings that were read wrong, and twice again; `growths`: of the spots read in more than
    one; `unpaired`: spots of the newest round that have none before; `thicker_by_mm`: how much thicker the newest
    round read than the thinnest; `all_painted`: no thickness was read on bare metal.
    """

    pits: tuple[PitReading, ...]
    patches: tuple[PitReading, ...]
    thickness: tuple[ThicknessReading, ...]
    earlier: tuple[ThicknessReading, ...] = ()
    left_out: int = 0
    painted: int = 0
    thicker_by_mm: float = 0.0
    all_thickness_mm: tuple[float, ...] = ()
    all_painted: bool = False
    gauged: tuple[ThicknessReading, ...] = ()
    aside: int = 0
    growths: tuple[SpotGrowth, ...] = ()
    unpaired: int = 0

    @property
    def speaking(self) -> tuple[PitReading, ...]:
        """The squares that speak for the rest: those drawn without looking, if they are enough; one at a finding was
        looked for, unless a plan drew it. Else all of them, which then say nothing."""
        drawn = tuple(
            one for one in self.patches if one.plan is not None or (one.finding is None and one.worst_chosen is False)
        )
        return drawn if len(drawn) >= FEWEST_PATCHES else self.patches

    @property
    def depths_mm(self) -> list[float]:
        return [depth for reading in self.pits for depth in reading.depths_mm]

    @property
    def holes(self) -> int:
        return sum(reading.holed_through for reading in self.pits)

    @property
    def soft(self) -> bool:
        return any(reading.soft for reading in self.pits)

    @property
    def thinnest_mm(self) -> float | None:
        """Of all rounds."""
        return min(self.all_thickness_mm, default=None)

    @property
    def pit_error_mm(self) -> float:
        """Of the depths: the greatest of any."""
        return max((error_of(one) for one in self.pits), default=PIT_ERROR_MM)

    def thickness_mm(self) -> list[float]:
        """Of metal: what paint added to a reading is taken off."""
        return [value for reading in self.thickness for value in metal_mm(reading)]

    @property
    def thickness_error_mm(self) -> float:
        told = [reading.instrument_error for reading in self.thickness if reading.instrument_error is not None]
        return max(told, default=THICKNESS_ERROR_MM)

    @property
    def unsaid(self) -> bool:
        """Whether it was never said that some of these were read on bright metal."""
        return any(reading.clean_metal is None for reading in (*self.pits, *self.thickness))

    @property
    def pictured_mm(self) -> list[float]:
        """Depths for a picture of a plate field [mm]: of a spot that was read again its deepest round alone."""
        return [depth for reading in self.patches for depth in reading.depths_mm]

    @property
    def growth(self) -> SpotGrowth | None:
        """The one that grew most beyond what can be told; None where nothing grew so."""
        grew = [one for one in self.growths if one.significant]
        return max(grew, key=lambda one: one.grown_mm / one.tells_mm, default=None)

    @property
    def smallest_seen_mm(self) -> float:
        told = [reading.instrument_error for reading in self.pits if reading.instrument_error]
        return max([SMALLEST_SEEN_MM, *told])


def _mean(readings: Iterable[ThicknessReading]) -> float:
    return statistics.fmean(value for reading in readings for value in metal_mm(reading))


def _treatment(finding: Finding) -> Treatment | None:
    return finding.override.treatment if finding.override else finding.treatment


class Gathered:
    """All readings of a book by finding and by plate field; made once for each state of the book."""

    def __init__(self, book: Book, apart: Collection[str] = ()) -> None:
        self._book = book
        self._apart = apart
        self._round_numbers: dict[str, int] = {}
        self._repaired = {
            finding.chalk: max(event.when for event in finding.history if event.status is Status.REPAIRED)
            for finding in book.findings.values()
            if any(event.status is Status.REPAIRED for event in finding.history) and _treatment(finding) in WELDED
        }
        self._by_finding: dict[int, list[Reading]] = defaultdict(list)
        self._by_field: dict[str, list[Reading]] = defaultdict(list)
        self._by_member: dict[str, list[Reading]] = defaultdict(list)
        of_metal = (one for one in book.readings.values() if isinstance(one, PitReading | ThicknessReading))
        # In one order, however they were entered, taken out and entered again.
        for reading in sorted(of_metal, key=lambda one: (one.when, one.id)):
            if reading.finding is not None:
                self._by_finding[reading.finding].append(reading)
            if reading.member is not None:
                self._by_member[reading.member].append(reading)
            if (field := _field_of(book, reading, apart)) is not None:
                self._by_field[field].append(reading)

    def field_of(self, reading: Reading) -> str | None:
        """The plate field a reading was taken on."""
        return _field_of(self._book, reading, self._apart)

    def at_finding(self, finding: Finding, more: Iterable[Reading] = ()) -> Metal:
        return self._metal([*self._by_finding.get(finding.chalk, ()), *more])

    def on_field(self, field: str, more: Iterable[Reading] = ()) -> Metal:
        return self._metal([*self._by_field.get(field, ()), *more], of_field=True)

    def on_member(self, member: str, more: Iterable[Reading] = ()) -> Metal:
        return self._metal([*self._by_member.get(member, ()), *more])

    def member_at(self, finding: Finding) -> str | None:
        """The member a finding lies on: that of its newest reading of metal."""
        newest = max(self._by_finding.get(finding.chalk, ()), key=lambda one: one.when, default=None)
        return newest.member if newest else None

    def field_at(self, finding: Finding) -> str | None:
        """The plate field a finding lies on: that of its newest reading, or its compartment's only one."""
        readings = sorted(self._by_finding.get(finding.chalk, ()), key=lambda one: one.when)
        for reading in reversed(readings):
            if reading.member is not None:
                return None
            if (field := self.field_of(reading)) is not None:
                return field
        return None if finding.prompt in self._apart else only_field(self._book, finding.compartment)

    def _metal(self, readings: Iterable[Reading], *, of_field: bool = False) -> Metal:
        judged, left_out = [], 0
        for reading in readings:
            repaired = self._repaired.get(reading.finding) if reading.finding is not None else None
            if repaired is not None and reading.when < repaired:
                continue
            if reading.clean_metal is False:
                left_out += 1
                continue
            judged.append(reading)
        pits = [one for one in judged if isinstance(one, PitReading)]
        aside = set_aside(judged)
        gauged = [one for one in judged if isinstance(one, ThicknessReading) and one.id not in aside]
        known = [one for one in gauged if metal_mm(one)]
        rounds = self._rounds(known)
        means = {number: _mean(those) for number, those in rounds.items()}
        least = min(means, key=means.__getitem__, default=0)
        return Metal(
            tuple(pits),
            tuple(self._patches(pits)) if of_field else (),
            tuple(rounds.get(least, ())),
            tuple(one for number, those in rounds.items() if number < least for one in those),
            left_out,
            len(gauged) - len(known),
            means[max(means)] - means[least] if means else 0.0,
            tuple(value for one in known for value in metal_mm(one)),
            bool(gauged) and all(one.method == PAINTED for one in gauged),
            tuple(known),
            len(aside),
            *self._growths(pits, gauged),
        )

    def _growths(self, pits: list[PitReading], gauged: list[ThicknessReading]) -> tuple[tuple[SpotGrowth, ...], int]:
        """What of them was read in more than one round, and how many spots of the newest round were not, though there
        was one before it."""
        readings: list[Reading] = [*pits, *(one for one in gauged if metal_mm(one))]
        numbers = {one.round: self._round(one) for one in readings}
        if len(set(numbers.values())) < 2:
            return (), 0
        spots = spots_of(readings)
        told = [growth_of(those, numbers, self.read_twice) for those in spots.values()]
        newest = max(numbers.values())
        alone = sum({numbers[one.round] for one in those} == {newest} for those in spots.values()) + sum(
            spot_of(one) is None and numbers[one.round] == newest for one in readings
        )
        return tuple(one for one in told if one is not None), alone

    @cached_property
    def read_twice(self) -> int:
        """How many spots of the boat were read in more than one round."""
        return read_twice(self._book, (one for one in self._book.readings.values() if one.clean_metal is not False))

    def crack(self, finding: Finding) -> SpotGrowth | None:
        """How much longer a crack is than in an earlier round."""
        lengths = [
            one
            for one in self._book.readings.values()
            if isinstance(one, LengthReading) and one.finding == finding.chalk
        ]
        return (
            growth_of(lengths, {one.round: self._round(one) for one in lengths}, self.read_twice) if lengths else None
        )

    def _patches(self, pits: list[PitReading]) -> list[PitReading]:
        """Those of all rounds: new ones join the old ones. One that was measured again, at the same finding or the
        same place, counts once, by its deepest."""
        kept: dict[Hashable, PitReading] = {}
        for one in pits:
            again = one.id if one.finding is not None and one.plan is None else spot_of(one) or one.id
            before = kept.get(again)
            if before is None or max(one.depths_mm, default=0.0) >= max(before.depths_mm, default=0.0):
                kept[again] = one
        last: dict[int, int] = {}
        for one in pits:
            if one.finding is not None and one.plan is None:
                last[one.finding] = max(last.get(one.finding, 0), self._round(one))
        return [
            one
            for one in kept.values()
            if one.finding is None or one.plan is not None or self._round(one) == last[one.finding]
        ]

    def _rounds(self, readings: list[T]) -> dict[int, list[T]]:
        rounds: dict[int, list[T]] = defaultdict(list)
        for reading in readings:
            rounds[self._round(reading)].append(reading)
        return dict(sorted(rounds.items()))

    def _round(self, reading: Reading) -> int:
        number = self._round_numbers.get(reading.round)
        if number is None:
            number = self._round_numbers[reading.round] = self._book.round_number(reading.round)
        return number
