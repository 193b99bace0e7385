"""The prioritised list: jobs, each of one action or of several alike, and beside them what is still to be looked at.

Order: tier; within a tier what must come first comes first, and otherwise higher risk, below the
waterline, severity, likelihood, findings before places, step of the work, bow to stern, chalk number.
An action that others wait for is not placed in a later tier than they are.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from inspect_tui.domain.book import Book
from inspect_tui.domain.plain import counted
from inspect_tui.domain.words import Severity, Step, Tier, Who
from inspect_tui.judgement.work.action import HULL, Action, Task, done_in_round, key_of
from inspect_tui.judgement.work.cure_actions import as_pressing_as_the_repairs
from inspect_tui.judgement.work.order import edges_between, in_order, promoted, wants_pump
from inspect_tui.judgement.work.risk import Risk


@dataclass(frozen=True)
class Job:
    """One thing to be done, at one place or at several."""

    number: int
    actions: tuple[Action, ...]

    @property
    def first(self) -> Action:
        return self.actions[0]

    @property
    def tier(self) -> Tier:
        return self.first.tier

    @property
    def places(self) -> int:
        """At how many places; findings are counted, not compartments."""
        return len(self.actions)

    @property
    def say(self) -> str:
        """What is done, verb first; of several alike without the words of each."""
        if self.places == 1 or self.first.task is Task.CLOSE:
            return self.first.what
        return self.first.what.split(": ")[0].split(" — ")[0]

    @property
    def where(self) -> str:
        """Where it is to be done: of several, their numbers, or else their compartments."""
        if self.places == 1:
            return self.first.where
        numbers = self.numbers
        told = [str(one) for one in numbers] if numbers else [action.where for action in self.actions]
        return f"{self.places} places: {'no. ' if numbers else ''}{', '.join(told)}"

    @property
    def numbers(self) -> list[int]:
        """Chalk numbers, in their order."""
        return sorted(action.chalk for action in self.actions if action.chalk is not None)

    def hours(self) -> tuple[float, float] | None:
        """From, to, at all its places together [h]; None where nobody can say."""
        doing = None if self.first.held else self.first.doing
        return (doing.hours[0] * self.places, doing.hours[1] * self.places) if doing else None


@dataclass(frozen=True)
class Worklist:
    """All open actions in their order; ranks are counted for jobs and for what is to be looked at apart."""

    actions: tuple[Action, ...]
    by_key: dict[str, Action] = field(repr=False)

    @cached_property
    def jobs(self) -> tuple[Job, ...]:
        """The work: actions that are alike, of one tier and one pair of hands, are one job at several places."""
        joined: dict[tuple[object, ...], list[Action]] = {}
        for action in self.actions:
            if not action.is_look:
                alike = (action.like, action.tier, action.who, action.needs_haul) if action.like else (action.key,)
                joined.setdefault(alike, []).append(action)
        return tuple(Job(number, tuple(group)) for number, group in enumerate(joined.values(), 1))

    @cached_property
    def job_of(self) -> dict[str, int]:
        """The number of the job that an action is of, by the action's key."""
        return {action.key: job.number for job in self.jobs for action in job.actions}

    @cached_property
    def looks(self) -> tuple[Action, ...]:
        """What is still to be looked at, or settled: it bars floating as work does, and is not counted with it."""
        return tuple(action for action in self.actions if action.is_look)

    @cached_property
    def barring(self) -> tuple[Action, ...]:
        """What must be done or looked at before she floats."""
        return tuple(
            one for one in self.actions if one.tier.rank <= Tier.BEFORE_AFLOAT.rank and one.task is not Task.LAUNCH
        )

    def jobs_in(self, tier: Tier) -> list[Job]:
        return [job for job in self.jobs if job.tier is tier]

    def in_tier(self, tier: Tier) -> list[Action]:
        return [action for action in self.actions if action.tier is tier]

    def after_labels(self, action: Action) -> list[str]:
        """What must come first, in its order."""
        return list(dict.fromkeys(self.by_key[key].label for key in action.after))

    def after_words(self, action: Action, most: int = 8) -> str:
        """The same for people: the first few, and how many more."""
        labels = self.after_labels(action)
        more = f"; and {len(labels) - most} more" if len(labels) > most else ""
        return "; ".join(labels[:most]) + more


