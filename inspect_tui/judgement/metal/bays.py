"""Strength goes bay by bay where the readings' places allow, else spot by spot: a mean over all hides a thin bay."""

from __future__ import annotations

import math
import statistics
from collections import defaultdict
from collections.abc import Hashable
from dataclasses import dataclass

from inspect_tui.domain.reading_records import ThicknessReading
from inspect_tui.domain.records import PlateField
from inspect_tui.judgement.metal.gathered import Metal
from inspect_tui.judgement.metal.readings_of_metal import metal_mm

# So many readings make a mean; fewer are spots, judged by the thinnest of them. Judgement.
FEWEST_IN_BAY = 3


@dataclass(frozen=True)
class Bay:
    """The thinnest bay or spot of a plate field: where, and the mean of its readings [mm]."""

    where: str
    mean_mm: float


def thinnest_bay(field: PlateField, metal: Metal) -> Bay | None:
    """The bay, or the finding, with the least mean over three readings or more of a round; None if there is none."""
    rounds: dict[tuple[Hashable, str], list[float]] = defaultdict(list)
    for reading in metal.gauged:
        if (bay := _bay_of(field, reading)) is not None:
            rounds[bay, reading.round] += metal_mm(reading)
    enough = [(bay, values) for (bay, _), values in rounds.items() if len(values) >= FEWEST_IN_BAY]
    means = [(statistics.fmean(values), _words(bay)) for bay, values in enough]
    return Bay(min(means)[1], min(means)[0]) if means else None


def _bay_of(field: PlateField, reading: ThicknessReading) -> Hashable | None:
    """Frame to frame, and across in steps of the panel's width; else the finding."""
    at = reading.position
    if at.frame is not None and at.girth_mm is not None and field.panel_width_mm is not None:
        across = math.floor(at.girth_mm / field.panel_width_mm)
        return "bay", math.floor(at.frame), at.side.value if at.side else "", across, field.panel_width_mm
    return None if reading.finding is None else ("no", reading.finding)


def _words(bay: Hashable) -> str:
    assert isinstance(bay, tuple)
    if bay[0] == "no":
        return f"at no. {bay[1]}"
    _, frame, side, across, wide = bay
    aft = f"from frame {frame} to {frame + 1}{' ' + side if side else ''}"
    return f"in the bay {aft}, {across * wide:.0f} to {(across + 1) * wide:.0f} mm out"
