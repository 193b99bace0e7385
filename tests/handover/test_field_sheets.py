"""Field sheets: printed with numbers of their own, filled in by hand, read back with every bad line explained."""

from __future__ import annotations

import csv
import io
import sys
from datetime import timedelta
from pathlib import Path
from types import FrameType

import pypdf
import pytest
from click.testing import CliRunner

from inspect_tui.cli import main
from inspect_tui.domain.book import Book, Stamp, after
from inspect_tui.domain.edits.sheets import kept_for, reserve_chalks
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.measuring.measured import READ_ASHORE
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.undoing import undo
from inspect_tui.domain.words import Said
from inspect_tui.errors import BadTable, Stopped
from inspect_tui.handover.sheets.field_import import Preview, read_table
from inspect_tui.handover.sheets.field_sheets import COLUMNS, field_table, open_prompts, places_to_do, write_sheets
from inspect_tui.store.book_file import open_book
from inspect_tui.store.checklist_files import shipped
from tests.conftest import START

DEMO = shipped("demo") / "sandmartin.hullbook"
STAMP = Stamp(START + timedelta(days=3), "Runa")


def test_a_potential_in_a_table_says_whether_it_was_read_ashore(demo: Book, checklists: Checklists) -> None:
    row = {**ENGINE, "measured": "potential", "values": "-900"}
    for taken, ashore in (("", True), ("2025-11-16 10:00", True), ("2025-10-20 10:00", False)):
        preview = read(demo, checklists, {**row, "taken": taken})
        assert not preview.bad
        assert (READ_ASHORE in preview.good[0].words) is ashore, taken


@pytest.fixture
def demo(checklists: Checklists) -> Book:
    """The demo book with six numbers kept for the engine space."""
    book = open_book(DEMO, lambda: START, "", write=False).book
    edit = reserve_chalks(book, STAMP, [place_named(book, "Engine space")], 6)
    return after(book, edit, STAMP)[0]


def place_named(book: Book, name: str) -> Compartment:
    return next(place for place in book.compartments.values() if place.name == name)


