"""The probability plot: every square drawn is a point of it, with dots and without."""

from __future__ import annotations

import pytest

from inspect_tui.engineering.metal.deepest_pit import deepest_pit
from inspect_tui.terminal.widgets.plots import LINE, PLATE, POINT, gumbel_plot


@pytest.mark.parametrize("plain", [False, True])
def test_every_square_is_a_point_beside_the_fitted_line_and_the_plate(*, plain: bool) -> None:
    depths = [0.8, 1.2, 1.9, 2.4, 3.1]
    drawn = gumbel_plot(deepest_pit(depths, 0.09, 4.6, plate_mm=6.0), 60, 16, plain=plain)
    body = drawn.split("mm └")[0]
    assert body.count(POINT) == len(depths)
    dots = [sign for sign in body if "\u2800" < sign <= "\u28ff"]
    assert bool(dots) is not plain
    assert (LINE in body and PLATE in body) is plain
