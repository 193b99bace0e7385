"""The report: which parts for which readers, put together from the book. Its dates come from the book, so the same
book always gives the same report."""

from __future__ import annotations

import contextlib
import importlib.metadata
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from pydantic import ValidationError

from inspect_tui.domain.book import ADAPTERS, Book, dump
from inspect_tui.domain.chain import digest_of, rewound
from inspect_tui.domain.identity import Key
from inspect_tui.domain.records import Record
from inspect_tui.handover.making import made_of
from inspect_tui.handover.model import Part, Proof, Report
from inspect_tui.handover.parts.causes import causes_part
from inspect_tui.handover.parts.closing import cautions_part, limits_part, working_part
from inspect_tui.handover.parts.findings import findings_part, worklist_part
from inspect_tui.handover.parts.front import as_of, cover, front
from inspect_tui.handover.parts.jobs import jobs_part
from inspect_tui.handover.parts.metal import metal_part, pits_part
from inspect_tui.handover.parts.places import places_part
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.judgement.judged import Judged


class PartName(StrEnum):
    """Parts that can be chosen; the cover and the limits are in all papers."""

    FRONT = "one page"
    WORKLIST = "worklist"
    FINDINGS = "findings"
    METAL = "thickness"
    PITS = "pits"
    CAUSES = "causes"
    SEEN = "seen and not seen"
    JOBS = "job sheets"
    CAUTIONS = "cautions"
    WORKING = "working"


class Reader(StrEnum):
    """Who the papers are for."""

    BUYER = "buyer or seller"
    SURVEYOR = "surveyor"
    WELDER = "welder or yard"


READS: Mapping[Reader, frozenset[PartName]] = MappingProxyType(
    {
        Reader.BUYER: frozenset(
            {
                PartName.FRONT,
                PartName.WORKLIST,
                PartName.FINDINGS,
                PartName.CAUSES,
                PartName.SEEN,
                PartName.CAUTIONS,
            }
        ),
        Reader.SURVEYOR: frozenset(PartName) - {PartName.JOBS},
        Reader.WELDER: frozenset({PartName.METAL, PartName.JOBS, PartName.CAUTIONS}),
    }
)
_BUILD: Mapping[PartName, Callable[[Subject], Part]] = MappingProxyType(
    {
        PartName.FRONT: front,
        PartName.WORKLIST: worklist_part,
        PartName.FINDINGS: findings_part,
        PartName.METAL: metal_part,
        PartName.PITS: pits_part,
        PartName.CAUSES: causes_part,
        PartName.SEEN: places_part,
        PartName.JOBS: jobs_part,
        PartName.CAUTIONS: cautions_part,
        PartName.WORKING: working_part,
    }
)


@dataclass(frozen=True)
class Contents:
    """What goes into the papers, and the name of the files. `located`: whether a photo may carry the place it was
    taken at."""

    parts: frozenset[PartName] = frozenset(PartName)
    photos: bool = True
    located: bool = False
    name: str = "papers"

    @classmethod
    def for_readers(cls, *readers: Reader, photos: bool = True, located: bool = False) -> Contents:
        name = readers[0].value.split()[0] if len(readers) == 1 else "papers"
        return cls(frozenset().union(*(READS[reader] for reader in readers)), photos, located, name)


EVERYTHING = Contents()


def make_report(
    judged: Judged,
    contents: Contents = EVERYTHING,
    *,
    lost_photos: Mapping[str, str] = MappingProxyType({}),
    photo_places: Mapping[str, str] = MappingProxyType({}),
) -> Report:
    """Put the papers together. `lost_photos`: why a photo cannot be shown; `photo_places`: where one was taken."""
    subject = Subject(judged, contents.photos, lost_photos, photo_places)
    proof = proof_of(judged)
    parts = [_BUILD[name](subject) for name in PartName if name in contents.parts]
    whole = (cover(subject, proof), *parts, limits_part(subject, proof))
    return Report(judged.book.boat.name, "papers of an inspection", whole, proof)


def proof_of(judged: Judged) -> Proof:
    book = judged.book
    version = importlib.metadata.version("inspect-tui")
    head = book.said_until
    lines = sum(not line.of_the_file for line in book.trail.values())
    return Proof(
        book_digest(book, head) or "", head, lines, as_of(book), f"inspect-tui {version}", made_of(judged.checklists)
    )


def book_at(book: Book, head: str) -> Book | None:
    """The book as it stood when the newest line of its trail had this link, its records in the order of their keys
    and nothing on the desk; None if no line has it. What cannot be read any more is left out."""
    tables = {name: {key: dump(row) for key, row in rows.items()} for name, rows in book.tables.items()}
    then = rewound(tables, head)
    if then is None:
        return None
    held: dict[str, dict[str, Record]] = {}
    for name, adapter in ADAPTERS.items():
        held[name] = {}
        for key, row in sorted(then.get(name, {}).items(), key=lambda pair: Key.of(pair[0])):
            with contextlib.suppress(ValidationError):
                held[name][key] = adapter.validate_python(row)
    return Book(held, book.unreadable)


def book_digest(book: Book, head: str | None = None) -> str | None:
    """SHA-256 over all that is said about the boat, in hexadecimal, as it stands or as it stood at an earlier head of
    the trail; what lies on the desk does not count. None if the trail has no such head."""
    tables = {name: {key: dump(row) for key, row in rows.items()} for name, rows in book.tables.items()}
    then = rewound(tables, book.head if head is None else head)
    return None if then is None else digest_of(then)
