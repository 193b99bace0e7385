"""Whatever stands where a book or its copies lay: the newest whole copy of this book comes back, or the words say
what lies where. Another boat's book never counts."""

from __future__ import annotations

import errno
import os
import shutil
import stat
from collections.abc import Callable, Iterator
from itertools import combinations
from pathlib import Path

import pytest

from inspect_tui import digests
from inspect_tui.domain import edits
from inspect_tui.domain.book import Edit
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.words import Said
from inspect_tui.errors import NothingToRestore
from inspect_tui.store import recovery
from inspect_tui.store.backups import KEPT, back_up, backup_folder, copies_of, previous_file
from inspect_tui.store.book_file import BookFile, check_book, create_book, open_book
from inspect_tui.store.envelope import Envelope, encode, open_envelope
from tests.conftest import START, prompt_called

Make = Callable[..., BookFile]
PROMPTS = ("stem/dents", "stem/stem-weld")
UNREADABLE: set[Path] = set()


def truncated(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:700])


def zero(path: Path) -> None:
    path.write_bytes(b"\0" * 900)


def flipped(path: Path) -> None:
    data = path.read_bytes()
    path.write_bytes(data[:900] + bytes([data[900] ^ 4]) + data[901:])


def garbage(path: Path) -> None:
    path.write_bytes(b"\xff\xfegarbage" * 99)


def braces(path: Path) -> None:
    path.write_bytes(b"{}")


def folder(path: Path) -> None:
    path.unlink()
    path.mkdir()


def dangling(path: Path) -> None:
    path.unlink()
    path.symlink_to(path.with_name("nowhere"))


def pipe(path: Path) -> None:
    path.unlink()
    os.mkfifo(path)


def endless(path: Path) -> None:
    path.unlink()
    path.symlink_to("/dev/zero")


def unreadable(path: Path) -> None:
    UNREADABLE.add(path)


def strangers(path: Path) -> None:
    """A whole book of another boat, saved far more often."""
    envelope = open_envelope(path.read_bytes())
    tables = envelope.tables()
    tables["identity"]["1"]["book_id"] = "f" * 32
    tables["boat"]["1"]["name"] = "Fremde"
    path.write_bytes(Envelope(envelope.schema, 900_000, envelope.saved, encode(tables)).sealed())


def missing(path: Path) -> None:
    path.unlink()


DAMAGES = (truncated, zero, flipped, garbage, braces, folder, dangling, pipe, endless, unreadable, strangers, missing)


