"""Speed as ratios within one run: `python -m tests.benchmarks.measure [REPEATS]`.

Each thing is measured side by side with something comparable, in turns, on the same machine in the same minute;
the median is told, and the ratio. Nothing here fails because a machine is slow.
"""

from __future__ import annotations

import asyncio
import math
import random
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from textual.widgets import Input, OptionList
from tinydb import TinyDB
from tinydb.storages import JSONStorage

from inspect_tui.clock import now
from inspect_tui.domain import edits, walk
from inspect_tui.domain.book import ONLY, Book, Edit, Put, Stamp
from inspect_tui.domain.reading_records import PitReading, ThicknessReading
from inspect_tui.domain.records import Datum, PlateField, Position, Record
from inspect_tui.domain.words import DesignCategory, Likelihood, PlateRegion, Said, Severity, Side, ThicknessSource
from inspect_tui.engineering.metal.deepest_pit import deepest_pit
from inspect_tui.engineering.metal.gev import tail_check
from inspect_tui.engineering.metal.likelihood import Sample
from inspect_tui.handover.sheets.field_import import read_table
from inspect_tui.judgement.metal.verdicts import Verdicts
from inspect_tui.store.book_file import BookFile, create_book, open_book
from inspect_tui.store.checklist_files import load_checklists, shipped
from inspect_tui.terminal.app import InspectApp
from inspect_tui.terminal.screens.metal.map import MapScreen
from inspect_tui.terminal.screens.metal.measure import MeasureScreen
from inspect_tui.terminal.screens.walk.walk import WalkScreen
from inspect_tui.terminal.screens.work.worklist import WorklistScreen
from inspect_tui.terminal.widgets.field import Field
from tests.benchmarks.pack import measured
from tests.conftest import finding_edit, new_book_edit, worklist
from tests.terminal.terminal import Terminal
from tests.terminal.test_list_by_keys import full

