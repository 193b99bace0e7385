"""Measure: numbers typed with spaces between; each is echoed with its unit before it is kept."""

from __future__ import annotations

import re
from typing import Any, ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding
from textual.widgets import Static

from inspect_tui.domain import edits, walk
from inspect_tui.domain.book import Edit, Put
from inspect_tui.domain.checklists import ReadingKind
from inspect_tui.domain.errors import NotUnderstood
from inspect_tui.domain.numbers import typed_number
from inspect_tui.domain.plain import one_line
from inspect_tui.domain.readings import KINDS, echo, parse_values
from inspect_tui.domain.records import Finding, Position, Reading
from inspect_tui.domain.words import Likelihood, Severity
from inspect_tui.handover.report import reading_line
from inspect_tui.terminal.screens.form import FormScreen
from inspect_tui.terminal.screens.modals import PickOne
from inspect_tui.terminal.widgets.choice import Choice, Option
from inspect_tui.terminal.widgets.field import Row, field_row

BRIGHT = [
    Option("yes", "y", "yes"),
    Option("no", "n", "no: on paint, scale or dirt"),
    Option("unsaid", "x", "not said"),
]
HOLE_WORDS = {"hole", "holes", "through"}
NONE_WORDS = {"none", "no", "nil"}


class MeasureScreen(FormScreen):
    CSS_PATH = "measure.tcss"
    TITLE_WORDS = "measuring"
    BINDINGS: ClassVar[list[Any]] = [Binding("f8", "take_out", "Take out the last", key_display="F8")]
    HELP_TEXT = """
Type the numbers with spaces between and press Enter: they are kept as one reading.

  1.2 0,8 2.4       plain numbers are in the unit shown (mm for depth and thickness)
  3/16" 0.2in       inches, with the mark
  -0.92 V           volts where millivolts are asked
  none              pits: looked at the patch, and there was none
  2.1 1.4 hole      pits: and one goes right through

The line below says what was understood. If a number cannot be read, nothing is kept and nothing is lost.

Bright metal: was the spot, and the floor of each pit, clean metal? A reading on paint or scale is kept as such.
Patch is the size of the piece you looked at: later it tells how much of the boat the readings speak for.
F8 takes out the newest reading of this place (it stays in the trail). Arrow up goes to the other fields.
The instrument is remembered from the last reading of the same kind.
"""

    def __init__(self, compartment: str, *, prompt: str | None = None, chalk: int | None = None) -> None:
        super().__init__()
        self._compartment = compartment
        self._prompt_key = prompt
        self._chalk = chalk

    @property
    def finding(self) -> Finding | None:
        return self.book.findings.get(str(self._chalk)) if self._chalk else None

    @property
    def kind(self) -> ReadingKind:
        chosen = self.text_of("kind")
        return next(kind for kind in KINDS if kind == chosen)

    def draft_name(self) -> str:
        return f"measure/{self._compartment}/{self._chalk or ''}/{self._prompt_key or ''}"

    def subject_gone(self) -> bool:
        return self._compartment not in self.book.compartments or (self._chalk is not None and self.finding is None)

    def first_field(self) -> str:
        return "values"

    def above(self) -> ComposeResult:
        yield Static(id="head", markup=False)

    def rows(self) -> list[Row]:
        prompt = self.checklists.prompts_by_key().get(self._prompt_key or "")
        asked = list(prompt.measure) if prompt else []
        kinds = asked + [kind for kind in KINDS if kind not in asked]
        options = [Option(kind, KINDS[kind].letter, KINDS[kind].label, KINDS[kind].unit) for kind in kinds]
        first = kinds[0]
        last = self._last(first)
        return [
            Row("What", Choice(options, first, id="kind", long=True)),
            field_row("Patch", "patch", "", "mm × mm, for pits", placeholder="300 x 300"),
            field_row("Instrument", "instrument", last.instrument if last else ""),
            field_row("Its error ±", "error", last.instrument_error if last else None, KINDS[first].unit),
            field_row("Spot", "spot", "", "in words, if it has no finding"),
            Row("Bright metal", Choice(BRIGHT, "unsaid", id="bright")),
            field_row("Numbers", "values", "", KINDS[first].unit),
        ]

    def _last(self, kind: ReadingKind) -> Reading | None:
        """The newest reading of this kind by anybody, for its instrument."""
        same = [reading for reading in self.book.readings.values() if reading.kind == kind]
        return max(same, key=lambda reading: reading.when, default=None)

    def below(self) -> ComposeResult:
        yield Static(id="echo", markup=False)
        yield Static(id="earlier", markup=False)

    def on_mount(self) -> None:
        self.show()

    def changed(self) -> None:
        unit = KINDS[self.kind].unit
        self.row_of("values").hint(unit)
        self.row_of("error").hint(unit)
        self._show_echo()

    def show(self) -> None:
        if not self.query("#kind"):
            return
        place = self.book.compartments[self._compartment]
        finding = self.finding
        where = f"finding {finding.chalk}   " if finding else ""
        position = walk.position_words(finding.position) if finding else walk.frames_words(place)
        text = Text.assemble((f"Measure   {where}", "bold"))
        text.append("   ".join(part for part in (one_line(place.name), one_line(position)) if part))
        prompt = self.checklists.prompts_by_key().get(self._prompt_key or "")
        if prompt:
            text.append(f"\nhow    {prompt.how}")
        self.query_one("#head", Static).update(text)
        self._show_echo()
        lines = [one_line(reading_line(reading)) for reading in self._here()[-4:]]
        self.query_one("#earlier", Static).update("\n".join(["here before:", *lines]) if lines else "")

    def _here(self) -> list[Reading]:
        """What was measured at this finding, or loose in this compartment, the newest last."""
        return sorted(
            (
                reading
                for reading in self.book.readings.values()
                if reading.finding == self._chalk and reading.compartment == self._compartment
            ),
            key=lambda reading: reading.when,
        )

    def action_take_out(self) -> None:
        here = self._here()
        if here:
            self.desk.record(edits.take_out_reading(here[-1]))
        else:
            self.notify("Nothing was measured here yet.")

    def _show_echo(self) -> None:
        text, words = self.text_of("values"), self.query_one("#echo", Static)
        if not text.strip():
            words.update(f"{KINDS[self.kind].label}: {KINDS[self.kind].hint}")
            return
        try:
            values, holes = self._understood()
        except NotUnderstood as error:
            words.update(f"?  {error}")
            return
        said = echo(values, self.kind) if values else "none found"
        if holes:
            said += f", {holes} holed through"
        if len(values) > 1:
            said = f"{len(values)} readings: {said}"
        words.update(f"=  {said}")

    def _understood(self) -> tuple[tuple[float, ...], int]:
        """The values typed, and for pits how many go right through."""
        text = self.text_of("values")
        holes = 0
        if self.kind == "pits":
            tokens = text.split()
            holes = sum(token.lower() in HOLE_WORDS for token in tokens)
            rest = " ".join(token for token in tokens if token.lower() not in HOLE_WORDS)
            if holes and not rest:
                return (), holes
            if rest.lower() in NONE_WORDS and not holes:
                return (), 0
            text = rest
        return parse_values(text, self.kind), holes

    def _patch(self) -> tuple[float | None, float | None]:
        text = self.text_of("patch").strip()
        if not text:
            return None, None
        sides = [side for side in re.split(r"\s*[x×*]\s*|\s+", text.lower().replace("mm", "")) if side]
        try:
            if len(sides) != 2:
                raise NotUnderstood("A patch has two sides, in mm: 300 x 300.")
            one, other = (typed_number(side, "patch", "mm", 1, 20000) for side in sides)
        except NotUnderstood as error:
            self.complain("patch", str(error))
            raise
        self.row_of("patch").complain("")
        return one, other

    def keep(self) -> bool:
        try:
            values, holes = self._understood()
        except NotUnderstood as error:
            self.complain("values", str(error))
            return False
        more: dict[str, Any] = {
            "prompt": self._prompt_key,
            "typed": self.text_of("values"),
            "instrument": self.text_of("instrument").strip(),
            "instrument_error": self.number("error", "instrument error", KINDS[self.kind].unit, 0, 1e6),
            "clean_metal": {"yes": True, "no": False}.get(self.text_of("bright")),
        }
        spot = self.text_of("spot").strip()
        position = self.finding.position if self.finding else Position()
        more["position"] = position.model_copy(update={"words": spot}) if spot else position
        if self.kind == "pits":
            length, width = self._patch()
            more |= {"holed_through": holes, "patch_length_mm": length, "patch_width_mm": width}

        def edit() -> Edit:
            place = self.book.compartments[self._compartment]
            return edits.add_reading(
                self.book, self.book_file.stamp(), place, self.kind, values, finding=self.finding, **more
            )

        if not self.desk.record(edit):
            return False
        if self.kind == "pits" and self.finding is None and (values or holes):
            self.forget_draft()
            self._offer_finding(max(self.book.readings.values(), key=lambda one: int(one.id[1:])))
            return False
        return True

    def _offer_finding(self, reading: Reading) -> None:
        """Pits that belong to no finding would be in no list: ask."""

        def answered(yes: str | None) -> None:
            self.app.pop_screen()
            if yes == "y" and self.desk.record(lambda: self._as_finding(reading)):
                self.desk.go("finding", chalk=max(int(key) for key in self.book.findings))

        options = [Option("y", "y", "yes, with a chalk number"), Option("n", "n", "no, keep the reading alone")]
        self.app.push_screen(PickOne("Pits belong to a finding. Write one down for these?", options), answered)

    def _as_finding(self, reading: Reading) -> Edit:
        prompt = self.checklists.prompts_by_key().get(self._prompt_key or "")
        place = self.book.compartments[self._compartment]
        found = edits.write_finding(
            self.book,
            self.book_file.stamp(),
            place,
            kind="pitting",
            words="",
            severity=prompt.severity if prompt else Severity.MARGINAL,
            likelihood=Likelihood.C,
            prompt=prompt if prompt and not prompt.share else None,
            position=reading.position,
        )
        chalk = int(found.puts[0].key)
        moved = Put("readings", reading.id, reading.model_copy(update={"finding": chalk}))
        return Edit(found.words, (*found.puts, moved))
