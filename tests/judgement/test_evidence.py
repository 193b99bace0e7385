"""Signs that readings, questions and ticks bring to a place, which of them goes first, and what becomes of them."""

from __future__ import annotations

import itertools
from datetime import datetime, timedelta
from typing import Any

import pytest

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, Edit, Put, Stamp, after
from inspect_tui.domain.edits import lift_patch, name_beside, tick_sign, tie_negative, with_circuits
from inspect_tui.domain.knowledge.areas import ReadingKind
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.named import Prompts
from inspect_tui.domain.measuring.measured import READ_ASHORE, reading_line
from inspect_tui.domain.records import NO_OTHER_METAL, Finding, FloatEvent, Lifted, Position
from inspect_tui.domain.words import (
    Across,
    Beneath,
    Face,
    FloatState,
    HullMetal,
    PatchEdge,
    Severity,
    Status,
    Step,
    Tier,
    Treatment,
    Water,
    Who,
)
from inspect_tui.engineering.electricity.circuit_hunt import Switched
from inspect_tui.engineering.electricity.couple import couple, driving_mv
from inspect_tui.errors import CannotCalculate, NotAllowed
from inspect_tui.judgement.causes.evidence import Evidence
from inspect_tui.judgement.causes.patches import signs_shown, tally, tally_lines
from inspect_tui.judgement.electricity.electricity import Electricity
from inspect_tui.judgement.electricity.hunted import judge_hunt, newest_hunt
from inspect_tui.judgement.electricity.meters import HAULED, bad_air_in, failing_at, potential_so_far
from inspect_tui.judgement.electricity.protected import history, judge_potential, why_not_judged
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.work.action import HULL, Task, key_of
from inspect_tui.judgement.work.completion import complete
from inspect_tui.judgement.work.worklist import Worklist
from tests.conftest import START, SteppingClock, place_called, reading_edit, with_finding, worklist

CAUSE = key_of(Task.FIND_CAUSE, HULL)
HAUL = key_of(Task.HAUL, HULL)

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
        self.do(reading_edit(self.book, self.stamp(), place, kind, values, finding=finding, **more))

    def evidence(self, chalk: int = 1) -> dict[str, Evidence]:
        at = Judged(self.book, self.checklists).gathering.at(self.book.findings[str(chalk)])
        return {one.sign: one for one in at}

    def tick(self, sign: str, there: bool | None, chalk: int = 1) -> None:
        self.do(tick_sign(self.book.findings[str(chalk)], sign, there))

    def listed(self) -> Worklist:
        return worklist(self.book, self.checklists)


@pytest.fixture
def boat(book: Book, checklists: Checklists) -> Boat:
    """Hauled out today, nobody wrote at which hour: what was read in her water today still counts."""
    began = Boat(book, checklists)
    floated = FloatEvent(day=START.date() - timedelta(days=90), state=FloatState.AFLOAT)
    hauled = FloatEvent(day=START.date(), state=FloatState.HAULED_OUT)
    began.do(edits.change_boat(book.boat.model_copy(update={"float_history": (floated, hauled)})))
    return began


def test_what_the_question_brings_is_not_taken_for_a_tick_until_it_is_one(boat: Boat) -> None:
    boat.found("sump/pump-foot", kind="pitting")
    assert (boat.evidence()["pits"].origin, boat.evidence()["pits"].there) == ("question", True)
    boat.tick("pits", True)
    assert boat.evidence()["pits"].origin == "ticked"
    assert boat.book.findings["1"].signs.count("pits") == 1
    boat.tick("pits", False)
    assert (boat.evidence()["pits"].origin, boat.evidence()["pits"].there) == ("ticked", False)
    boat.tick("pits", None)
    assert boat.evidence()["pits"].origin == "kind", "what is called pitting is brought by its kind"


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
    for metal, there in (("316-passive", True), ("copper", True), ("zinc", False), ("magnesium", False)):
        boat.do(name_beside(boat.book.findings["1"], metal))
        assert boat.evidence()["noble-beside"].there is there
    # Aluminium's point lies at the noble end of its range: by the middles steel and cadmium drive more.
    for metal, drives in (("steel", "+220 mV"), ("cadmium", "+160 mV")):
        boat.do(name_beside(boat.book.findings["1"], metal))
        assert boat.evidence()["noble-beside"].there
        assert drives in boat.evidence()["noble-beside"].by
    boat.do(name_beside(boat.book.findings["1"], NO_OTHER_METAL))
    assert not boat.evidence()["noble-beside"].there


