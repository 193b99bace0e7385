"""Taken out: what is to go back, where it came from, where it lies."""

from __future__ import annotations

from typing import Any, ClassVar

from rich.text import Text

from inspect_tui.domain import edits
from inspect_tui.domain.plain import one_line, shortened
from inspect_tui.domain.records import GoesBack, PartOut
from inspect_tui.judgement.work.action import PartRef, Task, key_of, last_done
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.lists import FIND, ListRow, ListScreen, enter


class PartsScreen(ListScreen):
    TITLE_WORDS = "what was taken out"
    EMPTY = "Nothing is written down as taken out. {add}: write down a sole, a fitting, a bag of screws."
    BINDINGS: ClassVar[list[Any]] = [
        enter("Open"),
        use("add"),
        use("done", label="Back in", does="it is back in; a fitting under or near water is signed with a name"),
        use("remove", "drop", does="it was never out, or is listed twice; asks first"),
        FIND,
    ]
    HELP_TEXT = """
Soles, lockers, linings, fittings, screws, wiring: what was taken out, where it lies now, the number of its bag, and
whether it goes back before or after coating. Each is a line of the worklist until it is back.
"""

    def _back(self, part: PartOut) -> bool:
        when = last_done(self.book, key_of(Task.REFIT, PartRef(part.id)))
        return when is not None and when >= part.when

    def head(self) -> Text:
        back = sum(map(self._back, self.book.parts.values()))
        return Text(f"Taken out   {len(self.book.parts) - back} out, {back} back in")

    def columns(self) -> str:
        return f" bag  {'what':<{self._room}}  where it lies now · where it is from"

    @property
    def _room(self) -> int:
        return max(self.list_width - 47, 24)

    def list_rows(self) -> list[ListRow]:
        rows: list[ListRow] = []
        parts = list(self.book.parts.values())
        for back in reversed(GoesBack):
            out = [part for part in parts if part.back is back and not self._back(part)]
            if out:
                rows.append(ListRow("", Text(f"GOES BACK {back.value.upper()}")))
                rows += [ListRow(part.id, self._line(part)) for part in out]
        if gone := [part for part in parts if self._back(part)]:
            rows.append(ListRow("", Text("BACK IN")))
            rows += [ListRow(part.id, self._line(part)) for part in gone]
        return rows

    def _line(self, part: PartOut) -> Text:
        text = Text(f"{part.bag or '·':>4}  ", no_wrap=True, overflow="ellipsis")
        text.append(f"{shortened(one_line(part.words), self._room):<{self._room}}", "bold")
        return text.append(f"  {one_line(part.lies)} · from {self.place_name(part.compartment)}")

    def detail(self) -> Text | None:
        part = self.book.parts.get(self.list_key)
        if part is None:
            return None
        text = Text.assemble((one_line(part.words), "bold"))
        bag = f"   bag {part.bag}" if part.bag else ""
        text.append(
            f"\nnow: {one_line(part.lies)}{bag}   {part.what.value}, from {self.place_name(part.compartment)}"
        )
        return text.append(f"\nout since {part.when:%Y-%m-%d}, by {one_line(part.by)}; goes back {part.back.value}")

    def open_row(self, key: str) -> None:
        if key:
            self.desk.go("part", part=key)

    def action_add(self) -> None:
        if self.may_write():
            self.desk.go("part")

    def action_done(self) -> None:
        part = self.book.parts.get(self.list_key)
        if part is None or not self.may_write():
            return
        key = key_of(Task.REFIT, PartRef(part.id))
        if key in self.desk.judged.worklist.by_key:
            self.desk.go("done", action=key)
        else:
            self.notify("It is back in already.")

    def action_drop(self) -> None:
        part = self.book.parts.get(self.list_key)
        if part is not None:
            self.ask_remove(f"{one_line(part.words)} from the list", lambda: self.desk.record(edits.drop_part(part)))
