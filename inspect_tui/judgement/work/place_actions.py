"""For each place not seen, or not walked, what is to be done about it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.areas import By, Prompt
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.plain import counted
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.words import Need, Said, Severity, Step, Tier, UnseenReason, Who, Zone
from inspect_tui.domain.zones import zone_of_prompt
from inspect_tui.judgement.work.action import Action, PlaceRef, Task
from inspect_tui.judgement.work.risk import UNSEEN_LIKELIHOOD, Lies, place_unseen, risk_of

# What is read on the metal itself; the rest is read with meters.
OF_METAL = frozenset({"thickness", "pits", "coating", "length"})


_FIRST = {
    UnseenReason.TANK_FULL: "once it is pumped empty and its air tested",
    UnseenReason.UNSAFE_AIR: "once it is aired and its air tested",
    UnseenReason.POWER_ON: "with the power off",
}


def place_actions(book: Book, checklists: Checklists) -> list[Action]:
    """What is still to be looked at: unseen, not asked yet, and, as a campaign of its own, to be gauged."""
    actions = []
    not_begun: dict[tuple[Tier, bool], list[Action]] = defaultdict(list)
    to_gauge: dict[tuple[Tier, bool], list[tuple[Action, int]]] = defaultdict(list)
    for place in book.bow_to_stern():
        prompts = walk.prompts_of(checklists, book, place)
        answers = {prompt.key: walk.answer_of(book, place.id, prompt.key) for prompt in prompts}
        unseen = [
            prompt for prompt in prompts if (said := answers[prompt.key]) is not None and said.said is Said.UNSEEN
        ]
        open_ = [prompt for prompt in prompts if walk.is_open(book, place, prompt)]
        questions = [prompt for prompt in open_ if prompt.by is not By.GAUGE]
        asked = sum(prompt.by is not By.GAUGE for prompt in prompts)
        if unseen:
            reasons = [answer.reason for prompt in unseen if (answer := answers[prompt.key]) and answer.reason]
            actions.append(_open_action(book, checklists, place, unseen, reasons))
        if questions and len(questions) == asked:
            action = _walk_action(book, checklists, place, questions, asked)
            not_begun[action.tier, action.below].append(action)
        elif questions:
            actions.append(_walk_action(book, checklists, place, questions, asked))
        for metal in (True, False):
            of_kind = [one for one in open_ if one.by is By.GAUGE and bool(OF_METAL & set(one.measure)) is metal]
            if of_kind:
                action = _gauge_action(book, checklists, place, of_kind)
                to_gauge[action.tier, metal].append((action, len(of_kind)))
    campaigns = [_gauge_all(group, metal=metal) for (_, metal), group in to_gauge.items()]
    return [*actions, *(_walk_all(group) for group in not_begun.values()), *campaigns]


def _gauge_action(book: Book, checklists: Checklists, place: Compartment, prompts: list[Prompt]) -> Action:
    action = _place_action(book, checklists, place, Task.GAUGE, "", "Not gauged yet", prompts, Who.OWNER)
    return replace(action, needs_haul=all(Need.HAULED_OUT in prompt.needs for prompt in prompts))


def _gauge_all(group: list[tuple[Action, int]], *, metal: bool) -> Action:
    """Gauging is a campaign: one action for all of it in one tier, with the gauge on metal or with meters."""
    actions = [action for action, _ in group]
    worst = min(actions, key=lambda one: (one.risk.rank, one.severity.rank, one.order))
    what = (
        f"{'Gauge the metal' if metal else 'Go round with the meter'}: "
        f"{counted(sum(number for _, number in group), 'spot')} in {counted(len(group), 'compartment')}, "
        f"beginning with {actions[0].where}"
    )
    return replace(
        worst,
        what=what,
        headline=what,
        detail="metal" if metal else "meter",
        where=", ".join(action.compartment.name for action in actions if action.compartment),
        compartment=None,
        about=PlaceRef(tuple(key for action in actions for key in action.places)),
        needs_haul=all(action.needs_haul for action in actions),
    )


def _walk_all(group: list[Action]) -> Action:
    """Places nobody has begun with, of one tier and one side of the waterline, as one action: the list is for
    what is known."""
    if len(group) == 1:
        return group[0]
    worst = min(group, key=lambda one: (one.risk.rank, one.severity.rank, one.order))
    names = ", ".join(action.compartment.name for action in group if action.compartment)
    return replace(
        worst,
        what=f"Walk {len(group)} compartments not begun in this round, beginning with {group[0].where}",
        headline=f"{len(group)} compartments not begun in this round",
        where=names,
        compartment=None,
        about=PlaceRef(tuple(key for action in group for key in action.places)),
    )


def _worst(prompts: Iterable[Prompt]) -> Severity:
    return min((prompt.severity for prompt in prompts), key=lambda severity: severity.rank)


def _place_action(
    book: Book,
    checklists: Checklists,
    place: Compartment,
    task: Task,
    what: str,
    why: str,
    prompts: list[Prompt],
    who: Who,
) -> Action:
    zone = min((zone_of_prompt(checklists, place, prompt) for prompt in prompts), key=list(Zone).index)
    worst = _worst(prompts)
    # Whatever she does today: what was not seen bars floating her as it would ashore.
    lies = replace(Lies.at(book, checklists, place.id, zone), afloat=False)
    placed = place_unseen(worst, lies)
    frames = walk.frames_words(place)
    return Action(
        task=task,
        about=PlaceRef((place.id,)),
        step=Step.GUT,
        tier=placed.tier,
        what=what,
        headline=what,
        where=f"{place.name}{', ' + frames if frames else ''}",
        why=f"{why}: {placed.because}.",
        who=who,
        risk=risk_of(worst, UNSEEN_LIKELIHOOD),
        severity=worst,
        below=lies.wet,
        order=place.order,
        compartment=place,
    )


def _open_action(
    book: Book, checklists: Checklists, place: Compartment, unseen: list[Prompt], reasons: list[UnseenReason]
) -> Action:
    share = walk.visit_of(book, place.id)
    seen_percent = share.seen_percent if share else None
    by_count = sorted(set(reasons), key=lambda reason: (-reasons.count(reason), reason.value))
    told = ", ".join(reason.value for reason in by_count)
    whole = "" if seen_percent is None else f", {seen_percent:g} % of the metal seen"
    real = [prompt for prompt in unseen if not prompt.share]
    names = (
        f"{len(real)} question{'s' if len(real) != 1 else ''} unseen ({told})" if real else f"not all seen ({told})"
    )
    first = [said for reason, said in _FIRST.items() if reason in reasons]
    if book.boat.afloat and UnseenReason.NOT_HAULED in reasons:
        first.append("when she is hauled out")
    what = f"{'Look ' + '; '.join(first) if first else 'Look'}: {names}{whole}"
    who = Who.OWNER if not {UnseenReason.UNSAFE_AIR, UnseenReason.SEALED} & set(reasons) else Who.YARD
    # Metal that nobody saw hides whatever is looked for in that place.
    hidden = walk.prompts_of(checklists, book, place) if any(prompt.share for prompt in unseen) else ()
    of_metal = [prompt for prompt in hidden if OF_METAL & set(prompt.measure)]
    action = _place_action(book, checklists, place, Task.OPEN, what, "Not seen", [*unseen, *of_metal], who)
    return replace(action, needs_haul=UnseenReason.NOT_HAULED in reasons)


def _walk_action(book: Book, checklists: Checklists, place: Compartment, prompts: list[Prompt], asked: int) -> Action:
    left = "none of its questions" if len(prompts) == asked else f"{asked - len(prompts)} of {asked} questions"
    what = f"Walk it: {left} answered this round"
    return _place_action(book, checklists, place, Task.WALK, what, "Not walked yet", prompts, Who.OWNER)
