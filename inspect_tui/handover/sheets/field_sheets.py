"""Field sheets: what is still to be asked of each compartment, to be filled in by hand, and the table for it."""

from __future__ import annotations

import contextlib
import shutil
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from inspect_tui.digests import read_regular
from inspect_tui.domain import walk
from inspect_tui.domain.book import Book
from inspect_tui.domain.edits.sheets import kept_for
from inspect_tui.domain.knowledge.areas import Prompt
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.plain import counted
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.words import Need, UnseenReason
from inspect_tui.errors import NotAllowed, Stopped
from inspect_tui.files import is_there, make_folders
from inspect_tui.handover.figures.grid import chalk_grid
from inspect_tui.handover.model import Block, Column, Facts, Figure, Line, Part, Report, Sheet, Table, Words
from inspect_tui.handover.moving import made_beside, move_in
from inspect_tui.handover.papers import TYPST, file_stem
from inspect_tui.handover.parts.cover import about, datum_words
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.handover.report import proof_of
from inspect_tui.handover.sheets.phone_form import phone_form
from inspect_tui.handover.writers.tables import csv_text
from inspect_tui.judgement.judged import Judged

# Headings of the table, and what each takes; the same words stand on the printed sheet.
COLUMNS: dict[str, str] = {
    "place": "compartment, by its name in the book",
    "seen": "share of its metal that was seen, in %; why_unseen says what hid the rest",
    "question": "id of the question; may be empty for a reading",
    "ask": "the question in words; not read back",
    "said": "sound, finding, unseen or not fitted; or s, f, u, n",
    "why_unseen": ", ".join(reason.value for reason in UnseenReason),
    "chalk": "number on the metal: one kept for this sheet, or that of a finding in the book",
    "kind": "what it is, for a new number: pitting, crack, leak ...",
    "severity": "I to IV, or its word, for a new number; empty: as the question has it",
    "words": "in your own words",
    "measured": "pits, thickness, potential, resistance, length ...",
    "values": "numbers with spaces between, such as 1.2 0.8 2.4",
    "plate": "plate field, by its name in the book",
    "square": "number of the square, as it was drawn",
    "patch_mm": "size of the marked square, such as 300x300",
    "frame": "nearest frame",
    "offset_mm": "mm aft of it",
    "side": "P, C or S",
    "girth_mm": "mm from the centreline along the plate",
    "face": "inside or outside",
    "instrument": "what it was measured with",
    "error": "its error, in the unit of the values",
    "bright": "yes if on bright metal, no if not",
    "taken": "day and time, such as 2025-11-16 14:30; empty: now",
    "by": "who; empty: the one who reads it in",
    "note": "anything else",
}
_BOXES = ("□", "□", "□", "□")
HAND_COLUMNS = (
    "chalk", "measured", "values", "plate", "square", "patch_mm", "frame", "offset_mm", "side", "girth_mm", "face",
    "bright",
)  # fmt: skip
HAND_ROWS = 12


def places_to_do(book: Book, checklists: Checklists, names: Iterable[str] = ()) -> list[Compartment]:
    """The compartments so named; without names all in which a question is open, from bow to stern.

    Raises
    ------
    NotAllowed : no compartment has that name, or nothing is open.
    """
    places = book.bow_to_stern()
    wanted = list(names)
    for name in wanted:
        if not any(place.name.casefold() == name.strip().casefold() for place in places):
            raise NotAllowed(
                f"No compartment is called {name}. There are: {', '.join(place.name for place in places)}."
            )
    if wanted:
        called = {name.strip().casefold() for name in wanted}
        return [place for place in places if place.name.casefold() in called]
    open_ = [place for place in places if not walk.progress(book, checklists, place).complete]
    if not open_:
        raise NotAllowed("Every question is answered: name the compartment a sheet is wanted for.")
    return open_


def open_prompts(book: Book, checklists: Checklists, place: Compartment) -> list[Prompt]:
    """What was not answered in this round yet; a question about the share seen is for the screen."""
    return [
        prompt
        for prompt in walk.prompts_of(checklists, book, place)
        if not (prompt.share or prompt.glance) and walk.is_open(book, place, prompt)
    ]


def field_report(book: Book, checklists: Checklists, places: Sequence[Compartment]) -> Report:
    """One sheet a compartment: cautions, open questions with boxes, a chalk grid, and room for readings."""
    head = Words(
        f"Positions: {datum_words(book)}. S sound, F finding, U unseen (write why), N not fitted. Chalk only the "
        "numbers printed on the sheet. Type what you wrote into the table beside this file, then "
        "read that table into the book."
    )
    sheets = tuple(_sheet(book, checklists, place) for place in places)
    proof = proof_of(Judged(book, checklists))
    parts = (Part("sheets", "Field sheets", (head, *sheets)),)
    return Report(
        book.boat.name, "field sheets", parts, proof, about(book), frames=Subject(Judged(book, checklists)).frames
    )