def test_every_couple_is_the_same_in_calc_and_among_the_signs(boat: Boat) -> None:
    boat.found("sump/pump-foot", kind="pitting")
    series = boat.checklists.metals.galvanic
    for hull, part in itertools.product(HullMetal, series.values()):
        if part.id == hull.value:
            continue
        boat.do(edits.change_boat(boat.book.boat.model_copy(update={"hull_metal": hull})))
        boat.do(name_beside(boat.book.findings["1"], part.id))
        told, sign = couple(series[hull.value], part), boat.evidence().get("noble-beside")
        eats = told.eaten is series[hull.value] and told.drives_mv >= 150
        assert ("too much" in told.verdict and told.eaten is series[hull.value]) is eats, (hull, part.id)
        assert (sign is not None and sign.there) is eats, (hull, part.id)
        if eats and sign is not None:
            assert f"{told.drives_mv:+.0f} mV" in sign.by


def test_what_drives_a_couple_is_one_number_either_way_round(checklists: Checklists) -> None:
    for one, other in itertools.permutations(checklists.metals.galvanic.values(), 2):
        told, again = couple(one, other), couple(other, one)
        assert (told.drives_mv, told.verdict, told.eaten.name) == (again.drives_mv, again.verdict, again.eaten.name)
        assert told.drives_mv == driving_mv(told.eaten, told.noble) >= driving_mv(told.noble, told.eaten)
        assert told.least_mv <= told.drives_mv <= told.most_mv
        assert told.drives_mv >= told.voltage_mv


def test_ohms_that_tell_nothing_any_more_do_not_leave_the_old_ones_standing(boat: Boat) -> None:
    finding = boat.found("sump/pump-foot", kind="pitting")
    boat.read("resistance", [0.4], finding, across=Across.PART)
    boat.read("resistance", [800], finding, across=Across.PART)
    assert "joined" not in boat.evidence()


def test_what_was_read_of_the_hull_speaks_where_it_can_hold(boat: Boat) -> None:
    boat.found("sump/pump-foot", kind="pitting", position=Position(face=Face.OUTSIDE))
    boat.found("deck/daylight", kind="pitting")
    boat.found("sump/sump-gauge", kind="thinning", position=Position(face=Face.INSIDE))
    boat.found("water-tank/floor-pits", kind="pitting")
    boat.found("sump/pump-foot", kind="pitting")
    boat.read("potential", [-1250], electrode="agcl-sea")
    boat.read("resistance", [200, 1e6], across=Across.HULL)
    assert boat.evidence(1)["over-potential"].there
    assert not boat.evidence(1)["unprotected"].there
    for chalk, signs in (
        (1, {"over-potential", "hull-leak"}),
        (2, set()),
        (3, {"hull-leak"}),
        (4, set()),
        (5, {"hull-leak"}),
    ):
        assert {"over-potential", "hull-leak"} & set(boat.evidence(chalk)) == signs, chalk
    boat.read("potential", [-700], electrode="agcl-sea")
    assert not boat.evidence(1)["over-potential"].there, "the newest counts"
    assert boat.evidence(1)["unprotected"].there
    boat.read("potential", [-1250])
    assert boat.evidence(1)["unprotected"].there, "one without its electrode hides nothing"


def test_a_reading_of_another_question_is_no_potential_at_rest(boat: Boat) -> None:
    boat.read("potential", [300], electrode="agcl-sea", prompt="electrics/engine-earth")
    boat.read("potential", [-700], electrode="agcl-sea", prompt="sump/pump-wiring")
    assert not history(boat.book)


def test_the_newest_test_of_the_wiring_decides(boat: Boat) -> None:
    boat.found("sump/pump-foot", kind="pitting")

    def leak() -> bool | None:
        one = boat.evidence().get("hull-leak")
        return None if one is None else one.there

    boat.read("resistance", [90, 24_000], across=Across.HULL)
    assert leak() is True, "minus is parted, so that nobody tied it"
    for ohms in ((24_000, 90), (90, 90), (90,), (0,)):
        boat.read("resistance", list(ohms), across=Across.HULL)
        assert leak() is None, "nobody said whether a pole is tied to the hull on purpose"
    boat.read("resistance", [], across=Across.HULL, lamp="bright")
    assert leak() is None, "then a lamp glows too"
    boat.do(tie_negative(boat.book, False))
    assert leak() is True
    boat.read("resistance", [90, 90], across=Across.HULL)
    assert leak() is True
    boat.read("resistance", [24_000, 90], across=Across.HULL)
    assert leak() is None, "minus alone is lost isolation, and no current"
    boat.read("resistance", [90], across=Across.HULL)
    assert leak() is True, "a pole that nobody named may be plus"
    boat.read("resistance", [25_000], across=Across.HULL)
    assert leak() is None, "one pole cannot rule a leak out"
    boat.read("resistance", [25_000, 30_000], across=Across.HULL)
    assert leak() is False
    boat.read("resistance", [], across=Across.HULL, lamp="dark")
    assert leak() is False, "a dark lamp says little, and puts no ohms aside"
    boat.read("resistance", [], across=Across.HULL, lamp="faint")
    assert leak() is True
    boat.do(tie_negative(boat.book, True))
    assert leak() is None, "a hull tied to negative on purpose reads low without any fault"


