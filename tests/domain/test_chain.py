"""The trail is a chain: what was changed outside of the program is found."""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any

import pytest

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, Stamp, after, dump
from inspect_tui.domain.chain import digest_of, link_of, mismatches
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.undoing import undo
from inspect_tui.domain.words import Said
from tests.conftest import START, SteppingClock, prompt_called, with_finding

STAMP = Stamp(START, "Mattis")
Tables = dict[str, dict[str, dict[str, Any]]]


def written(book: Book, checklists: Checklists) -> Tables:
    """A book with an answer, a finding, and an undone change, as it is stored."""
    book = with_finding(book, checklists, STAMP, "stem/stem-weld", words="7 pits")
    place, prompt = prompt_called(checklists, book, "stem/dents")
    book, _ = after(book, edits.say(book, STAMP, place, prompt, Said.SOUND), STAMP)
    book, _ = after(book, undo(book), STAMP)
    return {name: {key: dump(row) for key, row in rows.items()} for name, rows in book.tables.items()}


def test_a_book_as_it_was_written_fits_its_trail(book: Book, checklists: Checklists) -> None:
    assert mismatches(written(book, checklists)) == []


def test_each_link_is_over_the_line_and_the_link_before(book: Book, checklists: Checklists) -> None:
    trail = written(book, checklists)["trail"]
    before = ""
    for number in range(1, len(trail) + 1):
        line = trail[f"{number}-demo"]
        assert line["link"] == link_of(before, line)
        before = line["link"]


def _digit(tables: Tables) -> None:
    tables["findings"]["1"]["words"] = "8 pits"


def _dropped(tables: Tables) -> None:
    del tables["findings"]["1"]


def _slipped_in(tables: Tables) -> None:
    tables["findings"]["9"] = {**tables["findings"]["1"], "chalk": 9}


def _trail_words(tables: Tables) -> None:
    tables["trail"]["2-demo"]["words"] += "!"


def _trail_relinked(tables: Tables) -> None:
    """A line changed and its own link made to fit: the next line's does not."""
    line = tables["trail"]["2-demo"]
    line["by"] = "somebody else"
    line["link"] = link_of(tables["trail"]["1-demo"]["link"], line)


def _trail_line_out(tables: Tables) -> None:
    del tables["trail"]["2-demo"]


@pytest.mark.parametrize(
    ("spoil", "told"),
    [
        (_digit, "Findings, record 1, is not what line"),
        (_dropped, "Findings, record 1, is not what line"),
        (_slipped_in, "no line of the trail wrote it"),
        (_trail_words, "Line 2 of the trail"),
        (_trail_relinked, "Line 3 of the trail"),
        (_trail_line_out, "lines are missing"),
    ],
)
def test_one_changed_digit_is_found(
    book: Book, checklists: Checklists, spoil: Callable[[Tables], None], told: str
) -> None:
    tables = copy.deepcopy(written(book, checklists))
    spoil(tables)
    assert any(told in one.words for one in mismatches(tables))


def test_the_digest_does_not_hang_on_the_order_of_keys() -> None:
    assert digest_of({"a": 1, "b": [1.5, "ü"]}) == digest_of({"b": [1.5, "ü"], "a": 1})
    assert digest_of({"a": 1}) != digest_of({"a": 2})


def test_words_that_no_file_can_hold_do_not_break_the_chain(book: Book, clock: SteppingClock) -> None:
    assert len(digest_of("\ud800")) == 64
