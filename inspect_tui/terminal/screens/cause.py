"""Cause: why metal is eaten at one place. Signs to tick, causes ranked by them, and the next test."""

from __future__ import annotations

from typing import Any, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option as ListOption

from inspect_tui.domain import walk
from inspect_tui.domain.cause_edits import name_beside, tick_sign
from inspect_tui.domain.causes import CauseTest, Sign
from inspect_tui.domain.plain import one_line, shortened
from inspect_tui.domain.records import NO_OTHER_METAL, Finding
from inspect_tui.judgement.cause import Found, Weighed, causes_at, known_of
from inspect_tui.judgement.cure_actions import eaten_places
from inspect_tui.judgement.evidence import Evidence, Gathering
from inspect_tui.terminal.screens.base import BookScreen
from inspect_tui.terminal.screens.modals import PickOne
from inspect_tui.terminal.widgets.choice import Option

BAR = 12
RANKED_SHOWN = 4
OPEN = "[ ]          "
MARKS = {
    ("ticked", True): "[x] seen     ",
    ("ticked", False): "[-] not there",
    ("reading", True): "[r] seen     ",
    ("reading", False): "[r] not there",
    ("place", True): "[p] seen     ",
    ("place", False): "[p] not there",
    ("question", True): "[q] question ",
    ("kind", True): "[q] its kind ",
}


def bar(chance: float, width: int = BAR) -> str:
    """A chance as a bar with its number; the word beside it says the same."""
    full = round(chance * width)
    return f"{'█' * full}{'·' * (width - full)} {chance:>4.0%}"


