"""Quantities of a repair: plate mass and filler metal."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from inspect_tui.engineering.working import Seen, Source
from inspect_tui.errors import CannotCalculate

ALUMINIUM_KG_M3 = 2660.0


def plate_mass_kg(area_m2: float, thickness_mm: float, density_kg_m3: float = ALUMINIUM_KG_M3) -> float:
    """Area · thickness · density / 1000 [kg].

    >>> plate_mass_kg(1, 5), plate_mass_kg(1, 5, 7850)
    (13.3, 39.25)
    """
    return area_m2 * thickness_mm * density_kg_m3 / 1000


# Deposited filler of a butt [kg/m] by plate thickness [mm]: square up to 4 mm, 60° vee from 5 mm.
BUTT_CHART = (
    (2.0, 0.01), (3.0, 0.01), (4.0, 0.02), (5.0, 0.04), (6.0, 0.07), (8.0, 0.11), (10.0, 0.15), (12.0, 0.27),
    (19.0, 0.61), (25.0, 1.09),
)  # fmt: skip
BUTT_SOURCE = Source("AlcoTec ALC-10030C, MIG butt welds in aluminium", Seen.READ)
INSERT_SOURCE = Source(
    "IACS Recommendation 47, of which only numbers quoted elsewhere were seen: corner 5 t, at least 100 mm; "
    "insert at least 300 × 300 mm",
    Seen.SECOND_HAND,
    "a rule for steel ships",
)
INSERT_LEAST_MM = 300.0
CORNER_LEAST_MM = 100.0


def butt_filler_kg_per_m(thickness_mm: float) -> float:
    """Deposited filler of one butt weld in aluminium [kg/m], off the chart, straight between its rows.

    For 2 to 25 mm. Wire to buy is more: deposit / efficiency. For steel multiply by the densities' ratio.

    Raises
    ------
    CannotCalculate : a thickness that the chart does not have.

    Examples
    --------
    The chart's own rows, and between them:

    >>> butt_filler_kg_per_m(6), butt_filler_kg_per_m(12), round(butt_filler_kg_per_m(7), 3)
    (0.07, 0.27, 0.09)
    """
    if not BUTT_CHART[0][0] <= thickness_mm <= BUTT_CHART[-1][0]:
        raise CannotCalculate(f"The chart of filler metal goes from 2 to 25 mm, not to {thickness_mm:g} mm.")
    return _between(BUTT_CHART, thickness_mm)


def corner_radius_mm(thickness_mm: float) -> float:
    """Least corner radius of an insert plate [mm]: five times its thickness, and no less than 100 mm.

    >>> corner_radius_mm(6), corner_radius_mm(25)
    (100.0, 125)
    """
    return max(5 * thickness_mm, CORNER_LEAST_MM)


def insert_weld_m(length_mm: float, width_mm: float, radius_mm: float) -> float:
    """Length of the weld round an insert plate [m]: perimeter less 8R − 2πR saved at the corners.

    >>> round(insert_weld_m(400, 300, 100), 3)
    1.228
    """
    return (2 * (length_mm + width_mm) - (8 - 2 * math.pi) * radius_mm) / 1000


def _between(chart: Sequence[tuple[float, float]], at: float) -> float:
    """Straight between the rows of a chart."""
    for (x0, y0), (x1, y1) in pairwise(chart):
        if x0 <= at <= x1:
            return y0 + (y1 - y0) * (at - x0) / (x1 - x0)
    raise CannotCalculate(f"{at} lies outside the chart")
