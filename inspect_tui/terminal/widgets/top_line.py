"""The line on top of each screen: which boat, in what state, which round, and when it was saved."""

from __future__ import annotations

from datetime import datetime

from rich.cells import cell_len, set_cell_size
from textual.widgets import Static

from inspect_tui.domain.plain import one_line
from inspect_tui.store.book_file import BookFile


class TopLine(Static):
    def __init__(self) -> None:
        super().__init__("", markup=False, classes="top-line")

    def tell(self, book_file: BookFile) -> None:
        book = book_file.book
        boat = book.boat
        state = boat.float_state.value if boat.float_state else ""
        saved = _when(book_file.saved, book_file.clock())
        right = f"round {book.round.number}  " + (
            "READ ONLY" if book_file.read_only else "NOT SAVED" if book_file.trouble else f"saved {saved}"
        )
        left = f"{one_line(boat.name)}  {boat.rig.value} {boat.hull_length_m:g} m  {boat.hull_metal.value}  {state}"
        room = max(self.size.width - cell_len(right) - 4, 10)
        if cell_len(left) > room:
            left = set_cell_size(left, room - 1) + "…"
        self.update(set_cell_size(left, room) + "  " + right)


def _when(saved: str, now: datetime) -> str:
    """The time of today, or the day of an earlier save."""
    try:
        then = datetime.fromisoformat(saved)
    except ValueError:
        return saved
    return f"{then:%H:%M:%S}" if then.date() == now.date() else f"{then:%Y-%m-%d}"
