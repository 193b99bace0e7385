"""Old patches: the short path for what a lifted one shows, and what the lifted ones say of the rest."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option as ListOption

from inspect_tui.domain import edits, walk
from inspect_tui.domain.cause_edits import lift_patch
from inspect_tui.domain.errors import NotUnderstood
from inspect_tui.domain.numbers import typed_number
from inspect_tui.domain.plain import one_line, shortened
from inspect_tui.domain.records import Compartment, Finding, Lifted
from inspect_tui.domain.words import Beneath, Likelihood, PatchEdge, Severity
from inspect_tui.judgement.patches import PATCH, Tally, signs_shown, tally, tally_lines
from inspect_tui.terminal.screens.base import BookScreen
from inspect_tui.terminal.screens.modals import PickOne, TypeLine, headed
from inspect_tui.terminal.widgets.choice import Option

CAUTION = (
    "CAUTION  Nothing below the waterline is lifted while she floats. Old paint and filler: mask, gloves, no heat."
)
BENEATH = [
    Option(Beneath.SOUND, "s", Beneath.SOUND.value, "bright or primed, nothing to feel"),
    Option(Beneath.STAINED, "t", Beneath.STAINED.value, "dull, spotted or white, and smooth when wiped"),
    Option(Beneath.PITS, "p", Beneath.PITS.value, "a fingernail feels them"),
    Option(Beneath.THROUGH, "e", Beneath.THROUGH.value, "a hole, or metal that gives under the knife"),
]
BETWEEN = [
    Option("yes", "y", "yes", "paste, powder or lumps, wet or dry"),
    Option("no", "n", "no", "it came off clean"),
    Option("unsaid", "x", "not looked"),
]
EDGES = [
    Option(PatchEdge.TIGHT, "t", PatchEdge.TIGHT.value),
    Option(PatchEdge.LIFTING, "l", PatchEdge.LIFTING.value, "a blade went under it"),
    Option(PatchEdge.BULGED, "b", PatchEdge.BULGED.value),
    Option("unsaid", "x", "not looked"),
]
FARTHEST_MM = 1500.0


class PatchesScreen(BookScreen):
    CSS_PATH = "patches.tcss"
    TITLE_WORDS = "old patches"
    BINDINGS: ClassVar[list[Any]] = [
        Binding("l", "lift", "Lifted"),
        Binding("a", "add", "Add"),
        Binding("enter", "open", "Finding", key_display="Enter"),
        Binding("y", "why", "Why"),
        Binding("z", "undo", "Undo"),
    ]
    HELP_TEXT = """
Old patches, doublers and filled places. What lies under those that were lifted is the best guess for the rest.

a       add a patch that has no chalk number yet
l       the chosen one was lifted: what lay beneath, what was between, how its edge held, how far the attack goes on
Enter   the finding: measure it there (F3), photograph both faces of what came off (F7)
y       the working of the numbers below

