"""The prioritised list of actions: one for each open finding, one for each place not seen, and the gates.

Order: tier; within a tier what must come first comes first, and otherwise higher risk, below the
waterline, severity, likelihood, findings before places, step of the work, bow to stern, chalk number.
An action that others wait for is not placed in a later tier than they are.
"""

from __future__ import annotations

import heapq
from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book
from inspect_tui.domain.checklists import Checklists, Kind, Prompt
from inspect_tui.domain.records import Compartment, Finding
from inspect_tui.domain.words import (
    CLOSED,
    LIKELIHOOD_WORDS,
    TREATMENT_WORDS,
    WELDED,
    Likelihood,
    Said,
    Severity,
    Status,
    Step,
    Tier,
    Treatment,
    UnseenReason,
    Who,
)
from inspect_tui.judgement.risk import UNSEEN_LIKELIHOOD, Placed, Risk, place_finding, place_unseen, risk_of

HAUL, CAUSE, LAUNCH, WATCH = "haul", "cause", "launch", "watch"


@dataclass(frozen=True)
class Action:
    """One line of the worklist."""

    key: str
    step: Step
    tier: Tier
    what: str
    where: str
    why: str
    who: Who
    about: str
    risk: Risk
    severity: Severity
    below: bool
    order: int = 0
    compartment: Compartment | None = None
    chalk: int | None = None
    kind: Kind | None = None
    likelihood: Likelihood | None = None
    needs_haul: bool = False
    after: tuple[str, ...] = ()
    rank: int = 0

    @property
    def stage(self) -> tuple[int, int]:
        """Place in the order of work. Only an action of a lower stage can come before this one."""
        return self.step.rank, 0 if self.key == HAUL else 1

    @property
    def label(self) -> str:
        """How other actions name it."""
        if self.chalk is not None:
            return f"finding {self.chalk}"
        return self.what if self.compartment is None else f"{self.what.split(':')[0]} ({self.compartment.name})"

    def sort_key(self) -> tuple[Any, ...]:
        return (
            self.tier.rank,
            self.key == LAUNCH,
            self.risk.rank,
            not self.below,
            self.severity.rank,
            self.likelihood.rank if self.likelihood else UNSEEN_LIKELIHOOD.rank,
            self.chalk is None,
            self.stage,
            self.order,
            self.chalk or 0,
            self.key,
        )


@dataclass(frozen=True)
class Worklist:
    """All open actions in their order."""

    actions: tuple[Action, ...]
    by_key: dict[str, Action] = field(repr=False)

    def in_tier(self, tier: Tier) -> list[Action]:
        return [action for action in self.actions if action.tier is tier]

    def after_labels(self, action: Action) -> list[str]:
        return [self.by_key[key].label for key in action.after]


def worklist(book: Book, checklists: Checklists) -> Worklist:
    """What to do, in which order, and why."""
    actions = [*_finding_actions(book, checklists), *_place_actions(book, checklists)]
    actions += _cause_action(book, checklists)
    if book.boat.afloat and any(action.needs_haul for action in actions):
        actions.append(_haul_action())
    edges = _edges(actions)
    actions = _promoted(actions, edges)
    actions += _gates(actions, edges)
    ordered = _ordered(actions, edges)
    return Worklist(ordered, {action.key: action for action in ordered})


# --- findings -------------------------------------------------------------------------------------


def _finding_actions(book: Book, checklists: Checklists) -> list[Action]:
    actions = []
    for finding in book.findings.values():
        if finding.status is Status.VERIFIED:
            continue
        if finding.status is Status.ACCEPTED and _done_in_round(book, _finding_key(finding)):
            continue
        actions.append(_finding_action(book, checklists, finding))
    return actions


def _finding_key(finding: Finding) -> str:
    return f"finding/{finding.chalk}/{finding.status.value}"


