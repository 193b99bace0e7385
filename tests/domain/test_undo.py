"""Taking back: a change like any other, in the trail, and itself to be taken back."""

from __future__ import annotations

import contextlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, Edit, Stamp, after, tried
from inspect_tui.domain.edits.sheets import reserve_chalks
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.trail import Form
from inspect_tui.domain.undoing import undo
from inspect_tui.domain.words import Said
from inspect_tui.errors import NotAllowed, NothingToUndo
from inspect_tui.store.checklist_files import load_checklists
from tests.conftest import START, new_book_edit, prompt_called, reading_edit, with_finding

STAMP = Stamp(START, "Mattis")
CHECKLISTS = load_checklists()


def say(book: Book, key: str, said: Said, note: str = "") -> Book:
    place, prompt = prompt_called(CHECKLISTS, book, key)
    return after(book, edits.say(book, STAMP, place, prompt, said, note=note), STAMP)[0]


def test_undo_brings_back_what_stood_before_and_is_itself_in_the_trail(book: Book) -> None:
    once = say(book, "stem/dents", Said.SOUND)
    twice = say(once, "stem/dents", Said.NOT_FITTED)
    back, _ = after(twice, undo(twice), STAMP)
    assert back.answers == once.answers
    assert len(back.trail) == len(twice.trail) + 1
    first, _ = after(back, undo(back), STAMP)
    assert first.answers == book.answers
    with pytest.raises(NothingToUndo):
        undo(first)


def test_an_undo_can_be_taken_back(book: Book) -> None:
    said = say(book, "stem/dents", Said.SOUND)
    back, _ = after(said, undo(said), STAMP)
    again, _ = after(back, undo(back, len(back.trail)), STAMP)
    assert again.answers == said.answers


def test_an_undone_finding_gives_its_number_to_nobody(book: Book, checklists: Checklists) -> None:
    found = with_finding(book, checklists, STAMP, "stem/dents")
    back, _ = after(found, undo(found), STAMP)
    assert back.findings == {}
    assert back.answers == {}, "its prompt is open again"
    found = with_finding(back, checklists, STAMP, "stem/dents")
    assert set(found.findings) == {"2"}


def test_a_change_with_a_later_one_on_it_is_not_taken_back(book: Book) -> None:
    once = say(book, "stem/dents", Said.SOUND)
    number = len(once.trail)
    twice = say(once, "stem/dents", Said.NOT_FITTED)
    with pytest.raises(NotAllowed, match="first"):
        undo(twice, number)
    other = say(once, "stem/stem-weld", Said.SOUND)
    back, _ = after(other, undo(other, number), STAMP)
    assert {one.prompt for one in back.answers.values()} == {"stem/stem-weld"}


def test_the_start_of_the_book_and_unknown_changes_stay(book: Book) -> None:
    for number in (1, 99, -1):
        with pytest.raises(NothingToUndo):
            undo(book, number)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.sampled_from(["sound", "not fitted", "finding", "undo"]), max_size=12))
def test_undoing_everything_always_leads_back_to_the_start(steps: list[str]) -> None:
    start, _ = after(Book.empty(), new_book_edit(CHECKLISTS, STAMP), STAMP)
    book = start
    for number, step in enumerate(steps):
        if step == "undo":
            try:
                book, _ = after(book, undo(book), STAMP)
            except NothingToUndo:
                continue
        elif step == "finding":
            book = with_finding(book, CHECKLISTS, STAMP, "stem/dents")
        else:
            book = say(book, "stem/dents", Said(step), note=str(number))
    while True:
        try:
            book, _ = after(book, undo(book), STAMP)
        except NothingToUndo:
            break
    assert {name: rows for name, rows in book.tables.items() if name != "trail"} == {
        name: rows for name, rows in start.tables.items() if name != "trail"
    }


def test_nothing_is_taken_back_from_under_what_leans_on_it(book: Book, checklists: Checklists) -> None:
    found = with_finding(book, checklists, STAMP, "stem/dents")
    number = len(found.trail)
    place = found.compartments[found.findings["1"].compartment]
    read, _ = after(found, reading_edit(found, STAMP, place, "length", [9], finding=found.findings["1"]), STAMP)
    with pytest.raises(NotAllowed, match="readings"):
        undo(read, number)
    added, _ = after(book, edits.add_compartment(book, checklists.areas["deck"], "Poop"), STAMP)
    number = len(added.trail)
    poop = next(one for one in added.compartments.values() if one.name == "Poop")
    prompt = checklists.areas["deck"].prompt[0]
    said, _ = after(added, edits.say(added, STAMP, poop, prompt, Said.SOUND), STAMP)
    with pytest.raises(NotAllowed, match="compartment"):
        undo(said, number)
    opened, _ = after(book, edits.open_round(book, STAMP, "spring"), STAMP)
    number = len(opened.trail)
    said = say(opened, "stem/dents", Said.SOUND)
    with pytest.raises(NotAllowed, match="round"):
        undo(said, number)


def test_a_round_taken_back_gives_its_number_to_nobody(book: Book) -> None:
    opened, _ = after(book, edits.open_round(book, STAMP, "spring"), STAMP)
    back, _ = after(opened, undo(opened), STAMP)
    again, _ = after(back, edits.open_round(back, STAMP, "summer"), STAMP)
    assert again.round.number == 3


@settings(max_examples=40, deadline=None)
@given(st.lists(st.sampled_from(["sound", "finding", "sheet", "draft", "try", "undo"]), max_size=12))
def test_numbers_and_the_head_carried_along_are_those_of_the_book_read_anew(steps: list[str]) -> None:
    book, _ = after(Book.empty(), new_book_edit(CHECKLISTS, STAMP), STAMP)
    for number, step in enumerate(steps):
        assert book.new_key("readings")
        match step:
            case "undo":
                with contextlib.suppress(NothingToUndo):
                    book, _ = after(book, undo(book), STAMP)
            case "finding":
                book = with_finding(book, CHECKLISTS, STAMP, "stem/dents")
            case "sheet":
                book, _ = after(book, reserve_chalks(book, STAMP, book.bow_to_stern()[:1], number + 1), STAMP)
            case "draft":
                form = Form("finding", {"compartment": "c1-demo"})
                put = edits.keep_draft(STAMP, form, {}, book.next_number("findings"))
                book, _ = after(book, Edit("", (put,)), STAMP)
            case "try":
                place, prompt = prompt_called(CHECKLISTS, book, "stem/stem-weld")
                assert tried(book, edits.say(book, STAMP, place, prompt, Said.SOUND)).head == book.head
            case _:
                book = say(book, "stem/dents", Said.SOUND if number % 2 else Said.NOT_FITTED)
        anew = Book(book.tables, book.unreadable)
        assert book.head == anew.head
        for table in ("findings", "readings", "trail", "sheets", "compartments"):
            assert book.next_number(table) == anew.next_number(table), (table, steps)
