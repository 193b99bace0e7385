"""One line of the worklist."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from inspect_tui.domain.checklists import Kind
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.words import Likelihood, Severity, Step, Tier, Who
from inspect_tui.judgement.risk import UNSEEN_LIKELIHOOD, Risk
from inspect_tui.judgement.verdict import Verdict, gone

HAUL, CAUSE, CURE, LAUNCH, WATCH = "haul", "cause", "cure", "launch", "watch"


@dataclass(frozen=True)
class Action:
    """One line of the worklist. `cures`: chalk numbers whose repair it must come before."""

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
    verdict: Verdict | None = None
    needs_haul: bool = False
    cures: frozenset[int] = frozenset()
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
            -gone(self.verdict),
            self.order,
            self.chalk or 0,
            self.key,
        )
