"""Finding the newest whole copy of a book, and telling what it is."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from inspect_tui.errors import Damaged, NotABook, NothingToRestore
from inspect_tui.store.backups import copies_newest_first
from inspect_tui.store.envelope import Envelope, open_envelope


@dataclass(frozen=True)
class Restored:
    """What was wrong with the file, which copy is back, and how old it is."""

    trouble: str
    source: Path
    saved: str
    sequence: int
    set_aside: Path | None = None

    def words(self, now: datetime) -> str:
        told = f"The book's file was damaged: {self.trouble}. "
        if self.source.name.endswith(".prev"):
            copy = "the save before it"
        elif self.source.parent.name.endswith(".backups"):
            copy = f"the backup {self.source.name}"
        else:
            copy = "what is whole of it: nothing that was saved is lost"
        told += f"Restored from {copy}, saved {_age(self.saved, now)}."
        if self.set_aside:
            told += f" The damaged file is kept as {self.set_aside.name}."
        return told


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


def read_book(path: Path) -> tuple[Envelope, Restored | None]:
    """The newest whole copy of a book, and what had to be restored, if anything. Writes nothing.

    Damage is never taken for an empty book.

    Raises
    ------
    NotABook : the file is something else.
    NothingToRestore : damaged, and no whole copy beside it.
    FileNotFoundError : neither the file nor any copy of it.
    """
    trouble = "the file is missing"
    if path.exists():
        try:
            envelope = open_envelope(path.read_bytes())
            if not envelope.garbage:
                return envelope, None
            trouble = f"{envelope.garbage} bytes that do not belong to it stood behind its end"
            return envelope, Restored(trouble, path, envelope.saved, envelope.sequence)
        except Damaged as error:
            trouble = str(error)
    whole: list[tuple[int, Path, Envelope]] = []
    for copy in copies_newest_first(path):
        try:
            envelope = open_envelope(copy.read_bytes())
        except (Damaged, NotABook, OSError):
            continue
        whole.append((envelope.sequence, copy, envelope))
    if not whole:
        if not path.exists():
            raise FileNotFoundError(path)
        raise NothingToRestore(
            f"The book is damaged ({trouble}) and no whole copy was found beside it. "
            f"The file was left as it is: {path}"
        )
    sequence, copy, envelope = max(whole, key=lambda one: one[0])
    return envelope, Restored(trouble, copy, envelope.saved, sequence)
