"""Circuit hunt: one potential after the other, each circuit alone, and which one moves the hull."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, ClassVar, Literal

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.containers import Container, VerticalScroll
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option as ListOption

from inspect_tui.domain import edits
from inspect_tui.domain.book import Put
from inspect_tui.domain.knowledge.named import Prompts
from inspect_tui.domain.measuring.readings import parse_values
from inspect_tui.domain.plain import counted, one_line, shortened
from inspect_tui.domain.reading_records import PotentialReading
from inspect_tui.domain.words import Across
from inspect_tui.engineering.electricity.circuit_hunt import Hunt, Switched
from inspect_tui.engineering.electricity.electrodes import ELECTRODES
from inspect_tui.errors import CannotCalculate, NotUnderstood
from inspect_tui.judgement.electricity.hunted import hunting_place, leak_finding, open_leak_of, under_way
from inspect_tui.judgement.electricity.protected import judge_potential, newest_water
from inspect_tui.terminal.desk import Line
from inspect_tui.terminal.form_fields import complaint_of
from inspect_tui.terminal.forms import in_form
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.lists import Rows
from inspect_tui.terminal.screens.base import BookScreen
from inspect_tui.terminal.screens.modals import PickOne
from inspect_tui.terminal.screens.options import AGAINST, NO_PLACE, electrode_id
from inspect_tui.terminal.widgets.choice import Option
from inspect_tui.terminal.widgets.field import Field

CAUTION = "CAUTION  Shore power kills, batteries burn: only an electrician opens covers."
PUMP = "With all off, bilge pump and alarm stop too: have another pump ready, and someone aboard."
HAULED = "She is hauled out: a hunt needs her afloat, with the electrode in the water."
HULL_TEST = [
    Option("ohms", "o", "ohms", "with a meter"),
    Option("lamp", "l", "lamp", "without one: it shows only a large leak"),
    Option("tied", "t", "no test: positive or negative is joined to the hull on purpose"),
    Option("free", "f", "neither is joined: entered by mistake, or since disconnected"),
    Option("out", "x", "remove the newest of these tests"),
]
OHMS = (
    "Battery disconnected, everything switched off, all breakers on. Type ohms from positive to the hull, a "
    "space, ohms from negative to the hull; swap the leads and repeat"
)
LAMP = (
    "Battery connected but for one lead, a 12 V, 3 W lamp in that lead's place. Everything switched off, all "
    "breakers on. The lamp is"
)
TIED = "Ask first: is positive or negative joined to the hull on purpose? If so, ohms and lamp tell you nothing."
TIED_ANSWERS = [
    Option("tied", "y", "yes, says the wiring plan, or whoever wired her"),
    Option("free", "n", "no, neither is"),
    Option("unsaid", "u", "nobody knows yet: measure, and ask again"),
]
THEN_HUNT = "Then the ohm and lamp tests tell you nothing. Use the circuit hunt."
LAMPS = [
    Option("dark", "d", "dark", "says little"),
    Option("faint", "f", "faint"),
    Option("bright", "b", "bright"),
]


@dataclass(frozen=True)
class Step:
    """One thing to switch; `reading` is what was typed for it in the newest hunt."""

    circuit: str
    reading: PotentialReading | None


class HuntScreen(BookScreen, inherit_bindings=False):
    CSS_PATH = "hunt.tcss"
    TITLE_WORDS = "the circuit hunt"
    TYPING = True
    BINDINGS: ClassVar[list[Any]] = [
        use("back"),
        in_form("help"),
        use("up", "move(-1)", show=False, priority=True),
        use("down", "move(1)", show=False, priority=True),
        in_form("working", "why"),
        in_form("remove", "take_out", does="the reading of the chosen line, or a circuit that has none; asks first"),
        in_form("add", "circuit", "Circuit", does="one more circuit; the list is kept with the boat", show=False),
        in_form("edit", "electrode", "Electrode", does="against which electrode you read", show=False),
        in_form("test", "hull_test", "Isolation test", does="ohms or a lamp between wiring and hull", show=False),
        in_form("finding", does="write down the circuit that stands out", show=False),
        in_form("undo", show=False),
        in_form("more"),
    ]
    HELP_TEXT = """
Current that leaks into the hull can eat through her in days. The hull's own potential shows the leak; switching the
circuits on one at a time shows where it comes from.

