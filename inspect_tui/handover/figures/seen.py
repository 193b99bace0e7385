"""How much of her was seen: each place where its frames put it, black as far as it was seen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inspect_tui.handover.figures.svg import INK, LETTER, Anchor, box, fitted, hatched, in_points, line, text

WIDE_PT = 487.0
_ROW, _BAR, _SIZE = 14.6, 4.6, 6.8
MOST_ROWS = 8


@dataclass(frozen=True)
class Share:
    """One place between its frames, and the share of it that was seen, 0 to 1; None if nobody began there."""

    name: str
    first: float
    last: float
    share: float | None


def _label(place: Share) -> str:
    return place.name if place.share is None else f"{100 * place.share:.0f} {place.name}"


def seen_by_place(places: Sequence[Share], frames: tuple[float, float]) -> tuple[str, float, tuple[str, ...]]:
    """The drawing, how high it is [pt], and the names of those for which there was no room."""
    first, last = frames
    unit = WIDE_PT / max(last - first, 1.0)
    rows: list[list[tuple[float, float, Share]]] = []
    left_out: list[str] = []
    for place in sorted(places, key=lambda one: (one.first, -one.last, one.name)):
        x, end = (max(min(at - first, last - first), 0) * unit for at in (place.first, place.last))
        wide = max(end - x, 3.0)
        needs = min(max(wide, len(_label(place)) * _SIZE * LETTER + 3), WIDE_PT)
        start = min(x, WIDE_PT - needs)
        row = next((row for row in rows if all(start >= other[0] + other[1] + 2 for other in row)), None)
        if row is None and len(rows) < MOST_ROWS:
            rows.append(row := [])
        if row is None:
            left_out.append(place.name)
        else:
            row.append((start, needs, place))
    marks = [f"<defs>{hatched('seen-not', 3.2)}</defs>"]
    for number, row in enumerate(rows):
        y = number * _ROW
        for start, needs, place in row:
            x, end = (max(min(at - first, last - first), 0) * unit for at in (place.first, place.last))
            wide = max(end - x, 3.0)
            marks.append(text(start, y + 6.4, fitted(_label(place), needs, _SIZE), size=_SIZE, bold=True))
            marks.append(box(x, y + 7.8, wide, _BAR, fill="url(#seen-not)", width=0.5))
            if place.share:
                marks.append(box(x, y + 7.8, wide * place.share, _BAR, fill=INK, width=0.5))
    y = len(rows) * _ROW + 3
    marks.append(line(0, y, WIDE_PT, y, width=0.8))
    step = 5 if last - first <= 60 else 10
    for frame in range(int(first), int(last) + 1):
        if frame % step == 0:
            x = (frame - first) * unit
            marks.append(line(x, y, x, y + 3, width=0.5))
            anchor: Anchor = "start" if x < 5 else "end" if x > WIDE_PT - 5 else "middle"
            marks.append(text(x, y + 9.6, f"{frame}", size=_SIZE, anchor=anchor))
    told = "; ".join(
        f"{one.name}: {'not begun' if one.share is None else f'{100 * one.share:.0f} %'}" for one in places
    )
    return in_points(WIDE_PT, y + 12, *marks, told=f"Share of the metal seen. {told}"), y + 12, tuple(left_out)
