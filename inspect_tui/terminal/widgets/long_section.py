"""The boat lengthways: every compartment a cell in its lane, bow to the left."""

from __future__ import annotations

from dataclasses import dataclass

from rich.cells import cell_len, set_cell_size
from rich.text import Text
from textual import events
from textual.binding import Binding
from textual.geometry import Size
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget

from inspect_tui.domain.words import Lane

LANE_NAMES = {Lane.ABOVE: "above", Lane.BELOW: "below", Lane.KEEL: "keel"}
NAME_WIDTH = 6
CELL_WIDTH = 18


@dataclass(frozen=True)
class Cell:
    """One compartment as it is drawn: its short name, progress, and worst tier's letter."""

    compartment: str
    lane: Lane
    short: str
    told: str

    def text(self) -> str:
        room = CELL_WIDTH - 3 - cell_len(self.told) - 1
        short = self.short if cell_len(self.short) <= room else set_cell_size(self.short, room)
        return f"[{set_cell_size(short, room)} {self.told}]"


class LongSection(Widget, can_focus=True):
    """Arrows move between compartments, Enter opens the one selected."""

    BINDINGS = [
        Binding("left", "move(-1)", "Forward", show=False),
        Binding("right", "move(1)", "Aft", show=False),
        Binding("up", "lane(-1)", "Lane up", show=False),
        Binding("down", "lane(1)", "Lane down", show=False),
        Binding("home", "end(0)", "Bow", show=False),
        Binding("end", "end(-1)", "Stern", show=False),
    ]

    selected: reactive[str] = reactive("")

    @dataclass
    class Selected(Message):
        compartment: str

    def __init__(self) -> None:
        super().__init__()
        self._cells: list[Cell] = []

    def show_cells(self, cells: list[Cell]) -> None:
        self._cells = cells
        if self.selected not in {cell.compartment for cell in cells}:
            self.selected = cells[0].compartment if cells else ""
        self.refresh(layout=True)

    def _rows(self, width: int) -> list[tuple[str, list[Cell]]]:
        """Lines of the drawing: a lane's name on its first line, then as many cells as fit."""
        fit = max(1, (width - NAME_WIDTH) // CELL_WIDTH)
        rows: list[tuple[str, list[Cell]]] = []
        for lane in Lane:
            cells = [cell for cell in self._cells if cell.lane is lane]
            for start in range(0, len(cells), fit):
                rows.append((LANE_NAMES[lane] if start == 0 else "", cells[start : start + fit]))
        return rows

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:  # noqa: ARG002
        return len(self._rows(width)) + 1

    def render(self) -> Text:
        width = self.size.width
        text = Text(no_wrap=True, overflow="crop")
        line = "─" * max(width - 13 - NAME_WIDTH, 0)
        text.append(f"{'':{NAME_WIDTH}}bow ◁{line} stern\n")
        for name, cells in self._rows(width):
            text.append(f"{name:<{NAME_WIDTH}}")
            for cell in cells:
                chosen = cell.compartment == self.selected
                text.append(cell.text(), "bold reverse" if chosen else "")
                text.append(" ")
            text.append("\n")
        return text

    def watch_selected(self, selected: str) -> None:
        self.post_message(self.Selected(selected))

    def action_move(self, by: int) -> None:
        keys = [cell.compartment for _, row in self._rows(self.size.width) for cell in row]
        if keys:
            at = keys.index(self.selected) if self.selected in keys else 0
            self.selected = keys[(at + by) % len(keys)]

    def action_lane(self, by: int) -> None:
        rows = [row for _, row in self._rows(self.size.width)]
        for at, row in enumerate(rows):
            for column, cell in enumerate(row):
                if cell.compartment == self.selected:
                    target = rows[(at + by) % len(rows)]
                    self.selected = target[min(column, len(target) - 1)].compartment
                    return

    def action_end(self, index: int) -> None:
        row = next(
            (row for _, row in self._rows(self.size.width) if self.selected in {cell.compartment for cell in row}), []
        )
        if row:
            self.selected = row[index].compartment

    def on_click(self, event: events.Click) -> None:
        rows = self._rows(self.size.width)
        at, column = event.y - 1, (event.x - NAME_WIDTH) // CELL_WIDTH
        if 0 <= at < len(rows) and 0 <= column < len(rows[at][1]):
            self.selected = rows[at][1][column].compartment
