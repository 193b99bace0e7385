"""Readings: taken, and taken out again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Literal

from inspect_tui.domain.book import ADAPTERS, Book, Edit, Put, Stamp
from inspect_tui.domain.edits.findings import NewFinding, move_finding, write_finding
from inspect_tui.domain.knowledge.areas import Prompt, ReadingKind
from inspect_tui.domain.knowledge.named import Kinds
from inspect_tui.domain.measuring.metal_records import OTHER_MEMBER
from inspect_tui.domain.measuring.readings import KINDS, OF_THE_METAL
from inspect_tui.domain.reading_records import Reading
from inspect_tui.domain.records import NOWHERE, Compartment, Finding, Position
from inspect_tui.domain.words import Across, Likelihood, Severity, Status
from inspect_tui.errors import NotAllowed


@dataclass(frozen=True)
class ReadingDetails:
    """What is said of a reading beside its numbers, under the names of its record; of the kinds that know it."""

    prompt: str | None = None
    plate_field: str | None = None
    member: str | None = None
    part: Literal["web", "flange"] | None = None
    chalk_seen: bool | None = None
    position: Position = NOWHERE
    instrument: str = ""
    instrument_error: float | None = None
    clean_metal: bool | None = None
    typed: str = ""
    note: str = ""
    holed_through: int = 0
    soft: bool = False
    patch_length_mm: float | None = None
    patch_width_mm: float | None = None
    worst_chosen: bool | None = None
    every_pit: bool | None = None
    plan: str | None = None
    square: int | None = None
    method: str | None = None
    paint_mm: float | None = None
    electrode: str = ""
    circuit: str = ""
    water_salinity_g_kg: float | None = None
    water_chloride_mg_l: float | None = None
    without_anodes: bool | None = None
    across: Across | None = None
    lamp: Literal["dark", "faint", "bright"] | None = None


NOTHING_SAID = ReadingDetails()


def reading_taken(
    book: Book,
    stamp: Stamp,
    compartment: Compartment,
    kind: ReadingKind,
    values: Sequence[float],
    details: ReadingDetails = NOTHING_SAID,
    *,
    finding: Finding | None = None,
) -> Reading:
    """The record of a reading, with the next free key; nothing is written yet.

    Raises
    ------
    TypeError : something is said that a reading of this kind does not know.
    """
    about = KINDS[kind]
    said = {
        field.name: value
        for field in fields(ReadingDetails)
        if (value := getattr(details, field.name)) != getattr(NOTHING_SAID, field.name)
    }
    if strange := set(said) - set(about.record.model_fields):
        raise TypeError(f"A reading of {about.label} takes no {', '.join(sorted(strange))}.")
    reading: Reading = ADAPTERS["readings"].validate_python(
        {
            "id": book.new_key("readings"),
            "kind": kind,
            "round": book.round.id,
            "compartment": compartment.id,
            "when": stamp.when,
            "by": stamp.by,
            "finding": finding.chalk if finding else None,
            about.values: [int(value) if about.quantity.whole else value for value in values],
            **said,
        }
    )
    return reading


def add_reading(
    book: Book,
    stamp: Stamp,
    compartment: Compartment,
    kind: ReadingKind,
    values: Sequence[float],
    details: ReadingDetails = NOTHING_SAID,
    *,
    finding: Finding | None = None,
) -> Edit:
    """A new reading. A finding that was only found or cleaned counts as measured by depths or thickness."""
    reading = reading_taken(book, stamp, compartment, kind, values, details, finding=finding)
    puts = [Put("readings", reading.id, reading)]
    if (
        finding
        and kind in OF_THE_METAL
        and finding.status in (Status.FOUND, Status.CLEANED)
        and reading.clean_metal is not False
    ):
        puts += move_finding(book, stamp, finding, Status.MEASURED).puts
    where = f"finding {finding.chalk}" if finding else compartment.name
    return Edit(f"Measured {KINDS[kind].label} at {where}", tuple(puts))


def finding_of(book: Book, stamp: Stamp, compartment: Compartment, reading: Reading, prompt: Prompt | None) -> Edit:
    """A finding for pits that belong to none, at the place they were measured."""
    new = NewFinding(
        kind=Kinds.PITTING,
        words="",
        severity=prompt.severity if prompt else Severity.MARGINAL,
        likelihood=Likelihood.C,
        position=reading.position,
    )
    asked = prompt if prompt and not prompt.share else None
    found = write_finding(book, stamp, compartment, new, prompt=asked)
    moved = Put("readings", reading.id, reading.model_copy(update={"finding": int(found.puts[0].key)}))
    return Edit(found.words, (*found.puts, moved))


def put_on(book: Book, reading: Reading, on: str | None) -> Edit:
    """Say afterwards on what a depth or thickness was read: a plate field, a member, another part, or nothing said.

    Raises
    ------
    NotAllowed : there is none such, or its square belongs to another plate field.
    """
    if reading.kind not in OF_THE_METAL:
        raise NotAllowed("Only depths and thickness are read on a plate or a member.")
    if on is not None and on not in (*book.plate_fields, *book.members, OTHER_MEMBER):
        raise NotAllowed("There is no such plate or member in the book.")
    plan = book.plans.get(getattr(reading, "plan", None) or "")
    if plan is not None and plan.plate_field != on:
        raise NotAllowed("The square was drawn on another plate: remove the reading and type it there.")
    update = {"plate_field": on if on in book.plate_fields else None, "member": None, "part": None}
    if on is not None and on not in book.plate_fields:
        update["member"] = on
    if reading.kind != "thickness":
        del update["part"]
    words = f"Reading {reading.id}: what it was read on is not said"
    if on is not None:
        named = book.plate_fields.get(on) or book.members.get(on)
        words = f"Reading {reading.id} is of {named.name if named else 'a part by itself'}"
    return Edit(words, (Put("readings", reading.id, reading.model_copy(update=update)),))


def take_out_reading(reading: Reading) -> Edit:
    return Edit(f"Removed the reading {reading.id}", (Put("readings", reading.id, None),))
