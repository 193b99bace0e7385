"""What is said of the metal that nobody looked at: on what it rests, when it is withdrawn, and which way it moves."""

from __future__ import annotations

import random
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, Stamp, after
from inspect_tui.domain.edits.boat import keep_plate_field
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.measuring.metal_records import SamplingPlan
from inspect_tui.domain.measuring.sampling import draw, plan_of, read_of
from inspect_tui.domain.records import Datum, PlateField, Position
from inspect_tui.domain.words import FrameDirection, PlateRegion, Side, ThicknessSource
from inspect_tui.engineering.metal.deepest_pit import deepest_pit, most_deeper
from inspect_tui.errors import NotAllowed
from inspect_tui.handover.report import make_report
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.metal.fields import FieldJudged
from inspect_tui.judgement.metal.unseen import bound_words, free_words
from inspect_tui.judgement.metal.verdict import NO_LIMIT
from inspect_tui.judgement.metal.verdicts import Verdicts
from tests.conftest import place_called
from tests.judgement.test_worklist import STAMP

TEN = (1.7, 1.4, 1.1, 2.1, 1.2, 1.6, 0.9, 1.8, 1.3, 1.5)


@pytest.fixture
def plated(book: Book) -> Book:
    """Nine square metres of bottom, 6 mm."""
    field = PlateField(
        id="p1", name="bottom", region=PlateRegion.BOTTOM, alloy="5083", temper="H116", as_built_mm=6.0,
        as_built_from=ThicknessSource.CUT_EDGE, area_m2=9.0,
    )  # fmt: skip
    book = after(book, keep_plate_field(field), STAMP)[0]
    place = place_called(book, "cabin-bilge").model_copy(update={"plate_fields": ("p1",)})
    book = after(book, edits.change_compartment(place), STAMP)[0]
    return after(book, edits.draw_squares(book, plan_for(book, 6000, 1500)), STAMP)[0]


def plan_for(book: Book, length_mm: float, girth_mm: float, wanted: int = 20) -> SamplingPlan:
    return SamplingPlan(
        id=book.new_key("plans"), plate_field="p1", length_mm=length_mm, girth_mm=girth_mm, square_length_mm=300,
        square_girth_mm=300, wanted=wanted, seed="", drawn=(), when=STAMP.when, by="x",
    )  # fmt: skip


def next_round(book: Book) -> Book:
    stamp = Stamp(STAMP.when + timedelta(days=300), "x")
    return after(book, edits.open_round(book, stamp, "again"), stamp)[0]


def square(book: Book, depths: tuple[float, ...], chosen: bool | None = False, **more: Any) -> Book:
    """The next square that was drawn; one `chosen`, or of which nobody said, is of no plan."""
    place, plan = place_called(book, "cabin-bilge"), plan_of(book, "p1")
    said: dict[str, Any] = {"worst_chosen": chosen}
    if chosen is False and plan is not None:
        said = {"plan": plan.id, "square": next(one for one in plan.drawn if one not in read_of(book, plan))}
    details = edits.ReadingDetails(
        plate_field="p1", patch_length_mm=300, patch_width_mm=300, clean_metal=True, **{**said, **more}
    )
    edit = edits.add_reading(book, STAMP, place, "pits", depths, details)
    return after(book, edit, STAMP)[0]


def squares(book: Book, depths: tuple[float, ...], chosen: bool | None = False) -> Book:
    for depth in depths:
        book = square(book, (depth,) if depth else (), chosen)
    return book


def judged(book: Book, checklists: Checklists) -> FieldJudged:
    return Verdicts(book, checklists).fields["p1"]


def bound(book: Book, checklists: Checklists) -> float:
    found = judged(book, checklists).estimate
    assert found is not None
    return found.deepest_bound_mm


def test_it_is_said_on_what_it_rests(plated: Book, checklists: Checklists) -> None:
    found = judged(squares(plated, TEN), checklists).estimate
    assert found is not None
    assert bound_words(found).startswith("if the rest is like the squares read")
    assert "sure" not in bound_words(found)
    assert (
        "at most 24 of the 90 squares not looked at have a pit deeper than 2.1 mm, the deepest in those drawn by lot"
        in free_words(found)
    )
    assert "missed 6 times in 10" in free_words(found)