def test_whether_it_is_in_a_fuel_tank_is_known_from_the_place(boat: Boat) -> None:
    for key in ("fuel-tank/fuel-sludge", "water-tank/liquid-line"):
        boat.found(key, kind="pitting")
    assert boat.evidence(1)["fuel-tank"].there
    assert not boat.evidence(2)["fuel-tank"].there
    drinking = next(one for one in Judged(boat.book, boat.checklists).eaten if one.finding.chalk == 2)
    assert "fuel-microbes" not in {one.cause.id for one in drinking.found.named}, "no biocide in drinking water"


@pytest.mark.parametrize("afloat", [False, True])
@pytest.mark.parametrize(
    ("key", "face", "within"),
    [("sump/sump-anode", None, True), ("sump/sump-anode", Face.INSIDE, True),
     ("sump/sump-anode", Face.OUTSIDE, False), ("water-tank/tank-anode", None, True),
     ("underwater/anode-life", Face.OUTSIDE, False),
     ("underwater/anode-life", Face.INSIDE, True), ("rudder/rudder-anode", Face.OUTSIDE, False)],
)  # fmt: skip
def test_an_anode_within_her_is_a_question_of_its_own(
    book: Book, checklists: Checklists, afloat: bool, key: str, face: Face | None, within: bool
) -> None:
    if not [place for place in book.compartments.values() if place.area == key.split("/")[0]]:
        pytest.skip("she has no such place")
    boat = Boat(book, checklists)
    boat.found(key, kind="anode", position=Position(face=face))
    if afloat:
        boat.do(edits.float_or_haul(boat.book, FloatState.AFLOAT, START.date()))
    said = next(one.what for one in boat.listed().actions if one.chalk == 1)
    assert ("put there for" in said or "what water stands there" in said) is within
    assert ("Hang a spare anode" in said) <= (afloat and not within)
    assert not (within and "over the side" in said)
    signs = {"anode-fast", "anode-idle"} & set(boat.evidence())
    assert not (within and signs), "what wears in there says nothing of the anodes outside"


def test_a_book_that_brought_the_signs_of_an_inner_anode_does_not_tick_them(boat: Boat) -> None:
    finding = boat.found("sump/sump-anode", kind="pitting")
    old = finding.model_copy(update={"signs": ("anode-fast", "anode-idle")})
    boat.do(Edit("as it was written once", (Put("findings", "1", old),)))
    assert not {"anode-fast", "anode-idle"} & set(boat.evidence())
    boat.found("sump/pump-foot", kind="pitting", position=Position(face=Face.OUTSIDE))
    assert not {"anode-fast", "anode-idle"} & set(boat.evidence(2)), "nor for the boat"
    boat.tick("anode-fast", True)
    assert not {"anode-fast", "anode-idle"} & set(boat.evidence()), "no anode outside reaches in there"
    assert boat.evidence(2)["anode-fast"].by == "ticked at no. 1, for the whole boat"


def hunt_with(boat: Boat, pump_mv: float, *, shore_mv: float = -900) -> None:
    for circuit, mv in (
        (Switched.BASELINE.value, -900),
        (Switched.SHORE_IN.value, shore_mv),
        ("pump", pump_mv),
        (Switched.BASELINE.value, -898),
    ):
        boat.read("potential", [mv], electrode="agcl-sea", circuit=circuit, prompt=Prompts.CIRCUIT_HUNT)


@pytest.mark.parametrize(("pump_mv", "there"), [(-815, True), (-899, False), (-880, None)])
def test_a_circuit_hunt_is_a_sign_either_way(boat: Boat, pump_mv: float, there: bool | None) -> None:
    boat.found("sump/pump-foot", kind="pitting")
    hunt_with(boat, pump_mv)
    one = boat.evidence().get("hull-leak")
    assert (None if one is None else one.there) is there


def test_a_hunt_rules_a_leak_out_only_if_every_circuit_was_tried_and_nothing_moved(boat: Boat) -> None:
    boat.found("sump/pump-foot", kind="pitting", position=Position(face=Face.OUTSIDE))
    boat.do(with_circuits(boat.book, ("pump", "lights")))
    hunt_with(boat, -899)
    assert "hull-leak" not in boat.evidence(), "the lights were not tried"
    boat.do(with_circuits(boat.book, ("pump",)))
    assert not boat.evidence()["hull-leak"].there
    assert not boat.evidence()["dock-shift"].there


