"""The verdict on the metal at one finding."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.named import Kinds
from inspect_tui.domain.measuring.metal_records import Member
from inspect_tui.domain.plain import counted
from inspect_tui.domain.reading_records import PitReading, ThicknessReading
from inspect_tui.domain.records import Finding, PlateField
from inspect_tui.domain.words import Follows, HullMetal, ThicknessSource
from inspect_tui.domain.zones import zone_of_finding
from inspect_tui.engineering.metal.growth import pit_band, pit_band_working
from inspect_tui.engineering.metal.metal_loss import Loss, loss_working, metal_loss
from inspect_tui.engineering.metal.pits import describe, pits_working
from inspect_tui.engineering.working import Working, shown
from inspect_tui.errors import CannotCalculate
from inspect_tui.judgement.metal.facts import Facts, by_round, facts_of
from inspect_tui.judgement.metal.fields import FieldJudged, age_years, judge_field, judge_fields, limits_of
from inspect_tui.judgement.metal.gathered import Gathered, Metal
from inspect_tui.judgement.metal.members import MemberJudged, judge_member, judge_members
from inspect_tui.judgement.metal.panels import Required, filler_words, required_of
from inspect_tui.judgement.metal.verdict import Verdict, judge

# Growth laws of free pits say nothing of these.
DRIVEN = frozenset(
    {Kinds.TWO_METALS, Kinds.LEAKAGE, Kinds.CREVICE, Kinds.OLD_PATCH, Kinds.WET_COVER, Kinds.STRAY_METAL}
)
DRIVEN_NOTE = (
    "No law of growth holds where another metal, a current or a crevice drives the attack: it may go much faster."
)
# A thickness that somebody guessed may be off by the next plate in the merchant's list; judgement.
GUESS_ERROR_MM = 1.0
# So many times as long as wide, and it is a groove; judgement.
LINE = 5.0
STAND_IN = "No plate field: the thickest reading beside the pits stands in for the plate as built."


class Verdicts:
    """The verdicts on the metal of a book, at its findings and on its plate fields."""

    def __init__(self, book: Book, checklists: Checklists) -> None:
        self.book = book
        self.checklists = checklists
        self.gathered = Gathered(book, checklists.apart)
        self.fields: Mapping[str, FieldJudged] = judge_fields(book, checklists, self.gathered)
        self.members: Mapping[str, MemberJudged] = judge_members(book, checklists, self.gathered)
        self._of: dict[int, Verdict | None] = {}

    def of(self, finding: Finding) -> Verdict | None:
        """The verdict on a finding's metal, or None if nothing was measured that could be judged."""
        if finding.chalk not in self._of:
            metal = self.gathered.at_finding(finding)
            member = self.book.members.get(self.gathered.member_at(finding) or "")
            kind = self.checklists.kinds.get(finding.kind)
            if member is not None and kind is not None and kind.gauged:
                self._of[finding.chalk] = judge_member(self.book, self.checklists, member, metal).verdict
                return self._of[finding.chalk]
            field = self.book.plate_fields.get(self.gathered.field_at(finding) or "")
            self._of[finding.chalk] = self.judge(finding, metal, field)
        return self._of[finding.chalk]

    def judge(self, finding: Finding, metal: Metal, field: PlateField | None) -> Verdict | None:
        """The verdict on a finding with these readings, on this plate field."""
        around = self.fields[field.id].loss if field else None
        return judge_finding(self.book, self.checklists, finding, metal, field, around)

    def member_with(self, member: Member, *more: PitReading | ThicknessReading) -> MemberJudged:
        """A member with a reading that is being typed."""
        return judge_member(self.book, self.checklists, member, self.gathered.on_member(member.id, more))

    def with_more(self, field: PlateField, *more: PitReading | ThicknessReading) -> FieldJudged:
        """A plate field with a reading that is being typed."""
        return judge_field(self.book, self.checklists, self.gathered, field, more)


