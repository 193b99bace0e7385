"""A text field that loses nothing, and the row it stands in with its name and its one sentence of complaint."""

from __future__ import annotations

from typing import Any

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical
from textual.widget import Widget
from textual.widgets import Input, Static

from inspect_tui.domain.plain import visible
from inspect_tui.domain.quantities import plain_number

_EDITS = {key: one.action for one in Input.BINDINGS if isinstance(one, Binding) for key in one.key.split(",")}


class Field(Input):
    """One line of text. Tabbing in selects nothing, Escape is the screen's, a paste keeps all its lines."""

    def __init__(self, value: str = "", *, id: str | None = None, placeholder: str = "", short: bool = False) -> None:
        super().__init__(
            value,
            id=id,
            placeholder=placeholder,
            compact=True,
            select_on_focus=False,
            classes="short" if short else None,
        )

    @property
    def _value(self) -> Text:
        # Control characters in old text are shown as pictures: they cannot drive the terminal.
        return Text(
            visible(self.value).replace("\t", "␉").replace("\n", "␊"), no_wrap=True, overflow="ignore", end=""
        )

    async def _on_key(self, event: events.Key) -> None:
        # As bindings these keys would come to their turn only after the letters typed behind them.
        if event.key not in _EDITS:
            await super()._on_key(event)
            return
        event.stop()
        event.prevent_default()
        await self.run_action(_EDITS[event.key])

    def _on_paste(self, event: events.Paste) -> None:
        event.prevent_default()
        event.stop()
        text = " ".join(event.text.splitlines())
        if self.selection.is_empty:
            self.insert_text_at_cursor(text)
        else:
            self.replace(text, *self.selection)


class Row(Vertical):
    """Name, widget, hint; and below, only when there is one, what is wrong."""

    def __init__(self, name: str, widget: Widget, hint: str = "") -> None:
        super().__init__(classes="row")
        self.row_name = name
        self.widget = widget
        self._hint = hint
        # What the widget held when its complaint was made.
        self.complained_of: str | None = None

    def compose(self) -> ComposeResult:
        with Horizontal(classes="row-line"):
            yield Static(self.row_name, classes="row-name", markup=False)
            yield self.widget
            if self._hint:
                grows = " grows" if self.widget.has_class("short") else ""
                yield Static(self._hint, classes=f"row-hint{grows}", markup=False)
        yield Static("", classes="row-error", markup=False)

    def complain(self, sentence: str) -> None:
        error = self.query_one(".row-error", Static)
        error.update(sentence)
        error.display = bool(sentence)
        self.complained_of = getattr(self.widget, "value", None) if sentence else None

    def hint(self, text: str) -> None:
        for one in self.query(".row-hint"):
            if isinstance(one, Static):
                one.update(text)


def field_row(name: str, id: str, value: Any = "", hint: str = "", placeholder: str = "") -> Row:
    shown = "" if value is None else plain_number(value) if isinstance(value, float) else str(value)
    return Row(name, Field(shown, id=id, placeholder=placeholder), hint)
