"""Forms: rows of fields, complaints beside them, and a draft on the disk while they are being typed in."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import VerticalScroll
from textual.timer import Timer
from textual.widget import Widget
from textual.widgets import Input

from inspect_tui.domain.errors import NotUnderstood
from inspect_tui.domain.numbers import typed_number
from inspect_tui.terminal.screens.base import BookScreen
from inspect_tui.terminal.screens.modals import DRAFT_DELAY_S, PickOne
from inspect_tui.terminal.widgets.choice import Choice
from inspect_tui.terminal.widgets.field import Field, Row


class FormBox(VerticalScroll, inherit_bindings=False):
    """The rows of a form. It follows the focus: arrows go from field to field and do not scroll it away."""


class FormScreen(BookScreen):
    """A form. Enter goes to the next field, and keeps the form from the last; F2 or Ctrl+S keeps it at once."""

    BINDINGS = [
        # A question mark is a letter in a form.
        Binding("f1", "help", "Help", key_display="F1"),
        Binding("f2,ctrl+s", "keep", "Keep", key_display="F2", priority=True),
        Binding("up", "app.focus_previous", "Up", show=False),
        Binding("down", "app.focus_next", "Down", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._draft_timer: Timer | None = None
        self._untouched: dict[str, str] = {}

    # What a form says of itself.

    def draft_name(self) -> str:
        """The name its draft is kept under; no draft if empty."""
        return ""

    def draft_chalk(self) -> int | None:
        return None

    def rows(self) -> list[Row]:
        raise NotImplementedError

    def above(self) -> ComposeResult:
        yield from ()

    def below(self) -> ComposeResult:
        yield from ()

    def keep(self) -> bool:
        """Write the form into the book; False if something in it must be put right first."""
        raise NotImplementedError

    # How it works.

    def body(self) -> ComposeResult:
        yield from self.above()
        with FormBox(id="form", can_focus=False):
            yield from self.rows()
        yield from self.below()

    def on_mount(self) -> None:
        self._untouched = self._typed()
        draft = self.book.drafts.get(self.draft_name()) if self.draft_name() else None
        if draft:
            for widget in self._inputs():
                if widget.id in draft.fields:
                    widget.value = draft.fields[widget.id]
            self.notify("What you had typed here is back.", markup=False)
        inputs = self._inputs()
        if inputs:
            first = next((one for one in inputs if one.id == self.first_field()), inputs[0])
            first.focus()

    def first_field(self) -> str:
        return ""

    def _inputs(self) -> list[Field | Choice]:
        return [widget for widget in self.query("#form Field, #form Choice") if isinstance(widget, Field | Choice)]

    def _typed(self) -> dict[str, str]:
        return {widget.id or "": widget.value for widget in self._inputs()}

    def text_of(self, id: str) -> str:
        widget: Widget = self.query_one(f"#{id}")
        assert isinstance(widget, Field | Choice)
        return widget.value

    def row_of(self, id: str) -> Row:
        return next(row for row in self.query(Row) if row.widget.id == id)

    def number(self, id: str, name: str, unit: str, low: float, high: float) -> float | None:
        """A field's number; a complaint stands beside the field if it cannot be read, and the form is not kept."""
        try:
            number = typed_number(self.text_of(id), name, unit, low, high)
        except NotUnderstood as error:
            self.complain(id, str(error))
            raise
        self.row_of(id).complain("")
        return number

    def complain(self, id: str, sentence: str) -> None:
        self.row_of(id).complain(sentence)
        self.query_one(f"#{id}").focus()

    @on(Input.Changed)
    @on(Choice.Changed)
    def _changed(self) -> None:
        if self.draft_name() and not self.book_file.read_only:
            if self._draft_timer:
                self._draft_timer.stop()
            self._draft_timer = self.set_timer(DRAFT_DELAY_S, self.keep_drafts)
        self.changed()

    def changed(self) -> None:
        """Something was typed or chosen."""

    def keep_drafts(self) -> None:
        if self._draft_timer:
            self._draft_timer.stop()
            self._draft_timer = None
            if self._typed() == self._untouched:
                self.desk.drop_draft(self.draft_name())
            else:
                self.desk.keep_draft(self.draft_name(), self._typed(), self.draft_chalk())

    def forget_draft(self) -> None:
        if self._draft_timer:
            self._draft_timer.stop()
            self._draft_timer = None
        if self.draft_name():
            self.desk.drop_draft(self.draft_name())

    @on(Input.Submitted)
    def _submitted(self, event: Input.Submitted) -> None:
        event.stop()
        self._go_on(event.input)

    @on(Choice.GoOn)
    def _chosen(self, event: Choice.GoOn) -> None:
        self._go_on(event.choice)

    def _go_on(self, widget: Widget) -> None:
        inputs = self._inputs()
        if inputs and widget is inputs[-1]:
            self.action_keep()
        else:
            self.focus_next("#form Field, #form Choice")

    @on(Choice.ListWanted)
    def _list(self, event: Choice.ListWanted) -> None:
        choice = event.choice

        def picked(value: str | None) -> None:
            if value is not None:
                choice.pick(value)
                self._go_on(choice)

        self.app.push_screen(PickOne("Choose", choice.options, choice.value), picked)

    def action_keep(self) -> None:
        if self.book_file.read_only:
            self.notify(self.book_file.read_only, severity="warning", markup=False)
            return
        try:
            kept = self.keep()
        except NotUnderstood:
            return
        if kept:
            self.forget_draft()
            self.leave()

    def leave(self) -> None:
        if self.is_current:
            self.app.pop_screen()