def _sheet(book: Book, checklists: Checklists, place: Compartment) -> Sheet:
    prompts = open_prompts(book, checklists, place)
    numbers = ", ".join(map(str, kept_for(book, place.id))) or "none"
    known = [finding for finding in book.findings.values() if finding.compartment == place.id]
    blocks: list[Block] = [
        Facts(
            (
                Line("Lies", walk.frames_words(place) or "frames not written down"),
                Line("Chalk numbers kept", numbers),
                Line(
                    "Known findings",
                    "; ".join(f"{one.chalk} {one.kind}, {walk.position_words(one.position)}" for one in known)
                    or "none",
                ),
                Line("Metal seen", "______ %   what hid the rest: ______________________"),
                Line("Filled in by, day", "______________________"),
            )
        )
    ]
    wanted = dict.fromkeys(id for prompt in prompts for id in prompt.cautions)
    told = [checklists.cautions[id] for id in wanted if id in checklists.cautions]
    if told:
        blocks.append(Words(" ".join(f"{one.title}: {one.say}" for one in told), "caution"))
    if prompts:
        blocks.append(
            Table(
                f"{counted(len(prompts), 'question')} not answered yet",
                (
                    Column("Question, and its id", wide=True),
                    Column("S", narrow=True),
                    Column("F", narrow=True),
                    Column("U", narrow=True),
                    Column("N", narrow=True),
                    Column("No., I–IV", narrow=True),
                    Column("Why unseen, words", wide=True),
                ),
                tuple((f"{_ask(book, prompt)} [{prompt.key}]", *_BOXES, "", "") for prompt in prompts),
            )
        )
    blocks.append(
        Table(
            "Readings: one line each, numbers with spaces between",
            tuple(Column(name, wide=name in ("values", "measured")) for name in HAND_COLUMNS),
            tuple(("\u00a0",) + ("",) * (len(HAND_COLUMNS) - 1) for _ in range(HAND_ROWS)),
            of_hands=True,
        )
    )
    blocks.append(
        Figure(f"grid-{place.id}", chalk_grid(), "Chalk grid: draw the pits, write depths beside them.", "empty")
    )
    return Sheet(f"sheet-{place.id}", place.name, tuple(blocks), own_page=True)


def _ask(book: Book, prompt: Prompt) -> str:
    barred = " (only with her out of the water)" if Need.HAULED_OUT in prompt.needs and book.boat.afloat else ""
    take = f" Take: {', '.join(prompt.measure)}." if prompt.measure else ""
    return f"{prompt.ask}{barred}{take}"


def field_table(book: Book, checklists: Checklists, places: Sequence[Compartment]) -> str:
    """The same as a table: a line for each open question, and one for each chalk number kept."""
    rows: list[dict[str, object]] = []
    for place in places:
        if any(prompt.share for prompt in walk.prompts_of(checklists, book, place)):
            rows.append({"place": place.name})
        rows += [
            {"place": place.name, "question": prompt.key, "ask": prompt.ask}
            for prompt in open_prompts(book, checklists, place)
        ]
        rows += [{"place": place.name, "chalk": chalk} for chalk in kept_for(book, place.id)]
    return csv_text(tuple(COLUMNS), rows)


def _free_name(folder: Path, stem: str, data: bytes) -> str:
    """A name for the table: one that lies there already may have been filled in, and is never written over."""
    number = 1
    while True:
        name = f"{stem}{'' if number == 1 else f'-{number}'}.csv"
        if not is_there(folder / name) or _holds(folder / name, data):
            return name
        number += 1


def _holds(path: Path, data: bytes) -> bool:
    with contextlib.suppress(OSError):
        return read_regular(path) == data
    return False


def write_sheets(
    book: Book,
    checklists: Checklists,
    places: Sequence[Compartment],
    folder: Path,
    *,
    stop: Callable[[], bool] = lambda: False,
) -> list[Path]:
    """Write the sheets (PDF), the table (CSV), what its columns take (text), and the same as a form for a telephone
    (HTML): all of them, or none.

    Raises
    ------
    OSError : the folder cannot be made or written.
    Stopped : `stop` said so; what lay in the folder before is untouched.
    """
    from inspect_tui.handover.writers.pdf import write_pdf

    make_folders(folder)
    stem = file_stem(book.boat.name)
    table = field_table(book, checklists, places).encode()
    columns = "".join(f"{name:<12}{takes}\n" for name, takes in COLUMNS.items())
    kinds = ", ".join(sorted(kind.id for kind in checklists.kinds.values()))
    made = {
        _free_name(folder, f"{stem}-field-table", table): table,
        f"{stem}-field-columns.txt": f"{columns}\nkinds: {kinds}\n".encode(),
    }
    form = f"{stem}-field-form.html"
    made[form] = phone_form(
        book, checklists, [(place, open_prompts(book, checklists, place)) for place in places], tuple(COLUMNS)
    ).encode()
    sheets = f"{stem}-field-sheets.pdf"
    with made_beside(folder) as work:
        write_pdf(field_report(book, checklists, places), {}, work / TYPST, work / sheets)
        shutil.rmtree(work / TYPST, ignore_errors=True)
        for name, data in made.items():
            (work / name).write_bytes(data)
        if stop():
            raise Stopped
        move_in(work)
    return [folder / name for name in (sheets, *made)]
