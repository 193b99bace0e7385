"""The boat lengthways: bow left, deck on top, keel at the bottom, every compartment where its frames put it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from rich.cells import cell_len, set_cell_size
from rich.text import Text
from textual import events
from textual.geometry import Size
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget

from inspect_tui.domain.words import Lane
from inspect_tui.terminal.keys import use

# Cells that the shortest name and its mark may be cut to.
LEAST_NAME, LEAST_BARE = 4, 5
# Rows of the screen from which a second line tells of each compartment, and columns.
TALL_ROWS, TALL_COLUMNS = 38, 110


class Look(Enum):
    """How much of a compartment was seen, as the sign that fills it."""

    SEEN = "="
    UNSEEN = "/"
    NOT_BEGUN = "."


@dataclass(frozen=True)
class Cell:
    """One compartment as it is drawn: its short name; the frames it lies between, if they are known; how much of its
    metal was seen [0 to 1] and whether anything asked was not; its worst finding's mark, and whether that presses;
    what the second line tells."""

    compartment: str
    lane: Lane
    short: str
    first_frame: float | None = None
    last_frame: float | None = None
    seen: float = 0.0
    begun: bool = False
    unseen: bool = False
    mark: str = ""
    presses: bool = False
    told: tuple[str, ...] = ()

    @property
    def look(self) -> Look:
        """What stands before its name: seen, not all of it, not begun."""
        if not self.begun:
            return Look.NOT_BEGUN
        return Look.UNSEEN if self.unseen else Look.SEEN


@dataclass(frozen=True)
class Placed:
    """A cell on the drawing: its first column and how many it takes."""

    cell: Cell
    at: int
    wide: int


def laid_out(cells: Sequence[Cell], width: int) -> list[list[Placed]]:
    """The rows of the drawing, deck first: each cell where its frames put it, beside what else has room there. One
    without frames stands where its turn between bow and stern would put it.

    Parameters
    ----------
    cells : from bow to stern.
    width : columns of the drawing.
    """
    bow, stern = _ends(cells)
    rows: list[list[Placed]] = []
    for lane in Lane:
        lane_rows: list[list[Placed]] = []
        wanted = [
            (*_place(cell, index, len(cells), (bow, stern), width), cell)
            for index, cell in enumerate(cells)
            if cell.lane is lane
        ]
        for at, wide, cell in sorted(wanted, key=lambda one: one[0]):
            row = next((row for row in lane_rows if row[-1].at + row[-1].wide <= at), None)
            if row is None:
                # A little aft of its frames is better than a row of its own.
                near = [row for row in lane_rows if row[-1].at + row[-1].wide + wide <= width]
                row = min(near, key=lambda one: one[-1].at + one[-1].wide, default=None)
                if row is not None and row[-1].at + row[-1].wide > at + width // 6:
                    row = None
            if row is None:
                row = []
                lane_rows.append(row)
            row.append(Placed(cell, max(at, row[-1].at + row[-1].wide) if row else at, wide))
        rows += lane_rows
    return rows


def _ends(cells: Sequence[Cell]) -> tuple[float, float]:
    """The foremost and the aftmost frame; the same where those of less than half are known: a few frames would draw
    the rest of her wrong."""
    known = [frame for cell in cells for frame in (cell.first_frame, cell.last_frame) if frame is not None]
    framed = sum(cell.first_frame is not None for cell in cells)
    return (min(known), max(known)) if known and framed * 2 >= len(cells) else (0.0, 0.0)


def _place(cell: Cell, index: int, number: int, ends: tuple[float, float], width: int) -> tuple[int, int]:
    """Its first column, and how many it takes."""
    bow, stern = ends
    least = 3 + min(cell_len(cell.short), LEAST_BARE) + (1 + cell_len(cell.mark) if cell.mark else 0)
    if cell.first_frame is None or stern <= bow:
        wide = max(least, min(width // 6, 12))
        return min(round(index / max(number, 1) * width), width - wide), wide
    last = cell.first_frame if cell.last_frame is None else cell.last_frame
    begin = round((cell.first_frame - bow) / (stern - bow) * width)
    wide = max(round((last - bow) / (stern - bow) * width) - begin, least)
    return max(min(begin, width - wide), 0), wide


class LongSection(Widget, can_focus=True):
    """Arrows move between compartments."""

    BINDINGS = [
        use("before", "move(-1)", "Forward", show=False),
        use("next", "move(1)", "Aft", show=False),
        use("up", "lane(-1)", "Lane up", show=False),
        use("down", "lane(1)", "Lane down", show=False),
        use("first", "end(0)", "Bow", show=False),
        use("last", "end(-1)", "Stern", show=False),
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

    def _rows(self, width: int) -> list[list[Placed]]:
        return laid_out(self._cells, width)

    @property
    def _lines_each(self) -> int:
        """Lines of the screen for a row of compartments."""
        return 2 if self.app.size.height >= TALL_ROWS and self.app.size.width >= TALL_COLUMNS else 1

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:  # noqa: ARG002
        return len(self._rows(width)) * self._lines_each + 1

    def render(self) -> Text:
        width = self.size.width
        text = Text(no_wrap=True, overflow="crop")
        text.append(self._ruler(width))
        for row in self._rows(width):
            for line in range(self._lines_each):
                text.append("\n")
                at = 0
                for one in row:
                    text.append(" " * (one.at - at))
                    text.append_text(self._drawn(one, line))
                    at = one.at + one.wide
        return text

    def _ruler(self, width: int) -> str:
        """The frames, as far as they are known; else which end is which."""
        bow, stern = _ends(self._cells)
        if stern <= bow:
            return f"bow {'─' * max(width - 11, 0)} stern"
        step = next(step for step in (1, 2, 5, 10, 20, 50, 100, 1000) if width * step / (stern - bow) >= 5)
        ruler = [" "] * width
        frame = int(-(-bow // step) * step)
        while frame <= stern:
            words, at = f"{frame}", round((frame - bow) / (stern - bow) * width)
            at = min(at, width - len(words))
            ruler[at : at + len(words)] = words
            frame += step
        return "".join(ruler)

    def _drawn(self, one: Placed, line: int) -> Text:
        """One compartment: its sign, name and mark, the rest filled with what was seen and what was not."""
        cell, chosen = one.cell, one.cell.compartment == self.selected
        room = max(one.wide - 2, 1)
        left, right = "<>" if chosen else "[]"
        if line:
            inside = set_cell_size(f" {_whole(cell.told, room - 2)}", room)
        else:
            mark = f" {cell.mark}" if cell.mark else ""
            name = cell.short
            if cell_len(name) + 1 > room - cell_len(mark):
                name = set_cell_size(name, max(room - 1 - cell_len(mark), 0))
            inside, filled = f"{cell.look.value}{name}{mark}", _fill(cell, room)
            inside = (
                set_cell_size(inside, room)
                if cell_len(inside) > room - 1
                else f"{inside} {filled[cell_len(inside) + 1 :]}"
            )
        style = "bold reverse" if chosen else self._style(cell)
        text = Text(f"{left}{inside}{right}", style)
        at = inside.find(cell.mark) if cell.mark and not chosen and not line else -1
        if at >= 0 and not self.app.no_color:
            loud = "bold reverse" if cell.presses else "bold"
            text.stylize(f"{loud} {self.app.theme_variables['error']}", at + 1, at + 1 + len(cell.mark))
        elif at >= 0 and cell.presses:
            text.stylize("bold reverse", at + 1, at + 1 + len(cell.mark))
        return text

    def _style(self, cell: Cell) -> str:
        colours = self.app.theme_variables
        if self.app.no_color:
            return ""
        return {
            Look.NOT_BEGUN: colours["text-muted"],
            Look.UNSEEN: colours["warning"],
            Look.SEEN: colours["success"],
        }[cell.look]

    def watch_selected(self, selected: str) -> None:
        self.post_message(self.Selected(selected))

    def action_move(self, by: int) -> None:
        keys = [one.cell.compartment for row in self._rows(self.size.width) for one in row]
        if keys:
            at = keys.index(self.selected) if self.selected in keys else 0
            self.selected = keys[(at + by) % len(keys)]

    def _row_of_selected(self) -> tuple[int, Placed] | None:
        rows = enumerate(self._rows(self.size.width))
        return next(((at, one) for at, row in rows for one in row if one.cell.compartment == self.selected), None)

    def action_lane(self, by: int) -> None:
        if (here := self._row_of_selected()) is not None:
            rows = self._rows(self.size.width)
            middle = here[1].at + here[1].wide / 2
            target = rows[(here[0] + by) % len(rows)]
            self.selected = min(target, key=lambda one: abs(one.at + one.wide / 2 - middle)).cell.compartment

    def action_end(self, index: int) -> None:
        if (here := self._row_of_selected()) is not None:
            self.selected = self._rows(self.size.width)[here[0]][index].cell.compartment

    def on_click(self, event: events.Click) -> None:
        rows, at = self._rows(self.size.width), (event.y - 1) // self._lines_each
        if 0 <= at < len(rows):
            hit = (one for one in rows[at] if one.at <= event.x < one.at + one.wide)
            self.selected = next((one.cell.compartment for one in hit), self.selected)


def _whole(told: Sequence[str], room: int) -> str:
    """As many whole words as fit, and how many do not.

    >>> _whole(["17/17", "34", "35", "36"], 12), _whole(["17/17", "34", "35"], 20), _whole(["17/17", "34"], 3)
    ('17/17 34 +2', '17/17 34 35', '')
    """
    for shown in range(len(told), 0, -1):
        rest = f" +{len(told) - shown}" if shown < len(told) else ""
        words = " ".join(told[:shown]) + rest
        if cell_len(words) <= room:
            return words
    return ""


def _fill(cell: Cell, room: int) -> str:
    """So many signs: what was seen, then what was not."""
    if not cell.begun:
        return Look.NOT_BEGUN.value * room
    seen = round(cell.seen * room)
    return Look.SEEN.value * seen + Look.UNSEEN.value * (room - seen)
