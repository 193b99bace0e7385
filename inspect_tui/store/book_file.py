"""The open book on disk: opening with recovery and lock, and saving each change before it is acknowledged."""

from __future__ import annotations

import contextlib
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from itertools import pairwise
from pathlib import Path
from typing import Any

from inspect_tui.digests import read_regular
from inspect_tui.domain.book import ADAPTERS, ONLY, Book, Edit, Put, Stamp, Unreadable, after, dump
from inspect_tui.domain.chain import DESK, mismatches
from inspect_tui.domain.identity import COPY_LENGTH, COPY_SIGNS
from inspect_tui.errors import CannotStore, ChangedElsewhere, Damaged, NotABook, NothingToRestore, ReadOnly
from inspect_tui.files import (
    book_place,
    clear_leftovers,
    expanded,
    is_there,
    keep_previous,
    make_folders,
    replace_file,
)
from inspect_tui.store.backups import back_up, backup_folder, copies_lie_beside, previous_file
from inspect_tui.store.envelope import Envelope, Tables, encode, open_envelope
from inspect_tui.store.identities import new_copy_name
from inspect_tui.store.lock import BookLock
from inspect_tui.store.migrations import MIGRATIONS, SCHEMA, Migration, Moment, migrate
from inspect_tui.store.photo_files import photo_folder, photo_troubles
from inspect_tui.store.recovery import Restored, read_book
from inspect_tui.store.storage import BookDatabase, BookStorage, is_writable
from inspect_tui.store.structure import UNREADABLE, book_id_of, models_of, tables_of

SUFFIX = ".hullbook"

MOST_DATES_TOLD = 5

Clock = Callable[[], datetime]


@dataclass(frozen=True)
class Trouble:
    """The last save did not reach the disk; the change is kept in memory and tried again."""

    words: str
    changed_elsewhere: bool = False


