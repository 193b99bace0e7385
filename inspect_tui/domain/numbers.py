"""Single numbers typed into forms: comma or dot, optional unit, one sentence when they cannot be read."""

from __future__ import annotations

import re

from inspect_tui.domain.errors import NotUnderstood

_PLAIN = re.compile(r"[+\-−]?\d+(?:[.,]\d+)?|[+\-−]?[.,]\d+", re.ASCII)
# Units that may be typed where one is asked for, and what one of them is in it; the longest words first.
_UNITS: dict[str, dict[str, float]] = {
    "mm": {"mm": 1.0, "cm": 10.0, "inch": 25.4, "in": 25.4, '"': 25.4, "ft": 304.8, "m": 1000.0},
    "m": {"mm": 0.001, "cm": 0.01, "ft": 0.3048, "m": 1.0},
    "kg": {"kg": 1.0, "lb": 0.45359237, "t": 1000.0},
}


def typed_number(text: str, name: str, unit: str, low: float, high: float) -> float | None:
    """The number in a form's field, or None if the field is empty.

    Raises
    ------
    NotUnderstood : not a number, or outside low to high.

    Examples
    --------
    >>> typed_number("12,4 m", "length", "m", 2, 120)
    12.4
    >>> typed_number("1,2 m", "girth", "mm", 0, 20000), typed_number("4 in", "width", "mm", 1, 1000)
    (1200.0, 101.6)
    """
    text = text.strip()
    if not text:
        return None
    bare, factor = text, 1.0
    for word, times in _UNITS.get(unit, {unit: 1.0}).items():
        if word and text.lower().endswith(word.lower()):
            bare, factor = text[: -len(word)].rstrip(), times
            break
    if not _PLAIN.fullmatch(bare):
        shown = text if len(text) <= 24 else text[:24] + "…"
        raise NotUnderstood(f'"{shown}" is not a number for {name}{f" in {unit}" if unit else ""}.')
    number = float(bare.replace(",", ".").replace("−", "-")) * factor
    if not low <= number <= high:
        raise NotUnderstood(f"{name}: {number:g} is outside {low:g} to {high:g}{f' {unit}' if unit else ''}.")
    return number
