"""Reading files that may come from a stranger, and SHA-256 of files."""

from __future__ import annotations

import errno
import hashlib
import os
import stat
from collections.abc import Iterable
from pathlib import Path
from typing import BinaryIO

# Larger than any book, photo or table that a boat can have.
MOST_BYTES = 1 << 30
MOST_PHOTO_BYTES = 1 << 27


def digest_of_file(path: Path) -> str:
    """SHA-256 in hexadecimal of a plain file.

    Raises
    ------
    OSError : see `read_regular`.
    """
    return hashlib.sha256(read_regular(path)).hexdigest()


def digest_of_texts(paths: Iterable[Path]) -> str:
    """SHA-256 in hexadecimal over text files in this order, whatever ends their lines."""
    told = hashlib.sha256()
    for path in paths:
        told.update(hashlib.sha256(read_regular(path).replace(b"\r\n", b"\n")).digest())
    return told.hexdigest()


def read_regular(path: Path, *, most_bytes: int = MOST_BYTES, first_bytes: int = -1) -> bytes:
    """The bytes of a plain file, or the first of them.

    Raises
    ------
    OSError : see `open_regular`.
    """
    with open_regular(path, most_bytes=most_bytes) as stream:
        return stream.read(first_bytes)


def open_regular(path: Path, *, most_bytes: int = MOST_BYTES) -> BinaryIO:
    """A plain file, open. Links are not followed, devices and pipes not waited for.

    Raises
    ------
    OSError : missing, unreadable, too large, or no plain file; `strerror` says which.
    """
    _must_be_regular(path, path.lstat().st_mode)
    flags = os.O_RDONLY | getattr(os, "O_BINARY", 0) | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
    stream = open(os.open(path, flags), "rb")  # noqa: PTH123, SIM115 - from its descriptor; the caller closes it
    try:
        told = os.fstat(stream.fileno())
        _must_be_regular(path, told.st_mode)
        if told.st_size > most_bytes:
            raise OSError(errno.EFBIG, f"it is larger than {most_bytes // (1 << 20)} MB", str(path))
    except BaseException:
        stream.close()
        raise
    return stream


def _must_be_regular(path: Path, mode: int) -> None:
    if not stat.S_ISREG(mode):
        raise OSError(errno.EINVAL, what_stands_there(mode), str(path))


def what_stands_there(mode: int) -> str:
    """What a name leads to that is no plain file, in words."""
    if stat.S_ISDIR(mode):
        return "a folder is in its place"
    return "a link is in its place" if stat.S_ISLNK(mode) else "a device or pipe is in its place"
