"""Signs that readings, questions and ticks bring to a place, which of them goes first, and what becomes of them."""

from __future__ import annotations

from typing import Any

import pytest

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, Stamp, after
from inspect_tui.domain.cause_edits import lift_patch, name_beside, tick_sign
from inspect_tui.domain.checklists import Checklists, ReadingKind
from inspect_tui.domain.errors import NotAllowed
from inspect_tui.domain.records import Finding, Lifted
from inspect_tui.domain.words import Across, Beneath, FloatState, HullMetal, PatchEdge, Status, Step, Treatment, Who
from inspect_tui.engineering.circuit_hunt import Switched
from inspect_tui.judgement.action import CAUSE
from inspect_tui.judgement.completion import complete
from inspect_tui.judgement.cure_actions import eaten_places
from inspect_tui.judgement.evidence import Evidence, Gathering
from inspect_tui.judgement.hunted import PROMPT as HUNT
from inspect_tui.judgement.patches import signs_shown, tally
from inspect_tui.judgement.protected import free_potential, history
from inspect_tui.judgement.worklist import Worklist, worklist
from tests.conftest import START, SteppingClock, place_called, with_finding

STAMP = Stamp(START, "Mattis")


class Boat:
    """A book that is written in line by line."""

    def __init__(self, book: Book, checklists: Checklists) -> None:
        self.book, self.checklists, self.clock = book, checklists, SteppingClock()

    def do(self, edit: Any) -> None:
        self.book, _ = after(self.book, edit, self.stamp())

    def stamp(self) -> Stamp:
        return Stamp(self.clock(), "Mattis")

    def found(self, key: str, **more: Any) -> Finding:
        self.book = with_finding(self.book, self.checklists, self.stamp(), key, **more)
        return self.book.findings[max(self.book.findings, key=int)]

    def read(self, kind: ReadingKind, values: list[float], finding: Finding | None = None, **more: Any) -> None:
        place = self.book.compartments[finding.compartment] if finding else place_called(self.book, "electrics")
        self.do(edits.add_reading(self.book, self.stamp(), place, kind, values, finding=finding, **more))

    def evidence(self, chalk: int = 1) -> dict[str, Evidence]:
        at = Gathering(self.book, self.checklists).at(self.book.findings[str(chalk)])
        return {one.sign: one for one in at}

    def tick(self, sign: str, there: bool | None, chalk: int = 1) -> None:
        self.do(tick_sign(self.book.findings[str(chalk)], sign, there))

    def listed(self) -> Worklist:
        return worklist(self.book, self.checklists)


@pytest.fixture
def boat(book: Book, checklists: Checklists) -> Boat:
    return Boat(book, checklists)


def test_what_the_question_brings_is_not_taken_for_a_tick_until_it_is_one(boat: Boat) -> None:
    boat.found("sump/pump-foot", kind="pitting")
    assert (boat.evidence()["pits"].origin, boat.evidence()["pits"].there) == ("question", True)
    boat.tick("pits", True)
    assert boat.evidence()["pits"].origin == "ticked"
    assert boat.book.findings["1"].signs.count("pits") == 1
    boat.tick("pits", False)
    assert (boat.evidence()["pits"].origin, boat.evidence()["pits"].there) == ("ticked", False)
    boat.tick("pits", None)
    assert "pits" not in boat.evidence()


def test_a_reading_goes_before_the_question_and_a_tick_before_both(boat: Boat) -> None:
    finding = boat.found("sump/pump-foot", kind="pitting")
    boat.read("pits", [], finding)
    assert (boat.evidence()["pits"].origin, boat.evidence()["pits"].there) == ("reading", False)
    boat.read("pits", [1.2], finding)
    assert boat.evidence()["pits"].there, "found once, a pit stays found"
    boat.tick("pits", False)
    assert not boat.evidence()["pits"].there


@pytest.mark.parametrize(
    ("ohm", "there"), [(0.4, True), (9.9, True), (10, None), (900, None), (1000, False), (2e4, False)]
)
def test_ohms_between_a_part_and_the_hull_tell_whether_it_is_joined(
    boat: Boat, ohm: float, there: bool | None
) -> None:
    finding = boat.found("sump/pump-foot", kind="pitting")
    boat.read("resistance", [ohm], finding, across=Across.PART)
    one = boat.evidence().get("joined")
    assert (None if one is None else one.there) is there


def test_the_metal_beside_it_is_held_against_the_hulls_own(boat: Boat) -> None:
    boat.found("sump/pump-foot", kind="pitting")
    for metal, there in (("316-passive", True), ("copper", True), ("zinc", False), ("aluminium", False)):
        boat.do(name_beside(boat.book.findings["1"], metal))
        assert boat.evidence()["noble-beside"].there is there
    boat.do(name_beside(boat.book.findings["1"], None))
    assert "noble-beside" not in boat.evidence()


