"""Whether what a whole file holds has the shape of a book: looked at once, on opening, before any model reads it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any, NoReturn

from pydantic import ValidationError

from inspect_tui.domain.book import ADAPTERS, ONLY, Book, Unreadable
from inspect_tui.domain.bounds import first_fault
from inspect_tui.domain.identity import Key
from inspect_tui.domain.measuring.metal_records import OTHER_MEMBER
from inspect_tui.domain.records import Record
from inspect_tui.errors import Damaged, NotABook
from inspect_tui.store.envelope import Envelope, Tables
from inspect_tui.store.migrations import first_link

UNREADABLE = "unreadable"
LONGEST_KEY = 400
DEEPEST = 40
# Of these a book has one.
_SINGLE = frozenset({"identity", "boat", "rates", "here"})


def tables_of(envelope: Envelope) -> tuple[Tables, list[Unreadable]]:
    """The tables, decoded afresh, and what in them has not the shape of a record.

    Raises
    ------
    Damaged : it is no text of tables at all.
    """
    try:
        read = json.loads(envelope.body, parse_constant=_no_number)
    except RecursionError:
        raise Damaged("it is nested deeper than any book") from None
    except ValueError as error:
        raise Damaged(f"its text cannot be read ({str(error)[:80]})") from None
    if not isinstance(read, dict):
        raise Damaged("it holds no tables")
    odd: list[Unreadable] = []
    tables: Tables = {}
    suspect = b"\\ud" in envelope.body or b"\\uD" in envelope.body
    for name, rows in read.items():
        if not isinstance(rows, dict):
            odd.append(Unreadable(_cleaned(name), "", "it is not a table", _cleaned(rows)))
            continue
        tables[_cleaned(name)] = kept = {}
        for key, row in rows.items():
            why = _fault_of(key, row, suspect=suspect)
            if why and name == UNREADABLE and isinstance(row, dict):
                # What is aside already stays there.
                kept[_cleaned(key)] = _cleaned(row)
            elif why:
                odd.append(Unreadable(_cleaned(name), _cleaned(key), why, _cleaned(row)))
            else:
                kept[key] = row
    return tables, odd


def _no_number(word: str) -> NoReturn:
    raise ValueError(f"{word} is not a number")


def _fault_of(key: str, row: Any, *, suspect: bool) -> str:
    if not isinstance(row, dict):
        return "it is not a record"
    if not key or len(key) > LONGEST_KEY:
        return "no record has such a key"
    if _too_deep(row):
        return "it is nested deeper than any record"
    if suspect and _cleaned([key, row]) != [key, row]:
        return "it holds characters that cannot be stored"
    return ""


def _too_deep(value: Any, left: int = DEEPEST) -> bool:
    inside = value.values() if isinstance(value, dict) else value
    return left == 0 or any(isinstance(one, dict | list) and one and _too_deep(one, left - 1) for one in inside)


def _cleaned(value: Any, left: int = DEEPEST - 5) -> Any:
    """The same with lone halves of signs replaced, which cannot be written to any file, and cut off below DEEPEST."""
    if isinstance(value, str):
        return value.encode("utf-16", "surrogatepass").decode("utf-16", "replace")
    if not isinstance(value, dict | list):
        return value
    if left == 0:
        return "…"
    if isinstance(value, dict):
        return {_cleaned(key): _cleaned(one, left - 1) for key, one in value.items()}
    return [_cleaned(one, left - 1) for one in value]


def book_id_of(envelope: Envelope) -> str:
    """The identity of the book that these bytes are a copy of, also of one that is older than identities; empty if
    it has none.

    Raises
    ------
    Damaged : its text cannot be read.
    """
    tables, _ = tables_of(envelope)
    identity = tables.get("identity", {}).get(ONLY)
    return str(identity.get("book_id", "")) if identity else first_link(tables)


def boat_name_of(envelope: Envelope) -> str:
    """The boat that a book is about, for a message."""
    tables, _ = tables_of(envelope)
    return str(tables.get("boat", {}).get(ONLY, {}).get("name", "a boat without a name"))[:60]


def models_of(tables: Tables) -> tuple[Book, list[Unreadable]]:
    """The book held as models, and the rows of known tables that no model accepts, that stand under another key than
    their own, or that name a compartment, plate field or finding that is not there.

    Raises
    ------
    NotABook : without the boat or a round of hers there is nothing to show.
    """
    held: dict[str, dict[str, Record]] = {}
    bad: list[Unreadable] = []
    for name, adapter in ADAPTERS.items():
        held[name] = {}
        for key, fields in tables.get(name, {}).items():
            try:
                record = adapter.validate_python(fields)
            except ValidationError as error:
                bad.append(Unreadable(name, key, first_fault(error), fields))
            except RecursionError:
                bad.append(Unreadable(name, key, "it is nested deeper than any record", None))
            else:
                if _stands_right(name, key, record):
                    held[name][key] = record
                else:
                    bad.append(Unreadable(name, key, "it is under a key that is not its own", fields))
    while lost := [*_without_what_they_name(held)]:
        for name, key, why in lost:
            del held[name][key]
            bad.append(Unreadable(name, key, why, tables[name][key]))
    if not held["boat"] or not held["rounds"]:
        raise NotABook("The record of the boat or of her rounds is missing or cannot be read; nothing was changed.")
    earlier = [
        Unreadable(str(row.get("table", "")), str(row.get("key", "")), str(row.get("why", "")), row.get("raw"))
        for row in tables.get(UNREADABLE, {}).values()
    ]
    return Book(held, (*earlier, *bad)), bad


def _stands_right(table: str, key: str, record: Any) -> bool:
    """Whether a record's key is the one that it names itself."""
    if table in _SINGLE:
        return key == ONLY
    if table == "findings":
        return key == str(record.chalk)
    if table == "trail":
        return Key.of(key).number == int(record.number)
    return key == str(getattr(record, "id", key))


def _without_what_they_name(held: dict[str, dict[str, Record]]) -> Iterator[tuple[str, str, str]]:
    for table in ("findings", "answers", "readings", "visits", "parts", "compartments", "members", "plans"):
        for key, row in held[table].items():
            said: Any = row
            place = getattr(said, "compartment", None)
            plates = getattr(said, "plate_fields", ()) or [getattr(said, "plate_field", None)]
            chalk = getattr(said, "finding", None)
            member, plan = getattr(said, "member", None), getattr(said, "plan", None)
            if place is not None and place not in held["compartments"]:
                yield table, key, f"it names a compartment that is not in the book ({place[:40]})"
            elif any(one is not None and one not in held["plate_fields"] for one in plates):
                yield table, key, "it names a plate field that is not in the book"
            elif member not in (None, OTHER_MEMBER) and member not in held["members"]:
                yield table, key, "it names a frame or other member that is not in the book"
            elif plan is not None and plan not in held["plans"]:
                yield table, key, "it names a sampling plan that is not in the book"
            elif chalk is not None and str(chalk) not in held["findings"]:
                yield table, key, f"it names finding {chalk}, which is not in the book"
