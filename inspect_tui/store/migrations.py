"""From one schema of the book to the next: pure functions on its tables, N to N + 1.

Each gets a copy it may change and returns it. A row it cannot bring over it leaves as it is: rows that
the models then refuse are set aside as unreadable, never dropped. From schema 2 on a migration is a line appended to
the trail: no earlier link changes.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from inspect_tui.domain.book import ONLY, dump
from inspect_tui.domain.chain import chained, digest_of, in_order, link_of
from inspect_tui.domain.identity import Identity, Key
from inspect_tui.domain.knowledge.named import Kinds
from inspect_tui.domain.trail import Argument, Change, Draft, Form, Was
from inspect_tui.store.envelope import Tables

SCHEMA = 3


@dataclass(frozen=True)
class Moment:
    """When a book is brought over, by whom, and the name that this copy of it gets."""

    when: datetime
    by: str
    copy_name: str


Migration = Callable[[Tables, Moment], Tables]


def migrate(tables: Tables, schema: int, to: int, migrations: Mapping[int, Migration], moment: Moment) -> Tables:
    for step in range(schema, to):
        tables = migrations[step](tables, moment)
    return tables


def _with_identity(tables: Tables, moment: Moment) -> Tables:
    """Schema 2 to 3: the book is known by the first link of its trail, this copy gets a name, leaks that a hunt found
    name their circuit, half-written forms name their screen."""
    lines = in_order(tables.get("trail", {}))
    first = str(lines[0].get("link", "")) if lines else ""
    identity = Identity(book_id=first or digest_of(tables.get("boat", {})), copy_name=moment.copy_name)
    written = [("identity", ONLY, dump(identity)), *(("findings", key, row) for key, row in _leaks(tables))]
    was = tuple(
        Was(table=table, key=key, fields=tables.get(table, {}).get(key), became=digest_of(row))
        for table, key, row in written
    )
    number = int(lines[-1]["number"]) + 1 if lines else 1
    words = "Brought over to schema 3: the book has an identity"
    line = Change(number=number, when=moment.when, by=moment.by, words=words, was=was)
    line = line.model_copy(update={"link": link_of(str(lines[-1].get("link", "")) if lines else "", dump(line))})
    for table, key, row in [*written, ("trail", str(Key(number, moment.copy_name)), dump(line))]:
        tables.setdefault(table, {})[key] = row
    tables["drafts"] = {draft.id: dump(draft) for draft in _forms(tables)}
    return tables


def _leaks(tables: Tables) -> list[tuple[str, dict[str, Any]]]:
    """Findings that the hunt of schema 2 wrote, with the circuit that their words begin with."""
    boats = [boat for boat in tables.get("boat", {}).values() if isinstance(boat, dict)]
    circuits = sorted((str(one) for boat in boats for one in boat.get("circuits", ())), key=len, reverse=True)
    found = []
    for key, row in tables.get("findings", {}).items():
        if not isinstance(row, dict) or row.get("kind") != Kinds.LEAKAGE or "circuit" in row:
            continue
        named = (
            one for one in circuits if re.match(re.escape(one) + r" moves the hull by [+-]", str(row.get("words")))
        )
        if circuit := next(named, None):
            found.append((key, {**row, "circuit": circuit}))
    return found


def _forms(tables: Tables) -> list[Draft]:
    """Half-written forms under what they are forms of; one that no screen of today opens keeps its words."""
    kept = []
    for key, row in tables.get("drafts", {}).items():
        form = _form_named(key, tables)
        try:
            kept.append(
                Draft(
                    id=form.key,
                    when=row["when"],
                    fields=row["fields"],
                    chalk=row.get("chalk"),
                    screen=form.screen,
                    arguments=dict(form.arguments),
                    asked=form.asked,
                    about=dict(form.about),
                )
            )
        except (ValueError, TypeError, KeyError):
            continue
    return kept


def _form_named(name: str, tables: Tables) -> Form:
    """What schema 2 wrote into one name."""
    kind, *rest = name.split("/")
    match kind, rest:
        case "finding", ["new", place, *prompt]:
            return Form("finding", _said(compartment=place, prompt="/".join(prompt)))
        case "finding", [chalk] if chalk.isdecimal():
            return Form("finding", {"chalk": int(chalk)})
        case "measure", [place, chalk, *prompt]:
            plate = prompt.pop() if prompt and prompt[-1] in tables.get("plate_fields", {}) else ""
            said = _said(compartment=place, prompt="/".join(prompt), plate=plate)
            return Form("measure", said | ({"chalk": int(chalk)} if chalk.isdecimal() else {}))
        case "words", [place, *prompt]:
            return Form("walk", {"compartment": place, "prompt": "/".join(prompt)}, "words")
        case (("note" | "reason"), [chalk, *word]) if chalk.isdecimal():
            about = _said(**{"status" if kind == "note" else "treatment": "/".join(word)})
            return Form("finding", {"chalk": int(chalk)}, kind, about)
        case "photo", [photo]:
            return Form("photos", {}, "caption", {"photo": photo})
        case "done", action:
            return Form("worklist", {}, "done", {"action": "/".join(action)})
        case (("compartment" | "plate"), [key]):
            return Form(kind, {"compartment" if kind == "compartment" else "field": key})
        case (("circuit" | "hull-test"), []):
            return Form("hunt", {}, "circuit" if kind == "circuit" else "ohms")
        case "round", []:
            return Form("boat", {}, "round")
        case _:
            return Form(kind)


def _said(**arguments: Argument) -> dict[str, Argument]:
    return {name: value for name, value in arguments.items() if value != ""}


# 2: the trail became a chain; photos, field sheets and rates came in. 3: identity, and keys that name their copy.
MIGRATIONS: Mapping[int, Migration] = {1: lambda tables, _: chained(tables), 2: _with_identity}