def table(*rows: dict[str, object], mark: str = ",", columns: tuple[str, ...] = tuple(COLUMNS)) -> bytes:
    out = io.StringIO()
    writer = csv.DictWriter(out, columns, delimiter=mark, lineterminator="\r\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue().encode()


def read(book: Book, checklists: Checklists, *rows: dict[str, object], mark: str = ",") -> Preview:
    return read_table(book, checklists, STAMP, table(*rows, mark=mark), "sheet.csv")


ENGINE = {"place": "Engine space"}


def sixty_readings() -> list[dict[str, object]]:
    """Sixty lines as somebody typed them after a day in the bilge; five are wrong."""
    rows: list[dict[str, object]] = [
        {**ENGINE, "chalk": 54, "kind": "pitting", "words": "ring of pits", "measured": "pits",
         "values": "1,2 0.8 hole",
         "patch_mm": "300x300", "frame": 18, "side": "P", "girth_mm": 240, "face": "inside", "bright": "yes"},
    ]  # fmt: skip
    for number in range(59):
        rows.append(
            {**ENGINE, "measured": "thickness", "values": f"{5 + number / 100:.2f}", "frame": 17, "offset_mm": number,
             "side": "S", "instrument": "ultrasonic", "error": "0.1", "bright": "yes", "taken": "2025-11-17 10:00"}
        )  # fmt: skip
    rows[7]["values"] = "5.o2"
    rows[19]["place"] = "Engine rom"
    rows[31]["frame"] = "seventeen"
    rows[44]["taken"] = "2026-11-17 10:00"
    rows[58]["chalk"] = 77
    return rows


def test_of_sixty_readings_the_five_wrong_are_explained_and_the_rest_are_one_change(
    demo: Book, checklists: Checklists
) -> None:
    preview = read(demo, checklists, *sixty_readings())
    assert len(preview.good) == 55
    assert [(one.line, one.why) for one in preview.bad] == [
        (9, preview.bad[0].why),
        (21, 'There is no compartment "Engine rom" on this boat. Did you mean engine space?'),
        (33, '"seventeen" is not a number. Type the frame, for example 14.'),
        (46, "2026-11-17 10:00 has not come yet."),
        (60, "No. 77 was not reserved for Engine space; free on its sheet: 55, 56, 57, 58, 59."),
    ]
    assert "5.o2" in preview.bad[0].why
    book, _ = after(demo, preview.edit(demo), STAMP)
    assert len(book.readings) == len(demo.readings) + 55
    assert book.findings["54"].words == "ring of pits"
    pits = next(one for one in book.readings.values() if one.finding == 54)
    assert (pits.depths_mm, pits.holed_through, pits.patch_length_mm) == ((1.2, 0.8), 1, 300)  # type: ignore[union-attr]
    assert len(book.trail) == len(demo.trail) + 1
    back, _ = after(book, undo(book), STAMP)
    assert {name: rows for name, rows in back.tables.items() if name != "trail"} == {
        name: rows for name, rows in demo.tables.items() if name != "trail"
    }


def test_the_same_table_read_again_says_so(demo: Book, checklists: Checklists) -> None:
    preview = read(demo, checklists, *sixty_readings())
    book, _ = after(demo, preview.edit(demo), STAMP)
    again = read(book, checklists, *sixty_readings())
    assert not again.good
    assert sum("in the book already" in one.why for one in again.bad) == 55


def test_answers_are_read_back_too(demo: Book, checklists: Checklists) -> None:
    place = place_named(demo, "Engine space")
    first, second, third, fourth, *_ = open_prompts(demo, checklists, place)
    preview = read(
        demo,
        checklists,
        {**ENGINE, "question": first.key, "said": "s", "note": "looked twice"},
        {**ENGINE, "question": second.key, "said": "unseen", "why_unseen": "no time"},
        {**ENGINE, "question": third.key, "said": "f", "chalk": 55, "words": "wet"},
        {**ENGINE, "question": fourth.key, "said": "u"},
        {**ENGINE, "question": third.key, "said": "perhaps"},
        {**ENGINE, "question": first.key, "said": "n"},
        {**ENGINE, "said": "sound"},
        {**ENGINE, "question": third.key, "said": "finding"},
        {**ENGINE, "question": "mast/none", "said": "sound"},
        mark=";",
    )
    assert len(preview.good) == 3
    whys = " ".join(one.why for one in preview.bad)
    for told in ("Say why it was not seen", "is not an answer", "needs the id of its question",
                 "needs its chalk number", "is not a question asked in", "by an earlier line"):  # fmt: skip
        assert told in whys
    book, _ = after(demo, preview.edit(demo), STAMP)
    said = [answer.said for answer in book.answers.values() if answer.by == "Runa"]
    assert sorted(said) == sorted([Said.SOUND, Said.UNSEEN, Said.FINDING])
    assert book.findings["55"].prompt == third.key
    again = read(book, checklists, {**ENGINE, "question": first.key, "said": "s", "note": "looked twice"})
    assert "This answer is in the book already" in again.bad[0].why


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ({"measured": "pits", "values": ""}, "holds no pit depths"),
        ({"measured": "colour", "values": "3"}, "is not a kind of reading"),
        ({"measured": "thickness", "values": "600"}, "outside what plate thickness can be"),
        ({"measured": "thickness", "values": "5", "patch_mm": "300x300"}, "Only a reading of pits"),
        ({"measured": "pits", "values": "1", "patch_mm": "300"}, "two sides"),
        ({"measured": "pits", "values": "1", "side": "L"}, "is not a side"),
        ({"measured": "pits", "values": "1", "face": "top"}, "is not a face"),
        ({"measured": "pits", "values": "1", "bright": "maybe"}, "bright metal"),
        ({"measured": "pits", "values": "1", "chalk": "x4"}, "is not a chalk number"),
        ({"measured": "pits", "values": "1", "chalk": "5"}, "No. 5 lies in Chain locker, not in Engine space"),
        ({"measured": "pits", "values": "1", "taken": "yesterday"}, "is not a time"),
        ({"chalk": "54", "kind": "rust bucket", "words": "x"}, "is not a kind of finding"),
        ({"note": "hm"}, "Nothing is said on this line"),
    ],
)
def test_each_wrong_line_gets_its_sentence(
    demo: Book, checklists: Checklists, row: dict[str, object], told: str
) -> None:
    preview = read(demo, checklists, {**ENGINE, **row})
    assert not preview.good
    assert told in preview.bad[0].why


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"", "'place' among them"),
        (b"\x00\x01\x02", "not text"),
        (b"one,two\r\n1,2\r\n", "'place' among them"),
        (b"place,place\r\n", "twice"),
        (b"place,depth\r\nx,1\r\n", "There is no column depth"),
        (b"place\r\n" + b"x" * 6_000_000, "larger than"),
        (b'place,words\r\nx,"' + b"y" * 200_000 + b'"', "cannot be read"),
    ],
)
def test_what_is_no_field_table_is_refused_whole(demo: Book, checklists: Checklists, data: bytes, told: str) -> None:
    with pytest.raises(BadTable, match=told):
        read_table(demo, checklists, STAMP, data, "x.csv")


