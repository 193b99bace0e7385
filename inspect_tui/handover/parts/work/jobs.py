"""One sheet for each job of the scope, complete without the rest, for a welder or yard to price from."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from inspect_tui.domain.boat_words import Feature
from inspect_tui.domain.knowledge.named import Cautions
from inspect_tui.domain.plain import counted
from inspect_tui.handover.model import (
    Block,
    Column,
    Facts,
    Head,
    Line,
    Nos,
    Part,
    Points,
    Sheet,
    Table,
    Words,
)
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.handover.parts.work.job_sheet import INSERTED, job_sheet, what_is_done, where_it_is
from inspect_tui.judgement.repair.scope import ScopedJob

INSERT_TIME = (
    "An insert plate of 300 × 300 mm is one to two days' work for a welder, with cutting, fitting, back-gouging "
    "and testing "
    "(common practice)."
)
SHARED = (
    "The cause of the corrosion is found and cured first, or the repair comes back.",
    "Sound metal is found all round the cut line by gauging before it is cut; if not, the line moves out, and "
    "the price with it.",
    "Thickness beside the weld is gauged again and written down; the weld is proved tight before it is coated, and "
    "looked at by whoever answers for it.",
    "Somebody stays on fire watch after hot work: 30 minutes at the least (29 CFR 1915.504). Local rules decide.",
    "Order of work and joint on each sheet are proposals (common practice): the welder's own procedure decides.",
)


def jobs_part(subject: Subject) -> Part:
    told = subject.judged.scope
    if not told:
        return Part("jobs", "Job sheets", (Words("Nothing written down asks for a welder yet."),))
    table = Table(
        "All jobs",
        (
            Column("Job", narrow=True),
            Column("Findings"),
            Column("Where", wide=True),
            Column("What", wide=True),
            Column("Plate mm"),
            Column("Butt m", number=True),
            Column("kg", number=True),
        ),
        tuple(_row(subject, job) for job in told),
    )
    head = Words(
        f"{counted(len(told), 'job')}, each on a sheet of its own that needs no other. Quantities are worked out "
        "from what was written down, for comparing quotes; the welder prices from them, and the welder's own "
        "measurement and procedure decide."
    )
    blocks: list[Block | Sheet] = [head, table, *_totals(subject), Head("For every job"), Points(SHARED)]
    if any(job.treatment in INSERTED for job in told):
        blocks.append(Words(INSERT_TIME, "note"))
    cautions = [subject.checklists.cautions[id] for id in _cautions(subject)]
    blocks += [Head("Usual cautions; local rules decide"), Facts(tuple(Line(one.title, one.say) for one in cautions))]
    return Part("jobs", "Job sheets", (*blocks, *(job_sheet(subject, job) for job in told)), own_page=True)


def _cautions(subject: Subject) -> Iterable[str]:
    yield from (Cautions.HOT_WORK, Cautions.CONFINED_SPACE, Cautions.BOTTLED_GAS, Cautions.FUEL, Cautions.TOXIC_DUST)
    if subject.book.boat.may_have(Feature.FOAM):
        yield Cautions.FOAM_FUMES


def _row(subject: Subject, job: ScopedJob) -> tuple[str | Nos, ...]:
    plate = job.plate
    return (
        job.letter,
        Nos(job.findings),
        where_it_is(subject, job),
        what_is_done(job),
        f"{plate.length_mm:.0f} × {plate.width_mm:.0f} × {plate.thickness_mm:g}" if plate else "to be measured",
        f"{plate.weld_m:.2f}" if plate else "",
        f"{plate.mass_kg:.1f}" if plate else "",
    )


def _totals(subject: Subject) -> Iterable[Block]:
    """Plate by thickness, weld, and how far it would sink her if it were laid on and not let in."""
    by_thickness: dict[float, list[float]] = defaultdict(lambda: [0.0, 0.0, 0.0])
    for job in subject.judged.scope:
        if job.plate is not None:
            held = by_thickness[job.plate.thickness_mm]
            for at, value in enumerate(
                (job.plate.length_mm * job.plate.width_mm * 1e-6, job.plate.weld_m, job.plate.mass_kg)
            ):
                held[at] += value
    if not by_thickness:
        return
    rows = tuple(
        (f"{mm:g} mm", f"{area:.2f}", f"{weld:.2f}", f"{kg:.1f}")
        for mm, (area, weld, kg) in sorted(by_thickness.items())
    )
    kg = sum(one[2] for one in by_thickness.values())
    note = (
        f"New plate in all {kg:.3g} kg, as bought. Butt: the seam round each plate; frames and stringers are extra."
    )
    columns = (
        Column("Plate"),
        Column("m², as bought", number=True),
        Column("Butt m", number=True),
        Column("kg", number=True),
    )
    yield Table("Totals by thickness, of the jobs that can be measured", columns, rows, note=note)
