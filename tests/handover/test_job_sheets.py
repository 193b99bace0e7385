"""A welder quotes from the sheet: quantities of ten jobs by hand, what each sheet must hold, what lies behind it."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, after
from inspect_tui.domain.edits.boat import add_compartment
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.words import Side
from inspect_tui.handover.model import Columns, Facts, Figure, Leaf, Points, Sheet, Table
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.handover.parts.work.jobs import jobs_part
from inspect_tui.judgement.judged import Judged
from inspect_tui.store.book_file import open_book
from inspect_tui.store.checklist_files import shipped
from tests.conftest import START
from tests.judgement.test_scope import STAMP, Damage, book_of

# Ten spots far apart, midway between frames 500 mm apart, so that each is cut alone and no cut meets a frame:
# marked mm, then by hand: cut = marked + 2 · 50, at least 300; bought m² = L · W; let in = L · W − (4 − π) · 0.1²;
# kg = L · W · 6 mm · 2660 kg/m³; butt = 2 (L + W) − (8 − 2π) · 0.1 m. Corner radius max(5 · 6, 100) = 100 mm.
TEN = (
    # marked           cut             bought  let in   kg     butt
    ((60.0, 60.0), (300, 300), 0.0900, 0.0814, 1.436, 1.03),
    ((200.0, 200.0), (300, 300), 0.0900, 0.0814, 1.436, 1.03),
    ((210.0, 60.0), (310, 300), 0.0930, 0.0844, 1.484, 1.05),
    ((230.0, 250.0), (330, 350), 0.1155, 0.1069, 1.843, 1.19),
    ((60.0, 400.0), (300, 500), 0.1500, 0.1414, 2.394, 1.43),
    ((240.0, 500.0), (340, 600), 0.2040, 0.1954, 3.256, 1.71),
    ((220.0, 700.0), (320, 800), 0.2560, 0.2474, 4.086, 2.07),
    ((100.0, 230.0), (300, 330), 0.0990, 0.0904, 1.580, 1.09),
    ((245.0, 245.0), (345, 345), 0.1190, 0.1104, 1.900, 1.21),
    ((205.0, 320.0), (305, 420), 0.1281, 0.1195, 2.044, 1.28),
)


@pytest.fixture(scope="module")
def ten() -> Book:
    return book_of(
        *(Damage(250.0 + 1000 * at, 1500.0, long_mm=long, wide_mm=wide) for at, ((long, wide), *_) in enumerate(TEN)),
        frames=(0, 30),
    )


def leaves(sheet: Sheet) -> Iterator[Leaf]:
    for block in sheet.blocks:
        if isinstance(block, Columns):
            yield from (leaf for stack in block.stacks for leaf in stack)
        else:
            yield block


def facts(sheet: Sheet, name: str) -> list[str]:
    lines = [line for leaf in leaves(sheet) if isinstance(leaf, Facts) for line in leaf.lines]
    found = next((at for at, line in enumerate(lines) if line.name == name), None)
    if found is None:
        return []
    told = [lines[found].value]
    for line in lines[found + 1 :]:
        if line.name:
            break
        told.append(line.value)
    return told


def sheets(book: Book, checklists: Checklists) -> list[Sheet]:
    part = jobs_part(Subject(Judged(book, checklists)))
    return [one for one in part.blocks if isinstance(one, Sheet)]


def test_quantities_of_ten_jobs_are_those_worked_out_by_hand(ten: Book, checklists: Checklists) -> None:
    told = {sheet.chalk: sheet for sheet in sheets(ten, checklists)}
    assert len(told) == 10
    for chalk, (_, (long, wide), bought, let_in, kg, butt) in enumerate(TEN, 1):
        size, plate = facts(told[chalk], "Plate")
        assert size.startswith(f"{long} × {wide} × 6 mm"), chalk
        told_m2, told_kg, told_in = map(float, re.findall(r"[\d.]+(?= (?:m²|kg))", plate))
        assert (told_m2, told_in) == pytest.approx((bought, let_in), abs=0.0006), chalk
        assert told_kg == pytest.approx(kg, abs=0.006), chalk
        assert facts(told[chalk], "Butt") == [f"{butt:.2f} m, R 100 mm"], chalk
        assert not facts(told[chalk], "Frames")


def test_the_totals_are_the_sums_of_the_jobs(ten: Book, checklists: Checklists) -> None:
    part = jobs_part(Subject(Judged(ten, checklists)))
    table = next(one for one in part.blocks if isinstance(one, Table) and one.caption.startswith("Totals"))
    ((name, area, weld, kg),) = table.rows
    assert name == "6 mm"
    assert float(str(area)) == pytest.approx(sum(one[2] for one in TEN), abs=0.006)
    assert float(str(weld)) == pytest.approx(sum(one[5] for one in TEN), abs=0.06)
    assert float(str(kg)) == pytest.approx(sum(one[4] for one in TEN), abs=0.06)


def test_a_frame_in_the_cut_is_freed_with_its_metres(checklists: Checklists) -> None:
    # Marked 60 × 60 over frame 4: cut 300 × 300; both sides of one frame, 50 mm past the cut: 2 · (300 + 2 · 50) mm.
    (sheet,) = sheets(book_of(Damage(2000.0, 900.0)), checklists)
    (told,) = facts(sheet, "Frames")
    assert told == "4: freed and rewelded, 0.80 m of fillet"


def test_every_sheet_is_complete_without_the_rest(checklists: Checklists) -> None:
    book = open_book(shipped("demo") / "sandmartin.hullbook", lambda: START, "", write=False).book
    judged = Judged(book, checklists)
    found = sheets(book, checklists)
    assert [sheet.tag.split()[1] for sheet in found] == [job.letter for job in judged.scope]
    for sheet, job in zip(found, judged.scope, strict=True):
        assert (sheet.chalk, *sheet.also) == job.findings
        told = list(leaves(sheet))
        for name in ("Old", "New", "Joint", "Inside", "Outside"):
            assert facts(sheet, name), (job.letter, name)
        points = [one for one in told if isinstance(one, Points)]
        order, hazards = points[0], points[1]
        assert order.how == "counted"
        assert any("39" in one for one in hazards.items), "what is dangerous now stands first on each"
        assert "30 minutes" in hazards.items[-1]
        assert any(isinstance(one, Table) and one.of_hands for one in told), "room for a price"
        drawings = [one for one in told if isinstance(one, Figure)]
        assert len(drawings) == (job.cut is not None)
        for one in drawings:
            assert one.caption.startswith("1 : ")
            assert one.wide_pt is not None


def test_holes_reach_the_welder_and_say_what_is_missing(checklists: Checklists) -> None:
    book = book_of(Damage(None, 0.0, long_mm=None, kind="hole"))
    (sheet,) = sheets(book, checklists)
    assert "its place on the shell" in str(sheet.blocks)


def test_a_tank_within_reach_of_the_heat_is_named_though_no_cut_is_drawn(checklists: Checklists) -> None:
    """Finding 16 of the demo has no distance from the centreline; what lies under it has frames."""
    book = open_book(shipped("demo") / "sandmartin.hullbook", lambda: START, "", write=False).book
    job = next(one for one in Judged(book, checklists).scope if 16 in one.findings)
    assert job.cut is None
    assert {place.name for place in job.behind} >= {"Forward cabin", "Hull sides, fore part"}


@pytest.mark.parametrize(("y_mm", "named"), [(150.0, True), (-150.0, True), (180.0, True), (400.0, False)])
def test_a_cut_beside_the_centreline_says_so(checklists: Checklists, y_mm: float, named: bool) -> None:
    (job,) = Judged(book_of(Damage(2250.0, y_mm)), checklists).scope
    assert any("from the centreline" in one for one in job.notes) is named


@pytest.mark.parametrize(
    ("area", "told"),
    [
        ("ballast", "find out what it is made of: hot lead gives off poison, wax and tar burn"),
        ("fuel-tank", "declared gas-free by a competent person, or taken out"),
        ("water-tank", "empty, open, aired and tested before heat on its wall"),
    ],
)
def test_what_burns_or_poisons_behind_a_cut_stands_on_its_sheet(checklists: Checklists, area: str, told: str) -> None:
    book = book_of(Damage(2250, 900))
    book = after(book, add_compartment(book, checklists.areas[area], area), STAMP)[0]
    place = book.compartments[book.newest("compartments")]
    place = place.model_copy(update={"frame_from": 4, "frame_to": 6, "side": Side.STARBOARD})
    book = after(book, edits.change_compartment(place), STAMP)[0]
    (sheet,) = sheets(book, checklists)
    assert told in repr(sheet)
