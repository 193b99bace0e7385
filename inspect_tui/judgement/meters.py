"""What the other meters say as they are read: ohms, pH, oxygen, vapour. Each against its limits, with the working."""

from __future__ import annotations

from collections.abc import Sequence

from inspect_tui.domain.checklists import ReadingKind
from inspect_tui.domain.records import Boat
from inspect_tui.domain.words import Across, HullMetal
from inspect_tui.engineering import tanks
from inspect_tui.engineering.bonding import Joint, resistance
from inspect_tui.engineering.isolated_hull import hull_test
from inspect_tui.engineering.working import Working

Told = tuple[list[tuple[str, str]], Working]
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
            return [("so far", told.upper() if test.leak_ma > 1 else told)], test.working
        case "resistance" if across is not None:
            joint = resistance(min(values) if across is Across.PART else max(values), JOINTS[across])
            return [("so far", joint.state.upper()), ("because", joint.say)], joint.working
        case "acidity" if boat.hull_metal is HullMetal.ALUMINIUM:
            judged = max((tanks.acidity(value) for value in values), key=lambda one: not one.passes)
        case "oxygen":
            judged = max((tanks.oxygen(value) for value in values), key=lambda one: not one.passes)
        case "vapour":
            judged = tanks.vapour(max(values))
        case _:
            return None
    return [("so far", "PASSES" if judged.passes else "FAILS"), ("because", judged.say),
            *(("beware", one) for one in judged.working.not_covered)], judged.working  # fmt: skip
