"""Quantities of a repair against published charts."""

from __future__ import annotations

import math

import pytest

from inspect_tui.engineering.work.repair import (
    butt_filler_kg_per_m,
    corner_radius_mm,
    insert_weld_m,
    plate_mass_kg,
)
from inspect_tui.errors import CannotCalculate

# AlcoTec ALC-10030C, MIG butt filler in kg/m by nominal plate in mm.
CHART = {2: 0.01, 3: 0.01, 4: 0.02, 5: 0.04, 6: 0.07, 8: 0.11, 10: 0.15, 12: 0.27, 19: 0.61, 25: 1.09}


@pytest.mark.parametrize(("plate_mm", "filler"), CHART.items())
def test_the_rows_of_the_filler_chart_are_given_back(plate_mm: float, filler: float) -> None:
    assert butt_filler_kg_per_m(plate_mm) == filler


def test_between_rows_the_filler_lies_between_them() -> None:
    for low, high in ((5, 6), (6, 8), (12, 19)):
        assert CHART[low] < butt_filler_kg_per_m((low + high) / 2) < CHART[high]


@pytest.mark.parametrize("plate_mm", [1.9, 25.1, -3])
def test_outside_the_chart_nothing_is_made_up(plate_mm: float) -> None:
    with pytest.raises(CannotCalculate, match="2 to 25 mm"):
        butt_filler_kg_per_m(plate_mm)


def test_geometry_of_an_insert() -> None:
    # A round insert of radius R is the square 2R × 2R with all its corner taken: its weld is the circle.
    assert insert_weld_m(200, 200, 100) == pytest.approx(2 * math.pi * 0.1)
    assert insert_weld_m(400, 300, 0) == pytest.approx(1.4)
    # Corner R = 5 t, at least 100 mm: numbers quoted for IACS Recommendation 47, not seen in it.
    assert corner_radius_mm(6) == 100
    assert corner_radius_mm(22) == 110
    assert plate_mass_kg(1, 5) == pytest.approx(13.3)


@pytest.mark.parametrize(("nominal_mm", "inches"), [(6, 1 / 4), (12, 1 / 2), (25, 1)])
def test_the_chart_is_that_of_a_vee_of_sixty_degrees(nominal_mm: float, inches: float) -> None:
    # The chart's plates are inches: 1.10·t²·tan 30°·2660 kg/m³, computed, gives its rows within 6 %.
    thickness = inches * 25.4
    told = 1.10 * thickness**2 * math.tan(math.radians(30)) * 2.66e-3
    assert butt_filler_kg_per_m(nominal_mm) == pytest.approx(told, rel=0.06)
