"""However the program ends: what is open goes to the disk first."""

from __future__ import annotations

import asyncio
import contextlib
import os
import signal
import tempfile
import threading
import traceback
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import platformdirs

from inspect_tui.domain.plain import counted
from inspect_tui.files import user_home
from inspect_tui.store.book_file import BookFile
from inspect_tui.store.photo_files import photo_folder

HANG_UP_PATIENCE_S = 3.0
# Under this name the newest copy is remembered that holds what could not be saved.
RESCUED = "rescued"
GO_ON = "Go on in the copy, or put it in the book's place once the book can be written to again."


def listen_for_hang_up(hang_up: Callable[[], None]) -> None:
    """Be told when the line dropped or the system wants us gone."""
    loop = asyncio.get_running_loop()
    for name in ("SIGTERM", "SIGHUP", "SIGINT", "SIGQUIT"):
        number = getattr(signal, name, None)
        if number is not None and threading.current_thread() is threading.main_thread():
            with contextlib.suppress(NotImplementedError, RuntimeError, ValueError):
                loop.add_signal_handler(number, hang_up)


def leave_anyway_soon() -> None:
    """Out, whatever hangs."""

    def leave() -> None:
        threading.Event().wait(HANG_UP_PATIENCE_S)
        os._exit(1)

    threading.Thread(target=leave, daemon=True).start()


def rescue(opened: BookFile, remember: Callable[[str, str], object]) -> str:
    """What could not be saved into the book goes into a copy elsewhere: where it is, or what is lost, in a sentence;
    nothing if all is saved. Where it lies is remembered for the next start."""
    if not opened.unsaved:
        return ""
    why = (
        opened.trouble.words.partition(" It is kept here")[0].removesuffix(" What is here is kept.")
        if opened.trouble
        else "Not saved."
    )
    name = f"{opened.path.stem}-rescued-{opened.clock():%Y%m%d-%H%M%S}{opened.path.suffix}"
    for folder in (opened.path.parent, user_home(), Path(tempfile.gettempdir())):
        with contextlib.suppress(OSError, RuntimeError):
            copy = opened.save_copy(folder / name)
            remember(RESCUED, str(copy))
            photos = f" Its photos stay in {photo_folder(opened.path)}." if opened.book.photos else ""
            return f"{why} All that was written, to the last word, is in a copy: {copy}.{photos} {GO_ON}"
    return f"{why} A copy could not be written anywhere either. Lost: {counted(opened.unsaved, 'record')}."


def keep_crash(now: datetime, unsaved: str = "") -> str:
    """The story of the fault that is being handled goes to a file; one line for the screen. `unsaved`: what could not
    be saved."""
    told = traceback.format_exc()
    line = f"inspect-tui hit a fault of its own and stopped. {unsaved or 'What was answered is saved.'}"
    with contextlib.suppress(OSError, RuntimeError):
        folder = platformdirs.user_log_path("inspect-tui", ensure_exists=True)
        crash = folder / f"crash-{now:%Y%m%d-%H%M%S}.txt"
        crash.write_text(told, encoding="utf-8")
        return f"{line} The details are in {crash}"
    return f"{line} {told.strip().splitlines()[-1]}"
