"""The program killed at random moments of six kinds of work: `python -m tests.faults.run --kills 500`.

It runs in a terminal of its own, driven by its keys. What it told to be saved must be there at the next start,
looked up by its key; of what is being typed, all but the last second; and nothing of ours must be left lying about.
"""

from __future__ import annotations

import csv
import io
import json
import os
import random
import shutil
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from PIL import Image

from inspect_tui.clock import now
from inspect_tui.digests import digest_of_file
from inspect_tui.domain.book import Book, Stamp
from inspect_tui.domain.edits.findings import change_finding
from inspect_tui.handover.papers import PROOF_ENDING, write_papers
from inspect_tui.handover.sheets.field_sheets import COLUMNS
from inspect_tui.judgement.judged import Judged
from inspect_tui.launch import settle_papers
from inspect_tui.store.book_file import create_book, open_book
from inspect_tui.store.checklist_files import load_checklists, shipped
from inspect_tui.store.photo_files import photo_troubles
from tests.conftest import new_book_edit
from tests.faults.cuts import OLD_BOOK, TEMPORARY
from tests.terminal.terminal import Terminal

DEMO = "sandmartin.hullbook"
F2, F6, F9, HOME, RIGHT, CLEAR = "\x1bOQ", "\x1b[17~", "\x1b[20~", "\x1b[H", "\x1b[C", "\x15"
KEYS_A_SECOND = 8.0
MOST_TYPING_LOST_S = 1.0
TABLE_LINES = 300
PICTURES = 12


@dataclass
class Life:
    """One life of the program, and what came of it."""

    folder: Path
    random: random.Random
    book: Path = field(init=False)
    typed: list[tuple[float, str]] = field(default_factory=list)
    killed_at: float = 0.0

    def __post_init__(self) -> None:
        self.book = self.folder / DEMO

    def told(self) -> list[tuple[str, str]]:
        """Each table and key that was said to be saved; a line that the kill cut off counts for nothing."""
        lines = (self.folder / "log").read_text().split("\n")[:-1] if (self.folder / "log").exists() else []
        return [(table, key) for table, _, key in (line.partition(" ") for line in lines)]


@dataclass(frozen=True)
class Work:
    """A kind of work. `prepare` lays out what there is; `drive` works on until the time is up; `longest_s`: within it
    the kill comes; `fault`: what is wrong with the book that was found, in words."""

    name: str
    prepare: Callable[[Life], None]
    drive: Callable[[Life, Terminal], Iterator[None]]
    longest_s: float
    fault: Callable[[Life, Book], str] = lambda _life, _book: ""


@dataclass
class Count:
    """What many lives came to."""

    kills: int = 0
    acknowledged: int = 0
    restored: int = 0
    typing_lost_s: float = 0.0
    wrong: list[str] = field(default_factory=list)

    def add(self, other: Count) -> None:
        self.kills += other.kills
        self.acknowledged += other.acknowledged
        self.restored += other.restored
        self.typing_lost_s = max(self.typing_lost_s, other.typing_lost_s)
        self.wrong += other.wrong


def kill_many(work: Work, times: int, seed: int) -> Count:
    count = Count()
    for number in range(times):
        with tempfile.TemporaryDirectory(prefix="killed-") as folder:
            life = Life(Path(folder), random.Random(f"{seed}/{work.name}/{number}"))
            work.prepare(life)
            _live(work, life)
            _look(work, life, count, f"{work.name}, seed {seed}, number {number}")
    return count


def _live(work: Work, life: Life) -> None:
    terminal = Terminal(str(life.folder / "log"), str(life.book), home=life.folder, module="tests.faults.child")
    try:
        steps = work.drive(life, terminal)
        if next(steps, "over") == "over":
            raise AssertionError("it never began")
        until = time.monotonic() + life.random.uniform(0, work.longest_s)
        while time.monotonic() < until:
            if next(steps, "over") == "over":
                terminal.read(0.02)
        life.killed_at = time.monotonic()
        terminal.kill()
        terminal.wait_for_end(10)
    finally:
        terminal.close()