def worklist(book: Book, actions: list[Action], launch: list[Action]) -> Worklist:
    """What to do, in which order, and why; the gates of hauling out and of a second pump put in. `launch`: what the
    launch list asks for; signing it comes behind all that bars floating her."""
    actions = as_pressing_as_the_repairs(actions)
    if book.boat.afloat:
        out = [action for action in actions if action.needs_haul]
        pumped = [] if done_in_round(book, key_of(Task.PUMP, HULL)) else [one for one in actions if wants_pump(one)]
        gates = ((_haul_action(out), out), (_pump_action(), pumped))
        actions = [*actions, *(replace(gate, tier=_pressing(waiting)) for gate, waiting in gates if waiting)]
    edges = edges_between(actions)
    actions = promoted(actions, edges)
    barring = {action.key for action in actions if action.tier.rank <= Tier.BEFORE_AFLOAT.rank}
    for action in launch:
        if action.task is Task.LAUNCH:
            edges[action.key] = barring
    actions += launch
    ordered = in_order(actions, edges)
    return Worklist(ordered, {action.key: action for action in ordered})


def _pressing(actions: list[Action]) -> Tier:
    """The most pressing tier of several actions."""
    return min((action.tier for action in actions), key=lambda tier: tier.rank)


def _haul_action(waiting: Sequence[Action] = ()) -> Action:
    """`waiting`: what may only be done once she is out."""
    presses = any(one.tier is Tier.NOW for one in waiting)
    towed = "Have her lifted out, towed rather than under her own engine; tell the yard and whoever tows her what is "
    looks = all(one.task in (Task.OPEN, Task.WALK, Task.GAUGE) for one in waiting)
    arrange = "Arrange to have her lifted out: " + (
        "what lies under water can only be looked at then. Tell" if looks else "some of the work waits for it. Tell"
    )
    return Action(
        task=Task.HAUL,
        about=HULL,
        step=Step.GUT,
        tier=Tier.WATCH,
        what=(f"{towed}under NOW, and" if presses else f"{arrange} the yard")
        + " where the plate is thin, cracked or weeping: no sling or block there",
        headline="Have her lifted out",
        where="whole boat",
        why="Some of what follows may only be done or judged with her out of the water.",
        who=Who.YARD,
        risk=Risk.LOW,
        severity=Severity.NEGLIGIBLE,
        below=True,
    )


def _pump_action() -> Action:
    return replace(
        _haul_action(),
        task=Task.PUMP,
        step=Step.RECORD,
        what="Prove a second pump, on a battery of its own or worked by hand, and the alarm: with a bucket of clean "
        "water, never where there is mercury, and no electric pump while there is gas",
        headline="Prove a second pump and the alarm",
        why="Some of what follows may let water in, or stop the pump that would get it out.",
        who=Who.OWNER,
    )


def count_words(listed: Worklist, until: Tier = Tier.WATCH) -> str:
    """How much there is, in the same words everywhere: jobs and their places, and apart what nobody has looked at.
    `until`: down to this tier only."""
    jobs = [job for job in listed.jobs if job.tier.rank <= until.rank]
    looks = sum(action.tier.rank <= until.rank for action in listed.looks)
    places = sum(job.places for job in jobs)
    return f"{counted(len(jobs), 'job')} at {counted(places, 'place')} · {looks} still to look at"


def done_this_round(book: Book) -> int:
    """How many actions were said to be done since the round was opened."""
    return sum(done.when >= book.round.opened for done in book.last_done.values())
