"""The line at the foot of a screen: keys and what they do, as many as fit whole; the rest stands under "more"."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rich.cells import cell_len
from rich.text import Text
from textual import events
from textual.binding import ActiveBinding
from textual.dom import DOMNode
from textual.screen import Screen
from textual.widget import Widget

from inspect_tui.terminal.keys import UNREACHED, Purpose, Verb, is_text, shown_key, verb_of

# They stand at the end of the line, and are never left out.
TAIL = ("back", "help", "more")


@dataclass(frozen=True)
class Offered:
    """A verb that can be done now: its key as it is printed (empty if none reaches it here), its words, and where
    its action belongs."""

    verb: Verb
    key: str
    label: str
    does: str
    action: str
    of: DOMNode
    shown: bool


def offered(active: Mapping[str, ActiveBinding], *, typing: bool = False) -> list[Offered]:
    """Of the bindings that are active those of our verbs, each once; `typing`: letters are text."""
    found: dict[str, Offered] = {}
    for node, binding, enabled, tooltip in active.values():
        verb = verb_of(binding)
        if verb is not None and enabled and verb.name not in found:
            unreached = binding.key.startswith(UNREACHED) or (typing and is_text(binding.key))
            key = "" if unreached else "0–9" if verb.name == "share" else shown_key(binding.key)
            does = tooltip or verb.does
            found[verb.name] = Offered(verb, key, binding.description, does, binding.action, node, binding.show)
    return list(found.values())


def fitting(all_: Sequence[Offered], width: int) -> list[Offered]:
    """Those that have room in a line so wide, the last ones of the line always among them."""
    keyed = [one for one in all_ if (one.key and one.verb.purpose is not Purpose.PROGRAM) or one.verb.name in TAIL]
    # What is not meant for a narrow line takes what room is left; moving needs no words.
    shown = [one for one in keyed if one.shown]
    # Answers stand in a line of their own.
    shown += [one for one in keyed if not one.shown and one.verb.purpose not in (Purpose.MOVE, Purpose.ANSWER)]
    tail = [one for name in TAIL for one in shown if one.verb.name == name]
    room = width - sum(_cells(one) for one in tail)
    line: list[Offered] = []
    for one in shown:
        if one in tail:
            continue
        room -= _cells(one)
        if room < 0:
            break
        line.append(one)
    return [*line, *tail]


def _cells(one: Offered) -> int:
    return cell_len(f" {one.key} {one.label} ")


class KeyLine(Widget):
    """One line; a click does what it says."""

    DEFAULT_CSS = """
    KeyLine { dock: bottom; height: 1; width: 100%; background: $footer-background; color: $footer-foreground; }
    """

    def on_mount(self) -> None:
        self.screen.bindings_updated_signal.subscribe(self, self._changed)

    def on_unmount(self) -> None:
        self.screen.bindings_updated_signal.unsubscribe(self)

    def _changed(self, _: Screen[Any]) -> None:
        self.refresh()

    def _line(self) -> list[Offered]:
        typing = bool(getattr(self.screen, "TYPING", False))
        return fitting(offered(self.screen.active_bindings, typing=typing), self.size.width)

    def render(self) -> Text:
        key_style = f"bold {self.app.theme_variables['footer-key-foreground']}" if not self.app.no_color else "bold"
        text = Text(no_wrap=True, overflow="crop")
        for one in self._line():
            text.append(f" {one.key}", key_style)
            text.append(f" {one.label} ")
        return text

    async def on_click(self, event: events.Click) -> None:
        at = 0
        for one in self._line():
            at += _cells(one)
            if event.x < at:
                await self.app.run_action(one.action, one.of)
                return
