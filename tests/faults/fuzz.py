"""Broken input of five kinds: `python -m tests.faults.fuzz books --count 20000 --seed 1`.

books     whole books under a right checksum whose records have another shape than any program writes
tables    filled-in field tables, their bytes and their cells
overlays  an owner's folder of trade knowledge over ours
pictures  files that are given out for photos
keys      keys pressed at random on every screen of the program

What may come of it: it is taken, or one sentence says why not. A traceback, a case that takes over a minute, more
than 400 MB of memory, or anything written outside the case's own folder is a fault; the seed and number of the case
that made it are printed.
"""

from __future__ import annotations

import argparse
import asyncio
import csv
import io
import random
import resource
import shutil
import sys
import tempfile
import time
import traceback
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from pathlib import Path

from PIL import Image

from inspect_tui.digests import digest_of_file
from inspect_tui.domain.book import Book, Stamp, after
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.trail import Argument
from inspect_tui.errors import BadPicture, DomainError, HandoverError, InspectError, StoreError
from inspect_tui.handover.sheets.field_import import read_table
from inspect_tui.handover.sheets.field_sheets import field_table, places_to_do
from inspect_tui.handover.writers.pictures import camera_of, fit_to_show, shrunk
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.work.worklist import count_words
from inspect_tui.store.book_file import open_book
from inspect_tui.store.checklist_files import load_checklists, shipped
from inspect_tui.terminal.app import InspectApp
from inspect_tui.terminal.names import PALETTE, ScreenName
from tests.faults.books import NOW, try_book_of
from tests.terminal.test_forms import FORMS

SLOWEST_S = 60.0
MOST_MEMORY_MB = 400.0
DEMO = shipped("demo") / "sandmartin.hullbook"
KEYS = (
    *"abcdefghijklmnopqrstuvwxyz0123456789 .,-/?=;ABCxyzäß→",
    "enter", "escape", "tab", "shift+tab", "up", "down", "left", "right", "home", "end", "pageup", "pagedown",
    "backspace", "delete", "space", "ctrl+s", "ctrl+u", "ctrl+p", "f1",
    "f2", "f3", "f4", "f5", "f6", "f7", "f8", "f9",
)  # fmt: skip
KEYS_A_CASE = 60
# These end the program, or start another one.
NEVER = {"ctrl+q", "q"}

Case = Callable[[random.Random, Path], str]


def _sentence(error: InspectError) -> str:
    """Nothing if an error reads like one; else what is wrong with it."""
    told = str(error)
    return "" if told and "Traceback" not in told and len(told.splitlines()) == 1 else f"no sentence: {told!r}"


def mutated(data: bytes, random_: random.Random, words: tuple[bytes, ...] = ()) -> bytes:
    """One to eight changes of bytes: turned over, cut, doubled, written over with what such files hold."""
    out = bytearray(data)
    for _ in range(random_.randint(1, 8)):
        at = random_.randrange(len(out) + 1)
        match random_.randrange(7):
            case 0 if out and at < len(out):
                out[at] ^= 1 << random_.randrange(8)
            case 1:
                del out[at : at + random_.randrange(1, 200)]
            case 2:
                out[at:at] = out[at : at + random_.randrange(1, 200)]
            case 3:
                out[at:at] = bytes(random_.randrange(256) for _ in range(random_.randrange(1, 20)))
            case 4 if words:
                word = random_.choice(words)
                out[at : at + random_.choice((0, len(word)))] = word
            case 5:
                del out[at:]
            case _:
                end = min(len(out), at + 8)
                out[at:end] = random_.choice((b"\xff", b"\x00")) * (end - at)
    return bytes(out)