def test_the_table_written_with_the_sheets_reads_back_empty(demo: Book, checklists: Checklists) -> None:
    places = places_to_do(demo, checklists)
    text = field_table(demo, checklists, places)
    preview = read_table(demo, checklists, STAMP, text.encode("utf-8-sig"), "x.csv")
    assert not preview.good
    assert not preview.bad
    assert preview.empty == text.count("\r\n") - 1


def test_a_table_that_may_be_filled_in_is_never_written_over(
    demo: Book, checklists: Checklists, tmp_path: Path
) -> None:
    place = [place_named(demo, "Engine space")]
    first = write_sheets(demo, checklists, place, tmp_path)[1]
    first.write_bytes(first.read_bytes() + b"Engine space,,,,,,,,thickness,5.1\r\n")
    filled = first.read_bytes()
    again = write_sheets(demo, checklists, place, tmp_path)[1]
    assert (first.name, again.name) == ("Sandmartin-field-table.csv", "Sandmartin-field-table-2.csv")
    assert first.read_bytes() == filled


def test_a_printed_sheet_has_the_questions_and_its_numbers(
    demo: Book, checklists: Checklists, tmp_path: Path
) -> None:
    place = place_named(demo, "Engine space")
    files = write_sheets(demo, checklists, [place], tmp_path)
    told = "".join("".join(page.extract_text() for page in pypdf.PdfReader(files[0]).pages).split())
    assert "54,55,56,57,58,59" in told
    for prompt in open_prompts(demo, checklists, place):
        assert prompt.key in told
    for name in ("values", "patch_mm", "girth_mm"):
        assert name in told


def test_sheets_and_table_by_the_shell(tmp_path: Path, checklists: Checklists) -> None:
    import shutil

    book = tmp_path / DEMO.name
    shutil.copy(DEMO, book)
    done = CliRunner().invoke(main, ["sheets", str(book), "-o", str(tmp_path / "out"), "--place", "engine space"])
    assert done.exit_code == 0, done.output
    now = open_book(book, lambda: START, "", write=False).book
    assert kept_for(now, place_named(now, "Engine space").id) == [54, 55, 56, 57, 58, 59]
    filled = tmp_path / "filled.csv"
    filled.write_bytes(table({**ENGINE, "measured": "thickness", "values": "5.1"}, {**ENGINE, "measured": "x"}))
    shown = CliRunner().invoke(main, ["writeup", str(book), str(filled)])
    assert shown.exit_code == 1
    assert "1 line to write, 1 not understood" in shown.output
    assert len(open_book(book, lambda: START, "", write=False).book.readings) == len(now.readings)
    kept = CliRunner().invoke(main, ["writeup", str(book), str(filled), "--yes"])
    assert "Written: 1 line" in kept.output
    assert len(open_book(book, lambda: START, "", write=False).book.readings) == len(now.readings) + 1
    none = CliRunner().invoke(main, ["sheets", str(book), "-o", str(tmp_path / "out"), "--place", "attic"])
    assert none.exit_code == 1
    assert "No compartment is called attic" in none.output


def long_table(lines: int) -> bytes:
    rows = [f"Engine space,length,{number % 400 + 1}.{number // 400} mm" for number in range(lines)]
    return "\n".join(["place,measured,values", *rows]).encode()


def test_a_table_ten_times_as_long_takes_no_hundred_times_the_work(demo: Book, checklists: Checklists) -> None:
    """Counted, not timed: how many records are put from one mapping into another while reading."""
    steps = {}
    for lines in (50, 500):
        calls = 0

        def count(_frame: FrameType, event: str, _arg: object) -> None:
            nonlocal calls
            calls += event in ("call", "c_call")

        sys.setprofile(count)
        try:
            preview = read_table(demo, checklists, STAMP, long_table(lines), "t.csv")
        finally:
            sys.setprofile(None)
        assert len(preview.good) == lines
        steps[lines] = calls
    assert steps[500] < 11 * steps[50]


def test_reading_stops_when_it_is_told_to(demo: Book, checklists: Checklists) -> None:
    asked = iter((False, False, True))
    with pytest.raises(Stopped):
        read_table(demo, checklists, STAMP, long_table(50), "t.csv", stop=lambda: next(asked))
