"""The line on top of each screen: which boat, in what state, which round, and when it was saved."""

from __future__ import annotations

from datetime import datetime

from rich.cells import cell_len, set_cell_size
from rich.text import Text
from textual.widget import Widget

from inspect_tui.domain.plain import one_line
from inspect_tui.store.book_file import BookFile


class TopLine(Widget):
    """One line: who she is on the left; round and saving on the right, which is never cut."""

    def __init__(self) -> None:
        super().__init__(classes="top-line")
        self._left = self._right = ""

    def tell(self, book_file: BookFile) -> None:
        book, boat = book_file.book, book_file.book.boat
        state = boat.float_state.value if boat.float_state else ""
        saved = f"saved {_when(book_file.saved, book_file.clock())}"
        told = "READ ONLY" if book_file.read_only else "NOT SAVED" if book_file.trouble else saved
        self._left = f"{one_line(boat.name)}  {boat.rig.value} {boat.hull_length_m:g} m  {boat.metal_words}  {state}"
        self._right = f"round {book.round.number}  {told}"
        self.refresh()

    def render(self) -> Text:
        room = max(self.size.width - cell_len(self._right) - 2, 0)
        left = self._left
        if cell_len(left) > room > 0:
            left = set_cell_size(left, room - 1) + "…"
        return Text(f"{set_cell_size(left, room)}  {self._right}", no_wrap=True, overflow="crop")


def _when(saved: str, now: datetime) -> str:
    """The time of today, or the day of an earlier save."""
    try:
        then = datetime.fromisoformat(saved)
    except ValueError:
        return saved
    return f"{then:%H:%M:%S}" if then.date() == now.date() else f"{then:%Y-%m-%d}"
