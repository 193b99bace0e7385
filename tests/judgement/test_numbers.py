"""What is made of numbers: members by themselves, bays, inland steel, growth, inches, what was said afterwards."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Any

import pytest

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, Stamp, after
from inspect_tui.domain.edits.boat import keep_plate_field
from inspect_tui.domain.measuring.metal_records import OTHER_MEMBER, Member, MemberKind, SamplingPlan
from inspect_tui.domain.records import Boat, Datum, PlateField, Position
from inspect_tui.domain.words import (
    Follows,
    HullMetal,
    PlateRegion,
    Side,
    Status,
    ThicknessSource,
    Treatment,
)
from inspect_tui.errors import NotAllowed
from inspect_tui.handover.report import make_report
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.metal.so_far import meaning_so_far, unseen_lines
from inspect_tui.judgement.metal.verdict import asks_for
from inspect_tui.judgement.metal.verdicts import Verdicts
from inspect_tui.judgement.work.action import FindingRef, MemberRef
from inspect_tui.store.checklist_files import load_checklists
from tests.conftest import finding_edit, place_called
from tests.judgement.metal_books import metals
from tests.judgement.test_worklist import STAMP

CHECKLISTS = load_checklists()
PLATE: dict[str, Any] = {
    "id": "p1", "name": "bottom", "region": PlateRegion.BOTTOM, "as_built_mm": 5.0,
    "as_built_from": ThicknessSource.DRAWING, "panel_width_mm": 300.0, "panel_length_mm": 900.0, "area_m2": 9.0,
}  # fmt: skip


def do(book: Book, edit: Any, days: float = 0) -> Book:
    return after(book, edit, Stamp(STAMP.when + timedelta(days=days), "x"))[0]


def plated(book: Book, boat: dict[str, Any] | None = None, **more: Any) -> Book:
    """One plate field in the cabin bilge."""
    if boat:
        book = do(book, edits.change_boat(book.boat.model_copy(update=boat)))
    book = do(book, keep_plate_field(PlateField(**{**PLATE, **more})))
    place = place_called(book, "cabin-bilge").model_copy(update={"plate_fields": ("p1",)})
    return do(book, edits.change_compartment(place))


def gauged(book: Book, *values: float, days: float = 0, finding: int | None = None, **said: Any) -> Book:
    kind = said.pop("kind", "thickness")
    place = place_called(book, "cabin-bilge")
    details = edits.ReadingDetails(**{"clean_metal": True, "instrument_error": 0.1, **said})
    stamp = Stamp(STAMP.when + timedelta(days=days), "x")
    at = book.findings[str(finding)] if finding else None
    return do(book, edits.add_reading(book, stamp, place, kind, values, details, finding=at), days)


def with_member(book: Book, kind: MemberKind = MemberKind.FLOOR, **more: Any) -> Book:
    sizes = {"web_mm": 8.0, "web_height_mm": 100.0, "as_built_from": ThicknessSource.CUT_EDGE, **more}
    place = place_called(book, "cabin-bilge")
    return do(book, edits.keep_member(Member(id="m1", name="at frame 12", kind=kind, compartment=place.id, **sizes)))


def field(book: Book) -> Any:
    return Verdicts(book, CHECKLISTS).fields["p1"]


# --- members -------------------------------------------------------------------------------------


@pytest.mark.parametrize("member", ["m1", OTHER_MEMBER])
def test_a_flange_gauged_beside_the_plate_changes_nothing_of_the_plate(book: Book, member: str) -> None:
    """Plate 3.2 of 5 is a third gone, whatever stands on it."""
    book = gauged(with_member(plated(book)), 3.2, 3.3, 3.2)
    before = field(book)
    after_ = field(gauged(book, 7.9, 8.0, 7.8, member=member, part="flange" if member == "m1" else None))
    assert after_.loss == before.loss
    assert after_.verdict.treatment is before.verdict.treatment


def test_a_worn_member_is_judged_and_stands_in_the_list(book: Book) -> None:
    book = gauged(with_member(plated(book)), 3.5, 3.6, member="m1", part="web")
    judged = Judged(book, CHECKLISTS)
    verdict = judged.verdicts.members["m1"].verdict
    assert verdict is not None
    assert verdict.treatment is Treatment.RENEW_MEMBER
    [action] = [one for one in judged.worklist.actions if one.about == MemberRef("m1")]
    assert "web 3.5 ± 0.1 of 8 mm left" in action.what
    told = make_report(judged).part("metal")
    assert "floor at frame 12" in str(told)


def test_a_question_of_a_frame_or_pipe_is_none_of_the_plate(book: Book) -> None:
    """Also of readings that nobody said of what they are, taken before members had records."""
    book = gauged(plated(book), 3.2, 3.3, 3.2)
    before = field(book).loss
    for prompt in ("cabin-bilge/floor-tops", "bulkheads/girder-tops"):
        book = gauged(book, 7.9, 8.0, prompt=prompt)
    assert field(book).loss == before
    assert field(gauged(book, 3.0, prompt="cabin-bilge/between-pits")).loss != before


@pytest.mark.parametrize(
    ("kind", "loss", "treatment"),
    [
        (MemberKind.FLOOR, 0.24, Treatment.CLEAN_AND_COAT), (MemberKind.FLOOR, 0.27, Treatment.RENEW_MEMBER),
        (MemberKind.STRINGER, 0.27, Treatment.CLEAN_AND_COAT), (MemberKind.STRINGER, 0.32, Treatment.RENEW_MEMBER),
        (MemberKind.BOLT, 0.10, Treatment.CLEAN_AND_COAT), (MemberKind.BOLT, 0.20, Treatment.RENEW_MEMBER),
    ],
)  # fmt: skip
def test_members_are_renewed_at_their_own_shares(
    book: Book, kind: MemberKind, loss: float, treatment: Treatment
) -> None:
    # US Army TB 55-1900-201-45/1 and a class society's table: a quarter of floors, girders and webs, 30 % of others.
    # Of a bolt its area: at a tenth of its diameter 81 % is left, at a fifth 64 %.
    book = gauged(with_member(book, kind, web_mm=10.0, web_height_mm=80.0), 10 * (1 - loss), member="m1")
    verdict = Verdicts(book, CHECKLISTS).members["m1"].verdict
    assert verdict is not None
    assert verdict.treatment is treatment


def test_a_worn_flat_bar_may_newly_be_too_slender(book: Book) -> None:
    # ISO 12215-5:2019 table B.2 as quoted: 12 for welded 5083; 50/5 is 10, 50/4.1 is 12.2.
    book = with_member(book, MemberKind.STRINGER, web_mm=5.0, web_height_mm=50.0, alloy="5083", temper="H116")
    sound, worn = (Verdicts(gauged(book, left, member="m1"), CHECKLISTS).members["m1"] for left in (4.6, 4.1))
    assert sound.verdict is not None
    assert worn.verdict is not None
    assert sound.verdict.treatment is Treatment.CLEAN_AND_COAT
    assert worn.verdict.treatment is Treatment.ASK
    assert "trip before it bends" in worn.verdict.because


def test_what_is_typed_on_a_member_is_told_at_once(book: Book) -> None:
    book = with_member(plated(book))
    place = place_called(book, "cabin-bilge")
    for member, words in (("m1", "RENEW MEMBER"), (OTHER_MEMBER, "never averaged with plate")):
        reading = edits.reading_taken(
            book, STAMP, place, "thickness", [3.5], edits.ReadingDetails(member=member, clean_metal=True)
        )
        lines, _, of_field = meaning_so_far(Verdicts(book, CHECKLISTS), reading, None, None)  # type: ignore[arg-type]
        assert words in str(lines)
        assert of_field is None


# --- bays, extents, inland, tanks ----------------------------------------------------------------


def at(frame: float, girth_mm: float = 100.0) -> Position:
    return Position(frame=frame, side=Side.PORT, girth_mm=girth_mm)


def test_a_thin_bay_is_not_hidden_by_the_mean_of_the_field(book: Book) -> None:
    book = plated(book, {"datum": Datum(frame_spacing_mm=500.0)})
    for frame in range(4, 12):
        book = gauged(book, 5.0, 4.9, 5.0, plate_field="p1", position=at(frame))
    sound = field(book).verdict
    thin = field(gauged(book, 3.4, 3.5, 3.4, plate_field="p1", position=at(14.2))).verdict
    assert sound.treatment is Treatment.LEAVE_BARE
    assert thin.treatment is Treatment.REPLATE
    assert "3.4 mm in the bay from frame 14 to 15 P, 0 to 300 mm out" in thin.numbers
    split = gauged(
        gauged(book, 3.4, plate_field="p1", position=at(14.2)), 5.0, plate_field="p1", position=at(14.2, 700)
    )
    assert "in the bay" not in field(split).verdict.numbers, "one reading is a spot"


@pytest.mark.parametrize(("left", "inland", "treatment"), [
    (4.5, True, Treatment.CLEAN_AND_COAT), (4.5, None, Treatment.ASK), (2.9, True, Treatment.REPLATE),
])  # fmt: skip
def test_inland_steel_has_a_yardstick_of_its_own(
    book: Book, left: float, inland: bool | None, treatment: Treatment
) -> None:
    # German inland rules 2008, Annex II § 3.02: L 20 m, frames 500 mm apart, T 1.0 m: 3.0 mm.
    boat = {"hull_metal": HullMetal.STEEL, "inland": inland, "hull_length_m": 20.0, "hull_draught_m": 1.0}
    book = plated(book, boat, as_built_mm=6.0, panel_width_mm=500.0, panel_length_mm=1500.0)
    told = field(gauged(book, left, left + 0.1, left)).verdict
    assert told.treatment is treatment, told.because
    assert told.limits.file == ("steel-inland.toml" if inland else "steel.toml")


@pytest.mark.parametrize("follows", [None, *Follows])
def test_what_an_attack_follows_makes_it_no_milder(book: Book, follows: Follows | None) -> None:
    asked = {}
    for one in (None, follows):
        there = plated(book)
        there = do(there, finding_edit(there, STAMP, place_called(there, "cabin-bilge"), kind="pitting", follows=one))
        there = gauged(there, 5.0, 4.9, finding=1)
        there = gauged(there, 1.4, kind="pits", finding=1)
        verdict = Verdicts(there, CHECKLISTS).of(there.findings["1"])
        assert verdict is not None
        asked[one] = asks_for(verdict.treatment)
    assert asked[follows] >= asked[None]


# --- growth, age, words --------------------------------------------------------------------------


def test_a_square_read_again_tells_its_growth_and_counts_once_in_a_picture(book: Book) -> None:
    book = plated(book, {"datum": Datum(frame_spacing_mm=500.0)})
    book = gauged(book, 1.0, 0.5, kind="pits", plate_field="p1", position=at(5))
    book = do(book, edits.open_round(book, Stamp(STAMP.when + timedelta(days=370), "x"), "again"), 370)
    book = gauged(book, 1.8, 0.5, kind="pits", plate_field="p1", position=at(5), days=371)
    book = gauged(book, 0.9, kind="pits", plate_field="p1", position=at(9), days=371)
    told = field(book)
    assert "0.8 ± 0.14 mm deeper than on" in told.verdict.numbers
    assert told.metal.pictured_mm == [1.8, 0.5, 0.9], "not its older depths too"
    assert any("1 spot read this round but never before" in one for one in told.warnings)
    assert "grew beyond what the gauges can tell" in str(make_report(Judged(book, CHECKLISTS)).part("metal"))


def test_a_crack_that_grows_says_so_and_ranks_higher(book: Book) -> None:
    place = place_called(book, "cabin-bilge")
    book = do(book, finding_edit(book, STAMP, place, kind="crack"))
    book = gauged(book, 20.0, kind="length", finding=1, clean_metal=None, instrument_error=1.0)
    still = Judged(book, CHECKLISTS).worklist.actions
    book = do(book, edits.open_round(book, Stamp(STAMP.when + timedelta(days=370), "x"), "again"), 370)
    book = gauged(book, 26.0, kind="length", finding=1, clean_metal=None, instrument_error=1.0, days=371)
    grown = Judged(book, CHECKLISTS).worklist.actions
    [before], [now] = ([one for one in listed if one.about == FindingRef(1)][-1:] for listed in (still, grown))
    assert "it is growing: 6 ± 1.4 mm longer than on" in now.what
    assert now.likelihood is not None
    assert before.likelihood is not None
    assert now.likelihood.rank < before.likelihood.rank


def test_when_pits_began_is_asked_or_the_range_is_told(book: Book) -> None:
    book = plated(book, {"year_built": STAMP.when.year - 30})
    for depth in (1.0, 1.3, 0.8, 1.6, 1.1, 0.9, 1.4):
        book = gauged(book, depth, kind="pits", plate_field="p1", patch_length_mm=300.0, patch_width_mm=300.0,
                      worst_chosen=False)  # fmt: skip
    unsaid = field(book)
    young = book.plate_fields["p1"].model_copy(update={"attacked_since": STAMP.when.year - 3})
    said = field(do(book, keep_plate_field(young)))
    assert unsaid.hole_chance_young is not None
    assert unsaid.hole_chance_young > unsaid.hole_chance_later
    assert said.hole_chance_young is None
    assert said.hole_chance_later == pytest.approx(unsaid.hole_chance_young)


def test_inches_are_told_to_those_who_want_them(book: Book) -> None:
    book = gauged(plated(book), 4.5, 4.6)
    assert " in)" not in field(book).verdict.numbers
    inches = do(book, edits.change_boat(book.boat.model_copy(update={"inches": True})))
    assert "4.5 of 5 mm (0.177 of 0.197 in) left" in field(inches).verdict.numbers
    assert isinstance(inches.boat, Boat)


# --- said afterwards -----------------------------------------------------------------------------


def test_readings_from_before_there_was_a_plate_field_count_once_it_is_there(book: Book) -> None:
    book = gauged(book, 3.2, 3.3, 3.2)
    assert not Verdicts(book, CHECKLISTS).fields
    assert field(plated(book)).loss.left_mm == pytest.approx(9.7 / 3)


def test_the_plate_of_a_reading_can_be_said_afterwards(book: Book) -> None:
    book = with_member(gauged(book, 3.2, 3.3, 3.2))
    book = do(book, keep_plate_field(PlateField(**PLATE)))
    reading = next(iter(book.readings.values()))
    assert field(book).loss is None, "the compartment lies on no field"
    on_plate = do(book, edits.put_on(book, reading, "p1"))
    assert field(on_plate).loss.left_mm == pytest.approx(9.7 / 3)
    on_member = do(on_plate, edits.put_on(on_plate, on_plate.readings[reading.id], "m1"))
    assert field(on_member).loss is None
    assert Verdicts(on_member, CHECKLISTS).members["m1"].verdict is not None
    for nowhere in ("p9", "m9"):
        with pytest.raises(NotAllowed, match="no such plate"):
            edits.put_on(book, reading, nowhere)


def test_water_through_a_hole_or_a_parted_hose_is_told_with_the_job(book: Book) -> None:
    book = do(book, edits.change_boat(book.boat.model_copy(update={"hull_draught_m": 0.5})))
    place = place_called(book, "cabin-bilge")
    book = do(book, finding_edit(book, STAMP, place, kind="fitting"))
    book = do(book, finding_edit(book, STAMP, place, kind="hole"))
    book = do(book, finding_edit(book, STAMP, place, kind="pitting"))
    told = {one.chalk: one.why for one in Judged(book, CHECKLISTS).worklist.actions if one.chalk}
    # Cd 0.6, computed: 25 mm at 0.5 m 55.3 L/min, 10 mm 8.9.
    assert "about 55 L/min" in told[1]
    assert "about 8.9 L/min" in told[2]
    assert "L/min" not in told[3]
    assert book.findings["1"].status is Status.FOUND


# --- what is said of the rest ---------------------------------------------------------------------

RESTS_ON = ("if the rest is like", "squares not looked at", "taken as a 95 % limit")


def sentences(book: Book) -> list[str]:
    """Everything that screens, list and papers say of the metal."""
    judged = Judged(book, CHECKLISTS)
    told = [f"{name}: {words}" for one in judged.verdicts.fields.values() for name, words in one.lines()]
    told += [words for one in judged.verdicts.fields.values() for _, words in unseen_lines(one)]
    for finding in book.findings.values():
        verdict = judged.verdicts.of(finding)
        told += [f"{name}: {words}" for name, words in verdict.lines()] if verdict else []
    told += [text for action in judged.worklist.actions for text in (action.what, action.why)]
    papers = [part for part in re.split(r"; |\. |'", str(make_report(judged))) if "<" not in part]
    return told + papers


@pytest.mark.parametrize("seed", range(40))
def test_no_95_percent_without_what_it_rests_on(seed: int) -> None:
    for sentence in sentences(metals(seed).book):
        if re.search(r"at 95 %|95 % (bound|sure)|\(95 %", sentence):
            assert any(words in sentence for words in RESTS_ON), sentence


@pytest.mark.parametrize("seed", range(40))
def test_no_error_is_told_that_leaves_an_instrument_out(seed: int) -> None:
    """What is left under a pit carries the error of the pit gauge and of the thickness gauge, or of a guess."""
    made = metals(seed)
    verdicts = Verdicts(made.book, CHECKLISTS)
    for finding in made.book.findings.values():
        verdict = verdicts.of(finding)
        if verdict is None or not verdict.facts.deepest_mm or verdict.facts.left_mm is None:
            continue
        metal = verdicts.gathered.at_finding(finding)
        told = re.search(r"± (\d+(?:\.\d+)?) mm left", verdict.numbers)
        assert told, verdict.numbers
        assert float(told[1]) >= 0.95 * max(metal.pit_error_mm, 0.1)
        if metal.all_thickness_mm:
            assert float(told[1]) >= 0.95 * metal.thickness_error_mm


# --- the small print ------------------------------------------------------------------------------


def grown_at(book: Book, kind: str, then: float, now: float, **where: Any) -> Book:
    book = gauged(book, then, kind=kind, **where)
    book = do(book, edits.open_round(book, Stamp(STAMP.when + timedelta(days=370), "x"), "again"), 370)
    return gauged(book, now, kind=kind, days=371, **where)


@pytest.mark.parametrize(("kind", "then", "now", "words"), [
    ("pits", 1.0, 1.5, "0.5 ± 0.14 mm deeper"), ("thickness", 4.9, 4.4, "0.5 ± 0.14 mm thinner"),
])  # fmt: skip
def test_a_finding_read_again_is_one_spot(book: Book, kind: str, then: float, now: float, words: str) -> None:
    book = plated(book)
    for _ in range(2):
        book = do(book, finding_edit(book, STAMP, place_called(book, "cabin-bilge"), kind="pitting"))
    book = grown_at(book, kind, then, now, finding=1, plate_field="p1")
    book = gauged(book, now + 0.9, kind=kind, days=371, finding=2, plate_field="p1")
    verdicts = Verdicts(book, CHECKLISTS)
    assert verdicts.gathered.read_twice == 1
    first, second = (verdicts.of(book.findings[number]) for number in "12")
    assert first is not None
    assert second is not None
    assert words in first.numbers
    assert second.facts.growth is None, "another finding's reading is another spot"


def test_a_drawn_square_read_again_is_named_by_its_number(book: Book) -> None:
    book = plated(book)
    plan = SamplingPlan(id="q1", plate_field="p1", length_mm=6000, girth_mm=1500, square_length_mm=300,
                        square_girth_mm=300, wanted=5, seed="", drawn=(), when=STAMP.when, by="x")  # fmt: skip
    book = do(book, edits.draw_squares(book, plan))
    square = book.plans["q1"].drawn[0]
    book = grown_at(book, "pits", 1.0, 1.6, plate_field="p1", plan="q1", square=square)
    assert f"square {square}: 0.6 ± 0.14 mm deeper" in field(book).verdict.numbers


@pytest.mark.parametrize(("depths", "deep"), [((2.5, 2.5, 1.0), 0), ((2.6, 2.5, 1.0), 1), ((2.6, 2.7, 2.8), 3)])
def test_a_pit_is_deep_past_half_of_the_plate(book: Book, depths: tuple[float, ...], deep: int) -> None:
    book = gauged(plated(book), 5.0, plate_field="p1")
    facts = field(gauged(book, *depths, kind="pits", plate_field="p1")).verdict.facts
    assert facts.deep_pits == deep


def test_the_working_of_a_bolt_and_of_a_bar_can_be_followed(book: Book) -> None:
    bolt = with_member(book, MemberKind.BOLT, web_mm=20.0, web_height_mm=None)
    told = dict(Verdicts(gauged(bolt, 15.0, member="m1"), CHECKLISTS).members["m1"].lines())
    assert told["area left"].startswith("(now / built)² = (15 / 20)² = 56 %")
    bar = with_member(book, plate_mm=6.0, spacing_mm=480.0)
    told = dict(Verdicts(gauged(bar, 7.0, member="m1"), CHECKLISTS).members["m1"].lines())
    # By hand: 60 times 6 mm of aluminium plate is less than the spacing.
    assert "min(60 × 6, 480) = 360 mm" in told["plate working with it"]
    assert "judged separately" in str(told)


def test_a_member_is_named_once(book: Book) -> None:
    place = place_called(book, "cabin-bilge").id
    for name, title in (("at frame 12", "floor at frame 12"), ("Floor 3, port", "Floor 3, port")):
        member = Member(id="m1", name=name, kind=MemberKind.FLOOR, compartment=place, web_mm=5.0)
        assert member.title == title


def test_what_grew_ends_no_later_than_the_instruments_allow(book: Book) -> None:
    """The earliest day counts from the least that may be left under the pit."""
    book = plated(book)
    book = do(book, finding_edit(book, STAMP, place_called(book, "cabin-bilge"), kind="pitting"))
    book = gauged(book, 5.0, finding=1, plate_field="p1")
    verdict = Verdicts(grown_at(book, "pits", 1.0, 2.0, finding=1, plate_field="p1"), CHECKLISTS).of(
        book.findings["1"]
    )
    assert verdict is not None
    grown = verdict.facts.growth
    assert grown is not None
    left = verdict.facts.least_left_for(grown)
    assert left is not None
    assert left == pytest.approx(3.0 - verdict.facts.left_error_mm)
    assert verdict.facts.left_error_mm == pytest.approx(0.1414, abs=1e-3)
    assert f"{grown.through(left):%Y-%m} at the earliest" in verdict.numbers


def test_a_reading_put_on_another_plate_can_be_put_back(book: Book) -> None:
    book = gauged(plated(book), 4.0, 4.1, plate_field="p1")
    reading = next(iter(book.readings.values()))
    away = do(book, edits.put_on(book, reading, OTHER_MEMBER))
    back = do(away, edits.put_on(away, away.readings[reading.id], "p1"))
    assert field(away).loss is None
    assert field(back).loss == field(book).loss


def again(book: Book, *values: float, days: float = 5, **more: Any) -> Book:
    """Gauged again at finding 1, one reading for each value."""
    for value in values:
        said = {"chalk_seen": True, "plate_field": "p1", **more}
        book = gauged(book, value, days=days, finding=1, **said)
    return book


@pytest.mark.parametrize(("values", "more", "stands"), [
    ((5.9, 5.9), {}, False), ((5.9,), {}, True), ((5.9, 5.9), {"chalk_seen": None}, True),
    ((5.9, 5.9), {"clean_metal": None}, True), ((5.9, 5.9), {"instrument_error": 0.2}, True),
    ((3.2, 3.2), {}, True), ((5.9, 3.2), {}, True), ((5.9, 3.2, 5.9), {}, False),
])  # fmt: skip
def test_a_thin_reading_stands_until_it_was_read_twice_again_on_its_chalk(
    book: Book, values: tuple[float, ...], more: dict[str, Any], stands: bool
) -> None:
    book = plated(book, as_built_mm=6.0)
    book = do(book, finding_edit(book, STAMP, place_called(book, "cabin-bilge"), kind="thinning"))
    book = again(gauged(book, 3.1, finding=1, plate_field="p1"), *values, **more)
    for verdict in (Verdicts(book, CHECKLISTS).of(book.findings["1"]), field(book).verdict):
        assert verdict is not None
        assert (verdict.facts.thinnest_mm == 3.1) is stands
        assert ("set aside: read twice more" in str(verdict.warnings)) is not stands
