"""What papers said and the book says no more is a fact: it follows from the trail, whatever is done later."""

from __future__ import annotations

from pathlib import Path

import pytest

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, Edit, Stamp, after
from inspect_tui.domain.edits.findings import change_finding
from inspect_tui.domain.edits.readings import take_out_reading
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.undoing import undo
from inspect_tui.domain.words import Severity
from inspect_tui.handover.papers import write_papers
from inspect_tui.handover.readiness import no_more_said
from inspect_tui.handover.report import book_digest
from inspect_tui.judgement.corrections import corrections
from inspect_tui.judgement.judged import Judged
from tests.conftest import SteppingClock, with_finding


@pytest.fixture
def told(book: Book, checklists: Checklists, clock: SteppingClock, tmp_path: Path) -> Book:
    """A finding and a reading at it, of which papers were made."""
    book = with_finding(book, checklists, stamp(clock), "stem/stem-weld", severity=Severity.CRITICAL, words="pits")
    finding = book.findings["1"]
    place = book.compartments[finding.compartment]
    book = done(book, edits.add_reading(book, stamp(clock), place, "pits", (3.1,), finding=finding), clock)
    pack = write_papers(Judged(book, checklists), tmp_path, ["text"])
    return done(book, Edit("", (pack.made(stamp(clock)),)), clock)


def stamp(clock: SteppingClock) -> Stamp:
    return Stamp(clock(), "Mattis")


def done(book: Book, edit: Edit, clock: SteppingClock) -> Book:
    return after(book, edit, stamp(clock))[0]


def test_papers_are_noted_and_say_nothing_of_the_boat(told: Book, checklists: Checklists) -> None:
    (papers,) = told.papers.values()
    assert papers.name == "papers"
    assert set(papers.files) == {"Sandmartin-papers.txt"}
    assert papers.head == told.said_until == told.head, "no line of the trail tells of it"
    without = Book({**told.tables, "papers": {}})
    assert book_digest(told) == book_digest(without) == papers.digest
    assert corrections(told) == ()
    assert no_more_said(Judged(told, checklists)) == []


def test_what_is_no_longer_said_is_told_with_who_and_when(
    told: Book, checklists: Checklists, clock: SteppingClock
) -> None:
    finding, (reading,) = told.findings["1"], told.readings.values()
    later = done(told, take_out_reading(reading), clock)
    softer = finding.model_copy(update={"severity": Severity.MARGINAL, "words": "a scratch"})
    later = done(later, change_finding(softer), clock)
    found = corrections(later)
    assert [(one.what, one.table, one.key) for one in found] == [
        ("removed", "readings", reading.id),
        ("made less severe", "findings", "1"),
        ("reworded", "findings", "1"),
    ]
    assert found[0].before == "pit depths 3.1 mm"
    assert (found[1].before, found[1].after) == ("critical", "marginal")
    lines = sorted(later.trail.values(), key=lambda line: line.number)[-2:]
    assert [one.when for one in found] == [lines[0].when, lines[1].when, lines[1].when]
    assert {one.by for one in found} == {"Mattis"}
    (first, *_) = no_more_said(Judged(later, checklists))
    assert "reading r1" in first
    assert "removed" in first


def test_what_is_worse_or_new_is_no_correction_and_what_is_taken_back_none_either(
    told: Book, checklists: Checklists, clock: SteppingClock
) -> None:
    finding, (reading,) = told.findings["1"], told.readings.values()
    worse = done(told, change_finding(finding.model_copy(update={"severity": Severity.CATASTROPHIC})), clock)
    worse = with_finding(worse, checklists, stamp(clock), "stem/dents")
    assert corrections(worse) == ()
    gone = done(worse, take_out_reading(reading), clock)
    assert len(corrections(gone)) == 1
    assert corrections(done(gone, undo(gone), clock)) == ()


def test_papers_made_after_it_do_not_hide_it(
    told: Book, checklists: Checklists, clock: SteppingClock, tmp_path: Path
) -> None:
    (reading,) = told.readings.values()
    gone = done(told, take_out_reading(reading), clock)
    pack = write_papers(Judged(gone, checklists), tmp_path, ["text"])
    again = done(gone, Edit("", (pack.made(stamp(clock)),)), clock)
    assert len(again.papers) == 2
    (one,) = corrections(again)
    assert one.papers == min(papers.when for papers in again.papers.values())


def test_papers_of_another_trail_say_nothing(told: Book, clock: SteppingClock) -> None:
    (papers,) = told.papers.values()
    other = papers.model_copy(update={"head": "0" * 64})
    book = Book({**told.tables, "papers": {papers.id: other}})
    assert corrections(done(book, take_out_reading(next(iter(book.readings.values()))), clock)) == ()
