"""Answers, findings and readings that contradict each other: somebody has to say which is true."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.areas import Prompt
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.named import Kinds, Prompts
from inspect_tui.domain.measuring.readings import in_words
from inspect_tui.domain.reading_records import Reading
from inspect_tui.domain.records import Answer, Finding
from inspect_tui.domain.words import CLOSED, Said, Severity, Status, Step, Tier, Who
from inspect_tui.domain.zones import zone_of_prompt
from inspect_tui.judgement.work.action import Action, PlaceRef, Task, done_since
from inspect_tui.judgement.work.risk import UNSEEN_LIKELIHOOD, Lies, place_unseen, risk_of


def settling_actions(book: Book, checklists: Checklists, failing: Sequence[Reading]) -> list[Action]:
    """One action for each answer of this round that something in the book contradicts. `failing`: readings outside
    their limits that stand in no finding."""
    prompts = checklists.prompts
    open_: dict[str, list[Finding]] = defaultdict(list)
    for finding in sorted(book.findings.values(), key=lambda one: one.chalk):
        if finding.status not in CLOSED | {Status.REPAIRED}:
            open_[finding.compartment].append(finding)
    actions = []
    for answer in book.answers.values():
        prompt = prompts.get(answer.prompt)
        denied = answer.said in (Said.SOUND, Said.NOT_FITTED)
        if (
            prompt is None
            or not denied
            or answer.round != book.round.id
            or answer.compartment not in book.compartments
        ):
            continue
        if against := contradicted(prompt, answer, open_[answer.compartment], failing):
            action = _settle(book, checklists, prompt, answer, against)
            if not done_since(book, action.key, [answer.when]):
                actions.append(action)
    return actions


def contradicted(prompt: Prompt, answer: Answer, open_there: list[Finding], failing: Sequence[Reading]) -> str:
    """What stands against an answer; empty if nothing does."""
    # Pits are denied only by the question that asks for all of them; growth by nothing that was there before.
    sums_up = prompt.area == walk.EVERYWHERE and (prompt.kind != Kinds.PITTING or prompt.key == Prompts.PITS)
    for finding in open_there:
        if finding.prompt == prompt.key or (sums_up and finding.kind == prompt.kind):
            return f"finding {finding.chalk} is open there: {finding.words}"
    for reading in failing:
        if (reading.compartment, reading.prompt, reading.round) == (answer.compartment, prompt.key, answer.round):
            return f"a reading taken there fails: {in_words(reading)}"
    return ""


def _settle(book: Book, checklists: Checklists, prompt: Prompt, answer: Answer, against: str) -> Action:
    place = book.compartments[answer.compartment]
    zone = zone_of_prompt(checklists, place, prompt)
    placed = place_unseen(prompt.severity, Lies(zone.wet, zone.wet, sail=False, afloat=False))
    what = f"Settle which is true: “{prompt.ask}” was answered {answer.said.value}, but {against}"
    return Action(
        task=Task.SETTLE,
        about=PlaceRef((place.id,)),
        detail=prompt.key,
        step=Step.RECORD,
        tier=max(placed.tier, Tier.BEFORE_AFLOAT, key=lambda one: one.rank),
        what=what,
        headline=what,
        where=place.name,
        why="Two things in the book seem to contradict each other. Answer the question again, or close or withdraw "
        "the finding; marking this line done says that both are true.",
        who=Who.OWNER,
        risk=risk_of(prompt.severity, UNSEEN_LIKELIHOOD),
        severity=Severity.MARGINAL,
        below=zone.wet,
        order=place.order,
        compartment=place,
    )
