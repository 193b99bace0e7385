"""Measure: numbers typed with spaces between; each is echoed with its unit before it is kept."""

from __future__ import annotations

from typing import Any, ClassVar

from rich.console import Group
from rich.text import Text
from textual.app import ComposeResult
from textual.widgets import Static

from inspect_tui.domain import edits, walk
from inspect_tui.domain.book import Edit
from inspect_tui.domain.identity import Key
from inspect_tui.domain.knowledge.areas import Prompt, ReadingKind
from inspect_tui.domain.measuring.measured import (
    reading_line,
    readings_here,
)
from inspect_tui.domain.measuring.metal_records import OTHER_MEMBER
from inspect_tui.domain.measuring.place_line import next_along, place_line
from inspect_tui.domain.measuring.readings import KINDS, OF_THE_METAL, TypedLine, typed_line
from inspect_tui.domain.measuring.sampling import plan_of
from inspect_tui.domain.plain import one_line
from inspect_tui.domain.reading_records import PitReading, Reading, ThicknessReading
from inspect_tui.domain.records import NOWHERE, Finding, PlateField
from inspect_tui.errors import CannotCalculate, NotUnderstood
from inspect_tui.judgement.electricity.meters import MeterVerdict, meaning_of, potential_so_far
from inspect_tui.judgement.metal.fields import FieldJudged
from inspect_tui.judgement.metal.gathered import only_field
from inspect_tui.judgement.metal.so_far import impossible, meaning_so_far, standing_lines
from inspect_tui.terminal.form_fields import UNSAID, FormField
from inspect_tui.terminal.forms import FormScreen, in_form
from inspect_tui.terminal.screens.metal.measuring_fields import (
    MEASURE_HELP,
    Beside,
    first_values,
    measuring_fields,
    next_square,
    square_options,
)
from inspect_tui.terminal.screens.modals import PickOne, headed, room_to_read
from inspect_tui.terminal.widgets.choice import Choice, Option
from inspect_tui.terminal.widgets.field import Field
from inspect_tui.terminal.widgets.plots import pictures
from inspect_tui.terminal.widgets.verdict_line import VerdictLine


