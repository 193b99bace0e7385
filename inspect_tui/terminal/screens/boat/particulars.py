"""The boat's particulars: everything about her that could wait."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.widgets import Static

from inspect_tui.domain import edits, quantities
from inspect_tui.domain.boat_words import FEATURE_WORDS, BoatType, KeelType
from inspect_tui.domain.book import Edit
from inspect_tui.domain.records import Boat
from inspect_tui.domain.words import DesignCategory, FrameDirection, HullMetal, Rig, Water
from inspect_tui.terminal.form_fields import YES_NO, Choose, FormField, Number, Words, YesNo
from inspect_tui.terminal.forms import FormScreen, WrongField
from inspect_tui.terminal.screens.options import NOT_SAID, first_letter
from inspect_tui.terminal.widgets.choice import Option


class ParticularsScreen(FormScreen):
    TITLE_WORDS = "the boat's particulars"
    HELP_TEXT = """
All but her name and length can be left empty and filled in later. Questions about something she does not have are
left out once you say that she does not have it; until then they are asked.

Inland only: a steel boat that keeps to inland waters is judged by the inland rules too, with her frames taken to be
as far apart as the plate field's panel is wide. Inches too: verdicts and growth also in inches.

Required plate thickness needs: category, waterline, displacement; for a motor boat also top speed and, if she planes,
beam and deadrise; for a light sailing boat of category A or B the greatest righting lever below 60 degrees of heel.

Hull draught is without the keel. Displacement is what she weighs when loaded. Origin is the point from which frames
or millimetres are counted, in your words: 'forward face of the collision bulkhead'.
"""

    def above(self) -> ComposeResult:
        yield Static(f"The boat's particulars. {self.key('save')} saves them.", id="head", markup=False)

    def record(self) -> Boat:
        return self.book.boat

    def form_fields(self) -> list[FormField]:
        categories = [Option(one.value, one.value.lower(), one.value) for one in DesignCategory]
        keels = [Option(one.value, key, one.value) for one, key in zip(KeelType, "pbltn", strict=True)]
        directions = [Option(one.value, key, one.value) for one, key in zip(FrameDirection, "af", strict=True)]
        year = quantities.year_built(self.desk.clock().year)
        features = [
            YesNo(
                f"features.{feature.value}",
                "" if number else "She has",
                words,
                options=(*YES_NO, NOT_SAID),
            )
            for number, (feature, words) in enumerate(FEATURE_WORDS.items())
        ]
        return [
            Words("name", "Name", needed="She needs a name, or a number if she has none."),
            Choose("rig", "Sail or motor", options=first_letter(Rig)),
            Choose("built_as", "Built as", options=(*first_letter(BoatType), NOT_SAID)),
            Choose("hull_metal", "Metal", options=first_letter(HullMetal)),
            Words("builder", "Builder", "yard or builder, and where"),
            Words("hull_number", "Hull number", "the builder's, or the registration number, as marked on her"),
            Number("year_built", "Built", "year", of=year),
            Number(
                "hull_length_m",
                "Hull length",
                "m",
                needed="Type her length; roughly will do.",
            ),
            Number("waterline_length_m", "Waterline", "m"),
            Number("waterline_beam_m", "Beam at WL", "m"),
            Number("hull_draught_m", "Hull draught", "m"),
            Choose("keel", "Keel", options=(*keels, NOT_SAID)),
            Number("displacement_kg", "Displacement", "kg"),
            Number("speed_kn", "Top speed", "kn"),
            Number("deadrise_deg", "Deadrise", "°"),
            Number("righting_lever_m", "Righting lever", "m"),
            Choose("design_category", "Category", options=(*categories, NOT_SAID)),
            Choose("water", "Water", options=(*first_letter(Water), NOT_SAID)),
            Words("last_hauled", "Last hauled", "when she was last out of the water, and where"),
            Words("coatings", "Coatings", "what she was coated with, when, over what; the antifouling"),
            YesNo("inland", "Inland only", options=(*YES_NO, NOT_SAID)),
            YesNo("inches", "Inches too", options=(*YES_NO, NOT_SAID)),
            Words("datum.origin", "Frames from", "origin, in words"),
            Choose("datum.direction", "Frames", options=directions),
            Number("datum.frame_spacing_mm", "Spacing", "mm from frame to frame"),
            *features,
        ]

    def fitting(self, record: Boat) -> Boat:
        if record.waterline_length_m is not None and record.waterline_length_m > record.hull_length_m:
            raise WrongField("waterline_length_m", "The waterline is longer than the hull: check both.")
        told = {name: getattr(record, name) or None for name in ("builder", "hull_number", "last_hauled", "coatings")}
        return record.model_copy(update=told)

    def edit(self, record: Boat) -> Edit:
        return edits.change_boat(record)
