"""A few broken inputs of each kind; many in `python -m tests.faults.fuzz`."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from inspect_tui.domain.knowledge.checklists import Checklists
from tests.faults import books, fuzz

COUNTS = {"books": 20, "tables": 60, "overlays": 20, "pictures": 80, "keys": 2}


@pytest.mark.parametrize("kind", list(fuzz.KINDS))
def test_no_broken_input_makes_the_program_fail(kind: str) -> None:
    told: list[str] = []
    assert fuzz.run(kind, COUNTS[kind], 7, told.append) == 0, told[0]


def test_a_fault_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    def failing(*_: object) -> None:
        raise RecursionError

    monkeypatch.setattr(books, "make_report", failing)
    assert fuzz.run("books", 3, 7, lambda _: None) >= 2


def test_what_is_written_outside_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    def writing(_: random.Random, folder: Path) -> str:
        (folder.parent / "outside" / "owners.txt").write_text("touched")
        return ""

    def making(_: Checklists) -> fuzz.Case:
        return writing

    monkeypatch.setitem(fuzz.KINDS, "books", making)
    told: list[str] = []
    assert fuzz.run("books", 1, 7, told.append) == 1
    assert "written outside" in told[0]
