"""One look that answers for many: what it may answer of a place, and what it never may."""

from __future__ import annotations

from collections.abc import Collection

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.areas import By, Prompt
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.words import CLOSED, Need, Severity

GRAVE = frozenset({Severity.CATASTROPHIC, Severity.CRITICAL})


def may_stand_for(prompt: Prompt) -> bool:
    """Whether one look over a place can answer this prompt at all: what is asked everywhere by eye, and of the
    place's own questions those by eye that are not grave, ask for nothing first, hurt nobody, and lie under
    nothing."""
    if prompt.by is not By.LOOK or prompt.share or prompt.glance:
        return False
    if prompt.area == walk.EVERYWHERE:
        return True
    asks_more = prompt.needs or prompt.cautions or prompt.covered or prompt.does or prompt.leaves_open
    return not (prompt.severity in GRAVE or asks_more)


def answered_by_look(
    checklists: Checklists, book: Book, compartment: Compartment, met: Collection[Need] = ()
) -> tuple[Prompt, ...]:
    """What the one look answers in this place today. Nothing where less than nine tenths were seen; nothing that was
    answered already, is barred today, or has an open finding. `met`: needs that were seen to."""
    visit = walk.visit_of(book, compartment.id)
    if visit is None or visit.seen_percent < walk.LOOK_SHARE:
        return ()
    found = {
        one.prompt for one in book.findings.values() if one.compartment == compartment.id and one.status not in CLOSED
    }
    prompts = walk.prompts_of(checklists, book, compartment)
    ids = {prompt.id for prompt in prompts if may_stand_for(prompt)}
    return tuple(
        prompt
        for prompt in prompts
        # What is not asked where another is sound needs no answer once that has one.
        if may_stand_for(prompt)
        and prompt.unless not in ids
        and prompt.key not in found
        and walk.answer_of(book, compartment.id, prompt.key) is None
        and walk.bar_of(checklists, book.boat, compartment, prompt, met) is None
    )
