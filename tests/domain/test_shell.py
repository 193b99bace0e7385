"""Places on the developed shell: there and back, on boats measured in every way."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_tui.domain.records import Boat, Compartment, Datum, Position
from inspect_tui.domain.shell import ShellPlace, from_bow_mm, on_shell, position_at
from inspect_tui.domain.words import Face, FrameDirection, HullMetal, Rig, Side

MM = st.floats(-500, 30_000, allow_nan=False)


def boat(length_m: float = 12.0, /, **datum: object) -> Boat:
    return Boat(
        name="x", rig=Rig.SAIL, hull_metal=HullMetal.STEEL, hull_length_m=length_m, datum=Datum.model_validate(datum)
    )


TABLES = st.lists(st.floats(50, 900), min_size=1, max_size=40).map(
    lambda steps: tuple(sum(steps[:count]) for count in range(len(steps)))
)
DATUMS = st.fixed_dictionaries(
    {"direction": st.sampled_from(FrameDirection)},
    optional={"frame_spacing_mm": st.floats(100, 1500), "frame_table_mm": TABLES},
)
BOATS = st.builds(lambda length, datum: boat(length, **datum), st.floats(4, 40), DATUMS)
PLACES = st.builds(ShellPlace, MM, st.floats(-6000, 6000, allow_nan=False), st.sampled_from([*Face, None]))


@given(BOATS, PLACES)
def test_a_place_is_found_again_from_its_position(of: Boat, place: ShellPlace) -> None:
    again = on_shell(of, position_at(of, place))
    assert again is not None
    assert again.from_bow_mm == pytest.approx(place.from_bow_mm, abs=1e-6)
    assert again.out_mm == pytest.approx(place.out_mm, abs=1e-6)
    assert again.face is place.face


@given(BOATS, PLACES)
def test_the_frame_that_is_named_is_the_nearest(of: Boat, place: ShellPlace) -> None:
    position = position_at(of, place)
    if position.frame is None:
        assert not of.datum.frame_table_mm
        assert of.datum.frame_spacing_mm is None
        return
    for other in (position.frame - 1, position.frame + 1):
        at = from_bow_mm(of, Position(frame=other))
        if at is not None and (not of.datum.frame_table_mm or 0 <= other < len(of.datum.frame_table_mm)):
            assert abs(at - place.from_bow_mm) >= abs(position.offset_mm or 0.0) - 1e-6


TABLE = (0.0, 400.0, 900.0)


@pytest.mark.parametrize(
    ("datum", "position", "along"),
    [
        ({"frame_spacing_mm": 500}, {"frame": 14, "offset_mm": 120}, 7120),
        ({"frame_spacing_mm": 500}, {"frame": -1}, -500),
        ({"frame_spacing_mm": 500, "direction": FrameDirection.FORWARD}, {"frame": 2, "offset_mm": 100}, 11_100),
        ({"frame_table_mm": TABLE}, {"frame": 1, "offset_mm": -50}, 350),
        ({"frame_table_mm": TABLE}, {"frame": 1.5}, 650),
        ({"frame_table_mm": TABLE}, {"frame": 2}, 900),
        ({"frame_table_mm": TABLE}, {"frame": 4}, None),
        ({"frame_table_mm": TABLE, "frame_spacing_mm": 500}, {"frame": 4}, 1900),
        ({"frame_table_mm": TABLE, "frame_spacing_mm": 500}, {"frame": -1}, -500),
        ({"frame_table_mm": (300.0,)}, {"frame": 0, "offset_mm": 10}, 310),
        ({"frame_table_mm": TABLE, "direction": FrameDirection.FORWARD}, {"frame": 1, "offset_mm": 30}, 11_630),
        ({}, {"frame": 3}, None),
        ({}, {"offset_mm": 3456}, 3456),
        ({"direction": FrameDirection.FORWARD}, {"offset_mm": 3456}, 8544),
        ({"frame_spacing_mm": 500}, {"offset_mm": 3456}, 3456),
        ({"frame_spacing_mm": 500}, {}, None),
    ],
)
def test_how_far_from_the_bow(datum: dict[str, object], position: dict[str, float], along: float | None) -> None:
    assert from_bow_mm(boat(**datum), Position.model_validate(position)) == along


@pytest.mark.parametrize(
    ("side", "girth", "behind", "out"),
    [
        (Side.PORT, 300, None, -300),
        (Side.STARBOARD, 300, None, 300),
        (Side.CENTRE, None, None, 0),
        (Side.CENTRE, 0, None, 0),
        (None, 0, None, 0),
        (Side.CENTRE, 300, None, None),
        (Side.PORT, None, None, None),
        (None, 300, None, None),
        (None, 300, Side.PORT, -300),
        (Side.STARBOARD, 300, Side.PORT, 300),
    ],
)
def test_how_far_out(side: Side | None, girth: float | None, behind: Side | None, out: float | None) -> None:
    place = Compartment(id="c1-x", area="stem", name="Stem", order=1, side=behind)
    told = on_shell(boat(), Position(offset_mm=1000, side=side, girth_mm=girth), place)
    assert (told.out_mm if told else None) == out
