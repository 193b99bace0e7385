"""Shell map: the developed shell, bow left, port above; what is known of every bay, and what lies there."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.widgets import Static

from inspect_tui.domain.plain import counted, one_line, shortened
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.words import Tier
from inspect_tui.judgement.shell.shell_map import Cell, Looked, ShellMap, places_at, shell_map
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.screens.base import BookScreen
from inspect_tui.terminal.screens.modals import headed

LOOKED_SIGNS = {Looked.SEEN: "=", Looked.PART: "/", Looked.NOT: "."}
# Heights of a band along the plate [mm]: the finest that fits the screen.
BANDS_MM = (250.0, 500.0, 750.0, 1000.0, 1500.0, 2000.0, 3000.0)
# Of one compartment alone.
FINE_MM = (50.0, 100.0, 150.0)
EDGE_CELLS = 7
LEGEND = "? found, not measured   X bars floating   = seen   / part seen   . not seen   underlined: this place"


def _tens_gone(cell: Cell) -> str:
    if cell.holed:
        return "H"
    return "" if cell.gone_percent is None else tenths(cell.gone_percent)


def tenths(percent: float) -> str:
    """Whole tenths in one digit, of the per cent as they are printed."""
    return str(min(round(percent) // 10, 9))


def _pit_mm(cell: Cell) -> str:
    if cell.holed:
        return "H"
    return "" if cell.pit_mm is None else str(min(int(cell.pit_mm), 9))


def _tier_letter(cell: Cell) -> str:
    return "" if cell.tier is None else str(list(Tier).index(cell.tier) + 1)


def _became(cell: Cell) -> str:
    return cell.became.sign if cell.became else ""


# What the first sign of a cell tells: its name, what is said of it, and the sign.
VIEWS: tuple[tuple[str, str, Callable[[Cell], str]], ...] = (
    ("gone", "a digit is tenths of the plate gone, H is holed, p: pits alone were read", _tens_gone),
    ("pits", "digit: deepest pit in whole mm, H holed", _pit_mm),
    ("tier", "digit: 1 NOW, 2 TODAY, 3 AFLOAT, 4 SAIL, 5 THIS HAUL, 6 NEXT HAUL, 7 WATCH", _tier_letter),
    ("grew", "G grew, 0 as before, c cannot tell, a measure again, n new, l mark lost, r repaired", _became),
    ("age", "digit: years since it was read, 9 or more", lambda _cell: ""),
    ("seen", "how much of it was seen", lambda _cell: ""),
)


class MapScreen(BookScreen):
    CSS_PATH = "map.tcss"
    TITLE_WORDS = "the shell map"
    BINDINGS: ClassVar[list[Any]] = [
        use("before", "move(-1, 0)", show=False),
        use("next", "move(1, 0)", show=False),
        use("up", "move(0, -1)", show=False),
        use("down", "move(0, 1)", show=False),
        use("on", "enter", "Finding"),
        use("page_next", "worst(1)", "Next worst", does="the next cell by what is gone, holes first"),
        use("page_before", "worst(-1)", "Worse", does="back to the worse one", show=False),
        use("first", "worst(0)", "Worst", does="the worst cell of all", show=False),
        use(
            "view", "other", "Shows", does="metal gone, pits, tiers, what grew, age of readings, or how much was seen"
        ),
        use("only", "zoom", "Zoom", does="only the compartment under the cursor, in finer cells; again: the whole"),
    ]
    HELP_TEXT = """
The shell laid flat: bow left, port above the centreline, starboard below. A cell is one bay by one band along the
plate. Its first sign is what was read or found there; ? is a finding without a reading; X means that something in it
bars floating her. Cells of the compartment under the cursor are underlined. Nothing is drawn between readings.

  =  its plate was seen     /  seen in part     .  not seen, or in no compartment with a side