def _finding_action(book: Book, checklists: Checklists, finding: Finding) -> Action:
    place = book.compartments.get(finding.compartment)
    below = walk.below_waterline(checklists, place) if place else True
    kind = checklists.kinds.get(finding.kind)
    risk = risk_of(finding.severity, finding.likelihood)
    placed = place_finding(risk, kind, below=below, afloat=book.boat.afloat)
    if finding.status is Status.ACCEPTED:
        placed = Placed(Tier.WATCH, f"accepted as it is: {finding.history[-1].note}")
    step, who, what = _next_step(finding, kind, afloat_danger=placed.tier is Tier.NOW and book.boat.afloat)
    likelihood_word, _ = LIKELIHOOD_WORDS[finding.likelihood]
    position = walk.position_words(finding.position)
    where = ", ".join(part for part in (place.name if place else finding.compartment, position) if part)
    return Action(
        key=_finding_key(finding),
        step=step,
        tier=placed.tier,
        what=what,
        about=_said(finding, kind),
        where=f"no. {finding.chalk}: {where}",
        why=f"{finding.severity.value.capitalize()} and {likelihood_word}; {placed.because}.",
        who=who,
        risk=risk,
        severity=finding.severity,
        below=below,
        order=place.order if place else 0,
        compartment=place,
        chalk=finding.chalk,
        kind=kind,
        likelihood=finding.likelihood,
        needs_haul=below and step in (Step.HOT_WORK, Step.CLEAN) and bool(kind and kind.bright_metal),
    )


def decided_treatment(finding: Finding) -> Treatment | None:
    """What is to be done: the owner's override, or what was decided."""
    return finding.override.treatment if finding.override else finding.treatment


def _said(finding: Finding, kind: Kind | None) -> str:
    """The finding in its own words, with what kind it is."""
    return ": ".join(part for part in (kind.label if kind else finding.kind, finding.words) if part)


def _next_step(finding: Finding, kind: Kind | None, *, afloat_danger: bool) -> tuple[Step, Who, str]:
    """The one thing to be done next with a finding."""
    said = _said(finding, kind)
    bright = bool(kind and kind.bright_metal)
    if afloat_danger and bright:
        return Step.GUT, Who.YARD, f"Do not touch it; plugs and a tested pump at hand, and lift her out — {said}"
    treatment = decided_treatment(finding)
    match finding.status:
        case Status.ACCEPTED:
            return Step.WATCH, Who.OWNER, f"Look at it again and compare — {said}"
        case Status.REPAIRED:
            by = Who.SURVEYOR if treatment in WELDED else Who.OWNER
            return Step.TIGHTNESS, by, f"Measure it again and verify the repair — {said}"
        case Status.DECIDED if treatment is not None:
            return _treatment_step(treatment, said)
    if not bright:
        if kind is None:
            return Step.DECIDE, Who.OWNER, f"Decide what to do — {said}"
        return kind.step, kind.who, f"{kind.remedy} — {said}"
    if finding.status is Status.CLEANED:
        return Step.MEASURE, Who.OWNER, f"Measure it on bright metal — {said}"
    if finding.status is Status.FOUND:
        return Step.CLEAN, Who.OWNER, f"Clean to bright metal and measure — {said}"
    judge = Who.SURVEYOR if finding.severity.rank <= Severity.CRITICAL.rank else Who.OWNER
    return Step.DECIDE, judge, f"Decide from the readings what to do — {said}"


def _treatment_step(treatment: Treatment, said: str) -> tuple[Step, Who, str]:
    words = f"{TREATMENT_WORDS[treatment].capitalize()} — {said}"
    if treatment in WELDED:
        return Step.HOT_WORK, Who.WELDER, words
    if treatment is Treatment.ASK:
        return Step.DECIDE, Who.SURVEYOR, words
    if treatment is Treatment.LEAVE_BARE:
        return Step.WATCH, Who.OWNER, words
    return Step.COAT, Who.OWNER, words


# --- places ---------------------------------------------------------------------------------------


