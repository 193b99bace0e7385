"""Copies of a book that are kept beside it, and which of them go when there are too many.

Kept: one every 20 saves (10 of them), one a session (10), one a day (14), and one before every
migration (all). They are true copies: damage to the book's own bytes cannot reach them.
"""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from inspect_tui.store.files import replace_file

SAVES_BETWEEN_BACKUPS = 20
KEPT = {"save": 10, "session": 10, "day": 14}


def backup_folder(book: Path) -> Path:
    return book.with_name(book.name + ".backups")


def previous_file(book: Path) -> Path:
    return book.with_name(book.name + ".prev")


def back_up(book: Path, data: bytes, occasion: str, name: str) -> Path:
    """Keep a copy under `occasion-name`; the oldest of that occasion go when there are too many."""
    folder = backup_folder(book)
    folder.mkdir(exist_ok=True)
    copy = folder / f"{occasion}-{name}{book.suffix}"
    replace_file(copy, data)
    if occasion in KEPT:
        kept = sorted(folder.glob(f"{occasion}-*"), key=lambda one: one.name)
        for old in kept[: -KEPT[occasion]]:
            with contextlib.suppress(OSError):
                old.unlink()
    return copy


def back_up_session(book: Path, data: bytes, now: datetime) -> None:
    back_up(book, data, "session", now.strftime("%Y%m%d-%H%M%S"))
    today = f"{now:%Y-%m-%d}"
    if not (backup_folder(book) / f"day-{today}{book.suffix}").exists():
        back_up(book, data, "day", today)


def copies_newest_first(book: Path) -> Iterator[Path]:
    """Every place where a good copy may lie: the previous save, then backups, newest first."""
    if previous_file(book).exists():
        yield previous_file(book)
    with contextlib.suppress(OSError):
        yield from sorted(
            backup_folder(book).glob(f"*{book.suffix}"), key=lambda one: one.stat().st_mtime_ns, reverse=True
        )
