"""Design pressures of small craft after ISO 12215-5:2008, in kN/m² (kPa). The edition of 2019 differs: never mix.

Lengths in m, mass in kg, speed in knots, angles in degrees; panel sides in mm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from inspect_tui.engineering.working import Seen, Source, Step
from inspect_tui.errors import CannotCalculate

ISO = Source(
    "ISO 12215-5:2008, as reproduced in Korean Register GC-06-E (2025) ch. 4; not the 2019 edition", Seen.READ
)
EDITION = "ISO 12215-5:2008"
Region = Literal["bottom", "side", "deck", "bulkhead", "tank"]
Category = Literal["A", "B", "C", "D"]

CATEGORY_FACTOR: dict[Category, float] = {"A": 1.0, "B": 0.8, "C": 0.6, "D": 0.4}
LEAST_DECK_KPA = 5.0


@dataclass(frozen=True)
class Craft:
    """What the pressures are worked out from. `chine_beam_m` is the waterline beam where there is no chine;
    `righting_lever_m` is the greatest below 60° of heel, asked only for light sailing craft of category A and B."""

    sail: bool
    category: Category
    waterline_length_m: float
    displacement_kg: float
    chine_beam_m: float | None = None
    speed_kn: float | None = None
    deadrise_deg: float | None = None
    righting_lever_m: float | None = None

    def __post_init__(self) -> None:
        for name in ("waterline_length_m", "displacement_kg"):
            value = getattr(self, name)
            if not math.isfinite(value) or value <= 0:
                raise CannotCalculate(f"{name.rsplit('_', 1)[0].replace('_', ' ')} must be above 0.")
        if self.category not in CATEGORY_FACTOR:
            raise CannotCalculate(f"{self.category} is not a design category; these are A, B, C and D.")
        for other in (self.chine_beam_m, self.speed_kn, self.righting_lever_m):
            if other is not None and (not math.isfinite(other) or other <= 0):
                raise CannotCalculate("Beam, speed and righting lever must be above 0.")
        if self.deadrise_deg is not None and not 0 <= self.deadrise_deg <= 90:
            raise CannotCalculate("Deadrise must be an angle from 0 to 90 degrees.")

    @property
    def planing(self) -> bool:
        return not self.sail and self.speed_kn is not None and self.speed_kn / math.sqrt(self.waterline_length_m) >= 5

    @property
    def rule_speed_kn(self) -> float:
        """Of a sailing boat and a slow motor boat, 2.36·√LWL [kn]."""
        least = 2.36 * math.sqrt(self.waterline_length_m)
        return least if self.sail else max(self.speed_kn or 0.0, least)


@dataclass(frozen=True)
class Panel:
    """An unsupported piece of plating. `from_aft` is x/LWL of its centre, `side_height` kZ = (Z - h)/Z, from 0 at the
    deck edge to 1 at the waterline, `head_m` of water on a bulkhead or tank."""

    region: Region
    short_mm: float
    long_mm: float
    from_aft: float = 1.0
    side_height: float = 1.0
    head_m: float | None = None
    camber_mm: float = 0.0

    def __post_init__(self) -> None:
        if not (math.isfinite(self.long_mm) and 0 < self.short_mm <= self.long_mm):
            raise CannotCalculate(
                "A panel needs a short and a long side in mm; the short side must not be the longer of the two."
            )
        if not 0 <= self.from_aft <= 1 or not 0 <= self.side_height <= 1:
            raise CannotCalculate("Places along and up the hull are shares from 0 to 1.")
        if not self.camber_mm >= 0:
            raise CannotCalculate("The camber of a panel cannot be below 0.")
        if self.head_m is not None and not 0 < self.head_m < 100:
            raise CannotCalculate("A head of water must be above 0, in m.")


@dataclass(frozen=True)
class Pressure:
    """The pressure that governs [kPa], which one it is, and the steps to it."""

    pressure_kpa: float
    name: str
    steps: tuple[Step, ...]


def missing(craft: Craft | None, panel: Panel) -> list[str]:
    """What the standard asks for that is not known, in words; nothing is guessed in its place."""
    if panel.region in ("bulkhead", "tank"):
        return ["head of water on it (m)"] if panel.head_m is None else []
    if craft is None:
        return ["the boat's particulars"]
    told = []
    light = craft.sail and craft.category in "AB" and craft.displacement_kg <= 5 * craft.waterline_length_m**3
    if light and panel.region != "deck" and craft.righting_lever_m is None:
        told.append("greatest righting lever below 60° (m)")
    if not craft.sail:
        if craft.speed_kn is None:
            told.append("top speed (kn)")
        elif craft.planing:
            told += ["beam at waterline or chine (m)"] if craft.chine_beam_m is None else []
            told += ["deadrise (degrees)"] if craft.deadrise_deg is None else []
    return told


def dynamic_load_factor(craft: Craft) -> float:
    """nCG [g]: 0.32·(LWL/(10·BC) + 0.084)·(50 - β)·V²·BC²/mLDC for a planing motor boat, deadrise held to 10–30°;
    above 3 the speed rule 0.5·V/mLDC^0.17 may replace it, not below 3 (ours: a faster boat must not need less), and 7
    is the most. 3 for all others.

    A published case (in the tests) gives 0.916.

    >>> round(dynamic_load_factor(Craft(False, "D", 4, 625, 1.2, 9.5, 17)), 3)
    3.0
    >>> round(planing_load_factor(Craft(False, "D", 4, 625, 1.2, 9.5, 17)), 3)
    0.916
    """
    return planing_load_factor(craft) if craft.planing else 3.0


def planing_load_factor(craft: Craft) -> float:
    if craft.chine_beam_m is None or craft.deadrise_deg is None:
        raise CannotCalculate("A planing boat's loads need her beam and deadrise.")
    speed = craft.rule_speed_kn
    beam, mass = craft.chine_beam_m, craft.displacement_kg
    deadrise = min(max(craft.deadrise_deg, 10.0), 30.0)
    first = 0.32 * (craft.waterline_length_m / (10 * beam) + 0.084) * (50 - deadrise) * speed**2 * beam**2 / mass
    return min(first, max(0.5 * speed / math.pow(mass, 0.17), 3.0), 7.0) if first > 3 else first


def longitudinal_factor(from_aft: float, load_factor: float) -> float:
    """kL [-]: 1 forward of 0.6 LWL, less towards the stern.

    >>> [round(longitudinal_factor(x, 3), 4) for x in (0, 0.3, 0.6, 0.9)]
    [0.501, 0.7505, 1.0, 1.0]
    """
    if from_aft > 0.6:
        return 1.0
    held = min(max(load_factor, 3.0), 6.0)
    return min((1 - 0.167 * held) / 0.6 * from_aft + 0.167 * held, 1.0)


def area_factor(craft: Craft, panel: Panel, *, planing_bottom: bool) -> float:
    """kAR [-] = kR·0.1·mLDC^0.15/AD^0.3 of a metal panel, from 0.25 to 1.

    >>> round(area_factor(Craft(True, "A", 10, 8000), Panel("bottom", 300, 900), planing_bottom=False), 4)
    0.8492
    """
    area_m2 = min(panel.long_mm * panel.short_mm, 2.5 * panel.short_mm**2) * 1e-6
    form = 1.0 if planing_bottom else 1.5 - 3e-4 * panel.short_mm
    return min(max(form * 0.1 * math.pow(craft.displacement_kg, 0.15) / math.pow(area_m2, 0.3), 0.25), 1.0)


def sailing_factor(craft: Craft) -> float:
    """kSLS [-] of light and stable sailing craft: (10·GZ·√LWL/mLDC^0.33)^0.5, at least 1, with GZ the greatest
    righting lever below 60° of heel; 1 for C and D, and for A and B above mLDC = 5·LWL³.

    >>> round(sailing_factor(Craft(True, "A", 10, 4000, righting_lever_m=0.8)), 2)
    1.28
    """
    if craft.category in "CD" or craft.displacement_kg > 5 * craft.waterline_length_m**3:
        return 1.0
    if craft.righting_lever_m is None:
        raise CannotCalculate(
            "For a light sailing boat of category A or B, give the greatest righting lever below 60° of heel."
        )
    stiff = 10 * craft.righting_lever_m * math.sqrt(craft.waterline_length_m) / math.pow(craft.displacement_kg, 0.33)
    return math.sqrt(max(stiff, 1.0))


def design_pressure(craft: Craft | None, panel: Panel) -> Pressure:
    """Design pressure [kPa] of one panel; a bulkhead or tank asks for no craft.

    Raises
    ------
    CannotCalculate : names the particulars that are missing.

    Examples
    --------
    >>> round(design_pressure(Craft(True, "A", 10, 8000), Panel("bottom", 300, 900, from_aft=0.6)).pressure_kpa, 2)
    48.25
    """
    if lacking := missing(craft, panel):
        raise CannotCalculate(f"Needed for {EDITION} and not written down: {', '.join(lacking)}.")
    if craft is None or panel.region in ("bulkhead", "tank"):
        return _head_pressure(panel)
    return _sail_pressure(craft, panel) if craft.sail else _motor_pressure(craft, panel)


def _head_pressure(panel: Panel) -> Pressure:
    head = panel.head_m or 0.0
    times = 10.0 if panel.region == "tank" else 7.0
    name = "integral tank" if panel.region == "tank" else "watertight bulkhead"
    step = Step(f"pressure, {name}", f"{times:g}·hB", f"{times:g} × {head:g} m", f"{times * head:.2f} kPa", ISO)
    return Pressure(times * head, name, (step,))


def _factors(craft: Craft, panel: Panel, *, planing_bottom: bool) -> tuple[float, float, float, tuple[Step, ...]]:
    category = CATEGORY_FACTOR[craft.category]
    load = dynamic_load_factor(craft)
    along = longitudinal_factor(panel.from_aft, load)
    area = area_factor(craft, panel, planing_bottom=planing_bottom)
    area_m2 = min(panel.long_mm * panel.short_mm, 2.5 * panel.short_mm**2) * 1e-6
    form = 1.0 if planing_bottom else 1.5 - 3e-4 * panel.short_mm
    steps = (
        Step("kDC, category", f"category {craft.category}", "", f"{category:g}", ISO),
        Step(
            "kL, along the hull",
            "by x/LWL and nCG",
            f"x/LWL = {panel.from_aft:g}, nCG = {load:.3f}",
            f"{along:.3f}",
            ISO,
        ),
        Step(
            "kAR, panel area",
            "kR·0.1·m^0.15/AD^0.3, 0.25 to 1",
            f"{form:.3f} × 0.1 × {craft.displacement_kg:g}^0.15 / {area_m2:.3f}^0.3",
            f"{area:.4f}",
            ISO,
        ),
    )
    return category, along, area, steps


def _sail_pressure(craft: Craft, panel: Panel) -> Pressure:
    mass = craft.displacement_kg
    category, along, area, steps = _factors(craft, panel, planing_bottom=False)
    light = 1.0 if panel.region == "deck" else sailing_factor(craft)
    bottom_base = (2 * mass**0.33 + 18) * light
    deck_base = 0.5 * mass**0.33 + 12
    least = {
        "bottom": 0.35 * mass**0.33 + 1.4 * craft.waterline_length_m * category,
        "side": max(1.4 * craft.waterline_length_m * category, LEAST_DECK_KPA),
        "deck": LEAST_DECK_KPA,
    }[panel.region]
    base = {
        "bottom": bottom_base,
        "side": deck_base + panel.side_height * (bottom_base - deck_base),
        "deck": deck_base,
    }[panel.region]
    base_step = {
        "bottom": Step(
            "base, bottom", "(2·m^0.33 + 18)·kSLS", f"(2 × {mass:g}^0.33 + 18) × {light:.3f}", f"{base:.3f} kPa", ISO
        ),
        "side": Step(
            "base, side",
            "PD + kZ·(PB - PD)",
            f"{deck_base:.3f} + {panel.side_height:.3g} × ({bottom_base:.3f} - {deck_base:.3f})",
            f"{base:.3f} kPa",
            ISO,
        ),
        "deck": Step("base, deck", "0.5·m^0.33 + 12", f"0.5 × {mass:g}^0.33 + 12", f"{base:.3f} kPa", ISO),
    }[panel.region]
    return _greatest(panel.region, base, base_step, (category, along, area), steps, least)


def _motor_pressure(craft: Craft, panel: Panel) -> Pressure:
    mass, length = craft.displacement_kg, craft.waterline_length_m
    category, along, area, steps = _factors(craft, panel, planing_bottom=False)
    bottom_base = 2.4 * mass**0.33 + 20
    deck_base = 0.35 * length + 14.6
    deck_step = Step("base, deck", "0.35·LWL + 14.6", f"0.35 × {length:g} + 14.6", f"{deck_base:.3f} kPa", ISO)
    factors = (category, along, area)
    if panel.region == "deck":
        return _greatest("deck", deck_base, deck_step, factors, steps, LEAST_DECK_KPA)
    least = 0.45 * mass**0.33 + 0.9 * length * category if panel.region == "bottom" else 0.9 * length * category
    if panel.region == "bottom":
        base = bottom_base
        step = Step("base, displacement", "2.4·m^0.33 + 20", f"2.4 × {mass:g}^0.33 + 20", f"{base:.3f} kPa", ISO)
    else:
        base = deck_base + panel.side_height * (bottom_base - deck_base)
        step = Step(
            "base, side, displacement",
            "PD + kZ·(PB - PD)",
            f"{deck_base:.3f} + {panel.side_height:.3g} × ({bottom_base:.3f} - {deck_base:.3f})",
            f"{base:.3f} kPa",
            ISO,
        )
    slow = _greatest(panel.region, base, step, factors, steps, least)
    if not craft.planing:
        return slow
    fast = _planing_pressure(craft, panel, deck_base, least)
    if panel.region == "side" and craft.category in "CD":
        # Categories C and D: the mode that governs the bottom governs the side.
        bottom = Panel("bottom", panel.short_mm, panel.long_mm, panel.from_aft)
        as_planing = _planing_pressure(craft, bottom, deck_base, 0.0)
        as_slow = (bottom_base) * category * along * area_factor(craft, bottom, planing_bottom=False)
        return fast if as_planing.pressure_kpa >= as_slow else slow
    return max(fast, slow, key=lambda one: one.pressure_kpa)


def planing_base_kpa(craft: Craft) -> float:
    """PBMP base [kPa] = 0.1·mLDC/(LWL·BC)·(1 + √kDC·nCG).

    Several copies print (1 + √kDC)·nCG; a published case disproves them.

    >>> round(planing_base_kpa(Craft(False, "D", 4, 625, 1.2, 9.5, 17)), 3)
    20.567
    """
    load = planing_load_factor(craft)
    assert craft.chine_beam_m is not None
    loading = 0.1 * craft.displacement_kg / (craft.waterline_length_m * craft.chine_beam_m)
    return loading * (1 + math.sqrt(CATEGORY_FACTOR[craft.category]) * load)


def _planing_pressure(craft: Craft, panel: Panel, deck_base: float, least: float) -> Pressure:
    bottom = panel.region == "bottom"
    category, along, area, steps = _factors(craft, panel, planing_bottom=bottom)
    planing = planing_base_kpa(craft)
    first = Step(
        "base, planing",
        "0.1·m/(LWL·BC)·(1 + √kDC·nCG)",
        f"0.1 × {craft.displacement_kg:g}/({craft.waterline_length_m:g} × {craft.chine_beam_m:g}) × "
        f"(1 + √{category:g} × {planing_load_factor(craft):.3f})",
        f"{planing:.3f} kPa",
        ISO,
    )
    if bottom:
        # The base has the category in it already.
        return _greatest("bottom", planing, first, (1.0, along, area), steps, least, planing=True)
    base = deck_base + panel.side_height * (0.25 * planing - deck_base)
    step = Step(
        "base, side, planing",
        "PD + kZ·(0.25·PB - PD)",
        f"{deck_base:.3f} + {panel.side_height:.3g} × (0.25 × {planing:.3f} - {deck_base:.3f})",
        f"{base:.3f} kPa",
        ISO,
    )
    return _greatest("side", base, step, (category, along, area), (*steps, first), least, planing=True)


def _greatest(
    region: str,
    base: float,
    base_step: Step,
    factors: tuple[float, float, float],
    steps: tuple[Step, ...],
    least: float,
    *,
    planing: bool = False,
) -> Pressure:
    category, along, area = factors
    found = base * category * along * area
    name = f"{region}{', planing' if planing else ''}"
    formula = "base·kAR·kL" if planing and region == "bottom" else "base·kAR·kDC·kL"
    numbers = f"{base:.3f} × {area:.4f} × {category:g} × {along:.3f}"
    if planing and region == "bottom":
        numbers = f"{base:.3f} × {area:.4f} × {along:.3f}"
    told = [*steps, base_step, Step("pressure", formula, numbers, f"{found:.3f} kPa", ISO)]
    if found >= least:
        return Pressure(found, name, tuple(told))
    told.append(Step("least pressure, governs", "minimum of the standard", "", f"{least:.3f} kPa", ISO))
    return Pressure(least, f"{region}, least", tuple(told))