@pytest.mark.parametrize(("chosen", "why"), [(True, "by how they looked"), (None, "count as chosen")])
def test_of_chosen_squares_and_of_those_nobody_spoke_of_nothing_is_said(
    plated: Book, checklists: Checklists, chosen: bool | None, why: str
) -> None:
    told = judged(squares(plated, TEN, chosen), checklists)
    assert told.estimate is not None
    assert told.estimate.bound_told_mm is None
    assert why in bound_words(told.estimate)
    assert told.verdict is not None
    assert "95 %" not in told.verdict.numbers


def test_one_chosen_among_them_withdraws_it(plated: Book, checklists: Checklists) -> None:
    book = square(squares(plated, TEN[:4]), (1.2,), chosen=True)
    found = judged(book, checklists).estimate
    assert found is not None
    assert found.withdrawn


def test_something_deeper_that_is_known_withdraws_it(plated: Book, checklists: Checklists) -> None:
    book = squares(plated, TEN)
    place = place_called(book, "cabin-bilge")
    deep = edits.ReadingDetails(plate_field="p1", clean_metal=True)
    book = after(book, edits.add_reading(book, STAMP, place, "pits", (5.5,), deep), STAMP)[0]
    found = judged(book, checklists).estimate
    assert found is not None
    assert "5.5 mm is known elsewhere" in found.withdrawn


def test_new_squares_join_the_old_and_never_replace_them(plated: Book, checklists: Checklists) -> None:
    """Twenty deep squares are not erased by five shallow ones of a later round."""
    random_ = random.Random(3)
    book = squares(plated, tuple(round(random_.uniform(2.0, 3.6), 1) for _ in range(20)))
    before = judged(book, checklists)
    book = after(book, edits.open_round(book, STAMP, "again"), STAMP)[0]
    later = judged(squares(book, (1.0, 1.1, 0.9, 1.0, 1.2)), checklists)
    assert before.estimate is not None
    assert later.estimate is not None
    assert later.estimate.looked_at == 25
    assert later.estimate.deepest_bound_mm > 0.8 * before.estimate.deepest_bound_mm
    assert later.hole_chance_later is not None
    assert before.hole_chance_later is not None
    assert later.hole_chance_later > 0.1 * before.hole_chance_later


@pytest.mark.parametrize("seed", range(12))
def test_one_more_sound_square_never_raises_the_chance_of_a_hole(
    plated: Book, checklists: Checklists, seed: int
) -> None:
    random_ = random.Random(seed)
    book = squares(plated, tuple(round(random_.uniform(0.5, 4.5), 1) for _ in range(random_.randint(5, 20))))
    chances, bounds = [], []
    for _ in range(5):
        told = judged(book, checklists)
        assert told.estimate is not None
        assert told.hole_chance_later is not None
        chances.append(told.hole_chance_later)
        bounds.append(told.estimate.deepest_bound_mm)
        book = square(book, ())
    assert chances == sorted(chances, reverse=True)
    assert bounds == sorted(bounds, reverse=True)


@pytest.mark.parametrize("seed", range(12))
def test_more_unseen_never_shrinks_a_bound_and_a_deeper_deepest_never_lowers_it(seed: int) -> None:
    random_ = random.Random(seed)
    depths = sorted(round(random_.uniform(0.3, 4.0), 1) for _ in range(random_.randint(5, 25)))
    none = random_.randint(0, 6)
    areas = [deepest_pit(depths, 0.09, area, none_began=none).deepest_bound_mm for area in (4, 9, 20, 60)]
    assert areas == sorted(areas)
    deeper = [
        deepest_pit([*depths[:-1], depths[-1] + more], 0.09, 9, none_began=none).deepest_bound_mm
        for more in (0, 0.3, 1)
    ]
    assert deeper == sorted(deeper)


def test_the_share_that_needs_no_law_holds_for_every_law() -> None:
    """Order statistics, on populations of any shape: at most 5 % of samples may be wrong, and the noise of 1,000."""
    random_ = random.Random(5)
    laws: tuple[Callable[[], float], ...] = (
        lambda: random_.expovariate(1), lambda: random_.lognormvariate(0, 0.8), lambda: random_.choice((1.0, 4.0)),
        lambda: random_.gauss(3, 1) if random_.random() < 0.05 else random_.gauss(1, 0.1),
    )  # fmt: skip
    for law in laws:
        for count in (10, 20):
            wrong = 0
            for _ in range(1000):
                rest = [law() for _ in range(100)]
                deepest = max(law() for _ in range(count))
                wrong += sum(one > deepest for one in rest) > most_deeper(count, 100)
            assert wrong / 1000 <= 0.065


