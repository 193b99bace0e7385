"""Wetted area of a hull from her principal dimensions, in m². Expect ±15 %."""

from __future__ import annotations

import math
from dataclasses import dataclass

from inspect_tui.engineering.working import Seen, Source, Step, Working
from inspect_tui.errors import CannotCalculate

SEA_KG_M3 = 1025.0
# Of a cruising yacht's midship section, for want of her lines.
MIDSHIP = 0.75
EITHER_WAY = 0.15


def denny_mumford_m2(length_m: float, beam_m: float, draught_m: float, volume_m3: float) -> float:
    """1.7·L·T + ∇/T (Denny and Mumford); beam only checks the draught for sense.

    The first model of the Delft systematic series, measured 0.642534 m²:

    >>> round(denny_mumford_m2(1.6, 0.5072, 0.12704, 0.0376136), 4)
    0.6416
    """
    if min(length_m, beam_m, draught_m, volume_m3) <= 0:
        raise CannotCalculate("Dimensions must be above 0.")
    return 1.7 * length_m * draught_m + volume_m3 / draught_m


def delft_m2(length_m: float, beam_m: float, draught_m: float, volume_m3: float, midship_coefficient: float) -> float:
    """Canoe body (1.97 + 0.171·B/T)·(0.65/Cm)^(1/3)·√(∇·L), Larsson & Eliasson (excerpt); add keel and rudder.

    >>> round(delft_m2(1.6, 0.5072, 0.12704, 0.0376136, 0.6464), 3)
    0.652
    """
    form = (1.97 + 0.171 * beam_m / draught_m) * math.cbrt(0.65 / midship_coefficient)
    return form * math.sqrt(volume_m3 * length_m)


def box_m2(length_m: float, beam_m: float, draught_m: float) -> float:
    """L·(B + 2·T), of a barge; a yacht has less.

    The Report (IIMS), June 2021, has 15 m, 2 m and 0.7 m:

    >>> round(box_m2(15, 2, 0.7), 1)
    51.0
    """
    return length_m * (beam_m + 2 * draught_m)


@dataclass(frozen=True)
class Wetted:
    """Wetted area of the hull without keel and rudder [m²], by both formulas for yachts."""

    denny_m2: float
    delft_m2: float
    working: Working

    @property
    def mean_m2(self) -> float:
        return (self.denny_m2 + self.delft_m2) / 2

    @property
    def low_m2(self) -> float:
        return (1 - EITHER_WAY) * min(self.denny_m2, self.delft_m2)

    @property
    def high_m2(self) -> float:
        return (1 + EITHER_WAY) * max(self.denny_m2, self.delft_m2)


def wetted(
    length_m: float, beam_m: float, draught_m: float, displacement_kg: float, midship_coefficient: float = MIDSHIP
) -> Wetted:
    """Both formulas with their spread, from the dimensions of the hull without its keel.

    Raises
    ------
    CannotCalculate : dimensions below nothing, or a midship coefficient that no hull has.
    """
    if not 0.3 <= midship_coefficient <= 1:
        raise CannotCalculate("The midship coefficient lies between 0.3 and 1.")
    volume = displacement_kg / SEA_KG_M3
    denny = denny_mumford_m2(length_m, beam_m, draught_m, volume)
    delft = delft_m2(length_m, beam_m, draught_m, volume, midship_coefficient)
    form = f"(1.97 + 0.171·{beam_m:g}/{draught_m:g})·(0.65/{midship_coefficient:g})^(1/3)"
    steps = (
        Step("area, first", "1.7·L·T + ∇/T", f"1.7·{length_m:g}·{draught_m:g} + {volume:.3g}/{draught_m:g}",
             f"{denny:.1f} m²", Source("Denny and Mumford", Seen.READ)),
        Step("area, second", "(1.97 + 0.171·B/T)·(0.65/Cm)^(1/3)·√(∇·L)",
             f"{form}·√({volume:.3g}·{length_m:g})",
             f"{delft:.1f} m²", Source("Larsson and Eliasson, excerpt", Seen.SECOND_HAND)),
    )  # fmt: skip
    spread = ("Keel and rudder: add twice their profile. Expect 15 % either way.",)
    return Wetted(denny, delft, Working((), steps, spread))
