"""One job on a sheet of its own: the drawing, metal, both faces, order, hazards, quantities, price."""

from __future__ import annotations

from collections.abc import Iterable

from inspect_tui.domain import walk
from inspect_tui.domain.boat_words import Feature
from inspect_tui.domain.knowledge.named import Areas, Kinds
from inspect_tui.domain.plain import counted, one_line, shortened
from inspect_tui.domain.reading_records import PitReading, ThicknessReading
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.shell import on_shell
from inspect_tui.domain.words import TREATMENT_WORDS, Face, Tier, Treatment
from inspect_tui.engineering.working import shown
from inspect_tui.handover.figures.bay import WIDE_PT, Bay, Marked, drawn
from inspect_tui.handover.model import (
    Block,
    Column,
    Columns,
    Facts,
    Figure,
    Head,
    Leaf,
    Line,
    Picture,
    Points,
    Sheet,
    Table,
    Words,
)
from inspect_tui.handover.parts.findings import verdict_words
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.judgement.metal.panels import filler_words
from inspect_tui.judgement.metal.verdict import asks_for
from inspect_tui.judgement.repair.repair_scope import marked_mm
from inspect_tui.judgement.repair.scope import ScopedJob, cut_words

# Under this much plate a butt is taken as square-edged, by the filler table the quantities come from.
SQUARE_UNDER_MM = 5.0
# A frame's weld is freed so far past the cut; common practice.
FREED_MM = 50.0
INSERTED = (Treatment.INSERT_PLATE, Treatment.REPLATE)
PRICE_ROWS = (
    "way in, strip both faces", "tanks out, gas-free", "gauging the cut line", "each extra 100 mm of cut, or "
                                                                               "extra pit",
    "shores, frames, stringers", "cut, fit and weld", "fire watch", "tests of weld and tightness", "plate and filler",
    "coat, insulate, refit", "sum, net",
)  # fmt: skip
SIGNED_ROWS = ("price holds until", "start, working days", "procedure, welder", "firm, name", "date, signature")
ON_SITE = (
    "way in: size of the hatch", "stringers: places, sizes", "temper and certificate of the plate",
    "shores and pads outside", "curve of the plate", "who empties tanks, moves ballast, clears foam",
)  # fmt: skip


def what_is_done(job: ScopedJob) -> str:
    if job.treatment is None:
        return job.jobs[0].action.what.split(" — ")[0]
    return TREATMENT_WORDS[job.treatment]


def where_it_is(subject: Subject, job: ScopedJob) -> str:
    first = job.jobs[0].finding
    places = dict.fromkeys(one_line(subject.place_name(one.finding.compartment)) for one in job.jobs)
    return f"{', '.join(places)}, {walk.position_words(first.position) or 'position not written down'}"


def job_sheet(subject: Subject, job: ScopedJob) -> Sheet:
    first = job.jobs[0].finding
    blocks: list[Block] = [Words(f"{where_it_is(subject, job)}; {_findings_words(job)}.")]
    blocks += [Words(one.finding.words, "own") for one in job.jobs if one.finding.words]
    blocks.append(Words(_settled(job), "caution"))
    metal = _metal(subject, job)
    filler = Words(
        f"Filler. {filler_words(job.jobs[0].alloy) or 'Not known without the alloy: by the procedure.'}", "note"
    )
    behind = (Head("Behind and beside"), Words(_behind(job)))
    if bay := _bay(subject, job):
        blocks.append(Columns((126, 44), ((bay, filler, *behind), tuple(metal))))
    else:
        blocks.append(Columns((1, 1), ((*metal[:2], filler), (*metal[2:], *behind))))
    blocks.append(
        Columns(
            (51, 57, 56),
            (
                (Head("In this order"), Points(tuple(_order(subject, job)), "counted")),
                (Head("Before any heat"), Points(tuple(_hazards(subject, job)))),
                (
                    Head("Quantities"), Facts(tuple(_quantities(job))), Head("Find out on site"),
                    Points(ON_SITE, "box"),
                ),
            ),
        )
    )  # fmt: skip
    blocks.append(_price(_photos(subject, job) if subject.photos else []))
    spans = [span for one in job.jobs if (span := subject.frames_of(one.finding)) is not None]
    frames = (min(low for low, _ in spans), max(high for _, high in spans)) if spans else None
    size = f" of {cut_words(job)}" if job.plate is not None and job.treatment in INSERTED else ""
    title = f"{_TITLES.get(job.treatment, what_is_done(job)) if job.treatment else what_is_done(job)}{size}"
    total = len(subject.judged.scope)
    return Sheet(
        f"job-{first.chalk}", shortened(title[:1].upper() + title[1:], 90), tuple(blocks), chalk=first.chalk,
        tag=f"job {job.letter} of {total} · {job.jobs[0].action.tier.value}", own_page=True, frames=frames,
        mark=job.letter, also=job.findings[1:],
    )  # fmt: skip


