"""Writing a file so that a crash, a full disk or a power cut leaves either the old or the new one, whole."""

from __future__ import annotations

import contextlib
import os
import shutil
from pathlib import Path


def replace_file(path: Path, data: bytes, *, previous: Path | None = None) -> None:
    """Put `data` in the place of `path`; with `previous`, what stood there is kept under that name.

    The bytes are on the disk, and so is the folder's entry, when this returns.

    Raises
    ------
    OSError : nothing was replaced; the file is what it was.
    """
    temporary = path.with_name(f".{path.name}.{os.getpid()}.tmp")
    try:
        _write_synced(temporary, data, mode=_mode_of(path))
        if previous is not None and path.exists():
            _keep(path, previous)
        temporary.replace(path)
    except OSError:
        with contextlib.suppress(OSError):
            temporary.unlink()
        raise
    sync_folder(path.parent)


def _mode_of(path: Path) -> int:
    try:
        return path.stat().st_mode & 0o777
    except OSError:
        return 0o644


def _write_synced(path: Path, data: bytes, mode: int) -> None:
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC | getattr(os, "O_BINARY", 0), mode)
    try:
        rest = memoryview(data)
        while rest:
            rest = rest[os.write(descriptor, rest) :]
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _keep(path: Path, previous: Path) -> None:
    """Give the file a second name; the data is copied only where the disk knows no second names."""
    step = previous.with_name(f".{previous.name}.tmp")
    with contextlib.suppress(FileNotFoundError):
        step.unlink()
    try:
        os.link(path, step)
    except OSError:
        shutil.copyfile(path, step)
    step.replace(previous)


def sync_folder(folder: Path) -> None:
    """Make the folder's entries survive a power cut, where the system can do that."""
    if os.name == "nt":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    except OSError:
        return
    finally:
        os.close(descriptor)


def clear_leftovers(path: Path) -> None:
    """Remove half-written temporary files that killed programs left beside `path`."""
    for leftover in path.parent.glob(f".{_escaped(path.name)}*.tmp"):
        with contextlib.suppress(OSError):
            leftover.unlink()


def _escaped(name: str) -> str:
    return "".join(f"[{sign}]" if sign in "[]*?" else sign for sign in name)
