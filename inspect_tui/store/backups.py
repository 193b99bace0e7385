"""Copies of a book that are kept beside it, and which of them go when there are too many.

Kept: one every 20 saves (10 of them), one a session (10), one a day (14), and one before every
migration (all). They are true copies: damage to the book's own bytes cannot reach them. Nothing in their folder is
touched but names that are given here, and none of them if the folder is a link.
"""

from __future__ import annotations

import contextlib
import re
from datetime import datetime
from pathlib import Path

from inspect_tui.digests import read_regular
from inspect_tui.files import is_real_folder, is_there, make_folder, replace_file
from inspect_tui.store.envelope import HEADER_ROOM, sequence_in

SAVES_BETWEEN_BACKUPS = 20
KEPT = {"save": 10, "session": 10, "day": 14}
_NAMES = {
    "save": r"save-[0-9]{8,12}",
    "session": r"session-[0-9]{8}-[0-9]{6}",
    "day": r"day-[0-9]{4}-[0-9]{2}-[0-9]{2}",
    "schema": r"schema-[0-9]+-[0-9]{8,12}",
    "other": r"other-[0-9]{8}-[0-9]{6}(-[0-9]+)?",
}


def backup_folder(book: Path) -> Path:
    return book.with_name(book.name + ".backups")


def previous_file(book: Path) -> Path:
    return book.with_name(book.name + ".prev")


def back_up(book: Path, data: bytes, occasion: str, name: str) -> Path:
    """Keep a copy under `occasion-name`; the oldest of that occasion go when there are too many, never this one.

    Raises
    ------
    OSError : the folder is a link, or cannot be written.
    """
    folder = backup_folder(book)
    make_folder(folder)
    copy = folder / f"{occasion}-{name}{book.suffix}"
    replace_file(copy, data, like=book)
    if occasion in KEPT:
        others = [one for one in _named(book, occasion) if one != copy]
        # By what they hold: a computer's clock may stand at any year.
        others.sort(key=lambda one: (_sequence(one), one.name))
        for old in others[: max(0, len(others) + 1 - KEPT[occasion])]:
            with contextlib.suppress(OSError):
                old.unlink()
    return copy


def _named(book: Path, *occasions: str) -> list[Path]:
    """The backups that this program made, by their exact names."""
    ours = re.compile("|".join(f"(?:{_NAMES[one]})" for one in occasions or _NAMES))
    folder = backup_folder(book)
    if not is_real_folder(folder):
        return []
    try:
        return sorted(one for one in folder.iterdir() if one.suffix == book.suffix and ours.fullmatch(one.stem))
    except OSError:
        return []


def _sequence(copy: Path) -> int:
    try:
        return sequence_in(read_regular(copy, first_bytes=HEADER_ROOM))
    except OSError:
        return -1


def back_up_session(book: Path, data: bytes, now: datetime) -> None:
    back_up(book, data, "session", now.strftime("%Y%m%d-%H%M%S"))
    today = f"{now:%Y-%m-%d}"
    if not (backup_folder(book) / f"day-{today}{book.suffix}").exists():
        back_up(book, data, "day", today)


def copies_of(book: Path) -> list[Path]:
    """Every place where a whole copy may lie: the previous save, then backups. They need not be plain files."""
    return [previous_file(book), *_named(book)]


def copies_lie_beside(book: Path) -> bool:
    """Whether anything of this book is there, itself or a copy, whole or not."""
    return any(is_there(one) for one in (book, *copies_of(book)))
