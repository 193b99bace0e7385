"""Reading a filled-in field table back: every line shown, every bad line explained, and all good ones one change."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pydantic import ValidationError

from inspect_tui.domain import edits, walk
from inspect_tui.domain.book import Book, Edit, Stamp, tried
from inspect_tui.domain.edits.sheets import kept_for, together
from inspect_tui.domain.knowledge.areas import Prompt, ReadingKind
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.named import Kinds
from inspect_tui.domain.measuring.measured import READ_ASHORE
from inspect_tui.domain.measuring.place_line import position_of
from inspect_tui.domain.measuring.readings import KINDS, TypedLine, typed_line
from inspect_tui.domain.plain import counted, one_line, shortened
from inspect_tui.domain.quantities import QUANTITIES, instrument_error
from inspect_tui.domain.records import Compartment, Finding, Position
from inspect_tui.domain.words import Likelihood, Need, Said, Severity
from inspect_tui.errors import BadTable, DomainError, NotUnderstood, Stopped
from inspect_tui.handover.sheets.field_cells import (
    chalk_of,
    kind_of,
    nearest,
    place_of,
    plate_of,
    prompt_of,
    said_of,
    severity_of,
    stamp_of,
)
from inspect_tui.handover.sheets.field_cells import (
    position_of as position_of_cells,
)
from inspect_tui.handover.sheets.field_sheets import COLUMNS
from inspect_tui.handover.sheets.plain_table import is_plain, row_of

MOST_BYTES = 5_000_000
_FORMULA_GUARD = re.compile(r"^'(?=[=+\-@])")
PREFILLED = frozenset({"place", "question", "ask", "chalk"})


@dataclass(frozen=True)
class Good:
    line: int
    words: str


@dataclass(frozen=True)
class Bad:
    line: int
    why: str


@dataclass(frozen=True)
class Preview:
    """What would be written, what cannot be understood, and how many lines were left empty."""

    name: str
    good: tuple[Good, ...]
    bad: tuple[Bad, ...]
    empty: int
    steps: tuple[Callable[[Book], Edit], ...]

    def edit(self, book: Book) -> Edit:
        return together(book, f"Read in {counted(len(self.good), 'line')} of {self.name}", self.steps)

    def text(self) -> str:
        lines = [f"{self.name}: {counted(len(self.good), 'line')} to write, {len(self.bad)} not understood, "
                 f"{self.empty} left empty."]  # fmt: skip
        lines += [f"  line {one.line}: {one_line(one.words)}" for one in self.good]
        lines += [f"NOT UNDERSTOOD  line {one.line}: {one_line(one.why)}" for one in self.bad]
        return "\n".join(lines) + "\n"


def read_table(
    book: Book,
    checklists: Checklists,
    stamp: Stamp,
    data: bytes,
    name: str,
    *,
    stop: Callable[[], bool] = lambda: False,
) -> Preview:
    """Read a table against the book as it stands. Changes nothing.

    Raises
    ------
    BadTable : it is not text, too large, or has not the columns it needs.
    Stopped : `stop` said so.
    """
    before = book
    good: list[Good] = []
    bad: list[Bad] = []
    steps: list[Callable[[Book], Edit]] = []
    empty = 0
    for number, told in _rows(data):
        if stop():
            raise Stopped
        try:
            row = told if isinstance(told, dict) else row_of(book, checklists, told)
        except NotUnderstood as error:
            bad.append(Bad(number, str(error)))
            continue
        if not any(value for column, value in row.items() if column not in PREFILLED):
            empty += 1
            continue
        try:
            words, more = _understood(book, before, checklists, stamp, row)
            for step in more:
                book = tried(book, step(book))
        except (DomainError, NotUnderstood) as error:
            bad.append(Bad(number, str(error)))
        except ValidationError as error:
            bad.append(Bad(number, f"{error.errors()[0]['msg']}."))
        else:
            good.append(Good(number, words))
            steps += more
    return Preview(name, tuple(good), tuple(bad), empty, tuple(steps))


def _rows(data: bytes) -> Sequence[tuple[int, dict[str, str] | list[str]]]:
    """Lines with their number in the file, by column; of a plain list of places and values their two cells. A comma
    or a semicolon stands between cells."""
    if len(data) > MOST_BYTES:
        raise BadTable(f"The table is larger than {MOST_BYTES // 1_000_000} MB: that is no field sheet.")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        try:
            text = data.decode("cp1252")
        except UnicodeDecodeError:
            raise BadTable("The table is not text: save it as CSV, UTF-8.") from None
    if "\0" in text:
        raise BadTable("The table is not text: save it as CSV, UTF-8.")
    first = text.split("\n", 1)[0]
    mark = ";" if first.count(";") > first.count(",") else "\t" if first.count("\t") > first.count(",") else ","
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark)
    told: list[tuple[int, dict[str, str]]] = []
    try:
        begin = next(reader, [])
        if is_plain(begin):
            lines = [(1, begin)] if position_of(begin[0]).frame is not None else []
            lines += [(reader.line_num, cells) for cells in reader if any(cell.strip() for cell in cells)]
            return lines
        heads = [head.strip().lower() for head in begin]
        if "place" not in heads:
            raise BadTable(
                "The first line must name the columns, 'place' among them: take the table written with the sheets."
            )
        if twice := {head for head in heads if head and heads.count(head) > 1}:
            raise BadTable(f"The column {one_line(', '.join(sorted(twice)))} is there twice.")
        if strange := [head for head in heads if head and head not in COLUMNS]:
            named = shortened(one_line(", ".join(strange)), 200)
            raise BadTable(f"There is no column {named}. The columns are: {', '.join(COLUMNS)}.")
        while (cells := next(reader, None)) is not None:
            row = {
                head: _FORMULA_GUARD.sub("", cell.strip()) for head, cell in zip(heads, cells, strict=False) if head
            }
            if len(cells) > len(heads) and any(cell.strip() for cell in cells[len(heads) :]):
                row["_more"] = "x"
            told.append((reader.line_num, row))
    except csv.Error as error:
        raise BadTable(f"Line {reader.line_num} of the table cannot be read: {error}.") from None
    return told


def _understood(
    book: Book, before: Book, checklists: Checklists, stamp: Stamp, row: dict[str, str]
) -> tuple[str, list[Callable[[Book], Edit]]]:
    """What one line says, in words and as changes that build on each other."""
    if "_more" in row:
        raise NotUnderstood("There are more cells than columns: a comma inside a cell needs quotes round it.")

    def cell(name: str) -> str:
        return row.get(name, "")

    place = place_of(book, cell("place"))
    prompt = prompt_of(book, checklists, place, cell("question"))
    then = stamp_of(stamp, cell("taken"), cell("by"))
    position = position_of_cells(cell)
    steps: list[Callable[[Book], Edit]] = []
    told: list[str] = [place.name]
    chalk = chalk_of(cell("chalk"))
    said = said_of(cell("said"), cell("why_unseen"))
    new = chalk is not None and str(chalk) not in book.findings
    if chalk is not None and not new:
        finding = book.findings[str(chalk)]
        if finding.compartment != place.id:
            where = book.compartments.get(finding.compartment)
            raise NotUnderstood(f"No. {chalk} lies in {where.name if where else '?'}, not in {place.name}.")
    if cell("seen"):
        steps.append(_share(checklists, book, then, place, cell))
        told.append(f"{cell('seen')} % of the metal seen")
    if chalk is not None and new:
        steps.append(_new_finding(book, checklists, then, place, prompt, chalk, cell, position))
        told.append(f"new finding {chalk}: {cell('words') or cell('kind')}")
    elif said and said[0] is Said.FINDING and chalk is None:
        raise NotUnderstood("A finding needs its chalk number.")
    elif said and said[0] is not Said.FINDING:
        if prompt is None:
            raise NotUnderstood("An answer needs the id of its question.")
        asked, (word, reason) = prompt, said
        now, then_said = (walk.answer_of(one, place.id, prompt.key) for one in (book, before))
        if now is not then_said:
            raise NotUnderstood("This question is answered by an earlier line of the table.")
        if now and (now.said, now.reason, now.note) == (word, reason, cell("note") or now.note):
            raise NotUnderstood("This answer is in the book already.")
        bar = walk.bar_of(checklists, book.boat, place, asked, _met(book, place))
        if bar is not None and bar.need is Need.GAS_FREE and word is Said.SOUND:
            raise NotUnderstood(
                f"No test of the air in {place.name} is known: a line with its oxygen must come first."
            )
        note = cell("note") or None
        steps.append(lambda one: edits.say(one, then, place, asked, word, reason=reason, note=note, bar=bar))
        told.append(f"{word.value}: {prompt.ask}")
    if cell("measured") or cell("values"):
        words, step = _read(book, before, place, prompt, then, chalk, position, cell)
        steps.append(step)
        told.append(words)
    if not steps:
        raise NotUnderstood("Nothing is said on this line: fill in 'seen', 'said', or 'measured' and 'values'.")
    return "; ".join(told), steps


def _read(
    book: Book,
    before: Book,
    place: Compartment,
    prompt: Prompt | None,
    then: Stamp,
    chalk: int | None,
    position: Position,
    cell: Callable[[str], str],
) -> tuple[str, Callable[[Book], Edit]]:
    """What was measured, in words and as a change."""
    kind = kind_of(cell("measured"))
    if not cell("values"):
        raise NotUnderstood(f"The column 'values' holds no {KINDS[kind].label}.")
    line = typed_line(cell("values"), kind)
    details = _reading_details(book, cell, kind, position, prompt, line)
    if _known(before, place, kind, line, chalk, then if cell("taken") else None, position):
        raise NotUnderstood("This reading is in the book already; if it was taken again, fill in 'taken'.")
    at = f" at no. {chalk}" if chalk is not None else ""
    read = KINDS[kind].quantity.echo(line.values) if line.values else cell("values")
    words = f"{KINDS[kind].label}{at}: {read}{_ashore(book, kind, then)}"
    return words, lambda one: edits.add_reading(
        one, then, place, kind, line.values, details, finding=_finding(one, chalk)
    )


def _ashore(book: Book, kind: ReadingKind, then: Stamp) -> str:
    return f", {READ_ASHORE}" if kind == "potential" and book.boat.afloat_at(then.when) is False else ""


def _met(book: Book, place: Compartment) -> set[Need]:
    """Whoever filled the table saw to what its sheet asks for first; the air is a reading, in the book or above."""
    air = any(
        one.kind == "oxygen" and one.compartment == place.id and one.round == book.round.id
        for one in book.readings.values()
    )
    return set(Need) - (set() if air else {Need.GAS_FREE})


def _finding(book: Book, chalk: int | None) -> Finding | None:
    return book.findings.get(str(chalk)) if chalk is not None else None


def _new_finding(
    book: Book,
    checklists: Checklists,
    then: Stamp,
    place: Compartment,
    prompt: Prompt | None,
    chalk: int,
    cell: Callable[[str], str],
    position: Position,
) -> Callable[[Book], Edit]:
    kept = kept_for(book, place.id)
    if chalk not in kept:
        told = ", ".join(map(str, kept)) or "none"
        raise NotUnderstood(f"No. {chalk} was not reserved for {place.name}; free on its sheet: {told}.")
    wanted = cell("kind").casefold()
    kinds = [one for one in checklists.kinds.values() if wanted in (one.id.casefold(), one.label.casefold())]
    if not kinds and wanted:
        meant = nearest(wanted, [*checklists.kinds, *(one.label for one in checklists.kinds.values())])
        raise NotUnderstood(f'"{cell("kind")}" is not a kind of finding: {", ".join(checklists.kinds)}.{meant}')
    kind = kinds[0].id if kinds else prompt.kind if prompt and prompt.kind else Kinds.UNCLEAR
    severity = severity_of(cell("severity")) or (prompt.severity if prompt else Severity.MARGINAL)
    new = edits.NewFinding(kind, cell("words"), severity, Likelihood.C, position)
    return lambda one: edits.write_finding(one, then, place, new, prompt=prompt, chalk=chalk, note=cell("note"))


def _share(
    checklists: Checklists, book: Book, then: Stamp, place: Compartment, cell: Callable[[str], str]
) -> Callable[[Book], Edit]:
    """How much of a place was seen, and what hid the rest."""
    prompts = walk.prompts_of(checklists, book, place)
    asked = next((prompt for prompt in prompts if prompt.share), None)
    percent = QUANTITIES["seen_percent"].read(cell("seen"))
    if asked is None or percent is None:
        raise NotUnderstood(f"How much was seen is not asked of {place.name}.")
    said = said_of("unseen", cell("why_unseen"))
    reasons = [said[1]] if said and said[1] else []
    return lambda one: edits.seen_share(one, then, place, asked, percent, reasons, cell("note"))


def _reading_details(
    book: Book,
    cell: Callable[[str], str],
    kind: ReadingKind,
    position: Position,
    prompt: Prompt | None,
    line: TypedLine,
) -> edits.ReadingDetails:
    bright = cell("bright").casefold()
    if bright and bright not in ("yes", "y", "no", "n"):
        raise NotUnderstood(f'"{cell("bright")}": yes if it was bright metal, no if not.')
    if cell("patch_mm") and kind != "pits":
        raise NotUnderstood("Only a reading of pits takes the size of a square: leave patch_mm empty.")
    sides = QUANTITIES["square_mm"].pair(cell("patch_mm")) or (None, None)
    return edits.ReadingDetails(
        position=position,
        instrument=cell("instrument"),
        instrument_error=instrument_error(KINDS[kind].unit).read(cell("error")),
        clean_metal=None if not bright else bright.startswith("y"),
        typed=cell("values"),
        note=cell("note"),
        prompt=prompt.key if prompt else None,
        plate_field=plate_of(book, cell("plate")),
        square=chalk_of(cell("square")),
        holed_through=line.holes,
        soft=line.soft,
        patch_length_mm=sides[0],
        patch_width_mm=sides[1],
    )


def _known(
    book: Book,
    place: Compartment,
    kind: ReadingKind,
    line: TypedLine,
    chalk: int | None,
    taken: Stamp | None,
    position: Position,
) -> bool:
    """Whether the same stood in the book before this table: same numbers, place, spot, and time if given."""
    return any(
        one.kind == kind
        and one.compartment == place.id
        and one.finding == chalk
        and (taken is None or one.when == taken.when)
        and one.position == position
        and tuple(getattr(one, KINDS[kind].values)) == line.values
        for one in book.readings.values()
    )
