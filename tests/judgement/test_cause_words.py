"""Causes are told in words and counts of signs: no guessed chance is ever printed."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from inspect_tui.domain.book import Book
from inspect_tui.handover.parts.causes import causes_part
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.handover.report import make_report
from inspect_tui.handover.writers.tables import findings_table, readings_table
from inspect_tui.handover.writers.text import write_text
from inspect_tui.judgement.causes.cause import (
    LIKELY,
    NAMED,
    Moved,
    Shown,
    Weighed,
    causes_at,
    find_causes,
)
from inspect_tui.judgement.causes.evidence import Act, Evidence
from inspect_tui.judgement.causes.patches import tally_lines
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.work.action import Task
from inspect_tui.store.book_file import open_book
from inspect_tui.store.checklist_files import load_checklists
from tests.conftest import START
from tests.handover.test_papers import DEMO
from tests.judgement.invented import Invented

CHECKLISTS = load_checklists()
KNOWN = CHECKLISTS.causes
GUESSED = re.compile(
    r"\b(likely|possible|not shown|sign|signs|cause|prior)\b[^.;]{0,60}\d ?%|\d ?%[^.;]{0,30}\blikely"
)


def said(book: Book) -> Iterator[str]:
    """Everything in which a cause is told, line by line."""
    judged = Judged(book, CHECKLISTS)
    for place in judged.eaten:
        for one in place.found.ranked:
            yield one.told
            yield from (f"{name} {text}" for name, text in one.working.lines())
        yield from (one.by for one in place.evidence if one.origin != "reading")
    for action in judged.worklist.actions:
        if action.task in (Task.CURE, Task.FIND_CAUSE):
            yield from (action.what, action.headline, action.where, action.why)
    yield from (text for pool in judged.patches.pools if not pool.drawn for text in (pool.counted, pool.advice))
    yield from (text for _, text in tally_lines(judged.patches) if "drawn by lot" not in text)


def bare(text: str) -> str:
    """Without the composition of an alloy, which is no chance."""
    return text.replace("more than 3 % magnesium", "").replace("3 % magnesium", "")


@pytest.mark.parametrize("seed", range(16))
def test_no_line_on_a_cause_has_a_percentage_in_an_invented_book(seed: int) -> None:
    for text in said(Invented(seed, CHECKLISTS).book):
        assert "%" not in bare(text), text


def test_no_line_on_a_cause_has_a_percentage_in_the_demo_or_its_papers() -> None:
    book = open_book(DEMO, lambda: START, "", write=False).book
    for text in said(book):
        assert "%" not in bare(text), text
    judged = Judged(book, CHECKLISTS)
    subject = Subject(judged)
    names = [cause.name for cause in KNOWN.causes.values()]
    papers = " ".join(write_text(make_report(judged)).split())
    assert not GUESSED.search(bare(papers)), GUESSED.search(bare(papers))
    for table in (findings_table(subject), readings_table(subject)):
        for line in table.splitlines():
            assert not (any(name in line for name in names) and "%" in line), line
    blocks = str(causes_part(subject).blocks[0])
    assert "%" not in blocks
    assert "counts of signs" in blocks


def galvanic(*evidence: Evidence) -> Weighed:
    return next(one for one in causes_at(KNOWN, evidence).ranked if one.cause.id == "galvanic")


def seen(sign: str, act: Act | None = None) -> Evidence:
    return Evidence(sign, True, "ticked", "ticked", act=act)


def test_of_one_act_only_the_weightiest_counts_on_each_side() -> None:
    one = galvanic(seen("ring-at-noble", Act.PATCH))
    more = galvanic(seen("ring-at-noble", Act.PATCH), seen("noble-beside", Act.PATCH), seen("powder", Act.PATCH))
    assert more.chance == pytest.approx(one.chance)
    assert more.told == f"{one.word}: 3 signs for it, all from one lifted patch"
    assert [each.counts for each in more.moved if each.speaks] == [True, False, False]
    assert galvanic(seen("ring-at-noble"), seen("powder", Act.PATCH)).chance > one.chance
    against = galvanic(seen("ring-at-noble", Act.PATCH), seen("bright-crater", Act.PATCH), seen("sudden", Act.PATCH))
    assert against.chance == pytest.approx(galvanic(
        seen("ring-at-noble", Act.PATCH), seen("sudden", Act.PATCH) if _weight("sudden") > _weight("bright-crater")
        else seen("bright-crater", Act.PATCH),
    ).chance)  # fmt: skip
    assert against.told.endswith(", from one lifted patch, 2 against")
    assert "not counted: another sign from one lifted patch weighs more" in str(more.working.steps)
    assert more.working.steps[-1].numbers == one.working.steps[-1].numbers
    moves = {step.what: step.result for step in more.working.steps}
    assert (moves["noble-beside"], moves["powder"]) == ("+0.00", "+0.00")
    assert moves["ring-at-noble"] == {step.what: step.result for step in one.working.steps}["ring-at-noble"]


def _weight(sign: str) -> float:
    galvanic_tells = KNOWN.causes["galvanic"].tells
    return abs(Moved(Shown(sign, True), galvanic_tells[sign], KNOWN.signs[sign].base).by)


def test_the_words_say_how_many_come_from_one_act() -> None:
    some = galvanic(seen("ring-at-noble", Act.PATCH), seen("noble-beside", Act.PATCH), seen("anode-fast"))
    assert some.told == f"{some.word}: 3 signs for it, 2 of them from one lifted patch"
    two = galvanic(seen("ring-at-noble", Act.PATCH), seen("anode-fast"))
    assert two.told == f"{two.word}: 2 signs for it"
    alone = galvanic(Evidence("ring-at-noble", True, "question", "the question", act=Act.QUESTION))
    assert alone.told == f"{alone.word}: 1 sign for it, from the question it came from"
    assert galvanic().told == "unproven: 0 signs for it"


def strong(*shown: Shown) -> Weighed:
    """A cause that the odds alone would call likely."""
    cause = KNOWN.causes["galvanic"]
    return Weighed(cause, 0.99, tuple(Moved(one, 0.9, 0.1) for one in shown), ())


def test_one_act_is_possible_at_most_unless_it_was_measured() -> None:
    assert strong(Shown("powder", True)).word == "possible"
    assert strong(Shown("powder", True, measured=True)).word == "likely"
    assert strong(Shown("powder", True, Act.PATCH), Shown("pits", True, Act.PATCH)).word == "possible"
    assert strong(Shown("powder", True, Act.PATCH), Shown("pits", True)).word == "likely"
    assert strong(Shown("powder", True), Shown("pits", True)).word == "likely", "each tick is an act"
    brought = (Shown("powder", True, Act.QUESTION, brought=True), Shown("pits", True, Act.KIND, brought=True))
    assert strong(*brought).word == "possible", "nobody looked"
    assert strong(*brought, Shown("crevice", False)).word == "possible"


def test_a_word_begins_where_it_is_said_to() -> None:
    two = (Shown("powder", True), Shown("pits", True))
    moved = tuple(Moved(one, 0.9, 0.1) for one in two)
    cause = KNOWN.causes["galvanic"]
    for chance, word in ((LIKELY, "likely"), (LIKELY - 0.01, "possible"), (NAMED, "possible"),
                         (NAMED - 0.01, "unproven"), (NAMED - 0.004, "possible")):  # fmt: skip
        assert Weighed(cause, chance, moved, ()).word == word, chance


def test_nothing_is_named_that_nothing_speaks_for() -> None:
    assert not find_causes(KNOWN, []).named
    for sign in KNOWN.signs:
        for one in find_causes(KNOWN, [sign]).named:
            assert one.speaks_for


def test_the_working_can_be_followed_with_a_pocket_calculator() -> None:
    told = galvanic(seen("ring-at-noble"), Evidence("powder", False, "ticked", "ticked"))
    steps = {step.what: (step.numbers, step.result) for step in told.working.steps}
    assert steps["ring-at-noble"] == ("0.85 / 0.18", "+1.55")
    assert steps["powder not there"] == ("0.3 / 0.55", "-0.61")
    assert steps["word"] == ("sum -0.79", "unproven")
