"""Speed as ratios within one run: `python -m tests.benchmarks.measure [REPEATS]`.

Each thing is measured side by side with something comparable, in turns, on the same machine in the same minute;
the median is told, and the ratio. Nothing here fails because a machine is slow.
"""

from __future__ import annotations

import asyncio
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from tinydb import TinyDB
from tinydb.storages import JSONStorage

from inspect_tui.clock import now
from inspect_tui.domain import edits, walk
from inspect_tui.domain.book import Edit, Put, Stamp
from inspect_tui.domain.records import Record
from inspect_tui.domain.words import Likelihood, Said, Severity
from inspect_tui.judgement.worklist import worklist
from inspect_tui.store.book_file import BookFile, create_book, open_book
from inspect_tui.store.checklist_files import load_checklists, shipped
from inspect_tui.terminal.app import InspectApp
from inspect_tui.terminal.screens.walk import WalkScreen
from tests.conftest import new_book_edit
from tests.terminal.terminal import Terminal

RECORDS = 1000
# As many widgets as the first screen with the demo book: 7 of ours, and a footer with 8 keys.
EMPTY_APP = """
from textual.app import App
from textual.containers import VerticalScroll
from textual.widgets import Footer, Static

class Empty(App):
    BINDINGS = [("q", "quit", "Quit")] + [(key, "bell", "Word") for key in "abcdef"]
    def compose(self):
        yield Static("line")
        yield Static("")
        with VerticalScroll():
            for _ in range(4):
                yield Static("last words")
        yield Footer()

Empty().run()
"""


def seconds(call: Callable[[], object]) -> float:
    begin = time.perf_counter()
    call()
    return time.perf_counter() - begin


def full_book(folder: Path, findings: int) -> BookFile:
    """A book with this many findings, and as many answers and readings as the walk would give."""
    checklists = load_checklists()
    opened = create_book(folder / "full.hullbook", new_book_edit(checklists, Stamp(now(), "x")), now, "x")
    places = opened.book.bow_to_stern()
    puts: list[Put] = []
    for number in range(findings):
        place = places[number % len(places)]
        prompts = walk.prompts_of(checklists, opened.book.boat, place)
        finding = edits.write_finding(
            opened.book,
            opened.stamp(),
            place,
            kind="pitting",
            words=f"row of pits number {number}",
            severity=list(Severity)[number % 4],
            likelihood=list(Likelihood)[number % 6],
            prompt=prompts[number % len(prompts)],
            chalk=number + 1,
        )
        puts += finding.puts
    opened.record(Edit("many", tuple(puts)))
    return opened


def start_up(folder: Path) -> tuple[tuple[float, float], tuple[float, float]]:
    """In a terminal: process start to first screen, and until it has quit again; empty Textual app and ours."""
    demo = folder / "demo.hullbook"
    if not demo.exists():
        demo.write_bytes((shipped("demo") / "sandmartin.hullbook").read_bytes())
    (folder / "empty.py").write_text(EMPTY_APP, encoding="utf-8")
    empty = _first_screen(Terminal(str(folder / "empty.py"), home=folder, module=None), "last words")
    ours = _first_screen(Terminal(str(demo), home=folder), "Waiting")
    return (empty[0], ours[0]), (empty[1], ours[1])


def _first_screen(terminal: Terminal, words: str) -> tuple[float, float]:
    try:
        terminal.wait_for(words)
        seen = time.perf_counter() - terminal.started
        terminal.press("q")
        terminal.wait_for_end(10)
        return seen, time.perf_counter() - terminal.started
    finally:
        terminal.close()


def saves(folder: Path, repeats: int) -> list[tuple[float, float]]:
    """One more answer at 1,000 records: TinyDB's own JSONStorage, and ours, on the same rows."""
    opened = full_book(folder, RECORDS // 2)
    tables = {name: {key: _plain(row) for key, row in rows.items()} for name, rows in opened.book.tables.items()}
    plain = TinyDB(folder / "plain.json", storage=JSONStorage)
    plain.storage.write(
        {name: {str(n): row for n, row in enumerate(rows.values(), 1)} for name, rows in tables.items()}
    )
    checklists = load_checklists()
    place = opened.book.bow_to_stern()[0]
    prompt = walk.prompts_of(checklists, opened.book.boat, place)[0]
    row = _plain(next(iter(opened.book.answers.values())))

    def once() -> tuple[float, float]:
        theirs = seconds(lambda: plain.table("answers").insert(row))
        ours = seconds(
            lambda: opened.record(
                edits.say(opened.book, opened.stamp(), place, prompt, Said.SOUND, note=str(time.time()))
            )
        )
        return theirs, ours

    with plain:
        pairs = [once() for _ in range(repeats)]
    opened.close()
    return pairs


def _plain(row: Record) -> dict[str, object]:
    return row.model_dump(mode="json", exclude_none=True)


async def key_presses(folder: Path, findings: int, keys: int) -> list[float]:
    """Seconds from a key in the walk to the screen being drawn again, without the pilot's own waiting."""
    opened = full_book(folder, findings)
    app = InspectApp(load_checklists(), now, "x", book_file=opened)
    times = []
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        await pilot.pause(0.6)
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        for number in range(keys):
            begin = time.perf_counter()
            if number % 2:
                screen.action_move(1)
            else:
                screen.action_say_not_fitted() if not screen.prompt.share else screen.action_say_sound()
            screen._compositor.render_strips(app.size)
            screen.refresh(layout=False)
            times.append(time.perf_counter() - begin)
            await pilot.pause(0)
    return times


def report(repeats: int) -> dict[str, tuple[float, float]]:
    """What was measured: name → (ours, the thing beside it), medians in seconds."""
    told: dict[str, tuple[float, float]] = {}
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        start_up(folder)
        runs = [start_up(folder) for _ in range(repeats)]
        told["start to first screen / empty Textual app"] = _medians([seen for seen, _ in runs])
        told["start, first screen and quit / empty Textual app"] = _medians([quit_ for _, quit_ in runs])
        pairs = saves(folder, repeats * 5)
        told["save an answer at 1,000 records / TinyDB JSONStorage"] = _medians(pairs)
    with tempfile.TemporaryDirectory() as name:
        times = asyncio.run(key_presses(Path(name), RECORDS, repeats * 4))
        told["key in the walk at 1,000 findings / 50 ms"] = (statistics.median(times), 0.050)
    with tempfile.TemporaryDirectory() as name:
        book = full_book(Path(name), RECORDS).book
        checklists = load_checklists()
        took = statistics.median(seconds(lambda: worklist(book, checklists)) for _ in range(repeats))
        told["worklist of 1,000 findings / 50 ms"] = (took, 0.050)
    with tempfile.TemporaryDirectory() as name:
        path = full_book(Path(name), RECORDS).path
        took = statistics.median(seconds(lambda: open_book(path, now, "x", write=False)) for _ in range(repeats))
        told["open a book of 1,000 findings / 1 s"] = (took, 1.0)
    return told


def _medians(pairs: list[tuple[float, float]]) -> tuple[float, float]:
    beside, ours = (statistics.median(column) for column in zip(*pairs, strict=True))
    return ours, beside


if __name__ == "__main__":
    for what, (ours, beside) in report(int(sys.argv[1]) if len(sys.argv) > 1 else 9).items():
        print(f"{what:<58} {ours * 1000:8.1f} ms  {beside * 1000:8.1f} ms   × {ours / beside:.2f}")