class BookFile:
    """One book, open. Holds its models; reads never go to the disk again.

    `record` returns only when the change is on the disk, or `trouble` says why it is not.
    """

    def __init__(
        self,
        path: Path,
        book: Book,
        storage: BookStorage,
        lock: BookLock | None,
        clock: Clock,
        by: str,
        *,
        read_only: str | None = None,
        restored: Restored | None = None,
    ) -> None:
        self.path = path
        self.book = book
        self.by = by
        self.clock = clock
        self.read_only = read_only
        self.restored = restored
        self.trouble: Trouble | None = None
        self._storage = storage
        self._database = BookDatabase(storage=lambda: storage)
        self._lock = lock
        self._pending: list[tuple[Put, dict[str, Any] | None]] = []

    @property
    def saved(self) -> str:
        """When the book was last saved, as an ISO time."""
        return self._storage.envelope.saved

    @property
    def unsaved(self) -> int:
        """How many records are written here and not on the disk."""
        return len(self._pending)

    @property
    def backup_trouble(self) -> str | None:
        """Why the newest backup is missing, though the book itself is saved."""
        return self._storage.backup_trouble

    @property
    def sequence(self) -> int:
        """How many times the book was saved."""
        return self._storage.envelope.sequence

    def stamp(self) -> Stamp:
        return Stamp(self.clock(), self.by)

    def record(self, edit: Edit) -> Book:
        """Make a change and save it.

        Raises
        ------
        ReadOnly : somebody else is the writer, or the book is of a newer kind.
        CannotStore : text that no file can hold; the book is as it was.
        """
        if self.read_only:
            raise ReadOnly(self.read_only)
        following, puts = after(self.book, edit, self.stamp())
        rows = [(put, None if put.record is None else dump(put.record)) for put in puts]
        try:
            encode({"": {put.key: fields for put, fields in rows}})
        except ValueError as error:
            raise CannotStore(f"Some characters here cannot be saved ({error}); nothing was changed.") from None
        self.book = following
        self._pending.extend(rows)
        self.save()
        return self.book

    def save(self) -> None:
        """Bring what is pending to the disk; on failure keep it, and say so in `trouble`."""
        if not self._pending:
            return
        try:
            with self._storage.together(lasting=any(put.table not in DESK for put, _ in self._pending)):
                for put, fields in self._pending:
                    table = self._database.records(put.table)
                    if fields is None:
                        table.take_out(put.key)
                    else:
                        table.put(put.key, fields)
        except ChangedElsewhere as error:
            self.trouble = Trouble(str(error), changed_elsewhere=True)
        except OSError as error:
            self.trouble = self._not_saved(error)
        else:
            self._pending.clear()
            self.trouble = None

    def _not_saved(self, error: OSError) -> Trouble:
        return Trouble(f"Not saved: {self.path.name}: {error.strerror or error}. It is kept, and tried again.")

    def save_over_other(self) -> None:
        """After a change from elsewhere: keep the other's file as a backup and save what is here."""
        try:
            other = read_regular(self.path)
            back_up(self.path, other, "other", self.clock().strftime("%Y%m%d-%H%M%S"))
            # Ours is the newer from here on: recovery goes by the sequence.
            theirs = open_envelope(other).sequence
            self._storage.envelope = replace(self._storage.envelope, sequence=max(theirs, self.sequence))
        except (FileNotFoundError, Damaged, NotABook):
            pass
        except OSError as error:
            self.trouble = self._not_saved(error)
            return
        self._storage.accept_file_as_seen()
        self.save()

    def save_copy(self, path: Path) -> Path:
        """Write the book as it stands here, unsaved changes included, to another file. The copy has a name of its
        own, so that what is written in it is never taken for what is written here.

        Raises
        ------
        FileExistsError : something is there already.
        OSError : the copy could not be written.
        """
        if path.exists():
            raise FileExistsError(f"{path} is there already: choose another name.")
        envelope = self._storage.envelope
        tables = envelope.tables()
        # A book of a newer program is copied as it is.
        for put, fields in () if envelope.schema > SCHEMA else (*self._pending, *self._renamed()):
            rows = tables.setdefault(put.table, {})
            if fields is None:
                rows.pop(put.key, None)
            else:
                rows[put.key] = fields
        saved = self.clock().isoformat(timespec="seconds")
        replace_file(path, Envelope(envelope.schema, self.sequence + 1, saved, encode(tables)).sealed())
        return path

    def _renamed(self) -> list[tuple[Put, dict[str, Any] | None]]:
        """What a copy of this book says before all else: its own name."""
        if self.book.identity is None:
            return []
        identity = self.book.identity.model_copy(update={"copy_name": new_copy_name()})
        _, puts = after(
            self.book, Edit("This copy of the book begins", (Put("identity", ONLY, identity),)), self.stamp()
        )
        return [(put, None if put.record is None else dump(put.record)) for put in puts]

    def reload(self) -> None:
        """Read the file anew: what a read-only program does to see what the writer has done since."""
        envelope, self.restored = read_book(self.path)
        self._storage.envelope, self.book = _understood(envelope, SCHEMA, MIGRATIONS, _moment_of(envelope))
        self._storage.accept_file_as_seen()

    def close(self) -> None:
        """Save what is pending and let the next program write."""
        self.save()
        if self._lock:
            self._lock.let_go()


def create_book(path: Path, edit: Edit, clock: Clock, by: str) -> BookFile:
    """Start a new book file.

    Raises
    ------
    FileExistsError : a book, or anything else, is there already; it is left as it is.
    OSError : the folder cannot be written.
    """
    path = expanded(path)
    make_folders(path.parent)
    path = book_place(path)
    if is_there(path):
        raise FileExistsError(f"{path} is there already.")
    if copies_lie_beside(path):
        raise FileExistsError(f"Copies of an earlier book named {path.name} lie beside it.")
    tables: dict[str, dict[str, Any]] = {name: {} for name in ADAPTERS}
    for put in after(Book.empty(), edit, Stamp(clock(), by))[1]:
        if put.record is not None:
            tables[put.table][put.key] = dump(put.record)
    envelope = Envelope(SCHEMA, 1, clock().isoformat(timespec="seconds"), encode(tables))
    replace_file(path, envelope.sealed())
    return open_book(path, clock, by)


