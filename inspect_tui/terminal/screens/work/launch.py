"""Launch: signed line by line, before she moves, in the slings, and once she floats."""

from __future__ import annotations

from typing import Any, ClassVar

from rich.console import RenderableType
from rich.text import Text

from inspect_tui.domain.knowledge.launch import Phase
from inspect_tui.domain.plain import counted, one_line
from inspect_tui.domain.words import Tier
from inspect_tui.judgement.work.completion import sign
from inspect_tui.judgement.work.launching import SOURCE, Signing
from inspect_tui.judgement.work.worklist import count_words
from inspect_tui.terminal.desk import Line
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.lists import FIND, ListRow, ListScreen, enter


class LaunchScreen(ListScreen):
    TITLE_WORDS = "the launch list"
    EMPTY = "She floats, and has not been launched since this book began: there is nothing to sign."
    BINDINGS: ClassVar[list[Any]] = [enter("Sign"), use("worklist", "app.go('worklist')"), FIND]
    HELP_TEXT = """
What is done before she moves, in the slings, the first night, and after: each line by itself, with the name of
whoever did it. Where a line has a time, it runs from the moment you say that she floats (on the boat screen, under
{more}); one that is overdue stands in the worklist under TODAY. No line stands in for another, and the next launch
begins anew.

The yard's own way comes first. This list cannot say that she may be floated.
"""

    def head(self) -> RenderableType | None:
        lines = self.desk.judged.launch
        left = [one for one in lines if one.open and one.line.phase in (Phase.BEFORE, Phase.SLINGS)]
        listed = self.desk.judged.worklist
        missed = sum(one.missed for one in lines)
        told = f"{counted(len(left), 'line')} to sign before she is let go. {SOURCE}"
        if self.book.boat.afloat:
            told = f"She floats. {counted(len(left), 'line')} can still be signed; missed: {missed}. {SOURCE}"
        if not self.book.boat.afloat and listed.barring:
            told += f"\nBefore the launch: {count_words(listed, Tier.BEFORE_AFLOAT)}."
        return Text(told)

    def list_rows(self) -> list[ListRow]:
        rows: list[ListRow] = []
        for phase in Phase:
            lines = [one for one in self.desk.judged.launch if one.line.phase is phase]
            if lines:
                rows.append(ListRow("", Text(phase.value.upper())))
                rows += [ListRow(one.line.id, self._line(one)) for one in lines]
        return rows

    def _line(self, one: Signing) -> Text:
        mark = "to do " if one.open else "missed" if one.missed else "signed"
        if one.overdue(self.desk.judged.now):
            mark = "DUE   "
        after = f"+{one.line.hours:g} h" if one.line.hours else ""
        text = Text(f"{mark}  ", "bold" if mark.startswith("DUE") else "", no_wrap=True, overflow="ellipsis")
        text.append(f"{after:>6}  {one.line.say}")
        return text.append(f"  {self._when_words(one)}" if one.when or one.due else "")

    def columns(self) -> str:
        return f"{'':8}{'afloat':>6}  what"

    def _when_words(self, one: Signing) -> str:
        if one.when is not None:
            return f"{one_line(one.by)}, {one.when:%Y-%m-%d %H:%M}"
        if one.due is not None:
            return f"due {one.due:%Y-%m-%d %H:%M}"
        return f"{one.line.hours:g} h after she floats" if one.line.hours else ""

    @property
    def signing(self) -> Signing | None:
        return next((one for one in self.desk.judged.launch if one.line.id == self.list_key), None)

    def detail(self) -> Text | None:
        one = self.signing
        if one is None:
            return None
        text = Text.assemble((one.line.say, "bold"))
        return text.append(f"\nwho: {one.line.who.value}   {self._when_words(one)}")

    def open_row(self, key: str) -> None:
        if key and self.may_write():
            self.ask_sign(key)

    def ask_sign(self, line: str) -> None:
        """Whose name stands under a line."""
        one = next((one for one in self.desk.judged.launch if one.line.id == line), None)
        if one is None:
            self.notify("That line is not in the list any more.")
            return
        if one.missed:
            self.notify("She floats: this could only be done while she was out of the water, and was not signed.")
            return
        if not one.open:
            self.notify(f"Signed by {one_line(one.by)}. {self.key('undo')} takes the last change back.", markup=False)
            return

        def typed(name: str) -> bool:
            stamp = self.book_file.stamp()
            return self.desk.record(lambda: sign(stamp, one, name))

        asked = Line(f"{one.line.say} — signed by", needed="Sign it with your name: this job keeps the water out.")
        self.desk.ask_line(self.form.line("sign", line=line), asked, typed)