def test_a_shore_lead_that_moves_her_is_no_all_clear(boat: Boat) -> None:
    boat.found("sump/pump-foot", kind="pitting", position=Position(face=Face.OUTSIDE))
    hunt_with(boat, -899, shore_mv=-1000)
    assert "hull-leak" not in boat.evidence()
    assert boat.evidence()["dock-shift"].there


def test_a_circuit_read_again_counts_as_it_is_now(boat: Boat) -> None:
    hunt_with(boat, -815)
    assert judge_hunt(newest_hunt(boat.book)).standing_out
    boat.read("potential", [-897], electrode="agcl-sea", circuit="pump", prompt=Prompts.CIRCUIT_HUNT)
    assert not judge_hunt(newest_hunt(boat.book)).standing_out


def test_two_electrodes_in_one_hunt_are_refused(boat: Boat) -> None:
    hunt_with(boat, -899)
    boat.read("potential", [-966], electrode="cse", circuit="lights", prompt=Prompts.CIRCUIT_HUNT)
    with pytest.raises(CannotCalculate, match="two electrodes"):
        judge_hunt(newest_hunt(boat.book))
    boat.listed()


def test_what_fails_is_in_the_list_until_it_is_a_finding_or_reads_well_again(boat: Boat) -> None:
    place = place_called(boat.book, "chain-locker")

    def read(kind: ReadingKind, value: float, **more: Any) -> None:
        boat.do(reading_edit(boat.book, boat.stamp(), place, kind, [value], prompt="chain-locker/air", **more))

    def listed() -> list[tuple[str, Tier]]:
        return [(one.what, one.tier) for one in boat.listed().actions if one.key.startswith("reading/")]

    read("oxygen", 17.5)
    assert listed()[0][0].startswith("Keep out")
    assert listed()[0][1] is Tier.NOW
    failed, round_id = Electricity(boat.book).failing, boat.book.round.id
    assert bad_air_in(failed, place.id) is not None
    assert failing_at(failed, round_id, place.id, "chain-locker/air") is not None
    assert failing_at(failed, round_id, place.id, "chain-locker/pits") is None, "another question of the same place"
    assert bad_air_in(failed, place_called(boat.book, "electrics").id) is None
    read("oxygen", 20.9)
    assert not listed(), "the newest counts"
    assert bad_air_in(Electricity(boat.book).failing, place.id) is None
    read("resistance", 3, across=Across.PARTED)
    assert listed()[0][0].startswith("Write a finding")
    action = next(one for one in boat.listed().actions if one.key.startswith("reading/"))
    boat.do(complete(boat.book, boat.stamp(), action, edits.Repair()))
    assert not listed()
    read("resistance", 0.1, across=Across.BOND)
    assert not listed(), "what passes asks for nothing"


def test_a_dark_lamp_does_not_hide_the_leak_that_was_measured(boat: Boat) -> None:
    boat.read("resistance", [400, 20e6], across=Across.HULL)
    boat.read("resistance", [], across=Across.HULL, lamp="dark")
    assert "hull/leak" in boat.listed().by_key
    finding = boat.found("electrics/return-wires", kind="leakage", words="fridge moves the hull")
    assert "hull/leak" not in boat.listed().by_key, "somebody wrote one since"
    boat.read("resistance", [400, 20e6], across=Across.HULL)
    assert "hull/leak" in boat.listed().by_key, "another leak after that finding"
    assert finding.chalk == 1


def test_a_potential_without_its_electrode_says_nothing(boat: Boat) -> None:
    boat.found("sump/pump-foot", kind="pitting")
    boat.read("potential", [-1250])
    assert "over-potential" not in boat.evidence()
    assert history(boat.book)[0][1] is None


def test_later_potentials_are_held_against_the_free_one(boat: Boat) -> None:
    boat.read("potential", [-760], electrode="agcl-sea", without_anodes=True)
    boat.read("potential", [-900], electrode="agcl-sea")
    free = Electricity(boat.book).free
    assert free is not None
    assert free.read.sea_mv == -760
    judged = history(boat.book)[-1][1]
    assert judged is not None
    assert (judged.protection.shift_mv, judged.protection.passes_100, judged.protection.passes_200) == (
        140,
        True,
        False,
    )


def test_the_free_potential_itself_is_not_judged(boat: Boat) -> None:
    boat.read("potential", [-960], electrode="agcl-sea")
    boat.read("potential", [-760], electrode="agcl-sea", without_anodes=True)
    judged = history(boat.book)[-1][1]
    assert judged is not None
    assert (judged.state, judged.word) == (None, "free potential")
    newest = Electricity(boat.book).at_work
    assert newest is not None
    assert newest[0].potential_mv == (-960,)


