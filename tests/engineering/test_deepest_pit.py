"""What can be said of metal nobody looked at, and what is refused."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_tui.engineering.metal.deepest_pit import advice, deepest_pit
from inspect_tui.engineering.metal.deepest_pit_working import deepest_pit_working
from inspect_tui.engineering.metal.every_pit import every_pit
from inspect_tui.engineering.metal.growth import growth
from inspect_tui.engineering.metal.metal_loss import looks_like_steel_setting, metal_loss, through_paint
from inspect_tui.engineering.metal.pits import describe, pitting_factor
from inspect_tui.engineering.strength.pressure import Craft, Panel, design_pressure
from inspect_tui.engineering.strength.stiffeners import Stiffener
from inspect_tui.errors import CannotCalculate

TWELVE = (1.2, 0.8, 2.4, 1.9, 3.1, 1.1, 0.9, 1.6, 1.4, 2.2, 1.0, 1.3)


@pytest.mark.parametrize(
    ("depths", "more", "words"),
    [
        ((1.2, 0.8), {}, "2 squares cannot speak"),
        ((1.5,) * 12, {}, "All depths are equal"),
        ((1.2, 0.8, 2.4, 1.9, 7.0), {"plate_mm": 5}, "is a hole"),
        ((1.2, 0.8, 2.4, 1.9, -1.0), {}, "not a pit's depth"),
        ((1.2, 0.8, 2.4, 1.9, float("nan")), {}, "not a pit's depth"),
        ((1.2, 0.8), {"not_found": 10}, "at least 3 are needed"),
        (TWELVE, {"total_area_m2": 1.0}, "none is left"),
        (TWELVE, {"not_found": 2, "method": "mvlue"}, "need the method 'ml'"),
        (TWELVE * 2, {"method": "mvlue"}, "2 to 16 squares"),
        (TWELVE, {"confidence": 95}, "a share from 0.5"),
        (TWELVE, {"patch_area_m2": 0}, "a size in m²"),
    ],
)
def test_nonsense_gets_a_sentence_and_no_number(depths: tuple[float, ...], more: dict[str, Any], words: str) -> None:
    settings_: dict[str, Any] = {"patch_area_m2": 0.09, "total_area_m2": 4.6, **more}
    with pytest.raises(CannotCalculate, match=words):
        deepest_pit(depths, **settings_)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.integers(1, 49), min_size=5, max_size=40), st.integers(0, 6), st.integers(0, 3))
def test_bounds_keep_their_order_whatever_is_measured(tenths: list[int], without: int, holed: int) -> None:
    depths = [tenth / 10 for tenth in tenths]
    try:
        found = deepest_pit(depths, 0.09, 12, plate_mm=5, not_found=without, holed=holed)
    except CannotCalculate:
        return
    assert found.deepest_likely_mm < found.deepest_bound_mm
    assert found.return_level_mm < found.return_level_bound_mm
    assert found.hole_probability is not None
    assert found.hole_probability_cautious is not None
    assert 0 <= found.hole_probability <= 1
    assert 0 <= found.hole_probability_cautious <= 1
    assert found.chance_deeper(found.deepest_bound_mm) == pytest.approx(0.05, abs=1e-4)
    assert "safe" not in advice(found)
    assert deepest_pit_working(found).steps


def test_a_larger_unseen_area_hides_a_deeper_pit() -> None:
    bounds = [deepest_pit(TWELVE, 0.09, area, plate_mm=8).deepest_bound_mm for area in (3, 6, 12, 24)]
    assert bounds == sorted(bounds)


def test_the_adviser_s_patches_bring_the_bound_under_the_plate() -> None:
    """Taken as advised, with the same spread, the bound comes to the plate within a tenth."""
    found = deepest_pit(TWELVE, 0.09, 9, plate_mm=6.0)
    assert found.deepest_bound_mm > 6.0
    assert found.more_patches
    many = found.sample.count + found.more_patches
    import math

    ideal = [
        found.fit.location_mm - found.fit.scale_mm * math.log(-math.log((rank - 0.44) / (many + 0.12)))
        for rank in range(1, many + 1)
    ]
    assert deepest_pit(ideal, 0.09, 9, plate_mm=6.0).deepest_bound_mm == pytest.approx(6.0, rel=0.1)


def test_warnings_name_what_is_doubtful() -> None:
    told = " ".join(deepest_pit(TWELVE, 0.01, 9, plate_mm=5, holed=1, worst_chosen=True).warnings)
    for words in ("looked worst", "holed already", "20 to 30 are usual", "% of the area", "beyond 500"):
        assert words in told


def test_every_step_of_the_working_names_its_source() -> None:
    for settings_ in ({}, {"not_found": 3}, {"method": "moments"}, {"method": "ml"}):
        working = deepest_pit_working(deepest_pit(TWELVE, 0.09, 9, plate_mm=5, **settings_))
        assert all(str(step.source) for step in working.steps)
        assert working.not_covered


def test_gauges_that_are_wrong_are_noticed() -> None:
    assert looks_like_steel_setting([5.62, 5.61, 5.63], 6.0)
    assert not looks_like_steel_setting([5.62, 5.0, 5.9], 6.0)
    told = metal_loss([5.62, 5.61, 5.63], 6.0, aluminium=True, baseline_from="drawing")
    assert any("steel setting" in warning for warning in told.warnings)
    assert any("may have been thicker" in warning for warning in told.warnings)
    assert any("more than the 6 mm" in warning for warning in metal_loss([6.4], 6.0).warnings)
    with pytest.raises(CannotCalculate, match="cannot be a plate"):
        metal_loss([60], 6.0)
    with pytest.raises(CannotCalculate, match="echo to echo"):
        through_paint(2.0, 1.0)


def test_what_means_nothing_is_not_quoted() -> None:
    with pytest.raises(CannotCalculate, match="means nothing"):
        pitting_factor(2.0, 0.05)
    assert growth(6.0, 5.9, 10).rate_mm_per_year is None
    assert any("no rate is quoted" in warning for warning in growth(6.0, 5.9, 10).warnings)
    with pytest.raises(CannotCalculate, match="in m²"):
        describe([1.0], 0)


def test_missing_particulars_are_named_and_not_guessed() -> None:
    with pytest.raises(CannotCalculate, match="head of water"):
        design_pressure(Craft(True, "A", 10, 8000), Panel("tank", 300, 900))
    with pytest.raises(CannotCalculate, match="righting lever"):
        design_pressure(Craft(True, "A", 10, 4000), Panel("bottom", 300, 900))
    with pytest.raises(CannotCalculate, match=r"beam at waterline or chine \(m\), deadrise"):
        design_pressure(Craft(False, "C", 9, 6000, speed_kn=28), Panel("bottom", 300, 900))
    with pytest.raises(CannotCalculate, match="short"):
        Panel("bottom", 900, 300)
    with pytest.raises(CannotCalculate, match="all of the thickness"):
        Stiffener(80, 8, 5, 400, "aluminium").worn(8)


def test_pits_as_shallow_as_can_be_seen_have_half_a_step_of_depth() -> None:
    """Of six pits that all read the least there is, the mean beyond it is half of that, and not nothing."""
    found = every_pit([[0.1], [0.1, 0.1], [0.1], [0.1], [0.1]], 50, smallest_mm=0.1)
    assert found.mean_mm == pytest.approx(0.05)
    assert 0.1 < found.bound_mm(0.95) < 1.0


@pytest.mark.parametrize("squares", [[[0.5]], [[0.5], [0.4]], [[], []]])
def test_fewer_than_three_pits_tell_no_law(squares: list[list[float]]) -> None:
    with pytest.raises(CannotCalculate, match="at least 3 are needed"):
        every_pit(squares, 50)


def test_of_every_pit_more_unseen_deepens_the_bound() -> None:
    found = every_pit([[0.5, 1.0], [0.6, 1.1], [0.4, 0.9], [0.7, 1.2]], 50)
    bounds = [every_pit([[0.5, 1.0], [0.6], [0.4, 0.9]], unseen).bound_mm(0.95) for unseen in (5, 50, 500)]
    assert bounds == sorted(bounds)
    assert found.chance_deeper_exact(1.0) == pytest.approx(1 - math.exp(-100 * math.exp(-0.9 / 0.7)))
    assert found.probability_below(0.05) == 0.0
