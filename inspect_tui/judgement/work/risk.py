"""Severity × likelihood → risk → tier, with the reason for each in one sentence."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from inspect_tui.domain.knowledge.areas import Kind
from inspect_tui.domain.words import Likelihood, Severity, Tier


class Risk(StrEnum):
    HIGH = "high"
    SERIOUS = "serious"
    MEDIUM = "medium"
    LOW = "low"
    ELIMINATED = "eliminated"

    @cached_property
    def rank(self) -> int:
        return list(Risk).index(self)


MATRIX_SOURCE = (
    "Risk matrix of MIL-STD-882E (2012, change 1 of 2023), read in a third-party copy, not in the original. "
    "Cell III-E is disputed: the copy says Low, the older MIL-STD-882D ranks it 17, in its Medium band (the "
    "limits of that band from memory); Medium is used here. The words are fitted to a boat."
)
TIER_SOURCE = (
    "From risk to tier, the first rule that fits (common practice, put into rules by this program; a surveyor may "
    "see it otherwise). Now: bad air, gas or fuel vapour; and, while she is afloat, a hole, a crack or any high risk "
    "below the waterline. Before afloat: what bars floating her (a leak of current; below the waterline a hole, a "
    "crack, a doubtful fitting or an old patch), any other high risk, and serious risk below the waterline. This "
    "haul-out: serious risk above the waterline, medium risk below it. Next haul-out: medium risk above. Watch: low "
    "risk, and what was accepted with its reason. A place nobody has seen counts as remote (D) until somebody looks."
)

_H, _S, _M, _L = Risk.HIGH, Risk.SERIOUS, Risk.MEDIUM, Risk.LOW
# Columns: severity I, II, III, IV.
_MATRIX: dict[Likelihood, tuple[Risk, Risk, Risk, Risk]] = {
    Likelihood.A: (_H, _H, _S, _M),
    Likelihood.B: (_H, _H, _S, _M),
    Likelihood.C: (_H, _S, _M, _L),
    Likelihood.D: (_S, _M, _M, _L),
    Likelihood.E: (_M, _M, _M, _L),
}


def risk_of(severity: Severity, likelihood: Likelihood) -> Risk:
    """The cell of the matrix.

    >>> risk_of(Severity.MARGINAL, Likelihood.E).value
    'medium'
    """
    if likelihood is Likelihood.F:
        return Risk.ELIMINATED
    return _MATRIX[likelihood][severity.rank]


@dataclass(frozen=True)
class Placed:
    """A tier and why, as the end of a sentence."""

    tier: Tier
    because: str


def place_finding(risk: Risk, kind: Kind | None, *, below: bool, afloat: bool) -> Placed:
    """Which tier a finding belongs to. The first rule that fits decides."""
    where = "below the waterline" if below else "above the waterline"
    label = kind.label if kind else "finding"
    if kind and kind.danger == "always":
        return Placed(Tier.NOW, f"{label}: a danger to whoever is there")
    if kind and kind.danger == "afloat" and afloat and below:
        return Placed(Tier.NOW, f"{label} below the waterline while she is afloat")
    if risk is Risk.HIGH and afloat and below:
        return Placed(Tier.NOW, "high risk below the waterline while she is afloat")
    if kind and (kind.launch == "always" or (kind.launch == "below" and below)):
        return Placed(Tier.BEFORE_AFLOAT, f"{label} {where} bars floating her")
    if risk is Risk.HIGH:
        return Placed(Tier.BEFORE_AFLOAT, f"high risk {where}")
    if risk is Risk.SERIOUS and below:
        return Placed(Tier.BEFORE_AFLOAT, f"serious risk {where}")
    if risk is Risk.SERIOUS or (risk is Risk.MEDIUM and below):
        return Placed(Tier.THIS_HAUL_OUT, f"{risk.value} risk {where}")
    if risk is Risk.MEDIUM:
        return Placed(Tier.NEXT_HAUL_OUT, f"medium risk {where}")
    return Placed(Tier.WATCH, f"{risk.value} risk {where}")


# What nobody has looked at is neither sound nor bad: it counts as remote, and as no better than that.
UNSEEN_LIKELIHOOD = Likelihood.D


def place_unseen(worst: Severity, *, below: bool) -> tuple[Risk, Placed]:
    """Which tier a place belongs to that was not seen: by the worst that its prompts look for."""
    risk = risk_of(worst, UNSEEN_LIKELIHOOD)
    placed = place_finding(risk, None, below=below, afloat=False)
    return risk, Placed(
        placed.tier, f"what is looked for there is {worst.value} at its worst, {placed.because} until somebody looks"
    )
