"""How much metal is left, against what, and what the instrument may have got wrong."""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from inspect_tui.engineering.working import Seen, Source, Step, Working, shown
from inspect_tui.errors import CannotCalculate

# Velocities and the echo of paint: tables and manuals of gauge makers (read); temperature: manual
# DMTA-10004-01EN, 10.7, for steel (read).
STEEL_SETTING_M_S = 5920.0
ALUMINIUM_M_S = 6320.0
PAINT_M_S = 2500.0
STEEL_GAUGE_M_S = 5900.0
# Readings that look like a steel setting lie this close to the ratio of the velocities, and to one another.
STEEL_SETTING_BAND = 0.015
THINNEST_GAUGED_MM = 1.0

SUBTRACTION = Source("", Seen.DERIVED)


@dataclass(frozen=True)
class Loss:
    """Thickness against its baseline: mm, and % of the baseline. `warnings` say what makes it doubtful."""

    baseline_mm: float
    baseline_from: str
    left_mm: float
    thinnest_mm: float
    loss_mm: float
    loss_percent: float
    error_mm: float
    count: int
    warnings: tuple[str, ...]

    @property
    def measurable(self) -> bool:
        """Whether the loss is larger than what the instrument may be wrong by."""
        return self.loss_mm > self.error_mm


def metal_loss(
    thickness_mm: Sequence[float],
    baseline_mm: float,
    *,
    baseline_from: str = "guess",
    error_mm: float = 0.1,
    aluminium: bool = False,
) -> Loss:
    """Mean loss of a plate, from readings between the pits, against what it was as built.

    Parameters
    ----------
    thickness_mm : readings [mm], at least one
    baseline_mm : as built [mm]
    baseline_from : how that is known: "drawing", "caliper at a cut edge", "same plate, at a sound spot", "guess"
    error_mm : of one reading [mm]; it is the instrument's, so a mean carries all of it
    aluminium : look for a gauge left on its steel setting

    Raises
    ------
    CannotCalculate : no reading, one that is no thickness, or one that cannot be this plate (over twice as thick).

    Examples
    --------
    >>> loss = metal_loss([5.4, 5.2, 5.3], 6.0, baseline_from="caliper at a cut edge")
    >>> round(loss.loss_mm, 2), round(loss.loss_percent, 1)
    (0.7, 11.7)
    """
    if not thickness_mm:
        raise CannotCalculate("No thickness was given.")
    if not math.isfinite(baseline_mm) or baseline_mm <= 0:
        raise CannotCalculate("The plate as built needs a thickness above 0.")
    if error_mm < 0:
        raise CannotCalculate("An instrument's error cannot be below 0.")
    for reading in thickness_mm:
        if not math.isfinite(reading) or reading <= 0:
            raise CannotCalculate(f"{reading:g} mm is not a thickness.")
        if reading > 2 * baseline_mm:
            raise CannotCalculate(
                f"{reading:g} mm cannot be a plate of {baseline_mm:g} mm: a decimal mark missing, or another plate?"
            )
    mean = statistics.fmean(thickness_mm)
    loss = baseline_mm - mean
    return Loss(
        baseline_mm,
        baseline_from,
        mean,
        min(thickness_mm),
        loss,
        100 * loss / baseline_mm,
        error_mm,
        len(thickness_mm),
        tuple(_doubts(thickness_mm, baseline_mm, baseline_from, error_mm, aluminium)),
    )


