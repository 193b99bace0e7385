"""Whether the wiring of an isolated hull touches it: ohms with the battery lead lifted, or a lamp in its place.

It tells nothing where negative is tied to the hull on purpose; and two faults at once can leave the lamp dark.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from inspect_tui.engineering.working import Seen, Source, Step, Working, shown
from inspect_tui.errors import CannotCalculate

MANUAL = Source("Volvo Penta D11 manual, p 67; lost digits of the scan restored", Seen.READ)
LAMP_VOLTS, LAMP_WATTS = 12.0, 3.0
NOT_COVERED = (
    "A hull tied to negative on purpose reads low without any fault: ask for the wiring plan first.",
    "Two faults at once, one on each pole, can leave the lamp dark.",
    "How much metal a leak takes follows from no resistance: only what passes from metal into water takes any. The "
    "hull's potential, circuit by circuit, tells more.",
)
Lamp = Literal["dark", "faint", "bright"]


class Isolation(StrEnum):
    """How well the wiring is parted from the hull, from best to worst."""

    PARTED = "parted from the hull"
    NOT_SEEN = "no leak that a lamp shows: take the ohms"
    SMALL = "a small leak"
    LEAK = "a leak: find and cure it"
    HEAVY = "a heavy leak: find and cure it at once"


# From this resistance up [Ω]; the manual's rows for about 5,000, and for 1,000 and 500 and less. No standard's limit
# for direct current on a metal hull was found.
PARTED_OHM, LEAK_OHM, HEAVY_OHM = 10_000.0, 1_000.0, 500.0
# Below this in all it is a wire, and the wire sets the current [Ω]; common practice.
WIRE_OHM = 10.0


@dataclass(frozen=True)
class HullTest:
    """What ohms say. `say`: a sentence for the pole or poles at fault. `through_ma`: the current [mA] that flows from
    plus through the hull to minus; None where only one pole was measured, or the wire sets it. What metal it takes
    cannot be told: only what passes from metal into water takes any."""

    isolation: Isolation
    say: str
    through_ma: float | None
    working: Working


def isolation_of(ohm: float) -> Isolation:
    """How well one pole is parted from the hull [Ω].

    >>> [isolation_of(ohm).name for ohm in (12_000, 5_000, 1_000, 400)]
    ['PARTED', 'SMALL', 'LEAK', 'HEAVY']
    """
    if ohm >= PARTED_OHM:
        return Isolation.PARTED
    if ohm > LEAK_OHM:
        return Isolation.SMALL
    return Isolation.LEAK if ohm > HEAVY_OHM else Isolation.HEAVY


def hull_test(plus_ohm: float | None, minus_ohm: float | None = None, volts: float = 12.0) -> HullTest:
    """Judge the resistance of each pole of the wiring to the hull [Ω], the battery's leads lifted, all breakers on.
    One that was not measured is None; `plus_ohm` alone may be of a pole that nobody named.

    Raises
    ------
    CannotCalculate : neither, less than nothing, or no voltage of a boat's battery.

    Examples
    --------
    >>> round(hull_test(24_000, 90).through_ma, 2), hull_test(24_000, 90).isolation.name
    (0.5, 'HEAVY')
    """
    known = [ohm for ohm in (plus_ohm, minus_ohm) if ohm is not None]
    if not known or not all(0 <= ohm <= 1e9 for ohm in known):
        raise CannotCalculate("A resistance lies between 0 and 1,000 megohm; give one of plus, of minus, or both.")
    if not 1 <= volts <= 400:
        raise CannotCalculate("The battery's voltage lies between 1 and 400 V.")
    isolation = isolation_of(min(known))
    steps = [Step("isolation", "10,000 Ω and up / to 1,000 / to 500 / less", f"{shown(min(known))} Ω",
                  isolation.value, MANUAL)]  # fmt: skip
    through: float | None = None
    if plus_ohm is not None and minus_ohm is not None and plus_ohm + minus_ohm >= WIRE_OHM:
        through = volts / (plus_ohm + minus_ohm) * 1000
        steps.append(Step("through the hull", "volts / (plus to hull + minus to hull)",
                          f"{volts:g} / ({shown(plus_ohm)} + {shown(minus_ohm)})", f"{shown(through)} mA",
                          Source("Ohm's law", Seen.DERIVED)))  # fmt: skip
    return HullTest(isolation, _say(plus_ohm, minus_ohm), through, Working((), tuple(steps), NOT_COVERED))


def _say(plus_ohm: float | None, minus_ohm: float | None) -> str:
    plus, minus = (ohm is not None and isolation_of(ohm) is not Isolation.PARTED for ohm in (plus_ohm, minus_ohm))
    if plus_ohm is None or minus_ohm is None:
        return (
            "one pole alone makes no current: measure plus and minus apart, and ask first whether she is bonded "
            "to a pole on purpose"
        )
    if plus and minus:
        return "both poles touch the hull: a current runs through her, and eats where it leaves her through water"
    if plus:
        return "plus touches the hull: where that finds a way back through water, it eats her"
    if minus:
        return "minus touches the hull: her isolation is lost, and it eats as soon as plus touches too"
    return "neither pole touches the hull"


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