Before you begin: CAUTION. Shore power kills: an electrician for anything behind a cover. Batteries burn: no loose
leads, no rings. With everything off, the bilge pump and its alarm are off too: another pump stands by, and someone
stays aboard. She lies still; nobody switches anything unasked.

1  Hang the electrode a metre off the side. Meter: electrode on the black lead, bright metal of the hull on the red.
2  Everything off, shore lead out: wait until the number settles. Type it, {on}.
3  Shore lead in, all else off: wait, type, {on}. Shore lead out again: wait, type, {on}.
4  Each circuit alone: on, wait, type, {on}, off.
5  The baseline once more at the end: it tells how far her potential drifts by itself.

Circuits are added under {more}, and the electrode is named there: without it no reading is taken. The circuit that
stands out can be written down as a finding: it comes before every repair of eaten metal. The isolation test is
another test for the same leak, and can be done hauled out too. It asks first whether positive or negative is joined
to the hull on purpose: if so, it tells you nothing. Battery disconnected, all breakers on, ohms from positive to the
hull and from negative to the hull; or one lead off the battery, and a 12 V, 3 W lamp between it and its post. 10000
Ω or more is good. Positive at 1000 Ω or less eats her where it finds a way back through water; negative alone is
lost isolation, and eats nothing until positive touches too.

