"""The form of a plate field: what a part of the shell is made of, how thick it was, how far it spans."""

from __future__ import annotations

from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.widgets import Static

from inspect_tui.domain import edits, quantities
from inspect_tui.domain.book import Edit
from inspect_tui.domain.plain import one_line
from inspect_tui.domain.records import PlateField
from inspect_tui.domain.words import PlateRegion, ThicknessSource
from inspect_tui.terminal.form_fields import UNSAID, YES_NO, Choose, FormField, Number, Words, YesNo
from inspect_tui.terminal.forms import FormScreen, WrongField, in_form
from inspect_tui.terminal.screens.options import NOT_SAID, alloy_options, first_letter
from inspect_tui.terminal.widgets.choice import Option

REGIONS = tuple(Option(one.value, key, one.value) for one, key in zip(PlateRegion, "bisktdun", strict=True))

SHELLS = (
    Option(PlateRegion.BOTTOM.value, "b", "hull bottom"),
    Option(PlateRegion.SIDE.value, "s", "hull side"),
    Option(UNSAID, "n", "no: the sea is not behind it"),
)


class PlateScreen(FormScreen):
    TITLE_WORDS = "a plate field"
    BINDINGS: ClassVar[list[Any]] = [in_form("remove", "drop")]
    HELP_TEXT = """
A plate field is a part of the shell with one alloy and one thickness as built. Only its name is needed; the rest
can come when you have it, and until then the verdict says what is missing.

As built    best with a caliper at a cut edge: where a skin fitting, a valve or a log is out, the hole shows the edge
            of the plate. Next best a gauge reading where the plate is certainly sound. A drawing tells what was
            ordered: new plate may be up to 14 % thicker (steel), so more may be gone than it seems.
Panel       the largest piece without support: from frame to frame, and from stringer to stringer, weld to weld.
Camber      a straightedge across the short way of the panel: the gap at its middle. Flat plate: 0.
Area        length times girth of the whole field, in m²: that is what the squares have to speak for.
Welded      welding takes the temper out of aluminium; nearly all boats are welded. Not said: taken as welded.
From aft, up the side   where the panel lies; if you do not say, it is taken to lie where most is required.
Head        of a bulkhead: the water that may stand over its middle. Of a tank: from the panel's middle to the tank's
            top; Overflow is from there to the mouth of its vent or overflow, counted as at least 2 m.
Shell too   a tank's plate that is also the hull's has the sea on its other face: the stricter of the two decides.
Attacked    pits deepen faster the younger they are: the year a leak began, or she was left afloat without anodes.
Alloy       from the builder's papers or a stamp on the plate; a guess is worse than 'not said'.

{remove} removes a field, as long as nothing has been measured on it.
"""

    def __init__(self, field: str = "") -> None:
        super().__init__()
        self._field_id = field

    @property
    def plate(self) -> PlateField | None:
        return self.book.plate_fields.get(self._field_id)

    def above(self) -> ComposeResult:
        yield Static(
            f"A plate field: one alloy, one thickness as built. {self.key('save')} saves it.", id="head", markup=False
        )

    def record(self) -> PlateField:
        return self.plate or PlateField(id=self._field_id, name="", region=PlateRegion.BOTTOM)

    def is_kept(self) -> bool:
        return self.plate is not None

    def form_fields(self) -> list[FormField]:
        year = quantities.year_built(self.desk.clock().year)
        return [
            Words("name", "Name", needed="A plate field needs a name, such as 'bottom amidships'."),
            Choose("region", "Where", options=REGIONS),
            Choose(
                "alloy", "Alloy", options=alloy_options(self.book, self.checklists, self.record().alloy), long=True
            ),
            Words("temper", "Temper", "H111, H116, O, T6"),
            Number("as_built_mm", "As built", "mm; best at a cut edge"),
            Choose("as_built_from", "Known from", options=(*first_letter(ThicknessSource), NOT_SAID)),
            YesNo("welded", "Welded", options=(*YES_NO, NOT_SAID)),
            Number("panel_width_mm", "Panel wide", "mm, between frames or stringers"),
            Number("panel_length_mm", "Panel long", "mm, long way, weld to weld"),
            Number("curvature_mm", "Camber", "mm, bulge across the short way"),
            Number("area_m2", "Area", "m² of the whole field"),
            Number("from_aft_percent", "From aft", "% of waterline, panel's middle"),
            Number("up_side_percent", "Up the side", "% from waterline 0 to deck edge 100"),
            Number("head_m", "Head", "m of water; of a tank: to its top"),
            Number("overflow_m", "Overflow", "m, from the tank's top to its overflow"),
            Choose("shell", "Shell too", options=SHELLS),
            Number("attacked_since", "Attacked", "year that its pits began, if known", of=year),
            Words("extent", "Extent", "frames 9 to 16, keel to chine"),
        ]

    def with_fields(self, record: PlateField, values: dict[str, Any]) -> PlateField:
        changed: PlateField = super().with_fields(record, {**values, "alloy": values["alloy"] or ""})
        return changed

    def fitting(self, record: PlateField) -> PlateField:
        wide, long = record.panel_width_mm, record.panel_length_mm
        if wide is not None and long is not None and wide > long:
            raise WrongField("panel_width_mm", "The panel is wider than it is long: swap the two numbers.")
        if record.curvature_mm and wide is not None and record.curvature_mm > wide / 2:
            raise WrongField("curvature_mm", "A camber of more than half the width is not a panel: check both.")
        if record.as_built_mm is not None and record.as_built_from is None:
            sentence = "Say how the thickness is known: the verdict rests on it. 'Guess' will do."
            raise WrongField("as_built_from", sentence)
        return record

    def edit(self, record: PlateField) -> Edit:
        return edits.keep_plate_field(record)

    def action_drop(self) -> None:
        field = self.plate
        if field is None:
            self.notify(f"It is not in the book yet: {self.key('back')} goes back.")
        else:
            self.drop(one_line(field.name), lambda: edits.drop_plate_field(self.book, field))
