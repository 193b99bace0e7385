"""Fitting a Gumbel distribution by maximum likelihood, with squares that had no pit or were holed through.

A square without a pit says only that its deepest is below what the gauge sees (left-censored); a holed square says
only that it is at least the plate (right-censored). With u = exp(λ/α) the likelihood of m measured depths, L squares
below c and R holes through plate t is

    α^-m · exp(-Σx/α) · u^m · exp(-u·S(α)) · (1 - exp(-u·w(α)))^R,   S = Σexp(-x/α) + L·exp(-c/α),  w = exp(-t/α)
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from inspect_tui.engineering.metal.gumbel import E2283, GumbelFit, _check_spread
from inspect_tui.engineering.numeric import curvature, inverse, root
from inspect_tui.engineering.working import Seen, Source
from inspect_tui.errors import CannotCalculate

CENSORED = Source("likelihood of a censored sample (standard statistics)", Seen.DERIVED)
# Of the inverse information matrix of one Gumbel observation, in units of α².
LOCATION_VARIANCE, COVARIANCE, SCALE_VARIANCE = 1.10866, 0.25702, 0.60793


@dataclass(frozen=True)
class Sample:
    """What the squares said: depths of those that had a pit, and how many had none or a hole.

    All depths in mm; `smallest_mm` is what the gauge can still see, `plate_mm` the depth that counts as a hole.
    """

    depths_mm: tuple[float, ...]
    not_found: int = 0
    holed: int = 0
    smallest_mm: float = 0.1
    plate_mm: float = math.inf

    @property
    def count(self) -> int:
        return len(self.depths_mm) + self.not_found + self.holed

    @property
    def complete(self) -> bool:
        return not self.not_found and not self.holed


@dataclass(frozen=True)
class Terms:
    """Sums of the likelihood at one α; depths counted from `origin_mm`, so that no exponential overflows."""

    scale_mm: float
    sum_exp: float
    sum_x_exp: float
    hole: float


def origin_mm(sample: Sample) -> float:
    """The least depth of the sample."""
    least = min(sample.depths_mm)
    return min(least, sample.smallest_mm) if sample.not_found else least


def terms(sample: Sample, scale_mm: float) -> Terms:
    origin = origin_mm(sample)
    sum_exp = sum_x_exp = 0.0
    for depth in sample.depths_mm:
        x = depth - origin
        weight = math.exp(-x / scale_mm)
        sum_exp += weight
        sum_x_exp += x * weight
    if sample.not_found:
        x = sample.smallest_mm - origin
        weight = sample.not_found * math.exp(-x / scale_mm)
        sum_exp += weight
        sum_x_exp += x * weight
    hole = math.exp(-(sample.plate_mm - origin) / scale_mm) if sample.holed else 0.0
    return Terms(scale_mm, sum_exp, sum_x_exp, hole)


def best_u(sample: Sample, at: Terms) -> float:
    """The u = exp((λ - origin)/α) of greatest likelihood for one α."""
    measured = len(sample.depths_mm)
    if not sample.holed or at.hole == 0.0:
        return (measured + sample.holed) / at.sum_exp

    def slope(log_u: float) -> float:
        u = math.exp(log_u)
        return measured - u * at.sum_exp + sample.holed * _hole_pull(u * at.hole)

    low = math.log(measured / at.sum_exp)
    return math.exp(root(slope, low, math.log((measured + sample.holed) / at.sum_exp) + 1e-9))


def _hole_pull(x: float) -> float:
    """x / (exp(x) - 1), which is 1 at 0."""
    return x / math.expm1(x) if 1e-12 < x < 700 else 1.0 if x <= 1e-12 else 0.0


def log_likelihood(sample: Sample, location_mm: float, scale_mm: float) -> float:
    """Natural logarithm of the likelihood [-] of location and scale.

    Examples
    --------
    >>> round(log_likelihood(Sample((1.0, 2.0)), 1.2, 0.5), 4)
    -1.5074
    """
    total = 0.0
    for depth in sample.depths_mm:
        z = (depth - location_mm) / scale_mm
        total -= math.log(scale_mm) + z + math.exp(-z)
    if sample.not_found:
        total -= sample.not_found * math.exp(-(sample.smallest_mm - location_mm) / scale_mm)
    if sample.holed:
        reach = math.exp(-(sample.plate_mm - location_mm) / scale_mm)
        total += sample.holed * math.log(-math.expm1(-reach))
    return total


def maximum_likelihood(sample: Sample) -> GumbelFit:
    """Location and scale of greatest likelihood.

    Standard errors of a complete sample from the expected information (the constants 1.109, 0.514 and 0.608 of
    ASTM E2283), of a censored one from the curvature of its likelihood.

    Raises
    ------
    CannotCalculate : fewer than two different depths were measured.

    Examples
    --------
    >>> fit = maximum_likelihood(Sample((1.2, 1.9, 2.4, 0.8, 3.1)))
    >>> round(fit.location_mm, 3), round(fit.scale_mm, 3)
    (1.476, 0.708)
    """
    _check_spread(sample.depths_mm)
    origin = origin_mm(sample)
    measured = len(sample.depths_mm)
    total = sum(sample.depths_mm) - measured * origin

    def slope(log_scale: float) -> float:
        scale = math.exp(log_scale)
        at = terms(sample, scale)
        u = best_u(sample, at)
        pull = sample.holed * _hole_pull(u * at.hole) * (sample.plate_mm - origin) if sample.holed else 0.0
        return total - measured * scale - u * at.sum_x_exp + pull

    widest = max(sample.depths_mm) - min(sample.depths_mm)
    low, high = math.log(widest / 200), math.log(widest * 20 + (sample.plate_mm if sample.holed else 0.0))
    try:
        scale = math.exp(root(slope, low, high, 1e-11))
    except CannotCalculate:
        raise CannotCalculate(
            "The depths do not fit any Gumbel distribution: too few squares with a depth beside those without."
        ) from None
    at = terms(sample, scale)
    location = origin + scale * math.log(best_u(sample, at))
    if sample.complete:
        unit = scale**2 / sample.count
        variances = (LOCATION_VARIANCE * unit, COVARIANCE * unit, SCALE_VARIANCE * unit)
        return GumbelFit(location, scale, "ml", *variances, sample.count, E2283)
    return GumbelFit(location, scale, "ml", *_observed(sample, location, scale), sample.count, CENSORED)


def _observed(sample: Sample, location: float, scale: float) -> tuple[float, float, float]:
    step = 1e-4 * scale
    minus: Callable[[Sequence[float]], float] = lambda at: -log_likelihood(sample, at[0], at[1])  # noqa: E731
    variances = inverse(curvature(minus, [location, scale], [step, step]))
    return variances[0][0], variances[0][1], variances[1][1]
