"""Time and memory of writing the whole pack: `python -m tests.benchmarks.pack [FINDINGS PHOTOS
[READINGS]]`, with readings for each finding also the pages of each reader.

In a process of its own, so that the memory told is that of the papers and of their typesetter. Photos are of 12
megapixels, as a phone takes them, and no two are the same: of equal ones a PDF holds only one.
"""

from __future__ import annotations

import contextlib
import json
import pickle
import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from inspect_tui.clock import now
from inspect_tui.digests import digest_of_file
from inspect_tui.domain import walk
from inspect_tui.domain.book import Book, Edit, Put, Stamp, after
from inspect_tui.domain.records import Finding, Photo
from inspect_tui.domain.words import Likelihood, Severity
from inspect_tui.handover.papers import write_papers
from inspect_tui.handover.report import Contents, Reader
from inspect_tui.handover.writers.pdf import pages
from inspect_tui.judgement.judged import Judged
from inspect_tui.store.checklist_files import load_checklists

STAMP = Stamp(now(), "x")


def phone_pictures(folder: Path, count: int) -> None:
    """Of 4000 × 3000 pixels with grain: about two megabytes each."""
    from PIL import Image, ImageChops, ImageFilter

    grain = Image.frombytes("L", (1000, 750), random.Random(1).randbytes(750_000))
    image = grain.filter(ImageFilter.GaussianBlur(1)).resize((4000, 3000))
    image = Image.merge("RGB", (image, image, image))
    for number in range(count):
        ImageChops.offset(image, 10 * number).save(folder / f"{number}.jpg", "JPEG", quality=88)


def big_book(folder: Path, findings: int, photos: int, each: int = 1) -> Book:
    """A book with so many findings, each with so many readings, and so many photos shared out among them."""
    from tests.conftest import finding_edit, new_book_edit, reading_edit  # what it brings is none of the papers'

    checklists = load_checklists()
    begun = new_book_edit(checklists, STAMP)
    book, _ = after(Book.empty(), begun, STAMP)
    places = book.bow_to_stern()
    puts: list[Put] = []
    for number in range(findings):
        place = places[number % len(places)]
        prompts = walk.prompts_of(checklists, book, place)
        edit = finding_edit(
            book, STAMP, place, kind="pitting", words=f"pits in a row, number {number}", severity=Severity.MARGINAL,
            likelihood=Likelihood.C, prompt=prompts[number % len(prompts)], chalk=number + 1,
        )  # fmt: skip
        puts += edit.puts
    book, _ = after(book, Edit("findings", tuple({(put.table, put.key): put for put in puts}.values())), STAMP)
    puts = []
    folder.mkdir(exist_ok=True)
    if photos:
        _by_itself("--pictures", str(folder), str(photos))
    of: dict[int, list[str]] = {}
    for number in range(photos):
        digest = digest_of_file(folder / f"{number}.jpg")
        photo = Photo(id=f"i{number + 1}", file=f"{number}.jpg", sha256=digest, when=STAMP.when, by="x")
        puts.append(Put("photos", photo.id, photo))
        of.setdefault(number % findings + 1, []).append(photo.id)
    for chalk, ids in of.items():
        finding: Finding = book.findings[str(chalk)]
        puts.append(Put("findings", str(chalk), finding.model_copy(update={"photos": tuple(ids)})))
    for number in range(findings * each):
        finding = book.findings[str(number % findings + 1)]
        place = book.compartments[finding.compartment]
        reading = reading_edit(
            book, STAMP, place, "pits", [1.0 + number % 7 / 10, 0.6], patch_length_mm=300.0, patch_width_mm=300.0
        )
        record = reading.puts[0].record
        assert record is not None
        puts.append(
            Put(
                "readings",
                f"r{number + 1}",
                record.model_copy(update={"id": f"r{number + 1}", "finding": finding.chalk}),
            )
        )
    return after(book, Edit("photos and readings", tuple(puts)), STAMP)[0]


def _by_itself(*asked: str) -> str:
    """What this program says in a process of its own: its memory is not that of another."""
    run = [sys.executable, "-m", "tests.benchmarks.pack", *asked]
    return subprocess.run(run, stdout=subprocess.PIPE, check=True, text=True).stdout


def measured(findings: int, photos: int) -> tuple[float, float]:
    """Seconds and megabytes, in a fresh process."""
    told = json.loads(_by_itself(str(findings), str(photos)))
    return told["seconds"], told["megabytes"]


def held() -> float:
    """Megabytes that this process and those it began hold now, what they share counted once."""
    begun: list[str] = []
    for path in Path("/proc/self/task").glob("*/children"):
        # A thread may have ended meanwhile.
        with contextlib.suppress(OSError):
            begun += path.read_text().split()
    kibibytes = 0
    for one in ("self", *begun):
        # It may have ended meanwhile.
        with contextlib.suppress(OSError):
            told = Path(f"/proc/{one}/smaps_rollup").read_text()
            kibibytes += sum(int(line.split()[1]) for line in told.splitlines() if line.startswith("Pss:"))
    return kibibytes * 1024 / 1e6


def most_held(during: Callable[[], object]) -> float:
    """The most that was held meanwhile, looked at a hundred times a second. Linux only."""
    seen = [held()]
    with ThreadPoolExecutor(1) as pool:
        work = pool.submit(during)
        while not work.done():
            seen.append(held())
            time.sleep(0.01)
        work.result()
    return max(seen)


def write(folder: Path) -> dict[str, float]:
    """Write the papers of the book that lies there; nothing but them is in this process."""
    made = pickle.loads((folder / "book").read_bytes())
    begin = time.perf_counter()
    most = most_held(
        lambda: write_papers(Judged(made, load_checklists()), folder / "papers", photos=folder / "photos")
    )
    took = time.perf_counter() - begin
    size = sum(path.stat().st_size for path in (folder / "papers").iterdir()) / 1e6
    return {"seconds": took, "megabytes": most, "written MB": size}


if __name__ == "__main__":
    match sys.argv[1:]:
        case ["--pictures", into, count]:
            phone_pictures(Path(into), int(count))
        case ["--write", where]:
            print(json.dumps(write(Path(where))))
        case asked:
            wanted = [int(word) for word in asked[:3]] or [300, 400]
            with tempfile.TemporaryDirectory() as name:
                made = big_book(Path(name) / "photos", *wanted)
                (Path(name) / "book").write_bytes(pickle.dumps(made))
                told = json.loads(_by_itself("--write", name))
            if len(wanted) > 2:
                judged = Judged(made, load_checklists())
                told |= {f"pages, {one.name.lower()}": pages(judged, Contents.for_readers(one)) for one in Reader}
            print(json.dumps(told))
