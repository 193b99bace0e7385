"""Pictures of pits in characters: the histogram of depths, and the probability plot with its line."""

from __future__ import annotations

import math
import os
from collections.abc import Sequence

from inspect_tui.engineering.metal.deepest_pit import DeepestPit
from inspect_tui.engineering.metal.gumbel import plotted
from inspect_tui.judgement.metal.fields import FieldJudged

BAR, POINT, LINE, PLATE = "█", "●", "·", "┊"
# Dots of one sign, across and down; and what each adds to the sign without dots (Unicode, Braille Patterns).
DOTS = (2, 4)
BRAILLE = 0x2800
DOT_BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))


class Canvas:
    """A drawing of so many signs across and down. What is put on it is a dot of a sign, or with `plain` the sign that
    is named; points are always signs."""

    def __init__(self, width: int, height: int, *, plain: bool) -> None:
        self._bits = [[0] * width for _ in range(height)]
        self._signs = [[""] * width for _ in range(height)]
        self._plain = plain

    def put(self, column: int, row: int, sign: str) -> None:
        """At a dot counted from the upper left; nothing if it lies outside."""
        across, down = (1, 1) if self._plain else DOTS
        x, y = column // across, row // down
        if not (0 <= y < len(self._bits) and 0 <= x < len(self._bits[0])):
            return
        if self._plain or sign == POINT:
            self._signs[y][x] = sign
        else:
            self._bits[y][x] |= DOT_BITS[row % down][column % across]

    def rows(self) -> list[str]:
        """The drawing, line by line."""
        return [
            "".join(sign or (chr(BRAILLE + bits) if bits else " ") for sign, bits in zip(signs, dots, strict=True))
            for signs, dots in zip(self._signs, self._bits, strict=True)
        ]


def pictures(judged: FieldJudged | None, room: int = 90) -> str:
    """Both pictures of a plate field's pits, or why there are none."""
    # The console of Linux has no dotted signs.
    plain = os.environ.get("TERM") in ("linux", "dumb", "vt100")
    if judged is None or not judged.metal.pictured_mm:
        return "No pit has been measured on a plate field yet."
    told = f"All pits, by depth:\n\n{histogram(judged.metal.pictured_mm, min(room - 28, 50))}\n\n"
    if judged.estimate is None:
        return f"{told}No probability plot: {judged.estimate_missing}"
    return f"{told}Deepest pit of each square:\n\n{gumbel_plot(judged.estimate, min(room - 9, 60), plain=plain)}"


def histogram(depths_mm: Sequence[float], width: int = 50) -> str:
    """Counts of depths in even steps of mm, as bars with their numbers."""
    if not depths_mm:
        return "no depths"
    step = _step(max(depths_mm))
    counts = [0] * (math.floor(max(depths_mm) / step + 1e-9) + 1)
    for depth in depths_mm:
        counts[math.floor(depth / step + 1e-9)] += 1
    most = max(counts)
    lines = []
    for number, count in enumerate(counts):
        bar = BAR * max(round(count / most * width), 1 if count else 0)
        lines.append(f"{number * step:5.2f} to {(number + 1) * step:5.2f} mm  {bar} {count or ''}".rstrip())
    return "\n".join(lines)


def _step(deepest_mm: float) -> float:
    return next((step for step in (0.1, 0.2, 0.5, 1.0, 2.0) if deepest_mm / step <= 12), 5.0)


def gumbel_plot(found: DeepestPit, width: int = 60, height: int = 16, *, plain: bool = False) -> str:
    """Deepest pit of each square against its reduced variate, the fitted line, the plate, and where T squares lie.
    Lines are drawn in dots, eight to a sign; `plain`: with signs that every terminal has."""
    fit, sample = found.fit, found.sample
    points = plotted(sample.depths_mm, sample.not_found, sample.holed)
    low, high = min(-2.0, points[0].variate), max(math.log(found.return_patches) + 0.5, points[-1].variate + 0.5)
    deepest = max(found.deepest_bound_mm, points[-1].depth_mm, sample.plate_mm if sample.plate_mm < 100 else 0) * 1.05
    across, down = (1, 1) if plain else DOTS
    wide, high_dots = width * across, height * down
    canvas = Canvas(width, height, plain=plain)

    def put(variate: float, depth_mm: float, sign: str) -> None:
        column = round((variate - low) / (high - low) * (wide - 1))
        canvas.put(column, high_dots - 1 - round(depth_mm / deepest * (high_dots - 1)), sign)

    for column in range(wide):
        variate = low + (high - low) * column / (wide - 1)
        if sample.plate_mm < 100:
            put(variate, sample.plate_mm, "─")
        put(variate, fit.location_mm + fit.scale_mm * variate, LINE)
    for row in range(0, high_dots, 1 if plain else 2):
        put(math.log(found.return_patches), deepest * row / (high_dots - 1), PLATE)
    for point in points:
        put(point.variate, point.depth_mm, POINT)
    grid = canvas.rows()
    lines = []
    for number, row_ in enumerate(grid):
        depth = deepest * (height - 1 - number) / (height - 1)
        lines.append(f"{depth:6.1f} │{row_}".rstrip())
    lines.append(f"{'mm':>6} └{'─' * width}")
    ticks = [" "] * (width + 8)
    for share in (0.1, 0.5, 0.9, 0.99, 0.999):
        variate = -math.log(-math.log(share))
        if low <= variate <= high:
            at = 8 + round((variate - low) / (high - low) * (width - 1))
            for offset, sign in enumerate(f"{100 * share:g} %"):
                if at + offset < len(ticks):
                    ticks[at + offset] = sign
    lines.append("".join(ticks).rstrip())
    lines.append(f"{'':8}share of squares whose deepest pit is shallower")
    lines.append(
        f"{POINT} deepest of a square   {LINE} fit: location {fit.location_mm:.2f}, scale {fit.scale_mm:.2f} mm"
    )
    lines.append(f"─ plate   {PLATE} whole area, {found.return_patches:.0f} squares")
    return "\n".join(lines)
