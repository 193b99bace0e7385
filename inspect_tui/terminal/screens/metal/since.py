"""What grew: every spot of the metal held against earlier rounds, and those that wait to be read again."""

from __future__ import annotations

from typing import Any, ClassVar

from rich.console import Group, RenderableType
from rich.text import Text

from inspect_tui.domain import edits
from inspect_tui.domain.measuring.place_line import place_line
from inspect_tui.domain.plain import counted, one_line, shortened
from inspect_tui.engineering.working import shown
from inspect_tui.judgement.shell.rounds import Became, Since
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.lists import FIND, ListRow, ListScreen, enter
from inspect_tui.terminal.screens.modals import headed

BECAME_CELLS, NAME_CELLS, VALUE_CELLS = 15, 18, 11


class SinceScreen(ListScreen):
    TITLE_WORDS = "what grew"
    EMPTY = "One round so far: {more} on the boat screen opens the next; what is read then is compared with this one."
    BINDINGS: ClassVar[list[Any]] = [
        enter("Finding"),
        use("measure", does="read the chosen spot again"),
        use("absent", "not_found", "Not found", does="its mark was looked for in this round, and is not there"),
        use("photos", "photos", does="its pictures, to hold beside the metal"),
        use("working", "why"),
        FIND,
    ]
    HELP_TEXT = """
Every spot that was read, compared with the rounds before: what grew comes first, with what runs out soonest at the
top, then what waits to be read again in this round, the worst first.

  grew             more than the errors of both instruments, and chance over so many spots, explain
  measure again    read in an earlier round, not in this one
  cannot tell      too few days between, or an instrument too coarse for it
  not found again  its mark was looked for in vain: press {absent} to say so
  repaired         read before the repair, or before and after it
  as before        no growth, and half a millimetre of it would have shown
  new              first read in this round
"""

    @property
    def _all(self) -> dict[str, Since]:
        return {one.key: one for one in self.desk.judged.since}

    @property
    def _chosen(self) -> Since | None:
        return self._all.get(self.list_key)

    def head(self) -> RenderableType | None:
        told = self.desk.judged.since
        counts = [(one, sum(each.became is one for each in told)) for one in Became]
        parts = " · ".join(f"{number} {one.value}" for one, number in counts if number)
        return Text(f"Round {self.book.round.number}: {parts}" if parts else "", "bold")

    def columns(self) -> str:
        return f"{'since then':<{BECAME_CELLS}} {'spot':<{NAME_CELLS}} {'read':>{VALUE_CELLS}}         place"

    def list_rows(self) -> list[ListRow]:
        rows = []
        for one in self.desk.judged.since:
            loud = one.became is Became.GREW
            text = Text(no_wrap=True, overflow="ellipsis")
            text.append(f"{one.became.value:<{BECAME_CELLS}} ", "bold" if loud else "")
            text.append(f"{shortened(one.name, NAME_CELLS):<{NAME_CELLS}} ", "bold")
            values = " → ".join(f"{shown(abs(each.gone_mm), 2)}" for _, each in one.told)
            text.append(f"{values:>{VALUE_CELLS}} mm {one.what:<4} ")
            text.append(one_line(one.place.name) if one.place else "")
            rows.append(ListRow(one.key, text, one.words))
        return rows

    def detail(self) -> RenderableType | None:
        one = self._chosen
        if one is None:
            return None
        lines = [("what", f"{one.became.value}: {one.words}")]
        if one.finding is not None:
            lines.append((one.name, one_line(one.finding.words) or one.finding.kind))
        if one.place is not None:
            lines.append(("where", one_line(one.place.name)))
        for number, each in one.told:
            error = f" ± {shown(each.error_mm, 2)}"
            lines.append((f"round {number}", f"{each.day}: {one.what} {shown(abs(each.gone_mm), 2)}{error} mm"))
        if one.finding is not None and one.finding.photos:
            lines.append(("pictures", f"{counted(len(one.finding.photos), 'picture')}: {self.key('photos')}"))
        return Group(headed(lines, 10))

    def working(self) -> list[tuple[str, str]]:
        one = self._chosen
        if one is None or one.growth is None:
            return []
        return one.growth.working(one.left_mm).lines()

    def action_why(self) -> None:
        one = self._chosen
        if one is not None:
            told = self.working() or [("working", "nothing is worked out: it was read in one round only")]
            self.desk.show_text(f"Working: {one.name}", told)

    def open_row(self, key: str) -> None:
        one = self._all.get(key)
        if one is not None and one.finding is not None:
            self.desk.go("finding", chalk=one.finding.chalk)
        elif one is not None:
            self.action_measure()

    def action_measure(self) -> None:
        one = self._chosen
        if one is None:
            return
        newest = one.newest
        where = {"compartment": newest.compartment, "prompt": newest.prompt, "kind": newest.kind}
        if one.finding is not None:
            self.desk.go("measure", **where, chalk=one.finding.chalk)
        else:
            plate = newest.member or newest.plate_field
            self.desk.go("measure", **where, plate=plate, spot=place_line(newest.position))

    def action_not_found(self) -> None:
        one = self._chosen
        if one is None or one.became is not Became.AGAIN or one.finding is None:
            self.notify("Only a finding that waits to be read again can be marked as not found.")
            return
        finding = one.finding
        self.desk.record(lambda: edits.not_found_again(self.book, finding))

    def action_photos(self) -> None:
        one = self._chosen
        if one is not None and one.finding is not None:
            self.desk.go("photos", chalk=one.finding.chalk)
