"""The start of a book: seven short fields, then the compartments. The rest can wait."""

from __future__ import annotations

from pathlib import Path
from typing import Any, ClassVar, cast

import platformdirs
from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option as ListOption

from inspect_tui.domain import edits
from inspect_tui.domain.boat_words import FEATURE_WORDS, TOLD_ONLY, BoatType, Feature
from inspect_tui.domain.book import Stamp
from inspect_tui.domain.knowledge.areas import Area
from inspect_tui.domain.quantities import QUANTITIES
from inspect_tui.domain.words import LANE_WORDS, FloatState, HullMetal, Rig
from inspect_tui.errors import DomainError, NotUnderstood
from inspect_tui.files import expanded
from inspect_tui.store.book_file import SUFFIX, create_book
from inspect_tui.store.identities import new_identity
from inspect_tui.terminal.desk import Desk
from inspect_tui.terminal.forms import in_form
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.screens.more_keys import help_lines
from inspect_tui.terminal.screens.options import first_letter
from inspect_tui.terminal.widgets.choice import Choice
from inspect_tui.terminal.widgets.field import Field, Row, field_row
from inspect_tui.terminal.widgets.key_line import KeyLine, offered

OF_STEEL = frozenset({Feature.RIVETED, Feature.HEAVY_COVER, Feature.SPRAYED_METAL})
# Before a feature, so that it is no area of the same name.
HAS = "has "
# What is offered at the start: what few boats have, and what brings a place of its own.
OFFERED = [
    one
    for one in Feature
    if one
    in TOLD_ONLY
    | {Feature.CENTREBOARD, Feature.SAILDRIVE, Feature.BOW_THRUSTER, Feature.BONDED_TIMBER, Feature.BOTTLED_GAS}
]
# Ticked until somebody says otherwise: whoever overlooks the line is asked too much, not too little.
USUAL = frozenset({Feature.BOTTLED_GAS})


def default_folder() -> Path:
    return Path(platformdirs.user_documents_dir()) / "Hull books"


def book_path(name: str, folder: Path) -> Path:
    """Where a boat's book goes if nobody says otherwise."""
    stem = "".join(sign if sign.isalnum() or sign in " -_" else "-" for sign in name.strip())[:60].strip(" -.")
    return folder / f"{stem or 'boat'}{SUFFIX}"


