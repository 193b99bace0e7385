"""Water in tanks, the air in them, and the pressure they are tested with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from inspect_tui.engineering.working import Seen, Source, Step, Working
from inspect_tui.errors import CannotCalculate

GRAVITY_M_S2 = 9.80665
FRESH_KG_M3 = 1000.0
PASSIVE_PH = (4.0, 8.5)
SUEZ = Source("Suez water handbook, aluminium", Seen.READ)
COPPER_PPB = 20.0


@dataclass(frozen=True)
class TankCheck:
    """One measurement against its limit: `passes`, and what to say."""

    passes: bool
    say: str
    working: Working


def _judged(
    passes: bool, say: str, what: str, rule: str, numbers: str, source: Source, *not_covered: str
) -> TankCheck:
    word = "within" if passes else "outside"
    return TankCheck(passes, say, Working((), (Step(what, rule, numbers, word, source),), not_covered))


def acidity(ph: float) -> TankCheck:
    """Whether aluminium stays passive at this pH.

    >>> acidity(7.2).passes, acidity(9.4).passes
    (True, False)
    """
    if not 0 <= ph <= 14:
        raise CannotCalculate("pH lies between 0 and 14.")
    low, high = PASSIVE_PH
    say = (
        "Aluminium's oxide film holds at this pH; chloride, copper and hardness together can still pit the metal."
        if low <= ph <= high
        else "Too acidic: the skin of aluminium dissolves." if ph < low
        else "Too alkaline: the skin of aluminium dissolves. Look for cleaner, bleach, concrete, or over-protection."
    )  # fmt: skip
    return _judged(
        low <= ph <= high, say, "pH", f"about {low:g} to {high:g}", f"{ph:g}", SUEZ,
        "Slowest at pH 5 to 6 (Berzins 1977); others draw the window from 4 to 9 (from memory).",
    )  # fmt: skip


def copper(ppb: float) -> TankCheck:
    """Whether there is copper enough in the water to pit aluminium [µg/L].

    >>> copper(5).passes, copper(20).passes
    (True, False)
    """
    if ppb < 0:
        raise CannotCalculate("Copper cannot be less than 0.")
    return _judged(
        ppb < COPPER_PPB,
        "Below what is known to pit aluminium."
        if ppb < COPPER_PPB
        else "Enough to pit aluminium: look for copper pipe, brass, or a heater upstream.",
        "copper", f"below {COPPER_PPB:g} µg/L", f"{ppb:g} µg/L", SUEZ,
        "Another source says that even less than 1 mg/L does harm.",
        "Pits need oxygen, chloride, hardness and copper together (abstract at discovery.researcher.life).",
    )  # fmt: skip


@dataclass(frozen=True)
class Disinfection:
    """A published way to disinfect: mg/L for so many hours."""

    name: str
    mg_l: float
    hours: float
    source: Source

    @property
    def dose_mg_h_l(self) -> float:
        return chlorine_dose_mg_h_l(self.mg_l, self.hours)


DISINFECTIONS = (
    Disinfection("100 mg/L for an hour", 100, 1, Source("port-health guidance on ships' tanks", Seen.READ)),
    Disinfection("50 mg/L for 4 hours", 50, 4, Source("CDC vessel sanitation manual 2018", Seen.READ)),
    Disinfection(
        "200 mg/L, empty tank kept wet 2 hours", 200, 2, Source("CDC vessel sanitation manual 2018", Seen.READ)
    ),
    Disinfection("50 mg/L for 24 hours", 50, 24, Source("port-health guidance on ships' tanks", Seen.READ)),
)
CHLORINE_STAYS_MG_L = (0.2, 5.0)


def chlorine_dose_mg_h_l(mg_l: float, hours: float) -> float:
    """How much chlorine metal and germs meet: concentration · time [mg·h/L].

    >>> chlorine_dose_mg_h_l(100, 1), chlorine_dose_mg_h_l(50, 24)
    (100, 1200)
    """
    if mg_l < 0 or hours < 0:
        raise CannotCalculate("Chlorine and hours cannot be less than 0.")
    return mg_l * hours


def chlorine(mg_l: float, hours: float) -> TankCheck:
    """A dose beside the published ways to disinfect: as little as any of them is the least for bare aluminium.

    >>> chlorine(100, 1).passes, chlorine(50, 24).passes
    (True, False)
    """
    dose = chlorine_dose_mg_h_l(mg_l, hours)
    least = min(DISINFECTIONS, key=lambda one: one.dose_mg_h_l)
    steps = [
        Step("dose", "mg/L · hours", f"{mg_l:g} · {hours:g}", f"{dose:g} mg·h/L", Source("", Seen.DERIVED)),
        *(Step(one.name, "", "", f"{one.dose_mg_h_l:g} mg·h/L", one.source) for one in DISINFECTIONS),
    ]
    strongest = max(one.mg_l for one in DISINFECTIONS)
    passes = dose <= least.dose_mg_h_l and mg_l <= strongest
    say = (
        f"Stronger than any published way: none goes above {strongest:g} mg/L."
        if mg_l > strongest
        else f"No more than the gentlest published way ({least.name}); whether it disinfects is another question."
        if passes
        else f"More than bare aluminium should have: {least.dose_mg_h_l:g} mg·h/L at most, that is {least.name}."
    )
    not_covered = (
        "Cold water, chlorine dissolved before it goes in, and a flush after: judgement of this program. No limit "
        "for aluminium was found.",
        f"What stays in drinking water: {CHLORINE_STAYS_MG_L[0]:g} to {CHLORINE_STAYS_MG_L[1]:g} mg/L. Never "
        "mix bleach with an acid cleaner: that sets chlorine gas free (from memory).",
    )
    return TankCheck(passes, say, Working((), tuple(steps), not_covered))


# --- air ------------------------------------------------------------------------------------------------

AIR = Source("29 CFR 1915.12", Seen.READ)
OXYGEN_PERCENT = (19.5, 22.0)
FRESH_AIR_PERCENT = 20.9
LEL_PERCENT = 10.0
KEEP_OUT = "Keep out, ventilate, test again."
NO_LEAVE = (
    "Numbers that pass are no permission to enter: toxic gas is a test of its own, air changes while you work, and "
    "permission comes from a competent person on the spot. Someone stays outside.",
)


def oxygen(percent: float) -> TankCheck:
    """Oxygen in a space before anybody goes in [% by volume]: from 19.5 to below 22.0.

    >>> [oxygen(value).passes for value in (20.9, 19.4, 22.0)]
    [True, False, False]
    """
    if not 0 <= percent <= 100:
        raise CannotCalculate("Oxygen lies between 0 and 100 %.")
    low, high = OXYGEN_PERCENT
    passes = low <= percent < high
    say = (
        f"It passes, but fresh air has {FRESH_AIR_PERCENT:g} %: find what uses it up. Vapour is next, then toxic gas."
        if passes and percent < FRESH_AIR_PERCENT - 0.4
        else "Flammable vapour is tested next, then toxic gas."
        if passes
        else f"{KEEP_OUT} Rust and paint use up the oxygen."
        if percent < low
        else f"{KEEP_OUT} Too much: cloth burns like a fuse."
    )
    return _judged(passes, say, "oxygen", f"{low:g} to below {high:g} %", f"{percent:g} %", AIR, *NO_LEAVE)


def vapour(percent_lel: float) -> TankCheck:
    """Flammable vapour before anybody goes in [% of the lower explosive limit]: below 10.

    >>> vapour(9.9).passes, vapour(10).passes
    (True, False)
    """
    if percent_lel < 0:
        raise CannotCalculate("Vapour cannot be less than 0.")
    passes = percent_lel < LEL_PERCENT
    say = "Toxic gas is tested next." if passes else f"{KEEP_OUT} No spark, no switch, no lamp."
    return _judged(
        passes, say, "vapour", f"below {LEL_PERCENT:g} % of the lower explosive limit", f"{percent_lel:g} %", AIR,
        *NO_LEAVE, "A meter reads vapour too low where there is too little oxygen: test oxygen first.",
    )  # fmt: skip


# Eight hours' means that the European Union's lists of workplaces name [ppm].
TOXIC_PPM: Mapping[str, float] = MappingProxyType({"hydrogen-sulphide": 5.0, "carbon-monoxide": 20.0})
TOXIC = Source("indicative workplace limits of the European Union, eight-hour mean", Seen.MEMORY)


def toxic_gas(gas: str, ppm: float) -> TankCheck:
    """Toxic gas before anybody goes in [ppm]: below the eight hours' mean for workplaces. `gas`: hydrogen-sulphide or
    carbon-monoxide.

    >>> toxic_gas("hydrogen-sulphide", 4.9).passes, toxic_gas("carbon-monoxide", 20).passes
    (True, False)
    """
    if gas not in TOXIC_PPM:
        raise CannotCalculate(f"No limit is known here for {gas}.")
    if ppm < 0:
        raise CannotCalculate("Gas cannot be less than 0.")
    limit = TOXIC_PPM[gas]
    passes = ppm < limit
    name = gas.replace("-", " ")
    say = "Test again whenever you come back." if passes else f"{KEEP_OUT} The nose does not warn of it."
    return _judged(passes, say, name, f"below {limit:g} ppm", f"{ppm:g} ppm", TOXIC, *NO_LEAVE)


# --- pressure -------------------------------------------------------------------------------------------


def head_kpa(head_m: float, density_kg_m3: float = FRESH_KG_M3) -> float:
    """Pressure under so many metres of a liquid [kPa].

    46 CFR 182.435 gives 35 kPa or a standpipe of 3.5 m:

    >>> round(head_kpa(3.5), 1)
    34.3
    """
    if not 0 <= head_m <= 30:
        raise CannotCalculate("A head lies between 0 and 30 m.")
    return density_kg_m3 * GRAVITY_M_S2 * head_m / 1000


@dataclass(frozen=True)
class Asked:
    """What one rule asks a tank to bear [kPa]."""

    rule: str
    kpa: float
    source: Source


SMALL_CRAFT_KPA, VESSEL_KPA = 20.7, 35.0
RULES: Mapping[str, Source] = MappingProxyType(
    {
        "fuel tank, small craft": Source("33 CFR 183.542", Seen.READ),
        "integral diesel tank, small passenger vessels": Source("46 CFR 182.435", Seen.READ),
        "recreational craft": Source("ISO 21487: 20 kPa, hold for 5 minutes", Seen.MEMORY),
    }
)


def asked_pressures(overflow_head_m: float, density_kg_m3: float = FRESH_KG_M3) -> tuple[Asked, ...]:
    """What each rule asks of a tank whose overflow stands so high above its bottom [m].

    >>> [round(one.kpa, 1) for one in asked_pressures(2.0)]
    [29.4, 35.0, 20.0]
    """
    head = head_kpa(overflow_head_m, density_kg_m3)
    asked = (max(SMALL_CRAFT_KPA, 1.5 * head), max(VESSEL_KPA, head), 20.0)
    return tuple(Asked(rule, kpa, source) for (rule, source), kpa in zip(RULES.items(), asked, strict=True))


def pressure_working(overflow_head_m: float) -> Working:
    """The same with the formulas."""
    head = head_kpa(overflow_head_m)
    steps = [
        Step("at rest", "ρ · g · h / 1000", f"{FRESH_KG_M3:g} · {GRAVITY_M_S2:.2f} · {overflow_head_m:g} / 1000",
             f"{head:.1f} kPa", Source("", Seen.DERIVED))
    ]  # fmt: skip
    formulas = ("greater of 20.7 kPa and 1.5 × overflow head", "greater of 35 kPa and the head", "20 kPa")
    steps += [
        Step(one.rule, formula, "", f"{one.kpa:.1f} kPa", one.source)
        for one, formula in zip(asked_pressures(overflow_head_m), formulas, strict=True)
    ]
    return Working(
        (), tuple(steps),
        (
            "A tank under air pressure bursts like a bomb: test with water in a standpipe, 3.6 m for the 35 kPa; "
            "with air, only by a qualified person, with a relief valve fitted.",
            "No rule for water tanks of small craft was found; the classes of vessel differ, and so do the rules.",
        ),
    )  # fmt: skip
