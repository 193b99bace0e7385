"""A gauge's own list: a place and a value a line, without any of our columns."""

from __future__ import annotations

from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.measuring.place_line import place_line, position_of
from inspect_tui.domain.records import Position
from inspect_tui.domain.shell import on_shell
from inspect_tui.errors import NotUnderstood
from inspect_tui.judgement.shell.shell_map import across_mm, places_holding

# What such a list may call its columns, in the first line or not at all.
HEADS = (("place", "value"), ("place", "values"), ("spot", "value"))


def is_plain(cells: list[str]) -> bool:
    """Whether a first line begins a plain list: its heads, or already a place with its value.

    >>> is_plain(["Place", "Value"]), is_plain(["14+120 P 300", "5.8"]), is_plain(["place", "measured"])
    (True, True, False)
    """
    told = [cell.strip() for cell in cells if cell.strip()]
    if len(told) != 2:
        return False
    if tuple(one.casefold() for one in told) in HEADS:
        return True
    try:
        return position_of(told[0]).frame is not None and told[1][0].isdigit()
    except NotUnderstood:
        return False


def row_of(book: Book, checklists: Checklists, cells: list[str]) -> dict[str, str]:
    """One line of such a list in our columns: a thickness, at its place, in the compartment that holds it.

    Raises
    ------
    NotUnderstood : it is no place on her, or in no compartment whose place is written down.
    """
    where, value = [*cells, "", ""][:2]
    at = position_of(where)
    if at.frame is None:
        raise NotUnderstood(f"{where!r} is no place: frame, side and mm out, as 14+120 P 300.")
    return {
        "place": _compartment(book, checklists, at),
        "measured": "thickness",
        "values": value.strip(),
        "frame": f"{at.frame:g}",
        "offset_mm": "" if at.offset_mm is None else f"{at.offset_mm:g}",
        "side": at.side.value if at.side else "",
        "girth_mm": "" if at.girth_mm is None else f"{at.girth_mm:g}",
        "face": at.face.value if at.face else "",
    }


def _compartment(book: Book, checklists: Checklists, at: Position) -> str:
    """The smallest compartment that holds the place."""
    on = on_shell(book.boat, at, None)
    if on is None:
        raise NotUnderstood(f"{place_line(at)}: her frame spacing, or how far out it lies, is not written down.")
    holding = places_holding(book, checklists, on.from_bow_mm, on.out_mm)
    if not holding:
        raise NotUnderstood(
            f"{place_line(at)} lies in no compartment whose frames and place across are written down: edit one first."
        )
    return min(holding, key=across_mm).name
