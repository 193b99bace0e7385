"""The owner joins, parts and leaves out: the reason stays, holes do not go, and no two cuts lie on each other."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, after
from inspect_tui.domain.records import Cut
from inspect_tui.errors import NotAllowed
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.repair.repair_scope import MARGIN_MM
from inspect_tui.judgement.repair.scope import ScopedJob
from inspect_tui.store.checklist_files import load_checklists
from tests.judgement.test_scope import STAMP, Damage, book_of

FAR = (Damage(1750, 300), Damage(4750, 300))
NEAR = (Damage(1250, 300), Damage(1750, 300))


def wish(book: Book, chalk: int, how: str, other: int | None = None, reason: str = "the yard says so") -> Book:
    cut = Cut(how=how, other=other, reason=reason, by="Mattis")
    return after(book, edits.cut_as(book.findings[str(chalk)], cut), STAMP)[0]


def scoped(book: Book) -> tuple[ScopedJob, ...]:
    return Judged(book, load_checklists()).scope


def test_far_ones_are_joined_where_the_owner_wants_it() -> None:
    apart = scoped(book_of(*FAR))
    assert [one.findings for one in apart] == [(1,), (2,)]
    (job,) = scoped(wish(book_of(*FAR), 2, "with", 1))
    assert sorted(job.findings) == [1, 2]
    assert job.cut is not None
    assert job.cut.x0 <= 1750 - 30 - MARGIN_MM
    assert job.cut.x1 >= 4750 + 30 + MARGIN_MM
    assert any("Mattis wants it cut with no. 1: the yard says so" in one for one in job.notes)
    back = after(
        wish(book_of(*FAR), 2, "with", 1), edits.cut_as(wish(book_of(*FAR), 2, "with", 1).findings["2"], None), STAMP
    )
    assert [one.findings for one in scoped(back[0])] == [(1,), (2,)]


def test_near_ones_are_parted_only_where_their_cuts_do_not_meet() -> None:
    (together,) = scoped(book_of(*NEAR))
    assert together.findings == (1, 2)
    parted = scoped(wish(book_of(*NEAR), 2, "apart"))
    assert sorted(one.findings for one in parted) == [(1,), (2,)]
    assert any("wants it cut apart" in note for one in parted for note in one.notes)
    assert all("not proven" not in line for one in parted for _, line in one.working.lines())
    meet = (Damage(1650, 300), Damage(1750, 300))
    (still,) = scoped(wish(book_of(*meet), 2, "apart"))
    assert sorted(still.findings) == [1, 2]
    assert any("wants it cut apart" in note for note in still.notes), "the wish is told all the same"


def test_what_is_left_out_is_named_with_its_reason_and_a_hole_is_not_left_out() -> None:
    jobs = scoped(wish(book_of(*FAR), 1, "left out", reason="watched until next year"))
    left = next(one for one in jobs if one.findings == (1,))
    assert left.plate is None
    assert all(way.added_kg == 0 for way in left.ways)
    assert left.missing == "left out of the jobs by Mattis: watched until next year"
    holed = book_of(Damage(2250, 400, 10, 10, kind="hole"), own=None)
    with pytest.raises(NotAllowed, match="hole"):
        wish(holed, 1, "left out")
    with pytest.raises(NotAllowed, match="why"):
        wish(book_of(*FAR), 1, "apart", reason="  ")
    forced = holed.findings["1"].model_copy(update={"cut": Cut(how="left out", reason="x", by="y")})
    (job,) = scoped(after(holed, edits.change_finding(forced), STAMP)[0])
    assert job.cut is not None, "daylight reaches a job whatever a file says"


@settings(deadline=None, max_examples=15)
@given(
    st.lists(st.tuples(st.integers(600, 9000), st.integers(-1500, 1500)), min_size=2, max_size=4),
    st.lists(
        st.tuples(st.integers(1, 6), st.sampled_from(["with", "apart", "left out"]), st.integers(1, 6)), max_size=5
    ),
)
def test_whatever_is_wished_every_finding_is_in_one_job_and_no_two_cuts_meet(
    spots: list[tuple[int, int]], wishes: list[tuple[int, str, int]]
) -> None:
    book = book_of(*(Damage(x, y) for x, y in spots))
    for chalk, how, other in wishes:
        if chalk <= len(spots):
            book = wish(book, chalk, how, other if how == "with" else None)
    jobs = scoped(book)
    assert sorted(chalk for job in jobs for chalk in job.findings) == list(range(1, len(spots) + 1))
    for one, other_job in combinations([job for job in jobs if job.cut is not None], 2):
        assert one.cut is not None
        assert other_job.cut is not None
        assert one.cut.apart_mm(other_job.cut) > 0 or one.field != other_job.field
    for job in jobs:
        for chalk in job.findings if job.cut is not None else ():
            x, y = spots[chalk - 1]
            assert job.cut is not None
            assert job.cut.x0 <= x - 30 - MARGIN_MM + 1e-6
            assert job.cut.x1 >= x + 30 + MARGIN_MM - 1e-6
            assert job.cut.y0 <= y - 30 - MARGIN_MM + 1e-6
            assert job.cut.y1 >= y + 30 + MARGIN_MM - 1e-6
