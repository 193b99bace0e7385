"""The shipped limits, against the published rules they are taken from."""

from __future__ import annotations

from typing import Any

import pytest

from inspect_tui.domain.words import WELDED, HullMetal, Treatment
from inspect_tui.judgement.metal.facts import Facts
from inspect_tui.judgement.metal.verdict import judge
from inspect_tui.store.checklist_files import load_checklists

CHECKLISTS = load_checklists()
LIMITS = CHECKLISTS.metals.limits


def by_rule(metal: HullMetal, **facts: Any) -> tuple[Treatment, str]:
    told = judge(Facts(**facts), LIMITS[metal], below=True, afloat=False, numbers="", hazards=CHECKLISTS.cautions)
    assert told is not None
    return told.deciding.treatment, told.deciding.id


@pytest.mark.parametrize(
    ("deepest", "treatment"),
    # LR Naval Survey Guidance for Steel Ships (2001) ch. 11: plate of 20 mm, isolated pits of 5, 8 and 15 mm: fill;
    # weld, with 12 mm left; with 5 mm left welded too, out of the water, where no burn-through can be shown.
    [(5.0, Treatment.FILL), (8.0, Treatment.WELD_UP), (15.0, Treatment.WELD_UP)],
)
def test_pits_in_thick_steel(deepest: float, treatment: Treatment) -> None:
    assert by_rule(HullMetal.STEEL, plate_mm=20.0, deepest_mm=deepest)[0] is treatment


@pytest.mark.parametrize("metal", HullMetal)
@pytest.mark.parametrize("plate", [4.0, 6.0, 10.0, 20.0])
def test_afloat_nobody_welds_or_cuts(metal: HullMetal, plate: float) -> None:
    """The same text: afloat more than 6 mm must be left; and water stands behind every pit of a hull that floats."""
    for tenth in range(1, int(plate * 10)):
        told = judge(
            Facts(plate_mm=plate, deepest_mm=tenth / 10), LIMITS[metal], below=True, afloat=True, numbers="",
            hazards=CHECKLISTS.cautions,
        )  # fmt: skip
        assert told is not None
        assert told.treatment not in WELDED, (plate, tenth / 10)


@pytest.mark.parametrize(
    ("plate", "deepest", "treatment"),
    # The same rule in shares: 0.30 of the plate may be filled; 0.40 welded, out of the water, whatever is left
    # but for what no arc is trusted with (judgement).
    [
        (10.0, 3.0, Treatment.FILL),
        (11.6667, 4.6667, Treatment.WELD_UP),
        (5.0, 2.0, Treatment.WELD_UP),
        (3.0, 1.6, Treatment.INSERT_PLATE),
        (4.0, 3.1, Treatment.INSERT_PLATE),
    ],
)
@pytest.mark.parametrize("metal", HullMetal)
def test_shares_of_the_plate(metal: HullMetal, plate: float, deepest: float, treatment: Treatment) -> None:
    assert by_rule(metal, plate_mm=plate, deepest_mm=deepest)[0] is treatment


@pytest.mark.parametrize(
    ("remaining", "meets"),
    # IMO ESP Code A.1049(27), Annex A part B 8.2: in dense pitting more than 70 % as built must be left in the pits.
    [(0.71, True), (0.69, False)],
)
def test_what_is_left_in_dense_pits(remaining: float, meets: bool) -> None:
    facts: dict[str, Any] = {"plate_mm": 10.0, "deepest_mm": 10.0 * (1 - remaining), "pits": 6, "spacing_mm": 20.0}
    treatment, _ = by_rule(HullMetal.STEEL, **facts, deep_pits=0)
    assert (treatment is Treatment.FILL) is meets


@pytest.mark.parametrize("metal", HullMetal)
@pytest.mark.parametrize(
    ("mean_mm", "treatment"),
    # USCG NVIC 7-68, reprinted in US Army TB 55-1900-201-45/1: up to 25 % lost is accepted, more is renewed; lightly
    # built plating is renewed above 15 %. Steel ships. 10 mm as built, no particulars known.
    [(7.4, Treatment.REPLATE), (7.5, Treatment.ASK), (8.4, Treatment.ASK), (8.5, Treatment.CLEAN_AND_COAT)],
)
def test_even_wear_at_which_ships_renew(metal: HullMetal, mean_mm: float, treatment: Treatment) -> None:
    assert by_rule(metal, plate_mm=10.0, mean_mm=mean_mm)[0] is treatment


@pytest.mark.parametrize("metal", HullMetal)
@pytest.mark.parametrize(("deep_pits", "beyond"), [(1, False), (2, True)])
def test_pitting_past_repair(metal: HullMetal, deep_pits: int, beyond: bool) -> None:
    # LR Naval Survey Guidance for Steel Ships (2001) ch. 12: over 25 % of the surface pitted deeper than half. Ours
    # takes two pits or more of a cluster for that share of the surface.
    told, rule = by_rule(metal, plate_mm=10.0, deepest_mm=6.0, pits=8, spacing_mm=20.0, deep_pits=deep_pits)
    assert (told is Treatment.REPLATE) is beyond
    assert (rule == "beyond-pit-repair") is beyond
