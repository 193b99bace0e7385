"""Squares of a plate field drawn by chance: how many, of what size, which; and which of them were read."""

from __future__ import annotations

from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.widgets import Static

from inspect_tui.domain import edits
from inspect_tui.domain.book import Edit
from inspect_tui.domain.measuring.metal_records import SamplingPlan
from inspect_tui.domain.measuring.sampling import USUAL_SQUARES, place_of, plan_of, read_of
from inspect_tui.domain.plain import counted, one_line
from inspect_tui.domain.quantities import Quantity
from inspect_tui.domain.reading_records import PitReading
from inspect_tui.terminal.form_fields import FormField, Number, Sides
from inspect_tui.terminal.forms import FormScreen, WrongField, in_form

ALONG = Quantity("length", "mm", 200, 60_000, "6000")
HOW_MANY = Quantity("number of squares", "", 5, 100, "20", whole=True)
PATCH = (300.0, 300.0)


class SquaresScreen(FormScreen):
    TITLE_WORDS = "squares drawn by lot"
    BINDINGS: ClassVar[list[Any]] = [in_form("working", "why", "All of them", does="the squares in the order drawn")]
    HELP_TEXT = """
What a few squares show may speak for the plate that nobody looked at, if chance and not somebody's eye chose them.
Give the length and the girth of the field and the size of the square: {save} cuts the field into such squares,
numbers them from its forward lower corner row by row, and draws. The draw is made from the book's own trail, so that
nobody can choose it and anybody can repeat it.

Read the squares in the order drawn; {working} shows them all, in that order. One that cannot be reached is passed
over and the next one read: the book knows which, and if more than one in ten is passed over, they speak for
nothing.

In Measure choose the square, type its pits, and say whether you typed every one or only the deepest. A new
draw does not undo the readings of an old one.
"""

    def __init__(self, field: str = "") -> None:
        super().__init__()
        self._field = field
        self._drew = False

    def subject_gone(self) -> bool:
        return self._field not in self.book.plate_fields

    @property
    def plan(self) -> SamplingPlan | None:
        return plan_of(self.book, self._field)

    def above(self) -> ComposeResult:
        name = self.book.plate_fields[self._field].name
        yield Static(f"Squares of {one_line(name)}. {self.key('save')} draws them by lot.", id="head", markup=False)

    def below(self) -> ComposeResult:
        yield Static("\n".join(words for _, words in self._listed()), id="drawn", markup=False)

    def _listed(self) -> list[tuple[str, str]]:
        plan = self.plan
        if plan is None:
            return [("", "None has been drawn yet.")]
        read = read_of(self.book, plan)
        told = [("", f"Drawn {plan.when:%Y-%m-%d}; {counted(len(read), 'square')} of {plan.wanted} read."),
                ("", "In this order; mm aft of the field's forward edge, mm up from its lower one:")]  # fmt: skip
        for at, number in enumerate(plan.drawn, 1):
            if at == plan.wanted + 1:
                told.append(("", "Stand-ins for those that cannot be reached:"))
            along, up = place_of(plan, number)
            said = _depths(read[number]) if number in read else "not read yet"
            told.append(("", f"{at:>3}. square {number:>4} {along:>6.0f} aft {up:>5.0f} up   {said}"))
        return told

    def record(self) -> SamplingPlan:
        stamp, plan = self.book_file.stamp(), self.plan
        return SamplingPlan(
            id=self.book.new_key("plans"),
            plate_field=self._field,
            length_mm=plan.length_mm if plan else 1.0,
            girth_mm=plan.girth_mm if plan else 1.0,
            square_length_mm=plan.square_length_mm if plan else PATCH[0],
            square_girth_mm=plan.square_girth_mm if plan else PATCH[1],
            wanted=plan.wanted if plan else USUAL_SQUARES,
            seed="",
            drawn=(),
            when=stamp.when,
            by=stamp.by,
        )

    def first_values(self) -> dict[str, object]:
        record = self.record()
        blank = self.plan is None
        return {
            "length_mm": None if blank else record.length_mm,
            "girth_mm": None if blank else record.girth_mm,
            "square_mm": (record.square_length_mm, record.square_girth_mm),
            "wanted": record.wanted,
        }

    def is_kept(self) -> bool:
        return False

    def form_fields(self) -> list[FormField]:
        return [
            Number("length_mm", "Length", "mm or m, of the field along the hull", of=ALONG,
                   needed="How long is the field along the hull?"),
            Number("girth_mm", "Girth", "mm or m, across it, along the plate", of=ALONG,
                   needed="How far does it reach across, along the plate?"),
            Sides("square_mm", "Square", "mm × mm: its two sides"),
            Number("wanted", "How many", f"{USUAL_SQUARES} are usual, 5 the least", of=HOW_MANY,
                   needed=f"How many squares? {USUAL_SQUARES} are usual."),
        ]  # fmt: skip

    def with_fields(self, record: SamplingPlan, values: dict[str, Any]) -> SamplingPlan:
        sides = values.pop("square_mm")
        if sides is None:
            raise WrongField("square_mm", "Give the two sides of a square, for example 300 x 300.")
        values |= {"square_length_mm": sides[0], "square_girth_mm": sides[1]}
        changed: SamplingPlan = super().with_fields(record, values)
        return changed

    def edit(self, record: SamplingPlan) -> Edit:
        self._drew = True
        return edits.draw_squares(self.book, record)

    def leave(self) -> None:
        super().leave()
        if self._drew:
            self.action_why()

    def action_why(self) -> None:
        self.desk.show_text("Squares in the order drawn", [("", words) for _, words in self._listed()])


def _depths(reading: PitReading) -> str:
    """What was read in a square, as short as can be."""
    if reading.is_through:
        return "through" if reading.holed_through else "soft"
    return " ".join(f"{depth:g}" for depth in reading.depths_mm) + " mm" if reading.depths_mm else "no pit"
