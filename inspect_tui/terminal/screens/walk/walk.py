"""Walk: one question at a time, answered with one key."""

from __future__ import annotations

from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import VerticalScroll
from textual.timer import Timer
from textual.widgets import Static

from inspect_tui.domain import edits, walk
from inspect_tui.domain.book import Edit
from inspect_tui.domain.knowledge.areas import Prompt
from inspect_tui.domain.knowledge.named import Cautions
from inspect_tui.domain.measuring.readings import KINDS, in_words
from inspect_tui.domain.plain import one_line
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.trail import Form
from inspect_tui.domain.words import CLOSED, UNSEEN_WORDS, Need, Said, UnseenReason
from inspect_tui.judgement.electricity.meters import failing_at
from inspect_tui.terminal.desk import Line
from inspect_tui.terminal.screens.modals import PickOne, headed
from inspect_tui.terminal.screens.walk.needs_first import NeedsFirst
from inspect_tui.terminal.screens.walk.walk_words import WalkWords
from inspect_tui.terminal.widgets.choice import Option

MOVE = Binding.Group("Move", compact=True)
HERE_DELAY_S = 0.4
REASONS = [
    Option(reason.value, str(number), reason.value, UNSEEN_WORDS[reason])
    for number, reason in enumerate(UnseenReason, 1)
]
OPENS = {"hunt": "the circuit hunt", "protection": "protection", "patches": "old patches"}