class Tables:
    """Cells that nobody types, and bytes that are no table."""

    WORDS = (
        b";", b",", b"\t", b'"', b"\r\n", b"\n", b"=1+1", b"-5 mV", b"1e999", b"nan", b"\xef\xbb\xbf", b"\x1b[31m",
        b"\x00", b"place", b"chalk", b"999999999999999999999", b"-1", b"pits", b"thickness", b"hole", b"soft",
        b"3/16", "½".encode(),
    )  # fmt: skip

    CELLS = (
        "", "sound", "finding", "unseen", "not fitted", "2.1 1.4 hole", "soft", "5,1 5,2", "-0.92 V", "47", "1e308",
        "-1", "nan", "pits", "thickness", "potential", "resistance", "area", "port", "inside", "pitting", "crack",
        "33", "999999", "200x200", "2025-11-20", "2025-13-40", "9999-12-31", "0001-01-01", "=1+1", "½", "\x1b[31m",
        "\ud7ff", "n" * 5000, "Engine space", "Port water tank", "engine/bilge", "everywhere/opening", "yes", "no",
        "±0.2", "3/16\"", "2 ft 3 in", "12 + 100",
    )  # fmt: skip

    def __init__(self, checklists: Checklists) -> None:
        self._checklists = checklists
        self._book: Book = open_book(DEMO, lambda: NOW, "", write=False).book
        table = field_table(self._book, checklists, places_to_do(self._book, checklists, ()))
        self._head, *self._rows = list(csv.reader(io.StringIO(table)))

    def _made(self, random_: random.Random) -> bytes:
        """Rows of a real table with odd cells; of every other one the bytes are changed too."""
        rows = [list(row) for row in random_.sample(self._rows, 12)]
        for row in rows:
            filled = random_.choice(
                ({"said": "sound"}, {"measured": "length", "values": "12"}, {"said": "not fitted"})
            )
            for name, cell in filled.items():
                row[self._head.index(name)] = cell
            for _ in range(random_.choice((0, 0, 1, 1, 2, 5))):
                row[random_.randrange(len(row))] = random_.choice(self.CELLS)
        out = io.StringIO()
        csv.writer(out, delimiter=random_.choice(",,;\t")).writerows([self._head, *rows])
        head, _, rest = out.getvalue().partition("\n")
        data = rest.encode("utf-8", "replace")
        if random_.random() < 0.4:
            data = mutated(data, random_, self.WORDS)
        head_data = head.encode() + b"\n"
        return (mutated(head_data, random_, self.WORDS) if random_.random() < 0.1 else head_data) + data

    def __call__(self, random_: random.Random, folder: Path) -> str:
        data = self._made(random_)
        stamp = Stamp(datetime(2025, 11, 20, 12, tzinfo=UTC), "Mattis")
        try:
            preview = read_table(self._book, self._checklists, stamp, data, "table.csv")
            assert preview.text()
            if preview.good:
                after(self._book, preview.edit(self._book), stamp)
        except (HandoverError, DomainError) as error:
            return _sentence(error)
        assert not list(folder.iterdir())
        return ""


class Overlays:
    """An owner's files over ours: of one or two of our own files, changed."""

    WORDS = (
        b'"', b"[[", b"]", b"= 1e400", b"= true", b"= []", b"= {}", b'= ""', b"= -1", b"\n", b"id = \"x\"\n",
        b"[prompts]\n", b"2025-01-01", b"\\u0000", b"= nan", b"'''", b"replaces = true\n",
    )  # fmt: skip

    def __init__(self, checklists: Checklists) -> None:
        assert checklists
        self._root = shipped("checklists")
        self._files = sorted(self._root.rglob("*.toml"))
        self._book = open_book(DEMO, lambda: NOW, "", write=False).book

    def __call__(self, random_: random.Random, folder: Path) -> str:
        for path in random_.sample(self._files, random_.randint(1, 2)):
            own = folder / path.relative_to(self._root)
            own.parent.mkdir(parents=True, exist_ok=True)
            text = path.read_bytes()
            own.write_bytes(
                self._lines(text, random_) if random_.random() < 0.6 else mutated(text, random_, self.WORDS)
            )
        try:
            checklists = load_checklists(folder)
        except StoreError as error:
            return _sentence(error)
        assert count_words(Judged(self._book, checklists, NOW).worklist)
        return ""

    def _lines(self, text: bytes, random_: random.Random) -> bytes:
        """Whole lines taken out, doubled or given another value: what is left is often still TOML."""
        lines = text.splitlines(keepends=True)
        for _ in range(random_.choice((1, 1, 1, 2, 4))):
            at = random_.randrange(len(lines))
            name, is_, _value = lines[at].partition(b" = ")
            like = [line for line in lines if line.startswith(name + b" = ")] if is_ else []
            match random_.randrange(6):
                case 3 | 4 | 5 if like:
                    lines[at] = random_.choice(like)
                case 0:
                    del lines[at]
                case 1:
                    lines.insert(at, random_.choice(lines))
                case _ if b" = " in lines[at]:
                    lines[at] = lines[at].partition(b" = ")[0] + b" " + random_.choice(self.WORDS) + b"\n"
        return b"".join(lines)


