"""One sheet for each repair job, for a welder or yard to quote from."""

from __future__ import annotations

import math

from inspect_tui.domain import walk
from inspect_tui.domain.boat_words import Feature
from inspect_tui.domain.knowledge.named import Areas, Cautions
from inspect_tui.domain.plain import counted
from inspect_tui.domain.reading_records import PitReading, ThicknessReading
from inspect_tui.domain.words import TREATMENT_WORDS, FrameDirection, Tier, Treatment
from inspect_tui.engineering.work.weights import weight
from inspect_tui.engineering.working import shown
from inspect_tui.errors import CannotCalculate
from inspect_tui.handover.figures.sketch import cut_line
from inspect_tui.handover.model import (
    Blanks,
    Block,
    Column,
    Facts,
    Figure,
    Line,
    Part,
    Picture,
    Points,
    Sheet,
    Table,
    Words,
)
from inspect_tui.handover.parts.findings import place_lines, verdict_words
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.judgement.metal.panels import filler_words
from inspect_tui.judgement.metal.verdict import asks_for
from inspect_tui.judgement.repair.repair_scope import Job, frames_crossed

BLANKS = (
    "Access, strip out, gas-free",
    "Gauging the cut line; each 100 mm more",
    "Cut, fit and weld",
    "Test of weld and tightness",
    "Plate and filler",
    "Coat, insulate, refit",
    "Price, and until when it holds",
    "Name, date",
)
BEFORE = (
    "The cause of the corrosion is found and cured, or the repair comes back.",
    "The place is stripped, cleaned and dry; sound metal is found all round the cut line by gauging.",
    "Foam, lining, wiring and anything that burns are taken away on both faces; adjacent tanks are emptied and "
    "tested gas-free by a competent person.",
)
AFTER = (
    "Thickness beside the weld is gauged again and written down.",
    "The weld is tested for tightness before it is coated, and looked at by whoever answers for it.",
    "Bare metal is coated inside and outside, insulation goes back, bonding and anodes are put right.",
    "Somebody stays on fire watch after hot work: 30 minutes at the least (29 CFR 1915.504).",
)
CAUTIONS = (Cautions.HOT_WORK, Cautions.CONFINED_SPACE, Cautions.BOTTLED_GAS, Cautions.FUEL, Cautions.TOXIC_DUST)
INSERT_TIME = (
    "An insert plate of 300 × 300 mm is one to two days of a welder, with cutting, fitting, back-gouging and testing "
    "(common practice)."
)
TO_AGREE = (
    "temper and certificate of the plate; weld from one or both sides and back-gouging; how the weld is tested; size "
    "of the way in; who empties tanks, moves ballast and clears foam and linings; what is outside (shores, pads)"
)


def jobs_part(subject: Subject) -> Part:
    told = subject.judged.jobs
    if not told:
        return Part("jobs", "Job sheets", (Words("Nothing written down asks for a welder yet."),))
    sheets = [_sheet(subject, job, at, told) for at, job in enumerate(told, 1)]
    table = Table(
        "All jobs",
        (
            Column("Job"),
            Column("Finding"),
            Column("Where", wide=True),
            Column("What", wide=True),
            Column("Plate, weld", wide=True),
        ),
        tuple(
            (
                str(at),
                str(job.finding.chalk),
                f"{subject.place_name(job.finding.compartment)}, {walk.position_words(job.finding.position)}",
                _what(job),
                _plate_words(job),
            )
            for at, job in enumerate(told, 1)
        ),
    )
    head = Words(
        f"{counted(len(told), 'job')}, one page each. Quantities are worked out from what was written down, "
        "for comparing quotes; the welder prices from them, and the welder's own measurement and procedure decide."
    )
    mass = [Words(words)] if (words := _mass_words(subject)) else []
    time = [Words(INSERT_TIME)] if any(job.treatment is Treatment.INSERT_PLATE for job in told) else []
    return Part("jobs", "Job sheets", (head, table, *mass, *time, *sheets), own_page=True)


def _mass_words(subject: Subject) -> str:
    """What all new plate weighs, and how far it would sink her if it were laid on and not let in."""
    kg = sum(job.plate.mass_kg for job in subject.judged.jobs if job.plate)
    boat = subject.book.boat
    if not kg:
        return ""
    told = f"New plate in all {kg:.3g} kg"
    if boat.waterline_length_m is None or boat.waterline_beam_m is None:
        return f"{told}."
    try:
        sinks = weight(kg, boat.waterline_length_m, boat.waterline_beam_m).sinkage_mm
    except CannotCalculate:
        return f"{told}."
    return f"{told}: let in, it takes the place of what is cut out; laid on as doublers it sinks her {sinks:.2g} mm."


