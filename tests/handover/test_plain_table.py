"""A gauge's own list of places and values comes in through the same preview as a field table."""

from __future__ import annotations

import pytest

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, Stamp, after
from inspect_tui.domain.reading_records import ThicknessReading
from inspect_tui.domain.words import Side
from inspect_tui.errors import BadTable
from inspect_tui.handover.sheets.field_import import Preview, read_table
from inspect_tui.store.checklist_files import load_checklists
from tests.conftest import START
from tests.judgement.test_scope import book_of

STAMP = Stamp(START, "Mattis")


def her() -> Book:
    """Frames 500 mm apart; one compartment, frames 0 to 20, out to 900 mm on both sides."""
    book = book_of()
    place = next(iter(book.compartments.values()))
    placed = place.model_copy(update={"girth_from_mm": 0.0, "girth_to_mm": 900.0})
    return after(book, edits.change_compartment(placed), STAMP)[0]


def read(text: str) -> tuple[Book, Preview]:
    book = her()
    told = read_table(book, load_checklists(), STAMP, text.encode(), "gauge.csv")
    return (after(book, told.edit(book), STAMP)[0] if told.good else book), told


@pytest.mark.parametrize("head", ["", "place,value\n", "Place;Values\n", "spot\tvalue\n"])
def test_places_and_values_become_readings_at_their_places(head: str) -> None:
    mark = ";" if ";" in head else "\t" if "\t" in head else ","
    lines = [("14+120 P 300", "5.8"), ("15 P 300", '3/16"'), ("15 S 300 outside", "5.4 5.5")]
    quoted = [f'{where}{mark}"{value.replace(chr(34), chr(34) * 2)}"' for where, value in lines]
    book, told = read(head + "\n".join(quoted) + "\n")
    assert told.bad == ()
    assert len(told.good) == 3
    assert "14" not in {one.words for one in told.good}
    readings = [one for one in book.readings.values() if isinstance(one, ThicknessReading)]
    assert [one.thickness_mm for one in readings] == [(5.8,), (pytest.approx(4.7625),), (5.4, 5.5)]
    assert [(one.position.frame, one.position.side, one.position.girth_mm) for one in readings] == [
        (14, Side.PORT, 300), (15, Side.PORT, 300), (15, Side.STARBOARD, 300),
    ]  # fmt: skip
    assert readings[0].position.offset_mm == 120


def test_what_cannot_be_placed_or_read_is_told_line_by_line_and_the_rest_comes_in() -> None:
    book, told = read("place,value\n14 P 300,5.8\n14 P 5000,5.7\nunder the pump,5.6\n15 P 300,thin\n16 P 300,\n")
    assert len(told.good) == 1
    assert len(book.readings) == 1
    why = {one.line: one.why for one in told.bad}
    assert "no compartment" in why[3]
    assert "no place: frame, side and mm out" in why[4]
    assert 5 in why
    assert 6 in why


def test_read_in_twice_it_says_that_it_is_there() -> None:
    text = "14 P 300,5.8\n"
    book, _ = read(text)
    again = read_table(book, load_checklists(), STAMP, text.encode(), "gauge.csv")
    assert again.good == ()
    assert "in the book already" in again.bad[0].why


def test_other_tables_are_still_refused_with_their_columns() -> None:
    with pytest.raises(BadTable, match="first line must name the columns"):
        read("a,b\n1,2\n")
