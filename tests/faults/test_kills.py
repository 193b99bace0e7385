"""One kill in each kind of work; many in `python -m tests.faults.run`."""

from __future__ import annotations

import sys

import pytest

from tests.faults.kills import MOST_TYPING_LOST_S, WORKS, Work, kill_many

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="needs a pty")


@pytest.mark.parametrize("work", WORKS, ids=lambda work: work.name)
def test_a_kill_loses_nothing(work: Work) -> None:
    count = kill_many(work, 1, 11)
    assert count.wrong == []
    assert count.restored == 0, "a kill alone never damages the file"
    # Here other tests run beside it: what is typed may come late to the program.
    assert count.typing_lost_s <= 2 * MOST_TYPING_LOST_S
