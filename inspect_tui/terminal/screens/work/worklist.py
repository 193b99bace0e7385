"""Worklist: what to do, in order, and why each stands where it does."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, ClassVar

from rich.text import Text
from textual.binding import Binding

from inspect_tui.domain import walk
from inspect_tui.domain.plain import one_line, shortened
from inspect_tui.domain.words import TIER_WORDS, Tier, Treatment
from inspect_tui.judgement.work.action import Action, Task
from inspect_tui.judgement.work.completion import asks_for_treatment, complete, not_ticked_off
from inspect_tui.judgement.work.rank_working import rank_working
from inspect_tui.terminal.desk import Line
from inspect_tui.terminal.lists import FIND, ListRow, ListScreen, enter
from inspect_tui.terminal.screens.modals import PickOne
from inspect_tui.terminal.screens.options import treatment_options


class WorklistScreen(ListScreen):
    CSS_PATH = "worklist.tcss"
    TITLE_WORDS = "the worklist"
    BINDINGS: ClassVar[list[Any]] = [
        enter("Go there"),
        Binding("d", "done", "Done"),
        Binding("y", "why", "Why"),
        Binding("z", "undo", "Undo"),
        FIND,
    ]
    HELP_TEXT = """
One line for each open finding, for each place not seen, and for what the boat as a whole needs.

The order: Now, Before afloat, This haul-out, Next haul-out, Watch. Within each: what must come first comes
first; then by risk, below the waterline first, severity, likelihood, the order of the work, bow to stern.

The third column is the step of the work: gut (take out what hides the metal), clean, measure, cause, decide,
hot work, tightness, coat, electrics, anodes, launch, watch; open and walk are places to be looked at.

Enter   goes to the finding, or to the place in the walk
d       this is done: who and when are kept, the finding moves on and its next action appears
y       the working: severity, likelihood, risk, rule and source
z       take back the last change
/       find: lines that hold the words you type
"""

    @property
    def action(self) -> Action | None:
        return self.desk.judged.worklist.by_key.get(self.list_key)

    def list_rows(self) -> list[ListRow]:
        listed = self.desk.judged.worklist
        rows = []
        for tier in Tier:
            if actions := listed.in_tier(tier):
                rows.append(ListRow("", Text(f"{tier.value.upper()}  {TIER_WORDS[tier]}")))
                rows += [ListRow(action.key, _line(action)) for action in actions]
        return rows

    def same_row(self, key: str, keys: Sequence[str]) -> str | None:
        """A finding that moved on has a new key: the same one stays chosen."""
        if key in keys:
            return key
        by_key, before = self.desk.judged.worklist.by_key, self._chosen
        if before is None or before.chalk is None:
            return None
        return next((one for one in keys if by_key[one].chalk == before.chalk), None)

    _chosen: Action | None = None

    def detail(self) -> Text:
        action = self._chosen = self.action
        if action is None:
            return Text("Nothing is written down yet. Esc, then Enter: the walk.")
        after = self.desk.judged.worklist.after_words(action, most=4)
        text = Text.assemble((f"{action.rank}. {one_line(action.what)}\n", "bold"))
        text.append(f"{one_line(action.where)}\n")
        text.append(f"{one_line(action.why)}\n")
        text.append(f"who: {action.who.value}")
        if after:
            text.append(f"   after: {one_line(after)}")
        return text

    def open_row(self, key: str) -> None:
        action = self.desk.judged.worklist.by_key.get(key)
        if action is None:
            return
        if action.chalk is not None:
            self.desk.go("finding", chalk=action.chalk)
        elif action.cures:
            self.desk.go("causes")
        elif action.compartment is not None:
            self.desk.go("walk", compartment=action.compartment.id, prompt=self._first_prompt(action))
        elif action.task is Task.WALK:
            self.desk.go("walk", compartment=action.places[0])
        else:
            self.action_why()

    def _first_prompt(self, action: Action) -> str:
        """The question a place action is about: the first unseen one, or the first not answered."""
        place = action.compartment
        assert place is not None
        prompts = walk.prompts_of(self.checklists, self.book.boat, place)
        if action.task is Task.WALK:
            return prompts[walk.first_open(self.book, self.checklists, place) or 0].key
        unseen = {prompt.key for prompt, _ in walk.progress(self.book, self.checklists, place).unseen}
        return next((prompt.key for prompt in prompts if prompt.key in unseen), prompts[0].key)

    def action_why(self) -> None:
        if action := self.action:
            self.desk.show_text(f"Why no. {action.rank}", rank_working(action, self.desk.judged.worklist))

    def action_done(self) -> None:
        action = self.action
        if action is None or not self.may_write():
            return
        if refusal := not_ticked_off(self.book, action):
            self.notify(refusal, markup=False)
        elif asks_for_treatment(action):
            self.app.push_screen(
                PickOne("What was decided?", treatment_options(), None),
                lambda value: self.ask_done(action.key, value) if value else None,
            )
        else:
            self.ask_done(action.key)

    def ask_done(self, action: str, treatment: str = "") -> None:
        """A word about an action that is done."""
        listed = self.desk.judged.worklist
        found = listed.by_key.get(action)
        if found is None:
            self.notify("That action is not in the list any more: it was done, or what it was about is gone.")
            return

        def typed(note: str) -> bool:
            chosen = Treatment(treatment) if treatment else None
            stamp = self.book_file.stamp()
            return self.desk.record(lambda: complete(self.book, stamp, found, note.strip(), chosen))

        after = listed.after_words(found, most=3)
        still = f" Still open before it: {after}." if after else ""
        cause = found.task is Task.FIND_CAUSE
        line = Line(
            f"Done: {shortened(one_line(found.headline), 70)}. {still} A word about it (may stay empty)",
            needed="Write what the cause was: the repair hangs on it." if cause else "",
        )
        about = {"action": action, **({"treatment": treatment} if treatment else {})}
        self.desk.ask_line(self.form.line("done", **about), line, typed)


def _line(action: Action) -> Text:
    """Rank, chalk number, step of the work, place, finding: one line."""
    chalk = f"{action.chalk:>3}" if action.chalk is not None else "  ·"
    step = action.task.value if action.task in (Task.OPEN, Task.WALK) else action.step.value
    text = Text(f"{action.rank:>3}  {action.tier.letter}  {chalk}  {step:<11}", no_wrap=True, overflow="ellipsis")
    if action.compartment is not None:
        text.append(f"{shortened(one_line(action.compartment.name), 24)}: ", "bold")
    return text.append(one_line(action.headline))
