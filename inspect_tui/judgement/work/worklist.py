"""The prioritised list of actions: one for each open finding, one for each place not seen, and the gates.

Order: tier; within a tier what must come first comes first, and otherwise higher risk, below the
waterline, severity, likelihood, findings before places, step of the work, bow to stern, chalk number.
An action that others wait for is not placed in a later tier than they are.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from inspect_tui.domain.book import Book
from inspect_tui.domain.plain import counted
from inspect_tui.domain.words import Severity, Step, Tier, Who
from inspect_tui.judgement.work.action import HULL, Action, Task, key_of
from inspect_tui.judgement.work.cure_actions import as_pressing_as_the_repairs
from inspect_tui.judgement.work.done import done_in_round
from inspect_tui.judgement.work.order import Edges, edges_between, in_order, promoted
from inspect_tui.judgement.work.risk import UNSEEN_LIKELIHOOD, Risk, risk_of


@dataclass(frozen=True)
class Worklist:
    """All open actions in their order."""

    actions: tuple[Action, ...]
    by_key: dict[str, Action] = field(repr=False)

    def in_tier(self, tier: Tier) -> list[Action]:
        return [action for action in self.actions if action.tier is tier]

    def after_labels(self, action: Action) -> list[str]:
        """What must come first, in its order."""
        return [self.by_key[key].label for key in action.after]

    def after_words(self, action: Action, most: int = 8) -> str:
        """The same for people: the first few, and how many more."""
        labels = self.after_labels(action)
        more = f"; and {len(labels) - most} more" if len(labels) > most else ""
        return "; ".join(labels[:most]) + more


def worklist(book: Book, actions: list[Action]) -> Worklist:
    """What to do, in which order, and why; the gates of hauling out and floating put in."""
    if book.boat.afloat and any(action.needs_haul for action in actions):
        actions = [*actions, _haul_action()]
    actions = as_pressing_as_the_repairs(actions)
    edges = edges_between(actions)
    actions = promoted(actions, edges)
    actions += _gates(book, actions, edges)
    ordered = in_order(actions, edges)
    return Worklist(ordered, {action.key: action for action in ordered})


def _haul_action() -> Action:
    return Action(
        task=Task.HAUL,
        about=HULL,
        step=Step.GUT,
        tier=Tier.WATCH,
        what="Have her lifted out",
        headline="Have her lifted out",
        where="whole boat",
        why="Some of what follows may only be done or judged with her out of the water.",
        who=Who.YARD,
        risk=Risk.LOW,
        severity=Severity.NEGLIGIBLE,
        below=True,
    )


def _gates(book: Book, actions: list[Action], edges: Edges) -> list[Action]:
    """Floating her again, behind everything that bars it; and the watch after that."""
    gates = []
    launch, watch = key_of(Task.LAUNCH, HULL), key_of(Task.WATCH, HULL)
    if not book.boat.afloat:
        barring = [action for action in actions if action.tier in (Tier.NOW, Tier.BEFORE_AFLOAT)]
        gates.append(_launch_action(len(barring)))
        edges[launch] = {action.key for action in barring}
        edges[watch] = {launch}
    if book.findings and not done_in_round(book, watch):
        gates.append(_watch_action())
    return gates


def _launch_action(barring: int) -> Action:
    why = f"{counted(barring, 'action')} of Now and Before afloat must be done first." if barring else ""
    return Action(
        task=Task.LAUNCH,
        about=HULL,
        step=Step.LAUNCH,
        tier=Tier.BEFORE_AFLOAT,
        what="Before anybody floats her: ask a surveyor whether she may be, and have pump, alarm and plugs ready",
        headline="Ask a surveyor before she is floated",
        where="whole boat",
        why=f"{why} This list cannot say that she may float.".strip(),
        who=Who.SURVEYOR,
        risk=risk_of(Severity.CATASTROPHIC, UNSEEN_LIKELIHOOD),
        severity=Severity.CATASTROPHIC,
        below=True,
    )


def _watch_action() -> Action:
    return Action(
        task=Task.WATCH,
        about=HULL,
        step=Step.WATCH,
        tier=Tier.WATCH,
        what="Once afloat: look at every repaired place after 24 hours, a week, a month, and at each haul-out",
        headline="Once afloat: look at every repaired place after a day, a week, a month",
        where="whole boat",
        why="Common practice: a leak, or a leak of current, shows in the first days.",
        who=Who.OWNER,
        risk=risk_of(Severity.CRITICAL, UNSEEN_LIKELIHOOD),
        severity=Severity.CRITICAL,
        below=True,
    )
