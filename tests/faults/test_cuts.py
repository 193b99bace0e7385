"""Every state that a power cut may leave, with one operation omitted; up to three in `python -m tests.faults.run`.
That the model sees what it is there for is tried by taking out what protects."""

from __future__ import annotations

from pathlib import Path

import pytest

from inspect_tui import files
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.handover import moving
from inspect_tui.store import book_file, recovery
from tests.faults.cuts import run, scenes
from tests.faults.power import Disk, Operation, Recorder

NAMES = ["save", "create", "photo", "recovery", "papers", "migration"]


def of(checklists: Checklists, name: str, omitted: int = 1) -> tuple[int, list[str]]:
    return run(next(one for one in scenes(checklists) if one.name == name), omitted)


@pytest.mark.parametrize("name", NAMES)
def test_no_state_that_a_cut_leaves_loses_anything(checklists: Checklists, name: str) -> None:
    states, wrong = of(checklists, name)
    assert wrong == []
    assert states > 5


@pytest.mark.parametrize("name", ["save", "create", "photo", "recovery", "papers"])
def test_without_the_sync_of_the_bytes_a_cut_loses_something(
    checklists: Checklists, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(files, "_sync", lambda _descriptor: None)
    assert of(checklists, name)[1]


@pytest.mark.parametrize("name", ["save", "create", "photo", "recovery", "papers"])
def test_without_the_sync_of_the_folder_a_cut_loses_something(
    checklists: Checklists, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    for place in (files, moving):
        monkeypatch.setattr(place, "sync_folder", lambda _folder: None)
    assert of(checklists, name)[1]


def test_without_the_copy_before_a_migration_the_old_bytes_are_lost(
    checklists: Checklists, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(book_file, "back_up", lambda *_: None)
    assert of(checklists, "migration")[1]


def test_any_whole_copy_in_place_of_the_newest_loses_something(
    checklists: Checklists, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(recovery, "max", lambda copies, key: min(copies, key=key), raising=False)
    with pytest.raises(AssertionError):
        assert of(checklists, "recovery")[1] == []


def test_the_model_tells_names_from_bytes(tmp_path: Path) -> None:
    recorder = Recorder(tmp_path)
    with recorder.watching():
        (tmp_path / "a.tmp").write_bytes(b"new")
        (tmp_path / "a.tmp").replace(tmp_path / "a")
        recorder.acknowledge("renamed")
    assert [one.kind for one in recorder.operations] == ["name", "write", "move"]
    left = {tuple(disk.tree()) for disk, _ in recorder.states()}
    assert left == {
        (),
        (("a.tmp", b""),),
        (("a.tmp", b"new"),),
        (("a", b""),),
        (("a", b"new"),),
    }


def test_the_model_knows_what_is_synced(tmp_path: Path) -> None:
    recorder = Recorder(tmp_path)
    with recorder.watching():
        files.replace_file(tmp_path / "a", b"new")
        recorder.acknowledge("saved")
    surely = [tuple(disk.tree()) for disk, told in recorder.states() if told]
    assert surely == [(("a", b"new"),)]


def test_a_folder_that_holds_something_is_not_taken_away() -> None:
    disk = Disk()
    disk.folders[1] = {}
    disk.do(Operation("name", 1, 0, "folder"))
    disk.files[2] = b"x"
    disk.do(Operation("name", 2, 1, "file"))
    disk.do(Operation("unname", 1, 0, "folder"))
    assert list(disk.tree()) == [("folder", None), ("folder/file", b"x")]
