"""What a potential says of the hull's protection, by her metal and the water she lies in."""

from __future__ import annotations

import statistics
from collections.abc import Sequence

from inspect_tui.domain.records import Boat
from inspect_tui.domain.words import HullMetal, Water
from inspect_tui.engineering.electrodes import Potential, potential, potential_working
from inspect_tui.engineering.protection import Hull, Protection, WaterKind, protection
from inspect_tui.engineering.working import Working

HULLS: dict[HullMetal, Hull] = {HullMetal.ALUMINIUM: "aluminium", HullMetal.STEEL: "steel"}
WATERS: dict[Water, WaterKind] = {Water.SALT: "salt", Water.BRACKISH: "brackish", Water.FRESH: "fresh"}
# A hull that is at rest stands still within this [mV]; more is common practice for calling it a drift.
STANDS_STILL_MV = 20.0


def judge_potential(boat: Boat, values_mv: Sequence[float], electrode: str) -> tuple[list[tuple[str, str]], Working]:
    """Headed lines on what these potentials mean, and the working behind them.

    Raises
    ------
    CannotCalculate : no electrode is named, or these are no potentials of a hull.
    """
    read = potential(statistics.fmean(values_mv), electrode)
    for value in values_mv:
        potential(value, electrode)
    water = WATERS.get(boat.water, "salt") if boat.water else "salt"
    told = protection(read.sea_mv, HULLS[boat.hull_metal], water)
    lines = [
        ("so far", f"{told.state.value.upper()}: {read.sea_mv:.0f} mV against silver chloride in sea water"),
        ("because", f"{boat.hull_metal.value} in {water} water; bands from {told.bands.source}"),
        ("to do", told.to_do),
    ]
    lines += [("doubt", one) for one in _doubts(boat, values_mv, read, told)]
    return lines, potential_working(read) + told.working


def _doubts(boat: Boat, values_mv: Sequence[float], read: Potential, told: Protection) -> list[str]:
    doubts = []
    spread = max(values_mv) - min(values_mv)
    if spread > STANDS_STILL_MV:
        doubts.append(
            f"The readings differ by {spread:.0f} mV: a potential that does not stand still asks for a circuit hunt."
        )
    if boat.water is None:
        doubts.append("Her water is not written down: judged as salt.")
    elif boat.water is not Water.SALT and read.electrode.in_water:
        doubts.append("Bare silver chloride in fresher water reads too negative: calc electrode, with its salinity.")
    if not boat.afloat:
        doubts.append("She is hauled out: a potential is that of the water about the electrode, and of nothing else.")
    return [*doubts, *told.warnings]
