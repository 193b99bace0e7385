"""Boat: all compartments from bow to stern, how far each is, and where the walk stopped."""

from __future__ import annotations

from collections import defaultdict
from datetime import datetime
from typing import TYPE_CHECKING, Any, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.containers import Container, Vertical, VerticalScroll
from textual.widgets import Static

from inspect_tui.domain import walk
from inspect_tui.domain.measuring import measured
from inspect_tui.domain.plain import counted, one_line, shortened
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.walking import turns
from inspect_tui.domain.words import LANE_WORDS, Lane, Tier
from inspect_tui.domain.zones import zone_of_compartment
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.questions import ask_float_or_haul, ask_round
from inspect_tui.terminal.screens.base import BookScreen
from inspect_tui.terminal.screens.modals import PickOne
from inspect_tui.terminal.widgets.choice import Option
from inspect_tui.terminal.widgets.long_section import TALL_ROWS, Cell, LongSection

if TYPE_CHECKING:
    from inspect_tui.judgement.work.action import Action

# How the worst of a compartment is shown: by its word where it presses, else by its weight.
WEIGHTS = {
    Tier.NOW: "NOW",
    Tier.TODAY: "TODAY",
    Tier.BEFORE_AFLOAT: "!!",
    Tier.BEFORE_SAILING: "!!",
    Tier.THIS_HAUL_OUT: "!",
    Tier.NEXT_HAUL_OUT: "",
    Tier.WATCH: "",
}
LEGEND = "= seen  / part seen  . not begun   !! before floating/sailing  ! this haul"
# Jobs on the card of what to do first: on a small screen, on a middling and on a large one; rows of the screen that
# make it so.
CARD_JOBS, CARD_JOBS_LARGE, LOW_ROWS = 6, 12, 30


# Screens that a key of their own name opens, listed under "more".
GO_TO = ("gauging", "launch", "chalk", "map", "since", "money", "plan", "scope", "trail", "particulars", "sheets")