The cursor begins at the worst cell. Arrows move it; {page_next} goes to the next worst; {on} opens the first
finding there, with its history. {view} changes what is shown, {only} zooms in on the compartment under the
cursor, and out again. Findings whose place is not written down are listed below.
"""

    def __init__(self) -> None:
        super().__init__()
        self._view = 0
        self._at: tuple[int, int] | None = None
        self._within: Compartment | None = None
        self._worst = self._bands = 0

    def body(self) -> ComposeResult:
        yield Static(id="head", markup=False)
        yield Static(id="grid", markup=False)
        yield Static(id="none", markup=False)
        yield Static(id="detail", markup=False)

    @property
    def _map(self) -> ShellMap:
        """In the finest bands that fit; kept for as long as book and size are the same."""
        key = (id(self.book), self.size.height, self._within.id if self._within else "")
        if self._kept is None or self._kept[0] != key:
            room = max(self.size.height - 13, 6)
            for band_mm in (*(FINE_MM if self._within else ()), *BANDS_MM):
                judged = self.desk.judged
                told = shell_map(
                    self.book, self.checklists, judged.verdicts, judged.worklist, judged.since, band_mm, self._within
                )
                if len(told.bands) - 1 <= room:
                    break
            self._kept = (key, told)
        return self._kept[1]

    _kept: tuple[tuple[int, int, str], ShellMap] | None = None

    def show(self) -> None:
        told = self._map
        worst = told.by_worst
        columns, bands = len(told.columns) - 1, len(told.bands) - 1
        if self._at is None:
            self._at = worst[0] if worst else (0, bands // 2)
        elif bands != self._bands:
            # Bands of another height: the same side, as far out as before.
            share = (self._at[1] + 0.5) / self._bands
            self._at = min(self._at[0], columns - 1), min(int(share * bands), bands - 1)
        self._bands = bands
        band = told.bands[1] - told.bands[0]
        name, legend, _ = VIEWS[self._view]
        of = "one bay" if told.framed else f"{told.columns[2] - told.columns[1]:.0f} mm"
        whole = "Shell" if self._within is None else one_line(self._within.name)
        size = f"a cell is {of} by {band:.0f} mm; P, S: metres out"
        head = f"{whole}, bow left, port above; {size}\n{name}: {legend}\n{LEGEND}"
        self.query_one("#none", Static).display = bool(told.unplaced)
        if told.unplaced:
            numbers = shortened(", ".join(map(str, told.unplaced)), max(self.size.width - 44, 20))
            nowhere = f"not placed on the shell: {counted(len(told.unplaced), 'finding')}, no. {numbers}"
            self.query_one("#none", Static).update(Text(nowhere, no_wrap=True, overflow="ellipsis"))
        self.query_one("#head", Static).update(Text(head, no_wrap=True, overflow="ellipsis"))
        self.query_one("#grid", Static).update(self._grid(told))
        self.query_one("#detail", Static).update(headed(self._told(told)))

    def _grid(self, told: ShellMap) -> Text:
        columns, bands = len(told.columns) - 1, len(told.bands) - 1
        wide = max(1, min((self.size.width - EDGE_CELLS - 2) // columns, 5))
        colours = self.app.theme_variables
        style = {
            Looked.SEEN: colours["success"],
            Looked.PART: colours["warning"],
            Looked.NOT: colours["text-muted"],
        }
        axis = Text(" " * EDGE_CELLS)
        longest = max(map(len, told.names), default=1)
        every = max(1, -(-(longest + 1) // wide))
        for column in range(0, columns, every):
            axis.append(f"{told.names[column]:<{wide * every}}")
        text = Text(no_wrap=True, overflow="crop")
        text.append_text(axis).append("\n")
        within = told.places.get(self._at or (-1, -1))
        for band in range(bands):
            low, high = told.bands[band], told.bands[band + 1]
            side, out = ("P", abs(high)) if high <= 0 else ("S", low)
            text.append(f"{side} {out / 1000:>4.2f}"[: EDGE_CELLS - 1].ljust(EDGE_CELLS), "bold" if out == 0 else "")
            # Cells of one look that lie side by side are one run: a screen draws runs, not cells.
            run, run_look = "", ""
            for column in range(columns):
                cell = told.cell_at(column, band)
                sign = self._sign(cell) or ("p" if cell.pit_mm is not None else "?" if cell.chalks else "")
                looked = LOOKED_SIGNS[cell.looked]
                flag = "X" if cell.bars else looked
                drawn = (sign or looked)[:1] if wide == 1 else f"{sign or looked}{flag}".ljust(wide, " ")[:wide]
                look = f"bold {colours['error']}" if cell.bars else style[cell.looked]
                look = f"bold {look}" if sign else look
                if (column, band) == self._at:
                    look = "reverse bold"
                elif within is not None and told.places.get((column, band)) == within:
                    look = f"underline {look}"
                if look != run_look:
                    text.append(run, run_look)
                    run, run_look = "", look
                run += drawn
            text.append(run, run_look).append("\n")
        text.rstrip()
        return text

    def _sign(self, cell: Cell) -> str:
        if VIEWS[self._view][0] == "age" and cell.read is not None:
            return str(min((self.desk.clock().date() - cell.read).days // 365, 9))
        return VIEWS[self._view][2](cell)

    def _told(self, told: ShellMap) -> list[tuple[str, str]]:
        """What lies in the chosen cell."""
        assert self._at is not None
        column, band = self._at
        cell = told.cell_at(column, band)
        low, high = told.bands[band], told.bands[band + 1]
        side = "port" if high <= 0 else "starboard"
        near, far = sorted((abs(low), abs(high)))
        across = f"{side}, {near:.0f} to {far:.0f} mm out"
        lines = [("here", f"from {told.where(column)}, {across}: {cell.looked.value}")]
        if places := places_at(self.book, self.checklists, told, column, band):
            lines.append(("in", ", ".join(one_line(one.name) for one in places)))
        if cell.left_mm is not None:
            gone = "" if cell.gone_percent is None else f", {cell.gone_percent:.0f} % gone"
            lines.append(("metal", f"{cell.left_mm:g} mm left at the thinnest{gone}"))
        if cell.pit_mm is not None:
            lines.append(("pits", f"{cell.pit_mm:g} mm at the deepest" + ("; holed" if cell.holed else "")))
        for chalk in cell.chalks:
            finding = self.book.findings[str(chalk)]
            lines.append((f"no. {chalk}", shortened(one_line(finding.words) or finding.kind, 90)))
        return lines

    def action_move(self, across: int, down: int) -> None:
        told = self._map
        column, band = self._at or (0, 0)
        self._at = (
            min(max(column + across, 0), len(told.columns) - 2),
            min(max(band + down, 0), len(told.bands) - 2),
        )
        self.show()

    def action_worst(self, by: int) -> None:
        worst = self._map.by_worst
        if worst:
            self._worst = 0 if by == 0 else min(max(self._worst + by, 0), len(worst) - 1)
            self._at = worst[self._worst]
            self.show()

    def action_zoom(self) -> None:
        """Into the compartment under the cursor, or back to the whole shell."""
        if self._within is None:
            places = places_at(self.book, self.checklists, self._map, *(self._at or (0, 0)))
            if not places:
                self.notify("No compartment with frames and a place across the boat is written down here.")
                return
            # Where a finding lies in one of them, that one; else the smallest.
            cell = self._map.cell_at(*(self._at or (0, 0)))
            own = {self.book.findings[str(chalk)].compartment for chalk in cell.chalks}
            smallest = self._map.places[self._at or (0, 0)]
            self._within = next((one for one in places if one.id in own), self.book.compartments[smallest])
        else:
            self._within = None
        self._at = None
        self.show()

    def action_other(self) -> None:
        self._view = (self._view + 1) % len(VIEWS)
        self.show()

    def action_enter(self) -> None:
        cell = self._map.cell_at(*self._at) if self._at else None
        if cell is not None and cell.chalks:
            self.desk.go("finding", chalk=cell.chalks[0])
        else:
            self.notify("No finding is written down in this cell.")

    def on_click(self, event: events.Click) -> None:
        """A click chooses the cell under it."""
        grid = self.query_one("#grid", Static)
        x, y = event.screen_x - grid.region.x - EDGE_CELLS - 1, event.screen_y - grid.region.y - 1
        told = self._map
        wide = max(1, min((self.size.width - EDGE_CELLS - 2) // (len(told.columns) - 1), 5))
        if 0 <= x < wide * (len(told.columns) - 1) and 0 <= y < len(told.bands) - 1:
            self._at = (x // wide, y)
            self.show()
