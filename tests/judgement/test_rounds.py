"""What became of each spot since an earlier round: every spot once, and nothing said that readings do not say."""

from __future__ import annotations

from datetime import timedelta
from functools import cache

from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, Edit, Put, Stamp, after
from inspect_tui.domain.reading_records import PitReading, ThicknessReading
from inspect_tui.domain.words import CLOSED, Status, Treatment
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.metal.growing import spots_of
from inspect_tui.judgement.shell.rounds import Became, Since, since_words
from inspect_tui.judgement.shell.shell_map import places_at, shell_map
from inspect_tui.store.checklist_files import load_checklists
from tests.conftest import START, finding_edit, new_book_edit, reading_edit
from tests.judgement.invented import Invented
from tests.judgement.test_scope import Damage
from tests.judgement.test_scope import book_of as plated

CHECKLISTS = load_checklists()
A_YEAR = timedelta(days=365)


@cache
def judged(seed: int) -> Judged:
    return Judged(Invented(seed, CHECKLISTS).book, CHECKLISTS)


@settings(deadline=None, max_examples=10)
@given(st.integers(0, 9))
def test_every_spot_is_told_of_once_and_as_its_verdict_tells(seed: int) -> None:
    of = judged(seed)
    book, told = of.book, of.since
    if book.round.number < 2:
        assert told == ()
        return
    read = [
        one
        for one in book.readings.values()
        if isinstance(one, PitReading | ThicknessReading) and one.clean_metal is not False
    ]
    withdrawn = {one.chalk for one in book.findings.values() if one.status is Status.WITHDRAWN}
    spots = {
        those[-1].id
        for those in spots_of(sorted(read, key=lambda one: (one.when, one.id))).values()
        if those[-1].finding not in withdrawn
    }
    ours = [one.newest.id for one in told if one.what != "crack"]
    assert len(ours) == len(set(ours))
    assert set(ours) <= spots
    assert len({one.key for one in told}) == len(told)
    order = list(Became)
    assert [order.index(one.became) for one in told] == sorted(order.index(one.became) for one in told)
    for one in told:
        here = book.round_number(one.newest.round) == book.round.number
        if one.became in (Became.GREW, Became.SAME, Became.NEW, Became.CANNOT):
            assert here
        if one.became is Became.AGAIN:
            assert not here
            assert one.finding is None or one.finding.status not in CLOSED
        if one.became is Became.GREW:
            assert one.growth is not None
            assert one.growth.significant
        assert one.words
    for finding in book.findings.values():
        verdict = of.verdicts.of(finding)
        grown = verdict.facts.growth if verdict else None
        ours_grew = [one for one in told if one.finding == finding and one.became is Became.GREW]
        if ours_grew and grown is not None:
            assert grown in [one.growth for one in ours_grew]


def book_of(*depths_mm: float | None, days: int = 365) -> Book:
    """One pit of one finding, a depth for each round; None: a round in which it was not read."""
    stamp, when = Stamp(START, "x"), START
    book = after(Book.empty(), new_book_edit(CHECKLISTS, stamp), stamp)[0]
    place = next(one for one in book.bow_to_stern() if one.area == "cabin-bilge")
    for number, depth in enumerate(depths_mm):
        if number:
            when += timedelta(days=days)
            stamp = Stamp(when, "x")
            book = after(book, edits.open_round(book, stamp, "again"), stamp)[0]
        if not book.findings:
            book = after(book, finding_edit(book, stamp, place, kind="pitting"), stamp)[0]
        if depth is not None:
            book = after(book, pit(book, stamp, depth), stamp)[0]
    return book


def pit(book: Book, stamp: Stamp, depth_mm: float) -> Edit:
    """The pit of finding 1, by a depth gauge on bright metal."""
    finding = book.findings["1"]
    place = book.compartments[finding.compartment]
    return reading_edit(
        book, stamp, place, "pits", [depth_mm], finding, clean_metal=True, instrument_error=0.1,
    )  # fmt: skip


def told_of(book: Book) -> Since:
    [told] = Judged(book, CHECKLISTS).since
    return told


