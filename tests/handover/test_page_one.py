"""Page one: one side, one sentence, what decides, and nothing that its reader must not see."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, Edit, Stamp, after
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.owner.money import Money, Rate
from inspect_tui.domain.words import Tier, Who
from inspect_tui.handover.model import Deciders, Figure, Report, Table, Words
from inspect_tui.handover.papers import write_papers
from inspect_tui.handover.parts.changed import changed_lines
from inspect_tui.handover.parts.front import MOST_DECIDE, MOST_LETTERS, verdict_sentence, what_is_wrong
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.handover.report import Contents, PartName, Reader, make_report
from inspect_tui.handover.writers.pdf import count_pages
from inspect_tui.handover.writers.text import write_text
from inspect_tui.judgement.judged import Judged
from inspect_tui.store.book_file import open_book
from inspect_tui.store.checklist_files import shipped
from tests.conftest import START
from tests.judgement.invented import Invented

FRONT = Contents(frozenset({PartName.FRONT}))
STAMP = Stamp(START, "Mattis")


@pytest.fixture(scope="module")
def demo() -> Book:
    return open_book(shipped("demo") / "sandmartin.hullbook", lambda: START, "", write=False).book


def front_of(book: Book, checklists: Checklists) -> Report:
    return make_report(Judged(book, checklists), FRONT)


def renamed(book: Book, words: str) -> Book:
    """Every name and every finding's words as long as may be."""
    for finding in list(book.findings.values()):
        book = after(book, edits.change_finding(finding.model_copy(update={"words": words})), STAMP)[0]
    for place in list(book.compartments.values()):
        long = place.model_copy(update={"name": f"{place.name} {words}"[:80]})
        book = after(book, edits.change_compartment(long), STAMP)[0]
    return book


@pytest.mark.parametrize("seed", [None, 0, 3, 7, "long"])
def test_it_is_one_side_whatever_the_book(
    seed: int | str | None, demo: Book, checklists: Checklists, tmp_path: Path
) -> None:
    book = Invented(seed, checklists).book if isinstance(seed, int) else demo
    if seed == "long":
        book = renamed(book, "a long tale of what was found here and of what it may mean to whoever reads it " * 3)
    report = front_of(book, checklists)
    alone = Report(report.title, report.subtitle, report.parts[:1], report.proof, report.about, frames=report.frames)
    assert count_pages(alone, tmp_path) == 1


@pytest.mark.parametrize("seed", range(12))
def test_the_sentence_is_short_begins_with_the_bar_and_ends_with_what_was_not_seen(
    seed: int, checklists: Checklists
) -> None:
    subject = Subject(Judged(Invented(seed, checklists).book, checklists))
    told = verdict_sentence(subject, what_is_wrong(subject))
    assert len(told) <= MOST_LETTERS
    assert told.count(": ") >= 1
    barred = any(job.tier.rank <= Tier.BEFORE_AFLOAT.rank for job in subject.listed.jobs)
    must = told.startswith(("She must not", "Nobody can say", "Nothing written down"))
    assert must
    if told.startswith("Nothing written down"):
        assert not barred
    assert "not seen" in told


def test_a_tiny_book_says_that_nothing_is_known(book: Book, checklists: Checklists) -> None:
    told = " ".join(write_text(front_of(book, checklists)).split())
    assert "on average 100 % of each place not seen" in told
    assert "No plate was gauged" in told
    assert "Not a survey." in told


def test_the_five_that_decide_are_those_of_the_metal_and_each_leads_to_its_sheet(
    demo: Book, checklists: Checklists
) -> None:
    report = make_report(Judged(demo, checklists), Contents.for_readers(Reader.BUYER))
    (deciders,) = [one for one in report.part("front").flat() if isinstance(one, Deciders)]
    assert 1 <= len(deciders.rows) <= MOST_DECIDE
    for row in deciders.rows:
        if row.nos.chalks:
            assert set(row.nos.chalks) <= set(report.anchors), row.what
        else:
            assert row.part in {part.id for part in report.parts}
    whats = " ".join(row.what for row in deciders.rows)
    for word in ("Cracked", "Plate thinned", "Pitted", "Holed", "never seen"):
        assert word in whats


def test_strength_and_tightness_stand_apart_and_what_was_not_gauged_is_a_range(
    demo: Book, checklists: Checklists
) -> None:
    (worst,) = [
        one
        for one in front_of(demo, checklists).part("front").flat()
        if isinstance(one, Figure)
        if one.name == "worst"
    ]
    assert "4.8 of 6 mm, 4.6 required" in worst.told
    assert "1.1 to 2.9 of 6 mm" in worst.told, "no gauging there: no remainder is printed as measured"


def test_money_is_the_owners_alone(demo: Book, checklists: Checklists) -> None:
    money = Money(currency="EUR", rates=dict.fromkeys(Who, Rate(an_hour=987.0, least=1234.0)))
    judged = Judged(demo, checklists)
    for reader in Reader:
        report = make_report(judged, Contents.for_readers(reader), money=money)
        tables = (
            [one for one in report.part("front").flat() if isinstance(one, Table)]
            if reader is not Reader.WELDER
            else []
        )
        # With its sign: a digest may hold any three digits.
        text = " ".join(write_text(report).split())
        assert bool(tables) is (reader is Reader.OWNER), reader
        assert ("× 987" in text) is (reader is Reader.OWNER), reader
    without = write_text(make_report(judged, Contents.for_readers(Reader.OWNER)))
    assert "EUR" not in without


def test_the_owner_sees_known_likely_and_the_unseen_rounded(demo: Book, checklists: Checklists) -> None:
    rng = random.Random(1)
    money = Money(rates={who: Rate(an_hour=rng.uniform(50, 99), least=217.3) for who in Who})
    report = make_report(Judged(demo, checklists), Contents.for_readers(Reader.OWNER), money=money)
    (table,) = [one for one in report.part("front").flat() if isinstance(one, Table)]
    assert [column.name for column in table.columns][1:] == ["known", "likely", "if the unseen is as bad"]
    *_, known, likely, worst = table.rows[-1]
    assert known == "0"
    for cell in (likely, worst):
        for number in str(cell).split("–"):
            assert len(number.rstrip("0")) <= 3, "two or three figures"


def test_what_changed_since_the_last_papers_is_told(demo: Book, checklists: Checklists, tmp_path: Path) -> None:

    def lines(book: Book) -> dict[str, str]:
        return {line.name: line.value for line in changed_lines(Subject(Judged(book, checklists)))}

    assert "none were made" in lines(demo)["Papers"]
    pack = write_papers(Judged(demo, checklists), tmp_path, ("text",))
    later = Stamp(max(line.when for line in demo.trail.values()), "Mattis")
    book = after(demo, Edit("", (pack.made(later),)), later)[0]
    assert "none were made" in lines(book)["Papers"], "papers of this very state are not earlier ones"
    finding = book.findings["5"]
    milder = finding.model_copy(update={"severity": book.findings["1"].severity, "words": "only a scratch"})
    book = after(book, edits.change_finding(milder), later)[0]
    told = lines(book)
    assert "reworded" in told["Corrected"]
    assert "less severe" in told["Corrected"]
    assert set(told) & {"New", "Worse", "Put right"} == set()


def test_dangers_are_told_whole(demo: Book, checklists: Checklists) -> None:
    (danger,) = [
        one
        for one in front_of(demo, checklists).part("front").flat()
        if isinstance(one, Words) and one.kind == "danger"
    ]
    assert "no flame" in danger.text
    assert "…" not in danger.text