_TITLES = {
    Treatment.INSERT_PLATE: "let in a plate",
    Treatment.REPLATE: "replate",
    Treatment.WELD_UP: "build up the pits by welding",
    Treatment.RENEW_MEMBER: "renew the wasted length of the member",
}


def _findings_words(job: ScopedJob) -> str:
    told = f"no. {', '.join(map(str, job.findings))}"
    if job.also:
        told += f"; no. {', '.join(str(one.chalk) for one in job.also)} lie in the cut and come out with it"
    return told


def _settled(job: ScopedJob) -> str:
    """Who decided it, where the numbers ask for more, and what is against a rule."""
    told = []
    for one in job.jobs:
        number = f"no. {one.finding.chalk}: "
        if one.own:
            told.append(f"{number}the owner's own decision")
        elif one.finding.treatment:
            told.append(f"{number}decided")
        else:
            told.append(f"{number}nobody has decided it yet: give a price to compare by")
        if one.verdict and one.treatment and asks_for(one.verdict.treatment) > asks_for(one.treatment):
            told.append(f"{number}by the numbers it asks for more: {verdict_words(one.verdict)}")
    told += [job.missing] if job.missing else []
    told += [f"against a rule: {one}" for one in job.broken]
    told += list(job.notes)
    return "To be settled. " + "; ".join(one.rstrip(".") for one in told) + "."


def _bay(subject: Subject, job: ScopedJob) -> Figure | None:
    if job.cut is None or job.plate is None:
        return None
    boat, marked = subject.book.boat, []
    for one in job.jobs:
        at, size = on_shell(boat, one.finding.position, one.place), marked_mm(subject.book, one.finding) or (0.0, 0.0)
        if at is not None:
            beyond = (one.finding.lifted.beyond_mm or 0.0) if one.finding.lifted else 0.0
            long, wide = size[0] / 2 + beyond, size[1] / 2 + beyond
            marked.append(
                Marked(
                    at.from_bow_mm - long,
                    at.out_mm - wide,
                    at.from_bow_mm + long,
                    at.out_mm + wide,
                    one.finding.chalk,
                    subject.ring_of(one.finding),
                )
            )
    svg, ratio = drawn(
        Bay(
            job.cut.x0, job.cut.y0, job.cut.x1, job.cut.y1, job.plate.radius_mm, marked, subject.frames_mm, job.letter
        )
    )
    panel = job.field.panel_width_mm if job.field is not None else None
    stiffened = (
        f"; stringers about {panel:g} mm apart by the book, their places not written down: find them first"
        if panel
        else "; stringers are not in the book: find them first"
    )
    caption = (
        f"1 : {ratio:g}, millimetres, seen from inside with starboard up; from outside it is the mirror image. "
        f"Heavy: the cut, through both faces, corner radius {job.plate.radius_mm:g}. "
        f"Hatched: what is marked{stiffened}."
    )
    told = f"Job {job.letter}: cut line {cut_words(job)}, corners {job.plate.radius_mm:g} mm"
    return Figure(f"cut-{job.letter}", svg, caption, told, WIDE_PT)


