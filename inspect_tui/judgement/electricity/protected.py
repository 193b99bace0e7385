"""What a potential says of the hull's protection, by her metal and the water she lies in; and all of them in time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from inspect_tui.domain.book import Book
from inspect_tui.domain.identity import Key
from inspect_tui.domain.knowledge.named import Prompts
from inspect_tui.domain.measuring.measured import READ_ASHORE, ashore
from inspect_tui.domain.reading_records import PotentialReading
from inspect_tui.domain.records import Boat
from inspect_tui.domain.words import HullMetal, Water
from inspect_tui.engineering.electricity.circuit_hunt import Switched
from inspect_tui.engineering.electricity.electrodes import Potential, potential, potential_working
from inspect_tui.engineering.electricity.protection import (
    ALONE_LOWEST_MV,
    BANDS,
    Bands,
    Hull,
    Protection,
    State,
    WaterKind,
    check_hull_mv,
    protection,
)
from inspect_tui.engineering.working import Working
from inspect_tui.errors import CannotCalculate

HULLS: dict[HullMetal, Hull] = {HullMetal.ALUMINIUM: "aluminium", HullMetal.STEEL: "steel"}
WATERS: dict[Water, WaterKind] = {Water.SALT: "salt", Water.BRACKISH: "brackish", Water.FRESH: "fresh"}
# A hull that is at rest stands still within this [mV]; more is common practice for calling it a drift.
STANDS_STILL_MV = 20.0
# A free potential belongs to its water and its paint: older than this it is doubted.
FREE_HOLDS = timedelta(days=400)


@dataclass(frozen=True)
class Free:
    """A potential with no anode at work, and when it was read."""

    read: Potential
    when: datetime


@dataclass(frozen=True)
class PotentialJudged:
    """One potential judged. `state` is None where it says nothing of protection: it is the free potential itself, or
    the electrode was not corrected for its water."""

    read: Potential
    protection: Protection
    state: State | None
    word: str
    free: Free | None
    doubts: tuple[str, ...]

    @property
    def working(self) -> Working:
        working = potential_working(self.read)
        if self.free is not None:
            working += potential_working(self.free.read)
        return working + self.protection.working

    def short(self) -> list[tuple[str, str]]:
        """What it means, in few headed lines."""
        told = (
            f"{self.word.upper()}: {self.read.sea_mv:.0f} ± {self.read.error_mv:.0f} mV, silver chloride in sea water"
        )
        if self.state is None:
            return [("so far", told)]
        lines = [("so far", told)]
        if self.protection.shift_mv is not None:
            lines.append(("shift", shift_words(self.protection)))
        return [*lines, ("to do", self.protection.to_do)]

    def all_doubts(self) -> list[str]:
        return [*self.doubts, *(self.protection.warnings if self.state is not None else ())]

    def lines(self) -> list[tuple[str, str]]:
        """The same with the bands it rests on, and what is doubtful."""
        told = self.protection
        because = ("because", f"{told.hull} in {told.water} water; bands: {told.bands.source}")
        return [*self.short(), because, *(("doubt", one) for one in self.all_doubts())]


def shift_words(told: Protection) -> str:
    """The shift by both measures."""
    return (
        f"{told.shift_mv:.0f} mV: {'passes' if told.passes_100 else 'fails'} 100 mV (regulators), "
        f"{'passes' if told.passes_200 else 'fails'} 200 mV (small craft)"
    )


def water_of(boat: Boat) -> WaterKind:
    """Of salt water where hers is not written down."""
    return WATERS[boat.water] if boat.water else "salt"


def bands_of(boat: Boat) -> Bands:
    """The bands for her metal and water."""
    return BANDS[HULLS[boat.hull_metal], "fresh" if boat.water is Water.FRESH else "salt"]


def judge_potential(
    boat: Boat,
    values_mv: Sequence[float],
    electrode: str,
    *,
    salinity_g_kg: float | None = None,
    chloride_mg_l: float | None = None,
    without_anodes: bool = False,
    free: Free | None = None,
    when: datetime | None = None,
) -> PotentialJudged:
    """What these potentials mean; the last is where it stood. Salinity or chloride of the water, for bare silver
    chloride.

    Raises
    ------
    CannotCalculate : no electrode is named, or these are no potentials of a hull.
    """
    if not values_mv:
        raise CannotCalculate("No potential was read.")
    for value in values_mv:
        read = potential(value, electrode, salinity_g_kg=salinity_g_kg, chloride_mg_l=chloride_mg_l)
        check_hull_mv(read.sea_mv, HULLS[boat.hull_metal], value)
    held = None if without_anodes else free
    told = protection(
        read.sea_mv,
        HULLS[boat.hull_metal],
        water_of(boat),
        free_mv=held.read.sea_mv if held else None,
        error_mv=read.error_mv,
    )
    uncorrected = read.electrode.in_water and boat.water not in (None, Water.SALT) and not read.corrected_mv
    state = None if uncorrected or without_anodes else told.state
    word = "not corrected for her water" if uncorrected else "free potential" if without_anodes else told.state.value
    doubts = _doubts(boat, values_mv, held, when, uncorrected=uncorrected)
    if without_anodes and read.sea_mv + read.error_mv < ALONE_LOWEST_MV[told.hull]:
        doubts.append(
            "No hull of this metal reads so low by itself: something is driving her. Find it before you use this."
        )
    elif without_anodes and told.state is not State.CORRODING:
        doubts.append(
            "Few hulls of this metal read so low by themselves: see that no anode is at work before you use this."
        )
    return PotentialJudged(read, told, state, word, held, tuple(doubts))


def _doubts(
    boat: Boat, values_mv: Sequence[float], free: Free | None, when: datetime | None, *, uncorrected: bool
) -> list[str]:
    doubts = []
    spread = max(values_mv) - min(values_mv)
    if spread > STANDS_STILL_MV:
        doubts.append(
            f"The readings differ by {spread:.0f} mV; the last counts. One that does not settle calls for a "
            "circuit hunt."
        )
    if boat.water is None:
        doubts.append("Her water is not written down: judged as salt.")
    if uncorrected:
        doubts.append(
            "Bare silver chloride reads too negative in fresher water, by 14 mV at 20 g/kg and up to 145 at 50 mg/L "
            "of chloride: give the water's salinity, or its chloride."
        )
    if free is not None and when is not None and when - free.when > FREE_HOLDS:
        doubts.append(f"The free potential dates from {free.when:%Y-%m-%d}: paint and water have changed since.")
    return doubts


def judge_reading(boat: Boat, reading: PotentialReading, free: Free | None = None) -> PotentialJudged:
    """A potential in the book, judged.

    Raises
    ------
    CannotCalculate : it names no electrode, or is no potential of a hull.
    """
    return judge_potential(
        boat,
        reading.potential_mv,
        reading.electrode,
        salinity_g_kg=reading.water_salinity_g_kg,
        chloride_mg_l=reading.water_chloride_mg_l,
        without_anodes=bool(reading.without_anodes),
        free=free,
        when=reading.when,
    )


def at_rest(book: Book) -> list[PotentialReading]:
    """Potentials of the hull left alone, oldest first; none of circuits, of the shore lead, or of other questions."""
    return sorted(
        (
            one
            for one in book.readings.values()
            if isinstance(one, PotentialReading) and one.finding is None and _is_at_rest(one)
        ),
        key=lambda one: (one.when, Key.of(one.id)),
    )


def _is_at_rest(reading: PotentialReading) -> bool:
    if reading.prompt == Prompts.CIRCUIT_HUNT:
        return reading.circuit == Switched.BASELINE.value
    return reading.prompt in (None, Prompts.REST_POTENTIAL) and not reading.circuit


def history(book: Book) -> list[tuple[PotentialReading, PotentialJudged | None]]:
    """All potentials at rest, oldest first, each held against the free potential known by then; None where it names
    no electrode, or was read ashore."""
    told: list[tuple[PotentialReading, PotentialJudged | None]] = []
    free: Free | None = None
    for reading in at_rest(book):
        if ashore(book.boat, reading):
            told.append((reading, None))
            continue
        try:
            judged = judge_reading(book.boat, reading, free)
        except CannotCalculate:
            told.append((reading, None))
            continue
        if reading.without_anodes:
            free = Free(judged.read, reading.when)
        told.append((reading, judged))
    return told


def why_not_judged(boat: Boat, reading: PotentialReading) -> str:
    """Of a potential that could not be judged."""
    if ashore(boat, reading):
        return READ_ASHORE
    return "not judged" if reading.electrode else "no electrode named: not judged"


def newest_water(book: Book, *, of_this_round: bool = True) -> tuple[float | None, float | None]:
    """Salinity [g/kg] and chloride [mg/L] that were last given; in this round, since she may lie elsewhere now."""
    for reading in reversed(at_rest(book)):
        if (reading.round == book.round.id or not of_this_round) and (
            reading.water_salinity_g_kg or reading.water_chloride_mg_l
        ):
            return reading.water_salinity_g_kg, reading.water_chloride_mg_l
    return None, None
