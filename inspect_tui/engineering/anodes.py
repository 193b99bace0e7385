"""Sacrificial anodes: the current a hull needs over the years, and whether mass, current and spacing give it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from inspect_tui.engineering.errors import CannotCalculate
from inspect_tui.engineering.working import Seen, Source, Step, Working

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
        raise CannotCalculate("Water she floats in has between -2 and 40 °C.")
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
        raise CannotCalculate("An anode's sides and the water's resistivity must be above nothing.")
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
        raise CannotCalculate("An anode's length and radius and the water's resistivity must be above nothing.")
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
        raise CannotCalculate("The resistance must be above nothing.")
    return max(driving_mv, 0.0) / 1000 / ohm


def number_for(wanted: float, each: float) -> int:
    """How many anodes give at least what is wanted, of mass or of current, in the same unit.

    UFC 3-570-02N takes 13 for 62.16 A of 4.75 A each; 14 are needed:

    >>> number_for(62.16, 4.75)
    14
    """
    if each <= 0:
        raise CannotCalculate("One anode must give more than nothing.")
    return math.ceil(wanted / each - 1e-9)


@dataclass(frozen=True)
class Plan:
    """An anode plan: currents [A], mass [kg], and how many anodes each check asks for."""

    mean_a: float
    first_a: float
    last_a: float
    mass_kg: float
    by_mass: int
    by_current_first: int
    by_current_last: int
    one_first_a: float
    one_last_a: float
    number: int
    warnings: tuple[str, ...]
    working: Working

    @property
    def governed_by(self) -> str:
        return "mass" if self.number == self.by_mass else "current"


def plan(
    hull: Literal["aluminium", "steel"],
    area_m2: float,
    *,
    years: float,
    coating: str = "II",
    anode: str = "aluminium",
    one_kg: float,
    length_m: float,
    width_m: float,
    thickness_m: float,
    shape: Shape = "short flush",
    resistivity: float = 0.233,
    climate: Climate = "temperate",
    salt: bool = True,
    temperature_c: float | None = None,
    propeller_m2: float = 0.0,
) -> Plan:
    """How many anodes for how many years: by mass and by current, at first and at the end.

    `one_kg` is the net mass of one anode; sides in m; resistivity of the water in Ω·m; `temperature_c` of the water,
    where it is warmer than 20 °C: an aluminium anode gives less there. `propeller_m2`: bare bronze or stainless in
    metal contact with the hull. The current is the greater of two that disagree: by the offshore rule (DNV-RP-B401
    for steel; aluminium with 0.010 A/m², from memory), and by a small-craft guide.

    Raises
    ------
    CannotCalculate : magnesium on an aluminium hull in salt water, an unknown coating or metal, or sizes below
        nothing.
    """
    if anode not in ANODE_METALS:
        raise CannotCalculate(f'"{anode}" is no anode metal: {", ".join(ANODE_METALS)}.')
    if anode == "magnesium" and hull == "aluminium" and salt:
        raise CannotCalculate(
            "No magnesium on an aluminium hull in salt or brackish water: it drives her past what aluminium bears."
        )
    if coating not in COATINGS:
        raise CannotCalculate(f'"{coating}" is no coating category: {", ".join(COATINGS)}.')
    if propeller_m2 < 0:
        raise CannotCalculate("The propeller's area cannot be less than nothing.")
    if min(area_m2, years, one_kg) <= 0:
        raise CannotCalculate("Area, years and the mass of one anode must be above nothing.")
    if max(length_m, width_m, thickness_m) > LONGEST_M:
        raise CannotCalculate(f"No anode of a boat is longer than {LONGEST_M:g} m: are these millimetres?")
    if shape == "long flush" and length_m < 4 * max(width_m, thickness_m):
        raise CannotCalculate("A long flush anode is at least four times as long as wide: this one is short.")
    metal = ANODE_METALS[anode]
    first, mean, last = STEEL_A_M2[climate] if hull == "steel" else (ALUMINIUM_A_M2,) * 3
    density_source = B401 if hull == "steel" else Source("0.010 A/m² for aluminium, DNV-RP-B401", Seen.MEMORY)
    a, b = COATINGS[coating]
    fc_mean, fc_last = breakdown(a, b, years / 2), breakdown(a, b, years)
    rule = (area_m2 * a * first, area_m2 * fc_mean * mean, area_m2 * fc_last * last)
    craft = area_m2 * CRAFT_A_M2[hull][2 if coating == "bare" else 1 if coating == "I" else 0]
    propeller = propeller_m2 * PROPELLER_A_M2
    first_a, mean_a, last_a = (max(one, craft) + propeller for one in rule)
    need = (first_a, mean_a, last_a)
    used = USED[shape]
    ah_kg, capacity_source = metal.ah_kg, metal.source
    if temperature_c is not None and anode == "aluminium":
        ah_kg, capacity_source = aluminium_capacity_ah_kg(temperature_c), Source("ABS 2017, anodes", Seen.SECOND_HAND)
    kg = mass_needed_kg(need[1], years, ah_kg, used)
    driving = HULL_MV[hull] - metal.sea_mv
    ohm = resistance_ohm(shape, length_m, width_m, thickness_m, resistivity)
    one_first = current_a(driving, ohm)
    # Worn to its utilisation a flush anode keeps its face; a stand-off one gets thinner and shorter.
    shrink = math.sqrt(1 - used) if "stand-off" in shape else 1.0
    kept = 1 - 0.1 * used if "stand-off" in shape else 1.0
    one_last = current_a(
        driving, resistance_ohm(shape, length_m * kept, width_m * shrink, thickness_m * shrink, resistivity)
    )
    if one_first <= 0:
        raise CannotCalculate(f"A {anode} anode drives no current into a hull held at {HULL_MV[hull]:g} mV.")
    by_mass = number_for(kg, one_kg)
    by_first, by_last = number_for(need[0], one_first), number_for(need[2], one_last)
    number = max(by_mass, by_first, by_last, 1)
    warnings = []
    if max(by_first, by_last) > by_mass:
        warnings.append(
            f"Mass alone would ask for {by_mass}: metal for the years, but too little current. Current decides."
        )
    solid_kg = length_m * width_m * thickness_m * DENSITY_KG_M3[anode]
    if not 0.5 * solid_kg <= one_kg <= 1.05 * solid_kg:
        warnings.append(f"{one_kg:g} kg does not fit its sides: solid {anode} would weigh {solid_kg:.1f} kg.")
    if number > area_m2:
        warnings.append("More than one for each square metre is no plan: this metal does not work in this water.")
    if anode == "magnesium":
        warnings.append("Magnesium can drive a hull too low: watch the potential, and lift the paint beside it.")
    if not salt:
        warnings.append(
            "Capacity, potential and current are those of the sea; zinc goes dead in fresh water (from memory). "
            "Magnesium is what is usually hung there, and the potential decides."
        )
    steps = (
        Step(
            "coating gone",
            "a + b · years",
            f"{a:g} + {b:g} · {years:g}",
            f"{fc_mean:.3g} on average, {fc_last:.3g} at the end",
            B401,
        ),
        Step(
            "by the rule",
            "area · share bare · A/m²",
            f"{area_m2:g} m² · {a:g}/{fc_mean:.3g}/{fc_last:.3g} · {first:g}/{mean:g}/{last:g} A/m²",
            f"{rule[0]:.3g} / {rule[1]:.3g} / {rule[2]:.3g} A at first / mean / at the end",
            density_source,
        ),
        Step("by the guide", "area · A/m²", f"{area_m2:g} m² · {craft / area_m2:.3g} A/m²", f"{craft:.3g} A", CRAFT),
        Step(
            "propeller",
            "bare area · A/m²",
            f"{propeller_m2:g} m² · {PROPELLER_A_M2:g} A/m²",
            f"{propeller:.3g} A",
            PROPELLER,
        ),
        Step(
            "current needed",
            "the greater of rule and guide, + propeller",
            "",
            f"{need[0]:.3g} / {need[1]:.3g} / {need[2]:.3g} A at first / mean / at the end",
            Source("the two disagree; the greater is taken", Seen.JUDGEMENT),
        ),
        Step(
            "mass",
            "I mean · h / (Ah/kg · utilisation)",
            f"{need[1]:.3g} · {years * HOURS_A_YEAR:g} / ({ah_kg:g} · {used:g})",
            f"{kg:.3g} kg",
            capacity_source,
        ),
        Step(
            "one anode's resistance",
            f"table 10-7, {shape}: {RESISTANCE_FORMULA[shape]}",
            f"{length_m:g} × {width_m:g} × {thickness_m:g} m, ρ {resistivity:g} Ω·m",
            f"{ohm:.3g} Ω",
            B401,
        ),
        Step(
            "one anode gives",
            "(E hull - E anode) / R",
            f"{driving:g} mV / {ohm:.3g} Ω",
            f"{one_first:.3g} A, {one_last:.3g} A worn",
            HULL_SOURCE,
        ),
        Step(
            "number",
            "the greatest of mass, first and last current",
            f"{by_mass}, {by_first}, {by_last}",
            f"{number}",
            Source("", Seen.DERIVED),
        ),
    )
    not_covered = (
        "Rudder and keel of other metal, water that moves, and a leak of current ask for more.",
        "What an aluminium hull needs is poorly known: measured 0 to 20 mA/m², designed with 15 and 22. The "
        "potential afterwards tells whether they are enough.",
        "Spread them evenly; none within a tank or bilge.",
    )
    return Plan(
        need[1], need[0], need[2], kg, by_mass, by_first, by_last, one_first, one_last, number, tuple(warnings),
        Working((), steps, not_covered),
    )  # fmt: skip