Less negative with a circuit on: current leaves the hull near the electrode. More negative: it enters there. 10 mV is
worth a note, 50 mV is a fault: this program's judgement, for no standard was found.
"""

    def __init__(self) -> None:
        super().__init__()
        self._electrode = ""
        self._at = 0

    def body(self) -> ComposeResult:
        yield Static(id="head", markup=False)
        with Container(id="two"):
            yield Rows(id="steps", compact=True)
            with VerticalScroll(id="meaning", can_focus=False):
                yield Static(id="told", markup=False)
        yield Field(id="mv", placeholder="type mV (or -0.91 V) for the chosen line")
        yield Static("", id="wrong", markup=False)

    def on_mount(self) -> None:
        readings = self.desk.judged.electricity.hunt_readings
        named = electrode_id(readings[-1].electrode) if readings else ""
        self._electrode = named if named in ELECTRODES else ""
        self._at = self._first_open()
        self.query_one("#steps", OptionList).can_focus = False
        self.query_one("#mv", Field).focus()
        self.show()

    def _steps(self) -> list[Step]:
        """Baseline, shore lead in and out, the circuits, baseline again; each with its newest reading."""
        readings = self.desk.judged.electricity.hunt_readings
        base = Switched.BASELINE.value
        bases = [one for one in readings if one.circuit == base]
        # A second baseline belongs to the end only when something was read between the two.
        between = any(one.circuit != base and bases and one.when >= bases[0].when for one in readings)
        ends = bases[1:] if between else []
        bases = bases[-1:] if bases and not between else bases
        newest = {one.circuit: one for one in readings if one.circuit != base}
        names = [Switched.SHORE_IN.value, Switched.SHORE_OUT.value, *self.book.boat.circuits]
        names += [name for name in newest if name not in names]
        steps = [Step(base, bases[0] if bases else None), *(Step(name, newest.get(name)) for name in names)]
        return [*steps, Step(base, ends[-1] if ends else None)]

    @property
    def _going_on(self) -> bool:
        return under_way(self.desk.judged.electricity.hunt_readings, self.desk.clock())

    def _first_open(self) -> int:
        if not self._going_on:
            return 0
        steps = self._steps()
        return next((index for index, step in enumerate(steps) if step.reading is None), len(steps) - 1)

    def _next_open(self) -> int:
        """The next line below without a reading; past the last, the closing baseline."""
        steps = self._steps()
        below = range(self._at + 1, len(steps))
        return next((index for index in below if steps[index].reading is None), len(steps) - 1)

    def _hunt(self) -> Hunt | None:
        electricity = self.desk.judged.electricity
        if electricity.hunt_refused:
            self._say(electricity.hunt_refused)
        return electricity.hunt

    def show(self) -> None:
        if not self.query("#steps"):
            return
        named = (
            ELECTRODES[self._electrode].name
            if self._electrode in ELECTRODES
            else self._electrode or f"no electrode yet ({self.key('edit')})"
        )
        readings = self.desk.judged.electricity.hunt_readings
        day = f" of {readings[-1].when:%Y-%m-%d}" if readings and not self._going_on else ""
        head = f"Circuit hunt{day}   {counted(len(self.book.boat.circuits), 'circuit')}   against {one_line(named)}"
        head = shortened(head, max(self.size.width - 2, 20))
        self.query_one("#head", Static).update(
            self.badged(f"{head}\n{CAUTION}\n{PUMP if self.book.boat.afloat else HAULED}")
        )
        shifts = {one.taken.name: one for one in found.shifts} if (found := self._hunt()) else {}
        rows = self.query_one("#steps", OptionList)
        rows.clear_options()
        for number, step in enumerate(self._steps(), 1):
            told = "" if step.reading is None else f"{step.reading.potential_mv[-1]:g} mV"
            name = one_line(step.circuit)[: (room := max(min(self.size.width - 38, 42), 12))]
            text = Text(f"{number:>3}  {name:<{room}} {told:>9}", no_wrap=True)
            shift = shifts.get(step.circuit) if step.reading else None
            if shift:
                text.append(f"  {round(shift.shift_mv):+5d}  ")
                loud = "" if shift.verdict == "none" else "bold"
                if shift.faulty and not self.app.no_color:
                    loud = f"bold {self.app.theme_variables['error']}"
                quiet = "" if shift.verdict == "none" else shift.verdict
                text.append(quiet.upper() if shift.faulty else quiet, loud)
            rows.add_option(ListOption(text))
        rows.highlighted = self._at = min(self._at, rows.option_count - 1)
        lines = list(found.meaning) if found else []
        if found and found.repeats_mv is not None:
            lines.insert(0, f"The baseline repeats within {found.repeats_mv:.0f} mV.")
        if not self._going_on and self.book.boat.afloat:
            lines.insert(0, "Everything off, shore lead out: wait until the number settles, then type it.")
        if test := self.desk.judged.electricity.hull_test:
            lines.insert(0, f"Isolation test: {test.told.split(';')[0]}.")
        self.query_one("#told", Static).update("\n".join(lines))

    def _say(self, sentence: str) -> None:
        wrong = self.query_one("#wrong", Static)
        wrong.update(sentence)
        wrong.display = bool(sentence)

    @on(Input.Submitted, "#mv")
    def _typed(self, event: Input.Submitted) -> None:
        text, place, step = event.value.strip(), hunting_place(self.book), self._steps()[self._at]
        if not text:
            return
        if place is None:
            self._say(NO_PLACE)
            return
        if self.book_file.read_only:
            self._say(self.book_file.read_only)
            return
        if not self.book.boat.afloat:
            self._say(HAULED)
            return
        try:
            values = parse_values(text, "potential")
            judge_potential(self.book.boat, values, self._electrode)
        except (NotUnderstood, CannotCalculate) as error:
            self._say(str(error))
            return
        if not self._going_on and step.circuit != Switched.BASELINE.value:
            self._say("Begin with the baseline: everything off, shore lead out.")
            return
        self._say("")
        salinity, chloride = newest_water(self.book)
        details = edits.ReadingDetails(
            prompt=Prompts.CIRCUIT_HUNT,
            typed=text,
            electrode=self._electrode,
            circuit=step.circuit,
            water_salinity_g_kg=salinity,
            water_chloride_mg_l=chloride,
        )
        # A line that is typed again in the same hunt takes the place of what stood there.
        instead = [Put("readings", step.reading.id, None)] if step.reading and self._going_on else []
        stamp = self.book_file.stamp()
        if self.desk.record(
            lambda: edits.add_reading(self.book, stamp, place, "potential", values, details), *instead
        ):
            self.query_one("#mv", Field).value = ""
            self._at = self._next_open()
            self._drawn = None
            self.refresh_all()

    def action_move(self, by: int) -> None:
        self._at = max(0, min(self._at + by, len(self._steps()) - 1))
        self.query_one("#steps", OptionList).highlighted = self._at

    def action_circuit(self) -> None:
        self.ask_circuit()

    def ask_circuit(self) -> None:
        """The name of a circuit that is to be tried too."""

        def typed(name: str) -> bool:
            return self.desk.record(edits.with_circuits(self.book, (*self.book.boat.circuits, name)))

        line = Line("Name of the circuit, as on its breaker", needed="A name, please.")
        self.desk.ask_line(self.form.line("circuit"), line, typed)

    def action_electrode(self) -> None:
        if self._going_on:
            self._say("Use one electrode for the whole hunt. Remove this hunt's readings to change it.")
            return

        def picked(value: str | None) -> None:
            if value is not None and value in ELECTRODES:
                self._electrode = value
                self._say("")
                self._drawn = None
                self.refresh_all()

        options = [one for one in AGAINST if one.value in ELECTRODES]
        self.app.push_screen(PickOne("Against which electrode?", options, self._electrode), picked)

    def action_hull_test(self) -> None:
        if self.book_file.read_only:
            self._say(self.book_file.read_only)
            return

        def answered(tied: str | None) -> None:
            if tied == "tied" and self.desk.record(edits.tie_negative(self.book, True)):
                self._say(THEN_HUNT)
            elif tied == "unsaid" or (tied == "free" and self.desk.record(edits.tie_negative(self.book, False))):
                self._pick_test()

        if self.book.boat.negative_tied is None:
            self.app.push_screen(PickOne(TIED, TIED_ANSWERS, None), answered)
        else:
            self._pick_test()

    def _pick_test(self) -> None:
        def picked(how: str | None) -> None:
            if how == "ohms":
                self.ask_ohms()
            elif how == "lamp":
                self.app.push_screen(PickOne(LAMP, LAMPS, None), self._lamp)
            elif how == "tied" and self.desk.record(edits.tie_negative(self.book, True)):
                self._say(THEN_HUNT)
            elif how == "free" and self.desk.record(edits.tie_negative(self.book, False)):
                self._say("")
            elif how == "out" and (test := self.desk.judged.electricity.hull_test):
                self.desk.record(edits.take_out_reading(test.reading))

        self.app.push_screen(PickOne("Isolation test: how?", HULL_TEST, None), picked)

    def _lamp(self, lamp: str | None) -> None:
        shown: tuple[Literal["dark", "faint", "bright"], ...] = ("dark", "faint", "bright")
        if lamp is not None:
            self._keep_test((), edits.ReadingDetails(lamp=next(one for one in shown if one == lamp)))

    def ask_ohms(self) -> None:
        """The ohms between the wiring and the hull."""
        check = complaint_of(lambda text: parse_values(text, "resistance"))
        line = Line(OHMS, needed="A number, please.", check=check)
        self.desk.ask_line(
            self.form.line("ohms"),
            line,
            lambda text: self._keep_test(parse_values(text, "resistance"), edits.ReadingDetails(typed=text)),
        )

    def _keep_test(self, ohms: tuple[float, ...], said: edits.ReadingDetails) -> bool:
        place, stamp = hunting_place(self.book), self.book_file.stamp()
        details = replace(said, prompt=Prompts.POLE_OHMS, across=Across.HULL)
        if place is None or not self.desk.record(
            lambda: edits.add_reading(self.book, stamp, place, "resistance", ohms, details)
        ):
            return False
        if test := self.desk.judged.electricity.hull_test:
            leak = [("to do", "The leak is among the signs of every place below the waterline; find the circuit: "
                     "breakers off one by one until the ohms jump up.")] if test.leak else []  # fmt: skip
            self.desk.show_text("Isolation test", [("so far", test.told), *leak, *test.working.lines()])
        return True

    def action_take_out(self) -> None:
        step = self._steps()[self._at]
        reading = step.reading
        if reading is None and step.circuit in self.book.boat.circuits:
            left = tuple(one for one in self.book.boat.circuits if one != step.circuit)
            self.ask_remove(
                f"the circuit {one_line(step.circuit)}",
                lambda: self.desk.record(edits.with_circuits(self.book, left)),
            )
        elif reading is None:
            self._say("Nothing was typed for this line.")
        else:

            def drop() -> None:
                if self.desk.record(edits.take_out_reading(reading)):
                    self._say("")

            self.ask_remove(f"{reading.potential_mv[-1]:g} mV of {one_line(step.circuit)}", drop)

    def action_why(self) -> None:
        if found := self._hunt():
            told = [("so far", one) for one in found.meaning]
            self.desk.show_text("Circuit hunt: the working", [*told, *found.working.lines()])

    def action_finding(self) -> None:
        found, place = self._hunt(), hunting_place(self.book)
        if found is None or not found.standing_out or place is None:
            self._say("No circuit stands out: there is nothing to write down.")
            return
        worst = next((one for one in found.standing_out if not open_leak_of(self.book, one.taken.circuit)), None)
        if worst is None:
            self._say("Every circuit that stands out is written down already.")
            return
        stamp = self.book_file.stamp()
        if self.desk.record(lambda: leak_finding(self.book, self.checklists, stamp, place, worst)):
            chalk = self.book.newest("findings")
            self._say(f"Written down as finding {chalk}: it comes before every repair of eaten metal.")
