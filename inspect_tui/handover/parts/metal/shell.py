"""The shell laid flat: every reading by what is gone, findings, plates to be let in, what was seen and what not."""

from __future__ import annotations

import math

from inspect_tui.domain.plain import counted, one_line
from inspect_tui.domain.reading_records import PitReading, ThicknessReading
from inspect_tui.domain.records import Compartment, Position
from inspect_tui.domain.shell import from_bow_mm, on_shell
from inspect_tui.domain.words import Side
from inspect_tui.handover.figures.shell import (
    WIDE_PT,
    CutDrawn,
    NumberDrawn,
    PlateDrawn,
    ShellDrawn,
    SpotDrawn,
    expansion,
    sign,
)
from inspect_tui.handover.figures.svg import box, hatched, in_points, ringed, text
from inspect_tui.handover.model import Block, Columns, Facts, Figure, Head, Line, Part, Ring, Words
from inspect_tui.handover.parts.cover import datum_words
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.judgement.metal.readings_of_metal import metal_mm

MOST_NUMBERS = 55


def shell_part(subject: Subject) -> Part:
    """On one sheet, or, where there are many findings, on several from bow to stern at a larger scale."""
    book = subject.book
    numbers, unplaced = _numbers(subject)
    spots = _spots(subject)
    plates = [one for place in book.bow_to_stern() for one in _plates(subject, place)]
    cuts = [
        CutDrawn(
            job.cut.x0, job.cut.y0, job.cut.x1, job.cut.y1, job.letter, job.plate.radius_mm if job.plate else 100
        )
        for job in subject.judged.scope
        if job.cut is not None
    ]
    outs = [500.0, *(abs(one.y) for one in numbers), *(abs(one.y) for one in spots)]
    outs += [max(abs(one.y0), abs(one.y1)) for one in plates] + [max(abs(one.y0), abs(one.y1)) for one in cuts]
    long = book.boat.hull_length_m * 1000
    sheets = max(1, math.ceil(len(numbers) / MOST_NUMBERS))
    blocks: list[Block] = []
    for number in range(sheets):
        first, last = long * number / sheets, long * (number + 1) / sheets
        inside = [first <= one.x < last or (one.x >= long and number == sheets - 1) for one in numbers]
        drawn = ShellDrawn(
            first, last, max(outs),
            [one for one in plates if one.x1 > first and one.x0 < last],
            [one for one in spots if first <= one.x < last],
            [one for one, here in zip(numbers, inside, strict=True) if here],
            [one for one in cuts if one.x1 > first and one.x0 < last],
            subject.frames_mm,
            f"shell-{number}",
        )  # fmt: skip
        svg, ratio = expansion(drawn)
        where = f", sheet {number + 1} of {sheets}" if sheets > 1 else ""
        caption = (
            f"Seen from outside, port above, bow left{where}. 1 : {ratio:g} on A4 without fitting to the page, along "
            "the boat and out along the plate; her outline is not in the book."
        )
        blocks.append(Figure(f"shell-{number}", svg, caption, _told(drawn), WIDE_PT))
    blocks += _legend(subject, unplaced)
    return Part("shell", "The shell laid flat", tuple(blocks), own_page=True, flip=True)


def _numbers(subject: Subject) -> tuple[list[NumberDrawn], list[int]]:
    """Findings with a place on the shell, and the numbers of those without."""
    placed, without = [], []
    for finding in sorted(subject.book.findings.values(), key=lambda one: one.chalk):
        at = on_shell(subject.book.boat, finding.position, subject.book.compartments.get(finding.compartment))
        if at is None:
            without.append(finding.chalk)
        else:
            placed.append(NumberDrawn(at.from_bow_mm, at.out_mm, finding.chalk, subject.ring_of(finding)))
    return placed, without


def _spots(subject: Subject) -> list[SpotDrawn]:
    """Readings of plate with a place: the worst of each spot, by share of the plate as built."""
    book, gathered = subject.book, subject.judged.verdicts.gathered
    told: dict[tuple[int, int], SpotDrawn] = {}
    for reading in book.readings.values():
        if not isinstance(reading, PitReading | ThicknessReading) or reading.member is not None:
            continue
        finding = book.findings.get(str(reading.finding)) if reading.finding is not None else None
        place = book.compartments.get(reading.compartment)
        spots = (
            on_shell(book.boat, one, place)
            for one in (reading.position, finding.position if finding else None)
            if one
        )
        at = next((one for one in spots if one is not None), None)
        if at is None:
            continue
        field = book.plate_fields.get(gathered.field_of(reading) or "")
        built = field.as_built_mm if field else None
        gone, square = None, None
        if isinstance(reading, PitReading):
            if built and (reading.depths_mm or reading.every_pit):
                gone = max(reading.depths_mm, default=0.0) / built
            if reading.patch_length_mm and reading.patch_width_mm and reading.square is not None:
                square = (reading.patch_length_mm, reading.patch_width_mm)
        elif built and (values := metal_mm(reading)):
            gone = max(0.0, 1 - min(values) / built)
        holed = isinstance(reading, PitReading) and reading.is_through
        spot = SpotDrawn(at.from_bow_mm, at.out_mm, gone, holed, reading.clean_metal is not False, square)
        key = round(at.from_bow_mm), round(at.out_mm)
        if key not in told or (spot.holed, spot.gone or -1) > (told[key].holed, told[key].gone or -1):
            told[key] = spot
    return list(told.values())


