"""The demo boat: built from its data, the same each time, and rich enough to show everything."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.measuring import measured
from inspect_tui.domain.walking import turns
from inspect_tui.domain.words import Said, Status
from inspect_tui.store.book_file import open_book
from inspect_tui.store.checklist_files import shipped
from tests.conftest import START

DEMO = shipped("demo")


@pytest.fixture(scope="module")
def book() -> Book:
    return open_book(DEMO / "sandmartin.hullbook", lambda: START, "", write=False).book


def test_the_script_builds_the_shipped_book_to_the_byte(tmp_path: Path) -> None:
    spec = importlib.util.spec_from_file_location("make_demo", DEMO / "make_demo.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    module.build(tmp_path / "sandmartin.hullbook")
    assert (tmp_path / "sandmartin.hullbook").read_bytes() == (DEMO / "sandmartin.hullbook").read_bytes()


# What a boat that is laid up in a shed need not have.
RARE = {"seal", "closing", "tackle", "flooding", "sewage", "lead", "welding-current", "rivet", "gear"}


def test_it_is_as_rich_as_a_real_one(book: Book, checklists: Checklists) -> None:
    assert len(book.compartments) >= 20
    assert len(book.answers) >= 150
    assert len({answer.when.date() for answer in book.answers.values()}) == 2
    assert len(book.findings) >= 40
    kinds = {finding.kind for finding in book.findings.values()}
    assert kinds >= {id for id, kind in checklists.kinds.items() if kind.danger != "always"} - RARE
    assert len(book.readings) >= 40
    assert sum(answer.said is Said.UNSEEN for answer in book.answers.values()) >= 20
    assert any(walk.progress(book, checklists, place).all_unseen for place in book.compartments.values())


def test_one_finding_was_opened_again_after_cleaning(book: Book) -> None:
    histories = [[event.status for event in finding.history] for finding in book.findings.values()]
    assert any(
        Status.CLEANED in history and history[-1] is Status.FOUND and len(history) > 2 for history in histories
    )


def test_it_stops_half_way_so_that_resuming_shows_something(book: Book, checklists: Checklists) -> None:
    spot = turns.carry_on(book, checklists)
    assert spot is not None
    place = book.compartments[spot.compartment]
    assert place.name == "Port water tank"
    assert 0 < walk.progress(book, checklists, place).answered < walk.progress(book, checklists, place).asked
    assert measured.waiting_for_measuring(book)
