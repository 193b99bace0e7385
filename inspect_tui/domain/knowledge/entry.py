"""What every entry of the trade knowledge is: frozen, with nothing in it that its shape does not name; and what work
does to a hull."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, StringConstraints

Text = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1)]
Id = Annotated[str, StringConstraints(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$")]
# How well a source is known; the same words as in the engineering.
Known = Literal[
    "read in the source",
    "quoted by another document",
    "a trade page or forum",
    "from memory, not seen",
    "derived here",
    "common practice, no source",
    "judgement of this program",
]


class Entry(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)


class Touch(StrEnum):
    """What work does to the metal and the fittings that keep the water out."""

    OPENS = "opens"
    FORCES = "forces"
    BARES = "bares"
    HEATS = "heats"


class Opening(StrEnum):
    """What work leaves open, and somebody must close again."""

    PLUG = "plug"
    LID = "lid"
    HOSE = "hose"
    FITTING = "fitting"
    BOREHOLE = "borehole"
    DRAIN = "drain"


OPENING_WORDS: dict[Opening, str] = {
    Opening.PLUG: "Put the plug back, with thread and seal clean",
    Opening.LID: "Put the lid back, on a clean gasket, every screw in",
    Opening.HOSE: "Put the hose back, with two clips",
    Opening.FITTING: "Put back what was taken off, bedded and bolted, once the metal beneath is measured and coated",
    Opening.BOREHOLE: "Close the hole that was drilled",
    Opening.DRAIN: "Shut the drain",
}
