"""What a question needs before it may be answered by doing it, and how the walk asks for it."""

from __future__ import annotations

from collections.abc import Callable

from inspect_tui.domain import edits, walk
from inspect_tui.domain.knowledge.areas import Prompt
from inspect_tui.domain.plain import counted
from inspect_tui.domain.reading_records import Reading
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.words import Need, Said
from inspect_tui.judgement.electricity.meters import bad_air_in
from inspect_tui.terminal.screens.base import BookScreen
from inspect_tui.terminal.screens.modals import PickOne
from inspect_tui.terminal.widgets.choice import Option

NEED_WORDS = {
    Need.HAULED_OUT: "she must be hauled out",
    Need.TANK_EMPTY: "the tank must be empty and clean",
    Need.GAS_FREE: "the air must be tested first, and again whenever you come back",
    Need.POWER_ISOLATED: "shore lead out, inverter, solar panels and wind turbine off, batteries off",
}
# Needs that are seen to by saying so, with what is asked; the air is seen to by its own question.
SEEN_TO = {
    Need.TANK_EMPTY: "Is the tank empty and clean?",
    Need.POWER_ISOLATED: "Is the shore lead out, and are inverter, solar panels, wind turbine and batteries off?",
}
SECOND_PUMP = " She is afloat: test a second pump first; her own pump stops with the power."


class NeedsFirst(BookScreen):
    """A screen at one question of one compartment; what was seen to holds until the compartment is left."""

    @property
    def place(self) -> Compartment:
        raise NotImplementedError

    @property
    def prompt(self) -> Prompt:
        raise NotImplementedError

    @property
    def bad_air(self) -> Reading | None:
        """The newest air that was measured here, if it fails."""
        return bad_air_in(self.desk.judged.electricity.failing, self.place.id)

    @property
    def bar(self) -> walk.Bar | None:
        """What keeps this question from being answered by doing it now."""
        return walk.bar_of(self.checklists, self.book.boat, self.place, self.prompt, self.met)

    @property
    def met(self) -> set[Need]:
        """What was seen to here since the place was entered; one that is not closed after all needs no test of its
        air."""
        self.desk.sitting.enter(self.place.id, self.desk.clock())
        met = set(self.desk.sitting.met)
        airs = (one for one in walk.prompts_of(self.checklists, self.book, self.place) if one.first)
        for prompt in airs:
            answer = walk.answer_of(self.book, self.place.id, prompt.key)
            if answer is None or not walk.asks_air(self.checklists, self.place, prompt):
                continue
            # Whether it was called good before the numbers were typed, or after them, is all one.
            if answer.said is Said.NOT_FITTED or (answer.said is Said.SOUND and self._oxygen_read):
                met.add(Need.GAS_FREE)
        return met - ({Need.GAS_FREE} if self.bad_air else set())

    def needs_words(self) -> str:
        """What it needs, or why it must wait; how old the test of the air is, where there was one."""
        if bar := self.bar:
            return f"{'AFLOAT' if bar.finding else 'WAIT'}  {bar.say}"
        needs = [
            one
            for one in walk.needs_of(self.checklists, self.place, self.prompt)
            if one is not Need.HAULED_OUT or self.book.boat.float_state is None
        ]
        told = "; ".join(NEED_WORDS[need] for need in needs)
        tested = self.desk.sitting.met.get(Need.GAS_FREE)
        if tested and Need.GAS_FREE in needs:
            minutes = int((self.desk.clock() - tested).total_seconds() // 60)
            told += f" (declared good {minutes} min ago)"
        return f"FIRST  {told}" if told else ""

    def asks_first(self, then: Callable[[], None], *, finding: bool = False) -> bool:
        """Ask for what this question needs, and go on when it is seen to; True where that, or a refusal, was said."""
        bar = self.bar
        if bar is None or self.book_file.read_only or (bar.finding and finding):
            return False
        question = SEEN_TO.get(bar.need)
        if bar.need is Need.GAS_FREE and self.bad_air is None:
            self.ask_air()
            return True
        if question is None:
            more = (
                f" For what you can see of it: {self.key('back')}, then {self.key('finding')} on the boat screen."
                if bar.need is Need.HAULED_OUT and not bar.finding
                else ""
            )
            self.notify(bar.say + more, severity="warning", markup=False)
            return True
        if bar.need is Need.POWER_ISOLATED and self.book.boat.afloat:
            question += SECOND_PUMP

        def answered(yes: str | None) -> None:
            if yes == "y":
                self.desk.sitting.met[bar.need] = self.desk.clock()
                then()

        self.app.push_screen(PickOne(question, [Option("n", "n", "no"), Option("y", "y", "yes")]), answered)
        return True

    @property
    def _oxygen_read(self) -> bool:
        """Whether oxygen was read here since the place was entered."""
        began = self.desk.sitting.since
        read = (one for one in self.book.readings.values() if one.kind == "oxygen")
        return began is not None and any(one.compartment == self.place.id and one.when > began for one in read)

    def air_is_good(self) -> None:
        """The air was called good: it opens the place where oxygen was read since it was entered, and else does
        not."""
        if self._oxygen_read:
            self.desk.sitting.met[Need.GAS_FREE] = self.desk.clock()
        else:
            self.notify(
                f"You have not read the oxygen since you came: {self.key('measure')} types it, then vapour and gas. "
                "Stay out until then."
            )

    def ask_air(self) -> None:
        """Whether to go to the question of the air, which comes first."""

        def answered(yes: str | None) -> None:
            if yes == "y":
                self.go_to_air()

        question = "The air in here has not been tested, or was tested before you went away. Go to its question?"
        self.app.push_screen(PickOne(question, [Option("y", "y", "yes"), Option("n", "n", "no")]), answered)

    def go_to_air(self) -> None:
        """Stand at the question of the air of this place."""
        raise NotImplementedError

    def on_screen_resume(self) -> None:
        super().on_screen_resume()
        if not self.subject_gone():
            self._shut_off()

    def _shut_off(self) -> None:
        """Bad air: what lies inside and is not answered counts as unseen, at once."""
        if self.bad_air is None or self.book_file.read_only:
            return
        self.desk.sitting.met.pop(Need.GAS_FREE, None)
        edit = edits.shut_off(self.book, self.book_file.stamp(), self.checklists, self.place)
        if edit.puts:
            self.desk.record(edit)
            self.notify(f"Bad air: {counted(len(edit.puts), 'question')} in here now unseen.", markup=False)