class BoatScreen(BookScreen):
    TITLE_WORDS = "the boat"
    BINDINGS: ClassVar[list[Any]] = [
        use("on", "walk", "Go in"),
        use("first_pass"),
        use("worklist", "app.go('worklist')"),
        use("metal", "app.go('metal')"),
        use("causes", "app.go('causes')"),
        use("papers", "app.go('papers')"),
        use("finding", does="write down something wrong in the chosen place, not tied to a question", show=False),
        use("done", does="the first job under DO FIRST: with what, by whom; the next moves up", show=False),
        *(use(name, f"app.go('{name}')", show=False) for name in GO_TO),
        use("taken_out", "app.go('parts')", show=False),
        use("add", label="Add a compartment", show=False),
        use("edit", does="name, frames and side of the chosen compartment", show=False),
        use("drafts", "app.drafts", show=False),
        use("round", show=False),
        use("afloat", "float_or_haul", show=False),
        use("page_next", "page(1)", "Further down", show=False),
        use("page_before", "page(-1)", "Further up", show=False),
        use("quit", "app.quit"),
    ]
    HELP_TEXT = """
The boat from bow to stern, deck on top, keel at the bottom; places are set out by frame once half have frame numbers.

  =           seen and answered
  /           asked, part not seen
  .           not begun yet
  NOW  TODAY  the worst that was found there, if it is urgent
  !!          before she floats or sails
  !           this haul-out

Arrows choose a compartment, {on} goes in; at first, the one where you stopped is chosen. Nothing needs saving: what
is on the screen is on the disk, and the line at the top says when it was last saved.
"""

    _judged = False
    _was_here: object = None

    def body(self) -> ComposeResult:
        with VerticalScroll(id="boat", can_focus=False):
            yield LongSection()
            yield Static(LEGEND, id="legend", markup=False)
            with Container(id="below"):
                with Vertical(id="first"):
                    yield Static(id="stopped", markup=False)
                    yield Static(id="card", markup=False)
                yield Static(id="chosen", markup=False)
            yield Static(id="waiting", markup=False)

    def on_mount(self) -> None:
        self.query_one(LongSection).focus()
        self._choose_where_it_goes_on()
        # She is drawn at once; what the list says of her follows.
        self.call_after_refresh(self._judge)

    def _choose_where_it_goes_on(self) -> None:
        """The compartment that is gone into with one key is the one where the walk stopped."""
        if spot := turns.carry_on(self.book, self.checklists):
            self.query_one(LongSection).selected = spot.compartment

    def on_screen_resume(self) -> None:
        super().on_screen_resume()
        if self.book.here is not self._was_here:
            self._was_here = self.book.here
            self._choose_where_it_goes_on()

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
            cells.append(self._cell(place, done, worst.get(place.id)))
        self.query_one(LongSection).show_cells(cells)
        self._show_chosen()
        self._show_stopped()

    def _cell(self, place: Compartment, done: walk.Progress, worst: Tier | None) -> Cell:
        """How a compartment is drawn: where it lies, how much of it was seen, and its worst finding."""
        area = walk.area_of(self.checklists, place)
        alone = sum(other.area == place.area for other in self.book.compartments.values()) == 1
        if area and (alone or place.name.startswith(area.name)):
            short = area.short + place.name.removeprefix(area.name).strip()[:2] * (not alone)
        else:
            short = one_line(place.name)
        # What was not asked yet is not seen either.
        seen = max(done.answered - len(done.unseen), 0) / max(done.asked, 1)
        if done.seen_percent is not None:
            seen = min(seen, done.seen_percent / 100)
        # The gravest first, in the order of the list.
        chalks = dict.fromkeys(one.chalk for one in self._actions[place.id] if one.chalk is not None)
        numbers = [f"{'' if at else 'no. '}{chalk}" for at, chalk in enumerate(chalks)]
        return Cell(
            place.id,
            walk.lane_of(self.checklists, place),
            short,
            place.frame_from,
            place.frame_to,
            seen=seen,
            begun=not done.untouched,
            unseen=bool(done.unseen) or seen < 1,
            mark=WEIGHTS[worst] if worst else "",
            presses=worst is Tier.NOW,
            told=() if done.untouched else (f"{done.answered}/{done.asked}", *numbers),
        )

    @on(LongSection.Selected)
    def _selected(self) -> None:
        self._show_chosen()

    def _show_chosen(self) -> None:
        place = self.chosen
        chosen = self.query_one("#chosen", Static)
        if place is None:
            chosen.update(f"No compartments yet: {self.key('add')} adds one.")
            return
        done = walk.progress(self.book, self.checklists, place)
        lane = walk.lane_of(self.checklists, place)
        lies = LANE_WORDS[lane] if lane is Lane.KEEL else zone_of_compartment(self.checklists, place).value
        findings = [one for one in self.book.findings.values() if one.compartment == place.id]
        seen = "seen: not said" if done.seen_percent is None else f"seen {done.seen_percent:g} %"
        area = walk.area_of(self.checklists, place)
        stage = self.desk.judged.stages.get(place.id, "") if self._judged else ""
        low = self.size.height < LOW_ROWS
        found = counted(len(findings), "finding") if findings else ""
        head = (walk.frames_words(place), "" if low else lies, stage, seen, found)
        text = Text.assemble((one_line(place.name), "bold"))
        text.append(f"{'   ' if low else chr(10)}{'   '.join(part for part in head if part)}")
        if not low:
            text.append(self._counts(place, done))
        first = next((action for action in self._actions[place.id] if action.chalk is not None), None)
        if first:
            text.append("\n")
            text.append_text(self.tier_mark(first.tier)).append("  ")
            text.append(f"no. {first.chalk}: {one_line(first.what)}")
        elif done.untouched and area:
            wet = self.book.boat.afloat and zone_of_compartment(self.checklists, place).wet
            clear = self.checklists.everywhere.afloat if wet else area.clear
            text.append(f"\nbefore you look: {clear}\nhidden by: {area.hidden}\nwater: {area.traps}")
        chosen.update(text)

    def _counts(self, place: Compartment, done: walk.Progress) -> str:
        """How its questions were answered, and why some were not."""
        unseen = sum(not prompt.share for prompt, _ in done.unseen)
        told = (
            f" · {done.one_by_one} one by one · {done.by_look} by one look · {unseen} unseen" if done.answered else ""
        )
        to_gauge = f" · {len(done.to_gauge)} to gauge" if done.to_gauge else ""
        reasons = dict.fromkeys(
            walk.why_unseen(answer)
            for prompt, _ in done.unseen
            if (answer := walk.answer_of(self.book, place.id, prompt.key))
        )
        why = f"\nnot seen: {'; '.join(reasons)}" if reasons else ""
        return f"\n{done.answered} of {done.asked} answered{told}{to_gauge}{why}"

    def _show_stopped(self) -> None:
        early = turns.first_pass(self.checklists, self.book)
        left = sum(walk.is_open(self.book, *one) for one in early)
        first = f" First pass: {left} left of {len(early)} ({self.key('first_pass')})." if left else ""
        text = Text(f"{self._stopped_words()}{first}")
        if self._judged:
            from inspect_tui.judgement.shell.rounds import since_words

            grew = since_words(self.desk.judged.since)
            text.append(f"\n{grew} ({self.key('since')})" if grew else "", "bold")
        self.query_one("#stopped", Static).update(text)
        self._show_card()
        self._show_waiting()

    def _show_card(self) -> None:
        """What to do first: the gravest jobs, in their order."""
        card = self.query_one("#card", Static)
        jobs = self.desk.judged.worklist.jobs if self._judged else ()
        card.display = bool(jobs)
        if not jobs:
            return
        wide = self.has_class("wide")
        width = max((self.size.width * 3 // 5 if wide else self.size.width) - 4, 30)
        from inspect_tui.terminal.screens.work.worklist import at_words, in_hand

        low = self.size.height < LOW_ROWS and not wide
        most = 1 if low else CARD_JOBS_LARGE if self.size.height >= TALL_ROWS else CARD_JOBS
        text = Text("" if low else "DO FIRST\n", "bold", no_wrap=True, overflow="ellipsis")
        for job in jobs[:most]:
            at = at_words(job)
            said = shortened(one_line(job.say.split(" — ")[0]), max(width - 16 - len(at), 12))
            text.append(f"{job.number:>2} ")
            word = job.first.tier.word[:6]
            text.append_text(self.tier_mark(job.first.tier, word)).append(" " * (7 - len(word)))
            text.append(f" {said}  ")
            text.append(f"{at}\n", "bold")
            if job is jobs[0]:
                text.append(f"{'':11}{in_hand(job)}\n")
        text.rstrip()
        card.update(text)

    def action_done(self) -> None:
        """The first job of the card is done."""
        from inspect_tui.terminal.screens.work.worklist import ask_done

        jobs = self.desk.judged.worklist.jobs
        if jobs:
            ask_done(self, jobs[0].first, jobs[0])
        else:
            self.notify("Nothing is left to do.")

    def _stopped_words(self) -> str:
        spot = turns.carry_on(self.book, self.checklists)
        here = self.book.here
        if spot is None:
            return ""
        if here is None or here.round != self.book.round.id or here.compartment != spot.compartment:
            name, number = one_line(self.book.compartments[spot.compartment].name), self.book.round.number
            begun = here is not None and here.round == self.book.round.id
            gone = self.book.compartments.get(here.compartment) if here is not None else None
            where = f"{one_line(gone.name)}: every question answered" if gone else "The place you stopped in is gone"
            where = where if begun else f"Round {number} has not begun" if number > 1 else ""
            return f"{where or 'The walk has not begun'}. {self.key('on')} starts in {name}."
        place = self.book.compartments[spot.compartment]
        asked = walk.progress(self.book, self.checklists, place).asked
        question = f"question {spot.index + 1} of {asked}" if spot.index < asked else "at the gauging list"
        when = _when(here.when, self.desk.clock())
        return f"You stopped {when} in {one_line(place.name)}, {question}. {self.key('on')} carries on from there."

    def _show_waiting(self) -> None:
        parts = []
        again = [str(one.chalk) for one in measured.waiting_for_measuring(self.book)]
        if again:
            parts.append(f"look at or measure no. {', '.join(again)} again")
        behind = self._behind
        if behind:
            shown = ", ".join(behind[:4]) + (f" and {len(behind) - 4} more" if len(behind) > 4 else "")
            parts.append(f"look again at what was unseen in {shown}")
        if self.book.drafts:
            parts.append(f"{counted(len(self.book.drafts), 'half-written form')} ({self.key('more')})")
        text = Text()
        if self._judged:
            from inspect_tui.judgement.work.worklist import count_words

            text.append(f"{count_words(self.desk.judged.worklist)}\n")
        text.append(f"Waiting: {' · '.join(parts)}" if parts else "")
        self.query_one("#waiting", Static).update(text)

    def action_page(self, by: int) -> None:
        """What does not fit a small screen."""
        boat = self.query_one("#boat", VerticalScroll)
        (boat.scroll_page_down if by > 0 else boat.scroll_page_up)(animate=False)

    def action_back(self) -> None:
        self.desk.restored_was_read()

    def action_carry_on(self) -> None:
        if spot := turns.carry_on(self.book, self.checklists):
            self._go_walking(spot)

    def action_walk(self) -> None:
        """Into the chosen compartment: where the walk stopped if that is there, else to its first open question."""
        place = self.chosen
        if place is None:
            self.action_carry_on()
        elif not walk.prompts_of(self.checklists, self.book, place):
            self.notify("Nothing is asked there on this boat, going by what her particulars say she has.")
        elif (spot := turns.carry_on(self.book, self.checklists)) and spot.compartment == place.id:
            self._go_walking(spot)
        else:
            self._go_walking(turns.Place(place.id, walk.first_open(self.book, self.checklists, place) or 0))

    def action_first_pass(self) -> None:
        """Only what can sink her or hurt someone, from the first question that is open."""
        asked = turns.first_pass(self.checklists, self.book)
        if spot := next((one for one in asked if walk.is_open(self.book, *one)), None):
            self.desk.go("walk", compartment=spot[0].id, prompt=spot[1].key, only="first")
        else:
            self.notify("Every question of the first pass is answered in this round.")

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

        self.app.push_screen(PickOne("What kind of place is it?", options), picked)

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
