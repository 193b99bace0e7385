"""The summary as plain text."""

from __future__ import annotations

import textwrap

from inspect_tui.domain.plain import one_line
from inspect_tui.handover.report import ActionLine, FindingSheet, Report

WIDTH = 78


def _own(text: str, indent: str = "") -> list[str]:
    """The program's own text, wrapped; the owner's text is never broken up."""
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent)


def _heading(text: str) -> list[str]:
    return ["", text.upper(), "=" * len(text)]


def action_lines(action: ActionLine) -> list[str]:
    """One action of the worklist: what, where, why, who, and what comes first."""
    lines = [
        f"{action.rank:>3}. {one_line(action.what)}",
        f"     where: {one_line(action.where)}",
        f"     why:   {one_line(action.why)}",
        f"     who:   {action.who}",
    ]
    return [*lines, f"     after: {one_line(action.after)}"] if action.after else lines


def write_text(report: Report) -> str:
    lines = [f"{one_line(report.title)}: summary of an inspection", ""]
    lines += [f"{line.name}: {one_line(line.value)}" for line in (*report.boat, *report.counts, *report.particulars)]
    for trouble in report.troubles:
        lines.append(f"ATTENTION: {one_line(trouble)}")
    for part in report.tiers:
        lines += _heading(f"{part.tier} ({part.letter})")
        lines += [part.meaning, ""]
        if not part.actions:
            lines.append(report.nothing)
        for action in part.actions:
            lines += action_lines(action)
    lines += _heading("Findings")
    for part in report.tiers:
        for sheet in part.findings:
            lines += _sheet(sheet, part.tier)
    for sheet in report.closed:
        lines += _sheet(sheet, "closed")
    lines += _heading("What was seen and what was not")
    not_walked = [place.name for place in report.places if not place.walked]
    if not_walked:
        lines += ["", f"NOT WALKED in this round: {one_line('; '.join(not_walked))}"]
    for place in report.places:
        if not place.walked:
            continue
        numbers = f"; findings {', '.join(map(str, place.findings))}" if place.findings else ""
        lies = f" ({place.lies})" if place.lies else ""
        lines.append("")
        lines.append(f"{one_line(place.name)}{lies}: {place.answered} of {place.asked} questions{numbers}")
        lines.append(f"  {place.tally}")
        lines.append(f"  {one_line(place.seen)}")
        lines += [f"  not fitted  {ask}" for ask in place.not_fitted]
        lines += [f"  UNSEEN  {line.name} — {line.value}" for line in place.unseen]
        lines += [f"  note    {line.name} — {one_line(line.value)}" for line in place.notes]
    if report.plates:
        lines += _heading("Plate fields")
        for line in report.plates:
            lines += _own(one_line(f"{line.name}: {line.value}"))
    if report.loose_readings:
        lines += _heading("Readings that belong to no finding")
        lines += [one_line(reading) for reading in report.loose_readings]
    lines += _heading("Cautions")
    for line in report.cautions:
        lines += _own(f"{line.name}: {line.value}")
    lines += _heading("Limits of this inspection")
    for limit in (*report.limits, *report.sources):
        lines += _own(limit)
    lines += ["", f"Digest of the book: SHA-256 {report.digest}"]
    return "\n".join(lines) + "\n"


def _sheet(sheet: FindingSheet, tier: str) -> list[str]:
    lines = ["", f"No. {sheet.chalk}  {sheet.title}  [{tier}; {sheet.status}]"]
    lines.append(f"  place:    {one_line(sheet.place)}")
    lines.append(f"  position: {one_line(sheet.position)}")
    if sheet.words:
        lines.append(f"  words:    {one_line(sheet.words)}")
    lines.append(f"  judged:   {sheet.judged}")
    if sheet.treatment:
        lines.append(f"  decided:  {one_line(sheet.treatment)}")
    if sheet.verdict:
        lines.append(f"  numbers:  {one_line(sheet.verdict)}")
    if sheet.action:
        lines.append(f"  to do:    {one_line(sheet.action)}")
    lines += [f"  reading:  {one_line(reading)}" for reading in sheet.readings]
    lines += [f"  history:  {one_line(event)}" for event in sheet.history]
    return lines
