"""Protection: where the hull's potential stands among the bands, how it went over the rounds, and what to do."""

from __future__ import annotations

from datetime import datetime
from typing import Any, ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from inspect_tui.domain import edits
from inspect_tui.domain.book import Stamp
from inspect_tui.domain.knowledge.named import Prompts
from inspect_tui.domain.measuring.measured import moment_of
from inspect_tui.domain.measuring.readings import in_words, parse_values
from inspect_tui.domain.quantities import salinity
from inspect_tui.domain.reading_records import PotentialReading
from inspect_tui.domain.words import Water
from inspect_tui.engineering.electricity.electrodes import ELECTRODES, RIVER_G_KG, electrode_named
from inspect_tui.errors import CannotCalculate, NotUnderstood
from inspect_tui.judgement.electricity.hunted import hunting_place
from inspect_tui.judgement.electricity.protected import PotentialJudged, bands_of, judge_potential, why_not_judged
from inspect_tui.terminal.form_fields import Choose, FormField, Number, Words, YesNo
from inspect_tui.terminal.forms import FormScreen, in_form
from inspect_tui.terminal.screens.modals import headed
from inspect_tui.terminal.screens.options import AGAINST, NO_PLACE, electrode_id
from inspect_tui.terminal.widgets.bands import band_scale
from inspect_tui.terminal.widgets.choice import Choice, Option
from inspect_tui.terminal.widgets.field import Field

HAULED = "She is hauled out: enter only what was read while she floated, with its date."
NO_DAY = "When was it read? She is hauled out now, and out of the water a potential says nothing."
THEN_ASHORE = "She was out of the water then: the reading says nothing, and is not taken."
CAUTION = "CAUTION  Shore lead out for eight hours; leave the bilge pump its battery."
ANODES = [
    Option("no", "w", "at work", "as she lies"),
    Option("yes", "n", "none at work", "taken off: her free potential"),
]


