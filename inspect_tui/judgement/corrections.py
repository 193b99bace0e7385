"""What papers that were handed out say, and the book says no more: readings taken out or changed, findings gone, made
less severe, or told in other words. Nothing of it is written down by itself: it follows from the trail."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

from pydantic import ValidationError

from inspect_tui.domain.book import ADAPTERS, Book, dump
from inspect_tui.domain.chain import rewound
from inspect_tui.domain.identity import Key
from inspect_tui.domain.measuring.readings import in_words
from inspect_tui.domain.plain import one_line
from inspect_tui.domain.records import Finding

What = Literal["removed", "changed", "made less severe", "reworded"]
Table = Literal["readings", "findings"]


@dataclass(frozen=True)
class Correction:
    """One thing that papers said and the book does not any more. `when` and `by`: of the line of the trail that last
    changed it; `papers`: when the first papers that say it were made."""

    what: What
    table: Table
    key: str
    before: str
    after: str
    when: datetime
    by: str
    papers: datetime
    where: str = ""

    @property
    def words(self) -> str:
        """In a sentence, without who and when."""
        called = f"finding {self.key}" if self.table == "findings" else f"reading {self.key} in {self.where}"
        became = f", now “{self.after}”" if self.after else ""
        return f"{called} {self.what}: “{self.before}”{became}"


def corrections(book: Book) -> tuple[Correction, ...]:
    """All of them, in the order of the papers."""
    if not book.papers:
        return ()
    tables = {name: {key: dump(row) for key, row in rows.items()} for name, rows in book.tables.items()}
    lines = sorted(book.trail.values(), key=lambda line: line.number)
    changed = {(was.table, was.key): line for line in lines for was in line.was}
    found: dict[tuple[What, Table, str], Correction] = {}
    for papers in sorted(book.papers.values(), key=lambda one: one.when):
        then = rewound(tables, papers.head)
        for what, table, key, before, after in _differences(then, book) if then else ():
            if line := changed.get((table, key)):
                place = book.compartments.get(str(then[table][key].get("compartment")) if then else "")
                where = one_line(place.name) if place else "a place that is not in the book any more"
                told = Correction(what, table, key, before, after, line.when, line.by, papers.when, where)
                found.setdefault((what, table, key), told)
    return tuple(found.values())


def _differences(
    then: Mapping[str, Mapping[str, Mapping[str, Any]]], book: Book
) -> Iterator[tuple[What, Table, str, str, str]]:
    for key, reading in _read(then, "readings"):
        now = book.readings.get(key)
        if now is None:
            yield "removed", "readings", key, in_words(reading), ""
        elif in_words(now) != in_words(reading):
            yield "changed", "readings", key, in_words(reading), in_words(now)
    was: Finding
    for key, was in _read(then, "findings"):
        finding = book.findings.get(key)
        if finding is None:
            yield "removed", "findings", key, was.words or was.kind, ""
            continue
        if finding.severity.rank > was.severity.rank:
            yield "made less severe", "findings", key, was.severity.value, finding.severity.value
        if (finding.words, finding.kind) != (was.words, was.kind):
            yield (
                "reworded",
                "findings",
                key,
                f"{was.kind}: {was.words}",
                f"{finding.kind}: {finding.words}",
            )


def _read(then: Mapping[str, Mapping[str, Mapping[str, Any]]], table: Table) -> Iterator[tuple[str, Any]]:
    """The records of a table as they were, by key; what cannot be read any more is passed over."""
    for key, row in sorted(then.get(table, {}).items(), key=lambda pair: Key.of(pair[0])):
        try:
            yield key, ADAPTERS[table].validate_python(row)
        except ValidationError:
            continue
