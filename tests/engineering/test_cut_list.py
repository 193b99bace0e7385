"""The cheapest cut list, against published covers and against another solver."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import lil_matrix

from inspect_tui.engineering.work.cut_list import CutList, Cutting, Rect, cheapest_cuts
from inspect_tui.errors import CannotCalculate

# The first five fields of the example `strawberry_fields_with_column_generation.cc` of OR-Tools (Apache 2.0), each
# with the most boxes it allows. The optima were proven with another solver, boxes allowed to overlap; a box costs 10
# and 1 for each cell.
FIELDS = Path(__file__).parent.parent / "outside" / "data" / "strawberry_fields.txt"
RULES = Cutting(
    fixed=0.5, per_m2=1, per_weld_m=1, per_frame=0.3, margin_mm=40, least_mm=200, strip_mm=150, radius_mm=60,
    frames_mm=(500, 1000, 1500, 2000, 2500), seams_mm=(600,), clear_mm=60,
)  # fmt: skip


@pytest.mark.parametrize(
    "field", FIELDS.read_text(encoding="utf-8").split("\n\n"), ids=lambda one: one.split("\n")[0]
)
def test_published_fields_are_covered_at_their_least_cost(field: str) -> None:
    first, *rows = field.strip().splitlines()
    most, optimum = map(int, first.split())
    berries = [
        Rect(1000 * x, 1000 * y, 1000 * x + 1000, 1000 * y + 1000)
        for y, row in enumerate(rows)
        for x, sign in enumerate(row)
        if sign == "@"
    ]
    told = cheapest_cuts(berries, Cutting(fixed=10, most=most, overlap=True))
    assert len(told.inserts) <= most
    assert told.cost == pytest.approx(optimum)


def spots_of(rng: random.Random, count: int, long_mm: float, wide_mm: float) -> list[Rect]:
    spots = []
    for _ in range(count):
        x, y = rng.uniform(0, long_mm), rng.uniform(0, wide_mm)
        spots.append(Rect(x, y, x + rng.uniform(3, 250), y + rng.uniform(3, 150)))
    return spots


def least_cost(spots: Sequence[Rect], cutting: Cutting, *, clashes: bool) -> float:
    """The least cost by a solver of mixed integer programmes (HiGHS): one rectangle out of all that hold each spot,
    of two that clash one. Without clashes: what no list can come below."""
    grown = [one.grown(cutting.margin_mm) for one in spots]
    worth = math.fsum(cutting.cost(cutting.cut_round(one)) for one in grown)
    boxes: dict[frozenset[int], Rect] = {}
    for x0 in {one.x0 for one in grown}:
        for x1 in {one.x1 for one in grown if one.x1 > x0}:
            across = [at for at, one in enumerate(grown) if one.x0 >= x0 and one.x1 <= x1]
            for y0 in {grown[at].y0 for at in across}:
                for y1 in {grown[at].y1 for at in across if grown[at].y1 > y0}:
                    held = [at for at in across if grown[at].y0 >= y0 and grown[at].y1 <= y1]
                    if held and frozenset(held) not in boxes:
                        box = grown[held[0]]
                        for at in held[1:]:
                            box = box.around(grown[at])
                        boxes[frozenset(held)] = cutting.cut_round(box)
    if not clashes:  # then a rectangle that costs more than its spots one by one is never chosen
        single = {at: cutting.cost(boxes[frozenset([at])]) for at in range(len(spots)) if frozenset([at]) in boxes}
        boxes = {
            held: box
            for held, box in boxes.items()
            if len(held) == 1 or cutting.cost(box) < math.fsum(single.get(at, worth) for at in held)
        }
    sets, cuts = list(boxes), list(boxes.values())
    pairs = [
        (one, other)
        for one, other in combinations(range(len(cuts)), 2)
        if not sets[one] & sets[other] and cuts[one].apart_mm(cuts[other]) < cutting.strip_mm - 1e-9
    ] if clashes else []  # fmt: skip
    rows = lil_matrix((len(spots) + len(pairs), len(cuts)))
    for column, one in enumerate(sets):
        for at in sorted(one):
            rows[at, column] = 1
    for row, pair in enumerate(pairs, len(spots)):
        rows[row, pair[0]] = rows[row, pair[1]] = 1
    low = np.array([1.0] * len(spots) + [0.0] * len(pairs))
    solved = milp(
        [cutting.cost(one) for one in cuts],
        constraints=LinearConstraint(rows.tocsr(), low, np.ones(len(low))),
        integrality=np.ones(len(cuts)),
        bounds=Bounds(0, 1),
    )
    assert solved.success
    return float(solved.fun)


def keeps_its_rules(told: CutList, spots: Sequence[Rect], cutting: Cutting) -> None:
    assert sorted(at for one in told.inserts for at in one.spots) == list(range(len(spots)))
    for one in told.inserts:
        for at in one.spots:
            assert one.cut.holds(spots[at].grown(cutting.margin_mm))
        assert min(one.cut.x1 - one.cut.x0, one.cut.y1 - one.cut.y0) >= cutting.least_mm - 1e-6
        for frame in cutting.frames_mm:
            assert min(abs(one.cut.x0 - frame), abs(one.cut.x1 - frame)) >= cutting.clear_mm - 1e-6
        for seam in cutting.seams_mm:
            assert min(abs(one.cut.y0 - seam), abs(one.cut.y1 - seam)) >= cutting.clear_mm - 1e-6
    for one, other in combinations(told.inserts, 2):
        assert one.cut.apart_mm(other.cut) >= cutting.strip_mm - 1e-6


def twelve(seed: int) -> list[Rect]:
    rng = random.Random(seed)
    return spots_of(rng, 1 + seed % 12, rng.uniform(600, 3500), rng.uniform(200, 1500))


def test_up_to_twelve_spots_cost_what_another_solver_finds() -> None:
    for seed in range(200):
        told = cheapest_cuts(twelve(seed), RULES)
        keeps_its_rules(told, twelve(seed), RULES)
        assert told.proven
        assert told.cost == pytest.approx(least_cost(twelve(seed), RULES, clashes=True)), seed


@pytest.mark.parametrize("seed", range(1))
def test_sixty_spots_cost_at_most_a_twentieth_more_than_no_list_can_come_below(seed: int) -> None:
    spots = spots_of(random.Random(seed), 60, 14000, 5000)
    rules = Cutting(fixed=0.2, per_m2=1, per_weld_m=1, margin_mm=20, least_mm=80, radius_mm=20)
    told = cheapest_cuts(spots, rules)
    keeps_its_rules(told, spots, rules)
    assert not told.proven
    assert told.cost <= 1.05 * least_cost(spots, rules, clashes=False)


@pytest.mark.parametrize("seed", range(12))
def test_where_it_is_not_proven_it_is_near_what_is(seed: int) -> None:
    spots = spots_of(random.Random(seed), 12, 3000, 1500)
    near = cheapest_cuts(spots, RULES, exact_most=0)
    keeps_its_rules(near, spots, RULES)
    assert near.cost <= 1.05 * cheapest_cuts(spots, RULES).cost


def places() -> st.SearchStrategy[Rect]:
    side = st.floats(0, 4000, width=32)
    return st.builds(lambda x, y, a, b: Rect(x, y, x + 1 + a / 20, y + 1 + b / 20), side, side, side, side)


@settings(deadline=None, max_examples=30)
@given(st.lists(places(), min_size=1, max_size=30))
def test_whatever_the_spots_each_is_cut_out_once_with_its_margin_and_no_two_cuts_meet(spots: list[Rect]) -> None:
    told = cheapest_cuts(spots, RULES)
    keeps_its_rules(told, spots, RULES)
    assert told == cheapest_cuts(spots, RULES), "the same every time"


def test_a_cut_goes_past_a_weld_that_it_would_come_too_near() -> None:
    cut = cheapest_cuts([Rect(300, 100, 440, 300)], RULES).inserts[0].cut
    assert (cut.x0, cut.x1) == (260, 560), "480 + 60 would be nearer than 60 to the frame at 500: it goes past it"
    assert RULES.crossed(cut) == (500,)


def test_no_spots_are_no_cuts_and_none_allowed_is_refused() -> None:
    assert cheapest_cuts([], RULES).inserts == ()
    with pytest.raises(CannotCalculate, match="At least one"):
        cheapest_cuts([Rect(0, 0, 1, 1)], Cutting(most=0))
