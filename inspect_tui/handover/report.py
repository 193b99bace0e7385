"""The report: which parts for which readers, put together from the book. Its dates come from the book, so the same
book always gives the same report."""

from __future__ import annotations

import contextlib
import importlib.metadata
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from types import MappingProxyType

from pydantic import ValidationError

from inspect_tui.domain.book import ADAPTERS, Book, dump
from inspect_tui.domain.chain import digest_of, rewound
from inspect_tui.domain.identity import Key
from inspect_tui.domain.owner.money import Money
from inspect_tui.domain.records import Record
from inspect_tui.handover.making import made_of
from inspect_tui.handover.model import Part, Proof, Report
from inspect_tui.handover.parts.causes import causes_part
from inspect_tui.handover.parts.changed import corrections_part
from inspect_tui.handover.parts.closing import cautions_part, limits_part, rules_part
from inspect_tui.handover.parts.cover import about, as_of, cover, troubles
from inspect_tui.handover.parts.findings import brief_part, decisive_part, findings_part, worklist_part
from inspect_tui.handover.parts.front import front
from inspect_tui.handover.parts.metal.metal import metal_part, pits_part
from inspect_tui.handover.parts.metal.shell import shell_part
from inspect_tui.handover.parts.places import places_part, unseen_part
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.handover.parts.work.jobs import jobs_part
from inspect_tui.handover.parts.work.money import money_part
from inspect_tui.handover.parts.work.plan import plan_part
from inspect_tui.handover.parts.working import working_part
from inspect_tui.judgement.judged import Judged


class PartName(StrEnum):
    """Parts that can be chosen, in their order; the limits end all papers."""

    FRONT = "one page"
    PLAN = "plan"
    MONEY = "money"
    WORKLIST = "worklist"
    SHELL = "shell"
    DECISIVE = "what decides"
    BRIEF = "findings in brief"
    COVER = "boat and instruments"
    FINDINGS = "findings"
    METAL = "thickness"
    PITS = "pits"
    CAUSES = "causes"
    SEEN = "seen and not seen"
    UNSEEN = "why not seen"
    CORRECTIONS = "corrections"
    JOBS = "job sheets"
    CAUTIONS = "cautions"
    WORKING = "working"
    RULES = "rules"


class Reader(StrEnum):
    """Who the papers are for."""

    BUYER = "buyer or seller"
    SURVEYOR = "surveyor"
    WELDER = "welder or yard"
    OWNER = "owner"
    INSURER = "insurer"


# Each number with what it rests on: for whoever signs, or must believe it a year later.
_PROVED = frozenset(
    {
        PartName.FRONT,
        PartName.COVER,
        PartName.SHELL,
        PartName.FINDINGS,
        PartName.METAL,
        PartName.PITS,
        PartName.CAUSES,
        PartName.SEEN,
        PartName.UNSEEN,
        PartName.CORRECTIONS,
        PartName.WORKING,
        PartName.RULES,
    }
)
_TO = {
    Reader.BUYER: "a buyer or seller",
    Reader.SURVEYOR: "a surveyor",
    Reader.WELDER: "a welder or yard",
    Reader.OWNER: "the owner",
    Reader.INSURER: "an insurer",
}
READS: Mapping[Reader, frozenset[PartName]] = MappingProxyType(
    {
        Reader.BUYER: frozenset(
            {
                PartName.FRONT,
                PartName.SHELL,
                PartName.DECISIVE,
                PartName.BRIEF,
                PartName.SEEN,
            }
        ),
        Reader.SURVEYOR: _PROVED,
        Reader.INSURER: _PROVED,
        Reader.WELDER: frozenset({PartName.JOBS}),
        Reader.OWNER: frozenset(
            {
                PartName.FRONT,
                PartName.PLAN,
                PartName.MONEY,
                PartName.WORKLIST,
                PartName.SHELL,
                PartName.BRIEF,
                PartName.CAUSES,
                PartName.SEEN,
                PartName.CAUTIONS,
            }
        ),
    }
)
_BUILD: Mapping[PartName, Callable[[Subject], Part]] = MappingProxyType(
    {
        PartName.FRONT: front,
        PartName.PLAN: plan_part,
        PartName.MONEY: money_part,
        PartName.WORKLIST: worklist_part,
        PartName.SHELL: shell_part,
        PartName.DECISIVE: decisive_part,
        PartName.BRIEF: brief_part,
        PartName.COVER: cover,
        PartName.FINDINGS: findings_part,
        PartName.METAL: metal_part,
        PartName.PITS: pits_part,
        PartName.CAUSES: causes_part,
        PartName.SEEN: places_part,
        PartName.UNSEEN: unseen_part,
        PartName.CORRECTIONS: corrections_part,
        PartName.JOBS: jobs_part,
        PartName.CAUTIONS: cautions_part,
        PartName.WORKING: working_part,
        PartName.RULES: rules_part,
    }
)


@dataclass(frozen=True)
class Contents:
    """What goes into the papers, and the name of the files. `located`: whether a photo may carry the place it was
    taken at; `money`: whether they may say what the owner's own numbers say."""

    parts: frozenset[PartName] = frozenset(PartName) - {PartName.MONEY}
    photos: bool = True
    located: bool = False
    name: str = "papers"
    reader: str = ""
    money: bool = False

    @classmethod
    def for_readers(cls, *readers: Reader, photos: bool = True, located: bool = False) -> Contents:
        name = readers[0].value.split()[0] if len(readers) == 1 else "papers"
        told = " and ".join(_TO[one] for one in readers)
        parts = frozenset().union(*(READS[reader] for reader in readers))
        return cls(parts, photos, located, name, told, readers == (Reader.OWNER,))


EVERYTHING = Contents()


def make_report(
    judged: Judged,
    contents: Contents = EVERYTHING,
    *,
    lost_photos: Mapping[str, str] = MappingProxyType({}),
    photo_places: Mapping[str, str] = MappingProxyType({}),
    money: Money | None = None,
) -> Report:
    """Put the papers together. `lost_photos`: why a photo cannot be shown; `photo_places`: where one was taken;
    `money`: the owner's own numbers, where these papers may say them."""
    subject = Subject(judged, contents.photos, lost_photos, photo_places, money if contents.money else None)
    proof = proof_of(judged)
    # Where all findings are told, those that decide are among them.
    left_out = {PartName.DECISIVE} if PartName.FINDINGS in contents.parts else set()
    parts = [_BUILD[name](subject) for name in PartName if name in contents.parts - left_out]
    closing = limits_part(proof, signed=PartName.RULES in contents.parts)
    whole = (*parts, replace(closing, blocks=(*troubles(subject), *closing.blocks)))
    rings = {finding.chalk: subject.ring_of(finding) for finding in judged.book.findings.values()}
    return Report(
        judged.book.boat.name, "papers of an inspection", whole, proof, about(judged.book), contents.reader, rings,
        subject.frames,
    )  # fmt: skip


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
