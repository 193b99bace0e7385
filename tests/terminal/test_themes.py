"""Our two themes can be read in sunlight and in a bilge: 7:1 or better, by the formula of WCAG 2.2."""

from __future__ import annotations

import pytest
from textual.color import Color
from textual.theme import Theme

from inspect_tui.terminal.themes import BILGE, SUNLIGHT

LEAST = 7.0
# (text, ground) as they meet in the stylesheets.
PAIRS = [
    ("foreground", "background"),
    ("foreground", "panel"),
    ("accent", "background"),
    ("accent", "panel"),
    ("warning", "background"),
    ("error", "background"),
    ("background", "error"),
    ("success", "background"),
    ("text-muted", "background"),
    ("text-muted", "panel"),
    ("block-cursor-foreground", "block-cursor-background"),
    ("block-cursor-blurred-foreground", "block-cursor-blurred-background"),
    ("footer-key-foreground", "footer-background"),
    ("footer-description-foreground", "footer-background"),
    ("input-cursor-foreground", "input-cursor-background"),
]


def luminance(colour: Color) -> float:
    """Relative luminance. Source: W3C, WCAG 2.2, definition of relative luminance (from memory)."""
    channels = [channel / 255 for channel in (colour.r, colour.g, colour.b)]
    linear = [one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: Color, other: Color) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_black_on_white_is_twenty_one_to_one() -> None:
    assert contrast(Color(0, 0, 0), Color(255, 255, 255)) == pytest.approx(21.0)


@pytest.mark.parametrize("theme", [BILGE, SUNLIGHT], ids=lambda theme: theme.name)
@pytest.mark.parametrize("pair", PAIRS, ids="-on-".join)
def test_text_stands_out_from_its_ground(theme: Theme, pair: tuple[str, str]) -> None:
    variables = {**theme.to_color_system().generate(), **theme.variables}
    text, ground = (Color.parse(variables[name]) for name in pair)
    assert contrast(text, ground) >= LEAST
