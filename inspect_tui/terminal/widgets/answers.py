"""The answers that a question takes: each with its key, the one that was given marked; a click gives it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rich.cells import cell_len
from rich.text import Text
from textual import events
from textual.widget import Widget


@dataclass(frozen=True)
class Answerable:
    """One answer: its key as it is printed, its word, the action that gives it, whether it was given."""

    key: str
    word: str
    action: str
    given: bool = False

    @property
    def drawn(self) -> str:
        return f" {self.key}  {self.word} "


class Answers(Widget):
    """One line of answers."""

    DEFAULT_CSS = "Answers { height: 1; width: 100%; }"

    def __init__(self, *, id: str) -> None:
        super().__init__(id=id)
        self._offered: Sequence[Answerable] = ()

    def offer(self, offered: Sequence[Answerable]) -> None:
        self._offered = offered
        self.refresh()

    def render(self) -> Text:
        text = Text(no_wrap=True, overflow="ellipsis")
        for one in self._offered:
            key = self.app.theme_variables["footer-key-foreground"]
            text.append(f" {one.key} ", "bold reverse" if one.given else f"bold {key}")
            text.append(f" {one.word} ", "bold reverse" if one.given else "bold")
            text.append("  ")
        return text

    async def on_click(self, event: events.Click) -> None:
        at = 0
        for one in self._offered:
            if at <= event.x < at + cell_len(one.drawn):
                await self.app.run_action(one.action, self.screen)
                return
            at += cell_len(one.drawn) + 2
