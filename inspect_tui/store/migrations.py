"""From one schema of the book to the next: pure functions on its tables, N to N + 1.

Each gets a copy it may change and returns it. A row it cannot bring over it leaves as it is: rows that
the models then refuse are set aside as unreadable, never dropped. From schema 2 on a migration is a line appended to
the trail: no earlier link changes.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from inspect_tui.domain.book import ONLY, dump
from inspect_tui.domain.chain import chained, digest_of, in_order, link_of
from inspect_tui.domain.identity import Identity, Key
from inspect_tui.domain.knowledge.named import Kinds
from inspect_tui.domain.trail import Change, Was
from inspect_tui.store.envelope import Tables
from inspect_tui.store.old_drafts import drafts_of_today

SCHEMA = 6


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
    first = first_link(tables)
    identity = Identity(book_id=first or digest_of(tables.get("boat", {})), copy_name=moment.copy_name)
    written = [("identity", ONLY, dump(identity)), *(("findings", key, row) for key, row in _leaks(tables))]
    _append(tables, moment, "Brought over to schema 3: the book has an identity", written)
    tables["drafts"] = drafts_of_today(tables)
    return tables


def _with_tables(schema: int, words: str, *names: str) -> Migration:
    """To this schema: so many tables more, and a line that says so."""

    def migration(tables: Tables, moment: Moment) -> Tables:
        for name in names:
            tables.setdefault(name, {})
        identity = tables.get("identity", {}).get(ONLY)
        if identity is not None:
            named = replace(moment, copy_name=str(identity.get("copy_name", "")))
            _append(tables, named, f"Brought over to schema {schema}: {words}", [("identity", ONLY, identity)])
        return tables

    return migration


def _append(tables: Tables, moment: Moment, words: str, written: list[tuple[str, str, dict[str, Any]]]) -> None:
    """One line of the trail that says what was brought over; no earlier line changes."""
    lines = in_order(tables.get("trail", {}))
    was = tuple(
        Was(table=table, key=key, fields=tables.get(table, {}).get(key), became=digest_of(row))
        for table, key, row in written
    )
    kept = [str(row.get("key")) for row in tables.get("unreadable", {}).values() if row.get("table") == "trail"]
    number = max([0, *(int(line["number"]) for line in lines), *(Key.of(key).number for key in kept)]) + 1
    line = Change(number=number, when=moment.when, by=moment.by, words=words, was=was)
    line = line.model_copy(update={"link": link_of(str(lines[-1].get("link", "")) if lines else "", dump(line))})
    for table, key, row in [*written, ("trail", str(Key(number, moment.copy_name)), dump(line))]:
        tables.setdefault(table, {})[key] = row


def first_link(tables: Tables) -> str:
    """The link of the first line of the trail, by which a book from before identities is known; empty if there is
    none of ours."""
    lines = in_order(tables.get("trail", {}))
    link = str(lines[0].get("link", "")) if lines else ""
    return link if re.fullmatch(r"[0-9a-f]{32,64}", link) else ""


def _leaks(tables: Tables) -> list[tuple[str, dict[str, Any]]]:
    """Findings that the hunt of schema 2 wrote, with the circuit that their words begin with."""
    rows = [row for name in ("boat", "readings") for row in tables.get(name, {}).values() if isinstance(row, dict)]
    named_ones = {str(one) for row in rows for one in (*row.get("circuits", ()), row.get("circuit") or "") if one}
    circuits = sorted(named_ones, key=len, reverse=True)
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


# 2: the trail became a chain; photos, field sheets and rates came in. 3: identity, and keys that name their copy. 4:
# parts. 5: members and sampling plans. 6: answers by one look, more reasons for unseen, more of the boat.
MIGRATIONS: Mapping[int, Migration] = {
    1: lambda tables, _: chained(tables),
    2: _with_identity,
    3: _with_tables(4, "what was taken out has a list, work can be signed", "parts"),
    4: _with_tables(5, "members and sampling plans have a list", "members", "plans"),
    5: _with_tables(6, "one look may answer for many questions, and more can be said of what was not seen"),
}
