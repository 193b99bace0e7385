"""Is the tail of the deepest pits Gumbel at all? The generalised extreme value distribution as a warning."""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from inspect_tui.engineering.metal.gumbel import EULER, _check_spread
from inspect_tui.engineering.metal.likelihood import Sample, log_likelihood, maximum_likelihood
from inspect_tui.engineering.numeric import Matrix, curvature, inverse, smallest
from inspect_tui.errors import CannotCalculate

FEWEST = 10


@dataclass(frozen=True)
class GevFit:
    """Location and scale [mm], shape ξ [-] (0 is Gumbel), covariance of the three, log-likelihood."""

    location_mm: float
    scale_mm: float
    shape: float
    covariance: Matrix
    log_likelihood: float


def fit_gev(depths_mm: Sequence[float]) -> GevFit:
    """Maximum likelihood, started from the moments; the shape is kept within ±1.

    Parameters
    ----------
    depths_mm : deepest pit of each square [mm], at least 10 for the result to mean anything

    References
    ----------
    Coles 2001, section 3.3; the tests reproduce its example.
    """
    _check_spread(depths_mm)
    spread = statistics.stdev(depths_mm)
    scale = spread * math.sqrt(6) / math.pi

    def minus(at: Sequence[float]) -> float:
        return -_log_likelihood(depths_mm, at[0], at[1], at[2])

    start = [statistics.fmean(depths_mm) - EULER * scale, scale, 0.01]
    best, least = smallest(minus, start, [spread / 4, scale / 4, 0.1])
    covariance = inverse(curvature(minus, best, [1e-4 * spread, 1e-4 * spread, 1e-3]))
    return GevFit(best[0], best[1], best[2], covariance, -least)


def _log_likelihood(depths_mm: Sequence[float], location: float, scale: float, shape: float) -> float:
    if scale <= 0 or abs(shape) > 1:
        return -1e10
    total = -len(depths_mm) * math.log(scale)
    for depth in depths_mm:
        z = (depth - location) / scale
        if abs(shape) < 1e-8:
            total -= z + math.exp(min(-z, 690))
            continue
        grown = 1 + shape * z
        if grown <= 0:
            return -1e10
        log_grown = math.log(grown)
        total -= (1 + 1 / shape) * log_grown + math.exp(min(-log_grown / shape, 690))
    return total


@dataclass(frozen=True)
class TailCheck:
    """Likelihood-ratio test of ξ = 0: shape and deviance [-], and how often chance alone gives as much [0..1]."""

    shape: float
    deviance: float
    p_value: float

    @property
    def doubtful(self) -> bool:
        return self.p_value < 0.05


def tail_check(sample: Sample) -> TailCheck | None:
    """Whether the depths speak against a Gumbel tail; None with fewer than 10, where the test sees nothing, and where
    squares without a pit or holed would raise a false alarm.

    The deviance 2(l_GEV - l_Gumbel) is compared with chi-squared of one degree of freedom (Coles 2001).
    """
    if len(sample.depths_mm) < FEWEST or not sample.complete:
        return None
    try:
        general = fit_gev(sample.depths_mm)
    except CannotCalculate:
        return None
    gumbel = maximum_likelihood(sample)
    plain = log_likelihood(sample, gumbel.location_mm, gumbel.scale_mm)
    deviance = max(2 * (general.log_likelihood - plain), 0.0)
    return TailCheck(general.shape, deviance, math.erfc(math.sqrt(deviance / 2)))
