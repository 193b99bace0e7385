"""When an action was last said to be done."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from inspect_tui.domain.book import Book


def last_done(book: Book, key: str) -> datetime | None:
    return max((done.when for done in book.done.values() if done.action == key), default=None)


def done_in_round(book: Book, key: str) -> bool:
    when = last_done(book, key)
    return when is not None and when >= book.round.opened


def done_since(book: Book, key: str, known: Iterable[datetime]) -> bool:
    """Whether it was done after all of this was known."""
    done = last_done(book, key)
    return done is not None and done >= max(known)
