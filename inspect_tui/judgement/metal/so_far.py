"""What the numbers being typed mean so far: short lines for the screen, before anything is kept."""

from __future__ import annotations

from inspect_tui.domain.plain import counted
from inspect_tui.domain.quantities import MM_PER_INCH
from inspect_tui.domain.reading_records import PitReading, ThicknessReading
from inspect_tui.domain.records import Finding, PlateField
from inspect_tui.engineering.metal.pits import describe
from inspect_tui.judgement.metal.fields import FieldJudged
from inspect_tui.judgement.metal.unseen import bound_words, free_words
from inspect_tui.judgement.metal.verdict import Verdict, next_change
from inspect_tui.judgement.metal.verdicts import Verdicts, finding_numbers
from inspect_tui.judgement.work.field_actions import percent
from inspect_tui.judgement.work.risk import Lies, place_finding


def impossible(reading: PitReading | ThicknessReading, plate: PlateField | None) -> str:
    """Why these numbers cannot be of this plate, in one sentence; empty if they can."""
    if plate is None or plate.as_built_mm is None:
        return ""
    if isinstance(reading, PitReading):
        deepest = max(reading.depths_mm, default=0.0)
        if deepest >= plate.as_built_mm:
            return (
                f"A pit of {deepest:g} mm in a plate of {plate.as_built_mm:g} mm goes through: type 'hole' for "
                "it, or check the number."
            )
        return ""
    thickest = max(reading.thickness_mm)
    if thickest > 2 * plate.as_built_mm:
        built = f"{plate.as_built_mm:g} mm plate"
        return f"{thickest:g} mm is too thick for a {built}: missing decimal point, or another plate?"
    return ""


def meaning_so_far(
    verdicts: Verdicts,
    reading: PitReading | ThicknessReading,
    finding: Finding | None,
    plate: PlateField | None,
) -> tuple[list[tuple[str, str]], Verdict | None, FieldJudged | None]:
    """Headed lines for the numbers typed, the verdict they lead to, and the plate field with them counted in."""
    if reading.member is not None:
        lines, of_member = _of_member(verdicts, reading)
        return lines, of_member, None
    told: list[tuple[str, str]] = []
    if isinstance(reading, PitReading) and reading.depths_mm:
        pits = describe(reading.depths_mm, reading.patch_area_m2)
        told.append(
            (
                "this square",
                f"{counted(pits.count, 'pit')}, deepest {_both(pits.deepest_mm)}, mean of the "
                f"{'ten deepest' if pits.count > 10 else 'pits'} {pits.ten_deepest_mm:.2f} mm",
            )
        )
    field = verdicts.with_more(plate, reading) if plate else None
    verdict = _verdict(verdicts, reading, finding, plate, field)
    if verdict is not None:
        told += verdict_line(verdicts, verdict)
    elif plate is None:
        told.append(("verdict", "none: choose the plate it lies on; plate fields are made under Metal"))
    else:
        told.append(("verdict", "none: the plate needs its thickness as built"))
    if field is not None and isinstance(reading, PitReading):
        told += unseen_lines(field)
    elif field is not None and field.required.why_not:
        told.append(("strength", field.required.why_not))
    if verdict is not None:
        change = next_change(verdict.facts, verdict.limits)
        if change is not None:
            told.append(("would change", f"a pit of {change[0]:g} mm: {change[1].value}"))
        told.append(("because", verdict.because))
    return told, verdict, field


def _of_member(
    verdicts: Verdicts, reading: PitReading | ThicknessReading
) -> tuple[list[tuple[str, str]], Verdict | None]:
    """What a member is with this reading; what no member was written down for is kept and judged by nobody."""
    member = verdicts.book.members.get(reading.member or "")
    if member is None:
        words = "none: kept by itself, never averaged with plate; add the member in the metal list"
        return [("verdict", words)], None
    judged = verdicts.member_with(member, reading)
    if judged.verdict is None:
        return [("verdict", f"none: {judged.missing}")], None
    told = verdict_line(verdicts, judged.verdict)
    return [*told, ("because", judged.verdict.because)], judged.verdict


def _verdict(
    verdicts: Verdicts,
    reading: PitReading | ThicknessReading,
    finding: Finding | None,
    plate: PlateField | None,
    field: FieldJudged | None,
) -> Verdict | None:
    if finding is None:
        return field.verdict if field else None
    metal = verdicts.gathered.at_finding(finding, (reading,))
    return verdicts.judge(finding, metal, plate)


def verdict_line(verdicts: Verdicts, verdict: Verdict) -> list[tuple[str, str]]:
    """The verdict with its tier and its figures."""
    lies = Lies(wet=verdict.below, shell=True, sail=False, afloat=verdicts.book.boat.afloat)
    placed = place_finding(verdict.severity, verdict.likelihood, None, lies)
    said = verdict.numbers if verdict.facts.member else finding_numbers(verdict.facts)
    said = verdicts.book.boat.told(said) if not verdict.facts.member else said
    told = f"{verdict.treatment.value.upper()}, {placed.tier.value.lower()}: {said}"
    return [("verdict", told)]


def unseen_lines(field: FieldJudged) -> list[tuple[str, str]]:
    """What the squares say of the metal that was not measured, and how many more are worth taking."""
    found = field.estimate
    if found is None:
        return [("not measured", field.estimate_missing)]
    area = f"{found.unseen_patches * found.patch_area_m2:.1f} of {found.total_area_m2:g} m²"
    told = [
        (
            "not measured",
            f"{area}, judged by {found.looked_at} squares: {bound_words(found)}",
        )
    ]
    if found.hole_probability_cautious is not None and not found.withdrawn:
        words = f"if the rest is like these, {percent(found.hole_probability_cautious)} today"
        if field.hole_chance_later is not None and field.aged:
            years = field.verdict.limits.years_to_next_haul_out if field.verdict else 0
            words += f", {percent(field.hole_chance_later)} within {years:g} years"
            if field.hole_chance_young is not None:
                young = percent(field.hole_chance_young)
                words += f" if the pits are as old as she is, {young} if they are only three years old"
        told.append(("hole chance", f"holed already; elsewhere {words}" if found.sample.holed else words))
    told.insert(1, ("worth taking", field.advice))
    if not found.withdrawn:
        told.append(("in any case", free_words(found)))
    return told


def _both(depth_mm: float) -> str:
    return f"{depth_mm:g} mm = {depth_mm / MM_PER_INCH:.3f} in"


def standing_lines(
    verdicts: Verdicts, finding: Finding | None, plate: str
) -> tuple[list[tuple[str, str]], list[tuple[str, str]]]:
    """Before anything is typed: what is known of a finding, or of the plate field or member of that key; and its
    working."""
    field, member = verdicts.fields.get(plate), verdicts.members.get(plate)
    verdict = (member.verdict if member else None) or (verdicts.of(finding) if finding else None)
    verdict = verdict or (field.verdict if field else None)
    lines = verdict_line(verdicts, verdict) if verdict else []
    working = verdict.lines() if verdict else []
    if field:
        lines += unseen_lines(field)
    if field and finding:
        working += [("PLATE FIELD", field.field.name), *field.lines()]
    return lines, working
