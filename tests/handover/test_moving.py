"""Papers take their place all or none, also where the program is killed between two names."""

from __future__ import annotations

import contextlib
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from inspect_tui.errors import Stopped
from inspect_tui.handover.moving import SURELY_DEAD_S, made_beside, move_in, settle

OLD, NEW = {"a.txt": "old", "b.txt": "old", "c.txt": "old"}, {"a.txt": "new", "b.txt": "new", "c.txt": "new"}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    folder = tmp_path / "papers"
    folder.mkdir()
    lay(folder, OLD)
    return folder


@pytest.fixture(scope="module")
def dead() -> int:
    """The number of a program that ran and is gone."""
    ended = subprocess.Popen([sys.executable, "-c", ""])
    ended.wait()
    return ended.pid


def lay(folder: Path, files: dict[str, str]) -> None:
    for name, text in files.items():
        (folder / name).write_text(text)


def there(folder: Path) -> dict[str, str]:
    return {path.name: path.read_text() if path.is_file() else "folder" for path in folder.iterdir()}


def test_what_was_made_takes_its_place_and_nothing_else_stays(folder: Path) -> None:
    (folder / "owners.txt").write_text("mine")
    with made_beside(folder) as work:
        lay(work, NEW)
        assert there(folder) == {**OLD, "owners.txt": "mine", work.name: "folder"}
        move_in(work)
    assert there(folder) == {**NEW, "owners.txt": "mine"}


def test_what_is_stopped_leaves_the_old_ones(folder: Path) -> None:
    with contextlib.suppress(Stopped), made_beside(folder) as work:
        lay(work, NEW)
        raise Stopped
    assert there(folder) == OLD


def test_a_folder_in_the_way_is_told_before_anything_moves(folder: Path) -> None:
    (folder / "b.txt").unlink()
    (folder / "b.txt").mkdir()
    with made_beside(folder) as work:
        lay(work, NEW)
        with pytest.raises(IsADirectoryError, match=r"b\.txt"):
            move_in(work)
    assert there(folder) == {**OLD, "b.txt": "folder"}


@pytest.mark.parametrize("moved", range(4))
def test_a_torn_move_is_finished(folder: Path, dead: int, moved: int) -> None:
    torn = folder / f".papers-{dead}-abcd.moving"
    torn.mkdir()
    lay(torn, dict(list(NEW.items())[moved:]))
    lay(folder, dict(list(NEW.items())[:moved]))
    settle(folder)
    assert there(folder) == NEW


def test_what_was_half_made_goes(folder: Path, dead: int) -> None:
    torn = folder / f".papers-{dead}-abcd.making"
    (torn / "typst").mkdir(parents=True)
    lay(torn, NEW)
    settle(folder)
    assert there(folder) == OLD


def test_what_another_program_is_making_now_is_left_alone_until_it_cannot_be_that_one(folder: Path) -> None:
    running = folder / f".papers-{os.getpid()}-abcd.making"
    running.mkdir()
    settle(folder)
    assert running.is_dir()
    long_ago = time.time() - SURELY_DEAD_S - 60
    os.utime(running, (long_ago, long_ago))
    settle(folder)
    assert there(folder) == OLD


@pytest.mark.parametrize(
    "name", [".papers-1", ".papers-x-abcd.making", "papers-{}-abcd.making", ".papers-{}-abcd.making.txt", "a.making"]
)
def test_folders_with_other_names_are_not_ours(folder: Path, dead: int, name: str) -> None:
    (folder / name.format(dead)).mkdir()
    settle(folder)
    assert there(folder) == {**OLD, name.format(dead): "folder"}


def test_links_are_neither_followed_nor_moved(folder: Path, dead: int, tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    lay(elsewhere, NEW)
    (folder / f".papers-{dead}-abcd.moving").symlink_to(elsewhere)
    torn = folder / f".papers-{dead}-efgh.moving"
    torn.mkdir()
    (torn / "a.txt").symlink_to(elsewhere / "a.txt")
    (torn / ".hidden").write_text("new")
    settle(folder)
    assert there(elsewhere) == NEW
    assert not (folder / "a.txt").is_symlink()
    assert not (folder / ".hidden").exists()
    assert (folder / "a.txt").read_text() == "old"


def test_a_folder_that_is_not_there_is_no_trouble(tmp_path: Path) -> None:
    settle(tmp_path / "nowhere")
