"""Forms: a list of fields and an edit. Rows, checks, keeping, drafts and opening again follow from them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Container, VerticalScroll
from textual.timer import Timer
from textual.widget import Widget
from textual.widgets import Input

from inspect_tui.domain.book import Edit
from inspect_tui.errors import DomainError, NotUnderstood
from inspect_tui.terminal.form_fields import FormField, value_at, widget_id, with_values
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.screens.base import BookScreen
from inspect_tui.terminal.screens.modals import DRAFT_DELAY_S, PickOne
from inspect_tui.terminal.widgets.choice import Choice
from inspect_tui.terminal.widgets.field import Field, Row


class WrongField(NotUnderstood):
    """What a form says does not fit together; the sentence belongs beside one field."""

    def __init__(self, name: str, sentence: str) -> None:
        super().__init__(sentence)
        self.name = name


class FormBox(VerticalScroll, inherit_bindings=False):
    """The rows of a form. It follows the focus: arrows go from field to field and do not scroll it away."""


def in_form(
    verb: str, action: str = "", label: str = "", *, does: str = "", show: bool = True, priority: bool = False
) -> Binding:
    """The binding of a verb where letters are text."""
    return use(verb, action, label, does=does, typing=True, show=show, priority=priority)


class FormScreen(BookScreen, inherit_bindings=False):
    """A form. Enter goes to the next field, and saves the form from the last; another key saves it at once."""

    TYPING = True
    BINDINGS = [
        use("back"),
        in_form("help"),
        in_form("more"),
        in_form("save", "keep", priority=True),
        in_form("undo", show=False),
        in_form("tour", show=False),
        use("complete", "app.focus_next", "Next field", show=False),
        use("field_before", "app.focus_previous", show=False),
        use("page_next", "page(1)", show=False),
        use("page_before", "page(-1)", show=False),
        use("up", "app.focus_previous", show=False),
        use("down", "app.focus_next", show=False),
    ]
    # The field to begin in; the first if none is named.
    FIRST = ""
    KEEPS_DRAFTS = True

    def __init__(self) -> None:
        super().__init__()
        self._draft_timer: Timer | None = None
        self._untouched: dict[str, str] = {}
        self.fields: Mapping[str, FormField] = {}

    # What a form says of itself.

    def form_fields(self) -> Sequence[FormField]:
        """Its fields, from top to bottom."""
        raise NotImplementedError

    def record(self) -> Any:
        """What the fields are filled from, and what is kept with their values in it."""
        return None

    def first_values(self) -> Mapping[str, object]:
        """What fields hold at first that no record says."""
        return {}

    def with_fields(self, record: Any, values: dict[str, Any]) -> Any:
        """The record with the values of the fields in it."""
        return with_values(record, values)

    def fitting(self, record: Any) -> Any:
        """The record as the form says it, if its values fit each other.

        Raises
        ------
        WrongField : they do not.
        """
        return record

    def edit(self, record: Any) -> Edit:
        """The change that keeps the record."""
        raise NotImplementedError

    def draft_chalk(self) -> int | None:
        """The number that the form was shown with, if it has one to be given."""
        return None

    def above(self) -> ComposeResult:
        yield from ()

    def below(self) -> ComposeResult:
        yield from ()

    def changed(self) -> None:
        """Something was typed or chosen."""

    # How it works.

    def body(self) -> ComposeResult:
        record, first = self.record(), self.first_values()
        listed = self.form_fields()
        self.fields = {field.name: field for field in listed}
        yield from self.above()
        with Container(id="two"):
            with FormBox(id="form", can_focus=False):
                for field in listed:
                    yield field.row(first[field.name] if field.name in first else value_at(record, field.name))
            with VerticalScroll(id="beside", can_focus=False):
                yield from self.below()

    def on_mount(self) -> None:
        alone = not self.query_one("#beside").children
        self.query_one("#beside").display = not alone
        self.set_class(alone, "alone")
        self._untouched = self._typed()
        draft = self.book.drafts.get(self.form.key)
        if draft:
            for widget in self._inputs():
                if widget.id in draft.fields:
                    widget.value = draft.fields[widget.id]
                    if isinstance(widget, Field):
                        widget.cursor_position = len(widget.value)
            self.notify("What you had typed here is back.", markup=False)
        inputs = self._inputs()
        if inputs:
            first = next((one for one in inputs if one.id == self.FIRST), inputs[0])
            first.focus()

    def on_resize(self) -> None:
        """What is being typed into stays in sight."""
        if self.focused is not None:
            self.call_after_refresh(self.focused.scroll_visible, animate=False)

    def _inputs(self) -> list[Field | Choice]:
        return [widget for widget in self.query("#form Field, #form Choice") if isinstance(widget, Field | Choice)]

    def _typed(self) -> dict[str, str]:
        return {widget.id or "": widget.value for widget in self._inputs()}

    def text_of(self, name: str) -> str:
        """What a field's widget holds, as it was typed."""
        widget: Widget = self.query_one(f"#{widget_id(name)}")
        assert isinstance(widget, Field | Choice)
        return widget.value

    def value(self, name: str) -> Any:
        """What a field says.

        Raises
        ------
        NotUnderstood : it cannot be read.
        """
        return self.fields[name].read(self.text_of(name))

    def number(self, name: str) -> float | None:
        """The number in a field, None if it is empty.

        Raises
        ------
        NotUnderstood : it cannot be read.
        """
        number: float | None = self.value(name)
        return number

    def row_of(self, name: str) -> Row:
        return next(row for row in self.query(Row) if row.widget.id == widget_id(name))

    def checked(self, name: str) -> Any:
        """What a field says; a complaint stands beside it if it cannot be read.

        Raises
        ------
        NotUnderstood : it cannot be read; the form is not kept.
        """
        try:
            value = self.value(name)
        except NotUnderstood as error:
            self.complain(name, str(error))
            raise
        self.row_of(name).complain("")
        return value

    def complain(self, name: str, sentence: str) -> None:
        self.row_of(name).complain(sentence)
        self.query_one(f"#{widget_id(name)}").focus()

    def keep(self) -> bool:
        """Write the form into the book; False if something in it must be put right first."""
        before, first = self.record(), self.first_values()
        values = {name: self.checked(name) for name in self.fields}
        if before is not None:
            # What nobody touched stays as it was to the last digit, however it was shown.
            same = [name for name in values if self.text_of(name) == self._untouched[widget_id(name)]]
            values |= {name: value_at(before, name) for name in same if name not in first}
        try:
            changed = self.fitting(self.with_fields(before, values))
        except WrongField as error:
            self.complain(error.name, str(error))
            return False
        if changed == before and self.is_kept():
            return True
        return self.desk.record(lambda: self.edit(changed))

    def is_kept(self) -> bool:
        """Whether the record is in the book already, so that an unchanged form changes nothing."""
        return True

    @on(Input.Changed)
    @on(Choice.Changed)
    def _changed(self, event: Input.Changed | Choice.Changed) -> None:
        for row in self.query(Row):
            if row.widget is event.control and row.complained_of not in (None, event.value):
                row.complain("")
        if self.KEEPS_DRAFTS and not self.book_file.read_only:
            # Begun with the first key that is not kept, and not again with each: whoever types on is kept too.
            self._draft_timer = self._draft_timer or self.set_timer(DRAFT_DELAY_S, self.keep_drafts)
        self.changed()

    def keep_drafts(self) -> None:
        if self._draft_timer:
            self._draft_timer.stop()
            self._draft_timer = None
            if self._typed() == self._untouched:
                self.desk.drop_draft(self.form)
            else:
                self.desk.keep_draft(self.form, self._typed(), self.draft_chalk())

    def forget_draft(self) -> None:
        if self._draft_timer:
            self._draft_timer.stop()
            self._draft_timer = None
        self.desk.drop_draft(self.form)

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

    def action_page(self, by: int) -> None:
        """What stands beside or below the form, further down."""
        beside = self.query_one("#beside", VerticalScroll)
        (beside.scroll_page_down if by > 0 else beside.scroll_page_up)(animate=False)

    def action_back(self) -> None:
        half = self.KEEPS_DRAFTS and not self.book_file.read_only and self._typed() != self._untouched
        super().action_back()
        if half:
            told = f"Not saved: what you typed waits, half-written. Only {self.key('save')} puts it into the book."
            self.app.notify(told, markup=False)

    def action_keep(self) -> None:
        if self.may_write():
            # The letters typed before this key stand in the line of the field they belong to: it comes after them.
            (self.app.focused or self).call_later(self._keep_now)

    def _keep_now(self) -> None:
        try:
            kept = self.keep()
        except DomainError:
            # It stands beside its field.
            return
        if kept:
            self.forget_draft()
            self.leave()

    def drop(self, what: str, edit: Callable[[], Edit]) -> None:
        """Take what this form is about off the book, after asking."""

        def gone() -> None:
            if self.desk.record(edit):
                self.forget_draft()
                self.leave()

        self.ask_remove(what, gone)

    def leave(self) -> None:
        if self.is_current:
            self.app.pop_screen()