def open_book(
    path: Path,
    clock: Clock,
    by: str,
    *,
    migrations: Mapping[int, Migration] = MIGRATIONS,
    schema: int = SCHEMA,
    write: bool = True,
) -> BookFile:
    """Open a book to write in it, or to read if somebody else writes, or if it is newer than this program.

    Raises
    ------
    FileNotFoundError, NotABook, NothingToRestore : see `recovery.read_book`.
    """
    path = book_place(path)
    lock, read_only = _become_writer(path, clock, by) if write else (None, "It was opened for reading only.")
    try:
        envelope, restored = read_book(path)
        if envelope.schema > schema:
            read_only = (
                f"It was written by a newer inspect-tui (schema {envelope.schema}, this one knows {schema}): "
                "it can be read here, not changed."
            )
        moment = Moment(clock(), by, new_copy_name()) if read_only is None else _moment_of(envelope)
        understood, book = _understood(envelope, schema, migrations, moment)
        if read_only is None:
            _clear_leftovers(path)
            if restored:
                restored = _put_back(path, envelope, restored, clock)
            if lock:
                _keep_what_was_here(path, lock.remember(book_id_of(understood)), clock())
            if understood is not envelope:
                back_up(path, envelope.sealed(), "schema", f"{envelope.schema}-{envelope.sequence:08d}")
                replace_file(path, understood.sealed(), before=lambda: keep_previous(path, previous_file(path)))
        # One of a newer program stays as it is, also where it is copied.
        storage = BookStorage(path, envelope if envelope.schema > schema else understood, clock)
        opened = BookFile(path, book, storage, lock, clock, by, read_only=read_only, restored=restored)
    except BaseException:
        if lock:
            lock.let_go()
        raise
    if read_only and lock:
        lock.let_go()
        opened._lock = None
    return opened


def _become_writer(path: Path, clock: Clock, by: str) -> tuple[BookLock | None, str | None]:
    if not copies_lie_beside(path):
        raise FileNotFoundError(path)
    if not is_writable(path):
        return None, "The book or its folder is write-protected: it can be read here, not changed."
    lock = BookLock(path)
    try:
        if lock.take(by, clock()):
            return lock, None
    except OSError as error:
        return None, f"No lock could be made beside the book ({error.strerror}): it can be read, not changed."
    holder = lock.holder()
    who = holder.words() if holder else "Another program has it open"
    return None, f"{who}: it can be read here, not changed."


def _put_back(path: Path, envelope: Envelope, restored: Restored, clock: Clock) -> Restored:
    """Move the damaged file aside and put the whole copy in its place."""
    if is_there(path):
        aside = path.with_name(f"{path.name}.damaged-{clock():%Y%m%d-%H%M%S}")
        number = 1
        while is_there(aside):
            number += 1
            aside = path.with_name(f"{path.name}.damaged-{clock():%Y%m%d-%H%M%S}-{number}")
        # Whatever it is, a folder, a link, or bytes that cannot be read, it keeps what it holds.
        path.rename(aside)
        restored = replace(restored, set_aside=aside)
    replace_file(path, envelope.sealed(), like=restored.source)
    return restored


def _keep_what_was_here(path: Path, before: str, now: datetime) -> None:
    """Another boat's book was laid in this one's place: the save before goes to the backups, where it stays."""
    if before:
        with contextlib.suppress(OSError):
            back_up(path, read_regular(previous_file(path)), "other", now.strftime("%Y%m%d-%H%M%S"))


def _clear_leftovers(path: Path) -> None:
    clear_leftovers(path.parent, f"{re.escape(path.name)}(?:[.]prev)?")
    clear_leftovers(backup_folder(path))
    clear_leftovers(photo_folder(path))


