"""The program as it runs for people: killed, ended and cut off in the middle."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from inspect_tui.clock import now
from inspect_tui.domain.words import Said
from inspect_tui.store.book_file import open_book
from tests.terminal.terminal import Terminal

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="needs a pty")

END_WITHIN_S = 6.0


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return tmp_path / "tern.hullbook"


@pytest.fixture
def terminals(tmp_path: Path) -> Iterator[list[Terminal]]:
    opened: list[Terminal] = []
    yield opened
    for terminal in opened:
        terminal.close()


def run(terminals: list[Terminal], tmp_path: Path, *words: str) -> Terminal:
    terminal = Terminal(*words, home=tmp_path)
    terminals.append(terminal)
    return terminal


def start(terminals: list[Terminal], tmp_path: Path, book: Path) -> Terminal:
    """A new book and its first two answers."""
    terminal = run(terminals, tmp_path, str(book))
    terminal.wait_for("A new book")
    terminal.press("Tern\r\rs\ra\r9,5\rh\r\r\r")
    terminal.wait_for("Enter starts the book")
    terminal.press("\r")
    terminal.wait_for("1 of")
    terminal.press("ss")
    terminal.wait_for("3 of")
    return terminal


def test_a_killed_program_loses_no_answer_and_no_half_typed_note(
    terminals: list[Terminal], tmp_path: Path, book: Path
) -> None:
    terminal = start(terminals, tmp_path, book)
    terminal.press("f")
    terminal.wait_for("write 1 on a tag")
    # Without a pause that a timer could wait for; what was typed a second ago is on the disk.
    terminal.press("half a sentence about ru", pause=0.12)
    terminal.press(" " * 9, pause=0.12)
    terminal.kill()
    assert os.WIFSIGNALED(terminal.wait_for_end(5))
    seen = open_book(book, now, "", write=False)
    assert [answer.said for answer in seen.book.answers.values()] == [Said.SOUND, Said.SOUND]
    again = run(terminals, tmp_path, str(book))
    again.wait_for("question 3 of")
    again.wait_for("1 half-written form")
    again.press("\r")
    again.wait_for("3 of")
    again.press("f")
    again.wait_for("half a sentence about ru")
    again.press("\x13")  # Ctrl+S keeps it
    again.wait_for("finding 1")
    again.press("\x1bq", pause=0.5)
    assert os.waitstatus_to_exitcode(again.wait_for_end(END_WITHIN_S)) == 0
    assert open_book(book, now, "", write=False).book.findings["1"].words == "half a sentence about ru"


def test_keys_that_come_in_one_go_are_taken_in_their_order(
    terminals: list[Terminal], tmp_path: Path, book: Path
) -> None:
    terminal = start(terminals, tmp_path, book)
    terminal.press("f")
    terminal.wait_for("write 1 on a tag")
    for keys in ("abd\x7fc", "\x1b[D\x1b[DB", "\x1b[H\x1b[3~A", "\x1b[F\x7fC"):
        os.write(terminal.master, keys.encode())
        terminal.read(0.3)
    terminal.press("\x13")  # Ctrl+S keeps it
    terminal.wait_for("finding 1")
    assert open_book(book, now, "", write=False).book.findings["1"].words == "ABbC"


def test_escape_and_a_letter_in_one_go_are_two_keys(terminals: list[Terminal], tmp_path: Path, book: Path) -> None:
    """A terminal sends the same for Alt and the letter."""
    terminal = start(terminals, tmp_path, book)
    os.write(terminal.master, b"\x1bw")
    terminal.wait_for("still to look at")
    os.write(terminal.master, b"\x1bW")  # back on the boat; the capital is a key of its own, and no worklist
    terminal.wait_for("carries on")


@pytest.mark.parametrize("how", ["SIGTERM", "SIGHUP", "SIGINT", "SIGQUIT", "line dropped"])
def test_an_ended_program_saves_everything_and_is_gone(
    terminals: list[Terminal], tmp_path: Path, book: Path, how: str
) -> None:
    terminal = start(terminals, tmp_path, book)
    terminal.press("f")
    terminal.wait_for("write 1 on a tag")
    terminal.press("just typed", pause=0.02)
    terminal.wait_for("just typed")
    if how == "line dropped":
        terminal.hang_up()
    else:
        terminal.kill(signal.Signals[how])
    terminal.wait_for_end(END_WITHIN_S)
    opened = open_book(book, now, "next")
    assert opened.read_only is None, "the lock is free"
    assert len(opened.book.answers) == 2
    assert [draft.fields["words"] for draft in opened.book.drafts.values()] == ["just typed"]
    opened.close()


def test_the_second_program_says_who_holds_the_book(terminals: list[Terminal], tmp_path: Path, book: Path) -> None:
    first = start(terminals, tmp_path, book)
    second = run(terminals, tmp_path, str(book))
    second.wait_for("READ ONLY")
    second.wait_for(f"process {first.pid}")
    second.press("\r")
    second.press("s")
    second.press("\x1bq", pause=0.5)
    second.wait_for_end(END_WITHIN_S)
    assert len(open_book(book, now, "", write=False).book.answers) == 2


def test_the_demo_opens_and_leaves_nothing_behind(
    terminals: list[Terminal], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    terminal = run(terminals, tmp_path, "demo")
    terminal.wait_for("Sandmartin")
    terminal.wait_for("Enter carries on from there")
    terminal.press("q")
    assert os.waitstatus_to_exitcode(terminal.wait_for_end(END_WITHIN_S)) == 0
    assert not list(tmp_path.glob("inspect-tui-demo-*"))


@pytest.mark.parametrize("how", ["SIGTERM", "SIGINT", "SIGQUIT", "SIGHUP", "quit"])
def test_what_cannot_be_saved_goes_into_a_copy_and_the_end_is_no_success(
    terminals: list[Terminal], tmp_path: Path, how: str
) -> None:
    folder = tmp_path / "stick"
    folder.mkdir()
    terminal = start(terminals, tmp_path, folder / "tern.hullbook")
    # The stick is pulled out.
    folder.rename(tmp_path / "pulled")
    terminal.press("s")
    terminal.wait_for("is not there any more")
    if how == "quit":
        terminal.press("\x11", pause=0.5)
        terminal.wait_for("after saving a copy elsewhere")
        terminal.press("l")
    else:
        terminal.kill(signal.Signals[how])
    assert os.waitstatus_to_exitcode(terminal.wait_for_end(END_WITHIN_S)) == 1
    (copy,) = tmp_path.glob("tern-rescued-*.hullbook")
    assert len(open_book(copy, now, "", write=False).book.answers) == 3
    assert copy.name in terminal.text.replace("\r\n", "")
