"""The circuit hunt that stands in the book: its readings in order, and what they show."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from inspect_tui.domain.book import Book, Edit, Stamp
from inspect_tui.domain.edits.findings import NewFinding, write_finding
from inspect_tui.domain.identity import Key
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.named import Areas, Kinds, Prompts
from inspect_tui.domain.measuring.measured import ashore
from inspect_tui.domain.reading_records import PotentialReading
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.words import CLOSED, Likelihood, Severity
from inspect_tui.engineering.electricity.circuit_hunt import Hunt, Shift, Switched, Taken, hunt
from inspect_tui.engineering.electricity.electrodes import electrode_named
from inspect_tui.errors import CannotCalculate

# Neighbouring readings further apart are of different hunts.
ONE_HUNT = timedelta(hours=12)
_FIXED = {one.value: one for one in Switched if one is not Switched.CIRCUIT}


def hunting_place(book: Book) -> Compartment | None:
    """Where a hunt is written down: the boat's electrics, or her first compartment."""
    places = book.bow_to_stern()
    return next((place for place in places if place.area == Areas.ELECTRICS), places[0] if places else None)


def newest_hunt(book: Book) -> list[PotentialReading]:
    """The readings of the newest hunt, in order: back to the first gap that is too long for one."""
    all_ = sorted(
        (
            one
            for one in book.readings.values()
            if isinstance(one, PotentialReading)
            and one.prompt == Prompts.CIRCUIT_HUNT
            and one.circuit
            and one.potential_mv
            and not ashore(book.boat, one)
        ),
        key=lambda one: (one.when, Key.of(one.id)),
    )
    hunt: list[PotentialReading] = []
    for one in reversed(all_):
        if hunt and hunt[-1].when - one.when > ONE_HUNT:
            break
        hunt.append(one)
    return hunt[::-1]


def under_way(readings: Sequence[PotentialReading], now: datetime) -> bool:
    """Whether the newest hunt is still going on: later a reading begins another."""
    return bool(readings) and now - readings[-1].when <= ONE_HUNT


def taken(reading: PotentialReading) -> Taken:
    switched = _FIXED.get(reading.circuit, Switched.CIRCUIT)
    return Taken(switched, reading.potential_mv[-1], "" if reading.circuit in _FIXED else reading.circuit)


def judge_hunt(readings: Sequence[PotentialReading]) -> Hunt:
    """What a hunt shows. Of a circuit that was read again, the newest reading counts.

    Raises
    ------
    CannotCalculate : it does not begin with a baseline, a reading names no electrode, or two electrodes were used.
    """
    if len({electrode_named(reading.electrode).id for reading in readings}) > 1:
        raise CannotCalculate("Readings from two electrodes cannot be compared: do the hunt again with one.")
    newest = {one.circuit: one.id for one in readings}
    base = Switched.BASELINE.value
    return hunt([taken(one) for one in readings if one.circuit == base or newest[one.circuit] == one.id])


def open_leak_of(book: Book, circuit: str) -> bool:
    """Whether a leak of this circuit stands in the book as a finding that is not closed."""
    return any(
        one.kind == Kinds.LEAKAGE and one.status not in CLOSED and one.circuit == circuit
        for one in book.findings.values()
    )


def leak_finding(book: Book, checklists: Checklists, stamp: Stamp, place: Compartment, shift: Shift) -> Edit:
    """A finding for the circuit that stands out: a current is cured before any metal is repaired."""
    fault = shift.faulty
    new = NewFinding(
        kind=Kinds.LEAKAGE,
        words=f"{shift.taken.circuit} moves the hull by {shift.shift_mv:+.0f} mV",
        severity=Severity.CRITICAL if fault else Severity.MARGINAL,
        likelihood=Likelihood.A if fault else Likelihood.B,
        circuit=shift.taken.circuit,
    )
    return write_finding(book, stamp, place, new, prompt=checklists.prompts.get(Prompts.CIRCUIT_HUNT))
