"""The whole pack: which files, written all or none, with progress, and stopped on demand."""

from __future__ import annotations

import json
import os
import re
import shutil
from collections.abc import Callable, Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, get_args

from inspect_tui.digests import digest_of_file, read_regular
from inspect_tui.domain.book import Book, Put, Stamp
from inspect_tui.domain.chain import digest_of
from inspect_tui.domain.owner.money import Money
from inspect_tui.domain.trail import PapersMade
from inspect_tui.errors import BadPicture, Stopped
from inspect_tui.files import make_folders
from inspect_tui.handover.making import made_with
from inspect_tui.handover.model import Proof, Report
from inspect_tui.handover.moving import made_beside, move_in
from inspect_tui.handover.parts.cover import said_last
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.handover.report import EVERYTHING, Contents, book_at, make_report, proof_of
from inspect_tui.handover.writers import export, lists, tables
from inspect_tui.handover.writers.html import html_pieces
from inspect_tui.handover.writers.pictures import Laid, shrunk
from inspect_tui.handover.writers.text import write_text
from inspect_tui.judgement.judged import Judged

Format = Literal["pdf", "html", "text", "csv", "json"]
FORMATS: tuple[Format, ...] = get_args(Format)
# What one reader alone is given: the tables go to the surveyor, the whole book to none of them.
FOR_ONE: tuple[Format, ...] = ("pdf", "html", "text")
FOR_SURVEYOR: tuple[Format, ...] = (*FOR_ONE, "csv")
PROOF_ENDING = "-proof.json"
TYPST = "typst"
Progress = Callable[[float, str], None]


@dataclass(frozen=True)
class Pack:
    """What was written, in order, and what a reader will miss in it; `digests`: SHA-256 of each file by its name."""

    files: tuple[Path, ...]
    troubles: tuple[str, ...]
    proof: Proof
    name: str
    digests: Mapping[str, str]

    def made(self, stamp: Stamp) -> Put:
        """The record of it, for the book."""
        id = digest_of([stamp.when.isoformat(), self.name, dict(self.digests)])[:16]
        told = PapersMade(
            id=id,
            when=stamp.when,
            by=stamp.by,
            head=self.proof.head,
            digest=self.proof.digest,
            made_of=self.proof.made_of,
            name=self.name,
            files=dict(self.digests),
        )
        return Put("papers", id, told)


def file_stem(name: str) -> str:
    """A boat's name as a file name that every system takes.

    >>> file_stem("Tern / [aft]"), file_stem("../..")
    ('Tern-aft', 'boat')
    """
    return re.sub(r"[^\w]+", "-", name).strip("-_")[:60].rstrip("-_") or "boat"


def write_papers(
    judged: Judged,
    folder: Path,
    formats: Iterable[Format] = FORMATS,
    contents: Contents = EVERYTHING,
    *,
    photos: Path | None = None,
    money: Money | None = None,
    progress: Progress = lambda _share, _words: None,
    stop: Callable[[], bool] = lambda: False,
) -> Pack:
    """Write the papers into a folder. `photos`: the folder where the book's photos lie; `money`: the
    owner's own numbers, said only where `contents` says so.

    Everything is made in a folder of its own first; only when all of it is whole it takes the place of what an
    earlier run left.

    Raises
    ------
    OSError : the folder cannot be made or written.
    Stopped : `stop` said so; what lay in the folder before is untouched.
    pdf.CannotSet : the PDF could not be set.
    """
    wanted = [one for one in FORMATS if one in set(formats)]

    def step(share: float, words: str) -> None:
        if stop():
            raise Stopped
        progress(share, words)

    step(0.0, "judging the book")
    # The same book gives the same papers on any day, from any copy, and again once more was written in it: they are
    # made of it as it stood at its head, and what is due is held against that time.
    book = book_at(judged.book, judged.book.said_until) or judged.book
    judged = Judged(book, judged.checklists, said_last(book))
    make_folders(folder)
    stem = file_stem(book.boat.name)
    with made_beside(folder) as work:
        pictures: dict[str, Laid] = {}
        lost: dict[str, str] = {}
        if contents.photos and {"pdf", "html"} & set(wanted):
            pictures, lost = _shrink_all(book, photos, contents, work / TYPST / "photos", step)
        step(0.62, "putting the papers together")
        places = {id: picture.place for id, picture in pictures.items() if picture.place}
        report = make_report(judged, contents, lost_photos=lost, photo_places=places, money=money)
        subject = Subject(judged, contents.photos, lost_photos=lost)
        written: dict[Format, list[str]] = {}

        def write(one: Format) -> list[str]:
            return _write(one, report, subject, pictures, work, f"{stem}-{contents.name}", stem)

        # The PDF takes longest, and a process of its own: the rest is written meanwhile.
        with ThreadPoolExecutor(1) as beside:
            pdf = beside.submit(write, "pdf") if "pdf" in wanted else None
            for number, one in enumerate(sorted(wanted, key=lambda one: one == "pdf")):
                step(0.66 + 0.3 * number / len(wanted), f"writing {one}")
                written[one] = pdf.result() if pdf and one == "pdf" else write(one)
        names = [name for one in wanted for name in written[one]]
        step(0.98, "writing the proof")
        digests = {name: digest_of_file(work / name) for name in names}
        names.append(_write_proof(judged, contents, folder, work, stem, digests))
        step(1.0, "done")
        shutil.rmtree(work / TYPST, ignore_errors=True)
        move_in(work)
    return Pack(tuple(folder / name for name in names), tuple(lost.values()), report.proof, contents.name, digests)


