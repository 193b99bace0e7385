"""For each plate field and member what its numbers ask for beside its findings; and the metal nobody looked at."""

from __future__ import annotations

from dataclasses import dataclass, replace

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.named import Kinds
from inspect_tui.domain.measuring.readings import in_words
from inspect_tui.domain.reading_records import PitReading
from inspect_tui.domain.words import (
    CLOSED,
    LIKELIHOOD_WORDS,
    TREATMENT_WORDS,
    WELDED,
    Likelihood,
    Severity,
    Step,
    Treatment,
    Who,
)
from inspect_tui.domain.zones import zone_of_reading
from inspect_tui.judgement.metal.fields import FieldJudged
from inspect_tui.judgement.metal.members import MemberJudged
from inspect_tui.judgement.metal.unseen import bound_words
from inspect_tui.judgement.metal.verdict import asks_for, first_fit, in_short
from inspect_tui.judgement.metal.verdicts import Verdicts
from inspect_tui.judgement.work.action import (
    Action,
    FieldRef,
    MemberRef,
    ReadingRef,
    Task,
    done_in_round,
    done_since,
    key_of,
)
from inspect_tui.judgement.work.risk import Lies, place_finding, risk_of

# A chance of a hole with a letter up to this one is worth an action of its own.
LEAST_LETTER = Likelihood.C


def field_actions(book: Book, verdicts: Verdicts) -> list[Action]:
    actions = []
    told = [
        (verdicts.gathered.field_at(finding), rule)
        for finding in book.findings.values()
        if finding.status not in CLOSED and (verdict := verdicts.of(finding)) and (rule := verdict.strength)
    ]
    for key, judged in verdicts.fields.items():
        strength = _strength_action(book, judged)
        # A finding on it that asks for as much says it already.
        asked = max((asks_for(rule.treatment) for field, rule in told if field == key), default=-1)
        rule_here = judged.verdict.strength if judged.verdict else None
        if rule_here and asks_for(rule_here.treatment) <= asked:
            strength = None
        for action in (strength, _unseen_action(book, judged), _loose_action(book, judged)):
            if action is not None and not done_in_round(book, action.key):
                actions.append(action)
    return actions


def _loose_action(book: Book, judged: FieldJudged) -> Action | None:
    """A pit in a square that belongs to no finding stands in no list: it asks for a chalk number."""
    verdict = judged.verdict
    loose = [one for one in judged.metal.pits if one.finding is None and one.depths_mm and not one.is_through]
    if verdict is None or not loose:
        return None
    worst = max(loose, key=lambda one: max(one.depths_mm))
    facts = replace(
        verdict.facts,
        deepest_mm=max(worst.depths_mm),
        holes=0,
        soft=False,
        deep_pits=0,
        spacing_mm=None,
        pits=len(worst.depths_mm),
    )
    rule = first_fit(verdict.limits, "tightness", facts.quantities())
    if rule is None or rule.treatment not in WELDED | {Treatment.ASK}:
        return None
    place = book.compartments.get(worst.compartment)
    what = f"Write a finding for it and chalk its number: {in_words(worst)}{', in ' + place.name if place else ''}"
    severity = rule.severity if judged.below or rule.severity_above is None else rule.severity_above
    why = f"{rule.say} ({in_short(rule)})"
    return _action(
        book, judged, _Asked(Task.PLATE_LOOSE_PITS, Step.MEASURE, Who.OWNER, what, why, severity, rule.likelihood)
    )


def _strength_action(book: Book, judged: FieldJudged) -> Action | None:
    verdict = judged.verdict
    if verdict is None or verdict.strength is None or not verdict.thinned:
        return None
    rule = verdict.strength
    severity = rule.severity if judged.below or rule.severity_above is None else rule.severity_above
    why = f"{rule.say} ({in_short(rule)})"
    step, who, waits = Step.DECIDE, Who.SURVEYOR, _waits(book, judged.below, rule.treatment)
    what = _to_judge("plate", rule.treatment, waits=waits)
    if rule.treatment is Treatment.MEASURE_AGAIN:
        step, who = Step.MEASURE, Who.OWNER
        when = " when she is hauled out" if waits else ""
        what = f"Gauge the plate again on bright metal{when}, before anything is decided"
    asked = _Asked(Task.PLATE_STRENGTH, step, who, f"{what} — {verdict.numbers}", why, severity, rule.likelihood)
    return replace(_action(book, judged, asked), needs_haul=waits)


