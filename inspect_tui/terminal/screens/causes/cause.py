"""Cause: why metal is eaten at one place. Signs to tick, causes ranked by them, and the next test."""

from __future__ import annotations

from typing import Any, ClassVar

from rich.console import Group, RenderableType
from rich.text import Text
from textual.widgets import OptionList

from inspect_tui.domain import edits
from inspect_tui.domain.knowledge.causes import Causes, CauseTest, Sign
from inspect_tui.domain.plain import one_line, shortened
from inspect_tui.domain.records import NO_OTHER_METAL, Finding
from inspect_tui.domain.zones import zone_of_finding
from inspect_tui.judgement.causes.cause import Found, Weighed, causes_at, known_of
from inspect_tui.judgement.causes.eaten import known_at
from inspect_tui.judgement.causes.evidence import Evidence
from inspect_tui.judgement.work.cure_actions import is_cured
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.lists import FIND, ListRow, ListScreen
from inspect_tui.terminal.screens.modals import PickOne, headed
from inspect_tui.terminal.widgets.choice import Option

RANKED_SHOWN = 4
# The sign of the key that ticks it, and who says so.
THERE, NOT_THERE, OPEN = "+", "-", "·"
ORIGIN_CELLS = 9


class CauseScreen(ListScreen):
    TITLE_WORDS = "the cause"
    BINDINGS: ClassVar[list[Any]] = [
        use("there", "tick(1)"),
        use("absent", "tick(-1)"),
        use("clear", "tick(0)"),
        use("test", does="the test that narrows it down most for the least work, and how to do it"),
        use("edit", "beside", "Other metal", does="which other metal touches her here: its voltage counts as a sign"),
        use("working", "why", does="what each sign does to each cause"),
        FIND,
    ]
    HELP_TEXT = """
Why is the metal eaten at this place? Tick what you saw, and what you looked for and did not find: both count.

Some signs count already:
question, kind  the finding came from that question, or is of that kind. Until somebody looks for the sign itself, it
                counts for half, and alone never makes a cause likely. {there} confirms it, {absent} denies it.
read            by a reading: pits and ohms here; below the waterline the newest circuit hunt and isolation test; and,
                for metal that the water outside may touch, the hull's potential.
boat            ticked at another place, for the whole boat: the newest tick holds everywhere.
place           by the place itself.
What you tick overrules all of them.

Signs from one observation (one question, one lifted patch) count as one: alone they make a cause 'possible' at most.

Several causes may be at work together. Where the signs are too few, the answer is 'not enough to
say'. A likely cause is in the worklist, before the repairs that wait for it; when it is cured, mark it done there.

The weights are this program's judgement, not statistics; they are in causes.toml and may be changed.
"""

    def __init__(self, chalk: int) -> None:
        super().__init__()
        self._chalk = chalk
        # The rows ticked here, to go back to with an undo.
        self._ticked: list[str] = []

    @property
    def finding(self) -> Finding | None:
        return self.book.findings.get(str(self._chalk))

    def subject_gone(self) -> bool:
        return self.finding is None

    def _evidence(self) -> tuple[Evidence, ...]:
        finding = self.finding
        return () if finding is None else self.desk.judged.gathering.at(finding)

    def _found(self) -> Found:
        return causes_at(self._known, self._evidence())

    def head(self) -> str:
        finding = self.finding
        assert finding is not None
        place = self.place_name(finding.compartment)
        head = f"Finding {finding.chalk}   {place}   {one_line(finding.words)}"
        return shortened(head, max(self.size.width - 2, 20))

    def list_rows(self) -> list[ListRow]:
        known = {one.sign: one for one in self._evidence()}
        rows = []
        for sign in self._signs_to_tick():
            one = known.get(sign.id)
            mark = (THERE if one.there else NOT_THERE) if one else OPEN
            said = one.origin.replace("reading", "read") if one else ""
            text = Text(f"{mark} {said:<{ORIGIN_CELLS}}", "bold" if one else "", no_wrap=True, overflow="ellipsis")
            rows.append(ListRow(sign.id, text.append(sign.ask)))
        return rows

    def detail(self) -> RenderableType:
        """Who says so of the chosen sign; and the causes, ranked."""
        one = next((one for one in self._evidence() if one.sign == self.list_key), None)
        words = "not looked for yet" if one is None else f"{'there' if one.there else 'not there'}: {one.by}"
        sign = self.checklists.causes.signs.get(self.list_key)
        # The list cuts long questions short: here the chosen one stands whole.
        chosen = Text(f"{sign.ask if sign else ''}\n{words}\n", "bold")
        return Group(chosen, headed(self._ranking(self._found()), 11))

    def _signs_to_tick(self) -> list[Sign]:
        """Those that tell something of a cause in this metal."""
        known = self._known
        told = {sign for cause in known.causes.values() for sign in cause.tells}
        return [sign for sign in known.signs.values() if sign.id in told]

    def _ranking(self, found: Found) -> list[tuple[str, str]]:
        """The first cause with what speaks for and against it and its cure; then the others."""
        eaten = next((place for place in self.desk.judged.eaten if place.finding.chalk == self._chalk), None)
        lines = [] if found.enough else [("", "Not enough to say: tick what you see, or do the next test.")]
        for one in found.ranked[:RANKED_SHOWN]:
            cured = eaten is not None and one.likely and is_cured(self.book, eaten, one)
            told = one.told.partition(": ")[2]
            lines.append(("cured" if cured else one.word, f"{one.cause.name}: {told}"))
            if one is found.ranked[0]:
                lines += [("  for it", self._signs(one.speaks_for)), ("  against", self._signs(one.against))]
                lines += [("  its cure", f"{one.cause.remedy} ({one.cause.who.value})")] if found.enough else []
        if test := self._next_test(found):
            ask = self.checklists.causes.signs[test.sign].ask
            lines.append(("next test", f"{ask} ({test.minutes:g} min: {self.key('test')})"))
        return lines

    def _signs(self, ids: tuple[str, ...]) -> str:
        return ", ".join(self.checklists.causes.signs[id].short for id in ids) or "nothing yet"

    def action_tick(self, there: int) -> None:
        self._tick(self.list_key, there)

    def _tick(self, sign: str, there: int) -> None:
        finding = self.finding
        if finding is None or not sign or not self.may_write():
            return
        known, said = self.checklists.causes.signs.get(sign), {1: True, -1: False}.get(there)
        wide = known is not None and known.boat_wide
        edit = edits.tick_boat_wide(self.book, finding, sign, said) if wide else edits.tick_sign(finding, sign, said)
        if self.desk.record(edit):
            self._ticked.append(sign)
            self.query_one("#list", OptionList).action_cursor_down()

    def action_undo(self) -> None:
        super().action_undo()
        if self._ticked:
            self.choose(self._ticked.pop())

    def open_row(self, key: str) -> None:
        self._tick(key, 1)

    @property
    def _known(self) -> Causes:
        """The causes that can be at work in this place."""
        if self.finding is not None:
            return known_at(self.book, self.checklists, self.desk.judged.gathering, self.finding)
        return known_of(self.checklists.causes, self.book.boat.hull_metal)

    def _next_test(self, found: Found) -> CauseTest | None:
        below = self.finding is None or zone_of_finding(self.book, self.checklists, self.finding).wet
        return found.next_test(afloat=self.book.boat.afloat, below=below)

    def action_beside(self) -> None:
        finding = self.finding
        if finding is None or not self.may_write():
            return
        series = sorted(self.checklists.metals.galvanic.values(), key=lambda one: one.name)
        options = [Option(NO_OTHER_METAL, "", "no other metal"), *(Option(one.id, "", one.name) for one in series)]

        def picked(value: str | None) -> None:
            if value is not None and (now := self.finding):
                self.desk.record(edits.name_beside(now, value))

        self.app.push_screen(PickOne("Which other metal touches her there?", options, finding.beside or ""), picked)

    def action_test(self) -> None:
        test = self._next_test(self._found())
        if test is None:
            lies = "afloat" if self.book.boat.afloat else "hauled out"
            self.notify(f"No test is left that can be done while she is {lies}: tick what you see.")
            return
        signs = self.checklists.causes.signs
        cautions = [self.checklists.cautions[id] for id in test.cautions]
        lines = [("find out", signs[test.sign].ask), ("how", test.how), ("work", f"about {test.minutes:g} minutes")]
        lines += [("CAUTION", f"{one.title}. {one.say} {one.more}") for one in cautions]
        lines.append(("then", f"Tick the sign: {self.key('there')} if it is so, {self.key('absent')} if it is not."))
        self.choose(test.sign)
        self.desk.show_text("The next test", lines)

    def _known_signs(self) -> list[tuple[str, str]]:
        signs = self.checklists.causes.signs
        known = [one for one in self._evidence() if one.sign in signs]
        return [
            ("" if at else "signs", f"{signs[one.sign].short}, {'there' if one.there else 'not there'}: {one.by}")
            for at, one in enumerate(known)
        ]

    def working(self) -> list[tuple[str, str]]:
        ranked = self._found().ranked[:6]
        return [*self._known_signs(), *(line for one in ranked for line in self._why(one))]

    def working_beside(self) -> list[tuple[str, str]]:
        first = self._found().ranked[0].cause
        told = [line for line in self._why(self._found().ranked[0]) if line[0] not in ("cure", "for", "against")]
        rest = (line for one in self._found().ranked[1:6] for line in self._why(one))
        return [*self._known_signs(), *((name, text.removeprefix(f"{first.name}: ")) for name, text in told), *rest]

    def action_why(self) -> None:
        self.desk.show_text(f"Working: finding {self._chalk}", self.working())

    def _why(self, one: Weighed) -> list[tuple[str, str]]:
        cause = one.cause
        return [
            (one.word, f"{cause.name}: {cause.what}"),
            ("cure", f"{cause.remedy} ({cause.who.value})"),
            ("for", self._signs(one.speaks_for)),
            ("against", self._signs(one.against)),
            ("not looked for", self._signs(one.missing)),
            ("source", f"{cause.source or 'no document'} ({cause.seen})"),
            *one.working.lines(),
        ]
