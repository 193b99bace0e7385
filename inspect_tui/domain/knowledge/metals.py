"""Shapes of the data on alloys and on limits. The data lies in `checklists/metals.toml` and `checklists/limits/`."""

from __future__ import annotations

import operator
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field, model_validator

from inspect_tui.domain.knowledge.entry import Entry, Id, Known, Text
from inspect_tui.domain.words import HullMetal, Likelihood, Severity, Treatment

Above0 = Annotated[float, Field(gt=0, allow_inf_nan=False)]
Quantity = Literal[
    "holes",
    "soft",
    "pits",
    "pit_share",
    "left_under_pit_mm",
    "pit_spacing_mm",
    "deep_pits",
    "loss_share",
    "loss_over_error",
    "thinnest_share",
    "thinnest_of_required",
    "mean_thickness_mm",
    "thickness_of_required",
    "thickness_of_minimum",
    "margin_used",
    "required_known",
    "inland_known",
    "thicker_since",
    "buckling_left",
    "hole_chance",
    "stray_low",
    "stray_high",
    "painted",
    "afloat",
    "thickness_of_inland",
    "thinnest_of_inland",
    "line_of_required",
    "at_weld",
    "ring",
    "lap",
    "apart",
    "doubled",
    "member_primary",
    "member_bolt",
    "member_loss_share",
    "member_section_share",
    "member_slender",
    "member_slender_built",
]
Conditions = dict[Quantity, float]


class Strength(Entry):
    """Proof (or yield) and ultimate stress in MPa of one temper, as rolled or as welded, by one source."""

    temper: Text
    welded: bool
    proof_mpa: Above0
    ultimate_mpa: Above0
    source: Text
    seen: Known
    design: bool = False


class Filler(Entry):
    """Filler metals by what matters most."""

    strength: str = ""
    ductility: str = ""
    salt_water: str = ""
    least_cracking: str = ""
    source: str = "Mathers, The Welding of Aluminium and its Alloys, table 3.3"
    seen: Known = "read in the source"


class Alloy(Entry):
    id: Id
    metal: HullMetal
    strength: tuple[Strength, ...] = Field(min_length=1)
    density_kg_m3: Above0 | None = None
    filler: Filler | None = None
    avoid: str = ""

    def design_strength(self, temper: str, *, welded: bool) -> Strength | None:
        """The row that thickness is worked out with; None if no source gives one."""
        rows = [row for row in self.strength if row.design and row.welded == welded]
        exact = [row for row in rows if temper and temper.upper() in row.temper.upper().split("/")]
        return next(iter(exact or [row for row in rows if row.temper == "any"]), None)


class Letter(Entry):
    """Chances of a hole from this one up get the letter."""

    letter: Likelihood
    chance_at_least: Annotated[float, Field(ge=0, le=1)]


class Later(Entry):
    """A share of the plate left at the next haul-out below this one gets the letter."""

    letter: Likelihood
    left_share_below: float


class Rule(Entry):
    """One limit: when it fits, what is to be done, how bad that is, and who says so."""

    id: Id
    asks: Literal["strength", "tightness", "member"]
    treatment: Treatment
    severity: Severity
    likelihood: Likelihood
    say: Text
    source: str
    seen: Known
    severity_above: Severity | None = None
    borrowed: str = ""
    at_least: Conditions = Field(default_factory=dict)
    over: Conditions = Field(default_factory=dict)
    at_most: Conditions = Field(default_factory=dict)
    below: Conditions = Field(default_factory=dict)

    @model_validator(mode="after")
    def _complete(self) -> Rule:
        if not (self.at_least or self.over or self.at_most or self.below):
            raise ValueError("a rule needs a condition: at_least, over, at_most or below")
        if not self.source and self.seen not in ("common practice, no source", "judgement of this program"):
            raise ValueError(f'a rule "{self.seen}" must name its source')
        return self

    def fits(self, quantities: Mapping[str, float]) -> bool:
        """Whether all conditions hold; one whose quantity is not known does not."""
        checks = (
            (self.at_least, operator.ge),
            (self.over, operator.gt),
            (self.at_most, operator.le),
            (self.below, operator.lt),
        )
        for conditions, holds in checks:
            for name, limit in conditions.items():
                if name not in quantities or not holds(quantities[name], limit):
                    return False
        return True


class Limits(Entry):
    """One file of acceptance rules. `base`: the file whose rules follow these, those of the same id left out;
    `digest` is that of what is in force, an owner's changes included."""

    id: Id
    title: Text
    metal: HullMetal
    waters: Literal["any", "inland"] = "any"
    base: Id | None = None
    years_to_next_haul_out: Above0
    letters: tuple[Letter, ...] = Field(min_length=1)
    letters_source: Text
    later: tuple[Later, ...] = Field(min_length=1)
    rule: tuple[Rule, ...] = Field(min_length=1)
    file: str = ""
    digest: str = ""

    @model_validator(mode="after")
    def _whole(self) -> Limits:
        for asked in ("strength", "tightness"):
            if not any(rule.asks == asked for rule in self.rule):
                raise ValueError(f"no rule asks about {asked}")
        chances = [row.chance_at_least for row in self.letters]
        if chances != sorted(chances, reverse=True) or chances[-1] != 0:
            raise ValueError("letters must fall from the greatest chance to 0")
        return self

    def letter(self, chance: float) -> Likelihood:
        return next(row.letter for row in self.letters if chance >= row.chance_at_least)


class Galvanic(Entry):
    """One metal in the galvanic series: range and point [mV against calomel, moving sea water]."""

    id: Id
    name: Text
    low_mv: float
    high_mv: float
    point_mv: float | None = None
    source: str = (
        "range: a published galvanic series for flowing sea water, seen second-hand; point: US Naval Research "
        "Laboratory, public-domain data file"
    )
    seen: Known = "read in the source"

    @model_validator(mode="after")
    def _in_order(self) -> Galvanic:
        if self.low_mv > self.high_mv:
            raise ValueError("low_mv must not be above high_mv")
        return self

    @property
    def middle_mv(self) -> float:
        return self.point_mv if self.point_mv is not None else (self.low_mv + self.high_mv) / 2


@dataclass(frozen=True)
class Metals:
    """Alloys and the galvanic series by id, one set of limits for each hull metal, and those of inland waters."""

    alloys: Mapping[str, Alloy]
    galvanic: Mapping[str, Galvanic]
    limits: Mapping[HullMetal, Limits]
    inland: Mapping[HullMetal, Limits]

    def limits_for(self, metal: HullMetal, *, inland: bool = False) -> Limits:
        """Those of the metal; of a boat that keeps to inland waters those made for her, if there are any."""
        return self.inland.get(metal, self.limits[metal]) if inland else self.limits[metal]
