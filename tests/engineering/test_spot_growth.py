"""Growth of a spot between rounds: its error, rate and end, and how seldom it is seen where nothing grew."""

from __future__ import annotations

import random
from datetime import date, timedelta

import pytest
from scipy import stats

from inspect_tui.engineering.metal.spot_growth import SpotGrowth, SpotReading, least_growth_mm
from inspect_tui.engineering.metal.ultrasound import repeat_error_mm
from inspect_tui.errors import CannotCalculate

SINCE = date(2024, 11, 1)


def series(*points: tuple[int, float], error: float = 0.1, spots: int = 1) -> SpotGrowth:
    """Days after the first, and what is gone then [mm]."""
    return SpotGrowth(
        tuple(SpotReading(SINCE + timedelta(days=day), gone, error) for day, gone in points), spots=spots
    )


def grown(then: float, now: float, days: int = 365, error: float = 0.1, spots: int = 1) -> SpotGrowth:
    return series((0, then), (days, now), error=error, spots=spots)


def test_a_rate_is_by_the_year_and_carries_two_readings_errors() -> None:
    # By hand: 1.1 mm in 370 days; √2 · 0.1 mm is what two readings can tell.
    found = grown(2.2, 3.3, 370)
    assert found.grown_mm == pytest.approx(1.1)
    assert found.tells_mm == pytest.approx(0.14142, abs=1e-5)
    assert found.rate_mm_year == pytest.approx(1.1 / 370 * 365.25)
    assert found.fastest_mm_year == pytest.approx(1.24142 / 370 * 365.25, rel=1e-5)


@pytest.mark.parametrize("spots", [1, 2, 20, 100])
def test_among_many_spots_more_is_asked_of_each(spots: int) -> None:
    # The normal law by scipy: one chance in forty, shared among all spots.
    found = grown(2.0, 2.3, spots=spots)
    asked = stats.norm.ppf(1 - 0.025 / spots) * 0.1 / stats.norm.ppf(0.975) * 2**0.5
    assert found.tells_mm == pytest.approx(asked)
    assert found.error_mm == pytest.approx(0.14142, abs=1e-5), "of this spot alone"


@pytest.mark.parametrize(
    ("now", "days", "significant"),
    [(2.14, 365, False), (2.15, 365, True), (2.0, 365, False), (1.5, 365, False), (2.6, 29, False), (2.6, 30, True)],
)
def test_what_the_gauge_cannot_tell_is_no_growth(now: float, days: int, significant: bool) -> None:
    assert grown(2.0, now, days).significant is significant


def test_the_earliest_end_is_told_and_none_where_it_lies_too_far_off() -> None:
    found = grown(2.0, 3.0, 365, 0.1)
    end = found.through(1.5)
    assert end is not None
    assert (end - found.last.day).days == pytest.approx(1.5 / found.fastest_mm_year * 365.25, abs=1)
    assert found.through(29.9 * found.fastest_mm_year) is not None
    assert found.through(30.1 * found.fastest_mm_year) is None
    assert "could be through from" in found.words(1.5)
    assert "could be through" not in found.words(None)
    assert "could be through" not in found.words(500)


def test_a_pit_that_reads_shallower_does_not_grow_backwards() -> None:
    found = grown(3.0, 2.8)
    assert found.rate_mm_year == 0
    assert found.fastest_mm_year > 0
    assert not found.significant


def test_slow_growth_that_no_two_rounds_in_a_row_show_is_seen_over_all_of_them() -> None:
    slow = series((0, 2.0), (365, 2.1), (730, 2.2), (1095, 2.3), (1460, 2.4))
    assert not series((1095, 2.3), (1460, 2.4)).significant
    assert slow.significant
    assert slow.since.day == SINCE
    assert slow.faster is None


def test_faster_than_before_is_said_from_three_rounds_on_and_leads_sooner() -> None:
    found = series((0, 2.0), (365, 2.1), (730, 3.0))
    assert found.faster is not None
    assert found.faster == pytest.approx((0.1 * 365.25 / 365, 0.9 * 365.25 / 365))
    assert "faster than before: 0.9 mm a year, 0.1 until 2025-11-01" in found.words(1.0)
    end = found.through(1.0)
    assert end is not None
    assert (end - found.last.day).days <= 365 / 0.9 + 1
    assert series((0, 2.0), (365, 2.1), (730, 2.3)).faster is None, "the gauge cannot tell"


def test_the_working_can_be_followed() -> None:
    told = dict(grown(2.2, 3.3, 370).working(1.7).lines())
    assert told["deeper by"].endswith("= 1.1 mm")
    assert "370" in told["a year"]
    assert told["nothing left, at the earliest"].endswith("2027-03-27")
    assert len(grown(2.2, 3.3, 370).working(None).steps) == 4
    assert "rubbed away" in str(told)


def test_days_out_of_order_are_refused() -> None:
    for days in ([(0, 1.0)], [(5, 1.0), (5, 1.2)], [(9, 1.0), (3, 1.2)]):
        with pytest.raises(CannotCalculate):
            series(*days)


def boat(random_: random.Random, rounds: int, growth_mm: float = 0.0) -> list[SpotGrowth]:
    """Twenty spots; ± 0.1 mm is a 95 % limit, read to 0.1 mm. `growth_mm`: of one of them, a year."""
    told = []
    for spot in range(20):
        true = random_.uniform(0.8, 3.0)
        grows = growth_mm if spot == 0 else 0.0
        points = [
            (365 * number, round(true + grows * number + random_.gauss(0, 0.1 / 1.96), 1)) for number in range(rounds)
        ]
        told.append(series(*points, spots=20))
    return told


@pytest.mark.parametrize("rounds", [2, 3])
def test_where_nothing_grew_it_is_said_of_one_boat_in_twenty_at_most(rounds: int) -> None:
    random_ = random.Random(17)
    alarms = sum(any(spot.significant for spot in boat(random_, rounds)) for _ in range(1000))
    assert alarms <= 50


def test_half_a_millimetre_a_year_on_one_spot_is_found_after_a_year() -> None:
    random_ = random.Random(18)
    found = sum(boat(random_, 2, 0.5)[0].significant for _ in range(1000))
    assert found >= 900


def test_the_least_growth_that_ultrasound_in_a_pit_can_find_is_most_of_its_depth() -> None:
    for depth in (0.5, 1.0, 2.0, 4.0):
        least = least_growth_mm(depth, repeat_error_mm, spots=20)
        assert least > depth
        assert not SpotGrowth(
            (
                SpotReading(SINCE, depth, repeat_error_mm(depth)),
                SpotReading(SINCE + timedelta(days=365), depth + 0.9 * least, repeat_error_mm(depth + 0.9 * least)),
            ),
            spots=20,
        ).significant