@pytest.mark.parametrize(
    ("mv", "doubt"), [(-820, ""), (-960, "no anode is at work"), (-1070, "something is driving her")]
)
def test_a_metal_is_not_said_to_be_driven_where_it_may_stand_by_itself(boat: Boat, mv: float, doubt: str) -> None:
    """The series has aluminium alloys from -760 down to -1,000 mV against calomel."""
    doubts = judge_potential(boat.book.boat, [mv], "agcl-sea", without_anodes=True).doubts
    assert [one for one in doubts if "by itself" in one or "by themselves" in one] == (
        [next(one for one in doubts if doubt in one)] if doubt else []
    )


@pytest.mark.parametrize(("values", "electrode"), [([920], "agcl-sea"), ([-900], "zinc"), ([-50], "agcl-sea")])
def test_what_no_hull_can_be_is_refused(boat: Boat, values: list[float], electrode: str) -> None:
    with pytest.raises(CannotCalculate, match="swapped"):
        judge_potential(boat.book.boat, values, electrode)


def test_bare_silver_chloride_in_fresher_water_is_not_judged_before_it_is_corrected(boat: Boat) -> None:
    for water, salinity, chloride in ((Water.BRACKISH, 6.0, None), (Water.FRESH, None, 50.0)):
        here = boat.book.boat.model_copy(update={"water": water})
        bare = judge_potential(here, [-900], "agcl-sea")
        assert bare.state is None
        assert bare.word == "not corrected for her water"
        assert any("too negative" in one for one in bare.doubts)
        told = judge_potential(here, [-900], "agcl-sea", salinity_g_kg=salinity, chloride_mg_l=chloride)
        assert told.state is not None
        assert judge_potential(here, [-900], "cse").state is not None, "another electrode does not care"
    with pytest.raises(CannotCalculate, match="chloride in mg/L"):
        judge_potential(here, [-900], "agcl-sea", salinity_g_kg=0.3)


def test_of_several_numbers_the_last_is_where_it_stood(boat: Boat) -> None:
    judged = judge_potential(boat.book.boat, [-700, -850, -910], "agcl-sea")
    assert judged.read.sea_mv == -910
    assert any("does not settle" in one for one in judged.doubts)
    with pytest.raises(CannotCalculate):
        judge_potential(boat.book.boat, [], "agcl-sea")


# --- read ashore ------------------------------------------------------------------------------------------


def at(day: int, hour: int = 12) -> datetime:
    return datetime(2025, 11, day, hour, tzinfo=START.tzinfo)


def entry(state: FloatState, day: int, hour: int | None = None) -> FloatEvent:
    return FloatEvent(day=at(day).date(), state=state, when=None if hour is None else at(day, hour))


@pytest.mark.parametrize(
    ("history", "when", "afloat"),
    [
        ([], at(5), None),
        ([(FloatState.HAULED_OUT, 5)], at(4), None),
        ([(FloatState.HAULED_OUT, 5)], at(5, 1), False),
        ([(FloatState.AFLOAT, 5)], at(5, 1), True),
        ([(FloatState.AFLOAT, 5), (FloatState.HAULED_OUT, 8)], at(7, 23), True),
        ([(FloatState.AFLOAT, 5), (FloatState.HAULED_OUT, 8)], at(8, 23), True),
        ([(FloatState.AFLOAT, 5), (FloatState.HAULED_OUT, 8)], at(9, 0), False),
        ([(FloatState.AFLOAT, 5), (FloatState.HAULED_OUT, 8, 10)], at(8, 9), True),
        ([(FloatState.AFLOAT, 5), (FloatState.HAULED_OUT, 8, 10)], at(8, 10), False),
        ([(FloatState.HAULED_OUT, 5), (FloatState.AFLOAT, 8)], at(8, 0), True),
        ([(FloatState.HAULED_OUT, 5), (FloatState.AFLOAT, 8, 10)], at(8, 9), False),
        ([(FloatState.AFLOAT, 5), (FloatState.HAULED_OUT, 8), (FloatState.AFLOAT, 8, 15)], at(9), True),
    ],
)
def test_whether_she_floated_at_a_moment_is_told_by_her_history(
    book: Book, history: list[tuple[Any, ...]], when: datetime, afloat: bool | None
) -> None:
    events = tuple(entry(*one) for one in history)
    assert book.boat.model_copy(update={"float_history": events}).afloat_at(when) is afloat


