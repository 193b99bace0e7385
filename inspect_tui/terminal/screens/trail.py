"""Trail: every change, newest first, and taking one back."""

from __future__ import annotations

from typing import Any, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option as ListOption

from inspect_tui.domain.book import standing, undo
from inspect_tui.domain.plain import one_line
from inspect_tui.terminal.screens.base import BookScreen
from inspect_tui.terminal.screens.modals import PickOne
from inspect_tui.terminal.widgets.choice import Option

PAGE = 500


class TrailScreen(BookScreen):
    CSS_PATH = "trail.tcss"
    TITLE_WORDS = "the trail"
    BINDINGS: ClassVar[list[Any]] = [
        Binding("enter", "take_back", "Take back", key_display="Enter", priority=True),
        Binding("o", "page(1)", "Older"),
        Binding("n", "page(-1)", "Newer"),
    ]
    HELP_TEXT = """
Every change ever made to this book, newest first: number, when, by whom, what. o and n turn the pages.
Enter on a line takes that change back, unless a later one stands on it. Taking back is a change like any
other: it stands in the trail too, and can itself be taken back.
"""

    def __init__(self) -> None:
        super().__init__()
        self._first = 0

    def action_page(self, by: int) -> None:
        """Older or newer changes, a page at a time."""
        first = self._first + by * PAGE
        if 0 <= first < len(self.book.trail):
            self._first = first
            self.show()

    def body(self) -> ComposeResult:
        yield OptionList(id="list", compact=True)
        yield Static(id="lost", markup=False)

    def on_mount(self) -> None:
        self.query_one("#list", OptionList).focus()

    def show(self) -> None:
        rows = self.query_one("#list", OptionList)
        at = rows.highlighted or 0
        stand = {change.number for change in standing(self.book)}
        changes = sorted(self.book.trail.values(), key=lambda change: -change.number)
        newest = changes[self._first : self._first + PAGE]
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
    def action_take_back(self) -> None:
        rows = self.query_one("#list", OptionList)
        if rows.highlighted is None:
            return
        change = self.book.trail[rows.get_option_at_index(rows.highlighted).id or ""]

        def answered(yes: str | None) -> None:
            if yes == "y":
                self.desk.record(lambda: undo(self.book, change.number))

        options = [Option("y", "y", "yes, take it back"), Option("n", "n", "no")]
        self.app.push_screen(
            PickOne(f"Take back {change.number}: {one_line(change.words)[:120]}?", options), answered
        )