def _waits(book: Book, below: bool, treatment: Treatment) -> bool:
    """Whether it waits until she is out: whatever cuts, heats, draws or bares what the water stands behind."""
    return book.boat.afloat and below and treatment is not Treatment.ASK


def _to_judge(what: str, treatment: Treatment, *, waits: bool) -> str:
    """Whom it is shown to, and what the numbers ask for; afloat that it waits."""
    work = TREATMENT_WORDS[treatment]
    if waits:
        return f"Have a surveyor judge the {what}; leave it as it is until she is hauled out; only then: {work}"
    return f"Have a surveyor judge the {what}: {work}"


def _unseen_action(book: Book, judged: FieldJudged) -> Action | None:
    estimate, chance, verdict = judged.estimate, judged.hole_chance_later, judged.verdict
    if estimate is None or chance is None or verdict is None:
        return None
    letter = verdict.limits.letter(chance)
    if estimate.withdrawn:
        # What is not known is no comfort.
        letter = min(letter, LEAST_LETTER, key=lambda one: one.rank)
    if letter.rank > LEAST_LETTER.rank:
        return None
    unseen_m2 = estimate.total_area_m2 - estimate.looked_at * estimate.patch_area_m2
    do, more = "Measure more squares of it", judged.advice
    if estimate.withdrawn:
        do, more = "Draw squares of it by lot and measure them", "20 are usual"
    elif estimate.more_patches == 0:
        more = "the usual 20 squares would tell more"
    elif estimate.more_patches is None:
        do, more = "Open all of it up and look", "more squares like these would not settle it"
    if waits := book.boat.afloat and judged.below:
        do += " when she is hauled out"
    what = f"{do}: {unseen_m2:.1f} m² not measured, {bound_words(estimate)}; {more}"
    years = verdict.limits.years_to_next_haul_out
    until = f"within {years:g} years" if judged.aged else "today"
    known = "if the rest is like the squares read (statistics of deepest pits)"
    why = f"chance of a hole there {until}: {percent(chance)}, {known}"
    if estimate.withdrawn:
        why = "what was measured says nothing of the rest"
    severity = Severity.CRITICAL if judged.below else Severity.MARGINAL
    asked = _Asked(Task.PLATE_UNSEEN, Step.MEASURE, Who.OWNER, what, why, severity, letter)
    return replace(_action(book, judged, asked), needs_haul=waits)


def percent(chance: float) -> str:
    """A chance in words that promise no more digits than it has.

    >>> percent(0.0004), percent(0.034), percent(0.4), percent(0.9996)
    ('below 0.1 %', '3.4 %', '40 %', 'above 99.9 %')
    """
    if chance < 0.001:
        return "below 0.1 %"
    if chance > 0.999:
        return "above 99.9 %"
    return f"{100 * chance:.2g} %" if chance < 0.995 else f"{100 * chance:.1f} %"


def lies_of(book: Book, judged: FieldJudged) -> Lies:
    """Where a plate field lies, as far as a tier hangs on it."""
    return Lies(wet=judged.below, shell=judged.below, sail=False, afloat=book.boat.afloat)


def hole_actions(book: Book, checklists: Checklists) -> list[Action]:
    """A hole, or metal gone soft, that was measured and stands in no open finding: it is a job like any other
    hole."""
    closed = {one.chalk: one.history[-1].when for one in book.findings.values() if one.status in CLOSED}
    actions = []
    for reading in book.readings.values():
        if not isinstance(reading, PitReading) or not reading.is_through:
            continue
        shut = closed.get(reading.finding) if reading.finding is not None else reading.when
        about = ReadingRef(reading.id)
        if shut is None or reading.when < shut or done_since(book, key_of(Task.READING, about), [reading.when]):
            continue
        actions.append(_of_hole(book, checklists, reading))
    return actions


