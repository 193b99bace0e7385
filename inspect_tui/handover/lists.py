"""The worklist as text, JSON and CSV. The same book gives the same bytes."""

from __future__ import annotations

import csv
import io
import json

from inspect_tui.domain.plain import one_line, spreadsheet_cell
from inspect_tui.domain.words import TIER_WORDS, Tier
from inspect_tui.handover.report import action_line
from inspect_tui.handover.text import action_lines
from inspect_tui.judgement.action import Action
from inspect_tui.judgement.worklist import Worklist

FIELDS = (
    "rank", "tier", "chalk", "compartment", "what", "where", "why", "who", "after",
    "step", "severity", "likelihood", "risk", "below_waterline",
)  # fmt: skip


def action_row(action: Action, listed: Worklist) -> dict[str, object]:
    """One action as plain values; `after` is a list of what must come first."""
    return {
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


def as_json(listed: Worklist) -> str:
    rows = [action_row(action, listed) for action in listed.actions]
    return json.dumps(rows, ensure_ascii=False, indent=2) + "\n"


def as_csv(listed: Worklist) -> str:
    out = io.StringIO()
    writer = csv.DictWriter(out, FIELDS, lineterminator="\r\n")
    writer.writeheader()
    for action in listed.actions:
        row = action_row(action, listed)
        row["after"] = "; ".join(listed.after_labels(action))
        row["below_waterline"] = "yes" if action.below else "no"
        writer.writerow(
            {
                key: "" if value is None else spreadsheet_cell(one_line(value)) if isinstance(value, str) else value
                for key, value in row.items()
            }
        )
    return out.getvalue()


def as_text(listed: Worklist, title: str) -> str:
    lines = [f"Worklist: {one_line(title)}", ""]
    if not listed.actions:
        lines.append("Nothing is written down yet.")
    for tier in Tier:
        actions = listed.in_tier(tier)
        if not actions:
            continue
        lines += [f"{tier.value.upper()}: {TIER_WORDS[tier]}", ""]
        for action in actions:
            lines += action_lines(action_line(action, listed))
        lines.append("")
    return "\n".join(lines).rstrip("\n") + "\n"
