"""Plan: the worklist as days; today first, with what to have to hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, ClassVar

from rich.console import Group, RenderableType
from rich.text import Text

from inspect_tui.domain.plain import counted, one_line, shortened
from inspect_tui.domain.words import Who
from inspect_tui.errors import NotUnderstood
from inspect_tui.judgement.work.plan import END_OF_DAY, Entry, Means, Plan, hours_words, pace_of, plan_of
from inspect_tui.judgement.work.worklist import Job
from inspect_tui.terminal.desk import Line
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.lists import FIND, ListRow, enter
from inspect_tui.terminal.screens.base import BookScreen
from inspect_tui.terminal.screens.modals import PickOne, headed
from inspect_tui.terminal.screens.work.worklist import WorklistScreen, at_cells
from inspect_tui.terminal.widgets.choice import Option


class PlanScreen(WorklistScreen, inherit_bindings=False):
    TITLE_WORDS = "the plan"
    EMPTY = "Nothing is left to do or to look at."
    BINDINGS: ClassVar[list[Any]] = [
        *BookScreen.BINDINGS,
        enter("Go there"),
        use("done"),
        use("edit", "means", "Hours", does="hours a day, heat, dry, cold: the plan follows"),
        use("working", "why"),
        FIND,
    ]
    HELP_TEXT = """
The worklist as days: today first; when to call each trade; then what waits, and for what. Done takes a job off, and
the next moves up.

