"""The open book: every record about one boat, and the one way to change them.

A book never changes in place. An `Edit` says which records are to be put where; `after` gives the book
that follows, and writes the line of the trail that could take it back.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property
from types import MappingProxyType
from typing import Any, cast

from pydantic import ConfigDict, TypeAdapter, ValidationError

from inspect_tui.domain import reading_records, records
from inspect_tui.domain.bounds import first_fault
from inspect_tui.domain.chain import DESK, digest_of, link_of
from inspect_tui.domain.identity import LETTERS, Identity, Key
from inspect_tui.domain.measuring import metal_records
from inspect_tui.domain.measuring.metal_records import Member, SamplingPlan
from inspect_tui.domain.reading_records import Reading
from inspect_tui.domain.records import (
    Answer,
    Boat,
    Compartment,
    FieldSheet,
    Finding,
    PartOut,
    Photo,
    PlateField,
    Record,
    Round,
    Visit,
    strange_fields,
)
from inspect_tui.domain.trail import Change, Done, Draft, Here, PapersMade, Was
from inspect_tui.errors import Unfit

_DEFERRED = ConfigDict(defer_build=True)
ADAPTERS: Mapping[str, TypeAdapter[Any]] = MappingProxyType(
    {
        "identity": TypeAdapter(Identity),
        "boat": TypeAdapter(records.Boat),
        "plate_fields": TypeAdapter(records.PlateField),
        "members": TypeAdapter(metal_records.Member),
        "plans": TypeAdapter(metal_records.SamplingPlan),
        "compartments": TypeAdapter(records.Compartment),
        "rounds": TypeAdapter(records.Round),
        "visits": TypeAdapter(records.Visit),
        "answers": TypeAdapter(records.Answer),
        "findings": TypeAdapter(records.Finding),
        "readings": TypeAdapter(reading_records.Reading, config=_DEFERRED),
        "photos": TypeAdapter(records.Photo),
        "sheets": TypeAdapter(records.FieldSheet),
        "parts": TypeAdapter(records.PartOut),
        "rates": TypeAdapter(records.Rates),
        "done": TypeAdapter(Done),
        "trail": TypeAdapter(Change),
        "here": TypeAdapter(Here),
        "drafts": TypeAdapter(Draft),
        "papers": TypeAdapter(PapersMade),
    }
)
ONLY = "1"

Tables = Mapping[str, Mapping[str, Record]]


@dataclass(frozen=True)
class Stamp:
    """Who holds the pen, and when."""

    when: datetime
    by: str


@dataclass(frozen=True)
class Put:
    """One record to be written under a key; None takes it out."""

    table: str
    key: str
    record: Record | None


@dataclass(frozen=True)
class Edit:
    """One change to a book, in the owner's words."""

    words: str
    puts: tuple[Put, ...]
    undoes: int | None = None


@dataclass(frozen=True)
class Unreadable:
    """A stored record that this version cannot read: kept raw, shown, never dropped."""

    table: str
    key: str
    why: str
    raw: Any


def dump(record: Record) -> dict[str, Any]:
    """A record as it is stored."""
    return record.model_dump(mode="json", exclude_none=True)


