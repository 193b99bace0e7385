"""Which readings speak for which finding and which plate field, today and before."""

from __future__ import annotations

import statistics
from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from typing import TypeVar

from inspect_tui.domain.book import Book
from inspect_tui.domain.reading_records import PitReading, Reading, ThicknessReading
from inspect_tui.domain.records import Finding
from inspect_tui.domain.words import WELDED, Status, Treatment
from inspect_tui.engineering.metal.deepest_pit import FEWEST_PATCHES
from inspect_tui.engineering.metal.metal_loss import STEEL_GAUGE_M_S, through_paint
from inspect_tui.engineering.metal.pit_growth import PitGrowth
from inspect_tui.errors import CannotCalculate

T = TypeVar("T", PitReading, ThicknessReading)
SMALLEST_SEEN_MM = 0.1
THICKNESS_ERROR_MM = 0.1
# Of a needle or bridge gauge in the field, where nobody said.
PIT_ERROR_MM = 0.1
PAINTED = "ultrasonic through paint"
NOWHERE = (None,) * 5


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
    `earlier` those of the rounds before it. `patches`, of a field: each once, of all rounds;
    `gauged`: the thickness of all rounds;
    `growth`: of the deepest pit between two rounds; `all_painted`: no thickness was read on bare metal.
    """

    pits: tuple[PitReading, ...]
    patches: tuple[PitReading, ...]
    thickness: tuple[ThicknessReading, ...]
    earlier: tuple[ThicknessReading, ...] = ()
    left_out: int = 0
    painted: int = 0
    thicker_since: bool = False
    all_thickness_mm: tuple[float, ...] = ()
    all_painted: bool = False
    gauged: tuple[ThicknessReading, ...] = ()
    growth: PitGrowth | None = None

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
        """Of the depths: the greatest that was said of any."""
        told = [one.instrument_error for one in self.pits if one.instrument_error is not None]
        return max(told, default=PIT_ERROR_MM)

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
    def smallest_seen_mm(self) -> float:
        told = [reading.instrument_error for reading in self.pits if reading.instrument_error]
        return max([SMALLEST_SEEN_MM, *told])


def metal_mm(reading: ThicknessReading) -> list[float]:
    """Thickness of metal [mm] in one reading; a single echo through paint counts the paint, which is taken off."""
    if reading.method != PAINTED:
        return list(reading.thickness_mm)
    if reading.paint_mm is None:
        return []
    try:
        set_to = reading.velocity_m_s or STEEL_GAUGE_M_S
        return [through_paint(value, reading.paint_mm, set_to) for value in reading.thickness_mm]
    except CannotCalculate:
        return []


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
        for reading in book.readings.values():
            if not isinstance(reading, PitReading | ThicknessReading):
                continue
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

    def _growth(self, pits: list[PitReading]) -> PitGrowth | None:
        """The deepest pit of the newest round, held against that of the round before it that has one."""
        rounds = self._rounds([one for one in pits if one.depths_mm])
        if len(rounds) < 2:
            return None
        *_, before, newest = rounds.values()
        then, now = (max(those, key=lambda one: max(one.depths_mm)) for those in (before, newest))
        if now.when.date() <= then.when.date():
            return None
        told = [one.instrument_error for one in (then, now) if one.instrument_error is not None]
        error = max(told, default=PIT_ERROR_MM)
        return PitGrowth(max(then.depths_mm), max(now.depths_mm), error, then.when.date(), now.when.date())

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
        gauged = [one for one in judged if isinstance(one, ThicknessReading)]
        known = [one for one in gauged if metal_mm(one)]
        rounds = self._rounds(known)
        least = min(rounds, key=lambda number: _mean(rounds[number]), default=0)
        return Metal(
            tuple(pits),
            tuple(self._patches(pits)) if of_field else (),
            tuple(rounds.get(least, ())),
            tuple(one for number, those in rounds.items() if number < least for one in those),
            left_out,
            len(gauged) - len(known),
            bool(rounds) and least != max(rounds),
            tuple(value for one in known for value in metal_mm(one)),
            bool(gauged) and all(one.method == PAINTED for one in gauged),
            tuple(known),
            self._growth(pits),
        )

    def _patches(self, pits: list[PitReading]) -> list[PitReading]:
        """Those of all rounds: new ones join the old ones. One that was measured again, at the same finding or the
        same place, counts once, by its deepest."""
        kept: dict[object, PitReading] = {}
        for one in pits:
            at = one.position
            again: object = one.id
            if one.plan is not None:
                again = (one.plan, one.square)
            elif (
                one.finding is None and (place := (at.frame, at.offset_mm, at.side, at.girth_mm, at.face)) != NOWHERE
            ):
                again = (one.compartment, *place)
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
