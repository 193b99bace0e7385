"""Every screen as text, at two sizes and without colour. A change here is to be read, not waved through."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from pathlib import Path

import pytest
from textual.color import Color

from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.terminal.names import ScreenName
from inspect_tui.terminal.widgets.field import Field
from tests.terminal.helpers import Hands, at_work, check_golden, demo_file

Scene = Callable[[Hands], Awaitable[None]]


def keys(*pressed: str) -> Scene:
    async def play(hands: Hands) -> None:
        await hands.press(*pressed)

    return play


async def papers(hands: Hands) -> None:
    await hands.press("p")
    hands.app.screen.query_one("#folder", Field).value = "/boats/sandmartin papers"
    await hands.wait_for(lambda: " pages," in hands.text)


def opened(name: ScreenName, **settings: int) -> Scene:
    async def play(hands: Hands) -> None:
        hands.app.go(name, **settings)
        await hands.settle()

    return play


async def tank(hands: Hands) -> None:
    hands.app.go("tank")
    await hands.settle()
    for typed in ("19.1", "3", "7,4", "", "100", "4"):
        await hands.type(typed)
        await hands.press("enter")


async def measured(hands: Hands) -> None:
    await hands.press("enter", "left", "left", "m")
    await hands.type("3.1 2,4 0.8")


async def pits_measured(hands: Hands) -> None:
    """At finding 23, which lies on the bottom with its patches."""
    hands.app.go("measure", compartment="c8-demo", chalk=23)
    await hands.pilot.pause()
    await hands.type("3.1 2,4 0.8")


async def working_while_measuring(hands: Hands) -> None:
    await pits_measured(hands)
    await hands.press("f3")


SCENES: dict[str, Scene] = {
    "boat": keys(),
    "boat-selected": keys("up", "left"),
    "walk": keys("enter"),
    "walk-more": keys("enter", "y"),
    "unseen": keys("enter", "u"),
    "share": keys("home", "enter", "left"),
    "words": keys("enter", "left", "a"),
    "finding-new": keys("enter", "f"),
    "finding": keys("number_sign", "down", "enter"),
    "kinds": keys("enter", "f", "up", "enter"),
    "status": keys("number_sign", "enter", "f7"),
    "measure": measured,
    "measure-pits": pits_measured,
    "measure-working": working_while_measuring,
    "metal": keys("k"),
    "metal-working": keys("k", "y"),
    "metal-plot": keys("k", "v", "down", "down", "down", "down", "down", "down", "down", "down", "down", "down"),
    "plate": keys("k", "enter"),
    "worklist": keys("w"),
    "worklist-down": keys("w", "down", "down", "down", "down", "down", "down", "down", "down", "down"),
    "why": keys("w", "y"),
    "done": keys("w", "d"),
    "map": opened("map"),
    "since": opened("since"),
    "money": opened("money"),
    "plan": opened("plan"),
    "scope": opened("scope"),
    "chalk": keys("number_sign"),
    "trail": keys("j"),
    "papers": papers,
    "photos": opened("photos", chalk=29),
    "cause": opened("cause", chalk=6),
    "causes": keys("c"),
    "patches": keys("c", "home", "enter"),
    "protection": keys("c", "home", "down", "enter"),
    "hunt": opened("hunt"),
    "isolation": keys("c", "home", "down", "down", "enter", "f9", "t"),
    "anodes": opened("anodes"),
    "tank": tank,
    "sheets": keys("p", "f9", "1"),
    "particulars": keys("h"),
    "compartment": keys("e"),
    "add": keys("a"),
    "more": keys("f9"),
    "more-form": keys("number_sign", "enter", "f9"),
    "only": keys("w", "o"),
    "launch": keys("l"),
    "parts": keys("x"),
    "gauging": keys("g"),
    "shots": opened("shots"),
    "first-pass": keys("b"),
    "large": keys("enter", "f9", "1"),
    "help-boat": keys("question_mark"),
    "help-walk": keys("enter", "question_mark"),
    "saving": keys("ctrl+p", *"saving", "enter"),
    "hauled": keys("f9", "4"),
    "new-round": keys("f9", "3"),
}


@pytest.mark.parametrize("name", list(SCENES))
async def test_screen(name: str, tmp_path: Path, checklists: Checklists) -> None:
    """Small, and after the window was drawn large."""
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        await SCENES[name](hands)
        for size in ((80, 24), (140, 45)):
            if size != (80, 24):
                await hands.pilot.resize_terminal(*size)
                await hands.settle()
                await hands.pilot.pause()
            text = hands.text.replace(str(tmp_path), "/boats")
            if name != "saving":  # the path's length decides where that one wraps
                check_golden(f"{name}-{size[0]}x{size[1]}", text)
            else:
                assert "save a copy elsewhere" in text


@pytest.mark.parametrize("size", [(80, 24), (140, 45)], ids=lambda size: f"{size[0]}x{size[1]}")
async def test_start(size: tuple[int, int], checklists: Checklists) -> None:
    async with at_work(checklists, None, size=size, start_path=Path("/boats/tern.hullbook")) as hands:
        check_golden(f"start-{size[0]}x{size[1]}", hands.text)
        await hands.type("Tern")
        await hands.press("enter", "enter", "s", "enter", "a", "enter")
        await hands.type("nine")
        await hands.press("enter")
        check_golden(f"start-complaint-{size[0]}x{size[1]}", hands.text)
        await hands.press(*["backspace"] * 4, "9", "enter", "h", "enter", "enter", "enter")
        check_golden(f"start-compartments-{size[0]}x{size[1]}", hands.text)


@pytest.mark.parametrize("name", ["boat", "walk", "finding", "measure", "worklist", "papers"])
async def test_without_colour_every_word_is_still_there(
    name: str, tmp_path: Path, checklists: Checklists, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        await SCENES[name](hands)
        check_golden(f"{name}-80x24", hands.text.replace(str(tmp_path), "/boats"))
        colours = set()
        for line in hands.app.screen._compositor.render_strips(hands.app.size):
            for segment in line.apply_filter(hands.app._filters[-1], Color(0, 0, 0)):
                if segment.style and segment.style.color and segment.style.color.triplet:
                    colours.add(segment.style.color.triplet)
        assert colours
        assert all(one.red == one.green == one.blue for one in colours)


async def test_nothing_is_cut_off_at_eighty_columns(tmp_path: Path, checklists: Checklists) -> None:
    """The last key of each footer is in sight."""
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        for pressed, last in ((("enter",), "More"), (("escape", "l"), "Undo")):
            await hands.press(*pressed)
            assert last in hands.text.splitlines()[-1]
