"""What meters said asks for actions of its own, whether somebody wrote a finding for it or not."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from inspect_tui.domain.book import Book
from inspect_tui.domain.checklists import Checklists
from inspect_tui.domain.readings import in_words
from inspect_tui.domain.records import Reading, ResistanceReading
from inspect_tui.domain.words import CLOSED, LIKELIHOOD_WORDS, Across, Likelihood, Severity, Step, Who
from inspect_tui.engineering.circuit_hunt import LOOKED
from inspect_tui.engineering.protection import State
from inspect_tui.judgement.action import Action
from inspect_tui.judgement.evidence import newest_leak
from inspect_tui.judgement.finding_actions import last_done
from inspect_tui.judgement.hunted import LEAK
from inspect_tui.judgement.isolation import newest_test
from inspect_tui.judgement.meters import AIR, failing
from inspect_tui.judgement.protected import newest_at_work
from inspect_tui.judgement.risk import place_finding, risk_of

ASKS = {State.CORRODING: Likelihood.B, State.MARGINAL: Likelihood.C, State.OVER: Likelihood.A}


def meter_actions(book: Book, checklists: Checklists) -> list[Action]:
    """A leak that was measured and stands as no finding; a hull that is not protected, or too much; and every reading
    that is outside its limits."""
    actions = [action for reading in failing(book) if (action := _of_reading(book, checklists, reading))]
    leak = newest_leak(book)
    if leak is not None and leak.there and leak.when and not _is_written(book, leak.when):
        what = (
            f"Have the leak of current traced and cured before any metal is repaired: {leak.by}. {LOOKED.rstrip('.')}"
        )
        action = _action(
            book, "hull/leak", Step.CAUSE, what, Who.ELECTRICIAN, Severity.CRITICAL, Likelihood.A, leak.by
        )
        if not _done_since(book, action.key, leak.when):
            actions.append(action)
    last = newest_at_work(book)
    if last is not None and last[1].state in ASKS:
        reading, judged = last
        assert judged.state is not None
        who = Who.ELECTRICIAN if judged.state is State.OVER else Who.OWNER
        what = f"{judged.protection.to_do.rstrip('.')} — {judged.word}: {judged.read.sea_mv:.0f} mV"
        told = f"read on {reading.when:%Y-%m-%d}; a judgement of this program by bands of several sources"
        likelihood = ASKS[judged.state]
        action = _action(book, "hull/potential", Step.ANODES, what, who, Severity.MARGINAL, likelihood, told)
        if not _done_since(book, action.key, reading.when):
            actions.append(action)
    return actions


def _is_written(book: Book, when: datetime) -> bool:
    """Whether a finding of a leak was written since, or the test itself belongs to one."""
    test = newest_test(book)
    if test is not None and test.reading.when == when and test.reading.finding is not None:
        return True
    return any(
        one.kind == LEAK and one.status not in CLOSED and one.found.when >= when for one in book.findings.values()
    )


def _of_reading(book: Book, checklists: Checklists, reading: Reading) -> Action | None:
    """A reading outside its limits, which would be in no list."""
    if isinstance(reading, ResistanceReading) and reading.across is Across.HULL:
        # That is the leak of the whole hull.
        return None
    place = book.compartments.get(reading.compartment)
    air = reading.kind in AIR
    key = f"reading/{reading.id}"
    if place is None or _done_since(book, key, reading.when):
        return None
    told = f"{in_words(reading)}, {reading.when:%Y-%m-%d}"
    what = f"Keep out, ventilate, test the air again: {told}" if air else f"Write a finding for what fails: {told}"
    severity = Severity.CATASTROPHIC if air else Severity.MARGINAL
    action = _action(book, key, Step.GUT if air else Step.MEASURE, what, Who.OWNER, severity, Likelihood.B, told)
    risk = action.risk
    placed = place_finding(risk, checklists.kinds.get("air") if air else None, below=True, afloat=book.boat.afloat)
    return replace(action, where=place.name, compartment=place, order=place.order, tier=placed.tier,
                   why=f"{severity.value.capitalize()}; {placed.because}: {told}.")  # fmt: skip


def _done_since(book: Book, key: str, when: datetime) -> bool:
    done = last_done(book, key)
    return done is not None and done >= when


def _action(
    book: Book, key: str, step: Step, what: str, who: Who, severity: Severity, likelihood: Likelihood, told: str
) -> Action:
    risk = risk_of(severity, likelihood)
    placed = place_finding(risk, None, below=True, afloat=book.boat.afloat)
    word, _ = LIKELIHOOD_WORDS[likelihood]
    return Action(
        key=key,
        step=step,
        tier=placed.tier,
        what=what,
        about=what,
        where="whole boat",
        why=f"{severity.value.capitalize()} and {word}; {placed.because}: {told}.",
        who=who,
        risk=risk,
        severity=severity,
        likelihood=likelihood,
        below=True,
    )
