"""One writer at a time: a lock beside the book that vanishes with the program, and who holds it."""

from __future__ import annotations

import contextlib
import json
import os
import socket
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from filelock import FileLock, Timeout


@dataclass(frozen=True)
class Holder:
    """The program that writes to the book."""

    by: str
    host: str
    process: int
    since: str

    def words(self) -> str:
        return f"{self.by} has it open on {self.host} (process {self.process}) since {self.since}"


class BookLock:
    """Advisory lock on a file of its own: the book's own file is replaced at each save."""

    def __init__(self, book: Path) -> None:
        self._path = book.with_name(book.name + ".lock")
        self._lock = FileLock(self._path, timeout=0, thread_local=False)

    def take(self, by: str, now: datetime) -> bool:
        """Become the writer; False if another program is.

        Raises
        ------
        OSError : no lock can be made here (a folder that cannot be written).
        """
        try:
            self._lock.acquire()
        except Timeout:
            return False
        holder = {
            "by": by,
            "host": socket.gethostname(),
            "process": os.getpid(),
            "since": now.strftime("%Y-%m-%d %H:%M"),
        }
        with contextlib.suppress(OSError):
            self._path.write_text(json.dumps(holder), encoding="utf-8")
        return True

    def holder(self) -> Holder | None:
        """Who holds it, if they could be read."""
        try:
            said = json.loads(self._path.read_text(encoding="utf-8"))
            return Holder(str(said["by"]), str(said["host"]), int(said["process"]), str(said["since"]))
        except (OSError, ValueError, KeyError, TypeError):
            return None

    def let_go(self) -> None:
        self._lock.release()
