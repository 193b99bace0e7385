"""Chalk numbers: all findings by number, open and closed."""

from __future__ import annotations

from typing import Any, ClassVar

from rich.text import Text
from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.widgets import OptionList
from textual.widgets.option_list import Option as ListOption

from inspect_tui.domain.plain import one_line
from inspect_tui.terminal.screens.base import BookScreen


class ChalkScreen(BookScreen):
    CSS_PATH = "chalk.tcss"
    TITLE_WORDS = "chalk numbers"
    BINDINGS: ClassVar[list[Any]] = [Binding("z", "undo", "Undo")]
    HELP_TEXT = """
Every finding by the number chalked beside it, with its tier's letter, severity and status.
Type a number to go to it. Enter opens it: to add readings, move it on, or write down your own decision.
"""

    _typed = ""

    def body(self) -> ComposeResult:
        yield OptionList(id="list", compact=True)

    def on_mount(self) -> None:
        self.query_one("#list", OptionList).focus()

    def show(self) -> None:
        rows = self.query_one("#list", OptionList)
        at = rows.highlighted or 0
        letters = {action.chalk: action.tier.letter for action in self.desk.listed().actions}
        options = []
        for finding in sorted(self.book.findings.values(), key=lambda one: one.chalk):
            place = self.book.compartments.get(finding.compartment)
            kind = self.checklists.kinds.get(finding.kind)
            text = Text(no_wrap=True, overflow="ellipsis")
            text.append(f"{finding.chalk:>4}  {letters.get(finding.chalk, '–')}  ", "bold")
            text.append(f"{finding.severity.value:<13}{finding.status.value:<10}")
            text.append(f"{one_line(place.name) if place else finding.compartment}: ", "bold")
            text.append(kind.label if kind else one_line(finding.kind))
            if finding.words:
                text.append(f", {one_line(finding.words)}")
            text.truncate(max(self.size.width - 3, 20), overflow="ellipsis")
            options.append(ListOption(text, id=str(finding.chalk)))
        rows.clear_options()
        rows.add_options(options or [ListOption(Text("No findings yet."), disabled=True)])
        if options:
            rows.highlighted = min(at, len(options) - 1)

    def on_key(self, event: events.Key) -> None:
        """Digits typed one after the other go to that number."""
        if not (event.character and event.character.isdigit()):
            return
        event.stop()
        rows = self.query_one("#list", OptionList)
        ids = [rows.get_option_at_index(index).id for index in range(rows.option_count)]
        for wanted in (self._typed + event.character, event.character):
            if wanted in ids:
                self._typed = wanted
                rows.highlighted = ids.index(wanted)
                return
        self._typed = event.character

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        if event.option.id:
            self.desk.go("finding", chalk=int(event.option.id))
