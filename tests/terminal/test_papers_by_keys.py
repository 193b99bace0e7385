"""Papers, photos and field sheets, all by the keyboard."""

from __future__ import annotations

import asyncio
import shutil
import threading
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.handover import papers as papers_module
from inspect_tui.handover.report import Contents
from inspect_tui.handover.sheets.field_sheets import COLUMNS
from inspect_tui.handover.writers.pictures import shrunk
from inspect_tui.store.photo_files import photo_folder
from inspect_tui.terminal.screens.papers import papers as papers_screen
from inspect_tui.terminal.widgets.paths import completed, path_typed
from tests.handover.test_photos import camera_picture
from tests.terminal.helpers import Hands, at_work, demo_file


def fill(hands: Hands, id: str, value: str) -> None:
    hands.app.screen.query_one(f"#{id}").value = value  # type: ignore[attr-defined]


async def test_papers_are_counted_written_and_written_again(tmp_path: Path, checklists: Checklists) -> None:
    opened = demo_file(tmp_path)
    folder = tmp_path / "sandmartin papers"
    async with at_work(checklists, opened) as hands:
        await hands.press("p")
        await hands.wait_for(lambda: "pages, 7 photos" in hands.text)
        assert "Gaps and doubts in these papers" in hands.text
        everything = hands.flat.split("The papers: ")[1].split(" pages")[0]
        fill(hands, "readers", "welder")
        hands.app.screen.query_one("#readers").pick("welder")  # type: ignore[attr-defined]
        await hands.wait_for(lambda: " pages," in hands.text and f"{everything} pages" not in hands.text)
        await hands.press("f2")
        await hands.wait_for(lambda: "Written into" in hands.text)
        assert {path.name.split("-")[1] for path in folder.iterdir()} == {
            "welder.pdf", "welder.html", "welder.txt", "proof.json"
        }  # fmt: skip
        assert "Job sheets".upper() in (folder / "Sandmartin-welder.txt").read_text(encoding="utf-8")
        (folder / "Sandmartin-welder.pdf").unlink()
        await hands.press("f2")
        await hands.wait_for(lambda: (folder / "Sandmartin-welder.pdf").exists())
        assert opened.book.trail == demo_file(tmp_path, write=False).book.trail, "writing papers changes nothing"


async def test_escape_stops_the_writing_and_nothing_is_left(
    tmp_path: Path, checklists: Checklists, monkeypatch: pytest.MonkeyPatch
) -> None:
    gate, begun = threading.Event(), threading.Event()

    def slowly(*args: Any, **settings: Any) -> Any:
        begun.set()
        assert gate.wait(20)
        return shrunk(*args, **settings)

    monkeypatch.setattr(papers_module, "shrunk", slowly)
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        await hands.press("p", "f2")
        await hands.wait_for(begun.is_set)
        await hands.wait_for(lambda: "Esc stops it" in hands.text)
        await hands.press("escape")
        gate.set()
        await hands.wait_for(lambda: "Stopped: nothing was written" in hands.text)
        assert "Papers" in type(hands.app.screen).__name__, "Esc stopped the writing, not the screen"
    left = tmp_path / "sandmartin papers"
    assert not left.exists() or not list(left.iterdir())


