"""From a plate field and the boat's particulars to what the standard requires of its panel; or what is missing."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.metals import Alloy, Strength
from inspect_tui.domain.records import Boat, PlateField
from inspect_tui.domain.words import HullMetal, PlateRegion, Rig
from inspect_tui.engineering.strength.buckling import buckling
from inspect_tui.engineering.strength.inland import Inland, inland_minimum
from inspect_tui.engineering.strength.plate_strength import PlateCheck, check_plate, plate_working
from inspect_tui.engineering.strength.pressure import Craft, Panel, Region, missing
from inspect_tui.engineering.working import Working
from inspect_tui.errors import CannotCalculate

REGIONS: dict[PlateRegion, Region] = {
    PlateRegion.BOTTOM: "bottom",
    PlateRegion.BILGE: "bottom",
    PlateRegion.KEEL: "bottom",
    PlateRegion.SIDE: "side",
    PlateRegion.TRANSOM: "side",
    PlateRegion.DECK: "deck",
    PlateRegion.BULKHEAD: "bulkhead",
    PlateRegion.TANK: "tank",
}

UNDER_HEAD = frozenset({PlateRegion.BULKHEAD, PlateRegion.TANK})
SHELL = frozenset({PlateRegion.BOTTOM, PlateRegion.BILGE, PlateRegion.KEEL, PlateRegion.SIDE, PlateRegion.TRANSOM})
# Pressed along their face when the hull bends.
PRESSED = frozenset({PlateRegion.BOTTOM, PlateRegion.SIDE, PlateRegion.DECK})
# ISO 12215-5:2008, of integral tanks.
LEAST_OVERFLOW_M = 2.0
_HEAD = {
    PlateRegion.BULKHEAD: "head of water on it (m)",
    PlateRegion.TANK: "height from its middle to the tank's top (m)",
}


@dataclass(frozen=True)
class Required:
    """What a plate field's panel requires, with its inputs in words; or what is missing for it."""

    check: PlateCheck | None
    panel: Panel | None
    inputs: tuple[tuple[str, str], ...] = ()
    missing: tuple[str, ...] = ()
    wrong: str = ""
    region: PlateRegion | None = None
    inland: Inland | None = None
    metal: HullMetal | None = None
    yield_mpa: float | None = None

    def buckling_left(self, built_mm: float, left_mm: float | None) -> float | None:
        """Stress at which the panel buckles as it is / as built [-]; None where it is not pressed along its face, or
        not known."""
        if self.panel is None or self.yield_mpa is None or left_mm is None or self.region not in PRESSED:
            return None
        metal: Literal["aluminium", "steel"] = "aluminium" if self.metal is HullMetal.ALUMINIUM else "steel"
        spacing = self.panel.short_mm
        try:
            now, then = (buckling(one, spacing, self.yield_mpa, metal) for one in (min(left_mm, built_mm), built_mm))
        except CannotCalculate:
            return None
        return now.critical_mpa / then.critical_mpa

    @property
    def inland_mm(self) -> float | None:
        """What the inland rules ask for there; None where they are no yardstick."""
        if self.inland is None:
            return None
        return self.inland.bilge_mm if self.region is PlateRegion.BILGE else self.inland.shell_mm

    @property
    def why_not(self) -> str:
        if self.wrong:
            return self.wrong
        return f"not worked out, missing: {', '.join(self.missing)}" if self.missing else ""

    def working(self) -> Working:
        if self.check is None or self.panel is None:
            told = Working((*self.inputs, ("required", self.why_not)), ())
        else:
            told = plate_working(self.check, self.panel, self.inputs)
        return told + self.inland.working if self.inland else told


