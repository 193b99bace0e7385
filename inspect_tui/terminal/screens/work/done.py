"""Done: what was done, with what, by whom. It is the record of the repair."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from textual.app import ComposeResult
from textual.widgets import Static

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, Edit
from inspect_tui.domain.plain import counted, one_line
from inspect_tui.domain.words import Treatment
from inspect_tui.errors import NotUnderstood
from inspect_tui.judgement.work.action import Action, Task
from inspect_tui.judgement.work.completion import asks_for_treatment, complete
from inspect_tui.judgement.work.plan import hours_of, hours_words
from inspect_tui.terminal.form_fields import Choose, FormField, Number, Words
from inspect_tui.terminal.forms import FormScreen
from inspect_tui.terminal.screens.options import treatment_options


@dataclass(frozen=True)
class _Said:
    """What the form says."""

    note: str = ""
    signed: str = ""
    used: str = ""
    did: str = ""
    hours: float | None = None
    cost: str = ""
    treatment: Treatment | None = None


class DoneScreen(FormScreen):
    TITLE_WORDS = "done"
    HELP_TEXT = """
What was done, for whoever reads it in a year: with what product or filler, by whom, in how many hours, on which
invoice. Hours correct the plan for what is left. All can be left empty, except your name where the job keeps the
water out. {save} saves it; {undo} takes it back.
"""

    def __init__(self, action: str, together: str = "") -> None:
        super().__init__()
        self._key = action
        self._together = bool(together)

    @property
    def action(self) -> Action | None:
        return self.desk.judged.worklist.by_key.get(self._key)

    @property
    def actions(self) -> tuple[Action, ...]:
        """All that is said to be done: one action, or the whole job that it is of."""
        listed = self.desk.judged.worklist
        job = next((job for job in listed.jobs if any(one.key == self._key for one in job.actions)), None)
        if self._together and job is not None:
            return job.actions
        return (self.action,) if self.action else ()

    @property
    def _planned(self) -> float:
        """What the ranges have for it [h]."""
        return sum(hours_of(one) for one in self.actions)

    def subject_gone(self) -> bool:
        return self.action is None

    def above(self) -> ComposeResult:
        yield Static(self._above_words(), id="about", markup=False)

    def _above_words(self) -> str:
        action = self.action
        if action is None:
            return ""
        listed = self.desk.judged.worklist
        after = listed.after_words(action, most=3)
        what = one_line(action.what) if len(self.actions) == 1 else counted(len(self.actions), "place")
        return f"Done: {what}\n{one_line(action.where)}" + (
            f"\nStill open before it: {one_line(after)}" if after else ""
        )

    def record(self) -> _Said:
        return _Said()

    def is_kept(self) -> bool:
        return False

    def form_fields(self) -> list[FormField]:
        action = self.action
        if action is None:
            return []
        cause = action.task is Task.FIND_CAUSE
        fields: list[FormField] = []
        if asks_for_treatment(action):
            fields.append(_Decided("treatment", "Decided", options=treatment_options(), into=Treatment, long=True))
        if action.sealing:
            fields.append(
                Words("signed", "Signed", "your name", needed="Sign it with your name: this job keeps the water out.")
            )
        needed = "Write what the cause was: the repair depends on it." if cause else ""
        fields += [
            Words("note", "Words", "what was done, what was seen", needed=needed),
            Words("used", "With what", "product, filler, part"),
            Words("did", "By whom", "if not by you"),
            Number("hours", "Hours", f"the plan has {hours_words(self._planned)}"),
            Words("cost", "Invoice", "its number, what it came to"),
        ]
        return fields

    def edit(self, record: _Said) -> Edit:
        stamp, actions = self.book_file.stamp(), self.actions
        # Of a job at several places each has its share of the time.
        share = None if record.hours is None else record.hours / len(actions)
        planned = self._planned / len(actions)
        repair = edits.Repair(record.note, record.signed, record.used, record.did, record.cost, share, planned)

        def step(action: Action) -> Callable[[Book], Edit]:
            return lambda book: complete(book, stamp, action, repair, record.treatment)

        if len(actions) == 1:
            return step(actions[0])(self.book)
        words = f"Done at {counted(len(actions), 'place')}: {actions[0].what}"
        return edits.together(self.book, words, [step(action) for action in actions])


@dataclass(frozen=True, kw_only=True)
class _Decided(Choose):
    """What was decided; it cannot stay open."""

    def read(self, text: str) -> Treatment:
        if text not in list(Treatment):
            raise NotUnderstood("Choose from the list what was decided.")
        return Treatment(text)
