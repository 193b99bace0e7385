"""Pictures to ask for from afar, as data."""

from __future__ import annotations

from inspect_tui.domain.knowledge.areas import Condition
from inspect_tui.domain.knowledge.entry import Entry, Id, Text


class Shot(Entry):
    """One picture that somebody with the boat and a phone can take. `take`: what and from where; `tells`: what it
    shows; `applies`: on which boats."""

    id: Id
    take: Text
    tells: Text
    applies: tuple[Condition, ...] = ()
