"""What the other meters say as they are read: ohms, pH, oxygen, vapour. Each against its limits, with the working."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inspect_tui.domain.book import Book
from inspect_tui.domain.checklists import ReadingKind
from inspect_tui.domain.readings import values_of
from inspect_tui.domain.records import Boat, Reading, ResistanceReading
from inspect_tui.domain.words import Across, HullMetal
from inspect_tui.engineering import tanks
from inspect_tui.engineering.bonding import Joint, resistance
from inspect_tui.engineering.errors import CannotCalculate
from inspect_tui.engineering.isolated_hull import Isolation, hull_test
from inspect_tui.engineering.working import Working


@dataclass(frozen=True)
class Told:
    """Headed lines and the working of one reading; `fails`: it asks for a finding."""

    lines: list[tuple[str, str]]
    working: Working
    fails: bool


JOINTS: dict[Across, Joint] = {Across.PART: "part", Across.BOND: "bond", Across.ANODE: "anode"}


def meaning_of(boat: Boat, kind: ReadingKind, values: Sequence[float], across: Across | None = None) -> Told | None:
    """Headed lines and the working of one reading; None for kinds that have no limit. The worst value counts.

    Raises
    ------
    CannotCalculate : the number cannot be.
    """
    match kind:
        case "resistance" if across is Across.HULL:
            test = hull_test(min(values), metal="steel" if boat.hull_metal is HullMetal.STEEL else "aluminium")
            told = f"{test.isolation.value}; {test.leak_ma:.3g} mA at 12 V through it"
            bad = test.isolation in (Isolation.LEAK, Isolation.HEAVY) and not boat.negative_tied
            tied = [("doubt", "Negative is tied to the hull on purpose: this tells nothing.")] * bool(
                boat.negative_tied
            )
            return Told([("so far", told.upper() if bad else told), *tied], test.working, bad)
        case "resistance" if across is not None:
            joint = resistance(min(values) if across is Across.PART else max(values), JOINTS[across])
            return Told([("so far", joint.state.upper()), ("because", joint.say)], joint.working, joint.good is False)
        case "acidity" if boat.hull_metal is HullMetal.ALUMINIUM:
            judged = max((tanks.acidity(value) for value in values), key=lambda one: not one.passes)
        case "oxygen":
            judged = max((tanks.oxygen(value) for value in values), key=lambda one: not one.passes)
        case "vapour":
            judged = tanks.vapour(max(values))
        case _:
            return None
    lines = [("so far", "PASSES" if judged.passes else "FAILS"), ("because", judged.say)]
    lines += [("beware", one) for one in judged.working.not_covered]
    return Told(lines, judged.working, not judged.passes)


def failing_at(book: Book, compartment: str, prompt: str) -> Reading | None:
    """The newest reading of this round that was kept for a question, belongs to no finding, and fails."""
    here = [
        one
        for one in book.readings.values()
        if one.compartment == compartment and one.prompt == prompt and one.finding is None
        and one.round == book.round.id and values_of(one)
    ]  # fmt: skip
    last = max(here, key=lambda one: (one.when, int(one.id[1:])), default=None)
    if last is None:
        return None
    across = last.across if isinstance(last, ResistanceReading) else None
    try:
        told = meaning_of(book.boat, last.kind, values_of(last), across)
    except CannotCalculate:
        return None
    return last if told is not None and told.fails else None
