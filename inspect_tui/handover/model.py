"""What a paper says, without layout: parts, and in them blocks. Each writer sets them in its own way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class Line:
    """A name and its value."""

    name: str
    value: str


@dataclass(frozen=True)
class Words:
    """A paragraph: plain, somebody's own words, a caution, or trouble with the book or the papers."""

    text: str
    kind: Literal["plain", "own", "caution", "trouble"] = "plain"


@dataclass(frozen=True)
class Facts:
    """Names and values."""

    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Points:
    items: tuple[str, ...]


@dataclass(frozen=True)
class Column:
    """`number` columns hold figures of one unit, named in the heading; `wide` ones hold sentences."""

    name: str
    number: bool = False
    wide: bool = False


@dataclass(frozen=True)
class Table:
    """Rows under headings; the first column names the row."""

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Figure:
    """A drawing, and in `told` what it shows, for whoever cannot see it."""

    name: str
    svg: str
    caption: str
    told: str


@dataclass(frozen=True)
class Picture:
    """A photo by its id; `told` says of what."""

    photo: str
    caption: str
    told: str


@dataclass(frozen=True)
class Blanks:
    """Names with room behind them, to be filled in by hand."""

    names: tuple[str, ...]


Block = Words | Facts | Points | Table | Figure | Picture | Blanks


@dataclass(frozen=True)
class Sheet:
    """What is said of one thing: a finding, a place, a job. `tag` is its tier or state in a word."""

    id: str
    title: str
    blocks: tuple[Block, ...]
    chalk: int | None = None
    tag: str = ""
    own_page: bool = False


@dataclass(frozen=True)
class Part:
    id: str
    title: str
    blocks: tuple[Block | Sheet, ...]
    own_page: bool = False

    def flat(self) -> Iterator[Block]:
        """All blocks, those of its sheets too."""
        for block in self.blocks:
            if isinstance(block, Sheet):
                yield from block.blocks
            else:
                yield block


@dataclass(frozen=True)
class Proof:
    """By what papers can be held against their book: digests in hexadecimal, and how long the trail was."""

    digest: str
    head: str
    lines: int
    as_of: str
    program: str
    made_of: str


@dataclass(frozen=True)
class Report:
    """One set of papers. `title` is the boat's name, `subtitle` what the papers are, `as_of` the day of the book."""

    title: str
    subtitle: str
    parts: tuple[Part, ...]
    proof: Proof

    def part(self, id: str) -> Part:
        return next(part for part in self.parts if part.id == id)

    def pictures(self) -> list[Picture]:
        return [block for part in self.parts for block in part.flat() if isinstance(block, Picture)]
