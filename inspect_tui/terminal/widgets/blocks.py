"""Pictures out of block characters: a photo, two dots a cell, and letters to be read at arm's length."""

from __future__ import annotations

import io
from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from rich.color import Color
from rich.style import Style
from rich.text import Text
from textual.app import App
from textual.geometry import Size
from textual.widget import Widget

# From dark to light, for a terminal without colours.
SHADES = " .:-=+*#%@"
# A cell of two by two dots: upper left 1, upper right 2, lower left 4, lower right 8.
QUARTERS = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"


class PhotoBlocks(Widget):
    """A photo as large as its place allows, upright and undistorted; shades of grey as letters without colours."""

    DEFAULT_CSS = "PhotoBlocks { width: 100%; height: 1fr; content-align: center middle; }"

    def __init__(self, jpeg: bytes) -> None:
        super().__init__()
        self._jpeg = jpeg

    def render(self) -> Text:
        return in_blocks(self._jpeg, self.size, self.app)


def in_blocks(jpeg: bytes, size: Size, app: App[Any]) -> Text:
    """A photo, as large as it fits into so many columns and rows, as this terminal can show it."""
    if size.width < 2 or size.height < 2:
        return Text("")
    return _grey(jpeg, size.width, size.height) if app.no_color else _coloured(jpeg, size.width, size.height)


def _fitted(jpeg: bytes, columns: int, rows: int, dots_a_row: int, mode: str) -> tuple[list[tuple[int, ...]], int]:
    """The picture's dots row by row, as many as fit, and how many stand in a row. A cell is twice as high as wide."""
    from PIL import Image

    with Image.open(io.BytesIO(jpeg)) as opened:
        picture = opened.convert(mode)
    scale = min(columns / picture.width, rows * 2 / picture.height)
    wide = max(round(picture.width * scale), 1)
    high = max(round(picture.height * scale * dots_a_row / 2), 1)
    data = picture.resize((wide, high)).tobytes()
    each = len(picture.getbands())
    return [tuple(data[at : at + each]) for at in range(0, len(data), each)], wide


@lru_cache(maxsize=4)
def _coloured(jpeg: bytes, columns: int, rows: int) -> Text:
    dots, wide = _fitted(jpeg, columns, rows, 2, "RGB")
    lines = [dots[at : at + wide] for at in range(0, len(dots), wide)]
    if len(lines) % 2:
        lines.append(lines[-1])
    text = Text(no_wrap=True, end="")
    for upper, lower in zip(lines[::2], lines[1::2], strict=True):
        for above, below in zip(upper, lower, strict=True):
            text.append("▀", Style(color=Color.from_rgb(*above), bgcolor=Color.from_rgb(*below)))
        text.append("\n")
    text.rstrip()
    return text


@lru_cache(maxsize=4)
def _grey(jpeg: bytes, columns: int, rows: int) -> Text:
    dots, wide = _fitted(jpeg, columns, rows, 1, "L")
    signs = "".join(SHADES[grey * (len(SHADES) - 1) // 255] for (grey,) in dots)
    return Text("\n".join(signs[at : at + wide] for at in range(0, len(signs), wide)), no_wrap=True)


def large_type(words: str, columns: int) -> str:
    """Words in letters five lines high and about three columns wide, wrapped to so many columns; what its small font
    has no sign for stands as a question mark.

    >>> large_type("Hi", 20).splitlines()[1:4]
    ['█▟▌▀█', '█▐▌ █', '▀▝▀▀▀▀']
    """
    from PIL import Image, ImageDraw, ImageFont

    font = ImageFont.load_default_imagefont()
    drawn = []
    for line in _wrapped(words.encode("latin-1", "replace").decode("latin-1").split(), max(columns // 3, 4)):
        picture = Image.new("1", (6 * len(line) + 2, 12))
        ImageDraw.Draw(picture).text((0, 0), line, fill=1, font=font)
        # Above the highest letter lies an empty row.
        drawn += _quarters(picture.convert("L").tobytes(), picture.width)[1:]
    return "\n".join(drawn)


def _wrapped(words: Sequence[str], most: int) -> list[str]:
    lines: list[str] = []
    for word in words:
        if lines and len(lines[-1]) + 1 + len(word) <= most:
            lines[-1] += f" {word}"
        else:
            lines.append(word[:most])
    return lines


def _quarters(dots: bytes, wide: int) -> list[str]:
    """Rows of cells of two by two dots, without what is empty at the end."""
    rows = [dots[at : at + wide] for at in range(0, len(dots), wide)]
    lines = []
    for upper, lower in zip(rows[::2], rows[1::2], strict=True):
        cells = (
            bool(upper[at]) + 2 * bool(upper[at + 1]) + 4 * bool(lower[at]) + 8 * bool(lower[at + 1])
            for at in range(0, wide - 1, 2)
        )
        lines.append("".join(QUARTERS[cell] for cell in cells).rstrip())
    return lines
