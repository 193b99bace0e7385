"""The trail as a chain: each line carries a digest over itself and the line before it, and over what it wrote.

Works on stored rows (plain dicts), so that a book can be checked as it lies on the disk.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

Row = Mapping[str, Any]
# What lies on the desk (where the walk stands, drafts, that papers were made) is not said about the boat.
DESK = frozenset({"here", "drafts", "papers"})


def digest_of(value: object) -> str:
    """SHA-256 in hexadecimal over a value as JSON with sorted keys.

    >>> digest_of({"b": 1, "a": "ä"}) == digest_of({"a": "ä", "b": 1})
    True
    """
    text = json.dumps(value, sort_keys=True, ensure_ascii=True, allow_nan=False, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


def link_of(before: str, line: Row) -> str:
    """The link of a line of the trail, given that of the line before it; empty before the first."""
    return digest_of([before, {name: value for name, value in line.items() if name != "link"}])


def in_order(trail: Mapping[str, Row]) -> list[Row]:
    """The lines of a trail by number; one that cannot be read is passed over."""
    whole = [line for line in trail.values() if _is_line(line)]
    return sorted(whole, key=lambda line: int(line["number"]))


def _is_line(line: Row) -> bool:
    changes = line.get("was")
    return (
        isinstance(line.get("number"), int)
        and isinstance(changes, list)
        and all(isinstance(was, dict) and {"table", "key"} <= set(was) for was in changes)
    )


@dataclass(frozen=True)
class Mismatch:
    """One place where the book does not fit its own trail, in a sentence."""

    words: str


def mismatches(tables: Mapping[str, Mapping[str, Row]]) -> list[Mismatch]:
    """Where lines of the trail do not hang together, and where a record is not what the trail says was written."""
    told: list[Mismatch] = []
    before = ""
    number = 0
    last: dict[tuple[str, str], tuple[int, str | None]] = {}
    for line in in_order(tables.get("trail", {})):
        if int(line["number"]) != number + 1:
            told.append(Mismatch(f"The trail goes from line {number} to line {line['number']}: lines are missing."))
        number = int(line["number"])
        if line.get("link") != link_of(before, line):
            told.append(
                Mismatch(f"Line {number} of the trail ({line.get('words', '')}) was changed after it was written.")
            )
        before = str(line.get("link", ""))
        for was in line.get("was", ()):
            last[was["table"], was["key"]] = (number, was.get("became"))
    told += [
        Mismatch(f"{_called(table, key)} is not what line {number} of the trail wrote: it was changed from outside.")
        for (table, key), (number, became) in last.items()
        if became != _standing(tables, table, key)
    ]
    told += [
        Mismatch(f"{_called(table, key)} is in the book, but no line of the trail wrote it.")
        for table, rows in tables.items()
        if table not in DESK and table not in ("trail", "unreadable")
        for key in rows
        if (table, key) not in last
    ]
    return told


def _standing(tables: Mapping[str, Mapping[str, Row]], table: str, key: str) -> str | None:
    """Digest of a record as it stands, or as it was set aside because no model could read it."""
    row = tables.get(table, {}).get(key)
    if row is None:
        aside = tables.get("unreadable", {}).values()
        row = next((one.get("raw") for one in aside if (one.get("table"), one.get("key")) == (table, key)), None)
    return None if row is None else digest_of(row)


def _called(table: str, key: str) -> str:
    return "The record of the boat" if table == "boat" else f"{table.replace('_', ' ').capitalize()}, record {key},"


def chained(tables: dict[str, dict[str, Any]]) -> dict[str, dict[str, Any]]:
    """Tables whose trail had no links yet, with them; what each line wrote is found from the lines after it."""
    lines = in_order(tables.get("trail", {}))
    stands: dict[tuple[str, str], str | None] = {}
    for line in reversed(lines):
        for was in line["was"]:
            at = (was["table"], was["key"])
            became = stands[at] if at in stands else _standing(tables, *at)
            if became is not None:
                was["became"] = became
            stands[at] = None if was.get("fields") is None else digest_of(was["fields"])
    before = ""
    for line in lines:
        assert isinstance(line, dict)
        before = line["link"] = link_of(before, line)
    return tables


def rewound(tables: Mapping[str, Mapping[str, Row]], head: str) -> dict[str, dict[str, Row]] | None:
    """Tables as they stood when the newest line of the trail had this link; None if no line has it. Nothing on the
    desk is brought back, and no table of who the book is where it had none yet."""
    lines = in_order(tables.get("trail", {}))
    at = next((index for index, line in enumerate(lines) if line.get("link") == head), None)
    if at is None:
        return None
    then = {name: dict(rows) for name, rows in tables.items() if name not in DESK}
    later = lines[at + 1 :]
    for line in reversed(later):
        for was in line["was"]:
            if was.get("fields") is None:
                then.setdefault(was["table"], {}).pop(was["key"], None)
            else:
                then.setdefault(was["table"], {})[was["key"]] = was["fields"]
    gone = {line["number"] for line in later}
    then["trail"] = {key: line for key, line in then["trail"].items() if line["number"] not in gone}
    if not then.get("identity"):
        then.pop("identity", None)
    return then
