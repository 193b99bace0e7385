"""A compartment: its name, and where it lies."""

from __future__ import annotations

from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.widgets import Static

from inspect_tui.domain import edits
from inspect_tui.domain.book import Edit
from inspect_tui.domain.plain import one_line
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.words import SIDE_WORDS, Side
from inspect_tui.terminal.form_fields import UNSAID, YES_NO, Choose, FormField, Number, Words, YesNo
from inspect_tui.terminal.forms import FormScreen, in_form
from inspect_tui.terminal.widgets.choice import Option
from inspect_tui.terminal.widgets.field import Field

SIDES = (*(Option(one.value, one.value.lower(), SIDE_WORDS[one]) for one in Side), Option(UNSAID, "x", "all"))
LIES = (Option(UNSAID, "u", "as usual"), Option("yes", "b", "below"), Option("no", "a", "above"))


class CompartmentScreen(FormScreen):
    TITLE_WORDS = "a compartment"
    BINDINGS: ClassVar[list[Any]] = [in_form("remove", "drop", does="off the boat, if nothing is written in it")]
    HELP_TEXT = """
Give each compartment the name you use for it: "port water tank". Frames are numbered as on your boat. Order decides
its place between bow and stern: a smaller number is further forward. Lies on plate: the plate fields her shell is
made of there; if there is only one, readings need not name it.
"""

    def __init__(self, compartment: str) -> None:
        super().__init__()
        self._place_id = compartment

    def subject_gone(self) -> bool:
        return self._place_id not in self.book.compartments

    def record(self) -> Compartment:
        return self.book.compartments[self._place_id]

    def form_fields(self) -> list[FormField]:
        plates = [
            YesNo(
                f"on {field.id}",
                "" if number else "Lies on plate",
                one_line(field.name),
                options=YES_NO,
            )
            for number, field in enumerate(self.book.plate_fields.values())
        ]
        return [
            Words("name", "Name", needed="A compartment needs a name."),
            Number("frame_from", "From frame"),
            Number("frame_to", "To frame"),
            Choose("side", "Side", options=SIDES),
            Number("girth_from_mm", "Out from", "mm from the centreline, along the plate"),
            Number("girth_to_mm", "Out to", "mm; for the map of what was seen"),
            YesNo("below_waterline", "Waterline", options=LIES),
            Number("order", "Order", "smaller is further forward", needed="Its order must be a number."),
            *plates,
        ]

    def first_values(self) -> dict[str, object]:
        lies = self.record().plate_fields
        return {f"on {field}": field in lies for field in self.book.plate_fields}

    def above(self) -> ComposeResult:
        place = self.record()
        area = self.checklists.areas.get(place.area)
        told = f"before you look: {area.clear}" if area else f"its kind of place, {place.area}, is not known here"
        yield Static(f"Compartment\n{told}", id="head", markup=False)

    def on_mount(self) -> None:
        # Its name was given by us: typing replaces it, End keeps it.
        place = self.record()
        area = self.checklists.areas.get(place.area)
        if area and place.name.startswith(area.name):
            self.query_one("#name", Field).action_select_all()

    def with_fields(self, record: Compartment, values: dict[str, Any]) -> Compartment:
        lies = tuple(field for field in self.book.plate_fields if values.pop(f"on {field}"))
        changed: Compartment = super().with_fields(record, {**values, "plate_fields": lies})
        return changed

    def edit(self, record: Compartment) -> Edit:
        return edits.change_compartment(record)

    def action_drop(self) -> None:
        name = one_line(self.record().name)
        self.drop(f"{name} from the boat", lambda: edits.drop_compartment(self.book, self.record()))
