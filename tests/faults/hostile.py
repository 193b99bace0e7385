"""A folder as a stranger might send it, with everything in it that could be turned against who opens it:
`python -m tests.faults.hostile FOLDER` makes one to be looked at by hand.

The book is whole by its checksum. Its photos are starters, PostScript, pipes, links, a picture of 400 million pixels;
its backups are links to the owner's folders; every text holds what drives a terminal or a spreadsheet.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import sys
from pathlib import Path
from typing import Any

from inspect_tui.store.checklist_files import shipped
from inspect_tui.store.envelope import Envelope, open_envelope
from inspect_tui.store.migrations import SCHEMA
from tests.handover.test_strange_pictures import POSTSCRIPT, jpeg, vast_png

MARK = "pwned"
# Sets the title, clears the screen, answers back, hides what follows, turns the order round.
ESCAPES = f"\x1b]0;{MARK}\x07\x1b[2J\x9b31m\x1b[6n\x1b[8m\u202e"
LAUNCHER = f"[Desktop Entry]\nType=Application\nName=photo\nExec=sh -c 'touch {MARK}'\n"
BOOK = "sandmartin.hullbook"
# Programs that must not be started: a stand-in of each writes down that it was.
OPENERS = ("xdg-open", "gs", "gswin64c", "open", "sh-from-photo", "convert", "display", "typst")


def make_bundle(folder: Path, owners: Path) -> Path:
    """Lay it out; the book's path. `owners`: a folder of the owner's that the links lead to."""
    folder.mkdir(parents=True, exist_ok=True)
    body = open_envelope((shipped("demo") / BOOK).read_bytes())
    tables = body.tables()
    photos = folder / "sandmartin-photos"
    photos.mkdir()
    _spoil_texts(tables)
    _photos(tables, photos, owners)
    book = folder / BOOK
    book.write_bytes(Envelope(SCHEMA, 99, f"2025-11-19{ESCAPES}", json.dumps(tables).encode()).sealed())
    (folder / f"{BOOK}.backups").symlink_to(owners)
    (folder / f"{BOOK}.prev").symlink_to(owners / "day-2020-01-01.hullbook")
    (folder / f"{BOOK}.lock").symlink_to(owners / "diary.txt")
    (folder / f".{BOOK}.1.tmp").symlink_to(owners / "diary.txt")
    papers = folder / "sandmartin papers"
    papers.mkdir()
    (papers / ".papers-1-abcd.making").symlink_to(owners)
    (papers / f"x{ESCAPES}-proof.json".replace("/", "")).symlink_to(owners / "diary.txt")
    with contextlib.suppress(AttributeError):
        os.mkfifo(papers / "pipe-proof.json")
    return book


def make_owners(folder: Path) -> Path:
    """The owner's things, with names like those of the program's own backups."""
    folder.mkdir(parents=True)
    for name in ("diary.txt", "session-20240101-000000.txt", "day-2020-01-01.odt", "day-2020-01-01.hullbook"):
        (folder / name).write_text(f"the owner's {name}")
    for number in range(20):
        (folder / f"session-20200101-0000{number:02}.hullbook").write_text("the owner's")
    return folder


def _spoil_texts(tables: dict[str, Any]) -> None:
    """Every text that a person could have typed; the trail is another's, so it does not fit either."""
    for name in ("boat", "compartments", "findings", "plate_fields", "answers", "parts", "done"):
        for number, row in enumerate(tables.get(name, {}).values()):
            for key in ("name", "words", "note", "where_from", "by", "what", "bag", "lies"):
                if isinstance(row.get(key), str):
                    row[key] = f"{row[key]}{ESCAPES}=1+1;'\"<script>{number}"
    tables["boat"]["1"]["name"] = f'=HYPERLINK("x"){ESCAPES}../../{MARK}'
    tables["compartments"][next(iter(tables["compartments"]))]["name"] = "n" * 300


def _photos(tables: dict[str, Any], folder: Path, owners: Path) -> None:
    made: dict[str, bytes] = {
        "plan.desktop": LAUNCHER.encode(),
        "script.jpg": POSTSCRIPT,
        "starter.jpg": LAUNCHER.encode(),
        f"a{ESCAPES}b.jpg".replace("/", ""): b"no picture",
        "quote'\";$(touch pwned).jpg": b"no picture",
    }
    for name, data in made.items():
        (folder / name).write_bytes(data)
    with contextlib.suppress(AttributeError):
        os.mkfifo(folder / "pipe.jpg")
    (folder / "endless.jpg").symlink_to("/dev/zero")
    (folder / "diary.jpg").symlink_to(owners / "diary.txt")
    (folder / "folder.jpg").mkdir()
    vast_png(folder / "vast.png")
    jpeg(folder / "good.jpg")
    names = [
        *made, "pipe.jpg", "endless.jpg", "diary.jpg", "folder.jpg", "vast.png", "good.jpg",
        "nul\0.jpg", "n" * 300 + ".jpg", "../../owners/diary.txt", "/etc/passwd", "", ".", "-rf",
    ]  # fmt: skip
    for number, name in enumerate(names, 900):
        digest = ""
        with contextlib.suppress(OSError, ValueError):
            path = folder / Path(name).name
            if path.is_file() and not path.is_symlink():
                digest = hashlib.sha256(path.read_bytes()).hexdigest()
        id = f"i{number}"
        like = next(iter(tables["photos"].values()))
        tables["photos"][id] = {**like, "id": id, "file": name, "sha256": digest, "caption": f"caption{ESCAPES}"}
        tables["findings"]["1"]["photos"] = [*tables["findings"]["1"].get("photos", []), id]


if __name__ == "__main__":
    where = Path(sys.argv[1])
    print(make_bundle(where / "received", make_owners(where / "owners")))