def _look(work: Work, life: Life, count: Count, which: str) -> None:
    """The next start, and what is there then."""
    count.kills += 1
    before = os.environ.get("XDG_STATE_HOME")
    os.environ["XDG_STATE_HOME"] = str(life.folder / "state")
    try:
        settle_papers()
        opened = open_book(life.book, now, "next")
        opened.close()
    except Exception as error:
        count.wrong.append(f"{which}: {type(error).__name__}: {error}")
        return
    finally:
        os.environ.pop("XDG_STATE_HOME")
        if before is not None:
            os.environ["XDG_STATE_HOME"] = before
    told = life.told()
    count.acknowledged += len(told)
    count.restored += opened.restored is not None
    # A draft may have been thrown away since; all else that was told stays.
    lost = [one for one in told if one[0] not in ("drafts", "here") and one[1] not in opened.book.table(one[0])]
    if lost:
        count.wrong.append(f"{which}: lost {lost[:5]}")
    if opened.read_only:
        count.wrong.append(f"{which}: {opened.read_only}")
    if fault := work.fault(life, opened.book):
        count.wrong.append(f"{which}: {fault}")
    if life.typed:
        count.typing_lost_s = max(count.typing_lost_s, _typing_lost(life, opened.book))
    left = [str(path.relative_to(life.folder)) for path in life.folder.rglob("*") if TEMPORARY.fullmatch(path.name)]
    if left:
        count.wrong.append(f"{which}: left over {left}")


def _typing_lost(life: Life, book: Book) -> float:
    """Seconds from the first key that is lost to the end; 0 if none is."""
    kept = max((len(draft.fields.get("words", "")) for draft in book.drafts.values()), default=0)
    return life.killed_at - life.typed[kept][0] if kept < len(life.typed) else 0.0


def _wait(terminal: Terminal, seconds: float) -> None:
    until = time.monotonic() + seconds
    while (left := until - time.monotonic()) > 0:
        terminal.read(left)


def _demo(life: Life) -> None:
    source = shipped("demo") / DEMO
    shutil.copyfile(source, life.book)
    shutil.copytree(source.with_name("sandmartin-photos"), life.folder / "sandmartin-photos")


# --- walking --------------------------------------------------------------------------------------


def _new(life: Life) -> None:
    stamp = Stamp(now(), "before")
    create_book(life.book, new_book_edit(load_checklists(None), stamp), now, "before").close()


def _begin_walk(terminal: Terminal) -> None:
    terminal.wait_for("Go in")
    terminal.press("\r", pause=0.2)
    terminal.wait_for("1 of")


def _walk(_: Life, terminal: Terminal) -> Iterator[None]:
    _begin_walk(terminal)
    while True:
        yield
        terminal.press("s", pause=0.03)
        terminal.press("n", pause=0.03)
        os.write(terminal.master, RIGHT.encode())


# --- typing ---------------------------------------------------------------------------------------


def _type(life: Life, terminal: Terminal) -> Iterator[None]:
    _begin_walk(terminal)
    terminal.press("f", pause=0.3)
    terminal.wait_for("on a tag")
    words = "the frame is pitted along its foot and the paint lifts in flakes "
    started = time.monotonic()
    number = 0
    while True:
        due = started + number / KEYS_A_SECOND
        _wait(terminal, due - time.monotonic())
        sign = words[number % len(words)]
        life.typed.append((time.monotonic(), sign))
        os.write(terminal.master, sign.encode())
        number += 1
        yield


# --- photos ---------------------------------------------------------------------------------------


def _pictures(life: Life) -> None:
    _demo(life)
    phone = life.folder / "phone"
    phone.mkdir()
    for number in range(PICTURES):
        colour = tuple(life.random.randrange(256) for _ in range(3))
        Image.new("RGB", (900, 600), colour).save(phone / f"p{number}.jpg")


def _attach(life: Life, terminal: Terminal) -> Iterator[None]:
    terminal.wait_for("Enter carries on")
    terminal.press("#", pause=0.3)
    for keys in (HOME, "\r", F6):
        os.write(terminal.master, keys.encode())
        _wait(terminal, 0.3)
    terminal.wait_for("a adds one")
    for number in range(PICTURES):
        yield
        os.write(terminal.master, b"a")
        _wait(terminal, 0.3)
        os.write(terminal.master, f"{life.folder}/phone/p{number}.jpg\r".encode())
        _wait(terminal, life.random.uniform(0.1, 0.3))


