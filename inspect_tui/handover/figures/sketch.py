"""The sketch on a job sheet: the damage, the cut line with its rounded corners, and where it lies."""

from __future__ import annotations

from inspect_tui.handover.figures.svg import GREY, box, drawing, line, path, text


def cut_line(
    length_mm: float, width_mm: float, radius_mm: float, marked_mm: tuple[float, float] | None, frame: str, side: str
) -> str:
    """An insert plate seen from inside: cut line, corner radius, and the extent that was marked."""
    wide, high = 420.0, 190.0
    scale = min(250 / length_mm, 120 / width_mm)
    across, up = length_mm * scale, width_mm * scale
    x, y = 90.0, 26.0 + (120 - up) / 2
    marks = [box(x, y, across, up, width=2, round_=radius_mm * scale)]
    if marked_mm:
        long, deep = min(marked_mm[0], length_mm) * scale, min(marked_mm[1], width_mm) * scale
        mx, my = x + (across - long) / 2, y + (up - deep) / 2
        marks.append(box(mx, my, long, deep, dash="4 3", width=1))
        marks.append(path(f"M{mx:.1f} {my + deep:.1f}L{mx + long:.1f} {my:.1f}", width=0.6))
    low = y + up + 14
    marks += [
        line(x, low, x + across, low),
        line(x, low - 4, x, low + 4),
        line(x + across, low - 4, x + across, low + 4),
    ]
    marks.append(text(x + across / 2, low + 14, f"{length_mm:g} mm along the boat", size=10, anchor="middle"))
    marks += [line(x - 12, y, x - 12, y + up), line(x - 16, y, x - 8, y), line(x - 16, y + up, x - 8, y + up)]
    marks.append(text(x - 18, y + up / 2 + 4, f"{width_mm:g} mm", size=10, anchor="end"))
    marks.append(text(x + across + 10, y + 12, f"R {radius_mm:g} mm", size=10))
    marks.append(text(x + across + 10, y + up / 2 + 4, frame, size=10, bold=True))
    marks.append(text(x + across + 10, y + up / 2 + 17, side, size=10, bold=True))
    marks.append(text(x, 14, "◁ bow", size=10))
    marks.append(
        text(
            0, high - 4, "heavy: cut line   broken: marked damage   not to the scale of the sheet", size=10, fill=GREY
        )
    )
    told = f"Cut line {length_mm:g} by {width_mm:g} mm with corners of {radius_mm:g} mm, {frame} {side}"
    return drawing(wide, high, *marks, told=told)