def _of_hole(book: Book, checklists: Checklists, reading: PitReading) -> Action:
    kind = checklists.kinds[Kinds.HOLE]
    place = book.compartments.get(reading.compartment)
    zone = zone_of_reading(book, checklists, reading)
    lies = Lies.at(book, checklists, reading.compartment, zone)
    severity, likelihood = Severity.CATASTROPHIC, Likelihood.A
    placed = place_finding(severity, likelihood, kind, lies)
    held = lies.afloat and lies.wet
    told = f"{in_words(reading)}, {reading.when:%Y-%m-%d}"
    name = place.name if place else reading.compartment
    return Action(
        task=Task.READING,
        about=ReadingRef(reading.id),
        step=kind.step,
        tier=placed.tier,
        what=f"{kind.afloat if held else kind.do}: {told}. Write a finding for it, so that it has a number",
        headline=f"{kind.label}: {told}",
        where=", ".join(part for part in (name, walk.position_words(reading.position)) if part),
        why=f"Measured, and in no open finding; {placed.because}.",
        who=(kind.afloat_who or Who.OWNER) if held else kind.who,
        risk=risk_of(severity, likelihood),
        severity=severity,
        likelihood=likelihood,
        below=lies.wet,
        order=place.order if place else 0,
        compartment=place,
        kind=kind,
        needs_haul=held,
        doing=kind,
        does=() if held else kind.does,
        held=held,
    )


@dataclass(frozen=True)
class _Asked:
    """What a plate field asks for."""

    task: Task
    step: Step
    who: Who
    what: str
    why: str
    severity: Severity
    likelihood: Likelihood


def _action(book: Book, judged: FieldJudged, asked: _Asked) -> Action:
    risk = risk_of(asked.severity, asked.likelihood)
    placed = place_finding(asked.severity, asked.likelihood, None, lies_of(book, judged))
    word, _ = LIKELIHOOD_WORDS[asked.likelihood]
    field = judged.field
    return Action(
        task=asked.task,
        about=FieldRef(field.id),
        step=asked.step,
        tier=placed.tier,
        what=asked.what,
        headline=f"plate field {field.name}: {asked.what}",
        where=f"plate field {field.name}{': ' + field.extent if field.extent else ''}",
        why=f"{asked.severity.value.capitalize()} and {word}; {placed.because}. By the numbers: {asked.why}.",
        who=asked.who,
        risk=risk,
        severity=asked.severity,
        below=judged.below,
        likelihood=asked.likelihood,
        verdict=judged.verdict,
    )


def member_actions(book: Book, verdicts: Verdicts) -> list[Action]:
    """A finding on a member that asks for as much says it already."""
    asked: dict[str, int] = {}
    for finding in book.findings.values():
        member, verdict = verdicts.gathered.member_at(finding), verdicts.of(finding)
        if member and verdict and finding.status not in CLOSED:
            asked[member] = max(asked.get(member, -1), asks_for(verdict.treatment))
    actions = []
    for key, judged in verdicts.members.items():
        verdict = judged.verdict
        if verdict is None or not verdict.thinned or asks_for(verdict.treatment) <= asked.get(key, -1):
            continue
        read = [one.when for one in (*judged.metal.gauged, *judged.metal.pits)]
        if not done_since(book, key_of(Task.MEMBER, MemberRef(key)), read):
            actions.append(_member_action(book, judged))
    return actions


def _member_action(book: Book, judged: MemberJudged) -> Action:
    verdict, member = judged.verdict, judged.member
    assert verdict is not None
    place = book.compartments.get(member.compartment)
    lies = Lies(wet=judged.below, shell=judged.below, sail=False, afloat=book.boat.afloat)
    placed = place_finding(verdict.severity, verdict.likelihood, None, lies)
    word, _ = LIKELIHOOD_WORDS[verdict.likelihood]
    waits = _waits(book, judged.below, verdict.treatment)
    what = _to_judge(member.kind.value, verdict.treatment, waits=waits)
    rule = verdict.deciding
    return Action(
        task=Task.MEMBER,
        about=MemberRef(member.id),
        step=Step.DECIDE,
        tier=placed.tier,
        what=f"{what} — {verdict.numbers}",
        headline=f"{member.title}: {what[0].lower()}{what[1:]}",
        needs_haul=waits,
        where=f"{member.name}, {place.name if place else member.compartment}",
        why=f"{verdict.severity.value.capitalize()} and {word}; {placed.because}. By the numbers: {rule.say} "
        f"({in_short(rule)}).",
        who=Who.SURVEYOR,
        risk=risk_of(verdict.severity, verdict.likelihood),
        severity=verdict.severity,
        likelihood=verdict.likelihood,
        below=judged.below,
        order=place.order if place else 0,
        compartment=place,
        verdict=verdict,
    )
