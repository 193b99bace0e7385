"""The boat lengthways with her compartments and their tiers, and from above with the findings."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from inspect_tui.domain.words import Lane, Side, Tier
from inspect_tui.handover.figures.svg import (
    GREY,
    box,
    dot,
    drawing,
    fitted,
    line,
    path,
    text,
    tier_fill,
    tier_patterns,
)

WIDE = 720.0
LANE_WORDS = {Lane.ABOVE: "above the waterline", Lane.BELOW: "below the waterline", Lane.KEEL: "keel and tanks"}
MOST_IN_ROW = 7
BOX_HIGH = 48.0


@dataclass(frozen=True)
class PlaceDrawn:
    """One compartment: its worst open tier, and how much of it was gone through in words."""

    name: str
    lane: Lane
    tier: Tier | None
    told: str
    seen: bool


@dataclass(frozen=True)
class FindingDrawn:
    """One finding at its distance from the bow [mm], side, and distance from the centreline along the plate [mm]."""

    chalk: int
    from_bow_mm: float
    side: Side | None
    girth_mm: float | None
    tier: Tier | None


def lengthways(name: str, places: Sequence[PlaceDrawn]) -> str:
    """Three lanes of compartments, bow to the left, each with the pattern and the word of its worst tier. A broken
    outline is a place that was not gone through."""
    marks = [tier_patterns(name), text(0, 12, "◁ bow"), text(WIDE, 12, "stern", anchor="end")]
    y = 22.0
    for lane in Lane:
        row = [place for place in places if place.lane is lane]
        if not row:
            continue
        marks.append(text(0, y + 10, LANE_WORDS[lane], bold=True))
        y += 15
        for start in range(0, len(row), MOST_IN_ROW):
            shown = row[start : start + MOST_IN_ROW]
            wide = WIDE / max(min(len(row), MOST_IN_ROW), 4)
            for at, place in enumerate(shown):
                marks += _place(name, place, at * wide, y, wide - 4)
            y += BOX_HIGH + 5
        y += 4
    for at, tier in enumerate(Tier):
        x = at * WIDE / len(Tier)
        marks += [box(x, y + 2, 18, 12, fill=tier_fill(name, tier)), text(x + 23, y + 12, tier.value)]
    marks.append(text(0, y + 30, "broken outline: not gone through, or nothing of it seen", size=10, fill=GREY))
    told = f"{len(places)} compartments from bow to stern in three lanes. " + "; ".join(
        f"{place.name}: {place.told}" for place in places if place.tier in (Tier.NOW, Tier.BEFORE_AFLOAT)
    )
    return drawing(WIDE, y + 34, *marks, told=told)


def _place(name: str, place: PlaceDrawn, x: float, y: float, wide: float) -> list[str]:
    band = 9.0
    marks = [box(x, y, wide, BOX_HIGH, dash="" if place.seen else "5 3")]
    for number, words in enumerate(_two_lines(place.name, wide - 8)):
        marks.append(text(x + 4, y + 12 + 11 * number, words, size=10))
    told = place.tier.value if place.tier else place.told
    marks.append(text(x + 4, y + 35, fitted(told, wide - 8, 10), size=10, bold=place.tier is not None))
    if place.tier is not None:
        marks.append(box(x, y + BOX_HIGH - band, wide, band, fill=tier_fill(name, place.tier), width=0.5))
    return marks


def _two_lines(words: str, room: float) -> list[str]:
    """A name on one line or two, broken at a blank."""
    if fitted(words, room, 10) == words:
        return [words]
    first = ""
    for word in words.split():
        if first and fitted(f"{first} {word}", room, 10) != f"{first} {word}":
            break
        first = f"{first} {word}".strip()
    return [fitted(first, room, 10), fitted(words[len(first) :].strip(), room, 10)]


def _free(
    x: float, y: float, taken: Sequence[tuple[float, float, float, float]], between: tuple[float, float]
) -> tuple[float, float]:
    """The nearest place for a number beside its mark that covers nothing else."""
    for away in (11.0, 18.0, 26.0, 36.0, 48.0, 62.0, 80.0):
        for step in range(12):
            angle = step * math.tau / 12
            tx, ty = x + away * math.cos(angle), y + away * math.sin(angle)
            inside = between[0] + 6 < ty < between[1] - 6 and 8 < tx < WIDE - 8
            if inside and all(
                abs(tx - ox) > (15 + wide) / 2 or abs(ty - oy) > (10 + high) / 2 for ox, oy, wide, high in taken
            ):
                return tx, ty
    return x + 11, y


def _outline(at: Callable[[float], float], length_mm: float, middle: float, half: float) -> list[str]:
    """Her shape from above, her centreline, and which end is which."""
    fore, aft = at(0), at(length_mm)
    full = at(length_mm * 0.45)
    port, starboard = middle + half, middle - half
    outline = (
        f"M{fore:.1f} {middle:.1f} Q{at(length_mm * 0.18):.1f} {starboard:.1f} {full:.1f} {starboard:.1f}",
        f"L{at(length_mm * 0.7):.1f} {starboard:.1f}",
        f"Q{aft:.1f} {middle - half * 0.9:.1f} {aft:.1f} {middle - half * 0.62:.1f}",
        f"L{aft:.1f} {middle + half * 0.62:.1f}",
        f"Q{aft:.1f} {middle + half * 0.9:.1f} {at(length_mm * 0.7):.1f} {port:.1f}",
        f"L{full:.1f} {port:.1f} Q{at(length_mm * 0.18):.1f} {port:.1f} {fore:.1f} {middle:.1f} Z",
    )
    return [
        path(" ".join(outline), width=1.5),
        line(fore, middle, aft, middle, dash="8 3 2 3", ink=GREY),
        text(0, 12, "◁ bow"),
        text(WIDE / 2, 12, "starboard side up", anchor="middle"),
        text(WIDE, 12, "stern", anchor="end"),
    ]


def _numbers(
    findings: Sequence[FindingDrawn], at: Callable[[float], float], beam_mm: float, top: float, high: float
) -> list[str]:
    """A spot for each finding, and its number as near as there is room."""
    middle, half = top + high / 2, high / 2
    marks: list[str] = []
    spots = []
    for one in sorted(findings, key=lambda one: (one.from_bow_mm, one.chalk)):
        out = min((one.girth_mm or 0.0) / max(beam_mm / 2, 1.0), 1.0) * (half - 12)
        side = {Side.PORT: 1, Side.STARBOARD: -1}.get(one.side or Side.CENTRE, 0)
        spots.append((one, at(one.from_bow_mm), middle + side * out))
    taken = [(x, y, 7.0, 7.0) for _, x, y in spots]
    for one, x, y in spots:
        urgent = one.tier in (Tier.NOW, Tier.BEFORE_AFLOAT)
        label_x, label_y = _free(x, y, taken, (top, top + high))
        taken.append((label_x, label_y, 15.0, 10.0))
        if math.hypot(label_x - x, label_y - y) > 13:
            marks.append(line(x, y, label_x, label_y, width=0.4, ink=GREY))
        marks.append(text(label_x, label_y + 3.5, f"{one.chalk}", size=10, anchor="middle", bold=urgent))
        if one.girth_mm is None:
            marks.append(box(x - 2.2, y - 2.2, 4.4, 4.4, fill="#111111" if urgent else "#ffffff"))
        else:
            marks.append(dot(x, y, 2.6 if urgent else 2.2, fill="#111111" if urgent else "#ffffff"))
    return marks


def plan(length_mm: float, beam_mm: float, findings: Sequence[FindingDrawn], spacing_mm: float) -> str:
    """The boat from above, bow to the left, with the chalk number of each finding at its frame and side."""
    high, top = 190.0, 24.0
    middle = top + high / 2
    scale = (WIDE - 20) / length_mm

    def at(from_bow_mm: float) -> float:
        return 10 + min(max(from_bow_mm, 0.0), length_mm) * scale

    marks = _outline(at, length_mm, middle, high / 2)
    frame = 0
    while spacing_mm > 0 and frame * spacing_mm <= length_mm:
        x = at(frame * spacing_mm)
        if frame % 2 == 0:
            marks += [line(x, top, x, top + high, width=0.4, dash="1 4", ink=GREY)]
            marks += [text(x, top + high + 12, f"{frame}", size=9, anchor="middle")]
        frame += 1
    marks += _numbers(findings, at, beam_mm, top, high)
    low = top + high + 28
    marks.append(
        text(
            0, low,
            "black: Now or Before afloat   white: later   square: girth not written, drawn on the centreline   "
            "numbers below: frames",
            size=10,
        )
    )  # fmt: skip
    told = f"The boat from above with {len(findings)} chalk numbers at their frames: " + "; ".join(
        f"no. {one.chalk} {one.from_bow_mm / 1000:.1f} m from the bow" for one in findings
    )
    return drawing(WIDE, low + 6, *marks, told=told)
