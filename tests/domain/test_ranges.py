"""Every number that can be typed, with its unit and its range, as a table: none changes unread.

After a change: `UPDATE_GOLDENS=1 pytest tests/domain/test_ranges.py`, then read the diff.
"""

from __future__ import annotations

import os
from pathlib import Path

from inspect_tui.domain.measuring.readings import KINDS
from inspect_tui.domain.quantities import QUANTITIES, Quantity, instrument_error, salinity, year_built

TABLE = Path(__file__).parent / "data" / "ranges.txt"


def row(name: str, of: Quantity) -> str:
    whole = ", whole" if of.whole else ""
    return f"{name:<22} {of.name:<28} {of.low:>12g} to {of.high:<12g} {of.unit}{whole}: {of.example}\n"


def test_the_ranges_are_those_of_the_table() -> None:
    rows = [row(name, of) for name, of in QUANTITIES.items()]
    rows += [row(kind, about.quantity) for kind, about in KINDS.items()]
    rows += [row("salinity from 3", salinity(3)), row("year up to 2026", year_built(2026))]
    rows += [row(f"error {unit}", instrument_error(unit)) for unit in ("mm", "mV")]
    if os.environ.get("UPDATE_GOLDENS"):
        TABLE.parent.mkdir(exist_ok=True)
        TABLE.write_text("".join(rows), encoding="utf-8")
    assert "".join(rows) == TABLE.read_text(encoding="utf-8")


def test_letters_of_the_kinds_of_reading_are_their_own() -> None:
    letters = [about.letter for about in KINDS.values()]
    assert len(set(letters)) == len(letters)
