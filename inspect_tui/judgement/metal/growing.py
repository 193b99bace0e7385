"""What grew between the rounds: each spot held against itself, and how many spots of the boat were read twice."""

from __future__ import annotations

import math
import statistics
from collections import defaultdict
from collections.abc import Hashable, Iterable, Mapping, Sequence

from inspect_tui.domain.book import Book
from inspect_tui.domain.reading_records import LengthReading, PitReading, Reading, ThicknessReading
from inspect_tui.domain.walk import position_words
from inspect_tui.engineering.metal.spot_growth import SpotGrowth, SpotReading, What
from inspect_tui.engineering.metal.ultrasound import repeat_error_mm
from inspect_tui.judgement.metal.readings_of_metal import THICKNESS_ERROR_MM, error_of, metal_mm

# Of a rule held along a crack.
CRACK_ERROR_MM = 1.0
NOWHERE = (None,) * 5


def spot_of(reading: Reading) -> Hashable | None:
    """What makes two readings those of one spot: the finding, the square of a plan, the member and its part, or the
    place; None where nobody can say."""
    kind = reading.kind
    if isinstance(reading, PitReading) and reading.plan is not None:
        return kind, reading.plan, reading.square
    if reading.finding is not None:
        part = reading.part if isinstance(reading, ThicknessReading) else None
        return kind, reading.finding, part
    at = reading.position
    place = (at.frame, at.offset_mm, at.side, at.girth_mm, at.face)
    return None if place == NOWHERE else (kind, reading.compartment, reading.member, *place)


def spots_of(readings: Iterable[Reading]) -> dict[Hashable, list[Reading]]:
    """Readings by the spot they were taken at."""
    spots: dict[Hashable, list[Reading]] = defaultdict(list)
    for reading in readings:
        spot = spot_of(reading)
        if spot is not None:
            spots[spot].append(reading)
    return spots


def read_twice(book: Book, readings: Iterable[Reading]) -> int:
    """How many spots were read in more than one round."""
    return sum(
        len({one.round for one in those if one.round in book.rounds}) > 1 for those in spots_of(readings).values()
    )


def growth_of(readings: Sequence[Reading], numbers: Mapping[str, int], spots: int) -> SpotGrowth | None:
    """Of one spot over its rounds; None if it was read in one alone. The deepest pit, the mean thickness or the
    longest length of each round counts."""
    by_round: dict[int, list[Reading]] = defaultdict(list)
    for one in readings:
        by_round[numbers.get(one.round, 0)].append(one)
    told: list[SpotReading] = []
    for _, those in sorted(by_round.items()):
        gone = gone_of(those)
        if gone is not None and (not told or gone.day > told[-1].day):
            told.append(gone)
    if len(told) < 2:
        return None
    newest = readings[-1]
    what: What = "deeper" if newest.kind == "pits" else "thinner" if newest.kind == "thickness" else "longer"
    return SpotGrowth(tuple(told), what, max(spots, 1), _where(newest))


def _where(reading: Reading) -> str:
    if reading.finding is not None:
        return ""
    if isinstance(reading, PitReading) and reading.plan is not None:
        return f"square {reading.square}"
    return position_words(reading.position)


def gone_of(readings: Sequence[Reading]) -> SpotReading | None:
    """What is gone at a spot in one round [mm]."""
    day = max(one.when for one in readings).date()
    pits = [one for one in readings if isinstance(one, PitReading) and one.depths_mm]
    if pits:
        deepest = max(pits, key=lambda one: max(one.depths_mm))
        return SpotReading(day, max(deepest.depths_mm), error_of(deepest, repeat_error_mm))
    gauged = [(one, metal_mm(one)) for one in readings if isinstance(one, ThicknessReading) and metal_mm(one)]
    if gauged:
        errors = [_error(one) for one, _ in gauged]
        return SpotReading(day, -statistics.fmean(value for _, values in gauged for value in values), max(errors))
    lengths = [one for one in readings if isinstance(one, LengthReading) and one.length_mm]
    if lengths:
        errors = [CRACK_ERROR_MM if one.instrument_error is None else one.instrument_error for one in lengths]
        return SpotReading(day, max(value for one in lengths for value in one.length_mm), max(errors))
    return None


# So many readings again take the place of one that was read wrong.
AGAIN = 2


def set_aside(readings: Sequence[Reading]) -> frozenset[str]:
    """Readings of thickness that were read wrong: metal does not grow back, so that a spot's thinnest stands until it
    was read twice again, on its chalk, on bright metal, by gauges as good, thicker beyond both errors."""
    aside: set[str] = set()
    if not any(isinstance(one, ThicknessReading) and one.chalk_seen for one in readings):
        return frozenset()
    for those in spots_of(one for one in readings if isinstance(one, ThicknessReading)).values():
        gauged = [one for one in those if isinstance(one, ThicknessReading) and metal_mm(one)]
        for thin in gauged:
            error = _error(thin)
            again = [
                one
                for one in gauged
                if one.when > thin.when and one.chalk_seen and one.clean_metal and _error(one) <= error
                and min(metal_mm(one)) - min(metal_mm(thin)) > math.hypot(error, _error(one))
            ]  # fmt: skip
            if len(again) >= AGAIN:
                aside.add(thin.id)
    return frozenset(aside)


def _error(reading: ThicknessReading) -> float:
    return THICKNESS_ERROR_MM if reading.instrument_error is None else reading.instrument_error
