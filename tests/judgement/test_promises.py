"""What the list must never lose: small rules, each of which somebody could be hurt without."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any, Literal

import pytest

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, Stamp, after
from inspect_tui.domain.knowledge.named import Kinds, Prompts
from inspect_tui.domain.records import PlateField
from inspect_tui.domain.undoing import undo
from inspect_tui.domain.words import (
    FloatState,
    HullMetal,
    PlateRegion,
    Said,
    Status,
    Step,
    Tier,
    Treatment,
    UnseenReason,
    Who,
)
from inspect_tui.engineering.electricity.anode_plan import Anode, Duty, Plan, plan, spread
from inspect_tui.engineering.electricity.anodes import HULL_MV
from inspect_tui.engineering.electricity.protection import BANDS
from inspect_tui.engineering.strength.plate_strength import check_plate
from inspect_tui.engineering.strength.pressure import Craft, Panel
from inspect_tui.engineering.strength.stiffeners import EFFECTIVE
from inspect_tui.errors import NotAllowed
from inspect_tui.judgement.causes.cause import find_causes
from inspect_tui.judgement.electricity.anode_plan import plan_lines
from inspect_tui.judgement.electricity.hunted import newest_hunt
from inspect_tui.judgement.electricity.protected import HULLS
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.metal.facts import Facts
from inspect_tui.judgement.repair.repair_scope import DENSITY_KG_M3
from inspect_tui.judgement.work.action import Task
from inspect_tui.judgement.work.completion import complete
from inspect_tui.store.checklist_files import load_checklists
from tests.conftest import (
    finding_edit,
    place_called,
    prompt_called,
    reading_edit,
    with_finding,
    worklist,
)
from tests.judgement.test_worklist import STAMP

CHECKLISTS = load_checklists()


def do(book: Book, edit: Any) -> Book:
    return after(book, edit, STAMP)[0]


# Of a bottom panel, with round numbers in the place of its own.
PLATE = replace(
    check_plate(Craft(True, "A", 10, 8000), Panel("bottom", 300, 900, 0.6), "aluminium", 275, 125, 4.0),
    required_mm=4.0,
    minimum_mm=2.0,
)


def test_a_circuit_hunt_ends_where_nobody_read_for_twelve_hours(book: Book) -> None:
    place = place_called(book, "electrics")
    book = after(book, edits.float_or_haul(book, FloatState.AFLOAT, STAMP.when.date()), STAMP)[0]
    for hours, mv in ((0, -900.0), (11.9, -890.0), (24, -880.0), (24.5, -870.0)):
        stamp = Stamp(STAMP.when + timedelta(hours=hours), "Mattis")
        edit = reading_edit(
            book, stamp, place, "potential", [mv], prompt=Prompts.CIRCUIT_HUNT, electrode="agcl-sea", circuit="pump"
        )
        book = after(book, edit, stamp)[0]
    assert [one.potential_mv for one in newest_hunt(book)] == [(-880.0,), (-870.0,)]


def test_bad_air_at_two_questions_is_told_twice(book: Book) -> None:
    tank, locker = place_called(book, "water-tank"), place_called(book, "chain-locker")
    for place, prompt, percent in (
        (tank, "water-tank/air", 17.0),
        (tank, "water-tank/sediment", 16.0),
        (locker, "chain-locker/air", 18.0),
        (tank, "water-tank/air", 17.5),
    ):
        book = do(book, reading_edit(book, STAMP, place, "oxygen", [percent], prompt=prompt))
    told = [one for one in worklist(book, CHECKLISTS).actions if one.task is Task.READING]
    assert sorted(one.why.split("oxygen ")[1].split(" ")[0] for one in told) == ["16", "17.5", "18"]
    assert {one.who for one in told} == {Who.OWNER}
    assert {one.tier for one in told} == {Tier.NOW}


@pytest.mark.parametrize(
    ("reason", "who"),
    [
        (UnseenReason.UNSAFE_AIR, Who.YARD),
        (UnseenReason.SEALED, Who.YARD),
        (UnseenReason.NO_TIME, Who.OWNER),
        (UnseenReason.BALLAST, Who.OWNER),
    ],
)
def test_what_the_air_or_a_weld_closes_is_not_the_owners_to_open(book: Book, reason: UnseenReason, who: Who) -> None:
    place, prompt = prompt_called(CHECKLISTS, book, "hollow-keel/keel-root")
    book = do(book, edits.say(book, STAMP, place, prompt, Said.UNSEEN, reason=reason))
    opened = next(one for one in worklist(book, CHECKLISTS).actions if one.task is Task.OPEN)
    assert opened.who is who


def test_wet_linings_come_out_before_arc_or_paint(book: Book) -> None:
    place = place_called(book, "cabin-bilge")
    book = do(book, finding_edit(book, STAMP, place, kind=Kinds.WET_COVER, words="sodden foam"))
    book = do(book, finding_edit(book, STAMP, place, kind=Kinds.PITTING, words="pits"))
    other = place_called(book, "engine")
    book = do(book, finding_edit(book, STAMP, other, kind=Kinds.PITTING, words="pits"))
    for chalk in ("2", "3"):
        book = do(book, edits.move_finding(book, STAMP, book.findings[chalk], Status.MEASURED))
    recorded = worklist(book, CHECKLISTS).by_key["record/1/"]
    book = do(book, complete(book, STAMP, recorded, edits.Repair()))
    listed = worklist(book, CHECKLISTS)
    of = {action.chalk: action for action in listed.actions if action.task is Task.FINDING}
    assert of[1].step is Step.GUT
    assert of[1].key in of[2].after
    assert of[1].key not in of[3].after, "linings of another place are in nobody's way"


@pytest.mark.parametrize("afloat", [True, False])
@pytest.mark.parametrize("cause", ["galvanic", "deposit-pitting", "stray-dc"])
def test_only_a_current_is_cured_at_once(book: Book, cause: str, afloat: bool) -> None:
    known, base = CHECKLISTS.causes.causes[cause], CHECKLISTS.causes.signs
    signs = tuple(sign for sign, chance in known.tells.items() if chance > base[sign].base)
    book = with_finding(book, CHECKLISTS, STAMP, "sump/pump-foot", kind=Kinds.PITTING)
    finding = book.findings["1"].model_copy(
        update={
            "signs": signs,
            "signs_confirmed": signs,
            "signs_absent": tuple(sign for sign in base if sign not in signs),
        }
    )
    book = do(book, edits.change_finding(finding))
    if afloat:
        book = do(book, edits.float_or_haul(book, FloatState.AFLOAT, STAMP.when.date()))
    cures = [one for one in worklist(book, CHECKLISTS).actions if one.task is Task.CURE and one.detail == cause]
    assert len(cures) == 1
    urgent = Tier.NOW if afloat else Tier.BEFORE_AFLOAT
    if known.current:
        assert cures[0].tier is urgent
    else:
        assert cures[0].tier is not Tier.NOW


def test_what_the_gauge_may_be_off_is_taken_off_what_is_left(book: Book) -> None:
    for error in (0.1, 0.5):
        told = Facts(6.0, None, mean_mm=5.0, thinnest_mm=4.5, error_mm=error, check=PLATE).quantities()
        assert told["thickness_of_required"] == pytest.approx((5.0 - error) / 4.0)
        assert told["thinnest_of_required"] == pytest.approx((4.5 - error) / 4.0)
        assert told["thickness_of_minimum"] == pytest.approx((5.0 - error) / 2.0)


def test_a_plate_field_that_readings_or_places_name_cannot_be_taken_back(book: Book) -> None:
    field = PlateField(id="p1", name="bottom", region=PlateRegion.BOTTOM)
    named = do(book, edits.keep_plate_field(field))
    place = place_called(named, "cabin-bilge")
    read = do(named, reading_edit(named, STAMP, place, "thickness", [5.0], plate_field="p1"))
    number = max(change.number for change in named.trail.values())
    with pytest.raises(NotAllowed, match="That plate field is named by readings"):
        undo(read, number)
    lies = do(named, edits.change_compartment(place.model_copy(update={"plate_fields": ("p1",)})))
    with pytest.raises(NotAllowed, match="That plate field is named by readings"):
        undo(lies, number)
    assert "p1" not in do(named, undo(named, number)).plate_fields
    assert Judged(read, CHECKLISTS).worklist.actions


@pytest.mark.parametrize("metal", HullMetal)
def test_every_table_by_metal_has_a_row_for_every_hull(metal: HullMetal) -> None:
    assert metal in HULLS
    assert metal in DENSITY_KG_M3
    assert (HULLS[metal], "salt") in BANDS
    assert HULLS[metal] in HULL_MV
    assert HULLS[metal] in EFFECTIVE


def duty(**more: Any) -> Plan:
    return plan(Duty("aluminium", 120.0, 3.0, **more), Anode("aluminium", 2.0, 0.3, 0.1, 0.03))


def test_too_few_anodes_are_said_to_be_too_few_and_why() -> None:
    needed = duty()
    assert needed.number > 2

    def fitted(number: int | None, of: Plan = needed) -> dict[str, str]:
        return dict(plan_lines(of, number, 38.0, 11.0))

    assert "fitted" not in fitted(None)
    assert fitted(needed.number)["fitted"] == f"{needed.number}: as many as this asks for, or more"
    assert fitted(needed.number - 1)["fitted"].startswith(f"{needed.number - 1}: TOO FEW, ")
    by_mass = replace(needed, by_mass=4, by_current_first=2, by_current_last=3, by_reach=2, number=4)
    assert fitted(3, by_mass)["fitted"] == "3: TOO FEW, too little metal for the years"
    by_current = replace(needed, by_mass=2, by_current_first=2, by_current_last=4, by_reach=2, number=4)
    assert fitted(3, by_current)["fitted"] == "3: TOO FEW, too little current, though there is enough metal"
    assert fitted(2, by_current)["fitted"].endswith("too little current, though there is enough metal")
    assert "too little metal for the years, and too little current, and too far" in fitted(1, by_current)["fitted"]
    far = replace(needed, by_mass=1, by_current_first=1, by_current_last=1, by_reach=6, number=6)
    assert fitted(2, far)["fitted"] == ("2: TOO FEW, too far apart: they reach about 18 of 38 m² of wetted metal")
    assert "6 to reach all of her. Reach decides." in fitted(None, far)["needed"]
    assert fitted(None, far)["where"].startswith("3 a side, 6 in all, one for each 6.3 m², about 3.7 m apart")
    assert by_mass.governed_by.capitalize() in fitted(None, by_mass)["needed"]


@pytest.mark.parametrize("metal", ["aluminium", "zinc"])
@pytest.mark.parametrize("hull", ["aluminium", "steel"])
def test_no_plan_leaves_wetted_metal_far_from_every_anode(hull: Literal["aluminium", "steel"], metal: str) -> None:
    for area in (4.0, 9.0, 18.1, 38.0, 60.0, 150.0):
        for coating in ("I", "II", "III", "bare"):
            told = plan(Duty(hull, area, 2.0, coating), Anode(metal, 10.0, 0.3, 0.15, 0.05))
            assert told.number >= max(told.by_mass, told.by_current_first, told.by_current_last)
            assert told.by_reach % 2 == 0
            assert area / told.number <= 9.0
            lines = " ".join(words for _, words in plan_lines(told, 1, area, 11.0))
            assert "too far apart" in lines
            inside = " ".join(told.working.not_covered)
            assert "counts for nothing outside" in inside
            assert "none within" not in inside


@pytest.mark.parametrize(
    ("number", "length", "words"),
    [
        (
            2,
            11.0,
            "one a side amidships, 2 in all, one for each 19.0 m²; plus one near each nobler part",
        ),
        (
            3,
            11.0,
            "2 a side, 4 in all, one for each 9.5 m², about 5.5 m apart; plus one near each nobler part",
        ),
        (4, None, "2 a side, 4 in all, one for each 9.5 m²; plus one near each nobler part"),
    ],
)
def test_where_anodes_go(number: int, length: float | None, words: str) -> None:
    assert spread(number, 38.0, length) == words


def test_four_in_five_is_likely_and_a_little_less_is_not() -> None:
    weighed = find_causes(CHECKLISTS.causes, ["joined", "noble-beside", "ring-at-noble", "powder"]).ranked[0]
    for chance, likely in ((0.80, True), (0.796, True), (0.794, False), (0.79, False)):
        assert replace(weighed, chance=chance).likely is likely
        assert (replace(weighed, chance=chance).word == "likely") is likely


@pytest.mark.parametrize(("minutes", "verified"), [(-1, False), (0, True), (1, True)])
def test_a_repair_is_verified_by_what_was_read_after_it(book: Book, minutes: int, verified: bool) -> None:
    book = with_finding(book, CHECKLISTS, STAMP, "sump/pump-foot", kind=Kinds.PITTING)
    for status, treatment in ((Status.DECIDED, Treatment.WELD_UP), (Status.REPAIRED, None)):
        book = do(book, edits.move_finding(book, STAMP, book.findings["1"], status, treatment=treatment))
    stamp = Stamp(STAMP.when + timedelta(minutes=minutes), "Mattis")
    finding = book.findings["1"]
    read = reading_edit(book, stamp, book.compartments[finding.compartment], "thickness", [5.0], finding)
    book = after(book, read, stamp)[0]
    if verified:
        moved = edits.move_finding(book, STAMP, book.findings["1"], Status.VERIFIED, bright_metal=True)
        assert do(book, moved).findings["1"].status is Status.VERIFIED
    else:
        with pytest.raises(NotAllowed, match="Measure finding 1 again first"):
            edits.move_finding(book, STAMP, book.findings["1"], Status.VERIFIED, bright_metal=True)


def test_what_nobody_measured_is_verified_by_words(book: Book) -> None:
    book = with_finding(book, CHECKLISTS, STAMP, "galley/salt-tap", kind="fitting")
    book = do(book, edits.move_finding(book, STAMP, book.findings["1"], Status.REPAIRED))
    with pytest.raises(NotAllowed, match="Write what was looked at"):
        edits.move_finding(book, STAMP, book.findings["1"], Status.VERIFIED, note=" ")
    assert edits.move_finding(book, STAMP, book.findings["1"], Status.VERIFIED, note="hose tried")
    with pytest.raises(NotAllowed, match="Only what was repaired"):
        edits.move_finding(
            book, STAMP, with_finding(book, CHECKLISTS, STAMP, "stem/dents").findings["2"], Status.VERIFIED, note="x"
        )


def test_what_something_names_is_not_taken_away(book: Book) -> None:
    field = PlateField(id="p1", name="bottom", region=PlateRegion.BOTTOM)
    named = do(book, edits.keep_plate_field(field))
    place = place_called(named, "cabin-bilge")
    read = do(named, reading_edit(named, STAMP, place, "thickness", [5.0], plate_field="p1"))
    with pytest.raises(NotAllowed, match="bottom has readings"):
        edits.drop_plate_field(read, field)
    lies = do(named, edits.change_compartment(place.model_copy(update={"plate_fields": ("p1",)})))
    with pytest.raises(NotAllowed, match="A compartment lies on bottom"):
        edits.drop_plate_field(lies, field)
    assert "p1" not in do(named, edits.drop_plate_field(named, field)).plate_fields
    with pytest.raises(NotAllowed, match="needs a name"):
        edits.keep_plate_field(field.model_copy(update={"name": " "}))
    with pytest.raises(NotAllowed, match="has something written in it"):
        edits.drop_compartment(read, place)
    assert place.id not in do(named, edits.drop_compartment(named, place)).compartments
    answered = do(
        named, edits.say(named, STAMP, *prompt_called(CHECKLISTS, named, "cabin-bilge/holidays"), Said.SOUND)
    )
    with pytest.raises(NotAllowed, match="has something written in it"):
        edits.drop_compartment(answered, place)


def test_nothing_is_likely_by_what_the_question_brought_alone() -> None:
    told = find_causes(CHECKLISTS.causes, [], [], ["old-patch", "product-lump", "hollow", "grey-paste"])
    brought = next(one for one in told.ranked if one.speaks_for)
    assert replace(brought, chance=0.95).likely is False
    absent = find_causes(CHECKLISTS.causes, [], ["old-patch"], ["product-lump", "hollow"]).ranked[0]
    assert replace(absent, chance=0.95).likely is False
