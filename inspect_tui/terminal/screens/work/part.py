"""Part: one thing that was taken out of her."""

from __future__ import annotations

from inspect_tui.domain import edits
from inspect_tui.domain.book import Edit
from inspect_tui.domain.plain import one_line
from inspect_tui.domain.records import GoesBack, PartKind, PartOut
from inspect_tui.terminal.form_fields import Choose, FormField, Words
from inspect_tui.terminal.forms import FormScreen
from inspect_tui.terminal.widgets.choice import Option


class PartScreen(FormScreen):
    TITLE_WORDS = "something taken out"
    FIRST = "words"
    HELP_TEXT = """
Write it down as it comes out: what it is, where from, where you put it, and the number you wrote on its bag. Screws
go into a bag with a label, the bag onto the board they held.

{back} goes back, and what you typed is kept as a draft.
"""

    def __init__(self, part: str = "", compartment: str = "") -> None:
        super().__init__()
        self._part = part
        self._compartment = compartment

    @property
    def kept(self) -> PartOut | None:
        return self.book.parts.get(self._part)

    def subject_gone(self) -> bool:
        return bool(self._part) and self.kept is None

    def is_kept(self) -> bool:
        return self.kept is not None

    def record(self) -> PartOut:
        if self.kept:
            return self.kept
        stamp, here = self.book_file.stamp(), self.book.here
        first = self.book.bow_to_stern()[0].id if self.book.compartments else ""
        place = self._compartment or (here.compartment if here else "")
        return PartOut(
            id=self.book.new_key("parts"),
            what=PartKind.SOLE,
            words="",
            compartment=place if place in self.book.compartments else first,
            lies="",
            when=stamp.when,
            by=stamp.by,
        )

    def form_fields(self) -> list[FormField]:
        kinds = [Option(one.value, str(number), one.value) for number, one in enumerate(PartKind, 1)]
        places = [Option(place.id, "", one_line(place.name)) for place in self.book.bow_to_stern()]
        return [
            Words("words", "What", "such as sole board 3, starboard", needed="Write what it is."),
            Choose("what", "Kind", options=kinds, into=PartKind, long=True),
            Choose("compartment", "From", options=places, long=True),
            Words("lies", "Lies", "such as shed, top shelf", needed="Write where it lies now."),
            Words("bag", "Bag", "the number on its bag"),
            Choose(
                "back",
                "Goes back",
                options=[Option(one.value, one.value[0], one.value) for one in GoesBack],
                into=GoesBack,
            ),
        ]

    def edit(self, record: PartOut) -> Edit:
        return edits.take_out_part(record)
