"""Rates, lives and gauge corrections against published worksheets and answer keys."""

from __future__ import annotations

import math

import pytest

from inspect_tui.engineering.metal import metal_loss
from inspect_tui.engineering.metal.growth import growth, inspection_interval, pit_depth_later, rate, remaining_life


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


def test_paint_reads_as_metal_on_a_gauge_set_for_aluminium_too() -> None:
    # The same velocities with 6320 m/s: the text prints 2.5.
    assert 10 - metal_loss.through_paint(10, 1.0, 6320) == pytest.approx(2.5, abs=0.03)


def test_a_steel_setting_on_aluminium_reads_low() -> None:
    # Makers' tables: 5920 m/s for steel, 6320 for aluminium; computed from them, 6.3 % low.
    told = 6.0 * 5920 / 6320
    assert 100 * (1 - told / 6.0) == pytest.approx(6.3, abs=0.05)
    assert metal_loss.at_velocity(told, 5920, 6320) == pytest.approx(6.0)
    assert metal_loss.looks_like_steel_setting([told] * 3, 6.0)


@pytest.mark.parametrize(("true_m_s", "away_mm"), [(6229, -0.07), (6299, 0.0), (6375, 0.07)])
def test_the_alloys_differ_by_little(true_m_s: float, away_mm: float) -> None:
    # The same tables: 1100, 6061-T6 and 2024-T4; computed, 1.2 % either way, which is 0.07 mm on 6 mm.
    middle = (6229 + 6375) / 2
    assert metal_loss.at_velocity(6.0, middle, true_m_s) - 6.0 == pytest.approx(away_mm, abs=0.005)


def test_what_two_surveys_can_tell() -> None:
    # Computed: two readings of ± 0.1 mm tell 0.14 mm apart, over five years ± 0.028 mm a year.
    told = growth(6.0, 5.87, 5, error_mm=0.1)
    assert told.detectable_mm == pytest.approx(0.14, abs=0.002)
    assert told.detectable_mm / 5 == pytest.approx(0.028, abs=0.0005)
    assert told.rate_mm_per_year is None, "0.13 mm is no loss yet"
    assert growth(6.0, 5.85, 5, error_mm=0.1).rate_mm_per_year == pytest.approx(0.03)


@pytest.mark.parametrize(("life", "interval"), [(8, 4), (19, 9.5), (20, 10), (30, 10)])
def test_look_again_within_half_the_life(life: float, interval: float) -> None:
    # API 510 training key: the lesser of half the life and ten years.
    assert inspection_interval(life) == interval


@pytest.mark.parametrize(
    ("exponent", "times"),
    # Pathak and Godard, Nature 218 (1968) 893, abstract: twice the wall lasts eight times as long. Hunkeler and
    # Böhni, Corrosion 40 (1984) 534: by the square root, four times.
    [(1 / 3, 8), (1 / 2, 4), (1, 2)],
)
def test_twice_the_wall_lasts_many_times_as_long(exponent: float, times: float) -> None:
    assert pit_depth_later(2.0, 10, 10 * (times - 1), exponent) == pytest.approx(4.0)


@pytest.mark.parametrize(("plate", "percent"), [(4, 12.5), (5, 10.0), (6, 8.3)])
def test_half_a_millimetre_of_thin_plate(plate: float, percent: float) -> None:
    # IACS CSR part 1 ch. 3 sec. 3 § 1.2.1 adds 0.5 mm in all for corrosion of aluminium: context, never a limit for a
    # boat. Its share of thin plate was computed.
    told = metal_loss.metal_loss([plate - 0.5], plate)
    assert told.loss_percent == pytest.approx(percent, abs=0.05)
