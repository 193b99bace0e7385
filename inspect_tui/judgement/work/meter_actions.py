"""What meters said asks for actions of its own, whether somebody wrote a finding for it or not."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.named import Kinds
from inspect_tui.domain.measuring.readings import in_words
from inspect_tui.domain.reading_records import Reading, ResistanceReading
from inspect_tui.domain.words import CLOSED, LIKELIHOOD_WORDS, Across, Likelihood, Severity, Step, Tier, Who
from inspect_tui.domain.zones import zone_of_reading
from inspect_tui.engineering.electricity.circuit_hunt import LOOKED
from inspect_tui.engineering.electricity.protection import State
from inspect_tui.judgement.causes.evidence import Evidence
from inspect_tui.judgement.electricity.electricity import Electricity
from inspect_tui.judgement.electricity.meters import AIR
from inspect_tui.judgement.work.action import HULL, Action, ReadingRef, Ref, Task, done_since, key_of
from inspect_tui.judgement.work.risk import Lies, place_finding, risk_of

_SWITCH_OFF = "Switch off at the breaker whatever the leak was traced to, or everything, and take the shore lead out"
_ASK_TIED = (
    "Ask first whether battery positive or negative is joined to the hull on purpose, and write the answer under "
    "circuit hunt, isolation test"
)
_PART_MINUS = "Find where battery negative touches the hull and separate them"
_PART_POLE = (
    "Find where battery positive or negative touches the hull and separate them, unless they are joined on purpose"
)
ASKS = {State.CORRODING: Likelihood.B, State.MARGINAL: Likelihood.C, State.OVER: Likelihood.A}


def meter_actions(
    book: Book, checklists: Checklists, electricity: Electricity, leak: Evidence | None
) -> list[Action]:
    """A leak that was measured and stands as no finding; a hull that is not protected, or too much; and every reading
    that is outside its limits."""
    actions = [action for reading in electricity.failing if (action := _of_reading(book, checklists, reading))]
    if leak is not None and leak.there and leak.when and not _is_written(book, electricity, leak.when):
        what = f"Have the current leak traced and cured before any metal is repaired: {leak.by}. {LOOKED.rstrip('.')}"
        asked = _Asked(Step.CAUSE, Who.ELECTRICIAN, what, leak.by, Severity.CRITICAL, Likelihood.A)
        action = _action(book, Task.LEAK, HULL, asked)
        if not done_since(book, action.key, [leak.when]):
            actions.append(replace(action, tier=Tier.BEFORE_AFLOAT, kind=checklists.kinds[Kinds.LEAKAGE]))
            off = replace(
                action, task=Task.AT_ONCE, tier=Tier.TODAY, what=_SWITCH_OFF, headline=_SWITCH_OFF, who=Who.OWNER
            )
            if not done_since(book, off.key, [leak.when]):
                actions.append(replace(off, doing=checklists.kinds[Kinds.LEAKAGE].at_once))
    if action := _of_poles(book, electricity):
        actions.append(action)
    last = electricity.at_work
    if last is not None and last[1].state in ASKS:
        reading, judged = last
        assert judged.state is not None
        who = Who.ELECTRICIAN if judged.state is State.OVER else Who.OWNER
        what = f"{judged.protection.to_do.rstrip('.')} — {judged.word}: {judged.read.sea_mv:.0f} mV"
        told = f"read on {reading.when:%Y-%m-%d}; a judgement of this program, by bands from several sources"
        asked = _Asked(Step.ANODES, who, what, told, Severity.MARGINAL, ASKS[judged.state])
        action = _action(book, Task.POTENTIAL, HULL, asked)
        if not done_since(book, action.key, [reading.when]):
            actions.append(action)
    return actions


def _of_poles(book: Book, electricity: Electricity) -> Action | None:
    """Minus alone touches; or a pole does, and nobody has said whether one is tied to the hull on purpose. That is
    asked first; where it was asked and nobody knows, the pole is traced."""
    test = electricity.hull_test
    if test is None or not (test.lost or test.ask) or _is_written(book, electricity, test.reading.when):
        return None
    if test.ask:
        asked = _Asked(Step.RECORD, Who.OWNER, f"{_ASK_TIED}: {test.told}", test.told, Severity.MARGINAL,
                       Likelihood.B)  # fmt: skip
        action = replace(_action(book, Task.SETTLE, HULL, asked), detail="tied", tier=Tier.BEFORE_AFLOAT)
        if not done_since(book, action.key, [test.reading.when]):
            return action
    asked = _Asked(Step.CAUSE, Who.ELECTRICIAN, f"{_PART_MINUS if test.lost else _PART_POLE}: {test.told}", test.told,
                   Severity.MARGINAL, Likelihood.B)  # fmt: skip
    action = _action(book, Task.LEAK, HULL, asked)
    if done_since(book, action.key, [test.reading.when]):
        return None
    return replace(action, tier=Tier.THIS_HAUL_OUT if test.lost else Tier.BEFORE_AFLOAT)


def _is_written(book: Book, electricity: Electricity, when: datetime) -> bool:
    """Whether a finding of a leak was written since, or the test itself belongs to one."""
    test = electricity.hull_test
    if test is not None and test.reading.when == when and test.reading.finding is not None:
        return True
    return any(
        one.kind == Kinds.LEAKAGE and one.status not in CLOSED and one.found.when >= when
        for one in book.findings.values()
    )


def _of_reading(book: Book, checklists: Checklists, reading: Reading) -> Action | None:
    """A reading outside its limits, which would be in no list."""
    if isinstance(reading, ResistanceReading) and reading.across is Across.HULL:
        # That is the leak of the whole hull.
        return None
    place = book.compartments.get(reading.compartment)
    about = ReadingRef(reading.id)
    if place is None or done_since(book, key_of(Task.READING, about), [reading.when]):
        return None
    air = reading.kind in AIR
    told = f"{in_words(reading)}, {reading.when:%Y-%m-%d}"
    what = f"Keep out, ventilate, test the air again: {told}" if air else f"Write a finding for what fails: {told}"
    severity = Severity.CATASTROPHIC if air else Severity.MARGINAL
    lies = Lies.at(book, checklists, reading.compartment, zone_of_reading(book, checklists, reading))
    asked = _Asked(Step.GUT if air else Step.MEASURE, Who.OWNER, what, told, severity, Likelihood.B)
    action = _action(book, Task.READING, about, asked)
    kind = checklists.kinds[Kinds.AIR] if air else None
    placed = place_finding(severity, Likelihood.B, kind, lies)
    return replace(action, where=place.name, compartment=place, order=place.order, tier=placed.tier, kind=kind,
                   why=f"{severity.value.capitalize()}; {placed.because}: {told}.")  # fmt: skip


@dataclass(frozen=True)
class _Asked:
    """What a meter asks for."""

    step: Step
    who: Who
    what: str
    told: str
    severity: Severity
    likelihood: Likelihood


def _action(book: Book, task: Task, about: Ref, asked: _Asked) -> Action:
    risk = risk_of(asked.severity, asked.likelihood)
    lies = Lies(wet=True, shell=True, sail=False, afloat=book.boat.afloat)
    placed = place_finding(asked.severity, asked.likelihood, None, lies)
    word, _ = LIKELIHOOD_WORDS[asked.likelihood]
    return Action(
        task=task,
        about=about,
        step=asked.step,
        tier=placed.tier,
        what=asked.what,
        headline=asked.what,
        where="whole boat",
        why=f"{asked.severity.value.capitalize()} and {word}; {placed.because}: {asked.told}.",
        who=asked.who,
        risk=risk,
        severity=asked.severity,
        likelihood=asked.likelihood,
        below=True,
    )
