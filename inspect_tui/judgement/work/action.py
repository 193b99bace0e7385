"""One line of the worklist."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from functools import cached_property
from typing import Any

from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.entry import Touch
from inspect_tui.domain.knowledge.kinds import Doing, Kind
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.trail import Done
from inspect_tui.domain.words import Likelihood, Severity, Step, Tier, Who
from inspect_tui.judgement.metal.verdict import Verdict, gone
from inspect_tui.judgement.work.risk import UNSEEN_LIKELIHOOD, Risk


class Task(StrEnum):
    """What an action is."""

    FINDING = "finding"
    AT_ONCE = "once"
    RECORD = "record"
    HOLD = "hold"
    PUMP = "pump"
    CLOSE = "close"
    REFIT = "refit"
    SETTLE = "settle"
    OPEN = "open"
    WALK = "walk"
    GAUGE = "gauge"
    HAUL = "haul"
    LAUNCH = "launch"
    WATCH = "watch"
    FIND_CAUSE = "cause"
    CURE = "cure"
    PLATE_STRENGTH = "strength"
    MEMBER = "member"
    PLATE_UNSEEN = "unseen"
    PLATE_LOOSE_PITS = "loose"
    READING = "reading"
    LEAK = "leak"
    POTENTIAL = "potential"


@dataclass(frozen=True)
class FindingRef:
    chalk: int


@dataclass(frozen=True)
class PlaceRef:
    """One compartment, or several that are one action."""

    compartments: tuple[str, ...]


@dataclass(frozen=True)
class FieldRef:
    field: str


@dataclass(frozen=True)
class MemberRef:
    member: str


@dataclass(frozen=True)
class ReadingRef:
    reading: str


@dataclass(frozen=True)
class PartRef:
    """Something that was taken out of her."""

    part: str


@dataclass(frozen=True)
class HullRef:
    """The boat as a whole."""


HULL = HullRef()
# Not work, but what nobody has looked at.
LOOKS = frozenset({Task.OPEN, Task.WALK, Task.GAUGE, Task.PLATE_UNSEEN, Task.SETTLE})
# Readings that stand in no finding: jobs where they tell of a danger, else something to be written down.
NOTES = frozenset({Task.PLATE_LOOSE_PITS, Task.READING})
Ref = FindingRef | PlaceRef | FieldRef | MemberRef | ReadingRef | PartRef | HullRef


def key_of(task: Task, about: Ref, detail: str = "") -> str:
    """Under what name it stands in the book that an action was done; never taken apart again."""
    match about:
        case FindingRef(chalk):
            return f"{task}/{chalk}/{detail}"
        case PlaceRef(compartments):
            return "/".join(part for part in (task, detail, "+".join(compartments)) if part)
        case PartRef(part):
            return f"{task}/{part}"
        case FieldRef(field):
            return f"field/{field}/{task}"
        case MemberRef(member):
            return f"{task}/{member}"
        case ReadingRef(reading):
            return f"{task}/{reading}"
        case HullRef() if task is Task.CURE:
            return f"{task}/{detail}/hull"
        case HullRef():
            return f"hull/{task}" if task in (Task.LEAK, Task.POTENTIAL) else "/".join(filter(None, (task, detail)))


@dataclass(frozen=True)
class Action:
    """One line of the worklist. `about`: what it refers to; `detail`: of a finding its status, of a cure its cause.
    `headline`: what it is, short. `cures`: chalk numbers whose repair it must come before. `doing`: the work as the
    trade knows it; `does`: what it does to the metal that keeps the water out, as she lies today. `like`: actions
    with the same one are one job. `held`: she floats, and what is said is done
    meanwhile. `sealing`: it keeps the water out, and is signed with a name."""

    task: Task
    about: Ref
    step: Step
    tier: Tier
    what: str
    where: str
    why: str
    who: Who
    headline: str
    risk: Risk
    severity: Severity
    below: bool
    detail: str = ""
    order: int = 0
    compartment: Compartment | None = None
    kind: Kind | None = None
    likelihood: Likelihood | None = None
    verdict: Verdict | None = None
    needs_haul: bool = False
    doing: Doing | None = None
    does: tuple[Touch, ...] = ()
    held: bool = False
    like: str = ""
    sealing: bool = False
    cures: frozenset[int] = frozenset()
    after: tuple[str, ...] = ()
    rank: int = 0

    @cached_property
    def key(self) -> str:
        return key_of(self.task, self.about, self.detail)

    @cached_property
    def chalk(self) -> int | None:
        return self.about.chalk if isinstance(self.about, FindingRef) else None

    @property
    def places(self) -> tuple[str, ...]:
        """Compartments it refers to, by their keys."""
        return self.about.compartments if isinstance(self.about, PlaceRef) else ()

    @property
    def is_look(self) -> bool:
        """Whether it is a place still to be looked at, which bars floating but is no job."""
        return self.task in LOOKS or (self.task in NOTES and self.kind is None)

    @property
    def is_immediate(self) -> bool:
        """Whether it is what somebody does first of all: at once, while she floats, or about a danger that has no
        other first step."""
        danger = self.kind is not None and self.kind.danger == "always" and self.kind.at_once is None
        open_now = self.task in (Task.CLOSE, Task.REFIT) and self.tier is Tier.NOW
        return self.task in (Task.AT_ONCE, Task.HOLD) or danger or open_now

    @property
    def stage(self) -> tuple[int, int]:
        """Place in the order of work. Only an action of a lower stage can come before this one."""
        return self.step.rank, 0 if self.task in (Task.HAUL, Task.PUMP) else 1

    @property
    def label(self) -> str:
        """How other actions name it."""
        if self.chalk is not None:
            return f"finding {self.chalk}"
        return self.headline if self.compartment is None else f"{self.what.split(':')[0]} ({self.compartment.name})"

    def sort_key(self) -> tuple[Any, ...]:
        return (
            self.tier.rank,
            self.task is Task.LAUNCH,
            not self.is_immediate,
            self.kind.precedence if self.kind and self.kind.danger == "always" else 9,
            self.risk.rank,
            not self.below,
            self.severity.rank,
            self.likelihood.rank if self.likelihood else UNSEEN_LIKELIHOOD.rank,
            self.chalk is None,
            self.stage,
            -gone(self.verdict),
            self.order,
            self.chalk or 0,
            self.key,
        )


def last_done(book: Book, key: str) -> datetime | None:
    newest = book.last_done.get(key)
    return newest.when if newest else None


def done_in_round(book: Book, key: str) -> bool:
    when = last_done(book, key)
    return when is not None and when >= book.round.opened


def done_since(book: Book, key: str, known: Iterable[datetime]) -> bool:
    """Whether it was done after all of this was known."""
    done = last_done(book, key)
    return done is not None and done >= max(known)


def signed_since(book: Book, key: str, since: datetime) -> Done | None:
    """The newest time it was signed, since then; None if it was not."""
    newest = book.last_done.get(key)
    return newest if newest is not None and newest.when >= since else None
