"""The newest test of the wiring against the hull, in ohms or by a lamp."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inspect_tui.domain.book import Book
from inspect_tui.domain.identity import Key
from inspect_tui.domain.reading_records import ResistanceReading
from inspect_tui.domain.records import Boat
from inspect_tui.domain.words import Across
from inspect_tui.engineering.electricity.isolated_hull import HullTest, Isolation, hull_test, isolation_of, lamp_test
from inspect_tui.engineering.working import Working, shown


@dataclass(frozen=True)
class Tested:
    """What one test says. `leak`: whether it shows a leak, None where it cannot tell; `lost`: minus alone touches."""

    reading: ResistanceReading
    isolation: Isolation
    leak: bool | None
    told: str
    working: Working
    lost: bool = False


def judge_test(boat: Boat, reading: ResistanceReading) -> Tested | None:
    """What a test of the wiring says; None if nothing was read. The lowest resistance counts."""
    day = f"{reading.when:%Y-%m-%d}"
    if reading.lamp:
        isolation, working = lamp_test(reading.lamp)
        leak = None if boat.negative_tied or isolation is Isolation.NOT_SEEN else True
        return Tested(reading, isolation, leak, f"lamp {reading.lamp}, {day}: {isolation.value}", working)
    if not reading.resistance_ohm:
        return None
    test = test_of(reading.resistance_ohm)
    poles = reading.resistance_ohm if len(reading.resistance_ohm) == 2 else ()
    leak = {Isolation.PARTED: False, Isolation.SMALL: None}.get(test.isolation, True)
    # One number is one pole: it can show a leak and cannot rule one out. Tied to a pole on purpose she reads low.
    # Minus alone is lost isolation, and no current.
    lost = bool(leak and not boat.negative_tied and poles and isolation_of(poles[0]) is Isolation.PARTED)
    if boat.negative_tied or lost or (leak is False and not poles):
        leak = None
    read = " and ".join(
        f"{pole}{shown(value)}"
        for pole, value in zip(("plus ", "minus ") if poles else ("",) * 9, reading.resistance_ohm, strict=False)
    )
    current = f"; {shown(test.through_ma)} mA from pole to pole at 12 V" if test.through_ma is not None else ""
    told = f"{read} Ω, {day}: {test.isolation.value}; {test.say}{current}"
    if boat.negative_tied:
        told += "; negative is tied to the hull on purpose, so that this tells nothing"
    elif boat.negative_tied is None and test.isolation is not Isolation.PARTED:
        told += "; first ask whether a pole is tied to the hull on purpose"
    return Tested(reading, test.isolation, leak, told, test.working, lost)


def test_of(ohms: Sequence[float]) -> HullTest:
    """Two numbers are plus and minus, in this order; of others the lowest counts, of a pole that nobody named."""
    return hull_test(*ohms) if len(ohms) == 2 else hull_test(min(ohms))


def newest_test(book: Book) -> Tested | None:
    """The newest test that says something."""
    tests = [
        one for one in book.readings.values() if isinstance(one, ResistanceReading) and one.across is Across.HULL
    ]
    # A dark lamp says little: it does not put ohms aside.
    told = [one for one in tests if one.lamp != "dark"] or tests
    newest = max(told, key=lambda one: (one.when, Key.of(one.id)), default=None)
    return None if newest is None else judge_test(book.boat, newest)