def _plates(subject: Subject, place: Compartment) -> list[PlateDrawn]:
    """What of the shell a compartment covers, on one side or both."""
    area = subject.checklists.areas.get(place.area)
    if area is None or not area.space or area.outside or place.girth_to_mm is None:
        return []
    ends = [
        at
        for frame in (place.frame_from, place.frame_to)
        if frame is not None and (at := from_bow_mm(subject.book.boat, Position(frame=frame))) is not None
    ]
    if len(ends) != 2:
        return []
    inner, outer = place.girth_from_mm or 0.0, place.girth_to_mm
    done = subject.progress_of[place.id]
    share = None if done.untouched else (done.seen_percent or 0.0) / 100
    spans = [(-outer, outer)] if not inner and place.side not in (Side.PORT, Side.STARBOARD) else []
    if not spans:
        spans = [
            (low, high)
            for low, high, side in ((-outer, -inner, Side.STARBOARD), (inner, outer, Side.PORT))
            if place.side is not side
        ]
    return [PlateDrawn(one_line(place.name), min(ends), max(ends), low, high, share) for low, high in spans]


def _told(drawn: ShellDrawn) -> str:
    return (
        f"The shell between {drawn.from_mm / 1000:.1f} and {drawn.to_mm / 1000:.1f} m aft of the bow: "
        f"{counted(len(drawn.numbers), 'finding')} (no. {', '.join(str(one.chalk) for one in drawn.numbers)}), "
        f"{counted(len(drawn.spots), 'spot')} read, {counted(len(drawn.cuts), 'plate')} to be let in"
    )


def _legend(subject: Subject, unplaced: list[int]) -> list[Block]:
    signs: tuple[tuple[float | None, bool, bool, str], ...] = (
        (0.0, False, True, "under 10 % of the plate gone"),
        (0.1, False, True, "10 to 20 %"),
        (0.2, False, True, "20 to 33 %"),
        (0.4, False, True, "more than a third"),
        (None, True, True, "holed"),
        (0.2, False, False, "bar: not on bright metal"),
        (None, False, True, "plate as built not known"),
    )
    rings: tuple[tuple[Ring, str], ...] = (
        ("bars", "bars floating"),
        ("open", "does not bar it"),
        ("closed", "put right"),
    )
    fills = (
        ("#ffffff", "seen, 90 % or more"),
        ("url(#key-part)", "seen in part, share printed"),
        ("url(#key-not)", "not seen, or not begun"),
        ("url(#key-no)", "in no compartment of the book"),
    )
    marks = [f"<defs>{hatched('key-not', 3)}{hatched('key-part', 9)}{hatched('key-no', 6, back=True)}</defs>"]
    for number, (gone, holed, bright, words) in enumerate(signs):
        x, y = (number // 2) * 128.0, 8.0 + (number % 2) * 14
        marks += [sign(x + 7, y, gone, holed=holed, bright=bright), text(x + 17, y + 2.6, words, size=7.2)]
    for number, (state, words) in enumerate(rings):
        x = 128.0 * number
        marks += [
            ringed(x + 7, 38, number + 5, state).split(">", 1)[1].removesuffix("</a>"),
            text(x + 17, 40.6, words, size=7.2),
        ]
    marks += [
        box(391, 32, 14, 11, width=2.2, round_=4),
        text(411, 40.6, "plate to be let in, letter of its job", size=7.2),
    ]
    marks += [box(386, 17, 10, 10, width=0.4), text(401, 24.6, "square whose pits were read", size=7.2)]
    for number, (fill, words) in enumerate(fills):
        x, y = 512.0, 1.0 + number * 8.6
        marks += [box(x, y, 22, 6.6, fill=fill, width=0.5), text(x + 27, y + 5.8, words, size=7.2)]
    key = Figure(
        "shell-key", in_points(WIDE_PT, 46, *marks, told="What the signs mean"), "", "what the signs mean", WIDE_PT
    )
    return [key, *_told_beside(subject, unplaced)]


def _told_beside(subject: Subject, unplaced: list[int]) -> list[Block]:
    """What is to be let in, and what has no place on the plate."""
    cuts = [
        Line(
            f"job {job.letter}",
            f"no. {', '.join(map(str, job.findings))}: {job.plate.length_mm:.0f} × {job.plate.width_mm:.0f} mm",
        )
        for job in subject.judged.scope
        if job.cut is not None and job.plate is not None
    ]
    missing = (
        f"Not on this drawing, for want of a frame or of a distance out: no. {', '.join(map(str, unplaced))}."
        if unplaced
        else "Every finding has its place on this drawing."
    )
    told: list[Block] = []
    note = Words(f"{missing} {datum_words(subject.book)}.", "note")
    if cuts:
        told.append(Columns((2, 1), ((note,), (Head("Plates to be let in"), Facts(tuple(cuts))))))
    else:
        told.append(note)
    return told
