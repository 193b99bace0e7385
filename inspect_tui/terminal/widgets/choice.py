"""Choosing one of several with a single key: all of them in one line, or the chosen one and a list on Enter."""

from __future__ import annotations

from dataclasses import dataclass

from rich.cells import cell_len
from rich.text import Text
from textual import events
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget

from inspect_tui.terminal.keys import use


@dataclass(frozen=True)
class Option:
    """A value with the key that picks it, its word, and what it means."""

    value: str
    key: str
    word: str
    meaning: str = ""


class Choice(Widget, can_focus=True):
    """A focusable line of options. Letter picks, arrows move, Enter goes on, Space opens the list of a long one."""

    BINDINGS = [
        use("before", "move(-1)", show=False),
        use("next", "move(1)", show=False),
        use("on", "go_on", "Go on", show=False),
        use("choose", "show_list", "List", show=False),
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
        """Enter was pressed: the next field, please."""

        choice: Choice

    @dataclass
    class ListWanted(Message):
        """The list of all options is asked for."""

        choice: Choice

    def __init__(
        self,
        options: list[Option],
        value: str = "",
        *,
        id: str | None = None,
        long: bool = False,
    ) -> None:
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
            style = "bold reverse" if self.has_focus else "bold"
            text = Text.assemble((f" {chosen.word if chosen else 'not chosen'} ", style))
            text.append(" ▾")
            return text
        lines = []
        for line in self._lines(self.size.width):
            text = Text()
            for option in line:
                is_it = option.value == self.value
                style = "bold reverse" if is_it and self.has_focus else "bold" if is_it else ""
                text.append(_drawn(option, is_it), style)
            lines.append(text)
        return Text("\n").join(lines)

    def _lines(self, width: int) -> list[list[Option]]:
        """The options packed into lines, each option whole."""
        lines: list[list[Option]] = [[]]
        room = width
        for option in self.options:
            needed = cell_len(_drawn(option, False))
            if needed > room and lines[-1]:
                lines.append([])
                room = width
            lines[-1].append(option)
            room -= needed
        return lines

    def get_content_height(self, container: object, viewport: object, width: int) -> int:  # noqa: ARG002
        return 1 if self.long else len(self._lines(width))

    def on_key(self, event: events.Key) -> None:
        for option in self.options:
            if option.key and event.character == option.key:
                event.stop()
                event.prevent_default()
                self.pick(option.value)
                return
        if self.long and event.character and event.character.isalnum():
            self._jump(event.character.lower())

    def _jump(self, sign: str) -> None:
        """In a long list without keys a letter or digit goes to the next word that begins with it."""
        values = [option.value for option in self.options]
        at = values.index(self.value) + 1 if self.value in values else 0
        order = [*self.options[at:], *self.options[:at]]
        found = next((option.value for option in order if option.word.lower().startswith(sign)), None)
        if found is not None and not any(option.key for option in self.options):
            self.pick(found)

    def pick(self, value: str) -> None:
        if value != self.value:
            self.value = value
            self.post_message(self.Changed(self, value))

    def action_move(self, by: int) -> None:
        values = [option.value for option in self.options]
        at = values.index(self.value) + by if self.value in values else (0 if by > 0 else len(values) - 1)
        self.pick(values[at % len(values)])

    def action_go_on(self) -> None:
        self.post_message(self.GoOn(self))

    def action_show_list(self) -> None:
        if self.long:
            self.post_message(self.ListWanted(self))

    def on_click(self, event: events.Click) -> None:
        if self.long:
            self.action_show_list()
            return
        lines = self._lines(self.size.width)
        at = 0
        for option in lines[event.y] if event.y < len(lines) else []:
            at += cell_len(_drawn(option, False))
            if event.x < at:
                self.pick(option.value)
                return


def _drawn(option: Option, chosen: bool) -> str:
    return f" {'●' if chosen else '○'} {_keyed(option)} "


def _keyed(option: Option) -> str:
    """The word with its key marked: `[s]ail`, or `[1] sail` where the word begins otherwise."""
    if not option.key:
        return option.word
    if option.word.lower().startswith(option.key):
        return f"[{option.word[0]}]{option.word[1:]}"
    return f"[{option.key}] {option.word}"
