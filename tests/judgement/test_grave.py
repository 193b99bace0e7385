"""What once was told wrongly, and could have sunk her or killed somebody: each as a kind, not as the one example."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from itertools import combinations
from typing import Any

import pytest

from inspect_tui.domain import edits, walk
from inspect_tui.domain.book import Book, Edit, Stamp, after
from inspect_tui.domain.knowledge.areas import By
from inspect_tui.domain.knowledge.entry import Opening
from inspect_tui.domain.knowledge.kinds import Kind
from inspect_tui.domain.knowledge.launch import Phase
from inspect_tui.domain.knowledge.named import Kinds
from inspect_tui.domain.records import GoesBack, PartKind, PartOut
from inspect_tui.domain.words import (
    Face,
    FloatState,
    Likelihood,
    Need,
    Said,
    Severity,
    Status,
    Step,
    Tier,
    Treatment,
    UnseenReason,
    Who,
)
from inspect_tui.errors import NotAllowed
from inspect_tui.judgement.causes.eaten import known_at
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.work.action import Action, Task
from inspect_tui.judgement.work.completion import complete, sign
from inspect_tui.judgement.work.order import lie_near
from inspect_tui.judgement.work.worklist import Worklist, count_words
from inspect_tui.store.book_file import open_book
from inspect_tui.store.checklist_files import load_checklists, shipped
from tests.conftest import (
    START,
    SteppingClock,
    finding_edit,
    new_book_edit,
    place_called,
    prompt_called,
    reading_edit,
    with_finding,
)

CHECKLISTS = load_checklists()
STAMP = Stamp(START, "Mattis")
DAY = timedelta(days=1)


def her(state: FloatState = FloatState.HAULED_OUT, **more: Any) -> Book:
    areas = list(CHECKLISTS.areas.values())
    return after(Book.empty(), new_book_edit(CHECKLISTS, STAMP, float_state=state, areas=areas, **more), STAMP)[0]


def do(book: Book, edit: Edit, when: datetime = START) -> Book:
    return after(book, edit, Stamp(when, "Mattis"))[0]


def found(book: Book, area: str, kind: str, **more: Any) -> Book:
    return do(book, finding_edit(book, STAMP, place_called(book, area), kind=kind, **more))


def listed(book: Book, now: datetime | None = None) -> Worklist:
    return Judged(book, CHECKLISTS, now).worklist


def of(book: Book, chalk: int) -> list[Action]:
    return [action for action in listed(book).actions if action.chalk == chalk]


def say(book: Book, key: str, said: Said, reason: UnseenReason | None = None, when: datetime = START) -> Book:
    """A question answered; one that readings answer, by a reading."""
    place, prompt = prompt_called(CHECKLISTS, book, key)
    stamp = Stamp(when, "Mattis")
    if prompt.by is By.GAUGE and said is Said.SOUND:
        return do(book, reading_edit(book, stamp, place, prompt.measure[0], [5.0], prompt=key), when)
    return do(book, edits.say(book, stamp, place, prompt, said, reason=reason), when)


def signed(book: Book, action: Action, when: datetime) -> Book:
    return do(book, complete(book, Stamp(when, "Liv"), action, edits.Repair(signed="Liv")), when)


# --- the waterline
# ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("area", ["cockpit", "hull-sides", "transom", "deck", "bonded-timber", "stem", "wheelhouse"])
@pytest.mark.parametrize("face", [Face.INSIDE, Face.OUTSIDE])
@pytest.mark.parametrize("afloat", [True, False])
def test_a_finding_never_ranks_below_its_own_readings(area: str, face: Face, afloat: bool) -> None:
    book = her(FloatState.AFLOAT if afloat else FloatState.HAULED_OUT)
    place = place_called(book, area)
    loose = do(book, reading_edit(book, STAMP, place, "pits", [], holed_through=1))
    by_reading = next(one for one in listed(loose).actions if one.task is Task.READING)
    for kind in (Kinds.HOLE, Kinds.PITTING, Kinds.CREVICE):
        book = found(book, area, kind, severity=Severity.NEGLIGIBLE, likelihood=Likelihood.E)
        chalk = book.next_number("findings") - 1
        finding = book.findings[str(chalk)]
        moved = finding.model_copy(update={"position": finding.position.model_copy(update={"face": face})})
        book = do(book, edits.change_finding(moved))
        book = do(book, reading_edit(book, STAMP, place, "pits", [], finding=moved, holed_through=1))
        assert min(one.tier.rank for one in of(book, chalk)) <= by_reading.tier.rank


@pytest.mark.parametrize("key", ["cockpit/drain-tubes", "hull-sides/waterline-band", "cockpit/scuppers"])
def test_what_lies_at_the_waterline_bars_floating_whatever_its_place_is_counted_as(key: str) -> None:
    book = with_finding(her(), CHECKLISTS, STAMP, key, kind="hole", severity=Severity.MARGINAL)
    assert of(book, 1)[0].tier is Tier.BEFORE_AFLOAT
    assert of(book, 1)[0].below


@pytest.mark.parametrize("key", ["stem/stemhead-bolts", "chain-locker/spurling-pipe", "fuel-tank/vent-fill"])
def test_what_lies_on_deck_is_no_risk_below_the_waterline(key: str) -> None:
    book = with_finding(her(), CHECKLISTS, STAMP, key, kind="two-metals", severity=Severity.CRITICAL)
    assert not any("under or near water" in one.why for one in of(book, 1))


# --- opened and closed
# -----------------------------------------------------------------------------------------------

OPENERS = [
    (prompt.key, opening)
    for prompt in CHECKLISTS.prompts.values()
    for opening in prompt.leaves_open
    if walk.applies(prompt.applies, her().boat)
]


@pytest.mark.parametrize(("key", "opening"), OPENERS)
@pytest.mark.parametrize("said", [Said.SOUND, Said.FINDING])
def test_what_a_question_opens_is_a_line_until_somebody_signs_it(key: str, opening: Opening, said: Said) -> None:
    book = say(her(), key, said)
    closing = next(one for one in listed(book).actions if one.task is Task.CLOSE and one.detail == opening)
    assert closing.tier is Tier.BEFORE_AFLOAT
    assert closing in listed(book).barring
    with pytest.raises(NotAllowed, match="name"):
        complete(book, STAMP, closing, edits.Repair("closed"))
    shut = signed(book, closing, START + DAY)
    assert shut.last_done[closing.key].signed == "Liv"
    assert closing.key not in listed(shut).by_key
    again = say(shut, key, said, when=START + 2 * DAY)
    assert closing.key in listed(again).by_key, "opened again, it is open again"
    afloat = do(book, edits.float_or_haul(book, FloatState.AFLOAT, START.date()))
    sea = "opens" in [one.value for one in CHECKLISTS.prompts[key].does] and closing.below
    assert (listed(afloat).by_key[closing.key].tier is Tier.NOW) is sea


@pytest.mark.parametrize("said", [Said.UNSEEN, Said.NOT_FITTED])
def test_what_was_not_looked_at_was_not_opened(said: Said) -> None:
    reason = UnseenReason.NO_TIME if said is Said.UNSEEN else None
    book = say(her(), "hollow-keel/drain-plug", said, reason)
    assert not [one for one in listed(book).actions if one.task is Task.CLOSE]


def test_a_test_a_cure_and_a_repair_that_open_something_are_closed_too() -> None:
    book = found(her(), "stem", "pitting")
    ticked = do(book, edits.tick_sign(book.findings["1"], "grey-paste", True))
    assert {one.detail for one in listed(ticked).actions if one.task is Task.CLOSE} == {"fitting"}
    book = found(her(), "stem", "two-metals")
    moved = edits.move_finding(book, STAMP, book.findings["1"], Status.REPAIRED, "sleeved")
    assert [one.detail for one in listed(do(book, moved)).actions if one.task is Task.CLOSE] == ["fitting"]
    cure = next(one for one in CHECKLISTS.causes.causes.values() if one.leaves_open)
    place = place_called(book, "stem").id
    done = edits.mark_done(STAMP, f"cure/{cure.id}/{place}", "cured", edits.Repair())
    assert [one.task for one in listed(do(her(), done)).actions if one.task is Task.CLOSE]


def test_what_was_taken_out_is_put_back_or_stands_in_the_list() -> None:
    book = her()
    place = place_called(book, "skin-fittings")
    for number, (what, back) in enumerate(((PartKind.FITTING, GoesBack.AFTER), (PartKind.SOLE, GoesBack.BEFORE)), 1):
        part = PartOut(
            id=f"t{number}", what=what, words=f"part {number}", compartment=place.id, lies="shed", bag=str(number),
            back=back, when=START, by="Mattis",
        )  # fmt: skip
        book = do(book, edits.take_out_part(part))
    valve, sole = (listed(book).by_key[f"refit/t{number}"] for number in (1, 2))
    assert (valve.tier, sole.tier) == (Tier.BEFORE_AFLOAT, Tier.BEFORE_SAILING)
    assert valve.sealing
    assert not sole.sealing
    assert "bag 1" in valve.what
    assert "shed" in valve.what
    assert (valve.step, sole.step) == (Step.REFIT, Step.TIGHTNESS), "beside the paint"
    assert valve.key not in listed(signed(book, valve, START + DAY)).by_key
    with pytest.raises(NotAllowed, match="where"):
        edits.take_out_part(replace_part(book.parts["t1"], lies=" "))


def replace_part(part: PartOut, **fields: Any) -> PartOut:
    return part.model_copy(update=fields)


# --- the launch
# ------------------------------------------------------------------------------------------------------


def test_the_launch_list_is_there_for_a_boat_that_is_all_sound_and_each_line_is_signed_by_itself() -> None:
    book = her()
    lines = Judged(book, CHECKLISTS).launch
    assert {one.line.phase for one in lines} >= {Phase.BEFORE, Phase.SLINGS, Phase.NIGHT, Phase.LATER}
    launch = listed(book).by_key["launch"]
    assert set(launch.after) == {one.key for one in listed(book).barring}
    with pytest.raises(NotAllowed, match="line by line"):
        complete(book, STAMP, launch, edits.Repair(signed="Liv"))
    for one in lines:
        if one.line.hours:
            with pytest.raises(NotAllowed, match="not afloat"):
                sign(STAMP, one, "Liv")
            continue
        with pytest.raises(NotAllowed, match="name"):
            sign(STAMP, one, " ")
        before = [each for each in Judged(book, CHECKLISTS).launch if not each.open]
        book = do(book, sign(Stamp(START + DAY, "Liv"), one, "Liv"), START + DAY)
        assert len([each for each in Judged(book, CHECKLISTS).launch if not each.open]) == len(before) + 1
    assert "launch" not in listed(book).by_key


def test_dated_lines_fall_due_one_by_one_and_none_erases_another() -> None:
    book = do(her(), edits.float_or_haul(her(), FloatState.AFLOAT, START.date(), START))
    dated = {one.line.id: one for one in Judged(book, CHECKLISTS, START).launch if one.due}
    assert {one.line.hours for one in dated.values()} >= {1, 3, 12, 24, 168, 720}
    for hours in (0.5, 2, 13, 25, 169, 721):
        now = START + timedelta(hours=hours)
        for one in dated.values():
            action = listed(book, now).by_key[f"watch/{one.line.id}"]
            assert action.tier is (Tier.TODAY if one.line.hours and one.line.hours <= hours else Tier.WATCH)
    day = listed(book, START + DAY).by_key["watch/look-day"]
    looked = signed(book, day, START + DAY)
    left = set(listed(looked, START + 40 * DAY).by_key)
    assert "watch/look-day" not in left
    assert {"watch/look-week", "watch/look-month", "watch/potential-day"} <= left
    hauled = do(
        looked, edits.float_or_haul(looked, FloatState.HAULED_OUT, (START + 50 * DAY).date(), START + 50 * DAY)
    )
    assert "watch/look-haul" in listed(hauled, START + 51 * DAY).by_key
    again = edits.float_or_haul(hauled, FloatState.AFLOAT, (START + 60 * DAY).date(), START + 60 * DAY)
    assert "watch/look-day" in listed(do(hauled, again), START + 60 * DAY).by_key, "the next launch begins anew"


def test_a_boat_afloat_since_the_book_began_was_not_launched() -> None:
    assert not Judged(her(FloatState.AFLOAT), CHECKLISTS).launch


def test_a_watch_that_an_older_book_ticked_is_the_first_look_and_no_more() -> None:
    book = do(her(), edits.float_or_haul(her(), FloatState.AFLOAT, START.date(), START))
    old = do(book, edits.mark_done(Stamp(START + DAY, "Mattis"), "watch", "Once afloat", edits.Repair()), START + DAY)
    left = set(listed(old, START + DAY).by_key)
    assert "watch/look-day" not in left
    assert "watch/look-week" in left


# --- harm to people, evidence, air
# -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "word"), [("asbestos", "whole"), ("mercury", "Keep out"), ("live-hull", "Touch no metal")]
)
@pytest.mark.parametrize("afloat", [True, False])
def test_what_harms_people_is_now_and_is_not_touched(kind: str, word: str, afloat: bool) -> None:
    book = found(her(FloatState.AFLOAT if afloat else FloatState.HAULED_OUT), "engine", kind)
    first = of(book, 1)[0]
    assert first.tier is Tier.NOW
    assert word in first.what
    assert first.doing is not None
    assert kind == "live-hull" or first.doing.cautions


@pytest.mark.parametrize("sign_id", ["feather-growth", "broken-glass-instrument"])
@pytest.mark.parametrize("kind", ["pitting", "coating", "stray-metal"])
def test_a_sign_of_mercury_makes_any_finding_one_of_mercury(kind: str, sign_id: str) -> None:
    book = found(her(), "stem", kind)
    book = do(book, edits.tick_sign(book.findings["1"], sign_id, True))
    assert all(one.tier is Tier.NOW and "no vacuum" in one.what for one in of(book, 1))


def test_loose_metal_is_lifted_only_where_no_mercury_or_vapour_is() -> None:
    book = found(her(), "stem", "stray-metal")
    assert re.search("no mercury, gas or petrol vapour", of(book, 1)[0].what)
    assert of(book, 1)[0].tier is Tier.TODAY


@pytest.mark.parametrize("kind", [kind.id for kind in CHECKLISTS.kinds.values() if kind.record])
def test_what_cleaning_would_lose_is_recorded_first(kind: str) -> None:
    book = found(her(), "stem", kind)
    record = next(one for one in of(book, 1) if one.task is Task.RECORD)
    assert record.step is Step.RECORD
    assert not record.does
    assert not [one for one in of(book, 1) if one.step is Step.CLEAN and one.task is Task.FINDING]
    book = do(book, complete(book, STAMP, record, edits.Repair()))
    assert book.findings["1"].status is Status.FOUND, "recording is no step of the metal"
    assert record.key not in listed(book).by_key


def test_samples_are_taken_before_a_place_is_washed() -> None:
    for area in CHECKLISTS.areas.values():
        if re.search(r"wash|degrease|rinse|wiped", area.clear):
            before = re.split(r"wash|degrease|rinse|wiped", area.clear)[0]
            assert re.search("sample", before, re.IGNORECASE), f"{area.id}: {area.clear}"


def test_every_closed_place_asks_its_air_first_and_holds_what_lies_inside() -> None:
    book = her()
    closed = [area for area in CHECKLISTS.areas.values() if area.enclosed]
    assert {area.id for area in closed} >= {
        "chain-locker",
        "fuel-tank",
        "water-tank",
        "hollow-keel",
        "bulkheads",
        "lazarette",
    }
    for area in closed:
        place = place_called(book, area.id)
        prompts = walk.prompts_of(CHECKLISTS, book, place)
        assert walk.asks_air(CHECKLISTS, place, prompts[0])
        assert {"oxygen", "vapour", "hydrogen-sulphide", "carbon-monoxide"} <= set(prompts[0].measure)
        inside = [one for one in prompts if Need.GAS_FREE in walk.needs_of(CHECKLISTS, place, one)]
        assert len(inside) >= 6, f"{area.id}: what is asked everywhere is inside too"
        for prompt in inside:
            bar = walk.bar_of(CHECKLISTS, book.boat, place, prompt)
            assert bar is not None
            with pytest.raises(NotAllowed, match=r"air|afloat"):
                edits.say(book, STAMP, place, prompt, Said.SOUND, bar=bar)
            assert walk.bar_of(CHECKLISTS, book.boat, place, prompt, set(Need)) is None
        shut = do(book, edits.shut_off(book, STAMP, CHECKLISTS, place))
        reasons = {
            answer.reason
            for one in inside
            if not one.glance and (answer := walk.answer_of(shut, place.id, one.key)) is not None
        }
        assert reasons == {UnseenReason.UNSAFE_AIR}
        assert not any(walk.is_open(shut, place, one) for one in inside if not one.glance)


@pytest.mark.parametrize("need", list(Need))
def test_every_need_is_held_and_names_its_own_reason(need: Need) -> None:
    book = her(FloatState.AFLOAT)
    held = 0
    for place in book.bow_to_stern():
        for prompt in walk.prompts_of(CHECKLISTS, book, place):
            if need not in prompt.needs:
                continue
            bar = walk.bar_of(CHECKLISTS, book.boat, place, prompt, set(Need) - {need})
            others_met = need is not Need.HAULED_OUT and Need.HAULED_OUT in prompt.needs
            assert bar is not None
            if bar.finding:
                assert need is Need.POWER_ISOLATED, "while she floats that waits for the haul-out first"
                continue
            assert bar.need is (Need.HAULED_OUT if others_met else need)
            edits.say(book, STAMP, place, prompt, Said.UNSEEN, reason=bar.reason, bar=bar)
            edits.say(book, STAMP, place, prompt, Said.NOT_FITTED, bar=bar)
            wrong = next(reason for reason in UnseenReason if reason is not bar.reason)
            for said, reason in ((Said.SOUND, None), (Said.FINDING, None), (Said.UNSEEN, wrong)):
                with pytest.raises(NotAllowed):
                    edits.say(book, STAMP, place, prompt, said, reason=reason, bar=bar)
            held += 1
    assert held >= 5


@pytest.mark.parametrize(("kind", "bad", "good"), [("hydrogen-sulphide", 5.0, 4.0), ("carbon-monoxide", 25.0, 3.0)])
def test_toxic_gas_is_a_reading_that_keeps_people_out(kind: Any, bad: float, good: float) -> None:
    book = her()
    place, prompt = prompt_called(CHECKLISTS, book, "chain-locker/air")
    gassed = do(book, reading_edit(book, STAMP, place, kind, [bad], prompt=prompt.key))
    action = next(one for one in listed(gassed).actions if one.task is Task.READING)
    assert action.tier is Tier.NOW
    assert not action.is_look
    aired = do(book, reading_edit(book, STAMP, place, kind, [good], prompt=prompt.key))
    assert not [one for one in listed(aired).actions if one.task is Task.READING]


def test_an_anode_outside_cures_no_pit_inside() -> None:
    for area, face in (
        ("fuel-tank", None),
        ("water-tank", Face.OUTSIDE),
        ("cabin-bilge", Face.INSIDE),
        ("deck", None),
    ):
        book = found(her(), area, "pitting")
        finding = book.findings["1"].model_copy(
            update={"position": book.findings["1"].position.model_copy(update={"face": face})}
        )
        judged = Judged(do(book, edits.change_finding(finding)), CHECKLISTS)
        known = known_at(judged.book, CHECKLISTS, judged.gathering, finding).causes
        assert not [cause.id for cause in known.values() if cause.sea_side], (area, face)
    book = found(her(), "cabin-bilge", "pitting")
    outside = book.findings["1"].model_copy(
        update={"position": book.findings["1"].position.model_copy(update={"face": Face.OUTSIDE})}
    )
    judged = Judged(do(book, edits.change_finding(outside)), CHECKLISTS)
    assert "unprotected" in known_at(judged.book, CHECKLISTS, judged.gathering, outside).causes


# --- order
# -----------------------------------------------------------------------------------------------------------


def test_nothing_is_painted_before_what_is_welded_next_door() -> None:
    book = her()
    frames = {"head": (14.0, 16.0), "cabin-bilge": (15.0, 18.0), "stem": (0.0, 2.0)}
    for area, (start, end) in frames.items():
        place = place_called(book, area).model_copy(update={"frame_from": start, "frame_to": end})
        book = do(book, edits.change_compartment(place))
    coat = Treatment.CLEAN_AND_COAT
    for area, treatment in (("head", Treatment.INSERT_PLATE), ("cabin-bilge", coat), ("stem", coat)):
        book = found(book, area, "pitting", severity=Severity.CRITICAL)
        newest = book.findings[str(book.next_number("findings") - 1)]
        book = do(book, edits.move_finding(book, STAMP, newest, Status.DECIDED, "so", treatment))
    weld, near, far = (of(book, chalk)[0] for chalk in (1, 2, 3))
    assert weld.key in near.after
    assert weld.key not in far.after
    assert lie_near(book.compartments[place_called(book, "head").id], place_called(book, "engine")), "unknown is near"


def test_fittings_come_off_before_the_paint_and_go_back_after_it() -> None:
    for kind in ("two-metals", "fitting"):
        book = found(found(her(), "stem", kind), "stem", "coating", severity=Severity.CRITICAL)
        for chalk in (1, 2):
            recording = [one for one in of(book, chalk) if one.task is Task.RECORD]
            book = do(book, complete(book, STAMP, recording[0], edits.Repair())) if recording else book
        assert of(book, 1)[-1].key in of(book, 2)[-1].after
    book = found(say(her(), "head/under-base", Said.SOUND), "head", "coating", severity=Severity.CRITICAL)
    record = next(one for one in of(book, 1) if one.task is Task.RECORD)
    book = do(book, complete(book, STAMP, record, edits.Repair()))
    back = next(one for one in listed(book).actions if one.task is Task.CLOSE and one.detail == "fitting")
    assert of(book, 1)[0].key in back.after


@pytest.mark.parametrize("kind", ["leakage", "wiring"])
def test_a_breaker_comes_before_any_search_and_afloat_a_second_pump_before_the_breaker(kind: str) -> None:
    ashore = found(her(), "electrics", kind, severity=Severity.CRITICAL)
    ashore = found(ashore, "sump", "pitting", severity=Severity.CATASTROPHIC, likelihood=Likelihood.A)
    order = [action.key for action in listed(ashore).actions]
    assert order.index("once/1/") < order.index("cause")
    assert listed(ashore).by_key["once/1/"].tier is Tier.TODAY
    assert "pump" not in listed(ashore).by_key
    afloat = found(her(FloatState.AFLOAT), "electrics", kind, severity=Severity.CRITICAL)
    assert "pump" in listed(afloat).by_key["once/1/"].after
    pump = listed(afloat).by_key["pump"]
    proved = do(afloat, complete(afloat, STAMP, pump, edits.Repair("bucket in, heard on deck")))
    assert "pump" not in listed(proved).by_key
    assert "once/1/" in listed(proved).by_key


# --- what is not told apart
# ------------------------------------------------------------------------------------------


def test_the_demo_is_spread_over_the_tiers_and_what_is_to_look_at_is_counted_apart() -> None:
    book = open_book(shipped("demo") / "sandmartin.hullbook", SteppingClock(), "x", write=False).book
    told = listed(book)
    assert not {one.task for job in told.jobs for one in job.actions} & {Task.OPEN, Task.WALK, Task.SETTLE}
    barring = [job for job in told.jobs if job.tier is Tier.BEFORE_AFLOAT]
    assert len(barring) < 0.6 * len(told.jobs)
    assert len({job.tier for job in told.jobs}) >= 6
    first = [job.tier for job in told.jobs[:6]]
    assert first == sorted(first, key=lambda tier: tier.rank)
    places = sum(job.places for job in told.jobs)
    assert count_words(told) == f"{len(told.jobs)} jobs at {places} places · {len(told.looks)} still to look at"


def test_what_bars_floating_is_counted_by_the_same_words_as_the_whole() -> None:
    told = listed(open_book(shipped("demo") / "sandmartin.hullbook", SteppingClock(), "x", write=False).book)
    for until in Tier:
        jobs = [job for job in told.jobs if job.tier.rank <= until.rank]
        looks = [one for one in told.looks if one.tier.rank <= until.rank]
        said = count_words(told, until)
        assert said.startswith(f"{len(jobs)} job")
        assert f"at {sum(job.places for job in jobs)} place" in said
        assert said.endswith(f"{len(looks)} still to look at")
    assert len(told.barring) == sum(one.tier.rank <= Tier.BEFORE_AFLOAT.rank for one in told.actions) - 1


def test_an_anode_within_her_is_no_job_with_one_outside() -> None:
    book = found(found(her(FloatState.HAULED_OUT), "stem", "anode"), "sump", "anode")
    assert sorted(job.numbers for job in listed(book).jobs if job.numbers) == [[1], [2]]


ALIKE = sorted({kind.id for kind in CHECKLISTS.kinds.values() if kind.alike})


@pytest.mark.parametrize("kind", ALIKE)
@pytest.mark.parametrize("afloat", [True, False])
def test_what_is_alike_is_one_job_with_its_places(kind: str, afloat: bool) -> None:
    book = her(FloatState.AFLOAT if afloat else FloatState.HAULED_OUT)
    # What lies within her is another job than what lies outside.
    for area in (("chain-locker" if CHECKLISTS.kinds[kind].within else "stem"), "sump", "galley"):
        book = found(book, area, kind)
    jobs = [job for job in listed(book).jobs if job.numbers]
    assert all(job.numbers == [1, 2, 3] for job in jobs)
    assert all(job.places == 3 for job in jobs)
    done = (
        do(book, complete(book, STAMP, jobs[0].actions[0], edits.Repair()))
        if jobs[0].first.task is Task.RECORD
        else book
    )
    assert [job.numbers for job in listed(done).jobs if job.numbers]


@pytest.mark.parametrize(("one", "other"), list(combinations(sorted(CHECKLISTS.kinds), 2))[::7])
def test_what_is_of_two_kinds_is_never_one_job_but_in_steps_of_the_metal(one: str, other: str) -> None:
    book = found(found(her(), "stem", one), "sump", other)
    kinds: tuple[Kind, Kind] = (CHECKLISTS.kinds[one], CHECKLISTS.kinds[other])
    for job in listed(book).jobs:
        if len(job.numbers) > 1:
            assert job.first.task is Task.RECORD or job.first.doing in CHECKLISTS.works.values(), kinds


def test_contradictions_are_asked_about_until_they_are_settled() -> None:
    book = found(her(), "stem", "pitting")
    book = say(book, "everywhere/pits", Said.SOUND)
    settle = next(one for one in listed(book).actions if one.task is Task.SETTLE)
    assert "finding 1" in settle.what
    assert settle.is_look
    said = say(book, "everywhere/pits", Said.FINDING)
    assert settle.key not in listed(said).by_key
    withdrawn = do(book, edits.withdraw_finding(book, STAMP, book.findings["1"], "it was dirt"))
    assert settle.key not in listed(withdrawn).by_key
    both = do(book, complete(book, STAMP, settle, edits.Repair("both are so")))
    assert settle.key not in listed(both).by_key
    failing = her()
    place, prompt = prompt_called(CHECKLISTS, failing, "chain-locker/air")
    failing = do(failing, reading_edit(failing, STAMP, place, "oxygen", [17.0], prompt=prompt.key))
    failing = do(failing, edits.say(failing, STAMP, place, prompt, Said.SOUND))
    assert any("17" in one.what for one in listed(failing).actions if one.task is Task.SETTLE)


def test_nobody_is_asked_what_changed_before_there_was_anything() -> None:
    book = her()
    keys = {one.key for place in book.bow_to_stern() for one in walk.prompts_of(CHECKLISTS, book, place)}
    assert "everywhere/known" not in keys
    book = found(book, "stem", "pitting")
    assert book.known_places == frozenset()
    later = do(book, edits.open_round(book, Stamp(START + DAY, "Mattis"), "next year"), START + DAY)
    stem, sump = place_called(later, "stem"), place_called(later, "sump")
    assert "everywhere/known" in {one.key for one in walk.prompts_of(CHECKLISTS, later, stem)}
    assert "everywhere/known" not in {one.key for one in walk.prompts_of(CHECKLISTS, later, sump)}


# --- mistaken findings
# -----------------------------------------------------------------------------------------------


def test_a_mistaken_finding_is_withdrawn_with_its_reason_and_its_number_is_not_given_again() -> None:
    book = found(her(), "stem", "hole")
    with pytest.raises(NotAllowed, match="why"):
        edits.withdraw_finding(book, STAMP, book.findings["1"], " ")
    gone = do(book, edits.withdraw_finding(book, STAMP, book.findings["1"], "it was a drop of paint"))
    assert gone.findings["1"].status is Status.WITHDRAWN
    assert gone.findings["1"].history[-1].note == "it was a drop of paint"
    assert not of(gone, 1)
    assert gone.next_number("findings") == 2
    assert any("Withdrew" in change.words for change in gone.trail.values())


def test_two_that_are_one_are_merged_and_nothing_measured_is_lost() -> None:
    book = found(her(), "stem", "pitting", severity=Severity.CATASTROPHIC, likelihood=Likelihood.A)
    book = found(book, "stem", "pitting", severity=Severity.MARGINAL)
    place = place_called(book, "stem")
    book = do(book, reading_edit(book, STAMP, place, "pits", [2.0], finding=book.findings["1"]))
    with pytest.raises(NotAllowed, match="no other finding"):
        edits.merge_finding(book, STAMP, book.findings["1"], 1)
    merged = do(book, edits.merge_finding(book, STAMP, book.findings["1"], 2))
    assert merged.findings["1"].merged_into == 2
    assert not of(merged, 1)
    assert [one.finding for one in merged.readings.values()] == [2]
    kept = merged.findings["2"]
    assert (kept.severity, kept.likelihood) == (Severity.CATASTROPHIC, Likelihood.A), "the worse of the two"
    closed = do(merged, edits.move_finding(merged, STAMP, kept, Status.ACCEPTED, "left"))
    third = found(closed, "stem", "dent")
    with pytest.raises(NotAllowed, match="closed"):
        edits.merge_finding(third, STAMP, third.findings["3"], 2)


# --- holes
# ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("details", [{"holed_through": 2}, {"soft": True}])
@pytest.mark.parametrize("afloat", [True, False])
def test_a_hole_always_reaches_a_job(details: dict[str, Any], afloat: bool) -> None:
    book = her(FloatState.AFLOAT if afloat else FloatState.HAULED_OUT)
    place = place_called(book, "sump")
    loose = do(book, reading_edit(book, STAMP, place, "pits", [], **details))
    job = next(job for job in listed(loose).jobs if job.first.task is Task.READING)
    assert job.tier is (Tier.NOW if afloat else Tier.BEFORE_AFLOAT)
    assert job.first.who is (Who.OWNER if afloat else Who.WELDER)
    book = found(book, "sump", "pitting")
    closed = do(book, edits.move_finding(book, STAMP, book.findings["1"], Status.ACCEPTED, "left"))
    late = Stamp(START + DAY, "Mattis")
    read = do(
        closed, reading_edit(closed, late, place, "pits", [], finding=closed.findings["1"], **details), START + DAY
    )
    assert [job for job in listed(read).jobs if job.first.task is Task.READING], "closed, and holed since"


def test_a_held_line_is_not_ticked_off_and_the_work_appears_when_she_is_out() -> None:
    book = found(her(FloatState.AFLOAT), "sump", "hole")
    held = of(book, 1)[0]
    assert held.task is Task.HOLD
    with pytest.raises(NotAllowed, match="lifted out"):
        complete(book, STAMP, held, edits.Repair(signed="Liv"))
    out = do(book, edits.float_or_haul(book, FloatState.HAULED_OUT, START.date(), START))
    assert [one.task for one in of(out, 1)] == [Task.RECORD]
