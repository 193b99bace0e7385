"""Trail: every change, newest first, and taking one back."""

from __future__ import annotations

from typing import Any, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option as ListOption

from inspect_tui.domain.book import standing, undo
from inspect_tui.domain.plain import one_line
from inspect_tui.terminal.screens.base import BookScreen
from inspect_tui.terminal.screens.modals import PickOne
from inspect_tui.terminal.widgets.choice import Option

SHOWN = 500


class TrailScreen(BookScreen):
    CSS_PATH = "trail.tcss"
    TITLE_WORDS = "the trail"
    BINDINGS: ClassVar[list[Any]] = []
    HELP_TEXT = """
Every change ever made to this book, newest first: number, when, by whom, what.
Enter on a line takes that change back, unless a later one stands on it. Taking back is a change like any
other: it stands in the trail too, and can itself be taken back.
"""

    def body(self) -> ComposeResult:
        yield OptionList(id="list", compact=True)
        yield Static(id="lost", markup=False)

    def on_mount(self) -> None:
        self.query_one("#list", OptionList).focus()

    def show(self) -> None:
        rows = self.query_one("#list", OptionList)
        at = rows.highlighted or 0
        stand = {change.number for change in standing(self.book)}
        newest = sorted(self.book.trail.values(), key=lambda change: -change.number)[:SHOWN]
        rows.clear_options()
        for change in newest:
            taken = "" if change.number in stand else "taken back  "
            text = Text(f"{change.number:>5}  {change.when:%Y-%m-%d %H:%M}  {one_line(change.by)[:12]:<12}  {taken}")
            text.append(one_line(change.words))
            text.truncate(max(self.size.width - 3, 20), overflow="ellipsis")
            rows.add_option(ListOption(text, id=str(change.number)))
        if newest:
            rows.highlighted = min(at, len(newest) - 1)
        lost = [
            f"could not be read, kept as it is: {row.table} {row.key}: {row.why}" for row in self.book.unreadable[:5]
        ]
        self.query_one("#lost", Static).update(one_line("  ·  ".join(lost)))

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        change = self.book.trail[event.option.id or ""]

        def answered(yes: str | None) -> None:
            if yes == "y":
                self.desk.record(lambda: undo(self.book, change.number))

        options = [Option("y", "y", "yes, take it back"), Option("n", "n", "no")]
        self.app.push_screen(
            PickOne(f"Take back {change.number}: {one_line(change.words)[:120]}?", options), answered
        )
