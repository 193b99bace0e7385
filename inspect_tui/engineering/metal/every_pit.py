"""The deepest pit where nobody looked, from every pit of squares drawn by lot: their number and their depths.

Pits are strewn by chance over the squares, and their depths beyond what the gauge can see follow an exponential law.
Neither the number a square nor the mean depth is known: with the density 1/β over the mean and μ^(-1/2) over the
number (Jeffreys) both are integrated out,

    P(deepest <= d) = ∫ (1 + M·exp(-θ·(d - d₀))/n)^-(K + ½) · gamma(θ; K, S) dθ

over θ = 1/β: K pits in n squares, S the sum of their depths beyond d₀, M squares not looked at. Where pits come in
swarms the number is less certain than that; what it does to the bound is small, and stands in DEVELOPERS.md.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from inspect_tui.engineering.numeric import root
from inspect_tui.engineering.working import Seen, Source, Step, shown
from inspect_tui.errors import CannotCalculate

EXPONENTIAL = Source("Poisson number and exponential depth, both uncertain (Jeffreys)", Seen.DERIVED)
FEWEST_PITS = 3
NEGLIGIBLE = 30.0
STEPS_PER_WIDTH = 3.0


@dataclass(frozen=True)
class EveryPit:
    """K `pits` in n `squares`, M = `unseen` squares not looked at; `mean_mm` of the depths beyond `from_mm`, the
    least that can be seen."""

    pits: int
    squares: int
    unseen: float
    from_mm: float
    mean_mm: float
    _nodes: tuple[tuple[float, float], ...]

    def probability_below(self, depth_mm: float) -> float:
        """Chance [0..1] that no pit of the squares not looked at is deeper."""
        if depth_mm < self.from_mm:
            return 0.0
        reach = self.unseen / self.squares
        power = -(self.pits + 0.5)
        return math.fsum(
            weight * (1 + reach * math.exp(-rate * (depth_mm - self.from_mm))) ** power
            for weight, rate in self._nodes
        )

    def bound_mm(self, confidence: float) -> float:
        """Depth [mm] that the deepest pit there does not pass, with this confidence [0..1]."""
        high = self.from_mm + self.mean_mm
        while self.probability_below(high) < confidence:
            high += 4 * self.mean_mm
        if self.probability_below(self.from_mm) >= confidence:
            return self.from_mm
        return root(lambda depth: self.probability_below(depth) - confidence, self.from_mm, high, 1e-6)

    @property
    def number(self) -> float:
        """How many pits the squares not looked at hold, if they are like these."""
        return self.unseen * self.pits / self.squares

    def chance_deeper_exact(self, depth_mm: float) -> float:
        """Chance [0..1] of a pit deeper than this, if number and mean depth were known exactly."""
        return -math.expm1(-self.number * math.exp(-max(depth_mm - self.from_mm, 0.0) / self.mean_mm))

    def exact_mm(self, confidence: float) -> float:
        """The same bound [mm] if number and mean depth were known exactly."""
        return self.from_mm + self.mean_mm * max(math.log(self.number / -math.log(confidence)), 0.0)

    def steps(self, confidence: float, bound_mm: float) -> list[Step]:
        """For a pocket calculator, as far as one reaches."""
        return [
            Step("pits a square", "K / n", f"{self.pits} / {self.squares}", shown(self.pits / self.squares),
                 EXPONENTIAL),
            Step("mean depth", f"Σ(depth - {shown(self.from_mm)}) / K, beyond the least that is seen", "",
                 f"{shown(self.mean_mm)} mm", EXPONENTIAL),
            Step("pits not looked at", "M · K / n", f"{shown(self.unseen)} · {self.pits} / {self.squares}",
                 shown(self.number), EXPONENTIAL),
            Step(f"if the rest is like these, {100 * confidence:g} % bound, number and mean taken as exact",
                 f"{shown(self.from_mm)} + mean · ln(number / -ln {confidence:g})",
                 f"{shown(self.from_mm)} + {shown(self.mean_mm)} · ln({shown(self.number)} / "
                 f"{-math.log(confidence):.4f})",
                 f"{self.exact_mm(confidence):.2f} mm", EXPONENTIAL),
            Step("the same, allowing for how poorly so few pits fix them",
                 "integrated over number and mean",
                 "by the program, not by hand", f"{bound_mm:.2f} mm", EXPONENTIAL),
        ]  # fmt: skip


def every_pit(
    squares: Sequence[Sequence[float]], unseen: float, *, smallest_mm: float = 0.1, plate_mm: float = math.inf
) -> EveryPit:
    """From the depths [mm] of every pit of each square; an empty square has none. A pit as deep as `plate_mm` is one
    of which only that is known. `unseen`: squares not looked at [-].

    Raises
    ------
    CannotCalculate : fewer than 3 pits that did not go through, or no square left.

    Examples
    --------
    >>> found = every_pit([[1.2, 0.4], [0.8], [], [2.1, 0.3, 0.5], [0.9]], 50)
    >>> found.pits, round(found.mean_mm, 3), round(found.exact_mm(0.95), 2), round(found.bound_mm(0.95), 2)
    (7, 0.786, 5.77, 8.94)
    """
    if unseen <= 0 or not squares:
        raise CannotCalculate("No square is left that was not looked at.")
    depths = [depth for square in squares for depth in square if depth >= smallest_mm]
    short = [depth for depth in depths if depth < plate_mm]
    if len(short) < FEWEST_PITS:
        raise CannotCalculate(
            f"{len(short)} pits do not tell how deep the others go: at least {FEWEST_PITS} are needed."
        )
    total = sum(min(depth, plate_mm) - smallest_mm for depth in depths)
    # Where all are as shallow as can be, half the step of the gauge stands for their depth.
    total = max(total, len(short) * smallest_mm / 2)
    return EveryPit(
        len(depths),
        len(squares),
        unseen,
        smallest_mm,
        total / len(short),
        tuple(_nodes(len(short), total)),
    )


def _nodes(pits: int, total_mm: float) -> list[tuple[float, float]]:
    """Weights and rates [1/mm] of a gamma law of shape `pits` and rate `total_mm`, on a grid of its logarithm."""
    centre, step = math.log(pits / total_mm), 1 / math.sqrt(pits) / STEPS_PER_WIDTH

    def log_density(log_rate: float) -> float:
        return pits * log_rate - total_mm * math.exp(log_rate)

    top = log_density(centre)
    found = [(1.0, centre)]
    for direction in (-1, 1):
        below, turn = 0.0, 1
        while below > -NEGLIGIBLE:
            below = log_density(centre + direction * turn * step) - top
            found.append((math.exp(below), centre + direction * turn * step))
            turn += 1
    whole = sum(weight for weight, _ in found)
    return [(weight / whole, math.exp(log_rate)) for weight, log_rate in found]
