"""For each open finding the one thing to be done next."""

from __future__ import annotations

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.areas import Kind
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.records import Finding
from inspect_tui.domain.words import (
    BAD_BENEATH,
    CLOSED,
    LIKELIHOOD_WORDS,
    TREATMENT_WORDS,
    WELDED,
    Likelihood,
    Severity,
    Status,
    Step,
    Tier,
    Treatment,
    Who,
)
from inspect_tui.engineering.proportion import Rest
from inspect_tui.judgement.causes.patches import likelihood_beneath, waits_for_lifting
from inspect_tui.judgement.metal.verdict import Verdict, asks_for
from inspect_tui.judgement.metal.verdicts import Verdicts
from inspect_tui.judgement.work.action import Action, FindingRef, Task, key_of
from inspect_tui.judgement.work.done import done_in_round
from inspect_tui.judgement.work.risk import Placed, place_finding, risk_of


def finding_actions(book: Book, checklists: Checklists, verdicts: Verdicts, rest: Rest | None) -> list[Action]:
    """`rest`: what the patches that were lifted say of those that were not."""
    actions = []
    for finding in book.findings.values():
        if finding.status is Status.VERIFIED:
            continue
        about = FindingRef(finding.chalk)
        if finding.status is Status.ACCEPTED and done_in_round(
            book, key_of(Task.FINDING, about, finding.status.value)
        ):
            continue
        actions.append(_finding_action(book, checklists, finding, verdicts.of(finding), rest))
    return actions


def weighed(finding: Finding, verdict: Verdict | None) -> tuple[Severity, Likelihood]:
    """Severity and likelihood: the worse of what was written and what the numbers say."""
    if verdict is None or finding.status in CLOSED:
        return finding.severity, finding.likelihood
    return (
        min(finding.severity, verdict.severity, key=lambda one: one.rank),
        min(finding.likelihood, verdict.likelihood, key=lambda one: one.rank),
    )


def _finding_action(
    book: Book, checklists: Checklists, finding: Finding, verdict: Verdict | None, rest: Rest | None
) -> Action:
    place = book.compartments.get(finding.compartment)
    below = walk.lies_below(book, checklists, finding.compartment)
    kind = checklists.kinds.get(finding.kind)
    severity, likelihood = weighed(finding, verdict)
    sisters = rest if waits_for_lifting(finding) else None
    if sisters is not None:
        likelihood = min(likelihood, likelihood_beneath(sisters), key=lambda one: one.rank)
    risk = risk_of(severity, likelihood)
    sound = finding.lifted is not None and finding.lifted.beneath not in BAD_BENEATH
    placed = place_finding(risk, None if sound else kind, below=below, afloat=book.boat.afloat)
    if finding.status is Status.ACCEPTED:
        placed = Placed(Tier.WATCH, f"accepted as it is: {finding.history[-1].note}")
    danger = placed.tier is Tier.NOW and book.boat.afloat and finding.status is not Status.REPAIRED
    step, who, what = _next_step(finding, kind, severity, verdict, afloat_danger=danger)
    likelihood_word, _ = LIKELIHOOD_WORDS[likelihood]
    position = walk.position_words(finding.position)
    where = ", ".join(part for part in (place.name if place else finding.compartment, position) if part)
    return Action(
        task=Task.FINDING,
        about=FindingRef(finding.chalk),
        detail=finding.status.value,
        step=step,
        tier=placed.tier,
        what=what,
        headline=_said(finding, kind),
        where=f"no. {finding.chalk}: {where}",
        why=f"{severity.value.capitalize()} and {likelihood_word}; {placed.because}."
        f"{_by_sisters(sisters)}{_by_numbers(finding, verdict)}",
        who=who,
        risk=risk,
        severity=severity,
        below=below,
        order=place.order if place else 0,
        compartment=place,
        kind=kind,
        likelihood=likelihood,
        verdict=verdict,
        needs_haul=below
        and (danger or step in (Step.HOT_WORK, Step.CLEAN) or waits_for_lifting(finding))
        and bool(kind and kind.bright_metal),
    )


def _by_sisters(rest: Rest | None) -> str:
    """What lay under the other patches, as one more sentence."""
    if rest is None:
        return ""
    return f" Of the patches lifted {rest.bad} of {rest.opened} were bad: {rest.chance:.0%} for this one."


