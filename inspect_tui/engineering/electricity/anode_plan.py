"""An anode plan: how many for how many years, by mass and by current, at first and at the end."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from inspect_tui.engineering.electricity.anodes import (
    ALUMINIUM_A_M2,
    ANODE_METALS,
    B401,
    COATINGS,
    CRAFT,
    CRAFT_A_M2,
    DENSITY_KG_M3,
    HULL_MV,
    HULL_SOURCE,
    LONGEST_M,
    PROPELLER,
    PROPELLER_A_M2,
    REACH,
    REACH_M2,
    RESISTANCE_FORMULA,
    STEEL_A_M2,
    USED,
    Climate,
    Shape,
    aluminium_capacity_ah_kg,
    breakdown,
    current_a,
    mass_needed_kg,
    number_for,
    number_to_reach,
    resistance_ohm,
)
from inspect_tui.engineering.electricity.faraday import HOURS_A_YEAR
from inspect_tui.engineering.working import Seen, Source, Step, Working
from inspect_tui.errors import CannotCalculate


@dataclass(frozen=True)
class Duty:
    """What anodes have to protect: the hull's metal and wetted area [m²], for how many years, under which paint, in
    which water [Ω·m, °C]; `propeller_m2`: bare bronze or stainless in metal contact with the hull [m²]."""

    hull: Literal["aluminium", "steel"]
    area_m2: float
    years: float
    coating: str = "II"
    resistivity: float = 0.233
    climate: Climate = "temperate"
    salt: bool = True
    temperature_c: float | None = None
    propeller_m2: float = 0.0


@dataclass(frozen=True)
class Anode:
    """One anode: its metal, net mass [kg], sides [m] and how it stands."""

    metal: str
    one_kg: float
    length_m: float
    width_m: float
    thickness_m: float
    shape: Shape = "short flush"

    @property
    def solid_kg(self) -> float:
        """What it would weigh without its insert and its worn edges [kg]."""
        return self.length_m * self.width_m * self.thickness_m * DENSITY_KG_M3[self.metal]


@dataclass(frozen=True)
class Plan:
    """An anode plan: currents [A], mass [kg], and how many anodes each check asks for; `by_reach`: so that all wetted
    metal has one near it."""

    mean_a: float
    first_a: float
    last_a: float
    mass_kg: float
    by_mass: int
    by_current_first: int
    by_current_last: int
    by_reach: int
    one_first_a: float
    one_last_a: float
    number: int
    warnings: tuple[str, ...]
    working: Working

    @property
    def governed_by(self) -> str:
        if self.number == self.by_mass:
            return "mass"
        return "current" if self.number in (self.by_current_first, self.by_current_last) else "reach"


@dataclass(frozen=True)
class _Needed:
    """Current that is needed [A], at first, on average and at the end, and what it is made of."""

    rule: tuple[float, float, float]
    craft: float
    propeller: float
    first: float
    mean: float
    last: float
    steps: tuple[Step, ...]


def plan(duty: Duty, anode: Anode) -> Plan:
    """How many anodes for how many years: by mass and by current, at first and at the end.

    An aluminium anode gives less where the water is warmer than 20 °C. The current is the greater of two that
    disagree: by the offshore rule (DNV-RP-B401 for steel; aluminium with 0.010 A/m², from memory), and by a
    small-craft guide.

    Raises
    ------
    CannotCalculate : magnesium on an aluminium hull in salt water, an unknown coating or metal, or sizes below
        nothing.
    """
    _check(duty, anode)
    need = _needed(duty)
    metal = ANODE_METALS[anode.metal]
    used, ah_kg, capacity_source = USED[anode.shape], metal.ah_kg, metal.source
    if duty.temperature_c is not None and anode.metal == "aluminium":
        ah_kg = aluminium_capacity_ah_kg(duty.temperature_c)
        capacity_source = Source("ABS 2017, anodes", Seen.SECOND_HAND)
    kg = mass_needed_kg(need.mean, duty.years, ah_kg, used)
    driving = HULL_MV[duty.hull] - metal.sea_mv
    ohm, worn_ohm = _resistances(duty, anode, used)
    one_first, one_last = current_a(driving, ohm), current_a(driving, worn_ohm)
    if one_first <= 0:
        raise CannotCalculate(
            f"A {anode.metal} anode drives no current into a hull held at {HULL_MV[duty.hull]:g} mV."
        )
    by_mass = number_for(kg, anode.one_kg)
    by_first, by_last = number_for(need.first, one_first), number_for(need.last, one_last)
    by_reach = number_to_reach(duty.area_m2)
    number = max(by_mass, by_first, by_last, by_reach)
    steps = (
        *need.steps,
        Step(
            "mass",
            "I mean · h / (Ah/kg · utilisation)",
            f"{need.mean:.3g} · {duty.years * HOURS_A_YEAR:g} / ({ah_kg:g} · {used:g})",
            f"{kg:.3g} kg",
            capacity_source,
        ),
        Step(
            "one anode's resistance",
            f"table 10-7, {anode.shape}: {RESISTANCE_FORMULA[anode.shape]}",
            f"{anode.length_m:g} × {anode.width_m:g} × {anode.thickness_m:g} m, ρ {duty.resistivity:g} Ω·m",
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
        Step("reach", "wetted area / area of one, even", f"{duty.area_m2:g} / {REACH_M2:g} m²", f"{by_reach}", REACH),
        Step(
            "number",
            "the greatest of mass, first and last current, reach",
            f"{by_mass}, {by_first}, {by_last}, {by_reach}",
            f"{number}",
            Source("", Seen.DERIVED),
        ),
    )
    warnings = _warnings(duty, anode, number, by_mass, max(by_first, by_last))
    return Plan(
        need.mean, need.first, need.last, kg, by_mass, by_first, by_last, by_reach, one_first, one_last, number,
        warnings, Working((), steps, NOT_COVERED),
    )  # fmt: skip


def spread(number: int, area_m2: float, length_m: float | None) -> str:
    """Where so many anodes go: even on both sides, and how far apart along the waterline [m], the outer ones half as
    far from its ends."""
    aside = math.ceil(number / 2)
    told = f"{aside} a side, {2 * aside} in all, one for each {area_m2 / (2 * aside):.1f} m²"
    if aside == 1:
        return f"one a side amidships, 2 in all, one for each {area_m2 / 2:.1f} m²; plus one near each nobler part"
    if length_m is not None:
        told += f", about {length_m / aside:.1f} m apart"
    return f"{told}; plus one near each nobler part"


NOT_COVERED = (
    "A rudder or keel of another metal, moving water and a leak of current call for more.",
    "What an aluminium hull needs is poorly known: 0 to 20 mA/m² measured, 15 and 22 used in design. The "
    "potential afterwards tells whether there are enough.",
    "These are for the wetted outside. An anode in a bilge, sump or tank protects only the wet metal in there and "
    "counts for nothing outside; none of these reaches in there.",
)


def _check(duty: Duty, anode: Anode) -> None:
    if anode.metal not in ANODE_METALS:
        raise CannotCalculate(f'"{anode.metal}" is not an anode metal; these are: {", ".join(ANODE_METALS)}.')
    if anode.metal == "magnesium" and duty.hull == "aluminium" and duty.salt:
        raise CannotCalculate(
            "No magnesium on an aluminium hull in salt or brackish water: it drives her past aluminium's limit."
        )
    if duty.coating not in COATINGS:
        raise CannotCalculate(f'"{duty.coating}" is not a coating category; these are: {", ".join(COATINGS)}.')
    if duty.propeller_m2 < 0:
        raise CannotCalculate("The propeller's area cannot be less than 0.")
    if min(duty.area_m2, duty.years, anode.one_kg) <= 0:
        raise CannotCalculate("Area, years and the mass of one anode must be above 0.")
    if max(anode.length_m, anode.width_m, anode.thickness_m) > LONGEST_M:
        raise CannotCalculate(f"No boat's anode is longer than {LONGEST_M:g} m: are these millimetres?")
    if anode.shape == "long flush" and anode.length_m < 4 * max(anode.width_m, anode.thickness_m):
        raise CannotCalculate("A long flush anode is at least four times as long as it is wide: this one is short.")


def _needed(duty: Duty) -> _Needed:
    """By the rule and by the guide; the greater is taken, the propeller added."""
    first, mean, last = STEEL_A_M2[duty.climate] if duty.hull == "steel" else (ALUMINIUM_A_M2,) * 3
    source = B401 if duty.hull == "steel" else Source("0.010 A/m² for aluminium, DNV-RP-B401", Seen.MEMORY)
    area = duty.area_m2
    a, b = COATINGS[duty.coating]
    fc_mean, fc_last = breakdown(a, b, duty.years / 2), breakdown(a, b, duty.years)
    rule = (area * a * first, area * fc_mean * mean, area * fc_last * last)
    craft = area * CRAFT_A_M2[duty.hull][2 if duty.coating == "bare" else 1 if duty.coating == "I" else 0]
    propeller = duty.propeller_m2 * PROPELLER_A_M2
    first_a, mean_a, last_a = (max(one, craft) + propeller for one in rule)
    steps = (
        Step(
            "coating gone",
            "a + b · years",
            f"{a:g} + {b:g} · {duty.years:g}",
            f"{fc_mean:.3g} on average, {fc_last:.3g} at the end",
            B401,
        ),
        Step(
            "by the rule",
            "area · share bare · A/m²",
            f"{area:g} m² · {a:g}/{fc_mean:.3g}/{fc_last:.3g} · {first:g}/{mean:g}/{last:g} A/m²",
            f"{rule[0]:.3g} / {rule[1]:.3g} / {rule[2]:.3g} A at first / mean / at the end",
            source,
        ),
        Step("by the guide", "area · A/m²", f"{area:g} m² · {craft / area:.3g} A/m²", f"{craft:.3g} A", CRAFT),
        Step(
            "propeller",
            "bare area · A/m²",
            f"{duty.propeller_m2:g} m² · {PROPELLER_A_M2:g} A/m²",
            f"{propeller:.3g} A",
            PROPELLER,
        ),
        Step(
            "current needed",
            "the greater of rule and guide, + propeller",
            "",
            f"{first_a:.3g} / {mean_a:.3g} / {last_a:.3g} A at first / mean / at the end",
            Source("the two disagree; the greater is taken", Seen.JUDGEMENT),
        ),
    )
    return _Needed(rule, craft, propeller, first_a, mean_a, last_a, steps)


def _resistances(duty: Duty, anode: Anode, used: float) -> tuple[float, float]:
    """Of one anode in the water, new and worn [Ω]. Worn to its utilisation a flush anode keeps its face; a stand-off
    one gets thinner and shorter."""
    shrink, kept = (math.sqrt(1 - used), 1 - 0.1 * used) if "stand-off" in anode.shape else (1.0, 1.0)
    length, width, thickness = anode.length_m, anode.width_m, anode.thickness_m
    return (
        resistance_ohm(anode.shape, length, width, thickness, duty.resistivity),
        resistance_ohm(anode.shape, length * kept, width * shrink, thickness * shrink, duty.resistivity),
    )


def _warnings(duty: Duty, anode: Anode, number: int, by_mass: int, by_current: int) -> tuple[str, ...]:
    warnings = []
    if number > max(by_mass, by_current):
        warnings.append("Reach decides: the same number of smaller ones may do. Plan again with their size and mass.")
    elif by_current > by_mass:
        warnings.append(
            f"Mass alone would call for {by_mass}: metal for the years, but too little current. Current decides."
        )
    if not 0.5 * anode.solid_kg <= anode.one_kg <= 1.05 * anode.solid_kg:
        warnings.append(
            f"{anode.one_kg:g} kg does not fit its size: solid {anode.metal} would weigh {anode.solid_kg:.1f} kg."
        )
    if number > duty.area_m2:
        warnings.append("More than one for each square metre is not a plan: this metal does not work in this water.")
    if anode.metal == "magnesium":
        warnings.append("Magnesium can drive a hull too low and lift the paint beside it: watch the potential.")
    if not duty.salt:
        warnings.append(
            "Capacity, potential and current are those for sea water; zinc goes dead in fresh water (from memory). "
            "Magnesium is what is usually hung there, and the potential decides."
        )
    return tuple(warnings)
