"""Fixtures that build books, not dicts."""

from __future__ import annotations

import gc
import itertools
import os
from collections.abc import Callable, Sequence
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest

from inspect_tui.domain import edits, walk
from inspect_tui.domain.book import Book, Edit, Stamp, after
from inspect_tui.domain.identity import Identity
from inspect_tui.domain.knowledge.areas import Prompt, ReadingKind
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.records import Compartment, Finding
from inspect_tui.domain.words import FloatState, HullMetal, Likelihood, Rig, Severity
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.work.worklist import Worklist
from inspect_tui.store.book_file import BookFile, create_book
from inspect_tui.store.checklist_files import load_checklists

START = datetime(2025, 11, 15, 9, 0, tzinfo=timezone(timedelta(hours=1)))


class SteppingClock:
    """Every look at it is one second later; tests need no other."""

    def __init__(self, start: datetime = START) -> None:
        self._seconds = itertools.count()
        self.start = start

    def __call__(self) -> datetime:
        return self.start + timedelta(seconds=next(self._seconds))


@pytest.fixture(scope="session")
def checklists() -> Checklists:
    return load_checklists()


@pytest.fixture(scope="session", autouse=True)
def _nobodys_state(tmp_path_factory: pytest.TempPathFactory) -> None:
    """What the program remembers from start to start is not written into the home of whoever runs the tests."""
    os.environ["XDG_STATE_HOME"] = str(tmp_path_factory.mktemp("state"))


@pytest.fixture
def clock() -> SteppingClock:
    return SteppingClock()


# Walks of the screen, and what starts programs, builds a wheel or measures; single tests are marked where they stand.
SLOW = ("terminal", "benchmarks", "faults/test_kills.py", "faults/test_fuzz.py", "test_quality.py")


def pytest_xdist_auto_num_workers() -> int:
    """Two a processor: what drives the screens waits half of its time."""
    return 2 * (os.cpu_count() or 1)


def pytest_collection_finish() -> None:
    """What was collected stays for the whole run: looking through it again for what can go takes a tenth of it."""
    gc.collect()
    gc.freeze()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    here = Path(__file__).parent
    for item in items:
        if any(item.path.is_relative_to(here / name) for name in SLOW):
            item.add_marker("slow")


def pytest_terminal_summary(terminalreporter: Any) -> None:
    """How long the quick set and the slow one took, in seconds of one process; told, never judged."""
    took = {"quick": 0.0, "slow": 0.0}
    for reports in terminalreporter.stats.values():
        for report in reports:
            if isinstance(report, pytest.TestReport):
                took["slow" if "slow" in report.keywords else "quick"] += report.duration
    terminalreporter.write_line("  ".join(f"{name}: {seconds:.0f} s" for name, seconds in took.items()))


IDENTITY = Identity(book_id="0123456789abcdef" * 2, copy_name="demo")


def new_book_edit(checklists: Checklists, stamp: Stamp, name: str = "Sandmartin", **more: Any) -> Edit:
    settings: dict[str, Any] = {
        "rig": Rig.SAIL,
        "hull_metal": HullMetal.ALUMINIUM,
        "hull_length_m": 12.4,
        "float_state": FloatState.HAULED_OUT,
        "areas": [area for area in checklists.areas.values() if area.picked],
    }
    settings |= more
    areas = settings.pop("areas")
    return edits.start_book(stamp, IDENTITY, edits.NewBoat(name, **settings), areas)


@pytest.fixture
def book(checklists: Checklists, clock: SteppingClock) -> Book:
    """A book just started, in memory."""
    stamp = Stamp(clock(), "Mattis")
    return after(Book.empty(), new_book_edit(checklists, stamp), stamp)[0]


@pytest.fixture
def make_file(tmp_path: Path, checklists: Checklists, clock: SteppingClock) -> Callable[..., BookFile]:
    """Start a book on the disk; settings as for `start_book`."""

    def make(file: str = "sandmartin.hullbook", **more: Any) -> BookFile:
        edit = new_book_edit(checklists, Stamp(clock(), "Mattis"), **more)
        return create_book(tmp_path / file, edit, clock, "Mattis")

    return make


def place_called(book: Book, area: str) -> Compartment:
    return next(place for place in book.compartments.values() if place.area == area)


def prompt_called(checklists: Checklists, book: Book, key: str) -> tuple[Compartment, Prompt]:
    """A prompt and the first compartment that asks it."""
    for place in book.bow_to_stern():
        for prompt in walk.prompts_of(checklists, book, place):
            if prompt.key == key:
                return place, prompt
    raise KeyError(key)


def with_finding(book: Book, checklists: Checklists, stamp: Stamp, key: str, **more: Any) -> Book:
    place, prompt = prompt_called(checklists, book, key)
    settings: dict[str, Any] = {
        "kind": prompt.kind or "unclear",
        "words": "",
        "severity": Severity.MARGINAL,
        "likelihood": Likelihood.C,
    }
    return after(
        book, edits.write_finding(book, stamp, place, edits.NewFinding(**(settings | more)), prompt=prompt), stamp
    )[0]


def finding_edit(
    book: Book, stamp: Stamp, place: Compartment, prompt: Prompt | None = None, chalk: int | None = None, **new: Any
) -> Edit:
    """A finding of these values; what is not said of it is marginal, occasional and unclear."""
    settings: dict[str, Any] = {
        "kind": "unclear",
        "words": "",
        "severity": Severity.MARGINAL,
        "likelihood": Likelihood.C,
    }
    return edits.write_finding(book, stamp, place, edits.NewFinding(**(settings | new)), prompt=prompt, chalk=chalk)


def reading_edit(
    book: Book,
    stamp: Stamp,
    place: Compartment,
    kind: ReadingKind,
    values: Sequence[float],
    finding: Finding | None = None,
    **details: Any,
) -> Edit:
    """A reading with these details."""
    return edits.add_reading(book, stamp, place, kind, values, edits.ReadingDetails(**details), finding=finding)


def worklist(book: Book, checklists: Checklists) -> Worklist:
    return Judged(book, checklists).worklist
