"""How deep may the deepest pit be where nobody looked, and how many more squares would settle it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

from inspect_tui.engineering.metal.every_pit import FEWEST_PITS, EveryPit, every_pit
from inspect_tui.engineering.metal.gumbel import (
    GumbelFit,
    hole_probability,
    moments,
    mvlue,
    reduced_variate,
    return_level,
)
from inspect_tui.engineering.metal.likelihood import Sample, maximum_likelihood
from inspect_tui.engineering.metal.prediction import DeepestUnseen
from inspect_tui.engineering.numeric import student_t_quantile
from inspect_tui.engineering.working import shown
from inspect_tui.errors import CannotCalculate

Method = Literal["auto", "mvlue", "ml", "moments"]
FEWEST_PATCHES, FEWEST_DEPTHS = 5, 3
MVLUE_TO = 16
# 20 to 30 patches: J. Wang, PVP2006 (abstract read). 3 % of the whole, T below 500: a study of copper tubing,
# Zairyo-to-Kankyo 43 (1994) 258 (abstract read).
USUAL_PATCHES = (20, 30)
SAMPLE_SHARE = 0.03
LARGEST_T = 500
MORE_PATCHES_CAP = 200


@dataclass(frozen=True)
class DeepestPit:
    """What the squares say of the metal nobody looked at. Depths in mm, areas in m², chances 0..1.

    `return_level_mm` is reached on average once in the whole area; `return_level_bound_mm` its one-sided confidence
    bound. `deepest_likely_mm` is the median of the deepest pit in the area not looked at, `deepest_bound_mm` what
    that pit does not pass with the confidence given. `hole_probability` takes the fit as exact,
    `hole_probability_cautious` counts in that few squares fix it poorly.
    """

    sample: Sample
    fit: GumbelFit
    patch_area_m2: float
    total_area_m2: float
    confidence: float
    return_patches: float
    unseen_patches: float
    return_level_mm: float
    return_level_se_mm: float
    return_level_bound_mm: float
    deepest_likely_mm: float
    deepest_bound_mm: float
    hole_probability: float | None
    hole_probability_cautious: float | None
    more_patches: int | None
    warnings: tuple[str, ...] = ()
    # Why no bound is named for the rest; empty where it is.
    withdrawn: str = ""
    # Patches in which no pit began: they thin out where pits may be, and say nothing of how deep they go.
    none_began: int = 0
    # Where every pit was typed, all of them speak, and `fit` only draws the picture of the deepest.
    every: EveryPit | None = None
    _unseen: DeepestUnseen | EveryPit = field(repr=False, compare=False, kw_only=True)

    @property
    def bound_told_mm(self) -> float | None:
        """The bound, where it is named."""
        return None if self.withdrawn else self.deepest_bound_mm

    @property
    def unseen_squares(self) -> int:
        """Squares not looked at, a part of one counted as a whole one."""
        return math.ceil(round(self.unseen_patches, 6))

    @property
    def most_deeper(self) -> int:
        """At most so many of the squares not looked at are deeper than the deepest seen, at the confidence given,
        whatever law the depths follow: if the squares looked at were drawn by chance."""
        return most_deeper(self.looked_at, self.unseen_squares, self.confidence)

    @property
    def exact_mm(self) -> float:
        """The bound [mm] if the law were known exactly."""
        if self.every is not None:
            return self.every.exact_mm(self.confidence)
        return exact_quantile_mm(self.fit, self.pitted_patches, self.confidence)

    @property
    def pitted_patches(self) -> float:
        """Of those not looked at, as many as are likely to have a pit."""
        if not self.none_began:
            return self.unseen_patches
        return pitted_of(self.unseen_patches, self.sample.count, self.none_began)

    @property
    def looked_at(self) -> int:
        """How many squares were looked at, with pits or without."""
        return self.sample.count + self.none_began

    @property
    def telling(self) -> int:
        """How many squares tell how deep the pits go: those with a pit, or all where every pit was measured."""
        return self.looked_at if self.every is not None else self.sample.count

    def chance_deeper(self, depth_mm: float) -> float:
        """Chance [0..1] that the area not looked at holds a pit deeper than this, few squares counted in."""
        return 1 - self._unseen.probability_below(depth_mm)


def most_deeper(looked_at: int, unseen: int, confidence: float = 0.95) -> int:
    """Of `unseen` squares at most so many are deeper than the deepest of those looked at, drawn by chance, whatever
    the law: the deepest j of all lie among the unseen with a chance of M/(M+n) · (M-1)/(M+n-1) · …, j factors (order
    statistics, derived).

    >>> most_deeper(10, 100), most_deeper(20, 100), most_deeper(59, 1_000_000) / 1_000_000
    (27, 15, 0.049509)
    """
    chance, number = 1.0, 0
    while number < unseen:
        chance *= (unseen - number) / (unseen + looked_at - number)
        if chance <= 1 - confidence:
            break
        number += 1
    return number


def pitted_of(unseen: float, with_pits: int, none_began: int) -> float:
    """How many of the squares not looked at have a pit: Jeffreys' mean of the share, and never less than half of one.

    >>> pitted_of(100, 9, 1), pitted_of(100, 9, 9) < pitted_of(101, 9, 8)
    (86.36363636363636, True)
    """
    return max(unseen * (with_pits + 0.5) / (with_pits + none_began + 1), 0.5)


def missed_altogether(count: int, share: float = 0.05) -> float:
    """How often [0..1] so many squares hold none of a second kind of place that is this share of all.

    >>> round(missed_altogether(10), 2), round(missed_altogether(20), 2)
    (0.6, 0.36)
    """
    return float((1 - share) ** count)


def deepest_pit(
    depths_mm: Sequence[float],
    patch_area_m2: float,
    total_area_m2: float,
    *,
    plate_mm: float | None = None,
    not_found: int = 0,
    holed: int = 0,
    none_began: int = 0,
    smallest_mm: float = 0.1,
    method: Method = "auto",
    confidence: float = 0.95,
    worst_chosen: bool = False,
    squares: Sequence[Sequence[float]] = (),
) -> DeepestPit:
    """Deepest pit to be expected in an area, from the deepest pit of each of several equal squares of it.

    Parameters
    ----------
    depths_mm : deepest pit of each square that had one [mm]
    patch_area_m2, total_area_m2 : of one square, and of the whole area they stand for [m²]
    plate_mm : thickness of the plate [mm]; a pit as deep is a hole
    not_found, holed : squares whose pits were too small to be seen, and squares holed through
    none_began : squares in which no pit began: of the rest as large a share has none (Jeffreys' mean)
    smallest_mm : depth below which the gauge, or the eye, sees no pit [mm]
    method : "mvlue" (2 to 16 squares), "ml", "moments", or "auto": MVLUE up to 16 squares that all had a pit,
        maximum likelihood otherwise
    confidence : one-sided, of both bounds [0..1]
    worst_chosen : the squares were chosen because they looked worst
    squares : where every pit was measured, the depths [mm] of all pits of each square, empty where there was
        none: then they all speak for the rest, not only the deepest

    Raises
    ------
    CannotCalculate : fewer than 5 squares or 3 depths; a depth that is no depth; no area left to speak of.

    Notes
    -----
    Source of the method: Shibata 1994 (from memory). Bounds: the return level's as x + t(N-1)·SE (Wang 2006, quoted
    by another document); the deepest pit's own by integrating over what is not known of location and scale.

    Examples
    --------
    >>> found = deepest_pit([1.2, 0.8, 2.4, 1.9, 3.1, 1.1, 0.9, 1.6], 0.09, 4.6, plate_mm=6.0)
    >>> round(found.return_level_mm, 2), round(found.deepest_bound_mm, 1)
    (3.64, 7.0)
    """
    _check(depths_mm, patch_area_m2, total_area_m2, plate_mm, not_found, holed, none_began, smallest_mm, confidence)
    sample = Sample(
        tuple(depths_mm),
        not_found,
        holed,
        min(smallest_mm, min(depths_mm)),
        math.inf if plate_mm is None else plate_mm,
    )
    all_patches = total_area_m2 / patch_area_m2
    unseen = _unseen_patches(all_patches, sample.count + none_began, patch_area_m2, total_area_m2)
    by_likelihood = maximum_likelihood(sample)
    fit = _fit(sample, method, by_likelihood)
    y = reduced_variate(all_patches)
    level = return_level(fit.location_mm, fit.scale_mm, all_patches)
    error = fit.standard_error_mm(y)
    pitted = pitted_of(unseen, sample.count, none_began) if none_began else unseen
    every = _every(squares, unseen, sample)
    deepest = every or DeepestUnseen(sample, by_likelihood, pitted)
    bound = deepest.bound_mm(confidence)
    chance = cautious = None
    more = None
    if plate_mm is not None and every is not None:
        chance, exact, telling = every.chance_deeper_exact(plate_mm), every.exact_mm(confidence), every.squares
    elif plate_mm is not None:
        chance = hole_probability(fit.location_mm, fit.scale_mm, plate_mm, pitted)
        exact, telling = exact_quantile_mm(fit, pitted, confidence), sample.count
    if plate_mm is not None:
        cautious = 1 - deepest.probability_below(plate_mm)
        more = _more_patches(exact, telling, pitted, bound, plate_mm)
    level_bound = level + student_t_quantile(confidence, max(len(depths_mm) - 1, 1)) * error
    return DeepestPit(
        *(sample, fit, patch_area_m2, total_area_m2, confidence, all_patches, unseen, level, error, level_bound),
        deepest.bound_mm(0.5),
        bound,
        chance,
        cautious,
        more,
        tuple(_warnings(sample, sample.count + none_began, all_patches, worst_chosen)),
        none_began=none_began,
        every=every,
        _unseen=deepest,
    )


def _every(squares: Sequence[Sequence[float]], unseen: float, sample: Sample) -> EveryPit | None:
    """The law of all pits, where there are enough of them to tell it."""
    told = sum(sample.smallest_mm <= depth < sample.plate_mm for square in squares for depth in square)
    if told < FEWEST_PITS:
        return None
    return every_pit(squares, unseen, smallest_mm=sample.smallest_mm, plate_mm=sample.plate_mm)


def _unseen_patches(all_patches: float, looked_at: int, patch_area_m2: float, total_area_m2: float) -> float:
    unseen = all_patches - looked_at
    if unseen < 0.5:
        raise CannotCalculate(
            f"{looked_at} squares of {shown(patch_area_m2)} m² are the whole {shown(total_area_m2)} m²: none "
            "is left that was not looked at."
        )
    return unseen


def _check(
    depths_mm: Sequence[float],
    patch_area_m2: float,
    total_area_m2: float,
    plate_mm: float | None,
    not_found: int,
    holed: int,
    none_began: int,
    smallest_mm: float,
    confidence: float,
) -> None:
    if holed and plate_mm is None:
        raise CannotCalculate("A holed square tells something only with the plate's thickness: give that too.")
    if not 0 < smallest_mm < 100:
        raise CannotCalculate("The smallest pit seen must be a depth above 0, in mm.")
    if not_found < 0 or holed < 0 or none_began < 0:
        raise CannotCalculate("A number of squares cannot be negative.")
    if not (0 < patch_area_m2 < math.inf and 0 < total_area_m2 < math.inf):
        raise CannotCalculate("A square and the whole area each need a size in m².")
    if not 0.5 <= confidence < 1:
        raise CannotCalculate("The confidence is a share from 0.5 to below 1, such as 0.95.")
    if plate_mm is not None and not 0 < plate_mm < 1000:
        raise CannotCalculate("The plate needs a thickness above 0, in mm.")
    for depth in depths_mm:
        if not math.isfinite(depth) or depth <= 0:
            raise CannotCalculate(f"{depth:g} mm is not a pit's depth: count a square without one as 'not found'.")
        if plate_mm is not None and depth >= plate_mm:
            raise CannotCalculate(
                f"A pit of {depth:g} mm in a plate of {plate_mm:g} mm is a hole: count its square as 'holed'."
            )
    count = len(depths_mm) + not_found + holed + none_began
    if count < FEWEST_PATCHES:
        raise CannotCalculate(
            f"{count} square{'' if count == 1 else 's'} cannot speak for the rest: measure at least "
            f"{FEWEST_PATCHES}, better {USUAL_PATCHES[0]} to {USUAL_PATCHES[1]}."
        )
    if len(depths_mm) < FEWEST_DEPTHS:
        raise CannotCalculate(
            f"Only {len(depths_mm)} of {count} squares gave a depth: at least {FEWEST_DEPTHS} are needed to see how "
            "far the depths spread."
        )


def _fit(sample: Sample, method: Method, by_likelihood: GumbelFit) -> GumbelFit:
    if method == "auto":
        method = "mvlue" if sample.complete and sample.count <= MVLUE_TO else "ml"
    if method == "ml":
        return by_likelihood
    if not sample.complete:
        raise CannotCalculate(
            f"Squares without a pit, or holed, need the method 'ml': '{method}' would leave them out."
        )
    return mvlue(sample.depths_mm) if method == "mvlue" else moments(sample.depths_mm)


def _warnings(sample: Sample, looked_at: int, all_patches: float, worst_chosen: bool) -> list[str]:
    told = []
    if worst_chosen:
        told.append("The squares were chosen because they looked worst: the result is deeper than the truth.")
    if sample.holed:
        told.append(f"{sample.holed} of the squares looked at {'is' if sample.holed == 1 else 'are'} holed already.")
    if sample.not_found:
        told.append(
            f"{sample.not_found} of the squares had no pit: they widen the spread. If they are another kind of place "
            "(dry, coated, newer plate), make them a plate field of their own, or the bound is too deep."
        )
    if looked_at < USUAL_PATCHES[0]:
        told.append(f"{looked_at} squares; {USUAL_PATCHES[0]} to {USUAL_PATCHES[1]} are usual.")
    if looked_at / all_patches < SAMPLE_SHARE:
        told.append(f"Looked at {100 * looked_at / all_patches:.1f} % of the area; 3 to 5 % is usual.")
    if all_patches > LARGEST_T:
        told.append(
            f"The area is {all_patches:.0f} squares: beyond {LARGEST_T} the extrapolation is long; use larger "
            "squares."
        )
    return told


def _more_patches(exact_mm: float, count: int, unseen: float, bound_mm: float, plate_mm: float) -> int | None:
    """How many squares more would bring the bound below the plate, if they look like these: 0 if it is there
    already, None if no number would."""
    if bound_mm < plate_mm:
        return 0
    if exact_mm >= plate_mm:
        return None
    needed = math.ceil(count * (bound_mm - exact_mm) / (plate_mm - exact_mm)) - count
    return max(needed, 1) if needed <= min(MORE_PATCHES_CAP, unseen) else None


def exact_quantile_mm(fit: GumbelFit, unseen: float, confidence: float) -> float:
    """Bound of the deepest unseen pit [mm] if location and scale were known exactly."""
    return fit.location_mm + fit.scale_mm * (math.log(unseen) - math.log(-math.log(confidence)))


def advice(found: DeepestPit) -> str:
    """How many more squares are worth taking, in one sentence.

    Examples
    --------
    >>> advice(deepest_pit([1.2, 0.8, 2.4, 1.9, 3.1, 1.1, 0.9, 1.6], 0.09, 4.6, plate_mm=6.0))
    'about 13 more equal squares to bring the 95 % depth below the plate thickness'
    """
    percent = f"{100 * found.confidence:g} %"
    if found.hole_probability is None:
        return "give the plate's thickness to see how many more squares are worth taking"
    if found.sample.holed:
        return "some squares are holed already: more squares only tell how many; bare all of it and look"
    if found.more_patches == 0:
        usual = USUAL_PATCHES[0] - found.looked_at
        more = f"; {usual} more make up the usual {USUAL_PATCHES[0]}" if usual > 0 else ""
        return f"no more needed: if the rest is like these, no hole today, {percent} sure{more}"
    if found.more_patches is None:
        if found.exact_mm >= found.sample.plate_mm:
            return "no number of squares like these would rule a hole out: bare all of it and look"
        return "so many that it is less work to look at all of it"
    plural = "square" if found.more_patches == 1 else "squares"
    depth = f"{100 * found.confidence:g} % depth"
    return f"about {found.more_patches} more equal {plural} to bring the {depth} below the plate thickness"
