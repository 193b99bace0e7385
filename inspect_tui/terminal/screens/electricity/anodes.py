"""Anodes: how many she needs for how many years, by mass and by current, while the numbers are typed."""

from __future__ import annotations

from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.widgets import Static

from inspect_tui.domain.quantities import QUANTITIES
from inspect_tui.domain.words import Water
from inspect_tui.engineering.electricity.anode_plan import Anode, Duty, Plan, plan
from inspect_tui.engineering.electricity.sea_water import resistivity_ohm_m
from inspect_tui.errors import CannotCalculate, NotUnderstood
from inspect_tui.judgement.electricity.anode_plan import USUAL_OHM_M, hull_name, plan_lines, wetted_of
from inspect_tui.judgement.electricity.protected import newest_water
from inspect_tui.terminal.form_fields import Choose, FormField, Number
from inspect_tui.terminal.forms import FormScreen, in_form
from inspect_tui.terminal.screens.modals import headed
from inspect_tui.terminal.widgets.choice import Option

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
    TITLE_WORDS = "the anodes"
    BINDINGS: ClassVar[list[Any]] = [in_form("working", "why")]
    HELP_TEXT = """
How many anodes of one kind she needs, for how many years. The wetted area is worked out from her particulars by two
formulas; type your own if you know it. One anode: its net mass and its three dimensions.

Three questions are kept apart. Mass: is there enough metal for the years? Current: do they give enough at first,
and still enough when paint and anodes are worn? Reach: does all wetted metal have one near it? The largest number
decides. Fitted: how many she has now outside, under water. One in a bilge, sump or tank counts for nothing
outside.

{working} opens the working, line by line with its sources. Two sources, an offshore rule and a guide for small
craft, disagree on the current: the greater figure is taken, and what an aluminium hull needs is poorly known.
Measure the potential afterwards. Propeller: its bare metal, with the shaft's, where they are in metallic contact
with the hull. Never magnesium on aluminium in salt or brackish water, and no anode where its gas cannot escape.
What is typed stays here as a half-written form; it is not part of the papers.
"""

    def __init__(self) -> None:
        super().__init__()
        self._plan: Plan | None = None

    def above(self) -> ComposeResult:
        yield Static(id="head", markup=False)

    def form_fields(self) -> list[FormField]:
        salinity, _ = newest_water(self.book, of_this_round=False)
        hint = "ohm metre, assumed" if salinity is None else f"ohm metre: {salinity:g} g/kg, 15 °C"
        return [
            _needed("wetted_area_m2", "Wetted area", "m², without keel and rudder"),
            _needed("anode_years", "Years", "they must last"),
            Choose("paint", "Paint", options=PAINT, long=True),
            Choose("anode", "Anode", options=METALS),
            Choose("shape", "Shape", options=SHAPES),
            _needed("anode_kg", "Mass of one", "kg, net"),
            _needed("anode_length_mm", "Length", "mm"),
            _needed("anode_width_mm", "Width", "mm"),
            _needed("anode_thickness_mm", "Thickness", "mm"),
            _needed("resistivity_ohm_m", "Water", hint),
            Number("propeller_m2", "Propeller", "m² of bare bronze or stainless"),
            Number("anodes_fitted", "Fitted now", "outside, under water"),
        ]

    def first_values(self) -> dict[str, object]:
        area = wetted_of(self.book.boat)
        salinity, _ = newest_water(self.book, of_this_round=False)
        water = USUAL_OHM_M[self.book.boat.water or Water.SALT]
        return {
            "wetted_area_m2": round(area.mean_m2, 1) if area else None,
            "anode_years": 2.0,
            "paint": "II",
            "anode": "aluminium",
            "shape": "short flush",
            "anode_kg": 2.0,
            "anode_length_mm": 300.0,
            "anode_width_mm": 100.0,
            "anode_thickness_mm": 30.0,
            "resistivity_ohm_m": water if salinity is None else round(resistivity_ohm_m(salinity, WARMTH_C), 3),
        }

    def below(self) -> ComposeResult:
        yield Static(id="plan", markup=False)

    def on_mount(self) -> None:
        self.changed()

    def show(self) -> None:
        boat = self.book.boat
        lies = boat.water.value if boat.water else "water not written down, taken as salt"
        self.query_one("#head", Static).update(f"Anodes   {hull_name(boat)} hull   {lies}")

    def _made(self) -> Plan:
        boat = self.book.boat
        return plan(
            Duty(
                "steel" if hull_name(boat) == "steel" else "aluminium",
                self.value("wetted_area_m2"),
                years=self.value("anode_years"),
                coating=self.value("paint"),
                resistivity=self.value("resistivity_ohm_m"),
                salt=boat.water is not Water.FRESH,
                propeller_m2=self.number("propeller_m2") or 0.0,
            ),
            Anode(
                metal=self.value("anode"),
                one_kg=self.value("anode_kg"),
                length_m=self.value("anode_length_mm") / 1000,
                width_m=self.value("anode_width_mm") / 1000,
                thickness_m=self.value("anode_thickness_mm") / 1000,
                shape="short flush" if self.value("shape") == "short flush" else "long flush",
            ),
        )

    def changed(self) -> None:
        if not self.query("#anodes_fitted"):
            return
        told = self.query_one("#plan", Static)
        self._plan = None
        try:
            fitted = self.value("anodes_fitted")
            self._plan = self._made()
            lines = plan_lines(self._plan, fitted, self.value("wetted_area_m2"), self.book.boat.waterline_length_m)
        except (NotUnderstood, CannotCalculate) as error:
            told.update(f"?  {error}")
            return
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


def _needed(name: str, label: str, hint: str) -> Number:
    return Number(name, label, hint, needed=f"The {QUANTITIES[name].name} is missing.")