def _place_actions(book: Book, checklists: Checklists) -> list[Action]:
    actions = []
    not_begun: dict[Tier, list[Action]] = defaultdict(list)
    for place in book.bow_to_stern():
        prompts = walk.prompts_of(checklists, book.boat, place)
        answers = {prompt.key: walk.answer_of(book, place.id, prompt.key) for prompt in prompts}
        unseen = [
            prompt for prompt in prompts if (said := answers[prompt.key]) is not None and said.said is Said.UNSEEN
        ]
        open_prompts = [prompt for prompt in prompts if answers[prompt.key] is None]
        if unseen:
            reasons = [answer.reason for prompt in unseen if (answer := answers[prompt.key]) and answer.reason]
            share = walk.visit_of(book, place.id)
            actions.append(_open_action(checklists, place, unseen, reasons, share.seen_percent if share else None))
        if len(open_prompts) == len(prompts):
            action = _walk_action(checklists, place, open_prompts, len(prompts))
            not_begun[action.tier].append(action)
        elif open_prompts:
            actions.append(_walk_action(checklists, place, open_prompts, len(prompts)))
    return actions + [_walk_all(group) for group in not_begun.values()]


def _walk_all(group: list[Action]) -> Action:
    """Places nobody has begun with, of one tier, as one action: the list is for what is known."""
    if len(group) == 1:
        return group[0]
    worst = min(group, key=lambda one: (one.risk.rank, one.severity.rank, one.order))
    names = ", ".join(action.compartment.name for action in group if action.compartment)
    return replace(
        worst,
        what=f"Walk {len(group)} compartments not begun in this round, beginning with {group[0].where}",
        about=f"{len(group)} compartments not begun in this round",
        where=names,
        compartment=None,
        key=f"walk/{'+'.join(action.key.removeprefix('walk/') for action in group)}",
    )


def _worst(prompts: Iterable[Prompt]) -> Severity:
    return min((prompt.severity for prompt in prompts), key=lambda severity: severity.rank)


def _place_action(
    checklists: Checklists, place: Compartment, key: str, what: str, why: str, prompts: list[Prompt], who: Who
) -> Action:
    below = walk.below_waterline(checklists, place)
    worst = _worst(prompts)
    risk, placed = place_unseen(worst, below=below)
    frames = walk.frames_words(place)
    return Action(
        key=f"{key}/{place.id}",
        step=Step.GUT,
        tier=placed.tier,
        what=what,
        about=what,
        where=f"{place.name}{', ' + frames if frames else ''}",
        why=f"{why}: {placed.because}.",
        who=who,
        risk=risk,
        severity=worst,
        below=below,
        order=place.order,
        compartment=place,
    )


def _open_action(
    checklists: Checklists,
    place: Compartment,
    unseen: list[Prompt],
    reasons: list[UnseenReason],
    seen_percent: float | None,
) -> Action:
    counted = sorted(set(reasons), key=lambda reason: (-reasons.count(reason), reason.value))
    told = ", ".join(reason.value for reason in counted)
    whole = "" if seen_percent is None else f", {seen_percent:g} % of the metal seen"
    real = [prompt for prompt in unseen if not prompt.share]
    names = (
        f"{len(real)} question{'s' if len(real) != 1 else ''} unseen ({told})" if real else f"not all seen ({told})"
    )
    afloat_only = set(reasons) == {UnseenReason.NOT_HAULED}
    what = f"{'Look when she is hauled out' if afloat_only else 'Open and look'}: {names}{whole}"
    who = Who.OWNER if not {UnseenReason.UNSAFE_AIR, UnseenReason.SEALED} & set(reasons) else Who.YARD
    action = _place_action(checklists, place, "open", what, "Not seen", unseen, who)
    return replace(action, needs_haul=UnseenReason.NOT_HAULED in reasons)