async def test_what_a_thread_found_too_late_hurts_no_screen(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        await hands.press("p")
        left: Any = hands.app.screen
        found: list[str] = []

        def tell(words: str) -> None:
            left.query_one("#head").update(words)
            found.append(words)

        await asyncio.to_thread(left.from_thread, tell, "in time")
        gone = left.app.pop_screen()
        await asyncio.to_thread(left.from_thread, tell, "while it goes")
        await gone
        await asyncio.to_thread(left.from_thread, tell, "too late")
        await hands.press("p")
        left = hands.app.screen
        hands.app.exit()
        await asyncio.to_thread(left.from_thread, tell, "at the end")
        assert found == ["in time"]


async def test_pages_are_counted_anew_only_when_they_may_differ(
    tmp_path: Path, checklists: Checklists, monkeypatch: pytest.MonkeyPatch
) -> None:
    counts: list[Contents] = []
    at_once: list[int] = []
    gate = threading.Event()

    def slowly(_judged: object, contents: Contents) -> int:
        counts.append(contents)
        at_once.append(len(counts))
        assert gate.wait(20)
        at_once.append(-1)
        return 9

    monkeypatch.setattr(papers_screen, "pages", slowly)
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        await hands.press("p")
        fill(hands, "folder", "/boats/here")
        await hands.wait_for(lambda: len(counts) == 1)
        for choice in ("no", "places", "yes", "no"):
            hands.app.screen.query_one("#photos").pick(choice)  # type: ignore[attr-defined]
            await hands.pilot.pause()
        gate.set()
        await hands.wait_for(lambda: "9 pages" in hands.text)
        assert [one.photos for one in counts] == [True, False], "the last wish, not all that were given up"
        assert at_once == [1, -1, 2, -1], "one after the other"
        fill(hands, "folder", "/boats/there")
        await hands.settle()
        assert "9 pages" in hands.text, "not counting again"
        assert len(counts) == 2


async def test_parts_are_picked_one_by_one(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        await hands.press("p")
        await hands.wait_for(lambda: " pages," in hands.text)
        await hands.press("f9", "o", "space", "down", "enter", "f2")
        await hands.wait_for(lambda: "17 parts chosen" in hands.text and "counting" not in hands.text)
        await hands.press("f2")
        await hands.wait_for(lambda: "Written into" in hands.text)
        told = (tmp_path / "sandmartin papers" / "Sandmartin-papers.txt").read_text(encoding="utf-8")
        assert "PAGE ONE" not in told
        assert "THE PLAN" not in told
        assert "FINDINGS, BY COMPARTMENT FROM BOW TO STERN" in told


@pytest.mark.parametrize(("folder", "told"), [("", "Give a folder"), ("/proc/papers", "cannot be written")])
async def test_a_bad_folder_gets_its_sentence(tmp_path: Path, checklists: Checklists, folder: str, told: str) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        await hands.press("p")
        fill(hands, "folder", folder)
        await hands.press("f2")
        await hands.wait_for(lambda: told in hands.flat)
        assert told in hands.flat


async def test_a_photo_is_put_to_a_finding_by_its_path(tmp_path: Path, checklists: Checklists) -> None:
    opened = demo_file(tmp_path)
    phone = tmp_path / "phone"
    phone.mkdir()
    camera_picture(phone / "IMG_9.jpg")
    (phone / "notes.jpg").write_text("no picture")
    async with at_work(checklists, opened, size=(100, 30)) as hands:
        await hands.press("number_sign", "home", "enter", "f6")
        assert "No photo yet" in hands.text
        await hands.press("a")
        await hands.type(f"{phone}/I")
        await hands.press("tab", "enter")
        photo = opened.book.photos[opened.book.findings["1"].photos[0]]
        assert (photo_folder(opened.path) / photo.file).read_bytes() == (phone / "IMG_9.jpg").read_bytes()
        await hands.press("e")
        await hands.type("from above")
        await hands.press("enter")
        assert "from above" in hands.text
        # The folder is remembered: the name alone is enough now.
        await hands.press("a")
        await hands.type("notes.jpg")
        await hands.press("enter")
        assert "cannot be read as a picture" in hands.flat
        await hands.press("ctrl+u")
        await hands.type("nowhere.jpg")
        await hands.press("enter")
        assert "missing" in hands.flat
        assert "nowhere.jpg" in hands.flat, "what was typed is still there"
        await hands.press("escape")
        await hands.press("f8", "y")
        assert not opened.book.findings["1"].photos
        await hands.press("z")
        assert opened.book.findings["1"].photos == (photo.id,)
        await hands.press("escape")
        assert "1 photo (F6)" in hands.text


async def test_a_folder_of_pictures_is_offered_by_time(tmp_path: Path, checklists: Checklists) -> None:
    opened = demo_file(tmp_path)
    phone = tmp_path / "phone"
    phone.mkdir()
    found = opened.book.findings["1"].found.when
    for number, minutes in enumerate((-2, -1)):
        path = camera_picture(phone / f"IMG_{number}.jpg", size=(40 + number, 30))
        from PIL import Image

        image = Image.open(path)
        exif = image.getexif()
        exif.get_ifd(0x8769)[0x9003] = f"{found + timedelta(minutes=minutes):%Y:%m:%d %H:%M:%S}"
        image.save(path, exif=exif)
    (phone / "broken.jpg").write_bytes(b"")
    opened.by = "Mattis"
    async with at_work(checklists, opened, size=(100, 30)) as hands:
        hands.app.go("inbox")
        await hands.settle()
        for _ in range(200):
            await hands.press("backspace")
            if not hands.app.screen.query_one("Field").value:  # type: ignore[attr-defined]
                break
        await hands.type(str(phone))
        await hands.press("enter")
        await hands.wait_for(lambda: "3 pictures" in hands.text)
        assert "no. 1?" in hands.text
        assert "cannot be read as a picture" in hands.text
        await hands.press("enter")
        assert len(opened.book.findings["1"].photos) == 1
        await hands.press("e")
        await hands.press("end", "enter")
        assert sum(len(one.photos) for one in opened.book.findings.values()) == 7 + 2
        await hands.press("z")
        assert sum(len(one.photos) for one in opened.book.findings.values()) == 7 + 1


async def test_sheets_are_written_and_a_table_read_back_with_one_key_and_undone_with_one(
    tmp_path: Path, checklists: Checklists
) -> None:
    opened = demo_file(tmp_path)
    async with at_work(checklists, opened, size=(100, 30)) as hands:
        await hands.press("p", "f9", "1", "f2")
        await hands.type("a")
        await hands.wait_for(lambda: "Written into" in hands.text)
        folder = tmp_path / "sandmartin field sheets"
        assert {path.suffix for path in folder.iterdir()} == {".pdf", ".csv", ".txt", ".html"}
        heads = ",".join(COLUMNS)
        at = list(COLUMNS)

        def row(**cells: str) -> str:
            return ",".join(cells.get(name, "") for name in at)

        (folder / "done.csv").write_text(
            "\n".join(
                (
                    heads,
                    row(place="Engine space", measured="thickness", values="5.1 5.2"),
                    row(place="Engine space", measured="thickness", values="five"),
                )
            )
        )
        before = opened.book
        await hands.press("i", "ctrl+u")
        await hands.type("done.csv")
        await hands.press("enter")
        assert "1 line to write, 1 not understood" in hands.flat
        assert "NOT UNDERSTOOD" in hands.text
        assert opened.book is before
        await hands.press("enter")
        assert len(opened.book.readings) == len(before.readings) + 1
        await hands.press("z")
        assert len(opened.book.readings) == len(before.readings)
        await hands.press("i", "ctrl+u")
        await hands.type("nowhere.csv")
        await hands.press("enter")
        assert "cannot be read" in hands.flat


def test_paths_are_completed_from_what_is_there(tmp_path: Path) -> None:
    (tmp_path / "phone pictures").mkdir()
    (tmp_path / "phone pictures" / "a.jpg").write_bytes(b"")
    (tmp_path / ".hidden").write_bytes(b"")
    assert completed("ph", tmp_path) == "phone pictures/"
    assert completed("phone pictures/", tmp_path) == "phone pictures/a.jpg"
    assert completed("x", tmp_path) is None
    assert completed("", tmp_path) is None
    assert completed(f"{tmp_path}/ph", Path("/")) == f"{tmp_path}/phone pictures/"
    assert path_typed("'phone pictures/a.jpg'", tmp_path) == tmp_path / "phone pictures/a.jpg"
    assert path_typed("phone\\ pictures", tmp_path) == tmp_path / "phone pictures"
    shutil.rmtree(tmp_path / "phone pictures")
