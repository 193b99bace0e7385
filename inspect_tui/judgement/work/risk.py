"""Severity × likelihood → risk → tier, with the reason for each in one sentence."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.kinds import Kind
from inspect_tui.domain.knowledge.named import Kinds
from inspect_tui.domain.records import Boat, Finding
from inspect_tui.domain.words import Likelihood, Severity, Tier, Zone
from inspect_tui.engineering.boat.flooding import orifice_l_min
from inspect_tui.engineering.working import shown


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
    "limits of that band from memory); Medium is used here. The wording is adapted for a boat."
)
TIER_SOURCE = (
    "From risk to tier, the first rule that fits (common practice, put into rules by this program; a surveyor may "
    "see it otherwise). Now: danger to people; and, under or near water while she is afloat: a hole, a crack or "
    "water coming in; and anything else that lets water in, if the risk is high and the severity catastrophic. "
    "Today: harm that grows by the hour and is stopped by a breaker, by unplugging the shore lead, or with a rag. "
    "Before she floats: any kind of defect that by itself means she must not be floated; a serious risk, of "
    "critical or catastrophic severity, of water coming in or staying in; any high risk under or near water. Also "
    "before she floats: a high or serious risk in what will hang below her once she is lifted. Before she sails: "
    "high or serious risk in rig, steering and drive, and other high risk above water. This haul-out: other serious "
    "risk, and medium risk under or near water. Next haul-out: medium risk above water. Watch: low risk, and what "
    "was accepted with its reason. In a place nobody has seen, likelihood is taken as remote (D) until somebody "
    "looks."
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
class Lies:
    """Where something lies, as far as its tier hangs on it. `wet`: under or near water; `shell`: it may be plate that
    keeps the sea out, at whatever height; `sail`: rig, steering, drive or people overboard hang on it; `hangs`: it
    hangs below her as soon as she is lifted."""

    wet: bool
    shell: bool
    sail: bool
    afloat: bool
    hangs: bool = False

    @classmethod
    def at(cls, book: Book, checklists: Checklists, compartment: str, zone: Zone) -> Lies:
        place = book.compartments.get(compartment)
        area = checklists.areas.get(place.area) if place else None
        return cls(
            wet=zone.wet,
            shell=area is None or (area.usual_zone.wet and not area.sail),
            sail=area is not None and area.sail,
            afloat=book.boat.afloat,
            hangs=area is not None and area.hangs,
        )


@dataclass(frozen=True)
class Placed:
    """A tier and why, as the end of a sentence."""

    tier: Tier
    because: str


def place_finding(severity: Severity, likelihood: Likelihood, kind: Kind | None, lies: Lies) -> Placed:
    """Which tier a finding belongs to. The first rule that fits decides; without a kind it may let water in."""
    risk = risk_of(severity, likelihood)
    where = "under or near water" if lies.wet else "above water"
    label = kind.label if kind else "finding"
    water = kind is None or kind.water
    grave = severity.rank <= Severity.CRITICAL.rank
    if kind and kind.danger == "always":
        return Placed(Tier.NOW, f"{label}: a danger to whoever is there")
    if lies.afloat and lies.wet:
        if kind and kind.danger == "afloat":
            return Placed(Tier.NOW, f"{label} {where} while she is afloat")
        if water and risk is Risk.HIGH and severity is Severity.CATASTROPHIC:
            return Placed(Tier.NOW, f"high risk {where} while she is afloat")
    if kind and _bars(kind, lies):
        return Placed(Tier.BEFORE_AFLOAT, f"{label} {where} means that she must not be floated")
    if lies.wet and (risk is Risk.HIGH or (risk is Risk.SERIOUS and water and grave)):
        return Placed(Tier.BEFORE_AFLOAT, f"{risk.value} risk {where}")
    if lies.hangs and not lies.afloat and risk.rank <= Risk.SERIOUS.rank:
        return Placed(Tier.BEFORE_AFLOAT, f"{risk.value} risk in what will hang below her once she is lifted")
    if risk is Risk.HIGH or (risk is Risk.SERIOUS and lies.sail):
        return Placed(Tier.BEFORE_SAILING, f"{risk.value} risk {where}")
    if risk is Risk.SERIOUS or (risk is Risk.MEDIUM and lies.wet):
        return Placed(Tier.THIS_HAUL_OUT, f"{risk.value} risk {where}")
    if risk is Risk.MEDIUM:
        return Placed(Tier.NEXT_HAUL_OUT, f"medium risk {where}")
    return Placed(Tier.WATCH, f"{risk.value} risk {where}")


def _bars(kind: Kind, lies: Lies) -> bool:
    """Whether its kind alone bars floating her there."""
    match kind.launch:
        case "always":
            return True
        case "shell":
            return lies.shell or lies.wet
        case "below":
            return lies.wet
        case "never":
            return False


# What nobody has looked at is neither sound nor bad: it counts as remote, and as no better than that.
UNSEEN_LIKELIHOOD = Likelihood.D


def place_unseen(worst: Severity, lies: Lies) -> Placed:
    """Which tier a place belongs to that was not seen: by the worst that its prompts look for."""
    placed = place_finding(worst, UNSEEN_LIKELIHOOD, None, lies)
    return Placed(placed.tier, f"the worst it could hide is {worst.value}: {placed.because} until somebody looks")


# Of a hose on a boat of this size, where nobody wrote down which; judgement.
USUAL_HOSE_MM, LEAST_HOLE_MM = 25.0, 10.0


def water_words(boat: Boat, finding: Finding, kind: Kind | None, *, wet: bool) -> str:
    """How much water comes in through a hole or a parted hose at her deepest, as one more sentence; empty where none
    would, or her draught is not written down."""
    depth = boat.hull_draught_m
    if kind is None or not wet or depth is None or kind.id not in (Kinds.HOLE, Kinds.FITTING):
        return ""
    long, wide = finding.extent_length_mm, finding.extent_width_mm
    if kind.id == Kinds.FITTING:
        what, across = "A parted hose of 25 mm", USUAL_HOSE_MM
    elif long is not None:
        across = min(2 * math.sqrt(long * (wide or long) / math.pi), 1000.0)
        what = f"A hole as large as the whole extent, like one {across:.0f} mm across,"
    else:
        what, across = "Each hole of 10 mm", LEAST_HOLE_MM
    litres = orifice_l_min(across, depth)
    return (
        f" {what} {depth:g} m under water lets in about {shown(litres, 2)} L/min (sharp edge); a pump "
        "delivers about half its marked output at its real lift, for as long as its battery lasts."
    )