def test_a_potential_read_ashore_is_a_note_and_nothing_follows_from_it(book: Book, checklists: Checklists) -> None:
    ashore = Boat(book, checklists)
    finding = ashore.found("sump/pump-foot", kind="pitting", position=Position(face=Face.OUTSIDE))
    listed = [one.what for one in ashore.listed().actions]
    signs = ashore.evidence()
    ashore.read("potential", [-700], electrode="agcl-sea")
    ashore.read("potential", [-760], electrode="agcl-sea", without_anodes=True)
    ashore.read("potential", [-1250], finding, electrode="agcl-sea")
    hunt_with(ashore, -700, shore_mv=-1000)
    assert [one.what for one in ashore.listed().actions] == listed
    assert ashore.evidence() == signs
    told = Electricity(ashore.book)
    assert (told.at_work, told.free, told.hunt) == (None, None, None)
    assert {judged for _, judged in told.history} == {None}
    for reading, _ in told.history:
        assert why_not_judged(ashore.book.boat, reading) == READ_ASHORE
    assert all(READ_ASHORE in reading_line(ashore.book.boat, one) for one in ashore.book.readings.values())
    ashore.do(edits.float_or_haul(ashore.book, FloatState.AFLOAT, START.date(), ashore.clock()))
    assert Electricity(ashore.book).at_work is None, "floating her later makes no potential of it"
    ashore.read("potential", [-700], electrode="agcl-sea")
    assert ashore.evidence()["unprotected"].there
    ashore.do(edits.float_or_haul(ashore.book, FloatState.HAULED_OUT, START.date(), ashore.clock()))
    assert ashore.evidence()["unprotected"].there, "read while she floated, it holds ashore too"


def test_while_it_is_typed_ashore_it_gets_no_verdict(boat: Boat) -> None:
    later = START + timedelta(days=2)
    told = potential_so_far(boat.book, None, [-700], "agcl-sea", later)
    assert [words for _, words in told.lines] == [HAULED]
    assert not told.working.steps
    assert len(potential_so_far(boat.book, None, [-700], "agcl-sea", START).lines) > 1


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
    assert "insulate the nobler part" in cure.what
    assert "Another metal fitted to her is likely there" in cure.why
    assert repair.step is Step.HOT_WORK
    assert cure.key in repair.after
    assert cure.rank < repair.rank
    assert CAUSE not in listed.by_key, "nothing is left to be found out"
    boat.do(complete(boat.book, boat.stamp(), cure, edits.Repair("sleeved")))
    assert cure.key not in boat.listed().by_key
    boat.found("sump/sump-gauge", kind="thinning")
    assert CAUSE in boat.listed().by_key, "a new place asks for its cause"


def test_a_cause_that_is_only_possible_stays_to_be_found_out(boat: Boat) -> None:
    boat.found("sump/pump-foot", kind="pitting")
    listed = boat.listed()
    assert not [action for action in listed.actions if action.key.startswith("cure/")]
    assert listed.by_key[CAUSE].cures == {1}
    assert "First check, at" in listed.by_key[CAUSE].what


def test_a_cause_at_work_in_the_whole_hull_is_cured_once(boat: Boat) -> None:
    for key in ("sump/pump-foot", "stem/stem-weld"):
        finding = boat.found(key, kind="pitting")
        for sign in ("bright-crater", "sudden", "hull-leak"):
            boat.tick(sign, True, finding.chalk)
    cures = [action for action in boat.listed().actions if action.key.startswith("cure/")]
    assert [action.key for action in cures] == ["cure/stray-dc/hull"]
    assert cures[0].cures == {1, 2}
    assert cures[0].who is Who.ELECTRICIAN


def test_afloat_what_touches_the_plate_waits_for_the_lift_and_a_current_does_not(boat: Boat) -> None:
    boat.do(edits.float_or_haul(boat.book, FloatState.AFLOAT, START.date()))
    boat.found("sump/pump-foot", kind="pitting")
    for sign in ("ring-at-noble", "joined", "noble-beside", "powder"):
        boat.tick(sign, True)
    finding = boat.found("stem/stem-weld", kind="pitting")
    for sign in ("bright-crater", "sudden", "hull-leak"):
        boat.tick(sign, True, finding.chalk)
    listed = boat.listed()
    by_key = {action.key.rsplit("/", 1)[0]: action for action in listed.actions if action.key.startswith("cure/")}
    assert by_key["cure/galvanic"].needs_haul
    assert by_key["cure/galvanic"].tier is not Tier.NOW
    assert by_key["cure/galvanic"].held
    assert HAUL in boat.listed().by_key
    assert not by_key["cure/stray-dc"].needs_haul
    assert by_key["cure/stray-dc"].tier is Tier.NOW, "it eats the plate in days"
    boat.do(edits.float_or_haul(boat.book, FloatState.HAULED_OUT, START.date()))
    assert boat.listed().by_key["cure/stray-dc/hull"].tier is Tier.BEFORE_AFLOAT