def required_of(boat: Boat, checklists: Checklists, field: PlateField, actual_mm: float | None) -> Required:
    """By ISO 12215-5:2008; what it needs and is not written down is named, never guessed. Plate that has the sea on
    one face and a tank on the other is held against both, and the greater counts; inland steel has its yardstick."""
    regions = [field.region, *_other_face(field)]
    found = [_required_there(boat, checklists, field, region, actual_mm) for region in regions]
    worst = max(found, key=lambda one: one.check.required_mm if one.check else 0.0)
    for one in found:
        if one is not worst:
            told = f"{one.check.required_mm:.2f} mm" if one.check else one.why_not
            as_what = f"as {one.region.value}: " if one.region else ""
            heads = [line for line in one.inputs if line[0] == "head"]
            face = ("its other face", f"{as_what}{told}; the greater counts")
            worst = replace(worst, inputs=(*worst.inputs, face, *heads))
    return replace(worst, inland=_inland_of(boat, field))


def _other_face(field: PlateField) -> list[PlateRegion]:
    """What else presses on it: the sea on a tank's plate that is the shell, a tank on shell that has a head."""
    if field.region is PlateRegion.TANK:
        return [field.shell] if field.shell is not None else []
    return [PlateRegion.TANK] if field.region in SHELL and field.head_m is not None else []


def _inland_of(boat: Boat, field: PlateField) -> Inland | None:
    """The yardstick of the inland rules, of the shell of a steel boat that keeps to inland waters."""
    if not boat.inland or boat.hull_metal is not HullMetal.STEEL or field.region not in SHELL:
        return None
    if field.panel_width_mm is None or boat.hull_draught_m is None:
        return None
    try:
        return inland_minimum(boat.hull_length_m, field.panel_width_mm, boat.hull_draught_m)
    except CannotCalculate:
        return None


def _required_there(
    boat: Boat, checklists: Checklists, field: PlateField, region: PlateRegion, actual_mm: float | None
) -> Required:
    field = field.model_copy(update={"region": region})
    lacking = _lacking(boat, field)
    alloy = checklists.metals.alloys.get(field.alloy)
    strength = None if alloy is None else alloy.design_strength(field.temper, welded=field.welded is not False)
    if field.alloy and alloy is None:
        lacking.append(f"strength of {field.alloy} (not in metals.toml)")
    elif alloy is not None and strength is None:
        lacking.append(
            f"strength of {field.alloy} {field.temper} not welded (metals.toml has none)".replace("  ", " ")
        )
    if lacking or alloy is None or strength is None:
        return Required(None, None, missing=tuple(lacking), region=region)
    try:
        craft, panel = None if region in UNDER_HEAD else _craft(boat), _panel(field)
        if more := missing(craft, panel):
            return Required(None, None, missing=tuple(more), region=region)
        check = check_plate(craft, panel, alloy.metal.value, strength.ultimate_mpa, strength.proof_mpa, actual_mm)
    except CannotCalculate as error:
        return Required(None, None, wrong=str(error), region=region)
    return Required(
        check,
        panel,
        _inputs(boat, field, panel, alloy, strength),
        region=region,
        metal=alloy.metal,
        yield_mpa=strength.proof_mpa,
    )


def head_of(field: PlateField) -> tuple[float, str] | None:
    """Head of water [m] on the middle of a panel, and how it comes about; a tank's counts from its overflow, taken at
    least 2 m above its top."""
    if field.head_m is None:
        return None
    if field.region is not PlateRegion.TANK:
        return field.head_m, f"{field.head_m:g} m"
    overflow = max(field.overflow_m or 0.0, LEAST_OVERFLOW_M)
    said = "not written down, " if field.overflow_m is None else ""
    told = f"{field.head_m:g} m to the tank's top, {overflow:g} m on to its overflow ({said}at least 2 m is counted)"
    return field.head_m + overflow, told


