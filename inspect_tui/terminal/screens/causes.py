"""Causes: every place where metal is eaten, what is likely at work there, and what would tell more."""

from __future__ import annotations

from typing import Any, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option as ListOption

from inspect_tui.domain.plain import counted, one_line, shortened
from inspect_tui.judgement.cure_actions import Eaten, eaten_places
from inspect_tui.judgement.evidence import newest_leak
from inspect_tui.terminal.screens.base import BookScreen
from inspect_tui.terminal.screens.cause import bar
from inspect_tui.terminal.screens.modals import headed

NAME = 18


class CausesScreen(BookScreen):
    CSS_PATH = "causes.tcss"
    TITLE_WORDS = "the causes"
    BINDINGS: ClassVar[list[Any]] = [
        Binding("enter", "open", "Signs", key_display="Enter"),
        Binding("f", "finding", "Finding"),
        Binding("o", "patches", "Old patches"),
        Binding("k", "protection", "Protection"),
        Binding("c", "hunt", "Circuit hunt"),
        Binding("z", "undo", "Undo", show=False),
    ]
    HELP_TEXT = """
Every place where metal is eaten, with what its signs say of the cause; the best known first.

Enter   the signs of the chosen place: tick what you saw, and what you looked for and did not find
f       the finding itself
o       old patches: what lay under those lifted, and what that says of the rest
k       protection: the hull's potential over time, and her anodes
c       circuit hunt: which circuit moves the hull

'likely' from 80 %, 'possible' from 40 %; below that nothing is shown yet, and that is the answer. A likely cause is
in the worklist, to be cured before the repairs that wait for it.
"""

    # What is shown, by chalk number.
    _shown: dict[int, Eaten]

    def body(self) -> ComposeResult:
        self._shown = {}
        yield Static(id="head", markup=False)
        yield OptionList(id="places", compact=True)
        yield Static(id="detail", markup=False)

    def on_mount(self) -> None:
        self.query_one("#places", OptionList).focus()

    def _places(self) -> list[Eaten]:
        """The best known first."""
        return sorted(eaten_places(self.book, self.checklists), key=lambda one: -one.found.ranked[0].chance)

    def show(self) -> None:
        places = self._places()
        self._shown = {one.finding.chalk: one for one in places}
        known = sum(any(not one.cured(self.book, each) for each in one.found.likely) for one in places)
        head = f"Why she corrodes   {counted(len(places), 'place')}, a likely cause at {known}"
        leak = newest_leak(self.book)
        if leak is not None and leak.there:
            # Two lines, less what their ends may leave empty.
            head += "\n" + shortened(f"LEAK MEASURED: {leak.by}", 2 * self.size.width - 20)
        self.query_one("#head", Static).update(head)
        rows = self.query_one("#places", OptionList)
        chosen = self._chosen()
        rows.clear_options()
        for one in places:
            place = self.book.compartments.get(one.finding.compartment)
            best = one.found.ranked[0]
            room = max(NAME, self.size.width - 80 + NAME)
            name = shortened(one_line(place.name) if place else "", room)
            text = Text(f"{one.finding.chalk:>4}  {name:<{room}}  {bar(best.chance, 8)} ", no_wrap=True)
            word = "cured" if best.likely and one.cured(self.book, best) else best.word
            text.append(f"{word:<10}", "bold" if one.found.enough else "")
            text.append(f" {', '.join(each.cause.name for each in one.found.named) or 'not enough to say'}")
            text.truncate(max(self.size.width - 3, 20), overflow="ellipsis")
            rows.add_option(ListOption(text, id=str(one.finding.chalk)))
        chalks = [one.finding.chalk for one in places]
        if places:
            rows.highlighted = chalks.index(chosen) if chosen in chalks else 0
        self._show_detail()

    def _chosen(self) -> int:
        rows = self.query_one("#places", OptionList)
        return 0 if rows.highlighted is None else int(rows.get_option_at_index(rows.highlighted).id or 0)

    @on(OptionList.OptionHighlighted)
    def _show_detail(self) -> None:
        detail = self.query_one("#detail", Static)
        one = self._shown.get(self._chosen())
        if one is None:
            detail.update("Nowhere is eaten metal written down that is still to be repaired.")
            return
        signs, best = self.checklists.causes.signs, one.found.ranked[0]
        lines = [("words", one.finding.words or "none")]
        lines += [
            (name, ", ".join(signs[id].short for id in ids) or "nothing yet")
            for name, ids in (("for", best.speaks_for), ("against", best.against), ("not looked", best.missing))
        ]
        if one.found.enough:
            lines.append(("cure", f"{best.cause.remedy} ({best.cause.who.value})"))
        if test := one.next_test(afloat=self.book.boat.afloat):
            lines.append(("next test", f"{signs[test.sign].ask} ({test.minutes:g} min)"))
        detail.update(headed(lines))

    @on(OptionList.OptionSelected)
    def action_open(self) -> None:
        if chalk := self._chosen():
            self.desk.go("cause", chalk=chalk)

    def action_finding(self) -> None:
        if chalk := self._chosen():
            self.desk.go("finding", chalk=chalk)

    def action_patches(self) -> None:
        self.desk.go("patches")

    def action_protection(self) -> None:
        self.desk.go("protection")

    def action_hunt(self) -> None:
        self.desk.go("hunt")