@dataclass(frozen=True)
class Book:
    tables: Tables
    unreadable: tuple[Unreadable, ...] = ()

    @classmethod
    def empty(cls) -> Book:
        return cls({name: {} for name in ADAPTERS})

    def table(self, name: str) -> Mapping[str, Any]:
        return self.tables[name]

    @property
    def identity(self) -> Identity | None:
        """Who the book is; None only before its first line is written."""
        return cast("Identity | None", self.tables["identity"].get(ONLY))

    @property
    def boat(self) -> Boat:
        return cast(Boat, self.tables["boat"][ONLY])

    @property
    def plate_fields(self) -> Mapping[str, PlateField]:
        return self.table("plate_fields")

    @property
    def members(self) -> Mapping[str, Member]:
        return self.table("members")

    @property
    def plans(self) -> Mapping[str, SamplingPlan]:
        return self.table("plans")

    @property
    def compartments(self) -> Mapping[str, Compartment]:
        return self.table("compartments")

    @property
    def rounds(self) -> Mapping[str, Round]:
        return self.table("rounds")

    @property
    def visits(self) -> Mapping[str, Visit]:
        return self.table("visits")

    @property
    def answers(self) -> Mapping[str, Answer]:
        return self.table("answers")

    @property
    def findings(self) -> Mapping[str, Finding]:
        return self.table("findings")

    @property
    def readings(self) -> Mapping[str, Reading]:
        return self.table("readings")

    @property
    def photos(self) -> Mapping[str, Photo]:
        return self.table("photos")

    @property
    def sheets(self) -> Mapping[str, FieldSheet]:
        return self.table("sheets")

    @property
    def parts(self) -> Mapping[str, PartOut]:
        return self.table("parts")

    @property
    def done(self) -> Mapping[str, Done]:
        return self.table("done")

    @property
    def trail(self) -> Mapping[str, Change]:
        return self.table("trail")

    @cached_property
    def asked(self) -> dict[str, tuple[object, tuple[Any, ...]]]:
        """The prompts of each compartment once they were worked out, with the checklists they are of: the book does
        not change, and they are wanted often."""
        return {}

    @cached_property
    def head(self) -> str:
        """The link of the newest line of the trail: it vouches for all lines before it."""
        newest = max(self.trail.values(), key=lambda line: line.number, default=None)
        return newest.link if newest else ""

    @property
    def said_until(self) -> str:
        """The link of the newest line that says something of the boat: papers print it."""
        said = (line for line in self.trail.values() if not line.of_the_file)
        newest = max(said, key=lambda line: line.number, default=None)
        return newest.link if newest else ""

    @property
    def drafts(self) -> Mapping[str, Draft]:
        return self.table("drafts")

    @property
    def papers(self) -> Mapping[str, PapersMade]:
        return self.table("papers")

    @property
    def here(self) -> Here | None:
        return cast("Here | None", self.tables["here"].get(ONLY))

    @property
    def round(self) -> Round:
        """The round being walked: the newest."""
        return max(self.rounds.values(), key=lambda round_: round_.number)

    def round_number(self, round_id: str) -> int:
        """The number that people know a round by; 0 if it is not there."""
        round_ = self.rounds.get(round_id)
        return round_.number if round_ else 0

    @cached_property
    def last_done(self) -> Mapping[str, Done]:
        """For each action the newest time that somebody said it is done."""
        newest: dict[str, Done] = {}
        for done in self.done.values():
            if done.action not in newest or done.when >= newest[done.action].when:
                newest[done.action] = done
        return newest

    @cached_property
    def read_at(self) -> frozenset[tuple[str, str | None]]:
        """Compartments and prompts for which something was read in this round; a potential read ashore is none."""
        return frozenset(
            (one.compartment, one.prompt)
            for one in self.readings.values()
            if one.round == self.round.id and not (one.kind == "potential" and self.boat.afloat_at(one.when) is False)
        )

    @cached_property
    def known_places(self) -> frozenset[str]:
        """Compartments where an earlier round left a finding."""
        return frozenset(one.compartment for one in self.findings.values() if one.found.round != self.round.id)

    def bow_to_stern(self) -> list[Compartment]:
        return sorted(self.compartments.values(), key=lambda place: (place.order, Key.of(place.id)))

    def next_number(self, table: str) -> int:
        """One more than any number this table ever used: numbers are never given twice.

        Counts what stands, what the trail remembers, what could not be read, and chalk numbers
        already shown in a half-written finding or printed on a field sheet.
        """
        shown = [draft.chalk or 0 for draft in self.drafts.values()] if table == "findings" else []
        return max([self._highest.get(table, 0), *shown]) + 1

    @cached_property
    def _highest(self) -> Mapping[str, int]:
        """By table the highest number that it ever used; carried on from book to book, as going through all of them
        takes its time."""
        highest: dict[str, int] = {}
        named = [(name, key) for name, rows in self.tables.items() for key in rows]
        named += [(lost.table, lost.key) for lost in self.unreadable]
        named += [(was.table, was.key) for change in self.trail.values() for was in change.was]
        for name, key in named:
            highest[name] = max(highest.get(name, 0), Key.of(key).number)
        sheets = [sheet.chalks for sheet in self.sheets.values()] + self._once_reserved()
        highest["findings"] = max([highest.get("findings", 0), *(chalk for chalks in sheets for chalk in chalks)])
        return highest

    def new_key(self, table: str) -> str:
        """A key for a new record of this table, with the name of this copy in it."""
        copy = self.identity.copy_name if self.identity else ""
        return str(Key(self.next_number(table), copy, LETTERS.get(table, "")))

    def newest(self, table: str) -> str:
        """The key in this table that was given last."""
        return max(self.tables[table], key=Key.of)

    def _once_reserved(self) -> list[Sequence[int]]:
        """Chalk numbers of field sheets that were taken back: the printed sheet may still lie about."""
        return [
            was.fields.get("chalks", ())
            for change in self.trail.values()
            for was in change.was
            if was.table == "sheets" and was.fields
        ]


