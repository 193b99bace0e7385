"""Walk: one question at a time, answered with one key."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, VerticalScroll
from textual.geometry import Size
from textual.timer import Timer
from textual.widgets import Static

from inspect_tui.domain import edits, walk
from inspect_tui.domain.book import Edit
from inspect_tui.domain.knowledge.areas import By, Prompt
from inspect_tui.domain.measuring.readings import KINDS, in_words
from inspect_tui.domain.plain import counted, one_line
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.trail import Form
from inspect_tui.domain.walking import turns
from inspect_tui.domain.words import Need
from inspect_tui.terminal.desk import Line
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.screens.base import badged
from inspect_tui.terminal.screens.modals import PickOne, headed
from inspect_tui.terminal.screens.walk.answering import Answering
from inspect_tui.terminal.screens.walk.walk_words import LIST_LEGEND
from inspect_tui.terminal.widgets.answers import Answers
from inspect_tui.terminal.widgets.blocks import large_type
from inspect_tui.terminal.widgets.choice import Option

HERE_DELAY_S = 0.4
# Of a wide screen the list of questions takes so much, as in the style sheet.
ASKED_PERCENT = 42
OPENS = {"hunt": "the circuit hunt", "protection": "protection", "patches": "old patches"}
FIRST_PASS = "first"


class WalkScreen(Answering):
    CSS_PATH = "walk.tcss"
    TITLE_WORDS = "the walk"
    BINDINGS: ClassVar[list[Any]] = [
        # These four stand in the line above the footer, with what was answered.
        use("sound", "say_sound", show=False),
        use("finding", "say_finding", show=False),
        use("unseen", "say_unseen", show=False),
        use("not_fitted", "say_not_fitted", show=False),
        use("before", "move(-1)"),
        use("next", "move(1)"),
        use("on", "move(1)", "Next", show=False),
        use("measure"),
        use("add", "words", "Remark", does="a remark on the answer"),
        use("undo"),
        use("find", "find", "Questions", does="all questions of this place, to go to one of them", show=False),
        use("rest_unseen", show=False),
        use("edit", "last_finding", "Last finding", does="go on with the finding that was written last", show=False),
        use("working", "more_words", "In full", does="the cautions in full, with their sources", show=False),
        use("page_next", "place(1)", "Next place", show=False),
        use("page_before", "place(-1)", "Place before", show=False),
        use("worklist", "app.go('worklist')", show=False),
        use("taken_out", "take_out", does="write down what was taken out here and must be put back", show=False),
        use("large", "large", show=False),
        *[Binding(str(digit), f"share({digit})", "Share seen", show=False, id="share") for digit in range(10)],
    ]
    HELP_TEXT = """
One question at a time. Each is asked so that yes means sound.

For 'How much did you see?' type a digit: 7 means 70 %. {sound} means all. Then one question stands for all that
the eye can answer: {sound} if all of it is sound; {finding} if not, and each is asked. It never answers what could
sink her, lies under a cover, or must be felt by hand; those are asked next. What needs a gauge is not asked here;
{gauging} on the boat screen shows those questions.