def _walk_action(checklists: Checklists, place: Compartment, prompts: list[Prompt], asked: int) -> Action:
    left = "none of its questions" if len(prompts) == asked else f"{asked - len(prompts)} of {asked} questions"
    what = f"Walk it: {left} answered this round"
    return _place_action(checklists, place, "walk", what, "Not walked yet", prompts, Who.OWNER)


# --- the boat as a whole --------------------------------------------------------------------------


def _cause_action(book: Book, checklists: Checklists) -> list[Action]:
    eaten = [
        finding
        for finding in book.findings.values()
        if finding.status not in CLOSED and (kind := checklists.kinds.get(finding.kind)) and kind.corrosion
    ]
    if not eaten:
        return []
    newest = max(finding.found.when for finding in eaten)
    done = _last_done(book, CAUSE)
    if done is not None and done >= newest:
        return []
    worst = min(eaten, key=lambda one: (risk_of(one.severity, one.likelihood).rank, one.chalk))
    return [
        Action(
            key=CAUSE,
            step=Step.CAUSE,
            tier=Tier.NEXT_HAUL_OUT,
            what="Find why she corrodes before any metal is repaired",
            about="Find why she corrodes",
            where=f"whole boat: {len(eaten)} places where metal is eaten, no. {worst.chalk} the worst",
            why="A hull repaired with its cause uncured comes back; this rule is common practice.",
            who=Who.OWNER,
            risk=risk_of(worst.severity, worst.likelihood),
            severity=worst.severity,
            below=True,
        )
    ]


def _haul_action() -> Action:
    return Action(
        key=HAUL,
        step=Step.GUT,
        tier=Tier.WATCH,
        what="Have her lifted out",
        about="Have her lifted out",
        where="whole boat",
        why="Some of what follows may only be done or judged with her out of the water.",
        who=Who.YARD,
        risk=Risk.LOW,
        severity=Severity.NEGLIGIBLE,
        below=True,
    )


def _gates(actions: list[Action], edges: Edges) -> list[Action]:
    """The launch, behind everything that bars it, and the watch after it."""
    barring = [action for action in actions if action.tier in (Tier.NOW, Tier.BEFORE_AFLOAT)]
    if not barring:
        return []
    launch = Action(
        key=LAUNCH,
        step=Step.LAUNCH,
        tier=Tier.BEFORE_AFLOAT,
        what="Float her again only when all of the above is done, with somebody aboard and a pump running",
        about="Float her, when all above is done",
        where="whole boat",
        why=f"{len(barring)} actions above bar it; whether she may float is for a surveyor to say.",
        who=Who.YARD,
        risk=Risk.LOW,
        severity=Severity.CATASTROPHIC,
        below=True,
    )
    watch = Action(
        key=WATCH,
        step=Step.WATCH,
        tier=Tier.WATCH,
        what="After floating: look at every repaired place after 24 hours, a week, a month, and at each haul-out",
        about="Look at every repaired place after 24 hours, a week, a month",
        where="whole boat",
        why="Common practice: a leak or a leak of current shows in the first days.",
        who=Who.OWNER,
        risk=Risk.LOW,
        severity=Severity.CRITICAL,
        below=True,
    )
    edges[LAUNCH] = {action.key for action in barring}
    edges[WATCH] = {LAUNCH}
    return [launch, watch]


def _last_done(book: Book, key: str) -> datetime | None:
    return max((done.when for done in book.done.values() if done.action == key), default=None)


def _done_in_round(book: Book, key: str) -> bool:
    when = _last_done(book, key)
    return when is not None and when >= book.round.opened


# --- what must come first -------------------------------------------------------------------------

Edges = dict[str, set[str]]


@dataclass(frozen=True)
class _Rule:
    """Actions that fit `first` come before those that fit `then`: in one compartment, or all over the boat."""

    first: Callable[[Action], bool]
    then: Callable[[Action], bool]
    everywhere: bool = False


def _eaten(action: Action) -> bool:
    return bool(action.kind and action.kind.corrosion)


