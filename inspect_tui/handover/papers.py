"""Writing the papers into a folder: each file whole or not at all."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Literal, get_args

from inspect_tui.domain.book import Book
from inspect_tui.domain.checklists import Checklists
from inspect_tui.handover.html import write_html
from inspect_tui.handover.report import make_report
from inspect_tui.handover.text import write_text

Format = Literal["html", "text"]
FORMATS: tuple[Format, ...] = get_args(Format)
_ENDINGS: dict[Format, str] = {"html": ".html", "text": ".txt"}


def file_stem(name: str) -> str:
    """A boat's name as a file name that every system takes.

    >>> file_stem("Tern / [aft]"), file_stem("../..")
    ('Tern-aft', 'boat')
    """
    return re.sub(r"[^\w]+", "-", name).strip("-_")[:60].rstrip("-_") or "boat"


def write_papers(
    book: Book, checklists: Checklists, folder: Path, formats: tuple[Format, ...] = FORMATS
) -> list[Path]:
    """Write the summary in each format; give back the files, in the order asked for.

    Raises
    ------
    OSError : the folder cannot be made or written.
    """
    report = make_report(book, checklists)
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for one in formats:
        text = write_html(report) if one == "html" else write_text(report)
        path = folder / f"{file_stem(book.boat.name)}-summary{_ENDINGS[one]}"
        draft = path.with_name(path.name + ".part")
        draft.write_bytes(text.encode())
        draft.replace(path)
        written.append(path)
    return written
