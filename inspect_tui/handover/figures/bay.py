"""The plate about a cut, seen from inside, bow left and starboard up: frames, centreline, what is marked, the cut,
and every distance that a welder would otherwise fetch with a tape. What the book does not know is not drawn."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from inspect_tui.handover.figures.svg import INK, PT_MM, box, hatched, in_points, line, path, ringed, text
from inspect_tui.handover.model import Ring

_At = Callable[[float, float], tuple[float, float]]
WIDE_PT = 352.0
_HIGH_PT = 236.0
_SIDE, _HEAD, _FOOT = 56.0, 34.0, 46.0
RATIOS = (1, 2, 2.5, 4, 5, 7.5, 10, 12.5, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200)
# So much plate is shown round the cut where no frame is near [mm], and the centreline where it is this near.
ABOUT_MM, CENTRE_MM = 90.0, 420.0


@dataclass(frozen=True)
class Marked:
    """What is marked on the plate [mm aft of the bow, mm out, port minus], and its number."""

    x0: float
    y0: float
    x1: float
    y1: float
    chalk: int
    state: Ring


@dataclass(frozen=True)
class Bay:
    """A cut [mm], the radius of its corners, what is marked in it, frames by name and distance aft of the bow,
    and a name for the drawing."""

    x0: float
    y0: float
    x1: float
    y1: float
    radius_mm: float
    marked: Sequence[Marked]
    frames: Sequence[tuple[str, float]]
    name: str


def _arrow(x1: float, y1: float, x2: float, y2: float, told: str) -> Iterable[str]:
    """A dimension between two points, along or up."""
    yield line(x1, y1, x2, y2, width=0.4)
    along = abs(y2 - y1) < 0.01
    for x, y, to in ((x1, y1, 1), (x2, y2, -1)):
        if along:
            yield path(f"M{x:.1f} {y:.1f}l{4.5 * to:.1f} -1.3v2.6Z", fill=INK, width=0.2)
        else:
            yield path(f"M{x:.1f} {y:.1f}l-1.3 {4.5 * to:.1f}h2.6Z", fill=INK, width=0.2)
    x, y = (x1 + x2) / 2, (y1 + y2) / 2
    if along:
        wide = len(told) * 3.7 + 2
        if abs(x2 - x1) > wide + 8:
            yield box(x - wide / 2, y - 4, wide, 8, fill="#ffffff", width=0)
            yield text(x, y + 2.6, told, size=7.2, anchor="middle", bold=True)
        else:
            yield text(x, y - 3.4, told, size=7.2, anchor="middle", bold=True)
    else:
        turned = f'<g transform="rotate(-90 {x:.1f} {y:.1f})">'
        wide = len(told) * 3.7 + 2
        white = box(x - wide / 2, y - 4, wide, 8, fill="#ffffff", width=0) if abs(y2 - y1) > wide + 8 else ""
        lift = 2.6 if white else -3.4
        yield f"{turned}{white}{text(x, y + lift, told, size=7.2, anchor='middle', bold=True)}</g>"


def drawn(bay: Bay) -> tuple[str, float]:
    """The drawing, and 1 to how much it is."""
    before = [one for one in bay.frames if one[1] <= bay.x0]
    behind = [one for one in bay.frames if one[1] >= bay.x1]
    spare = max(ABOUT_MM, 0.15 * (bay.x1 - bay.x0))
    x0 = bay.x0 - spare if not before else min(bay.x0 - 40, before[-1][1] - 30)
    x1 = bay.x1 + spare if not behind else max(bay.x1 + 40, behind[0][1] + 30)
    y0, y1 = bay.y0 - 60, bay.y1 + 60
    centred = y0 <= 0 <= y1 or min(abs(bay.y0), abs(bay.y1)) <= CENTRE_MM
    if centred:
        y0, y1 = min(y0, -30.0), max(y1, 30.0)
    room_x, room_y = WIDE_PT - 2 * _SIDE, _HIGH_PT - _HEAD - _FOOT
    need = max((x1 - x0) / (room_x * PT_MM), (y1 - y0) / (room_y * PT_MM))
    ratio = next((one for one in RATIOS if one >= need), round(need / 100 + 1) * 100)
    unit = 1 / (ratio * PT_MM)
    left = (WIDE_PT - (x1 - x0) * unit) / 2
    high = _HEAD + (y1 - y0) * unit + _FOOT

    def at(x: float, y: float) -> tuple[float, float]:
        return left + (x - x0) * unit, _HEAD + (y1 - y) * unit

    (a, top), (c, low) = at(x0, y1), at(x1, y0)
    marks = [f"<defs>{hatched(f'eaten-{bay.name}', 3.4)}</defs>"]
    marks.append(box(a, top, c - a, low - top, fill="#ffffff", width=0.7, dash="5 2"))
    for name, mm in bay.frames:
        if x0 <= mm <= x1:
            x, _ = at(mm, 0)
            marks += [
                box(x - 1.2, top, 2.4, low - top, fill="#ffffff", width=0.7),
                text(x, top - 4, f"frame {name}", size=7.5, anchor="middle", bold=True),
            ]
            if bay.x0 < mm < bay.x1:
                (_, end), (_, start) = at(0, bay.y0), at(0, bay.y1)
                y = start - 8
                while y < end + 8:
                    marks += [line(x - 5, y + 3, x - 1.2, y, width=0.5), line(x + 1.2, y, x + 5, y + 3, width=0.5)]
                    y += 5
    for one in bay.marked:
        (b, d), (e, f) = at(one.x0, one.y1), at(one.x1, one.y0)
        marks.append(box(b, d, max(e - b, 2), max(f - d, 2), fill=f"url(#eaten-{bay.name})", width=0.8, dash="3.4 2"))
    (p, q), (r, s) = at(bay.x0, bay.y1), at(bay.x1, bay.y0)
    marks.append(box(p, q, r - p, s - q, width=2.2, round_=bay.radius_mm * unit))
    for one in bay.marked:
        x, y = at((one.x0 + one.x1) / 2, (one.y0 + one.y1) / 2)
        marks.append(ringed(x, y, one.chalk, one.state))
    if centred:
        _, y = at(0, 0)
        marks += [
            line(a - 6, y, c + 6, y, width=0.8, dash="10 3 2 3"),
            text(c + 8, y + 2.4, "centreline", size=7),
        ]
    outboard = "outboard ↑" if bay.y0 >= 0 else "outboard ↓" if bay.y1 <= 0 else "starboard ↑"
    marks += [text(c + 8, top + 9 if bay.y0 >= 0 else low - 4, outboard, size=7)]
    marks += [path(f"M{a - 40:.1f} {top - 20:.1f}l8 -3.4v6.8Z", fill=INK, width=0.3)]
    marks.append(text(a - 29, top - 17.6, "bow", size=7))
    marks += _dimensions(bay, at, (a, top, c, low), centred=centred)
    size = f"{bay.x1 - bay.x0:.0f} by {bay.y1 - bay.y0:.0f} mm"
    told = f"Cut line {size}, corners {bay.radius_mm:.0f} mm, at 1 to {ratio:g}"
    return in_points(WIDE_PT, high, *marks, told=told), ratio


def _dimensions(bay: Bay, at: _At, plate: tuple[float, float, float, float], *, centred: bool) -> Iterable[str]:
    a, top, c, low = plate
    (p, q), (r, s) = at(bay.x0, bay.y1), at(bay.x1, bay.y0)
    y = top - 20
    for x in (p, r):
        yield line(x, q, x, y - 3, width=0.25)
    yield from _arrow(p, y, r, y, f"{bay.x1 - bay.x0:.0f}")
    x = a - 24
    for edge in (q, s):
        yield line(p, edge, x - 3, edge, width=0.25)
    yield from _arrow(x, q, x, s, f"{bay.y1 - bay.y0:.0f}")
    near = bay.y0 if abs(bay.y0) <= abs(bay.y1) else bay.y1
    if bay.y0 <= 0 <= bay.y1:
        _, zero = at(0, 0)
        if min(bay.y1, -bay.y0) < 1:
            yield text(c + 8, zero + 12, "0 to the cut", size=7, bold=True)
        for one, other, mm in ((q, zero, bay.y1), (zero, s, -bay.y0)):
            if mm >= 1 and min(bay.y1, -bay.y0) >= 1:
                yield from _arrow(x - 18, one, x - 18, other, f"{mm:.0f}")
    elif centred:
        _, zero = at(0, 0)
        upper, lower = sorted((at(0, near)[1], zero))
        if lower - upper > 16:
            yield from _arrow(x - 18, upper, x - 18, lower, f"{abs(near):.0f}")
        else:
            yield text(c + 8, zero + 12, f"{abs(near):.0f} to the cut", size=7, bold=True)
    else:
        yield text(
            a + 4, low - 4 if near == bay.y0 else top + 18, f"{abs(near):.0f} to the centreline", size=7.2, bold=True
        )
    y = low + 14
    spots = [(frame, at(mm, 0)[0], mm) for frame, mm in bay.frames if a - 0.1 <= at(mm, 0)[0] <= c + 0.1]
    for _, x, _ in spots:
        yield line(x, low, x, y + 3, width=0.25)
    edges = sorted([(bay.x0, p), (bay.x1, r), *((mm, x) for _, x, mm in spots)])
    for (from_mm, from_x), (to_mm, to_x) in pairwise(edges):
        if to_mm - from_mm > 0.5:
            yield from _arrow(from_x, y, to_x, y, f"{to_mm - from_mm:.0f}")
    for x in (p, r):
        yield line(x, s, x, y + 3, width=0.25)
    if len(spots) > 1:
        for (_, x, mm), (_, after, after_mm) in pairwise(spots):
            yield from _arrow(x, y + 15, after, y + 15, f"{after_mm - mm:.0f}")
