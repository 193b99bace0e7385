"""The verdict on the metal at one finding."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book
from inspect_tui.domain.checklists import Checklists
from inspect_tui.domain.plain import counted
from inspect_tui.domain.records import Finding, PitReading, PlateField, ThicknessReading
from inspect_tui.domain.words import HullMetal, ThicknessSource
from inspect_tui.engineering.errors import CannotCalculate
from inspect_tui.engineering.growth import EXPONENTS, GODARD, HUNKELER, PITS_NOT_COVERED, pit_band
from inspect_tui.engineering.metal_loss import Loss, loss_working, metal_loss
from inspect_tui.engineering.pits import describe, pits_working
from inspect_tui.engineering.working import Seen, Source, Step, Working
from inspect_tui.judgement.fields import FieldJudged, age_years, judge_field, judge_fields, limits_of
from inspect_tui.judgement.gathered import Gathered, Metal
from inspect_tui.judgement.panels import Required, required_of
from inspect_tui.judgement.verdict import Facts, Verdict, judge, pattern

# Growth laws of free pits say nothing of these.
DRIVEN = frozenset({"two-metals", "leakage", "crevice", "old-patch", "wet-cover", "stray-metal"})
STAND_IN = "the thickest reading beside the pits stands in for the plate as built: no plate field is written down"


class Judgement:
    """All verdicts of a book; made once for each state of it."""

    def __init__(self, book: Book, checklists: Checklists) -> None:
        self.book = book
        self.checklists = checklists
        self.gathered = Gathered(book)
        self.fields: Mapping[str, FieldJudged] = judge_fields(book, checklists, self.gathered)
        self._of: dict[int, Verdict | None] = {}

    def of(self, finding: Finding) -> Verdict | None:
        """The verdict on a finding's metal, or None if nothing was measured that could be judged."""
        if finding.chalk not in self._of:
            metal = self.gathered.at_finding(finding)
            field = self.book.plate_fields.get(self.gathered.field_at(finding) or "")
            self._of[finding.chalk] = judge_finding(self.book, self.checklists, finding, metal, field)
        return self._of[finding.chalk]

    def with_more(self, field: PlateField, *more: PitReading | ThicknessReading) -> FieldJudged:
        """A plate field with a reading that is being typed."""
        return judge_field(self.book, self.checklists, self.gathered, field, more)


def judge_finding(
    book: Book, checklists: Checklists, finding: Finding, metal: Metal, field: PlateField | None
) -> Verdict | None:
    """Strength from the thickness gauged at the finding, tightness from its deepest pit and its holes."""
    readings = metal.thickness_mm()
    plate = field.as_built_mm if field and field.as_built_mm else None
    source = field.as_built_from.value if field and field.as_built_from else ThicknessSource.GUESS.value
    warnings: list[str] = []
    if plate is None and readings:
        plate, source = max(readings), ThicknessSource.SOUND_PLATE.value
        warnings.append(STAND_IN[0].upper() + STAND_IN[1:] + ".")
    if plate is None or not (metal.pits or readings):
        return None
    loss: Loss | None = None
    if readings and field is not None and field.as_built_mm is not None:
        try:
            loss = metal_loss(
                readings,
                plate,
                baseline_from=source,
                error_mm=metal.thickness_error_mm,
                aluminium=book.boat.hull_metal is HullMetal.ALUMINIUM,
            )
        except CannotCalculate as error:
            warnings.append(str(error))
    if metal.unsaid:
        warnings.append("It was not said of all readings that they were taken on bright metal.")
    if metal.left_out:
        warnings.append(f"{counted(metal.left_out, 'reading')} not on bright metal: not judged.")
    warnings += loss.warnings if loss else ()
    required = Required(None, None)
    if field is not None and loss is not None:
        required = required_of(book.boat, checklists, field, loss.left_mm)
    depths = metal.depths_mm
    holes = metal.holes + (finding.kind == "hole" and not metal.holes)
    deepest = max(depths, default=0.0 if metal.pits and not holes else None)
    if deepest is not None and deepest >= plate and not holes:
        warnings.append(f"A pit of {deepest:g} mm in a plate of {plate:g} mm is a hole, or one of them is wrong.")
        holes = 1
    areas = [reading.patch_area_m2 for reading in metal.pits]
    area = sum(one for one in areas if one) if areas and all(areas) else None
    spacing, deep = pattern(depths, area, plate)
    limits = limits_of(book, checklists)
    age = age_years(book, metal.pits)
    facts = Facts(
        plate,
        deepest,
        holes,
        metal.soft,
        loss.left_mm if loss else None,
        loss.error_mm if loss else metal.thickness_error_mm,
        spacing,
        deep,
        required.check,
    )
    working = Working((), ())
    if depths:
        working += pits_working(describe(depths, area), plate)
    if loss:
        working += loss_working(loss)
    if field is not None and loss is not None:
        working += required.working()
    if deepest and facts.left_mm is not None and age is not None:
        facts, more = _later(facts, finding, deepest, age, limits.years_to_next_haul_out)
        working += more
    place = book.compartments.get(finding.compartment)
    return judge(
        facts,
        limits,
        below=walk.below_waterline(checklists, place) if place else True,
        afloat=book.boat.afloat,
        numbers=finding_numbers(facts, len(depths), max(metal.smallest_seen_mm, facts.error_mm if loss else 0.0)),
        warnings=warnings,
        working=working,
    )


