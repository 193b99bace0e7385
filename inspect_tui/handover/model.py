"""What a paper says, without layout: parts, and in them blocks. Each writer sets them in its own way."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal


@dataclass(frozen=True)
class Line:
    """A name and its value."""

    name: str
    value: str


@dataclass(frozen=True)
class Nos:
    """Chalk numbers; each leads to its finding where that is in the same papers."""

    chalks: tuple[int, ...]

    def __str__(self) -> str:
        return ", ".join(map(str, self.chalks))


@dataclass(frozen=True)
class Strong:
    """A figure that must not be missed: below what is allowed, or the worst of its table."""

    text: str

    def __str__(self) -> str:
        return self.text


@dataclass(frozen=True)
class Bar:
    """Plate left against as built and allowed [mm], drawn from the middle outwards: `leftward` on the port side."""

    left_mm: float | None
    built_mm: float
    allowed_mm: float | None
    most_mm: float
    leftward: bool = False

    def __str__(self) -> str:
        return ""


Cell = str | Nos | Strong | Bar


@dataclass(frozen=True)
class Words:
    """A paragraph: plain, somebody's own words, a caution, trouble with the book or the papers, a danger to whoever
    comes aboard, a note in small type, or the one sentence that says it all."""

    text: str
    kind: Literal["plain", "own", "caution", "trouble", "danger", "note", "lead"] = "plain"


@dataclass(frozen=True)
class Head:
    """A small heading inside a part or a column; `aside` stands at its right end."""

    text: str
    aside: str = ""


@dataclass(frozen=True)
class Facts:
    """Names and values."""

    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Points:
    """Lines: with a dash, counted, or with a box to tick."""

    items: tuple[str, ...]
    how: Literal["dash", "counted", "box"] = "dash"


@dataclass(frozen=True)
class Column:
    """`number` columns hold figures of one unit, named in its head; `wide` ones sentences, `narrow` ones a word."""

    name: str
    number: bool = False
    wide: bool = False
    narrow: bool = False


@dataclass(frozen=True)
class Table:
    """Rows under headings; the first column names the row. A row of one cell heads the rows below it. `note` stands
    under the table; `of_hands`: rows are filled in by hand; `leads`: each row is what the number in its first cell
    leads to, where that has no sheet of its own."""

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    note: str = ""
    of_hands: bool = False
    leads: bool = False

    def filled(self, *, named: bool = False) -> Table:
        """Without the columns in which no row says anything. `named`: the note names them, as what nobody wrote."""
        kept = [at for at in range(len(self.columns)) if any(row[at] != "" for row in self.rows)]
        gone = [column.name for at, column in enumerate(self.columns) if at not in kept]
        told = f"Written down for none of these readings: {', '.join(gone)}." if named and gone else ""
        return replace(
            self,
            columns=tuple(self.columns[at] for at in kept),
            rows=tuple(tuple(row[at] for at in kept) for row in self.rows),
            note=" ".join(one for one in (self.note, told) if one),
        )


@dataclass(frozen=True)
class Figure:
    """A drawing, and in `told` what it shows, for whoever cannot see it. `wide_pt`: drawn to be placed at this width
    and no other; None where it may be stretched to the column."""

    name: str
    svg: str
    caption: str
    told: str
    wide_pt: float | None = None


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


@dataclass(frozen=True)
class Decider:
    """One thing that decides: what and how bad, where, its numbers, who sees to it, its frame for the ruler; `part`:
    where it is told that has no number."""

    what: str
    more: str
    where: str
    nos: Nos
    who: str
    frame: float | None = None
    part: str = ""


@dataclass(frozen=True)
class Deciders:
    """What decides, gravest first."""

    rows: tuple[Decider, ...]


@dataclass(frozen=True)
class Columns:
    """Stacks of blocks side by side; `shares` of the width."""

    shares: tuple[int, ...]
    stacks: tuple[tuple[Leaf, ...], ...]


Leaf = Words | Head | Facts | Points | Table | Figure | Picture | Blanks | Deciders
Block = Leaf | Columns


@dataclass(frozen=True)
class Sheet:
    """What is said of one thing: a finding, a place, a job, `also` further chalk numbers it is of. `tag` is its tier
    or state in a word; `frames`: from, to, for the ruler over each page, `mark` what stands there. `whole`: never
    broken over two pages."""

    id: str
    title: str
    blocks: tuple[Block, ...]
    chalk: int | None = None
    also: tuple[int, ...] = ()
    tag: str = ""
    own_page: bool = False
    frames: tuple[float, float] | None = None
    mark: str = ""
    whole: bool = False


@dataclass(frozen=True)
class Part:
    """`flip`: on a page laid sideways; `bare`: its own blocks head it; `two`: its sheets run in two columns; `dense`:
    in small type."""

    id: str
    title: str
    blocks: tuple[Block | Sheet, ...]
    own_page: bool = False
    flip: bool = False
    bare: bool = False
    two: bool = False
    dense: bool = False

    def flat(self) -> Iterator[Leaf]:
        """All blocks, those of its sheets and columns too."""
        for block in self.blocks:
            for one in block.blocks if isinstance(block, Sheet) else (block,):
                if isinstance(one, Columns):
                    yield from (leaf for stack in one.stacks for leaf in stack)
                else:
                    yield one


@dataclass(frozen=True)
class Proof:
    """By what papers can be held against their book: digests in hexadecimal, and how long the trail was."""

    digest: str
    head: str
    lines: int
    as_of: str
    program: str
    made_of: str


# What a number leads to that has only its row in a table.
ROW = "row"
Ring = Literal["bars", "open", "closed"]


@dataclass(frozen=True)
class Report:
    """One set of papers. `title` is the boat's name, `subtitle` what the papers are, `about` a line or two of what
    she is. `reader`: whom they are for. `rings`: of each chalk number whether it bars floating, waits, or is put
    right; `frames`: the first and the last of her, for the ruler, None where she has none."""

    title: str
    subtitle: str
    parts: tuple[Part, ...]
    proof: Proof
    about: tuple[str, ...] = ()
    reader: str = ""
    rings: Mapping[int, Ring] = field(default_factory=dict)
    frames: tuple[float, float] | None = None

    @property
    def anchors(self) -> dict[int, str]:
        """The sheet that each chalk number leads to: the first that is of it."""
        told: dict[int, str] = {}
        for part in self.parts:
            for one in part.blocks:
                if isinstance(one, Sheet) and one.chalk is not None:
                    for chalk in (one.chalk, *one.also):
                        told.setdefault(chalk, one.id)
        for part in self.parts:
            for one in part.blocks:
                if isinstance(one, Table) and one.leads:
                    for chalk in (each for row in one.rows if isinstance(row[0], Nos) for each in row[0].chalks):
                        told.setdefault(chalk, ROW)
        return told

    def part(self, id: str) -> Part:
        return next(part for part in self.parts if part.id == id)

    def pictures(self) -> list[Picture]:
        return [block for part in self.parts for block in part.flat() if isinstance(block, Picture)]
