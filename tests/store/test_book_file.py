"""What the store promises: each change is on the disk before it is acknowledged, or says that it is not."""

from __future__ import annotations

import errno
import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tinydb import TinyDB

from inspect_tui.domain import edits
from inspect_tui.domain.book import Edit, Put, Stamp, dump
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.trail import Form
from inspect_tui.domain.undoing import undo
from inspect_tui.domain.words import Said
from inspect_tui.errors import CannotStore, ReadOnly
from inspect_tui.store import storage
from inspect_tui.store.backups import KEPT, backup_folder, previous_file
from inspect_tui.store.book_file import BookFile, check_book, create_book, open_book
from inspect_tui.store.envelope import Envelope, encode, open_envelope
from inspect_tui.store.migrations import SCHEMA
from tests.conftest import START, SteppingClock, new_book_edit, prompt_called, with_finding
from tests.judgement.invented import Invented

Make = Callable[..., BookFile]


def say(opened: BookFile, checklists: Checklists, note: str = "", key: str = "stem/dents") -> None:
    place, prompt = prompt_called(checklists, opened.book, key)
    opened.record(edits.say(opened.book, opened.stamp(), place, prompt, Said.SOUND, note=note))


def trouble(opened: BookFile) -> str:
    return opened.trouble.words if opened.trouble else ""


def again(opened: BookFile) -> BookFile:
    """The same file, as the next program finds it."""
    opened.close()
    return open_book(opened.path, opened.clock, "Mattis")


def test_what_was_recorded_is_there_for_the_next_program(make_file: Make, checklists: Checklists) -> None:
    opened = make_file()
    say(opened, checklists, "dry")
    assert again(opened).book.tables == opened.book.tables


def test_a_change_is_on_the_disk_when_record_returns(make_file: Make, checklists: Checklists) -> None:
    opened = make_file()
    say(opened, checklists, "now")
    seen = open_book(opened.path, opened.clock, "", write=False)
    assert seen.book.tables == opened.book.tables
    assert opened.trouble is None


def test_one_change_is_one_save_however_many_records_it_touches(make_file: Make, checklists: Checklists) -> None:
    opened = make_file()
    before = opened.sequence
    book = with_finding(opened.book, checklists, opened.stamp(), "stem/stem-weld")
    opened.record(Edit("both", (Put("findings", "1", book.findings["1"]), Put("answers", "x", None))))
    assert opened.sequence == before + 1


def test_the_previous_save_is_kept_beside_the_book(make_file: Make, checklists: Checklists) -> None:
    opened = make_file()
    say(opened, checklists, "first")
    first = opened.path.read_bytes()
    say(opened, checklists, "second")
    assert previous_file(opened.path).read_bytes() == first


def test_tinydb_reads_the_tables_of_a_book(make_file: Make, tmp_path: Path) -> None:
    """TinyDB is the engine: the tables inside the envelope are its own."""
    opened = make_file()
    plain = tmp_path / "plain.json"
    plain.write_text(json.dumps(open_envelope(opened.path.read_bytes()).tables()), encoding="utf-8")
    with TinyDB(plain, encoding="utf-8") as database:
        assert "boat" in database.tables()


@pytest.mark.parametrize(
    "text",
    [
        "[aft] tank",
        "[/",
        "4,7",
        '3/16"',
        "⚓🛠️",
        "x" * 10_000,
        "a\x00b",
        "שלום עליכם",
        "\u202eevil",
        "line\nline",
        "\x1b[31m",
    ],
)
def test_any_text_comes_back_unchanged(make_file: Make, checklists: Checklists, text: str) -> None:
    opened = make_file(name=text)
    say(opened, checklists, text)
    place = next(iter(opened.book.compartments.values()))
    opened.record(edits.change_compartment(place.model_copy(update={"name": text})))
    book = again(opened).book
    assert book.boat.name == text.strip()
    assert next(iter(book.answers.values())).note == text
    assert book.compartments[place.id].name == text


def test_fields_of_a_newer_program_are_kept(make_file: Make, checklists: Checklists) -> None:
    opened = make_file()
    book = with_finding(opened.book, checklists, opened.stamp(), "stem/dents")
    opened.record(Edit("x", (Put("findings", "1", book.findings["1"]),)))
    opened.close()
    envelope = open_envelope(opened.path.read_bytes())
    tables = envelope.tables()
    tables["findings"]["1"]["colour_of_rust"] = "red"
    opened.path.write_bytes(Envelope(SCHEMA, envelope.sequence, envelope.saved, encode(tables)).sealed())
    opened = open_book(opened.path, opened.clock, "x")
    moved = opened.book.findings["1"].model_copy(update={"words": "changed"})
    opened.record(edits.change_finding(moved))
    assert again(opened).book.findings["1"].model_dump()["colour_of_rust"] == "red"


