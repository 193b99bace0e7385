"""The Gumbel distribution of largest values: the deepest pit in each of many equal squares.

F(x) = exp(-exp(-(x - λ)/α)), with location λ [mm] and scale α [mm]. The deepest of T squares follows the same
distribution, moved by α ln T: that is what lets a few squares speak for a whole plate.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from inspect_tui.engineering.metal.mvlue_table import MVLUE
from inspect_tui.engineering.working import Seen, Source
from inspect_tui.errors import CannotCalculate

EULER = 0.577215664901533

SHIBATA = Source("T. Shibata, J. Res. NIST 99 (1994) 327: extreme value statistics of pits", Seen.MEMORY)
E2283 = Source(
    "ASTM E2283, extreme values of inclusions", Seen.SECOND_HAND, "the same statistics, used for pits here"
)
LIEBLEIN = Source("J. Lieblein, NBSIR 74-602, Table 1 (coefficients recomputed here)", Seen.SECOND_HAND)
WANG = Source("J. Wang, PVP2006-ICPVT-11-93702", Seen.SECOND_HAND)
MAX_STABLE = Source("the largest of T Gumbel values is Gumbel again", Seen.DERIVED)


@dataclass(frozen=True)
class GumbelFit:
    """Location and scale [mm], how they were found, and their variances and covariance [mm²]."""

    location_mm: float
    scale_mm: float
    method: str
    location_variance_mm2: float
    covariance_mm2: float
    scale_variance_mm2: float
    count: int
    source: Source

    def standard_error_mm(self, variate: float) -> float:
        """Of λ + α·variate."""
        return math.sqrt(
            self.location_variance_mm2 + 2 * variate * self.covariance_mm2 + variate**2 * self.scale_variance_mm2
        )


def reduced_variate(patches: float) -> float:
    """y = -ln(-ln(1 - 1/T)) [-] of the depth reached on average once in T squares.

    Parameters
    ----------
    squares : T, whole area / square area [-], > 1

    Examples
    --------
    T = 18 and T = 100, an identity.

    >>> round(reduced_variate(18), 5), round(reduced_variate(100), 5)
    (2.86193, 4.60015)
    """
    if patches <= 1:
        raise CannotCalculate("The whole area must be larger than one square.")
    return -math.log(-math.log1p(-1 / patches))


def return_level(location_mm: float, scale_mm: float, patches: float) -> float:
    """Depth [mm] that the deepest pit of one square reaches on average once in `squares` equal squares: λ + α·y(T).

    Parameters
    ----------
    location_mm, scale_mm : of the deepest pit per square [mm]
    squares : T, whole area / square area [-], > 1

    Notes
    -----
    Holds where one process made all pits, in squares chosen without looking. Source: ASTM E2283 (quoted by another
    document), Shibata 1994.

    Examples
    --------
    >>> round(return_level(43.0562, 14.9813, 1000), 2)
    146.54
    """
    return location_mm + scale_mm * reduced_variate(patches)


def hole_probability(location_mm: float, scale_mm: float, plate_mm: float, patches: float) -> float:
    """Chance [0..1] that in `squares` equal squares at least one pit is as deep as the plate is thick.

    1 - exp(-T exp(-(t - λ)/α)), with the fitted location and scale taken as if they were exact.

    Examples
    --------
    >>> round(hole_probability(2.0, 0.5, 5.0, 50), 4)
    0.1166
    """
    # Below -700 the exponential is past all floating numbers; the chance is 1 long before.
    return -math.expm1(-patches * math.exp(min(-(plate_mm - location_mm) / scale_mm, 700)))


def moments(depths_mm: Sequence[float]) -> GumbelFit:
    """Fit by mean and standard deviation (n - 1): α = s√6/π, λ = mean - 0.5772 α.

    Variances by the delta method from the skewness (1.1395) and kurtosis (5.4) of the Gumbel distribution.

    Examples
    --------
    >>> fit = moments([1.2, 1.9, 2.4, 0.8, 3.1])
    >>> round(fit.location_mm, 3), round(fit.scale_mm, 3)
    (1.466, 0.718)
    """
    _check_spread(depths_mm)
    count = len(depths_mm)
    scale = statistics.stdev(depths_mm) * math.sqrt(6) / math.pi
    location = statistics.fmean(depths_mm) - EULER * scale
    unit = scale**2 / count
    mean, both, own = math.pi**2 / 6, 0.73077, 1.1
    return GumbelFit(
        location,
        scale,
        "moments",
        unit * (mean - 2 * EULER * both + EULER**2 * own),
        unit * (both - EULER * own),
        unit * own,
        count,
        E2283,
    )


def mvlue(depths_mm: Sequence[float]) -> GumbelFit:
    """Minimum-variance linear unbiased estimate for 2 to 16 squares: λ = Σ aᵢx₍ᵢ₎, α = Σ bᵢx₍ᵢ₎, ascending.

    Raises
    ------
    CannotCalculate : fewer than 2 or more than 16 depths, or all of them equal.

    References
    ----------
    J. Lieblein, NBSIR 74-602, Table 1 (quoted by another document). The coefficients here are computed from the
    moments of order statistics; one printed copy has a₂ = 0.119134 for N = 15, where theory gives 0.119314.
    """
    _check_spread(depths_mm)
    if len(depths_mm) not in MVLUE:
        raise CannotCalculate(f"The linear fit is tabulated for 2 to 16 squares, not for {len(depths_mm)}.")
    table = MVLUE[len(depths_mm)]
    ordered = sorted(depths_mm)
    location = sum(a * x for a, x in zip(table.location, ordered, strict=True))
    scale = sum(b * x for b, x in zip(table.scale, ordered, strict=True))
    unit = scale**2
    return GumbelFit(
        location,
        scale,
        "mvlue",
        unit * table.location_variance,
        unit * table.covariance,
        unit * table.scale_variance,
        len(depths_mm),
        LIEBLEIN,
    )


def _check_spread(depths_mm: Sequence[float]) -> None:
    if len(depths_mm) < 2:
        raise CannotCalculate("One depth has no spread: measure more squares.")
    if max(depths_mm) == min(depths_mm):
        raise CannotCalculate(
            "All depths are equal: no spread can be read from them. Check the gauge, or measure to 0.1 mm."
        )


@dataclass(frozen=True)
class PlottedPit:
    """One point of the probability plot."""

    depth_mm: float
    probability: float
    variate: float


def plotted(depths_mm: Sequence[float], not_found: int = 0, holed: int = 0) -> list[PlottedPit]:
    """Points of the probability plot: depth against y = -ln(-ln(i/(N+1))); squares without a pit take the lowest
    ranks and holed ones the highest, undrawn.

    Examples
    --------
    >>> [round(point.probability, 2) for point in plotted([3.1, 1.2, 2.4])]
    [0.25, 0.5, 0.75]
    """
    whole = len(depths_mm) + not_found + holed + 1
    points = []
    for rank, depth in enumerate(sorted(depths_mm), not_found + 1):
        share = rank / whole
        points.append(PlottedPit(depth, share, -math.log(-math.log(share))))
    return points
