"""The sketch on a job sheet: the damage, the cut line with its rounded corners, and the frames about it."""

from __future__ import annotations

from collections.abc import Sequence

from inspect_tui.handover.figures.svg import GREY, box, drawing, line, text


def cut_line(
    length_mm: float,
    width_mm: float,
    radius_mm: float,
    marked_mm: tuple[float, float] | None,
    frames: Sequence[tuple[int, float]],
    where: Sequence[str],
) -> str:
    """An insert plate, bow to the left: cut line, corner radius, and the extent that was marked.

    `frames`: number and distance aft of the plate's middle [mm]; `where`: lines of words about its place.
    """
    wide = 330.0
    scale = min(210 / length_mm, 110 / width_mm)
    across, up = length_mm * scale, width_mm * scale
    x, y = 70.0 + (210 - across) / 2, 34.0
    middle = x + across / 2
    marks = [text(0, 11, "◁ bow", size=11)]
    for number, aft_mm in frames:
        at = middle + aft_mm * scale
        if 40 < at < wide - 20:
            marks.append(line(at, 18, at, y + up + 8, dash="6 3", ink=GREY))
            marks.append(text(at, 15, f"fr {number}", size=10, anchor="middle"))
    marks.append(box(x, y, across, up, width=2.4, round_=radius_mm * scale))
    if marked_mm:
        long, deep = min(marked_mm[0], length_mm) * scale, min(marked_mm[1], width_mm) * scale
        marks.append(box(middle - long / 2, y + (up - deep) / 2, long, deep, dash="4 3"))
    marks += [
        line(middle - 5, y + up / 2, middle + 5, y + up / 2),
        line(middle, y + up / 2 - 5, middle, y + up / 2 + 5),
    ]
    low = y + up + 16
    marks += [
        line(x, low, x + across, low),
        line(x, low - 4, x, low + 4),
        line(x + across, low - 4, x + across, low + 4),
    ]
    marks.append(text(middle, low + 13, f"{length_mm:g} mm along the boat", size=11, anchor="middle"))
    marks += [line(x - 10, y, x - 10, y + up), line(x - 14, y, x - 6, y), line(x - 14, y + up, x - 6, y + up)]
    marks.append(text(x - 15, y + up / 2 + 4, f"{width_mm:g}", size=11, anchor="end"))
    marks.append(text(x + across + 5, y + 10, f"R {radius_mm:g}", size=11))
    for number, words in enumerate((*where, "heavy: cut line   broken: what was marked   +: the position")):
        marks.append(text(0, low + 29 + 13 * number, words, size=10.5))
    told = f"Cut line {length_mm:g} by {width_mm:g} mm with corners of {radius_mm:g} mm. {' '.join(where)}"
    return drawing(wide, low + 22 + 13 * (len(where) + 1), *marks, told=told)
