"""The cause finder on places that look like several causes, written before the weights of the newer ones."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import tomli

from inspect_tui.domain.knowledge.causes import Causes, Spot
from inspect_tui.domain.words import HullMetal
from inspect_tui.judgement.causes.cause import Found, find_causes, known_of
from inspect_tui.store.checklist_files import load_checklists

APART: list[dict[str, Any]] = tomli.loads(
    (Path(__file__).parent / "data/causes-apart.toml").read_text(encoding="utf-8")
)["case"]
TUNED = [case for case in APART if not case.get("kept")]
KEPT = [case for case in APART if case.get("kept")]


@pytest.fixture(scope="module")
def known() -> Causes:
    return load_checklists().causes


def found(known: Causes, case: dict[str, Any]) -> Found:
    """At the place that the case names."""
    inside = case["where"] != "outside"
    spot = Spot(sea_side=not inside, inside=inside, tank="fuel-tank" in case["seen"])
    return find_causes(known_of(known, HullMetal(case["metal"]), spot), case["seen"], case.get("absent", ()))


def place_of(known: Causes, case: dict[str, Any]) -> int:
    """At which place the right cause stands, from 0; of several the best."""
    ids = [one.cause.id for one in found(known, case).ranked]
    return min(ids.index(one) for one in case["cause"])


def score(known: Causes, cases: list[dict[str, Any]]) -> tuple[int, int]:
    """How many stand first, and how many in the first two."""
    places = [place_of(known, case) for case in cases]
    return sum(place == 0 for place in places), sum(place <= 1 for place in places)


def test_the_right_cause_stands_first_where_others_look_like_it(known: Causes) -> None:
    assert (len(TUNED), len(KEPT)) == (16, 8)
    first, second = score(known, TUNED)
    assert first >= 14
    assert second == 16


def report() -> str:
    """How they come out, the kept ones apart: `python -m tests.judgement.test_cause_apart`."""
    known = load_checklists().causes
    lines = []
    for title, cases in (("tuned on", TUNED), ("kept apart", KEPT)):
        first, second = score(known, cases)
        lines.append(f"{title}: first {first} of {len(cases)}, in the first two {second}")
        for case in cases:
            ranked = found(known, case).ranked[:3]
            names = "; ".join(f"{one.cause.id}, {one.told}" for one in ranked)
            lines.append(f"   {case['name']}: {'/'.join(case['cause'])} -> {names}")
    return "\n".join(lines)


if __name__ == "__main__":
    print(report())
