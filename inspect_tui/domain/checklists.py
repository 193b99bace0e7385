"""The trade knowledge that the walk asks from: areas, prompts, cautions, kinds of finding.

These are the shapes only. The data lies in `checklists/` and is read by `store.checklist_files`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

from inspect_tui.domain.words import Across, Feature, HullMetal, Lane, Need, Rig, Severity, Step, Water, Who

if TYPE_CHECKING:
    from inspect_tui.domain.causes import Causes
    from inspect_tui.domain.metals import Metals

Text = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1)]
Id = Annotated[str, StringConstraints(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$")]

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
]
Condition = Rig | HullMetal | Water | Feature


class Entry(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)


class Prompt(Entry):
    """One thing to look at. `key` (area/id) names it everywhere outside its own file. `opens`: the screen on which
    its measuring is done, where that takes more than a line of numbers; `across`: what its ohms are taken across;
    `first`: it is asked before all others, those asked everywhere too."""

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
    applies: tuple[Condition, ...] = ()
    signs: tuple[Id, ...] = ()
    kind: Id | None = None
    share: bool = False
    first: bool = False
    across: Across | None = None
    opens: Literal["hunt", "protection", "patches"] | None = None
    area: str = ""

    @property
    def key(self) -> str:
        return f"{self.area}/{self.id}"


class Area(Entry):
    """A kind of place, with the prompts for it, in the order they are best asked.

    `picked` and `applies` say on which boats it is ticked at the start; any boat may have it.
    """

    id: Id
    number: int
    name: Text
    short: Annotated[str, StringConstraints(min_length=2, max_length=6)]
    lane: Lane
    picked: bool
    applies: tuple[Condition, ...] = ()
    traps: Text
    hidden: Text
    clear: Text
    prompt: tuple[Prompt, ...] = Field(min_length=1)


class Everywhere(Entry):
    """The questions asked in every compartment, before and after its own."""

    before: tuple[Prompt, ...]
    after: tuple[Prompt, ...]


class Caution(Entry):
    """A hazard, said where the hand is about to do the thing."""

    id: Id
    title: Text
    say: Text
    more: Text
    source: Text


class Kind(Entry):
    """A kind of finding: what is usually done about it, by whom, at which step."""

    id: Id
    label: Text
    letter: Annotated[str, StringConstraints(pattern=r"^[a-z]$")]
    remedy: Text
    step: Step
    who: Who
    bright_metal: bool = False
    corrosion: bool = False
    cause: bool = False
    launch: Literal["always", "below", "never"] = "never"
    danger: Literal["always", "afloat", "never"] = "never"
    gauged: bool = True


@dataclass(frozen=True)
class Checklists:
    """All trade knowledge that the walk needs, checked and ready."""

    areas: Mapping[str, Area]
    everywhere: Everywhere
    cautions: Mapping[str, Caution]
    kinds: Mapping[str, Kind]
    metals: Metals
    causes: Causes

    def prompts_by_key(self) -> dict[str, Prompt]:
        found = {prompt.key: prompt for area in self.areas.values() for prompt in area.prompt}
        found |= {prompt.key: prompt for prompt in self.everywhere.before + self.everywhere.after}
        return found