@pytest.fixture(autouse=True)
def _io_errors(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A disk that cannot read some files."""
    read = digests.read_regular

    def failing(path: Path, **said: int) -> bytes:
        if path in UNREADABLE:
            raise OSError(errno.EIO, os.strerror(errno.EIO), str(path))
        return read(path, **said)

    monkeypatch.setattr(recovery, "read_regular", failing)
    yield
    UNREADABLE.clear()


def walked(make_file: Make, checklists: Checklists) -> BookFile:
    opened = make_file()
    for key in PROMPTS:
        place, prompt = prompt_called(checklists, opened.book, key)
        opened.record(edits.say(opened.book, opened.stamp(), place, prompt, Said.SOUND))
    opened.close()
    return opened


def contents(folder_: Path) -> set[bytes]:
    """What lies in a folder, the lock left out."""
    plain = (one for one in folder_.rglob("*") if one.suffix != ".lock" and not one.is_symlink() and one.is_file())
    return {one.read_bytes() for one in plain}


def words_of(opened: BookFile) -> str:
    return opened.trouble.words if opened.trouble else ""


def test_every_pair_of_damages_brings_back_the_newest_whole_copy_of_this_book(
    make_file: Make, checklists: Checklists, tmp_path: Path
) -> None:
    made = walked(make_file, checklists)
    kept = {one.name: one for one in copies_of(made.path)}
    assert len(kept) == 3, "the save before, and the beginning of the session and of the day"
    answers = {
        made.path: 2,
        previous_file(made.path): 1,
        **{one: 0 for name, one in kept.items() if not name.endswith(".prev")},
    }
    whole = tmp_path / "whole"
    shutil.copytree(made.path.parent, whole)
    tried = 0
    for on in combinations(answers, 2):
        for first in DAMAGES:
            for second in DAMAGES:
                UNREADABLE.clear()
                work = tmp_path / f"try-{tried}"
                shutil.copytree(whole, work, symlinks=True)
                place = {one: work / one.relative_to(made.path.parent) for one in answers}
                first(place[on[0]])
                second(place[on[1]])
                hurt = {on[0]: first, on[1]: second}
                best = max((count for one, count in answers.items() if one not in hurt), default=None)
                assert best is not None
                before = contents(work)
                opened = open_book(place[made.path], made.clock, "x")
                if hurt.get(made.path) is strangers:
                    # It is whole, and says itself whose it is; what was here is kept from being written over.
                    assert opened.book.boat.name == "Fremde"
                else:
                    assert len(opened.book.answers) == best, (on, first, second)
                    assert opened.book.boat.name == "Sandmartin"
                    assert (opened.restored is None) == (made.path not in hurt)
                opened.close()
                assert before <= contents(work), (on, first, second)
                tried += 1
                shutil.rmtree(work)
    assert tried == 6 * len(DAMAGES) ** 2


def test_with_nothing_whole_of_this_book_the_words_say_what_lies_where(
    make_file: Make, checklists: Checklists
) -> None:
    made = walked(make_file, checklists)
    truncated(made.path)
    strangers(previous_file(made.path))
    for copy in copies_of(made.path)[1:]:
        zero(copy)
    with pytest.raises(NothingToRestore) as refused:
        open_book(made.path, made.clock, "x")
    told = str(refused.value)
    assert "Fremde, save 900000" in told
    assert ".prev" in told
    assert all(copy.name in told for copy in copies_of(made.path)[1:])


def test_another_boats_book_in_its_place_leaves_the_last_save_in_the_backups(
    make_file: Make, checklists: Checklists
) -> None:
    made = walked(make_file, checklists)
    before = previous_file(made.path).read_bytes()
    strangers(made.path)
    opened = open_book(made.path, made.clock, "x")
    opened.record(edits.change_boat(opened.book.boat.model_copy(update={"year_built": 1971})))
    others = list(backup_folder(made.path).glob("other-*"))
    assert [one.read_bytes() for one in others] == [before]


def test_without_a_lock_file_most_copies_decide_and_a_tie_decides_nothing(
    make_file: Make, checklists: Checklists
) -> None:
    made = walked(make_file, checklists)
    made.path.with_name(made.path.name + ".lock").unlink()
    garbage(made.path)
    strangers(previous_file(made.path))
    opened = open_book(made.path, made.clock, "x")
    assert opened.book.boat.name == "Sandmartin"
    assert opened.restored is not None
    assert "another boat's book, which was left out" in opened.restored.words(START)
    opened.close()
    made.path.with_name(made.path.name + ".lock").unlink()
    garbage(made.path)
    copies_of(made.path)[-1].unlink()
    with pytest.raises(NothingToRestore, match="Fremde"):
        open_book(made.path, made.clock, "x")


def test_copies_without_a_book_are_no_empty_form(make_file: Make, checklists: Checklists) -> None:
    made = walked(make_file, checklists)
    made.path.unlink()
    previous_file(made.path).unlink()
    with pytest.raises(FileExistsError, match="Copies of an earlier book"):
        create_book(made.path, Edit("", ()), made.clock, "x")
    opened = open_book(made.path, made.clock, "x")
    assert opened.restored is not None
    assert "the backup" in opened.restored.words(START)


@pytest.mark.parametrize("schema", [1, 2, 3])
def test_a_backup_of_an_older_schema_comes_back_and_is_known_as_this_boats(tmp_path: Path, schema: int) -> None:
    path = tmp_path / "frozen.hullbook"
    shutil.copy(Path(__file__).parent / "books" / f"schema-{schema}.hullbook", path)
    opened = open_book(path, lambda: START, "x")
    name = opened.book.boat.name
    opened.close()
    (backup,) = backup_folder(path).iterdir()
    for newer in (path, previous_file(path)):
        garbage(newer)
    back = open_book(path, lambda: START, "x")
    assert back.book.boat.name == name
    assert back.restored is not None
    assert backup.name in back.restored.words(START)
    assert "another boat" not in back.restored.words(START)


# --- a folder from a stranger ---------------------------------------------------------------------------------------


def test_a_link_for_the_backups_is_not_written_through(
    make_file: Make, checklists: Checklists, tmp_path: Path
) -> None:
    opened = make_file()
    owners = tmp_path / "owners"
    owners.mkdir()
    for number in range(30):
        (owners / f"session-{number}.txt").write_text("mine", encoding="utf-8")
        (owners / f"session-20250101-{number:06d}.hullbook").write_text("mine", encoding="utf-8")
    shutil.rmtree(backup_folder(opened.path), ignore_errors=True)
    backup_folder(opened.path).symlink_to(owners)
    place, prompt = prompt_called(checklists, opened.book, PROMPTS[0])
    opened.record(edits.say(opened.book, opened.stamp(), place, prompt, Said.SOUND))
    assert "no backup could be made" in (opened.backup_trouble or "")
    assert "link" in (opened.backup_trouble or "")
    assert opened.trouble is None, "the book itself is saved"
    assert len(list(owners.iterdir())) == 60


def test_only_names_of_ours_are_pruned(make_file: Make) -> None:
    opened = make_file()
    kept = backup_folder(opened.path)
    kept.mkdir(exist_ok=True)
    (kept / "session-letters.hullbook").write_text("mine", encoding="utf-8")
    (kept / "session-1.txt").write_text("mine", encoding="utf-8")
    data = opened.path.read_bytes()
    for second in range(25):
        back_up(opened.path, data, "session", f"20250101-{second:06d}")
    assert len(list(kept.glob("session-2*"))) == KEPT["session"]
    assert (kept / "session-letters.hullbook").exists()
    assert (kept / "session-1.txt").exists()


def test_a_dead_clock_loses_no_new_backup(make_file: Make) -> None:
    opened = make_file()
    envelope = open_envelope(opened.path.read_bytes())

    def saved(number: int) -> bytes:
        return Envelope(envelope.schema, number, envelope.saved, envelope.body).sealed()

    for number in range(12):
        back_up(opened.path, saved(100 + number), "session", f"202501{number + 1:02d}-000000")
    newest = back_up(opened.path, saved(200), "session", "19700101-000003")
    assert newest.exists()
    later = back_up(opened.path, saved(201), "session", "19700101-000009")
    assert newest.exists(), "the oldest by what they hold goes, not by the year of their names"
    assert later.exists()


def test_links_at_names_of_ours_are_never_written_through(
    make_file: Make, checklists: Checklists, tmp_path: Path
) -> None:
    opened = make_file()
    prize = tmp_path / "prize"
    prize.write_text("mine", encoding="utf-8")
    for name in (f".{opened.path.name}.{os.getpid()}.tmp", f"{opened.path.name}.prev"):
        opened.path.with_name(name).unlink(missing_ok=True)
        opened.path.with_name(name).symlink_to(prize)
    place, prompt = prompt_called(checklists, opened.book, PROMPTS[0])
    opened.record(edits.say(opened.book, opened.stamp(), place, prompt, Said.SOUND))
    opened.close()
    assert opened.trouble is None
    assert prize.read_text(encoding="utf-8") == "mine"
    lock = opened.path.with_name(opened.path.name + ".lock")
    lock.unlink()
    lock.symlink_to(prize)
    again = open_book(opened.path, opened.clock, "x")
    assert "a link is in its place" in (again.read_only or "")
    assert prize.read_text(encoding="utf-8") == "mine"


def test_copies_have_the_books_own_permissions(make_file: Make, checklists: Checklists) -> None:
    opened = make_file()
    opened.path.chmod(0o600)
    for key in PROMPTS:
        place, prompt = prompt_called(checklists, opened.book, key)
        opened.record(edits.say(opened.book, opened.stamp(), place, prompt, Said.SOUND))
    assert {stat.S_IMODE(one.stat().st_mode) for one in (opened.path, *copies_of(opened.path))} == {0o600}


# --- what a save says -----------------------------------------------------------------------------------------------


def test_a_save_before_that_cannot_be_kept_is_a_warning(make_file: Make, checklists: Checklists) -> None:
    opened = make_file()
    previous_file(opened.path).mkdir()
    (previous_file(opened.path) / "x").touch()
    place, prompt = prompt_called(checklists, opened.book, PROMPTS[0])
    opened.record(edits.say(opened.book, opened.stamp(), place, prompt, Said.SOUND))
    assert opened.trouble is None
    assert "no copy of the save before could be made" in (opened.backup_trouble or "")
    assert len(open_envelope(opened.path.read_bytes()).tables()["answers"]) == 1


def test_touched_is_not_changed_and_gone_is_not_changed_either(make_file: Make, checklists: Checklists) -> None:
    opened = make_file()
    place, prompt = prompt_called(checklists, opened.book, PROMPTS[0])
    os.utime(opened.path, (1, 1))
    data = opened.path.read_bytes()
    opened.path.unlink()
    opened.path.write_bytes(data)
    opened.record(edits.say(opened.book, opened.stamp(), place, prompt, Said.SOUND))
    assert not words_of(opened)
    opened.path.rename(opened.path.with_name("moved"))
    place, prompt = prompt_called(checklists, opened.book, PROMPTS[1])
    opened.record(edits.say(opened.book, opened.stamp(), place, prompt, Said.SOUND))
    assert "not there any more" in words_of(opened)
    assert not opened.path.exists()


def test_a_folder_that_cannot_be_synced_is_no_save_and_the_next_try_is_no_foreign_change(
    make_file: Make, checklists: Checklists, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened = make_file()
    place, prompt = prompt_called(checklists, opened.book, PROMPTS[0])
    sync = os.fsync

    def failing(descriptor: int) -> None:
        if stat.S_ISDIR(os.fstat(descriptor).st_mode):
            raise OSError(errno.EIO, "Input/output error")
        sync(descriptor)

    with monkeypatch.context() as broken:
        broken.setattr(os, "fsync", failing)
        opened.record(edits.say(opened.book, opened.stamp(), place, prompt, Said.SOUND))
        assert words_of(opened), "told as not saved"
    opened.save()
    assert not words_of(opened)
    assert len(open_envelope(opened.path.read_bytes()).tables()["answers"]) == 1


def test_killed_programs_leave_no_temporaries(make_file: Make, checklists: Checklists) -> None:
    made = walked(make_file, checklists)
    photos = made.path.with_name(f"{made.path.stem}-photos")
    photos.mkdir()
    ours = [
        made.path.with_name(f".{made.path.name}.4711.tmp"),
        made.path.with_name(f".{made.path.name}.prev.4711.tmp"),
        backup_folder(made.path) / ".save-00000020.hullbook.4711.tmp",
        photos / ".007-pump.jpg.4711.tmp",
    ]
    others = [made.path.with_name(f".{made.path.name}.tmp"), made.path.with_name(".letter.4711.tmp")]
    for one in (*ours, *others):
        one.write_bytes(b"half")
    open_book(made.path, made.clock, "x").close()
    assert [one for one in ours if one.exists()] == []
    assert all(one.exists() for one in others)


def test_checking_writes_nothing(make_file: Make, checklists: Checklists) -> None:
    made = walked(make_file, checklists)
    truncated(made.path)
    before = {one: one.stat().st_mtime_ns for one in made.path.parent.rglob("*")}
    whole, words = check_book(made.path, START)
    assert not whole
    assert "would restore" in words
    assert {one: one.stat().st_mtime_ns for one in made.path.parent.rglob("*")} == before
