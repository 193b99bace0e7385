"""Two programs at one book."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from inspect_tui.domain import edits
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.words import Said
from inspect_tui.errors import ReadOnly
from inspect_tui.store.book_file import BookFile, open_book
from tests.conftest import prompt_called

Make = Callable[..., BookFile]

HOLD = """
import sys, time
from pathlib import Path
sys.path.insert(0, {root!r})
from inspect_tui.clock import now
from inspect_tui.store.book_file import open_book
opened = open_book(Path({path!r}), now, "Liv")
print("open" if opened.read_only is None else opened.read_only, flush=True)
time.sleep(60)
"""


def hold(path: Path) -> subprocess.Popen[str]:
    program = HOLD.format(root=str(Path.cwd()), path=str(path))
    other = subprocess.Popen([sys.executable, "-c", program], stdout=subprocess.PIPE, text=True)
    assert other.stdout is not None
    assert other.stdout.readline().strip() == "open"
    return other


def end(other: subprocess.Popen[str]) -> None:
    other.kill()
    other.wait()
    if other.stdout:
        other.stdout.close()


def test_the_second_program_reads_and_says_who_writes(make_file: Make, checklists: Checklists) -> None:
    first = make_file()
    first.close()
    other = hold(first.path)
    try:
        second = open_book(first.path, first.clock, "Mattis")
        assert second.read_only is not None
        assert "Liv has had it open" in second.read_only
        assert str(other.pid) in second.read_only
        place, prompt = prompt_called(checklists, second.book, "stem/dents")
        with pytest.raises(ReadOnly):
            second.record(edits.say(second.book, second.stamp(), place, prompt, Said.SOUND))
    finally:
        end(other)


def test_the_lock_vanishes_with_a_killed_program(make_file: Make) -> None:
    first = make_file()
    first.close()
    end(hold(first.path))
    second = open_book(first.path, first.clock, "Mattis")
    assert second.read_only is None


def test_reading_anew_shows_what_the_writer_has_done(make_file: Make, checklists: Checklists) -> None:
    writer = make_file()
    reader = open_book(writer.path, writer.clock, "", write=False)
    place, prompt = prompt_called(checklists, writer.book, "stem/dents")
    writer.record(edits.say(writer.book, writer.stamp(), place, prompt, Said.SOUND))
    assert reader.book.answers == {}
    reader.reload()
    assert len(reader.book.answers) == 1


def test_opening_to_read_changes_no_file(make_file: Make) -> None:
    writer = make_file()
    writer.close()
    before = {path: path.read_bytes() for path in writer.path.parent.rglob("*") if path.is_file()}
    open_book(writer.path, writer.clock, "", write=False)
    assert {path: path.read_bytes() for path in writer.path.parent.rglob("*") if path.is_file()} == before
