"""A compartment: its name, and where it lies."""

from __future__ import annotations

from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding
from textual.widgets import Static

from inspect_tui.domain import edits
from inspect_tui.domain.plain import one_line
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.words import SIDE_WORDS, Side
from inspect_tui.terminal.screens.form import FormScreen
from inspect_tui.terminal.widgets.choice import Choice, Option
from inspect_tui.terminal.widgets.field import Field, Row, field_row

USUAL, BELOW, ABOVE, UNSAID = "usual", "below", "above", "unsaid"
WATERLINE = {USUAL: None, BELOW: True, ABOVE: False}


class CompartmentScreen(FormScreen):
    CSS_PATH = "form.tcss"
    TITLE_WORDS = "a compartment"
    BINDINGS: ClassVar[list[Any]] = [Binding("f8", "drop", "Take away", key_display="F8")]
    HELP_TEXT = """
Give each compartment the name you use for it: "port water tank". Frames are as your boat counts them.
Order decides its place between bow and stern: a smaller number is further forward.
Lies on plate: the plate fields her shell is made of there; with one alone, readings need not name it.
F8 takes a compartment off the boat, as long as nothing was written down in it.
"""

    def __init__(self, compartment: str) -> None:
        super().__init__()
        self._place_id = compartment

    @property
    def place(self) -> Compartment:
        return self.book.compartments[self._place_id]

    def subject_gone(self) -> bool:
        return self._place_id not in self.book.compartments

    def draft_name(self) -> str:
        return f"compartment/{self._place_id}"

    def rows(self) -> list[Row]:
        place = self.place
        sides = [*(Option(one.value, one.value.lower(), SIDE_WORDS[one]) for one in Side), Option(UNSAID, "x", "all")]
        lies = [Option(USUAL, "u", "as usual"), Option(BELOW, "b", "below"), Option(ABOVE, "a", "above")]
        at = next(key for key, value in WATERLINE.items() if value is place.below_waterline)
        rows = [
            field_row("Name", "name", place.name),
            field_row("From frame", "from", place.frame_from),
            field_row("To frame", "to", place.frame_to),
            Row("Side", Choice(sides, place.side.value if place.side else UNSAID, id="side")),
            Row("Waterline", Choice(lies, at, id="lies")),
            field_row("Order", "order", place.order, "smaller is further forward"),
        ]
        for number, field in enumerate(self.book.plate_fields.values()):
            yes_no = [Option("yes", "y", "yes"), Option("no", "n", f"no: {one_line(field.name)}")]
            on_it = "yes" if field.id in place.plate_fields else "no"
            rows.append(Row("Lies on plate" if not number else "", Choice(yes_no, on_it, id=f"on-{field.id}")))
        return rows

    def above(self) -> ComposeResult:
        area = self.checklists.areas.get(self.place.area)
        told = f"take out first: {area.clear}" if area else f"its kind of place, {self.place.area}, is not known here"
        yield Static(f"Compartment\n{told}", id="head", markup=False)

    def on_mount(self) -> None:
        # Its name was given by us: typing replaces it, End keeps it.
        area = self.checklists.areas.get(self.place.area)
        if area and self.place.name.startswith(area.name):
            self.query_one("#name", Field).action_select_all()

    def keep(self) -> bool:
        order = self.number("order", "order", "", -100000, 100000)
        side = self.text_of("side")
        place = self.place.model_copy(
            update={
                "name": self.text_of("name").strip(),
                "frame_from": self.number("from", "frame", "", -50, 500),
                "frame_to": self.number("to", "frame", "", -50, 500),
                "side": None if side == UNSAID else Side(side),
                "below_waterline": WATERLINE[self.text_of("lies")],
                "order": self.place.order if order is None else round(order),
                "plate_fields": tuple(key for key in self.book.plate_fields if self.text_of(f"on-{key}") == "yes"),
            }
        )
        if not place.name:
            self.complain("name", "A compartment needs a name.")
            return False
        return self.desk.record(lambda: edits.change_compartment(place))

    def action_drop(self) -> None:
        if self.desk.record(lambda: edits.drop_compartment(self.book, self.place)):
            self.forget_draft()
            self.leave()
