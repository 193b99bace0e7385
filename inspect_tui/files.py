"""Writing a file so that a crash, a full disk or a power cut leaves either the old or the new one, whole; and reading
one that may come from a stranger."""

from __future__ import annotations

import contextlib
import errno
import os
import re
import shutil
import stat
from collections.abc import Callable
from pathlib import Path

_CANNOT_SYNC_FOLDERS = {errno.EINVAL, errno.ENOTSUP, errno.EBADF, errno.EACCES}


def replace_file(
    path: Path, data: bytes, *, like: Path | None = None, before: Callable[[], object] = lambda: None
) -> None:
    """Put `data` in the place of `path`, with the permissions of what stood there, or of `like`. `before` is called
    when the new bytes are on the disk and the old ones still have their name.

    The bytes are on the disk, and so is the folder's entry, when this returns.

    Raises
    ------
    OSError : nothing was replaced; or it was, and the folder's entry may not last a power cut.
    """
    temporary = path.with_name(f".{path.name}.{os.getpid()}.tmp")
    try:
        _write_synced(temporary, data, _mode_of(path, like))
        before()
        temporary.replace(path)
    except OSError as error:
        with contextlib.suppress(OSError):
            temporary.unlink()
        # A full disk names no file by itself.
        error.filename = str(path)
        raise
    sync_folder(path.parent)


def _mode_of(*paths: Path | None) -> int | None:
    """The permissions of the first that is there."""
    for path in paths:
        with contextlib.suppress(OSError):
            if path is not None and stat.S_ISREG(mode := path.lstat().st_mode):
                return mode & 0o777
    return None


def _write_synced(path: Path, data: bytes, mode: int | None) -> None:
    # What lies under this name is a killed program's, or a link that must not be written through.
    with contextlib.suppress(FileNotFoundError):
        path.unlink()
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), mode or 0o644)
    try:
        if mode is not None and hasattr(os, "fchmod"):
            os.fchmod(descriptor, mode)
        rest = memoryview(data)
        while rest:
            rest = rest[os.write(descriptor, rest) :]
        _sync(descriptor)
    finally:
        os.close(descriptor)


def _sync(descriptor: int) -> None:
    """To the disk itself: where `fsync` stops at the drive's cache, the drive is told too."""
    with contextlib.suppress(ImportError, AttributeError, OSError):
        import fcntl

        fcntl.fcntl(descriptor, fcntl.F_FULLFSYNC)  # type: ignore[attr-defined, unused-ignore]
        return
    os.fsync(descriptor)


def sync_file(path: Path) -> None:
    """Make the bytes of a file survive a power cut, whoever wrote them.

    Raises
    ------
    OSError : it cannot be opened, or the disk failed.
    """
    # A system that flushes only what may be written needs it open for writing.
    descriptor = os.open(path, os.O_RDWR)
    try:
        _sync(descriptor)
    finally:
        os.close(descriptor)


def keep_previous(path: Path, previous: Path) -> None:
    """Give the file a second name; the data is copied only where the disk knows no second names.

    Raises
    ------
    OSError : it could not be given; what had that name has it still.
    """
    step = previous.with_name(f".{previous.name}.{os.getpid()}.tmp")
    with contextlib.suppress(FileNotFoundError):
        step.unlink()
    try:
        try:
            os.link(path, step, follow_symlinks=False)
        except (OSError, NotImplementedError):
            shutil.copyfile(path, step)
        step.replace(previous)
    except OSError:
        with contextlib.suppress(OSError):
            step.unlink()
        raise


def sync_folder(folder: Path) -> None:
    """Make the folder's entries survive a power cut, where the system can do that.

    Raises
    ------
    OSError : it can, and it failed.
    """
    if os.name == "nt":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    except OSError as error:
        if error.errno not in _CANNOT_SYNC_FOLDERS:
            raise
    finally:
        os.close(descriptor)


def clear_leftovers(folder: Path, name: str = r".+") -> None:
    """Remove the half-written temporary files of killed programs: exactly those that `replace_file` and
    `keep_previous` make, of files whose name fits the pattern `name`."""
    ours = re.compile(rf"\.({name})\.[0-9]+\.tmp")
    if not is_real_folder(folder):
        return
    with contextlib.suppress(OSError):
        for entry in folder.iterdir():
            if ours.fullmatch(entry.name) and stat.S_ISREG(entry.lstat().st_mode):
                with contextlib.suppress(OSError):
                    entry.unlink()


def is_there(path: Path) -> bool:
    """Whether the name is taken, be it by a link that leads nowhere."""
    try:
        path.lstat()
    except (OSError, ValueError):
        return False
    return True


def is_folder(path: Path) -> bool:
    """A folder, or the owner's link to one; of a name that no file can have: no."""
    try:
        return path.is_dir()
    except (OSError, ValueError):
        return False


def user_home() -> Path:
    """The owner's home; the folder the program was started in where the system names none."""
    try:
        return Path.home()
    except RuntimeError:
        return Path.cwd()


def expanded(path: Path) -> Path:
    """With `~` put in words; as it was typed where nobody's home is known by it."""
    try:
        return path.expanduser()
    except RuntimeError:
        return path


def book_place(path: Path) -> Path:
    """Where a book lies: through the owner's own link to a file, and not through one that leads to no file."""
    path = expanded(path)
    try:
        if path.is_file():
            return path.resolve()
        return path.parent.resolve() / path.name
    except (OSError, ValueError, RuntimeError):
        return path.absolute()


def is_real_folder(path: Path) -> bool:
    """A folder itself, and no link to one."""
    try:
        return stat.S_ISDIR(path.lstat().st_mode)
    except (OSError, ValueError):
        return False


def make_folder(path: Path) -> None:
    """A folder of that name, which may be there.

    Raises
    ------
    OSError : something else has the name, also a link to a folder elsewhere.
    """
    make_folders(path)
    if not is_real_folder(path):
        raise OSError(errno.ENOTDIR, f"{path.name} is a link, and links are not written through", str(path))


def make_folders(path: Path) -> None:
    """A folder of that name and those above it, which survive a power cut as what is written into them does.

    Raises
    ------
    OSError : something that is no folder has one of the names, or one cannot be made.
    """
    if not path.is_dir():
        if path.parent != path:
            make_folders(path.parent)
        path.mkdir(exist_ok=True)
        sync_folder(path.parent)
