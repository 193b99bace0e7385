"""A folder as a power cut may leave it: what was asked of the disk is written down while the program works, and every
state is made of it that a disk may hold which wrote some of it and not the rest.

The model is harsher than any file system that keeps a journal: of what no `fsync` has confirmed, any operation may be
missing, whatever came after it. Bytes last once their file was synced; names, once their folder was.
"""

from __future__ import annotations

import contextlib
import os
import stat
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import combinations
from pathlib import Path
from typing import Any

MOST_OMITTED = 3
# Each of these changes names, or makes something last; what a program wrote between two of them is found by looking.
_WATCHED = ("fsync", "rename", "replace", "unlink", "remove", "link", "mkdir", "rmdir")


@dataclass(frozen=True)
class Operation:
    """One thing asked of the disk. `kind`: write, name, move, unname, or sync; folders and files are numbers."""

    kind: str
    node: int
    folder: int = -1
    name: str = ""
    to_folder: int = -1
    to_name: str = ""
    data: bytes = b""

    @property
    def lasts_by(self) -> tuple[int, ...]:
        """What must be synced before it surely lasts."""
        if self.kind == "write":
            return (self.node,)
        return (self.folder, self.to_folder) if self.kind == "move" else (self.folder,)


@dataclass
class Disk:
    """Names and bytes. Node 0 is the folder that is watched; a folder holds names, a file bytes."""

    folders: dict[int, dict[str, int]] = field(default_factory=lambda: {0: {}})
    files: dict[int, bytes] = field(default_factory=dict)

    def copy(self) -> Disk:
        return Disk({node: dict(names) for node, names in self.folders.items()}, dict(self.files))

    def do(self, one: Operation) -> None:
        match one.kind:
            case "write":
                self.files[one.node] = one.data
            case "name":
                self.folders[one.folder][one.name] = one.node
            case "unname" if self.folders[one.folder].get(one.name) == one.node and not self.folders.get(one.node):
                del self.folders[one.folder][one.name]
            case "move":
                if self.folders[one.folder].get(one.name) == one.node:
                    del self.folders[one.folder][one.name]
                self.folders[one.to_folder][one.to_name] = one.node

    def tree(self, node: int = 0, below: str = "") -> Iterator[tuple[str, bytes | None]]:
        """Each path and its bytes; None for a folder."""
        for name, inside in sorted(self.folders[node].items()):
            path = f"{below}{name}"
            if inside in self.folders:
                yield path, None
                yield from self.tree(inside, f"{path}/")
            else:
                yield path, self.files[inside]

    def lay_out(self, folder: Path) -> None:
        for name, data in self.tree():
            if data is None:
                (folder / name).mkdir(parents=True)
            else:
                (folder / name).write_bytes(data)


