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
    (200.0, Source("practice on boats, docslib 8174925", Seen.SECOND_HAND)),
)


class Ranged(Protocol):
    """A metal of the galvanic series, wherever it is kept [mV against calomel]."""

    @property
    def name(self) -> str: ...
    @property
    def low_mv(self) -> float: ...
    @property
    def high_mv(self) -> float: ...
    @property
    def middle_mv(self) -> float: ...


@dataclass(frozen=True)
class InSeries:
    """One metal: its name, its range and its middle [mV against calomel]."""

    name: str
    low_mv: float
    high_mv: float
    middle_mv: float


@dataclass(frozen=True)
class Couple:
    """`eaten`: the less noble. Voltages [mV]: `drives_mv` is what the verdict goes by; `voltage_mv` between their
    points, and the least and most that the ranges allow."""

    eaten: Ranged
    noble: Ranged
    drives_mv: float
    voltage_mv: float
    least_mv: float
    most_mv: float
    area_ratio: float | None
    verdict: str
    working: Working


def driving_mv(eaten: Ranged, noble: Ranged) -> float:
    """What drives the attack [mV]: between the points of the two, or the middles of their ranges, whichever is more.

    >>> aluminium = InSeries("aluminium", -1000, -760, -760)
    >>> driving_mv(aluminium, InSeries("lead", -280, -190, -220)), driving_mv(aluminium, aluminium)
    (645.0, 0.0)
    """
    ranges = (noble.low_mv + noble.high_mv - eaten.low_mv - eaten.high_mv) / 2
    return float(max(noble.middle_mv - eaten.middle_mv, ranges))


def most_mv(eaten: Ranged, noble: Ranged) -> float:
    """The most that their ranges allow [mV].

    >>> most_mv(InSeries("aluminium", -1000, -760, -760), InSeries("cadmium", -740, -700, -690))
    310.0
    """
    return float(max(noble.high_mv, noble.middle_mv) - min(eaten.low_mv, eaten.middle_mv))


def least_noble(one: Ranged, other: Ranged) -> tuple[Ranged, Ranged]:
    """Of two metals the one that is eaten, and the other: the way round that drives more.

    >>> [metal.name for metal in least_noble(InSeries("tin", -330, -300, -325), InSeries("lead", -250, -190, -220))]
    ['tin', 'lead']
    """
    forth, back = (driving_mv(one, other), other.middle_mv), (driving_mv(other, one), one.middle_mv)
    return (one, other) if forth >= back else (other, one)


def couple(one: Ranged, other: Ranged, *, eaten_m2: float | None = None, noble_m2: float | None = None) -> Couple:
    """What two metals do to each other in sea water; areas wetted and bare, in m².

    Raises
    ------
    CannotCalculate : an area that is nothing or less, or only one of the two.

    >>> aluminium = InSeries("aluminium", -1000, -760, -760)
    >>> couple(aluminium, InSeries("copper", -370, -300, -360)).voltage_mv
    400
    """
    if (eaten_m2 is None) != (noble_m2 is None):
        raise CannotCalculate("Give the bare area of both metals, or of neither.")
    if eaten_m2 is not None and noble_m2 is not None and min(eaten_m2, noble_m2) <= 0:
        raise CannotCalculate("Areas must be above nothing.")
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
        Step("drives", "the greater of this and the middles of the ranges", "", f"{drives:g} mV",
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
        "The series is of metals that corrode freely in moving sea water. Under a scale, in a crevice, in fresh "
        "water or at an anode they stand elsewhere.",
        "Paint the noble metal, never the eaten one alone: at a scratch all of the attack meets there.",
    )
    return Couple(eaten, noble, drives, voltage, least, most, ratio, words, Working((), tuple(steps), not_covered))
