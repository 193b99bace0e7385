"""Which book a file is a copy of, and the keys of its records: no two copies give the same one."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Annotated

from pydantic import Field

from inspect_tui.domain.records import Record

# Short enough to be read out, without vowels and without signs that look alike.
COPY_SIGNS = "bcdfghjkmnpqrstvwxz23456789"
COPY_LENGTH = 4
# What the key of a record begins with; findings are known by the number chalked on the metal, and by nothing else.
LETTERS: Mapping[str, str] = MappingProxyType(
    {
        "compartments": "c",
        "plate_fields": "p",
        "members": "m",
        "plans": "q",
        "readings": "r",
        "photos": "i",
        "sheets": "s",
        "parts": "t",
    }
)
_KEY = re.compile(r"([a-z]?)([0-9]{1,12})(?:-([a-z0-9]{4}))?", re.ASCII)


class Identity(Record):
    """`book_id` is the same in every copy of a book and in no other book; of one that is older than identities it is
    the link of the first line of its trail. `copy_name` is of this file alone."""

    book_id: Annotated[str, Field(pattern=r"^[0-9a-f]{32,64}$")]
    copy_name: Annotated[str, Field(pattern=r"^[a-z0-9]{4}$")]


@dataclass(frozen=True, order=True)
class Key:
    """The key of a record, ordered by its number; `copy` is the copy of the book that gave it, empty before copies
    had names.

    >>> sorted(["r10", "r9-bcdf", "r9"], key=Key.of)
    ['r9', 'r9-bcdf', 'r10']
    >>> str(Key(12, "k4m9", "r"))
    'r12-k4m9'
    """

    number: int
    copy: str = ""
    letter: str = field(default="", compare=False)

    @classmethod
    def of(cls, text: str) -> Key:
        """The key that a text is; one from elsewhere that is no key of ours stands before all others."""
        found = _KEY.fullmatch(text)
        return cls(int(found[2]), found[3] or "", found[1]) if found else cls(0, text)

    def __str__(self) -> str:
        return f"{self.letter}{self.number}{f'-{self.copy}' if self.copy else ''}"