While she is afloat, some questions can only be answered Unseen ({unseen}): they must wait until she is hauled out.
{back} goes back to the boat. You can stop anywhere: {on} on the boat screen comes back to this question.
"""

    def __init__(self, compartment: str, prompt: str = "", only: str = "") -> None:
        super().__init__()
        self._compartment = compartment
        # The first pass: only what can sink her or hurt someone.
        self._early = only == FIRST_PASS
        self._begin_at = prompt
        self._index = 0
        self._more = self._large = False
        self._here_timer: Timer | None = None

    def body(self) -> ComposeResult:
        yield Static(id="place", markup=False)
        with Horizontal(id="panes"):
            with VerticalScroll(id="prompt", can_focus=False):
                yield Static(id="ask", markup=False)
                yield Static(id="needs", markup=False)
                yield Static(id="caution", markup=False)
                yield Static(id="facts", markup=False)
                yield Static(id="before", markup=False)
            with VerticalScroll(id="asked", can_focus=False):
                yield Static(id="asked-here", markup=False)
                yield Static(LIST_LEGEND, id="signs", markup=False)
        yield Answers(id="answers")
        yield Static(id="answer", markup=False)

    # --- where we are -----------------------------------------------------------------------------

    @property
    def place(self) -> Compartment:
        return self.book.compartments[self._compartment]

    @property
    def prompts(self) -> tuple[Prompt, ...]:
        return self._prompts_of(self.place)

    def _prompts_of(self, place: Compartment) -> tuple[Prompt, ...]:
        asked = walk.prompts_of(self.checklists, self.book, place)
        return turns.early_of(self.checklists, self.book.boat, place, asked) if self._early else asked

    def _order(self) -> list[Compartment]:
        """The compartments as they are walked."""
        if self._early:
            return list(dict.fromkeys(place for place, _ in turns.first_pass(self.checklists, self.book)))
        return turns.in_turn(self.checklists, self.book)

    @property
    def prompt(self) -> Prompt:
        prompts = self.prompts
        self._index = min(self._index, len(prompts) - 1)
        return prompts[self._index]

    @property
    def form(self) -> Form:
        """Where the walk stands: what opens it there again."""
        return self.form_of(self.prompt, self.place) if self._compartment in self.book.compartments else Form("walk")

    @form.setter
    def form(self, _: Form) -> None:
        pass

    def _form_of(self, prompt: Prompt, place: Compartment) -> Form:
        return Form("walk", {"compartment": place.id, "prompt": prompt.key})

    def on_mount(self) -> None:
        keys = [prompt.key for prompt in self.prompts]
        self._index = keys.index(self._begin_at) if self._begin_at in keys else 0
        self.desk.sitting.enter(self._compartment, self.desk.clock())
        self._stand_here()
        self.show()

    def _stand_here(self) -> None:
        """Remember where the walk stands, a moment after it stopped moving."""
        if self._here_timer:
            self._here_timer.stop()
        self._here_timer = self.set_timer(HERE_DELAY_S, self.keep_drafts)

    def keep_drafts(self) -> None:
        if self._here_timer:
            self._here_timer.stop()
            self._here_timer = None
            here, now = self.book.here, (self.book.round.id, self._compartment, self.prompt.key)
            if here is None or (here.round, here.compartment, here.prompt) != now:
                self.desk.lay(edits.stand_here(self.book, self.book_file.stamp(), self._compartment, self.prompt.key))

    def go_to_air(self) -> None:
        air = (at for at, one in enumerate(self.prompts) if walk.asks_air(self.checklists, self.place, one))
        self._go(self._compartment, next(air, 0))

    def _go(self, compartment: str, index: int) -> None:
        self._compartment, self._index = compartment, index
        self.desk.sitting.enter(compartment, self.desk.clock())
        self.query_one("#prompt", VerticalScroll).scroll_home(animate=False)
        self._stand_here()
        self.show()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        if action == "share":
            return self.prompt.share
        return super().check_action(action, parameters)

    def subject_gone(self) -> bool:
        if self._compartment not in self.book.compartments or not self.prompts:
            return True
        # It is to begin at a question that is not asked any more.
        begins = not self.is_mounted and bool(self._begin_at)
        return begins and self._begin_at not in [prompt.key for prompt in self.prompts]

    # --- drawing ----------------------------------------------------------------------------------

    def show(self) -> None:
        prompt, place = self.prompt, self.place
        early = ""
        if self._early:
            asked = turns.first_pass(self.checklists, self.book)
            done = sum(not walk.is_open(self.book, *one) for one in asked)
            early = f"first pass: {done} of {len(asked)} answered"
        head = self.words.of_place(place, self.prompts, self._index, self.size.width - 2, early)
        self.query_one("#place", Static).update(head)
        self.set_class(self._large, "large")
        how = walk.how_to(self.checklists, self.book.boat, place, prompt)
        looks = [("look", prompt.look), ("how", how)] if how else []
        facts = [("why", prompt.why), *looks, ("bad", prompt.bad)]
        if prompt.measure:
            more = f" ({self.key('measure')}: {OPENS[prompt.opens]})" if prompt.opens else ""
            facts.append(("take", " · ".join(KINDS[kind].label for kind in prompt.measure) + more))
        self.query_one("#facts", Static).update(headed(facts, width=5))
        self._put("#needs", badged(self.needs_words()))
        cautions = [self.checklists.cautions[one] for one in walk.cautions_of(self.book.boat, prompt)]
        said = [
            f"CAUTION  {one.title}: {one.say}" + (f" {one.more} ({one.source})" if self._more else "")
            for one in cautions
        ]
        if air := self.bad_air:
            said.insert(0, f"KEEP OUT  The air here failed: {in_words(air)}, {air.when:%Y-%m-%d}.")
        self._put("#caution", Text("\n").join(badged(one) for one in said))
        warned = Text("\n").join(self.badged(one) for one in (self.needs_words(), *said) if one)
        large = Text(large_type(prompt.ask, self.size.width - 6))
        self.query_one("#ask", Static).update(Text.assemble(warned, "\n\n", large) if self._large else prompt.ask)
        self._put("#before", self.words.before(prompt, place))
        # Of the pane its edge and padding are no text; above and below it stand head, legend and answers.
        room = Size(self.size.width * ASKED_PERCENT // 100 - 5, self.size.height - 9)
        airs = (one for one in self.prompts if walk.asks_air(self.checklists, place, one))
        again = {one.key for one in airs if Need.GAS_FREE not in self.met}
        told, at = self.words.asked_here(self.prompts, place, self._index, again, room)
        self.query_one("#asked-here", Static).update(told)
        self.query_one("#asked").scroll_to(y=max(at - 8, 0), animate=False)
        self.query_one("#answers", Answers).offer(self.words.answers(prompt, place, self.bar, self.key))
        self.query_one("#answer", Static).update(
            self.words.of_answer(prompt, place, self.waiting_words(prompt, place))
        )

    def _put(self, id: str, words: str | Text) -> None:
        widget = self.query_one(id, Static)
        widget.update(words)
        # In large type they stand above the question, in its own block.
        widget.display = bool(str(words)) and not (self._large and id in ("#needs", "#caution"))

    # --- going on ---------------------------------------------------------------------------------

    def record_and_go_on(self, edit: Callable[[], Edit]) -> bool:
        left, prompt = self.place, self.prompt
        mended = walk.answer_of(self.book, left.id, prompt.key) is not None
        if not self.desk.record(edit):
            return False
        if mended and not prompt.glance:
            # Whoever puts an answer right goes on where they are, and not to what is open elsewhere.
            self._go(left.id, min(self._index + 1, len(self.prompts) - 1))
            return True
        spot = self._next_spot(left, prompt)
        self._go(*(spot or (left.id, self._index)))
        if spot is None and self._early:
            self.notify("The first pass is done: what is left is the walk itself.")
        elif spot is None:
            self.notify(
                f"Nothing is left to ask. {self.key('gauging')} on the boat screen lists what is to be gauged."
            )
        elif spot[0] != left.id:
            which = "what the first pass asks is" if self._early else "every question"
            self.notify(f"{one_line(left.name)}: {which} answered.{self._to_gauge(left)}", markup=False)
        return True

    def _to_gauge(self, place: Compartment) -> str:
        left = len(walk.progress(self.book, self.checklists, place).to_gauge)
        return (
            f" {counted(left, 'place')} to gauge: {self.key('gauging')} on the boat screen."
            if left and not self._early
            else ""
        )

    def _next_spot(self, left: Compartment, prompt: Prompt) -> tuple[str, int] | None:
        """The next prompt that is asked here, else the first one open of a later compartment; None if none is
        left."""
        order = self._order()
        at = [place.id for place in order].index(left.id)
        for place in [left, *order[at + 1 :], *order[:at]]:
            prompts = self._prompts_of(place)
            keys = [one.key for one in prompts]
            start = keys.index(prompt.key) + 1 if place is left and prompt.key in keys else 0
            for index in (*range(start, len(prompts)), *(range(start) if place is left else ())):
                if prompts[index].by is not By.GAUGE and walk.is_open(self.book, place, prompts[index]):
                    return place.id, index
        return None

    def action_undo(self) -> None:
        """Take back the last change, and stand where it was made."""
        before = self.book.answers
        super().action_undo()
        after = self.book.answers
        changed = [one for key in {**before, **after} if (one := before.get(key)) is not after.get(key) and one]
        for answer in sorted(changed, key=lambda one: bool(one.by_look)):
            place = self.book.compartments.get(answer.compartment)
            keys = [prompt.key for prompt in self._prompts_of(place)] if place else []
            if answer.prompt in keys:
                self._go(answer.compartment, keys.index(answer.prompt))
                return

    def action_measure(self) -> None:
        bar = self.bar
        if bar is not None and bar.need is Need.GAS_FREE:
            self.notify(bar.say, severity="warning", markup=False)
            return
        if self.prompt.opens:
            self.desk.go(self.prompt.opens)
            return
        found = self.words.findings(self.prompt, self.place)
        chalk = found[-1].chalk if found else None
        self.desk.go("measure", compartment=self._compartment, prompt=self.prompt.key, chalk=chalk)

    def action_take_out(self) -> None:
        """Something was taken out here, to go back."""
        self.desk.go("part", compartment=self._compartment)

    def action_words(self) -> None:
        self.ask_words()

    def ask_words(self) -> None:
        """A remark to the answer; given before it, it waits and goes with the answer."""
        prompt, place = self.prompt, self.place
        answer = walk.answer_of(self.book, place.id, prompt.key)

        def typed(text: str) -> bool:
            stamp = self.book_file.stamp()
            if answer is None:
                # There is nothing to write them beside yet: they wait, and go with the answer.
                return not text.strip()
            return self.desk.record(
                lambda: edits.say(
                    self.book, stamp, place, prompt, answer.said, reason=answer.reason, note=text.strip()
                )
            )

        line = Line(f"Remark on: {prompt.ask}", answer.note if answer else "")
        self.desk.ask_line(self.form_of(prompt, place).line("words"), line, typed)

    # --- moving -----------------------------------------------------------------------------------

    def action_move(self, by: int) -> None:
        index = self._index + by
        if 0 <= index < len(self.prompts):
            self._go(self._compartment, index)
        else:
            self.action_place(by, at_end=by < 0)

    def action_place(self, by: int, at_end: bool = False) -> None:
        order = self._order()
        at = [place.id for place in order].index(self._compartment) + by
        if not 0 <= at < len(order):
            self.notify("This is the last place." if by > 0 else "This is the first place.")
            return
        target = order[at]
        prompts = self._prompts_of(target)
        enclosed = bool((area := walk.area_of(self.checklists, target)) and area.enclosed)
        open_ = (at for at, one in enumerate(prompts) if walk.is_open(self.book, target, one))
        self._go(target.id, len(prompts) - 1 if at_end else 0 if enclosed else next(open_, 0))

    def action_find(self) -> None:
        """All questions of the place with what was said; the picked one is asked."""
        keys = [prompt.key for prompt in self.prompts]

        def picked(key: str | None) -> None:
            if key is not None:
                self._go(self._compartment, keys.index(key))

        rows = [
            Option(key, "", f"{sign} {prompt.ask}")
            for key, (sign, prompt) in zip(keys, self.words.signed(self.prompts, self.place), strict=True)
        ]
        title = f"{one_line(self.place.name)}: {counted(len(rows), 'question')}"
        self.app.push_screen(PickOne(title, rows, self.prompt.key), picked)

    def action_large(self) -> None:
        """The question alone, to be read at arm's length; and back."""
        self._large = not self._large
        self.show()

    def action_more_words(self) -> None:
        self._more = not self._more
        self.show()
