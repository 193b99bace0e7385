"""Books that are whole by their checksum and broken in what they hold: what cannot be read is set aside and told, the
rest is there, and nothing makes the program fail."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.errors import StoreError
from inspect_tui.judgement.judged import Judged
from inspect_tui.store.book_file import BookFile, open_book
from inspect_tui.store.envelope import Envelope, open_envelope
from tests.faults import books

Tables = dict[str, Any]
DEMO = Path(__file__).parents[2] / "demo" / "sandmartin.hullbook"


def opened_with(tmp_path: Path, change: Callable[[Tables], object]) -> BookFile:
    tables = open_envelope(DEMO.read_bytes()).tables()
    change(tables)
    path = tmp_path / "book.hullbook"
    path.write_bytes(books.sealed(tables))
    return open_book(path, lambda: books.NOW, "x")


def put(table: str, key: str, **fields: Any) -> Callable[[Tables], object]:
    return lambda tables: tables[table][key].update(fields)


SET_ASIDE: dict[str, tuple[Callable[[Tables], object], str, str]] = {
    "half a sign": (put("findings", "4", words="\ud800 dent"), "findings", "characters that cannot be stored"),
    "half a sign in a field that nobody knows": (put("findings", "4", x={"y": ["\udfff"]}), "findings", "characters"),
    "nested deep": (put("findings", "4", x=books._deeply(300)), "findings", "nested"),
    "a table as a list": (lambda tables: tables.update(parts=[1, 2]), "parts", "not a table"),
    "a row as a list": (lambda tables: tables["findings"].update({"4": [1]}), "findings", "not a record"),
    "key and number differ": (
        lambda tables: tables["findings"].update({"444": tables["findings"].pop("4")}), "findings", "not its own",
    ),
    "key and id differ": (
        lambda tables: tables["photos"].update({"i999": next(iter(tables["photos"].values()))}), "photos", "its own",
    ),
    "a second boat": (lambda tables: tables["boat"].update({"2": tables["boat"]["1"]}), "boat", "not its own"),
    "a compartment that is not there": (put("findings", "4", compartment="c999"), "findings", "c999"),
    "a finding that is not there": (
        lambda tables: next(iter(tables["readings"].values())).update(finding=999), "readings", "finding 999",
    ),
    "a plate that is not there": (
        lambda tables: next(iter(tables["readings"].values())).update(plate_field="p99"), "readings", "plate field",
    ),
    "a crack longer than any boat": (put("findings", "4", extent_length_mm=1e300), "findings", "extent_length_mm"),
    "a number beyond all numbers": (put("findings", "4", chalk=10**40), "findings", "chalk"),
}  # fmt: skip


@pytest.mark.parametrize("name", SET_ASIDE)
def test_what_no_model_accepts_is_set_aside_and_said(tmp_path: Path, checklists: Checklists, name: str) -> None:
    change, table, why = SET_ASIDE[name]
    before = open_envelope(DEMO.read_bytes()).tables()
    opened = opened_with(tmp_path, change)
    told = [row for row in opened.book.unreadable if row.table == table]
    assert told, "it is said"
    assert why in told[0].why
    assert opened.book.boat.name == "Sandmartin"
    assert Judged(opened.book, checklists, books.NOW).worklist.jobs
    kept = open_envelope(opened.path.read_bytes()).tables()
    assert len(kept["unreadable"]) == len(opened.book.unreadable)
    rows_before = sum(len(rows) for rows in before.values())
    assert sum(len(rows) for rows in kept.values() if isinstance(rows, dict)) >= rows_before - 2 * (
        name == "a table as a list"
    )
    opened.close()
    again = open_book(opened.path, lambda: books.NOW, "x").book.unreadable
    assert {(one.table, one.key, one.why) for one in again} == {
        (one.table, one.key, one.why) for one in opened.book.unreadable
    }
    whole = opened.path.with_name("book.hullbook.backups")
    assert list(whole.glob("schema-*")), "and the file as it came is in the backups"


REFUSED: dict[str, Callable[[], bytes]] = {
    "no number": lambda: _with_body(b'{"boat":{"1":{"x":NaN}}}'),
    "a number of 5,000 digits": lambda: _with_body(b'{"boat":{"1":{"x":' + b"9" * 5000 + b"}}}"),
    "100,000 deep": lambda: _with_body(b'{"boat":' + b"[" * 100_000 + b"]" * 100_000 + b"}"),
    "a list of tables": lambda: _with_body(b"[]"),
    "schema 0": lambda: books.sealed(open_envelope(DEMO.read_bytes()).tables(), 0),
    "no boat": lambda: books.sealed({**open_envelope(DEMO.read_bytes()).tables(), "boat": {}}),
    "a boat of 1e300 m": lambda: _with_boat(hull_length_m=1e300),
    "frames a hair apart": lambda: _with_boat(datum={"frame_spacing_mm": 1e-300}),
}


def _with_boat(**fields: Any) -> bytes:
    tables = open_envelope(DEMO.read_bytes()).tables()
    tables["boat"]["1"].update(fields)
    return books.sealed(tables)


def _with_body(body: bytes) -> bytes:
    return Envelope(4, 7, "2025-11-19T12:00:00+00:00", body).sealed()


@pytest.mark.parametrize("name", REFUSED)
def test_a_book_without_a_boat_to_show_is_refused_in_a_sentence_and_left_as_it_is(tmp_path: Path, name: str) -> None:
    path = tmp_path / "book.hullbook"
    data = REFUSED[name]()
    path.write_bytes(data)
    with pytest.raises(StoreError) as refused:
        open_book(path, lambda: books.NOW, "x")
    told = str(refused.value)
    assert told[0].isupper()
    assert told.endswith(".")
    assert "Error" not in told
    assert path.read_bytes() == data


def test_a_row_of_the_set_aside_that_says_nothing_is_read(tmp_path: Path) -> None:
    opened = opened_with(tmp_path, lambda tables: tables.update(unreadable={"x": {}}))
    assert len(opened.book.unreadable) == 1


def test_json_of_the_demo_is_what_the_book_holds() -> None:
    """The bench's own writer changes nothing but what it was told to."""
    tables = open_envelope(DEMO.read_bytes()).tables()
    assert json.loads(open_envelope(books.sealed(tables)).body) == tables
