"""Finding the newest whole copy of a book, and telling what it is."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from inspect_tui.digests import read_regular
from inspect_tui.errors import Damaged, NotABook, NothingToRestore
from inspect_tui.store.backups import copies_lie_beside, copies_of
from inspect_tui.store.envelope import Envelope, open_envelope
from inspect_tui.store.lock import remembered_book
from inspect_tui.store.structure import boat_name_of, book_id_of

_BOOK_ID = re.compile(rb'"book_id":"([0-9a-f]{32,64})"')


@dataclass(frozen=True)
class Restored:
    """What was wrong with the file, which copy is back, and how old it is."""

    trouble: str
    source: Path
    saved: str
    sequence: int
    set_aside: Path | None = None
    strangers: tuple[str, ...] = ()
    bad: tuple[str, ...] = ()

    def words(self, now: datetime) -> str:
        told = f"The book's file was damaged: {self.trouble}. "
        if self.source.name.endswith(".prev"):
            copy = "the save before it"
        elif self.source.parent.name.endswith(".backups"):
            copy = f"the backup {self.source.name}"
        else:
            copy = "the part of it that is whole"
        told += f"Restored from {copy}, saved {_age(self.saved, now)}."
        if copy.startswith("the part"):
            told += " Nothing that was saved is lost."
        if self.bad:
            told += f" Not whole either: {'; '.join(self.bad)}."
        if self.source.suffix == ".prev" or self.source.parent.name.endswith(".backups"):
            told += " What was written after that save is missing: look through the last answers."
        if self.set_aside:
            told += f" What was there is kept as {self.set_aside.name}."
        return " ".join((told, *self.strangers))


def _age(saved: str, now: datetime) -> str:
    try:
        then = datetime.fromisoformat(saved)
        minutes = int((now - then).total_seconds() // 60)
    except (ValueError, TypeError):
        return f"at {saved or 'an unknown time'}"
    ago = (
        "less than a minute"
        if minutes < 1
        else f"{minutes} min"
        if minutes < 120
        else f"{minutes // 60} h"
        if minutes < 2880
        else f"{minutes // 1440} days"
    )
    return f"{then:%Y-%m-%d %H:%M}, {ago} ago"


@dataclass(frozen=True)
class _Copy:
    path: Path
    envelope: Envelope
    book_id: str

    @property
    def words(self) -> str:
        return f"{self.path.name}: {boat_name_of(self.envelope)}, save {self.envelope.sequence}"


def read_book(path: Path) -> tuple[Envelope, Restored | None]:
    """The newest whole copy of a book, and what had to be restored, if anything. Writes nothing.

    Damage is never taken for an empty book, nor another boat's book for this one: which one it is stands in what is
    left of its file, in its lock, or else in most of its copies.

    Raises
    ------
    NotABook, OSError : the file is something else or cannot be read, and no whole copy of a book lies beside it.
    NothingToRestore : damaged, and no whole copy of this book beside it; says what lies where.
    FileNotFoundError : neither the file nor any copy of it.
    PermissionError : the file may not be read.
    """
    data = b""
    other: NotABook | OSError | None = None
    try:
        data = read_regular(path)
        envelope = open_envelope(data)
        if not envelope.garbage:
            return envelope, None
        trouble = f"{envelope.garbage} bytes that do not belong to it came after its end"
        return envelope, Restored(trouble, path, envelope.saved, envelope.sequence)
    except FileNotFoundError:
        if not copies_lie_beside(path):
            raise
        trouble = "the file is missing"
    except PermissionError:
        raise
    except OSError as error:
        other, trouble = error, error.strerror or str(error)
    except Damaged as error:
        trouble = str(error)
    except NotABook as error:
        other, trouble = error, "something that is not a book is in its place"
    whole, bad = _whole_copies(path)
    if other is not None and not whole:
        raise other
    ours = _of_this_book(whole, [remembered_book(path), *(found.decode() for found in _BOOK_ID.findall(data)[:1])])
    strangers = [one for one in whole if one not in ours]
    if not ours:
        told = "; ".join((*(one.words for one in strangers), *bad)) or "none"
        raise NothingToRestore(
            f"The book is damaged ({trouble}) and no whole copy of it was found beside it. The copies: {told}. "
            f"Everything was left as it is: {path}. Look for a copy on another disk, for one named …-rescued-… in "
            "your home folder, or for the book as JSON among papers already written."
        )
    newest = max(ours, key=lambda one: (bool(one.book_id), one.envelope.sequence))
    warned = tuple(f"Beside it lies another boat's book, which was left out: {one.words}." for one in strangers)
    return newest.envelope, Restored(
        trouble, newest.path, newest.envelope.saved, newest.envelope.sequence, strangers=warned, bad=tuple(bad)
    )


def _whole_copies(path: Path) -> tuple[list[_Copy], list[str]]:
    """Each copy that is whole, and one phrase for each that is not."""
    whole, bad = [], []
    for copy in copies_of(path):
        try:
            envelope = open_envelope(read_regular(copy))
            whole.append(_Copy(copy, envelope, book_id_of(envelope)))
        except FileNotFoundError:
            continue
        except OSError as error:
            bad.append(f"{copy.name}: {error.strerror or error}")
        except (Damaged, NotABook) as error:
            bad.append(f"{copy.name}: {error}")
    return whole, bad


def _of_this_book(copies: list[_Copy], known: list[str]) -> list[_Copy]:
    """Those that are copies of the book known by one of `known`; if nothing is known of it, of the book that most of
    them are copies of, and none at a tie. One so old that it says nothing of itself may be of any book."""
    known = [one for one in known if one]
    counts = Counter(one.book_id for one in copies if one.book_id)
    if not counts:
        return copies
    if not known and counts:
        (most, count), *others = counts.most_common(2)
        known = [most] if not others or others[0][1] < count else []
    book = next((one for one in known if one in counts), None)
    return [one for one in copies if book and one.book_id in (book, "")]