def _doubts(
    thickness_mm: Sequence[float], baseline_mm: float, baseline_from: str, error_mm: float, aluminium: bool
) -> list[str]:
    told = []
    if max(thickness_mm) > baseline_mm + error_mm:
        told.append(
            f"{max(thickness_mm):g} mm is more than the {baseline_mm:g} mm as built: the plate was thicker, or "
            "the gauge counts paint or is set wrong. New plate may be 8.5 to 14 % over nominal (TB 55-1900, steel)."
        )
    if baseline_from in ("drawing", "guess"):
        told.append(
            f"The thickness as built is from a {baseline_from}: the plate may have been thicker, and then more is "
            "gone than shown."
        )
    if aluminium and looks_like_steel_setting(thickness_mm, baseline_mm):
        told.append(
            "All readings are even and about 6.3 % low: a gauge left on its steel setting does that. Check it "
            "on a piece of known thickness."
        )
    if min(thickness_mm) < THINNEST_GAUGED_MM:
        told.append(f"Below {THINNEST_GAUGED_MM:g} mm most gauges read wrong (from memory): check with a caliper.")
    mean = statistics.fmean(thickness_mm)
    squares = sum((reading - mean) ** 2 for reading in thickness_mm)
    if len(thickness_mm) > 1 and math.sqrt(squares / (len(thickness_mm) - 1)) > 0.1 * mean:
        told.append("The readings differ by more than 10 %: a mean hides it; gauge a grid (API 579 part 4, quoted).")
    return told


def looks_like_steel_setting(thickness_mm: Sequence[float], baseline_mm: float) -> bool:
    """Whether aluminium was gauged with the velocity of steel: all readings even, and 6.3 % low.

    >>> looks_like_steel_setting([5.62, 5.63, 5.61], 6.0), looks_like_steel_setting([5.6, 5.2, 5.9], 6.0)
    (True, False)
    """
    ratios = [reading / baseline_mm for reading in thickness_mm]
    wrong = STEEL_SETTING_M_S / ALUMINIUM_M_S
    return (
        len(ratios) >= 3
        and abs(statistics.fmean(ratios) - wrong) < STEEL_SETTING_BAND
        and max(ratios) - min(ratios) < STEEL_SETTING_BAND
    )


def at_velocity(reading_mm: float, set_m_s: float, true_m_s: float) -> float:
    """Thickness [mm] of a reading taken with the wrong velocity set: t·v_true/v_set.

    Aluminium gauged on the steel setting reads 6.3 % low:

    >>> round(at_velocity(5.62, 5920, 6320), 2)
    6.0
    """
    if set_m_s <= 0 or true_m_s <= 0:
        raise CannotCalculate("A velocity must be above 0, in m/s.")
    return reading_mm * true_m_s / set_m_s


def through_paint(reading_mm: float, paint_mm: float, set_m_s: float = STEEL_GAUGE_M_S) -> float:
    """Thickness [mm] of metal under paint, from a single-echo reading: t - paint·v_set/v_paint.

    Notes
    -----
    1 mm of paint reads as 2.36 mm with a gauge set for steel; the text that gives the velocities says 2.35.

    >>> round(through_paint(8.36, 1.0), 2)
    6.0
    """
    left = reading_mm - paint_mm * set_m_s / PAINT_M_S
    if left <= 0:
        raise CannotCalculate("The paint would be all of the reading: check its thickness, or gauge echo to echo.")
    return left


def loss_working(loss: Loss) -> Working:
    return Working(
        (
            ("as built", f"{loss.baseline_mm:g} mm, {loss.baseline_from}"),
            ("readings", f"{loss.count}, mean {loss.left_mm:.2f} mm, thinnest {shown(loss.thinnest_mm)} mm"),
            ("instrument", f"± {loss.error_mm:g} mm, applied in full: averaging does not reduce it"),
        ),
        (
            Step(
                "loss",
                "t₀ - t",
                f"{loss.baseline_mm:g} - {shown(loss.left_mm)}",
                f"{loss.loss_mm:.2f} ± {loss.error_mm:g} mm",
                SUBTRACTION,
            ),
            Step(
                "share",
                "100·loss/t₀",
                f"100 × {loss.loss_mm:.2f} / {loss.baseline_mm:g}",
                f"{loss.loss_percent:.1f} %",
                SUBTRACTION,
            ),
        ),
        ("Gauged thickness holds between the pits and at the spots where it was taken.",),
        loss.warnings,
    )