def _metal(subject: Subject, job: ScopedJob) -> list[Leaf]:
    field = job.field
    boat = subject.book.boat
    if field is None:
        old = f"{boat.metal_words}; alloy and thickness as built not written down: gauge and test it"
        new = "as the test of the alloy says"
    else:
        alloy = f"{field.alloy} {field.temper}".strip() or f"{boat.metal_words}, alloy not known"
        known = f" ({field.as_built_from.told})" if field.as_built_from else ""
        built = (
            f"{field.as_built_mm:g} mm as built{known}"
            if field.as_built_mm
            else "thickness as built not written down"
        )
        old = f"{field.name}: {alloy}, {built}"
        new = f"{alloy}, {field.as_built_mm:g} mm, with certificate" if field.as_built_mm else "to be measured"
    lines = [Line("Old", old), Line("Gauged", _gauged(subject, job)), Line("New", new)]
    lines += [Line("Left", one.verdict.numbers) for one in job.jobs[:2] if one.verdict]
    built_mm = field.as_built_mm if field else None
    joint = "by the welder's procedure"
    if built_mm is not None and job.treatment in INSERTED:
        edge = "square" if built_mm < SQUARE_UNDER_MM else "60° V"
        joint = f"{edge} butt, back-gouged, as the filler's quantity assumes"
    faces = [Line("Inside", _face(subject, job, Face.INSIDE)), Line("Outside", _face(subject, job, Face.OUTSIDE))]
    return [
        Head("Metal and filler"),
        Facts((*lines, Line("Joint", joint))),
        Head("Both faces"),
        Facts(tuple(faces)),
    ]


def _gauged(subject: Subject, job: ScopedJob) -> str:
    told = []
    for one in job.jobs:
        readings = subject.readings_of.get(one.finding.chalk, ())
        gauged = [value for each in readings if isinstance(each, ThicknessReading) for value in each.thickness_mm]
        pits = [depth for each in readings if isinstance(each, PitReading) for depth in each.depths_mm]
        if gauged:
            told.append(f"no. {one.finding.chalk} {min(gauged):g} to {max(gauged):g} mm")
        if pits:
            told.append(f"no. {one.finding.chalk} {counted(len(pits), 'pit')}, deepest {max(pits):g} mm")
    return "; ".join(told) or "not gauged here"


def _face(subject: Subject, job: ScopedJob, face: Face) -> str:
    """What is written down of a face: read or marked there, or nothing."""
    seen = []
    for one in job.jobs:
        faces = {each.position.face for each in subject.readings_of.get(one.finding.chalk, ())} | {
            one.finding.position.face
        }
        if face in faces:
            seen.append(str(one.finding.chalk))
    return f"no. {', '.join(seen)} written down from here" if seen else "nothing written down: look before pricing"


def _behind(job: ScopedJob) -> str:
    told = [f"{one_line(place.name)}{_tank_words(place)}, {walk.frames_words(place)}" for place in job.behind]
    known = "; ".join(told) or "no other compartment is written down at these frames"
    return f"{known}. Look for foam, wiring and hollow spaces before any heat."


def _tank_words(place: Compartment) -> str:
    if place.area == Areas.FUEL_TANK:
        return " (FUEL, not known whether integral: to be emptied, cleaned and proved gas-free)"
    return " (tank: not known whether full or empty)" if "tank" in place.area else ""


def _order(subject: Subject, job: ScopedJob) -> Iterable[str]:
    if first := _first(subject, job):
        yield f"To be done first, by others: {first}."
    if job.treatment in INSERTED:
        yield "Gauge the cut line all round: sound metal, or move it out and say so."
        if job.frames:
            yield f"Shore it. Free frame {', '.join(map(str, job.frames))} 50 mm past the cut."
        yield "Cut, round the corners, bevel, fit. Degrease, dry, brush with clean stainless; tack."
        yield "Butts before fillets, in short steps from the middle out."
        yield "Back-gouge, dye the root, then seal the other face; dye all of it."
    elif job.treatment is Treatment.WELD_UP:
        yield "Burr each pit to bright, open metal; gauge what is left under it; too thin for an arc: an insert."
        yield "Fill in small beads, cool between them; grind flush; dye."
    else:
        yield "Look at it with whoever signs the repair, and agree what is done."
    yield "Prove it tight before paint. Gauge beside the weld, coat both faces."


def _first(subject: Subject, job: ScopedJob) -> str:
    """What others must have done before, each by its number and its kind."""
    told = []
    for key in job.jobs[0].action.after:
        chalk = subject.listed.by_key[key].chalk
        if chalk is not None and chalk not in job.findings:
            told.append(f"{subject.kind_label(subject.book.findings[str(chalk)])} (no. {chalk})")
    return "; ".join(dict.fromkeys(told))