def after(book: Book, edit: Edit, stamp: Stamp) -> tuple[Book, tuple[Put, ...]]:
    """The book that follows an edit, and everything that has to be stored for it, trail included.

    Raises
    ------
    Unfit : a record could not be read again as it would be stored, or holds a field that no record knows.
    """
    kept = _new_in(book, edit)
    was = tuple(
        Was(
            table=put.table,
            key=put.key,
            fields=_stored(book.tables[put.table].get(put.key)),
            became=None if put.record is None else digest_of(dump(put.record)),
        )
        for put in kept
        if put.table not in DESK
    )
    following = _with(book, kept)
    if was:
        key = following.new_key("trail")
        line = Change(
            number=Key.of(key).number, when=stamp.when, by=stamp.by, words=edit.words, was=was, undoes=edit.undoes
        )
        line = line.model_copy(update={"link": link_of(book.head, dump(line))})
        kept.append(Put("trail", key, line))
        following = _with(following, kept[-1:])
    return following, tuple(kept)


def tried(book: Book, edit: Edit) -> Book:
    """The book with the records of an edit in it and no line of the trail: for edits that build on each other before
    all of them become one.

    Raises
    ------
    Unfit : see `after`.
    """
    return _with(book, _new_in(book, edit))


def _new_in(book: Book, edit: Edit) -> list[Put]:
    """What an edit changes, checked."""
    kept = [put for put in edit.puts if book.tables[put.table].get(put.key) != put.record]
    for put in kept:
        if put.record is not None:
            _check(put.table, put.record, book.tables[put.table].get(put.key), taken_back=edit.undoes is not None)
    return kept


def _with(book: Book, puts: Sequence[Put]) -> Book:
    """The book with these records put where they belong."""
    tables = dict(book.tables)
    for name in {put.table for put in puts}:
        rows = dict(tables[name])
        for put in puts:
            if put.table != name:
                continue
            if put.record is None:
                rows.pop(put.key, None)
            else:
                rows[put.key] = put.record
        tables[name] = rows
    following = replace(book, tables=tables)
    lines = [put.record.link for put in puts if isinstance(put.record, Change)]
    vars(following)["head"] = lines[-1] if lines else book.head
    if "_highest" in vars(book):
        vars(following)["_highest"] = _higher(book._highest, puts)
    return following


def _higher(highest: Mapping[str, int], puts: Sequence[Put]) -> Mapping[str, int]:
    """The highest numbers with those of these records; what lies on the desk is no number that was given."""
    told = dict(highest)
    for put in puts:
        if put.table not in DESK:
            told[put.table] = max(told.get(put.table, 0), Key.of(put.key).number)
        if isinstance(put.record, FieldSheet):
            told["findings"] = max([told.get("findings", 0), *put.record.chalks])
    return told


def _check(table: str, record: Record, before: Record | None, *, taken_back: bool) -> None:
    """Refuse what could not be read when the book is next opened. A field that no record knows is kept where a file
    brought it, and what is taken back was in the book already; none is ever written anew."""
    strange = set() if taken_back else strange_fields(record) - (strange_fields(before) if before else set())
    if strange:
        raise Unfit(f"{table}: no record has a field {', '.join(sorted(strange))}; nothing was changed.")
    try:
        ADAPTERS[table].validate_python(dump(record))
    except ValidationError as error:
        raise Unfit(f"{table}: {first_fault(error)}; nothing was changed.") from None


def _stored(record: Record | None) -> dict[str, Any] | None:
    return None if record is None else dump(record)
