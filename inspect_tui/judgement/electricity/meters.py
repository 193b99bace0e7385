"""What the other meters say as they are read: ohms, pH, oxygen, vapour, toxic gas. Each against its limits, with the
working."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from inspect_tui.domain.book import Book
from inspect_tui.domain.identity import Key
from inspect_tui.domain.knowledge.areas import ReadingKind
from inspect_tui.domain.measuring.readings import values_of
from inspect_tui.domain.reading_records import Reading, ResistanceReading
from inspect_tui.domain.records import Boat
from inspect_tui.domain.words import Across, HullMetal
from inspect_tui.engineering import tanks
from inspect_tui.engineering.electricity.bonding import Joint, resistance
from inspect_tui.engineering.working import Working
from inspect_tui.errors import CannotCalculate
from inspect_tui.judgement.electricity.isolation import test_of
from inspect_tui.judgement.electricity.protected import Free, judge_potential, newest_water


@dataclass(frozen=True)
class MeterVerdict:
    """Headed lines and the working of one reading; `fails`: it asks for a finding."""

    lines: list[tuple[str, str]]
    working: Working
    fails: bool


JOINTS: dict[Across, Joint] = {
    Across.PART: "part",
    Across.PARTED: "parted",
    Across.BOND: "bond",
    Across.ANODE: "anode",
}


METERED: tuple[ReadingKind, ...] = (
    "resistance",
    "acidity",
    "oxygen",
    "vapour",
    "hydrogen-sulphide",
    "carbon-monoxide",
)
AIR: tuple[ReadingKind, ...] = ("oxygen", "vapour", "hydrogen-sulphide", "carbon-monoxide")
BONDED = (Across.BOND, Across.ANODE)
HAULED = "She is hauled out: a potential read now is kept as a note, and counts for nothing."


def meaning_of(
    boat: Boat, kind: ReadingKind, values: Sequence[float], across: Across | None = None
) -> MeterVerdict | None:
    """Headed lines and the working of one reading; None for kinds that have no limit. The worst value counts.

    Raises
    ------
    CannotCalculate : the number cannot be.
    """
    match kind:
        case "resistance" if across is Across.HULL:
            test = test_of(values, boat.negative_tied)
            bad = bool(test.leak) or test.lost
            told = f"{test.word.upper() if bad else test.word}; {test.fault}"
            return MeterVerdict([("so far", told)], test.working, bad)
        case "resistance" if across is not None:
            joint = resistance((max if across in BONDED else min)(values), JOINTS[across])
            return MeterVerdict(
                [("so far", joint.state.upper()), ("because", joint.say)], joint.working, joint.good is False
            )
        case "acidity" if boat.hull_metal is HullMetal.ALUMINIUM:
            judged = max((tanks.acidity(value) for value in values), key=lambda one: not one.passes)
        case "oxygen":
            judged = max((tanks.oxygen(value) for value in values), key=lambda one: not one.passes)
        case "vapour":
            judged = tanks.vapour(max(values))
        case "hydrogen-sulphide" | "carbon-monoxide":
            judged = tanks.toxic_gas(kind, max(values))
        case _:
            return None
    lines = [("so far", "PASSES" if judged.passes else "FAILS"), ("because", judged.say)]
    lines += [("beware", one) for one in judged.working.not_covered]
    return MeterVerdict(lines, judged.working, not judged.passes)


def potential_so_far(
    book: Book, free: Free | None, values_mv: Sequence[float], electrode: str, when: datetime
) -> MeterVerdict:
    """The same of a potential in mV read at this moment, in the newest water of the book, held against the free
    potential; ashore it has no meaning.

    Raises
    ------
    CannotCalculate : no electrode is named, or the number cannot be.
    """
    if book.boat.afloat_at(when) is False:
        return MeterVerdict([("ashore", HAULED)], Working((), ()), False)
    salinity, chloride = newest_water(book)
    judged = judge_potential(
        book.boat,
        values_mv,
        electrode,
        salinity_g_kg=salinity,
        chloride_mg_l=chloride,
        free=free,
    )
    return MeterVerdict(judged.lines(), judged.working, False)


def fails(boat: Boat, reading: Reading) -> bool:
    """Whether a reading that was kept is outside its limits."""
    across = reading.across if isinstance(reading, ResistanceReading) else None
    try:
        told = meaning_of(boat, reading.kind, values_of(reading), across) if values_of(reading) else None
    except CannotCalculate:
        return False
    return told is not None and told.fails


def failing(book: Book) -> list[Reading]:
    """What fails and stands as no finding, in the order it was read; of each kind at each question the newest."""
    newest: dict[tuple[str, str | None, str], Reading] = {}
    for reading in sorted(book.readings.values(), key=lambda one: (one.when, Key.of(one.id))):
        if reading.finding is None and reading.kind in METERED:
            newest[reading.compartment, reading.prompt, reading.kind] = reading
    return [one for one in newest.values() if fails(book.boat, one)]


def failing_at(failed: Iterable[Reading], round_id: str, compartment: str, prompt: str) -> Reading | None:
    """What fails at a question, in this round, of all that fails."""
    wanted = (compartment, prompt, round_id)
    return next((one for one in failed if (one.compartment, one.prompt, one.round) == wanted), None)


def bad_air_in(failed: Iterable[Reading], compartment: str) -> Reading | None:
    """The newest air that was measured in a compartment, if it fails."""
    return next((one for one in failed if one.compartment == compartment and one.kind in AIR), None)
