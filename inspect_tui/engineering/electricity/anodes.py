"""Sacrificial anodes: the current a hull needs over the years, and whether mass, current and spacing give it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from inspect_tui.engineering.working import Seen, Source
from inspect_tui.errors import CannotCalculate

HOURS_A_YEAR = 8760.0
B401 = Source("DNV-RP-B401:2021", Seen.SECOND_HAND, "for steel offshore")
Shape = Literal["slender stand-off", "short stand-off", "long flush", "short flush"]
Climate = Literal["tropical", "sub-tropical", "temperate", "arctic"]
RESISTANCE_FORMULA: Mapping[Shape, str] = MappingProxyType(
    {
        "slender stand-off": "ρ/(2πL)·(ln(4L/r) - 1), r = (w + t)/π",
        "short stand-off": "ρ/(2πL)·(ln(2L/r·(1 + q)) + r/2L - q), q = √(1 + (r/2L)²)",
        "long flush": "ρ/(L + w)",
        "short flush": "0.315·ρ/√(L·w + 2·t·(L + w))",
    }
)
# Utilisation by shape.
USED: Mapping[Shape, float] = MappingProxyType(
    {"slender stand-off": 0.90, "short stand-off": 0.85, "long flush": 0.85, "short flush": 0.80}
)
# Bare steel, 0 to 30 m of water, A/m²: at first, on average, at the end.
STEEL_A_M2: Mapping[Climate, tuple[float, float, float]] = MappingProxyType(
    {
        "tropical": (0.150, 0.070, 0.100),
        "sub-tropical": (0.170, 0.080, 0.110),
        "temperate": (0.200, 0.100, 0.130),
        "arctic": (0.250, 0.120, 0.170),
    }
)
ALUMINIUM_A_M2 = 0.010
MA_FT2 = 0.001 / 0.3048**2
# Small craft at their berth, A/m² of wetted hull: good paint, poor paint, none.
CRAFT_A_M2: Mapping[str, tuple[float, float, float]] = MappingProxyType(
    {"aluminium": (0.5 * MA_FT2, 1 * MA_FT2, 2 * MA_FT2), "steel": (1.5 * MA_FT2, 5 * MA_FT2, 5 * MA_FT2)}
)
CRAFT = Source("ABYC corrosion study guide: aluminium 0.5, 1, 2 mA/ft²; steel 1.5 to 5", Seen.SECOND_HAND)
# Bare propeller and shaft, joined to the hull; others design with 0.35.
PROPELLER_A_M2 = 0.5
PROPELLER = Source("ABS 2017, table 3, and Nippon Zaidan 1996: 500 mA/m²; another design 350", Seen.SECOND_HAND)
# Wetted shell that one flat anode reaches [m²].
REACH_M2 = 9.0
REACH = Source(
    "The Report, IIMS, June 2021, p 108: 9 to 10 m² each, of canal boats in fresh water; alike on both sides: Nippon "
    "Zaidan 1998",
    Seen.READ,
    "taken for the sea too, which carries further",
)
# Breakdown of the coating, a + b · years, by its category.
COATINGS: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"I": (0.10, 0.10), "II": (0.05, 0.025), "III": (0.02, 0.012), "IV": (0.02, 0.008), "bare": (1.0, 0.0)}
)


@dataclass(frozen=True)
class AnodeMetal:
    """Closed-circuit potential against silver chloride in sea water [mV], and what a kilogram gives [Ah/kg]."""

    sea_mv: float
    ah_kg: float
    source: Source


ANODE_METALS: Mapping[str, AnodeMetal] = MappingProxyType(
    {
        "aluminium": AnodeMetal(-1050, 2000, B401),
        "zinc": AnodeMetal(-1030, 780, B401),
        "magnesium": AnodeMetal(-1500, 1200, Source("ABS 2017, table of anodes", Seen.SECOND_HAND)),
    }
)
LONGEST_M = 5.0
DENSITY_KG_M3: Mapping[str, float] = MappingProxyType({"aluminium": 2700, "zinc": 7140, "magnesium": 1740})
WARM_C = 20.0


def aluminium_capacity_ah_kg(temperature_c: float) -> float:
    """What a kilogram of an aluminium anode gives in warm water [Ah/kg]: 2000 - 27 · (T - 20), ABS 2017.

    >>> aluminium_capacity_ah_kg(30)
    1730.0
    """
    if not -2 <= temperature_c <= 40:
        raise CannotCalculate("The water she floats in is between -2 and 40 °C.")
    return 2000.0 - 27 * max(temperature_c - WARM_C, 0.0)


HULL_SOURCE = Source("a hull held at -800 mV for steel, DNV-RP-B401; at -900 for aluminium, ours", Seen.JUDGEMENT)
HULL_MV: Mapping[str, float] = MappingProxyType({"steel": -800.0, "aluminium": -900.0})


def breakdown(a: float, b_per_year: float, years: float) -> float:
    """Share of a coating that is gone after so many years, 1 at the most.

    >>> breakdown(0.05, 0.025, 2), breakdown(0.1, 0.1, 20)
    (0.1, 1.0)
    """
    return min(a + b_per_year * years, 1.0)


def mass_needed_kg(mean_a: float, years: float, ah_kg: float, used: float) -> float:
    """Net mass of anode metal [kg] for a mean current over the years: I · t / (capacity · utilisation).

    >>> round(mass_needed_kg(28.0, 25, 2000, 0.90), 2)
    3406.67
    """
    if ah_kg <= 0 or not 0 < used <= 1:
        raise CannotCalculate("The anode's capacity must be above 0, and its utilisation between 0 and 1.")
    return mean_a * years * HOURS_A_YEAR / (ah_kg * used)


def resistance_ohm(
    shape: Shape, length_m: float, width_m: float, thickness_m: float, resistivity_ohm_m: float
) -> float:
    """Resistance of one anode in the water [Ω], DNV-RP-B401 table 10-7.

    `width_m` and `thickness_m` of the section; its radius is that of the circle with the same girth.

    Examples
    --------
    A plate that shows 0.02 m² in water of 0.25 Ω·m:

    >>> round(resistance_ohm("short flush", 0.2, 0.1, 0.0, 0.25), 4)
    0.5568
    """
    if min(length_m, width_m, resistivity_ohm_m) <= 0 or thickness_m < 0:
        raise CannotCalculate("An anode's dimensions and the water's resistivity must be above 0.")
    if shape == "long flush":
        return resistivity_ohm_m / (length_m + width_m)
    if shape == "short flush":
        shown_m2 = length_m * width_m + 2 * thickness_m * (length_m + width_m)
        return 0.315 * resistivity_ohm_m / math.sqrt(shown_m2)
    return stand_off_ohm(length_m, (width_m + thickness_m) / math.pi, resistivity_ohm_m)


def stand_off_ohm(length_m: float, radius_m: float, resistivity_ohm_m: float) -> float:
    """Resistance of a stand-off anode at least 0.30 m from the hull [Ω]: slender from length 4 r up, else short.

    >>> round(stand_off_ohm(1, 0.05, 0.25), 4), round(stand_off_ohm(0.15, 0.05, 0.25), 4)
    (0.1346, 0.4363)
    """
    if min(length_m, radius_m, resistivity_ohm_m) <= 0:
        raise CannotCalculate("An anode's length and radius and the water's resistivity must be above 0.")
    along = resistivity_ohm_m / (2 * math.pi * length_m)
    if length_m >= 4 * radius_m:
        return along * (math.log(4 * length_m / radius_m) - 1)
    root = math.sqrt(1 + (radius_m / (2 * length_m)) ** 2)
    return along * (math.log(2 * length_m / radius_m * (1 + root)) + radius_m / (2 * length_m) - root)


def current_a(driving_mv: float, ohm: float) -> float:
    """What one anode gives [A].

    >>> round(current_a(250, 0.119), 2), round(current_a(250, 0.175), 2)
    (2.1, 1.43)
    """
    if ohm <= 0:
        raise CannotCalculate("The resistance must be above 0.")
    return max(driving_mv, 0.0) / 1000 / ohm


def number_to_reach(area_m2: float) -> int:
    """How many anodes reach all wetted metal of this area [m²], as many on one side as on the other: one for each 9
    m² (The Report, IIMS, June 2021, p 108).

    >>> number_to_reach(38), number_to_reach(18), number_to_reach(4)
    (6, 2, 2)
    """
    return 2 * math.ceil(number_for(area_m2, REACH_M2) / 2)


def number_for(wanted: float, each: float) -> int:
    """How many anodes give at least what is wanted, of mass or of current, in the same unit.

    UFC 3-570-02N takes 13 for 62.16 A of 4.75 A each; 14 are needed:

    >>> number_for(62.16, 4.75)
    14
    """
    if each <= 0:
        raise CannotCalculate("One anode must give more than 0.")
    return math.ceil(wanted / each - 1e-9)
