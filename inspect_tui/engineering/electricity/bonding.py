"""Resistances on board against what is asked of them: a bond, an anode's fastening, a part that ought to be parted.

The sources disagree; all that was found stands beside the number.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from inspect_tui.engineering.working import Seen, Source, Step, Working, shown
from inspect_tui.errors import CannotCalculate

Joint = Literal["bond", "anode", "part", "parted"]
HAMILTON = Source("HamiltonJet HJ241, 4", Seen.READ)
# At most [Ω], from the strictest.
ASKED_OF_BONDS: Mapping[float, Source] = MappingProxyType(
    {
        0.01: Source("Nippon Zaidan 2000, earth of a water jet", Seen.READ),
        0.02: Source("Nippon Zaidan 2000, earth of a mast", Seen.READ),
        0.2: HAMILTON,
        0.5: Source("boatlyfe", Seen.TRADE),
        1.0: Source("powerandmotoryacht, after small-craft practice", Seen.TRADE),
    }
)
ANODE_MOST_OHM = 0.2
# A part below the first is joined to the hull, from the second up it is parted from it.
JOINED_OHM, PARTED_OHM = 10.0, 1000.0
JOINED = Source("10 Ω for joined: no source was found", Seen.JUDGEMENT)


@dataclass(frozen=True)
class Resistance:
    """`state` in a word; `good` is None for a part of which it is not known what was meant."""

    state: str
    good: bool | None
    say: str
    working: Working


def resistance(ohm: float, joint: Joint) -> Resistance:
    """Judge a resistance [Ω] by what it was measured across.

    Raises
    ------
    CannotCalculate : less than nothing.

    Examples
    --------
    >>> [resistance(ohm, "anode").good for ohm in (0.1, 0.3)]
    [True, False]
    >>> [resistance(ohm, "part").state for ohm in (0.4, 60, 5000)]
    ['joined', 'neither', 'parted']
    """
    if not 0 <= ohm <= 1e9:
        raise CannotCalculate("A resistance lies between 0 and 1000 MΩ.")
    told = f"{shown(ohm)} Ω"
    if joint in ("part", "parted"):
        state = "joined" if ohm < JOINED_OHM else "parted" if ohm >= PARTED_OHM else "neither"
        say = {
            "joined": "It is in metal contact with the hull: right only if that was meant, and then through a bond.",
            "parted": "It is isolated from the hull.",
            "neither": "Neither joined nor isolated: a wet or dirty pad. Clean, dry, measure again, leads swapped.",
        }[state]
        steps: tuple[Step, ...] = (
            Step("joined", f"below {JOINED_OHM:g} Ω", told, state, JOINED),
            Step("parted", f"{PARTED_OHM:.0f} Ω and up, dry", told, state, HAMILTON),
        )
        not_covered = ("Water in the joint carries current whatever the meter says: dry it first.",)
        good = state == "parted" if joint == "parted" else None
        return Resistance(state, good, say, Working((), steps, not_covered))
    if joint == "anode":
        held = ohm <= ANODE_MOST_OHM
        say = (
            "The anode is in metal contact." if held else "The anode hardly works: undo it, clean to bright metal "
            "under it, fit new bolts; measure again."
        )  # fmt: skip
        step = Step("anode to hull", f"at most {ANODE_MOST_OHM:g} Ω", told, "good" if held else "too much", HAMILTON)
        not_covered = ("The meter's own leads: touch them together and take that reading off.",)
        return Resistance("good" if held else "too much", held, say, Working((), (step,), not_covered))
    kept = [limit for limit in ASKED_OF_BONDS if ohm <= limit]
    good = bool(kept) and min(kept) <= ANODE_MOST_OHM
    failed = [limit for limit in ASKED_OF_BONDS if ohm > limit]
    say = (
        "Passes every limit that was found." if not failed
        else f"Passes {kept[0]:g} Ω and fails {failed[-1]:g} Ω: the sources disagree." if kept
        else "More than any source allows: undo, clean, fit new lugs."
    )  # fmt: skip
    steps = tuple(
        Step("bond", f"at most {limit:g} Ω", told, "passes" if ohm <= limit else "fails", source)
        for limit, source in ASKED_OF_BONDS.items()
    )
    return Resistance("good" if good else "too much", good, say, Working((), steps))