def _what(job: Job) -> str:
    return TREATMENT_WORDS[job.treatment] if job.treatment else job.action.what


def _plate_words(job: Job) -> str:
    plate = job.plate
    if plate is None:
        return ""
    return f"{plate.length_mm:g} × {plate.width_mm:g} × {plate.thickness_mm:g} mm, weld {plate.weld_m:.2f} m"


def _first_of_all(subject: Subject) -> list[Line]:
    """What is dangerous now stands before any heat, wherever it is."""
    now = subject.listed.in_tier(Tier.NOW)
    return (
        [Line("Before any heat", "; ".join(dict.fromkeys(f"{one.where}: {one.headline}" for one in now)))]
        if now
        else []
    )


def _to_settle(job: Job) -> list[Line]:
    """Where the numbers ask for more than what is to be done, or nobody has decided yet."""
    told = []
    if job.verdict and job.treatment and asks_for(job.verdict.treatment) > asks_for(job.treatment):
        told.append(f"by the numbers it asks for more: {verdict_words(job.verdict)}")
    if not job.own and not job.finding.treatment:
        told.append("nobody has decided it yet: a price to compare by")
    return [Line("To be settled", "; ".join(told))] if told else []


def _told_since(job: Job) -> list[Line]:
    notes = [f"{event.when:%Y-%m-%d} {event.note}" for event in job.finding.history if event.note]
    return [Line("Told since", "; ".join(notes) + ". Measure the extent again before cutting.")] if notes else []


def _others(job: Job, all_jobs: list[Job]) -> list[Line]:
    """Other jobs in the same plate: one larger plate may be cheaper."""
    if job.field is None:
        return []
    others = [str(one.finding.chalk) for one in all_jobs if one.field == job.field and one is not job]
    return [Line("Same plate", f"also no. {', '.join(others)}; price the whole field besides")] if others else []


def _frames(subject: Subject, job: Job) -> list[Line]:
    if job.plate is None:
        return []
    crossed = frames_crossed(subject.book, job.finding, job.plate)
    if not crossed:
        return []
    numbers = ", ".join(map(str, crossed))
    return [
        Line(
            "In the way",
            f"the cut line comes over or close to frame {numbers}, and to stiffeners: move it or free them",
        )
    ]


def _sheet(subject: Subject, job: Job, at: int, all_jobs: list[Job]) -> Sheet:
    finding = job.finding
    who = "own decision of the owner" if job.own else "decided" if finding.treatment else "asked for by the numbers"
    lines = [
        Line("Job", f"{_what(job)} ({who})" if job.treatment else _what(job)),
        *_to_settle(job),
        *_first_of_all(subject),
        *place_lines(subject, finding),
        Line("Both faces", _both_faces(subject, job)),
        Line("Metal", _metal(subject, job)),
        *([Line("Left", job.verdict.numbers)] if job.verdict else []),
        Line("Behind and beside", _adjacent(job)),
    ]
    if filler := filler_words(job.alloy):
        lines.append(Line("Filler metal", filler))
    lines += _quantities(job)
    lines += [
        *_frames(subject, job),
        *_told_since(job),
        *_others(job, all_jobs),
        Line("Not written down, to agree", TO_AGREE),
    ]
    if after := subject.listed.after_words(job.action, most=4):
        lines.append(Line("Comes after", after))
    blocks: list[Block] = [Words(finding.words, "own")] if finding.words else []
    blocks.append(Facts(tuple(lines)))
    blocks += _sketch(subject, job)
    if subject.photos:
        shown_photos = [id for id in finding.photos if id in subject.book.photos and id not in subject.lost_photos]
        blocks += [
            Picture(id, f"no. {finding.chalk}", f"Photo {number} of finding {finding.chalk}")
            for number, id in enumerate(shown_photos[:2], 1)
        ]
    wanted = [*CAUTIONS, *([Cautions.FOAM_FUMES] if subject.book.boat.may_have(Feature.FOAM) else [])]
    cautions = [subject.checklists.cautions[id] for id in wanted]
    blocks.append(Points(tuple(f"Before: {one}" for one in BEFORE) + tuple(f"After: {one}" for one in AFTER)))
    blocks.append(Words(" ".join(f"{one.title}: {one.say}" for one in cautions), "caution"))
    blocks.append(Blanks(BLANKS))
    tier = job.action.tier.value
    title = f"Job {at}: finding {finding.chalk}, {subject.place_name(finding.compartment)}"
    return Sheet(f"job-{finding.chalk}", title, tuple(blocks), chalk=finding.chalk, tag=tier, own_page=True)


