"""Where a cause can be at work and a sign can tell: every cause in every area, at both faces, afloat and ashore;
signs of the whole boat; random books."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book
from inspect_tui.domain.edits import name_patch, tick_boat_wide
from inspect_tui.domain.knowledge.areas import Area
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.named import Areas
from inspect_tui.domain.records import Compartment, Finding, Position, StatusEvent
from inspect_tui.domain.words import Face, FloatState, HullMetal, Likelihood, PatchType, Severity, Status
from inspect_tui.domain.zones import zone_of_finding
from inspect_tui.judgement.causes.boat_wide import ticked_at
from inspect_tui.judgement.causes.eaten import known_at
from inspect_tui.judgement.causes.faces import face_of
from inspect_tui.judgement.judged import Judged
from inspect_tui.store.checklist_files import load_checklists
from tests.conftest import START
from tests.judgement.invented import Invented
from tests.judgement.test_cause_stories import OUTSIDE, eaten, found, ticked
from tests.judgement.test_evidence import Boat, boat

__all__ = ["boat"]

SEA_CAUSES = {"over-protection", "dock", "unprotected", "copper-paint", "outside-current", "cavitation"}
SEA_SIGNS = {
    "anode-fast", "anode-idle", "unprotected", "over-potential", "dock-shift", "near-anode", "copper-paint",
}  # fmt: skip
BOAT_WIDE = {
    "anode-fast", "anode-idle", "unprotected", "over-potential", "dock-shift", "hull-leak", "ac-in-earth",
    "shore-worse", "new-neighbour", "welding-done", "copper-paint",
}  # fmt: skip
TANKS = {"water-tank", "fuel-tank"}
CHECKLISTS = load_checklists()


def everywhere(book: Book, checklists: Checklists, metal: HullMetal, *, afloat: bool) -> Book:
    """A finding on every face of every area, every sign ticked on each."""
    places = {
        area: Compartment(id=f"k{number}", area=area, name=area, order=number)
        for number, area in enumerate(checklists.areas)
    }
    stood = StatusEvent(status=Status.FOUND, when=START, by="Mattis", round=book.round.id)
    told = {
        str(chalk): Finding(
            chalk=chalk, compartment=place.id, kind="pitting", words="", severity=Severity.MARGINAL,
            likelihood=Likelihood.C, history=(stood,), position=Position(face=face),
            signs=tuple(checklists.causes.signs), signs_confirmed=tuple(checklists.causes.signs),
        )
        for chalk, (place, face) in enumerate(itertools.product(places.values(), (*Face, None)), 1)
    }  # fmt: skip
    state = FloatState.AFLOAT if afloat else FloatState.HAULED_OUT
    event = book.boat.float_history[0].model_copy(update={"state": state})
    boat = book.boat.model_copy(update={"hull_metal": metal, "float_history": (event,)})
    tables = {
        **book.tables, "boat": dict.fromkeys(book.tables["boat"], boat), "findings": told,
        "compartments": {place.id: place for place in places.values()},
    }  # fmt: skip
    return replace(book, tables=tables)


def looked_at_from_outside(checklists: Checklists, area: str) -> Checklists:
    outer: Area = checklists.areas[area].model_copy(update={"outside": True})
    return replace(checklists, areas={**checklists.areas, area: outer})


def allowed(cause: str, *, wet: bool, face: Face, area: str) -> bool:
    """Said again, apart from the data and the code."""
    if cause in SEA_CAUSES:
        return face is Face.OUTSIDE and wet and area not in TANKS
    if cause == "condensation":
        return face is Face.INSIDE
    return cause != "fuel-microbes" or (area == "fuel-tank" and face is Face.INSIDE)


@pytest.mark.parametrize("afloat", [False, True])
@pytest.mark.parametrize("metal", tuple(HullMetal))
def test_every_cause_is_considered_where_it_can_be_at_work_and_nowhere_else(
    book: Book, checklists: Checklists, metal: HullMetal, afloat: bool
) -> None:
    book = everywhere(book, checklists, metal, afloat=afloat)
    judged = Judged(book, checklists)
    asked = 0
    for place in judged.eaten:
        finding, area = place.finding, book.compartments[place.finding.compartment].area
        outer = finding.position.face is Face.OUTSIDE or (
            finding.position.face is None and checklists.areas[area].outside
        )
        face = Face.OUTSIDE if outer else Face.INSIDE
        assert face_of(book, checklists, finding) is face
        wet = zone_of_finding(book, checklists, finding).wet
        here = set(known_at(book, checklists, judged.gathering, finding).causes)
        for cause in checklists.causes.causes.values():
            rightly = cause.at_work_in(metal) and allowed(cause.id, wet=wet, face=face, area=area)
            assert (cause.id in here) is rightly, (cause.id, area, face)
            asked += 1
        assert {one.cause.id for one in place.found.ranked} == here
        sea = face is Face.OUTSIDE and wet and area not in TANKS
        told = {one.sign for one in place.evidence} & SEA_SIGNS
        assert told == (SEA_SIGNS if sea else set()), (area, face)
        spoken = {sign for one in place.found.ranked for sign in (*one.speaks_for, *one.against, *one.missing)}
        assert sea or not spoken & SEA_SIGNS
        test = place.next_test(afloat=afloat)
        assert test is None or (sea or test.sign not in SEA_SIGNS)
    assert asked == len(checklists.areas) * 3 * len(checklists.causes.causes)


def test_the_face_is_as_written_else_of_the_question_else_of_the_area_else_inside(boat: Boat) -> None:
    knowledge = boat.checklists
    key = "cabin-bilge/limbers" if "cabin-bilge/limbers" in knowledge.prompts else "sump/pump-foot"
    finding = boat.found(key, kind="pitting")
    area = boat.book.compartments[finding.compartment].area
    assert face_of(boat.book, knowledge, finding) is Face.INSIDE
    outer = looked_at_from_outside(knowledge, area)
    prompts = tuple(
        one.model_copy(update={"face": Face.INSIDE if one.key == key else one.face})
        for one in outer.areas[area].prompt
    )
    of_prompt = replace(outer, areas={**outer.areas, area: outer.areas[area].model_copy(update={"prompt": prompts})})
    assert face_of(boat.book, outer, finding) is Face.OUTSIDE
    assert face_of(boat.book, of_prompt, finding) is Face.INSIDE
    written = finding.model_copy(update={"position": Position(face=Face.OUTSIDE)})
    assert face_of(boat.book, of_prompt, written) is Face.OUTSIDE
    lost = finding.model_copy(update={"compartment": "nowhere", "prompt": None})
    assert face_of(boat.book, outer, lost) is Face.INSIDE


def test_painted_anodes_outside_are_never_blamed_for_pits_within_her(boat: Boat) -> None:
    eaten(boat)
    eaten(boat, area=Areas.WATER_TANK)
    ticked(boat, "anode-idle unprotected pits")
    ticked(boat, "anode-idle unprotected pits", chalk=2)
    for chalk in (1, 2):
        assert "unprotected" not in {one.cause.id for one in found(boat, chalk).ranked}
        assert not SEA_SIGNS & set(boat.evidence(chalk))
    eaten(boat, OUTSIDE)
    assert boat.evidence(3)["anode-idle"].there, "what was ticked in there is of the anodes outside all the same"
    assert "unprotected" in {one.cause.id for one in found(boat, 3).likely}


# --- signs of the whole boat ----------------------------------------------------------------------------------


def test_a_sign_of_the_whole_boat_is_ticked_once_and_the_newest_tick_wins(boat: Boat) -> None:
    assert {one.id for one in boat.checklists.causes.signs.values() if one.boat_wide} == BOAT_WIDE
    for _ in range(3):
        eaten(boat, OUTSIDE)
    ticked(boat, "anode-idle", chalk=2)
    for chalk, by in ((1, "ticked at no. 2, for the whole boat"), (2, "ticked")):
        one = boat.evidence(chalk)["anode-idle"]
        assert (one.there, one.by) == (True, by)
        assert "anode-idle" in found(boat, chalk).ticked
    ticked(boat, "", "anode-idle", chalk=3)
    assert [boat.evidence(chalk)["anode-idle"].there for chalk in (1, 2, 3)] == [False, False, False]
    ticked(boat, "", "copper-stain", chalk=2)
    assert not boat.evidence(2)["anode-idle"].there, "another tick there is no newer word on this one"
    boat.tick("anode-idle", None, chalk=3)
    assert boat.evidence(1)["anode-idle"].by == "ticked at no. 2, for the whole boat"
    ticked(boat, "bright-crater", chalk=1)
    assert "bright-crater" not in boat.evidence(2), "what is of one place stays there"


def test_a_word_on_the_boat_takes_the_older_ones_back_and_comes_back_with_an_undo(boat: Boat) -> None:
    for _ in range(2):
        eaten(boat, OUTSIDE)
    for chalk, there in (("1", True), ("2", False), ("1", True)):
        boat.do(tick_boat_wide(boat.book, boat.book.findings[chalk], "welding-done", there))
        assert [boat.evidence(one)["welding-done"].there for one in (1, 2)] == [there, there]
    boat.do(tick_boat_wide(boat.book, boat.book.findings["2"], "welding-done", None))
    assert "welding-done" not in boat.evidence(1)


def test_a_withdrawn_finding_says_nothing_of_the_boat(boat: Boat) -> None:
    for _ in range(2):
        eaten(boat, OUTSIDE)
    ticked(boat, "new-neighbour", chalk=1)
    assert boat.evidence(2)["new-neighbour"].when is not None
    boat.do(edits.withdraw_finding(boat.book, boat.stamp(), boat.book.findings["1"], "a shadow"))
    assert "new-neighbour" not in boat.evidence(2)


def test_a_sign_of_the_whole_boat_tells_nothing_in_a_tank_or_above_the_water(boat: Boat) -> None:
    eaten(boat, OUTSIDE)
    eaten(boat, area=Areas.WATER_TANK)
    eaten(boat, OUTSIDE, area=Areas.DECK)
    eaten(boat)
    ticked(boat, "welding-done hull-leak")
    told = [{"welding-done", "hull-leak"} & set(boat.evidence(chalk)) for chalk in (2, 3, 4)]
    assert told == [set(), set(), {"welding-done", "hull-leak"}]


def test_a_reading_at_the_boat_goes_before_what_was_ticked_elsewhere(boat: Boat) -> None:
    for _ in range(2):
        eaten(boat, OUTSIDE)
    ticked(boat, "over-potential")
    assert boat.evidence(2)["over-potential"].there
    boat.read("potential", [-700], electrode="agcl-sea")
    assert (boat.evidence(2)["over-potential"].there, boat.evidence(2)["over-potential"].origin) == (False, "reading")


def test_what_a_question_brought_is_no_tick_even_if_the_question_is_gone(boat: Boat) -> None:
    eaten(boat, OUTSIDE)
    finding = boat.book.findings["1"]
    for prompt, ticks in ((None, True), ("gone/long-ago", None)):
        old = finding.model_copy(update={"signs": ("powder",), "prompt": prompt})
        assert ticked_at(old, boat.checklists, "powder") is ticks
    asked = next(one for one in boat.checklists.prompts.values() if "powder" in one.signs)
    for signs, ticks in ((("powder",), None), (("scored",), True)):
        old = finding.model_copy(update={"signs": signs, "prompt": asked.key})
        assert ticked_at(old, boat.checklists, signs[0]) is ticks
    assert ticked_at(finding, boat.checklists, "powder") is None


# --- random books ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(24))
def test_in_no_book_is_anything_outside_blamed_for_what_is_within(seed: int) -> None:
    book = Invented(seed, CHECKLISTS).book
    for finding in list(book.findings.values())[::2]:
        moved = finding.model_copy(update={"signs_confirmed": ("anode-idle", "copper-paint", "shore-worse")})
        book = replace(book, tables={**book.tables, "findings": {**book.findings, str(finding.chalk): moved}})
    judged = Judged(book, CHECKLISTS)
    for place in judged.eaten:
        face = face_of(book, CHECKLISTS, place.finding)
        area = book.compartments[place.finding.compartment].area
        wet = zone_of_finding(book, CHECKLISTS, place.finding).wet
        for one in place.found.ranked:
            assert allowed(one.cause.id, wet=wet, face=face, area=area)
            acts = {each.shown.act or each.shown.sign for each in one.moved if each.speaks}
            measured = any(each.shown.measured for each in one.moved if each.speaks)
            assert not one.likely or measured or len(acts) > 1
        if face is Face.INSIDE:
            assert not SEA_SIGNS & {one.sign for one in place.evidence}


def test_the_kind_of_a_patch_is_part_of_the_book(boat: Boat) -> None:
    eaten(boat, kind="old-patch")
    boat.do(name_patch(boat.book.findings["1"], PatchType.WELD))
    assert boat.book.findings["1"].patch is PatchType.WELD
    boat.do(name_patch(boat.book.findings["1"], None))
    assert boat.book.findings["1"].patch is None