class WalkScreen(NeedsFirst):
    CSS_PATH = "walk.tcss"
    TITLE_WORDS = "the walk"
    BINDINGS: ClassVar[list[Any]] = [
        # These four stand in the line above the footer, with what was answered.
        Binding("s", "say_sound", "Sound", show=False),
        Binding("f", "say_finding", "Finding", show=False),
        Binding("u", "say_unseen", "Unseen", show=False),
        Binding("n", "say_not_fitted", "Not fitted", show=False),
        Binding("left", "move(-1)", "Before", key_display="←", group=MOVE),
        Binding("right,enter", "move(1)", "Next", key_display="→", group=MOVE),
        Binding("m", "measure", "Measure"),
        Binding("w", "words", "Words"),
        Binding("z", "undo", "Undo"),
        Binding("space", "more", "More"),
        Binding("pagedown", "place(1)", "Next place", show=False),
        Binding("pageup", "place(-1)", "Place before", show=False),
        Binding("l", "app.go('worklist')", "List", show=False),
        Binding("x", "take_out", "Taken out", show=False),
        *[Binding(str(digit), f"share({digit})", "Share", show=False) for digit in range(10)],
    ]
    HELP_TEXT = """
One question at a time. Each is asked so that yes means sound.

s   sound: looked at, and nothing wrong
f   finding: write it down, chalk its number on the metal
u   unseen: could not be looked at; the reason is asked
n   not fitted: there is no such thing on this boat
m   measure: type readings for this question or its finding
w   words: a remark to the answer
x   something was taken out here: what, where it lies, its bag
←→  the question before, the next one
PgUp PgDn  the compartment before, the next one
z   take back the last change, whatever it was
space  the cautions in full

'How much did you see' takes a digit: 7 means 70 %. s means all.

While she is afloat some questions take only u: they must wait until she is hauled out.
Esc goes back to the boat. You can stop anywhere: Enter on the boat comes back to this question.
"""

    def __init__(self, compartment: str, prompt: str = "") -> None:
        super().__init__()
        self._compartment = compartment
        self._begin_at = prompt
        self._index = 0
        self._more = False
        self._here_timer: Timer | None = None

    def body(self) -> ComposeResult:
        yield Static(id="place", markup=False)
        with VerticalScroll(id="prompt", can_focus=False):
            yield Static(id="ask", markup=False)
            yield Static(id="needs", classes="caution", markup=False)
            yield Static(id="caution", classes="caution", markup=False)
            yield Static(id="facts", markup=False)
            yield Static(id="before", markup=False)
        yield Static(id="answer", markup=False)

    # --- where we are -----------------------------------------------------------------------------

    @property
    def place(self) -> Compartment:
        return self.book.compartments[self._compartment]

    @property
    def prompts(self) -> tuple[Prompt, ...]:
        return walk.prompts_of(self.checklists, self.book, self.place)

    @property
    def prompt(self) -> Prompt:
        prompts = self.prompts
        self._index = min(self._index, len(prompts) - 1)
        return prompts[self._index]

    @property
    def form(self) -> Form:
        """Where the walk stands: what opens it there again."""
        return self._form_of(self.prompt, self.place) if self._compartment in self.book.compartments else Form("walk")

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
            here = self.book.here
            if here is None or (here.compartment, here.prompt) != (self._compartment, self.prompt.key):
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

    def subject_gone(self) -> bool:
        if self._compartment not in self.book.compartments:
            return True
        # It is to begin at a question that is not asked any more.
        begins = not self.is_mounted and bool(self._begin_at)
        return begins and self._begin_at not in [prompt.key for prompt in self.prompts]

    # --- drawing ----------------------------------------------------------------------------------

    def show(self) -> None:
        prompt, place = self.prompt, self.place
        self.query_one("#place", Static).update(self._words.of_place(place, prompt, self._index))
        self.query_one("#ask", Static).update(prompt.ask)
        how = walk.how_to(self.checklists, self.book.boat, place, prompt)
        looks = [("look", prompt.look), ("how", how)] if how else []
        facts = [("why", prompt.why), *looks, ("bad", prompt.bad)]
        if prompt.measure:
            more = f" (m: {OPENS[prompt.opens]})" if prompt.opens else ""
            facts.append(("take", " · ".join(KINDS[kind].label for kind in prompt.measure) + more))
        self.query_one("#facts", Static).update(headed(facts, width=5))
        self._put("#needs", self.needs_words())
        shown = (one for one in prompt.cautions if self.book.boat.afloat or one != Cautions.SINKING)
        cautions = [self.checklists.cautions[one] for one in shown]
        said = "\n".join(
            f"CAUTION  {one.title}: {one.say}" + (f" {one.more} ({one.source})" if self._more else "")
            for one in cautions
        )
        if air := self.bad_air:
            said = f"KEEP OUT  The air here failed: {in_words(air)}, {air.when:%Y-%m-%d}.\n{said}"
        self._put("#caution", said)
        self._put("#before", self._words.before(prompt, place))
        self.query_one("#answer", Static).update(
            self._words.of_answer(prompt, place, self._waiting_words(prompt, place), self.bar)
        )

    def _put(self, id: str, words: str) -> None:
        widget = self.query_one(id, Static)
        widget.update(words)
        widget.display = bool(words)

    @property
    def _words(self) -> WalkWords:
        return WalkWords(self.book, self.checklists)

    # --- answering --------------------------------------------------------------------------------

    def _say(self, said: Said, reason: UnseenReason | None = None) -> None:
        """Answer and go on, once what it needs is seen to; over an open finding only after asking."""
        if said in (Said.SOUND, Said.FINDING) and self.asks_first(
            lambda: self._say(said, reason), finding=said is Said.FINDING
        ):
            return
        failed = self.desk.judged.electricity.failing if said is Said.SOUND else ()
        failing = failing_at(failed, self.book.round.id, self._compartment, self.prompt.key)
        standing = [
            str(one.chalk) for one in self._words.findings(self.prompt, self.place) if one.status not in CLOSED
        ]
        if not standing and failing is None:
            self._say_now(said, reason)
            return

        def answered(yes: str | None) -> None:
            if yes == "y":
                self._say_now(said, reason)

        stays = "the finding stays in the book, open" if standing else "the reading stays in the book"
        options = [Option("n", "n", "no"), Option("y", "y", f"yes: {said.value}; {stays}")]
        question = f"Finding {', '.join(standing)} came from this question and is open."
        if failing is not None and not standing:
            question = f"What was read here fails: {in_words(failing)}. f writes a finding."
        question += f" Answer {said.value} all the same?"
        self.app.push_screen(PickOne(question, options), answered)

    def _say_now(self, said: Said, reason: UnseenReason | None = None) -> None:
        prompt, place = self.prompt, self.place
        waiting, bar = self._waiting_words(prompt, place), self.bar
        is_air = walk.asks_air(self.checklists, place, prompt)
        if is_air and said is Said.SOUND:
            self.air_is_good()

        def edit() -> Edit:
            stamp = self.book_file.stamp()
            if prompt.share and said is Said.SOUND:
                return edits.seen_share(self.book, stamp, place, prompt, 100, note=waiting)
            edit = edits.say(self.book, stamp, place, prompt, said, reason=reason, note=waiting or None, bar=bar)
            puts = (*edit.puts, edits.drop_draft(self._form_of(prompt, place).line("words")))
            if is_air and said is Said.UNSEEN:
                puts += edits.shut_off(self.book, stamp, self.checklists, place).puts
            return Edit(edit.words, puts)

        self._record_and_go_on(edit)
        if prompt.share and said is Said.SOUND:
            self.notify(f"{one_line(place.name)}: all of the metal seen. z takes that back.", markup=False)

    def _waiting_words(self, prompt: Prompt, place: Compartment) -> str:
        """Words typed before the answer was given."""
        draft = self.book.drafts.get(self._form_of(prompt, place).line("words").key)
        return draft.fields.get("words", "") if draft else ""

    def _record_and_go_on(self, edit: Any) -> None:
        compartment, index = self._next_spot()
        key = walk.prompts_of(self.checklists, self.book, self.book.compartments[compartment])[index].key
        here = edits.stand_here(self.book, self.book_file.stamp(), compartment, key)
        left = self.place
        if self.desk.record(edit, here):
            self._compartment, self._index = compartment, index
            self.desk.sitting.enter(compartment, self.desk.clock())
            if compartment != left.id:
                self.notify(f"{one_line(left.name)} is gone through.", markup=False)
            self.query_one("#prompt", VerticalScroll).scroll_home(animate=False)
            self.show()

    def _next_spot(self) -> tuple[str, int]:
        """The next prompt here; behind the last, the first open one here, or else of a later compartment."""
        if self._index + 1 < len(self.prompts):
            return self._compartment, self._index + 1
        order = self.book.bow_to_stern()
        at = [place.id for place in order].index(self._compartment)
        current = self.prompt.key
        for place in order[at:] + order[:at]:
            prompts = walk.prompts_of(self.checklists, self.book, place)
            for index, prompt in enumerate(prompts):
                open_ = walk.answer_of(self.book, place.id, prompt.key) is None
                if open_ and (place.id, prompt.key) != (self._compartment, current):
                    return place.id, index
        return self._compartment, self._index

    def action_say_sound(self) -> None:
        self._say(Said.SOUND)

    def action_say_not_fitted(self) -> None:
        if self.prompt.share:
            self.notify("Type a digit for the share you saw, or s for all of it.")
            return
        self._say(Said.NOT_FITTED)

    def action_say_unseen(self) -> None:
        if self.prompt.share:
            self.action_share(0)
            return
        if bar := self.bar:
            self._say(Said.UNSEEN, bar.reason)
            return
        self._ask_reason("Why could it not be seen?", lambda reason: self._say(Said.UNSEEN, reason))

    def _ask_reason(self, question: str, then: Any) -> None:
        if self.book_file.read_only:
            self.notify(self.book_file.read_only, severity="warning", markup=False)
            return

        def picked(value: str | None) -> None:
            if value is not None:
                then(UnseenReason(value))

        self.app.push_screen(PickOne(question, REASONS), picked)

    def action_share(self, digit: int) -> None:
        prompt, place = self.prompt, self.place
        if not prompt.share:
            return

        def with_reason(reason: UnseenReason) -> None:
            self._record_and_go_on(
                lambda: edits.seen_share(self.book, self.book_file.stamp(), place, prompt, digit * 10, (reason,))
            )

        self._ask_reason(f"{digit * 10} % seen. What hid most of the rest?", with_reason)

    def action_say_finding(self) -> None:
        if self.asks_first(self.action_say_finding, finding=True):
            return
        if not self.may_write():
            return
        if self.prompt.share:
            self.notify("This one takes a digit. Esc, then f on the boat writes a finding without a question.")
        else:
            self.desk.go("finding", compartment=self._compartment, prompt=self.prompt.key)

    def action_measure(self) -> None:
        bar = self.bar
        if bar is not None and bar.need is Need.GAS_FREE:
            self.notify(bar.say, severity="warning", markup=False)
            return
        if self.prompt.opens:
            self.desk.go(self.prompt.opens)
            return
        found = self._words.findings(self.prompt, self.place)
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

        line = Line(f"Words to: {prompt.ask}", answer.note if answer else "")
        self.desk.ask_line(self._form_of(prompt, place).line("words"), line, typed)

    # --- moving -----------------------------------------------------------------------------------

    def action_move(self, by: int) -> None:
        index = self._index + by
        if 0 <= index < len(self.prompts):
            self._go(self._compartment, index)
        else:
            self.action_place(by, at_end=by < 0)

    def action_place(self, by: int, at_end: bool = False) -> None:
        order = self.book.bow_to_stern()
        at = [place.id for place in order].index(self._compartment) + by
        if not 0 <= at < len(order):
            self.notify("This is the stern." if by > 0 else "This is the bow.")
            return
        target = order[at]
        last = len(walk.prompts_of(self.checklists, self.book, target)) - 1
        enclosed = bool((area := walk.area_of(self.checklists, target)) and area.enclosed)
        first = 0 if enclosed else walk.first_open(self.book, self.checklists, target) or 0
        self._go(target.id, last if at_end else first)

    def action_more(self) -> None:
        self._more = not self._more
        self.show()
