"""A hundred cases of wasted metal, decided by an expert who saw no rule of ours; see data/metal_cases.toml."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest

from inspect_tui.domain.book import Edit, Put, Stamp, after
from inspect_tui.domain.words import Tier, Treatment
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.work.action import Task
from inspect_tui.store.checklist_files import load_checklists
from tests.judgement.metal_book import CASES, book_of, faults

HOLES = "a hole in the shell bars floating her at whatever height"
# What is decided otherwise than the expert said, each with its reason.
OTHERWISE = {
    "m28": "a line of pits nearly half through bars keeping her afloat longer than it must be",
    "m46": "a bolt that nobody drew has no diameter to be judged by: its weep is the list's",
    "m51": "a medium risk near water is this haul-out's; afloat that is her next",
    "m68": "that rivets work is a finding of its own, not to be told from their plate",
    **dict.fromkeys(("m112", "m116"), HOLES),
    "m03": "half through with water behind it bars keeping her afloat longer than it must be",
    "m38": "a hollow keel that was never opened is in the list as unseen, not as a verdict on its plate",
    "m53": "pits in a deck wait for the next haul-out at medium risk above water",
    "m71": "a crack above water is at medium risk until its owner says that the rig or the hull hangs on it",
    "m97": "three springs without growth do not make a fifth of the plate less than a fifth",
}
# Of those set apart: reported, never tuned on.
APART_MISSED = {"m33", "m35", "m52", "m79", "m84", "m91"}


@pytest.mark.parametrize("case", CASES, ids=[case["id"] for case in CASES])
def test_the_metal_is_judged_as_the_expert_decided(case: dict[str, Any]) -> None:
    told = faults(case)
    if case["id"] in OTHERWISE:
        assert told, f"{case['id']} is met: it need not be named"
    elif not case["set_apart"]:
        assert not told, f"{case['id']}: {case['words']}: {told}\n{case['why']}"


def test_of_those_set_apart_it_is_known_which_are_missed() -> None:
    apart = [case for case in CASES if case["set_apart"]]
    assert len(apart) == 20
    assert {case["id"] for case in apart if faults(case)} == APART_MISSED


def test_the_cases_are_spread() -> None:
    assert len(CASES) >= 60
    assert min(Counter(case["metal"] for case in CASES).values()) > 40
    assert len({case["subject"] for case in CASES}) >= 20
    known = {one.value for one in Treatment} | {"welder decides", "renew member", "no treatment"}
    for case in CASES:
        assert {case["treatment"], *case["accept"], *case["refuse"]} <= known
        assert set(case["tiers"]) <= {one.value for one in Tier}
        assert case["why"]
        assert case["source"]


@pytest.mark.parametrize("values", [[6.0, 5.9, 6.0, 5.9, 2.4], [6.0, 6.0, 5.9, 12.4]])
@pytest.mark.parametrize("method", ["ultrasonic", "ultrasonic through paint"])
@pytest.mark.parametrize("at_finding", [True, False])
def test_afloat_nothing_that_is_gauged_again_is_bared_under_water(
    values: list[float], method: str, at_finding: bool
) -> None:
    """A stray reading, or one through paint, at a finding or on its plate: ashore it is gauged again, afloat it
    waits."""
    case = next(one for one in CASES if one["id"] == "m83")
    gauged = {
        "day": "2025-05-10",
        "thickness_mm": values,
        "thickness_error_mm": 0.1,
        "method": method,
        "paint_mm": 0.3,
    }
    for state in ("hauled out", "afloat"):
        book = book_of({**case, "state": state, "rounds": [gauged]})
        if not at_finding:
            loose = [one.model_copy(update={"finding": None}) for one in book.readings.values()]
            edit = Edit("loose", tuple(Put("readings", one.id, one) for one in loose))
            book = after(book, edit, Stamp(loose[0].when, "x"))[0]
        asked = [
            one
            for one in Judged(book, load_checklists()).worklist.actions
            if "auge" in one.what and one.task is not Task.GAUGE
        ]
        assert [one.chalk for one in asked] == [1 if at_finding else None]
        for action in asked:
            assert action.needs_haul is (state == "afloat"), action.what
            assert not (state == "afloat" and action.does), action.what
            if state == "afloat":
                assert "hauled out" in action.what or "only what lies bare" in action.what
