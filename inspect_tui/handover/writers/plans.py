"""The plan as text, JSON and CSV. The same book and the same means give the same bytes."""

from __future__ import annotations

import json
from textwrap import wrap

from inspect_tui.domain.plain import counted, one_line
from inspect_tui.domain.words import Who
from inspect_tui.handover.writers.tables import csv_text
from inspect_tui.judgement.work.plan import END_OF_DAY, Entry, Plan, hours_words

FIELDS = ("day", "who", "job", "tier", "what", "at", "hours", "goes_on", "unfinished", "waits_for")


def _row(entry: Entry) -> dict[str, object]:
    return {
        "day": entry.day,
        "who": entry.who.value,
        "job": entry.job,
        "tier": entry.first.tier.value,
        "what": entry.say,
        "at": entry.at,
        "hours": round(entry.hours, 2),
        "goes_on": entry.goes_on,
        "unfinished": entry.unfinished,
        "waits_for": None,
    }


def _rows(plan: Plan) -> list[dict[str, object]]:
    waits = [
        {
            **dict.fromkeys(FIELDS),
            "who": one.action.who.value,
            "tier": one.action.tier.value,
            "what": one_line(one.action.what),
            "at": one_line(one.action.where),
            "waits_for": one.why,
        }
        for one in plan.waits
    ]
    return [*(_row(one) for one in plan.entries), *waits]


def as_json(plan: Plan) -> str:
    return json.dumps(_rows(plan), ensure_ascii=False, indent=2) + "\n"


def as_csv(plan: Plan) -> str:
    return csv_text(FIELDS, _rows(plan))


def as_text(plan: Plan, title: str) -> str:
    """Day by day; then what waits, whom to call, and what to buy."""
    lines = [
        f"Plan for {one_line(title)}: {counted(plan.days, 'day')} of work, {plan.means.hours_a_day:g} h a day.",
        "Hours are the middles of ranges, most of them common practice; a day that goes otherwise changes the rest.",
        "",
    ]
    for day in range(1, plan.days + 1):
        lines.append(f"DAY {day}")
        for who in Who:
            for one in plan.on(day, who):
                goes = ", goes on" if one.goes_on else ""
                head = f"  {who.value:<12}{hours_words(one.hours):>5}  "
                told = f"{one.say} ({one.at}{goes})"
                lines += wrap(told, 96, initial_indent=head, subsequent_indent=" " * len(head))
        if day == 1:
            lines += [f"  in hand: {', '.join(plan.in_hand(day)) or 'nothing special'}"]
            lines += [f"  never today: {one}" for one in plan.never(day)]
            lines += [f"  at the end of the day: {one}" for one in END_OF_DAY]
        lines.append("")
    calls = [f"{who.value}: day {', '.join(map(str, days))}" for who, days in plan.visits().items()]
    lines += ["CALL", *(f"  {one}" for one in calls or ["nobody"]), ""]
    lines += ["BUY", *(f"  {one}" for one in plan.shopping() or ("nothing",)), ""]
    if plan.waits:
        lines.append("WAITS")
        for waiting in plan.waits:
            told = f"{one_line(waiting.action.what)} ({one_line(waiting.action.where)}): {waiting.why}"
            lines += wrap(told, 98, initial_indent="  ", subsequent_indent="    ")
        lines.append("")
    if plan.closing:
        lines += ["OPEN, AND TO BE CLOSED", *(f"  {one}" for one in plan.closing), ""]
    return "\n".join(lines)