def test_that_no_limit_was_found_stands_in_every_working_and_on_page_one(
    plated: Book, checklists: Checklists
) -> None:
    told = judged(squares(plated, TEN), checklists)
    assert told.verdict is not None
    assert ("limits", NO_LIMIT) in told.verdict.lines()
    front = make_report(Judged(squares(plated, TEN), checklists)).part("front")
    assert NO_LIMIT in str(front)


def test_squares_of_a_part_of_the_plate_say_nothing_of_all_of_it(plated: Book, checklists: Checklists) -> None:
    part = plan_for(plated, 3000, 1500).model_copy(update={"when": STAMP.when + timedelta(hours=1)})
    plated = next_round(plated)
    book = after(plated, edits.draw_squares(plated, part), STAMP)[0]
    found = judged(squares(book, TEN), checklists).estimate
    assert found is not None
    assert "drawn from only 4.5 m² of it" in found.withdrawn


def test_squares_passed_over_are_known_from_the_plan(plated: Book, checklists: Checklists) -> None:
    plan = plan_of(plated, "p1")
    assert plan is not None
    book = plated
    for at, depth in enumerate(TEN):
        book = square(book, (depth,), square=plan.drawn[at + (at > 4) * 3])
    found = judged(book, checklists).estimate
    assert found is not None
    assert "3 squares passed over for others drawn later" in found.withdrawn


def at(frame: float, girth_mm: float) -> Position:
    return Position(frame=frame, side=Side.PORT, girth_mm=girth_mm)


@pytest.mark.parametrize(
    ("places", "why"),
    [
        ([at(10 + 0.6 * one, 300) for one in range(10)], "in one block"),
        ([at(10 + 0.6 * (one % 3), 300 * (one // 3)) for one in range(10)], "in one block"),
        ([Position(words="here and there")] * 10, "was not written down"),
        ([at(10 + 1.2 * one, 150 * (one % 10)) for one in range(10)], ""),
    ],
)
def test_squares_that_no_plan_drew_speak_only_if_they_lie_spread(
    plated: Book, checklists: Checklists, places: list[Position], why: str
) -> None:
    frames = Datum(frame_spacing_mm=500, direction=FrameDirection.AFT)
    book = after(plated, edits.change_boat(plated.boat.model_copy(update={"datum": frames})), STAMP)[0]
    for depth, place in zip(TEN, places, strict=True):
        book = square(book, (depth,), plan=None, square=None, worst_chosen=False, position=place)
    found = judged(book, checklists).estimate
    assert found is not None
    assert why in found.withdrawn
    assert bool(why) == bool(found.withdrawn)


def test_where_every_pit_was_typed_they_all_speak(plated: Book, checklists: Checklists) -> None:
    random_ = random.Random(4)
    pits = [tuple(round(0.1 + random_.expovariate(1.5), 1) for _ in range(6)) for _ in range(12)]
    only, every, mixed = plated, plated, plated
    for number, depths in enumerate(pits):
        only = square(only, depths)
        every = square(every, depths, every_pit=True)
        mixed = square(mixed, depths, every_pit=number > 0)
    deepest, law, some = (judged(book, checklists) for book in (only, every, mixed))
    assert law.estimate is not None
    assert law.estimate.every is not None
    assert law.estimate.every.pits == 72
    assert deepest.estimate == some.estimate, "one square of which only the deepest was typed: none speaks so"
    assert "pits a square" in str(law.lines())
    assert law.estimate.deepest_bound_mm != bound(only, checklists)


def test_the_draw_is_one_that_anybody_can_repeat_and_nobody_can_choose(plated: Book) -> None:
    plan = plan_of(plated, "p1")
    assert plan is not None
    assert len(plan.drawn) == 40
    assert len(set(plan.drawn)) == 40
    assert plan.drawn == draw(f"{plan.seed}/{plan.id}", 100, 20)
    with pytest.raises(NotAllowed, match="20 squares of it are drawn already, 0 of them read"):
        edits.draw_squares(plated, plan_for(plated, 6000, 1500))
    later = next_round(plated)
    again = after(later, edits.draw_squares(later, plan_for(later, 6000, 1500)), STAMP)[0].plans
    assert len({one.drawn for one in again.values()}) == 2
    with pytest.raises(NotAllowed, match="read them all"):
        edits.draw_squares(later, plan_for(later, 1200, 900))
