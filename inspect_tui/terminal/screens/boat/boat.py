"""Boat: all compartments from bow to stern, how far each is, and where the walk stopped."""

from __future__ import annotations

from collections import defaultdict
from datetime import datetime
from typing import TYPE_CHECKING, Any, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import VerticalScroll
from textual.widgets import Static

from inspect_tui.domain import walk
from inspect_tui.domain.plain import counted, one_line
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.walking import turns
from inspect_tui.domain.words import LANE_WORDS, TIER_WORDS, Lane, Tier
from inspect_tui.domain.zones import zone_of_compartment
from inspect_tui.terminal.questions import ask_float_or_haul, ask_round
from inspect_tui.terminal.screens.base import BookScreen
from inspect_tui.terminal.screens.modals import PickOne
from inspect_tui.terminal.widgets.choice import Option
from inspect_tui.terminal.widgets.long_section import Cell, LongSection

if TYPE_CHECKING:
    from inspect_tui.judgement.work.action import Action

UNTOUCHED, ALL_UNSEEN = "···", "///"

# How the worst of a compartment is shown: by its word where it presses, else by its weight.
WEIGHTS = {
    Tier.NOW: "NOW",
    Tier.TODAY: "TODAY",
    Tier.BEFORE_AFLOAT: "!!",
    Tier.BEFORE_SAILING: "!!",
    Tier.THIS_HAUL_OUT: "!",
    Tier.NEXT_HAUL_OUT: "·",
    Tier.WATCH: "·",
}


