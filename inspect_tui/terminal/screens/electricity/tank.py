"""Tanks: what the water does to the metal, whether the air passes, and the pressure a test asks for."""

from __future__ import annotations

from typing import Any, ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from inspect_tui.domain.words import HullMetal
from inspect_tui.engineering import tanks
from inspect_tui.engineering.working import Working
from inspect_tui.errors import NotUnderstood
from inspect_tui.terminal.form_fields import FormField, Number
from inspect_tui.terminal.forms import FormScreen, in_form
from inspect_tui.terminal.screens.modals import headed


class TankScreen(FormScreen):
    TITLE_WORDS = "tank water and air"
    BINDINGS: ClassVar[list[Any]] = [in_form("working", "why")]
    HELP_TEXT = """
What the water in a tank does to bare aluminium (for steel no limits were found), whether the air passes before
anyone leans in, and what pressure a test asks for. Fill in what you know; each number is judged as it is typed.
{working} opens the working with its sources.

Oxygen first, then flammable vapour, then toxic gas. Numbers that pass are no permission to enter: that comes from a
competent person on the spot, and someone stays outside. Chlorine: mg/L times hours is the dose the metal gets. For
bare metal, no more than the gentlest published dose.

To keep a measurement in the book, take it at its place: Measure in the walk, or on a finding. What is typed here
stays as a half-written form; it is not part of the papers.
"""

    def __init__(self) -> None:
        super().__init__()
        self._working = Working((), ())

    def above(self) -> ComposeResult:
        yield Static(id="head", markup=False)

    def form_fields(self) -> list[FormField]:
        return [
            Number("oxygen_percent", "Oxygen", "% in the air of the tank"),
            Number("vapour_percent_lel", "Vapour", "% of the lower explosive limit"),
            Number("ph", "pH", "of the water"),
            Number("copper_ppb", "Copper", "µg/L, from an analysis"),
            Number("chlorine_mg_l", "Chlorine", "mg/L to disinfect with"),
            Number("chlorine_hours", "Hours", "that it stays in"),
            Number("overflow_m", "Head", "m, tank's bottom to overflow"),
        ]

    def below(self) -> ComposeResult:
        with VerticalScroll(can_focus=False):
            yield Static(id="told", markup=False)

    def on_mount(self) -> None:
        self.changed()

    def show(self) -> None:
        self.query_one("#head", Static).update(
            self.badged("Tank water and air\nCAUTION  Nobody goes into a tank alone, or on these numbers alone.")
        )
        self.changed()

    def changed(self) -> None:
        if not self.query("#head"):
            return
        told = self.query_one("#told", Static)
        self._working = Working((), ())
        lines: list[tuple[str, str | Text]] = []
        for name, judge in (
            ("oxygen", self._oxygen), ("vapour", self._vapour), ("pH", self._ph), ("copper", self._copper),
            ("chlorine", self._chlorine), ("test", self._test),
        ):  # fmt: skip
            try:
                line = judge()
            except NotUnderstood as error:
                line = f"?  {error}"
            if line:
                lines.append((name, self.badged(line)))
        told.update(headed(lines or [("", "Type what you know: each number is judged at once.")]))

    def _told(self, judged: tanks.TankCheck) -> str:
        self._working += judged.working
        return f"passes. {judged.say}" if judged.passes else f"FAILS  {judged.say}"

    def _oxygen(self) -> str:
        value = self.number("oxygen_percent")
        return "" if value is None else self._told(tanks.oxygen(value))

    def _vapour(self) -> str:
        value, oxygen = self.number("vapour_percent_lel"), self.number("oxygen_percent")
        if value is not None and oxygen is not None and oxygen < tanks.OXYGEN_PERCENT[0]:
            return "Not to be trusted: with too little oxygen the meter shows too little vapour."
        return "" if value is None else self._told(tanks.vapour(value))

    def _ph(self) -> str:
        value = self.number("ph")
        of = "" if self.book.boat.hull_metal is HullMetal.ALUMINIUM else "For aluminium: "
        return "" if value is None else of + self._told(tanks.acidity(value))

    def _copper(self) -> str:
        value = self.number("copper_ppb")
        return "" if value is None else self._told(tanks.copper(value))

    def _chlorine(self) -> str:
        dose, hours = self.number("chlorine_mg_l"), self.number("chlorine_hours")
        if dose is None:
            return "" if hours is None else "How many mg/L?"
        if hours is None:
            return "For how many hours?"
        judged = tanks.chlorine(dose, hours)
        self._working += judged.working
        return f"{tanks.chlorine_dose_mg_h_l(dose, hours):g} mg·h/L. {judged.say}"

    def _test(self) -> str:
        head = self.number("overflow_m")
        if head is None:
            return ""
        self._working += tanks.pressure_working(head)
        asked = "; ".join(f"{one.rule} {one.kpa:.1f} kPa ({one.source.seen})" for one in tanks.asked_pressures(head))
        return f"{tanks.head_kpa(head):.1f} kPa at rest. {asked}. Water in a standpipe, never air."

    def keep(self) -> bool:
        self.notify("Nothing to keep here: what is typed stays as a half-written form.")
        return False

    def action_why(self) -> None:
        self.desk.show_text("Tank: the working", self._working.lines() or [("working", "none: type a number first")])
