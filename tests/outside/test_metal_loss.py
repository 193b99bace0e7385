"""Rates, lives and gauge corrections against published worksheets and answer keys."""

from __future__ import annotations

import math

import pytest

from inspect_tui.engineering.metal import metal_loss
from inspect_tui.engineering.metal.growth import growth, inspection_interval, rate, remaining_life


@pytest.mark.parametrize(
    ("built", "now", "years", "expected", "tolerance"),
    [
        # API inspector training answer key (scribd 485015386): examples 1, 2 and 3.
        (0.400, 0.260, 2003 - 1983, 0.007, 1e-12),
        (0.750, 0.675, 15, 0.005, 1e-12),
        (480, 410, 2003 - 1981, 3.2, 0.05),
    ],
)
def test_rates_of_an_answer_key(built: float, now: float, years: float, expected: float, tolerance: float) -> None:
    assert rate(built, now, years) == pytest.approx(expected, abs=tolerance)


def test_a_rate_over_months() -> None:
    # Same key, example 5: 0.565 in April 1999, 0.521 in September 2003, in inches; 4.42 years, 0.010 in/year.
    years = (2003 + 9 / 12) - (1999 + 4 / 12)
    assert years == pytest.approx(4.42, abs=0.005)
    assert rate(0.565, 0.521, years) == pytest.approx(0.010, abs=0.0005)


def test_the_greater_of_two_rates_governs() -> None:
    # Same key, example 10: inputs read, results worked out here. 0.750 (1990), 0.742 (1997), 0.718 (2003) in.
    told = growth(0.750, 0.718, 13, previous_mm=0.742, years_since_previous=6, error_mm=0)
    assert told.short_term_mm_per_year == pytest.approx(0.004, abs=5e-5)
    assert told.long_term_mm_per_year == pytest.approx(0.00246, abs=5e-5)
    assert told.rate_mm_per_year == pytest.approx(0.004, abs=5e-5)


def test_a_life_of_a_worksheet() -> None:
    # Inspection worksheet (scribd 387358665): 7.8 to 3.24 mm in 15 years, 0.37 mm required; 8.441 years at 0.34.
    told = growth(7.8, 3.24, 15, required_mm=0.37)
    assert told.long_term_mm_per_year == pytest.approx(0.304, abs=0.001)
    life = remaining_life(3.24, 0.37, 0.34)
    assert life == pytest.approx(8.441, abs=0.001)
    assert life * 12 == pytest.approx(101.3, abs=0.05)


def test_thicker_than_before_is_no_loss() -> None:
    # API 653 inspection report T-6106, course 2: 0.375 then 0.384 in, 6 years; loss 0, rate 0, interval capped at 15.
    told = growth(0.384, 0.384, 6, required_mm=0.254, previous_mm=0.375, years_since_previous=6, error_mm=0,
                  longest_years=15)  # fmt: skip
    assert told.short_term_mm_per_year == 0
    assert told.interval_years == 15
    assert any("no loss" in warning for warning in told.warnings)
    assert inspection_interval(math.inf, 15) == 15


def test_paint_reads_as_metal() -> None:
    # Gauge makers' velocities 5900 and 2500 m/s: 1 mm of paint reads 2.36 mm; the text that gives them prints 2.35.
    assert 10 - metal_loss.through_paint(10, 1.0) == pytest.approx(2.36, abs=0.02)
