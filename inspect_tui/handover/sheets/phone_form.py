"""The field sheets as one page for a telephone in the bilge: no network, kept in the browser, given back as the table
of the field sheets."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from functools import cache
from typing import Any, get_args

from jinja2 import Environment, PackageLoader, StrictUndefined, Template
from markupsafe import Markup

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book
from inspect_tui.domain.edits.sheets import kept_for
from inspect_tui.domain.knowledge.areas import Prompt, ReadingKind
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.measuring.readings import KINDS
from inspect_tui.domain.plain import one_line, visible
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.words import SEVERITY_WORDS, UNSEEN_WORDS, Severity

# What the air was: it stands in the table before the answers that rest on it.
OF_AIR = ("oxygen", "vapour", "hydrogen-sulphide", "carbon-monoxide")


@cache
def _template() -> Template:
    loader = PackageLoader("inspect_tui.handover")
    environment = Environment(loader=loader, autoescape=True, undefined=StrictUndefined)
    environment.filters["visible"] = visible
    return environment.get_template("phone.html")


def phone_form(
    book: Book, checklists: Checklists, places: Sequence[tuple[Compartment, Sequence[Prompt]]], columns: Sequence[str]
) -> str:
    """The page, with the questions that are open in each place. The same questions of the same boat keep what was
    filled in before."""
    told = [_place(book, checklists, place, prompts) for place, prompts in places]
    key = _short_name([book.boat.name, book.round.id, *(one["name"] for one in told)])
    data: dict[str, Any] = {
        "key": key,
        "file": "field-table.csv",
        "columns": list(columns),
        "places": told,
        "reasons": [[reason.value, UNSEEN_WORDS[reason]] for reason in UNSEEN_WORDS],
        "severities": [[one.roman, f"{one.roman} {SEVERITY_WORDS[one]}"] for one in Severity],
        "kinds": [[kind.id, kind.label] for kind in checklists.kinds.values()],
        "measured": [[kind, KINDS[kind].label] for kind in get_args(ReadingKind)],
        "plates": [[one_line(field.name)] * 2 for field in book.plate_fields.values()],
        "first": list(OF_AIR),
    }
    # Inside a script element only this sign could end it.
    text = json.dumps(data, ensure_ascii=False).replace("<", "\\u003c")
    return _template().render(boat=book.boat.name, data=Markup(text))


def _short_name(names: Sequence[str]) -> str:
    """A short name for one set of sheets."""
    return hashlib.sha256("\n".join(names).encode()).hexdigest()[:16]


def _place(book: Book, checklists: Checklists, place: Compartment, prompts: Sequence[Prompt]) -> dict[str, Any]:
    wanted = dict.fromkeys(id for prompt in prompts for id in prompt.cautions)
    cautions = [checklists.cautions[id] for id in wanted if id in checklists.cautions]
    return {
        "name": place.name,
        "lies": walk.frames_words(place) or "frames not written down",
        "chalks": ", ".join(map(str, kept_for(book, place.id))) or "none",
        "cautions": " ".join(f"{one.title}: {one.say}" for one in cautions),
        "share": any(prompt.share for prompt in walk.prompts_of(checklists, book, place)),
        "prompts": [{"key": one.key, "ask": one.ask, "take": ", ".join(one.measure)} for one in prompts],
    }
