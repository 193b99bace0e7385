"""The boat's particulars: everything about her that could wait."""

from __future__ import annotations

from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.widgets import Static

from inspect_tui.domain import edits
from inspect_tui.domain.records import Datum
from inspect_tui.domain.words import (
    FEATURE_WORDS,
    DesignCategory,
    Feature,
    FrameDirection,
    HullMetal,
    Rig,
    Water,
)
from inspect_tui.terminal.screens.form import FormScreen
from inspect_tui.terminal.widgets.choice import Choice, Option
from inspect_tui.terminal.widgets.field import Row, field_row

UNSAID = "unsaid"
# id, name, unit, lowest, highest that is plausible for a boat of 2 to 120 m
NUMBERS = (
    ("hull_length_m", "Hull length", "m", 2, 120),
    ("waterline_length_m", "Waterline", "m", 2, 120),
    ("waterline_beam_m", "Beam at WL", "m", 0.5, 25),
    ("hull_draught_m", "Hull draught", "m", 0.05, 10),
    ("displacement_kg", "Displacement", "kg", 50, 5e6),
    ("speed_kn", "Top speed", "kn", 1, 90),
    ("deadrise_deg", "Deadrise", "°", 0, 60),
    ("righting_lever_m", "Righting lever", "m", 0.05, 3),
)


class ParticularsScreen(FormScreen):
    CSS_PATH = "form.tcss"
    TITLE_WORDS = "the boat's particulars"
    BINDINGS: ClassVar[list[Any]] = []
    HELP_TEXT = """
Everything here can stay empty and be filled in later. Questions about things she has not are left out once you
say that she has not got them; as long as you do not say, they are asked.

Required plate thickness needs: category, waterline, displacement; of a motor boat also top speed, and if she planes
beam and deadrise; of a light sailing boat of category A or B the greatest righting lever below 60 degrees of heel.

Hull draught is without the keel. Displacement is how she floats when loaded. Origin is the point from which
frames or millimetres are counted, in your words: 'forward face of the collision bulkhead'.
"""

    def draft_name(self) -> str:
        return "particulars"

    def above(self) -> ComposeResult:
        yield Static("The boat's particulars. F2 keeps them.", id="head", markup=False)

    def rows(self) -> list[Row]:
        boat = self.book.boat
        rigs = [Option(one.value, one.value[0], one.value) for one in Rig]
        metals = [Option(one.value, one.value[0], one.value) for one in HullMetal]
        waters = [*(Option(one.value, one.value[0], one.value) for one in Water), Option(UNSAID, "x", "not said")]
        categories = [
            *(Option(one.value, one.value.lower(), one.value) for one in DesignCategory),
            Option(UNSAID, "x", "not said"),
        ]
        directions = [Option(one.name, key, one.value) for one, key in zip(FrameDirection, "af", strict=True)]
        rows = [
            field_row("Name", "name", boat.name),
            Row("Sail or motor", Choice(rigs, boat.rig.value, id="rig")),
            Row("Metal", Choice(metals, boat.hull_metal.value, id="metal")),
            field_row("Built", "year_built", boat.year_built, "year"),
        ]
        rows += [field_row(name, id, getattr(boat, id), unit) for id, name, unit, _, _ in NUMBERS]
        rows += [
            Row("Category", Choice(categories, boat.design_category or UNSAID, id="category")),
            Row("Water", Choice(waters, boat.water or UNSAID, id="water")),
            field_row("Frames from", "origin", boat.datum.origin, "origin, in words"),
            Row("Frames", Choice(directions, boat.datum.direction.name, id="direction")),
            field_row("Spacing", "spacing", boat.datum.frame_spacing_mm, "mm from frame to frame"),
        ]
        for number, (feature, words) in enumerate(FEATURE_WORDS.items()):
            known = boat.features.get(feature)
            value = UNSAID if known is None else "yes" if known else "no"
            options = [Option("yes", "y", "yes"), Option("no", "n", "no"), Option(UNSAID, "x", f"not said: {words}")]
            rows.append(Row("Has she" if number == 0 else "", Choice(options, value, id=feature.value)))
        return rows

    def keep(self) -> bool:
        boat = self.book.boat
        update: dict[str, Any] = {
            id: self.number(id, name.lower(), unit, low, high) for id, name, unit, low, high in NUMBERS
        }
        if update["hull_length_m"] is None:
            self.complain("hull_length_m", "She has a length; about is good enough.")
            return False
        waterline = update["waterline_length_m"]
        if waterline is not None and waterline > update["hull_length_m"]:
            self.complain("waterline_length_m", "The waterline is longer than the hull: check both.")
            return False
        year = self.number("year_built", "year", "", 1800, self.desk.clock().year)
        category, water = self.text_of("category"), self.text_of("water")
        update |= {
            "name": self.text_of("name").strip(),
            "rig": Rig(self.text_of("rig")),
            "hull_metal": HullMetal(self.text_of("metal")),
            "year_built": None if year is None else round(year),
            "design_category": None if category == UNSAID else DesignCategory(category),
            "water": None if water == UNSAID else Water(water),
            "datum": Datum(
                origin=self.text_of("origin").strip(),
                direction=FrameDirection[self.text_of("direction")],
                frame_spacing_mm=self.number("spacing", "frame spacing", "mm", 50, 5000),
                frame_table_mm=boat.datum.frame_table_mm,
            ),
            "features": {
                feature: self.text_of(feature.value) == "yes"
                for feature in Feature
                if self.text_of(feature.value) != UNSAID
            },
        }
        if not update["name"]:
            self.complain("name", "She needs a name, or a number if she has none.")
            return False
        changed = boat.model_copy(update=update)
        return changed == boat or self.desk.record(lambda: edits.change_boat(changed))
