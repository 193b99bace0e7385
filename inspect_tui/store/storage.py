"""TinyDB over one crash-safe file: whole envelope, atomic save, many changes in one save."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import Any

from tinydb import TinyDB
from tinydb.storages import Storage
from tinydb.table import Table

from inspect_tui.digests import read_regular
from inspect_tui.errors import ChangedElsewhere
from inspect_tui.files import keep_previous, replace_file
from inspect_tui.store.backups import SAVES_BETWEEN_BACKUPS, back_up, back_up_session, previous_file
from inspect_tui.store.envelope import Envelope, RowCache, Tables

FileMark = tuple[int, int, int]


def mark_of(path: Path) -> FileMark | None:
    """What changes when another program writes the file: inode, time, size."""
    try:
        stat = path.stat()
    except OSError:
        return None
    return stat.st_ino, stat.st_mtime_ns, stat.st_size


class BookStorage(Storage):
    """The storage under TinyDB. What `write` was given is on the disk when it returns, or it raises.

    Inside `together` writes are gathered and saved once at the end; if that fails, or anything in
    between does, what was gathered is forgotten and the storage is what the disk holds.
    """

    def __init__(self, path: Path, envelope: Envelope, clock: Callable[[], datetime]) -> None:
        self._path = path
        self.envelope = envelope
        self._clock = clock
        self._mark = mark_of(path)
        self._gathered: Tables | None = None
        self._working: Tables | None = None
        self._cache = RowCache()
        self._changes = 0
        self._attempted = b""
        self._not_made: dict[str, str] = {}

    def read(self) -> Tables:
        if self._gathered is not None:
            return self._gathered
        return self.envelope.tables()

    def write(self, data: dict[str, dict[str, Any]]) -> None:
        if self._gathered is not None:
            self._gathered = data
        else:
            self._working = None
            self._cache = RowCache()
            self._save(data)

    @contextmanager
    def together(self, *, lasting: bool = True) -> Iterator[None]:
        """Gather the writes inside into one save. What is not `lasting` (a draft, where the walk stands) moves
        neither the previous file nor the backups on."""
        # The working tables are seen by TinyDB only, which puts whole documents into them.
        self._gathered = self._working if self._working is not None else self.envelope.tables()
        self._working = None
        try:
            yield
            tables = self._gathered
        finally:
            self._gathered = None
        self._save(tables, lasting=lasting)
        self._working = tables

    def accept_file_as_seen(self) -> None:
        """Take what lies on the disk now as known, so that the next save replaces it."""
        self._mark = mark_of(self._path)

    def _save(self, tables: Tables, *, lasting: bool = True) -> None:
        if mark_of(self._path) != self._mark:
            self._see_what_changed()
        if lasting and not self._changes:
            # Before the first change of a session its beginning is kept.
            self._back_up("backup", lambda: back_up_session(self._path, self.envelope.sealed(), self._clock()))
        envelope = Envelope(
            schema=self.envelope.schema,
            sequence=self.envelope.sequence + 1,
            saved=self._clock().isoformat(timespec="seconds"),
            body=self._cache.encode(tables),
        )
        data = envelope.sealed()
        self._attempted = hashlib.sha256(data).digest()
        replace_file(self._path, data, before=self._keep_previous if lasting else lambda: None)
        self.envelope = envelope
        self._mark = mark_of(self._path)
        self._changes += lasting
        if lasting and self._changes % SAVES_BETWEEN_BACKUPS == 0:
            self._back_up("backup", lambda: back_up(self._path, data, "save", f"{envelope.sequence:08d}"))

    def _see_what_changed(self) -> None:
        """Another time or inode is no change: a sync tool may have touched it, or our own last write have reached the
        file without the folder's entry."""
        where = f"The book's file {self._path.name}"
        try:
            there = hashlib.sha256(read_regular(self._path)).digest()
        except FileNotFoundError:
            raise ChangedElsewhere(
                f"{where} is not there any more: moved, deleted, or its drive is out. What is here is kept."
            ) from None
        except OSError as error:
            raise ChangedElsewhere(
                f"{where} cannot be read any more: {error.strerror or error}. What is here is kept."
            ) from None
        if there not in (hashlib.sha256(self.envelope.sealed()).digest(), self._attempted):
            raise ChangedElsewhere(
                f"Another program has changed the book's file {self._path.name} since it was last saved here. "
                "Nothing was overwritten."
            )
        self._mark = mark_of(self._path)

    def _keep_previous(self) -> None:
        self._back_up("copy of the save before", lambda: keep_previous(self._path, previous_file(self._path)))

    def _back_up(self, what: str, make: Callable[[], object]) -> None:
        """A copy that fails is no failed save: it is told apart from it."""
        self._not_made.pop(what, None)
        try:
            make()
        except OSError as error:
            self._not_made[what] = f"Saved, but no {what} could be made: {error.strerror or error}."

    @property
    def backup_trouble(self) -> str | None:
        """Which copies could not be made at the last try, and why."""
        return " ".join(self._not_made.values()) or None


class Records(Table):
    """A TinyDB table whose documents have names instead of numbers and are replaced whole, never edited:
    the storage keeps the encoded text of those that are still the same."""

    document_id_class = str  # type: ignore[assignment]

    def put(self, key: str, fields: dict[str, Any]) -> None:
        def replace_row(rows: Any) -> None:
            rows[key] = fields

        self._update_table(replace_row)

    def take_out(self, key: str) -> None:
        def drop_row(rows: Any) -> None:
            rows.pop(key, None)

        self._update_table(drop_row)

    def update(self, *_: Any, **__: Any) -> list[int]:
        raise NotImplementedError("documents are replaced whole: use put")

    update_multiple = upsert = update


class BookDatabase(TinyDB):
    table_class = Records

    def records(self, name: str) -> Records:
        table = self.table(name, cache_size=0)
        assert isinstance(table, Records)
        return table


def is_writable(path: Path) -> bool:
    return os.access(path if path.exists() else path.parent, os.W_OK) and os.access(path.parent, os.W_OK)