def _shrink_all(
    book: Book, photos: Path | None, contents: Contents, into: Path, step: Progress
) -> tuple[dict[str, Laid], dict[str, str]]:
    """All photos that findings have, made smaller on all processors; and why some cannot be shown."""
    used = dict.fromkeys(id for finding in book.findings.values() for id in finding.photos)
    wanted = [book.photos[id] for id in used if id in book.photos]
    pictures: dict[str, Laid] = {}
    lost: dict[str, str] = {}
    into.mkdir(parents=True)

    def one(index: int) -> Laid | str:
        photo = wanted[index]
        name = Path(photo.file).name
        if photos is None:
            return f"The photo {name} was not looked for."
        try:
            return shrunk(photos / name, photo.sha256, located=contents.located).laid(into / f"{photo.id}.jpg")
        except BadPicture as error:
            return f"The photo {error}"

    pool = ThreadPoolExecutor(max_workers=os.cpu_count() or 1)
    try:
        for number, made in enumerate(pool.map(one, range(len(wanted)))):
            step(0.02 + 0.6 * number / max(len(wanted), 1), f"photo {number + 1} of {len(wanted)}")
            if isinstance(made, str):
                lost[wanted[number].id] = made
            else:
                pictures[wanted[number].id] = made
    finally:
        pool.shutdown(wait=True, cancel_futures=True)
    return pictures, lost


def _write(
    one: Format, report: Report, subject: Subject, pictures: Mapping[str, Laid], work: Path, paper: str, stem: str
) -> list[str]:
    """One format into the work folder; the names of its files."""
    match one:
        case "pdf":
            from inspect_tui.handover.writers.pdf import write_pdf

            write_pdf(report, pictures, work / TYPST, work / f"{paper}.pdf")
            return [f"{paper}.pdf"]
        case "html":
            with (work / f"{paper}.html").open("w", encoding="utf-8", newline="\n") as stream:
                stream.writelines(html_pieces(report, pictures))
            return [f"{paper}.html"]
        case "text":
            texts = {f"{paper}.txt": write_text(report)}
        case "csv":
            texts = {
                f"{stem}-findings.csv": tables.findings_table(subject),
                f"{stem}-readings.csv": tables.readings_table(subject),
                f"{stem}-plate-fields.csv": tables.plates_table(subject),
                f"{stem}-actions.csv": lists.as_csv(subject.listed),
                f"{stem}-unseen.csv": tables.unseen_table(subject),
            }
        case "json":
            texts = {
                f"{stem}-book.json": export.export(subject, report.proof),
                f"{stem}-book.schema.json": export.export_schema(),
            }
    for file, text in texts.items():
        (work / file).write_bytes(text.encode())
    return list(texts)


def _write_proof(
    judged: Judged, contents: Contents, folder: Path, work: Path, stem: str, digests: Mapping[str, str]
) -> str:
    """By what the papers can be told from others: digests of the book, of its photos, and of each file. Other papers
    of the same book as it stands, written here before, stay in it."""
    book, proof = judged.book, proof_of(judged)
    name = stem + PROOF_ENDING
    try:
        before = json.loads(read_regular(folder / name))
        same = (before["digest"], before["head"]) == (proof.digest, proof.head)
        files = {str(key): str(value) for key, value in before["files"].items()} if same else {}
        made = {str(key): value for key, value in before["contents"].items()} if same else {}
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        files, made = {}, {}
    said = {
        "parts": sorted(part.value for part in contents.parts),
        "photos": contents.photos,
        "located": contents.located,
        "name": contents.name,
        "reader": contents.reader,
        "money": contents.money,
    }
    made |= dict.fromkeys(digests, said)
    files |= digests
    told = {
        "format": "inspect-tui proof",
        "boat": book.boat.name,
        "digest": proof.digest,
        "head": proof.head,
        "lines": proof.lines,
        "as_of": proof.as_of,
        "program": proof.program,
        "made_with": dict(made_with(judged.checklists)),
        "contents": dict(sorted(made.items())),
        "files": dict(sorted(files.items())),
        "photos": {photo.file: photo.sha256 for _, photo in sorted(book.photos.items())},
    }
    (work / name).write_text(json.dumps(told, ensure_ascii=False, indent=1) + "\n", encoding="utf-8", newline="\n")
    return name