def test_a_cure_that_was_done_does_not_hide_a_later_leak(boat: Boat) -> None:
    boat.found("sump/pump-foot", kind="pitting")
    for sign in ("bright-crater", "sudden", "anode-fast"):
        boat.tick(sign, True)
    boat.read("resistance", [24_000, 90], across=Across.HULL)
    cure = boat.listed().by_key["cure/stray-dc/hull"]
    boat.do(complete(boat.book, boat.stamp(), cure, edits.Repair("cured")))
    assert cure.key not in boat.listed().by_key
    hunt_with(boat, -700)
    assert cure.key in boat.listed().by_key


@pytest.mark.parametrize(("ohms", "tier"), [([24_000, 90], Tier.BEFORE_AFLOAT), ([90, 90], Tier.BEFORE_AFLOAT),
                                            ([0], Tier.BEFORE_AFLOAT), ([], Tier.BEFORE_AFLOAT)])  # fmt: skip
def test_whether_a_pole_is_tied_on_purpose_is_asked_before_a_leak_is_named(
    boat: Boat, ohms: list[float], tier: Tier
) -> None:
    boat.read("resistance", ohms, across=Across.HULL, lamp=None if ohms else "bright")
    listed = boat.listed()
    assert "hull/leak" not in listed.by_key
    assert not [one for one in listed.actions if "leak" in one.what and "hull" in one.key]
    action = listed.by_key["settle/tied"]
    assert (action.who, action.tier) == (Who.OWNER, tier)
    assert action.is_look
    assert action.what.startswith("Ask first")
    assert "heavy" not in action.what
    untold = boat.book
    boat.do(complete(boat.book, boat.stamp(), action, edits.Repair()))
    action = boat.listed().by_key["hull/leak"]
    assert (action.who, action.tier) == (Who.ELECTRICIAN, tier), "asked, and nobody knows"
    assert "unless they are joined on purpose" in action.what
    boat.book = untold
    boat.do(tie_negative(boat.book, True))
    assert not {"hull/leak", "settle/tied"} & set(boat.listed().by_key)
    boat.do(tie_negative(boat.book, False))
    assert "hull/leak" in boat.listed().by_key
    assert "settle/tied" not in boat.listed().by_key


def test_a_leak_that_was_only_measured_is_in_the_list(boat: Boat) -> None:
    boat.do(tie_negative(boat.book, False))
    boat.read("resistance", [24_000, 90], across=Across.HULL)
    action = boat.listed().by_key["hull/leak"]
    assert (action.who, action.tier) == (Who.ELECTRICIAN, Tier.THIS_HAUL_OUT)
    assert "negative touches the hull" in action.what
    assert "heavy" not in action.what
    boat.read("resistance", [90, 24_000], across=Across.HULL)
    action = boat.listed().by_key["hull/leak"]
    assert (action.who, action.tier) == (Who.ELECTRICIAN, Tier.BEFORE_AFLOAT)
    assert "Bilge pump" in action.what, "nobody switches off her pump unasked"
    boat.found("electrics/pole-ohms", kind="leakage")
    assert "hull/leak" not in boat.listed().by_key, "the finding says it"


@pytest.mark.parametrize(("mv", "listed"), [(-700, True), (-870, True), (-1000, False), (-1250, True)])
def test_a_hull_that_is_not_protected_or_too_much_is_in_the_list(boat: Boat, mv: float, listed: bool) -> None:
    boat.read("potential", [mv], electrode="agcl-sea")
    assert ("hull/potential" in boat.listed().by_key) is listed
    if listed:
        action = boat.listed().by_key["hull/potential"]
        boat.do(complete(boat.book, boat.stamp(), action, edits.Repair()))
        assert "hull/potential" not in boat.listed().by_key
        boat.read("potential", [mv], electrode="agcl-sea")
        assert "hull/potential" in boat.listed().by_key


def test_a_steel_hull_is_not_told_of_what_eats_aluminium_alone(boat: Boat) -> None:
    boat.found("sump/pump-foot", kind="pitting", position=Position(face=Face.OUTSIDE))
    named = {one.cause.id for one in Judged(boat.book, boat.checklists).eaten[0].found.ranked}
    assert {"mercury", "over-protection"} <= named
    boat.do(edits.change_boat(boat.book.boat.model_copy(update={"hull_metal": HullMetal.STEEL})))
    named = {one.cause.id for one in Judged(boat.book, boat.checklists).eaten[0].found.ranked}
    assert not {"mercury", "over-protection", "exfoliation"} & named


