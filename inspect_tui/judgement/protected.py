"""What a potential says of the hull's protection, by her metal and the water she lies in; and all of them in time."""

from __future__ import annotations

import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from inspect_tui.domain.book import Book
from inspect_tui.domain.records import Boat, PotentialReading
from inspect_tui.domain.words import HullMetal, Water
from inspect_tui.engineering.circuit_hunt import Switched
from inspect_tui.engineering.electrodes import Potential, potential, potential_working
from inspect_tui.engineering.errors import CannotCalculate
from inspect_tui.engineering.protection import BANDS, Bands, Hull, Protection, WaterKind, protection
from inspect_tui.engineering.working import Working

HULLS: dict[HullMetal, Hull] = {HullMetal.ALUMINIUM: "aluminium", HullMetal.STEEL: "steel"}
WATERS: dict[Water, WaterKind] = {Water.SALT: "salt", Water.BRACKISH: "brackish", Water.FRESH: "fresh"}
PROMPT = "electrics/rest-potential"
# A hull that is at rest stands still within this [mV]; more is common practice for calling it a drift.
STANDS_STILL_MV = 20.0


@dataclass(frozen=True)
class Judged:
    """One potential judged. `free`: the hull's potential with no anode at work that it was held against."""

    read: Potential
    protection: Protection
    free: Potential | None
    doubts: tuple[str, ...]

    @property
    def working(self) -> Working:
        working = potential_working(self.read)
        if self.free is not None:
            working += potential_working(self.free)
        return working + self.protection.working

    def short(self) -> list[tuple[str, str]]:
        """What it means, in few headed lines."""
        told = self.protection
        error = f" ± {self.read.error_mv:.0f}" if self.read.error_mv else ""
        state = told.state.value.upper()
        lines = [("so far", f"{state}: {self.read.sea_mv:.0f}{error} mV, silver chloride in sea water")]
        if told.shift_mv is not None:
            lines.append(("shift", shift_words(told)))
        return [*lines, ("to do", told.to_do)]

    def lines(self) -> list[tuple[str, str]]:
        """The same with the bands it rests on, and what is doubtful."""
        told = self.protection
        because = ("because", f"{told.hull} in {told.water} water; bands: {told.bands.source}")
        return [*self.short(), because, *(("doubt", one) for one in (*self.doubts, *told.warnings))]


def shift_words(told: Protection) -> str:
    """The shift by both measures."""
    return (
        f"{told.shift_mv:.0f} mV below free: {'passes' if told.passes_100 else 'fails'} 100 mV (regulators), "
        f"{'passes' if told.passes_200 else 'fails'} 200 mV (small-craft practice)"
    )


def bands_of(boat: Boat) -> Bands:
    """The bands for her metal and water; of salt water where hers is not written down."""
    return BANDS[HULLS[boat.hull_metal], "fresh" if boat.water is Water.FRESH else "salt"]


def judge_potential(
    boat: Boat,
    values_mv: Sequence[float],
    electrode: str,
    *,
    salinity_g_kg: float | None = None,
    free: Potential | None = None,
) -> Judged:
    """What these potentials mean. `salinity_g_kg` of the water, for bare silver chloride.

    Raises
    ------
    CannotCalculate : no electrode is named, or these are no potentials of a hull.
    """
    for value in values_mv:
        potential(value, electrode)
    read = potential(statistics.fmean(values_mv), electrode, salinity_g_kg=salinity_g_kg)
    water = WATERS.get(boat.water, "salt") if boat.water else "salt"
    free_mv = free.sea_mv if free else None
    told = protection(read.sea_mv, HULLS[boat.hull_metal], water, free_mv=free_mv, error_mv=max(read.error_mv, 20.0))
    return Judged(read, told, free, tuple(_doubts(boat, values_mv, read)))


def _doubts(boat: Boat, values_mv: Sequence[float], read: Potential) -> list[str]:
    doubts = []
    spread = max(values_mv) - min(values_mv)
    if spread > STANDS_STILL_MV:
        doubts.append(
            f"The readings differ by {spread:.0f} mV: a potential that does not stand still asks for a circuit hunt."
        )
    if boat.water is None:
        doubts.append("Her water is not written down: judged as salt.")
    elif boat.water is not Water.SALT and read.electrode.in_water and not read.corrected_mv:
        doubts.append("Bare silver chloride in fresher water reads too negative: give the water's salinity.")
    return doubts


def judge_reading(boat: Boat, reading: PotentialReading, free: Potential | None = None) -> Judged:
    """A potential in the book, judged.

    Raises
    ------
    CannotCalculate : it names no electrode, or is no potential of a hull.
    """
    salinity = reading.water_salinity_g_kg
    return judge_potential(boat, reading.potential_mv, reading.electrode, salinity_g_kg=salinity, free=free)


def at_rest(book: Book) -> list[PotentialReading]:
    """Potentials of the hull left alone, oldest first: those of circuits and shore lead are not among them."""
    return sorted(
        (
            one
            for one in book.readings.values()
            if isinstance(one, PotentialReading)
            and one.finding is None
            and one.circuit in ("", Switched.BASELINE.value)
        ),
        key=lambda one: (one.when, int(one.id[1:])),
    )


def history(book: Book) -> list[tuple[PotentialReading, Judged | None]]:
    """All potentials at rest, oldest first, each held against the free potential known by then; None where it names
    no electrode."""
    told: list[tuple[PotentialReading, Judged | None]] = []
    free: Potential | None = None
    for reading in at_rest(book):
        try:
            judged = judge_reading(book.boat, reading, None if reading.without_anodes else free)
        except CannotCalculate:
            told.append((reading, None))
            continue
        if reading.without_anodes:
            free = judged.read
        told.append((reading, judged))
    return told


def free_potential(book: Book) -> Potential | None:
    """The newest potential with no anode at work."""
    return next(
        (judged.read for reading, judged in reversed(history(book)) if reading.without_anodes and judged), None
    )