def judge_finding(
    book: Book, checklists: Checklists, finding: Finding, metal: Metal, field: PlateField | None, around: Loss | None
) -> Verdict | None:
    """Strength from the thickness gauged at the finding, tightness from its deepest pit and its holes.

    `around` is the loss of the plate field: where nothing was gauged beside the pits, what they start from lies
    between its thinnest reading and the plate as built, and the worst of that counts.
    """
    kind = checklists.kinds.get(finding.kind)
    readings = metal.thickness_mm()
    if (kind is not None and not kind.gauged) or not (metal.pits or readings or metal.all_painted):
        return None
    warnings: list[str] = []
    plate = field.as_built_mm if field and field.as_built_mm else None
    if plate is None and readings:
        plate = max(readings)
        warnings.append(STAND_IN)
    if plate is None:
        return None
    loss = _loss_at(book, metal, field, warnings)
    ground, most_ground = _ground(plate, metal, around, warnings)
    warnings += _doubts(metal)
    required = required_of(book.boat, checklists, field, loss.left_mm) if field and loss else Required(None, None)
    facts = facts_of(plate, metal, loss, required.check, ground_mm=ground, holes=int(finding.kind == Kinds.HOLE))
    guessed = GUESS_ERROR_MM if not readings and _guessed(field) else 0.0
    facts = replace(
        facts,
        most_ground_mm=most_ground,
        left_error_mm=math.hypot(facts.left_error_mm, guessed),
        growth=metal.growth,
        inland_mm=required.inland_mm,
        follows=finding.follows,
        across_panel=field is not None and runs_across(finding, field),
        buckling_left=required.buckling_left(plate, facts.mean_mm),
    )
    limits = limits_of(book, checklists, field)
    age = age_years(book, metal.pits, field.attacked_since if field else None)
    driven = finding.kind in DRIVEN
    facts = _later(facts, limits.years_to_next_haul_out, None if driven else age)

    def work_out() -> Working:
        working = _pit_working(metal, min(ground, plate))
        if loss:
            working += loss_working(loss) + required.working()
        for one in metal.growths:
            working += one.working(facts.least_left_for(one))
        if driven:
            working += Working((), (), (DRIVEN_NOTE,))
        elif metal.growth is None and age is not None and facts.deepest_mm and facts.left_mm:
            working += pit_band_working(facts.deepest_mm, age, limits.years_to_next_haul_out)
        if filler := filler_words(checklists.metals.alloys.get(field.alloy) if field else None):
            working += Working((("filler metal", filler),), ())
        return working

    return judge(
        facts,
        limits,
        below=zone_of_finding(book, checklists, finding).wet,
        afloat=book.boat.afloat,
        hazards=checklists.cautions,
        numbers=book.boat.told(finding_numbers(facts)),
        warnings=warnings,
        work_out=work_out,
    )


def runs_across(finding: Finding, field: PlateField) -> bool:
    """Whether the attack is a line at least half as long as the panel is wide: along a weld, or five times as long as
    it is wide."""
    long, wide, panel = finding.extent_length_mm, finding.extent_width_mm, field.panel_width_mm
    if long is None or panel is None or long < panel / 2:
        return False
    return finding.follows is Follows.WELD or (wide is not None and long >= LINE * wide)


def _later(facts: Facts, years: float, age: float | None) -> Facts:
    """With the plate that is left at the next haul-out: by what was measured twice, which speaks louder than any law,
    or else by a straight line from her age."""
    if facts.growth and (left := facts.left_for(facts.growth)) is not None:
        return replace(facts, later_share=(left - facts.growth.fastest_mm_year * years) / facts.plate_mm)
    if facts.deepest_mm and facts.left_mm and age is not None:
        grown = pit_band(facts.deepest_mm, age, years)[2] - facts.deepest_mm
        return replace(facts, later_share=(facts.left_mm - grown) / facts.plate_mm)
    return facts


def _pit_working(metal: Metal, ground_mm: float) -> Working:
    """Of one round: read again they are the same pits."""
    readings = max(by_round(metal).values(), key=lambda those: sum(len(one.depths_mm) for one in those), default=[])
    depths = [depth for one in readings for depth in one.depths_mm]
    if not depths:
        return Working((), ())
    areas = [reading.patch_area_m2 for reading in readings]
    return pits_working(describe(depths, sum(one for one in areas if one) if all(areas) else None), ground_mm)


