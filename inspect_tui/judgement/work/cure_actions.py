"""What eats the metal comes before its repair: the cures that signs call for, and finding what is not known yet."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import replace
from datetime import datetime

from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.causes import Causes
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.plain import counted
from inspect_tui.domain.records import Finding
from inspect_tui.domain.words import Step, Tier, Who
from inspect_tui.judgement.causes.cause import Weighed
from inspect_tui.judgement.causes.eaten import Eaten
from inspect_tui.judgement.metal.verdict import gone
from inspect_tui.judgement.metal.verdicts import Verdicts
from inspect_tui.judgement.work.action import HULL, Action, PlaceRef, Ref, Task, done_since, key_of
from inspect_tui.judgement.work.finding_actions import weighed
from inspect_tui.judgement.work.risk import risk_of

COMES_BACK = "A repair over a cause that is still at work does not last; this rule is common practice."
MOST_NAMED = 12


def cure_actions(book: Book, checklists: Checklists, verdicts: Verdicts, places: list[Eaten]) -> list[Action]:
    """A cure for each likely cause, in one place or in the whole hull; and one action for all places where no cause
    is likely yet."""
    actions, unknown = [], []
    groups: dict[tuple[str, Ref], list[tuple[Eaten, Weighed]]] = defaultdict(list)
    for eaten in places:
        for one in eaten.found.likely:
            groups[one.cause.id, cured_at(eaten, one)].append((eaten, one))
        if not eaten.found.likely:
            unknown.append(eaten)
    for (_, about), group in groups.items():
        if not all(is_cured(book, eaten, one) for eaten, one in group):
            actions.append(_cure(book, checklists, verdicts, about, group))
    since = (eaten.finding.found.when for eaten in unknown)
    if unknown and not done_since(book, key_of(Task.FIND_CAUSE, HULL), since):
        actions.append(_find_out(book, checklists.causes, verdicts, unknown))
    return actions


def cured_at(eaten: Eaten, one: Weighed) -> Ref:
    """Where a cause is cured: in the whole hull, or in the compartment."""
    return HULL if one.cause.everywhere else PlaceRef((eaten.finding.compartment,))


def is_cured(book: Book, eaten: Eaten, one: Weighed) -> bool:
    """Whether somebody said that it is cured, after all that speaks for it was known."""
    return done_since(book, key_of(Task.CURE, cured_at(eaten, one), one.cause.id), [_known_since(eaten, one)])


def _known_since(eaten: Eaten, one: Weighed) -> datetime:
    """When the newest thing became known that speaks for this cause there."""
    read = (each.when for each in eaten.evidence if each.there and each.when and each.sign in one.speaks_for)
    return max([eaten.finding.found.when, *read])


def as_pressing_as_the_repairs(actions: list[Action]) -> list[Action]:
    """Cures move up to the tier of the most pressing finding they are for, whatever its next step is. Of Now is the
    danger itself, not its cure."""
    findings = {action.chalk: action for action in actions if action.chalk is not None}
    told = []
    for action in actions:
        served = [findings[chalk] for chalk in sorted(action.cures) if chalk in findings]
        first = min(served, key=lambda one: one.tier.rank, default=None)
        if first is not None and first.tier.rank < action.tier.rank:
            tier = max(first.tier, Tier.BEFORE_AFLOAT, key=lambda one: one.rank)
            action = replace(action, tier=tier, why=f"{action.why} As urgent as finding {first.chalk}.")
        told.append(action)
    return told


def _cure(
    book: Book, checklists: Checklists, verdicts: Verdicts, about: Ref, group: list[tuple[Eaten, Weighed]]
) -> Action:
    findings = [eaten.finding for eaten, _ in group]
    surest = max((one for _, one in group), key=lambda one: one.chance)
    cause = surest.cause
    place = None if cause.everywhere else book.compartments.get(findings[0].compartment)
    signs = ", ".join(checklists.causes.signs[id].short for id in surest.speaks_for)
    name = place.name if place else "whole boat" if cause.everywhere else findings[0].compartment
    worst = _worst(verdicts, findings)
    severity, likelihood = weighed(worst, verdicts.of(worst))
    below = any(eaten.below for eaten, _ in group)
    held = book.boat.afloat and below and bool(cause.does)
    remedy = (cause.afloat if held and cause.afloat else cause.remedy).rstrip(".")
    pressing = Tier.NOW if book.boat.afloat else Tier.BEFORE_AFLOAT
    return Action(
        task=Task.CURE,
        about=about,
        detail=cause.id,
        step=Step.CAUSE,
        # A current eats metal in days; the rest is as pressing as the repair that waits for it.
        tier=pressing if cause.current else Tier.NEXT_HAUL_OUT,
        what=f"Cure the cause ({cause.name}) before the metal is repaired: {remedy[0].lower()}{remedy[1:]}",
        headline=f"{cause.name} ({surest.told}): {remedy}",
        where=f"{name}: {_numbers(findings)}",
        why=f"{cause.name.capitalize()} is {surest.word} there: {signs}. {COMES_BACK}",
        who=cause.who,
        risk=risk_of(severity, likelihood),
        severity=severity,
        likelihood=likelihood,
        below=below,
        needs_haul=held,
        does=() if held else cause.does,
        held=held,
        order=place.order if place else 0,
        compartment=place,
        cures=frozenset(finding.chalk for finding in findings),
    )


def _find_out(book: Book, known: Causes, verdicts: Verdicts, unknown: list[Eaten]) -> Action:
    findings = [eaten.finding for eaten in unknown]
    worst = _worst(verdicts, findings)
    severity, likelihood = weighed(worst, verdicts.of(worst))
    tests = Counter(test.id for eaten in unknown if (test := eaten.next_test(afloat=book.boat.afloat)) is not None)
    learned = ""
    if tests:
        asked, places = max(tests.items(), key=lambda one: one[1])
        learned = f". First check, at {counted(places, 'place')}: {known.signs[known.tests[asked].sign].ask}"
    return Action(
        task=Task.FIND_CAUSE,
        about=HULL,
        step=Step.CAUSE,
        tier=Tier.NEXT_HAUL_OUT,
        what=f"Find out why she corrodes before any metal is repaired{learned}",
        headline="Find out why she corrodes",
        where=f"whole boat: {counted(len(findings), 'place')} where metal is eaten and no cause is likely yet, "
        f"no. {worst.chalk} the worst; {_numbers(findings)}",
        why=COMES_BACK,
        who=Who.OWNER,
        risk=risk_of(severity, likelihood),
        severity=severity,
        likelihood=likelihood,
        below=True,
        cures=frozenset(finding.chalk for finding in findings),
    )


def _numbers(findings: list[Finding]) -> str:
    named = ", ".join(str(finding.chalk) for finding in findings[:MOST_NAMED])
    more = f" and {len(findings) - MOST_NAMED} more" if len(findings) > MOST_NAMED else ""
    return f"no. {named}{more}"


def _worst(verdicts: Verdicts, findings: list[Finding]) -> Finding:
    grave = {one.chalk: weighed(one, verdicts.of(one)) for one in findings}
    return min(
        findings,
        key=lambda one: (
            risk_of(*grave[one.chalk]).rank,
            grave[one.chalk][0].rank,
            -gone(verdicts.of(one)),
            one.chalk,
        ),
    )
