"""Metal: the plate fields, what is left of each, what it needs, and what may lie where nobody looked."""

from __future__ import annotations

import math
from typing import Any, ClassVar

from rich.console import Group, RenderableType
from rich.text import Text

from inspect_tui.domain.plain import one_line, shortened
from inspect_tui.domain.words import HullMetal
from inspect_tui.engineering.metal.spot_growth import DAYS_A_YEAR
from inspect_tui.judgement.metal.fields import FieldJudged
from inspect_tui.judgement.metal.members import MemberJudged
from inspect_tui.judgement.metal.so_far import unseen_lines
from inspect_tui.judgement.metal.verdict import NO_LIMIT
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.lists import FIND, ListRow, ListScreen, enter
from inspect_tui.terminal.screens.modals import PickOne, headed, room_to_read
from inspect_tui.terminal.widgets.choice import Option
from inspect_tui.terminal.widgets.plots import pictures

NAME = 13
# Below so many columns of the list a line tells what is left, what is needed, and the verdict alone.
WHOLE_LINE = 74
COLUMNS = f"{'plate field':<{NAME}}  seen built least  mean  need   pit  rest  life  verdict"
NONE_YET = """No plate field is written down yet: {add} makes the first.

A plate field is a part of the shell with one alloy and one thickness as built: bottom amidships, port topsides,
floor of the water tank. With it, readings lead to a verdict."""


class MetalScreen(ListScreen):
    TITLE_WORDS = "the metal"
    BINDINGS: ClassVar[list[Any]] = [
        enter("Open"),
        use("add", "new", does="a plate field, a frame or other member, or squares drawn by lot"),
        use("measure"),
        use("working", "why"),
        use("view", "plot", "Plot", does="its pits: histogram and probability plot"),
        FIND,
    ]
    HELP_TEXT = """
One line for each plate field: a part of the shell with one alloy and one thickness as built; and one for each
frame, floor, stringer, beam or bolt, which is never averaged with plate.

seen    % of the metal seen in this round, in the compartments that lie on it
built   mm as built        least, mean   thinnest reading and mean between the pits, mm
need    mm required by ISO 12215-5 of 2008, without any corrosion margin
pit     deepest pit seen, mm; holed where it went through
rest    if the rest is like the squares drawn: depth in mm that the deepest pit nobody saw does not exceed, at 95 %
life    years until the mean is down to what is needed, or until a pit seen to grow goes through the plate, at
        the earliest that the readings' error allows
verdict what the limits file asks for

A dash means not known; the working says what is missing.

In Measure, type gauge readings, or squares drawn by lot: only such squares may speak for the rest of the
plate.

Thickness as built is best taken with a caliper at a cut edge: where a skin fitting or a valve is out, the hole
shows the edge of the plate. A drawing or a guess may give too little, and then more is gone than the figures show.
"""

    @property
    def judged(self) -> FieldJudged | None:
        return self.desk.judged.verdicts.fields.get(self.list_key)

    def head(self) -> str:
        return COLUMNS if self.list_width >= WHOLE_LINE else f"{'plate field':<{NAME}} least  need  verdict"

    def list_rows(self) -> list[ListRow]:
        verdicts = self.desk.judged.verdicts
        whole = self.list_width >= WHOLE_LINE
        members = [ListRow(key, _member_line(judged, whole=whole)) for key, judged in verdicts.members.items()]
        line = _line if whole else _short_line
        return [*(ListRow(key, line(judged)) for key, judged in verdicts.fields.items()), *members]

    @property
    def member(self) -> MemberJudged | None:
        return self.desk.judged.verdicts.members.get(self.list_key)

    def detail(self) -> RenderableType:
        if (member := self.member) is not None:
            return _about_member(member)
        judged = self.judged
        if judged is None:
            return self.desk.keys.fill(NONE_YET)
        about = _about(judged)
        if self.book.boat.hull_metal is HullMetal.ALUMINIUM:
            about.append(f"\n{NO_LIMIT}")
        return Group(about, headed(_lines(judged), 13))

    def open_row(self, key: str) -> None:
        if key in self.book.members:
            self.desk.go("member", member=key)
            return
        self.desk.go("plate", field=key or self.book.new_key("plate_fields"))

    def action_new(self) -> None:
        options = [
            Option("plate", "p", "a plate field", "a part of the shell with one alloy and thickness"),
            Option("member", "f", "a frame or other member", "floor, stringer, beam, bolt"),
            Option("squares", "s", "squares drawn by lot", "on the chosen field, to speak for the rest of it"),
        ]

        def picked(what: str | None) -> None:
            if what == "plate":
                self.open_row("")
            elif what == "member":
                self.desk.go("member", member=self.book.new_key("members"))
            elif what == "squares":
                self.action_draw()

        self.app.push_screen(PickOne("Add what?", options), picked)

    def action_draw(self) -> None:
        if judged := self.judged:
            self.desk.go("squares", field=judged.field.id)
        else:
            self.notify("Squares are drawn on a plate field: choose one.")

    def working(self) -> list[tuple[str, str]]:
        judged = self.member or self.judged
        return judged.lines() if judged else []

    def action_why(self) -> None:
        if lines := self.working():
            name = self.member.member.name if self.member else self.judged.field.name if self.judged else ""
            self.desk.show_text(f"Working: {name}", lines)

    def action_plot(self) -> None:
        if judged := self.judged:
            self.desk.show_text(f"Pits: {judged.field.name}", pictures(judged, room_to_read(self.size.width)))

    def action_measure(self) -> None:
        """Measure on the field: in the compartment that lies on it, or one that is picked."""
        if (member := self.member) is not None:
            self.desk.go("measure", compartment=member.member.compartment, plate=member.member.id)
            return
        judged = self.judged
        if judged is None:
            return
        field = judged.field.id
        places = [place for place in self.book.bow_to_stern() if field in place.plate_fields]
        if len(places) == 1:
            self.desk.go("measure", compartment=places[0].id, plate=field)
            return
        options = [Option(place.id, "", one_line(place.name)) for place in places or self.book.bow_to_stern()]

        def picked(place: str | None) -> None:
            if place is not None:
                self.desk.go("measure", compartment=place, plate=field)

        self.app.push_screen(PickOne("In which compartment?", options), picked)


