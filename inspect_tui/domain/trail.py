"""Records of the work itself: what was done and changed, where the walk stands, what is half written."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from pydantic import AwareDatetime

from inspect_tui.domain.bounds import NotNegative, Whole
from inspect_tui.domain.records import Record

Argument = str | int


class Done(Record):
    """An action of the worklist that somebody says is done. `signed`: the name typed under what keeps the water out;
    `used`, `did`, `cost`: with what, by whom, which invoice, where somebody wrote it. `hours`: how long it took, and
    `planned_hours` what the plan had for it then [h]."""

    action: str
    what: str
    when: AwareDatetime
    by: str
    note: str = ""
    signed: str | None = None
    used: str | None = None
    did: str | None = None
    cost: str | None = None
    hours: NotNegative | None = None
    planned_hours: NotNegative | None = None


class Was(Record):
    """What one record was before a change; `fields` is None if the record did not exist. `became` is the SHA-256
    of what was written, None if it was taken out."""

    table: str
    key: str
    fields: dict[str, Any] | None = None
    became: str | None = None


class Change(Record):
    """One line of the trail: what was done, when, by whom, and what stood there before."""

    number: Whole
    when: AwareDatetime
    by: str
    words: str
    was: tuple[Was, ...]
    undoes: Whole | None = None
    link: str = ""

    @property
    def of_the_file(self) -> bool:
        """Whether it says who the file is, and nothing of the boat: a migration, or a copy that begins."""
        return self.number > 1 and any(was.table == "identity" for was in self.was)


class Here(Record):
    """Where the walk stopped."""

    round: str
    compartment: str
    prompt: str
    when: datetime


@dataclass(frozen=True)
class Form:
    """Where something is typed: a screen by its name and arguments; `asked` and `about` where it is one line that is
    asked for over that screen."""

    screen: str
    arguments: Mapping[str, Argument] = field(default_factory=dict)
    asked: str = ""
    about: Mapping[str, Argument] = field(default_factory=dict)

    @property
    def key(self) -> str:
        """Equal for equal forms."""
        parts = [self.screen, sorted(self.arguments.items()), self.asked, sorted(self.about.items())]
        return json.dumps(parts, ensure_ascii=False, separators=(",", ":"))

    def line(self, asked: str, **about: Argument) -> Form:
        """A line that is asked for over this form."""
        return replace(self, asked=asked, about=about)


class Draft(Record):
    """What was being typed in a form that was not kept yet. `chalk`: the number it was shown with."""

    id: str
    when: AwareDatetime
    fields: dict[str, str]
    chalk: Whole | None = None
    screen: str = ""
    arguments: dict[str, Argument] = {}
    asked: str = ""
    about: dict[str, Argument] = {}

    @property
    def form(self) -> Form:
        return Form(self.screen, self.arguments, self.asked, self.about)


class PapersMade(Record):
    """That papers were written: of the book as it stood at this head, for whom, and the SHA-256 of each file. Nothing
    of it counts as said about the boat."""

    id: str
    when: AwareDatetime
    by: str
    head: str
    digest: str
    made_of: str
    name: str
    files: dict[str, str]
