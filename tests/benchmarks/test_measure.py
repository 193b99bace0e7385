"""The measurements run; what they say is for people (`python -m tests.benchmarks.measure`)."""

from __future__ import annotations

from tests.benchmarks.measure import report


def test_every_measurement_gives_two_times() -> None:
    told = report(repeats=1, photos=2, records=60, findings=20)
    assert len(told) == 16
    assert all(ours > 0 and beside > 0 for ours, beside in told.values())