def test_a_test_that_needs_her_afloat_is_not_asked_for_ashore(boat: Boat) -> None:
    known = boat.checklists.causes
    boat.found("sump/pump-foot", kind="pitting")
    for sign in known.signs:
        if sign not in ("hull-leak", "over-potential"):
            boat.tick(sign, False)
    found = Judged(boat.book, boat.checklists).eaten[0].found
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
    found = Judged(boat.book, boat.checklists).eaten[0].found
    assert not found.likely, "one act alone is not enough"
    patched = next(one for one in found.named if one.cause.id == "under-patch")
    assert patched.told == "possible: 4 signs for it, all from one lifted patch"
    boat.do(tick_sign(finding, "standing-water", True))
    boat.do(tick_sign(boat.book.findings["1"], "crevice", True))
    found = Judged(boat.book, boat.checklists).eaten[0].found
    crevice = next(one for one in found.ranked if one.cause.id == "crevice")
    assert "2 of them from one lifted patch" in crevice.told
    clean = patch(boat, lifted(Beneath.SOUND, product=False, edge=PatchEdge.TIGHT))
    assert {"pits", "grey-paste"} <= set(clean.signs_absent)
    assert not {"hollow", "product-lump"} & set(clean.signs_absent), "an edge that held says nothing of the middle"


def test_the_tally_counts_good_and_bad_apart(boat: Boat) -> None:
    for beneath in (Beneath.PITS, Beneath.SOUND, Beneath.STAINED, Beneath.SOUND):
        patch(boat, lifted(beneath))
    patch(boat)
    told = tally(boat.book)
    (pool,) = told.pools
    assert (len(pool.bad), len(pool.lifted), len(pool.waiting)) == (1, 4, 1)
    assert pool.counted == (
        "of 4 lifted, 1 was bad; says little of the other 1: those that look worst are lifted first and their kinds "
        "may differ"
    )
    assert not any("%" in text for _, text in tally_lines(told)), "nobody drew lots"


def test_a_patch_that_was_sound_beneath_is_no_eaten_metal_and_bars_nothing(boat: Boat) -> None:
    sound, waiting = patch(boat, lifted(Beneath.SOUND)), patch(boat)
    assert not Judged(boat.book, boat.checklists).eaten
    tiers = {one.chalk: one.tier for one in boat.listed().actions}
    assert tiers[sound.chalk] is not Tier.BEFORE_AFLOAT
    assert tiers[waiting.chalk] is Tier.BEFORE_AFLOAT


def test_one_that_is_eaten_through_is_a_hole_and_no_patch_any_more(boat: Boat) -> None:
    finding = patch(boat, lifted(Beneath.THROUGH))
    assert (finding.kind, finding.likelihood.value) == ("hole", "A")
    assert finding.severity.rank <= Severity.CRITICAL.rank
    assert [one.chalk for one in tally(boat.book).pools[0].bad] == [finding.chalk], (
        "it still counts among the lifted ones"
    )
    boat.do(edits.float_or_haul(boat.book, FloatState.AFLOAT, START.date()))
    assert next(one for one in boat.listed().actions if one.chalk == finding.chalk).tier is Tier.NOW


def test_the_lifted_ones_speak_for_the_rest_in_the_list(boat: Boat) -> None:
    waiting = patch(boat)
    record = next(one for one in boat.listed().actions if one.chalk == waiting.chalk)
    assert record.step is Step.RECORD, "before it is lifted"
    boat.do(complete(boat.book, boat.stamp(), record, edits.Repair()))
    action = next(one for one in boat.listed().actions if one.chalk == waiting.chalk)
    assert (action.step, action.who) == (Step.GUT, Who.OWNER)
    assert action.what.startswith("Lift it")
    before = action.risk.rank
    for _ in range(3):
        patch(boat, lifted(Beneath.PITS))
    told = tally(boat.book)
    assert (len(told.lifted), len(told.pools[0].bad), len(told.waiting)) == (3, 3, 1)
    action = next(one for one in boat.listed().actions if one.chalk == waiting.chalk)
    assert "of 3 lifted, 3 were bad; says little of the other 1" in action.why
    assert "%" not in action.why
    assert action.risk.rank < before


def test_a_patch_that_was_gauged_from_inside_still_waits_to_be_lifted(boat: Boat) -> None:
    finding = patch(boat)
    boat.read("thickness", [5.1], finding, clean_metal=True)
    assert [one.chalk for one in tally(boat.book).waiting] == [finding.chalk]
    assert next(one for one in boat.listed().actions if one.chalk == finding.chalk).what.startswith("Lift it")


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