def _sketch(subject: Subject, job: Job) -> list[Block]:
    """The cut line, where a plate is to be let in."""
    finding, plate = job.finding, job.plate
    if plate is None:
        return []
    long, wide = finding.extent_length_mm, finding.extent_width_mm
    svg = cut_line(
        plate.length_mm,
        plate.width_mm,
        plate.radius_mm,
        (long, wide or long) if long else None,
        _frames_about(subject, job),
        (walk.position_words(finding.position) or "position not written down").split(", ", 1),
    )
    return [
        Figure(
            f"cut-{finding.chalk}",
            svg,
            "Sketch: along the boat to scale, up is away from the centreline.",
            f"cut line {plate.length_mm:g} by {plate.width_mm:g} mm, corner radius {plate.radius_mm:g} mm",
        )
    ]


def _frames_about(subject: Subject, job: Job) -> list[tuple[int, float]]:
    """Frames near the plate: number, and distance aft of its middle [mm]."""
    datum, position = subject.book.boat.datum, job.finding.position
    if job.plate is None or not datum.frame_spacing_mm or position.frame is None or datum.frame_table_mm:
        return []
    sign = -1 if datum.direction is FrameDirection.FORWARD else 1
    near = range(math.floor(position.frame) - 2, math.ceil(position.frame) + 4)
    return [
        (number, sign * (number - position.frame) * datum.frame_spacing_mm - (position.offset_mm or 0.0))
        for number in near
    ]


def _both_faces(subject: Subject, job: Job) -> str:
    faces = {reading.position.face for reading in subject.readings_of.get(job.finding.chalk, ())}
    faces.add(job.finding.position.face)
    told = sorted(face.value for face in faces if face)
    seen = f"written down from: {', '.join(told)}" if told else "not written down from which face"
    return f"{seen}; reaching both is for the yard to see: ______"


def _metal(subject: Subject, job: Job) -> str:
    field = job.field
    if field is None:
        metal = subject.book.boat.hull_metal.value
        return f"{metal}; alloy and thickness as built not written down: gauge sound plate, test the alloy"
    alloy = f"{field.alloy} {field.temper}".strip() or f"{subject.book.boat.hull_metal.value}, alloy not known"
    built = (
        f"{field.as_built_mm:g} mm as built (known from: {field.as_built_from.told if field.as_built_from else '?'})"
        if field.as_built_mm
        else "thickness as built not written down"
    )
    readings = subject.readings_of.get(job.finding.chalk, ())
    gauged = [value for one in readings if isinstance(one, ThicknessReading) for value in one.thickness_mm]
    pits = [depth for one in readings if isinstance(one, PitReading) for depth in one.depths_mm]
    told = [field.name, alloy, built]
    if gauged:
        told.append(f"gauged {min(gauged):g} to {max(gauged):g} mm")
    if pits:
        told.append(f"{counted(len(pits), 'pit')}, deepest {max(pits):g} mm")
    return "; ".join(told)


def _adjacent(job: Job) -> str:
    told = []
    for place in job.adjacent:
        kind = (
            " (FUEL: empty, clean, gas-free)"
            if place.area == Areas.FUEL_TANK
            else " (tank: full or empty is not told)"
            if "tank" in place.area
            else ""
        )
        told.append(f"{place.name}{kind}, {walk.frames_words(place)}")
    known = "; ".join(told[:8]) or "no other compartment is written down at these frames"
    return f"{known}. Look for foam, wiring and hollow spaces before any heat."


def _quantities(job: Job) -> list[Line]:
    plate = job.plate
    if plate is None:
        if job.treatment is Treatment.WELD_UP:
            return [Line("Quantity", "pits to be welded up as measured above; filler by the welder")]
        return [Line("Quantity", job.plate_missing or "to be measured on the spot: ______ × ______ mm")]
    size = " (from the square that was measured)" if plate.assumed_size else ""
    filler = f"; filler deposited {plate.filler_kg:.2f} kg, wire to buy more" if plate.filler_kg is not None else ""
    return [
        Line(
            "Quantity",
            f"plate {plate.length_mm:g} × {plate.width_mm:g} × {plate.thickness_mm:g} mm{size}, "
            f"{plate.area_m2:.3f} m², {shown(plate.mass_kg)} kg; "
            f"weld {plate.weld_m:.2f} m, corners R {plate.radius_mm:g} mm{filler}",
        )
    ]
