"""How thick a plate has to be, how much a worn one still carries, and the same by plain plate theory."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from inspect_tui.engineering.strength.pressure import EDITION, ISO, Craft, Panel, Pressure, design_pressure
from inspect_tui.engineering.working import Seen, Source, Step, Working
from inspect_tui.errors import CannotCalculate

Metal = Literal["aluminium", "steel"]
ROARK_CLAMPED = Source("Roark's Formulas 7th ed., table 11.4 case 8, recomputed by finite differences", Seen.MEMORY)
# Simply supported: Roark's Formulas 7th ed., table 11.4 case 1a (read).
# a/b, then the stress factor of clamped edges at mid long edge, their deflection factor, the same simply supported.
PLATE_TABLE: tuple[tuple[float, float, float, float, float], ...] = (
    (1.0, 0.3078, 0.0138, 0.2874, 0.0444),
    (1.2, 0.3834, 0.0188, 0.3762, 0.0616),
    (1.4, 0.4356, 0.0226, 0.4530, 0.0770),
    (1.6, 0.4680, 0.0251, 0.5172, 0.0906),
    (1.8, 0.4872, 0.0267, 0.5688, 0.1017),
    (2.0, 0.4974, 0.0277, 0.6102, 0.1110),
    (3.0, 0.5, 0.0284, 0.7134, 0.1335),
    (5.0, 0.5, 0.0284, 0.7476, 0.1417),
)
LONG_PLATE = (math.inf, 0.5, 0.0284, 0.75, 0.1421)
NOT_COVERED = (
    "The required thickness has no corrosion margin in it. Loads from docking, ice, grounding, rig, keel, engine "
    "and propeller are left out, and so are frames, welds, buckling and fatigue.",
    "A tank's head is counted from an overflow at least 2 m above its top; a collision bulkhead is taken as a tank.",
    "The edition is that of 2008; that of 2019 changed the pressures and was not available.",
)


def aspect_factor(long_mm: float, short_mm: float) -> float:
    """k2 [-], from 0.308 for a square to 0.5; 0.5 for panels longer than twice their width, where the fraction would
    fall again.

    >>> round(aspect_factor(500, 500), 3), aspect_factor(1500, 500)
    (0.308, 0.5)
    """
    r = long_mm / short_mm
    if r > 2:
        return 0.5
    return min(max((0.271 * r**2 + 0.910 * r - 0.554) / (r**2 - 0.313 * r + 1.351), 0.308), 0.5)


def curvature_factor(camber_mm: float, short_mm: float) -> float:
    """kC [-]: 1 for flat panels, down to 0.5 for a camber of 0.18 of the width.

    >>> curvature_factor(0, 300), round(curvature_factor(30, 300), 3), curvature_factor(60, 300)
    (1.0, 0.767, 0.5)
    """
    share = camber_mm / short_mm
    if share <= 0.03:
        return 1.0
    return 1.1 - 3.33 * share if share <= 0.18 else 0.5


def design_stress_mpa(ultimate_mpa: float, proof_mpa: float) -> float:
    """σd [MPa] of plating: min(0.6 ultimate, 0.9 proof or yield); aluminium that is welded with its welded values.

    5083 as welded by ISO, and steel A:

    >>> design_stress_mpa(275, 125), design_stress_mpa(400, 235)
    (112.5, 211.5)
    """
    if not 0 < proof_mpa <= ultimate_mpa:
        raise CannotCalculate("The proof stress must be above 0 and not above the ultimate stress.")
    return min(0.6 * ultimate_mpa, 0.9 * proof_mpa)


def required_thickness_mm(pressure_kpa: float, panel: Panel, stress_mpa: float) -> float:
    """t = b·kC·√(P·k2/(1000·σd)) [mm], without any corrosion margin.

    >>> round(required_thickness_mm(48.253, Panel("bottom", 300, 900), 112.5), 3)
    4.393
    """
    k2 = aspect_factor(panel.long_mm, panel.short_mm)
    return (
        panel.short_mm
        * curvature_factor(panel.camber_mm, panel.short_mm)
        * math.sqrt(pressure_kpa * k2 / (1000 * stress_mpa))
    )


def carried_pressure_kpa(thickness_mm: float, panel: Panel, stress_mpa: float) -> float:
    """Pressure [kPa] that a plate of this thickness carries at the design stress: the same formula turned round.

    >>> round(carried_pressure_kpa(4.0, Panel("bottom", 300, 900), 112.5), 2)
    40.0
    """
    k2 = aspect_factor(panel.long_mm, panel.short_mm)
    kc = curvature_factor(panel.camber_mm, panel.short_mm)
    return 1000 * stress_mpa * thickness_mm**2 / (k2 * panel.short_mm**2 * kc**2)


def minimum_thickness_mm(craft: Craft, region: str, metal: Metal, proof_mpa: float) -> float | None:
    """Least hull plating by the standard [mm]: k5·(1 + k7·V + k8·m^0.33); deck by length; None for bulkheads, tanks.

    The standard does not say whether the proof stress is as welded; as welded is the cautious reading and used here.

    >>> round(minimum_thickness_mm(Craft(True, "A", 10, 8000), "bottom", "aluminium", 125), 3)
    3.09
    """
    if region == "deck":
        length = craft.waterline_length_m
        return 1.35 + 0.06 * length if metal == "aluminium" else 1.5 + 0.07 * length
    if region not in ("bottom", "side"):
        return None
    k5 = math.sqrt((125 if metal == "aluminium" else 240) / proof_mpa)
    k7 = (0.02 if metal == "aluminium" else 0.015) if region == "bottom" else 0.0
    k8 = 0.1 if metal == "aluminium" else 0.08
    return k5 * (1.0 + k7 * craft.rule_speed_kn + k8 * math.pow(craft.displacement_kg, 0.33))


def plate_stress_mpa(
    pressure_kpa: float, thickness_mm: float, long_mm: float, short_mm: float, *, clamped: bool
) -> float:
    """Greatest bending stress [MPa] of a flat rectangular plate, σ = β·P·b²/t²; clamped: at the middle of the long
    edge; simply supported: at the centre. Between the tabulated side ratios, linear.

    >>> round(plate_stress_mpa(48.253, 4.393, 900, 300, clamped=True), 1)
    112.5
    """
    beta = _tabulated(long_mm / short_mm, 1 if clamped else 3)
    return beta * pressure_kpa / 1000 * short_mm**2 / thickness_mm**2


def _tabulated(ratio: float, column: int) -> float:
    if ratio < 1:
        raise CannotCalculate("The long side comes first.")
    rows = [*PLATE_TABLE, LONG_PLATE]
    for below, above in itertools.pairwise(rows):
        if below[0] <= ratio <= above[0]:
            if math.isinf(above[0]):
                return above[column] if ratio > below[0] else below[column]
            share = (ratio - below[0]) / (above[0] - below[0])
            return below[column] + share * (above[column] - below[column])
    raise AssertionError(ratio)


@dataclass(frozen=True)
class PlateCheck:
    """What a panel needs [mm], what it has, and what it carries [kPa]."""

    pressure: Pressure
    stress_mpa: float
    required_mm: float
    minimum_mm: float | None
    actual_mm: float | None
    carried_kpa: float | None
    clamped_stress_mpa: float | None

    @property
    def enough(self) -> bool | None:
        """Whether it carries the pressure."""
        return None if self.actual_mm is None else self.actual_mm >= self.required_mm

    @property
    def above_minimum(self) -> bool | None:
        """Whether it has the least thickness of the standard, which is for knocks and not for pressure."""
        return None if self.actual_mm is None or self.minimum_mm is None else self.actual_mm >= self.minimum_mm


def check_plate(
    craft: Craft | None,
    panel: Panel,
    metal: Metal,
    ultimate_mpa: float,
    proof_mpa: float,
    actual_mm: float | None = None,
) -> PlateCheck:
    """Required thickness of a panel after ISO 12215-5:2008, and what a worn one still carries.

    Parameters
    ----------
    craft, panel : see there for units
    ultimate_mpa, proof_mpa : of the plate, as welded where it is welded [MPa]
    actual_mm : mean thickness left in the panel [mm]

    Raises
    ------
    CannotCalculate : a particular is missing, and which.

    Examples
    --------
    >>> check = check_plate(Craft(True, "A", 10, 8000), Panel("bottom", 300, 900, 0.6), "aluminium", 275, 125, 4.0)
    >>> round(check.required_mm, 2), round(check.carried_kpa, 2), check.enough
    (4.39, 40.0, False)
    """
    pressure = design_pressure(craft, panel)
    stress = design_stress_mpa(ultimate_mpa, proof_mpa)
    carried = clamped = None
    if actual_mm is not None:
        if actual_mm <= 0:
            raise CannotCalculate(f"{actual_mm:g} mm is not a thickness.")
        carried = carried_pressure_kpa(actual_mm, panel, stress)
        clamped = plate_stress_mpa(pressure.pressure_kpa, actual_mm, panel.long_mm, panel.short_mm, clamped=True)
    return PlateCheck(
        pressure,
        stress,
        required_thickness_mm(pressure.pressure_kpa, panel, stress),
        None if craft is None else minimum_thickness_mm(craft, panel.region, metal, proof_mpa),
        actual_mm,
        carried,
        clamped,
    )


def plate_working(check: PlateCheck, panel: Panel, inputs: Sequence[tuple[str, str]]) -> Working:
    k2 = aspect_factor(panel.long_mm, panel.short_mm)
    kc = curvature_factor(panel.camber_mm, panel.short_mm)
    pressure = check.pressure.pressure_kpa
    steps = [
        *check.pressure.steps,
        Step("design stress", "min(0.6·ultimate, 0.9·proof)", "as welded", f"{check.stress_mpa:g} MPa", ISO),
        Step("k2, side ratio", "by l/b", f"{panel.long_mm:g}/{panel.short_mm:g}", f"{k2:.3f}", ISO),
        Step("kC, curvature", "by camber/b", f"{panel.camber_mm:g}/{panel.short_mm:g}", f"{kc:.3f}", ISO),
        Step(
            "required",
            "b·kC·√(P·k2/(1000·σd))",
            f"{panel.short_mm:g} × {kc:.3f} × √({pressure:.3f} × {k2:.3f} / (1000 × {check.stress_mpa:g}))",
            f"{check.required_mm:.2f} mm",
            ISO,
        ),
    ]
    if check.minimum_mm is not None:
        steps.append(
            Step(
                "least by the standard",
                "k5·(1 + k7·V + k8·m^0.33), deck by length",
                "",
                f"{check.minimum_mm:.2f} mm",
                ISO,
            )
        )
    if check.actual_mm is not None and check.carried_kpa is not None and check.clamped_stress_mpa is not None:
        steps += [
            Step(
                "carried as it is",
                "1000·σd·t²/(k2·b²·kC²)",
                f"1000 × {check.stress_mpa:g} × {check.actual_mm:.2f}²/({k2:.3f} × {panel.short_mm:g}² × {kc:.3f}²)",
                f"{check.carried_kpa:.1f} kPa of {pressure:.1f}",
                ISO,
            ),
            Step(
                "by plate theory, clamped and flat",
                "β·P·b²/t²",
                f"at {check.actual_mm:.2f} mm",
                f"{check.clamped_stress_mpa:.0f} MPa of {check.stress_mpa:g}",
                ROARK_CLAMPED,
            ),
        ]
    return Working((*inputs, ("rule", f"{EDITION}, {check.pressure.name}")), tuple(steps), NOT_COVERED)
