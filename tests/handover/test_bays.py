"""Thickness bay by bay, port and starboard side by side, held against what was read."""

from __future__ import annotations

from collections.abc import Sequence

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, Stamp, after
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.measuring.metal_records import OTHER_MEMBER
from inspect_tui.domain.records import Position
from inspect_tui.domain.words import DesignCategory, Side
from inspect_tui.handover.model import Bar, Cell, Strong, Table
from inspect_tui.handover.parts.metal.bays import bays_table
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.judgement.judged import Judged
from tests.conftest import START, finding_edit, reading_edit
from tests.judgement.test_scope import book_of

STAMP = Stamp(START, "Mattis")


def gauged(book: Book, frame: float, side: Side, values: Sequence[float], girth_mm: float | None = 300.0) -> Book:
    place = next(iter(book.compartments.values()))
    at = Position(frame=frame, side=side, girth_mm=girth_mm)
    return after(book, reading_edit(book, STAMP, place, "thickness", list(values), position=at), STAMP)[0]


def table(book: Book, checklists: Checklists) -> Table | None:
    return bays_table(Subject(Judged(book, checklists)))


def rows(book: Book, checklists: Checklists) -> list[tuple[Cell, ...]]:
    told = table(book, checklists)
    assert told is not None
    return [row for row in told.rows if len(row) > 1]


def words(row: Sequence[Cell]) -> list[str]:
    return [str(cell) for cell in row]


def test_without_a_reading_that_has_frame_and_side_there_is_no_table(checklists: Checklists) -> None:
    assert table(book_of(), checklists) is None
    assert table(gauged(book_of(), 4, Side.CENTRE, [5.0], girth_mm=None), checklists) is None, "on neither side"


def test_both_sides_of_a_bay_stand_in_one_row_by_their_means(checklists: Checklists) -> None:
    # Port, in the bay from frame 4: (5.4 + 5.0 + 5.6) / 3 = 5.33, least 5.0; (6 − 5.33) / 6 = 11 % gone.
    # Starboard: 5.9 alone, 2 % gone.
    book = gauged(gauged(book_of(), 4.5, Side.PORT, [5.4, 5.0, 5.6]), 4, Side.STARBOARD, [5.9])
    (row,) = rows(book, checklists)
    assert words(row) == ["→ 11", "–", "5.3 (5.0)", "", "6", "4–5", "–", "", "5.9", "–", "2"]
    assert isinstance(row[0], Strong), "the worst row"
    assert isinstance(row[2], Strong)
    assert not isinstance(row[8], Strong)
    port, starboard = row[3], row[7]
    assert isinstance(port, Bar)
    assert isinstance(starboard, Bar)
    assert (port.leftward, starboard.leftward) == (True, False)
    assert (round(port.left_mm or 0, 2), port.built_mm, starboard.left_mm) == (5.33, 6.0, 5.9)


def test_bays_run_from_bow_to_stern_and_what_was_not_read_says_so(checklists: Checklists) -> None:
    book = gauged(gauged(book_of(), 9, Side.PORT, [5.8]), 2.9, Side.STARBOARD, [5.7])
    first, second = rows(book, checklists)
    assert (str(first[5]), str(second[5])) == ("2–3", "9–10")
    assert words(first)[:3] == ["–", "–", "not read"]
    assert words(second)[8:] == ["not read", "–", "–"]
    assert (str(first[10]), str(second[0])) == ("→ 5", "3")


def test_an_earlier_round_stands_beside_and_a_side_alone_is_enough(checklists: Checklists) -> None:
    book = gauged(book_of(), 4, Side.PORT, [5.9, 5.7], girth_mm=None)
    later = Stamp(START.replace(year=START.year + 1), "Mattis")
    book = after(book, edits.open_round(book, later, "next year"), later)[0]
    place = next(iter(book.compartments.values()))
    at = Position(frame=4, side=Side.PORT)
    book = after(book, reading_edit(book, later, place, "thickness", [5.5], position=at), later)[0]
    (row,) = rows(book, checklists)
    assert words(row)[:3] == ["→ 8", "5.8", "5.5"]


def test_thicker_than_as_built_has_its_sign_and_below_what_is_allowed_is_heavy(checklists: Checklists) -> None:
    book = gauged(gauged(book_of(), 4, Side.PORT, [6.3]), 6, Side.PORT, [2.0])
    key, field = next(iter(book.plate_fields.items()))
    boat = book.boat.model_copy(
        update={"displacement_kg": 9000.0, "design_category": DesignCategory.B, "hull_draught_m": 0.7}
    )
    book = after(book, edits.change_boat(boat), STAMP)[0]
    sized = field.model_copy(update={"panel_width_mm": 300.0, "panel_length_mm": 500.0, "welded": True})
    book = after(book, edits.keep_plate_field(sized), STAMP)[0]
    thick, thin = rows(book, checklists)
    assert str(thick[0]) == "−5"
    assert not isinstance(thick[2], Strong)
    assert isinstance(thin[2], Strong)
    required = Judged(book, checklists).verdicts.fields[key].required
    allowed = f"{required.check.required_mm:.1f}" if required.check else "–"
    assert str(thin[6]) == allowed


def test_what_was_read_of_a_frame_or_pipe_is_no_plate(checklists: Checklists) -> None:
    book = gauged(book_of(), 4, Side.PORT, [5.5])
    place = next(iter(book.compartments.values()))
    at = Position(frame=4, side=Side.PORT, girth_mm=300.0)
    edit = reading_edit(book, STAMP, place, "thickness", [3.0], position=at, member=OTHER_MEMBER)
    (row,) = rows(after(book, edit, STAMP)[0], checklists)
    assert words(row)[2] == "5.5"


def test_a_reading_without_a_side_lies_on_that_of_its_compartment(checklists: Checklists) -> None:
    book = book_of()
    place = next(iter(book.compartments.values())).model_copy(update={"side": Side.STARBOARD})
    book = after(book, edits.change_compartment(place), STAMP)[0]
    edit = reading_edit(book, STAMP, place, "thickness", [5.5], position=Position(frame=4))
    (row,) = rows(after(book, edit, STAMP)[0], checklists)
    assert words(row)[2] == "not read"
    assert words(row)[8] == "5.5"


def test_a_reading_without_a_place_lies_where_its_finding_lies(checklists: Checklists) -> None:
    book = book_of()
    place = next(iter(book.compartments.values()))
    at = Position(frame=7, side=Side.PORT, girth_mm=300.0)
    book = after(book, finding_edit(book, STAMP, place, position=at), STAMP)[0]
    finding = next(iter(book.findings.values()))
    edit = reading_edit(book, STAMP, place, "thickness", [5.1], finding=finding, position=Position())
    (row,) = rows(after(book, edit, STAMP)[0], checklists)
    assert (words(row)[2], words(row)[5]) == ("5.1", "7–8")