class MeasureScreen(FormScreen):
    TITLE_WORDS = "measuring"
    FIRST = "values"

    BINDINGS: ClassVar[list[Any]] = [
        in_form("working", "why"),
        in_form("view", "plot", "Pits", does="pictures of the pits of this plate"),
        in_form("remove", "take_out", does="the newest reading of this place; asks first"),
        in_form("edit", "put_on", "Put on", does="moves the newest reading to what the field 'On' says", show=False),
    ]
    HELP_TEXT = MEASURE_HELP

    def __init__(
        self,
        compartment: str,
        prompt: str | None = None,
        chalk: int | None = None,
        plate: str | None = None,
        kind: ReadingKind | None = None,
        spot: str = "",
    ) -> None:
        super().__init__()
        self._first_kind, self._spot = kind, spot
        self._plate = plate
        # What was kept last, in words; empty until something is.
        self._kept = ""
        self._working: list[tuple[str, str]] = []
        self._judged: FieldJudged | None = None
        self._compartment = compartment
        self._prompt_key = prompt
        self._chalk = chalk

    @property
    def finding(self) -> Finding | None:
        return self.book.findings.get(str(self._chalk)) if self._chalk else None

    @property
    def prompt(self) -> Prompt | None:
        return self.checklists.prompts.get(self._prompt_key or "")

    @property
    def kind(self) -> ReadingKind:
        chosen = self.text_of("kind")
        return next(kind for kind in KINDS if kind == chosen)

    def subject_gone(self) -> bool:
        return self._compartment not in self.book.compartments or (self._chalk is not None and self.finding is None)

    def above(self) -> ComposeResult:
        yield Static(id="head", markup=False)

    def _kinds(self) -> list[ReadingKind]:
        """Those that the question asks for first."""
        first: tuple[ReadingKind, ...] = self.prompt.measure if self.prompt else ()
        # Of a member, and of plate of which nothing was drawn, thickness is what is asked for first.
        if self._plate is not None and plan_of(self.book, self._plate) is None and self._chalk is None:
            first = ("thickness",)
        again = (self._first_kind,) if self._first_kind else ()
        return list(dict.fromkeys((*again, *first, *KINDS)))

    def form_fields(self) -> list[FormField]:
        return measuring_fields(self.book, self._kinds(), self._usual_plate())

    def first_values(self) -> dict[str, object]:
        first = self._kinds()[0]
        prompt_across = self.prompt.across if self.prompt else None
        return first_values(self.book, first, self._usual_plate(), self._here(), self._chalk, prompt_across) | (
            {"spot": self._spot} if self._spot else {}
        )

    def _usual_plate(self) -> str | None:
        """The plate this place was measured on before, or the only one its compartment lies on."""
        gathered = self.desk.judged.verdicts.gathered
        measured = (gathered.member_at(self.finding) or gathered.field_at(self.finding)) if self.finding else None
        if self._plate or measured:
            return self._plate or measured
        if self._prompt_key in self.checklists.apart:
            return OTHER_MEMBER
        return only_field(self.book, self._compartment)

    @property
    def plate(self) -> PlateField | None:
        return self.book.plate_fields.get(self.text_of("plate"))

    def below(self) -> ComposeResult:
        yield VerdictLine()
        yield Static(id="echo", markup=False)
        yield Static(id="earlier", markup=False)

    def on_mount(self) -> None:
        self.changed()
        self.show()

    def changed(self) -> None:
        self.row_of("values").complain("")
        shown = self.beside.shown(
            self.book,
            self.text_of("plate"),
            self.text_of("method"),
            square=self.text_of("square") != UNSAID,
            loose=self._chalk is None,
        )
        for id, display in shown.items():
            self.row_of(id).display = display
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
        if self.prompt:
            text.append(f"\nhow    {self.prompt.how}")
        self.query_one("#head", Static).update(text)
        self._show_echo()
        lines = [one_line(reading_line(self.book.boat, reading)) for reading in self._here()[-4:]]
        self.query_one("#earlier", Static).update("\n".join(["read here before:", *lines[::-1]]) if lines else "")

    def _here(self) -> list[Reading]:
        return readings_here(self.book, self._compartment, self._chalk, self._plate)

    def action_take_out(self) -> None:
        here = self._here()
        if here:
            told = one_line(reading_line(self.book.boat, here[-1]))
            self.ask_remove(
                f"the newest reading here, {told}", lambda: self.desk.record(edits.take_out_reading(here[-1]))
            )
        else:
            self.notify("Nothing has been measured here yet.")

    def action_put_on(self) -> None:
        everywhere = readings_here(self.book, self._compartment, self._chalk, None)
        here = [one for one in everywhere if one.kind in OF_THE_METAL]
        if here:
            on = self.text_of("plate")
            if self.desk.record(lambda: edits.put_on(self.book, here[-1], None if on == UNSAID else on)):
                word = self.query_one("#plate", Choice).chosen
                self.notify(f"Reading {Key.of(here[-1].id).number} is now on: {word.word if word else 'not said'}.")
        else:
            self.notify("No depth or thickness has been measured here yet.")

    def _show_echo(self) -> None:
        text, words = self.text_of("values"), self.query_one("#echo", Static)
        self._working, self._judged = [], None
        self.query_one(VerdictLine).display = False
        if not text.strip():
            self._show_standing(words)
            return
        try:
            typed = self._understood()
        except NotUnderstood as error:
            words.update(f"?  {error}")
            return
        said = (
            KINDS[self.kind].quantity.echo(typed.values)
            if typed.values
            else ""
            if typed.soft or typed.holes
            else "none found"
        )
        marks = [f"{typed.holes} holed through"] if typed.holes else []
        marks += ["soft"] if typed.soft else []
        if len(typed.values) > 1:
            said = f"{len(typed.values)} readings: {said}"
        said = ", ".join([said, *marks] if said else marks)
        if self.kind not in OF_THE_METAL:
            self._show_metered(words, f"=  {said}", typed)
            return
        try:
            reading = self._unkept(typed)
        except NotUnderstood as error:
            words.update(f"=  {said}\n?  {error}")
            return
        if wrong := impossible(reading, self.plate):
            words.update(f"=  {said}\n?  {wrong}")
            return
        self._show_meaning(words, f"=  {said}", reading)

    def _show_meaning(self, words: Static, echoed: str, reading: PitReading | ThicknessReading) -> None:
        verdicts = self.desk.judged.verdicts
        lines, verdict, self._judged = meaning_so_far(verdicts, reading, self.finding, self.plate)
        self._working = verdict.lines() if verdict else lines
        if self._judged and verdict is not self._judged.verdict:
            self._working += [("", ""), ("PLATE FIELD", self._judged.field.name), *self._judged.lines()]
        self._tell(words, Text(echoed), lines)

    def _tell(self, words: Static, about: Text, lines: list[tuple[str, str]]) -> None:
        """What was read and what it means."""
        words.update(Group(about, headed(self.query_one(VerdictLine).tell(lines), 13)))

    def _show_metered(self, words: Static, echoed: str, typed: TypedLine) -> None:
        """Everything but pits and thickness: a meter's number against its limits, where there are any."""
        try:
            told = self._metered(typed)
        except CannotCalculate as error:
            words.update(f"{echoed}\n?  {error}")
            return
        if told is None:
            self._working = [("verdict", "none: no limit applies to this reading; it is saved as typed")]
            words.update(echoed)
            return
        self._working = [*told.lines, *told.working.lines()]
        self._tell(words, Text(echoed), list(told.lines))

    def _metered(self, typed: TypedLine) -> MeterVerdict | None:
        if self.kind == "potential":
            free, electrode = self.desk.judged.electricity.free, self.value("electrode") or ""
            return potential_so_far(self.book, free, typed.values, electrode, self.desk.clock())
        return meaning_of(self.book.boat, self.kind, typed.values, self.value("across"))

    def _show_standing(self, words: Static) -> None:
        """Nothing is typed: what is known of the plate already."""
        about = Text(self._kept or f"{KINDS[self.kind].label}: {KINDS[self.kind].hint}")
        if self.kind not in OF_THE_METAL:
            words.update(about)
            return
        verdicts, plate = self.desk.judged.verdicts, self.text_of("plate")
        self._judged = verdicts.fields.get(plate)
        lines, self._working = standing_lines(verdicts, self.finding, plate)
        self._tell(words, about, lines)

    def action_why(self) -> None:
        self.desk.show_text("The working", self._working or [("verdict", "none: type a number first")])

    def action_plot(self) -> None:
        self.desk.show_text("Pits of this plate", pictures(self._judged, room_to_read(self.size.width)))

    def _understood(self) -> TypedLine:
        return typed_line(self.text_of("values"), self.kind)

    @property
    def beside(self) -> Beside:
        """What is said beside the numbers; squares are offered of the plate that was chosen at first."""
        plan = plan_of(self.book, self.text_of("plate"))
        offered = plan is not None and self.text_of("square") in (UNSAID, *map(str, plan.drawn))
        position = self.finding.position if self.finding else NOWHERE
        return Beside(self.kind, self._prompt_key, position, plan if offered else None)

    def _unkept(self, typed: TypedLine) -> PitReading | ThicknessReading:
        """What is typed as a reading that is not kept yet."""
        place = self.book.compartments[self._compartment]
        reading = edits.reading_taken(
            self.book,
            self.book_file.stamp(),
            place,
            self.kind,
            typed.values,
            self.beside.details(self, self.book, typed),
            finding=self.finding,
        )
        assert isinstance(reading, PitReading | ThicknessReading)
        return reading

    def keep(self) -> bool:
        if not self.text_of("values").strip() and self._kept:
            return True
        try:
            typed = self._understood()
        except NotUnderstood as error:
            self.complain("values", str(error))
            return False
        details, fails, wrong = self._details_beside_their_fields(typed), False, ""
        if self.kind in OF_THE_METAL:
            wrong = impossible(self._unkept(typed), self.plate)
        else:
            try:
                told = self._metered(typed)
                fails = told is not None and told.fails
            except CannotCalculate as error:
                wrong = str(error)
        if wrong:
            self.complain("values", wrong)
            return False

        def edit() -> Edit:
            place, stamp = self.book.compartments[self._compartment], self.book_file.stamp()
            return edits.add_reading(self.book, stamp, place, self.kind, typed.values, details, finding=self.finding)

        if not self.desk.record(edit):
            return False
        loose = self.kind == "pits" and self._plate is None and bool(typed.values or typed.holes)
        if self.finding is None and (fails or loose):
            self.forget_draft()
            self._offer_finding(self.book.readings[self.book.newest("readings")], fails=fails)
            return False
        self._next_one()
        return False

    def _details_beside_their_fields(self, typed: TypedLine) -> edits.ReadingDetails:
        """The same; what cannot be read is told beside its field."""
        for name in ("square_mm", "paint_mm"):
            if self.row_of(name).display:
                self.checked(name)
        try:
            return self.beside.details(self, self.book, typed)
        except NotUnderstood as error:
            self.complain("error", str(error))
            raise

    def _next_one(self) -> None:
        """Kept: the line is empty for the next square or spot."""
        number = Key.of(self.book.newest("readings")).number
        # Of the air one gas after the other.
        gases = self.prompt.measure if self.prompt is not None and "oxygen" in self.prompt.measure else ()
        last = bool(gases) and self.kind == gases[-1]
        if self.kind in gases[:-1]:
            self.query_one("#kind", Choice).pick(gases[gases.index(self.kind) + 1])
        more = "" if last else f"Type {KINDS[self.kind].label if gases else 'the next'}; "
        self._kept = f"Saved as reading {number}. {more}{self.key('on')} goes back."
        self.forget_draft()
        self.complain("values", "")
        self.query_one("#values", Field).value = ""
        # A row of readings: the next frame, as far out.
        spot = self.query_one("#spot", Field)
        spot.value = place_line(next_along(self.book.readings[self.book.newest("readings")].position))
        if self.text_of("square") != UNSAID:
            choice = self.query_one("#square", Choice)
            choice.options = square_options(self.book, self.text_of("plate"))
            choice.pick(next_square(self.book, self.text_of("plate")))
        # What stands there now is where the next one begins, and not half-written.
        self._untouched = self._typed()

    def _offer_finding(self, reading: Reading, *, fails: bool) -> None:
        """Pits that belong to no finding, and what fails its limits, would be in no list: ask."""

        def answered(yes: str | None) -> None:
            self.app.pop_screen()
            if yes == "y" and fails:
                self.desk.go("finding", compartment=self._compartment, prompt=self._prompt_key)
            elif yes == "y" and self.desk.record(lambda: self._as_finding(reading)):
                self.desk.go("finding", chalk=Key.of(self.book.newest("findings")).number)

        options = [Option("y", "y", "yes, with a chalk number"), Option("n", "n", "no, keep only the reading")]
        question = "It is saved, and it fails." if fails else "Pits belong to a finding."
        self.app.push_screen(PickOne(f"{question} Write a finding for this reading?", options), answered)

    def _as_finding(self, reading: Reading) -> Edit:
        place = self.book.compartments[self._compartment]
        return edits.finding_of(self.book, self.book_file.stamp(), place, reading, self.prompt)
