"""Fixtures that build books, not dicts."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest

from inspect_tui.domain import edits, walk
from inspect_tui.domain.book import Book, Stamp, after
from inspect_tui.domain.checklists import Checklists, Prompt
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.words import FloatState, HullMetal, Likelihood, Rig, Severity
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


@pytest.fixture
def clock() -> SteppingClock:
    return SteppingClock()


def new_book_edit(checklists: Checklists, stamp: Stamp, name: str = "Sandmartin", **more: Any) -> Any:
    settings: dict[str, Any] = {
        "rig": Rig.SAIL,
        "hull_metal": HullMetal.ALUMINIUM,
        "hull_length_m": 12.4,
        "float_state": FloatState.HAULED_OUT,
        "areas": [area for area in checklists.areas.values() if area.picked],
    }
    return edits.start_book(stamp, name=name, **(settings | more))


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
        for prompt in walk.prompts_of(checklists, book.boat, place):
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
        "prompt": prompt,
    }
    return after(book, edits.write_finding(book, stamp, place, **(settings | more)), stamp)[0]
