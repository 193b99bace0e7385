"""Hunting the circuit that leaks: potentials of the hull with each circuit switched on, against a baseline.

The shift of a circuit is its reading less the baseline at that moment, which is drawn straight between the baselines
before and after it: a hull that drifts must not accuse a circuit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from inspect_tui.engineering.working import Seen, Source, Step, Working
from inspect_tui.errors import CannotCalculate

# No standard was found for either.
NOTE_MV, FAULT_MV = 10.0, 50.0
THRESHOLDS = Source("10 mV to note, 50 mV a fault: no standard was found", Seen.JUDGEMENT)
PROTOCOL = Source("Sherman, Advanced Marine Electrics Troubleshooting, pp 127-132; HamiltonJet HJ241", Seen.READ)
LOOKED = (
    "A circuit at fault: leave its breaker off until an electrician has looked. Bilge pump or alarm: off only if a "
    "spare stands by."
)
# Baselines further apart than this make every small shift doubtful.
DRIFTS_MV = 20.0


class Switched(StrEnum):
    """What was switched when a potential was read."""

    BASELINE = "baseline: all off, shore lead out"
    SHORE_IN = "shore lead in, all off"
    SHORE_OUT = "shore lead out again"
    CIRCUIT = "circuit"


@dataclass(frozen=True)
class Taken:
    """One potential [mV, always the same electrode], in the order they were read."""

    switched: Switched
    potential_mv: float
    circuit: str = ""

    @property
    def name(self) -> str:
        return self.circuit if self.switched is Switched.CIRCUIT else self.switched.value


@dataclass(frozen=True)
class Shift:
    """How far one reading lies from the baseline of its moment [mV]; `verdict` in a word."""

    taken: Taken
    baseline_mv: float
    shift_mv: float
    verdict: str

    @property
    def faulty(self) -> bool:
        return self.verdict == "fault"


@dataclass(frozen=True)
class Hunt:
    """What a hunt shows: how well the baseline repeats [mV], each shift, which circuits stand out, what it means."""

    shifts: tuple[Shift, ...]
    repeats_mv: float | None
    drifting: bool
    standing_out: tuple[Shift, ...]
    meaning: tuple[str, ...]
    working: Working


def hunt(readings: Sequence[Taken]) -> Hunt:
    """Judge the readings of one hunt.

    Raises
    ------
    CannotCalculate : it does not begin with a baseline.

    Examples
    --------
    >>> told = hunt([Taken(Switched.BASELINE, -900), Taken(Switched.CIRCUIT, -815, "bilge pump"),
    ...              Taken(Switched.CIRCUIT, -898, "lights"), Taken(Switched.BASELINE, -896)])
    >>> [one.taken.circuit for one in told.standing_out], round(told.standing_out[0].shift_mv)
    (['bilge pump'], 84)
    """
    if not readings or readings[0].switched is not Switched.BASELINE:
        raise CannotCalculate("Begin with the baseline: everything off, shore lead out, and wait until it settles.")
    for one in readings:
        if not -3000 <= one.potential_mv <= 1500:
            raise CannotCalculate(f"{one.potential_mv:g} mV is not a hull's potential.")
    bases = [index for index, one in enumerate(readings) if _is_base(one, readings[0])]
    values = [readings[index].potential_mv for index in bases]
    told_twice = sum(one.switched is Switched.BASELINE for one in readings) > 1
    repeats = max(values) - min(values) if told_twice else None
    noise = max(NOTE_MV, repeats or 0.0)
    shifts = tuple(
        _shift(readings, index, bases, noise)
        for index, one in enumerate(readings)
        if one.switched is not Switched.BASELINE
    )
    # Before the closing baseline a drift looks like small shifts: only faults stand out.
    closed = readings[bases[-1]].switched is Switched.BASELINE and len(bases) > 1
    counting = ("fault", "note") if closed else ("fault",)
    standing = tuple(
        sorted(
            (one for one in shifts if one.taken.switched is Switched.CIRCUIT and one.verdict in counting),
            key=lambda one: -abs(one.shift_mv),
        )
    )
    drifting = repeats is not None and repeats > DRIFTS_MV
    told = "unknown: take it again at the end" if repeats is None else f"{repeats:g} mV"
    steps = [
        Step("baseline repeats", "greatest - least", " ".join(f"{one:g}" for one in values) + " mV", told, PROTOCOL)
    ]
    steps += [
        Step(one.taken.name, "reading - baseline at that time",
             f"{one.taken.potential_mv:g} - ({one.baseline_mv:.1f}) mV",
             f"{one.shift_mv:+.1f} mV: {one.verdict}", THRESHOLDS)
        for one in shifts
    ]  # fmt: skip
    not_covered = (
        "A leak that needs two faults at once; circuits that were not switched; alternating current.",
        "On a hull tied to negative on purpose, the engine and charger show up here.",
    )
    meaning = tuple(_meaning(shifts, standing, repeats, drifting=drifting))
    return Hunt(shifts, repeats, drifting, standing, meaning, Working((), tuple(steps), not_covered))


def _is_base(one: Taken, first: Taken) -> bool:
    """The shore lead out again is a baseline too, unless it shows that she has not come back."""
    if one.switched is Switched.SHORE_OUT:
        return abs(one.potential_mv - first.potential_mv) <= DRIFTS_MV
    return one.switched is Switched.BASELINE


def _shift(readings: Sequence[Taken], index: int, bases: list[int], noise: float) -> Shift:
    before = max(at for at in bases if at <= index)
    after = min((at for at in bases if at > index), default=before)
    base = readings[before].potential_mv
    if after != before:
        base += (readings[after].potential_mv - base) * (index - before) / (after - before)
    shift = readings[index].potential_mv - base
    size = abs(shift)
    verdict = "fault" if size >= max(FAULT_MV, noise) else "note" if size >= noise else "none"
    return Shift(readings[index], base, shift, verdict)


def _meaning(
    shifts: tuple[Shift, ...], standing: tuple[Shift, ...], repeats: float | None, *, drifting: bool
) -> list[str]:
    told = []
    if repeats is None:
        told.append("Take the baseline again at the end: without it nobody knows how far she drifts by herself.")
    elif drifting:
        told.append(
            f"The baseline itself moves by {repeats:.0f} mV: only larger shifts count. Let her lie, and repeat."
        )
    for one in standing:
        way = "less negative: current leaves the hull for the water while it is on" if one.shift_mv > 0 else (
            "more negative: current enters the hull, and leaves it or another metal elsewhere"
        )  # fmt: skip
        told.append(f"{one.taken.circuit}: {one.shift_mv:+.0f} mV, {way}.")
    if standing:
        told.append(LOOKED)
    told += [_of_shore(one) for one in shifts if one.taken.switched is Switched.SHORE_IN]
    if any(one.taken.switched is Switched.SHORE_OUT and one.verdict != "none" for one in shifts):
        told.append("With the shore lead out again she has not come back: wait until she settles, and repeat.")
    if shifts and not standing:
        told.append("No circuit stands out among those that were switched.")
    return told


def _of_shore(one: Shift) -> str:
    """The protocol tells the pattern by disconnecting; connecting is the same with the other sign."""
    if one.verdict == "none":
        return "Shore lead: no shift. Its isolator works, or there is no earth: have the earth tested."
    if one.shift_mv > 0:
        return (
            "Shore lead in makes her less negative: her anodes protect the dock; the isolator is missing or broken."
        )
    return "Shore lead in makes her more negative: suspect a leak of direct current on board, or a charger."
