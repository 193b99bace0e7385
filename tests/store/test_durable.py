"""What is told to be saved is on the disk; and of several copies the newest comes back, whatever its name and age."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable
from pathlib import Path

import pytest

from inspect_tui.domain import edits
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.words import Said
from inspect_tui.store.backups import backup_folder, previous_file
from inspect_tui.store.book_file import BookFile, open_book
from inspect_tui.store.envelope import Envelope, open_envelope
from inspect_tui.store.recovery import read_book
from tests.conftest import prompt_called

Make = Callable[..., BookFile]


def test_the_bytes_then_the_name_are_on_the_disk_before_a_save_is_told(
    make_file: Make, checklists: Checklists, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened = make_file()
    done: list[str] = []
    sync, replace = os.fsync, Path.replace

    def synced(descriptor: int) -> None:
        done.append("folder" if stat.S_ISDIR(os.fstat(descriptor).st_mode) else "bytes")
        sync(descriptor)

    def replaced(path: Path, target: Path) -> Path:
        if target == opened.path:
            done.append("name")
        return replace(path, target)

    monkeypatch.setattr(os, "fsync", synced)
    monkeypatch.setattr(Path, "replace", replaced)
    # The first save of a session makes a backup too.
    for key in ("stem/stem-weld", "stem/dents"):
        done.clear()
        place, prompt = prompt_called(checklists, opened.book, key)
        opened.record(edits.say(opened.book, opened.stamp(), place, prompt, Said.SOUND))
    assert done == ["bytes", "name", "folder"]


@pytest.mark.parametrize("newest", [0, 1, 2])
def test_the_copy_that_was_saved_last_comes_back_whatever_it_is_called(
    make_file: Make, checklists: Checklists, newest: int
) -> None:
    opened = make_file()
    opened.close()
    envelope = open_envelope(opened.path.read_bytes())
    folder = backup_folder(opened.path)
    folder.mkdir(exist_ok=True)
    for old in folder.iterdir():
        old.unlink()
    copies = [
        previous_file(opened.path),
        folder / "session-20251101-120000.hullbook",
        folder / "day-2025-12-01.hullbook",
    ]
    for number, copy in enumerate(copies):
        sequence = 40 if number == newest else 10 + number
        copy.write_bytes(Envelope(envelope.schema, sequence, envelope.saved, envelope.body).sealed())
    opened.path.write_bytes(b"")
    found, restored = read_book(opened.path)
    assert restored is not None
    assert (found.sequence, restored.sequence, restored.source) == (40, 40, copies[newest])
    assert open_book(opened.path, opened.clock, "x").book.boat.name == "Sandmartin"


@pytest.mark.skipif(not Path("/proc/self/fd").exists(), reason="only there open files can be counted")
def test_saving_leaves_no_file_open(make_file: Make, checklists: Checklists) -> None:
    opened = make_file()
    before = len(os.listdir("/proc/self/fd"))  # noqa: PTH208 - a folder of the system
    for key in ("stem/stem-weld", "stem/dents"):
        place, prompt = prompt_called(checklists, opened.book, key)
        opened.record(edits.say(opened.book, opened.stamp(), place, prompt, Said.SOUND))
    assert len(os.listdir("/proc/self/fd")) == before  # noqa: PTH208
