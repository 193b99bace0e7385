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
    "Ohms cannot tell how much metal a leak takes: only current that passes from metal into water takes any. "
    "The hull's potential, circuit by circuit, tells more.",
)
Lamp = Literal["dark", "faint", "bright"]


class Isolation(StrEnum):
    """How well the wiring is parted from the hull, from best to worst."""

    PARTED = "isolated from the hull"
    NOT_SEEN = "no leak that a lamp shows: measure the ohms"
    SMALL = "a small leak"
    LEAK = "a leak: find and cure it"
    HEAVY = "a heavy leak: find and cure it at once"


# From this resistance up [Ω]; the manual's rows for about 5,000, and for 1000 and 500 and less. No standard's limit
# for direct current on a metal hull was found.
PARTED_OHM, LEAK_OHM, HEAVY_OHM = 10_000.0, 1_000.0, 500.0
# Below this in all it is a wire, and the wire sets the current [Ω]; common practice.
WIRE_OHM = 10.0


class Fault(StrEnum):
    """Which pole touches the hull, in one sentence. Plus eats her where it finds a way back through water; minus
    alone is lost isolation, and takes nothing until plus touches too."""

    TIED = "a pole is tied to the hull on purpose, so ohms and lamp tell nothing: hunt circuit by circuit"
    ASK = "ask whether a pole is tied to the hull on purpose: if so, this tells nothing"
    ASK_OF_ONE = f"{ASK}; if not, measure positive and negative separately, for one pole alone makes no current"
    POLE = "positive or negative? measure them separately, for one pole alone makes no current"
    OTHER = "this pole is isolated; measure the other too"
    NONE = "neither pole touches the hull"
    PLUS = "positive touches the hull: where its current finds a way back through water, it eats her"
    MINUS = "negative touches the hull: her isolation is lost, and she is eaten as soon as positive touches too"
    BOTH = "both poles touch the hull: a current runs through her, and eats her where it leaves through water"


@dataclass(frozen=True)
class HullTest:
    """What ohms say. `isolation`: of the pole that counts, which is plus where both are known; `word`: in a few words
    what it is. `through_ma`: the current [mA] that flows from plus through the hull to minus; None where only one
    pole was measured, or the wire sets it. What metal it takes cannot be told: only what passes from metal into water
    takes any."""

    fault: Fault
    isolation: Isolation
    word: str
    through_ma: float | None
    working: Working

    @property
    def bad(self) -> bool:
        """A thousand ohms and less: to be found and cured, by the manual."""
        return self.isolation in (Isolation.LEAK, Isolation.HEAVY)

    @property
    def leak(self) -> bool | None:
        """Whether current leaks into the hull; None where these ohms cannot tell."""
        if self.fault is Fault.NONE:
            return False
        return True if self.bad and self.fault in (Fault.PLUS, Fault.BOTH, Fault.POLE) else None

    @property
    def lost(self) -> bool:
        """Whether minus alone touches: no current, and no isolation either."""
        return self.bad and self.fault is Fault.MINUS

    @property
    def ask(self) -> bool:
        """Whether it is to be asked first whether a pole is tied to the hull on purpose."""
        return self.bad and self.fault in (Fault.ASK, Fault.ASK_OF_ONE)


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


def hull_test(
    plus_ohm: float | None, minus_ohm: float | None = None, volts: float = 12.0, *, tied: bool | None = None
) -> HullTest:
    """Judge the resistance of each pole of the wiring to the hull [Ω], the battery's leads lifted, all breakers on.
    One that was not measured is None; `plus_ohm` alone may be of a pole that nobody named. `tied`: a pole is tied to
    the hull on purpose; None where nobody said. Nobody ties plus: where minus is parted, none is tied.

    Raises
    ------
    CannotCalculate : neither, less than nothing, or no voltage of a boat's battery.

    Examples
    --------
    >>> told = hull_test(24_000, 90, tied=False)
    >>> round(told.through_ma, 2), told.word, told.leak
    (0.5, 'isolation lost, which by itself eats nothing', None)
    """
    known = [ohm for ohm in (plus_ohm, minus_ohm) if ohm is not None]
    if not known or not all(0 <= ohm <= 1e9 for ohm in known):
        raise CannotCalculate("A resistance lies between 0 and 1000 MΩ; give that of positive, of negative, or both.")
    if not 1 <= volts <= 400:
        raise CannotCalculate("The battery's voltage lies between 1 and 400 V.")
    fault = _fault(plus_ohm, minus_ohm, tied)
    counts = plus_ohm if fault in (Fault.PLUS, Fault.BOTH) and plus_ohm is not None else min(known)
    isolation = isolation_of(counts)
    word = _word(fault, isolation)
    read = " and ".join(f"{shown(ohm)} Ω" for ohm in known)
    steps = [Step("isolation", "of positive: 10000 Ω and up / to 1000 / to 500 / less", read, word, MANUAL)]
    through: float | None = None
    if plus_ohm is not None and minus_ohm is not None and plus_ohm + minus_ohm >= WIRE_OHM:
        through = volts / (plus_ohm + minus_ohm) * 1000
        steps.append(Step("through the hull", "volts / (R positive to hull + R negative to hull)",
                          f"{volts:g} / ({shown(plus_ohm)} + {shown(minus_ohm)})", f"{shown(through)} mA",
                          Source("Ohm's law", Seen.DERIVED)))  # fmt: skip
    return HullTest(fault, isolation, word, through, Working((), tuple(steps), NOT_COVERED))


def _fault(plus_ohm: float | None, minus_ohm: float | None, tied: bool | None) -> Fault:
    if tied:
        return Fault.TIED
    plus, minus = (ohm is not None and isolation_of(ohm) is not Isolation.PARTED for ohm in (plus_ohm, minus_ohm))
    one = plus_ohm is None or minus_ohm is None
    if tied is None and (minus or (plus and one)):
        return Fault.ASK_OF_ONE if one else Fault.ASK
    if one and not minus:
        return Fault.POLE if plus else Fault.OTHER
    return {(True, True): Fault.BOTH, (True, False): Fault.PLUS, (False, True): Fault.MINUS}.get(
        (plus, minus), Fault.NONE
    )


def _word(fault: Fault, isolation: Isolation) -> str:
    if fault is Fault.TIED:
        return "tied on purpose"
    if fault in (Fault.ASK, Fault.ASK_OF_ONE):
        return "a pole touches the hull"
    if fault is Fault.POLE:
        return "a pole touches the hull" if isolation is not Isolation.SMALL else "a pole touches the hull a little"
    if fault is Fault.MINUS:
        return (
            "isolation lost, which by itself eats nothing"
            if isolation is not Isolation.SMALL
            else "isolation weak, which by itself eats nothing"
        )
    return isolation.value


LAMP_ASK = "ask first whether a pole is tied to the hull on purpose: if so, the lamp tells nothing"
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
    dim = "A leak of a few milliamperes does not light a quarter-ampere lamp: the ohms tell more."
    loop = "One fault alone may leave the lamp without a circuit, and so dark."
    doubts = ("The manual calls a faint glow a small leak; by the manual's own ohms it is one to be cured.",)
    return isolation, Working((), (step,), (*NOT_COVERED, dim, loop), doubts if lamp == "faint" else ())
