"""The hull's potential over time, among the bands for her metal and water."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inspect_tui.engineering.electricity.protection import Bands, State
from inspect_tui.handover.figures.svg import GREY, PALE, box, dot, drawing, fitted, line, text

WIDE = 720.0
ROW = 20.0
BEYOND_MV = 150.0
STEP_MV = 100


@dataclass(frozen=True)
class Spot:
    """One potential [mV against silver chloride in sea water]; `free`: no anode was at work."""

    when: str
    sea_mv: float
    told: str
    free: bool = False


def potentials(bands: Bands, spots: Sequence[Spot]) -> str:
    """One row for each potential, the oldest on top; the bands run through all of them, named above."""
    left, right, top = 92.0, WIDE - 214.0, 44.0
    edges = (bands.marginal, bands.good, bands.watch, bands.over)
    first = max(bands.marginal + BEYOND_MV, *(spot.sea_mv for spot in spots))
    last = min(bands.over - BEYOND_MV, *(spot.sea_mv for spot in spots))
    bottom = top + ROW * len(spots)

    def at(mv: float) -> float:
        return left + (first - mv) / (first - last) * (right - left)

    marks = [box(at(bands.good), top - 14, at(bands.watch) - at(bands.good), bottom - top + 14, fill=PALE, width=0)]
    marks += [line(at(edge), top - 14, at(edge), bottom, dash="4 3") for edge in edges]
    ends = [left, *(at(edge) for edge in edges), right]
    for number, (state, begin, end) in enumerate(zip(State, ends, ends[1:], strict=False)):
        # The narrow bands have their words a line higher.
        y = top - 18 - (12 if number in (1, 3) else 0)
        marks.append(text((begin + end) / 2, y, state.value, size=9, anchor="middle"))
    for number, spot in enumerate(spots):
        y = top + ROW * number + ROW / 2
        marks.append(text(left - 6, y + 4, spot.when, size=10, anchor="end"))
        marks.append(line(left, y, right, y, ink=PALE))
        marks.append(dot(at(spot.sea_mv), y, 4, fill="#ffffff" if spot.free else "#111111"))
        marks.append(text(right + 8, y + 4, fitted(spot.told, 205, 10), size=10))
    mark = int(first // STEP_MV) * STEP_MV
    while mark >= last:
        marks += [line(at(mark), bottom, at(mark), bottom + 4),
                  text(at(mark), bottom + 16, f"{mark:g}", size=10, anchor="middle")]  # fmt: skip
        mark -= STEP_MV
    words = "mV against silver chloride in sea water; white: no anode at work"
    marks.append(text(left, bottom + 32, words, size=10, fill=GREY))
    told = "Potentials: " + "; ".join(f"{spot.when} {spot.sea_mv:.0f} mV, {spot.told}" for spot in spots)
    return drawing(WIDE, bottom + 38, *marks, told=told)
