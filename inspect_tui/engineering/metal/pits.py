"""What a square of pits is: how many, how deep, how dense; the chart classes of ASTM G46."""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from inspect_tui.engineering.working import Seen, Source, Step, Working, shown
from inspect_tui.errors import CannotCalculate

G46 = Source("ASTM G46-94: report deepest, mean and mean of the ten deepest", Seen.SECOND_HAND)
G46_CHART = Source(
    "ASTM G46-94 rating chart; the nearest picture by ratio is our rounding, the standard matches by eye. The "
    "current edition, G46-21, was not compared",
    Seen.MEMORY,
)
# Pits per m², openings in mm², depths in mm, of chart pictures 1 to 5.
DENSITY_CHART = (2.5e3, 1e4, 5e4, 1e5, 5e5)
OPENING_CHART = (0.5, 2.0, 8.0, 12.5, 24.5)
DEPTH_CHART = (0.4, 0.8, 1.6, 3.2, 6.4)


@dataclass(frozen=True)
class Pits:
    """Depths in mm, area in m², density in pits per m², spacing in mm."""

    count: int
    deepest_mm: float
    mean_mm: float
    ten_deepest_mm: float
    area_m2: float | None = None
    density_per_m2: float | None = None
    spacing_mm: float | None = None


def describe(depths_mm: Sequence[float], area_m2: float | None = None) -> Pits:
    """Count, deepest, mean, mean of the ten deepest (of all, if fewer), and with an area density and mean spacing.

    Parameters
    ----------
    depths_mm : of all pits [mm], at least one
    area_m2 : of the square they lie in [m²]

    Notes
    -----
    Spacing is that of a square grid with as many pits, √(area / count): a measure of ours for clustered or scattered.

    Examples
    --------
    >>> told = describe([3.1, 0.8, 2.4, 1.2, 1.9], 0.09)
    >>> told.count, told.deepest_mm, round(told.mean_mm, 2), round(told.spacing_mm)
    (5, 3.1, 1.88, 134)
    """
    if not depths_mm:
        raise CannotCalculate("No depth was given.")
    if any(not math.isfinite(depth) or depth < 0 for depth in depths_mm):
        raise CannotCalculate("A depth must be a number of mm, not below 0.")
    if area_m2 is not None and area_m2 <= 0:
        raise CannotCalculate("The square needs a size in m².")
    ten = sorted(depths_mm, reverse=True)[:10]
    count = len(depths_mm)
    return Pits(
        count,
        ten[0],
        statistics.fmean(depths_mm),
        statistics.fmean(ten),
        area_m2,
        None if area_m2 is None else count / area_m2,
        None if area_m2 is None else 1000 * math.sqrt(area_m2 / count),
    )


def chart_class(value: float, chart: Sequence[float]) -> int:
    """Nearest picture, 1 to 5, of a G46 chart, by ratio: our rounding; the chart is meant to be matched by eye.

    Examples
    --------
    The example in the standard's text, A-3, B-2, C-3 (from memory):

    >>> chart_class(5e4, DENSITY_CHART), chart_class(2.0, OPENING_CHART), chart_class(1.6, DEPTH_CHART)
    (3, 2, 3)
    """
    if value <= 0:
        raise CannotCalculate("Nothing there: no picture of the chart fits.")
    return min(range(5), key=lambda i: abs(math.log(value / chart[i]))) + 1


def pitted_area_percent(openings_mm2: Sequence[float], area_m2: float) -> float:
    """Share of the surface that is pit [%], from the openings of all pits [mm²] in an area [m²].

    >>> pitted_area_percent([2.0, 8.0, 12.5], 0.0025)
    0.9
    """
    share = 100 * sum(openings_mm2) / (area_m2 * 1e6)
    if share > 100:
        raise CannotCalculate("The openings add up to more than the area they lie in: check both.")
    return share


def pitting_factor(deepest_mm: float, mean_loss_mm: float, error_mm: float = 0.1) -> float:
    """Deepest penetration over mean penetration [-]; 1 is even wastage.

    Parameters
    ----------
    deepest_mm : deepest pit, from the surface as built [mm]
    mean_loss_mm : mean loss of thickness [mm]; in ASTM G46 it is from mass loss, a gauged loss is our substitute
    error_mm : of the mean loss [mm]; a loss no larger makes the factor meaningless

    Raises
    ------
    CannotCalculate : the mean loss is not above its error, as on passive aluminium.

    >>> pitting_factor(3.0, 0.6)
    5.0
    """
    if mean_loss_mm <= error_mm:
        raise CannotCalculate(
            f"The plate lost {mean_loss_mm:g} mm on average, no more than the ± {error_mm:g} mm of the gauge: a "
            "pitting factor means nothing here."
        )
    return deepest_mm / mean_loss_mm


def pitting_probability_percent(pitted: int, patches: int) -> float:
    """Squares with a pit among all squares [%] (ASTM G46, from memory).

    >>> pitting_probability_percent(9, 12)
    75.0
    """
    if not 0 <= pitted <= patches or patches == 0:
        raise CannotCalculate("There cannot be more squares with a pit than squares in all.")
    return 100 * pitted / patches


def pits_working(told: Pits, plate_mm: float | None = None) -> Working:
    steps = [
        Step(
            "mean of the ten deepest",
            "Σx/n",
            f"n = {min(told.count, 10)}",
            f"{told.ten_deepest_mm:.2f} mm",
            G46,
        ),
        Step(
            "depth class",
            "nearest of 0.4 0.8 1.6 3.2 6.4 mm",
            f"{told.deepest_mm:g} mm",
            f"C-{chart_class(told.deepest_mm, DEPTH_CHART)}" if told.deepest_mm else "none",
            G46_CHART,
        ),
    ]
    if told.density_per_m2 is not None and told.area_m2 is not None and told.spacing_mm is not None:
        steps += [
            Step(
                "density",
                "n / A",
                f"{told.count} / {shown(told.area_m2)} m²",
                f"{shown(told.density_per_m2)} per m²",
                G46,
            ),
            Step(
                "density class",
                "nearest of the chart's pictures",
                f"{shown(told.density_per_m2)} per m²",
                f"A-{chart_class(told.density_per_m2, DENSITY_CHART)}",
                G46_CHART,
            ),
            Step(
                "mean spacing",
                "√(A/n)",
                f"√({shown(told.area_m2)} m² / {told.count})",
                f"{told.spacing_mm:.0f} mm",
                Source("square grid of as many pits", Seen.JUDGEMENT),
            ),
        ]
    if plate_mm is not None:
        steps.append(
            Step(
                "left under the deepest",
                "t - x",
                f"{plate_mm:g} - {told.deepest_mm:g}",
                f"{plate_mm - told.deepest_mm:.2f} mm",
                Source("", Seen.DERIVED),
            )
        )
    return Working(
        (("pits", f"{told.count}, deepest {told.deepest_mm:g} mm, mean {told.mean_mm:.2f} mm"),),
        tuple(steps),
        ("Depths are from the surface beside the pit: if that has thinned too, more metal is gone.",),
    )
