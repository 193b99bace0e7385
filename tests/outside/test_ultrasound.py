"""Ultrasound on pits, against 107 defects of a pipeline read in the field and measured in the laboratory."""

from __future__ import annotations

import csv
import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from inspect_tui.engineering.metal.ultrasound import RELATIVE_SD, TOO_SHALLOW, fit_loglog, pit_error_mm
from inspect_tui.errors import CannotCalculate

# NIST, Alaska pipeline: its source stands beside the file. What follows from it was computed here; the NIST/SEMATECH
# handbook has the same three fits (from memory).
FILE = Path(__file__).parent / "data" / "nist_alaska_pipeline_ut.csv"
with FILE.open(encoding="utf-8", newline="") as _lines:
    ROWS = [tuple(map(float, row)) for row in list(csv.reader(_lines))[1:]]
FIELD, LAB, BATCH = (np.array(column) for column in zip(*ROWS, strict=True))


def line(x: np.ndarray, y: np.ndarray) -> tuple[float, float, float]:
    slope, intercept = np.polyfit(x, y, 1)
    rest = y - intercept - slope * x
    return float(intercept), float(slope), math.sqrt(float(rest @ rest) / (len(x) - 2))


def test_the_data_is_all_there() -> None:
    assert len(ROWS) == 107
    assert [[row[2] for row in ROWS].count(number) for number in range(1, 7)] == [19, 20, 20, 20, 21, 7]


@pytest.mark.parametrize(
    ("x", "y", "told"),
    [
        pytest.param(LAB, FIELD, (4.99368, 0.731111, 6.08092), id="field on laboratory"),
        pytest.param(FIELD, LAB, (-1.96750, 1.22297, 7.86476), id="laboratory on field"),
    ],
)
def test_straight_lines(x: np.ndarray, y: np.ndarray, told: tuple[float, float, float]) -> None:
    assert line(x, y) == pytest.approx(told, rel=3e-6)


def test_the_line_through_the_logarithms() -> None:
    # ln field = 0.281384 + 0.885175 · ln laboratory, 0.168260 about it.
    found = fit_loglog([float(one) for one in LAB], [float(one) for one in FIELD])
    assert (found.intercept, found.slope, found.sd) == pytest.approx((0.281384, 0.885175, 0.168260), abs=5e-7)
    assert found.sd == pytest.approx(RELATIVE_SD, abs=5e-4)


CLASSES = [
    (0, 15, 19, -0.56, 2.26, 0.967, 0.699),
    (15, 30, 26, -0.81, 3.22, 0.967, 0.710),
    (30, 50, 24, -1.29, 4.33, 0.969, 0.733),
    (50, math.inf, 38, -13.9, 9.58, 0.799, 0.581),
]


@pytest.mark.parametrize(("low", "high", "count", "mean", "sd", "ratio", "least"), CLASSES)
def test_the_error_by_depth(
    low: float, high: float, count: int, mean: float, sd: float, ratio: float, least: float
) -> None:
    field, lab = (one[(low <= LAB) & (high > LAB)] for one in (FIELD, LAB))
    assert len(field) == count
    assert (field - lab).mean() == pytest.approx(mean, abs=0.006)
    assert (field - lab).std(ddof=1) == pytest.approx(sd, abs=0.006)
    assert (field / lab).mean() == pytest.approx(ratio, abs=0.0006)
    assert (field / lab).min() == pytest.approx(least, abs=0.0006)


def test_it_scatters_in_proportion_and_reads_the_deepest_a_fifth_too_shallow() -> None:
    scatter = [row[4] for row in CLASSES]
    assert scatter == sorted(scatter)
    assert 1 - CLASSES[-1][5] == pytest.approx(0.2, abs=0.005)
    assert all(1 - row[5] < 0.05 for row in CLASSES[:-1])


COVERED = {1: (19, 19), 2: (20, 20), 3: (20, 20), 4: (20, 20), 5: (18, 21), 6: (7, 7)}


def covered(batch: int) -> tuple[int, int]:
    """How many of a batch lie within the 95 % interval of a fit of the others."""
    others, these = batch != BATCH, batch == BATCH
    fit = fit_loglog(FIELD[others].tolist(), LAB[others].tolist())
    ends = [fit.interval(one) for one in FIELD[these].tolist()]
    return sum(low <= one <= high for (low, high), one in zip(ends, LAB[these], strict=True)), len(ends)


@pytest.mark.parametrize("batch", COVERED)
def test_a_batch_left_out_lies_within_the_interval_of_the_others(batch: int) -> None:
    assert covered(batch) == COVERED[batch]


def test_the_intervals_hold_as_often_as_they_say() -> None:
    held = [covered(batch) for batch in COVERED]
    assert sum(one for one, _ in held) / sum(all_ for _, all_ in held) >= 0.93


def test_the_interval_is_that_of_textbooks() -> None:
    """Middle, and both ends at the mean of ln read, where only n is left in it; scipy's t."""
    from scipy import stats

    fit = fit_loglog(FIELD.tolist(), LAB.tolist())
    at = math.exp(float(np.log(FIELD).mean()))
    reach = stats.t.ppf(0.95, 105) * fit.sd * math.sqrt(1 + 1 / 107)
    low, high = fit.interval(at, 0.90)
    assert math.log(high / fit.likely(at)) == pytest.approx(reach)
    assert math.log(fit.likely(at) / low) == pytest.approx(reach)
    assert fit.likely(at) == pytest.approx(math.exp(float(np.log(LAB).mean())))


@pytest.mark.parametrize(("depth", "error"), [(0, 0.1), (0.16, 0.1), (1, 0.614), (2, 1.228), (5, 3.069)])
def test_the_error_of_a_depth_grows_with_it(depth: float, error: float) -> None:
    assert pit_error_mm(depth) == pytest.approx(error, abs=0.001)


def test_how_many_of_the_true_depths_that_error_reaches() -> None:
    """As many as its own words say: of all, and of the deepest, which ultrasound reads too shallow."""
    reached = FIELD + [pit_error_mm(one) for one in FIELD.tolist()] >= LAB
    assert [np.count_nonzero(one) for one in (reached, reached[LAB >= 50])] == [103, 34]
    assert "103 of the 107" in TOO_SHALLOW
    assert f"{1 - (FIELD / LAB).min():.0%}".replace("%", " %") in TOO_SHALLOW


@pytest.mark.parametrize(
    "call",
    [
        lambda: pit_error_mm(-0.1),
        lambda: pit_error_mm(100.1),
        lambda: pit_error_mm(math.nan),
        lambda: fit_loglog([1, 2], [1, 2]),
        lambda: fit_loglog([1, 2, 3], [1, 2]),
        lambda: fit_loglog([1, 2, 0], [1, 2, 3]),
        lambda: fit_loglog([1, 2, 3], [1, 2, math.inf]),
        lambda: fit_loglog([2, 2, 2], [1, 2, 3]),
        lambda: fit_loglog([1, 2, 3], [1, 2, 3.1]).interval(0),
        lambda: fit_loglog([1, 2, 3], [1, 2, 3.1]).interval(1, 1),
        lambda: fit_loglog([1, 2, 3], [1, 2, 3.1]).interval(1, 0),
    ],
)
def test_what_is_no_depth_is_refused(call: Callable[[], object]) -> None:
    with pytest.raises(CannotCalculate):
        call()


def test_the_least_and_the_most_that_is_taken() -> None:
    assert pit_error_mm(100) == pytest.approx(61.4, abs=0.1)
    low, high = fit_loglog([1, 2, 3], [1, 2, 3.1]).interval(2)
    assert low < 2 < high
