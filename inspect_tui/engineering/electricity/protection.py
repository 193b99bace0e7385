"""Whether a hull is protected: bands of potential by metal and water, and the shift from its free potential."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import Literal

from inspect_tui.engineering.electricity.electrodes import DISAGREE_MV
from inspect_tui.engineering.working import Seen, Source, Step, Working
from inspect_tui.errors import CannotCalculate

Hull = Literal["aluminium", "steel", "bronze"]
WaterKind = Literal["salt", "brackish", "fresh"]


class State(StrEnum):
    """In order from unprotected to over-protected."""

    CORRODING = "not protected"
    MARGINAL = "barely protected"
    GOOD = "protected"
    WATCH = "close to over-protected"
    OVER = "over-protected"


@dataclass(frozen=True)
class Bands:
    """Limits [mV against silver chloride in sea water], from the least negative: marginal, good, watch, over."""

    marginal: float
    good: float
    watch: float
    over: float
    source: Source
    disagree: str


BANDS: Mapping[tuple[Hull, WaterKind], Bands] = MappingProxyType(
    {
        ("aluminium", "salt"): Bands(
            -850, -900, -1100, -1150,
            Source("put together from Mercury 90-863160, HamiltonJet HJ241, ISO/EN 12473 (unseen)", Seen.JUDGEMENT),
            "UFC 3-570-06 allows down to about -1134 mV free of voltage drop; ABYC E-2 begins at -900 or -950, "
            "depending on the edition",
        ),
        ("aluminium", "fresh"): Bands(
            -750, -800, -1000, -1050,
            Source("-750 to -1050 mV by Mercury 90-863160; the inner edges are ours", Seen.JUDGEMENT),
            "no other source for fresh water was found, and Mercury's may be uncorrected readings",
        ),
        ("steel", "salt"): Bands(
            -770, -800, -1080, -1100,
            Source("-800 to -1100 mV by ABS 2017, table 1; the inner edges are ours", Seen.JUDGEMENT),
            "high-strength steel only down to -830 to -950; without air -900",
        ),
        ("steel", "fresh"): Bands(
            -770, -800, -1080, -1100,
            Source("ABS 2017, table 1, for sea water; applied to fresh water too", Seen.JUDGEMENT),
            "",
        ),
        ("bronze", "salt"): Bands(
            -450, -500, -1050, -1100,
            Source("-450 to -600 mV for copper alloys by ABS 2017, table 1; the rest is ours", Seen.JUDGEMENT),
            "no lower limit where no aluminium is near",
        ),
        ("bronze", "fresh"): Bands(-450, -500, -1050, -1100, Source("as in salt water", Seen.JUDGEMENT), ""),
    }
)  # fmt: skip
# What a maker asks of aluminium drives [mV]: (protected from, to).
MERCURY: Mapping[WaterKind, tuple[float, float]] = MappingProxyType({"salt": (-850, -1100), "fresh": (-750, -1050)})


def by_mercury(sea_mv: float, water: WaterKind) -> Literal["under", "protected", "over"]:
    """The same potential by Mercury 90-863160, for aluminium drives; brackish water counts as salt.

    >>> [by_mercury(mv, "salt") for mv in (-820, -980, -1120)]
    ['under', 'protected', 'over']
    """
    first, last = MERCURY["fresh" if water == "fresh" else "salt"]
    return "under" if sea_mv > first else "over" if sea_mv < last else "protected"


# As low as the metal stands by itself [mV, silver chloride in sea water]: the low end of its range in the galvanic
# published galvanic series, 9 mV taken off for the electrode.
ALONE_LOWEST_MV: Mapping[Hull, float] = MappingProxyType({"aluminium": -1009.0, "steel": -729.0, "bronze": -409.0})
# Smaller numbers than this are volts that were typed for millivolts.
VOLTS_MV = 3.0
# Less than this shift from the free potential is no protection, whatever the band [mV]; UFC 3-570-02N.
LEAST_SHIFT_MV = 100.0
# Aluminium is not to be lowered by more than this from its free potential [mV].
LOWERED_MOST_MV = 250.0
OVER_EATS: Mapping[Hull, str] = MappingProxyType(
    {
        "aluminium": " Aluminium is eaten by the alkali this makes: look for blisters and etched metal.",
        "steel": " On steel, over-protection lifts the paint, and makes hard steel brittle.",
        "bronze": " Over-protection lifts the paint of what is beside the bronze.",
    }
)
TO_DO: Mapping[State, str] = MappingProxyType(
    {
        State.CORRODING: "More anode metal, or anodes that are connected: measure anode to hull (0.2 Ω at most), "
        "look for paint on them, then for a leak of current.",
        State.MARGINAL: "Add or renew anodes, and measure again after a week.",
        State.GOOD: "Write it down and measure again next season.",
        State.WATCH: "Add no more anodes; measure again in a month, and look at the paint beside them.",
        State.OVER: "Take magnesium off, switch off any impressed current, check charger, shore lead and electrode.",
    }
)
# As low as anodes of zinc or aluminium are listed [mV, silver chloride in sea water]: zinc -1,030, aluminium -1090.
# Others list aluminium at -1050; the lowest counts here.
ANODES_LOWEST_MV = -1090.0
ANODES_LOWEST = Source("ABS 2017, table of anodes", Seen.SECOND_HAND)
ANODES_STAY = " Zinc and aluminium anodes bring her to about -1090 mV at the lowest: leave them on."
ANODES_MAY = (
    " If it is none of these, the anodes themselves may do it: zinc stops at about -1030 mV, aluminium at "
    "-1090. Then fit fewer, and measure again."
)


def beyond_anodes(sea_mv: float, error_mv: float = DISAGREE_MV) -> bool:
    """Whether she stands lower than zinc and aluminium anodes bring her, whatever the electrode is out by [mV,
    silver chloride in sea water]; ABS 2017, table of anodes, as quoted elsewhere.

    >>> beyond_anodes(-1070), beyond_anodes(-1100), beyond_anodes(-1120)
    (False, False, True)
    """
    return sea_mv + error_mv < ANODES_LOWEST_MV


# No hull stands outside this in any water [mV, silver chloride in sea water]; judgement of this program.
STANDS_MV: Mapping[Hull, tuple[float, float]] = MappingProxyType(
    {"aluminium": (-100.0, -1700.0), "steel": (-100.0, -1700.0), "bronze": (300.0, -1700.0)}
)


def check_hull_mv(sea_mv: float, hull: Hull, read_mv: float) -> None:
    """Refuse what no hull can be.

    Raises
    ------
    CannotCalculate : swapped leads, another electrode, or volts taken for millivolts.
    """
    least, most = STANDS_MV[hull]
    if most <= sea_mv <= least:
        return
    if 0 < abs(read_mv) < VOLTS_MV:
        raise CannotCalculate(f"{read_mv:g} mV is no hull's potential: are these volts? Then write {read_mv:g} V.")
    raise CannotCalculate(
        f"{read_mv:g} mV would be {sea_mv:.0f} against silver chloride: no hull reads that. Are the leads swapped, "
        "or was it another electrode?"
    )


@dataclass(frozen=True)
class Protection:
    """Where a potential lies, what the shift says by two measures, and what to do."""

    sea_mv: float
    hull: Hull
    water: WaterKind
    state: State
    bands: Bands
    shift_mv: float | None
    to_do: str
    warnings: tuple[str, ...]
    working: Working

    @property
    def passes_100(self) -> bool | None:
        """By the measure of regulators."""
        return None if self.shift_mv is None else self.shift_mv >= 100

    @property
    def passes_200(self) -> bool | None:
        """By that of small-craft practice."""
        return None if self.shift_mv is None else self.shift_mv >= 200


def protection(
    sea_mv: float, hull: Hull, water: WaterKind, *, free_mv: float | None = None, error_mv: float = DISAGREE_MV
) -> Protection:
    """Judge a potential, told against silver chloride in sea water [mV]. Brackish water counts as salt.

    `free_mv`: the hull's potential with no anode at work: then the shift is judged too, by 100 mV (regulators) and by
    200 mV (small-craft practice).

    Examples
    --------
    >>> protection(-1250, "aluminium", "salt").state.value
    'over-protected'
    >>> told = protection(-900, "aluminium", "salt", free_mv=-760)
    >>> told.shift_mv, told.passes_100, told.passes_200
    (140, True, False)
    """
    check_hull_mv(sea_mv, hull, sea_mv)
    bands = BANDS[hull, "fresh" if water == "fresh" else "salt"]
    edges = (bands.marginal, bands.good, bands.watch, bands.over)
    passed = (sea_mv <= bands.marginal, sea_mv <= bands.good, sea_mv < bands.watch, sea_mv < bands.over)
    state = list(State)[sum(passed)]
    shift = None if free_mv is None else free_mv - sea_mv
    warnings = []
    if shift is not None and shift <= 0:
        warnings.append(
            "She reads no lower than without anodes: they do nothing, or a stray current holds her there. Hunt "
            "for the current."
        )
    elif shift is not None and shift < LEAST_SHIFT_MV:
        warnings.append(f"The shift is below the {LEAST_SHIFT_MV:g} mV that every measure asks for.")
    if shift is not None and shift < LEAST_SHIFT_MV and state in (State.GOOD, State.WATCH):
        state = State.MARGINAL
    near = [edge for edge in edges if abs(sea_mv - edge) <= error_mv]
    if near:
        warnings.append(
            f"The potential is within {error_mv:g} mV of {near[0]:g} mV: sources and electrodes differ by as much."
        )
    if hull == "aluminium" and by_mercury(sea_mv, water) == "over" and state is not State.OVER:
        warnings.append("Mercury, for its aluminium drives, already calls this too much.")
    if bands.disagree:
        warnings.append(f"Sources disagree: {bands.disagree}.")
    if water == "brackish":
        warnings.append("No source has bands for brackish water: those for salt water are used.")
    if shift is not None and hull == "aluminium" and shift > LOWERED_MOST_MV:
        warnings.append(
            "Alcan, Aluminium and the Sea: do not lower aluminium by more than 250 to 300 mV from its free potential."
        )
    if shift is not None and 100 <= shift < 200:
        warnings.append("The shift passes the 100 mV of regulators but not the 200 mV of small-craft practice.")
    steps = [
        Step("band", " / ".join(f"{edge:g}" for edge in edges) + " mV", f"{sea_mv:.0f} mV", state.value, bands.source)
    ]
    if shift is not None and free_mv is not None:
        steps.append(
            Step(
                "shift", "free - protected", f"{free_mv:.0f} - ({sea_mv:.0f}) mV", f"{shift:.0f} mV",
                Source("100 mV: UFC 3-570-02N; 200 mV: Sherman, small-craft practice", Seen.READ),
            )
        )  # fmt: skip
    not_covered = ("A potential holds for where the electrode hangs; a shadowed corner may differ.",)
    if state is State.OVER:
        steps.append(_reach_step(sea_mv, error_mv))
    return Protection(
        sea_mv,
        hull,
        water,
        state,
        bands,
        shift,
        _to_do(state, hull, beyond=beyond_anodes(sea_mv, error_mv)),
        tuple(warnings),
        Working((), tuple(steps), not_covered),
    )


def _to_do(state: State, hull: Hull, *, beyond: bool) -> str:
    if state is not State.OVER:
        return TO_DO[state]
    return TO_DO[state] + (ANODES_STAY if beyond else ANODES_MAY) + OVER_EATS[hull]


def _reach_step(sea_mv: float, error_mv: float) -> Step:
    told = "beyond them" if beyond_anodes(sea_mv, error_mv) else "within them"
    numbers = f"{sea_mv:.0f} ± {error_mv:.0f} mV"
    return Step("anodes reach", f"{ANODES_LOWEST_MV:g} mV, aluminium", numbers, told, ANODES_LOWEST)
