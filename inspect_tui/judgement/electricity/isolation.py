"""The newest isolation test, of the wiring against the hull: in ohms or by a lamp."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inspect_tui.domain.book import Book
from inspect_tui.domain.identity import Key
from inspect_tui.domain.reading_records import ResistanceReading
from inspect_tui.domain.records import Boat
from inspect_tui.domain.words import Across
from inspect_tui.engineering.electricity.isolated_hull import (
    LAMP_ASK,
    Fault,
    HullTest,
    Isolation,
    hull_test,
    lamp_test,
)
from inspect_tui.engineering.working import Working, shown


@dataclass(frozen=True)
class Tested:
    """What one test says. `leak`: whether it shows a leak, None where it cannot tell; `lost`: minus alone touches;
    `ask`: a pole touches, and nobody has said whether one is tied to the hull on purpose."""

    reading: ResistanceReading
    leak: bool | None
    told: str
    working: Working
    lost: bool = False
    ask: bool = False


def judge_test(boat: Boat, reading: ResistanceReading) -> Tested | None:
    """What an isolation test says; None if nothing was read. The lowest resistance counts."""
    day = f"{reading.when:%Y-%m-%d}"
    if reading.lamp:
        return _judge_lamp(boat, reading, f"lamp {reading.lamp}, {day}")
    if not reading.resistance_ohm:
        return None
    test = test_of(reading.resistance_ohm, boat.negative_tied)
    poles = ("positive ", "negative ") if len(reading.resistance_ohm) == 2 else ("",) * 9
    read = " and ".join(f"{pole}{shown(value)}" for pole, value in zip(poles, reading.resistance_ohm, strict=False))
    current = f"; {shown(test.through_ma)} mA from pole to pole at 12 V" if test.through_ma is not None else ""
    told = f"{read} Ω, {day}: {test.word}; {test.fault}{current}"
    return Tested(reading, test.leak, told, test.working, test.lost, test.ask)


def _judge_lamp(boat: Boat, reading: ResistanceReading, read: str) -> Tested:
    assert reading.lamp is not None
    isolation, working = lamp_test(reading.lamp)
    if boat.negative_tied:
        return Tested(reading, None, f"{read}: {Fault.TIED}", working)
    if isolation is Isolation.NOT_SEEN:
        return Tested(reading, None, f"{read}: {isolation}", working)
    if boat.negative_tied is None:
        return Tested(reading, None, f"{read}: it glows; {LAMP_ASK}", working, ask=True)
    return Tested(reading, True, f"{read}: {isolation}", working)


def test_of(ohms: Sequence[float], tied: bool | None) -> HullTest:
    """Two numbers are plus and minus, in this order; of others the lowest counts, of a pole that nobody named."""
    return hull_test(*ohms, tied=tied) if len(ohms) == 2 else hull_test(min(ohms), tied=tied)


def newest_test(book: Book) -> Tested | None:
    """The newest test that says something."""
    tests = [
        one for one in book.readings.values() if isinstance(one, ResistanceReading) and one.across is Across.HULL
    ]
    # A dark lamp says little: it does not put ohms aside.
    told = [one for one in tests if one.lamp != "dark"] or tests
    newest = max(told, key=lambda one: (one.when, Key.of(one.id)), default=None)
    return None if newest is None else judge_test(book.boat, newest)
