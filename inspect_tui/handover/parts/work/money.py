"""Money and time, for the owner alone, or where the owner says so."""

from __future__ import annotations

from inspect_tui.domain.owner.money import Span
from inspect_tui.domain.words import Who
from inspect_tui.handover.model import Block, Column, Part, Points, Sheet, Table, Words
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.judgement.money.reckoning import Reckoned

COLUMNS = (
    Column(""),
    Column("known", number=True),
    Column("likely", number=True),
    Column("if the unseen is as bad", number=True),
)


def rounded(value: float) -> str:
    """To two figures, three above a thousand; nobody knows more.

    >>> rounded(12137), rounded(86.4), rounded(0)
    ('12100', '86', '0')
    """
    digits = 3 if value >= 1000 else 2
    return f"{float(f'{value:.{digits}g}'):.0f}"


def _span(span: Span | None) -> str:
    if span is None:
        return "cannot be told"
    low, high = rounded(span.low), rounded(span.high)
    return low if low == high else f"{low}–{high}"


def money_table(subject: Subject) -> Table | None:
    """Known, likely, and if the unseen is as bad; None where nothing may be said or nothing is priced."""
    told = subject.reckoned
    if told is None or not told.priced:
        return None
    hours: dict[Who, Span] = {}
    for line in told.lines:
        if line.hours:
            hours[line.who] = hours.get(line.who, Span(0, 0)) + Span(*line.hours)
    rows = [
        (f"{who.value}, hours", "–", _span(span), "–")
        for who, span in sorted(hours.items(), key=lambda one: one[0].value)
    ]
    rows.append(
        (
            f"in all{f', {subject.currency}' if subject.currency else ''}",
            _span(told.known),
            _span(told.likely),
            _span(told.worst),
        )
    )
    return Table("", COLUMNS, tuple(rows), note=_least(told))


def _least(told: Reckoned) -> str:
    least = f" Only a minimum, for: {'; '.join(told.least)}." if told.least else ""
    return f"Hours at your rates, and quotes; plate, paint, parts, crane and yard only where they were quoted.{least}"


def money_part(subject: Subject) -> Part:
    """Each job with its price and where that comes from; what moves the sum most; when to decide again."""
    told = subject.reckoned
    if told is None:
        return Part("money", "Money", (Words("No rate, quote or payment is written down."),))
    blocks: list[Block | Sheet] = [table] if (table := money_table(subject)) else []
    rows = tuple(
        (
            line.title,
            line.who.value,
            _span(Span(*line.hours)) if line.hours else "",
            _span(line.amount) if line.amount else "",
            line.how,
        )
        for line in told.lines
    )
    columns = (
        Column("Job", wide=True),
        Column("Who", narrow=True),
        Column("Hours", number=True),
        Column("Amount", number=True),
        Column("From"),
    )
    blocks.append(Table("Job by job", columns, rows))
    if told.unseen:
        seen = tuple(
            (
                one.place.name,
                f"{100 * one.share:.0f}",
                _span(one.moves) if one.moves else "cannot be told",
                one.look,
                f"{one.look_hours:g}",
            )
            for one in told.unseen
        )
        blocks.append(
            Table(
                "What moves it most for an hour of looking, and the cheapest look that would tell",
                (
                    Column("Place"),
                    Column("Not seen %", number=True),
                    Column("Moves the sum by", number=True),
                    Column("Look", wide=True),
                    Column("h", number=True),
                ),
                seen,
            )
        )
    blocks.append(Points(tuple(f"{gate.name}: {gate.open or 'reached'}" for gate in told.gates)))
    return Part("money", "Money", tuple(blocks))
