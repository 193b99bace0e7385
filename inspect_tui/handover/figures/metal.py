"""What is left of the metal: thickness by place, deepest pits against their law, and growth over the rounds."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from inspect_tui.engineering.metal.deepest_pit import DeepestPit
from inspect_tui.engineering.metal.gumbel import plotted
from inspect_tui.handover.figures.svg import (
    GREY,
    INK,
    PALE,
    box,
    dot,
    drawing,
    fitted,
    hatched,
    in_points,
    line,
    path,
    text,
)

WIDE = 720.0


@dataclass(frozen=True)
class Left:
    """Metal at one place [mm]: as built, what is left at the least and at the most, and what is required there, if
    that is known. `told` says it in words."""

    name: str
    built_mm: float
    least_mm: float
    most_mm: float
    required_mm: float | None = None
    told: str = ""


COLUMN_PT = 238.0


def what_is_left(strength: Sequence[Left], tightness: Sequence[Left]) -> str:
    """Two stacks of bars, in points: the mean plate against what strength requires, and what is left under the
    deepest pit. Black is left at the least, hatched may be left, the outline is the plate as built."""
    most = max((one.built_mm for one in (*strength, *tightness)), default=1.0)
    scale = (COLUMN_PT - 2) / most
    marks = [f"<defs>{hatched('left-may-be', 2.6)}</defs>"]
    y = 0.0
    for head, places in (
        ("Strength: plate left on average; upright line: required", strength),
        ("Tightness: left under the deepest pit", tightness),
    ):
        if not places:
            continue
        marks.append(text(0, y + 8, head, size=7.5))
        y += 11
        for one in places:
            marks.append(text(0, y + 8, fitted(one.name, COLUMN_PT - 100, 7.5), size=7.5, bold=True))
            marks.append(text(COLUMN_PT, y + 8, one.told, size=7.5, anchor="end"))
            marks.append(box(0.5, y + 10.5, one.built_mm * scale, 6, width=0.5, fill="#ffffff"))
            if one.most_mm > one.least_mm:
                marks.append(box(0.5, y + 10.5, one.most_mm * scale, 6, width=0.5, fill="url(#left-may-be)"))
            marks.append(box(0.5, y + 10.5, max(one.least_mm, 0.0) * scale, 6, width=0.5, fill=INK))
            if one.required_mm is not None:
                x = 0.5 + one.required_mm * scale
                marks += [
                    line(x, y + 8.5, x, y + 18.5, width=3, ink="#ffffff"),
                    line(x, y + 8.5, x, y + 18.5, width=1.4),
                ]
            y += 20
        y += 3
    told = "; ".join(f"{one.name}: {one.told}" for one in (*strength, *tightness))
    return in_points(COLUMN_PT, y + 1, *marks, told=told)


def probability_plot(found: DeepestPit) -> str:
    """Deepest pit of each square against its reduced variate, the fitted line, the plate and the whole area."""
    fit, sample = found.fit, found.sample
    points = plotted(sample.depths_mm, sample.not_found, sample.holed)
    low = min(-2.0, points[0].variate)
    high = max(math.log(found.return_patches) + 0.5, points[-1].variate + 0.5)
    plate = sample.plate_mm if sample.plate_mm < 100 else 0.0
    deepest = max(found.deepest_bound_mm if found.deepest_bound_mm < 100 else 0.0, points[-1].depth_mm, plate) * 1.08
    left, right, top, bottom = 52.0, WIDE - 12, 12.0, 268.0

    def at(variate: float, depth_mm: float) -> tuple[float, float]:
        x = left + (variate - low) / (high - low) * (right - left)
        return x, bottom - max(depth_mm, 0.0) / deepest * (bottom - top)

    marks = [line(left, top, left, bottom), line(left, bottom, right, bottom)]
    step = next(step for step in (0.5, 1.0, 2.0, 5.0, 10.0) if deepest / step <= 9)
    for tick in range(int(deepest / step) + 1):
        _, y = at(low, tick * step)
        marks += [line(left - 4, y, left, y), text(left - 7, y + 4, f"{tick * step:g}", size=10, anchor="end")]
    marks.append(text(4, top + 4, "mm", size=10))
    for share in (0.1, 0.5, 0.8, 0.9, 0.95, 0.99, 0.995, 0.999):
        variate = -math.log(-math.log(share))
        if low <= variate <= high:
            x, _ = at(variate, 0)
            marks += [
                line(x, bottom, x, bottom + 4),
                text(x, bottom + 16, f"{100 * share:g} %", size=10, anchor="middle"),
            ]
    if plate:
        (x1, y), (x2, _) = at(low, plate), at(high, plate)
        marks += [line(x1, y, x2, y, width=2), text(x1 + 6, y - 4, f"plate {plate:.1f} mm", size=10, bold=True)]
    start = max(low, -fit.location_mm / fit.scale_mm)
    (x1, y1), (x2, y2) = (
        at(start, fit.location_mm + fit.scale_mm * start),
        at(high, fit.location_mm + fit.scale_mm * high),
    )
    marks.append(line(x1, y1, x2, max(y2, top - 8), dash="7 4"))
    x, _ = at(math.log(found.return_patches), 0)
    marks += [line(x, top, x, bottom, dash="2 4")]
    marks.append(text(x - 5, top + 10, f"whole area: {found.return_patches:.0f} squares", size=10, anchor="end"))
    if found.bound_told_mm is not None and 0 < found.deepest_bound_mm < deepest:
        _, y = at(low, found.deepest_bound_mm)
        marks += [line(x - 7, y, x + 7, y, width=2.5)]
        words = f"if the rest is like these, {100 * found.confidence:g} %: {found.deepest_bound_mm:.1f} mm"
        marks.append(text(x - 10, y + 4, words, size=10, anchor="end", bold=True))
    marks += [dot(*at(point.variate, point.depth_mm), 4) for point in points]
    marks.append(text(left, bottom + 34, "share of squares whose deepest pit is shallower", size=10))
    marks.append(
        text(
            right, bottom + 34,
            "dots: deepest pit of each square  ·  broken line: Gumbel, "
            f"location {fit.location_mm:.2f}, scale {fit.scale_mm:.2f} mm",
            size=10, anchor="end",
        )
    )  # fmt: skip
    told = (
        f"Probability plot of {len(points)} squares; the deepest measured {points[-1].depth_mm:.1f} mm; "
        f"the line reaches {found.return_level_mm:.1f} mm at the whole area of {found.return_patches:.0f} squares."
    )
    return drawing(WIDE, bottom + 40, *marks, told=told)


@dataclass(frozen=True)
class Row:
    """Depth or thickness of one thing at several rounds: (year with fraction, mm), oldest first."""

    name: str
    points: tuple[tuple[float, float], ...]


def over_rounds(rows: Sequence[Row], what: str) -> str:
    """One line for each thing that was measured in more than one round, named at its end."""
    left, right, top, bottom = 52.0, WIDE - 190, 12.0, 240.0
    years = [year for row in rows for year, _ in row.points]
    first, last = min(years), max(years)
    most = max(value for row in rows for _, value in row.points) * 1.1

    def at(year: float, value: float) -> tuple[float, float]:
        return left + (year - first) / max(last - first, 0.01) * (right - left), bottom - value / most * (
            bottom - top
        )

    marks = [line(left, top, left, bottom), line(left, bottom, right, bottom), text(4, top + 4, "mm", size=10)]
    step = next(step for step in (0.5, 1.0, 2.0, 5.0, 10.0) if most / step <= 9)
    for tick in range(int(most / step) + 1):
        _, y = at(first, tick * step)
        marks += [line(left - 4, y, left, y), text(left - 7, y + 4, f"{tick * step:g}", size=10, anchor="end")]
    for year in sorted({math.ceil(first), *range(math.ceil(first), math.floor(last) + 1)}):
        x, _ = at(year, 0)
        if left <= x <= right:
            marks += [line(x, bottom, x, bottom + 4), text(x, bottom + 16, f"{year}", size=10, anchor="middle")]
    dashes = ("", "7 4", "2 3", "10 3 2 3")
    ends: list[float] = []
    for index, row in enumerate(rows):
        spots = [at(*point) for point in row.points]
        told = "L".join(f"{x:.1f} {y:.1f}" for x, y in spots)
        marks.append(path(f"M{told}", width=1.6, dash=dashes[index % len(dashes)]))
        marks += [dot(x, y, 3.5, fill=PALE) for x, y in spots]
        y = spots[-1][1]
        while any(abs(y - other) < 13 for other in ends):
            y += 13
        ends.append(y)
        marks.append(text(right + 12, y + 4, fitted(f"{row.name}: {row.points[-1][1]:.1f} mm", 175), size=10))
    marks.append(text(left, bottom + 32, what, size=10, fill=GREY))
    told = f"{what}: " + "; ".join(f"{row.name} {row.points[0][1]:.1f} to {row.points[-1][1]:.1f} mm" for row in rows)
    return drawing(WIDE, max(bottom + 38, *(end + 8 for end in ends)), *marks, told=told)