Lift one of each kind first, the worst-looking. Only hauled out, below the waterline. If those lifted were chosen for
their looks, the rest are likely better than the numbers say.
What a lifted patch shows is ticked among the signs of its cause.
"""

    def body(self) -> ComposeResult:
        yield Static(id="head", markup=False)
        yield OptionList(id="patches", compact=True)
        yield Static(id="tally", markup=False)

    def on_mount(self) -> None:
        self.query_one("#patches", OptionList).focus()

    @property
    def patch(self) -> Finding | None:
        rows = self.query_one("#patches", OptionList)
        if rows.highlighted is None:
            return None
        return self.book.findings.get(rows.get_option_at_index(rows.highlighted).id or "")

    def _tally(self) -> Tally:
        return tally(self.book)

    def show(self) -> None:
        told = self._tally()
        count = f"Old patches   {len(told.lifted)} lifted, {len(told.waiting)} not lifted"
        self.query_one("#head", Static).update(f"{count}\n{CAUTION}")
        rows = self.query_one("#patches", OptionList)
        chosen = self.patch
        rows.clear_options()
        shown = [*told.waiting, *told.lifted]
        rows.add_options([ListOption(self._line(patch), id=str(patch.chalk)) for patch in shown])
        at = next((index for index, patch in enumerate(shown) if chosen and patch.chalk == chosen.chalk), 0)
        rows.highlighted = at if shown else None
        lines = tally_lines(told)
        if not rows.option_count:
            lines.append(("a", "adds the first: chalk its number on the metal beside it"))
        self.query_one("#tally", Static).update(headed(lines))

    def _line(self, patch: Finding) -> Text:
        place = self.book.compartments.get(patch.compartment)
        name = shortened(one_line(place.name) if place else patch.compartment, 18)
        text = Text(f"{patch.chalk:>4}  {name:<18}  ", no_wrap=True)
        if patch.lifted is None:
            text.append("not lifted  ", "bold")
        else:
            one = patch.lifted
            paste = {True: "paste between", False: "clean between", None: ""}[one.product]
            beyond = f"goes on {one.beyond_mm:g} mm outside" if one.beyond_mm else ""
            parts = [one.beneath.value.upper(), paste, one.edge.value if one.edge else "", beyond]
            text.append(", ".join(part for part in parts if part) + "  ", "bold")
        text.append(one_line(patch.words))
        text.truncate(max(self.size.width - 3, 20), overflow="ellipsis")
        return text

    def _may_write(self) -> bool:
        if self.book_file.read_only:
            self.notify(self.book_file.read_only, severity="warning", markup=False)
        return not self.book_file.read_only

    @on(OptionList.OptionSelected)
    def action_open(self) -> None:
        if patch := self.patch:
            self.desk.go("finding", chalk=patch.chalk)

    def action_why(self) -> None:
        rest = self._tally().rest
        self.desk.show_text("Old patches: the working", rest.working.lines() if rest else [("lifted", "none yet")])

    def action_add(self) -> None:
        if not self._may_write():
            return
        options = [Option(place.id, "", one_line(place.name)) for place in self.book.bow_to_stern()]
        usual = next((place.id for place in self.book.bow_to_stern() if place.area == "old-patches"), "")

        def picked(key: str | None) -> None:
            if key is not None:
                place = self.book.compartments[key]
                self.desk.ask_line(
                    f"patch/{key}",
                    f"Chalk {self.book.next_number('findings')} beside it. What kind of patch, and where?",
                    lambda words: self._write(place, words),
                    needed="A few words, so that it is found again: grey filler, frame 12, port.",
                )

        self.app.push_screen(PickOne("In which compartment is it?", options, usual), picked)

    def _write(self, place: Compartment, words: str) -> bool:
        return self.desk.record(
            lambda: edits.write_finding(
                self.book,
                self.book_file.stamp(),
                place,
                kind=PATCH,
                words=words.strip(),
                severity=Severity.MARGINAL,
                likelihood=Likelihood.C,
            )
        )

    def action_lift(self) -> None:
        patch = self.patch
        if patch is None:
            self.notify("No patch is written down yet: a adds one.")
        elif self._may_write() and self._may_lift(patch):
            again = f" It was lifted on {patch.lifted.when:%Y-%m-%d}; this takes its place." if patch.lifted else ""
            self._ask(
                f"Patch {patch.chalk}: what lay beneath?{again}",
                BENEATH,
                lambda beneath: self._ask_between(patch, Beneath(beneath)),
            )

    def _may_lift(self, patch: Finding) -> bool:
        if self._below(patch) and self.book.boat.afloat:
            self.notify("She is afloat: nothing below the waterline is lifted before she is hauled out.")
            return False
        return True

    def _below(self, patch: Finding) -> bool:
        place = self.book.compartments.get(patch.compartment)
        return walk.below_waterline(self.checklists, place) if place else True

    def _ask(self, question: str, options: list[Option], then: Callable[[str], None]) -> None:
        self.app.push_screen(
            PickOne(question, options, None), lambda value: then(value) if value is not None else None
        )

    def _ask_between(self, patch: Finding, beneath: Beneath) -> None:
        def answered(between: str) -> None:
            product = {"yes": True, "no": False}.get(between)
            self._ask(
                f"Patch {patch.chalk}: how did its edge hold?",
                EDGES,
                lambda edge: self._ask_beyond(patch, beneath, product, edge),
            )

        self._ask(f"Patch {patch.chalk}: was there anything between it and the plate?", BETWEEN, answered)

    def _ask_beyond(self, patch: Finding, beneath: Beneath, product: bool | None, edge: str) -> None:
        def answered(text: str | None) -> None:
            if text is None:
                return
            held = None if edge == "unsaid" else PatchEdge(edge)
            stamp = self.book_file.stamp()
            lifted = Lifted(
                when=stamp.when, by=stamp.by, beneath=beneath, product=product, edge=held, beyond_mm=_distance(text)
            )
            seen, absent = signs_shown(lifted)
            kept = self.desk.record(
                lambda: lift_patch(
                    self.book, self.book.findings[str(patch.chalk)], lifted, seen, absent, below=self._below(patch)
                )
            )
            if kept and beneath is Beneath.THROUGH:
                self.notify(f"Finding {patch.chalk} counts as a hole now: check its severity (Enter).", timeout=10)

        question = f"Patch {patch.chalk}: how far does the attack go on outside its outline, in mm? (may stay empty)"
        self.app.push_screen(TypeLine(question, check=_wrong_distance), answered)


def _distance(text: str) -> float | None:
    return typed_number(text, "distance", "mm", 0, FARTHEST_MM)


def _wrong_distance(text: str) -> str:
    try:
        _distance(text)
    except NotUnderstood as error:
        return str(error)
    return ""
