"""Photos belong to findings; chalk numbers once printed on a sheet are nobody else's."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import pytest

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, Edit, Stamp, after
from inspect_tui.domain.edits.photos import attach_photo, offers, take_off_photo
from inspect_tui.domain.edits.sheets import kept_for, reserve_chalks, together
from inspect_tui.domain.knowledge.areas import Prompt
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.undoing import undo
from inspect_tui.domain.words import Said
from inspect_tui.errors import NotAllowed
from tests.conftest import START, prompt_called, with_finding

STAMP = Stamp(START, "Mattis")


def later(**by: float) -> Stamp:
    return Stamp(START + timedelta(**by), "Mattis")


def test_a_picture_is_offered_to_the_finding_written_nearest_to_its_time(book: Book, checklists: Checklists) -> None:
    book = with_finding(book, checklists, STAMP, "stem/stem-weld")
    book = with_finding(book, checklists, later(minutes=50), "stem/dents")
    taken = START + timedelta(minutes=40)
    assert [(one.finding.chalk, one.apart) for one in offers(book, taken)] == [
        (2, timedelta(minutes=10)),
        (1, timedelta(minutes=40)),
    ]
    # A camera that gives no zone means the time on the wall.
    assert offers(book, taken.replace(tzinfo=None)) == offers(book, taken)
    assert offers(book, START + timedelta(days=1)) == []
    assert offers(book, None) == []


def test_one_picture_may_show_two_findings_and_goes_with_the_last(book: Book, checklists: Checklists) -> None:
    book = with_finding(book, checklists, STAMP, "stem/stem-weld")
    book = with_finding(book, checklists, STAMP, "stem/dents")
    for chalk in ("1", "2"):
        edit = attach_photo(book, STAMP, book.findings[chalk], file="a.jpg", sha256="0" * 64)
        book, _ = after(book, edit, STAMP)
    assert list(book.photos) == ["i1-demo"]
    with pytest.raises(NotAllowed, match="already"):
        attach_photo(book, STAMP, book.findings["1"], file="b.jpg", sha256="0" * 64)
    book, _ = after(book, take_off_photo(book, book.findings["1"], "i1-demo"), STAMP)
    assert list(book.photos) == ["i1-demo"]
    book, _ = after(book, take_off_photo(book, book.findings["2"], "i1-demo"), STAMP)
    assert not book.photos
    book, _ = after(book, undo(book), STAMP)
    assert book.findings["2"].photos == ("i1-demo",)
    assert list(book.photos) == ["i1-demo"]


def test_numbers_kept_for_a_sheet_go_to_nobody_else(book: Book, checklists: Checklists) -> None:
    places = book.bow_to_stern()[:2]
    book = with_finding(book, checklists, STAMP, "stem/stem-weld")
    book, _ = after(book, reserve_chalks(book, STAMP, places, 3), STAMP)
    assert [kept_for(book, place.id) for place in places] == [[2, 3, 4], [5, 6, 7]]
    assert book.next_number("findings") == 8
    assert reserve_chalks(book, STAMP, places, 3).puts == (), "a sheet printed again has the same numbers"
    assert kept_for(after(book, reserve_chalks(book, STAMP, places, 4), STAMP)[0], places[0].id) == [2, 3, 4, 8]
    book, _ = after(book, undo(book), STAMP)
    assert book.next_number("findings") == 8, "the printed sheet may still lie about"


def test_many_changes_made_as_one_are_taken_back_as_one(book: Book, checklists: Checklists) -> None:
    place, prompt = prompt_called(checklists, book, "stem/dents")
    other = prompt_called(checklists, book, "stem/stem-weld")[1]

    def sound(asked: Prompt) -> Callable[[Book], Edit]:
        return lambda one: edits.say(one, STAMP, place, asked, Said.SOUND)

    edit = together(book, "both", [sound(prompt), sound(other)])
    after_both, _ = after(book, edit, STAMP)
    assert len(after_both.answers) == 2
    assert len(after_both.trail) == len(book.trail) + 1
    assert not after(after_both, undo(after_both), STAMP)[0].answers
