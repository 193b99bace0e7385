"""Cause: why metal is eaten at one place. Signs to tick, causes ranked by them, and the next test."""

from __future__ import annotations

from typing import Any, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option as ListOption

from inspect_tui.domain import edits
from inspect_tui.domain.plain import one_line, shortened
from inspect_tui.domain.records import Finding
from inspect_tui.judgement.cause import Found, Weighed, find_causes, signs_at
from inspect_tui.store.errors import BadChecklist
from inspect_tui.terminal.screens.base import BookScreen

BAR = 12
RANKED_SHOWN = 4
SEEN, GIVEN, ABSENT, OPEN = "[x] seen     ", "[q] question ", "[-] not there", "[ ]          "


class CauseScreen(BookScreen):
    CSS_PATH = "cause.tcss"
    TITLE_WORDS = "the cause"
    BINDINGS: ClassVar[list[Any]] = [
        Binding("s", "tick(1)", "Seen"),
        Binding("n", "tick(-1)", "Not there"),
        Binding("x", "tick(0)", "Not looked"),
        Binding("t", "test", "Next test"),
        Binding("y", "why", "Why"),
        Binding("z", "undo", "Undo"),
    ]
    HELP_TEXT = """
Why is the metal eaten at this place? Tick what you saw, and what you looked for and did not find: both tell.

s   seen         n   looked for, and not there         x   not looked for
t   the next test: the one that tells most apart for its work, and how to do it
y   the working: what each sign does to each cause
z   take back the last tick

Some count already, [q]: by the question the finding came from, by its kind, or by a potential below -1150 mV. Nobody
ticked those: check them, and press n where one is not so.
Several causes may be at work together. Where the signs are too few, that is the answer. A repair over a cause that
is not cured comes back: write the cause down in the worklist when you know it.

The weights are judgement of this program, no statistics; they lie in causes.toml and may be changed.
"""

    def __init__(self, chalk: int) -> None:
        super().__init__()
        self._chalk = chalk

    @property
    def finding(self) -> Finding | None:
        return self.book.findings.get(str(self._chalk))

    def subject_gone(self) -> bool:
        return self.finding is None

    def body(self) -> ComposeResult:
        yield Static(id="head", markup=False)
        yield OptionList(id="signs", compact=True)
        yield Static(id="ranked", markup=False)

    def on_mount(self) -> None:
        self.query_one("#signs", OptionList).focus()

    def _found(self) -> Found | None:
        finding = self.finding
        if finding is None:
            return None
        try:
            return find_causes(self.desk.causes(), *signs_at(self.book, finding))
        except BadChecklist as error:
            self.notify(str(error), severity="error", timeout=15, markup=False)
            return None

    def show(self) -> None:
        finding, found = self.finding, self._found()
        if finding is None or found is None:
            return
        place = self.book.compartments.get(finding.compartment)
        head = f"Finding {finding.chalk}   {one_line(place.name) if place else ''}   {one_line(finding.words)}"
        self.query_one("#head", Static).update(shortened(head, max(self.size.width - 2, 20)))
        seen, absent = signs_at(self.book, finding)
        prompt = self.checklists.prompts_by_key().get(finding.prompt or "")
        # What nobody ticked must not look ticked.
        ticked = set(finding.signs) - set(prompt.signs if prompt else ())
        rows = self.query_one("#signs", OptionList)
        at = rows.highlighted or 0
        rows.clear_options()
        for sign in self.desk.causes().signs.values():
            given = SEEN if sign.id in ticked else GIVEN
            mark = given if sign.id in seen else ABSENT if sign.id in absent else OPEN
            text = Text(f"{mark} ", "bold" if mark != OPEN else "", no_wrap=True, overflow="ellipsis")
            text.append(sign.ask)
            text.truncate(max(self.size.width - 3, 20), overflow="ellipsis")
            rows.add_option(ListOption(text, id=sign.id))
        rows.highlighted = min(at, rows.option_count - 1)
        self.query_one("#ranked", Static).update(self._ranking(found))

    def _ranking(self, found: Found) -> Text:
        text = Text()
        if not found.enough:
            text.append("Not enough to say: tick what you see, or do the next test.\n", "bold")
        for one in found.ranked[:RANKED_SHOWN]:
            full = round(one.chance * BAR)
            text.append(f"{'█' * full}{'·' * (BAR - full)} {one.chance:>4.0%}  ")
            text.append(f"{one.word:<10}", "bold")
            text.append(f" {one.cause.name}\n")
        best = found.ranked[0]
        text.append(f"for: {self._signs(best.speaks_for)}\nagainst: {self._signs(best.against)}\n")
        if found.enough:
            text.append(f"cure: {best.cause.remedy} ({best.cause.who.value})\n")
        if found.next_test:
            sign = self.desk.causes().signs[found.next_test.sign]
            text.append(f"next test, {found.next_test.minutes:g} min (t): {sign.ask}")
        return text

    def _signs(self, ids: tuple[str, ...]) -> str:
        return ", ".join(id.replace("-", " ") for id in ids) or "nothing yet"

    def action_tick(self, there: int) -> None:
        finding = self.finding
        rows = self.query_one("#signs", OptionList)
        if finding is None or rows.highlighted is None:
            return
        if self.book_file.read_only:
            self.notify(self.book_file.read_only, severity="warning", markup=False)
            return
        sign = rows.get_option_at_index(rows.highlighted).id or ""
        if self.desk.record(edits.tick_sign(finding, sign, {1: True, -1: False}.get(there))):
            rows.highlighted = min((rows.highlighted or 0) + 1, rows.option_count - 1)

    @on(OptionList.OptionSelected)
    def _selected(self) -> None:
        self.action_tick(1)

    def action_test(self) -> None:
        found = self._found()
        if found is None or found.next_test is None:
            self.notify("Every sign is ticked.")
            return
        test = found.next_test
        sign = self.desk.causes().signs[test.sign]
        cautions = [self.checklists.cautions[id] for id in test.cautions]
        lines = [("find out", sign.ask), ("how", test.how), ("work", f"about {test.minutes:g} minutes")]
        lines += [("CAUTION", f"{one.title}. {one.say} {one.more}") for one in cautions]
        lines.append(("then", "Tick the sign: s if it is so, n if it is not."))
        rows = self.query_one("#signs", OptionList)
        rows.highlighted = list(self.desk.causes().signs).index(test.sign)
        self.desk.show_text("The next test", lines)

    def action_why(self) -> None:
        if found := self._found():
            self.desk.show_text(
                f"Why: finding {self._chalk}", [line for one in found.ranked[:6] for line in self._why(one)]
            )

    def _why(self, one: Weighed) -> list[tuple[str, str]]:
        cause = one.cause
        return [
            (f"{one.chance:.0%}", f"{cause.name}: {cause.what}"),
            ("cure", f"{cause.remedy} ({cause.who.value})"),
            ("for", self._signs(one.speaks_for)),
            ("against", self._signs(one.against)),
            ("not looked", self._signs(one.missing)),
            ("source", f"{cause.source or 'no document'} ({cause.seen})"),
            *one.working.lines(),
        ]
