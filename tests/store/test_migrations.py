"""Books of every schema that was ever written open today; rows that cannot be read are kept."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from inspect_tui.domain import edits
from inspect_tui.domain.chain import mismatches
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.words import Said
from inspect_tui.errors import NotABook
from inspect_tui.store.backups import backup_folder
from inspect_tui.store.book_file import BookFile, check_book, open_book
from inspect_tui.store.envelope import Envelope, Tables, encode, open_envelope
from inspect_tui.store.migrations import MIGRATIONS, SCHEMA, Moment
from inspect_tui.store.structure import UNREADABLE
from tests.conftest import START, SteppingClock, prompt_called

BOOKS = Path(__file__).parent / "books"
Make = Callable[..., BookFile]


@pytest.mark.parametrize("frozen", sorted(BOOKS.glob("schema-*.hullbook")), ids=lambda path: path.stem)
def test_every_frozen_book_opens_and_can_be_written(
    tmp_path: Path, frozen: Path, clock: SteppingClock, checklists: Checklists
) -> None:
    """These files never change: each is a book as that schema's first program wrote it."""
    copy = tmp_path / frozen.name
    shutil.copy(frozen, copy)
    opened = open_book(copy, clock, "Mattis")
    book = opened.book
    assert book.unreadable == ()
    assert opened.restored is None
    assert book.boat.name == "Frozen [aft"
    assert {finding.chalk for finding in book.findings.values()} == {1, 2}
    assert {reading.kind for reading in book.readings.values()} == {"pits", "thickness", "potential"}
    assert book.findings["2"].override is not None
    assert len(book.trail) == max(change.number for change in book.trail.values())
    place, prompt = prompt_called(checklists, book, "stem/dents")
    opened.record(edits.say(book, opened.stamp(), place, prompt, Said.NOT_FITTED))
    opened.close()
    assert open_book(copy, clock, "Mattis").book.tables == opened.book.tables


def test_there_is_a_frozen_book_of_every_schema_and_a_migration_between_them() -> None:
    assert {path.stem for path in BOOKS.glob("schema-*.hullbook")} == {f"schema-{n}" for n in range(1, SCHEMA + 1)}
    assert set(MIGRATIONS) == set(range(1, SCHEMA))


def rename_words(tables: Tables, _: Moment) -> Tables:
    """A made-up migration: what `words` was becomes `said`."""
    for finding in tables["findings"].values():
        finding["said"] = finding.pop("words", "")
        finding["words"] = finding["said"].upper()
    return tables


NEXT = {**MIGRATIONS, SCHEMA: rename_words}


def test_a_book_from_before_the_chain_gets_one_that_holds(tmp_path: Path, clock: SteppingClock) -> None:
    copy = tmp_path / "old.hullbook"
    shutil.copy(BOOKS / "schema-1.hullbook", copy)
    opened = open_book(copy, clock, "x")
    assert all(line.link for line in opened.book.trail.values())
    assert mismatches(open_envelope(copy.read_bytes()).tables()) == []
    opened.close()


def test_a_migration_backs_up_first_and_writes_once(tmp_path: Path, clock: SteppingClock) -> None:
    copy = tmp_path / "old.hullbook"
    shutil.copy(BOOKS / "schema-1.hullbook", copy)
    old = copy.read_bytes()
    opened = open_book(copy, clock, "x", migrations=NEXT, schema=SCHEMA + 1)
    assert opened.book.findings["1"].words == "ROW OF PITS"
    kept = list(backup_folder(copy).glob("schema-1-*"))
    assert [one.read_bytes() for one in kept] == [open_envelope(old).sealed()]
    now = open_envelope(copy.read_bytes())
    assert (now.schema, now.sequence) == (SCHEMA + 1, open_envelope(old).sequence + 1)
    opened.close()
    older = open_book(copy, clock, "x")
    assert older.read_only is not None
    assert "newer" in older.read_only


def test_read_only_a_migration_happens_in_memory_alone(tmp_path: Path, clock: SteppingClock) -> None:
    copy = tmp_path / "old.hullbook"
    shutil.copy(BOOKS / "schema-1.hullbook", copy)
    old = copy.read_bytes()
    opened = open_book(copy, clock, "x", migrations=NEXT, schema=SCHEMA + 1, write=False)
    assert opened.book.findings["1"].words == "ROW OF PITS"
    assert copy.read_bytes() == old


def spoil(path: Path, change: Callable[[Tables], None]) -> None:
    """Change the tables of a book behind the program's back, with a checksum that fits."""
    envelope = open_envelope(path.read_bytes())
    tables = envelope.tables()
    change(tables)
    sealed = Envelope(envelope.schema, envelope.sequence + 1, envelope.saved, encode(tables)).sealed()
    path.write_bytes(sealed)


def test_a_row_that_cannot_be_read_is_set_aside_shown_and_kept(make_file: Make, checklists: Checklists) -> None:
    opened = make_file()
    for key in ("stem/dents", "stem/stem-weld"):
        place, prompt = prompt_called(checklists, opened.book, key)
        opened.record(edits.say(opened.book, opened.stamp(), place, prompt, Said.SOUND))
    opened.close()
    raw = {"chalk": "seven", "words": "precious"}
    spoil(opened.path, lambda tables: tables["findings"].update({"7": raw}))
    whole, words = check_book(opened.path, START)
    assert not whole
    assert "kept as they are" in words
    back = open_book(opened.path, opened.clock, "Mattis")
    assert [(row.table, row.key, row.raw) for row in back.book.unreadable] == [("findings", "7", raw)]
    assert "chalk" in back.book.unreadable[0].why
    assert len(back.book.answers) == 2
    assert back.book.next_number("findings") == 8, "its number is not given to another"
    back.close()
    tables = json.loads(back.path.read_bytes())["tables"]
    assert [row["raw"] for row in tables[UNREADABLE].values()] == [raw]
    later = open_book(opened.path, opened.clock, "Mattis")
    assert len(later.book.unreadable) == 1, "it is still shown the next time"


def test_a_book_without_its_boat_is_refused_and_left(make_file: Make) -> None:
    opened = make_file()
    opened.close()
    spoil(opened.path, lambda tables: tables["boat"].clear())
    data = opened.path.read_bytes()
    with pytest.raises(NotABook, match="boat"):
        open_book(opened.path, opened.clock, "x")
    assert opened.path.read_bytes() == data