def test_a_full_disk_keeps_the_old_file_and_the_change_and_is_tried_again(
    make_file: Make, checklists: Checklists, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened = make_file()
    old = opened.path.read_bytes()

    def full(*_: Any, **__: Any) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as broken:
        broken.setattr(storage, "replace_file", full)
        say(opened, checklists, "first")
        assert "No space left" in trouble(opened)
    assert opened.path.read_bytes() == old
    assert len(opened.book.answers) == 1
    say(opened, checklists, "second", key="stem/stem-weld")
    assert not trouble(opened)
    assert len(again(opened).book.answers) == 2


def test_a_file_size_limit_leaves_the_book_whole(make_file: Make, checklists: Checklists) -> None:
    """A real refusal by the system, in a program of its own."""
    opened = make_file()
    opened.close()
    size = opened.path.stat().st_size
    program = f"""
import resource, signal, sys
from pathlib import Path
sys.path.insert(0, {str(Path.cwd())!r})
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
from inspect_tui.clock import now
from inspect_tui.domain import edits
from inspect_tui.store.book_file import open_book
opened = open_book(Path({str(opened.path)!r}), now, "x")
resource.setrlimit(resource.RLIMIT_FSIZE, ({size + 100}, {size + 100}))
opened.record(edits.change_boat(opened.book.boat.model_copy(update={{"name": "x" * 5000}})))
print(opened.trouble.words)
"""
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True, timeout=60)
    assert "Not saved" in done.stdout
    assert open_book(opened.path, opened.clock, "x").book.boat.name == "Sandmartin"
    assert not list(opened.path.parent.glob(".*.tmp"))


def test_a_change_from_elsewhere_is_never_overwritten_unasked(make_file: Make, checklists: Checklists) -> None:
    opened = make_file()
    theirs = opened.path.read_bytes() + b"\n"
    opened.path.write_bytes(theirs)
    say(opened, checklists, "mine")
    assert "Another program" in trouble(opened)
    assert opened.trouble
    assert opened.trouble.changed_elsewhere
    assert opened.path.read_bytes() == theirs
    opened.save_over_other()
    assert not trouble(opened)
    assert [copy.read_bytes() for copy in backup_folder(opened.path).glob("other-*")] == [theirs]
    assert len(again(opened).book.answers) == 1


def test_a_copy_elsewhere_holds_unsaved_changes_too(make_file: Make, checklists: Checklists, tmp_path: Path) -> None:
    opened = make_file()
    opened.path.write_bytes(opened.path.read_bytes() + b"\n")
    say(opened, checklists, "mine")
    copy = opened.save_copy(tmp_path / "copy.hullbook")
    assert len(open_book(copy, opened.clock, "x").book.answers) == 1
    with pytest.raises(FileExistsError):
        opened.save_copy(copy)


def test_a_copy_knows_what_was_taken_out_and_not_saved_yet(
    make_file: Make, checklists: Checklists, tmp_path: Path
) -> None:
    opened = make_file()
    say(opened, checklists, "mine")
    opened.path.write_bytes(opened.path.read_bytes() + b"\n")
    opened.record(undo(opened.book))
    assert opened.trouble
    copy = opened.save_copy(tmp_path / "copy.hullbook")
    copied = open_book(copy, opened.clock, "x").book
    assert copied.answers == {}
    assert copied.unreadable == ()


@pytest.mark.parametrize("seed", range(4))
def test_an_invented_book_comes_back_from_its_file_as_it_was(
    tmp_path: Path, make_file: Make, checklists: Checklists, seed: int
) -> None:
    book = Invented(seed, checklists).book
    tables = {name: {key: dump(row) for key, row in rows.items()} for name, rows in book.tables.items()}
    path = tmp_path / "tern.hullbook"
    path.write_bytes(Envelope(SCHEMA, 7, "2025-11-15T09:00:00+01:00", encode(tables)).sealed())
    opened = open_book(path, SteppingClock(), "x")
    assert opened.book.tables == book.tables
    assert opened.book.unreadable == ()
    assert opened.sequence == 7
    whole, words = check_book(path, START)
    assert whole, words


def test_a_failed_table_update_leaves_nothing_half_done(make_file: Make) -> None:
    opened = make_file()
    records = opened._database.records("answers")

    def half() -> None:
        with opened._storage.together():
            records.put("k", {"half": 1})
            raise RuntimeError

    with pytest.raises(RuntimeError):
        half()
    assert opened._storage.read()["answers"] == {}


def test_links_and_modes_are_respected(make_file: Make, checklists: Checklists, tmp_path: Path) -> None:
    opened = make_file()
    opened.close()
    opened.path.chmod(0o600)
    link = tmp_path / "link.hullbook"
    link.symlink_to(opened.path)
    through = open_book(link, opened.clock, "x")
    say(through, checklists)
    assert link.is_symlink()
    assert opened.path.stat().st_mode & 0o777 == 0o600
    assert len(open_book(opened.path, opened.clock, "", write=False).book.answers) == 1


