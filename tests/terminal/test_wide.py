"""Two panes where there is room; the boat drawn by her frames; letters and photos out of blocks; the guided walk."""

from __future__ import annotations

import io
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from rich.cells import cell_len
from textual.widgets import OptionList

from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.words import Lane
from inspect_tui.terminal.lists import ListScreen
from inspect_tui.terminal.names import ScreenName
from inspect_tui.terminal.screens.walk.see_photo import SeePhoto
from inspect_tui.terminal.widgets.blocks import PhotoBlocks, large_type
from inspect_tui.terminal.widgets.long_section import Cell, Look, laid_out
from inspect_tui.terminal.widgets.tour import STEPS, Tour
from tests.terminal.helpers import at_work, demo_file
from tests.terminal.test_keys import each_screen, opened

LISTS: tuple[ScreenName, ...] = (
    "worklist", "plan", "scope", "since", "money", "launch", "parts", "chalk", "metal", "gauging", "causes", "cause",
    "patches",
    "shots", "trail", "photos",
)  # fmt: skip
WORKING = {"worklist", "plan", "scope", "metal", "cause", "patches"}


async def test_list_and_detail_stand_side_by_side(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path), size=(140, 45)) as hands:
        async for name, screen in each_screen(hands):
            if name not in LISTS:
                assert name == "inbox" or not isinstance(screen, ListScreen), name
                continue
            assert isinstance(screen, ListScreen)
            for size in ((110, 30), (140, 45)):
                await hands.pilot.resize_terminal(*size)
                await hands.settle()
                rows, detail = screen.query_one("#list").region, screen.query_one("#right").region
                assert detail.width >= 48, name
                assert rows.right <= detail.x, "beside"
                assert abs(rows.y - detail.y) <= 1
                assert rows.width >= 57, name
                heads = screen.columns()
                assert not heads or heads[:40].rstrip() in hands.text, "what the columns are stands over them"
                assert screen.query_one("#working").display is (name in WORKING)


