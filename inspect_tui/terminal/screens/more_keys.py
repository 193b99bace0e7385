"""Everything that can be done on a screen: as a menu, and as lines of its help."""

from __future__ import annotations

from collections.abc import Sequence

from inspect_tui.terminal.keys import KeyMap, Purpose, is_text, shown_key
from inspect_tui.terminal.screens.modals import PickOne
from inspect_tui.terminal.widgets.choice import Option
from inspect_tui.terminal.widgets.key_line import Offered

KEY_CELLS = 7


def _by_purpose(verbs: Sequence[Offered]) -> list[Offered]:
    order = list(Purpose)
    return sorted(verbs, key=lambda one: order.index(one.verb.purpose))


class MoreKeys(PickOne):
    """What can be done here, by what it is for. The key of a row does it, or Enter on the row."""

    def __init__(self, verbs: Sequence[Offered], keys: KeyMap) -> None:
        self._verbs = {
            one.verb.name: one
            for one in _by_purpose(verbs)
            if one.verb.purpose is not Purpose.MOVE and one.verb.name != "more"
        }
        numbers = iter(range(1, 10))
        options = []
        for name, one in self._verbs.items():
            key = _key(one, keys) or str(next(numbers, ""))
            options.append(Option(name, key, one.label, one.does))
        super().__init__("What can be done here", options)

    def on_mount(self) -> None:
        # What was told before would lie over it.
        self.app.clear_notifications()
        super().on_mount()

    def dismiss_with(self, value: str) -> None:
        one = self._verbs[value]
        self.dismiss(None)
        # The menu closes first: what is done belongs to the screen under it.
        self.app.call_later(self.app.run_action, one.action, one.of)


def _key(one: Offered, keys: KeyMap) -> str:
    """The key of a row: what writes a letter is short, and in a menu no letter is text."""
    letters = [key for key in keys.of(one.verb.name) if is_text(key)]
    return shown_key(letters[0]) if letters else one.key


def flowed(text: str) -> str:
    """A text whose lines may run as wide as the screen is: those of a paragraph are one line, those of a table stay.

    >>> flowed("One\\ntwo.\\n\\na   first\\nb   second")
    'One two.\\n\\na   first\\nb   second'
    """
    lines: list[str] = []
    for line in text.splitlines():
        joins = lines and lines[-1] and line and not any(one[0] == " " or "  " in one for one in (line, lines[-1]))
        if joins:
            lines[-1] += f" {line}"
        else:
            lines.append(line)
    return "\n".join(lines)


def help_lines(told: str, verbs: Sequence[Offered]) -> str:
    """A screen's help: what it is for, then its keys by what they are for."""
    lines, purpose = [flowed(told)] if told else [], None
    for one in _by_purpose(verbs):
        if one.verb.purpose is not purpose:
            purpose = one.verb.purpose
            lines.append(f"\n{purpose.value}")
        key = one.key or "more"
        lines.append(f"  {key:<{KEY_CELLS}}{one.label}: {one.does}")
    return "\n".join(lines)
