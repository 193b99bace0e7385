"""Anodes: how many she needs for how many years, by mass and by current, while the numbers are typed."""

from __future__ import annotations

from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding
from textual.widgets import Static

from inspect_tui.domain.errors import NotUnderstood
from inspect_tui.domain.numbers import typed_number
from inspect_tui.domain.words import Water
from inspect_tui.engineering.anodes import Plan, plan
from inspect_tui.engineering.errors import CannotCalculate
from inspect_tui.engineering.sea_water import resistivity_ohm_m
from inspect_tui.judgement.anode_plan import USUAL_OHM_M, hull_name, plan_lines, wetted_of
from inspect_tui.judgement.protected import newest_water
from inspect_tui.terminal.screens.form import FormScreen
from inspect_tui.terminal.screens.modals import headed
from inspect_tui.terminal.widgets.choice import Choice, Option
from inspect_tui.terminal.widgets.field import Row, field_row

WARMTH_C = 15.0
METALS = [Option("aluminium", "a", "aluminium"), Option("zinc", "z", "zinc"), Option("magnesium", "m", "magnesium")]
SHAPES = [Option(shape, shape[0], shape) for shape in ("long flush", "short flush")]
PAINT = [
    Option("I", "1", "I, one thin coat"),
    Option("II", "2", "II, a system, touched up"),
    Option("III", "3", "III, a good system, two coats or more"),
    Option("bare", "b", "bare"),
]


class AnodesScreen(FormScreen):
    CSS_PATH = "anodes.tcss"
    TITLE_WORDS = "the anodes"
    BINDINGS: ClassVar[list[Any]] = [
        Binding("f2,ctrl+s", "keep", "Keep", show=False, priority=True),
        Binding("f3", "why", "Working", key_display="F3"),
    ]
    HELP_TEXT = """
How many anodes of one kind she needs, for how many years. The wetted area is worked out from her particulars by two
formulas; type your own if you know it. One anode: its net mass and its three sides.

Two questions are kept apart. Mass: is there metal enough for the years? Current: do they give enough at first, and
when the paint is worn and they are too? The larger number decides. Fitted: how many she has now.

F3 opens the working, line by line with its sources. Two sources disagree on the current, an offshore rule and a guide
for small craft: the greater is taken, and what an aluminium hull needs is poorly known. Measure the potential
afterwards. Propeller: its bare metal, with the shaft's, where they are in metal contact with the hull.
Never magnesium on aluminium in salt or brackish water, and no anode where its gas cannot leave.
What is typed stays here as a half-written form; it is no part of the papers.
"""

    def __init__(self) -> None:
        super().__init__()
        self._plan: Plan | None = None

    def draft_name(self) -> str:
        return "anodes"

    def above(self) -> ComposeResult:
        yield Static(id="head", markup=False)

    def rows(self) -> list[Row]:
        area = wetted_of(self.book.boat)
        salinity, _ = newest_water(self.book, of_this_round=False)
        water, hint = USUAL_OHM_M[self.book.boat.water or Water.SALT], "ohm metre, taken"
        if salinity is not None:
            water, hint = round(resistivity_ohm_m(salinity, WARMTH_C), 3), f"ohm metre: {salinity:g} g/kg, 15 °C"
        return [
            field_row("Wetted area", "area", round(area.mean_m2, 1) if area else None, "m², without keel and rudder"),
            field_row("Years", "years", 2.0, "they shall last"),
            Row("Paint", Choice(PAINT, "II", id="paint", long=True)),
            Row("Anode", Choice(METALS, "aluminium", id="anode")),
            Row("Shape", Choice(SHAPES, "short flush", id="shape")),
            field_row("Mass of one", "mass", 2.0, "kg, net"),
            field_row("Length", "length", 300.0, "mm"),
            field_row("Width", "width", 100.0, "mm"),
            field_row("Thickness", "thickness", 30.0, "mm"),
            field_row("Water", "resistivity", water, hint),
            field_row("Propeller", "propeller", "", "m² of bare bronze or stainless"),
            field_row("Fitted now", "fitted", None, "how many she has"),
        ]

    def below(self) -> ComposeResult:
        yield Static(id="plan", markup=False)

    def on_mount(self) -> None:
        self.changed()

    def show(self) -> None:
        boat = self.book.boat
        lies = boat.water.value if boat.water else "water not written down, taken as salt"
        self.query_one("#head", Static).update(f"Anodes   {hull_name(boat)} hull   {lies}")

    def _number(self, id: str, name: str, unit: str, low: float, high: float) -> float:
        number = typed_number(self.text_of(id), name, unit, low, high)
        if number is None:
            raise NotUnderstood(f"The {name} is missing.")
        return number

    def _made(self) -> Plan:
        boat = self.book.boat
        return plan(
            "steel" if hull_name(boat) == "steel" else "aluminium",
            self._number("area", "wetted area", "m²", 0.5, 5000),
            years=self._number("years", "years", "", 0.1, 30),
            coating=self.text_of("paint"),
            anode=self.text_of("anode"),
            one_kg=self._number("mass", "mass", "kg", 0.05, 500),
            length_m=self._number("length", "length", "mm", 20, 5000) / 1000,
            width_m=self._number("width", "width", "mm", 10, 1000) / 1000,
            thickness_m=self._number("thickness", "thickness", "mm", 2, 500) / 1000,
            shape="short flush" if self.text_of("shape") == "short flush" else "long flush",
            resistivity=self._number("resistivity", "resistivity", "", 0.1, 500),
            salt=boat.water is not Water.FRESH,
            propeller_m2=typed_number(self.text_of("propeller"), "propeller", "m²", 0, 50) or 0.0,
        )

    def changed(self) -> None:
        if not self.query("#fitted"):
            return
        told = self.query_one("#plan", Static)
        self._plan = None
        try:
            fitted = typed_number(self.text_of("fitted"), "number fitted", "", 0, 1000)
            self._plan = self._made()
        except (NotUnderstood, CannotCalculate) as error:
            told.update(f"?  {error}")
            return
        area = self._number("area", "wetted area", "m²", 0.5, 5000)
        lines = plan_lines(
            self._plan, None if fitted is None else int(fitted), area, self.book.boat.waterline_length_m
        )
        told.update(headed(lines, 10))

    def keep(self) -> bool:
        self.notify("Nothing to keep here: what is typed stays as a half-written form.")
        return False

    def action_why(self) -> None:
        if self._plan is None:
            self.notify("Put the numbers right first.")
            return
        area = wetted_of(self.book.boat)
        lines = area.working.lines() if area else []
        self.desk.show_text("Anodes: the working", [*lines, *self._plan.working.lines()])