class ProtectionScreen(FormScreen):
    CSS_PATH = "protection.tcss"
    TITLE_WORDS = "protection"
    BINDINGS: ClassVar[list[Any]] = [
        in_form("working", "why"),
        in_form("remove", "take_out", does="the newest potential; asks first"),
        in_form("anodes", "anodes", show=False),
        in_form("hunt", "hunt", show=False),
    ]
    FIRST = "values"
    HELP_TEXT = """
The hull's potential, against the bands for her metal and her water. To the left, less negative, she corrodes; to the
right it is too negative: alkali forms, which lifts paint and eats aluminium.

How   Afloat, shore lead out, after eight hours undisturbed. Electrode a metre off the side, half the draught down.
      Meter: electrode on the black lead, bright metal of the hull on the red. Wait until the number settles.

Electrode   without it a number says nothing, and is not taken
Salinity    of the water (in fresh water its chloride), for bare silver chloride: in water less salty than the sea it
            reads too negative, and is not judged before it is corrected
Anodes      once, with the anodes off or before they were fitted: her free potential. Every later one is then
            compared with it: regulators ask for a shift of 100 mV, small-craft practice for 200
Date read   asked only when she is hauled out: the day it was read while she was still afloat; one read out of the
            water is not taken
Numbers     mV, or volts with the V: -0.92 V

Anodes are planned, and a leak of current is hunted, under {more}. What is removed stays in the trail; the papers
list all.
"""

    def __init__(self) -> None:
        super().__init__()
        self._kept = ""
        self._shown: PotentialJudged | None = None

    def above(self) -> ComposeResult:
        yield Static(id="head", markup=False)
        yield Static(id="scale", markup=False)

    def form_fields(self) -> list[FormField]:
        return [
            Choose("electrode", "Electrode", options=AGAINST, long=True),
            Number("water_salinity_g_kg", "Salinity", "g/kg; the sea has 35", of=salinity(RIVER_G_KG)),
            Number("water_chloride_mg_l", "Chloride", "mg/L, of fresh water"),
            YesNo("anodes", "Anodes", options=ANODES),
            Words("read_on", "Date read", "YYYY-MM-DD hh:mm"),
            Words("values", "Numbers", "mV"),
        ]

    def first_values(self) -> dict[str, object]:
        past = self.desk.judged.electricity.history
        last = past[-1][0] if past else None
        return {
            "electrode": electrode_id(last.electrode) if last else None,
            "water_salinity_g_kg": last.water_salinity_g_kg if last else None,
            "water_chloride_mg_l": last.water_chloride_mg_l if last else None,
            "anodes": False,
        }

    def below(self) -> ComposeResult:
        yield Static(id="meaning", markup=False)
        with VerticalScroll(id="past", can_focus=False):
            yield Static(id="history", markup=False)

    def on_mount(self) -> None:
        self.changed()

    def changed(self) -> None:
        if self.query("#values"):
            self.row_of("values").complain("")
            salt = self.text_of("electrode") in ELECTRODES and ELECTRODES[self.text_of("electrode")].in_water
            fresh = self.book.boat.water is Water.FRESH
            self.row_of("water_salinity_g_kg").display = salt and not fresh
            self.row_of("water_chloride_mg_l").display = salt and fresh
            self.row_of("read_on").display = self._hauled
            self.show()

    def _judged(self) -> PotentialJudged:
        """What is being typed, judged.

        Raises
        ------
        NotUnderstood, CannotCalculate : with one sentence.
        """
        values, when = parse_values(self.text_of("values"), "potential"), self._moment()
        salinity, chloride = self._water()
        return judge_potential(
            self.book.boat,
            values,
            self._electrode(),
            salinity_g_kg=salinity,
            chloride_mg_l=chloride,
            without_anodes=bool(self.value("anodes")),
            free=self.desk.judged.electricity.free,
            when=when,
        )

    @property
    def _hauled(self) -> bool:
        return self.book.boat.afloat_at(self.desk.clock()) is False

    def _moment(self) -> datetime:
        """When it was read: now, or while she is hauled out the moment that is typed.

        Raises
        ------
        NotUnderstood, CannotCalculate : none is typed, it is no time, or she was ashore then.
        """
        now = self.desk.clock()
        if not self._hauled:
            return now
        if not self.text_of("read_on").strip():
            raise CannotCalculate(NO_DAY)
        when = moment_of(self.text_of("read_on").strip(), now)
        if self.book.boat.afloat_at(when) is False:
            raise CannotCalculate(THEN_ASHORE)
        return when

    def _electrode(self) -> str:
        return self.value("electrode") or ""

    def _water(self) -> tuple[float | None, float | None]:
        """Salinity [g/kg] and chloride [mg/L] of the water; neither where the electrode does not care."""
        if not self._electrode() or not electrode_named(self._electrode()).in_water:
            return None, None
        if self.book.boat.water is Water.FRESH:
            return None, self.number("water_chloride_mg_l")
        return self.number("water_salinity_g_kg"), None

    def show(self) -> None:
        if not self.query("#values"):
            return
        boat, electricity = self.book.boat, self.desk.judged.electricity
        past = electricity.history
        lies = f"{boat.water.value} water" if boat.water else "water not written down, taken as salt"
        head = f"Protection   {boat.metal_words}, {lies}   against silver chloride"
        self.query_one("#head", Static).update(self.badged(f"{head}\n{HAULED if self._hauled else CAUTION}"))
        meaning = self.query_one("#meaning", Static)
        newest = electricity.at_work
        self._shown = newest[1] if newest else next((judged for _, judged in reversed(past) if judged), None)
        if self.text_of("values").strip():
            try:
                self._shown = self._judged()
                meaning.update(headed(self._told(self._shown)))
            except (NotUnderstood, CannotCalculate) as error:
                meaning.update(f"?  {error}")
        elif self._shown is not None:
            meaning.update(headed([*([("kept", self._kept)] if self._kept else []), *self._told(self._shown)]))
        else:
            meaning.update("No potential is written down yet: name the electrode and type the number.")
        free = electricity.free
        now = self._shown.read.sea_mv if self._shown and self._shown.state is not None else None
        drawn = band_scale(bands_of(boat), self.size.width - 3, now, free.read.sea_mv if free else None)
        self.query_one("#scale", Static).update(drawn)
        self.query_one("#history", Static).update(Text("\n").join(self._history(past)))

    def _told(self, judged: PotentialJudged) -> list[tuple[str, str]]:
        doubts = len(judged.all_doubts())
        leak = self.desk.judged.leak
        return [
            *judged.short(),
            *([("first", "a current leak was measured: cure that first")] if leak and leak.there else []),
            *(("doubt", one) for one in judged.doubts[:1]),
            *([("doubts", f"{doubts} in all, with the working ({self.key('working')})")] if doubts else []),
        ]

    def _history(self, past: tuple[tuple[PotentialReading, PotentialJudged | None], ...]) -> list[Text]:
        if not past:
            return []
        lines = [Text(f"{'round; * in a hunt':<20}{'read':>5}{'shift mV':>9} newest first", "bold")]
        for reading, judged in reversed(past):
            told = f"{reading.when:%Y-%m-%d %H:%M} r{self.book.round_number(reading.round)}"
            told += "*" if reading.circuit else " "
            if judged is None:
                why = why_not_judged(self.book.boat, reading)
                lines.append(Text(f"{told}{reading.potential_mv[-1]:g} mV, {why}"))
                continue
            known = judged.protection.shift_mv if judged.state is not None else None
            shift = "" if known is None else f"{known:.0f}"
            line = Text(f"{told}{judged.read.sea_mv:5.0f} mV {shift:>4} ").append(judged.word, "bold")
            lines.append(line)
        return lines

    def keep(self) -> bool:
        text, place = self.text_of("values").strip(), hunting_place(self.book)
        for name in ("water_salinity_g_kg", "water_chloride_mg_l"):
            if self.row_of(name).display:
                self.checked(name)
        if not text:
            return True
        if place is None:
            self.complain("values", NO_PLACE)
            return False
        try:
            self._judged()
        except (NotUnderstood, CannotCalculate) as error:
            self.complain("values", str(error))
            return False
        water_salinity, chloride = self._water()
        details = edits.ReadingDetails(
            prompt=Prompts.REST_POTENTIAL,
            typed=text,
            electrode=self._electrode(),
            water_salinity_g_kg=water_salinity,
            water_chloride_mg_l=chloride,
            without_anodes=self.value("anodes") or None,
        )
        values, stamp = parse_values(text, "potential"), Stamp(self._moment(), self.book_file.stamp().by)
        if self.desk.record(lambda: edits.add_reading(self.book, stamp, place, "potential", values, details)):
            self._kept = f"Saved. Type the next; {self.key('on')} goes back."
            self.query_one("#values", Field).value = ""
            self.query_one("#anodes", Choice).pick("no")
            self.forget_draft()
        return False

    def action_why(self) -> None:
        told = [*self._shown.lines(), *self._shown.working.lines()] if self._shown else []
        self.desk.show_text("Protection: the working", told or [("verdict", "none: type a potential first")])

    def action_anodes(self) -> None:
        self.desk.go("anodes")

    def action_hunt(self) -> None:
        self.desk.go("hunt")

    def action_take_out(self) -> None:
        # What belongs to a circuit hunt is taken out there.
        past = [reading for reading, _ in self.desk.judged.electricity.history if not reading.circuit]
        if not past:
            self.notify("No potential has been written down here yet.")
            return

        def drop() -> None:
            self._kept = ""
            self.desk.record(edits.take_out_reading(past[-1]))
            self.show()

        self.ask_remove(f"the newest potential, {past[-1].typed or in_words(past[-1])}", drop)
