"""One writer at a time: a lock beside the book that vanishes with the program, and who holds it."""

from __future__ import annotations

import contextlib
import errno
import json
import os
import socket
import stat
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from filelock import FileLock, Timeout

from inspect_tui.digests import read_regular, what_stands_there

MOST_LOCK_BYTES = 4096


@dataclass(frozen=True)
class Holder:
    """The program that writes to the book."""

    by: str
    host: str
    process: int
    since: str

    def words(self) -> str:
        return f"{self.by} has had it open on {self.host} (process {self.process}) since {self.since}"


def lock_file(book: Path) -> Path:
    return book.with_name(book.name + ".lock")


def _said(book: Path) -> Mapping[str, Any]:
    try:
        said = json.loads(read_regular(lock_file(book), most_bytes=MOST_LOCK_BYTES))
    except (OSError, ValueError, RecursionError):
        return {}
    return said if isinstance(said, dict) else {}


def remembered_book(book: Path) -> str:
    """The identity of the book that was last open under this name; empty if nothing is known of it."""
    return str(_said(book).get("book", ""))


class BookLock:
    """Advisory lock on a file of its own: the book's own file is replaced at each save."""

    def __init__(self, book: Path) -> None:
        self._book = book
        self._path = lock_file(book)
        self._holder: dict[str, object] = {}
        self._book_id = ""
        self._lock = FileLock(self._path, timeout=0, thread_local=False)

    def take(self, by: str, now: datetime) -> bool:
        """Become the writer; False if another program is.

        Raises
        ------
        OSError : no lock can be made here (a folder that cannot be written, a link in its place).
        """
        with contextlib.suppress(FileNotFoundError):
            if not stat.S_ISREG(mode := self._path.lstat().st_mode):
                raise OSError(errno.EINVAL, what_stands_there(mode), str(self._path))
        self._book_id = remembered_book(self._book)
        try:
            self._lock.acquire()
        except Timeout:
            return False
        self._holder = {
            "by": by,
            "host": socket.gethostname(),
            "process": os.getpid(),
            "since": now.strftime("%Y-%m-%d %H:%M"),
        }
        self._write()
        return True

    def remember(self, book_id: str) -> str:
        """Write down which book it is, so that another boat's is never taken for it; the identity of the one that was
        open under this name before, if it was another."""
        before = self._book_id
        if book_id == before:
            return ""
        self._book_id = book_id
        self._write()
        return before

    def _write(self) -> None:
        with contextlib.suppress(OSError):
            self._path.write_text(json.dumps({**self._holder, "book": self._book_id}), encoding="utf-8")

    def holder(self) -> Holder | None:
        """Who holds it, if they could be read."""
        try:
            said = _said(self._book)
            return Holder(str(said["by"]), str(said["host"]), int(said["process"]), str(said["since"]))
        except (ValueError, KeyError, TypeError):
            return None

    def let_go(self) -> None:
        self._lock.release()
