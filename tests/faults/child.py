"""The program as it is, which also writes down what it has saved: `python -m tests.faults.child LOG BOOK`."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from inspect_tui import __main__
from inspect_tui.store.book_file import BookFile


def tell_what_is_saved(log: Path) -> None:
    """From now on each record that a save has brought to the disk is a line in the log: its table and key."""
    descriptor = os.open(log, os.O_WRONLY | os.O_CREAT | os.O_APPEND)
    save = BookFile.save

    def saved(self: BookFile) -> None:
        waiting = [put for put, _ in self._pending]
        save(self)
        if waiting and self.trouble is None:
            os.write(descriptor, "".join(f"{put.table} {put.key}\n" for put in waiting).encode())

    BookFile.save = saved  # type: ignore[method-assign]


if __name__ == "__main__":
    tell_what_is_saved(Path(sys.argv[1]))
    sys.argv[1:] = sys.argv[2:]
    __main__.start()
