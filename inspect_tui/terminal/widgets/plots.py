"""Pictures of pits in characters: the histogram of depths, and the probability plot with its line."""

from __future__ import annotations

import math
from collections.abc import Sequence

from inspect_tui.engineering.metal.deepest_pit import DeepestPit
from inspect_tui.engineering.metal.gumbel import plotted
from inspect_tui.judgement.metal.fields import FieldJudged

BAR, POINT, LINE, PLATE = "█", "●", "·", "┊"


def pictures(judged: FieldJudged | None, room: int = 90) -> str:
    """Both pictures of a plate field's pits, or why there are none."""
    if judged is None or not judged.metal.pictured_mm:
        return "No pit was measured on a plate field yet."
    told = f"All pits, by depth:\n\n{histogram(judged.metal.pictured_mm, min(room - 28, 50))}\n\n"
    if judged.estimate is None:
        return f"{told}No probability plot: {judged.estimate_missing}"
    return f"{told}Deepest pit of each square:\n\n{gumbel_plot(judged.estimate, min(room - 9, 60))}"


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


def gumbel_plot(found: DeepestPit, width: int = 60, height: int = 16) -> str:
    """Deepest pit of each square against its reduced variate, the fitted line, the plate, and where T squares lie."""
    fit, sample = found.fit, found.sample
    points = plotted(sample.depths_mm, sample.not_found, sample.holed)
    low, high = min(-2.0, points[0].variate), max(math.log(found.return_patches) + 0.5, points[-1].variate + 0.5)
    deepest = max(found.deepest_bound_mm, points[-1].depth_mm, sample.plate_mm if sample.plate_mm < 100 else 0) * 1.05
    grid = [[" "] * width for _ in range(height)]

    def put(variate: float, depth_mm: float, sign: str) -> None:
        column = round((variate - low) / (high - low) * (width - 1))
        row = height - 1 - round(depth_mm / deepest * (height - 1))
        if 0 <= row < height and 0 <= column < width:
            grid[row][column] = sign

    if sample.plate_mm < 100:
        for column in range(width):
            put(low + (high - low) * column / (width - 1), sample.plate_mm, "─")
    for column in range(width):
        variate = low + (high - low) * column / (width - 1)
        put(variate, fit.location_mm + fit.scale_mm * variate, LINE)
    for row in range(height):
        put(math.log(found.return_patches), deepest * row / (height - 1), PLATE)
    for point in points:
        put(point.variate, point.depth_mm, POINT)
    lines = []
    for number, row_ in enumerate(grid):
        depth = deepest * (height - 1 - number) / (height - 1)
        lines.append(f"{depth:6.1f} │{''.join(row_)}".rstrip())
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
