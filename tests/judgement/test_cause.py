"""The cause finder on invented places, ticked as an owner would."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import tomli

from inspect_tui.domain.knowledge.causes import Causes
from inspect_tui.domain.words import HullMetal
from inspect_tui.errors import BadChecklist
from inspect_tui.judgement.causes.cause import LIKELY, Found, find_causes, known_of
from inspect_tui.store.checklist_files import load_checklists

CASES: list[dict[str, Any]] = tomli.loads((Path(__file__).parent / "data/causes.toml").read_text(encoding="utf-8"))[
    "case"
]
APART: list[dict[str, Any]] = tomli.loads(
    (Path(__file__).parent / "data/causes-apart.toml").read_text(encoding="utf-8")
)["case"]
PLAIN = [case for case in CASES if len(case.get("cause", ())) == 1 and not case.get("kept")]
MIXED = [case for case in CASES if len(case.get("cause", ())) > 1]
THIN = [case for case in CASES if case.get("thin")]
KEPT = [case for case in CASES if case.get("kept")]


@pytest.fixture(scope="module")
def known() -> Causes:
    return load_checklists().causes


def found(known: Causes, case: dict[str, Any]) -> Found:
    """On an aluminium hull, where the case does not say otherwise."""
    metal = HullMetal(case.get("metal", "aluminium"))
    return find_causes(known_of(known, metal), case["seen"], case.get("absent", ()))


def place_of(known: Causes, case: dict[str, Any]) -> int:
    """At which place the right cause stands, from 0; of several the best."""
    ids = [one.cause.id for one in found(known, case).ranked]
    return min(ids.index(one) for one in case["cause"])


def test_there_are_as_many_cases_as_promised(known: Causes) -> None:
    assert (len(PLAIN), len(MIXED), len(THIN), len(KEPT)) == (20, 8, 4, 6)
    assert {cause for case in (*PLAIN, *APART) for cause in case["cause"]} == set(known.causes)
    for case in (*CASES, *APART):
        assert set(case["seen"]) | set(case.get("absent", ())) <= set(known.signs), case["name"]


def test_the_right_cause_stands_first_or_second(known: Causes) -> None:
    first = sum(place_of(known, case) == 0 for case in PLAIN)
    assert first >= len(PLAIN) - 2
    assert sum(place_of(known, case) <= 1 for case in (*PLAIN, *MIXED)) >= len(PLAIN) + len(MIXED) - 1


def test_where_several_are_at_work_several_are_named(known: Causes) -> None:
    both = sum(set(case["cause"]) <= {one.cause.id for one in found(known, case).named} for case in MIXED)
    assert both >= 6


@pytest.mark.parametrize("case", THIN, ids=lambda case: case["name"])
def test_too_little_to_say_is_said(known: Causes, case: dict[str, Any]) -> None:
    assert not found(known, case).enough


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_each_case_has_a_next_test_and_a_working(known: Causes, case: dict[str, Any]) -> None:
    told = found(known, case)
    assert told.next_test(afloat=False) is not None
    for one in told.named:
        assert one.speaks_for
        assert one.working.steps[-1].what == "word"
        assert "judgement" in one.working.steps[-1].source.seen


def test_a_test_that_was_made_is_not_asked_for_again(known: Causes) -> None:
    case = PLAIN[0]
    told = found(known, case).next_test(afloat=True)
    assert told is not None
    for ticked in ({"seen": [told.sign]}, {"absent": [told.sign]}):
        again = find_causes(
            known, [*case["seen"], *ticked.get("seen", [])], [*case["absent"], *ticked.get("absent", [])]
        ).next_test(afloat=True)
        assert again is not None
        assert again.sign != told.sign
    assert find_causes(known, list(known.signs)).next_test(afloat=True) is None


def test_a_sign_that_is_looked_for_and_not_there_speaks_against(known: Causes) -> None:
    without = find_causes(known, ["ring-at-noble"])
    against = find_causes(known, ["ring-at-noble"], ["powder"])
    galvanic = [next(one for one in told.ranked if one.cause.id == "galvanic") for told in (without, against)]
    assert galvanic[1].chance < galvanic[0].chance
    assert galvanic[1].against == ("powder",)
    assert "powder" in galvanic[0].missing


def test_an_owners_weights_are_laid_over_ours_and_mistakes_are_told(tmp_path: Path) -> None:
    own = tmp_path / "causes.toml"
    own.write_text('[[cause]]\nid = "galvanic"\nprior = 0.4\n')
    assert load_checklists(tmp_path).causes.causes["galvanic"].prior == 0.4
    own.write_text('[[cause]]\nid = "galvanic"\nprior = 4\n')
    with pytest.raises(BadChecklist, match="galvanic"):
        load_checklists(tmp_path)
    own.write_text('[[cause]]\nid = "galvanic"\ntells = { nosign = 0.5 }\n')
    with pytest.raises(BadChecklist, match='tells: there is no sign "nosign"'):
        load_checklists(tmp_path)


def test_causes_say_how_well_they_are_known_and_call_nothing_safe(known: Causes) -> None:
    for cause in known.causes.values():
        assert cause.source or cause.seen in ("from memory, not seen", "common practice, no source")
        assert "safe" not in f"{cause.what} {cause.remedy}".lower()
        learned = {test.sign for test in known.tests.values()}
        assert learned & set(cause.tells), "each has a test"


def test_each_cause_can_be_likely_when_all_speaks_for_it(known: Causes) -> None:
    for cause in known.causes.values():
        seen = [id for id, with_it in cause.tells.items() if with_it > known.signs[id].base]
        absent = [id for id in cause.tells if id not in seen]
        best = next(one for one in find_causes(known, seen, absent).ranked if one.cause.id == cause.id)
        assert best.chance >= LIKELY, cause.id


def test_what_the_question_brings_counts_for_less_and_never_makes_it_likely(known: Causes) -> None:
    signs = ["old-patch", "product-lump", "hollow", "grey-paste"]
    ticked, brought = (
        next(one for one in told.ranked if one.cause.id == "under-patch")
        for told in (find_causes(known, signs), find_causes(known, [], [], signs))
    )
    assert ticked.chance > brought.chance
    assert (ticked.word, brought.likely) == ("likely", False)
    assert "nobody looked" in brought.working.steps[1].formula
    ticked_two = find_causes(known, ["grey-paste", "product-lump"], [], signs).ranked[0]
    assert ticked_two.likely, "what was seen lets what was brought count"
    assert not find_causes(known, ["grey-paste"], [], signs).ranked[0].likely, "one look and one question are too few"


def test_every_sign_can_be_learned_by_a_test_or_by_the_place(known: Causes) -> None:
    learned = {test.sign for test in known.tests.values()}
    assert set(known.signs) - learned <= {"fuel-tank"}


def test_a_test_that_pries_at_the_plate_waits_for_the_haul_out_below_the_waterline(known: Causes) -> None:
    for test in known.tests.values():
        if test.does:
            assert not test.can_be_made(afloat=True, below=True)
            assert test.can_be_made(afloat=True, below=False)
            assert test.can_be_made(afloat=False, below=True)
            assert "sinking" in test.cautions
    assert {"lift", "tap", "depths"} <= {test.id for test in known.tests.values() if test.does}


def test_in_steel_stray_current_is_rarer_and_rust_is_a_cause(known: Causes) -> None:
    steel, aluminium = known_of(known, HullMetal.STEEL), known_of(known, HullMetal.ALUMINIUM)
    assert steel.causes["stray-dc"].prior < aluminium.causes["stray-dc"].prior
    assert "failed-paint" in steel.causes
    assert "failed-paint" not in aluminium.causes
    assert not {"mercury", "exfoliation", "copper-deposit"} & set(steel.causes)


def report() -> str:
    """How the cases come out, the kept ones apart: `python -m tests.judgement.test_cause`."""
    known = load_checklists().causes
    lines = []
    for title, cases in (("plain", PLAIN), ("mixed", MIXED), ("kept apart", KEPT)):
        first = sum(place_of(known, case) == 0 for case in cases)
        second = sum(place_of(known, case) <= 1 for case in cases)
        lines.append(f"{title}: first {first} of {len(cases)}, in the first two {second}")
        for case in cases:
            told = found(known, case)
            names = "; ".join(f"{one.cause.id}, {one.told}" for one in told.ranked[:3])
            test = told.next_test(afloat=True)
            lines.append(f"   {case['name']}: {'/'.join(case['cause'])} -> {names}; next {test.id if test else '-'}")
    lines.append(f"thin: {sum(not found(known, case).enough for case in THIN)} of {len(THIN)} said to be too little")
    for case in THIN:
        lines.append(
            f"   {case['name']}: " + "; ".join(f"{one.cause.id}, {one.told}" for one in found(known, case).ranked[:2])
        )
    return "\n".join(lines)


if __name__ == "__main__":
    print(report())
