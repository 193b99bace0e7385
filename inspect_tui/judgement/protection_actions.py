"""What meters said of the whole hull asks for actions of its own, whether metal is eaten yet or not."""

from __future__ import annotations

from datetime import datetime

from inspect_tui.domain.book import Book
from inspect_tui.domain.words import CLOSED, LIKELIHOOD_WORDS, Likelihood, Severity, Step, Who
from inspect_tui.engineering.circuit_hunt import LOOKED
from inspect_tui.engineering.protection import State
from inspect_tui.judgement.action import Action
from inspect_tui.judgement.evidence import newest_leak
from inspect_tui.judgement.finding_actions import last_done
from inspect_tui.judgement.hunted import LEAK
from inspect_tui.judgement.protected import newest_at_work
from inspect_tui.judgement.risk import place_finding, risk_of

ASKS = {State.CORRODING: Likelihood.B, State.MARGINAL: Likelihood.C, State.OVER: Likelihood.A}


def protection_actions(book: Book) -> list[Action]:
    """A leak that was measured and stands as no finding; a hull that is not protected, or too much."""
    actions = []
    leak = newest_leak(book)
    written = any(one.kind == LEAK and one.status not in CLOSED for one in book.findings.values())
    if leak is not None and leak.there and leak.when and not written:
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
