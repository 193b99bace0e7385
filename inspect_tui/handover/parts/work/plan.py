"""The worklist as days, when each trade is called, what to buy, what waits and for what."""

from __future__ import annotations

from inspect_tui.domain.plain import counted, one_line
from inspect_tui.domain.words import Who
from inspect_tui.handover.model import Block, Column, Facts, Head, Line, Part, Points, Sheet, Table, Words
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.judgement.work.plan import END_OF_DAY, Entry, Means, hours_words, pace_of, plan_of

COLUMNS = (
    Column("Job", narrow=True), Column("Done", narrow=True), Column("What", wide=True), Column("Where"),
    Column("Who", narrow=True), Column("Time", narrow=True), Column("In hand", wide=True),
)  # fmt: skip


def plan_part(subject: Subject) -> Part:
    """By the usual hours a day; what the weather or the yard forbids is for the day itself to say."""
    means = Means(pace=pace_of(subject.book))
    plan = plan_of(subject.listed, means, afloat=subject.book.boat.afloat)
    if not plan.days:
        return Part("plan", "The plan", (Words("Nothing is open that could be planned."),))
    rows: list[tuple[str, ...]] = []
    for day in range(1, plan.days + 1):
        entries = plan.on(day)
        if entries:
            rows.append((f"Day {day}. Not today: {'; '.join(plan.never(day))}.",))
            rows += [_row(one) for one in entries]
    blocks: list[Block | Sheet] = [
        Words(
            f"{counted(plan.days, 'day')} at {means.hours_a_day:g} hours of the owner's time a day, from the "
            "list of work in its order; hours are ranges in the list, their middle here. What must come first stands "
            "before it."
        )
    ]
    visits = plan.visits()
    if visits:
        blocks += [
            Head("When each trade comes"),
            Facts(tuple(Line(who.value, _days(days)) for who, days in visits.items())),
        ]
    if bought := plan.shopping():
        blocks += [Head("To buy before it begins"), Words("; ".join(bought) + ".")]
    blocks.append(Table("Day by day", COLUMNS, tuple(rows), note="The day ends: " + "; ".join(END_OF_DAY) + "."))
    if plan.waits:
        waits = tuple(f"{one_line(one.action.headline)}: {one.why}" for one in plan.waits)
        blocks += [Head("Not in any day yet, and why"), Points(waits)]
    return Part("plan", "The plan", tuple(blocks))


def _days(days: tuple[int, ...]) -> str:
    return f"{counted(len(days), 'visit')}: day {', '.join(map(str, days))}"


def _row(one: Entry) -> tuple[str, ...]:
    tools = ", ".join((*one.tools, *one.supplies)) if one.who is Who.OWNER else ""
    goes_on = " (goes on)" if one.goes_on else ""
    return (str(one.job or ""), "□", f"{one.say}{goes_on}", one.at, one.who.value, hours_words(one.hours), tools)