def _about(judged: FieldJudged) -> Text:
    field = judged.field
    built = f"{field.as_built_mm:g} mm" if field.as_built_mm else "thickness as built not written down"
    source = f" ({field.as_built_from.told})" if field.as_built_from and field.as_built_mm else ""
    alloy = one_line(f"{field.alloy} {field.temper}").strip() or "alloy not written down"
    return Text.assemble((one_line(field.name), "bold"), f"  {field.region.value}, {alloy}, {built}{source}")


def _about_member(judged: MemberJudged) -> RenderableType:
    member = judged.member
    built = f" ({member.as_built_from.told})" if member.as_built_from else ""
    alloy = one_line(f"{member.alloy} {member.temper}").strip() or "alloy not written down"
    head = (one_line(f"{member.title}"), "bold")
    about = Text.assemble(head, f"  {alloy}, {member.web_mm:g} mm as built{built}")
    if judged.verdict is None:
        return Group(about, headed([("verdict", f"none: {judged.missing}")], 13))
    told = [("verdict", f"{judged.verdict.treatment.value.upper()}: {judged.verdict.numbers}")]
    told += [("because", judged.verdict.because), *(("doubt", one) for one in judged.verdict.warnings)]
    return Group(about, headed(told, 13))


def _member_line(judged: MemberJudged, *, whole: bool) -> Text:
    member, wear = judged.member, judged.wear
    left = _number(member.web_mm * (1 - wear.loss_share) if wear else None)
    verdict = judged.verdict.treatment.value if judged.verdict else "–"
    name = shortened(one_line(member.title), NAME)
    if not whole:
        return Text(f"{name:<{NAME}} {left:>5} {'–':>5}  {verdict}", no_wrap=True, overflow="ellipsis")
    return Text(
        f"{name:<{NAME}} {'–':>5} {_number(member.web_mm):>5} {left:>5}{'–'.rjust(6) * 5}  {verdict}",
        no_wrap=True,
        overflow="ellipsis",
    )


def _lines(judged: FieldJudged) -> list[tuple[str, str]]:
    told: list[tuple[str, str]] = []
    if judged.verdict:
        told.append(("verdict", f"{judged.verdict.treatment.value.upper()}: {judged.verdict.numbers}"))
    if judged.required.why_not:
        told.append(("required", judged.required.why_not))
    if judged.loss_missing:
        told.append(("mean", judged.loss_missing))
    told += unseen_lines(judged)
    if judged.verdict:
        told.append(("because", judged.verdict.because))
    told += [("doubt", warning) for warning in judged.warnings]
    return told


def _number(value: float | None) -> str:
    return "–" if value is None or not math.isfinite(value) else f"{value:.1f}"


def _short_line(judged: FieldJudged) -> Text:
    loss, check = judged.loss, judged.required.check
    verdict = judged.verdict.treatment.value if judged.verdict else "–"
    return Text(
        f"{shortened(one_line(judged.field.name), NAME):<{NAME}} {_number(loss.thinnest_mm if loss else None):>5} "
        f"{_number(check.required_mm if check else None):>5}  {verdict}",
        no_wrap=True,
        overflow="ellipsis",
    )


def _line(judged: FieldJudged) -> Text:
    loss, growing = judged.loss, judged.growth
    seen = "–" if judged.seen_percent is None else f"{judged.seen_percent:.0f} %"
    pit = "H" if judged.metal.holes else _number(judged.deepest_mm)
    life = "–"
    if growing and growing.life_least_years is not None and judged.required.check:
        life = f"≥{growing.life_least_years:.0f} y" if growing.life_least_years < 100 else ">99 y"
    if judged.verdict and (grown := judged.verdict.facts.growth):
        left = judged.verdict.facts.least_left_for(grown)
        if left is not None and (end := grown.through(left)):
            # What was seen to grow speaks before the mean.
            life = f"≥{(end - grown.last.day).days / DAYS_A_YEAR:.0f} y"
    verdict = judged.verdict.treatment.value if judged.verdict else "–"
    return Text(
        f"{shortened(one_line(judged.field.name), NAME):<{NAME}} {seen:>5} {_number(judged.field.as_built_mm):>5} "
        f"{_number(loss.thinnest_mm if loss else None):>5} {_number(loss.left_mm if loss else None):>5} "
        f"{_number(judged.required.check.required_mm if judged.required.check else None):>5} {pit:>5} "
        f"{_number(judged.estimate.bound_told_mm if judged.estimate else None):>5} {life:>5}  {verdict}",
        no_wrap=True,
        overflow="ellipsis",
    )
