"""Names that no file has, homes that nobody has, disks that are full: each is answered in a sentence."""

from __future__ import annotations

import errno
import os
import shutil
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest
from click.testing import CliRunner

from inspect_tui import files, launch
from inspect_tui.cli import main
from inspect_tui.commands import say, warn
from inspect_tui.domain.records import Photo
from inspect_tui.files import book_place, expanded, is_folder, is_there, keep_previous, replace_file
from inspect_tui.handover.moving import UNDER_WAY
from inspect_tui.store.backups import copies_lie_beside
from inspect_tui.store.checklist_files import shipped
from inspect_tui.store.photo_files import photo_troubles

DEMO = shipped("demo") / "sandmartin.hullbook"
LONG = "n" * 300
# As on a computer that knows nobody: no home in the surroundings, and no entry for whoever runs it.
NOBODY = """
import pwd, sys
def gone(*_): raise KeyError("nobody")
pwd.getpwuid = pwd.getpwnam = gone
sys.argv = ["inspect-tui", *sys.argv[1:]]
from inspect_tui.__main__ import start
start()
"""


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    copy = tmp_path / DEMO.name
    shutil.copyfile(DEMO, copy)
    shutil.copytree(DEMO.with_name("sandmartin-photos"), tmp_path / "sandmartin-photos")
    return copy


@pytest.mark.parametrize("name", [f"~{LONG}/x", LONG, f"{LONG}/{LONG}", "~nobody-of-that-name/x"])
@pytest.mark.parametrize("command", ["worklist", "verify", "papers", "open"])
def test_a_name_that_no_file_has_is_answered_in_a_sentence(tmp_path: Path, name: str, command: str) -> None:
    more = ["-o", str(tmp_path)] if command == "papers" else []
    done = CliRunner().invoke(main, [command, name, *more])
    assert done.exit_code in (1, 2), done.output
    assert done.exception is None or isinstance(done.exception, SystemExit)
    assert done.output.strip()


@pytest.mark.parametrize("name", ["~nobody-of-that-name/x", LONG, "a\0b", f"~/{LONG}"])
def test_a_typed_name_is_looked_for_and_never_falls_over(name: str) -> None:
    path = expanded(Path(name))
    assert not is_there(path)
    assert not is_folder(path)
    assert book_place(path).name == path.name


def test_a_photo_with_a_name_that_no_file_has_is_a_sentence(copy: Path) -> None:
    for name in (LONG + ".jpg", "a\0.jpg", ""):
        like = {"sha256": "0" * 64, "when": "2025-11-20T12:00:00Z", "by": "x"}
        photo = Photo.model_validate({"id": "i1", "file": name, **like})
        (told,) = photo_troubles(copy, [photo])
        assert told.startswith("The photo ")
        assert told.endswith(".")


@pytest.mark.skipif(sys.platform == "win32", reason="there homes are known otherwise")
@pytest.mark.parametrize(
    "words",
    [["worklist", "B"], ["papers", "B", "-o", "out", "--only", "text"], ["verify", "B"], ["sheets", "B", "-o", "s"]],
    ids=lambda words: words[0],
)
def test_where_nobody_has_a_home_every_command_works(copy: Path, words: list[str]) -> None:
    command = [sys.executable, "-c", NOBODY, *(str(copy) if word == "B" else word for word in words)]
    bare = {"PATH": os.environ["PATH"]}
    done = subprocess.run(command, env=bare, cwd=copy.parent, capture_output=True, timeout=60, check=False)
    assert done.returncode == 0, done.stderr.decode()
    assert done.stderr == b""
    assert not (copy.parent / "~").exists()


def test_the_book_that_was_open_last_may_have_any_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    for name in ("sand\udce4martin.hullbook", "ütter.hullbook"):
        path = tmp_path / name
        path.write_bytes(b"x")
        launch.remember("last-book", str(path))
        assert launch._last_book() == path
    state = launch._state_file("last-book")
    for data in (b"", b"\0", b"\xff\xfe", b"n" * 5000, str(tmp_path / "gone").encode()):
        state.write_bytes(data)
        last = launch._last_book()
        assert last is None or not copies_lie_beside(last)
    launch.remember("written-by", "M\udce4ttis")
    assert launch.writer() != "M\udce4ttis"
    launch.remember("written-by", "Mattis")
    assert launch.writer() == "Mattis"


