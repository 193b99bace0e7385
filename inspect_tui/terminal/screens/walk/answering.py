"""What is said to a question of the walk: one answer, the one look for many, the rest of a place for one reason."""

from __future__ import annotations

from collections.abc import Callable

from inspect_tui.domain import edits, walk
from inspect_tui.domain.book import Edit
from inspect_tui.domain.knowledge.areas import By, Prompt
from inspect_tui.domain.measuring.readings import in_words
from inspect_tui.domain.plain import counted, one_line
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.trail import Form
from inspect_tui.domain.words import CLOSED, UNSEEN_WORDS, Said, UnseenReason
from inspect_tui.judgement.electricity.meters import failing_at
from inspect_tui.terminal.screens.modals import PickOne, TypeLine
from inspect_tui.terminal.screens.walk.needs_first import NeedsFirst
from inspect_tui.terminal.screens.walk.walk_words import WalkWords
from inspect_tui.terminal.widgets.choice import Option

REASONS = [Option(one.value, one.key, one.value, UNSEEN_WORDS[one]) for one in UnseenReason]
# In place of a reason: only what waits for it.
WAITING = "waiting"


class Answering(NeedsFirst):
    """A screen at one question, that takes its answer and goes on."""

    @property
    def words(self) -> WalkWords:
        return WalkWords(self.book, self.checklists)

    def form_of(self, prompt: Prompt, place: Compartment) -> Form:
        return Form("walk", {"compartment": place.id, "prompt": prompt.key})

    def record_and_go_on(self, edit: Callable[[], Edit]) -> bool:
        """Make the change, and stand at the next question; False if it was refused."""
        raise NotImplementedError

    def say(self, said: Said, reason: UnseenReason | None = None, note: str = "") -> None:
        """Answer and go on, once what it needs is seen to; over an open finding only after asking."""
        if said in (Said.SOUND, Said.FINDING) and self.asks_first(
            lambda: self.say(said, reason), finding=said is Said.FINDING
        ):
            return
        failed = self.desk.judged.electricity.failing if said is Said.SOUND else ()
        failing = failing_at(failed, self.book.round.id, self.place.id, self.prompt.key)
        standing = [
            str(one.chalk) for one in self.words.findings(self.prompt, self.place) if one.status not in CLOSED
        ]
        if not standing and failing is None:
            self._say_now(said, reason, note)
            return

        def answered(yes: str | None) -> None:
            if yes == "y":
                self._say_now(said, reason, note)

        stays = "the finding stays in the book, open" if standing else "the reading stays in the book"
        options = [Option("n", "n", "no"), Option("y", "y", f"yes: {said.value}; {stays}")]
        one = len(standing) == 1
        question = (
            f"{'Finding' if one else 'Findings'} {', '.join(standing)} came from this question and "
            f"{'is' if one else 'are'} open."
        )
        if failing is not None and not standing:
            question = f"What was read here fails: {in_words(failing)}. {self.key('finding')} writes a finding."
        question += f" Answer {said.value} all the same?"
        self.app.push_screen(PickOne(question, options), answered)

    def _say_now(self, said: Said, reason: UnseenReason | None, note: str) -> None:
        prompt, place = self.prompt, self.place
        waiting, bar = note or self.waiting_words(prompt, place), self.bar
        is_air = walk.asks_air(self.checklists, place, prompt)
        if is_air and said is Said.SOUND:
            self.air_is_good()
        met = self.met

        def edit() -> Edit:
            stamp = self.book_file.stamp()
            if prompt.share and said is Said.SOUND:
                return edits.seen_share(self.book, stamp, place, prompt, 100, note=waiting)
            if prompt.glance and said is Said.SOUND:
                return edits.say_by_look(self.book, stamp, self.checklists, place, prompt, met)
            edit = edits.say(self.book, stamp, place, prompt, said, reason=reason, note=waiting or None, bar=bar)
            puts = (*edit.puts, edits.drop_draft(self.form_of(prompt, place).line("words")))
            if is_air and said is Said.UNSEEN:
                puts += edits.shut_off(self.book, stamp, self.checklists, place).puts
            if is_air and said in (Said.SOUND, Said.NOT_FITTED):
                puts += edits.open_again(self.book, place)
            return Edit(edit.words, puts)

        before = sum(bool(one.by_look) for one in self.book.answers.values())
        answered = len(self.book.answers)
        if not self.record_and_go_on(edit):
            return
        name = one_line(place.name)
        if is_air and said is Said.UNSEEN and (inside := len(self.book.answers) - answered - 1) > 0:
            undo, those = self.key("undo"), counted(inside, "question")
            self.notify(f"{name}: {those} inside unseen too, until its air is good. {undo} takes that back.")
        if prompt.share and said is Said.SOUND:
            self.notify(f"{name}: all of the metal seen. {self.key('undo')} takes that back.", markup=False)
        if prompt.glance and said is Said.SOUND:
            others = sum(bool(one.by_look) for one in self.book.answers.values()) - before
            wait = " The rest waits until she is hauled out." if self.book.boat.afloat else ""
            self.notify(f"{name}: your one look answered {counted(others, 'more question')}.{wait}", markup=False)

    def waiting_words(self, prompt: Prompt, place: Compartment) -> str:
        """Words typed before the answer was given."""
        draft = self.book.drafts.get(self.form_of(prompt, place).line("words").key)
        return draft.fields.get("words", "") if draft else ""

    def action_say_sound(self) -> None:
        if self.prompt.by is By.GAUGE and walk.is_open(self.book, self.place, self.prompt):
            self.notify(
                f"This one is answered by readings: {self.key('measure')} types them. {self.key('unseen')} says why "
                f"not, {self.key('not_fitted')} that there is none."
            )
            return
        self.say(Said.SOUND)

    def action_say_not_fitted(self) -> None:
        if self.prompt.share or self.prompt.glance:
            yes, no = self.key("sound"), self.key("finding")
            digit = f"Type a digit for the share you saw, or {yes} for all of it."
            all_ = f"{yes}: yes, all of it is sound. {no}: no, and every question is asked."
            self.notify(digit if self.prompt.share else all_)
            return
        self.say(Said.NOT_FITTED)

    def action_say_unseen(self) -> None:
        if self.prompt.share:
            self.action_share(0)
            return
        if bar := self.bar:
            self.say(Said.UNSEEN, bar.reason)
            return
        self._ask_reason("Why could it not be seen?", lambda why, note: self.say(Said.UNSEEN, why, note))

    def _ask_reason(
        self, question: str, then: Callable[[UnseenReason, str], object], waiting: Option | None = None
    ) -> None:
        """Why; `waiting`: a row before the reasons, for what waits for one of them anyway."""
        if not self.may_write():
            return

        def other(note: str) -> None:
            if note.strip():
                then(UnseenReason.OTHER, note.strip())

        def picked(value: str | None) -> None:
            if value is None:
                return
            if value == WAITING:
                then(UnseenReason.NOT_HAULED, WAITING)
            elif value != UnseenReason.OTHER:
                then(UnseenReason(value), "")
            else:
                ask = TypeLine("For what reason? In a few words.", needed="The next reader will ask: a few words.")
                self.app.push_screen(ask, lambda note: other(note or ""))

        ashore = not self.book.boat.afloat
        reasons = [one for one in REASONS if not (ashore and one.value == UnseenReason.NOT_HAULED)]
        self.app.push_screen(PickOne(question, [*([waiting] if waiting else []), *reasons]), picked)

    def action_rest_unseen(self) -> None:
        """Everything that is still open here is unseen, for one reason."""
        place = self.place
        prompts = [
            prompt
            for prompt in walk.prompts_of(self.checklists, self.book, place)
            if walk.is_open(self.book, place, prompt)
        ]
        if not prompts:
            self.notify("Nothing is open here any more.")
            return
        bars = [walk.bar_of(self.checklists, self.book.boat, place, prompt) for prompt in prompts]
        waits = sum(bar is not None and bar.reason is UnseenReason.NOT_HAULED for bar in bars)

        def unseen(why: UnseenReason, note: str) -> None:
            only = why if note == WAITING else None
            told = "" if only else note
            self.record_and_go_on(
                lambda: edits.rest_unseen(self.book, self.book_file.stamp(), self.checklists, place, why, told, only)
            )

        row = Option(WAITING, "w", f"only what waits until she is hauled out ({waits})") if waits else None
        self._ask_reason(f"{counted(len(prompts), 'question')} open here: unseen, all of them. Why?", unseen, row)

    def action_share(self, digit: int) -> None:
        prompt, place, bar = self.prompt, self.place, self.bar
        if not prompt.share:
            return
        if bar is not None and digit == 0:
            self.record_and_go_on(
                lambda: edits.seen_share(self.book, self.book_file.stamp(), place, prompt, 0, (bar.reason,))
            )
            return
        if self.asks_first(lambda: self.action_share(digit)):
            return

        def with_reason(reason: UnseenReason, note: str) -> None:
            self.record_and_go_on(
                lambda: edits.seen_share(
                    self.book, self.book_file.stamp(), place, prompt, digit * 10, (reason,), note
                )
            )

        less = f" Below {walk.LOOK_SHARE} % one look answers nothing: each question is asked."
        each = less if digit * 10 < walk.LOOK_SHARE else ""
        self._ask_reason(f"{digit * 10} % seen.{each} What hid most of the rest?", with_reason)

    def action_say_finding(self) -> None:
        if self.asks_first(self.action_say_finding, finding=True) or not self.may_write():
            return
        if self.prompt.share:
            # How much was seen is no question that something can be wrong with: it belongs to the place.
            self.desk.go("finding", compartment=self.place.id)
        elif self.prompt.glance:
            self.say(Said.FINDING)
        else:
            self.desk.go("finding", compartment=self.place.id, prompt=self.prompt.key)

    def action_last_finding(self) -> None:
        """The finding that was written last, of this question if there is one."""
        found = self.words.findings(self.prompt, self.place) or list(self.book.findings.values())
        newest = max(found, key=lambda one: one.found.when, default=None)
        if newest is None:
            self.notify(f"No finding is written yet: {self.key('finding')} writes one.")
        else:
            self.desk.go("finding", chalk=newest.chalk)
