"""What the work left open, and what was taken out of her: each is a line until somebody signs that it is closed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime

from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.areas import By
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.entry import OPENING_WORDS, Opening, Touch
from inspect_tui.domain.records import Boat, GoesBack, PartKind, PartOut
from inspect_tui.domain.words import (
    Said,
    Severity,
    Status,
    Step,
    Tier,
    Who,
)
from inspect_tui.domain.zones import zone_of_compartment, zone_of_finding, zone_of_prompt
from inspect_tui.judgement.work.action import (
    HULL,
    Action,
    PartRef,
    PlaceRef,
    Task,
    done_since,
    key_of,
    last_done,
)
from inspect_tui.judgement.work.risk import UNSEEN_LIKELIHOOD, risk_of

# Of these a finding says that its work was done, and so that what it opens was open.
_WORKED = (Status.CLEANED, Status.REPAIRED)
_SEALS = frozenset({PartKind.FITTING})


@dataclass(frozen=True)
class Opened:
    """One thing that was opened in one compartment. `sea`: it keeps the water out; `asked`: a question may have
    opened it, and whoever answered did not say so."""

    compartment: str
    opening: Opening
    when: datetime
    why: str
    sea: bool
    asked: bool = False


def opened_things(book: Book, checklists: Checklists) -> Iterator[Opened]:
    """All that questions, tests, findings and cures opened, closed again or not."""
    prompts = checklists.prompts
    for answer in book.answers.values():
        prompt = prompts.get(answer.prompt)
        if prompt is None or answer.said not in (Said.SOUND, Said.FINDING):
            continue
        place = book.compartments.get(answer.compartment)
        wet = zone_of_prompt(checklists, place, prompt).wet
        if prompt.does and wet and _surely_afloat(book.boat, answer.when):
            continue  # while she floats nothing that keeps the water out is opened: it was looked at
        sea = Touch.OPENS in prompt.does and zone_of_prompt(checklists, place, prompt).wet
        for opening in prompt.leaves_open:
            yield Opened(answer.compartment, opening, answer.when, f"asked: {prompt.ask}", sea, asked=True)
    for reading in book.readings.values():
        prompt = prompts.get(reading.prompt or "")
        for opening in prompt.leaves_open if prompt and prompt.by is By.GAUGE else ():
            assert prompt is not None
            place = book.compartments.get(reading.compartment)
            sea = Touch.OPENS in prompt.does and zone_of_prompt(checklists, place, prompt).wet
            yield Opened(reading.compartment, opening, reading.when, f"asked: {prompt.ask}", sea)
    tests = [test for test in checklists.causes.tests.values() if test.leaves_open]
    for finding in book.findings.values():
        if finding.status is Status.WITHDRAWN:
            continue
        kind = checklists.kinds.get(finding.kind)
        worked = [event.when for event in finding.history if event.status in _WORKED]
        worked += [finding.lifted.when] if finding.lifted else []
        for opening in kind.leaves_open if kind and worked else ():
            sea = zone_of_finding(book, checklists, finding).wet
            yield Opened(finding.compartment, opening, max(worked), f"finding {finding.chalk}", sea)
        ticked = {*(finding.signs_confirmed or ()), *finding.signs_absent}
        for test in tests:
            for opening in test.leaves_open if test.sign in ticked else ():
                sea = zone_of_finding(book, checklists, finding).wet
                yield Opened(finding.compartment, opening, finding.found.when, f"finding {finding.chalk}", sea)
    for cause in checklists.causes.causes.values():
        for key in book.compartments if cause.leaves_open and not cause.everywhere else ():
            cured = last_done(book, key_of(Task.CURE, PlaceRef((key,)), cause.id))
            sea = zone_of_compartment(checklists, book.compartments[key]).wet
            for opening in cause.leaves_open if cured else ():
                assert cured is not None
                yield Opened(key, opening, cured, f"cured: {cause.name}", sea)


def _surely_afloat(boat: Boat, when: datetime) -> bool:
    """Whether she floated then; on the day of an entry whose moment nobody wrote that is not known."""
    unsaid = any(event.when is None and event.day == when.date() for event in boat.float_history[1:])
    return not unsaid and bool(boat.afloat_at(when))


def closing_actions(book: Book, checklists: Checklists) -> list[Action]:
    """What is open and nobody signed as closed; and what was taken out and is not back."""
    newest: dict[tuple[str, Opening], Opened] = {}
    for one in opened_things(book, checklists):
        before = newest.get((one.compartment, one.opening))
        sea = one.sea or (before is not None and before.sea)
        if before is None or one.when >= before.when:
            newest[one.compartment, one.opening] = replace(one, sea=sea)
    actions = [
        _closing(book, one)
        for one in newest.values()
        if not done_since(book, key_of(Task.CLOSE, PlaceRef((one.compartment,)), one.opening), [one.when])
    ]
    parts = (part for part in book.parts.values())
    return actions + [
        _putting_back(book, checklists, part)
        for part in parts
        if not done_since(book, key_of(Task.REFIT, PartRef(part.id)), [part.when])
    ]


def _closing(book: Book, one: Opened) -> Action:
    what = OPENING_WORDS[one.opening]
    opened = f"It was opened on {one.when:%Y-%m-%d}"
    if one.asked:
        what = f"If it was opened: {what[0].lower()}{what[1:]}"
        opened = f"It may have been opened on {one.when:%Y-%m-%d}"
    sealing = _sealing(book, one.compartment, what, sea=one.sea)
    if one.asked and not book.boat.afloat:
        # Nobody said that it was: what was found comes before it.
        sealing = replace(sealing, severity=Severity.MARGINAL, risk=risk_of(Severity.MARGINAL, UNSEEN_LIKELIHOOD))
    return replace(
        sealing,
        task=Task.CLOSE,
        about=PlaceRef((one.compartment,)),
        detail=one.opening.value,
        why=f"{opened} ({one.why}). It counts as open until somebody signs that it is closed.",
        tier=Tier.NOW if one.sea and book.boat.afloat else Tier.BEFORE_AFLOAT,
        like=f"close/{one.opening}",
        sealing=True,
    )


def _putting_back(book: Book, checklists: Checklists, part: PartOut) -> Action:
    sea = part.what in _SEALS and zone_of_compartment(checklists, book.compartments.get(part.compartment)).wet
    bag = f", bag {part.bag}" if part.bag else ""
    first = "See whether its hole is shut; if not, plug it. Then put back" if sea and book.boat.afloat else "Put back"
    what = f"{first}, {part.back.value}: {part.words} ({part.what.value}{bag}); now: {part.lies}"
    return replace(
        _sealing(book, part.compartment, what, sea=sea),
        about=PartRef(part.id),
        why=f"Taken out on {part.when:%Y-%m-%d} by {part.by}.",
        tier=Tier.NOW
        if sea and book.boat.afloat
        else Tier.BEFORE_AFLOAT
        if part.what in _SEALS
        else Tier.BEFORE_SAILING,
        step=Step.REFIT if part.back is GoesBack.AFTER else Step.TIGHTNESS,
    )


def _sealing(book: Book, compartment: str, what: str, *, sea: bool) -> Action:
    """Something to be closed or put back in a compartment. `sea`: it keeps the water out."""
    place = book.compartments.get(compartment)
    severity = Severity.CATASTROPHIC if sea else Severity.MARGINAL
    return Action(
        task=Task.REFIT,
        about=HULL,
        step=Step.REFIT,
        tier=Tier.BEFORE_AFLOAT,
        what=what,
        headline=what,
        where=place.name if place else compartment,
        why="",
        who=Who.OWNER,
        risk=risk_of(severity, UNSEEN_LIKELIHOOD),
        severity=severity,
        below=sea,
        order=place.order if place else 0,
        compartment=place,
        sealing=sea,
    )