class Pictures:
    """Pictures of each kind that is read, changed; some under another kind's name."""

    WORDS = (b"%!PS", b"GIF89a", b"\xff\xd8\xff\xe1", b"Exif\x00\x00", b"IHDR", b"\xff" * 4, b"\x00" * 8, b"II*\x00")

    def __init__(self, _: Checklists) -> None:
        self._whole: list[tuple[str, bytes]] = []
        image = Image.effect_noise((160, 120), 60).convert("RGB")
        exif = Image.Exif()
        exif[0x0132] = "2025:11:20 12:00:00"
        for kind in ("JPEG", "PNG", "WEBP", "TIFF", "GIF", "MPO", "BMP"):
            out = io.BytesIO()
            image.save(out, kind, **({"exif": exif} if kind in ("JPEG", "PNG", "WEBP") else {}))
            self._whole.append((kind.lower(), out.getvalue()))

    def __call__(self, random_: random.Random, folder: Path) -> str:
        kind, whole = random_.choice(self._whole)
        shown = folder / "shown"
        path = folder / f"photo.{random_.choice((kind, 'jpg'))}"
        path.write_bytes(mutated(whole, random_, self.WORDS))
        for look in (shrunk, camera_of, lambda one: fit_to_show(one, digest_of_file(one), shown)):
            try:
                look(path)
            except BadPicture as error:
                if fault := _sentence(error):
                    return fault
        strange = {one.name for one in folder.iterdir()} - {path.name, "shown"}
        return f"written beside it: {strange}" if strange else ""


class Keys:
    """Keys at random, beginning on each screen that has a name. The only faults that count are the program's own."""

    def __init__(self, checklists: Checklists) -> None:
        self._checklists = checklists
        self._screens: list[tuple[ScreenName, dict[str, Argument]]] = [
            *((name, {}) for _, _, name in PALETTE),
            *((name, about) for name, about in FORMS if name != "done"),
            ("cause", {"chalk": 23}), ("photos", {"chalk": 5}), ("walk", {"compartment": "c8-demo"}),
        ]  # fmt: skip

    def __call__(self, random_: random.Random, folder: Path) -> str:
        book = folder / DEMO.name
        shutil.copyfile(DEMO, book)
        asyncio.run(self._press(random_, book))
        opened = open_book(book, lambda: NOW, "", write=False)
        return "the book had to be restored" if opened.restored else ""

    async def _press(self, random_: random.Random, book: Path) -> None:
        app = InspectApp(self._checklists, lambda: NOW, "fuzz", book_file=open_book(book, lambda: NOW, "fuzz"))
        app.photos_from = book.parent
        size = random_.choice(((80, 24), (140, 45), (60, 15)))
        async with app.run_test(size=size) as pilot:
            await pilot.pause()
            if random_.random() < 0.8:
                name, about = random_.choice(self._screens)
                app.go(name, **about)
                await pilot.pause()
            keys = [random_.choice(KEYS) for _ in range(KEYS_A_CASE)]
            for at in range(0, len(keys), 6):
                await pilot.press(*(key for key in keys[at : at + 6] if key not in NEVER))


def books(checklists: Checklists) -> Case:
    return lambda random_, folder: try_book_of(random_, folder, checklists)


KINDS: Mapping[str, Callable[[Checklists], Case]] = {
    "books": books,
    "tables": Tables,
    "overlays": Overlays,
    "pictures": Pictures,
    "keys": Keys,
}


def run(kind: str, count: int, seed: int, told: Callable[[str], object] = print) -> int:
    """How many of `count` cases were a fault."""
    case = KINDS[kind](load_checklists(None))
    failed = 0
    with tempfile.TemporaryDirectory(prefix="fuzz-") as around:
        outside = Path(around) / "outside"
        outside.mkdir()
        (outside / "owners.txt").write_text("not to be touched")
        before = _marks(outside)
        for number in range(count):
            folder = Path(around) / "case"
            folder.mkdir()
            fault = _one(case, random.Random(f"{seed}/{kind}/{number}"), folder)
            strange = {path.name for path in Path(around).iterdir()} - {"outside", "case"}
            if _marks(outside) != before or strange:
                fault += f"written outside: {strange or 'owners.txt'}"
            if fault:
                failed += 1
                told(f"{kind}, seed {seed}, case {number}:\n{fault}")
            shutil.rmtree(folder)
    return failed


def _one(case: Case, random_: random.Random, folder: Path) -> str:
    began = time.monotonic()
    try:
        fault = case(random_, folder)
    except Exception:
        fault = traceback.format_exc()
    took = time.monotonic() - began
    return fault or (f"it took {took:.0f} s" if took > SLOWEST_S else "")


def _marks(folder: Path) -> list[tuple[str, float, int]]:
    return sorted((path.name, path.stat().st_mtime, path.stat().st_size) for path in folder.iterdir())


def memory_mb() -> float:
    """The most that this process ever held."""
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most / (1 << 20 if sys.platform == "darwin" else 1 << 10)


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("kind", choices=list(KINDS))
    parser.add_argument("--count", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    failures, most = run(asked.kind, asked.count, asked.seed), memory_mb()
    print(f"{asked.kind}: {failures} faults in {asked.count} cases, at most {most:.0f} MB")
    sys.exit(failures > 0 or most > MOST_MEMORY_MB)