class CauseScreen(BookScreen):
    CSS_PATH = "cause.tcss"
    TITLE_WORDS = "the cause"
    BINDINGS: ClassVar[list[Any]] = [
        Binding("s", "tick(1)", "Seen"),
        Binding("n", "tick(-1)", "Not there"),
        Binding("x", "tick(0)", "Open"),
        Binding("b", "beside", "Beside"),
        Binding("t", "test", "Test"),
        Binding("y", "why", "Why"),
        Binding("z", "undo", "Undo"),
    ]
    HELP_TEXT = """
Why is the metal eaten at this place? Tick what you saw, and what you looked for and did not find: both tell.

s   seen         n   looked for, and not there         x   open: not looked for
t   the next test: the one that tells most apart for its work, and how to do it
y   the working: what each sign does to each cause
z   take back the last tick

b   which other metal touches her here: its voltage against the hull counts as a sign

Some count already:
[q]  by the question the finding came from, or by its kind. Nobody looked: they count for half, and alone they never
     make a cause likely. s confirms one, n says that it is not so.
[r]  by a reading: pits and ohms here; below the waterline the newest circuit hunt and test of the wiring; and, of
     metal that the water outside may touch, the hull's potential.
[p]  by the place itself.
What you tick goes before all of them.

Several causes may be at work together. Where the signs are too few, that is the answer. A cause that is likely is in
the worklist, before the repairs that wait for it; when it is cured, mark it done there.

The weights are judgement of this program, no statistics; they lie in causes.toml and may be changed.
"""

    def __init__(self, chalk: int) -> None:
        super().__init__()
        self._chalk = chalk
        # The rows ticked here, to go back to with an undo.
        self._ticked: list[int] = []

    @property
    def finding(self) -> Finding | None:
        return self.book.findings.get(str(self._chalk))

    def subject_gone(self) -> bool:
        return self.finding is None

    def body(self) -> ComposeResult:
        yield Static(id="head", markup=False)
        yield OptionList(id="signs", compact=True)
        yield Static(id="by", markup=False)
        yield Static(id="ranked", markup=False)

    def on_mount(self) -> None:
        self.query_one("#signs", OptionList).focus()

    def _evidence(self) -> tuple[Evidence, ...]:
        finding = self.finding
        return () if finding is None else Gathering(self.book, self.checklists).at(finding)

    def _found(self) -> Found:
        return causes_at(known_of(self.checklists.causes, self.book.boat.hull_metal), self._evidence())

    def show(self) -> None:
        finding = self.finding
        if finding is None:
            return
        place = self.book.compartments.get(finding.compartment)
        head = f"Finding {finding.chalk}   {one_line(place.name) if place else ''}   {one_line(finding.words)}"
        self.query_one("#head", Static).update(shortened(head, max(self.size.width - 2, 20)))
        known = {one.sign: one for one in self._evidence()}
        rows = self.query_one("#signs", OptionList)
        at = rows.highlighted or 0
        rows.clear_options()
        for sign in self._signs_to_tick():
            one = known.get(sign.id)
            mark = MARKS[one.origin, one.there] if one else OPEN
            text = Text(f"{mark} ", "bold" if one else "", no_wrap=True, overflow="ellipsis")
            text.append(sign.ask)
            text.truncate(max(self.size.width - 3, 20), overflow="ellipsis")
            rows.add_option(ListOption(text, id=sign.id))
        rows.highlighted = min(at, rows.option_count - 1)
        self._show_by()
        self.query_one("#ranked", Static).update(self._ranking(self._found()))

    @on(OptionList.OptionHighlighted)
    def _show_by(self) -> None:
        """Who says so of the chosen sign."""
        chosen = self._chosen()
        one = next((one for one in self._evidence() if one.sign == chosen), None)
        words = "not looked for yet" if one is None else f"{'there' if one.there else 'not there'}: {one.by}"
        sign = self.checklists.causes.signs.get(chosen)
        # The list cuts long questions short: here the chosen one stands whole.
        self.query_one("#by", Static).update(f"{sign.ask if sign else ''}\n{words}")

    def _signs_to_tick(self) -> list[Sign]:
        """Those that tell something of a cause in this metal."""
        known = known_of(self.checklists.causes, self.book.boat.hull_metal)
        told = {sign for cause in known.causes.values() for sign in cause.tells}
        return [sign for sign in known.signs.values() if sign.id in told]

    def _chosen(self) -> str:
        rows = self.query_one("#signs", OptionList)
        return "" if rows.highlighted is None else rows.get_option_at_index(rows.highlighted).id or ""

    def _ranking(self, found: Found) -> Text:
        text = Text()
        places = eaten_places(self.book, self.checklists)
        eaten = next((place for place in places if place.finding.chalk == self._chalk), None)
        if not found.enough:
            text.append("Not enough to say: tick what you see, or do the next test.\n", "bold")
        for one in found.ranked[:RANKED_SHOWN]:
            text.append(f"{bar(one.chance)}  ")
            cured = eaten is not None and one.likely and eaten.cured(self.book, one)
            text.append(f"{'cured' if cured else one.word:<10}", "bold")
            text.append(f" {one.cause.name}\n")
        best = found.ranked[0]
        text.append(f"for: {self._signs(best.speaks_for)}\nagainst: {self._signs(best.against)}\n")
        if found.enough:
            text.append(f"cure: {best.cause.remedy} ({best.cause.who.value})\n")
        if test := self._next_test(found):
            text.append(f"next test, {test.minutes:g} min (t): {self.checklists.causes.signs[test.sign].ask}")
        return text

    def _signs(self, ids: tuple[str, ...]) -> str:
        return ", ".join(self.checklists.causes.signs[id].short for id in ids) or "nothing yet"

    def action_tick(self, there: int) -> None:
        finding = self.finding
        rows = self.query_one("#signs", OptionList)
        if finding is None or rows.highlighted is None:
            return
        if self.book_file.read_only:
            self.notify(self.book_file.read_only, severity="warning", markup=False)
            return
        at = rows.highlighted
        if self.desk.record(tick_sign(finding, self._chosen(), {1: True, -1: False}.get(there))):
            self._ticked.append(at)
            rows.highlighted = min(at + 1, rows.option_count - 1)

    def action_undo(self) -> None:
        super().action_undo()
        if self._ticked:
            self.query_one("#signs", OptionList).highlighted = self._ticked.pop()

    @on(OptionList.OptionSelected)
    def _selected(self) -> None:
        self.action_tick(1)

    def _next_test(self, found: Found) -> CauseTest | None:
        place = self.book.compartments.get(self.finding.compartment) if self.finding else None
        below = walk.below_waterline(self.checklists, place) if place else True
        return found.next_test(afloat=self.book.boat.afloat, below=below)

    def action_beside(self) -> None:
        finding = self.finding
        if finding is None:
            return
        if self.book_file.read_only:
            self.notify(self.book_file.read_only, severity="warning", markup=False)
            return
        series = sorted(self.checklists.metals.galvanic.values(), key=lambda one: one.name)
        options = [Option(NO_OTHER_METAL, "", "no other metal"), *(Option(one.id, "", one.name) for one in series)]

        def picked(value: str | None) -> None:
            if value is not None and (now := self.finding):
                self.desk.record(name_beside(now, value))

        self.app.push_screen(PickOne("Which other metal touches her there?", options, finding.beside or ""), picked)

    def action_test(self) -> None:
        test = self._next_test(self._found())
        if test is None:
            self.notify("No test is left that can be made as she lies now: tick what you see.")
            return
        signs = self.checklists.causes.signs
        cautions = [self.checklists.cautions[id] for id in test.cautions]
        lines = [("find out", signs[test.sign].ask), ("how", test.how), ("work", f"about {test.minutes:g} minutes")]
        lines += [("CAUTION", f"{one.title}. {one.say} {one.more}") for one in cautions]
        lines.append(("then", "Tick the sign: s if it is so, n if it is not."))
        self.query_one("#signs", OptionList).highlighted = [one.id for one in self._signs_to_tick()].index(test.sign)
        self.desk.show_text("The next test", lines)

    def action_why(self) -> None:
        signs = self.checklists.causes.signs
        known = [
            ("signs", f"{signs[one.sign].short}, {'there' if one.there else 'not there'}: {one.by}")
            for one in self._evidence()
            if one.sign in signs
        ]
        ranked = self._found().ranked[:6]
        self.desk.show_text(
            f"Why: finding {self._chalk}", [*known, *(line for one in ranked for line in self._why(one))]
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
