"""What needs metal or heat, gathered into jobs: which findings share a cut, where it runs, and the other ways."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, Stamp, after
from inspect_tui.domain.edits.boat import add_compartment, keep_plate_field
from inspect_tui.domain.records import Datum, Lifted, Override, PlateField, Position
from inspect_tui.domain.words import Beneath, Face, PlateRegion, Side, ThicknessSource, Treatment
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.repair.scope import CLEAR_MM, ScopedJob
from inspect_tui.store.checklist_files import load_checklists
from tests.conftest import START, finding_edit, new_book_edit

STAMP = Stamp(START, "Mattis")
FRAME_MM = 500.0


@dataclass(frozen=True)
class Damage:
    """A finding to be cut out: its middle in mm aft of frame 0 and out to starboard (minus: port), and its size."""

    x_mm: float | None
    y_mm: float
    long_mm: float | None = 60.0
    wide_mm: float = 60.0
    kind: str = "pitting"
    beyond_mm: float | None = None
    face: Face = Face.INSIDE


def book_of(
    *damage: Damage, frames: tuple[float, float] = (0, 20), own: Treatment | None = Treatment.INSERT_PLATE
) -> Book:
    """A sloop with frames 500 mm apart; one plate field, 6 mm of 5083, in her cabin bilge between these frames."""
    checklists = load_checklists()
    book = after(Book.empty(), new_book_edit(checklists, STAMP, areas=[]), STAMP)[0]
    boat = book.boat.model_copy(
        update={"datum": Datum(frame_spacing_mm=FRAME_MM), "waterline_length_m": 10.0, "waterline_beam_m": 3.0}
    )
    book = after(book, edits.change_boat(boat), STAMP)[0]
    field = PlateField(
        id=book.new_key("plate_fields"), name="bottom", region=PlateRegion.BOTTOM, alloy="5083", temper="H111",
        as_built_mm=6.0, as_built_from=ThicknessSource.DRAWING,
    )  # fmt: skip
    book = after(book, keep_plate_field(field), STAMP)[0]
    book = after(book, add_compartment(book, checklists.areas["cabin-bilge"], "bilge"), STAMP)[0]
    place = next(iter(book.compartments.values()))
    place = place.model_copy(update={"plate_fields": (field.id,), "frame_from": frames[0], "frame_to": frames[1]})
    book = after(book, edits.change_compartment(place), STAMP)[0]
    for one in damage:
        where: dict[str, Any] = {"face": one.face}
        if one.x_mm is not None:
            side = Side.CENTRE if one.y_mm == 0 else Side.PORT if one.y_mm < 0 else Side.STARBOARD
            where |= {"frame": 0, "offset_mm": one.x_mm, "side": side, "girth_mm": abs(one.y_mm)}
        size: dict[str, Any] = (
            {} if one.long_mm is None else {"extent_length_mm": one.long_mm, "extent_width_mm": one.wide_mm}
        )
        book = after(
            book, finding_edit(book, STAMP, place, kind=one.kind, position=Position(**where), **size), STAMP
        )[0]
        chalk = max(int(key) for key in book.findings)
        change: dict[str, Any] = {}
        if own is not None and one.kind != "hole":
            change["override"] = Override(treatment=own, reason="told so", when=START, by="Mattis")
        if one.beyond_mm is not None:
            change["lifted"] = Lifted(when=START, by="Mattis", beneath=Beneath.PITS, beyond_mm=one.beyond_mm)
        finding = book.findings[str(chalk)].model_copy(update=change)
        book = after(book, edits.change_finding(finding), STAMP)[0]
    return book


def scoped(*damage: Damage, **more: Any) -> tuple[ScopedJob, ...]:
    return Judged(book_of(*damage, **more), load_checklists()).scope


def test_two_findings_200_mm_apart_are_one_insert_and_says_why() -> None:
    """Between their margins 40 mm of old plate would stay: two welds and a strip between them draw it crooked."""
    (job,) = scoped(Damage(1750, 300), Damage(1950, 300))
    assert job.findings == (1, 2)
    assert any("1, 2 are one insert" in one and "40 mm, under 300" in one for one in job.notes)
    each = next(one for one in job.ways if one.name == "an insert each")
    assert "old plate between them" in each.barred


def test_far_apart_they_are_two_jobs_in_the_order_of_the_list() -> None:
    jobs = scoped(Damage(1750, 300), Damage(4750, -300))
    assert [(job.letter, job.findings) for job in jobs] == [("A", (1,)), ("B", (2,))]


def test_what_goes_on_past_its_patch_is_cut_past_it() -> None:
    patch = Damage(2250, 400, 200, 200, kind="old-patch")
    (plain,) = scoped(patch)
    (past,) = scoped(Damage(2250, 400, 200, 200, kind="old-patch", beyond_mm=80))
    assert plain.cut is not None
    assert past.cut is not None
    # 200 + 2 · 50 of margin; and 2 · 80 more.
    assert plain.cut.y1 - plain.cut.y0 == pytest.approx(300)
    assert past.cut.y1 - past.cut.y0 == pytest.approx(460)


def test_a_cut_near_a_frame_goes_past_it_with_its_quantity() -> None:
    """Its after edge would lie 40 mm before frame 4 at 2000 mm: it goes 76 mm past, and the weld is counted there."""
    (job,) = scoped(Damage(1780, 300, 260, 200))
    assert job.cut is not None
    assert job.cut.x1 == pytest.approx(2000 + CLEAR_MM)
    assert job.frames == (4,)
    assert any("aft edge moved 116 mm" in one and "frame 4" in one for one in job.notes)
    assert job.plate is not None
    long_m, wide_m = (job.cut.x1 - job.cut.x0) / 1000, 0.3
    # 2 (L + W) − (8 − 2π) · 0.1 m
    assert job.plate.weld_m == pytest.approx(2 * (long_m + wide_m) - 1.71681 * 0.1, abs=1e-3)
    # L · W · 6 mm · 2660 kg/m³
    assert job.plate.mass_kg == pytest.approx(long_m * wide_m * 6 * 2.66, rel=1e-3)


def test_daylight_always_reaches_a_job_with_or_without_size_and_place() -> None:
    (sized,) = scoped(Damage(2250, 400, 10, 10, kind="hole"), own=None)
    (bare,) = scoped(Damage(2250, 400, None, kind="hole"), own=None)
    (lost,) = scoped(Damage(None, 0, None, kind="hole"), own=None)
    assert sized.cut is not None
    assert bare.cut is not None
    assert any("size of a hole is not written down" in one for one in bare.notes)
    assert lost.cut is None
    assert "its place on the shell" in lost.missing


def test_what_lies_behind_is_a_space_between_the_same_frames_and_on_that_side() -> None:
    checklists, book = load_checklists(), book_of(Damage(2250, 900))
    for area, frame_from, frame_to, side in (
        ("water-tank", 4, 6, Side.STARBOARD), ("fuel-tank", 4, 6, Side.PORT), ("holding-tank", 8, 10, Side.STARBOARD),
        ("head", 3, 5, None), ("underwater", 0, 20, None),
    ):  # fmt: skip
        book = after(book, add_compartment(book, checklists.areas[area], area), STAMP)[0]
        place = book.compartments[book.newest("compartments")]
        place = place.model_copy(update={"frame_from": frame_from, "frame_to": frame_to, "side": side})
        book = after(book, edits.change_compartment(place), STAMP)[0]
    (job,) = Judged(book, checklists).scope
    assert {place.area for place in job.behind} == {"water-tank", "head"}


def test_a_cut_that_leaves_the_plate_as_far_as_it_is_known_says_so() -> None:
    (job,) = scoped(Damage(2990, 300), frames=(2, 6))
    assert any("past the after end" in one for one in job.broken)
    (within,) = scoped(Damage(2250, 300), frames=(2, 6))
    assert within.broken == ()


@pytest.mark.parametrize(
    ("y_mm", "girths", "edges"),
    [
        # A cut of 300 × 300 about its middle: out to 450 where it lies at 300.
        (300, (0.0, 460.0), set()),
        (300, (0.0, 440.0), {"10 mm past the outer edge"}),
        (-300, (0.0, 440.0), {"10 mm past the outer edge"}),
        (600, (440.0, 900.0), set()),
        (600, (470.0, 740.0), {"20 mm past the inner edge", "10 mm past the outer edge"}),
        (300, (0.0, None), set()),
    ],
)
def test_a_cut_that_leaves_the_plate_sideways_says_so(
    y_mm: float, girths: tuple[float, float | None], edges: set[str]
) -> None:
    book = book_of(Damage(2250, y_mm))
    place = next(iter(book.compartments.values()))
    lies = place.model_copy(update={"girth_from_mm": girths[0], "girth_to_mm": girths[1]})
    (job,) = Judged(after(book, edits.change_compartment(lies), STAMP)[0], load_checklists()).scope
    assert {" ".join(one.split()[1:7]) for one in job.broken} == edges


def test_ways_stand_side_by_side_with_metal_weld_hours_and_what_stays_unknown() -> None:
    (job,) = scoped(Damage(1250, 300), Damage(1450, 300))
    names = [one.name for one in job.ways]
    assert names == [
        "one insert for all", "an insert each", "replate the bay", "build up by welding", "a plate laid on outside",
    ]  # fmt: skip
    for one in job.ways:
        assert one.unknown
        assert one.hours[0] <= one.hours[1]
    doubled = job.ways[-1]
    assert doubled.mass_kg is not None
    assert doubled.added_kg == doubled.mass_kg > 0
    # Archimedes: mass / (1025 kg/m³ · 0.7 · 10 m · 3 m), salt water taken.
    assert doubled.sinkage_mm == pytest.approx(doubled.mass_kg / (1025 * 0.7 * 10 * 3) * 1000)
    assert "never permanent" in doubled.barred
    assert all(one.added_kg == 0 for one in job.ways[:-1])


def test_thin_plate_is_not_built_up_by_welding() -> None:
    (job,) = scoped(Damage(1750, 300, kind="thinning"))
    assert "not only pits" in next(one for one in job.ways if one.name == "build up by welding").barred


def damages() -> st.SearchStrategy[list[Damage]]:
    one = st.builds(
        Damage,
        st.one_of(st.none(), st.floats(500, 9500)),
        st.floats(-1500, 1500),
        st.one_of(st.none(), st.floats(5, 700)),
        st.floats(5, 500),
        st.sampled_from(["pitting", "hole", "thinning", "old-patch"]),
        st.one_of(st.none(), st.floats(0, 150)),
        st.sampled_from(list(Face)),
    )
    return st.lists(one, min_size=1, max_size=7)


@settings(deadline=None, max_examples=25)
@given(damages())
def test_every_repair_is_in_one_job_covered_with_its_margin_and_no_two_cuts_meet(told: list[Damage]) -> None:
    judged = Judged(book_of(*told), load_checklists())
    jobs = judged.scope
    assert sorted(chalk for job in jobs for chalk in job.findings) == sorted(job.finding.chalk for job in judged.jobs)
    assert {str(chalk) for job in jobs for chalk in job.findings} == set(judged.book.findings)
    assert len({job.letter for job in jobs}) == len(jobs)
    for job in jobs:
        for chalk in job.findings:
            one = told[chalk - 1]
            if job.cut is None or one.x_mm is None:
                assert job.missing
                continue
            long_mm = (one.long_mm or 0) / 2 + (one.beyond_mm or 0) + 50
            assert job.cut.x0 <= one.x_mm - long_mm + 1e-6
            assert job.cut.x1 >= one.x_mm + long_mm - 1e-6
    cuts = [job.cut for job in jobs if job.cut is not None]
    assert all(one.apart_mm(other) >= 300 - 1e-6 for one, other in combinations(cuts, 2))