@pytest.mark.parametrize("locale", ["C", "C.UTF-8", "de_DE.ISO-8859-1"])
def test_what_is_told_is_the_same_in_every_locale(copy: Path, locale: str) -> None:
    surroundings = {**os.environ, "LC_ALL": locale, "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
    for words in (["worklist", str(copy)], ["worklist", "there — is none"], ["verify", str(copy)]):
        done = subprocess.run(
            [sys.executable, "-m", "inspect_tui", *words],
            env=surroundings,
            capture_output=True,
            timeout=60,
            check=False,
        )
        told = (done.stdout + done.stderr).decode()
        assert "\\u" not in told
        assert "Traceback" not in told
    assert "—" in subprocess.run(
        [sys.executable, "-m", "inspect_tui", "worklist", str(copy)],
        env=surroundings, capture_output=True, timeout=60, check=True,
    ).stdout.decode()  # fmt: skip


def test_nothing_that_is_told_drives_a_terminal(capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    say("a\x1b[2J\x9bb\u202ec\udce4d\r\nnext\tcell\n")
    warn("name\x07\rx")
    out, err = capfdbinary.readouterr()
    assert out == "a␛[2J�b�c�d\r\nnext\tcell\n".encode()
    assert err == "inspect-tui: name␇␍x\n".encode()


def test_a_full_disk_names_the_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> int:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "write", full)
    with pytest.raises(OSError, match="No space left") as failed:
        replace_file(tmp_path / "book", b"x")
    assert failed.value.filename == str(tmp_path / "book")
    assert list(tmp_path.iterdir()) == []


def test_where_a_sync_stops_at_the_drive_the_drive_is_told_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[tuple[int, int]] = []
    fake = SimpleNamespace(F_FULLFSYNC=51, fcntl=lambda descriptor, what: told.append((descriptor, what)))
    monkeypatch.setitem(sys.modules, "fcntl", fake)
    monkeypatch.setattr(files, "sync_folder", lambda _folder: None)
    replace_file(tmp_path / "book", b"x")
    assert [what for _, what in told] == [51]


def test_a_killed_writing_of_papers_is_settled_at_the_next_start(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    folder = tmp_path / "papers"
    (folder / ".papers-4194301-abcd.making").mkdir(parents=True)
    launch.remember(UNDER_WAY, str(folder))
    done = CliRunner().invoke(main, [str(tmp_path / "nowhere.hullbook")])
    assert "needs a terminal" in done.output
    assert list(folder.iterdir()), "nothing was started yet"
    monkeypatch.setattr(launch, "_need_terminal", lambda _command: None)
    monkeypatch.setattr("inspect_tui.terminal.app.InspectApp.run", lambda _app: None)
    CliRunner().invoke(main, [str(tmp_path / "nowhere.hullbook")])
    assert list(folder.iterdir()) == []
    assert launch._recalled(UNDER_WAY) == ""


def test_without_a_terminal_each_command_says_what_would_do(tmp_path: Path) -> None:
    opening = CliRunner().invoke(main, [str(tmp_path / "x.hullbook")]).output
    trying = CliRunner().invoke(main, ["demo"]).output
    assert "inspect-tui worklist BOOK" in opening
    assert "inspect-tui --help" in trying


def test_a_rescued_copy_is_told_of_until_it_is_opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    copy = tmp_path / "tern-rescued-20251120-120000.hullbook"
    assert launch._rescued(None) == ""
    launch.remember("rescued", str(copy))
    assert launch._rescued(None) == "", "it is not there any more"
    copy.write_bytes(b"x")
    assert str(copy) in launch._rescued(tmp_path / "other.hullbook")
    assert launch._rescued(copy) == ""
    assert launch._rescued(tmp_path / "other.hullbook") == "", "it was found"


def test_a_link_at_the_step_before_is_not_written_through(tmp_path: Path) -> None:
    (tmp_path / "diary").write_text("mine")
    (tmp_path / "book").write_text("new")
    (tmp_path / f".book.prev.{os.getpid()}.tmp").symlink_to(tmp_path / "diary")
    keep_previous(tmp_path / "book", tmp_path / "book.prev")
    assert (tmp_path / "diary").read_text() == "mine"
    assert (tmp_path / "book.prev").read_text() == "new"
    assert not (tmp_path / "book.prev").is_symlink()


@pytest.mark.skipif(sys.platform == "win32", reason="pipes there break otherwise")
def test_a_reader_that_went_away_is_no_fault(copy: Path) -> None:
    reader, writer = os.pipe()
    os.close(reader)
    done = subprocess.run(
        [sys.executable, "-m", "inspect_tui", "worklist", str(copy)],
        stdout=writer,
        stderr=subprocess.PIPE,
        check=False,
    )
    os.close(writer)
    assert done.stderr == b""


def test_the_first_screen_says_where_the_last_book_was_and_that_a_name_is_new(
    copy: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setattr(launch, "_need_terminal", lambda _command: None)
    told: list[str] = []
    monkeypatch.setattr("inspect_tui.terminal.app.InspectApp.run", lambda app: told.append(app.note))
    monkeypatch.setattr("inspect_tui.terminal.app.InspectApp.return_code", 0)
    launch.open_last()
    launch.remember("last-book", str(copy))
    launch.open_last()
    copy.unlink()
    launch.open_last()
    launch.open_or_start(tmp_path / "typo")
    assert told[:2] == ["", ""]
    assert told[2] == f"The book that was open last is not there: {copy}. Moved, deleted, or its drive is out."
    assert "There is no file" in told[3]
    assert "typo.hullbook" in told[3]
