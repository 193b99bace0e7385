"""A circuit that leaks is found though the baseline drifts, and none is accused by the drift alone."""

from __future__ import annotations

import pytest

from inspect_tui.engineering.electricity.circuit_hunt import Switched, Taken, hunt
from inspect_tui.errors import CannotCalculate

BASE, IN, OUT, ON = Switched.BASELINE, Switched.SHORE_IN, Switched.SHORE_OUT, Switched.CIRCUIT


def twelve(drift_mv: float = 0.0, leak_mv: float = 85.0) -> list[Taken]:
    """Twelve circuits, the seventh leaks; the whole hull drifts evenly meanwhile."""
    readings = [Taken(BASE, -900)]
    for number in range(1, 13):
        value = -900 + drift_mv * number / 13 + (leak_mv if number == 7 else number % 3)
        readings.append(Taken(ON, value, f"circuit {number}"))
    return [*readings, Taken(BASE, -900 + drift_mv)]


def test_one_of_twelve_stands_out() -> None:
    told = hunt(twelve())
    assert [one.taken.circuit for one in told.standing_out] == ["circuit 7"]
    assert told.standing_out[0].faulty
    assert "current leaves the hull" in " ".join(told.meaning)
    assert not told.drifting


def test_a_drifting_baseline_accuses_nobody_and_hides_no_fault() -> None:
    told = hunt(twelve(drift_mv=40))
    assert told.drifting
    assert [one.taken.circuit for one in told.standing_out] == ["circuit 7"]
    assert told.standing_out[0].shift_mv == pytest.approx(85, abs=2)
    assert "baseline itself moves by 40 mV" in " ".join(told.meaning)
    assert not hunt(twelve(drift_mv=40, leak_mv=0)).standing_out


@pytest.mark.parametrize(
    ("shift", "told"),
    [(30, "protect the dock"), (-30, "leak of direct current on board"), (4, "isolator works, or there is no earth")],
)
def test_the_shore_lead_tells_its_pattern(shift: float, told: str) -> None:
    # Sherman and HamiltonJet HJ241: more negative on disconnecting means that she protected the dock.
    found = hunt([Taken(BASE, -900), Taken(IN, -900 + shift), Taken(OUT, -900), Taken(BASE, -900)])
    assert told in " ".join(found.meaning)


def test_without_a_second_baseline_it_asks_for_one() -> None:
    told = hunt([Taken(BASE, -900), Taken(ON, -880, "pump")])
    assert told.repeats_mv is None
    assert "Take the baseline again" in told.meaning[0]
    assert told.shifts[0].verdict == "note"
    assert not told.standing_out, "before the closing baseline a drift looks the same: only a fault is named"
    assert hunt([Taken(BASE, -900), Taken(ON, -840, "pump")]).standing_out
    for readings in ([], [Taken(ON, -900, "pump")]):
        with pytest.raises(CannotCalculate, match="Begin with the baseline"):
            hunt(readings)


def test_the_shore_lead_out_again_is_a_baseline_too() -> None:
    readings = [Taken(BASE, -900), Taken(IN, -900), Taken(OUT, -892), Taken(ON, -890, "lights"), Taken(BASE, -888)]
    told = hunt(readings)
    assert round(told.shifts[-1].shift_mv) == 0, "held against -890, half way between the two"
    assert "has not come back" not in " ".join(told.meaning)
    away = hunt([Taken(BASE, -900), Taken(IN, -830), Taken(OUT, -850), Taken(BASE, -900)])
    assert "has not come back" in " ".join(away.meaning)


def test_a_current_that_enters_is_told_from_one_that_leaves() -> None:
    told = hunt([Taken(BASE, -900), Taken(ON, -980, "charger"), Taken(BASE, -900)])
    assert "current enters the hull" in " ".join(told.meaning)
