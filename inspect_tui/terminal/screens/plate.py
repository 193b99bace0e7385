"""The form of a plate field: what a part of the shell is made of, how thick it was, how far it spans."""

from __future__ import annotations

from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding
from textual.widgets import Static

from inspect_tui.domain import edits
from inspect_tui.domain.plain import one_line
from inspect_tui.domain.records import PlateField
from inspect_tui.domain.words import PlateRegion, ThicknessSource
from inspect_tui.terminal.screens.form import FormScreen
from inspect_tui.terminal.widgets.choice import Choice, Option
from inspect_tui.terminal.widgets.field import Row, field_row

UNSAID = "unsaid"
REGION_KEYS = dict(zip(PlateRegion, "bisktdun", strict=True))
# id, name, unit, lowest, highest, what to measure
NUMBERS = (
    ("as_built_mm", "As built", "mm", 1, 60, "mm; best at a cut edge"),
    ("panel_width_mm", "Panel wide", "mm", 50, 5000, "mm, between frames or stringers"),
    ("panel_length_mm", "Panel long", "mm", 50, 20000, "mm, long way, weld to weld"),
    ("curvature_mm", "Camber", "mm", 0, 1000, "mm, bow over the short way"),
    ("area_m2", "Area", "m²", 0.01, 1000, "m² of the whole field"),
    ("from_aft_percent", "From aft", "%", 0, 100, "% of waterline, panel's middle"),
    ("up_side_percent", "Up the side", "%", 0, 100, "% from waterline 0 to deck edge 100"),
    ("head_m", "Head", "m", 0, 20, "m of water, for a bulkhead or tank"),
)


class PlateScreen(FormScreen):
    CSS_PATH = "form.tcss"
    TITLE_WORDS = "a plate field"
    BINDINGS: ClassVar[list[Any]] = [Binding("f8", "drop", "Take away", key_display="F8")]
    HELP_TEXT = """
A plate field is a part of the shell with one alloy and one thickness as built. Only its name is needed; the rest can
come when you have it, and until then the verdict says what is missing.

As built    best with a caliper at a cut edge: where a skin fitting, a valve or a log is out, the hole shows the edge
            of the plate. Next best a gauge reading where the plate is surely sound. A drawing tells what was ordered:
            new plate may be up to 14 % thicker (steel), so more may be gone than it seems.
Panel       the largest piece without support: from frame to frame, and from stringer to stringer, weld to weld.
Camber      a straight edge over the short way of the panel: the gap in its middle. Flat plate: 0.
Area        length times girth of the whole field, in m²: so much the patches have to speak for.
Welded      welding takes the temper out of aluminium; nearly all boats are welded. Not said: welded is taken.
From aft, up the side   where the panel lies; if you do not say, the place is taken where most is required.
Alloy       from the builder's papers or a stamp on the plate; a guess is worse than 'not said'.

F8 takes a field away, as long as nothing was measured on it.
"""

    def __init__(self, field: str = "") -> None:
        super().__init__()
        self._field_id = field

    @property
    def plate(self) -> PlateField | None:
        return self.book.plate_fields.get(self._field_id)

    def draft_name(self) -> str:
        return f"plate/{self._field_id}"

    def above(self) -> ComposeResult:
        yield Static("A plate field: one alloy, one thickness as built. F2 keeps it.", id="head", markup=False)

    def rows(self) -> list[Row]:
        field = self.plate or PlateField(id=self._field_id, name="", region=PlateRegion.BOTTOM)
        regions = [Option(one.value, key, one.value) for one, key in REGION_KEYS.items()]
        sources = [
            *(Option(one.value, one.value[0], one.value) for one in ThicknessSource),
            Option(UNSAID, "x", "not said"),
        ]
        welded = [Option("yes", "y", "yes"), Option("no", "n", "no"), Option(UNSAID, "x", "not said")]
        alloys = [
            Option(alloy.id, "", alloy.id)
            for alloy in self.checklists.metals.alloys.values()
            if alloy.metal is self.book.boat.hull_metal
        ]
        if field.alloy and field.alloy not in {one.value for one in alloys}:
            alloys.append(Option(field.alloy, "", one_line(field.alloy)))
        alloys.append(Option(UNSAID, "", "not said"))
        is_welded = UNSAID if field.welded is None else "yes" if field.welded else "no"
        rows = {id: field_row(name, id, getattr(field, id), hint) for id, name, _, _, _, hint in NUMBERS}
        return [
            field_row("Name", "name", field.name),
            Row("Where", Choice(regions, field.region.value, id="region")),
            Row("Alloy", Choice(alloys, field.alloy or UNSAID, id="alloy", long=True)),
            field_row("Temper", "temper", field.temper, "H111, H116, O, T6"),
            rows.pop("as_built_mm"),
            Row("Known from", Choice(sources, field.as_built_from or UNSAID, id="as_built_from")),
            Row("Welded", Choice(welded, is_welded, id="welded")),
            *rows.values(),
            field_row("Extent", "extent", field.extent, "frames 9 to 16, keel to chine"),
        ]

    def keep(self) -> bool:
        update: dict[str, Any] = {
            id: self.number(id, name.lower(), unit, low, high) for id, name, unit, low, high, _ in NUMBERS
        }
        name = self.text_of("name").strip()
        if not name:
            self.complain("name", "A plate field needs a name, as bottom amidships.")
            return False
        wide, long = update["panel_width_mm"], update["panel_length_mm"]
        if wide is not None and long is not None and wide > long:
            self.complain("panel_width_mm", "The panel is wider than long: change the two.")
            return False
        if update["curvature_mm"] and wide is not None and update["curvature_mm"] > wide / 2:
            self.complain("curvature_mm", "A camber of more than half the width is no panel: check both.")
            return False
        source = self.text_of("as_built_from")
        if update["as_built_mm"] is not None and source == UNSAID:
            self.complain("as_built_from", "Say how the thickness is known: the verdict rests on it. A guess is one.")
            return False
        alloy, welded = self.text_of("alloy"), self.text_of("welded")
        update |= {
            "id": self._field_id,
            "name": name,
            "region": PlateRegion(self.text_of("region")),
            "alloy": "" if alloy == UNSAID else alloy,
            "temper": self.text_of("temper").strip(),
            "as_built_from": None if source == UNSAID else ThicknessSource(source),
            "welded": {"yes": True, "no": False}.get(welded),
            "extent": self.text_of("extent").strip(),
        }
        changed = self.plate.model_copy(update=update) if self.plate else PlateField(**update)
        return changed == self.plate or self.desk.record(lambda: edits.keep_plate_field(changed))

    def action_drop(self) -> None:
        field = self.plate
        if field is None:
            self.notify("It is not in the book yet: Esc goes back.")
        elif self.desk.record(lambda: edits.drop_plate_field(self.book, field)):
            self.forget_draft()
            self.leave()