class Recorder:
    """While it is on, everything that happens in `root` becomes operations; `told` says after which of them something
    was acknowledged."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.operations: list[Operation] = []
        self.told: list[tuple[int, Any]] = []
        self._now = Disk()
        self._known: dict[int, int] = {root.stat().st_ino: 0}
        self._newest = 0
        self._look()
        self.first = self._now.copy()
        self.operations.clear()

    def acknowledge(self, what: Any) -> None:
        """From here on the owner believes this."""
        self._look()
        self.told.append((len(self.operations), what))

    @contextlib.contextmanager
    def watching(self) -> Iterator[None]:
        before = {name: getattr(os, name) for name in _WATCHED}
        try:
            for name, real in before.items():
                setattr(os, name, self._watched(name, real))
            yield
            self._look()
        finally:
            for name, real in before.items():
                setattr(os, name, real)

    def _watched(self, name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def watched(*args: Any, **more: Any) -> Any:
            self._look()
            done = real(*args, **more)
            if name == "fsync":
                node = self._known.get(os.fstat(args[0]).st_ino)
                if node is not None:
                    self.operations.append(Operation("sync", node))
            else:
                self._look()
            return done

        return watched

    def _look(self) -> None:
        """Find out what changed since the last look: at most one name was moved or taken, and any bytes written."""
        there: dict[tuple[int, str], int] = {}
        inodes: dict[int, int] = {}
        self._scan(self.root, 0, there, inodes)
        named = {(folder, name): node for folder, names in self._now.folders.items() for name, node in names.items()}
        gone = {at: node for at, node in named.items() if there.get(at) != node}
        for at, node in there.items():
            if named.get(at) == node:
                continue
            source = next((old for old, moved in gone.items() if moved == node and old not in there), None)
            if source is not None:
                gone.pop(source)
                self._do(Operation("move", node, *source, *at))
            else:
                self._do(Operation("name", node, *at))
            gone.pop(at, None)
            self._write_down(node, inodes)
        for at, node in sorted(gone.items(), key=lambda pair: -pair[0][0]):
            self._do(Operation("unname", node, *at))
        for node in inodes:
            self._write_down(node, inodes)
        self._known = {inode: node for node, inode in inodes.items()} | {self.root.stat().st_ino: 0}

    def _write_down(self, node: int, inodes: dict[int, int]) -> None:
        if node in self._now.files and (data := self._bytes.get(node)) is not None and data != self._now.files[node]:
            self._do(Operation("write", node, data=data))

    def _scan(self, path: Path, folder: int, there: dict[tuple[int, str], int], inodes: dict[int, int]) -> None:
        if folder == 0:
            self._bytes: dict[int, bytes] = {}
        for entry in sorted(os.scandir(path), key=lambda one: one.name):
            told = entry.stat(follow_symlinks=False)
            node = self._known.get(told.st_ino)
            if node is None:
                self._newest += 1
                node = self._known[told.st_ino] = self._newest
                if stat.S_ISDIR(told.st_mode):
                    self._now.folders[node] = {}
                else:
                    self._now.files[node] = b""
            there[folder, entry.name] = node
            inodes[node] = told.st_ino
            if stat.S_ISDIR(told.st_mode):
                self._scan(Path(entry.path), node, there, inodes)
            else:
                self._bytes[node] = Path(entry.path).read_bytes()

    def _do(self, one: Operation) -> None:
        self.operations.append(one)
        self._now.do(one)

    def states(self, omitted: int = MOST_OMITTED) -> Iterator[tuple[Disk, list[Any]]]:
        """Every different state that a cut may leave: after each operation, without up to `omitted` of those that
        nothing had made last; and what had been acknowledged by then."""
        seen: set[tuple[Any, ...]] = set()
        lasting = self.first.copy()
        lasting.folders |= {node: {} for node in self._now.folders if node not in lasting.folders}
        lasting.files |= {node: b"" for node in self._now.files if node not in lasting.files}
        for end in range(len(self.operations) + 1):
            told = [what for at, what in self.told if at <= end]
            done = [one for one in self.operations[:end] if one.kind != "sync"]
            open_ = self._unsynced(end)
            for count in range(min(omitted, len(open_)) + 1):
                for left_out in combinations(open_, count):
                    disk = lasting.copy()
                    ids = {id(one) for one in left_out}
                    for one in done:
                        if id(one) not in ids:
                            disk.do(one)
                    state = (tuple(disk.tree()), len(told))
                    if state not in seen:
                        seen.add(state)
                        yield disk, told

    def _unsynced(self, end: int) -> list[Operation]:
        """What of the first operations nothing has made last: each names one or two folders, and each of them must
        have been synced since."""
        synced_at: dict[int, int] = {}
        for at, one in enumerate(self.operations[:end]):
            if one.kind == "sync":
                synced_at[one.node] = at
        return [
            one
            for at, one in enumerate(self.operations[:end])
            if one.kind != "sync" and any(synced_at.get(node, -1) < at for node in one.lasts_by)
        ]
