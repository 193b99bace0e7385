"""Gauging: what is answered by readings, as one campaign through the boat."""

from __future__ import annotations

from typing import Any, ClassVar

from rich.text import Text

from inspect_tui.domain import walk
from inspect_tui.domain.knowledge.areas import By, Prompt
from inspect_tui.domain.measuring.readings import KINDS
from inspect_tui.domain.plain import counted, one_line
from inspect_tui.domain.records import Compartment
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.lists import FIND, ListRow, ListScreen, enter


class GaugingScreen(ListScreen):
    TITLE_WORDS = "what is to be gauged"
    EMPTY = "Nothing is left to gauge in this round."
    BINDINGS: ClassVar[list[Any]] = [
        enter("Measure"),
        use("unseen", "walk('say_unseen')", does="at its question: why it cannot be measured"),
        use("not_fitted", "walk('say_not_fitted')", does="at its question: there is no such thing on her"),
        use("finding", "walk('say_finding')", does="at its question: what is wrong there"),
        FIND,
    ]
    HELP_TEXT = """
What only a gauge or a meter can tell is not asked question by question: it is all done in one campaign, with the
tool in your hand. A line drops out once something has been read there in this round; its verdict is under Metal.

Find takes 'thickness', 'hauled out', or a compartment.
"""

    def _open(self) -> list[tuple[Compartment, Prompt]]:
        return [
            (place, prompt)
            for place in self.book.bow_to_stern()
            for prompt in walk.prompts_of(self.checklists, self.book, place)
            if prompt.by is By.GAUGE and walk.is_open(self.book, place, prompt)
        ]

    def head(self) -> Text:
        open_ = self._open()
        places = len({place.id for place, _ in open_})
        return Text(f"To gauge: {counted(len(open_), 'spot')} in {counted(places, 'compartment')}", "bold")

    def list_rows(self) -> list[ListRow]:
        rows = []
        for place, prompt in self._open():
            text = Text(no_wrap=True, overflow="ellipsis")
            text.append(f"{one_line(place.name)}: ", "bold")
            text.append(prompt.ask)
            with_what = ", ".join(KINDS[kind].label for kind in prompt.measure)
            waits = "waits until she is hauled out" if walk.barred(self.book.boat, prompt) else ""
            rows.append(ListRow(f"{place.id} {prompt.key}", text, f"{with_what} {waits} {' '.join(prompt.needs)}"))
        return rows

    def _chosen(self, key: str) -> tuple[Compartment, Prompt]:
        place, _, prompt = key.partition(" ")
        return self.book.compartments[place], self.checklists.prompts[prompt]

    def detail(self) -> Text | None:
        if not self.list_key:
            return None
        place, prompt = self._chosen(self.list_key)
        text = Text(f"{walk.frames_words(place)}  " if walk.frames_words(place) else "")
        text.append(f"{one_line(place.name)}: {prompt.ask}\n", "bold")
        if bar := walk.barred(self.book.boat, prompt):
            text.append(f"WAIT  {bar.say}\n", "bold")
        else:
            text.append(f"look  {prompt.look}\nhow   {walk.how_to(self.checklists, self.book.boat, place, prompt)}\n")
        text.append(f"take  {' · '.join(KINDS[kind].label for kind in prompt.measure)}")
        needs = walk.needs_of(self.checklists, place, prompt)
        text.append(f"   first: {', '.join(needs)}" if needs else "")
        return text

    def open_row(self, key: str) -> None:
        if not key:
            return
        place, prompt = self._chosen(key)
        if walk.barred(self.book.boat, prompt) or walk.needs_of(self.checklists, place, prompt):
            # What it needs is asked for at its question.
            self.desk.go("walk", compartment=place.id, prompt=prompt.key)
        elif prompt.opens:
            self.desk.go(prompt.opens)
        else:
            self.desk.go("measure", compartment=place.id, prompt=prompt.key)

    def action_walk(self, then: str) -> None:
        """To its question in the walk, and there what was asked for."""
        if key := self.list_key:
            place, prompt = self._chosen(key)
            self.desk.go("walk", compartment=place.id, prompt=prompt.key)
            self.app.call_later(self.app.run_action, f"screen.{then}")