def _ground(plate: float, metal: Metal, around: Loss | None, warnings: list[str]) -> tuple[float, float | None]:
    """The plate that the pits start from [mm]: the least gauged beside them; where nobody gauged, the least and the
    most that it may be."""
    if metal.all_thickness_mm or not metal.pits:
        return min([plate, *metal.all_thickness_mm]), None
    ground = min(plate, around.thinnest_mm) if around is not None else plate
    between = f"between {ground:.1f} and {plate:.1f} mm" if ground < plate else f"{plate:.1f} mm, as built"
    warnings.append(f"No thickness was gauged beside the pits: the plate there is taken as {between}. Gauge it.")
    return ground, plate


def _doubts(metal: Metal) -> list[str]:
    """What is wrong with how the readings were taken."""
    doubts = []
    if metal.unsaid:
        doubts.append("Not all readings are marked as taken on bright metal.")
    if metal.aside:
        doubts.append(
            f"{counted(metal.aside, 'thickness reading')} set aside: read twice more on the chalk mark, and thicker."
        )
    if metal.left_out:
        doubts.append(f"{counted(metal.left_out, 'reading')} not on bright metal: not judged.")
    if metal.painted:
        doubts.append(f"{counted(metal.painted, 'reading')} taken through paint of unknown thickness left out.")
    return doubts


def _loss_at(book: Book, metal: Metal, field: PlateField | None, warnings: list[str]) -> Loss | None:
    """Loss at the finding against its plate field; what is wrong with the readings goes to the warnings."""
    readings = metal.thickness_mm()
    if field is None or field.as_built_mm is None or not readings:
        return None
    source = field.as_built_from or ThicknessSource.GUESS
    try:
        loss = metal_loss(
            readings,
            field.as_built_mm,
            baseline_from=source.told,
            error_mm=metal.thickness_error_mm,
            aluminium=book.boat.hull_metal is HullMetal.ALUMINIUM,
        )
    except CannotCalculate as error:
        warnings.append(str(error))
        return None
    warnings += loss.warnings
    return loss


def _guessed(field: PlateField | None) -> bool:
    return field is None or field.as_built_from in (None, ThicknessSource.GUESS)


def _left_words(facts: Facts) -> str:
    """What is left under the deepest pit: a range where nobody gauged beside it."""
    assert facts.left_mm is not None
    assert facts.deepest_mm is not None
    error = f"± {shown(max(facts.left_error_mm, 0.1), 2)} mm left"
    if facts.most_ground_mm is not None and facts.ground_mm is not None and facts.most_ground_mm > facts.ground_mm:
        return f"between {facts.left_mm:.1f} and {facts.most_ground_mm - facts.deepest_mm:.1f} {error}"
    return f"{facts.left_mm:.1f} {error}"


def finding_numbers(facts: Facts) -> str:
    """The figures of a finding in one phrase."""
    told = []
    if facts.holed:
        told.append("holed through")
    if facts.soft:
        told.append("soft under the knife")
    if facts.deepest_mm and facts.left_mm is not None and facts.pit_share is not None:
        ground = facts.plate_mm if facts.ground_mm is None else facts.ground_mm
        where = f" of {ground:.1f} mm ({facts.plate_mm:g} mm as built)" if ground < facts.plate_mm else ""
        told.append(
            f"{'deepest pit' if facts.pits > 1 else 'pit'} {shown(facts.deepest_mm)}"
            f"{where or f' of {facts.plate_mm:g} mm'}, "
            f"{_left_words(facts)}, {100 * facts.pit_share:.0f} % gone there"
        )
    elif facts.mean_mm is not None:
        gone = 100 * max(facts.plate_mm - facts.mean_mm, 0.0) / facts.plate_mm
        told.append(
            f"{facts.mean_mm:.1f} ± {facts.error_mm:.1g} of {facts.plate_mm:g} mm left on average, {gone:.0f} % gone"
        )
    elif facts.painted:
        told.append("read through paint: the thickness of the metal is not known well enough")
    elif facts.deepest_mm == 0:
        told.append("no pit found")
    if facts.growth:
        told.append(facts.growth.words(facts.least_left_for(facts.growth)))
    if facts.check is not None and facts.mean_mm is not None:
        told.append(f"{facts.check.required_mm:.1f} mm required (2008 rule)")
    return "; ".join(told) or "measured"
