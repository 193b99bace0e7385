"""The form of a member: a frame, floor, stringer, beam or bolt, and its sizes as built."""

from __future__ import annotations

from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.widgets import Static

from inspect_tui.domain import edits
from inspect_tui.domain.book import Edit
from inspect_tui.domain.measuring.metal_records import Member, MemberKind
from inspect_tui.domain.plain import one_line
from inspect_tui.domain.quantities import Quantity
from inspect_tui.domain.words import ThicknessSource
from inspect_tui.terminal.form_fields import Choose, FormField, Number, Words
from inspect_tui.terminal.forms import FormScreen, WrongField, in_form
from inspect_tui.terminal.screens.options import NOT_SAID, alloy_options, first_letter
from inspect_tui.terminal.widgets.choice import Option

THICK = Quantity("thickness", "mm", 0.5, 100, "8")
SIZE = Quantity("size", "mm", 5, 3000, "120")
APART = Quantity("distance", "mm", 50, 20_000, "500")


class MemberScreen(FormScreen):
    TITLE_WORDS = "a member"
    BINDINGS: ClassVar[list[Any]] = [in_form("remove", "drop")]
    HELP_TEXT = """
A frame, floor, stringer, deck beam or keel bolt is judged by itself, never averaged with the plate it stands on.
Only its name and one thickness are needed; with the rest, more can be worked out.

Web         its upright part: thickness as built, best taken with a caliper on a sound length of it. Of a bolt: its
            diameter.
Web high    from the plate to its top: a worn web may be too thin for its height, and trip.
Flange      of an angle or a tee: the part across its top. Leave both its fields empty for a flat bar.
Plate, Spacing   the plate it stands on and the distance to the next member: the plate carries load with it.

Measure on it from the metal list, or choose it under On in Measure. {remove} removes it, as long as
nothing has been measured on it.
"""

    def __init__(self, member: str = "") -> None:
        super().__init__()
        self._member = member

    @property
    def kept(self) -> Member | None:
        return self.book.members.get(self._member)

    def above(self) -> ComposeResult:
        yield Static(f"A frame, floor, stringer, beam or bolt. {self.key('save')} saves it.", id="head", markup=False)

    def record(self) -> Member:
        if self.kept:
            return self.kept
        here = self.book.here
        first = self.book.bow_to_stern()[0].id if self.book.compartments else ""
        place = here.compartment if here and here.compartment in self.book.compartments else first
        return Member(id=self._member, name="", kind=MemberKind.FLOOR, compartment=place, web_mm=1.0)

    def first_values(self) -> dict[str, object]:
        return {} if self.kept else {"web_mm": None}

    def is_kept(self) -> bool:
        return self.kept is not None

    def form_fields(self) -> list[FormField]:
        kinds = [Option(one.value, str(number), one.value) for number, one in enumerate(MemberKind, 1)]
        places = [Option(place.id, "", one_line(place.name)) for place in self.book.bow_to_stern()]
        alloys = alloy_options(self.book, self.checklists, self.record().alloy)
        return [
            Words("name", "Name", "at frame 12", needed="It needs a name, such as 'at frame 12'."),
            Choose("kind", "What", options=kinds, into=MemberKind, long=True),
            Choose("compartment", "In", options=places, long=True),
            Number("web_mm", "Web", "mm as built; of a bolt its diameter", of=THICK,
                   needed="Its loss is worked out from its thickness as built; a guess will do."),
            Choose("as_built_from", "Known from", options=(*first_letter(ThicknessSource), NOT_SAID)),
            Number("web_height_mm", "Web high", "mm, from plate to top", of=SIZE),
            Number("flange_width_mm", "Flange wide", "mm; none: a flat bar", of=SIZE),
            Number("flange_mm", "Flange", "mm as built", of=THICK),
            Number("plate_mm", "Plate", "mm, that it stands on", of=THICK),
            Number("spacing_mm", "Spacing", "mm to the next one", of=APART),
            Number("span_mm", "Span", "mm between its supports", of=APART),
            Choose("alloy", "Alloy", options=alloys, long=True),
            Words("temper", "Temper", "H111, H116, O, T6"),
        ]  # fmt: skip

    def with_fields(self, record: Member, values: dict[str, Any]) -> Member:
        changed: Member = super().with_fields(record, {**values, "alloy": values["alloy"] or ""})
        return changed

    def fitting(self, record: Member) -> Member:
        if (record.flange_width_mm is None) != (record.flange_mm is None):
            raise WrongField("flange_mm", "A flange has a width and a thickness; a flat bar has neither.")
        if record.web_height_mm is not None and record.web_mm > record.web_height_mm:
            raise WrongField("web_mm", "The web is thicker than it is high: swap the two numbers.")
        return record

    def edit(self, record: Member) -> Edit:
        return edits.keep_member(record)

    def action_drop(self) -> None:
        member = self.kept
        if member is None:
            self.notify(f"It is not in the book yet: {self.key('back')} goes back.")
        else:
            self.drop(one_line(member.name), lambda: edits.drop_member(self.book, member))
