"""The shell map: what a cell says is what the book holds there, and what nobody looked at never looks sound."""

from __future__ import annotations

import itertools
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_tui.domain import edits
from inspect_tui.domain.book import after
from inspect_tui.domain.reading_records import PitReading
from inspect_tui.domain.shell import on_shell
from inspect_tui.domain.words import CLOSED, Side, Tier, UnseenReason
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.shell.shell_map import Cell, Looked, ShellMap, shell_map
from inspect_tui.store.checklist_files import load_checklists
from tests.judgement.invented import Invented
from tests.judgement.test_scope import STAMP, Damage, book_of


@cache
def judged(seed: int) -> Judged:
    return Judged(Invented(seed, load_checklists()).book, load_checklists())


def drawn(of: Judged, band_mm: float = 500.0) -> ShellMap:
    return shell_map(of.book, of.checklists, of.verdicts, of.worklist, of.since, band_mm)


@settings(deadline=None, max_examples=10)
@given(st.integers(0, 15), st.sampled_from([250.0, 500.0, 1000.0]))
def test_every_open_finding_is_in_its_cell_or_listed_and_none_twice(seed: int, band_mm: float) -> None:
    of = judged(seed)
    told = drawn(of, band_mm)
    placed = [chalk for cell in told.cells.values() for chalk in cell.chalks]
    still = {one.chalk for one in of.book.findings.values() if one.status not in CLOSED}
    assert len(placed) == len(set(placed))
    # Beyond her ends there is no cell: a place that no boat of her length has.
    beyond = still - set(placed) - set(told.unplaced)
    for chalk in beyond:
        finding = of.book.findings[str(chalk)]
        at = on_shell(of.book.boat, finding.position, of.book.compartments.get(finding.compartment))
        assert at is not None
        assert not 0 <= at.from_bow_mm < told.columns[-1]
    for (column, band), cell in told.cells.items():
        for chalk in cell.chalks:
            finding = of.book.findings[str(chalk)]
            at = on_shell(of.book.boat, finding.position, of.book.compartments.get(finding.compartment))
            assert at is not None
            assert told.columns[column] <= at.from_bow_mm < told.columns[column + 1]
            assert told.bands[band] <= at.out_mm < told.bands[band + 1]
    assert len(told.columns) - 1 <= 61
    assert told.columns[0] == 0
    assert all(one < other for one, other in itertools.pairwise(told.columns))
    worst = [told.cells[at].worst for at in told.by_worst]
    assert worst == sorted(worst, reverse=True)


def test_a_cell_is_holed_only_where_a_reading_went_through() -> None:
    for seed in range(8):
        of = judged(seed)
        through = sum(isinstance(one, PitReading) and one.is_through for one in of.book.readings.values())
        assert sum(cell.holed for cell in drawn(of).cells.values()) <= through


def with_across(low: float | None, high: float | None, seen: float | None, side: Side | None = None) -> Judged:
    book = book_of(Damage(2250, 300), frames=(2, 8))
    place = next(iter(book.compartments.values()))
    place = place.model_copy(update={"girth_from_mm": low, "girth_to_mm": high, "side": side})
    book = after(book, edits.change_compartment(place), STAMP)[0]
    if seen is not None:
        share = load_checklists().prompts["everywhere/share"]
        told = edits.seen_share(book, STAMP, place, share, seen, (UnseenReason.SEALED,))
        book = after(book, told, STAMP)[0]
    return Judged(book, load_checklists())


def looked(of: Judged, along_mm: float, out_mm: float) -> Looked:
    told = drawn(of)
    columns, bands = told.columns, told.bands
    column = next(at for at in range(len(columns) - 1) if columns[at] <= along_mm < columns[at + 1])
    band = next((at for at in range(len(bands) - 1) if bands[at] <= out_mm < bands[at + 1]), -1)
    return told.cell_at(column, band).looked


def test_plate_of_no_compartment_with_a_place_across_is_not_seen() -> None:
    assert looked(with_across(None, None, 100), 2250, 300) is Looked.NOT
    assert looked(with_across(0, 1000, None), 2250, 300) is Looked.NOT
    assert looked(with_across(0, 1000, 100), 2250, 300) is Looked.SEEN
    assert looked(with_across(0, 1000, 60), 2250, 300) is Looked.PART
    # Outside its frames, further out than it reaches, and on the other side of it.
    assert looked(with_across(0, 1000, 100), 4750, 300) is Looked.NOT
    assert looked(with_across(0, 400, 100), 2250, 700) is Looked.NOT
    assert looked(with_across(0, 1000, 100, Side.PORT), 2250, 300) is Looked.NOT


def test_the_map_reaches_as_far_as_anything_lies_and_begins_at_frame_0() -> None:
    told = drawn(Judged(book_of(Damage(2250, 100, 20, 20)), load_checklists()))
    assert told.bands == (-500.0, 0.0, 500.0)
    assert (told.columns[0], told.names[0]) == (0.0, "0"), "frame 0 lies at the bow"
    far = drawn(Judged(book_of(Damage(2250, 1200, 20, 20)), load_checklists()))
    assert far.bands == tuple(500.0 * one for one in range(-3, 4))


@pytest.mark.parametrize(
    ("cell", "worse"),
    [
        (Cell(Looked.SEEN, gone_percent=30.0), Cell(Looked.SEEN, gone_percent=10.0, pit_mm=3.0)),
        (Cell(Looked.SEEN, holed=True), Cell(Looked.SEEN, gone_percent=90.0)),
        (Cell(Looked.NOT, tier=Tier.NOW), Cell(Looked.SEEN, gone_percent=60.0, tier=Tier.WATCH)),
    ],
)
def test_holes_and_what_bars_floating_come_first_then_what_is_gone(cell: Cell, worse: Cell) -> None:
    assert cell.worst > worse.worst


@pytest.mark.parametrize(
    ("side", "low", "high"), [(Side.PORT, -900, -300), (Side.STARBOARD, 300, 900), (None, -900, 900)]
)
def test_zoomed_the_map_is_one_compartment_on_its_own_side(side: Side | None, low: float, high: float) -> None:
    of = with_across(300, 900, 100, side)
    place = next(iter(of.book.compartments.values()))
    told = shell_map(of.book, of.checklists, of.verdicts, of.worklist, of.since, 100, place)
    assert (told.bands[0], told.bands[-1]) == (low, high)
    # Frames 2 to 8, 500 mm apart.
    assert (told.columns[0], told.columns[-1]) == (1000, 4000)
    assert len(told.columns) - 1 == 30
    assert told.where(5) == "1.5 m aft of the bow", "metres are no frames"
    assert drawn(of).where(3) == "frame 3"
    bare = place.model_copy(update={"girth_to_mm": None})
    whole = shell_map(of.book, of.checklists, of.verdicts, of.worklist, of.since, 100, bare)
    assert whole.columns[0] == 0, "without a place across there is nothing to go into"
