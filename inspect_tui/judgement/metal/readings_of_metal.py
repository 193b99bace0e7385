"""What one reading of metal says: its error, and the metal without the paint on it."""

from __future__ import annotations

from collections.abc import Callable

from inspect_tui.domain.reading_records import PitReading, ThicknessReading
from inspect_tui.engineering.metal.metal_loss import STEEL_GAUGE_M_S, through_paint
from inspect_tui.engineering.metal.ultrasound import pit_error_mm
from inspect_tui.errors import CannotCalculate

THICKNESS_ERROR_MM = 0.1
# Of a needle or bridge gauge in the field, where nobody said.
PIT_ERROR_MM = 0.1
PAINTED = "ultrasonic through paint"


def error_of(reading: PitReading, by_ultrasound: Callable[[float], float] = pit_error_mm) -> float:
    """What its deepest depth may be wrong by [mm]: what was said of the instrument, or of a needle in the field where
    nobody said; by ultrasound in proportion to the depth, and more where more was said."""
    told = PIT_ERROR_MM if reading.instrument_error is None else reading.instrument_error
    if reading.method != "ultrasonic":
        return told
    return max(told, by_ultrasound(min(max(reading.depths_mm, default=0.0), 100.0)))


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
