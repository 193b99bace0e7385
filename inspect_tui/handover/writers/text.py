"""The papers as plain text. Figures and photos are told in words."""

from __future__ import annotations

import textwrap

from inspect_tui.domain.plain import one_line
from inspect_tui.handover.model import (
    Blanks,
    Block,
    Cell,
    Columns,
    Deciders,
    Facts,
    Figure,
    Head,
    Line,
    Nos,
    Picture,
    Points,
    Report,
    Sheet,
    Table,
    Words,
)

WIDTH = 78
NAME = 12
LONGEST_WRAPPED = 4000


def write_text(report: Report) -> str:
    made_for = f", made for {report.reader}." if report.reader else ""
    lines = [f"{one_line(report.title)}: {report.subtitle}{made_for}", *map(one_line, report.about)]
    for part in report.parts:
        lines += ["", part.title.upper(), "=" * len(part.title), ""]
        for block in part.blocks:
            lines += _sheet(block) if isinstance(block, Sheet) else _block(block)
    return "\n".join(lines) + "\n"


def _wrapped(text: str, first: str = "", rest: str = "") -> list[str]:
    """Wrapped between words; nothing in a text is left out, and one without blanks is never broken up."""
    told = one_line(text)
    if len(told) > LONGEST_WRAPPED:
        return [first + told]
    return textwrap.wrap(
        told,
        WIDTH,
        initial_indent=first,
        subsequent_indent=rest,
        break_long_words=False,
        break_on_hyphens=False,
        drop_whitespace=True,
    ) or [first.rstrip()]


def _sheet(sheet: Sheet) -> list[str]:
    number = f"No. {sheet.chalk}  " if sheet.chalk is not None else ""
    tag = f"  [{sheet.tag}]" if sheet.tag else ""
    lines = ["", *_wrapped(f"{number}{sheet.title}{tag}", "", "     ")]
    for block in sheet.blocks:
        lines += ["  " + line if line else "" for line in _block(block)]
    return lines


def _block(block: Block) -> list[str]:
    match block:
        case Words(text, kind):
            head = {"caution": "CAUTION  ", "trouble": "ATTENTION: ", "danger": "DANGER NOW  "}.get(kind, "")
            # Somebody's own words keep their lines.
            lines = text.splitlines() if kind == "own" else [text]
            return [*(part for line in lines for part in _wrapped(line, head)), ""] if kind != "own" else [
                one_line(line) for line in lines
            ]  # fmt: skip
        case Facts(lines):
            return [told for line in lines for told in _fact(line)]
        case Head(text, aside):
            return ["", *_wrapped(f"{text}{f' ({aside})' if aside else ''}")]
        case Points(items, how):
            signs = {"dash": "- ", "box": "[ ] "}
            return [
                told
                for number, item in enumerate(items, 1)
                for told in _wrapped(item, signs.get(how, f"{number}. "), "    ")
            ]
        case Deciders(rows):
            return [
                told
                for number, row in enumerate(rows, 1)
                for told in _wrapped(
                    f"{number}. {row.what} {row.more} ({_cell(row.nos) or 'unseen'}, {row.where}; {row.who})",
                    "",
                    "   ",
                )
            ]
        case Columns(_, stacks):
            return [told for stack in stacks for one in stack for told in _block(one)]
        case Table():
            return _table(block)
        case Figure(_, _, caption, told):
            return _wrapped(f"Figure: {' '.join(filter(None, (caption, told)))}.", "", "  ")
        case Picture(_, caption, _):
            return _wrapped(f"Photo: {caption}", "", "  ")
        case Blanks(names):
            return [f"{name}: {'_' * max(WIDTH - len(name) - 4, 10)}" for name in names]


def _fact(line: Line) -> list[str]:
    if not line.name:
        return _wrapped(line.value, " " * (NAME + 2), " " * (NAME + 2))
    return _wrapped(f"{line.name}: {line.value}", "", "  ")


def _table(table: Table) -> list[str]:
    """One paragraph for each row: its name, then heading and value of what is not empty."""
    lines = ["", *_wrapped(table.caption)] if table.caption else [""]
    if table.of_hands:
        lines.append(table.columns[0].name)
    for row in table.rows:
        if len(row) == 1:
            lines += _wrapped(_cell(row[0]))
            continue
        cells = [_cell(cell) for cell in row]
        if table.of_hands:
            lines.append(f"{cells[0]}: {'_' * max(WIDTH - len(cells[0]) - 4, 10)}")
            continue
        told = "; ".join(
            f"{column.name}: {cell}" if column.name else cell
            for column, cell in zip(table.columns[1:], cells[1:], strict=True)
            if cell
        )
        lines += _wrapped(
            f"{cells[0]}: {told}" if table.columns[0].name != "No." else f"{cells[0]}. {told}", "", "    "
        )
    return [*lines, *(_wrapped(table.note) if table.note else []), ""]


def _cell(cell: Cell) -> str:
    return f"no. {cell}" if isinstance(cell, Nos) and cell.chalks else str(cell)
