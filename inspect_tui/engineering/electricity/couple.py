"""Two metals touching in sea water: the voltage between them, which one is eaten, and what the areas do."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from inspect_tui.engineering.working import Seen, Source, Step, Working
from inspect_tui.errors import CannotCalculate

ANODES = ("zinc", "magnesium")
# From this on a nobler part drives an attack in salt water and harsh air [mV].
NOBLER_MV = 150.0
# Couples with less between them are let pass; the sources differ by what they are for.
LIMITS_MV = (
    (50.0, Source("MIL-DTL-14072F 3.13: the same group", Seen.READ)),
    (NOBLER_MV, Source("Carr Lane: salt water, harsh air", Seen.READ)),
    (200.0, Source("practice on boats, by a galvanic chart of the ABYC type", Seen.SECOND_HAND)),
)


class InSeries(Protocol):
    """One metal, wherever the series is kept: its name, its range and its point [mV against calomel]."""

    @property
    def name(self) -> str: ...
    @property
    def low_mv(self) -> float: ...
    @property
    def high_mv(self) -> float: ...
    @property
    def middle_mv(self) -> float: ...


@dataclass(frozen=True)
class Couple:
    """`eaten`: the less noble. Voltages [mV]: `drives_mv` is what the verdict goes by; `voltage_mv` between their
    points, and the least and most that the ranges allow."""

    eaten: InSeries
    noble: InSeries
    drives_mv: float
    voltage_mv: float
    least_mv: float
    most_mv: float
    area_ratio: float | None
    verdict: str
    working: Working


def driving_mv(eaten: InSeries, noble: InSeries) -> float:
    """What drives the attack [mV]: between the points of the two, or the middles of their ranges, whichever is more.

    >>> from types import SimpleNamespace as Metal
    >>> aluminium = Metal(low_mv=-1000, high_mv=-760, middle_mv=-760)
    >>> driving_mv(aluminium, Metal(low_mv=-280, high_mv=-190, middle_mv=-220)), driving_mv(aluminium, aluminium)
    (645.0, 0.0)
    """
    ranges = (noble.low_mv + noble.high_mv - eaten.low_mv - eaten.high_mv) / 2
    return float(max(noble.middle_mv - eaten.middle_mv, ranges))


def most_mv(eaten: InSeries, noble: InSeries) -> float:
    """The most that their ranges allow [mV].

    >>> from types import SimpleNamespace as Metal
    >>> aluminium, cadmium = Metal(low_mv=-1000, middle_mv=-760), Metal(high_mv=-700, middle_mv=-690)
    >>> most_mv(aluminium, cadmium)
    310.0
    """
    return float(max(noble.high_mv, noble.middle_mv) - min(eaten.low_mv, eaten.middle_mv))


def least_noble(one: InSeries, other: InSeries) -> tuple[InSeries, InSeries]:
    """Of two metals the one that is eaten, and the other: the way round that drives more.

    >>> from types import SimpleNamespace as Metal
    >>> tin, lead = Metal(low_mv=-330, high_mv=-300, middle_mv=-325), Metal(low_mv=-250, high_mv=-190, middle_mv=-220)
    >>> least_noble(lead, tin) == (tin, lead)
    True
    """
    forth, back = (driving_mv(one, other), other.middle_mv), (driving_mv(other, one), one.middle_mv)
    return (one, other) if forth >= back else (other, one)


def couple(one: InSeries, other: InSeries, *, eaten_m2: float | None = None, noble_m2: float | None = None) -> Couple:
    """What two metals do to each other in sea water; areas wetted and bare, in m².

    Raises
    ------
    CannotCalculate : an area that is nothing or less, or only one of the two.

    >>> from types import SimpleNamespace as Metal
    >>> aluminium = Metal(name="aluminium", low_mv=-1000, high_mv=-760, middle_mv=-760)
    >>> couple(aluminium, Metal(name="copper", low_mv=-370, high_mv=-300, middle_mv=-360)).voltage_mv
    400
    """
    if (eaten_m2 is None) != (noble_m2 is None):
        raise CannotCalculate("Give the bare area of both metals, or neither.")
    if eaten_m2 is not None and noble_m2 is not None and min(eaten_m2, noble_m2) <= 0:
        raise CannotCalculate("Areas must be above 0.")
    eaten, noble = least_noble(one, other)
    voltage, drives = noble.middle_mv - eaten.middle_mv, driving_mv(eaten, noble)
    least, most = max(noble.low_mv - eaten.high_mv, 0.0), most_mv(eaten, noble)
    passed = [limit for limit, _ in LIMITS_MV if drives >= limit]
    words = (
        "hardly any: within the same group" if not passed
        else "borderline: keep it dry, or insulate" if len(passed) == 1
        else "too much in salt water unless insulated or dry" if len(passed) == 2
        else f"too much: {eaten.name} is eaten where they touch and both are wet"
    )  # fmt: skip
    if eaten.name in ANODES:
        words += "; that is what an anode is for"
    ratio = noble_m2 / eaten_m2 if eaten_m2 and noble_m2 else None
    steps = [
        Step(
            "voltage", "E noble - E eaten", f"{noble.middle_mv:g} - ({eaten.middle_mv:g}) mV",
            f"{voltage:g} mV (ranges allow {least:g} to {most:g})",
            Source("galvanic series: metals.toml", Seen.READ),
        ),
        Step("drives", "the greater of this and the gap between mid-ranges", "", f"{drives:g} mV",
             Source("the cautious end: a metal's point may lie at the noble end of its range", Seen.JUDGEMENT)),
        Step("limits", " / ".join(f"{limit:g}" for limit, _ in LIMITS_MV) + " mV", f"{drives:g} mV", words,
             LIMITS_MV[-1][1]),
    ]  # fmt: skip
    if ratio is not None:
        told = "attack is spread" if ratio < 0.1 else "attack is strong" if ratio > 1 else "attack is noticeable"
        steps.append(
            Step("areas", "bare noble / bare eaten", f"{noble_m2:g} / {eaten_m2:g} m²", f"{ratio:.3g}: {told}",
                 Source("MIL-STD-1250A 5.6: attack grows with the ratio; the words are ours", Seen.READ))
        )  # fmt: skip
    not_covered = (
        "The series is for metals corroding freely in moving sea water. Under scale, in a crevice, in fresh "
        "water or at an anode they stand elsewhere.",
        "Paint the noble metal, never the eaten one alone: all of the attack would then fall on a scratch.",
    )
    return Couple(eaten, noble, drives, voltage, least, most, ratio, words, Working((), tuple(steps), not_covered))
