"""Field sheets: chalk numbers kept for one compartment, and many small changes made as one."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from inspect_tui.domain.book import Book, Edit, Put, Stamp, tried
from inspect_tui.domain.identity import Key
from inspect_tui.domain.records import Compartment, FieldSheet
from inspect_tui.errors import NotAllowed

MOST_CHALKS = 50


def reserve_chalks(book: Book, stamp: Stamp, places: Iterable[Compartment], each: int) -> Edit:
    """Keep chalk numbers for the sheets of these compartments: nobody else is given them.

    Numbers kept for a compartment and not used yet go on its next sheet too.
    """
    if not 0 <= each <= MOST_CHALKS:
        raise NotAllowed(f"A sheet takes from 0 to {MOST_CHALKS} chalk numbers.")
    number, key = book.next_number("findings"), Key.of(book.new_key("sheets"))
    puts = []
    told = []
    for place in places:
        missing = each - len(kept_for(book, place.id))
        if missing <= 0:
            continue
        chalks = tuple(range(number, number + missing))
        made = FieldSheet(id=str(key), compartment=place.id, chalks=chalks, when=stamp.when, by=stamp.by)
        puts.append(Put("sheets", made.id, made))
        told.append(place.name)
        number, key = number + missing, replace(key, number=key.number + 1)
    return Edit(f"Chalk numbers kept for field sheets: {', '.join(told)}", tuple(puts))


def kept_for(book: Book, compartment: str) -> list[int]:
    """Chalk numbers kept for a compartment that no finding has yet."""
    return sorted(
        chalk
        for sheet in book.sheets.values()
        if sheet.compartment == compartment
        for chalk in sheet.chalks
        if str(chalk) not in book.findings
    )


def together(book: Book, words: str, steps: Iterable[Callable[[Book], Edit]]) -> Edit:
    """Changes that each build on the one before, as one change: taken back by one undo."""
    puts: dict[tuple[str, str], Put] = {}
    for step in steps:
        edit = step(book)
        book = tried(book, edit)
        puts |= {(put.table, put.key): put for put in edit.puts}
    return Edit(words, tuple(puts.values()))
