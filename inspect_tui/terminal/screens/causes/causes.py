"""Causes: every place where metal is eaten, what is likely at work there, and what would tell more."""

from __future__ import annotations

from typing import Any, ClassVar

from rich.console import RenderableType
from rich.text import Text

from inspect_tui.domain.plain import counted, shortened
from inspect_tui.judgement.causes.eaten import Eaten
from inspect_tui.judgement.work.cure_actions import is_cured
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.lists import FIND, ListRow, ListScreen, enter
from inspect_tui.terminal.names import ScreenName
from inspect_tui.terminal.screens.modals import headed

NAME = 18
# Of the whole boat, before the places: where each row leads, and what it is for.
OF_THE_BOAT: dict[ScreenName, tuple[str, str]] = {
    "patches": ("Old patches", "what lay under those lifted, and what that says of the rest"),
    "protection": ("Protection", "the hull's potential over time, and her anodes"),
    "hunt": ("Circuit hunt", "which circuit leaks into the hull"),
}


class CausesScreen(ListScreen):
    TITLE_WORDS = "the causes"
    BINDINGS: ClassVar[list[Any]] = [
        enter("Signs"),
        use("finding", does="the finding itself"),
        use("patches", "app.go('patches')", show=False),
        use("protection", "app.go('protection')", show=False),
        use("hunt", "app.go('hunt')", show=False),
        FIND,
    ]
    HELP_TEXT = """
Every place where metal is eaten, with what its signs say of the cause; the surest first. Open one to tick what
you saw there, and what you looked for and did not find.

'likely', 'possible' or 'unproven', by the signs for and against; 'not enough to say' is an answer too. A likely
cause is in the worklist, to be cured before the repairs that wait for it.

At the top stand three lines for the whole boat: old patches, her potential and anodes, and the circuit hunt.
"""

    def _places(self) -> dict[str, Eaten]:
        """By chalk number, the best known first."""
        places = sorted(self.desk.judged.eaten, key=lambda one: -one.found.ranked[0].chance)
        return {str(one.finding.chalk): one for one in places}

    def head(self) -> Text:
        places = self._places().values()
        known = sum(any(not is_cured(self.book, one, each) for each in one.found.likely) for one in places)
        head = f"Why she corrodes   {counted(len(places), 'place')}, a likely cause at {known}"
        leak = self.desk.judged.leak
        if leak is not None and leak.there:
            # Two lines, less what their ends may leave empty.
            head += "\n" + shortened(f"LEAK MEASURED: {leak.by}", 2 * self.size.width - 20)
        return self.badged(head)

    @property
    def _room(self) -> int:
        return max(NAME, self.list_width - 80 + NAME)

    def columns(self) -> str:
        return f" no.  {'place':<{self._room}}  {'how sure':<10} cause"

    def show(self) -> None:
        begins = not self.list_key
        super().show()
        if begins:
            # The places are what one comes for; what stands above them has keys of its own.
            self.choose(next(iter(self._places()), ""))

    def list_rows(self) -> list[ListRow]:
        room = self._room
        rows = [
            ListRow(name, Text.assemble("      ", (f"{words:<14}", "bold"), f"{told}", no_wrap=True))
            for name, (words, told) in OF_THE_BOAT.items()
        ]
        rows.append(ListRow("", Text("PLACES WHERE METAL IS EATEN AWAY")))
        for key, one in self._places().items():
            best = one.found.ranked[0]
            name = shortened(self.place_name(one.finding.compartment), room)
            text = Text(f"{key:>4}  {name:<{room}}  ", no_wrap=True)
            word = "cured" if best.likely and is_cured(self.book, one, best) else best.word
            text.append(f"{word:<10}", "bold" if one.found.enough else "")
            text.append(f" {', '.join(each.cause.name for each in one.found.named) or 'not enough to say'}")
            rows.append(ListRow(key, text))
        return rows

    def detail(self) -> RenderableType:
        one = self._places().get(self.list_key)
        if one is None:
            none = "" if self._places() else "No eaten metal is written down that still needs repair."
            chosen = [told for name, told in OF_THE_BOAT.items() if name == self.list_key]
            return "\n".join((*(f"{words}: {told}." for words, told in chosen), none))
        signs, best = self.checklists.causes.signs, one.found.ranked[0]
        lines = [("words", one.finding.words or "none")]
        lines += [("cause", f"{each.cause.name}, {each.told}") for each in one.found.named]
        lines += [
            (name, ", ".join(signs[id].short for id in ids) or "nothing yet")
            for name, ids in (("for", best.speaks_for), ("against", best.against), ("not looked for", best.missing))
        ]
        if one.found.enough:
            lines.append(("cure", f"{best.cause.remedy} ({best.cause.who.value})"))
        if test := one.next_test(afloat=self.book.boat.afloat):
            lines.append(("next test", f"{signs[test.sign].ask} ({test.minutes:g} min)"))
        return headed(lines)

    def open_row(self, key: str) -> None:
        screen = next((name for name in OF_THE_BOAT if name == key), None)
        if screen is not None:
            self.desk.go(screen)
        elif key:
            self.desk.go("cause", chalk=int(key))

    def action_finding(self) -> None:
        if (key := self.list_key) in self._places():
            self.desk.go("finding", chalk=int(key))
