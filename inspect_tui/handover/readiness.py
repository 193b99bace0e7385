"""What a reader will miss in the papers, said before they are written."""

from __future__ import annotations

from inspect_tui.domain import walk
from inspect_tui.domain.measuring import measured
from inspect_tui.domain.words import CLOSED, Severity
from inspect_tui.judgement.judged import Judged

MOST_NUMBERS = 12


def what_is_missing(judged: Judged) -> list[str]:
    """One line for each kind of gap, with the chalk numbers it concerns; empty if nothing is missing."""
    book, checklists = judged.book, judged.checklists
    findings = sorted(book.findings.values(), key=lambda one: one.chalk)
    open_ = [one for one in findings if one.status not in CLOSED]
    grave = (Severity.CATASTROPHIC, Severity.CRITICAL)
    verdicts = {one.chalk: verdict for one in findings if (verdict := judged.verdicts.of(one))}
    numbered = (
        ("without a position", [one.chalk for one in findings if not walk.position_words(one.position)]),
        ("without a frame number, so not on the plan", [
            one.chalk for one in findings if walk.position_words(one.position) and one.position.frame is None
        ]),
        ("without words", [one.chalk for one in findings if not one.words]),
        ("open, critical or worse, without a photo", [
            one.chalk for one in open_ if one.severity in grave and not one.photos
        ]),
        ("to be looked at or measured again: their readings are stale", [
            one.chalk for one in measured.waiting_for_measuring(book)
        ]),
        ("with doubtful readings", [chalk for chalk, verdict in verdicts.items() if verdict.warnings]),
        ("with your own decision instead of the verdict", [one.chalk for one in findings if one.override]),
    )  # fmt: skip
    lines = [f"findings {what}: no. {_listed(chalks)}" for what, chalks in numbered if chalks]
    loose = sum(reading.finding is None for reading in book.readings.values())
    if loose:
        lines.append(f"readings that belong to no finding: {loose}")
    places = [walk.progress(book, checklists, place) for place in book.bow_to_stern()]
    if shares := sum(done.seen_percent is None for done in places):
        lines.append(f"compartments where the share of metal seen is not written down: {shares} of {len(places)}")
    if unasked := sum(done.asked - done.answered for done in places):
        lines.append(f"questions not answered in this round: {unasked}")
    return lines


def no_more_said(judged: Judged) -> list[str]:
    """One line for each thing that papers said which were made before, and the book says no more."""
    told = [
        f"{one.words} ({one.when:%Y-%m-%d}, {one.by}; papers of {one.papers:%Y-%m-%d})" for one in judged.corrections
    ]
    more = len(told) - MOST_NUMBERS
    return [*told[:MOST_NUMBERS], *([f"and {more} more"] if more > 0 else [])]


def _listed(chalks: list[int]) -> str:
    more = f" and {len(chalks) - MOST_NUMBERS} more" if len(chalks) > MOST_NUMBERS else ""
    return ", ".join(map(str, chalks[:MOST_NUMBERS])) + more
