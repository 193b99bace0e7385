"""Power cuts: what the program asks of the disk is written down once, and every state that a cut may leave of it is
laid out, opened as the next start does, and looked at.

Nothing acknowledged may be missing, nothing unreadable, and no temporary file of ours left.
"""

from __future__ import annotations

import os
import re
import shutil
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from inspect_tui.domain import edits, walk
from inspect_tui.domain.book import Stamp
from inspect_tui.domain.edits.photos import attach_photo
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.words import Likelihood, Said
from inspect_tui.handover.moving import settle
from inspect_tui.handover.papers import Format, write_papers
from inspect_tui.judgement.judged import Judged
from inspect_tui.store.backups import back_up_session
from inspect_tui.store.book_file import BookFile, create_book, open_book
from inspect_tui.store.photo_files import copy_in, photo_troubles
from tests.conftest import IDENTITY, new_book_edit, prompt_called
from tests.faults.power import MOST_OMITTED, Recorder

BEGUN = datetime(2025, 11, 20, 12, 0, tzinfo=UTC)
BOOK, PAPERS = "sandmartin.hullbook", "papers"
KEYS = ("stem/stem-weld", "stem/dents", "stem/breasthook", "stem/wedge-metal")
OLD_BOOK = Path(__file__).parent.parent / "store" / "books" / "schema-2.hullbook"
TEMPORARY = re.compile(r"\..*\.tmp|\.papers-.*")
# A process of this number is gone: what it left is nobody's.
GONE = 2**22 - 3
Acknowledge = Callable[[str], None]


class Clock:
    """A second at each look, from some day on."""

    def __init__(self, day: int) -> None:
        self._now = BEGUN + timedelta(days=day)

    def __call__(self) -> datetime:
        self._now += timedelta(seconds=1)
        return self._now


@dataclass(frozen=True)
class Scene:
    """What is done while the power may fail. `begin` makes what lies there before; `act` does it, and tells what it
    acknowledged; `fault` is the next start in what was left, given what had been acknowledged: what is wrong then."""

    name: str
    begin: Callable[[Path], object]
    act: Callable[[Path, Acknowledge], None]
    fault: Callable[[Path, list[str]], str]


def run(scene: Scene, omitted: int = MOST_OMITTED) -> tuple[int, list[str]]:
    """How many different states there are, and what was wrong in any."""
    wrong: list[str] = []
    states = 0
    with tempfile.TemporaryDirectory() as made_in:
        folder, left = Path(made_in) / "done", Path(made_in) / "left"
        folder.mkdir()
        scene.begin(folder)
        recorder = Recorder(folder)
        with recorder.watching():
            scene.act(folder, recorder.acknowledge)
        for disk, told in recorder.states(omitted):
            states += 1
            left.mkdir()
            disk.lay_out(left)
            if fault := _fault(scene, left, told):
                wrong.append(f"{scene.name}, acknowledged {told}: {fault}\n  {[name for name, _ in disk.tree()]}")
            shutil.rmtree(left)
    return states, wrong


def _fault(scene: Scene, left: Path, told: list[str]) -> str:
    for torn in list(left.rglob(".papers-*")):
        torn.rename(torn.with_name(torn.name.replace(f"-{os.getpid()}-", f"-{GONE}-")))
    try:
        fault = scene.fault(left, told)
    except Exception as error:
        return f"{type(error).__name__}: {error}"
    kept = [path.name for path in left.rglob("*") if TEMPORARY.fullmatch(path.name)]
    return fault or (f"left over: {kept}" if kept else "")


def scenes(checklists: Checklists, formats: Sequence[Format] = ("text", "csv")) -> list[Scene]:
    """Saving, beginning a book, a photo, getting a damaged book back, papers, an old book brought over."""
    makers = (_saving, _creating, _putting_a_photo, _recovering, _writing_papers, _migrating)
    return [make(_Hand(checklists), formats) for make in makers]


class _Hand:
    """What several scenes do."""

    def __init__(self, checklists: Checklists) -> None:
        self.checklists = checklists

    def start(self, folder: Path) -> BookFile:
        edit = new_book_edit(self.checklists, Stamp(BEGUN, "Mattis"))
        return create_book(folder / BOOK, edit, Clock(0), "Mattis")

    def answer(self, opened: BookFile, key: str) -> str:
        """Say that it is sound; the key of the answer."""
        place, prompt = prompt_called(self.checklists, opened.book, key)
        opened.record(edits.say(opened.book, opened.stamp(), place, prompt, Said.SOUND))
        assert opened.trouble is None
        return walk.answer_key(opened.book.round.id, place.id, prompt.key)

    def started(self, folder: Path, answers: int) -> None:
        opened = self.start(folder)
        for key in KEYS[:answers]:
            self.answer(opened, key)
        opened.close()


def _lost_answers(folder: Path, told: list[str], before: int) -> str:
    opened = open_book(folder / BOOK, Clock(5), "next")
    opened.close()
    if opened.read_only:
        return opened.read_only
    answers = opened.book.answers
    lost = [key for key in told if key not in answers]
    return f"lost: {lost}" if lost or len(answers) < before + len(told) else ""