def _later(facts: Facts, finding: Finding, deepest: float, age: float, years: float) -> tuple[Facts, Working]:
    """What is left at the next haul-out under the deepest pit, as a band; the straight line counts."""
    if finding.kind in DRIVEN:
        note = "No law of growth holds where another metal, a current or a crevice drives it: it may go much faster."
        return facts, Working((), (), (note,))
    band = pit_band(deepest, age, years)
    assert facts.left_mm is not None
    steps = tuple(
        Step(
            f"deepest in {years:g} years, {name}",
            "d·((age + years)/age)^n",
            f"{deepest:g} × (({age:g} + {years:g})/{age:g})^{exponent:.2f}",
            f"{depth:.2f} mm",
            source,
        )
        for (name, exponent), depth, source in zip(
            EXPONENTS.items(), band, (GODARD, HUNKELER, Source("the pessimist's", Seen.JUDGEMENT)), strict=True
        )
    )
    left = (facts.left_mm - (band[2] - deepest)) / facts.plate_mm
    return replace(facts, later_share=left), Working(
        (("age of the pits", f"{age:g} years, taken as hers: a younger pit grows faster"),),
        steps,
        (PITS_NOT_COVERED,),
    )


def finding_numbers(facts: Facts, count: int, error_mm: float) -> str:
    """The figures of a finding in one phrase."""
    told = []
    if facts.holes:
        told.append("holed through")
    if facts.soft:
        told.append("soft under the knife")
    if facts.deepest_mm and facts.left_mm is not None and facts.pit_share is not None:
        what = "deepest pit" if count > 1 else "pit"
        told.append(
            f"{what} {facts.deepest_mm:g} of {facts.plate_mm:g} mm, {facts.left_mm:.1f} ± {error_mm:.1g} mm left, "
            f"{100 * facts.pit_share:.0f} % gone at the worst"
        )
    elif facts.mean_mm is not None:
        gone = 100 * max(facts.plate_mm - facts.mean_mm, 0.0) / facts.plate_mm
        told.append(f"{facts.mean_mm:.1f} ± {facts.error_mm:.1g} of {facts.plate_mm:g} mm left ({gone:.0f} % gone)")
    elif facts.deepest_mm == 0:
        told.append("no pit found")
    if facts.check is not None and facts.mean_mm is not None:
        told.append(f"{facts.check.required_mm:.1f} mm required (2008 rule)")
    return "; ".join(told) or "measured"
