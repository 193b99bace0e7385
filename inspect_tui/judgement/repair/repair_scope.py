"""What a repair asks for: where, on which metal, how much plate, weld and filler, and what stands in the way."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.metals import Alloy
from inspect_tui.domain.knowledge.named import Areas, Kinds
from inspect_tui.domain.reading_records import PitReading
from inspect_tui.domain.records import Compartment, Finding, PlateField
from inspect_tui.domain.words import (
    CLOSED,
    WELDED,
    HullMetal,
    Side,
    Status,
    Treatment,
    Who,
)
from inspect_tui.domain.zones import zone_of_compartment
from inspect_tui.engineering.work.repair import (
    BUTT_SOURCE,
    INSERT_LEAST_MM,
    INSERT_SOURCE,
    butt_filler_kg_per_m,
    corner_radius_mm,
    insert_weld_m,
    plate_mass_kg,
)
from inspect_tui.engineering.working import Seen, Source, Step, Working, shown
from inspect_tui.errors import CannotCalculate
from inspect_tui.judgement.metal.verdict import Verdict
from inspect_tui.judgement.metal.verdicts import Verdicts
from inspect_tui.judgement.work.action import Action, Task
from inspect_tui.judgement.work.worklist import Worklist

MARGIN_MM = 50.0
MARGIN_SOURCE = Source("cut line 50 mm outside what was marked, each side", Seen.JUDGEMENT)
DENSITY_KG_M3: Mapping[HullMetal, float] = MappingProxyType({HullMetal.ALUMINIUM: 2660.0, HullMetal.STEEL: 7850.0})
# Areas that are things on the shell, not spaces behind it.
NO_SPACE = frozenset(set(Areas) - {Areas.FUEL_TANK, Areas.WATER_TANK, Areas.BALLAST})


@dataclass(frozen=True)
class Plate:
    """The insert, or the plate to be welded up, in numbers [mm, m², kg, m]."""

    length_mm: float
    width_mm: float
    thickness_mm: float
    radius_mm: float
    area_m2: float
    mass_kg: float
    weld_m: float
    filler_kg: float | None
    assumed_size: bool


@dataclass(frozen=True)
class Job:
    """One repair to be quoted for."""

    finding: Finding
    action: Action
    place: Compartment | None
    field: PlateField | None
    alloy: Alloy | None
    verdict: Verdict | None
    treatment: Treatment | None
    own: bool
    plate: Plate | None
    plate_missing: str
    adjacent: tuple[Compartment, ...]
    working: Working


def jobs(book: Book, checklists: Checklists, verdicts: Verdicts, listed: Worklist) -> list[Job]:
    """One job for each open finding that asks for a welder or for new plate, a hole always, in the order of the
    worklist: by the action that is the finding's own where it stands in the list, else by the first of it."""
    of_finding: dict[int, Action] = {}
    for action in listed.actions:
        if action.chalk is not None and (action.chalk not in of_finding or action.task is Task.FINDING):
            of_finding[action.chalk] = action
    told = []
    for chalk, action in of_finding.items():
        finding = book.findings[str(chalk)]
        verdict = verdicts.of(finding)
        treatment, own = treatment_of(finding, verdict)
        if finding.kind == Kinds.HOLE and treatment not in WELDED and not own:
            treatment = Treatment.INSERT_PLATE
        if finding.status in (*CLOSED, Status.REPAIRED) or not (treatment in WELDED or action.who is Who.WELDER):
            continue
        told.append(_job(book, checklists, verdicts, action, finding, treatment, own=own))
    return told


def treatment_of(finding: Finding, verdict: Verdict | None) -> tuple[Treatment | None, bool]:
    """What is to be done: the owner's own decision, else what was decided, else what the numbers ask for."""
    if finding.override:
        return finding.override.treatment, True
    if finding.treatment:
        return finding.treatment, False
    return (verdict.treatment if verdict else None), False


def _job(
    book: Book,
    checklists: Checklists,
    verdicts: Verdicts,
    action: Action,
    finding: Finding,
    treatment: Treatment | None,
    *,
    own: bool,
) -> Job:
    field = book.plate_fields.get(verdicts.gathered.field_at(finding) or "")
    alloy = checklists.metals.alloys.get(field.alloy) if field else None
    plate, missing, working = None, "", Working((), ())
    if treatment in (Treatment.INSERT_PLATE, Treatment.REPLATE):
        plate, missing, working = _plate(book, finding, field, alloy)
    place = book.compartments.get(finding.compartment)
    return Job(
        finding,
        action,
        place,
        field,
        alloy,
        verdicts.of(finding),
        treatment,
        own,
        plate,
        missing,
        _adjacent(book, checklists, place, finding),
        working,
    )


