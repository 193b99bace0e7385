"""What every entry of the trade knowledge is: frozen, with nothing in it that its shape does not name."""

from __future__ import annotations

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
