"""Squares drawn by chance from a plate field, so that what they show may speak for the rest."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Iterable

from inspect_tui.domain.book import Book
from inspect_tui.domain.measuring.metal_records import MOST_SQUARES, SamplingPlan
from inspect_tui.domain.reading_records import PitReading
from inspect_tui.errors import NotAllowed

USUAL_SQUARES = 20
# For squares that cannot be reached.
SPARE = 2


def grid_of(length_mm: float, girth_mm: float, square_length_mm: float, square_girth_mm: float) -> tuple[int, int]:
    """Columns along the hull and rows across, of whole squares.

    >>> grid_of(4000, 1500, 300, 300)
    (13, 5)
    """
    return math.floor(length_mm / square_length_mm + 1e-9), math.floor(girth_mm / square_girth_mm + 1e-9)


def draw(seed: str, squares: int, wanted: int) -> tuple[int, ...]:
    """Numbers 1 to `squares` in an order that only the seed decides: by the SHA-256 of seed and number.

    >>> draw("a", 9, 2)
    (2, 3, 6, 1)
    """
    order = sorted(range(1, squares + 1), key=lambda number: hashlib.sha256(f"{seed}/{number}".encode()).digest())
    return tuple(order[: wanted * SPARE])


def planned(book: Book, plan: SamplingPlan) -> SamplingPlan:
    """The plan with its squares drawn.

    Raises
    ------
    NotAllowed : the field is smaller than a few squares, or so large that no drawing of it is of use.
    """
    columns, rows = grid_of(plan.length_mm, plan.girth_mm, plan.square_length_mm, plan.square_girth_mm)
    squares = columns * rows
    if squares <= plan.wanted:
        raise NotAllowed(f"Only {squares} whole squares fit on it: read them all, or make them smaller.")
    if squares > MOST_SQUARES:
        raise NotAllowed(f"{squares} squares are too many to draw from: make them larger.")
    return plan.model_copy(update={"seed": book.head, "drawn": draw(f"{book.head}/{plan.id}", squares, plan.wanted)})


def place_of(plan: SamplingPlan, number: int) -> tuple[float, float]:
    """Where a square begins [mm]: along from the field's forward edge, up from its lower edge."""
    columns, _ = grid_of(plan.length_mm, plan.girth_mm, plan.square_length_mm, plan.square_girth_mm)
    row, column = divmod(number - 1, columns)
    return column * plan.square_length_mm, row * plan.square_girth_mm


def place_words(plan: SamplingPlan, number: int) -> str:
    """A square by its number and place, for somebody with a tape.

    >>> from datetime import UTC, datetime
    >>> plan = SamplingPlan(id="q1", plate_field="p1", length_mm=4000, girth_mm=1500, square_length_mm=300,
    ...     square_girth_mm=300, wanted=5, seed="", drawn=(), when=datetime(2025, 1, 1, tzinfo=UTC), by="x")
    >>> place_words(plan, 17)
    '17: 900 mm aft, 300 mm up from the forward lower corner'
    """
    along, up = place_of(plan, number)
    return f"{number}: {along:.0f} mm aft, {up:.0f} mm up from the forward lower corner"


def plan_of(book: Book, field: str) -> SamplingPlan | None:
    """The newest plan of a plate field."""
    plans = [plan for plan in book.plans.values() if plan.plate_field == field]
    return max(plans, key=lambda plan: plan.when, default=None)


def read_of(book: Book, plan: SamplingPlan) -> dict[int, PitReading]:
    """The squares of a plan that were read, by number."""
    return {
        one.square: one
        for one in book.readings.values()
        if isinstance(one, PitReading) and one.plan == plan.id and one.square in plan.drawn
    }


def passed_over(plan: SamplingPlan, read: Iterable[int]) -> list[int]:
    """Squares that were drawn before the last one read, and were not read."""
    done = set(read)
    last = max((at for at, number in enumerate(plan.drawn) if number in done), default=-1)
    return [number for number in plan.drawn[: last + 1] if number not in done]
