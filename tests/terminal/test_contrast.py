"""Contrast of every pair of colours that is drawn, on all screens and in their questions, in both themes.

Ratios as in W3C, Web Content Accessibility Guidelines 2.1: 7:1 is level AAA of success criterion 1.4.6 for text, 3:1
that of 1.4.11 for what is no text.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from rich.color import Color
from rich.style import Style

from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.terminal.app import InspectApp
from inspect_tui.terminal.screens.base import BookScreen
from tests.terminal.helpers import Hands, at_work, demo_file
from tests.terminal.test_keys import each_screen, opened

TEXT, EDGE = 7.0, 3.0
# What draws lines, edges and thumbs, and no letters.
DRAWN = set("─│┌┐└┘├┤━┃┏┓┗┛▌▐▊▎▕▏▁▂▃▄▅▆▇█▀▔╱╸╹╺╻ ▍▋▉")


def luminance(color: Color) -> float:
    """Relative luminance [0 to 1] of an sRGB colour.

    >>> round(luminance(Color.parse("#ffffff")), 3), round(luminance(Color.parse("#000000")), 3)
    (1.0, 0.0)
    """
    channels = [one / 255 for one in color.get_truecolor()]
    linear = [one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def ratio(one: Color, other: Color) -> float:
    """Contrast ratio of two colours, 1 to 21.

    >>> round(ratio(Color.parse("#ffffff"), Color.parse("#000000")), 1)
    21.0
    """
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def pairs(app: InspectApp) -> set[tuple[str, str, bool]]:
    """The pairs of colours on the screen now, in front and behind; whether letters are drawn with them."""
    found: set[tuple[str, str, bool]] = set()
    strips = app.screen._compositor.render_strips(app.size)
    if app.screen.is_modal:
        # What shines through beside a question is out of use until it is answered.
        card = next(iter(app.screen.query(".card, #--container"))).region
        strips = [strip.crop(card.x, card.right) for strip in strips[card.y : card.bottom]]
    for strip in strips:
        for segment in strip:
            style = segment.style or Style.null()
            if not segment.text.strip() or style.color is None or style.bgcolor is None:
                continue
            if set(segment.text) == {"▀"}:
                continue  # a photo's own colours
            front, back = style.color.get_truecolor().hex, style.bgcolor.get_truecolor().hex
            if style.reverse:
                front, back = back, front
            found.add((front, back, bool(set(segment.text.replace("…", "")) - DRAWN)))
    return found


def weak(app: InspectApp) -> list[tuple[str, str, bool, float]]:
    told = []
    for front, back, letters in pairs(app):
        found = ratio(Color.parse(front), Color.parse(back))
        if found < (TEXT if letters else EDGE):
            told.append((front, back, letters, round(found, 2)))
    return told


async def through(hands: Hands) -> list[tuple[str, str, bool, float]]:
    """What is weak on this screen, on its help and on its menu."""
    screen = hands.app.screen
    found = weak(hands.app)
    if isinstance(screen, BookScreen):
        for action in ("action_help", "action_more"):
            getattr(screen, action)()
            await hands.settle()
            found += weak(hands.app)
            hands.app.pop_screen()
            await hands.settle()
    return found


FEW = ("boat", "walk", "worklist", "finding")


async def test_every_pair_of_colours_can_be_read(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path), size=(140, 45)) as hands:
        async for name, _ in each_screen(hands):
            for theme in ("bilge", "sunlight"):
                hands.app.theme = theme
                await hands.settle()
                assert pairs(hands.app), "something is drawn"
                # What help and menu look like is the same on all screens: they are read on few.
                found = await through(hands) if name in FEW else weak(hands.app)
                assert (name, theme, found) == (name, theme, [])


@pytest.mark.parametrize("theme", ["bilge", "sunlight"])
async def test_questions_complaints_and_the_edges_of_fields_can_be_read(
    theme: str, tmp_path: Path, checklists: Checklists
) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        hands.app.theme = theme
        for keys in (
            ["enter", "u"], ["escape", "a"], ["escape", "escape", "h", "tab"], ["x", "f2"], ["escape", "ctrl+p"],
            ["escape", "escape", "slash"], ["escape", "q"],
        ):  # fmt: skip
            await hands.press(*keys[:-1])
            if keys[-1] != "q":
                await hands.press(keys[-1])
            await hands.pilot.pause(0.1)
            assert weak(hands.app) == [], keys
        variables = hands.app.theme_variables
        edge, focus = (Color.parse(variables[one]) for one in ("field-edge", "accent"))
        for ground in ("background", "panel"):
            assert ratio(edge, Color.parse(variables[ground])) >= EDGE
            assert ratio(focus, Color.parse(variables[ground])) >= EDGE


async def test_without_colours_none_is_drawn(
    tmp_path: Path, checklists: Checklists, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with at_work(checklists, demo_file(tmp_path), size=(80, 24)) as hands:
        for name in ("boat", "walk", "measure", "worklist"):
            await opened(hands, name)
            await hands.settle()
            for front, back, _ in pairs(hands.app):
                assert front[1:3] == front[3:5] == front[5:7], "grey at the most"
                assert back[1:3] == back[3:5] == back[5:7]
