"""Records of the work itself: what was done and changed, where the walk stands, what is half written."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from pydantic import AwareDatetime

from inspect_tui.domain.records import Record


class Done(Record):
    """An action of the worklist that somebody says is done."""

    action: str
    what: str
    when: AwareDatetime
    by: str
    note: str = ""


class Was(Record):
    """What one record was before a change; `fields` is None if the record did not exist. `became` is the SHA-256
    of what was written, None if it was taken out."""

    table: str
    key: str
    fields: dict[str, Any] | None = None
    became: str | None = None


class Change(Record):
    """One line of the trail: what was done, when, by whom, and what stood there before."""

    number: int
    when: AwareDatetime
    by: str
    words: str
    was: tuple[Was, ...]
    undoes: int | None = None
    link: str = ""


class Here(Record):
    """Where the walk stopped."""

    round: str
    compartment: str
    prompt: str
    when: datetime


class Draft(Record):
    """What was being typed in a form that was not kept yet."""

    id: str
    when: AwareDatetime
    fields: dict[str, str]
    chalk: int | None = None