The order is the worklist's. What must come first is done on an earlier day, or earlier the same day by the same
hands; nobody works longer than their hours; the trades for other jobs come only after every NOW job is done. Hours
are the middles of ranges, most of them common practice; once the hours of three jobs are written down, those of
your own work are corrected by them.
{edit} sets how many hours you work a day, whether heat is allowed where she lies, whether it is dry, and how cold her
metal is.
"""

    @property
    def _plan(self) -> Plan:
        means = replace(self.desk.means or Means(), pace=pace_of(self.book))
        listed = self.desk.judged.worklist
        return plan_of(listed, means, afloat=self.book.boat.afloat)

    @property
    def _entry(self) -> Entry | None:
        key = self.list_key
        return next((one for one in self._plan.entries if one.first.key == key and not one.goes_on), None)

    @property
    def job(self) -> Job | None:
        entry = self._entry
        return Job(entry.job or 0, entry.actions) if entry else None

    def head(self) -> RenderableType | None:
        told, means = self._plan, self.desk.means or Means()
        mine = sum(one.hours for one in told.on(1, Who.OWNER))
        cold = "" if means.degrees is None else f" · metal at {means.degrees:g} °C"
        heat, dry = "heat allowed" if means.heat else "no heat", "dry" if means.dry else "wet"
        today = f"{hours_words(mine)} of {hours_words(means.hours_a_day)} today"
        pace = f" · × {told.means.pace.share:.1f} by hours used" if told.means.pace else ""
        return Text(f"Plan   {today} · {counted(told.days, 'day')} in all · {heat} · {dry}{cold}{pace}")

    def list_rows(self) -> list[ListRow]:
        told, rows = self._plan, []
        calls = {who: days[0] for who, days in told.visits().items()}
        for day in range(1, told.days + 1):
            name = f"DAY {day}, today" if day == 1 else f"DAY {day}"
            coming = [f"call the {who.value} for day {first}" for who, first in calls.items()] if day == 1 else []
            rows.append(ListRow("", Text(f"{name}  {', '.join(coming)}")))
            rows += [self._row(one) for one in told.on(day)]
        if told.waits:
            rows.append(ListRow("", Text("WAITS  not planned yet, with the reason")))
        for waiting in told.waits:
            text = Text(f"  -   {'':>5} ", no_wrap=True, overflow="ellipsis")
            text.append(f"{waiting.why}: ").append(one_line(waiting.action.headline), "bold")
            rows.append(ListRow(waiting.action.key, text, waiting.action.what))
        return rows

    @property
    def _room(self) -> int:
        return max(self.list_width - 27 - at_cells(self.list_width), 16)

    def columns(self) -> str:
        return f"job  {'hours':>5} {'what':<{self._room}}  {'where':<{at_cells(self.list_width)}} who"

    def _row(self, one: Entry) -> ListRow:
        text = Text(f"{one.job or '·':>3}  {hours_words(one.hours):>5} ", no_wrap=True, overflow="ellipsis")
        room, at = self._room, at_cells(self.list_width)
        say = f"goes on: {one.say}" if one.goes_on else one.say
        text.append(f"{shortened(say, room):<{room}}", "bold")
        text.append(f"  {shortened(one.at, at):<{at}} {one.who.value}")
        return ListRow("" if one.goes_on else one.first.key, text, " ".join(each.what for each in one.actions))

    def detail(self) -> RenderableType | None:
        told, entry = self._plan, self._entry
        self._chosen = self.action
        waiting = next((one for one in told.waits if one.action.key == self.list_key), None)
        if waiting is not None:
            return headed([("what", waiting.action.what), ("where", waiting.action.where), ("waits", waiting.why)])
        if entry is None:
            return None
        lines = [("what", entry.first.what if len(entry.actions) == 1 else entry.say), ("where", entry.at)]
        doing = entry.first.doing
        known = f"{doing.hours[0]:g}–{doing.hours[1]:g} h a place ({doing.hours_from})" if doing else "judgement"
        lines.append(("time", f"{hours_words(entry.hours)} h, {entry.who.value}; {known}"))
        in_hand = (("tools", entry.tools), ("supplies", entry.supplies))
        lines += [(name, ", ".join(things)) for name, things in in_hand if things]
        if entry.first.after:
            lines.append(("after", self.desk.judged.worklist.after_words(entry.first, 3)))
        lines += [(f"rule, day {entry.day}", one) for one in told.never(entry.day)]
        if entry.day == 1:
            lines.append(("to hand today", ", ".join(told.in_hand(1)) or "nothing special"))
            lines += [("day's end", one) for one in END_OF_DAY]
        return Group(headed(lines, 14))

    def action_means(self) -> None:
        means = self.desk.means or Means()
        cold = "–" if means.degrees is None else f"{means.degrees:g} °C"
        options = [
            Option("hours", "h", "hours a day", f"{means.hours_a_day:g}"),
            Option("heat", "w", "heat allowed where she lies", "yes" if means.heat else "no"),
            Option("dry", "d", "dry", "yes" if means.dry else "no"),
            Option("degrees", "t", "temperature of the metal", cold),
        ]

        def picked(name: str | None) -> None:
            if name == "heat":
                self._use(replace(means, heat=not means.heat))
            elif name == "dry":
                self._use(replace(means, dry=not means.dry))
            elif name is not None:
                self.ask_number(name)

        self.app.push_screen(PickOne("What is there to plan with?", options), picked)

    def ask_number(self, name: str) -> None:
        """Hours a day, or degrees."""
        means = self.desk.means or Means()
        words = {
            "hours": "Hours of work a day, 0.5 to 24",
            "degrees": "Temperature of the metal, °C; empty: not known",
        }
        now = means.hours_a_day if name == "hours" else means.degrees

        def typed(text: str) -> bool:
            try:
                number = float(text.strip().replace(",", ".")) if text.strip() else None
                if name == "hours":
                    self._use(replace(means, hours_a_day=6.0 if number is None else number))
                else:
                    self._use(replace(means, degrees=number))
            except (ValueError, NotUnderstood):
                self.notify(f"{text.strip()!r} is not a number that fits here.", severity="warning", markup=False)
                return False
            return True

        line = Line(words[name], "" if now is None else f"{now:g}")
        self.desk.ask_line(self.form.line("number", name=name), line, typed)

    def _use(self, means: Means) -> None:
        self.desk.means = means
        self.show()
