"""A place typed as one line comes back as the same line, and what is no place is words."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_tui.domain.measuring.place_line import next_along, place_line, position_of
from inspect_tui.domain.records import Position
from inspect_tui.domain.words import Face, Side
from inspect_tui.errors import NotUnderstood

PLACES = st.builds(
    Position,
    frame=st.integers(0, 99),
    offset_mm=st.one_of(st.none(), st.integers(-900, 900).filter(bool)),
    side=st.sampled_from(Side),
    girth_mm=st.one_of(st.none(), st.integers(0, 9000)),
    face=st.one_of(st.none(), st.sampled_from(Face)),
)


@settings(deadline=None)
@given(PLACES)
def test_a_place_comes_back_from_its_line(place: Position) -> None:
    assert position_of(place_line(place)) == place
    after = next_along(place)
    assert after.frame == (place.frame or 0) + 1
    assert (after.side, after.girth_mm, after.face, after.offset_mm) == (
        place.side, place.girth_mm, place.face, place.offset_mm,
    )  # fmt: skip


@settings(deadline=None)
@given(st.text(max_size=40))
def test_what_is_no_place_is_kept_as_words(text: str) -> None:
    try:
        told = position_of(text)
    except NotUnderstood:
        return
    if told.frame is None:
        assert told.words == text.strip()
        assert place_line(next_along(told)) == ""


def test_as_people_type_it() -> None:
    assert position_of("fr 14 p") == Position(frame=14, side=Side.PORT)
    assert position_of("Frame 7,5 S 1200 outside") == Position(
        frame=7.5, side=Side.STARBOARD, girth_mm=1200, face=Face.OUTSIDE
    )
    assert position_of("14 300").words == "14 300", "without a side it is no place"
    with pytest.raises(NotUnderstood, match="not a place on her"):
        position_of("14 P 99999999")