def test_what_grew_what_did_not_and_what_cannot_be_told() -> None:
    assert Judged(book_of(1.0), CHECKLISTS).since == (), "one round: nothing to hold it against"
    cases = {
        Became.GREW: book_of(1.0, 2.6),
        Became.SAME: book_of(1.0, 1.0),
        Became.AGAIN: book_of(1.0, None),
        Became.NEW: book_of(None, 1.0),
        Became.CANNOT: book_of(1.0, 2.6, days=10),
    }
    for became, book in cases.items():
        assert told_of(book).became is became, told_of(book).words
    less = told_of(book_of(2.6, 1.0))
    assert less.became is Became.CANNOT
    assert "does not grow back" in less.words
    line = since_words(Judged(cases[Became.GREW], CHECKLISTS).since)
    assert line.startswith("Grew: no. 1 in ")
    assert "1.6 ± " in line
    assert "at the earliest" not in line or "could be through from" in line
    assert since_words(Judged(cases[Became.AGAIN], CHECKLISTS).since) == "1 spot to measure again"


def test_a_mark_that_is_not_found_waits_no_more_until_the_next_round() -> None:
    book = book_of(1.0, None)
    stamp = Stamp(START + 2 * A_YEAR, "x")
    lost = after(book, edits.not_found_again(book, book.findings["1"]), stamp)[0]
    assert told_of(lost).became is Became.LOST
    again = after(lost, edits.open_round(lost, stamp, "third"), stamp)[0]
    assert told_of(again).became is Became.AGAIN


def test_before_and_after_a_repair() -> None:
    book = book_of(2.0)
    stamp = Stamp(START + timedelta(days=1), "x")
    finding = book.findings["1"]
    for status in (Status.DECIDED, Status.REPAIRED):
        edit = edits.move_finding(book, stamp, finding, status, treatment=Treatment.WELD_UP)
        book = after(book, edit, stamp)[0]
        finding = book.findings["1"]
    later = Stamp(START + A_YEAR, "x")
    book = after(book, edits.open_round(book, later, "again"), later)[0]
    assert told_of(book).became is Became.REPAIRED
    assert "new metal was not read" in told_of(book).words
    read = after(book, pit(book, later, 0.3), later)[0]
    told = told_of(read)
    assert told.became is Became.REPAIRED
    assert "2 mm before it was repaired" in told.words
    assert told.growth is None, "what was cut away is not growth"


def test_the_map_says_what_the_list_says() -> None:
    for seed in range(6):
        of = judged(seed)
        if of.book.round.number < 2:
            continue
        told = shell_map(of.book, of.checklists, of.verdicts, of.worklist, of.since)
        for at, place in told.places.items():
            assert place in {one.id for one in places_at(of.book, of.checklists, told, *at)}
        signs = {cell.became for cell in told.cells.values() if cell.became}
        assert signs <= {one.became for one in of.since}
        for cell in told.cells.values():
            assert cell.read is not None or cell.became is None


def test_of_what_grew_that_comes_first_whose_end_is_nearest() -> None:
    """In 6 mm of plate: one pit from 1.0 to 2.0 mm, the other from 1.0 to 4.0 in the same year."""
    stamp = Stamp(START, "x")
    for first, second in ((2.0, 4.0), (4.0, 2.0)):
        book = plated(Damage(2250, 300), Damage(6250, 300), own=None)
        for when, depths in ((START, (1.0, 1.0)), (START + A_YEAR, (first, second))):
            stamp = Stamp(when, "x")
            if when > START:
                book = after(book, edits.open_round(book, stamp, "again"), stamp)[0]
            for chalk, depth in enumerate(depths, 1):
                finding = book.findings[str(chalk)]
                place = book.compartments[finding.compartment]
                edit = reading_edit(
                    book, stamp, place, "pits", [depth], finding, clean_metal=True, instrument_error=0.1,
                )  # fmt: skip
                book = after(book, edit, stamp)[0]
        told = Judged(book, CHECKLISTS).since
        assert [one.became for one in told] == [Became.GREW, Became.GREW]
        assert [one.told[-1][1].gone_mm for one in told] == [4.0, 2.0]
        assert "could be through from" in told[0].words
        assert "(and 1 more)" in since_words(told)


def test_a_gauge_too_coarse_for_it_tells_nothing() -> None:
    """Two readings of 1 mm, each out by 0.8 mm at the most: growth of a millimetre would not show."""
    book = book_of(1.0, None)
    stamp = Stamp(START + A_YEAR, "x")
    both = after(book, pit(book, stamp, 1.0), stamp)[0].readings.values()
    coarse = [one.model_copy(update={"instrument_error": 0.8}) for one in both]
    puts = tuple(Put("readings", one.id, one) for one in coarse)
    told = told_of(after(book, Edit("coarse", puts), stamp)[0])
    assert told.became is Became.CANNOT
    assert "would not show" in told.words
