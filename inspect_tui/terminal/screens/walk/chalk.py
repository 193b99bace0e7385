"""Chalk numbers: all findings by number, open and closed."""

from __future__ import annotations

from typing import Any, ClassVar

from rich.text import Text

from inspect_tui.domain.plain import one_line
from inspect_tui.terminal.lists import FIND, ListRow, ListScreen, enter


class ChalkScreen(ListScreen):
    DETAIL = False
    TITLE_WORDS = "chalk numbers"
    EMPTY = "No findings yet."
    BINDINGS: ClassVar[list[Any]] = [enter("Open"), FIND]
    HELP_TEXT = """
Every finding by the number chalked beside it, with when it is to be done, how bad it is and how far it has got. Type
a number to go to it. {on} opens it: to add readings, move it on, or write down your own decision.
"""

    def list_rows(self) -> list[ListRow]:
        letters = {action.chalk: action.tier.word for action in reversed(self.desk.judged.worklist.actions)}
        rows = []
        for finding in sorted(self.book.findings.values(), key=lambda one: one.chalk):
            kind = self.checklists.kinds.get(finding.kind)
            text = Text(no_wrap=True, overflow="ellipsis")
            text.append(f"{finding.chalk:>4}  {letters.get(finding.chalk, '–'):<10} ", "bold")
            text.append(f"{finding.severity.value:<13}{finding.status.value:<10}")
            text.append(f"{self.place_name(finding.compartment)}: ", "bold")
            text.append(kind.label if kind else one_line(finding.kind))
            if finding.words:
                text.append(f", {one_line(finding.words)}")
            rows.append(ListRow(str(finding.chalk), text))
        return rows

    def open_row(self, key: str) -> None:
        if key:
            self.desk.go("finding", chalk=int(key))
