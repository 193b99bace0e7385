"""The worklist as text, JSON and CSV. The same book gives the same bytes."""

from __future__ import annotations

import json

from inspect_tui.domain.plain import one_line
from inspect_tui.domain.words import TIER_WORDS, Tier
from inspect_tui.handover.writers.tables import csv_text
from inspect_tui.judgement.work.action import Action
from inspect_tui.judgement.work.worklist import Worklist, count_words

FIELDS = (
    "list", "job", "rank", "tier", "chalk", "compartment", "what", "where", "why", "who", "after",
    "step", "severity", "likelihood", "risk", "below_waterline",
)  # fmt: skip


def action_row(action: Action, listed: Worklist) -> dict[str, object]:
    """One action as plain values; `after` is a list of what must come first, `job` the number of the job it is of,
    `list` whether it is work or still to be looked at."""
    return {
        "list": "look" if action.is_look else "work",
        "job": listed.job_of.get(action.key),
        "rank": action.rank,
        "tier": action.tier.value,
        "chalk": action.chalk,
        "compartment": action.compartment.name if action.compartment else None,
        "what": action.what,
        "where": action.where,
        "why": action.why,
        "who": action.who.value,
        "after": listed.after_labels(action),
        "step": action.step.value,
        "severity": action.severity.value,
        "likelihood": action.likelihood.value if action.likelihood else None,
        "risk": action.risk.value,
        "below_waterline": action.below,
    }


def _lines(number: int, first: Action, say: str, where: str, listed: Worklist) -> list[str]:
    """What, where, why, who, and what comes first."""
    lines = [
        f"{number:>3}. {one_line(say)}",
        f"     where: {one_line(where)}",
        f"     why:   {one_line(first.why)}",
        f"     who:   {first.who.value}",
    ]
    after = listed.after_words(first)
    return [*lines, f"     after: {one_line(after)}"] if after else lines


def as_json(listed: Worklist) -> str:
    rows = [action_row(action, listed) for action in listed.actions]
    return json.dumps(rows, ensure_ascii=False, indent=2) + "\n"


def as_csv(listed: Worklist) -> str:
    return csv_text(FIELDS, (action_row(action, listed) for action in listed.actions))


def as_text(listed: Worklist, title: str) -> str:
    lines = [f"Worklist: {one_line(title)}", count_words(listed), ""]
    if not listed.actions:
        lines.append("Nothing is written down yet.")
    for tier in Tier:
        jobs = listed.jobs_in(tier)
        if jobs:
            lines += [f"{tier.word}: {TIER_WORDS[tier]}", ""]
        for job in jobs:
            lines += _lines(job.number, job.first, job.say, job.where, listed)
        lines += [""] if jobs else []
    if listed.looks:
        lines += ["STILL TO BE LOOKED AT: counted apart; until then nobody knows", ""]
    for action in listed.looks:
        lines += _lines(action.rank, action, f"{action.tier.word}: {action.what}", action.where, listed)
    return "\n".join(lines).rstrip("\n") + "\n"