async def test_the_chosen_row_is_in_sight_wherever_one_goes(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        async for name, screen in each_screen(hands):
            if name in LISTS:
                rows = screen.query_one("#list", OptionList)
                for key in (*["down"] * 8, "end", "up"):
                    await hands.press(key)
                    assert rows.highlighted is not None, name
                    assert 0 <= rows.highlighted - rows.scroll_offset.y < rows.size.height, (name, key)


async def test_on_a_small_screen_the_detail_stands_below(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        screen = await opened(hands, "worklist")
        assert screen.query_one("#right").region.y >= screen.query_one("#list").region.bottom


async def test_a_form_has_its_meaning_beside_it_and_its_fields_no_wider_than_what_is_typed(
    tmp_path: Path, checklists: Checklists
) -> None:
    async with at_work(checklists, demo_file(tmp_path), size=(140, 45)) as hands:
        screen = await opened(hands, "measure")
        assert screen.query_one("#form").region.right <= screen.query_one("#beside").region.x
        assert screen.query_one("#error").region.width <= 30
        line = next(one for one in hands.text.splitlines() if one.startswith(" Accuracy"))
        assert line.index("mm") < 50, "the unit stands beside its field"
        assert "INSERT PLATE" in hands.text


# --- the boat lengthways ----------------------------------------------------------------------------------------


def cells() -> st.SearchStrategy[list[Cell]]:
    frame = st.one_of(st.none(), st.floats(-5, 40).map(lambda one: round(one, 1)))

    def cell(number: int, lane: Lane, short: str, first: float | None, long: float, mark: str) -> Cell:
        last = None if first is None else first + long
        return Cell(str(number), lane, short or "x", first, last, mark=mark)

    one = st.builds(
        cell, st.integers(0, 10**9), st.sampled_from(Lane), st.text("abcdef ø漢", max_size=14), frame,
        st.floats(0, 20), st.sampled_from(["", "!", "!!", "NOW", "TODAY"]),
    )  # fmt: skip
    return st.lists(one, max_size=46, unique_by=lambda one: one.compartment)


@given(cells(), st.integers(50, 200))
@settings(max_examples=300, deadline=None)
def test_every_compartment_is_drawn_once_in_its_lane_and_over_no_other(drawn: list[Cell], width: int) -> None:
    rows = laid_out(drawn, width)
    placed = [one for row in rows for one in row]
    assert sorted(one.cell.compartment for one in placed) == sorted(cell.compartment for cell in drawn)
    lanes = [list(Lane).index(row[0].cell.lane) for row in rows]
    assert lanes == sorted(lanes), "deck first, keel last"
    for row in rows:
        assert len({one.cell.lane for one in row}) == 1
        for one, behind in pairwise(row):
            assert one.at + one.wide <= behind.at
        for one in row:
            assert one.at >= 0
            assert one.at + one.wide <= width
            assert one.wide >= 3 + len(one.cell.mark)


def test_a_compartment_stands_where_its_frames_put_it() -> None:
    drawn = [
        Cell("bow", Lane.BELOW, "Stem", 0, 2), Cell("mid", Lane.BELOW, "Bilge", 9, 16),
        Cell("stern", Lane.BELOW, "Steer", 24, 26), Cell("all", Lane.ABOVE, "Deck", 0, 26),
    ]  # fmt: skip
    deck, below = laid_out(drawn, 104)
    assert [(one.at, one.wide) for one in deck] == [(0, 104)]
    assert [(one.cell.compartment, one.at) for one in below] == [("bow", 0), ("mid", 36), ("stern", 96)]
    assert below[1].wide == 28, "seven frames of four columns"


@pytest.mark.parametrize(
    ("cell", "look"),
    [
        (Cell("a", Lane.KEEL, "a"), Look.NOT_BEGUN),
        (Cell("a", Lane.KEEL, "a", begun=True, seen=1.0), Look.SEEN),
        (Cell("a", Lane.KEEL, "a", begun=True, seen=0.8, unseen=True), Look.UNSEEN),
    ],
)
def test_unseen_is_unlike_sound_and_unlike_not_begun(cell: Cell, look: Look) -> None:
    assert cell.look is look


async def test_the_boat_tells_what_presses_where_one_stopped_and_what_to_do_first(
    tmp_path: Path, checklists: Checklists
) -> None:
    for size in ((80, 24), (140, 45)):
        folder = tmp_path / str(size[0])
        folder.mkdir()
        async with at_work(checklists, demo_file(folder), size=size) as hands:
            assert " NOW" in hands.text
            assert "TODAY" in hands.text
            assert "1 NOW" in hands.text
            assert "39 Galley" in hands.text
            assert "You stopped" in hands.text
            before = hands.text
            await hands.press("up")
            assert hands.text != before
            await hands.press("enter", "escape")


# --- blocks -----------------------------------------------------------------------------------------------------


@given(st.text(max_size=120), st.integers(12, 140))
@settings(max_examples=80, deadline=None)
def test_large_letters_fit_their_columns(words: str, columns: int) -> None:
    assert all(cell_len(line) <= columns + 8 for line in large_type(words, columns).splitlines())


async def test_the_question_in_large_letters_is_answered_as_ever(tmp_path: Path, checklists: Checklists) -> None:
    file = demo_file(tmp_path)
    async with at_work(checklists, file) as hands:
        await hands.press("enter", "f9", "1")
        assert "▐" in hands.text
        assert "why" not in hands.text
        before = len(file.book.answers)
        await hands.press("u", "1")
        await hands.settle()
        assert len(file.book.answers) >= before
        await hands.press("f9", "1")
        assert "why" in hands.text


async def test_a_photo_is_seen_in_the_terminal(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path), size=(100, 40)) as hands:
        hands.app.go("photos", chalk=29)
        await hands.settle()
        await hands.press("enter")
        assert isinstance(hands.app.screen, SeePhoto)
        drawn = hands.app.screen.query_one(PhotoBlocks)
        assert hands.text.count("▀") > 500
        picture = Image.new("RGB", (40, 20), (200, 0, 0))
        data = io.BytesIO()
        picture.save(data, "JPEG")
        hands.app.push_screen(SeePhoto("red", data.getvalue()))
        await hands.settle()
        red = hands.app.screen.query_one(PhotoBlocks).render()
        assert {str(span.style) for span in red.spans}, "coloured"
        lines = red.plain.splitlines()
        assert abs(len(lines[0]) / len(lines) / 2 - 2) < 0.3, "twice as wide as high, undistorted"
        assert drawn.size.width > 40
        await hands.press("escape", "escape")
        assert not isinstance(hands.app.screen, SeePhoto)


# --- the guided walk --------------------------------------------------------------------------------------------


async def test_the_guided_walk_is_followed_left_and_taken_up_again(tmp_path: Path, checklists: Checklists) -> None:
    kept: dict[str, str] = {}
    async with at_work(checklists, demo_file(tmp_path), size=(100, 40)) as hands:
        tour = hands.app.tour = Tour(0, kept.__setitem__)
        hands.app.screen.refresh_all()  # type: ignore[attr-defined]
        hands.app.screen._guide()  # type: ignore[attr-defined]
        await hands.settle()
        assert f"Guided walk 1 of {len(STEPS)}" in hands.flat
        await hands.press("enter")
        assert "Guided walk 2 of" in hands.flat
        await hands.press("u")
        await hands.settle()
        assert "Guided walk 3 of" in hands.flat
        await hands.press("z")
        assert "Guided walk 4 of" in hands.flat
        await hands.press("f9", "2")
        assert "Guided walk" not in hands.flat, "left"
        assert kept == {"guided-walk": "3"}
        await hands.press("f9", "2")
        assert "Guided walk 4 of" in hands.flat, "taken up again"
        await hands.press("escape", "f")
        await hands.type("by the guide")
        await hands.press("f2", "w")
        assert "Guided walk 7 of" in hands.flat
        await hands.press("escape", "k", "escape", "p")
        assert f"Guided walk {len(STEPS)} of {len(STEPS)}" in hands.flat
        assert tour.at == len(STEPS) - 1
    assert Tour(99, kept.__setitem__).at == len(STEPS) - 1
