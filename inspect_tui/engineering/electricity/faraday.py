"""Metal that a current takes: mass, volume, a hole; and how deep a current density eats."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from inspect_tui.engineering.working import Seen, Source, Step, Working
from inspect_tui.errors import CannotCalculate

FARADAY_AS_MOL = 96485.33
HOURS_A_YEAR = 8760.0
LAW = Source("Faraday's law", Seen.DERIVED)


@dataclass(frozen=True)
class Dissolving:
    """A metal as it dissolves: molar mass [g/mol], charge, density [kg/m³]."""

    molar_g: float
    charge: int
    density_kg_m3: float


METALS: Mapping[str, Dissolving] = MappingProxyType(
    {
        "aluminium": Dissolving(26.9815, 3, 2700.0),
        "zinc": Dissolving(65.38, 2, 7140.0),
        "steel": Dissolving(55.845, 2, 7870.0),
        "magnesium": Dissolving(24.305, 2, 1740.0),
        "copper": Dissolving(63.546, 2, 8960.0),
        "lead": Dissolving(207.2, 2, 11340.0),
    }
)


def metal_named(name: str) -> Dissolving:
    if name not in METALS:
        raise CannotCalculate(f'"{name}" is not a metal known here; these are: {", ".join(METALS)}.')
    return METALS[name]


def mass_kg(metal: str, current_a: float, hours: float) -> float:
    """Metal dissolved by a current [kg], if all of the current dissolves it.

    Examples
    --------
    One ampere for a year; DoD TP-17 has 23.5 lb of zinc:

    >>> [round(mass_kg(metal, 1, 8760), 3) for metal in ("aluminium", "zinc", "steel", "magnesium")]
    [2.94, 10.685, 9.126, 3.972]
    """
    if current_a < 0 or hours < 0:
        raise CannotCalculate("Current and time cannot be less than 0.")
    one = metal_named(metal)
    return current_a * hours * 3600 * one.molar_g / (one.charge * FARADAY_AS_MOL) / 1000


def capacity_ah_kg(metal: str) -> float:
    """Charge in a kilogram [Ah/kg], before an anode's losses.

    >>> round(capacity_ah_kg("zinc")), round(capacity_ah_kg("aluminium"))
    (820, 2980)
    """
    return 1 / mass_kg(metal, 1, 1)


def hole_mm(metal: str, current_a: float, hours: float, plate_mm: float) -> float:
    """Diameter of a straight hole through a plate that a current eats at one spot [mm].

    >>> round(hole_mm("aluminium", 1, 24, 5), 1)
    27.6
    """
    if plate_mm <= 0:
        raise CannotCalculate("The plate's thickness must be above 0.")
    volume_mm3 = mass_kg(metal, current_a, hours) / metal_named(metal).density_kg_m3 * 1e9
    return math.sqrt(4 * volume_mm3 / (math.pi * plate_mm))


def penetration_mm_per_year(metal: str, density_a_m2: float) -> float:
    """Even loss under a current density [mm/year].

    >>> round(penetration_mm_per_year("aluminium", 1), 3), round(penetration_mm_per_year("steel", 1), 2)
    (1.089, 1.16)
    """
    return mass_kg(metal, density_a_m2, HOURS_A_YEAR) / metal_named(metal).density_kg_m3 * 1000


def faraday_working(metal: str, current_a: float, hours: float, plate_mm: float | None) -> Working:
    one = metal_named(metal)
    grams = mass_kg(metal, current_a, hours) * 1000
    steps = [
        Step(
            "mass", "I · t · M / (z · F)",
            f"{current_a:g} A · {hours:g} h · 3600 · {one.molar_g:g} / ({one.charge} · 96485)",
            f"{grams:.3g} g", LAW,
        ),
        Step(
            "volume", "m / ρ", f"{grams:.3g} g / {one.density_kg_m3 / 1000:g} g/cm³",
            f"{grams / one.density_kg_m3 * 1e3:.3g} cm³", LAW,
        ),
    ]  # fmt: skip
    if plate_mm is not None:
        steps.append(
            Step(
                "hole",
                "√(4 V / (π t))",
                f"through {plate_mm:g} mm",
                f"{hole_mm(metal, current_a, hours, plate_mm):.1f} mm",
                LAW,
            )
        )
    return Working(
        (), tuple(steps), ("All of the current is taken to leave from this metal, and at one spot: the worst case.",)
    )