class BoatScreen(BookScreen):
    TITLE_WORDS = "the boat"
    BINDINGS: ClassVar[list[Any]] = [
        Binding("enter", "carry_on", "Go", key_display="Enter"),
        Binding("w", "walk", "Walk"),
        Binding("f", "finding", "Finding", show=False),
        Binding("l", "app.go('worklist')", "List"),
        Binding("m", "app.go('metal')", "Metal"),
        Binding("y", "app.go('causes')", "Why"),
        Binding("p", "app.go('papers')", "Papers"),
        Binding("escape", "back", "Back", show=False),
        Binding("b", "first_pass", "First pass", show=False),
        Binding("g", "app.go('gauging')", "To gauge", show=False),
        Binding("c", "app.go('chalk')", "Chalk numbers", show=False),
        Binding("k", "app.go('launch')", "Launch list", show=False),
        Binding("x", "app.go('parts')", "Taken out", show=False),
        Binding("a", "add", "Add", show=False),
        Binding("e", "edit", "Edit", show=False),
        Binding("t", "app.go('trail')", "Trail", show=False),
        Binding("d", "app.go('particulars')", "Particulars", show=False),
        Binding("o", "app.drafts", "Half-written", show=False),
        Binding("r", "round", "New round", show=False),
        Binding("h", "float_or_haul", "Afloat or hauled", show=False),
        Binding("v", "app.other_theme", "Light or dark", show=False),
        Binding("z", "undo", "Undo", show=False),
        Binding("q", "app.quit", "Quit"),
    ]
    HELP_TEXT = """
The boat from bow to stern, in three lanes. Each cell is a compartment with the questions answered and asked:

  [Chain 10/18 !!]  ten of eighteen; its worst finding bars floating or sailing
  [Balst     ···]   not begun
  [Keel      ///]   asked, and nothing of it was seen

NOW and TODAY stand as they are · !! before she floats or sails · ! this haul-out · · later

Arrows  choose a compartment
Enter   carry on the walk where you stopped
w       walk the chosen compartment
b       the first pass: only what can sink her or hurt someone, through the whole boat
g       what is to be gauged
f       write a finding there without a question
l       worklist            c  all chalk numbers
k       launch list         x  what was taken out
m       metal: plate fields, what is left and what is needed
y       why she corrodes: causes by place, old patches, protection, circuit hunt
p       papers              t  trail: every change, and undo
a       add a compartment   e  its name, frames, side
d       her particulars     h  she was hauled out, or floated
r       new round           z  take back the last change
o       half-written forms  v  light or dark
q       quit: all is saved already

Nothing needs saving: what is on the screen is on the disk, and the line on top says since when.
"""

    _judged = False

    def body(self) -> ComposeResult:
        with VerticalScroll(id="boat", can_focus=False):
            yield LongSection()
            yield Static(id="chosen", markup=False)
            yield Static(id="stopped", markup=False)
            yield Static(id="waiting", markup=False)

    def on_mount(self) -> None:
        self.query_one(LongSection).focus()
        here = self.book.here
        if here and here.compartment in self.book.compartments:
            self.query_one(LongSection).selected = here.compartment
        # She is drawn at once; what the list says of her follows.
        self.call_after_refresh(self._judge)

    def _judge(self) -> None:
        self._judged = True
        self.show()

    @property
    def chosen(self) -> Compartment | None:
        return self.book.compartments.get(self.query_one(LongSection).selected)

    def show(self) -> None:
        self._listed = self.desk.judged.worklist.actions if self._judged else ()
        worst: dict[str, Tier] = {}
        self._actions: dict[str, list[Action]] = defaultdict(list)
        for action in self._listed:
            if action.compartment is None:
                continue
            self._actions[action.compartment.id].append(action)
            if action.chalk is not None and action.compartment.id not in worst:
                worst[action.compartment.id] = action.tier
        cells = []
        self._behind = []
        for place in self.book.bow_to_stern():
            done = walk.progress(self.book, self.checklists, place)
            if done.unseen:
                self._behind.append(one_line(place.name))
            told = UNTOUCHED if done.untouched else ALL_UNSEEN if done.all_unseen else f"{done.answered}/{done.asked}"
            if place.id in worst:
                told += f" {WEIGHTS[worst[place.id]]}"
            area = walk.area_of(self.checklists, place)
            alone = sum(other.area == place.area for other in self.book.compartments.values()) == 1
            if area and (alone or place.name.startswith(area.name)):
                short = area.short + place.name.removeprefix(area.name).strip()[:2] * (not alone)
            else:
                short = one_line(place.name)
            cells.append(Cell(place.id, walk.lane_of(self.checklists, place), short, told))
        self.query_one(LongSection).show_cells(cells)
        self._show_chosen()
        self._show_stopped()

    @on(LongSection.Selected)
    def _selected(self) -> None:
        self._show_chosen()

    def _show_chosen(self) -> None:
        place = self.chosen
        chosen = self.query_one("#chosen", Static)
        if place is None:
            chosen.update("No compartments yet: a adds one.")
            return
        done = walk.progress(self.book, self.checklists, place)
        lane = walk.lane_of(self.checklists, place)
        lies = LANE_WORDS[lane] if lane is Lane.KEEL else zone_of_compartment(self.checklists, place).value
        findings = [one for one in self.book.findings.values() if one.compartment == place.id]
        seen = "seen: not said" if done.seen_percent is None else f"seen {done.seen_percent:g} %"
        stage = self.desk.judged.stages[place.id].value if self._judged else ""
        head = (walk.frames_words(place), lies, stage, seen, counted(len(findings), "finding"))
        unseen = sum(not prompt.share for prompt, _ in done.unseen)
        told = (
            f": {done.one_by_one} one by one · {done.by_look} by one look · {unseen} unseen" if done.answered else ""
        )
        to_gauge = f" · {len(done.to_gauge)} to gauge" if done.to_gauge else ""
        text = Text.assemble((one_line(place.name), "bold"))
        text.append(f"\n{'   '.join(part for part in head if part)}")
        text.append(f"\n{done.answered} of {done.asked} answered{told}{to_gauge}")
        reasons = dict.fromkeys(
            walk.why_unseen(answer)
            for prompt, _ in done.unseen
            if (answer := walk.answer_of(self.book, place.id, prompt.key))
        )
        if reasons:
            text.append(f"\nnot seen: {'; '.join(reasons)}")
        first = next((action for action in self._actions[place.id] if action.chalk is not None), None)
        if first:
            text.append("\n")
            text.append(f"{first.tier.word}  ", "bold")
            text.append(f"no. {first.chalk}: {one_line(first.what)}")
        elif done.untouched and (area := walk.area_of(self.checklists, place)):
            wet = self.book.boat.afloat and zone_of_compartment(self.checklists, place).wet
            clear = self.checklists.everywhere.afloat if wet else area.clear
            text.append(f"\ntake out first: {clear}\nhidden by: {area.hidden}\nwater: {area.traps}")
        chosen.update(text)

    def _show_stopped(self) -> None:
        now = dict.fromkeys(str(one.chalk) for one in self._listed if one.tier is Tier.NOW and one.chalk is not None)
        text = Text.assemble((f"NOW, {TIER_WORDS[Tier.NOW]}: finding {', '.join(now)}\n" if now else "", "bold"))
        early = turns.first_pass(self.checklists, self.book)
        left = sum(walk.is_open(self.book, *one) for one in early)
        first = f" First pass: {left} of {len(early)} left (b)." if left else ""
        self.query_one("#stopped", Static).update(text.append(f"{self._stopped_words()}{first}"))
        self._show_waiting()

    def _stopped_words(self) -> str:
        spot = turns.carry_on(self.book, self.checklists)
        here = self.book.here
        if spot is None:
            return ""
        if here is None or here.round != self.book.round.id or here.compartment != spot.compartment:
            name, number = one_line(self.book.compartments[spot.compartment].name), self.book.round.number
            begun = here is not None and here.round == self.book.round.id
            gone = self.book.compartments.get(here.compartment) if here is not None else None
            where = f"{one_line(gone.name)} is gone through" if gone else "Where you stopped is gone"
            where = where if begun else f"Round {number} has not begun" if number > 1 else ""
            return f"{where or 'The walk has not begun'}. Enter starts in {name}."
        place = self.book.compartments[spot.compartment]
        asked = walk.progress(self.book, self.checklists, place).asked
        question = f"question {spot.index + 1} of {asked}" if spot.index < asked else "at what is to be gauged"
        when = _when(here.when, self.desk.clock())
        return f"You stopped {when} in {one_line(place.name)}, {question}. Enter goes on there."

    def _show_waiting(self) -> None:
        parts = []
        again = [str(one.chalk) for one in walk.waiting_for_measuring(self.book)]
        if again:
            parts.append(f"look at or measure again {', '.join(again)}")
        behind = self._behind
        if behind:
            shown = ", ".join(behind[:4]) + (f" and {len(behind) - 4} more" if len(behind) > 4 else "")
            parts.append(f"look behind what was unseen in {shown}")
        if self.book.drafts:
            parts.append(f"{counted(len(self.book.drafts), 'half-written form')} (o)")
        text = Text()
        if self._judged:
            from inspect_tui.judgement.work.worklist import count_words

            text.append(f"{count_words(self.desk.judged.worklist)}\n")
        text.append(f"Waiting: {' · '.join(parts)}" if parts else "")
        self.query_one("#waiting", Static).update(text)

    def action_back(self) -> None:
        self.desk.restored_was_read()

    def action_carry_on(self) -> None:
        spot = turns.carry_on(self.book, self.checklists)
        if spot is not None:
            self._go_walking(spot)

    def action_walk(self) -> None:
        place = self.chosen
        if place is not None:
            index = walk.first_open(self.book, self.checklists, place)
            self._go_walking(turns.Place(place.id, index or 0))

    def action_first_pass(self) -> None:
        """Only what can sink her or hurt someone, from the first question that is open."""
        asked = turns.first_pass(self.checklists, self.book)
        open_ = (one for one in asked if walk.is_open(self.book, *one))
        spot = next(open_, None)
        if spot is None:
            self.notify("Every question of the first pass is answered in this round.")
        else:
            self.desk.go("walk", compartment=spot[0].id, prompt=spot[1].key, only="first")

    def _go_walking(self, spot: turns.Place) -> None:
        prompts = walk.prompts_of(self.checklists, self.book, self.book.compartments[spot.compartment])
        self.desk.go("walk", compartment=spot.compartment, prompt=prompts[spot.index].key)

    def action_finding(self) -> None:
        if self.chosen is not None:
            self.desk.go("finding", compartment=self.chosen.id)

    def action_float_or_haul(self) -> None:
        ask_float_or_haul(self)

    def action_round(self) -> None:
        self.ask_round()

    def ask_round(self) -> None:
        ask_round(self)

    def action_add(self) -> None:
        options = [Option(area.id, "", area.name) for area in self.checklists.areas.values()]

        def picked(area: str | None) -> None:
            if area is None:
                return
            from inspect_tui.domain import edits

            if self.desk.record(lambda: edits.add_compartment(self.book, self.checklists.areas[area], "")):
                newest = self.book.newest("compartments")
                self.query_one(LongSection).selected = newest
                self.desk.go("compartment", compartment=newest)

        self.app.push_screen(PickOne("Which kind of place is it?", options), picked)

    def action_edit(self) -> None:
        if self.chosen is not None:
            self.desk.go("compartment", compartment=self.chosen.id)


def _when(then: datetime, now: datetime) -> str:
    days = (now.date() - then.date()).days
    # The hour is told as it was on the clock of the day, like everywhere else.
    clock = f"{then:%H:%M}"
    if days == 0:
        return f"today at {clock}"
    if days == 1:
        return f"yesterday at {clock}"
    return f"on {then:%A} {then:%Y-%m-%d} at {clock}"
