"""How far the work at a place has come, from closed to closed up: told from what is written down, never asked."""

from __future__ import annotations

from enum import StrEnum

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.records import Compartment, Finding
from inspect_tui.domain.words import Need, Said, Status
from inspect_tui.judgement.work.opened import closing_actions

# How far a finding must have come for the place to be so far.
_DECIDED = frozenset({Status.DECIDED, Status.REPAIRED, Status.VERIFIED, Status.ACCEPTED})
_REPAIRED = _DECIDED - {Status.DECIDED}
_MEASURED = _DECIDED | {Status.MEASURED}
_COATED = _REPAIRED - {Status.REPAIRED}


class Stage(StrEnum):
    """In the order of the work."""

    CLOSED = "closed"
    EMPTIED = "emptied"
    CLEANED = "cleaned"
    LOOKED_AT = "looked at"
    MEASURED = "measured"
    DECIDED = "decided"
    REPAIRED = "repaired"
    COATED = "coated"
    CLOSED_UP = "closed up"


def stages_of(book: Book, checklists: Checklists) -> dict[str, Stage]:
    """The stage of each compartment in this round, by its key: the last one that is reached with all before it; none
    of what is no space with plate of its own.

    A place is emptied when its air or anything in it was answered, or something was taken out of it; cleaned when
    what is left on a wipe was answered, or bright metal was read; coated when what was repaired there was verified
    or accepted; closed up when nothing that was opened or taken out waits for its signature."""
    open_ = {one.compartment.id for one in closing_actions(book, checklists) if one.compartment}
    return {
        place.id: _stage(book, checklists, place, place.id in open_)
        for place in book.compartments.values()
        if (area := walk.area_of(checklists, place)) is None or area.space
    }


def _stage(book: Book, checklists: Checklists, place: Compartment, waits: bool) -> Stage:
    done = walk.progress(book, checklists, place)
    found = [
        one for one in book.findings.values() if one.compartment == place.id and one.status is not Status.WITHDRAWN
    ]
    metal = [one for one in found if (kind := checklists.kinds.get(one.kind)) is not None and kind.bright_metal]
    parts = any(part.compartment == place.id for part in book.parts.values())
    read = any(where == place.id for where, _ in book.read_at)
    inside = any(
        (answer := walk.answer_of(book, place.id, prompt.key)) is not None
        and answer.said in (Said.SOUND, Said.FINDING)
        for prompt in walk.prompts_of(checklists, book, place)
        if Need.GAS_FREE in walk.needs_of(checklists, place, prompt) and not (prompt.share or prompt.glance)
    )
    seen = bool(done.one_by_one or done.by_look) and (inside or not _has_inside(book, checklists, place))

    def all_in(findings: list[Finding], statuses: frozenset[Status]) -> bool:
        return all(one.status in statuses for one in findings)

    reached = (
        (Stage.EMPTIED, seen or parts or read),
        (Stage.CLEANED, read or _wiped(book, place) or any(one.status is not Status.FOUND for one in metal)),
        (Stage.LOOKED_AT, done.complete and seen),
        (Stage.MEASURED, not done.to_gauge and all_in(metal, _MEASURED)),
        (Stage.DECIDED, all_in(found, _DECIDED)),
        (Stage.REPAIRED, all_in(found, _REPAIRED)),
        (Stage.COATED, all_in(metal, _COATED)),
        (Stage.CLOSED_UP, not waits),
    )
    stage = Stage.CLOSED
    for one, there in reached:
        if not there:
            break
        stage = one
    return stage


def _has_inside(book: Book, checklists: Checklists, place: Compartment) -> bool:
    """Whether part of it is only seen by who opens and airs it."""
    prompts = walk.prompts_of(checklists, book, place)
    return any(Need.GAS_FREE in walk.needs_of(checklists, place, prompt) for prompt in prompts)


def _wiped(book: Book, place: Compartment) -> bool:
    answers = (walk.answer_of(book, place.id, f"{walk.EVERYWHERE}/{id}") for id in ("powder", "look"))
    return any(answer is not None and answer.reason is None for answer in answers)
