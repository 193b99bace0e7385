"""Chalk numbers: all findings by number, open and closed."""

from __future__ import annotations

from typing import Any, ClassVar

from rich.console import RenderableType
from rich.text import Text

from inspect_tui.domain.plain import counted, one_line
from inspect_tui.domain.walk import position_words
from inspect_tui.terminal.lists import FIND, ListRow, ListScreen, enter
from inspect_tui.terminal.screens.modals import headed


class ChalkScreen(ListScreen):
    TITLE_WORDS = "chalk numbers"
    EMPTY = "No findings yet."
    BINDINGS: ClassVar[list[Any]] = [enter("Open"), FIND]
    HELP_TEXT = """
Every finding by the number chalked beside it, with when it is to be dealt with, how bad it is, and its status.
Type a number to go to it. {on} opens it: to add readings, move it on, or write down your own decision.
"""

    def head(self) -> Text:
        listed = {action.chalk for action in self.desk.judged.worklist.actions}
        left = sum(finding.chalk in listed for finding in self.book.findings.values())
        return Text(f"Chalk numbers   {counted(len(self.book.findings), 'finding')}, {left} with something to do")

    def columns(self) -> str:
        return f" no.  {'when':<11}{'how bad':<14}{'status':<10}place: what it is"

    def list_rows(self) -> list[ListRow]:
        tiers = {action.chalk: action.tier for action in reversed(self.desk.judged.worklist.actions)}
        rows = []
        for finding in sorted(self.book.findings.values(), key=lambda one: one.chalk):
            kind = self.checklists.kinds.get(finding.kind)
            text = Text(no_wrap=True, overflow="ellipsis")
            text.append(f"{finding.chalk:>4}  ", "bold")
            tier = tiers.get(finding.chalk)
            word = tier.word if tier else "–"
            text.append_text(self.tier_mark(tier, word) if tier else Text(word)).append(" " * (11 - len(word)))
            text.append(f"{finding.severity.value:<14}{finding.status.value:<10}")
            text.append(f"{self.place_name(finding.compartment)}: ", "bold")
            text.append(kind.label if kind else one_line(finding.kind))
            if finding.words:
                text.append(f", {one_line(finding.words)}")
            rows.append(ListRow(str(finding.chalk), text))
        return rows

    def detail(self) -> RenderableType | None:
        finding = self.book.findings.get(self.list_key)
        if finding is None:
            return None
        kind = self.checklists.kinds.get(finding.kind)
        read = sum(one.finding == finding.chalk for one in self.book.readings.values())
        action = next((one for one in self.desk.judged.worklist.actions if one.chalk == finding.chalk), None)
        name = kind.label if kind else finding.kind
        place = f"{self.place_name(finding.compartment)}: {position_words(finding.position) or 'not said where'}"
        lines = [
            ("what", f"{name}: {finding.words}" if finding.words else name),
            ("where", place),
            ("how bad", f"{finding.severity.value}, {finding.status.value}"),
            ("measured", f"{counted(read, 'reading')}, {counted(len(finding.photos), 'photo')}"),
            ("to do", action.what if action else "nothing open"),
        ]
        return headed(lines)

    def open_row(self, key: str) -> None:
        if key:
            self.desk.go("finding", chalk=int(key))
