"""The owner's money on the disk: one file beside the book, for its owner's eyes alone."""

from __future__ import annotations

import json
from pathlib import Path

from pydantic import ValidationError

from inspect_tui.domain.bounds import first_fault
from inspect_tui.domain.owner.money import Money
from inspect_tui.errors import CannotStore, Damaged
from inspect_tui.files import is_there, replace_file

ENDING = ".money.json"
# Of a file that holds so much nothing is read.
MOST_BYTES = 4_000_000


def money_path(book: Path) -> Path:
    return book.with_name(book.stem + ENDING)


def load_money(path: Path) -> Money:
    """What the file holds; nothing is written down where there is none.

    Raises
    ------
    Damaged : it is there, and cannot be read.
    """
    if not is_there(path):
        return Money()
    try:
        if path.stat().st_size > MOST_BYTES:
            raise Damaged(f"{path} is too large for a file of amounts: put it aside, and type them in again.")
        return Money.model_validate(json.loads(path.read_text(encoding="utf-8")))
    except (OSError, ValueError) as error:
        what = first_fault(error) if isinstance(error, ValidationError) else str(error)
        raise Damaged(
            f"{path} cannot be read ({what}): mend it, or put it aside and type the amounts in again."
        ) from None


def save_money(path: Path, money: Money) -> None:
    """
    Raises
    ------
    CannotStore : it is not on the disk.
    """
    data = json.dumps(money.model_dump(mode="json", exclude_none=True), indent=1, ensure_ascii=False)
    try:
        replace_file(path, f"{data}\n".encode())
    except OSError as error:
        raise CannotStore(f"{path} was not written: {error.strerror or error}.") from None