def _stringers(job: ScopedJob) -> str:
    """How many the cut must meet, by their spacing."""
    apart = job.field.panel_width_mm if job.field is not None else None
    if apart is None or job.plate is None:
        return ""
    least = int(job.plate.width_mm // apart)
    some = f"{least} or {least + 1}" if least else "none or one"
    return f"{some} cut, going by their {apart:g} mm spacing: free, reweld; not in these metres"


def _hazards(subject: Subject, job: ScopedJob) -> Iterable[str]:
    """The hazards of this job alone: what is dangerous now wherever it is, what lies behind, what burns."""
    for one in {action.chalk or action.key: action for action in subject.listed.in_tier(Tier.NOW)}.values():
        yield f"First of all: {shortened(one_line(one.headline), 90)}{f' (no. {one.chalk})' if one.chalk else ''}."
    for place in job.behind:
        if place.area == Areas.FUEL_TANK:
            yield f"{one_line(place.name)}: empty, clean and declared gas-free by a competent person, or taken out."
        elif "tank" in place.area:
            yield f"{one_line(place.name)}: empty, open, aired and tested before heat on its wall."
        elif place.area == Areas.BALLAST:
            name = one_line(place.name)
            yield f"{name}: find out what it is made of: hot lead gives off poison, wax and tar burn. Shield it."
    if subject.book.boat.may_have(Feature.FOAM):
        yield "Foam and lining: off 300 mm round the heat, both faces; their smoke kills."
    stray = [
        one.chalk
        for one in subject.book.findings.values()
        if one.kind == Kinds.LEAKAGE and subject.tier_of(one) is not None
    ]
    if stray:
        yield f"Stray current (no. {', '.join(map(str, stray))}) is cured first, or the repair is eaten too."
    area = subject.checklists.areas.get(job.jobs[0].place.area) if job.jobs[0].place else None
    if area is not None and area.enclosed:
        yield "A closed place: empty it, air it, test the air before and during the work; somebody stays outside."
    yield "Old paint: take it off wet, mask on. Batteries and shore lead off before the arc; clamp beside the weld."
    yield "A fire watch outside and inside, while hot and 30 minutes after."


def _quantities(job: ScopedJob) -> Iterable[Line]:
    plate = job.plate
    if plate is None:
        yield Line(
            "",
            "pits to be welded up as gauged; filler by the welder"
            if job.treatment is Treatment.WELD_UP
            else job.missing or "to be measured on the spot: ______ × ______ mm",
        )
        return
    size = " (least size: not measured)" if plate.assumed_size else ""
    yield Line("Plate", f"{plate.length_mm:.0f} × {plate.width_mm:.0f} × {plate.thickness_mm:g} mm{size}")
    bought = plate.length_mm * plate.width_mm * 1e-6
    yield Line("", f"{bought:.3f} m² and {shown(plate.mass_kg)} kg bought, {plate.area_m2:.3f} m² let in")
    yield Line("Butt", f"{plate.weld_m:.2f} m, R {plate.radius_mm:g} mm")
    if job.frames:
        fillets = 2 * len(job.frames) * (plate.width_mm + 2 * FREED_MM) / 1000
        yield Line("Frames", f"{', '.join(map(str, job.frames))}: freed and rewelded, {fillets:.2f} m of fillet")
    if stringers := _stringers(job):
        yield Line("Stringers", stringers)
    if plate.filler_kg is not None:
        yield Line("Filler", f"{plate.filler_kg:.2f} kg in the butt alone; root, sealing run, fillets not counted")


def _price(photos: list[Picture]) -> Columns:
    """Room for the price and for who gives it; beside it what it looks like."""
    price = (Column("Price", wide=True), Column("hours", number=True), Column("amount", number=True))
    left = Table("", price, tuple((one, "", "") for one in PRICE_ROWS), of_hands=True)
    right = Table(
        "", (Column("Offer", narrow=True), Column("")), tuple((one, "") for one in SIGNED_ROWS), of_hands=True
    )
    if not photos:
        return Columns((58, 42), ((left,), (right,)))
    return Columns((44, 32, 24), ((left,), (right,), tuple(photos)))


def _photos(subject: Subject, job: ScopedJob) -> list[Picture]:
    told = []
    for one in job.jobs:
        shown_photos = [
            id for id in one.finding.photos if id in subject.book.photos and id not in subject.lost_photos
        ]
        told += [
            Picture(id, f"no. {one.finding.chalk}", f"Photo {number} of finding {one.finding.chalk}")
            for number, id in enumerate(shown_photos[:1], 1)
        ]
    return told[:2]
