"""Growth of a pit between two rounds: its error, its rate, and where it leads."""

from __future__ import annotations

from datetime import date

import pytest

from inspect_tui.engineering.metal.pit_growth import PitGrowth


def grown(then: float, now: float, days: int = 365, error: float = 0.1) -> PitGrowth:
    since = date(2024, 11, 1)
    return PitGrowth(then, now, error, since, date.fromordinal(since.toordinal() + days))


def test_a_rate_is_by_the_year_and_carries_two_readings_errors() -> None:
    # By hand: 1.1 mm in 370 days; √2 · 0.1 mm is what two readings can tell.
    found = grown(2.2, 3.3, 370)
    assert found.grown_mm == pytest.approx(1.1)
    assert found.tells_mm == pytest.approx(0.14142, abs=1e-5)
    assert found.rate_mm_year == pytest.approx(1.1 / 370 * 365.25)
    assert found.fastest_mm_year == pytest.approx(1.24142 / 370 * 365.25, rel=1e-5)


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
    assert (end - found.until).days == pytest.approx(1.5 / found.fastest_mm_year * 365.25, abs=1)
    assert found.through(29.9 * found.fastest_mm_year) is not None
    assert found.through(30.1 * found.fastest_mm_year) is None
    assert "nothing left by" in found.words(1.5)
    assert "nothing left" not in found.words(None)
    assert "nothing left" not in found.words(500)


def test_a_pit_that_reads_shallower_does_not_grow_backwards() -> None:
    found = grown(3.0, 2.8)
    assert found.rate_mm_year == 0
    assert found.fastest_mm_year > 0
    assert not found.significant


def test_the_working_can_be_followed() -> None:
    told = dict(grown(2.2, 3.3, 370).working(1.7).lines())
    assert told["deeper by"].endswith("= 1.1 mm")
    assert "370" in told["a year"]
    assert told["nothing left, at the earliest"].endswith("2027-03-27")
    assert len(grown(2.2, 3.3, 370).working(None).steps) == 3