def _understood(
    envelope: Envelope, schema: int, migrations: Mapping[int, Migration], moment: Moment
) -> tuple[Envelope, Book]:
    """The book as this program reads it: brought over to its schema, what cannot be read kept aside. The envelope is
    the same one if there was nothing to do."""
    understood = envelope
    try:
        tables, odd = tables_of(envelope)
        if envelope.schema < schema:
            tables = migrate(tables, envelope.schema, schema, migrations, moment)
    except (Damaged, KeyError, TypeError, ValueError, AttributeError) as error:
        why = str(error) if isinstance(error, Damaged) else f"it cannot be brought over from schema {envelope.schema}"
        raise NothingToRestore(f"The book cannot be read: {why}. It was left as it is.") from error
    if envelope.schema < schema:
        saved = moment.when.isoformat(timespec="seconds")
        understood = Envelope(schema, envelope.sequence + 1, saved, encode(tables))
    book, bad = models_of(tables)
    if odd or bad:
        understood = _kept_aside(understood, tables, [*odd, *bad], moment.when)
        book = replace(book, unreadable=(*book.unreadable, *odd))
    return understood, book


def _moment_of(envelope: Envelope) -> Moment:
    """For a book that is read and not written: brought over the same each time, whoever reads it and when."""
    digest = envelope.digest()
    name = "".join(COPY_SIGNS[int(sign, 16)] for sign in digest[:COPY_LENGTH])
    try:
        saved = datetime.fromisoformat(envelope.saved)
    except ValueError:
        saved = datetime.fromtimestamp(0, UTC)
    return Moment(saved, "", name)


def _kept_aside(envelope: Envelope, tables: Tables, bad: list[Unreadable], now: datetime) -> Envelope:
    """The same book with what cannot be read moved into a table of its own, as it is."""
    when = now.isoformat(timespec="seconds")
    clean = {name: dict(rows) for name, rows in tables.items()}
    aside = clean.setdefault(UNREADABLE, {})
    for row in bad:
        kept = {"table": row.table, "key": row.key, "why": row.why, "raw": row.raw, "set_aside": when}
        aside[f"{row.table}/{row.key}@{when}"] = kept
        clean.get(row.table, {}).pop(row.key, None)
    return Envelope(envelope.schema, envelope.sequence + 1, when, encode(clean))


def check_book(path: Path, now: datetime) -> tuple[bool, str]:
    """Whether the file is whole, fits its own trail and has its photos, and in words what does not, or what opening
    it would restore. Changes nothing."""
    path = book_place(path)
    envelope, restored = read_book(path)
    if restored is not None:
        return False, restored.words(now).replace("Restored from", "Opening it would restore")
    understood, book = _understood(envelope, SCHEMA, MIGRATIONS, Moment(now, "", new_copy_name()))
    tables = understood.tables()
    wrong = [one.words for one in mismatches(tables)] + photo_troubles(path, list(book.photos.values()))
    words = f"{'Not as it was written' if wrong else 'Whole'}: {sum(map(len, tables.values()))} records, "
    words += f"save number {envelope.sequence}, saved {envelope.saved}."
    if lost := len(book.unreadable):
        words += f" {lost} records cannot be read by this version; they are kept as they are."
    return not lost and not wrong, "\n".join((words, *wrong, *_back_in_time(book)))


def _back_in_time(book: Book) -> list[str]:
    """Where the trail's dates run backwards: a clock that stood wrong, or dates that somebody wrote."""
    lines = sorted(book.trail.values(), key=lambda line: line.number)
    told = [
        f"Line {line.number} of the trail is dated {line.when:%Y-%m-%d %H:%M}, before line {before.number} "
        f"({before.when:%Y-%m-%d %H:%M}): a clock was wrong, or these are not the dates of writing."
        for before, line in pairwise(lines) if line.when < before.when
    ]  # fmt: skip
    return told[:MOST_DATES_TOLD]
