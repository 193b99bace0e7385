"""The newest test of the wiring against the hull, in ohms or by a lamp."""

from __future__ import annotations

from dataclasses import dataclass

from inspect_tui.domain.book import Book
from inspect_tui.domain.identity import Key
from inspect_tui.domain.reading_records import ResistanceReading
from inspect_tui.domain.records import Boat
from inspect_tui.domain.words import Across, HullMetal
from inspect_tui.engineering.electricity.isolated_hull import Isolation, hull_test, lamp_test
from inspect_tui.engineering.working import Working, shown

# Below this it is a wire to the hull, and no current can be told from it [Ω]; common practice.
WIRE_OHM = 10.0


@dataclass(frozen=True)
class Tested:
    """What one test says. `leak`: whether it shows a leak, None where it cannot tell."""

    reading: ResistanceReading
    isolation: Isolation
    leak: bool | None
    told: str
    working: Working


def judge_test(boat: Boat, reading: ResistanceReading) -> Tested | None:
    """What a test of the wiring says; None if nothing was read. The lowest resistance counts."""
    day = f"{reading.when:%Y-%m-%d}"
    if reading.lamp:
        isolation, working = lamp_test(reading.lamp)
        leak = None if boat.negative_tied or isolation is Isolation.NOT_SEEN else True
        return Tested(reading, isolation, leak, f"lamp {reading.lamp}, {day}: {isolation.value}", working)
    if not reading.resistance_ohm:
        return None
    ohm = min(reading.resistance_ohm)
    test = hull_test(ohm, metal="steel" if boat.hull_metal is HullMetal.STEEL else "aluminium")
    leak = {Isolation.PARTED: False, Isolation.SMALL: None}.get(test.isolation, True)
    # One number is one pole: it can show a leak and cannot rule one out. Tied to a pole on purpose she reads low.
    if boat.negative_tied or (leak is False and len(reading.resistance_ohm) < 2):
        leak = None
    read = " and ".join(
        f"{pole}{shown(value)}"
        for pole, value in zip(("plus ", "minus ") if len(reading.resistance_ohm) == 2 else ("",) * 9,
                               reading.resistance_ohm, strict=False)
    )  # fmt: skip
    told = f"{read} Ω, {day}: {test.isolation.value}; " + (
        "as good as a wire to the hull"
        if ohm < WIRE_OHM
        else f"{shown(test.leak_ma)} mA at 12 V, {shown(test.metal_g_a_year)} g of metal a year at the most"
    )
    if boat.negative_tied:
        told += "; negative is tied to the hull on purpose, so that this tells nothing"
    return Tested(reading, test.isolation, leak, told, test.working)


def newest_test(book: Book) -> Tested | None:
    """The newest test that says something."""
    tests = [
        one for one in book.readings.values() if isinstance(one, ResistanceReading) and one.across is Across.HULL
    ]
    # A dark lamp says little: it does not put ohms aside.
    told = [one for one in tests if one.lamp != "dark"] or tests
    newest = max(told, key=lambda one: (one.when, Key.of(one.id)), default=None)
    return None if newest is None else judge_test(book.boat, newest)
