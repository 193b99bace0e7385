"""The trade knowledge that the walk asks from: areas, prompts, cautions, kinds of finding.

These are the shapes only. The data lies in `checklists/` and is read by `store.checklist_files`.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import Field, StringConstraints

from inspect_tui.domain.boat_words import BoatType, Feature, KeelType
from inspect_tui.domain.knowledge.entry import Entry, Id, Known, Opening, Text, Touch
from inspect_tui.domain.words import Across, Face, FloatState, HullMetal, Lane, Need, Rig, Severity, Water, Zone

ReadingKind = Literal[
    "pits",
    "thickness",
    "potential",
    "resistance",
    "current",
    "length",
    "area",
    "volume",
    "mass",
    "duration",
    "count",
    "coating",
    "salinity",
    "acidity",
    "oxygen",
    "vapour",
    "hydrogen-sulphide",
    "carbon-monoxide",
]
Condition = Rig | HullMetal | Water | Feature | BoatType | KeelType | FloatState


class By(StrEnum):
    """How a prompt is answered: by eye, by doing something, by readings."""

    LOOK = "look"
    ACT = "act"
    GAUGE = "gauge"


class Prompt(Entry):
    """One thing to look at. `key` (area/id) names it everywhere outside its own file. `opens`: the screen on which
    its measuring is done, where that takes more than a line of numbers; `across`: what its ohms are taken across;
    `first`: it is asked before all others, those asked everywhere too; `again`: only where an earlier round left a
    finding; `zone`: where its metal lies by the waterline, where that is not its area's. `does`: what `how` does to
    the metal that keeps the water out; `afloat`: how to look at it without, in place of what all such prompts say;
    `leaves_open`: what is open afterwards. `apart`: what is gauged there is a part by itself, a frame, pipe or tank,
    never averaged with the plate around it.

    `by`: how it is answered. `covered`: it lies under or behind something that one look does not pass. `glance`:
    it is the one look that answers others. `within`: asked of a place one is in, not of an outside; `dry`:
    nor of one that is meant to hold a liquid. `once`: asked
    in one compartment of its area, whatever their number. `without`: not asked of a boat that is said to have one
    of these. `hangs_on`: not asked where this question of its area was answered 'not fitted'; `unless`: nor where
    this one was found sound. `early`: it is of the first pass, of what can sink her or hurt someone. `face`: of the
    plate, where that is not its area's. `instead_of`: questions of earlier checklists that it replaces; their
    answers are none to it. `must`: she needs one, and that there is none is a finding."""

    id: Id
    ask: Text
    why: Text
    look: Text
    how: Text
    bad: Text
    severity: Severity
    measure: tuple[ReadingKind, ...] = ()
    cautions: tuple[Id, ...] = ()
    needs: tuple[Need, ...] = ()
    does: tuple[Touch, ...] = ()
    afloat: Text | None = None
    leaves_open: tuple[Opening, ...] = ()
    applies: tuple[Condition, ...] = ()
    without: tuple[Feature, ...] = ()
    signs: tuple[Id, ...] = ()
    kind: Id | None = None
    share: bool = False
    first: bool = False
    again: bool = False
    zone: Zone | None = None
    apart: bool = False
    across: Across | None = None
    opens: Literal["hunt", "protection", "patches"] | None = None
    by: By = By.ACT
    covered: bool = False
    glance: bool = False
    within: bool = False
    dry: bool = False
    once: bool = False
    hangs_on: Id | None = None
    unless: Id | None = None
    early: bool = False
    face: Face | None = None
    instead_of: tuple[str, ...] = ()
    must: bool = False
    area: str = ""

    @property
    def key(self) -> str:
        return f"{self.area}/{self.id}"


class Area(Entry):
    """A kind of place, with the prompts for it, in the order they are best asked.

    `number`: its turn from bow to stern, unless it lies `beside` the area of another number.
    `picked` and `applies` say on which boats it is ticked at the start; any boat may have it. `crosses`: it
    reaches down to the waterline or below, though it is counted among what lies above. `sail`: rig, steering,
    drive or people overboard hang on it; `hangs`: what is in it hangs below her as soon as she is lifted.
    `enclosed`: its air is asked before anything inside it. `space`: it is a place with plate of its own, where the
    questions asked everywhere make sense; `outside`: it is looked at from outside; `holds`: it is
    meant to hold a liquid. `without`: a boat that is said to have one of these has no such place. `early`: its turn
    in the first pass, and in the walk while she floats; 0 for what comes bow to stern after those."""

    id: Id
    number: int
    beside: int | None = None
    name: Text
    short: Annotated[str, StringConstraints(min_length=2, max_length=6)]
    lane: Lane
    picked: bool
    applies: tuple[Condition, ...] = ()
    crosses: bool = False
    sail: bool = False
    hangs: bool = False
    enclosed: bool = False
    space: bool = True
    early: Annotated[int, Field(ge=0)] = 0
    outside: bool = False
    holds: bool = False
    without: tuple[Feature, ...] = ()
    traps: Text
    hidden: Text
    clear: Text
    prompt: tuple[Prompt, ...] = Field(min_length=1)

    @property
    def usual_zone(self) -> Zone:
        return Zone.ABOVE if self.lane is Lane.ABOVE and not self.crosses else Zone.UNDER


class NearWater(Entry):
    """The band about the loaded waterline that counts as near water: so far above it, and so far below."""

    half_width_mm: Annotated[float, Field(gt=0, allow_inf_nan=False)]
    source: str
    seen: Known


class Everywhere(Entry):
    """The questions asked in every compartment, before and after its own. `afloat`: what may be done under or near
    water while she floats, where the usual way would open, force, bare or heat the hull."""

    near_water: NearWater
    afloat: Text
    before: tuple[Prompt, ...]
    after: tuple[Prompt, ...]


class Caution(Entry):
    """A hazard, said where the hand is about to do the thing."""

    id: Id
    title: Text
    say: Text
    more: Text
    source: Text
