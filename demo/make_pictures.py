"""Make the pictures of the README from the running app: `python demo/make_pictures.py`. Pages of the papers need
pdftoppm."""

from __future__ import annotations

import asyncio
import shutil
import subprocess
import tempfile
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pypdf
import resvg_py

from inspect_tui.handover.papers import write_papers
from inspect_tui.handover.report import Contents, Reader
from inspect_tui.judgement.judged import Judged
from inspect_tui.store.book_file import open_book
from inspect_tui.store.checklist_files import load_checklists
from inspect_tui.store.photo_files import photo_folder
from inspect_tui.terminal.app import InspectApp

HERE = Path(__file__).parent
PICTURES = HERE / "pictures"
NEXT_DAY = datetime(2025, 11, 17, 8, 30, tzinfo=timezone(timedelta(hours=1)))
SIZE = (120, 34)
SCENES: dict[str, tuple[str, ...]] = {
    "boat": (),
    "walk": ("enter",),
    "finding": ("number_sign", *["down"] * 28, "enter"),
    "measure": ("number_sign", *["down"] * 22, "enter", "f4", *"3.1 2,4 0.8"),
    "metal": ("k",),
    "metal-working": ("k", "y"),
    "metal-plot": ("k", "v", *["down"] * 10),
    "plate": ("k", "enter"),
    "cause": ("number_sign", "6", "enter", "f9", "c"),
    "protection": ("c", "home", "down", "enter"),
    "worklist": ("w", *["down"] * 6),
    "why": ("w", *["down"] * 6, "y"),
    "plan": ("equals_sign",),
    "map": ("comma",),
    "papers": ("p",),
    "photos": ("number_sign", *["down"] * 28, "enter", "f6"),
    "sunlight": ("asterisk",),
}


async def picture(name: str, keys: tuple[str, ...], folder: Path) -> None:
    copy = folder / "sandmartin.hullbook"
    shutil.copy(HERE / "sandmartin.hullbook", copy)
    shutil.copytree(HERE / "sandmartin-photos", folder / "sandmartin-photos")
    app = InspectApp(
        load_checklists(), lambda: NEXT_DAY, "Mattis", book_file=open_book(copy, lambda: NEXT_DAY, "Mattis")
    )
    async with app.run_test(size=SIZE) as pilot:
        for key in keys:
            await pilot.press("space" if key == " " else key)
        await pilot.pause()
        await app.workers.wait_for_complete()
        await pilot.pause()
        svg = app.export_screenshot(title="inspect-tui").replace("Fira Code", "DejaVu Sans Mono")
    PICTURES.mkdir(exist_ok=True)
    png = resvg_py.svg_to_bytes(svg_string=svg.replace(str(folder), "/boats"), width=1100)
    (PICTURES / f"{name}.png").write_bytes(bytes(png))


# Whose papers, words that stand on the page that is wanted, and the name of its picture.
PAGES = (
    (Reader.BUYER, "things that decide", "paper-front"),
    (Reader.BUYER, "The shell laid flat", "paper-shell"),
    (Reader.SURVEYOR, "ring of pits where the pump stood", "paper-finding"),
    (Reader.SURVEYOR, "Thickness by plate field and bay", "paper-thickness"),
    (Reader.SURVEYOR, "Places where metal is eaten", "paper-causes"),
    (Reader.WELDER, "Let in a plate", "paper-job"),
)


def pages(folder: Path) -> None:
    """Pages of the papers as pictures."""
    book = open_book(HERE / "sandmartin.hullbook", lambda: NEXT_DAY, "", write=False)
    judged = Judged(book.book, load_checklists())
    for reader in dict.fromkeys(reader for reader, _, _ in PAGES):
        contents = Contents.for_readers(reader)
        made = write_papers(judged, folder, ("pdf",), contents, photos=photo_folder(book.path)).files[0]
        words = ["".join(page.extract_text().split()) for page in pypdf.PdfReader(made).pages]
        for whose, wanted, name in PAGES:
            if whose is reader:
                number = next(number for number, told in enumerate(words, 1) if "".join(wanted.split()) in told)
                out = PICTURES / name
                page = ("-f", str(number), "-singlefile", "-png", str(made), str(out))
                subprocess.run(["pdftoppm", "-r", "90", *page], check=True)
                print(f"{out}.png")


def main() -> None:
    if shutil.which("pdftoppm"):
        with tempfile.TemporaryDirectory() as folder:
            pages(Path(folder))
    else:
        print("pdftoppm is not there: the pages of the papers stay as they are.")
    for name, keys in SCENES.items():
        with tempfile.TemporaryDirectory() as folder:
            asyncio.run(picture(name, keys, Path(folder)))
        print(PICTURES / f"{name}.png")


if __name__ == "__main__":
    main()
