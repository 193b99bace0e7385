"""Taking back: which changes stand, and the edit that takes one of them back."""

from __future__ import annotations

from inspect_tui.domain.book import ADAPTERS, Book, Edit, Put
from inspect_tui.domain.identity import Key
from inspect_tui.domain.trail import Change
from inspect_tui.errors import NotAllowed, NothingToUndo


def standing(book: Book) -> list[Change]:
    """The changes that are not taken back, oldest first. Taking back an undo makes its change stand again."""
    taken_back: set[int] = set()
    stand: list[Change] = []
    for change in sorted(book.trail.values(), key=lambda line: -line.number):
        if change.number in taken_back:
            continue
        stand.append(change)
        if change.undoes is not None:
            taken_back.add(change.undoes)
    return stand[::-1]


def undo(book: Book, number: int | None = None) -> Edit:
    """Take back one change: the newest that stands, unless a number is given. An undo can be undone.

    Raises
    ------
    NothingToUndo : no such change stands.
    NotAllowed : a later change stands on the same record; take that one back first.
    """
    stand = standing(book)
    if number is None:
        owners = (change.number for change in stand if change.undoes is None and not change.of_the_file)
        number = max(owners, default=1)
        if number == 1:
            raise NothingToUndo("Nothing is left to take back.")
    change = next((change for change in stand if change.number == number), None)
    if change is None:
        raise NothingToUndo(f"Change {number} is not there, or has been taken back already.")
    if number == 1 or change.of_the_file:
        raise NothingToUndo("The start of a book or of a copy cannot be taken back.")
    touched = {(was.table, was.key) for was in change.was}
    for later in stand:
        cancelled = later.undoes is not None and later.undoes > number
        if later.number > number and not cancelled and touched & {(was.table, was.key) for was in later.was}:
            raise NotAllowed(f"Take back change {later.number} first: {later.words}.")
    puts = tuple(
        Put(was.table, was.key, None if was.fields is None else ADAPTERS[was.table].validate_python(was.fields))
        for was in change.was
    )
    for put in puts:
        if put.record is None and (leaning := _leaning_on(book, put, puts)):
            raise NotAllowed(f"{leaning} Take that back first.")
    return Edit(f"Took back: {change.words}", puts, undoes=number)


def _leaning_on(book: Book, gone: Put, puts: tuple[Put, ...]) -> str | None:
    """What else in the book, as it is with all these taken back, refers to a record that is about to vanish, in one
    sentence; None if nothing does."""
    table, key = gone.table, gone.key
    back = {(put.table, put.key): put.record for put in puts}

    def others(name: str, refers: str, value: object) -> bool:
        rows = (back.get((name, at), row) for at, row in book.tables[name].items())
        return any(row is not None and getattr(row, refers) == value for row in rows)

    if table == "findings" and others("readings", "finding", Key.of(key).number):
        return f"Finding {key} has readings."
    if table == "compartments" and any(
        others(name, "compartment", key) for name in ("answers", "findings", "readings", "visits", "parts", "members")
    ):
        return "Something is written down in that compartment."
    if table == "plate_fields" and (
        others("readings", "plate_field", key)
        or others("plans", "plate_field", key)
        or any(key in place.plate_fields for place in book.compartments.values())
    ):
        return "That plate field is named by readings, a sampling plan or a compartment."
    if table == "members" and others("readings", "member", key):
        return f"Readings were taken on {book.members[key].name if key in book.members else 'that member'}."
    if table == "plans" and others("readings", "plan", key):
        return "Squares of that plan were read."
    if table == "rounds" and any(others(name, "round", key) for name in ("answers", "readings", "visits")):
        return "Something was written down in that round."
    return None
