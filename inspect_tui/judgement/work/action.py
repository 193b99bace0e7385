"""One line of the worklist."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from typing import Any

from inspect_tui.domain.knowledge.areas import Kind
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.words import Likelihood, Severity, Step, Tier, Who
from inspect_tui.judgement.metal.verdict import Verdict, gone
from inspect_tui.judgement.work.risk import UNSEEN_LIKELIHOOD, Risk


class Task(StrEnum):
    """What an action is."""

    FINDING = "finding"
    OPEN = "open"
    WALK = "walk"
    HAUL = "haul"
    LAUNCH = "launch"
    WATCH = "watch"
    FIND_CAUSE = "cause"
    CURE = "cure"
    PLATE_STRENGTH = "strength"
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
class ReadingRef:
    reading: str


@dataclass(frozen=True)
class HullRef:
    """The boat as a whole."""


HULL = HullRef()
Ref = FindingRef | PlaceRef | FieldRef | ReadingRef | HullRef


def key_of(task: Task, about: Ref, detail: str = "") -> str:
    """Under what name it stands in the book that an action was done; never taken apart again."""
    match about:
        case FindingRef(chalk):
            return f"{task}/{chalk}/{detail}"
        case PlaceRef(compartments):
            return "/".join(part for part in (task, detail, "+".join(compartments)) if part)
        case FieldRef(field):
            return f"field/{field}/{task}"
        case ReadingRef(reading):
            return f"{task}/{reading}"
        case HullRef() if task is Task.CURE:
            return f"{task}/{detail}/hull"
        case HullRef():
            return f"hull/{task}" if task in (Task.LEAK, Task.POTENTIAL) else task.value


@dataclass(frozen=True)
class Action:
    """One line of the worklist. `about`: what it refers to; `detail`: of a finding its status, of a cure its cause.
    `headline`: what it is, short. `cures`: chalk numbers whose repair it must come before."""

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
    def stage(self) -> tuple[int, int]:
        """Place in the order of work. Only an action of a lower stage can come before this one."""
        return self.step.rank, 0 if self.task is Task.HAUL else 1

    @property
    def label(self) -> str:
        """How other actions name it."""
        if self.chalk is not None:
            return f"finding {self.chalk}"
        return self.what if self.compartment is None else f"{self.what.split(':')[0]} ({self.compartment.name})"

    def sort_key(self) -> tuple[Any, ...]:
        return (
            self.tier.rank,
            self.task is Task.LAUNCH,
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
