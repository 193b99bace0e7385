"""A shorter run of `kill.py`; the full one is `python -m tests.store.kill 200`."""

from __future__ import annotations

from tests.store.kill import kill_many

KILLS = 8


def test_killing_at_random_moments_loses_no_acknowledged_answer() -> None:
    acknowledged, restored = kill_many(KILLS)
    assert acknowledged > KILLS
    assert restored == 0, "a kill alone never damages the file"