@pytest.mark.parametrize(("ph", "there"), [(9.5, True), (8.5, None), (7.0, False)])
def test_an_alkaline_drop(boat: Boat, ph: float, there: bool | None) -> None:
    finding = boat.found("sump/pump-foot", kind="pitting")
    boat.read("acidity", [ph], finding)
    one = boat.evidence().get("alkaline-blister")
    assert (None if one is None else one.there) is there


def test_what_was_read_of_the_hull_speaks_below_the_waterline_alone(boat: Boat) -> None:
    boat.found("sump/pump-foot", kind="pitting")
    boat.found("deck/daylight", kind="pitting")
    boat.read("potential", [-1250], electrode="agcl-sea")
    boat.read("resistance", [200], across=Across.HULL)
    assert boat.evidence(1)["over-potential"].there
    assert boat.evidence(1)["hull-leak"].there
    assert not {"over-potential", "hull-leak"} & set(boat.evidence(2))
    boat.read("potential", [-950], electrode="agcl-sea")
    assert not boat.evidence(1)["over-potential"].there, "the newest counts"
    boat.read("resistance", [25_000], across=Across.HULL)
    assert not boat.evidence(1)["hull-leak"].there
    boat.read("resistance", [], across=Across.HULL, lamp="dark")
    assert "hull-leak" not in boat.evidence(1), "a dark lamp leaves a leak of milliamperes unseen"
    boat.read("resistance", [], across=Across.HULL, lamp="faint")
    assert boat.evidence(1)["hull-leak"].there


def hunt_with(boat: Boat, pump_mv: float) -> None:
    for circuit, mv in ((Switched.BASELINE.value, -900), ("pump", pump_mv), (Switched.BASELINE.value, -898)):
        boat.read("potential", [mv], electrode="agcl-sea", circuit=circuit, prompt=HUNT)


@pytest.mark.parametrize(("pump_mv", "there"), [(-815, True), (-899, False), (-880, None)])
def test_a_circuit_hunt_is_a_sign_either_way(boat: Boat, pump_mv: float, there: bool | None) -> None:
    boat.found("sump/pump-foot", kind="pitting")
    hunt_with(boat, pump_mv)
    one = boat.evidence().get("hull-leak")
    assert (None if one is None else one.there) is there


def test_a_potential_without_its_electrode_says_nothing(boat: Boat) -> None:
    boat.found("sump/pump-foot", kind="pitting")
    boat.read("potential", [-1250])
    assert "over-potential" not in boat.evidence()
    assert history(boat.book)[0][1] is None


def test_later_potentials_are_held_against_the_free_one(boat: Boat) -> None:
    boat.read("potential", [-760], electrode="agcl-sea", without_anodes=True)
    boat.read("potential", [-900], electrode="agcl-sea")
    free = free_potential(boat.book)
    assert free is not None
    assert free.sea_mv == -760
    judged = history(boat.book)[-1][1]
    assert judged is not None
    assert (judged.protection.shift_mv, judged.protection.passes_100, judged.protection.passes_200) == (
        140,
        True,
        False,
    )


# --- cures in the worklist ------------------------------------------------------------------------


def test_a_likely_cause_is_cured_before_the_repair_that_waits_for_it(boat: Boat) -> None:
    boat.found("sump/pump-foot", kind="pitting")
    for sign in ("ring-at-noble", "joined", "noble-beside", "powder"):
        boat.tick(sign, True)
    for status in (Status.CLEANED, Status.MEASURED):
        boat.do(edits.move_finding(boat.book, boat.stamp(), boat.book.findings["1"], status))
    boat.do(
        edits.move_finding(boat.book, boat.stamp(), boat.book.findings["1"], Status.DECIDED, "x", Treatment.WELD_UP)
    )
    listed = boat.listed()
    cure = next(action for action in listed.actions if action.key.startswith("cure/galvanic/"))
    repair = next(action for action in listed.actions if action.chalk == 1)
    assert (cure.step, cure.who, set(cure.cures)) == (Step.CAUSE, Who.OWNER, {1})
    assert "Insulate the part" in cure.what
    assert "Another metal fitted to her is likely there" in cure.why
    assert repair.step is Step.HOT_WORK
    assert cure.key in repair.after
    assert cure.rank < repair.rank
    assert CAUSE not in listed.by_key, "nothing is left to be found out"
    boat.do(complete(boat.book, boat.stamp(), cure, "sleeved"))
    assert cure.key not in boat.listed().by_key
    boat.found("sump/sump-gauge", kind="thinning")
    assert CAUSE in boat.listed().by_key, "a new place asks for its cause"


