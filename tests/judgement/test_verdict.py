"""What readings come to mean: limits, strength, tightness, and how they move the worklist."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any, get_args

import pytest
from pydantic import ValidationError

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, after
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.entry import Known
from inspect_tui.domain.knowledge.metals import Limits
from inspect_tui.domain.records import PlateField
from inspect_tui.domain.words import (
    DesignCategory,
    FloatState,
    HullMetal,
    Likelihood,
    PlateRegion,
    Severity,
    Status,
    ThicknessSource,
    Tier,
    Treatment,
)
from inspect_tui.engineering.working import Seen
from inspect_tui.errors import BadChecklist
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.metal.facts import Facts
from inspect_tui.judgement.metal.verdict import Verdict, first_fit, next_change
from inspect_tui.judgement.metal.verdicts import Verdicts
from inspect_tui.judgement.work.action import Task
from inspect_tui.store.checklist_files import load_checklists
from tests.conftest import SteppingClock, place_called, reading_edit, with_finding, worklist
from tests.judgement.test_worklist import STAMP, demo
from tests.outside.test_limits import by_rule

CHECKLISTS = load_checklists()
LIMITS = CHECKLISTS.metals.limits
DEEPEST = (1.2, 0.8, 2.4, 1.9, 3.1, 1.1, 0.9, 1.6, 1.4, 2.2, 1.0, 1.3)


# --- the limits ------------------------------------------------------------------------------------


@pytest.mark.parametrize(("metal", "floor_mm"), [(HullMetal.ALUMINIUM, 2.0), (HullMetal.STEEL, 1.5)])
def test_what_no_arc_is_trusted_with_is_never_welded_up(metal: HullMetal, floor_mm: float) -> None:
    for plate in (3.0, 4.0, 5.0, 6.0, 12.0):
        for tenth in range(1, int(plate * 10)):
            treatment, rule = by_rule(metal, plate_mm=plate, deepest_mm=tenth / 10)
            left = round(plate - tenth / 10, 6)
            assert (treatment is not Treatment.WELD_UP) or left >= floor_mm
            assert (rule == "nearly-through") == (left < 1.0)


def test_equal_shares_get_equal_answers_whatever_the_floats_say() -> None:
    for metal in HullMetal:
        for share in (0.1, 0.2, 0.25, 0.3, 1 / 3, 0.4, 0.5):
            told = {by_rule(metal, plate_mm=plate, deepest_mm=plate * share)[1] for plate in (8.0, 10.0, 11.0, 12.7)}
            assert len(told) == 1, (share, told)


def test_holes_and_soft_metal_override_numbers() -> None:
    assert by_rule(HullMetal.ALUMINIUM, plate_mm=6.0, deepest_mm=0.2, holes=1)[1] == "holed"
    assert by_rule(HullMetal.ALUMINIUM, plate_mm=6.0, deepest_mm=0.2, soft=True)[1] == "soft"


def test_clustered_pits_are_past_repairing_one_by_one() -> None:
    facts: dict[str, Any] = {"plate_mm": 6.0, "deepest_mm": 3.4, "deep_pits": 3, "pits": 6}
    assert by_rule(HullMetal.ALUMINIUM, **facts, spacing_mm=20)[0] is Treatment.REPLATE
    assert by_rule(HullMetal.ALUMINIUM, **facts, spacing_mm=200)[0] is Treatment.INSERT_PLATE
    two = {**facts, "pits": 2}
    assert by_rule(HullMetal.ALUMINIUM, **two, spacing_mm=20)[0] is Treatment.WELD_UP, "two are welded one by one"


def test_a_pit_through_what_is_left_of_the_plate_is_a_hole() -> None:
    assert by_rule(HullMetal.ALUMINIUM, plate_mm=6.0, deepest_mm=3.0, ground_mm=2.9)[1] == "holed"


def test_no_pit_found_fits_no_rule_about_pits_in_thick_plate() -> None:
    facts = Facts(12.0, 0.0, ground_mm=7.8)
    rule = first_fit(LIMITS[HullMetal.STEEL], "tightness", facts.quantities())
    assert rule is not None
    assert rule.id == "shallow"


def test_the_deeper_the_pit_the_more_is_asked() -> None:
    order = list(Treatment)
    for metal in HullMetal:
        asked = [order.index(by_rule(metal, plate_mm=6.0, deepest_mm=tenth / 10)[0]) for tenth in range(60)]
        assert asked == sorted(asked)
        change = next_change(Facts(6.0, 1.0), LIMITS[metal])
        assert change is not None
        assert by_rule(metal, plate_mm=6.0, deepest_mm=change[0])[0] is change[1]


@pytest.mark.parametrize("asked", ["strength", "tightness"])
@pytest.mark.parametrize("metal", HullMetal)
def test_limits_that_leave_a_question_out_are_refused(metal: HullMetal, asked: str) -> None:
    rows = LIMITS[metal].model_dump()
    assert Limits.model_validate(rows) == LIMITS[metal]
    rows["rule"] = [rule for rule in rows["rule"] if rule["asks"] != asked]
    with pytest.raises(ValidationError, match=f"no rule asks about {asked}"):
        Limits.model_validate(rows)


def test_letters_follow_the_stated_table() -> None:
    told = [LIMITS[HullMetal.ALUMINIUM].letter(chance) for chance in (0.6, 0.2, 0.02, 0.002, 0.0)]
    assert told == [Likelihood.A, Likelihood.B, Likelihood.C, Likelihood.D, Likelihood.E]


def test_the_data_and_the_engineering_use_the_same_words_for_what_is_known() -> None:
    assert set(get_args(Known)) == {seen.value for seen in Seen}


def test_every_rule_names_its_source_or_says_that_there_is_none() -> None:
    for limits in LIMITS.values():
        assert limits.digest
        for rule in limits.rule:
            assert rule.source or rule.seen in (Seen.COMMON.value, Seen.JUDGEMENT.value)
            assert "safe" not in rule.say


# --- an owner's limits ----------------------------------------------------------------------------


def owner_limits(folder: Path, text: str) -> Limits:
    (folder / "limits").mkdir()
    (folder / "limits" / "mine.toml").write_text(text, encoding="utf-8")
    return load_checklists(folder).metals.limits[HullMetal.ALUMINIUM]


def test_an_owner_s_rule_is_laid_over_ours(tmp_path: Path) -> None:
    changed = owner_limits(
        tmp_path, 'id = "light-aluminium"\n[[rule]]\nid = "fillable"\nat_least = { pit_share = 0.15 }\n'
    )
    assert changed.digest != LIMITS[HullMetal.ALUMINIUM].digest
    facts = Facts(6.0, 1.0).quantities()
    rule = first_fit(changed, "tightness", facts)
    assert rule is not None
    assert rule.id == "fillable"


@pytest.mark.parametrize(
    ("text", "place", "sentence"),
    [
        ('[[rule]]\nid = "deep"\nat_least = { depth = 3 }\n', 'rule → "deep" → at_least → depth', "not one of"),
        ('[[rule]]\nid = "deep"\ntreatment = "pray"\n', 'rule → "deep" → treatment', "is not one of"),
        ('[[rule]]\nid = "deep"\nat_least = {}\nat_most = {}\n', 'rule → "deep"', "a rule needs a condition"),
        ('[[rule]]\nid = "deep"\nsource = ""\n', 'rule → "deep"', "must name its source"),
        ("years_to_next_haul_out = -1\n", "years_to_next_haul_out", "greater than 0"),
        ("rule = 3\n", "rule", "tuple"),
        (
            'letters = [{ letter = "A", chance_at_least = 0.2 }, { letter = "B", chance_at_least = 0.5 }, '
            '{ letter = "F", chance_at_least = 0 }]\n',
            "the file",
            "letters must fall",
        ),
        ('letters = [{ letter = "A", chance_at_least = 0.5 }]\n', "the file", "letters must fall"),
    ],
)
def test_a_mistake_in_limits_gives_place_and_sentence(tmp_path: Path, text: str, place: str, sentence: str) -> None:
    with pytest.raises(BadChecklist) as told:
        owner_limits(tmp_path, f'id = "light-aluminium"\n{text}')
    assert "mine.toml" in str(told.value)
    assert place in str(told.value)
    assert sentence in str(told.value)


# --- verdicts over a book -------------------------------------------------------------------------


def surveyed(book: Book, checklists: Checklists, clock: SteppingClock, **plate: Any) -> tuple[Book, PlateField]:
    """A bottom of 5 mm with finding 1 in the cabin bilge; particulars as the standard asks."""
    boat = book.boat.model_copy(
        update={
            "waterline_length_m": 11.1,
            "displacement_kg": 11800.0,
            "design_category": DesignCategory.B,
            "year_built": 1986,
        }
    )
    book = after(book, edits.change_boat(boat), STAMP)[0]
    settings: dict[str, Any] = {
        "id": "p1",
        "name": "bottom",
        "region": PlateRegion.BOTTOM,
        "alloy": "5083",
        "temper": "H111",
        "as_built_mm": 5.0,
        "as_built_from": ThicknessSource.CUT_EDGE,
        "panel_width_mm": 240.0,
        "panel_length_mm": 480.0,
        "area_m2": 9.0,
    }
    field = PlateField(**(settings | plate))
    book = after(book, edits.keep_plate_field(field), STAMP)[0]
    place = place_called(book, "cabin-bilge").model_copy(update={"plate_fields": ("p1",)})
    book = after(book, edits.change_compartment(place), STAMP)[0]
    return with_finding(book, checklists, STAMP, "cabin-bilge/pit-grid"), field


def measured(book: Book, kind: Any, values: Any, **more: Any) -> Book:
    place = place_called(book, "cabin-bilge")
    finding = book.findings["1"] if more.pop("at_finding", True) else None
    settings: dict[str, Any] = {"clean_metal": True, "instrument_error": 0.1}
    if kind == "pits":
        settings |= {"patch_length_mm": 300, "patch_width_mm": 300}
    edit = reading_edit(book, STAMP, place, kind, values, finding=finding, **(settings | more))
    return after(book, edit, STAMP)[0]


def verdict(book: Book) -> Verdict:
    told = Verdicts(book, CHECKLISTS).of(book.findings["1"])
    assert told is not None
    return told


def test_twelve_patches_speak_for_the_plate(book: Book, checklists: Checklists, clock: SteppingClock) -> None:
    book, _ = surveyed(book, checklists, clock)
    for depth in DEEPEST:
        book = measured(book, "pits", [depth, depth / 2])
    judged = Verdicts(book, checklists).fields["p1"]
    assert judged.estimate is not None
    assert judged.estimate.sample.count == 12
    assert judged.estimate.unseen_patches == pytest.approx(88)
    assert judged.hole_chance_later is not None
    assert judged.estimate.hole_probability_cautious is not None
    assert judged.hole_chance_later > judged.estimate.hole_probability_cautious
    action = next(one for one in worklist(book, checklists).actions if one.key == "field/p1/unseen")
    letter = LIMITS[HullMetal.ALUMINIUM].letter(judged.hole_chance_later)
    assert action.likelihood is not None
    assert action.likelihood.rank <= letter.rank
    assert "by lot" in action.what, "patches at findings were looked for"
    assert "no depth is named for the rest" in action.what


def test_numbers_raise_what_was_written_and_never_lower_it(
    book: Book, checklists: Checklists, clock: SteppingClock
) -> None:
    book, _ = surveyed(book, checklists, clock)
    finding = book.findings["1"].model_copy(
        update={"severity": Severity.NEGLIGIBLE, "likelihood": Likelihood.E, "kind": "pitting"}
    )
    book = after(book, edits.change_finding(finding), STAMP)[0]
    deep = measured(book, "pits", [3.0])
    action = next(one for one in worklist(deep, checklists).actions if one.chalk == 1)
    assert action.severity is Severity.CRITICAL
    assert action.likelihood is not None
    assert action.likelihood.rank <= Likelihood.C.rank
    assert action.tier is Tier.BEFORE_AFLOAT
    assert "build up the pits by welding" in action.what
    assert "3 of 5 mm" in action.what
    grave = finding.model_copy(update={"severity": Severity.CATASTROPHIC, "likelihood": Likelihood.A})
    shallow = measured(after(book, edits.change_finding(grave), STAMP)[0], "pits", [0.2])
    action = next(one for one in worklist(shallow, checklists).actions if one.chalk == 1)
    assert (action.severity, action.likelihood) == (Severity.CATASTROPHIC, Likelihood.A)


def test_afloat_the_verdict_warns_of_sinking_and_of_hot_work(
    book: Book, checklists: Checklists, clock: SteppingClock
) -> None:
    book, _ = surveyed(book, checklists, clock)
    book = measured(book, "pits", [3.0])
    assert "sinking" not in {caution.id for caution in verdict(book).cautions}
    book = after(book, edits.float_or_haul(book, FloatState.AFLOAT, STAMP.when.date()), STAMP)[0]
    told = verdict(book)
    assert told.treatment is Treatment.ASK, "afloat nobody welds a pit"
    assert {"sinking", "toxic-dust"} <= {caution.id for caution in told.cautions}
    assert any(name == "CAUTION" for name, _ in verdict(book).lines())


def test_a_plate_thinner_than_required_asks_for_new_plate(
    book: Book, checklists: Checklists, clock: SteppingClock
) -> None:
    book, _ = surveyed(book, checklists, clock)
    book = measured(book, "thickness", [3.4, 3.5, 3.3])
    told = verdict(book)
    assert told.strength is not None
    assert told.strength.id == "under-required"
    keys = [one.key for one in worklist(book, checklists).actions]
    assert "field/p1/strength" not in keys, "the finding says it already"
    alone = measured(surveyed(book, checklists, clock)[0], "thickness", [3.4], at_finding=False)
    alone = replace(alone, tables={**alone.tables, "findings": {}})
    assert "field/p1/strength" in [one.key for one in worklist(alone, checklists).actions]


def test_what_is_missing_is_named(book: Book, checklists: Checklists, clock: SteppingClock) -> None:
    book, _ = surveyed(book, checklists, clock, alloy="", panel_width_mm=None, area_m2=None)
    book = measured(measured(book, "thickness", [4.8]), "pits", [1.0])
    judged = Verdicts(book, checklists).fields["p1"]
    assert judged.required.why_not == "not worked out, missing: alloy, panel width (mm)"
    assert "area" in judged.estimate_missing
    assert verdict(book).strength is not None


def test_dirty_readings_and_those_before_a_repair_are_not_judged(
    book: Book, checklists: Checklists, clock: SteppingClock
) -> None:
    book, _ = surveyed(book, checklists, clock)
    dirty = measured(book, "pits", [3.0], clean_metal=False)
    assert Verdicts(dirty, checklists).of(dirty.findings["1"]) is None
    book = measured(book, "pits", [3.0])
    later = replace(STAMP, when=STAMP.when.replace(hour=STAMP.when.hour + 2))
    finding = book.findings["1"]
    book = after(book, edits.move_finding(book, later, finding, Status.DECIDED, "", Treatment.INSERT_PLATE), later)[0]
    book = after(book, edits.move_finding(book, later, book.findings["1"], Status.REPAIRED), later)[0]
    assert Verdicts(book, checklists).of(book.findings["1"]) is None


def test_a_deep_pit_that_belongs_to_no_finding_gets_into_the_list(
    book: Book, checklists: Checklists, clock: SteppingClock
) -> None:
    book, _ = surveyed(book, checklists, clock)
    book = measured(book, "pits", [2.6], at_finding=False)
    action = next(one for one in worklist(book, checklists).actions if one.key == "field/p1/loose")
    assert "chalk its number" in action.what


def test_paint_under_the_probe_is_taken_off(book: Book, checklists: Checklists, clock: SteppingClock) -> None:
    book, _ = surveyed(book, checklists, clock)
    book = measured(book, "thickness", [5.9], method="ultrasonic through paint", paint_mm=0.5)
    judged = Verdicts(book, checklists).fields["p1"]
    assert judged.loss is not None
    assert judged.loss.left_mm == pytest.approx(5.9 - 0.5 * 2.36)


def later_round(book: Book) -> Book:
    stamp = replace(STAMP, when=STAMP.when.replace(year=STAMP.when.year + 1))
    return after(book, edits.open_round(book, stamp, "next year"), stamp)[0]


def test_metal_does_not_grow_back_in_a_new_round(book: Book, checklists: Checklists, clock: SteppingClock) -> None:
    book, _ = surveyed(book, checklists, clock)
    book = measured(measured(book, "pits", [4.0]), "thickness", [4.2])
    again = measured(measured(later_round(book), "pits", [0.5]), "thickness", [4.9])
    told = verdict(again)
    assert told.facts.deepest_mm == 4.0
    assert told.facts.mean_mm == pytest.approx(4.2)
    judged = Verdicts(again, checklists).fields["p1"]
    assert any("does not grow back" in warning for warning in judged.warnings)


def test_paint_over_a_thin_plate_does_not_make_it_thick(
    book: Book, checklists: Checklists, clock: SteppingClock
) -> None:
    book, _ = surveyed(book, checklists, clock)
    book = measured(book, "thickness", [3.3])
    finding = book.findings["1"]
    book = after(book, edits.move_finding(book, STAMP, finding, Status.DECIDED, "", Treatment.CLEAN_AND_COAT), STAMP)[
        0
    ]
    book = after(book, edits.move_finding(book, STAMP, book.findings["1"], Status.REPAIRED), STAMP)[0]
    assert verdict(book).strength is not None
    assert verdict(book).thinned


def test_a_mean_does_not_hide_a_thin_spot(book: Book, checklists: Checklists, clock: SteppingClock) -> None:
    book, _ = surveyed(book, checklists, clock)
    rule = verdict(measured(book, "thickness", [5.0] * 8 + [1.0])).strength
    assert rule is not None
    assert (rule.id, rule.severity) == ("one-far-off", Severity.CRITICAL), "gauged again, and it stands until then"
    rule = verdict(measured(book, "thickness", [5.0] * 8 + [1.0, 1.2])).strength
    assert rule is not None
    assert rule.id == "thin-spot"


def test_a_thin_spot_of_a_later_round_is_not_forgotten(
    book: Book, checklists: Checklists, clock: SteppingClock
) -> None:
    """The round with the least mean is not the one with the thinnest spot."""
    book, _ = surveyed(book, checklists, clock)
    for later in ([5.0, 4.9, 5.0, 4.9, 1.2], [5.0, 4.9, 1.2, 1.3, 5.0]):
        again = measured(later_round(measured(book, "thickness", [4.2, 4.1, 4.2])), "thickness", later)
        told = verdict(again)
        assert told.facts.thinnest_mm == 1.2
        assert told.severity.rank <= Severity.CRITICAL.rank
        judged = Verdicts(again, checklists).fields["p1"].verdict
        assert judged is not None
        assert judged.facts.thinnest_mm == 1.2


def test_pits_in_thinned_plate_are_judged_from_its_surface(
    book: Book, checklists: Checklists, clock: SteppingClock
) -> None:
    book, _ = surveyed(book, checklists, clock)
    thin = measured(measured(book, "thickness", [3.0], at_finding=False), "pits", [1.5])
    assert verdict(thin).facts.left_mm == pytest.approx(1.5)
    chances = []
    for thickness in (5.0, 3.0):
        other = measured(book, "thickness", [thickness], at_finding=False)
        for depth in (1.0, 0.8, 1.1, 1.3, 0.9, 1.2, 0.7, 1.4):
            other = measured(other, "pits", [depth])
        chance = Verdicts(other, checklists).fields["p1"].hole_chance_later
        assert chance is not None
        chances.append(chance)
    assert chances[1] > 5 * chances[0]


def test_soft_metal_counts_as_holed_and_gets_into_the_list(
    book: Book, checklists: Checklists, clock: SteppingClock
) -> None:
    book, _ = surveyed(book, checklists, clock)
    for depth in (1.0, 0.8, 1.1, 1.3, 0.9):
        book = measured(book, "pits", [depth], at_finding=False)
    book = measured(book, "pits", [], soft=True, at_finding=False)
    judged = Verdicts(book, checklists).fields["p1"]
    assert judged.estimate is not None
    assert judged.estimate.sample.holed == 1
    assert "holed already" in judged.advice
    soft = next(one for one in worklist(book, checklists).actions if one.task is Task.READING)
    assert soft.tier is Tier.BEFORE_AFLOAT
    assert not soft.is_look, "a hole is a job, whether it has a number or not"


@pytest.mark.parametrize("kind", ["crack", "dent", "leakage", "fitting"])
def test_thickness_says_nothing_of_a_crack(
    book: Book, checklists: Checklists, clock: SteppingClock, kind: str
) -> None:
    book, _ = surveyed(book, checklists, clock)
    book = after(book, edits.change_finding(book.findings["1"].model_copy(update={"kind": kind})), STAMP)[0]
    book = measured(book, "thickness", [5.0])
    assert Verdicts(book, checklists).of(book.findings["1"]) is None


def test_paint_of_unknown_thickness_is_not_taken_for_metal(
    book: Book, checklists: Checklists, clock: SteppingClock
) -> None:
    book, _ = surveyed(book, checklists, clock)
    book = measured(book, "thickness", [5.2], method="ultrasonic through paint")
    judged = Verdicts(book, checklists).fields["p1"]
    assert judged.loss is None
    assert any("unknown thickness left out" in warning for warning in judged.warnings)


def test_a_plate_that_lost_nothing_is_not_condemned(book: Book, checklists: Checklists, clock: SteppingClock) -> None:
    book, _ = surveyed(book, checklists, clock, as_built_mm=3.5)
    rule = verdict(measured(book, "thickness", [3.5])).strength
    assert rule is not None
    assert (rule.id, rule.treatment) == ("nothing-lost", Treatment.ASK)


@pytest.mark.parametrize("head", [None, 0.0, 1.5])
def test_a_tank_needs_its_head_and_nothing_of_the_boat(
    book: Book, checklists: Checklists, clock: SteppingClock, head: float | None
) -> None:
    book, _ = surveyed(book, checklists, clock, region=PlateRegion.TANK, head_m=head)
    bare = book.boat.model_copy(update={"design_category": None, "displacement_kg": None})
    book = measured(after(book, edits.change_boat(bare), STAMP)[0], "thickness", [4.5])
    judged = Verdicts(book, checklists).fields["p1"]
    if head is None:
        assert judged.required.check is None
        assert "to the tank's top" in judged.required.why_not
        return
    # ISO 12215-5:2008: 10 kPa a metre, from an overflow at least 2 m above the tank's top.
    assert judged.required.check is not None
    assert judged.required.check.pressure.pressure_kpa == pytest.approx(10 * (head + 2.0))


@pytest.mark.parametrize(("overflow", "counted"), [(None, 2.0), (0.4, 2.0), (2.0, 2.0), (3.1, 3.1)])
def test_a_tank_counts_from_its_overflow_and_from_two_metres_at_least(
    book: Book, checklists: Checklists, clock: SteppingClock, overflow: float | None, counted: float
) -> None:
    book, _ = surveyed(book, checklists, clock, region=PlateRegion.TANK, head_m=0.8, overflow_m=overflow)
    required = Verdicts(measured(book, "thickness", [4.5]), checklists).fields["p1"].required
    assert required.check is not None
    assert required.check.pressure.pressure_kpa == pytest.approx(10 * (0.8 + counted))
    assert f"{counted:g} m on to its overflow" in str(required.working().lines())


@pytest.mark.parametrize("head", [0.1, 0.8, 6.0])
@pytest.mark.parametrize("shell", [PlateRegion.BOTTOM, PlateRegion.SIDE])
def test_plate_with_the_sea_on_one_face_and_a_tank_on_the_other_is_held_against_both(
    book: Book, checklists: Checklists, clock: SteppingClock, shell: PlateRegion, head: float
) -> None:
    """As tank that is shell and as shell that is tank: the same, and the greater of the two."""
    required: dict[str, float] = {}
    cases: dict[str, dict[str, Any]] = {
        "tank": {"region": PlateRegion.TANK, "head_m": head},
        "sea": {"region": shell},
        "both": {"region": PlateRegion.TANK, "head_m": head, "shell": shell},
        "turned": {"region": shell, "head_m": head},
    }
    for name, more in cases.items():
        there, _ = surveyed(book, checklists, clock, **more)
        check = Verdicts(measured(there, "thickness", [4.5]), checklists).fields["p1"].required.check
        assert check is not None
        required[name] = check.required_mm
    assert required["both"] == required["turned"] == max(required["tank"], required["sea"])


def test_readings_without_a_plate_s_thickness_break_nothing(
    book: Book, checklists: Checklists, clock: SteppingClock
) -> None:
    book, _ = surveyed(book, checklists, clock, as_built_mm=None, as_built_from=None)
    for depth in (1.0, 0.8, 1.1, 1.3, 0.9):
        book = measured(book, "pits", [depth])
    book = measured(book, "pits", [], holed_through=1)
    judged = Verdicts(book, checklists).fields["p1"]
    assert "give that too" in judged.estimate_missing
    assert worklist(book, checklists).actions


def test_the_owner_may_decide_otherwise_and_both_are_shown(
    book: Book, checklists: Checklists, clock: SteppingClock
) -> None:
    from inspect_tui.domain.records import Override
    from inspect_tui.handover.report import make_report
    from inspect_tui.handover.writers.text import write_text

    book, _ = surveyed(book, checklists, clock)
    book = measured(book, "pits", [3.0])
    own = Override(treatment=Treatment.FILL, reason="the yard saw it", when=STAMP.when, by="Mattis")
    finding = book.findings["1"].model_copy(update={"override": own})
    book = after(book, edits.change_finding(finding), STAMP)[0]
    action = next(one for one in worklist(book, checklists).actions if one.chalk == 1)
    assert "By the numbers: weld up" in action.why
    assert "The owner decided otherwise: fill, the yard saw it" in action.why
    report = make_report(Judged(book, checklists))
    told = write_text(report)
    assert "By the numbers: weld up" in told
    assert "own decision" in told
    assert "the yard saw it" in told
    limits = LIMITS[HullMetal.ALUMINIUM]
    assert limits.file in told
    assert limits.digest in told


def test_the_demo_rests_on_verdicts_and_never_says_safe() -> None:
    book = demo()
    everything = Judged(book, CHECKLISTS)
    listed = everything.worklist
    judged = [action for action in listed.actions if action.verdict is not None]
    assert len(judged) > 8
    for action in judged:
        assert action.verdict is not None
        words = " ".join(text for _, text in action.verdict.lines())
        assert "safe" not in words.lower()
        assert "ource" in words
    for field in everything.verdicts.fields.values():
        assert "safe" not in " ".join(text for _, text in field.lines()).lower()