def marked_mm(book: Book, finding: Finding) -> tuple[float, float] | None:
    """Extent as written with the finding; else the largest patch that was measured there [mm]."""
    if finding.extent_length_mm:
        return finding.extent_length_mm, finding.extent_width_mm or finding.extent_length_mm
    patches = [
        (reading.patch_length_mm, reading.patch_width_mm)
        for reading in book.readings.values()
        if reading.finding == finding.chalk
        and isinstance(reading, PitReading)
        and reading.patch_length_mm
        and reading.patch_width_mm
    ]
    return max(patches, key=lambda sides: (sides[0] or 0) * (sides[1] or 0), default=None)


def _plate(
    book: Book, finding: Finding, field: PlateField | None, alloy: Alloy | None
) -> tuple[Plate | None, str, Working]:
    """The insert plate for a finding, or what is missing for it."""
    marked = marked_mm(book, finding)
    thickness = field.as_built_mm if field else None
    if marked is None or thickness is None:
        lacking = [
            name
            for name, value in (("extent of the damage", marked), ("plate thickness as built", thickness))
            if value is None
        ]
        return None, f"not worked out, for want of: {', '.join(lacking)}", Working((), ())
    length, width = (max(side + 2 * MARGIN_MM, INSERT_LEAST_MM) for side in marked)
    cut = Step(
        "cut line", "marked + 2 · 50 mm, at least 300 mm", f"{marked[0]:g} × {marked[1]:g} mm",
        f"{length:g} × {width:g} mm", MARGIN_SOURCE,
    )  # fmt: skip
    plate, working = quantities(book, length, width, thickness, alloy, assumed_size=finding.extent_length_mm is None)
    return plate, "", replace(working, steps=(cut, *working.steps))


def quantities(
    book: Book, length_mm: float, width_mm: float, thickness_mm: float, alloy: Alloy | None, *, assumed_size: bool
) -> tuple[Plate, Working]:
    """What an insert of so many millimetres takes in plate, weld and filler."""
    metal = alloy.metal if alloy else book.boat.hull_metal
    density = alloy.density_kg_m3 if alloy and alloy.density_kg_m3 else DENSITY_KG_M3[metal]
    radius = corner_radius_mm(thickness_mm)
    area = (length_mm * width_mm - (4 - math.pi) * radius**2) * 1e-6
    mass = plate_mass_kg(length_mm * width_mm * 1e-6, thickness_mm, density)
    weld = insert_weld_m(length_mm, width_mm, radius)
    steps = [
        Step(
            "corner radius", "R = max(5 t, 100 mm)", f"max({5 * thickness_mm:g}, 100) mm", f"{radius:g} mm",
            INSERT_SOURCE,
        ),
        Step(
            "plate to buy", "m = L · W · t · ρ",
            f"{length_mm:g} · {width_mm:g} · {thickness_mm:g} mm · {density:g} kg/m³", f"{shown(mass)} kg",
            Source("definition", Seen.DERIVED),
        ),
        Step(
            "weld", "2 (L + W) − (8 − 2π) R", f"2 ({length_mm:g} + {width_mm:g}) − 1.717 · {radius:g} mm",
            f"{weld:.2f} m", Source("geometry", Seen.DERIVED),
        ),
    ]  # fmt: skip
    filler = None
    try:
        per_m = butt_filler_kg_per_m(thickness_mm) * (density / DENSITY_KG_M3[HullMetal.ALUMINIUM])
        filler = per_m * weld
        steps.append(
            Step(
                "filler deposited", "kg/m · weld", f"{per_m:.3f} · {weld:.2f}", f"{filler:.2f} kg",
                BUTT_SOURCE if metal is HullMetal.ALUMINIUM else Source(
                    f"{BUTT_SOURCE.name}, times the ratio of densities", Seen.DERIVED
                ),
            )
        )  # fmt: skip
    except CannotCalculate:
        pass
    not_covered = (
        "One butt all round; back-gouging, tack plates, frames and stiffeners in the way, and waste are not counted.",
    )
    plate = Plate(length_mm, width_mm, thickness_mm, radius, area, mass, weld, filler, assumed_size)
    return plate, Working((), tuple(steps), not_covered)


def _adjacent(
    book: Book, checklists: Checklists, place: Compartment | None, finding: Finding
) -> tuple[Compartment, ...]:
    """Tanks and other spaces that may lie behind the plate: on its side, with frames that meet the finding's."""
    if place is None:
        return ()
    frame = finding.position.frame
    start = frame if frame is not None else place.frame_from
    end = frame if frame is not None else place.frame_to
    if start is None or end is None:
        return ()
    below = zone_of_compartment(checklists, place).wet
    return tuple(
        other
        for other in book.bow_to_stern()
        if other.id != place.id
        and other.area not in NO_SPACE
        and (other.side in (None, Side.CENTRE) or finding.position.side in (None, Side.CENTRE, other.side))
        and other.frame_from is not None
        and other.frame_to is not None
        and other.frame_from - 1 <= end
        and other.frame_to + 1 >= start
        and zone_of_compartment(checklists, other).wet is below
    )
