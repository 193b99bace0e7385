"""Trail: every change, newest first, and taking one back."""

from __future__ import annotations

from typing import Any, ClassVar

from rich.console import RenderableType
from rich.text import Text

from inspect_tui.domain.plain import counted, one_line
from inspect_tui.domain.undoing import standing, undo
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.lists import FIND, ListRow, ListScreen, enter
from inspect_tui.terminal.screens.modals import PickOne, headed
from inspect_tui.terminal.widgets.choice import Option

PAGE = 500


class TrailScreen(ListScreen):
    TITLE_WORDS = "the trail"
    BINDINGS: ClassVar[list[Any]] = [
        enter("Take back"),
        use("page_next", "page(1)", "Older"),
        use("page_before", "page(-1)", "Newer"),
        FIND,
    ]
    HELP_TEXT = """
Every change ever made to this book, newest first: number, when, by whom, what; a few hundred to a page. {on} on a
line takes that change back, unless a later one depends on it. Taking back is a change like any other: it is in the
trail too, and can itself be taken back.
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

    def head(self) -> Text:
        return Text(f"Trail   {counted(len(self.book.trail), 'change')}, the newest first")

    def columns(self) -> str:
        return f"  no.  {'when':<16}  {'by':<12}  what"

    def list_rows(self) -> list[ListRow]:
        stand = {change.number for change in standing(self.book)}
        changes = sorted(self.book.trail.items(), key=lambda line: -line[1].number)
        rows = []
        for key, change in changes[self._first : self._first + PAGE]:
            taken = "" if change.number in stand else "taken back  "
            text = Text(f"{change.number:>5}  {change.when:%Y-%m-%d %H:%M}  {one_line(change.by)[:12]:<12}  {taken}")
            rows.append(ListRow(key, text.append(one_line(change.words))))
        return rows

    def detail(self) -> RenderableType | None:
        lost = [
            f"could not be read, kept as it is: {row.table} {row.key}: {row.why}" for row in self.book.unreadable[:5]
        ]
        change = self.book.trail.get(self.list_key)
        lines = [("unreadable", one) for one in lost]
        if change is not None:
            taken = "" if change.number in {one.number for one in standing(self.book)} else "; taken back"
            lines += [
                ("what", change.words),
                ("when", f"{change.when:%Y-%m-%d %H:%M}, by {change.by}: change {change.number}{taken}"),
            ]
        return headed(lines) if lines else None

    def open_row(self, key: str) -> None:
        if not key:
            return
        change = self.book.trail[key]

        def answered(yes: str | None) -> None:
            if yes == "y":
                self.desk.record(lambda: undo(self.book, change.number))

        options = [Option("y", "y", "yes, take it back"), Option("n", "n", "no")]
        self.app.push_screen(
            PickOne(f"Take back {change.number}: {one_line(change.words)[:120]}?", options), answered
        )