def test_a_folder_that_cannot_be_written_opens_read_only(
    make_file: Make, checklists: Checklists, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened = make_file()
    opened.close()
    monkeypatch.setattr(os, "access", lambda *_: False)
    seen = open_book(opened.path, opened.clock, "x")
    assert seen.read_only is not None
    assert "write-protected" in seen.read_only
    with pytest.raises(ReadOnly):
        say(seen, checklists)


def test_backups_are_true_copies_and_old_ones_go(make_file: Make, checklists: Checklists) -> None:
    opened = make_file()
    for number in range(20 * 12):
        say(opened, checklists, str(number))
    saves = sorted(backup_folder(opened.path).glob("save-*"))
    assert len(saves) == KEPT["save"]
    assert all(copy.stat().st_nlink == 1 for copy in saves)
    assert open_envelope(saves[-1].read_bytes()).sequence == 241
    assert list(backup_folder(opened.path).glob("day-2025-11-15*"))
    assert list(backup_folder(opened.path).glob("session-*"))


def test_a_book_is_not_started_over_an_existing_file(
    tmp_path: Path, checklists: Checklists, clock: SteppingClock
) -> None:
    path = tmp_path / "there.hullbook"
    path.write_text("precious", encoding="utf-8")
    with pytest.raises(FileExistsError):
        create_book(path, new_book_edit(checklists, Stamp(START, "x")), clock, "x")
    assert path.read_text(encoding="utf-8") == "precious"


def test_leftovers_of_killed_programs_are_cleared(make_file: Make) -> None:
    opened = make_file()
    left = opened.path.with_name(f".{opened.path.name}.99999.tmp")
    left.write_bytes(b"half")
    again(opened)
    assert not left.exists()


def test_after_keeping_ours_over_anothers_recovery_knows_which_is_newer(
    make_file: Make, checklists: Checklists
) -> None:
    opened = make_file()
    theirs = open_envelope(opened.path.read_bytes())
    opened.path.write_bytes(Envelope(1, 500, theirs.saved, theirs.body).sealed())
    say(opened, checklists, "mine")
    opened.save_over_other()
    say(opened, checklists, "mine too", key="stem/stem-weld")
    opened.close()
    opened.path.write_bytes(b"")
    assert len(open_book(opened.path, opened.clock, "x").book.answers) == 1, (
        "the save before the last, not the other's"
    )


def test_a_new_book_does_not_adopt_the_copies_of_an_old_one(make_file: Make, checklists: Checklists) -> None:
    opened = make_file()
    say(opened, checklists)
    opened.close()
    opened.path.unlink()
    with pytest.raises(FileExistsError, match="earlier book"):
        make_file()


def test_text_that_cannot_be_stored_is_refused_and_saving_goes_on(make_file: Make, checklists: Checklists) -> None:
    opened = make_file()
    opened.by = "\udcff"
    with pytest.raises((CannotStore, ValueError)):
        say(opened, checklists, "x")
    opened.by = "Mattis"
    say(opened, checklists, "y")
    assert not trouble(opened)
    assert len(again(opened).book.answers) == 1


def test_a_backup_that_fails_does_not_count_as_a_failed_save(make_file: Make, checklists: Checklists) -> None:
    opened = make_file()
    opened.close()
    backup_folder(opened.path).write_text("in the way", encoding="utf-8")
    opened = open_book(opened.path, opened.clock, "x")
    assert opened.read_only is None
    for number in range(25):
        say(opened, checklists, str(number))
    assert not trouble(opened)
    assert "no backup" in (opened.backup_trouble or "")


def test_drafts_do_not_push_the_previous_save_out(make_file: Make, checklists: Checklists) -> None:
    opened = make_file()
    say(opened, checklists, "first")
    say(opened, checklists, "second")
    kept = previous_file(opened.path).read_bytes()
    for number in range(30):
        draft = edits.keep_draft(opened.stamp(), Form("tank"), {"words": "x" * number})
        opened.record(Edit("", (draft,)))
    assert previous_file(opened.path).read_bytes() == kept
    assert not list(backup_folder(opened.path).glob("save-*"))


def test_the_saved_bytes_are_those_of_the_tables_however_they_were_cached(
    make_file: Make, checklists: Checklists
) -> None:
    opened = make_file()
    for number in range(5):
        say(opened, checklists, str(number), key=("stem/dents", "stem/stem-weld")[number % 2])
        body = open_envelope(opened.path.read_bytes()).body
        assert body == encode(open_envelope(opened.path.read_bytes()).tables())


def test_a_trail_line_is_never_written_over(make_file: Make, checklists: Checklists) -> None:
    opened = make_file()
    for number in range(3):
        say(opened, checklists, str(number))
    opened.close()
    envelope = open_envelope(opened.path.read_bytes())
    tables = envelope.tables()
    tables["trail"]["2-demo"] = {"number": "two"}
    opened.path.write_bytes(Envelope(SCHEMA, envelope.sequence + 1, envelope.saved, encode(tables)).sealed())
    back = open_book(opened.path, opened.clock, "x")
    last = back.book.trail["4-demo"]
    say(back, checklists, "after")
    assert back.book.trail["4-demo"] == last
    assert "5-demo" in back.book.trail