def _by_numbers(finding: Finding, verdict: Verdict | None) -> str:
    """What the readings say, as one more sentence; and where the owner decided otherwise, that too."""
    if verdict is None or finding.status in CLOSED or finding.status is Status.REPAIRED:
        return ""
    told = f" By the numbers: {verdict.treatment.value}, {verdict.because}."
    decided = decided_treatment(finding)
    if decided and finding.status is Status.DECIDED and asks_for(decided) < asks_for(verdict.treatment):
        told += f" That is more than what was decided, {decided.value}: settle it before work begins."
    if finding.override and finding.override.treatment is not verdict.treatment:
        told += f" The owner decided otherwise: {finding.override.treatment.value}, {finding.override.reason}."
    return told


def decided_treatment(finding: Finding) -> Treatment | None:
    """What is to be done: the owner's override, or what was decided."""
    return finding.override.treatment if finding.override else finding.treatment


def _said(finding: Finding, kind: Kind | None) -> str:
    """The finding in its own words, with what kind it is."""
    return ": ".join(part for part in (kind.label if kind else finding.kind, finding.words) if part)


def _next_step(
    finding: Finding, kind: Kind | None, severity: Severity, verdict: Verdict | None, *, afloat_danger: bool
) -> tuple[Step, Who, str]:
    """The one thing to be done next with a finding."""
    said = _said(finding, kind)
    bright = bool(kind and kind.bright_metal)
    if afloat_danger and bright:
        return Step.GUT, Who.YARD, f"Do not touch it; plugs and a tested pump at hand, and lift her out — {said}"
    treatment = decided_treatment(finding)
    if waits_for_lifting(finding):
        return Step.GUT, Who.OWNER, f"Lift it or cut a window in it, look beneath and beyond its edge — {said}"
    match finding.status:
        case Status.ACCEPTED:
            return Step.WATCH, Who.OWNER, f"Look at it again and compare — {said}"
        case Status.REPAIRED:
            by = Who.SURVEYOR if treatment in WELDED else Who.OWNER
            return Step.TIGHTNESS, by, f"{'Measure' if bright else 'Look at'} it again and verify the repair — {said}"
        case Status.DECIDED if treatment is not None:
            return _treatment_step(treatment, _with_numbers(said, verdict))
    if not bright:
        if kind is None:
            return Step.DECIDE, Who.OWNER, f"Decide what to do — {said}"
        return kind.step, kind.who, f"{kind.remedy} — {said}"
    if finding.status is Status.CLEANED:
        return Step.MEASURE, Who.OWNER, f"Measure it on bright metal — {said}"
    if finding.lifted and finding.lifted.beneath not in BAD_BENEATH:
        return Step.COAT, Who.OWNER, f"Sound beneath: clean, coat, and leave it without a patch — {said}"
    if finding.status is Status.FOUND:
        return Step.CLEAN, Who.OWNER, f"Clean to bright metal and measure — {said}"
    judge = Who.SURVEYOR if severity.rank <= Severity.CRITICAL.rank else Who.OWNER
    if verdict is None:
        return Step.DECIDE, judge, f"Decide from the readings what to do — {said}"
    proposed = TREATMENT_WORDS[verdict.treatment]
    if verdict.treatment is Treatment.ASK:
        return Step.DECIDE, Who.SURVEYOR, f"{proposed.capitalize()} — {_with_numbers(said, verdict)}"
    if judge is Who.SURVEYOR:
        return Step.DECIDE, judge, f"Have it confirmed: {proposed} — {_with_numbers(said, verdict)}"
    return Step.DECIDE, judge, f"Decide; the readings say: {proposed} — {_with_numbers(said, verdict)}"


def _with_numbers(said: str, verdict: Verdict | None) -> str:
    return f"{said} ({verdict.numbers})" if verdict else said


def _treatment_step(treatment: Treatment, said: str) -> tuple[Step, Who, str]:
    words = f"{TREATMENT_WORDS[treatment].capitalize()} — {said}"
    if treatment in WELDED:
        return Step.HOT_WORK, Who.WELDER, words
    if treatment is Treatment.ASK:
        return Step.DECIDE, Who.SURVEYOR, words
    return Step.COAT, Who.OWNER, words