def _lacking(boat: Boat, field: PlateField) -> list[str]:
    wanted: list[tuple[str, object]] = [
        ("alloy", field.alloy or None),
        ("panel width (mm)", field.panel_width_mm),
        ("panel length (mm)", field.panel_length_mm),
    ]
    if field.region in UNDER_HEAD:
        return [name for name, value in (*wanted, (_HEAD[field.region], field.head_m)) if value is None]
    wanted += [
        ("design category", boat.design_category),
        ("waterline length (m)", boat.waterline_length_m),
        ("displacement (kg)", boat.displacement_kg),
    ]
    return [name for name, value in wanted if value is None]


def _craft(boat: Boat) -> Craft:
    assert boat.design_category
    assert boat.waterline_length_m
    assert boat.displacement_kg
    return Craft(
        boat.rig is Rig.SAIL,
        boat.design_category.value,
        boat.waterline_length_m,
        boat.displacement_kg,
        boat.waterline_beam_m,
        boat.speed_kn,
        boat.deadrise_deg,
        boat.righting_lever_m,
    )


def _panel(field: PlateField) -> Panel:
    assert field.panel_width_mm
    assert field.panel_length_mm
    short, long = sorted((field.panel_width_mm, field.panel_length_mm))
    head = head_of(field) if field.region in UNDER_HEAD else None
    return Panel(
        REGIONS[field.region],
        short,
        long,
        1.0 if field.from_aft_percent is None else field.from_aft_percent / 100,
        1.0 if field.up_side_percent is None else 1 - field.up_side_percent / 100,
        head[0] if head else None,
        field.curvature_mm or 0.0,
    )


def _inputs(
    boat: Boat, field: PlateField, panel: Panel, alloy: Alloy, strength: Strength
) -> tuple[tuple[str, str], ...]:
    taken_as = "" if field.region.value == panel.region else f", taken as {panel.region}"
    told = [
        ("panel", f"{panel.short_mm:g} × {panel.long_mm:g} mm, {field.region.value}{taken_as}"),
    ]
    if field.region in UNDER_HEAD and (head := head_of(field)):
        told.append(("head", head[1]))
    if field.region not in UNDER_HEAD:
        told.append(
            (
                "boat",
                f"{boat.rig.value}, category {boat.design_category}, waterline {boat.waterline_length_m:g} m, "
                f"{boat.displacement_kg:g} kg",
            )
        )
    if field.region not in UNDER_HEAD and field.from_aft_percent is None:
        told.append(("along the hull", "place not written down: taken as forward, where most is required"))
    if panel.region == "side" and field.up_side_percent is None:
        told.append(("up the side", "height not written down: taken as at the waterline, where most is required"))
    welded = "as welded" if strength.welded else "not welded"
    if field.welded is None:
        welded += " (not written down; assumed)"
    told.append(
        (
            "strength",
            f"{field.alloy} {welded}: {strength.proof_mpa:g}/{strength.ultimate_mpa:g} MPa; "
            f"{strength.source} ({strength.seen})",
        )
    )
    others = [
        f"{row.proof_mpa:g}/{row.ultimate_mpa:g} ({row.temper}: {row.source}; {row.seen})"
        for row in alloy.strength
        if row.welded == strength.welded and row is not strength and not row.design
    ]
    if others:
        told.append(("others say", "; ".join(others)))
    return tuple(told)


def filler_words(alloy: Alloy | None) -> str:
    """Which filler metal goes with an alloy, what to avoid, and who says so; empty if nothing is known."""
    if alloy is None or alloy.filler is None:
        return ""
    filler = alloy.filler
    kinds = (
        ("salt water", filler.salt_water),
        ("strength", filler.strength),
        ("ductility", filler.ductility),
        ("least cracking", filler.least_cracking),
    )
    told = ", ".join(f"{name} {wire}" for name, wire in kinds if wire)
    avoid = f"; avoid {alloy.avoid}" if alloy.avoid else ""
    source = filler.source if filler.seen != "from memory, not seen" else "no document"
    return f"{alloy.id}: {told}{avoid}. Source: {source} ({filler.seen}). The welder's procedure decides."
