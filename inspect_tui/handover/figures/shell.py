"""The shell laid flat, seen from outside with port above: what was seen, what was read, findings, and what is to be
cut. True to a printed ratio along the boat and out along the plate; what the book does not know is not drawn."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from inspect_tui.handover.figures.svg import (
    INK,
    LETTER,
    PT_MM,
    box,
    dot,
    fitted,
    hatched,
    in_points,
    line,
    path,
    ringed,
    text,
)
from inspect_tui.handover.model import Ring

_At = Callable[[float, float], tuple[float, float]]
WIDE_PT, HIGH_PT = 762.0, 330.0
_LEFT, _TOP = 26.0, 16.0
RATIOS = (5, 7.5, 10, 15, 20, 25, 30, 40, 50, 60, 75, 100, 125, 150, 200, 250, 300, 400, 500)
# Share of the plate gone from which each sign is used; form, size and blackness grow together.
GONE = ((0.0, "ring"), (0.1, "half"), (0.2, "disc"), (1 / 3, "triangle"))


@dataclass(frozen=True)
class PlateDrawn:
    """What of the shell a compartment covers [mm aft of the bow, mm out, port minus]; `share` seen, 0 to 1, None if
    nobody began there."""

    name: str
    x0: float
    x1: float
    y0: float
    y1: float
    share: float | None


@dataclass(frozen=True)
class SpotDrawn:
    """Where metal was read [mm]; `gone` of the plate as built, 0 to 1, None where that cannot be told; `bright`: it
    was read on bright metal; `square_mm`: sides of the square it stands for."""

    x: float
    y: float
    gone: float | None
    holed: bool = False
    bright: bool = True
    square_mm: tuple[float, float] | None = None


@dataclass(frozen=True)
class NumberDrawn:
    x: float
    y: float
    chalk: int
    state: Ring


@dataclass(frozen=True)
class CutDrawn:
    """What is to be let in [mm], with the letter of its job and the radius of its corners."""

    x0: float
    y0: float
    x1: float
    y1: float
    letter: str
    radius: float


@dataclass(frozen=True)
class ShellDrawn:
    """All of it between two distances aft of the bow [mm], out to `out_mm` on both sides; `name` of the drawing."""

    from_mm: float
    to_mm: float
    out_mm: float
    plates: Sequence[PlateDrawn]
    spots: Sequence[SpotDrawn]
    numbers: Sequence[NumberDrawn]
    cuts: Sequence[CutDrawn]
    frames: Sequence[tuple[str, float]]
    name: str = "shell"


def sign(x: float, y: float, gone: float | None, *, holed: bool = False, bright: bool = True) -> str:
    """The mark of a reading."""
    bar = "" if bright else line(x - 3.4, y - 5, x + 3.4, y - 5, width=0.9)
    if holed:
        return bar + path(
            f"M{x - 3:.1f} {y - 3:.1f}L{x + 3:.1f} {y + 3:.1f}M{x - 3:.1f} {y + 3:.1f}L{x + 3:.1f} {y - 3:.1f}",
            width=1.6,
        )
    if gone is None:
        return bar + line(x - 2, y, x + 2, y, width=0.8)
    kind = [name for least, name in GONE if gone >= least - 1e-9][-1] if gone >= 0 else "ring"
    if kind == "ring":
        return bar + dot(x, y, 1.7, fill="#ffffff", width=0.5)
    if kind == "half":
        return (
            bar
            + dot(x, y, 2.5, fill="#ffffff", width=0.5)
            + path(f"M{x - 2.5:.1f} {y:.1f}A2.5 2.5 0 0 0 {x + 2.5:.1f} {y:.1f}Z", fill=INK, width=0.5)
        )
    if kind == "disc":
        return bar + dot(x, y, 3, width=0.5)
    return bar + path(
        f"M{x - 4:.1f} {y - 3.2:.1f}L{x + 4:.1f} {y - 3.2:.1f}L{x:.1f} {y + 3.8:.1f}Z", fill=INK, width=0.5
    )


def ratio_for(long_mm: float, high_mm: float) -> float:
    """1 to how much it is drawn, so that it fits."""
    need = max(long_mm / ((WIDE_PT - 2 * _LEFT) * PT_MM), high_mm / ((HIGH_PT - 2 * _TOP) * PT_MM))
    return next((one for one in RATIOS if one >= need), math.ceil(need / 100) * 100)


def expansion(drawn: ShellDrawn) -> tuple[str, float]:
    """The drawing, and 1 to how much it is."""
    long, half = drawn.to_mm - drawn.from_mm, drawn.out_mm
    ratio = ratio_for(long, 2 * half)
    unit = 1 / (ratio * PT_MM)
    left = (WIDE_PT - long * unit) / 2
    middle = _TOP + half * unit
    high = 2 * (_TOP + half * unit)

    def at(x: float, y: float) -> tuple[float, float]:
        inside = min(max(x, drawn.from_mm), drawn.to_mm)
        return left + (inside - drawn.from_mm) * unit, middle + min(max(y, -half), half) * unit

    x0, x1 = left, left + long * unit
    fills = ((3.0, "not", False), (9.0, "part", False), (6.0, "no", True))
    marks = [f"<defs>{''.join(hatched(f'{drawn.name}-{one}', mm, back=back) for mm, one, back in fills)}</defs>"]
    marks.append(box(x0, _TOP, x1 - x0, 2 * half * unit, fill=f"url(#{drawn.name}-no)", width=0.8))
    for plate in sorted(drawn.plates, key=lambda one: -(one.x1 - one.x0) * (one.y1 - one.y0)):
        (a, b), (c, d) = at(plate.x0, plate.y0), at(plate.x1, plate.y1)
        share = plate.share or 0.0
        fill = "" if share >= 0.9 else f"url(#{drawn.name}-{'part' if share > 0 else 'not'})"
        marks.append(box(a, b, c - a, d - b, fill="#ffffff", width=0.6))
        if fill:
            marks.append(box(a, b, c - a, d - b, fill=fill, width=0.6))
    marks += _frames(drawn, at, high)
    for cut in drawn.cuts:
        (a, b), (c, d) = at(cut.x0, cut.y0), at(cut.x1, cut.y1)
        marks.append(box(a, b, c - a, d - b, width=2.2, round_=min(cut.radius * unit, (c - a) / 2, (d - b) / 2)))
        marks += [
            box(c - 1, b - 11, 11, 11, fill=INK),
            text(c + 4.5, b - 2.6, cut.letter, size=8, anchor="middle", bold=True, fill="#ffffff"),
        ]
    taken: list[tuple[float, float]] = []
    for spot in sorted(drawn.spots, key=lambda one: (one.gone or 0.0, one.x, one.y)):
        x, y = at(spot.x, spot.y)
        if spot.square_mm:
            wide, deep = (side * unit for side in spot.square_mm)
            marks.append(box(x - wide / 2, y - deep / 2, wide, deep, fill="#ffffff", width=0.4))
        marks.append(sign(x, y, spot.gone, holed=spot.holed, bright=spot.bright))
        taken.append((x, y))
    numbered, laid = _numbered(drawn.numbers, at, taken, (x0, x1, _TOP, high - _TOP))
    marks += [*_names(drawn.plates, at, laid), *numbered]
    marks.append(line(x0, middle, x1, middle, width=0.7, dash="9 2.5 2 2.5"))
    marks += [
        text(x0 + 2, _TOP + 10, "PORT", size=9, bold=True),
        text(x0 + 2, high - _TOP - 4, "STARBOARD", size=9, bold=True),
    ]
    if drawn.from_mm <= 0:
        marks += [
            path(f"M{x0 - 14:.1f} {middle:.1f}l8 -4v8Z", fill=INK),
            text(x0 - 5, middle + 12, "bow", size=6.8, anchor="end"),
        ]
    marks.append(text(x1 + 4, middle + 2, "stern", size=6.8))
    told = (
        f"The shell laid flat, 1 to {ratio:g}, with {len(drawn.numbers)} findings, {len(drawn.spots)} readings and "
        f"{len(drawn.cuts)} plates to be let in."
    )
    return in_points(WIDE_PT, high, *marks, told=told), ratio


def _frames(drawn: ShellDrawn, at: _At, high: float) -> Iterable[str]:
    last = -1e9
    for name, mm in drawn.frames:
        if not drawn.from_mm - 1 <= mm <= drawn.to_mm + 1:
            continue
        x, _ = at(mm, 0)
        yield line(x, _TOP - 4, x, _TOP, width=0.5)
        yield line(x, high - _TOP, x, high - _TOP + 4, width=0.5)
        yield line(x, _TOP, x, high - _TOP, width=0.25)
        if x - last > 11:
            last = x
            yield text(x, _TOP - 6, name, size=7, anchor="middle")
            yield text(x, high - _TOP + 11, name, size=7, anchor="middle")


def _names(plates: Sequence[PlateDrawn], at: _At, laid: Sequence[tuple[float, float]]) -> Iterable[str]:
    """The name of each place and its share, where there is room for it beside the numbers."""
    taken: list[tuple[float, float, float]] = []
    for plate in sorted(plates, key=lambda one: (one.x1 - one.x0) * (one.y1 - one.y0)):
        (a, b), (c, d) = at(plate.x0, plate.y0), at(plate.x1, plate.y1)
        share = "not begun" if plate.share is None else f"{100 * plate.share:.0f} %"
        if c - a < 26 or d - b < 9:
            continue
        told = fitted(f"{share} {plate.name}", c - a - 4, 6.8)
        wide = len(told) * 6.8 * LETTER + 4
        x = (a + c) / 2
        rows = [b + 8 + step for step in range(0, max(1, int(d - b - 10)), 8)]
        for y in rows:
            apart = all(abs(x - ox) > (wide + ow) / 2 or abs(y - oy) > 8 for ox, oy, ow in taken)
            if apart and all(abs(x - ox) > wide / 2 + 6 or abs(y - 2.4 - oy) > 10 for ox, oy in laid):
                taken.append((x, y, wide))
                yield box(x - wide / 2, y - 6.4, wide, 8.2, fill="#ffffff", width=0)
                yield text(x, y, told, size=6.8, anchor="middle")
                break


def _numbered(
    numbers: Sequence[NumberDrawn],
    at: _At,
    spots: Sequence[tuple[float, float]],
    within: tuple[float, float, float, float],
) -> tuple[list[str], list[tuple[float, float]]]:
    """Each number beside its place, with a straight leader; and where they were laid."""
    x0, x1, top, low = within
    laid: list[tuple[float, float]] = []
    placed = sorted(numbers, key=lambda one: (one.x, one.y, one.chalk))
    leaders, rings = [], []
    for one in placed:
        x, y = at(one.x, one.y)
        found = None
        for away in (9.0, 13.0, 18.0, 24.0, 31.0, 39.0, 48.0, 58.0, 70.0, 84.0):
            for step in range(16):
                angle = step * math.tau / 16 - math.pi / 2
                tx, ty = x + away * math.cos(angle), y + away * math.sin(angle)
                free = (
                    x0 + 6 < tx < x1 - 6
                    and top + 6 < ty < low - 6
                    and all(math.hypot(tx - ox, ty - oy) > 13 for ox, oy in laid)
                    and all(math.hypot(tx - ox, ty - oy) > 9 for ox, oy in spots)
                )
                if free:
                    found = tx, ty
                    break
            if found:
                break
        tx, ty = found or (x + 9, y)
        laid.append((tx, ty))
        leaders += [line(x, y, tx, ty, width=0.6), dot(x, y, 1.2)]
        rings.append(ringed(tx, ty, one.chalk, one.state))
    return [*leaders, *rings], laid
