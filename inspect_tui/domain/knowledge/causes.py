"""Shapes of the data on causes. The data lies in `checklists/causes.toml`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from pydantic import Field, model_validator

from inspect_tui.domain.knowledge.entry import Entry, Id, Known, Opening, Text, Touch
from inspect_tui.domain.words import HullMetal, Who

Chance = Annotated[float, Field(gt=0, lt=1)]


@dataclass(frozen=True)
class Spot:
    """What a place is to its causes. `sea_side`: the water outside wets it; `inside`: it is a face within her;
    `tank`: it is in a fuel tank. Where nobody knows, all of them may be."""

    sea_side: bool = True
    inside: bool = True
    tank: bool = True


ANYWHERE = Spot()


class Sign(Entry):
    """Something to be ticked: seen, or looked for and not there. `short`: how lists name it. `base`: how often it is
    seen whatever the cause. `boat_wide`: it is of the whole boat, and ticked once for all places. `sea_side`: it is
    of anodes or paint outside, and tells nothing of metal that the water outside does not wet; `tank`: of the inside
    of a fuel tank."""

    id: Id
    short: Text
    ask: Text
    base: Chance
    boat_wide: bool = False
    sea_side: bool = False
    tank: bool = False

    def can_tell_at(self, spot: Spot) -> bool:
        return (spot.sea_side or not self.sea_side) and (spot.tank or not self.tank)


class Cause(Entry):
    """`tells`: how often each sign is seen with this cause; a sign that is not named says nothing of it.

    `everywhere`: it is at work in the whole hull, so that it is cured once and not place by place. `current`: it can
    take the plate in days, or someone's life, and is cured before anything else. `metals`: the hulls it is known in,
    all if none is named; `steel_prior`: its prior in steel, where that differs. `does`: what its cure does to the
    metal that keeps the water out; `afloat`: what is done instead, under or near water, while she floats. `sea_side`:
    it is at work only on metal that the water outside wets; `inside`: only on a face within her; `tank`: only in a
    fuel tank."""

    id: Id
    name: Text
    what: Text
    remedy: Text
    who: Who
    prior: Chance
    tells: dict[str, Chance] = Field(min_length=1)
    source: str
    seen: Known
    everywhere: bool = False
    current: bool = False
    metals: tuple[HullMetal, ...] = ()
    steel_prior: Chance | None = None
    does: tuple[Touch, ...] = ()
    afloat: Text | None = None
    leaves_open: tuple[Opening, ...] = ()
    sea_side: bool = False
    inside: bool = False
    tank: bool = False

    def prior_in(self, metal: HullMetal) -> float:
        return self.steel_prior if self.steel_prior is not None and metal is HullMetal.STEEL else self.prior

    def at_work_in(self, metal: HullMetal) -> bool:
        return not self.metals or metal in self.metals

    def at_work_at(self, spot: Spot) -> bool:
        """Whether it can be at work at a place, whatever the metal."""
        return (
            (spot.sea_side or not self.sea_side) and (spot.inside or not self.inside) and (spot.tank or not self.tank)
        )

    @model_validator(mode="after")
    def _sourced(self) -> Cause:
        if not self.source and self.seen not in ("from memory, not seen", "common practice, no source"):
            raise ValueError(f'a cause "{self.seen}" must name its source')
        if self.does and not self.afloat:
            raise ValueError("a cure that touches what keeps the water out must say what is done afloat")
        return self


class CauseTest(Entry):
    """A way to learn a sign that was not looked for yet, and the work it takes [minutes]. `afloat`: it can only be
    made with her in the water; `does`: what it does to the metal that keeps the water out; `leaves_open`: what is
    open after it. `dirty`: it needs what lies on the metal as it was found: powder, slime, paint, an outline;
    `wipes`: it takes that away, and does nothing to the metal."""

    id: Id
    sign: Id
    how: Text
    minutes: Annotated[float, Field(gt=0)]
    cautions: tuple[Id, ...] = ()
    afloat: bool = False
    does: tuple[Touch, ...] = ()
    leaves_open: tuple[Opening, ...] = ()
    dirty: bool = False
    wipes: bool = False

    @property
    def spoils(self) -> bool:
        """Whether nothing can be looked at or sampled after it as it was found."""
        return self.wipes or bool(self.does)

    def can_be_made(self, *, afloat: bool, below: bool) -> bool:
        return not (self.afloat and not afloat) and not (self.does and afloat and below)


@dataclass(frozen=True, eq=False)
class Causes:
    """Signs, causes and tests by id. Compared by identity: what is worked out from them is kept."""

    signs: Mapping[str, Sign]
    causes: Mapping[str, Cause]
    tests: Mapping[str, CauseTest]
