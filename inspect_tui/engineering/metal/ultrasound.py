"""Depth of a pit read by ultrasound: it errs in proportion to the depth, and deep ones are read too shallow.

From 107 defects of a pipeline, read in the field and measured in the laboratory. The unit of depth is not stated in
that data, so that only the relative error carries over. It says nothing of a needle or a bridge gauge, which are
other instruments, nor of ultrasound on plate between the pits.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from inspect_tui.engineering.numeric import student_t_quantile
from inspect_tui.engineering.working import Seen, Source
from inspect_tui.errors import CannotCalculate

ALASKA = Source(
    "NIST, Alaska pipeline: 107 defects by ultrasound and in the laboratory; their scatter computed here",
    Seen.READ,
    "borrowed from a pipeline, the unit of depth not stated",
)
LOGLOG = Source("straight line through the logarithms, with its prediction interval", Seen.DERIVED)
# Standard deviation of ln field about its line on ln laboratory: of one reading against another.
RELATIVE_SD = 0.168
# Mean and standard deviation of ln (laboratory / field): how much deeper the truth is.
SHIFT, SHIFT_SD = 0.114, 0.186
NORMAL_95 = 1.96
GAUGE_ERROR_MM = 0.1
FEWEST_PAIRS = 3
TOO_SHALLOW = (
    "In that data the deepest, 38 of 107, were read a fifth too shallow on average and 42 % at worst; reading plus "
    "error covers 103 of the 107 true depths."
)


@dataclass(frozen=True)
class Calibration:
    """ln true = intercept + slope · ln read, and how far true depths scatter about it: `sd` of ln true [-].

    `count` pairs, their mean of ln read, and the sum of squares about it. Depths in the unit of the pairs.
    """

    intercept: float
    slope: float
    sd: float
    count: int
    mean_ln: float
    squares: float

    def likely(self, field_depth: float) -> float:
        """The middle of what is truly there."""
        return math.exp(self.intercept + self.slope * self._ln(field_depth))

    def interval(self, field_depth: float, confidence: float = 0.95) -> tuple[float, float]:
        """Between which the true depth of one more defect lies, with this chance, two-sided [0..1].

        Raises
        ------
        CannotCalculate : no depth, or a chance that is none.
        """
        if not 0 < confidence < 1:
            raise CannotCalculate("A confidence lies between 0 and 1.")
        away = self._ln(field_depth) - self.mean_ln
        error = self.sd * math.sqrt(1 + 1 / self.count + away**2 / self.squares)
        reach = student_t_quantile((1 + confidence) / 2, self.count - 2) * error
        middle = self.likely(field_depth)
        return middle * math.exp(-reach), middle * math.exp(reach)

    @staticmethod
    def _ln(depth: float) -> float:
        if not (math.isfinite(depth) and depth > 0):
            raise CannotCalculate("A pit that was read must have a depth above 0.")
        return math.log(depth)


def fit_loglog(field: Sequence[float], lab: Sequence[float]) -> Calibration:
    """What a gauge's readings truly are, from defects that were also measured another way: ln lab on ln field.

    Parameters
    ----------
    field : depths as read, at least three and not all equal
    lab : true depths of the same defects, in the same order and unit

    Raises
    ------
    CannotCalculate : too few pairs, a pair that is none, or all read alike.

    Notes
    -----
    It holds for that gauge, metal and probe, and within the depths it was made of.

    Examples
    --------
    >>> own = fit_loglog([1.0, 2.0, 3.0, 4.0], [1.1, 2.1, 3.4, 4.6])
    >>> [round(one, 1) for one in own.interval(2.5)], round(own.slope, 2)
    ([2.3, 3.4], 1.04)
    """
    if len(field) != len(lab) or len(field) < FEWEST_PAIRS:
        raise CannotCalculate(f"At least {FEWEST_PAIRS} defects are needed, each read and measured.")
    if any(not (math.isfinite(one) and one > 0) for one in (*field, *lab)):
        raise CannotCalculate("Every depth read or measured must be above 0.")
    if max(field) == min(field):
        raise CannotCalculate("All were read equally deep: no line can be drawn through them.")
    read, true = [math.log(one) for one in field], [math.log(one) for one in lab]
    slope, intercept = statistics.linear_regression(read, true)
    rest = sum((y - intercept - slope * x) ** 2 for x, y in zip(read, true, strict=True))
    mean = statistics.fmean(read)
    squares = sum((x - mean) ** 2 for x in read)
    return Calibration(intercept, slope, math.sqrt(rest / (len(read) - 2)), len(read), mean, squares)


def pit_error_mm(depth_mm: float) -> float:
    """What a pit depth read by ultrasound may be wrong by [mm], towards the deeper side.

    depth · (exp(0.114 + 1.96 · 0.186) - 1): shift and scatter of the 107 defects at 95 %, and never less than the
    0.1 mm of the gauge itself. Depth in mm, from nothing to 100.

    Raises
    ------
    CannotCalculate : no depth of a pit.

    Examples
    --------
    >>> round(pit_error_mm(2.0), 2), pit_error_mm(0.1)
    (1.23, 0.1)
    """
    return max(_depth(depth_mm) * math.expm1(SHIFT + NORMAL_95 * SHIFT_SD), GAUGE_ERROR_MM)


def repeat_error_mm(depth_mm: float) -> float:
    """What a reading of a pit by ultrasound may be off by among others of the same gauge [mm] at 95 %, their common
    shift left out: 1.96 · 0.168 of its depth, and never less than 0.1 mm.

    Raises
    ------
    CannotCalculate : no depth of a pit.

    >>> round(repeat_error_mm(3.0), 2)
    0.99
    """
    return max(_depth(depth_mm) * NORMAL_95 * RELATIVE_SD, GAUGE_ERROR_MM)


def _depth(depth_mm: float) -> float:
    if not 0 <= depth_mm <= 100:
        raise CannotCalculate("A pit is 0 to 100 mm deep.")
    return depth_mm
