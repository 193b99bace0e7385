"""The deepest pit in what was not looked at: its whole distribution, for any number of squares.

The Gumbel family has a location and a scale, so what is not known of them can be integrated out: given the pattern
of the sample, the pivot (M - λ̂)/α̂ of the deepest pit M of T more squares has a distribution of its own (Lawless,
Statistical Models and Methods for Lifetime Data, conditional inference; from memory). With the density 1/α over the
scale, which is what makes it exact for a complete sample, the integral over λ is in closed form and

    P(M <= d) = ∫ g(α)·(1 + T·exp(-d/α)/S(α))^-m dα / ∫ g(α) dα,   g = α^-m · exp(-Σx/α) · S(α)^-m

is left: summed here over a grid in ln α. With holes the integral over u = exp(λ/α) is summed too. Where a share q of
the squares had no pit, 1/α makes the bound needlessly deep; the density α^-(1+q) is used then, which was found by
simulation and keeps the coverage of the table in DEVELOPERS.md from 10 to 55 % of squares without a pit.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from inspect_tui.engineering.metal.gumbel import GumbelFit
from inspect_tui.engineering.metal.likelihood import Sample, Terms, best_u, origin_mm, terms
from inspect_tui.engineering.numeric import root
from inspect_tui.engineering.working import Seen, Source
from inspect_tui.errors import CannotCalculate

LAWLESS = Source("conditional inference for location and scale families (J. F. Lawless)", Seen.MEMORY)
NEGLIGIBLE = 30.0
STEPS_PER_WIDTH = 3.0


@dataclass(frozen=True)
class _Node:
    """One point of the grid: its weight, scale, and S(α) (or u, where holes made a second sum needed)."""

    weight: float
    scale_mm: float
    sum_or_u: float


class DeepestUnseen:
    """Distribution of the deepest pit [mm] in `squares` squares that were not looked at.

    Parameters
    ----------
    sample : what the squares looked at said
    fit : the maximum likelihood fit of the same sample; only where to centre the grid is taken from it
    squares : number T of squares not looked at [-], > 0, need not be whole

    Notes
    -----
    Exact coverage for complete samples; tested by simulation for censored ones.
    """

    def __init__(self, sample: Sample, fit: GumbelFit, patches: float) -> None:
        if patches <= 0:
            raise CannotCalculate("no squares are left")
        self._patches = patches
        self._origin = origin_mm(sample)
        self._measured = len(sample.depths_mm)
        self._holed = sample.holed
        self._fit = fit
        nodes = _scale_nodes(sample, fit)
        self._nodes = (
            [point for node in nodes for point in _u_nodes(sample, *node)]
            if sample.holed
            else [_Node(weight, at.scale_mm, at.sum_exp) for weight, at in nodes]
        )
        self._whole = sum(node.weight for node in self._nodes)

    def probability_below(self, depth_mm: float) -> float:
        """Chance [0..1] that no pit there is deeper than `depth_mm`."""
        x, total = depth_mm - self._origin, 0.0
        for node in self._nodes:
            reach = self._patches * math.exp(min(-x / node.scale_mm, 690))
            if self._holed:
                total += node.weight * math.exp(-node.sum_or_u * reach)
            else:
                total += node.weight * (1 + reach / node.sum_or_u) ** -self._measured
        return total / self._whole

    def bound_mm(self, confidence: float) -> float:
        """Depth [mm] that the deepest pit there does not pass, with this confidence [0..1]."""
        fit = self._fit
        middle = fit.location_mm + fit.scale_mm * math.log(self._patches)
        low, high = middle - 3 * fit.scale_mm, middle + 6 * fit.scale_mm
        while self.probability_below(low) > confidence:
            low -= 4 * fit.scale_mm
        while self.probability_below(high) < confidence:
            high += 8 * fit.scale_mm
        return root(lambda depth: self.probability_below(depth) - confidence, low, high, 1e-7)


def _scale_nodes(sample: Sample, fit: GumbelFit) -> list[tuple[float, Terms]]:
    """Weights and likelihood terms on a grid of ln α around the fit, out to where nothing counts any more."""
    width = math.sqrt(max(fit.scale_variance_mm2, 1e-12)) / fit.scale_mm
    step = min(width, 1.0) / STEPS_PER_WIDTH
    total = sum(sample.depths_mm) - len(sample.depths_mm) * origin_mm(sample)
    matching = sample.not_found / sample.count

    def log_weight(at: Terms) -> float:
        measured = len(sample.depths_mm)
        u = best_u(sample, at)
        # The density over ln α: one factor α more than over α.
        told = -(measured - 1 + matching) * math.log(at.scale_mm) - total / at.scale_mm
        if not sample.holed:
            return told - measured * math.log(at.sum_exp)
        return told + measured * math.log(u) - u * at.sum_exp + sample.holed * _log_hole(u * at.hole)

    centre = terms(sample, fit.scale_mm)
    top = log_weight(centre)
    found = [(0.0, centre)]
    for direction in (-1, 1):
        for turn in range(1, 400):
            at = terms(sample, fit.scale_mm * math.exp(direction * turn * step))
            below = log_weight(at) - top
            found.append((below, at))
            if below < -NEGLIGIBLE:
                break
    return [(math.exp(below), at) for below, at in found]


def _log_hole(reach: float) -> float:
    return math.log(-math.expm1(-reach)) if reach > 1e-300 else -690.0


def _u_nodes(sample: Sample, weight: float, at: Terms) -> list[_Node]:
    """The second sum, over ln u, for one α: relative to its greatest value, which `weight` holds already."""
    measured = len(sample.depths_mm)
    best = best_u(sample, at)

    def log_density(log_u: float) -> float:
        u = math.exp(log_u)
        return measured * log_u - u * at.sum_exp + sample.holed * _log_hole(u * at.hole)

    top = log_density(math.log(best))
    step = 1 / math.sqrt(measured + sample.holed) / 2
    nodes = [_Node(weight, at.scale_mm, best)]
    for direction in (-1, 1):
        _march(nodes, log_density, math.log(best), direction * step, top, weight, at.scale_mm)
    return nodes


def _march(
    nodes: list[_Node],
    log_density: Callable[[float], float],
    start: float,
    step: float,
    top: float,
    weight: float,
    scale_mm: float,
) -> None:
    for turn in range(1, 200):
        log_u = start + turn * step
        below = log_density(log_u) - top
        nodes.append(_Node(weight * math.exp(below), scale_mm, math.exp(log_u)))
        if below < -NEGLIGIBLE:
            return
