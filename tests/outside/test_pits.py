"""How pits are described, against the chart of ASTM G46 and what is quoted of it."""

from __future__ import annotations

import pytest

from inspect_tui.engineering.metal.pits import (
    DENSITY_CHART,
    DEPTH_CHART,
    OPENING_CHART,
    chart_class,
    describe,
    pitting_factor,
    pitting_probability_percent,
)

# ASTM G46-94, the chart of ratings, from memory: pits per m², opening in mm², depth in mm of pictures 1 to 5.
CHART = {1: (2.5e3, 0.5, 0.4), 2: (1e4, 2.0, 0.8), 3: (5e4, 8.0, 1.6), 4: (1e5, 12.5, 3.2), 5: (5e5, 24.5, 6.4)}
COLUMNS = {"A": DENSITY_CHART, "B": OPENING_CHART, "C": DEPTH_CHART}
PICTURES = [(letter, number, row[at]) for number, row in CHART.items() for at, letter in enumerate(COLUMNS)]


@pytest.mark.parametrize(("letter", "number", "value"), PICTURES)
def test_each_picture_of_the_chart_is_its_own_class(letter: str, number: int, value: float) -> None:
    assert COLUMNS[letter][number - 1] == value
    assert chart_class(value, COLUMNS[letter]) == number


def test_the_example_in_the_text() -> None:
    # The same standard, from memory: A-3, B-2, C-3 is 50,000 a m², 2.0 mm², 1.6 mm.
    told = zip(COLUMNS.values(), (5e4, 2.0, 1.6), strict=True)
    assert [chart_class(value, chart) for chart, value in told] == [3, 2, 3]


def test_what_is_reported() -> None:
    # As quoted: the deepest, the mean, the mean of the ten deepest; the ratio of deepest to mean loss, 1 where it is
    # even; pitted specimens in a hundred (from memory).
    depths = [0.1 * step for step in range(1, 16)]
    told = describe(depths, 0.09)
    assert (told.deepest_mm, told.mean_mm, told.ten_deepest_mm) == pytest.approx((1.5, 0.8, 1.05))
    assert pitting_factor(0.6, 0.6) == 1
    assert pitting_probability_percent(9, 12) == 75
