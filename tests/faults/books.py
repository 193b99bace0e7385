"""Structurally broken books under a right checksum. Each is opened, judged and listed; what may come of it is a book
with rows kept aside, or one sentence."""

from __future__ import annotations

import copy
import json
import random
import traceback
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.errors import StoreError
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.handover.report import EVERYTHING, make_report
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.work.worklist import count_words
from inspect_tui.store.book_file import check_book, open_book
from inspect_tui.store.checklist_files import shipped
from inspect_tui.store.envelope import Envelope, open_envelope
from inspect_tui.store.migrations import SCHEMA

NOW = datetime(2025, 11, 20, 12, 0, tzinfo=UTC)
ODD: tuple[Any, ...] = (
    None, True, 0, -1, 10**30, 1e300, 1e-300, -1e300, "", "x", "\ud800", "\x1b[2J\x07", "x" * 5000, "../../etc", "1",
    [], {}, [[]], [None], {"1": None}, {"id": "c1"}, "2025-01-01", "9999-12-31T23:59:59+14:00", float("nan"),
    float("inf"), "NaN",
)  # fmt: skip


def broken(tables: dict[str, Any], random_: random.Random) -> Any:
    """One to three changes in a book's tables, in place: a value of another kind, a key gone, moved, new."""
    for _ in range(random_.randint(1, 3)):
        at: Any = tables
        for _deep in range(random_.randint(0, 5)):
            nested = _nested(at)
            if not nested:
                break
            at = at[random_.choice(nested)]
        if not at:
            continue
        key = random_.choice(list(at) if isinstance(at, dict) else range(len(at)))
        match random_.randrange(6):
            case 0 if isinstance(at, dict):
                del at[key]
            case 1 if isinstance(at, dict):
                at[str(random_.choice(ODD))] = at.pop(key)
            case 2 if isinstance(at, dict):
                at[random_.choice(["new", "2", "c999", "", "\ud800"])] = copy.deepcopy(random_.choice(ODD))
            case 3:
                at[key] = _deeply(random_.choice((50, 900)))
            case _:
                at[key] = copy.deepcopy(random_.choice(ODD))
    return tables


def _nested(at: Any) -> list[Any]:
    pairs = at.items() if isinstance(at, dict) else enumerate(at)
    return [key for key, value in pairs if isinstance(value, dict | list) and value]


def _deeply(levels: int) -> Any:
    value: Any = 1
    for _ in range(levels):
        value = [value]
    return value


def sealed(tables: Any, schema: int = SCHEMA) -> bytes:
    """The bytes of a book, as a stranger's program could write them: anything that JSON has, and more."""
    return Envelope(schema, 7, "2025-11-19T12:00:00+00:00", json.dumps(tables).encode()).sealed()


def try_book(data: bytes, folder: Path, checklists: Checklists) -> str:
    """Open, judge and list one; the traceback of a fault, or nothing."""
    path = folder / "book.hullbook"
    path.write_bytes(data)
    try:
        check_book(path, NOW)
        opened = open_book(path, lambda: NOW, "x")
        try:
            judged = Judged(opened.book, checklists, NOW)
            assert count_words(judged.worklist)
            make_report(judged, EVERYTHING)
            assert Subject(judged, photos=True) is not None
        finally:
            opened.close()
        again = open_book(path, lambda: NOW, "x")
        again.close()
        assert again.restored is None, "what is set aside once is set aside"
    except StoreError as error:
        if "Traceback" in str(error) or not str(error)[:1].isupper():
            return f"no sentence: {error}"
    except Exception:
        return traceback.format_exc()
    return ""


def try_book_of(random_: random.Random, folder: Path, checklists: Checklists) -> str:
    """A broken book of the demo boat, tried: see `try_book`."""
    body = open_envelope((shipped("demo") / "sandmartin.hullbook").read_bytes())
    return try_book(sealed(broken(body.tables(), random_), body.schema), folder, checklists)
