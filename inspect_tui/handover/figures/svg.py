"""The few marks that the figures are made of. Coordinates are in the drawing's own units, y downwards."""

from __future__ import annotations

from html import escape
from typing import Literal

from inspect_tui.domain.plain import one_line
from inspect_tui.handover.model import Ring

FONT = "Fira Sans, Fira Sans Condensed, DejaVu Sans, Arial, sans-serif"
INK, GREY, PALE = "#111111", "#666666", "#dddddd"
Anchor = Literal["start", "middle", "end"]


def number(value: float) -> str:
    """A coordinate with at most one decimal.

    >>> number(3.0), number(2.345)
    ('3', '2.3')
    """
    return f"{value:.1f}".removesuffix(".0")


def text(
    x: float, y: float, words: str, *, size: float = 11, anchor: Anchor = "start", bold: bool = False, fill: str = INK
) -> str:
    weight = ' font-weight="600"' if bold else ""
    return (
        f'<text x="{number(x)}" y="{number(y)}" font-size="{number(size)}" text-anchor="{anchor}" '
        f'fill="{fill}"{weight}>'
        f"{escape(one_line(words))}</text>"
    )


def line(x1: float, y1: float, x2: float, y2: float, *, width: float = 1, dash: str = "", ink: str = INK) -> str:
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    ends = f'x1="{number(x1)}" y1="{number(y1)}" x2="{number(x2)}" y2="{number(y2)}"'
    return f'<line {ends} stroke="{ink}" stroke-width="{width:g}"{dashed}/>'


def box(
    x: float,
    y: float,
    wide: float,
    high: float,
    *,
    fill: str = "none",
    width: float = 1,
    dash: str = "",
    round_: float = 0,
) -> str:
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    corners = f' rx="{number(round_)}"' if round_ else ""
    return (
        f'<rect x="{number(x)}" y="{number(y)}" width="{number(wide)}" height="{number(high)}" fill="{fill}" '
        f'stroke="{INK}" stroke-width="{width:g}"{corners}{dashed}/>'
    )


def path(d: str, *, width: float = 1, fill: str = "none", dash: str = "") -> str:
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return f'<path d="{d}" fill="{fill}" stroke="{INK}" stroke-width="{width:g}"{dashed}/>'


def dot(x: float, y: float, radius: float = 4, *, fill: str = INK, width: float = 1) -> str:
    spot = f'cx="{number(x)}" cy="{number(y)}" r="{number(radius)}"'
    return f'<circle {spot} fill="{fill}" stroke="{INK}" stroke-width="{width:g}"/>'


# A point of type [mm], and what a letter of the narrow face takes of its size on average.
PT_MM, LETTER = 25.4 / 72, 0.49


def hatched(name: str, apart: float = 4, *, back: bool = False) -> str:
    """A pattern of slanted strokes: the closer, the less was seen."""
    d = f"M0 0L{apart:g} {apart:g}" if back else f"M0 {apart:g}L{apart:g} 0"
    return (
        f'<pattern id="{name}" width="{apart:g}" height="{apart:g}" patternUnits="userSpaceOnUse">'
        f'<path d="{d}" stroke="{INK}" stroke-width="0.45" fill="none"/></pattern>'
    )


def ringed(x: float, y: float, chalk: int, state: Ring) -> str:
    """A chalk number as it stands on the metal: heavy ring bars floating, light can wait, dashed is put right."""
    dash = ' stroke-dasharray="1.6 1.3"' if state == "closed" else ""
    wide = 1.5 if state == "bars" else 0.5
    return (
        f'<a href="#no-{chalk}"><circle cx="{number(x)}" cy="{number(y)}" r="6" fill="#ffffff" stroke="{INK}" '
        f'stroke-width="{wide}"{dash}/>{text(x, y + 2.5, str(chalk), size=7.2, anchor="middle", bold=True)}</a>'
    )


def in_points(wide: float, high: float, *marks: str, told: str) -> str:
    """A drawing in points, in the narrow face, to be placed at its own size."""
    return drawing(wide, high, *marks, told=told).replace("<svg ", '<svg font-stretch="condensed" ', 1)


def drawing(wide: float, high: float, *marks: str, told: str) -> str:
    """A whole drawing with its words for those who cannot see it."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {number(wide)} {number(high)}" width="{number(wide)}" '
        f'height="{number(high)}" role="img" aria-label="{escape(one_line(told))}" font-family="{FONT}">'
        f"{''.join(marks)}</svg>"
    )


def fitted(words: str, room: float, size: float = 11) -> str:
    """As much of a text as fits into a width, by the mean width of letters.

    >>> fitted("chain locker", 40)
    'chain…'
    """
    most = max(int(room / (size * 0.55)), 1)
    return words if len(words) <= most else words[: most - 1].rstrip() + "…"
