"""A chalk grid to draw pits into: lettered rows, numbered columns."""

from __future__ import annotations

from inspect_tui.handover.figures.svg import GREY, drawing, line, text

ROWS, COLUMNS = 6, 12


def chalk_grid() -> str:
    left, top, wide, high = 26.0, 26.0, 56.0, 40.0
    right, bottom = left + COLUMNS * wide, top + ROWS * high
    marks = [text(left, 12, "◁ bow", size=10), text(right, 12, "one square = ______ mm", size=10, anchor="end")]
    for column in range(COLUMNS + 1):
        x = left + column * wide
        marks.append(line(x, top, x, bottom, width=0.6, ink=GREY))
        if column < COLUMNS:
            marks.append(text(x + wide / 2, top - 4, f"{column + 1}", size=9, anchor="middle"))
    for row in range(ROWS + 1):
        y = top + row * high
        marks.append(line(left, y, right, y, width=0.6, ink=GREY))
        if row < ROWS:
            marks.append(text(left - 10, y + high / 2 + 4, "ABCDEF"[row], size=9, anchor="middle"))
    return drawing(right + 6, bottom + 6, *marks, told=f"Empty chalk grid, rows A to F, columns 1 to {COLUMNS}")