def _saving(hand: _Hand, _: Sequence[Format]) -> Scene:
    def act(folder: Path, acknowledge: Acknowledge) -> None:
        opened = open_book(folder / BOOK, Clock(1), "Mattis")
        for key in KEYS[1:]:
            acknowledge(hand.answer(opened, key))
        opened.close()

    return Scene("save", lambda folder: hand.started(folder, 1), act, lambda left, told: _lost_answers(left, told, 1))


def _creating(hand: _Hand, _: Sequence[Format]) -> Scene:
    def act(folder: Path, acknowledge: Acknowledge) -> None:
        opened = hand.start(folder)
        acknowledge("begun")
        opened.close()

    def fault(left: Path, told: list[str]) -> str:
        try:
            opened = open_book(left / BOOK, Clock(5), "next")
        except FileNotFoundError:
            if told:
                return "the book that was begun is not there"
            opened = hand.start(left)
        opened.close()
        return "" if opened.book.identity == IDENTITY else "another book"

    return Scene("create", lambda _folder: None, act, fault)


def _putting_a_photo(hand: _Hand, _: Sequence[Format]) -> Scene:
    def begin(folder: Path) -> None:
        opened = hand.start(folder)
        place, prompt = prompt_called(hand.checklists, opened.book, KEYS[0])
        new = edits.NewFinding("pitting", "", prompt.severity, Likelihood.C)
        opened.record(edits.write_finding(opened.book, opened.stamp(), place, new, prompt=prompt))
        opened.close()
        (folder.parent / "phone.jpg").write_bytes(b"a picture")

    def act(folder: Path, acknowledge: Acknowledge) -> None:
        opened = open_book(folder / BOOK, Clock(1), "Mattis")
        name, digest = copy_in(opened.path, folder.parent / "phone.jpg", 1)
        finding = opened.book.findings["1"]
        edit = attach_photo(
            opened.book, opened.stamp(), finding, file=name, sha256=digest, taken=None, original="phone.jpg"
        )
        opened.record(edit)
        acknowledge(name)
        opened.close()

    def fault(left: Path, told: list[str]) -> str:
        opened = open_book(left / BOOK, Clock(5), "next")
        opened.close()
        photos = list(opened.book.photos.values())
        if told and [photo.file for photo in photos] != told:
            return "the photo is not in the book"
        return "; ".join(photo_troubles(opened.path, photos))

    return Scene("photo", begin, act, fault)


def _recovering(hand: _Hand, _: Sequence[Format]) -> Scene:
    def begin(folder: Path) -> None:
        hand.started(folder, 3)
        path = folder / BOOK
        back_up_session(path, path.read_bytes(), BEGUN + timedelta(days=3))
        path.write_bytes(path.read_bytes()[:-40])

    def act(folder: Path, acknowledge: Acknowledge) -> None:
        opened = open_book(folder / BOOK, Clock(4), "Mattis")
        assert opened.restored is not None
        acknowledge(hand.answer(opened, KEYS[3]))
        opened.close()

    return Scene("recovery", begin, act, lambda left, told: _lost_answers(left, told, 3))


def _writing_papers(hand: _Hand, formats: Sequence[Format]) -> Scene:
    texts: dict[str, dict[str, bytes]] = {}

    def write(folder: Path, name: str) -> None:
        opened = open_book(folder / BOOK, Clock(3), "", write=False)
        write_papers(Judged(opened.book, hand.checklists), folder / PAPERS, formats)
        texts[name] = _texts(folder / PAPERS)

    def begin(folder: Path) -> None:
        hand.started(folder, 1)
        write(folder, "old")
        opened = open_book(folder / BOOK, Clock(2), "Mattis")
        hand.answer(opened, KEYS[1])
        opened.close()

    def act(folder: Path, acknowledge: Acknowledge) -> None:
        write(folder, "new")
        acknowledge("written")

    def fault(left: Path, told: list[str]) -> str:
        settle(left / PAPERS)
        found = _texts(left / PAPERS)
        if found == texts["new"] or (not told and found == texts["old"]):
            return ""
        return f"neither the old papers nor the new ones: {sorted(found)}"

    return Scene("papers", begin, act, fault)


def _texts(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def _migrating(_: _Hand, __: Sequence[Format]) -> Scene:
    def act(folder: Path, acknowledge: Acknowledge) -> None:
        opened = open_book(folder / BOOK, Clock(4), "Mattis")
        acknowledge("opened")
        opened.close()

    def fault(left: Path, _: list[str]) -> str:
        before = OLD_BOOK.read_bytes()
        untouched = (left / BOOK).read_bytes() == before
        opened = open_book(left / BOOK, Clock(5), "next")
        opened.close()
        then = open_book(OLD_BOOK, Clock(5), "", write=False).book
        # The line that a copy begins with has that copy's name in its key.
        told = [name for name in then.tables if name != "trail"]
        lost = [name for name in told if not set(then.tables[name]) <= set(opened.book.tables[name])]
        if opened.read_only or opened.restored or lost:
            return f"lost: {opened.read_only or opened.restored or lost}"
        kept = any(path.read_bytes() == before for path in left.rglob("*") if path.is_file())
        return "" if kept else f"the old bytes are nowhere (untouched before: {untouched})"

    return Scene("migration", lambda folder: shutil.copyfile(OLD_BOOK, folder / BOOK), act, fault)
