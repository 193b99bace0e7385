"""Shot list: pictures to ask for from a seller far away."""

from __future__ import annotations

from typing import Any, ClassVar

from rich.text import Text

from inspect_tui.domain.plain import counted
from inspect_tui.files import replace_file
from inspect_tui.handover.writers.shots import shots_of, shots_text
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.lists import FIND, ListRow, ListScreen


class ShotsScreen(ListScreen):
    TITLE_WORDS = "pictures to ask for"
    BINDINGS: ClassVar[list[Any]] = [use("save", "write", "Write it", does="to a text file beside the book"), FIND]
    HELP_TEXT = """
What somebody who has the boat and a phone can photograph before you drive there. Only what she has is asked for:
say in her particulars what she was built as and what she has.
"""

    def _asked(self) -> list[ListRow]:
        asked = shots_of(self.book.boat, self.checklists.shots)
        return [
            ListRow(shot.id, Text(f"{number:>3}  {shot.take}", no_wrap=True), shot.tells)
            for number, shot in enumerate(asked, 1)
        ]

    def head(self) -> Text:
        told = f"{self.key('save')} writes the list to a file to be sent, with cautions for whoever takes them"
        return Text(f"{counted(len(self._asked()), 'picture')} to ask for. {told}.")

    def list_rows(self) -> list[ListRow]:
        return self._asked()

    def detail(self) -> Text | None:
        shot = self.checklists.shots.get(self.list_key)
        return Text(f"{shot.take}.\nIt shows: {shot.tells}") if shot else None

    def action_write(self) -> None:
        path = self.book_file.path.with_suffix(".shots.txt")
        try:
            replace_file(path, shots_text(self.book.boat, self.checklists.shots).encode())
        except OSError as error:
            self.notify(f"{path} cannot be written: {error.strerror or error}.", severity="error", markup=False)
        else:
            self.notify(f"Written: {path}", markup=False)
