"""For each plate field what its numbers ask for beside its findings: strength, and the metal nobody looked at."""

from __future__ import annotations

from inspect_tui.domain.book import Book
from inspect_tui.domain.words import LIKELIHOOD_WORDS, TREATMENT_WORDS, Likelihood, Severity, Step, Who
from inspect_tui.judgement.action import Action
from inspect_tui.judgement.fields import FieldJudged
from inspect_tui.judgement.finding_actions import done_in_round
from inspect_tui.judgement.metal_at import Judgement
from inspect_tui.judgement.risk import place_finding, risk_of
from inspect_tui.judgement.verdict import source_of

# A chance of a hole with a letter up to this one is worth an action of its own.
LEAST_LETTER = Likelihood.C


def field_actions(book: Book, judgement: Judgement) -> list[Action]:
    actions = []
    for judged in judgement.fields.values():
        for action in (_strength_action(book, judged), _unseen_action(book, judged)):
            if action is not None and not done_in_round(book, action.key):
                actions.append(action)
    return actions


def _strength_action(book: Book, judged: FieldJudged) -> Action | None:
    verdict = judged.verdict
    if verdict is None or verdict.strength is None or not judged.thinned:
        return None
    rule = verdict.strength
    severity = rule.severity if judged.below or rule.severity_above is None else rule.severity_above
    what = f"Have a surveyor judge the plate: {TREATMENT_WORDS[rule.treatment]} — {verdict.numbers}"
    why = f"{rule.say} ({rule.borrowed or source_of(rule).seen.value})"
    return _action(book, judged, "strength", Step.DECIDE, what, why, Who.SURVEYOR, severity, rule.likelihood)


def _unseen_action(book: Book, judged: FieldJudged) -> Action | None:
    estimate, chance, verdict = judged.estimate, judged.hole_chance_later, judged.verdict
    if estimate is None or chance is None or verdict is None:
        return None
    letter = verdict.limits.letter(chance)
    if letter.rank > LEAST_LETTER.rank:
        return None
    unseen_m2 = estimate.total_area_m2 - estimate.sample.count * estimate.patch_area_m2
    what = (
        f"Look at more of it: in {unseen_m2:.1f} m² nobody looked at, "
        f"{100 * estimate.confidence:g} % sure of no pit deeper than {estimate.deepest_bound_mm:.1f} mm "
        f"of {judged.field.as_built_mm:g}; {judged.advice}"
    )
    years = verdict.limits.years_to_next_haul_out
    why = f"chance of a hole there within {years:g} years {percent(chance)} (statistics of the deepest pits)"
    severity = Severity.CRITICAL if judged.below else Severity.MARGINAL
    return _action(book, judged, "unseen", Step.MEASURE, what, why, Who.OWNER, severity, letter)


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


def _action(
    book: Book,
    judged: FieldJudged,
    key: str,
    step: Step,
    what: str,
    why: str,
    who: Who,
    severity: Severity,
    likelihood: Likelihood,
) -> Action:
    risk = risk_of(severity, likelihood)
    placed = place_finding(risk, None, below=judged.below, afloat=book.boat.afloat)
    word, _ = LIKELIHOOD_WORDS[likelihood]
    return Action(
        key=f"field/{judged.field.id}/{key}",
        step=step,
        tier=placed.tier,
        what=what,
        about=f"plate field {judged.field.name}: {what}",
        where=f"plate field {judged.field.name}{': ' + judged.field.extent if judged.field.extent else ''}",
        why=f"{severity.value.capitalize()} and {word}; {placed.because}. By the numbers: {why}.",
        who=who,
        risk=risk,
        severity=severity,
        below=judged.below,
        likelihood=likelihood,
        verdict=judged.verdict,
    )
