"""What eats the metal comes before its repair: the cures that signs call for, and finding what is not known yet."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book
from inspect_tui.domain.causes import Causes, CauseTest
from inspect_tui.domain.checklists import Checklists
from inspect_tui.domain.plain import counted
from inspect_tui.domain.records import Finding
from inspect_tui.domain.words import BAD_BENEATH, CLOSED, Status, Step, Tier, Who
from inspect_tui.judgement.action import CAUSE, CURE, Action
from inspect_tui.judgement.cause import Found, Weighed, causes_at, known_of
from inspect_tui.judgement.evidence import Evidence, Gathering
from inspect_tui.judgement.finding_actions import last_done, weighed
from inspect_tui.judgement.metal_at import Judgement
from inspect_tui.judgement.patches import waits_for_lifting
from inspect_tui.judgement.risk import risk_of
from inspect_tui.judgement.verdict import gone

COMES_BACK = "A repair over a cause that is still at work comes back; this rule is common practice."
MOST_NAMED = 12


@dataclass(frozen=True)
class Eaten:
    """One place where metal is eaten, and what its signs say of why."""

    finding: Finding
    evidence: tuple[Evidence, ...]
    found: Found
    below: bool

    def key_of(self, one: Weighed) -> str:
        """The action that cures this cause there."""
        return f"{CURE}/{one.cause.id}/{'hull' if one.cause.everywhere else self.finding.compartment}"

    def cured(self, book: Book, one: Weighed) -> bool:
        """Whether somebody said that it is cured, after all that speaks for it was known."""
        return _done_since(book, self.key_of(one), [_known_since(self, one)])

    def next_test(self, *, afloat: bool) -> CauseTest | None:
        """The test to be made next there, as she lies now."""
        return self.found.next_test(afloat=afloat, below=self.below)


def eaten_places(book: Book, checklists: Checklists) -> list[Eaten]:
    """Open findings of eaten metal whose repair still lies ahead, by chalk number. What lies under a patch that
    nobody has lifted is not known, and one that was sound beneath is no eaten metal."""
    gathering, known = Gathering(book, checklists), known_of(checklists.causes, book.boat.hull_metal)
    return [
        Eaten(
            finding, evidence := gathering.at(finding), causes_at(known, evidence), _below(book, checklists, finding)
        )
        for finding in sorted(book.findings.values(), key=lambda one: one.chalk)
        if finding.status not in CLOSED | {Status.REPAIRED}
        and not waits_for_lifting(finding)
        and not (finding.lifted and finding.lifted.beneath not in BAD_BENEATH)
        and (kind := checklists.kinds.get(finding.kind)) is not None
        and kind.corrosion
    ]


def cure_actions(book: Book, checklists: Checklists, judgement: Judgement) -> list[Action]:
    """A cure for each likely cause, in one place or in the whole hull; and one action for all places where no cause
    is likely yet."""
    places = eaten_places(book, checklists)
    actions, unknown = [], []
    groups: dict[str, list[tuple[Eaten, Weighed]]] = defaultdict(list)
    for eaten in places:
        for one in eaten.found.likely:
            groups[eaten.key_of(one)].append((eaten, one))
        if not eaten.found.likely:
            unknown.append(eaten)
    for key, group in groups.items():
        if not all(eaten.cured(book, one) for eaten, one in group):
            actions.append(_cure(book, checklists, judgement, key, group))
    if unknown and not _done_since(book, CAUSE, (eaten.finding.found.when for eaten in unknown)):
        actions.append(_find_out(book, checklists.causes, judgement, unknown))
    return actions


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
            action = replace(action, tier=tier, why=f"{action.why} Finding {first.chalk} is as pressing.")
        told.append(action)
    return told


def _done_since(book: Book, key: str, known: Iterable[datetime]) -> bool:
    """Whether it was done after all of this was known."""
    done = last_done(book, key)
    return done is not None and done >= max(known)


def _cure(
    book: Book, checklists: Checklists, judgement: Judgement, key: str, group: list[tuple[Eaten, Weighed]]
) -> Action:
    findings = [eaten.finding for eaten, _ in group]
    surest = max((one for _, one in group), key=lambda one: one.chance)
    cause = surest.cause
    place = None if cause.everywhere else book.compartments.get(findings[0].compartment)
    signs = ", ".join(checklists.causes.signs[id].short for id in surest.speaks_for)
    name = place.name if place else "whole boat" if cause.everywhere else findings[0].compartment
    worst = _worst(judgement, findings)
    severity, likelihood = weighed(worst, judgement.of(worst))
    below = any(eaten.below for eaten, _ in group)
    pressing = Tier.NOW if book.boat.afloat else Tier.BEFORE_AFLOAT
    return Action(
        key=key,
        step=Step.CAUSE,
        # A current eats metal in days; the rest is as pressing as the repair that waits for it.
        tier=pressing if cause.current else Tier.NEXT_HAUL_OUT,
        what=f"Cure {cause.name} before the metal is repaired: {cause.remedy.rstrip('.')}",
        about=f"{cause.name} ({surest.chance:.0%} {surest.word}): {cause.remedy.rstrip('.')}",
        where=f"{name}: {_numbers(findings)}",
        why=f"{cause.name.capitalize()} is {surest.word} there ({surest.chance:.0%}): {signs}. {COMES_BACK}",
        who=cause.who,
        risk=risk_of(severity, likelihood),
        severity=severity,
        likelihood=likelihood,
        below=below,
        needs_haul=below and cause.hauled,
        order=place.order if place else 0,
        compartment=place,
        cures=frozenset(finding.chalk for finding in findings),
    )


def _find_out(book: Book, known: Causes, judgement: Judgement, unknown: list[Eaten]) -> Action:
    findings = [eaten.finding for eaten in unknown]
    worst = _worst(judgement, findings)
    severity, likelihood = weighed(worst, judgement.of(worst))
    tests = Counter(test.id for eaten in unknown if (test := eaten.next_test(afloat=book.boat.afloat)) is not None)
    learned = ""
    if tests:
        asked, places = max(tests.items(), key=lambda one: one[1])
        learned = f"; asked for most, at {places} of them: {known.signs[known.tests[asked].sign].ask}"
    return Action(
        key=CAUSE,
        step=Step.CAUSE,
        tier=Tier.NEXT_HAUL_OUT,
        what=f"Find why she corrodes before any metal is repaired{learned}",
        about="Find why she corrodes",
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


def _below(book: Book, checklists: Checklists, finding: Finding) -> bool:
    place = book.compartments.get(finding.compartment)
    return walk.below_waterline(checklists, place) if place else True


def _worst(judgement: Judgement, findings: list[Finding]) -> Finding:
    grave = {one.chalk: weighed(one, judgement.of(one)) for one in findings}
    return min(
        findings,
        key=lambda one: (
            risk_of(*grave[one.chalk]).rank,
            grave[one.chalk][0].rank,
            -gone(judgement.of(one)),
            one.chalk,
        ),
    )
