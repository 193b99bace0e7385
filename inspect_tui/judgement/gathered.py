"""Which readings speak for which finding and which plate field, today and before."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TypeVar

from inspect_tui.domain.book import Book
from inspect_tui.domain.records import Finding, PitReading, Reading, ThicknessReading
from inspect_tui.domain.words import Status
from inspect_tui.engineering.errors import CannotCalculate
from inspect_tui.engineering.metal_loss import STEEL_GAUGE_M_S, through_paint

T = TypeVar("T", PitReading, ThicknessReading)
SMALLEST_SEEN_MM = 0.1
THICKNESS_ERROR_MM = 0.1
PAINTED = "ultrasonic through paint"


def field_of(book: Book, reading: Reading) -> str | None:
    """The plate field a reading was taken on: the one it names, or its compartment's only one."""
    if reading.plate_field in book.plate_fields:
        return reading.plate_field
    return only_field(book, reading.compartment)


def only_field(book: Book, compartment: str) -> str | None:
    """The plate field of a compartment that lies on just one."""
    place = book.compartments.get(compartment)
    known = [one for one in place.plate_fields if one in book.plate_fields] if place else []
    return known[0] if len(known) == 1 else None


@dataclass(frozen=True)
class Metal:
    """Depths and thicknesses of one finding or plate field that may be judged: those of the newest round with any,
    and the thicknesses of the rounds before; on bright metal, and not older than a repair."""

    pits: tuple[PitReading, ...]
    thickness: tuple[ThicknessReading, ...]
    earlier: tuple[ThicknessReading, ...] = ()
    left_out: int = 0

    @property
    def depths_mm(self) -> list[float]:
        return [depth for reading in self.pits for depth in reading.depths_mm]

    @property
    def holes(self) -> int:
        return sum(reading.holed_through for reading in self.pits)

    @property
    def soft(self) -> bool:
        return any(reading.soft for reading in self.pits)

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
    if reading.method != PAINTED or not reading.paint_mm:
        return list(reading.thickness_mm)
    told = []
    for value in reading.thickness_mm:
        try:
            told.append(through_paint(value, reading.paint_mm, reading.velocity_m_s or STEEL_GAUGE_M_S))
        except CannotCalculate:
            continue
    return told


class Gathered:
    """All readings of a book by finding and by plate field; made once for each state of the book."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self._repaired = {
            finding.chalk: max(event.when for event in finding.history if event.status is Status.REPAIRED)
            for finding in book.findings.values()
            if any(event.status is Status.REPAIRED for event in finding.history)
        }
        self._by_finding: dict[int, list[Reading]] = defaultdict(list)
        self._by_field: dict[str, list[Reading]] = defaultdict(list)
        for reading in book.readings.values():
            if not isinstance(reading, PitReading | ThicknessReading):
                continue
            if reading.finding is not None:
                self._by_finding[reading.finding].append(reading)
            if (field := field_of(book, reading)) is not None:
                self._by_field[field].append(reading)

    def at_finding(self, finding: Finding, more: Iterable[Reading] = ()) -> Metal:
        return self._metal([*self._by_finding.get(finding.chalk, ()), *more])

    def on_field(self, field: str, more: Iterable[Reading] = ()) -> Metal:
        return self._metal([*self._by_field.get(field, ()), *more])

    def field_at(self, finding: Finding) -> str | None:
        """The plate field a finding lies on: that of its newest reading, or its compartment's only one."""
        readings = sorted(self._by_finding.get(finding.chalk, ()), key=lambda one: one.when)
        for reading in reversed(readings):
            if (field := field_of(self._book, reading)) is not None:
                return field
        return only_field(self._book, finding.compartment)

    def _metal(self, readings: Iterable[Reading]) -> Metal:
        judged, left_out = [], 0
        for reading in readings:
            repaired = self._repaired.get(reading.finding) if reading.finding is not None else None
            if repaired is not None and reading.when < repaired:
                continue
            if reading.clean_metal is False:
                left_out += 1
                continue
            judged.append(reading)
        pits, _ = self._newest([one for one in judged if isinstance(one, PitReading)])
        thickness, earlier = self._newest([one for one in judged if isinstance(one, ThicknessReading)])
        return Metal(tuple(pits), tuple(thickness), tuple(earlier), left_out)

    def _newest(self, readings: list[T]) -> tuple[list[T], list[T]]:
        newest = max((self._round(reading) for reading in readings), default=0)
        return (
            [reading for reading in readings if self._round(reading) == newest],
            [reading for reading in readings if self._round(reading) != newest],
        )

    def _round(self, reading: Reading) -> int:
        round_ = self._book.rounds.get(reading.round)
        return round_.number if round_ else 0
