"""What was measured before: at the same place, with the same instrument."""

from __future__ import annotations

from collections import defaultdict
from datetime import datetime, timedelta

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.areas import ReadingKind
from inspect_tui.domain.measuring.readings import in_words
from inspect_tui.domain.reading_records import PitReading, PotentialReading, Reading
from inspect_tui.domain.records import Boat, Finding
from inspect_tui.domain.words import CLOSED, Status
from inspect_tui.errors import NotUnderstood

READ_ASHORE = "read ashore: only a note, counts for nothing"


def newest_of(book: Book, kind: ReadingKind) -> Reading | None:
    """The newest reading of this kind anywhere: its instrument is likely the one in the hand."""
    same = [reading for reading in book.readings.values() if reading.kind == kind]
    return max(same, key=lambda reading: reading.when, default=None)


def readings_here(book: Book, compartment: str, chalk: int | None, plate: str | None) -> list[Reading]:
    """What was measured at this finding, or loose in this compartment and on this plate; the newest last."""
    return sorted(
        (
            reading
            for reading in book.readings.values()
            if reading.finding == chalk
            and reading.compartment == compartment
            and (chalk is not None or plate is None or reading.plate_field == plate)
        ),
        key=lambda reading: reading.when,
    )


def last_patch(readings: list[Reading]) -> PitReading | None:
    """The square of pits measured here before: equal squares are what can be compared."""
    patches = [one for one in readings if isinstance(one, PitReading) and one.patch_area_m2]
    return patches[-1] if patches else None


def last_every_pit(readings: list[Reading]) -> bool | None:
    """Whether every pit was typed of the square measured here before."""
    patches = [one for one in readings if isinstance(one, PitReading)]
    return patches[-1].every_pit if patches else None


def last_electrode(book: Book) -> str:
    """The electrode that was named last; empty if none was."""
    named = [one for one in book.readings.values() if isinstance(one, PotentialReading) and one.electrode]
    last = max(named, key=lambda one: one.when, default=None)
    return last.electrode if last else ""


def moment(when: datetime) -> str:
    """A time as it was where the book was written."""
    return f"{when:%Y-%m-%d %H:%M}"


def moment_of(text: str, now: datetime) -> datetime:
    """A day, or a day and an hour, as somebody typed it; in the zone of `now` unless it names its own.

    Raises
    ------
    NotUnderstood : no time, or one that has not come yet.
    """
    try:
        when = datetime.fromisoformat(text)
    except ValueError:
        raise NotUnderstood(f'"{text}" is not a time: write it as 2025-11-16 14:30.') from None
    when = when if when.tzinfo else when.replace(tzinfo=now.tzinfo)
    if when > now + timedelta(minutes=5):
        raise NotUnderstood(f"{text} has not come yet.")
    return when


def ashore(boat: Boat, reading: Reading) -> bool:
    """Whether it is a potential from a time when she was out of the water: the hull had no water round it to have a
    potential in."""
    return isinstance(reading, PotentialReading) and boat.afloat_at(reading.when) is False


def read_words(boat: Boat, reading: Reading) -> str:
    """What was read; of a potential ashore, that it counts for nothing."""
    return in_words(reading) + (f"; {READ_ASHORE}" if ashore(boat, reading) else "")


def instrument_words(reading: Reading) -> str:
    if not reading.instrument:
        return ""
    return reading.instrument + (f" ± {reading.instrument_error:g}" if reading.instrument_error is not None else "")


def reading_line(boat: Boat, reading: Reading) -> str:
    """What was measured, where, with what, when, on which metal."""
    parts = [read_words(boat, reading)]
    if position := walk.position_words(reading.position):
        parts.append(position)
    if instrument := instrument_words(reading):
        parts.append(instrument)
    if reading.clean_metal is not None:
        parts.append("on bright metal" if reading.clean_metal else "NOT on bright metal")
    if reading.note:
        parts.append(reading.note)
    parts.append(f"{moment(reading.when)} by {reading.by}")
    return "; ".join(parts)


def _stale(finding: Finding, read: list[datetime]) -> bool:
    """Cleaned or repaired since it was last measured: what was read there before says little now."""
    if finding.status in CLOSED:
        return False
    worked = [event.when for event in finding.history if event.status in (Status.CLEANED, Status.REPAIRED)]
    if not worked:
        return False
    measured = [event.when for event in finding.history if event.status is Status.MEASURED]
    return max(worked) > max([*read, *measured], default=min(worked)) or not (read or measured)


def waiting_for_measuring(book: Book) -> list[Finding]:
    """Findings to be measured again, by chalk number."""
    read: dict[int, list[datetime]] = defaultdict(list)
    for reading in book.readings.values():
        if reading.finding is not None:
            read[reading.finding].append(reading.when)
    return sorted((one for one in book.findings.values() if _stale(one, read[one.chalk])), key=lambda one: one.chalk)
