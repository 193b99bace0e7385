"""The launch as data: the lines that are signed before, while and after she is floated."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from pydantic import Field, model_validator

from inspect_tui.domain.knowledge.areas import Condition
from inspect_tui.domain.knowledge.entry import Entry, Id, Text
from inspect_tui.domain.words import Who


class Phase(StrEnum):
    """The stretches of a launch, in their order."""

    BEFORE = "before she moves"
    SLINGS = "in the slings"
    NIGHT = "the first night aboard"
    LATER = "after launching"
    HAUL = "at each haul-out"


class LaunchLine(Entry):
    """One line to be signed. `hours`: of those afloat, when it is due after she was floated [h]. `ashore`: it cannot
    be done, or not be made up for, once she floats."""

    id: Id
    phase: Phase
    say: Text
    who: Who
    hours: Annotated[float, Field(gt=0, allow_inf_nan=False)] | None = None
    applies: tuple[Condition, ...] = ()
    ashore: bool = False

    @model_validator(mode="after")
    def _dated(self) -> LaunchLine:
        if (self.hours is not None) is not (self.phase in (Phase.NIGHT, Phase.LATER)):
            raise ValueError("hours are for a line that is due after she floats, and for every such line")
        return self