class Compartments(OptionList):
    """What she has, and her compartments: Space ticks, Enter starts the book. Ticking what she has ticks the
    compartments that come with it."""

    BINDINGS: ClassVar[list[Any]] = [
        use("choose", "tick"),
        use("on", "screen.start", "Start the walk", priority=True),
    ]

    def __init__(self, *, id: str) -> None:
        super().__init__(id=id, compact=True)
        self.ticked: set[str] = set()
        self.has: set[Feature] = set()
        self._areas: dict[str, Area] = {}

    def offer(self, features: list[Feature], areas: list[Area], ticked: set[str]) -> None:
        self._areas, self.ticked, self.has = {area.id: area for area in areas}, ticked, set(USUAL)
        self.clear_options()
        self.add_options([ListOption("She has, as far as you know:", disabled=True)])
        self.add_options([ListOption(self._line(HAS + one), id=HAS + one) for one in features])
        self.add_options([ListOption("Which of these places does she have? From bow to stern.", disabled=True)])
        self.add_options([ListOption(self._line(area.id), id=area.id) for area in areas])
        self.highlighted = 1

    def _line(self, id: str) -> Text:
        area = self._areas.get(id)
        if area:
            ticked, name = id in self.ticked, area.name
        else:
            feature = Feature(id.removeprefix(HAS))
            ticked, name = feature in self.has, FEATURE_WORDS[feature]
        line = Text.assemble((f"[{'x' if ticked else ' '}] {name}", "bold" if ticked else ""))
        line.append(f"   {LANE_WORDS[area.lane]}" if area else "")
        return line

    def action_tick(self) -> None:
        if self.highlighted is None or (id := self.get_option_at_index(self.highlighted).id) is None:
            return
        changed = {id}
        if id in self._areas:
            self.ticked ^= {id}
        else:
            feature = Feature(id.removeprefix(HAS))
            self.has ^= {feature}
            hers = {area.id for area in self._areas.values() if feature in area.applies}
            instead = {area.id for area in self._areas.values() if feature in area.without}
            comes, goes = (hers, instead) if feature in self.has else (instead, hers)
            self.ticked = (self.ticked | comes) - goes
            changed |= hers | instead
        for one in changed:
            self.replace_option_prompt(one, self._line(one))

    @on(OptionList.OptionSelected)
    def _clicked(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.action_tick()


class StartScreen(Screen[None]):
    TYPING = True
    BINDINGS: ClassVar[list[Any]] = [
        use("back"),
        in_form("help"),
        in_form("save", "on", "Go on", does="to the compartments; there it starts the book"),
        in_form("quit", "app.quit"),
        use("up", "app.focus_previous", show=False),
        use("down", "app.focus_next", show=False),
    ]

    HELP_TEXT = """
A book holds everything about one boat. {on} goes from field to field; where letters are shown, a letter picks.

Name      what the papers call her. Anything will do.
Length    of the hull, in metres. A comma is as good as a dot.
Written by and File are filled in for you; change them if you like.

Built as  a yacht, narrowboat, barge or workboat: each is asked its own questions.
She is    hauled out only where no water comes to her. Where she dries out and floats again with the tide, or lies on
          her own bottom in the mud, she counts as afloat: nothing below the waterline is opened.

Then tick what she has, and her compartments: the usual ones are ticked. {choose} ticks, {on} starts. What you leave
unticked in the upper list counts as not aboard; her particulars can change that later. More places can be added
later, two of a kind as well, and all dimensions can be filled in when you have them.
"""

    def __init__(self, path: Path | None, note: str = "") -> None:
        super().__init__()
        self._path, self._note = path, note
        self._file_typed = path is not None
        self._offered_for: tuple[str, ...] = ()

    @property
    def desk(self) -> Desk:
        return cast("Desk", self.app)

    def compose(self) -> ComposeResult:
        yield Static("A new book for a metal boat", classes="top-line")
        with VerticalScroll(id="form", can_focus=False):
            yield field_row("Name", "name")
            yield Row("Built as", Choice(list(first_letter(BoatType)), BoatType.YACHT.value, id="built"))
            yield Row("Sail or motor", Choice(list(first_letter(Rig)), Rig.SAIL.value, id="rig"))
            yield Row("Metal", Choice(list(first_letter(HullMetal)), HullMetal.ALUMINIUM.value, id="metal"))
            yield field_row("Hull length", "length", hint="metres")
            yield Row("She is", Choice(list(first_letter(FloatState)), FloatState.HAULED_OUT.value, id="state"))
            yield field_row("Written by", "by", self.desk.by)
            yield field_row("File", "file", str(self._path or ""))
            yield Static(
                self.desk.keys.fill("\n{on} moves from field to field. Everything else about her can wait."),
                classes="muted",
                markup=False,
            )
        yield Static("", id="list-title", markup=False)
        yield Compartments(id="areas")
        yield Static("", id="wrong", classes="caution", markup=False)
        yield KeyLine()

    def on_mount(self) -> None:
        self._show_list(False)
        # Beside the field it is about, where it covers nothing.
        self._complain("file", self._note)
        self.query_one("#name", Field).focus()

    def _show_list(self, shown: bool) -> None:
        self.query_one("#form").display = not shown
        self.query_one("#list-title").display = shown
        self.query_one("#areas").display = shown
        self._wrong("")
        self.refresh_bindings()

    def _wrong(self, sentence: str) -> None:
        wrong = self.query_one("#wrong", Static)
        wrong.update(sentence)
        wrong.display = bool(sentence)

    @on(Input.Changed, "#name")
    def _name_typed(self, event: Input.Changed) -> None:
        if not self._file_typed:
            field = self.query_one("#file", Field)
            with field.prevent(Input.Changed):
                field.value = str(book_path(event.value, default_folder()))

    @on(Input.Changed, "#file")
    def _file_changed(self, event: Input.Changed) -> None:
        self._file_typed = True
        if event.value != str(self._path or ""):
            self._complain("file", "")

    @on(Input.Submitted)
    def _submitted(self, event: Input.Submitted) -> None:
        event.stop()
        self._go_on(event.input)

    @on(Choice.GoOn)
    def _chosen(self, event: Choice.GoOn) -> None:
        self._go_on(event.choice)

    @on(Choice.Changed, "#built")
    def _built(self, event: Choice.Changed) -> None:
        """A narrowboat or a barge is of steel and has an engine; both can be changed."""
        if event.value in (BoatType.NARROWBOAT, BoatType.BARGE):
            self.query_one("#rig", Choice).pick(Rig.MOTOR.value)
            self.query_one("#metal", Choice).pick(HullMetal.STEEL.value)
        elif event.value == BoatType.WORKBOAT:
            self.query_one("#rig", Choice).pick(Rig.MOTOR.value)

    def _go_on(self, widget: Widget) -> None:
        if widget.id == "file":
            self.action_on()
        elif widget.id is not None and self._checked(widget.id):
            self.focus_next("#form Field, #form Choice")

    def _complain(self, id: str, sentence: str) -> None:
        next(row for row in self.query(Row) if row.widget.id == id).complain(sentence)

    def _checked(self, id: str) -> bool:
        """Whether this field will do; else the sentence is beside it."""
        try:
            if id == "name" and not self.query_one("#name", Field).value.strip():
                self._complain(id, "She needs a name, or a number if she has none.")
                return False
            if id == "length":
                self._length()
        except NotUnderstood as error:
            self._complain(id, str(error))
            return False
        self._complain(id, "")
        return True

    def _length(self) -> float:
        length = QUANTITIES["hull_length_m"].read(self.query_one("#length", Field).value)
        if length is None:
            raise NotUnderstood("How long is she, in metres? Roughly will do.")
        return length

    def action_on(self) -> None:
        if self.query_one("#areas").display:
            self.action_start()
            return
        for id in ("name", "length"):
            if not self._checked(id):
                self.query_one(f"#{id}").focus()
                return
        self._offer_compartments()
        self._show_list(True)
        self.query_one("#areas").focus()

    def _offer_compartments(self) -> None:
        told = tuple(self.query_one(id, Choice).value for id in ("#built", "#rig", "#metal"))
        if told == self._offered_for:
            return  # what was ticked before stays ticked
        self._offered_for = told
        areas = list(self.desk.checklists.areas.values())
        ticked = {area.id for area in areas if usual(area) and fits(area, told)}
        steel = HullMetal.STEEL.value in told
        features = [one for one in OFFERED if steel or one not in OF_STEEL]
        self.query_one("#areas", Compartments).offer(features, areas, ticked)
        self.query_one("#list-title", Static).update(
            self.desk.keys.fill("{choose} ticks or unticks; {on} starts the book and the walk.")
        )

    def action_start(self) -> None:
        areas = self.query_one("#areas", Compartments)
        picked = [area for area in self.desk.checklists.areas.values() if area.id in areas.ticked]
        if not picked:
            self._wrong(self.desk.keys.fill("Tick at least one compartment: {choose} ticks."))
            return
        typed = self.query_one("#file", Field).value.strip()
        path = expanded(Path(typed)) if typed else book_path(self._text("name"), default_folder())
        if path.suffix != SUFFIX:
            path = path.with_name(path.name + SUFFIX)
        by = self._text("by").strip() or self.desk.by
        try:
            new = edits.NewBoat(
                self._text("name"),
                Rig(self.query_one("#rig", Choice).value),
                HullMetal(self.query_one("#metal", Choice).value),
                self._length(),
                FloatState(self.query_one("#state", Choice).value),
                BoatType(self.query_one("#built", Choice).value),
                self._features(areas.has),
            )
            edit = edits.start_book(Stamp(self.desk.clock(), by), new_identity(), new, picked)
            book_file = create_book(path, edit, self.desk.clock, by)
        except (DomainError, OSError) as error:
            self._wrong(f"{error} Go back to change it." if isinstance(error, DomainError) else _why(error, path))
            return
        self.desk.write_as(by)
        self.desk.begin(book_file)

    def _features(self, has: set[Feature]) -> dict[Feature, bool]:
        """What was ticked of what is offered; what is not, she has not."""
        return {feature: feature in has for feature in OFFERED if feature in has or feature not in TOLD_ONLY}

    def _text(self, id: str) -> str:
        return self.query_one(f"#{id}", Field).value

    def action_back(self) -> None:
        if self.query_one("#areas").display:
            self._show_list(False)
            self.query_one("#file", Field).focus()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """On the first page there is nothing to go back to."""
        if action == "back" and self.is_mounted:
            return self.query_one("#areas").display
        return super().check_action(action, parameters)

    def action_help(self) -> None:
        told = self.desk.keys.fill(self.HELP_TEXT.strip(), typing=self.TYPING)
        self.desk.show_text("Help: a new book", help_lines(told, offered(self.active_bindings, typing=True)))


def usual(area: Area) -> bool:
    """Ticked before anybody said what she has: the usual places, and those of what she was built as."""
    return area.picked or any(isinstance(one, BoatType) for one in area.applies)


def fits(area: Area, told: tuple[str, ...]) -> bool:
    """Pre-ticked only if what is known already agrees; features that are not known do not stand against it, but for
    what few boats have. Conditions of one kind are alternatives."""
    by_kind = ([one for one in area.applies if isinstance(one, kind)] for kind in (BoatType, Rig, HullMetal))
    agrees = all(not wanted or any(one.value in told for one in wanted) for wanted in by_kind)
    return agrees and not TOLD_ONLY.intersection(area.applies)


def _why(error: OSError, path: Path) -> str:
    if isinstance(error, FileExistsError):
        return f"{path} is there already: go back, and give another file name."
    return f"{path} cannot be written ({error.strerror or error}): go back, and give another place."