def test_a_cause_that_is_only_possible_stays_to_be_found_out(boat: Boat) -> None:
    boat.found("sump/pump-foot", kind="pitting")
    listed = boat.listed()
    assert not [action for action in listed.actions if action.key.startswith("cure/")]
    assert listed.by_key[CAUSE].cures == {1}
    assert "asked for most" in listed.by_key[CAUSE].what


def test_a_cause_at_work_in_the_whole_hull_is_cured_once(boat: Boat) -> None:
    for key in ("sump/pump-foot", "stem/stem-weld"):
        finding = boat.found(key, kind="pitting")
        for sign in ("bright-crater", "sudden", "hull-leak"):
            boat.tick(sign, True, finding.chalk)
    cures = [action for action in boat.listed().actions if action.key.startswith("cure/")]
    assert [action.key for action in cures] == ["cure/stray-dc/hull"]
    assert cures[0].cures == {1, 2}
    assert cures[0].who is Who.ELECTRICIAN


def test_a_steel_hull_is_not_told_of_what_eats_aluminium_alone(boat: Boat) -> None:
    boat.found("sump/pump-foot", kind="pitting")
    named = {one.cause.id for one in eaten_places(boat.book, boat.checklists)[0].found.ranked}
    assert {"mercury", "over-protection"} <= named
    boat.do(edits.change_boat(boat.book.boat.model_copy(update={"hull_metal": HullMetal.STEEL})))
    named = {one.cause.id for one in eaten_places(boat.book, boat.checklists)[0].found.ranked}
    assert not {"mercury", "over-protection", "exfoliation"} & named


def test_a_test_that_needs_her_afloat_is_not_asked_for_ashore(boat: Boat) -> None:
    known = boat.checklists.causes
    boat.found("sump/pump-foot", kind="pitting")
    for sign in known.signs:
        if sign not in ("hull-leak", "over-potential"):
            boat.tick(sign, False)
    found = eaten_places(boat.book, boat.checklists)[0].found
    ashore, afloat = found.next_test(afloat=False), found.next_test(afloat=True)
    assert ashore is not None
    assert not ashore.afloat, "the lamp will do"
    assert afloat is not None


# --- old patches ----------------------------------------------------------------------------------


def lifted(beneath: Beneath, **more: Any) -> Lifted:
    return Lifted(when=START, by="Mattis", beneath=beneath, **more)


def patch(boat: Boat, one: Lifted | None = None) -> Finding:
    finding = boat.found("old-patches/edge", kind="old-patch")
    if one is not None:
        boat.do(lift_patch(boat.book, finding, one, *signs_shown(one), below=True))
    return boat.book.findings[str(finding.chalk)]


def test_what_a_lifted_patch_shows_is_ticked_and_counts(boat: Boat) -> None:
    finding = patch(boat, lifted(Beneath.PITS, product=True, edge=PatchEdge.BULGED, beyond_mm=40))
    assert {"pits", "grey-paste", "product-lump", "hollow"} <= set(finding.signs)
    assert boat.evidence()["pits"].origin == "ticked"
    found = eaten_places(boat.book, boat.checklists)[0].found
    assert found.likely[0].cause.id == "under-patch"
    clean = patch(boat, lifted(Beneath.SOUND, product=False, edge=PatchEdge.TIGHT))
    assert {"pits", "grey-paste", "hollow", "product-lump"} <= set(clean.signs_absent)


def test_the_lifted_ones_speak_for_the_rest_in_the_list(boat: Boat) -> None:
    waiting = patch(boat)
    action = next(one for one in boat.listed().actions if one.chalk == waiting.chalk)
    assert (action.step, action.who) == (Step.GUT, Who.OWNER)
    assert action.what.startswith("Lift it")
    before = action.risk.rank
    for _ in range(3):
        patch(boat, lifted(Beneath.PITS))
    told = tally(boat.book)
    assert told.rest is not None
    assert (len(told.lifted), len(told.bad), told.rest.not_opened) == (3, 3, 1)
    assert told.rest.chance == pytest.approx(3.5 / 4)
    action = next(one for one in boat.listed().actions if one.chalk == waiting.chalk)
    assert "3 of 3 were bad: 88% for this one" in action.why
    assert action.risk.rank < before


def test_sound_beneath_is_coated_and_not_gauged(boat: Boat) -> None:
    finding = patch(boat, lifted(Beneath.SOUND))
    action = next(one for one in boat.listed().actions if one.chalk == finding.chalk)
    assert action.step is Step.COAT


def test_no_patch_below_the_waterline_is_lifted_afloat(boat: Boat) -> None:
    finding = patch(boat)
    boat.do(edits.float_or_haul(boat.book, FloatState.AFLOAT, START.date()))
    one = lifted(Beneath.PITS)
    with pytest.raises(NotAllowed, match="afloat"):
        lift_patch(boat.book, finding, one, *signs_shown(one), below=True)
