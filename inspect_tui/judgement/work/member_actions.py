"""For each frame, floor, stringer or bolt what its numbers ask for beside its findings."""

from __future__ import annotations

from inspect_tui.domain.book import Book
from inspect_tui.domain.words import CLOSED, LIKELIHOOD_WORDS, TREATMENT_WORDS, Step, Who
from inspect_tui.judgement.metal.members import MemberJudged
from inspect_tui.judgement.metal.verdict import asks_for, in_short
from inspect_tui.judgement.metal.verdicts import Verdicts
from inspect_tui.judgement.work.action import Action, MemberRef, Task, done_since, key_of
from inspect_tui.judgement.work.risk import Lies, place_finding, risk_of


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
            actions.append(_action(book, judged))
    return actions


def _action(book: Book, judged: MemberJudged) -> Action:
    verdict, member = judged.verdict, judged.member
    assert verdict is not None
    place = book.compartments.get(member.compartment)
    lies = Lies(wet=judged.below, shell=judged.below, sail=False, afloat=book.boat.afloat)
    placed = place_finding(verdict.severity, verdict.likelihood, None, lies)
    word, _ = LIKELIHOOD_WORDS[verdict.likelihood]
    what = f"Have a surveyor judge the {member.kind.value}: {TREATMENT_WORDS[verdict.treatment]} — {verdict.numbers}"
    rule = verdict.deciding
    return Action(
        task=Task.MEMBER,
        about=MemberRef(member.id),
        step=Step.DECIDE,
        tier=placed.tier,
        what=what,
        headline=f"{member.kind.value} {member.name}: {TREATMENT_WORDS[verdict.treatment]}",
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
