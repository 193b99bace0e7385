"""Whether the wiring of an isolated hull touches it: ohms with the battery lead lifted, or a lamp in its place.

It tells nothing where negative is tied to the hull on purpose; and two faults at once can leave the lamp dark.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from inspect_tui.engineering.electricity.faraday import HOURS_A_YEAR, LAW, mass_kg
from inspect_tui.engineering.working import Seen, Source, Step, Working, shown
from inspect_tui.errors import CannotCalculate

MANUAL = Source("Volvo Penta D11 manual, p 67; lost digits of the scan restored", Seen.READ)
LAMP_VOLTS, LAMP_WATTS = 12.0, 3.0
NOT_COVERED = (
    "A hull tied to negative on purpose reads low without any fault: ask for the wiring plan first.",
    "Two faults at once, one on each pole, can leave the lamp dark.",
)
Lamp = Literal["dark", "faint", "bright"]


class Isolation(StrEnum):
    """How well the wiring is parted from the hull, from best to worst."""

    PARTED = "parted from the hull"
    NOT_SEEN = "no leak that a lamp shows: take the ohms"
    SMALL = "a small leak"
    LEAK = "a leak: find and cure it"
    HEAVY = "a heavy leak: find and cure it at once"


# From this resistance up [Ω]; the manual's rows for about 5,000, and for 1,000 and 500 and less.
PARTED_OHM, LEAK_OHM, HEAVY_OHM = 10_000.0, 1_000.0, 500.0


@dataclass(frozen=True)
class HullTest:
    """What a test says. The current [mA] is through the leak itself at `volts`; the metal [g] is what a year of it
    takes, if all of it leaves the hull as metal."""

    isolation: Isolation
    leak_ma: float
    metal_g_a_year: float
    working: Working


def hull_test(ohm: float, volts: float = 12.0, metal: Literal["aluminium", "steel"] = "aluminium") -> HullTest:
    """Judge the resistance between wiring and hull [Ω], the battery's lead lifted and all breakers on.

    Raises
    ------
    CannotCalculate : less than nothing, or no voltage of a boat's battery.

    Examples
    --------
    >>> [hull_test(ohm).isolation.name for ohm in (12_000, 5_000, 1_000, 400)]
    ['PARTED', 'SMALL', 'LEAK', 'HEAVY']
    >>> round(hull_test(1_000).leak_ma), round(hull_test(1_000).metal_g_a_year)
    (12, 35)
    """
    if not 0 <= ohm <= 1e9:
        raise CannotCalculate("A resistance lies between 0 and 1,000 megohm.")
    if not 1 <= volts <= 400:
        raise CannotCalculate("The battery's voltage lies between 1 and 400 V.")
    isolation = (
        Isolation.PARTED if ohm >= PARTED_OHM
        else Isolation.SMALL if ohm > LEAK_OHM
        else Isolation.LEAK if ohm > HEAVY_OHM
        else Isolation.HEAVY
    )  # fmt: skip
    # A dead short is as bad as one ohm here: the wire, not the hull, then sets the current.
    leak_a = volts / max(ohm, 1.0)
    grams = mass_kg(metal, leak_a, HOURS_A_YEAR) * 1000
    steps = (
        Step("isolation", "10,000 Ω and up / to 1,000 / to 500 / less", f"{shown(ohm)} Ω", isolation.value, MANUAL),
        Step("through the leak", "volts / ohms", f"{volts:g} / {shown(max(ohm, 1.0))}",
             f"{shown(leak_a * 1000)} mA", Source("Ohm's law", Seen.DERIVED)),
        Step("metal in a year", "I · t · M / (z · F), if all of it leaves as metal", f"{shown(leak_a * 1000)} mA",
             f"{shown(grams)} g of {metal}", LAW),
    )  # fmt: skip
    return HullTest(isolation, leak_a * 1000, grams, Working((), steps, NOT_COVERED))


LAMP_SAYS: dict[Lamp, Isolation] = {"dark": Isolation.NOT_SEEN, "faint": Isolation.LEAK, "bright": Isolation.HEAVY}


def lamp_test(lamp: Lamp) -> tuple[Isolation, Working]:
    """What a 12 V lamp of 3 W in the lifted lead says, every consumer switched off and the breakers on.

    The manual calls a faint glow a small leak; a lamp of a quarter ampere that glows at all lets tens of milliamperes
    through, which its table of ohms calls one to be cured.

    >>> lamp_test("faint")[0].value
    'a leak: find and cure it'
    """
    isolation = LAMP_SAYS[lamp]
    step = Step(
        "lamp", "dark: none / faint: small / bright: serious", f"{LAMP_VOLTS:g} V, {LAMP_WATTS:g} W", lamp, MANUAL
    )
    dim = "A leak of some milliamperes does not light a lamp of a quarter ampere: the ohms tell more."
    loop = "One fault alone may leave the lamp without a loop, and dark."
    doubts = ("The manual calls a faint glow a small leak; by its ohms it is one to be cured.",)
    return isolation, Working((), (step,), (*NOT_COVERED, dim, loop), doubts if lamp == "faint" else ())
