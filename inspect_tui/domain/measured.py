"""What was measured before: at the same place, with the same instrument."""

from __future__ import annotations

from inspect_tui.domain.book import Book
from inspect_tui.domain.checklists import ReadingKind
from inspect_tui.domain.records import PitReading, PotentialReading, Reading


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
    """The patch of pits measured here before: equal patches are what can be compared."""
    patches = [one for one in readings if isinstance(one, PitReading) and one.patch_area_m2]
    return patches[-1] if patches else None


def last_electrode(book: Book) -> str:
    """The electrode that was named last; empty if none was."""
    named = [one for one in book.readings.values() if isinstance(one, PotentialReading) and one.electrode]
    last = max(named, key=lambda one: one.when, default=None)
    return last.electrode if last else ""
