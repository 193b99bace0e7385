"""Papers take their place all or none: they are made in a folder of their own, and its name says how far that went.

`.papers-PID-XXXX.making` holds papers that may be half made: it goes. `.papers-PID-XXXX.moving` holds whole ones, of
which some may have been moved out already: the rest follows.
"""

from __future__ import annotations

import contextlib
import os
import re
import shutil
import stat
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from inspect_tui.files import is_real_folder, sync_file, sync_folder

# Under this name the folder is remembered that papers are being written into.
UNDER_WAY = "papers-under-way"
_OURS = re.compile(r"\.papers-([0-9]+)-\w+\.(making|moving)")
MAKING, MOVING = ".making", ".moving"
# A program that has the same number by now is another one.
SURELY_DEAD_S = 24 * 3600.0


@contextlib.contextmanager
def made_beside(folder: Path) -> Iterator[Path]:
    """A new folder in `folder` to make papers in; what is left of it at the end goes, but for what is whole."""
    settle(folder)
    work = Path(tempfile.mkdtemp(prefix=f".papers-{os.getpid()}-", suffix=MAKING, dir=folder))
    try:
        yield work
    finally:
        shutil.rmtree(work, ignore_errors=True)


def move_in(work: Path) -> None:
    """Everything that lies in the work folder takes its place beside it, over what an earlier run left.

    Raises
    ------
    OSError : something that is no file has one of the names: nothing was moved. Or the disk failed on the way: then
        `settle` moves the rest.
    """
    folder = work.parent
    for file in sorted(work.iterdir()):
        target = folder / file.name
        if is_real_folder(target):
            raise IsADirectoryError(None, f"a folder named {file.name} stands in the way", str(target))
        sync_file(file)
    sync_folder(work)
    moving = work.rename(work.with_suffix(MOVING))
    sync_folder(folder)
    _finish(moving)


def settle(folder: Path) -> None:
    """Finish or undo what a killed program began in this folder; what runs is left alone."""
    try:
        entries = sorted(folder.iterdir())
    except OSError:
        return
    for entry in entries:
        named = _OURS.fullmatch(entry.name)
        if named is None or not is_real_folder(entry) or not _is_dead(int(named[1]), entry):
            continue
        with contextlib.suppress(OSError):
            if named[2] == "moving":
                _finish(entry)
            else:
                shutil.rmtree(entry)


def _finish(moving: Path) -> None:
    for file in sorted(moving.iterdir()):
        if stat.S_ISREG(file.lstat().st_mode) and not file.name.startswith("."):
            file.replace(moving.parent / file.name)
    sync_folder(moving.parent)
    shutil.rmtree(moving)


def _is_dead(process: int, folder: Path) -> bool:
    if time.time() - folder.lstat().st_mtime > SURELY_DEAD_S:
        return True
    if os.name == "nt":
        return False
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return True
    except (OSError, OverflowError):
        return False
    return False
