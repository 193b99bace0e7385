"""Choosing one of several with a single key: all of them in one line, or the chosen one and a list on Enter."""

from __future__ import annotations

from dataclasses import dataclass

from rich.text import Text
from textual import events
from textual.binding import Binding
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget


@dataclass(frozen=True)
class Option:
    """A value with the key that picks it, its word, and what it means."""

    value: str
    key: str
    word: str
    meaning: str = ""


class Choice(Widget, can_focus=True):
    """A focusable line of options. Letter picks, arrows move, Enter goes on (or opens the list if long)."""

    BINDINGS = [
        Binding("left", "move(-1)", "Back", show=False),
        Binding("right", "move(1)", "On", show=False),
        Binding("enter", "go_on", "Go on", show=False),
        Binding("space", "list", "List", show=False),
    ]

    value: reactive[str] = reactive("", layout=True)

    @dataclass
    class Changed(Message):
        """Another option was chosen."""

        choice: Choice
        value: str

        @property
        def control(self) -> Choice:
            return self.choice

    @dataclass
    class GoOn(Message):
        """Enter was pressed, or a letter picked: the next field, please."""

        choice: Choice

    @dataclass
    class ListWanted(Message):
        """The list of all options is asked for."""

        choice: Choice

    def __init__(self, options: list[Option], value: str = "", *, id: str | None = None, long: bool = False) -> None:
        super().__init__(id=id)
        self.options = options
        self.long = long
        self.set_reactive(Choice.value, value)

    @property
    def chosen(self) -> Option | None:
        return next((option for option in self.options if option.value == self.value), None)

    def render(self) -> Text:
        if self.long:
            chosen = self.chosen
            text = Text(chosen.word if chosen else "not chosen", style="bold")
            text.append("   Enter: list" if self.has_focus else "")
            return text
        text = Text()
        for option in self.options:
            mark = "●" if option.value == self.value else "○"
            style = "bold reverse" if option.value == self.value and self.has_focus else ""
            style = style or ("bold" if option.value == self.value else "")
            text.append(f" {mark}\u00a0", style)
            text.append(_keyed(option), style)
            text.append(" ")
        return text

    def get_content_height(self, container: object, viewport: object, width: int) -> int:  # noqa: ARG002
        if self.long:
            return 1
        return max(1, len(self.render().wrap(self.app.console, max(width, 10))))

    def on_key(self, event: events.Key) -> None:
        for option in self.options:
            if option.key and event.character == option.key:
                event.stop()
                event.prevent_default()
                self.pick(option.value)
                self.post_message(self.GoOn(self))
                return

    def pick(self, value: str) -> None:
        if value != self.value:
            self.value = value
            self.post_message(self.Changed(self, value))

    def action_move(self, by: int) -> None:
        values = [option.value for option in self.options]
        at = values.index(self.value) + by if self.value in values else (0 if by > 0 else len(values) - 1)
        self.pick(values[at % len(values)])

    def action_go_on(self) -> None:
        if self.long:
            self.action_list()
        else:
            self.post_message(self.GoOn(self))

    def action_list(self) -> None:
        if self.long:
            self.post_message(self.ListWanted(self))

    def on_click(self, event: events.Click) -> None:
        if self.long:
            self.action_list()
            return
        at = 0
        for option in self.options:
            width = Text(f" ○ {_keyed(option)} ").cell_len
            if at <= event.x < at + width and event.y == 0:
                self.pick(option.value)
                return
            at += width


def _keyed(option: Option) -> str:
    """The word with its key marked: `[s]ail`, or `1 sail` where the word begins otherwise."""
    if not option.key:
        return option.word
    word = option.word.replace(" ", "\u00a0")
    if word.lower().startswith(option.key):
        return f"[{word[0]}]{word[1:]}"
    return f"{option.key}\u00a0{word}"