def _metal_repair(action: Action) -> bool:
    """Deciding on, welding or coating metal that is eaten."""
    return action.step is Step.COAT or (_eaten(action) and action.step in (Step.DECIDE, Step.HOT_WORK))


_RULES = (
    # She must be out of the water.
    _Rule(lambda one: one.key == HAUL, lambda one: one.needs_haul, everywhere=True),
    # What lies behind must be known before anything is decided or covered.
    _Rule(lambda one: one.key.startswith("open/"), _metal_repair),
    # Wet linings come out before arc or paint.
    _Rule(lambda one: one.step is Step.GUT and one.chalk is not None, _metal_repair),
    # Water and foreign metal go before metal is repaired or coated.
    _Rule(lambda one: one.step is Step.CLEAN and bool(one.kind and one.kind.cause), _metal_repair),
    # A current is cured before any eaten metal is repaired.
    _Rule(
        lambda one: one.step is Step.CAUSE,
        lambda one: _eaten(one) and one.step in (Step.DECIDE, Step.HOT_WORK),
        everywhere=True,
    ),
    # The arc comes before tests and paint.
    _Rule(lambda one: one.step is Step.HOT_WORK, lambda one: one.step in (Step.COAT, Step.TIGHTNESS)),
)


def _edges(actions: list[Action]) -> Edges:
    """For each action the keys of those that must come before it. No cycle can arise: every edge leads
    from a lower stage of the work to a higher one."""
    edges: Edges = defaultdict(set)
    by_place: dict[str | None, list[Action]] = defaultdict(list)
    for action in actions:
        by_place[action.compartment.id if action.compartment else None].append(action)
    for rule in _RULES:
        groups = [actions] if rule.everywhere else [group for place, group in by_place.items() if place is not None]
        for group in groups:
            first = [action for action in group if rule.first(action)]
            if not first:
                continue
            for then in group:
                if rule.then(then):
                    edges[then.key] |= {one.key for one in first if one.stage < then.stage}
    return edges


def _promoted(actions: list[Action], edges: Edges) -> list[Action]:
    """What others wait for moves up to their tier, and says so."""
    by_key = {action.key: action for action in actions}
    own_why = {action.key: action.why for action in actions}
    for later in sorted(actions, key=lambda one: one.stage, reverse=True):
        waiting = by_key[later.key]
        for key in sorted(edges.get(later.key, ())):
            if by_key[key].tier.rank > waiting.tier.rank:
                label = waiting.label[0].upper() + waiting.label[1:]
                why = f"{own_why[key]} {label} waits for it ({waiting.tier.value})."
                by_key[key] = replace(by_key[key], tier=waiting.tier, why=why)
    return list(by_key.values())


def _ordered(actions: list[Action], edges: Edges) -> tuple[Action, ...]:
    """Topological, and by the sort key wherever the graph leaves a choice. What must come first is sorted
    by the most pressing of the actions that wait for it."""
    by_key = {action.key: action for action in actions}
    waits = {action.key: set(edges.get(action.key, ())) for action in actions}
    blocks: dict[str, list[str]] = defaultdict(list)
    pressing = {action.key: action.sort_key() for action in actions}
    for action in sorted(actions, key=lambda one: one.stage, reverse=True):
        for first in waits[action.key]:
            blocks[first].append(action.key)
            pressing[first] = min(pressing[first], pressing[action.key])
    ready = [(pressing[key], by_key[key].sort_key(), key) for key, firsts in waits.items() if not firsts]
    heapq.heapify(ready)
    ordered: list[Action] = []
    position: dict[str, int] = {}
    while ready:
        _, _, key = heapq.heappop(ready)
        position[key] = len(ordered)
        after = tuple(sorted(edges.get(key, ()), key=position.__getitem__))
        ordered.append(replace(by_key[key], rank=len(ordered) + 1, after=after))
        for then in blocks[key]:
            waits[then].discard(key)
            if not waits[then]:
                heapq.heappush(ready, (pressing[then], by_key[then].sort_key(), then))
    return tuple(ordered)