def _photos_fault(life: Life, book: Book) -> str:
    return "; ".join(photo_troubles(life.book, list(book.photos.values())))


# --- a field table --------------------------------------------------------------------------------


def _table(life: Life) -> None:
    _demo(life)
    out = io.StringIO()
    writer = csv.DictWriter(out, list(COLUMNS))
    writer.writeheader()
    for number in range(TABLE_LINES):
        writer.writerow({"place": "Engine space", "measured": "length", "values": f"{number + 1} mm"})
    (life.folder / "filled.csv").write_text(out.getvalue())


def _read_in(life: Life, terminal: Terminal) -> Iterator[None]:
    terminal.wait_for("Enter carries on")
    terminal.press("p", pause=0.4)
    os.write(terminal.master, F9.encode())
    _wait(terminal, 0.3)
    terminal.press("1", pause=0.3)
    terminal.wait_for("reads them in")
    yield
    terminal.press("i", pause=0.15)
    terminal.wait_for("The filled-in table")
    _wait(terminal, 0.2)
    os.write(terminal.master, f"{CLEAR}{life.folder}/filled.csv\r".encode())
    while "lines to write" not in " ".join(terminal.text.split()):
        yield
        terminal.read(0.02)
    os.write(terminal.master, b"\r")
    yield


def _table_fault(life: Life, book: Book) -> str:
    new = [one for one in book.readings.values() if one.kind == "length" and one.by != "demo"]
    before = len(open_book(shipped("demo") / DEMO, now, "", write=False).book.readings)
    read = len(book.readings) - before
    assert new or not read
    return "" if read in (0, TABLE_LINES) else f"{read} of {TABLE_LINES} lines were read in"


# --- papers ---------------------------------------------------------------------------------------


def _old_papers(life: Life) -> None:
    _demo(life)
    checklists = load_checklists(None)
    opened = open_book(life.book, now, "before")
    write_papers(Judged(opened.book, checklists), life.folder / "sandmartin papers", ("html", "text", "csv"))
    finding = next(iter(opened.book.findings.values()))
    opened.record(change_finding(finding.model_copy(update={"words": f"{finding.words}, and wider by now"})))
    opened.close()


def _papers(_: Life, terminal: Terminal) -> Iterator[None]:
    terminal.wait_for("Enter carries on")
    terminal.press("p", pause=0.4)
    terminal.wait_for("F2 writes them")
    os.write(terminal.master, F2.encode())
    while True:
        yield
        terminal.read(0.02)


def _papers_fault(life: Life, _: Book) -> str:
    folder = life.folder / "sandmartin papers"
    (proof,) = folder.glob(f"*{PROOF_ENDING}")
    files = json.loads(proof.read_text(encoding="utf-8"))["files"]
    torn = [name for name, digest in files.items() if digest_of_file(folder / name) != digest]
    strange = {path.name for path in folder.iterdir()} - {*files, proof.name}
    old = [name for name in strange if not name.startswith("Sandmartin")]
    return f"torn papers: {torn or old}" if torn or old else ""


# --- an older book --------------------------------------------------------------------------------


def _older(life: Life) -> None:
    shutil.copyfile(OLD_BOOK, life.book)


def _open_it(_: Life, terminal: Terminal) -> Iterator[None]:
    while True:
        yield
        terminal.read(0.01)


def _older_fault(_: Life, book: Book) -> str:
    then = open_book(OLD_BOOK, now, "", write=False).book
    lost = [name for name, rows in then.tables.items() if name != "trail" and not set(rows) <= set(book.tables[name])]
    return f"lost of the older book: {lost}" if lost else ""


WORKS = (
    Work("walking", _new, _walk, 1.5),
    Work("typing a note at 8 keys a second", _new, _type, 5.0),
    Work("adding photos to a finding", _pictures, _attach, 4.0, _photos_fault),
    Work("reading in a table of 300 lines", _table, _read_in, 2.0, _table_fault),
    Work("writing papers", _old_papers, _papers, 5.0, _papers_fault),
    Work("converting an older book", _older, _open_it, 1.6, _older_fault),
)
