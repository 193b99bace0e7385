"""No money and no hours by weight: not in the program's words, nor in what it makes of a book that holds rates."""

from __future__ import annotations

import ast
import json
import re
import shutil
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path

import pytest

from inspect_tui.domain import edits
from inspect_tui.domain.book import ONLY, Book, Edit, Put, Stamp, after
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.records import Override, Rates
from inspect_tui.domain.trail import Form
from inspect_tui.domain.undoing import undo
from inspect_tui.domain.words import Said, Treatment
from inspect_tui.handover.papers import write_papers
from inspect_tui.handover.report import Contents, Reader
from inspect_tui.judgement.judged import Judged
from inspect_tui.store.book_file import open_book
from inspect_tui.store.checklist_files import shipped
from inspect_tui.store.envelope import open_envelope
from inspect_tui.terminal.drafts import open_again
from inspect_tui.terminal.names import SUBJECTS
from tests.conftest import START, SteppingClock, prompt_called
from tests.store.test_migrations import BOOKS
from tests.structure import files, tree_of
from tests.terminal.helpers import at_work, demo_file

STAMP = Stamp(START, "Mattis")
MONEY = re.compile(
    r"\b(?:EUR|USD|GBP|NOK|SEK|DKK|CHF)\b|[€£¥]|\bcurrenc|\bestimat|\bminimum charge|\byour prices\b|\brates for\b"
    r"|\bper tonne\b|\d h/t\b|\bhours/t\b",
    re.IGNORECASE,
)
RATES = Rates(currency="EUR", hour=71.25, plate_kg=9, filler_kg=30)


def said(tree: ast.Module) -> Iterator[str]:
    """Every text in a file but its docstrings."""
    told = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in told:
            yield node.value


def test_no_text_of_the_program_speaks_of_money() -> None:
    found = {path.name: text for path in files() for text in said(tree_of(path)) if MONEY.search(text)}
    # But where the owner's own amounts are typed and kept, beside the book.
    found = {name: text for name, text in found.items() if name != "money.py"}
    assert not found


def test_no_question_kind_limit_or_cause_speaks_of_money() -> None:
    texts = {path.name: path.read_text(encoding="utf-8") for path in shipped("checklists").rglob("*.toml")}
    assert len(texts) > 30
    assert {name: found for name, text in texts.items() if (found := MONEY.findall(text))} == {}


def with_rates(book: Book) -> Book:
    """As an earlier program wrote them, and an insert plate that they could be held against."""
    own = Override(treatment=Treatment.INSERT_PLATE, reason="the yard says so", when=START, by="Mattis")
    finding = book.findings["23"].model_copy(update={"override": own})
    for edit in (
        edits.change_finding(finding),
        Edit("Changed the rates for estimates", (Put("rates", ONLY, RATES),)),
    ):
        book, _ = after(book, edit, STAMP)
    return book


@pytest.mark.parametrize("reader", [None, *Reader], ids=lambda reader: reader.name if reader else "everything")
def test_no_paper_of_a_book_with_rates_says_money(
    tmp_path: Path, checklists: Checklists, reader: Reader | None
) -> None:
    book = with_rates(open_book(shipped("demo") / "sandmartin.hullbook", lambda: START, "", write=False).book)
    contents = Contents.for_readers(reader) if reader else Contents()
    pack = write_papers(Judged(book, checklists), tmp_path, ("text", "html", "csv", "json"), contents)
    readable = 0
    # The JSON schema names the columns of every record, those of old rates among them.
    for path in (one for one in pack.files if not one.name.endswith("schema.json")):
        text = path.read_text(encoding="utf-8")
        if path.suffix == ".json" and "inspect-tui export" in text:
            told = json.loads(text)
            assert told["book"].pop("rates") == {ONLY: RATES.model_dump(mode="json")}, "the whole book stays whole"
            assert told["book"].pop("trail"), "its lines say what was once done, in the words of then"
            text = json.dumps(told, ensure_ascii=False)
        assert not MONEY.findall(text), path.name
        assert "71.25" not in text
        readable += path.suffix in (".txt", ".html", ".csv")
    assert readable > 2


async def test_no_screen_help_or_palette_says_money(tmp_path: Path, checklists: Checklists) -> None:
    assert "rates" not in SUBJECTS
    for name, subject in SUBJECTS.items():
        module = import_module(f"inspect_tui.terminal.screens.{subject}.{name}")
        assert not MONEY.findall(getattr(module, f"{name.capitalize()}Screen").HELP_TEXT), name
    async with at_work(checklists, demo_file(tmp_path), size=(100, 40)) as hands:
        for keys in ("p", "f8", "f1", "escape escape l", "y"):
            await hands.press(*keys.split())
            assert not MONEY.findall(hands.text), keys
            assert "Rates" not in hands.text, keys


async def test_rates_half_written_by_an_earlier_program_keep_their_words(
    tmp_path: Path, checklists: Checklists
) -> None:
    opened = demo_file(tmp_path)
    half = edits.keep_draft(opened.stamp(), Form("rates"), {"currency": "EUR", "hour": "71.25"})
    opened.record(Edit("", (half,)))
    (draft,) = opened.book.drafts.values()
    async with at_work(checklists, opened) as hands:
        open_again(hands.app.screen, draft)  # type: ignore[arg-type]
        await hands.settle()
        assert "71.25" in hands.text


@pytest.mark.parametrize("schema", [2, 3, 4])
def test_an_older_book_that_holds_rates_opens_and_keeps_them(
    tmp_path: Path, checklists: Checklists, clock: SteppingClock, schema: int
) -> None:
    path = tmp_path / "old.hullbook"
    shutil.copy(BOOKS / f"schema-{schema}.hullbook", path)
    before = open_envelope(path.read_bytes()).tables()
    file = open_book(path, clock, "Mattis")
    assert file.book.unreadable == ()
    place, prompt = prompt_called(checklists, file.book, "stem/dents")
    file.record(edits.say(file.book, file.stamp(), place, prompt, Said.NOT_FITTED))
    file.close()
    stored = open_envelope(path.read_bytes()).tables()
    assert stored["rates"][ONLY] == before["rates"][ONLY] == {"currency": "EUR", "hour": 70.0}
    assert set(before["trail"]) <= set(stored["trail"])
    file = open_book(path, clock, "Mattis")
    assert file.book.table("rates") == {ONLY: Rates(currency="EUR", hour=70)}
    line = next(one for one in file.book.trail.values() if "rates" in one.words)
    file.record(undo(file.book, line.number))
    assert file.book.table("rates") == {}, "and can still be taken back"
    file.close()