RECORDS = 1000
CHECKLISTS = load_checklists()
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
        prompts = walk.prompts_of(checklists, opened.book, place)
        finding = finding_edit(
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


def start_up(folder: Path) -> tuple[tuple[float, float], ...]:
    """In a terminal, seconds from the start of the process to the first screen, to the whole of it with footer and
    what the list says, and until it has quit again: empty Textual app and ours."""
    demo = folder / "demo.hullbook"
    if not demo.exists():
        demo.write_bytes((shipped("demo") / "sandmartin.hullbook").read_bytes())
    (folder / "empty.py").write_text(EMPTY_APP, encoding="utf-8")
    empty = _first_screen(Terminal(str(folder / "empty.py"), home=folder, module=None), ["last words"], ["Word"])
    ours = _first_screen(Terminal(str(demo), home=folder), ["You stopped"], ["1 NOW", "Worklist"])
    return tuple(zip(empty, ours, strict=True))


def _first_screen(terminal: Terminal, *steps: list[str]) -> list[float]:
    times = []
    try:
        for words in steps:
            for word in words:
                terminal.wait_for(word)
            times.append(time.perf_counter() - terminal.started)
        terminal.press("q")
        terminal.wait_for_end(10)
        return [*times, time.perf_counter() - terminal.started]
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
    prompt = walk.prompts_of(checklists, opened.book, place)[0]
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


async def list_keys(folder: Path, jobs: int, keys: int) -> list[float]:
    """Seconds from a key in the worklist of so many jobs to the screen being drawn again: a row down, the list
    narrowed and whole again, a word looked for."""
    opened = full(folder, jobs)
    app = InspectApp(load_checklists(), now, "x", book_file=opened)
    times = []
    async with app.run_test(size=(100, 30)) as pilot:
        app.go("worklist")
        await pilot.pause(0.6)
        screen = app.screen
        assert isinstance(screen, WorklistScreen)
        rows, find = screen.query_one("#list", OptionList), screen.query_one("#find", Field)
        for number in range(keys):
            begin = time.perf_counter()
            if number % 3 == 0:
                rows.action_cursor_down()
            elif number % 3 == 1:
                screen._only = {} if screen._only else {"who": "owner"}
                screen.show()
            else:
                find.value = "" if find.value else "st"
                screen.show()
            screen._compositor.render_strips(app.size)
            times.append(time.perf_counter() - begin)
            await pilot.pause(0)
    return times


async def map_keys(folder: Path, findings: int, readings: int, keys: int) -> list[float]:
    """Seconds from a key on the shell map of so many readings to the screen being drawn again: an arrow, the next
    worst, another view. The readings lie all over her."""
    opened = metal_book(folder, findings, readings)
    chance, puts = random.Random(2), []
    for reading in opened.book.readings.values():
        position = Position(
            frame=chance.randrange(25),
            side=chance.choice((Side.PORT, Side.STARBOARD)),
            girth_mm=chance.uniform(0, 2500),
        )
        puts.append(Put("readings", reading.id, reading.model_copy(update={"position": position})))
    boat = opened.book.boat.model_copy(update={"datum": Datum(frame_spacing_mm=480)})
    opened.record(Edit("places", (*puts, Put("boat", ONLY, boat))))
    app = InspectApp(load_checklists(), now, "x", book_file=opened)
    times = []
    async with app.run_test(size=(140, 45)) as pilot:
        app.go("map")
        await pilot.pause(1.0)
        screen = app.screen
        assert isinstance(screen, MapScreen)
        moves = (lambda: screen.action_move(1, 0), lambda: screen.action_worst(1), screen.action_other)
        for number in range(keys):
            begin = time.perf_counter()
            moves[number % 3]()
            screen._compositor.render_strips(app.size)
            times.append(time.perf_counter() - begin)
            await pilot.pause(0)
    return times


def metal_book(folder: Path, findings: int, readings: int) -> BookFile:
    """A full book on ten plate fields, its readings spread over findings and fields in equal patches."""
    opened = full_book(folder, findings)
    chance = random.Random(1)
    plates = [
        PlateField(
            id=f"p{number}",
            name=f"plate {number}",
            region=PlateRegion.BOTTOM,
            alloy="5083",
            as_built_mm=6.0,
            as_built_from=ThicknessSource.CUT_EDGE,
            panel_width_mm=240.0,
            panel_length_mm=480.0,
            area_m2=200.0,
        )
        for number in range(1, 11)
    ]
    puts = [Put("plate_fields", plate.id, plate) for plate in plates]
    boat = opened.book.boat.model_copy(
        update={
            "waterline_length_m": 11.1,
            "displacement_kg": 11800.0,
            "design_category": DesignCategory.B,
            "year_built": 1986,
        }
    )
    puts.append(Put("boat", ONLY, boat))
    stamp = opened.stamp()
    for number in range(1, readings + 1):
        finding = opened.book.findings[str(number % findings + 1)]
        common = {
            "id": f"r{number}",
            "round": "1",
            "compartment": finding.compartment,
            "when": stamp.when,
            "by": "x",
            "finding": finding.chalk,
            "plate_field": plates[number % 10].id,
            "clean_metal": True,
        }
        if number % 2:
            depth = round(1.2 - 0.3 * math.log(-math.log(chance.random())), 1)
            patch = {"patch_length_mm": 300.0, "patch_width_mm": 300.0}
            row: Record = PitReading.model_validate({**common, **patch, "depths_mm": [max(depth, 0.1), 0.4]})
        else:
            row = ThicknessReading.model_validate({**common, "thickness_mm": [round(chance.uniform(5.2, 5.9), 1)]})
        puts.append(Put("readings", f"r{number}", row))
    opened.record(Edit("metal", tuple(puts)))
    return opened


def fit_of_thirty() -> float:
    """Seconds for thirty patches, eight of them without a pit or holed, with all bounds and the tail's check."""
    chance = random.Random(2)
    depths = [1.2 - 0.4 * math.log(-math.log(chance.random())) for _ in range(30)]

    def once() -> None:
        deepest_pit(depths, 0.09, 20, plate_mm=6)
        tail_check(Sample(tuple(depths)))
        deepest_pit(depths[:22], 0.09, 20, plate_mm=6, not_found=6, holed=2, smallest_mm=0.3)

    return seconds(once) / 2


def judge_all(book: Book) -> None:
    judgement = Verdicts(book, CHECKLISTS)
    for finding in book.findings.values():
        judgement.of(finding)


async def typing(folder: Path, findings: int, readings: int, keys: int) -> list[float]:
    """Seconds from a digit typed in Measure to what it means standing on the screen."""
    opened = metal_book(folder, findings, readings)
    app = InspectApp(load_checklists(), now, "x", book_file=opened)
    times = []
    async with app.run_test(size=(80, 24)) as pilot:
        finding = opened.book.findings["7"]
        app.go("measure", compartment=finding.compartment, chalk=7, plate="p1")
        await pilot.pause(0.5)
        field = app.screen.query_one("#values", Field)
        screen = app.screen
        assert isinstance(screen, MeasureScreen)
        for number in range(keys):
            with field.prevent(Input.Changed):
                field.value = f"1.{number % 10} 0.8"
            begin = time.perf_counter()
            screen.changed()
            screen._compositor.render_strips(app.size)
            times.append(time.perf_counter() - begin)
            await pilot.pause(0)
    return times


def field_lines(lines: int) -> bytes:
    """A filled-in table of the demo boat: findings and readings in turns."""
    rows = ["place,chalk,kind,words,measured,values"]
    for number in range(lines):
        found = f"{1000 + number},dent,dent number {number}" if number % 2 else ",,"
        rows.append(f"Port water tank,{found},length,{number + 1} mm")
    return "\n".join(rows).encode()


def tables_read() -> tuple[float, float]:
    """Seconds for 200 lines, and for 2,000."""
    book, checklists = (
        open_book(shipped("demo") / "sandmartin.hullbook", now, "", write=False).book,
        load_checklists(),
    )
    short, long = (field_lines(lines) for lines in (200, 2000))
    stamp = Stamp(now(), "x")
    return (
        seconds(lambda: read_table(book, checklists, stamp, short, "short.csv")),
        seconds(lambda: read_table(book, checklists, stamp, long, "long.csv")),
    )


def report(
    repeats: int, photos: int = 400, records: int = RECORDS, findings: int = 300
) -> dict[str, tuple[float, float]]:
    """What was measured: name → (ours, the thing beside it), medians in seconds. With fewer records and findings it
    only shows that each measurement runs."""
    told: dict[str, tuple[float, float]] = {}
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        start_up(folder)
        runs = [start_up(folder) for _ in range(repeats)]
        for what, timed in zip(("first screen", "the whole of it", "the end"), zip(*runs, strict=True), strict=True):
            told[f"start to {what} / empty Textual app"] = _medians(list(timed))
        pairs = saves(folder, repeats * 5)
        told["save an answer at 1,000 records / TinyDB JSONStorage"] = _medians(pairs)
    with tempfile.TemporaryDirectory() as name:
        times = asyncio.run(key_presses(Path(name), records, repeats * 4))
        told["key in the walk at 1,000 findings / 50 ms"] = (statistics.median(times), 0.050)
    with tempfile.TemporaryDirectory() as name:
        times = asyncio.run(list_keys(Path(name), 100, repeats * 6))
        told["key in the list of 100 jobs / 50 ms"] = (statistics.median(times), 0.050)
    with tempfile.TemporaryDirectory() as name:
        book = full_book(Path(name), records).book
        checklists = load_checklists()
        took = statistics.median(seconds(lambda: worklist(book, checklists)) for _ in range(repeats))
        told["worklist of 1,000 findings / 100 ms"] = (took, 0.100)
    told["30 patches fitted with all bounds / 20 ms"] = (
        statistics.median(fit_of_thirty() for _ in range(repeats)),
        0.020,
    )
    with tempfile.TemporaryDirectory() as name:
        book = metal_book(Path(name), records, 5 * records).book
        took = statistics.median(seconds(lambda: judge_all(book)) for _ in range(repeats))
        told["judging 1,000 findings with 5,000 readings / 200 ms"] = (took, 0.200)
    with tempfile.TemporaryDirectory() as name:
        times = asyncio.run(typing(Path(name), records, 5 * records, repeats * 4))
        told["digit in Measure at 5,000 readings / 50 ms"] = (statistics.median(times), 0.050)
    with tempfile.TemporaryDirectory() as name:
        times = asyncio.run(map_keys(Path(name), records, 5 * records, repeats * 4))
        told["key on the shell map at 5,000 readings / 50 ms"] = (statistics.median(times), 0.050)
    with tempfile.TemporaryDirectory() as name:
        path = full_book(Path(name), records).path
        took = statistics.median(seconds(lambda: open_book(path, now, "x", write=False)) for _ in range(repeats))
        told["open a book of 1,000 findings / 1 s"] = (took, 1.0)
    told["field table of 2,000 lines / one of 200"] = _medians([tables_read() for _ in range(repeats)])
    told["pack of 300 findings without photos / 2 s"] = (measured(findings, 0)[0], 2.0)
    seconds_, megabytes = measured(findings, photos)
    told[f"pack of 300 findings with {photos} photos / 20 s"] = (seconds_, 20.0)
    told[f"its memory / 400 MB, told in MB for ms; {photos} photos"] = (megabytes / 1000, 0.400)
    return told


def _medians(pairs: list[tuple[float, float]]) -> tuple[float, float]:
    beside, ours = (statistics.median(column) for column in zip(*pairs, strict=True))
    return ours, beside


if __name__ == "__main__":
    for what, (ours, beside) in report(int(sys.argv[1]) if len(sys.argv) > 1 else 9).items():
        print(f"{what:<58} {ours * 1000:8.1f} ms  {beside * 1000:8.1f} ms   × {ours / beside:.2f}")
