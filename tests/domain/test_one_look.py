"""What one look may answer, what it never may, and that everything is asked where it says no: over every prompt."""

from __future__ import annotations

import dataclasses
from itertools import product

import pytest

from inspect_tui.domain import edits, walk
from inspect_tui.domain.boat_words import TOLD_ONLY, BoatType, Feature
from inspect_tui.domain.book import Book, Edit, Put, Stamp, after
from inspect_tui.domain.knowledge.areas import By, Prompt
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.walking import turns
from inspect_tui.domain.walking.triage import answered_by_look, may_stand_for
from inspect_tui.domain.words import FloatState, HullMetal, Need, Rig, Said, Severity, UnseenReason
from inspect_tui.errors import NotAllowed
from inspect_tui.store.checklist_files import load_checklists
from inspect_tui.terminal.screens.boat.start import fits, usual
from tests.conftest import IDENTITY, START, finding_edit, new_book_edit, reading_edit

STAMP = Stamp(START, "Mattis")
CHECKLISTS = load_checklists()
ALL_NEEDS = tuple(Need)
STATES = list(product(FloatState, HullMetal, BoatType))


def her(
    state: FloatState = FloatState.HAULED_OUT,
    metal: HullMetal = HullMetal.ALUMINIUM,
    built_as: BoatType = BoatType.YACHT,
) -> Book:
    """A boat with one compartment of every area, and everything that a boat can have; jets and a keel cooler,
    which do away with what else drives and cools, on a workboat."""
    features = dict.fromkeys(Feature, True)
    features |= dict.fromkeys((Feature.WATER_JET, Feature.KEEL_COOLER), built_as is BoatType.WORKBOAT)
    edit = new_book_edit(
        CHECKLISTS, STAMP, areas=list(CHECKLISTS.areas.values()), rig=Rig.SAIL, hull_metal=metal,
        float_state=state, built_as=built_as, features=features,
    )  # fmt: skip
    return after(Book.empty(), edit, STAMP)[0]


def do(book: Book, edit: Edit) -> Book:
    return after(book, edit, STAMP)[0]


def asked_of(book: Book, place: Compartment) -> dict[str, Prompt]:
    return {prompt.key: prompt for prompt in walk.prompts_of(CHECKLISTS, book, place)}


def seen(book: Book, place: Compartment, percent: float = 100) -> Book:
    share = asked_of(book, place).get("everywhere/share")
    if share is None:
        return book
    return do(book, edits.seen_share(book, STAMP, place, share, percent, [UnseenReason.GEAR]))


def looked(book: Book, place: Compartment, met: tuple[Need, ...] = ALL_NEEDS) -> Book:
    glance = asked_of(book, place)["everywhere/look"]
    return do(book, edits.say_by_look(book, STAMP, CHECKLISTS, place, glance, met))


def by_look(book: Book) -> set[str]:
    return {answer.prompt for answer in book.answers.values() if answer.by_look}


def test_every_prompt_says_how_it_is_answered_and_what_readings_answer_can_be_read() -> None:
    for prompt in CHECKLISTS.prompts.values():
        assert "by" in prompt.model_fields_set, prompt.key
        if prompt.by is By.GAUGE:
            assert prompt.measure, f"{prompt.key}: nothing to read"
        if prompt.by is By.LOOK:
            assert "opens" not in prompt.does or prompt.area == walk.EVERYWHERE, f"{prompt.key}: an eye opens nothing"


@pytest.mark.parametrize(("state", "metal", "built_as"), STATES)
def test_one_look_never_answers_what_is_grave_needs_a_hand_or_lies_under_a_cover(
    state: FloatState, metal: HullMetal, built_as: BoatType
) -> None:
    """The bars written out again, over every compartment that a boat can have, whatever was seen to."""
    book = her(state, metal, built_as)
    for place in book.bow_to_stern():
        asked = asked_of(book, place)
        if "everywhere/look" not in asked:
            area = CHECKLISTS.areas[place.area]
            assert not area.space or not asked, "a jet boat has no rudder"
            assert walk.asks_nothing(area, book.boat) is not bool(asked)
            continue
        if state is FloatState.AFLOAT and CHECKLISTS.areas[place.area].outside:
            with pytest.raises(NotAllowed, match="afloat"):
                looked(seen(book, place), place)
            continue
        for answered in by_look(looked(seen(book, place), place)):
            prompt = asked[answered]
            assert prompt.by is By.LOOK, answered
            if prompt.area != walk.EVERYWHERE:
                assert prompt.severity in (Severity.MARGINAL, Severity.NEGLIGIBLE), answered
                barring = (prompt.needs, prompt.cautions, prompt.covered, prompt.does, prompt.leaves_open)
                assert not any(barring), answered
            if state is FloatState.AFLOAT:
                assert walk.bar_of(CHECKLISTS, book.boat, place, prompt, ALL_NEEDS) is None, answered


def test_where_less_than_nine_tenths_were_seen_the_look_answers_nothing_and_is_not_asked() -> None:
    for place in her().bow_to_stern():
        book = her()
        if "everywhere/look" not in asked_of(book, place):
            continue
        glance = asked_of(book, place)["everywhere/look"]
        with pytest.raises(NotAllowed, match="how much"):
            edits.say_by_look(book, STAMP, CHECKLISTS, place, glance, ALL_NEEDS)
        for percent in (0, 50, 89.9):
            less = seen(book, place, percent)
            assert answered_by_look(CHECKLISTS, less, place, ALL_NEEDS) == ()
            assert "everywhere/look" not in asked_of(less, place)
            with pytest.raises(NotAllowed, match="Less than 90"):
                edits.say_by_look(less, STAMP, CHECKLISTS, place, glance, ALL_NEEDS)
        assert answered_by_look(CHECKLISTS, seen(book, place, 90), place, ALL_NEEDS)


def test_what_was_answered_by_one_look_is_open_again_when_less_was_seen_or_it_says_no() -> None:
    book = her()
    place = next(one for one in book.bow_to_stern() if one.area == "forward-cabin")
    yes = looked(seen(book, place), place)
    assert len(by_look(yes)) >= 10
    assert by_look(seen(yes, place, 40)) == set()
    glance = asked_of(yes, place)["everywhere/look"]
    no = do(yes, edits.say(yes, STAMP, place, glance, Said.FINDING))
    assert by_look(no) == set()
    assert by_look(looked(no, place)) == by_look(yes), "and yes again"


def test_a_closed_place_with_untested_air_is_not_looked_over() -> None:
    for area in (one.id for one in CHECKLISTS.areas.values() if one.enclosed and one.space):
        book = her()
        place = next(one for one in book.bow_to_stern() if one.area == area)
        with pytest.raises(NotAllowed, match="air"):
            looked(seen(book, place), place, met=())


def test_an_open_finding_and_an_answer_stand_before_the_look() -> None:
    book = her()
    place = next(one for one in book.bow_to_stern() if one.area == "forward-cabin")
    damp = asked_of(book, place)["forward-cabin/damp-line"]
    unseen = asked_of(book, place)["forward-cabin/bedding"]
    book = do(book, edits.say(book, STAMP, place, unseen, Said.UNSEEN, reason=UnseenReason.GEAR))
    book = do(book, finding_edit(book, STAMP, place, prompt=damp))
    book = do(book, Edit("taken back", (Put("answers", walk.answer_key(book.round.id, place.id, damp.key), None),)))
    told = looked(seen(book, place), place)
    assert {damp.key, unseen.key}.isdisjoint(by_look(told))
    assert walk.is_open(told, place, damp), "it is asked"


@pytest.mark.parametrize("state", list(FloatState))
def test_where_the_look_says_no_every_prompt_is_reached(state: FloatState) -> None:
    """Answered question by question until nothing is open: all but what readings answer, and each of its own."""
    for place in her(state).bow_to_stern():
        book = seen(her(state), place)
        count = 0
        while (index := walk.first_open(book, CHECKLISTS, place)) is not None:
            prompt = walk.prompts_of(CHECKLISTS, book, place)[index]
            bar = walk.bar_of(CHECKLISTS, book.boat, place, prompt, ALL_NEEDS)
            said = Said.UNSEEN if bar else Said.FINDING if prompt.glance else Said.SOUND
            edit = edits.say(book, STAMP, place, prompt, said, reason=bar.reason if bar else None, bar=bar)
            book, count = do(book, edit), count + 1
            assert count < 60
        assert not by_look(book)
        left = [prompt for prompt in asked_of(book, place).values() if walk.is_open(book, place, prompt)]
        assert all(prompt.by is By.GAUGE for prompt in left), place.area
        done = walk.progress(book, CHECKLISTS, place)
        assert done.complete
        assert {one.key for one in done.to_gauge} == {one.key for one in left}


def test_what_readings_answer_is_not_called_sound_without_one() -> None:
    book = her()
    for place in book.bow_to_stern():
        for prompt in asked_of(book, place).values():
            if prompt.by is not By.GAUGE:
                continue
            with pytest.raises(NotAllowed, match="readings"):
                edits.say(book, STAMP, place, prompt, Said.SOUND)
            for said, reason in ((Said.NOT_FITTED, None), (Said.UNSEEN, UnseenReason.NO_TIME)):
                assert not walk.is_open(
                    do(book, edits.say(book, STAMP, place, prompt, said, reason=reason)), place, prompt
                )
    place = next(one for one in book.bow_to_stern() if one.area == "deck")
    gauge = asked_of(book, place)["deck/deck-thickness"]
    read = do(book, reading_edit(book, STAMP, place, "thickness", [4.9], prompt=gauge.key))
    assert not walk.is_open(read, place, gauge)
    again = do(read, edits.open_round(read, STAMP, "a year later"))
    assert walk.is_open(again, place, gauge), "last year's reading answers nothing this year"


def test_a_potential_that_was_read_ashore_answers_nothing() -> None:
    book = her()
    place = next(one for one in book.bow_to_stern() if one.area == "electrics")
    rest = asked_of(book, place)["electrics/rest-potential"]
    edit = reading_edit(book, STAMP, place, "potential", [-900], prompt=rest.key, electrode="agcl-sea")
    assert walk.is_open(do(book, edit), place, rest)


# --- the rest of a place for one reason
# ------------------------------------------------------------------------------


@pytest.mark.parametrize("state", list(FloatState))
def test_the_rest_is_unseen_for_one_reason_and_what_waits_for_the_haul_out_for_that(state: FloatState) -> None:
    for place in her(state).bow_to_stern():
        book = her(state)
        first = walk.prompts_of(CHECKLISTS, book, place)[-1]
        book = do(book, edits.say(book, STAMP, place, first, Said.NOT_FITTED))
        edit = edits.rest_unseen(book, STAMP, CHECKLISTS, place, UnseenReason.SEALED)
        shut = do(book, edit)
        assert walk.answer_of(shut, place.id, first.key) == walk.answer_of(book, place.id, first.key)
        for prompt in asked_of(shut, place).values():
            answer = walk.answer_of(shut, place.id, prompt.key)
            assert answer is not None, prompt.key
            if prompt.key == first.key:
                continue
            bar = walk.bar_of(
                CHECKLISTS, shut.boat, place, prompt, [one for one in Need if one is not Need.HAULED_OUT]
            )
            assert answer.reason is (bar.reason if bar else UnseenReason.SEALED), prompt.key


def test_only_what_waits_for_the_haul_out_can_be_left_in_one_go() -> None:
    book = her(FloatState.AFLOAT)
    place = next(one for one in book.bow_to_stern() if one.area == "cockpit")
    waiting = UnseenReason.NOT_HAULED
    left = do(book, edits.rest_unseen(book, STAMP, CHECKLISTS, place, waiting, only=waiting))
    reasons = {answer.reason for answer in left.answers.values()}
    assert reasons == {waiting}
    assert any(walk.is_open(left, place, prompt) for prompt in asked_of(left, place).values())


def test_another_reason_needs_its_words() -> None:
    book = her()
    place = next(one for one in book.bow_to_stern() if one.area == "stem")
    dents = asked_of(book, place)["stem/dents"]
    with pytest.raises(NotAllowed, match="words"):
        edits.say(book, STAMP, place, dents, Said.UNSEEN, reason=UnseenReason.OTHER)
    said = do(book, edits.say(book, STAMP, place, dents, Said.UNSEEN, reason=UnseenReason.OTHER, note="a nest"))
    assert next(iter(said.answers.values())).note == "a nest"
    keys = [reason.key for reason in UnseenReason]
    assert len(set(keys)) == len(keys)


# --- the order, and the first pass
# -----------------------------------------------------------------------------------


def test_a_place_is_asked_by_its_air_the_share_the_look_and_then_by_state_and_danger() -> None:
    for state in FloatState:
        book = her(state)
        for place in book.bow_to_stern():
            prompts = walk.prompts_of(CHECKLISTS, book, place)
            kinds = [prompt.by is By.GAUGE for prompt in prompts]
            assert kinds == sorted(kinds), "what readings answer comes last"
            own = [one for one in prompts if one.area == place.area and not one.first and one.by is not By.GAUGE]
            order = [
                (Need.TANK_EMPTY in one.needs, Need.POWER_ISOLATED in one.needs,
                 state is FloatState.AFLOAT and Need.HAULED_OUT in one.needs,
                 one.id not in {other.hangs_on for other in own}, one.severity is not Severity.CATASTROPHIC)
                for one in own
            ]  # fmt: skip
            assert order == sorted(order), place.area
            keys = [prompt.key for prompt in prompts if not prompt.first]
            if "everywhere/share" in keys:
                assert keys[:2] == ["everywhere/share", "everywhere/look"]


def default_boat(rig: Rig, metal: HullMetal, built_as: BoatType, *features: Feature) -> Book:
    """What is ticked at the start, and what these features bring."""
    told = (built_as.value, rig.value, metal.value)
    areas = [
        area
        for area in CHECKLISTS.areas.values()
        if not set(features).intersection(area.without)
        and ((usual(area) and fits(area, told)) or set(features).intersection(area.applies))
    ]
    new = edits.NewBoat("Tern", rig, metal, 11.0, FloatState.HAULED_OUT, built_as, dict.fromkeys(features, True))
    return after(Book.empty(), edits.start_book(STAMP, IDENTITY, new, areas), STAMP)[0]


BOATS = {
    "aluminium sloop": (Rig.SAIL, HullMetal.ALUMINIUM, BoatType.YACHT),
    "steel narrowboat": (Rig.MOTOR, HullMetal.STEEL, BoatType.NARROWBOAT, Feature.WEED_HATCH, Feature.KEEL_COOLER),
    "riveted barge": (
        Rig.MOTOR, HullMetal.STEEL, BoatType.BARGE, Feature.RIVETED, Feature.HEAVY_COVER, Feature.DOUBLED,
        Feature.BELTING,
    ),
    "aluminium workboat": (Rig.MOTOR, HullMetal.ALUMINIUM, BoatType.WORKBOAT, Feature.WATER_JET, Feature.BELTING),
    "lifting-keel sloop": (
        Rig.SAIL, HullMetal.ALUMINIUM, BoatType.YACHT, Feature.CENTREBOARD, Feature.LIFT_RAM, Feature.TWIN_KEELS,
    ),
}  # fmt: skip
# What only some boats have: an area, and on which of these it is.
ONLY_ON = {
    "inland-bottom": {"steel narrowboat", "riveted barge"},
    "rivets": {"riveted barge"},
    "heavy-cover": {"riveted barge"},
    "doubled-plating": {"riveted barge"},
    "keel-coolers": {"steel narrowboat"},
    "work-deck": {"aluminium workboat"},
    "belting": {"riveted barge", "aluminium workboat"},
    "centreboard": {"lifting-keel sloop"},
    "taking-ground": {"lifting-keel sloop"},
    "mast-step": {"aluminium sloop", "lifting-keel sloop"},
    "hollow-keel": {"aluminium sloop", "lifting-keel sloop"},
}


@pytest.mark.parametrize("name", list(BOATS))
def test_each_boat_has_her_questions_and_none_is_asked_anothers(name: str) -> None:
    book = default_boat(*BOATS[name])  # type: ignore[arg-type]
    hers = {place.area for place in book.bow_to_stern()}
    for area, boats in ONLY_ON.items():
        assert (area in hers) is (name in boats), area
    features = {one for one in BOATS[name] if isinstance(one, Feature)}
    _, metal, built_as = BOATS[name][:3]
    for place in book.bow_to_stern():
        for prompt in asked_of(book, place).values():
            assert not set(prompt.applies) & (set(TOLD_ONLY) - features), f"{prompt.key} on {name}"
            assert not features.intersection(prompt.without), f"{prompt.key} on {name}"
            for kind, has in ((HullMetal, metal), (BoatType, built_as)):
                wanted = {one for one in prompt.applies if isinstance(one, kind)}
                assert not wanted or has in wanted, f"{prompt.key} on {name}"
    assert len(hers) >= 22
    asked = {key for place in book.bow_to_stern() for key in asked_of(book, place)}
    assert ("drive/propeller" in asked) is (Feature.WATER_JET not in features)
    assert ("engine/strainer" in asked) is (Feature.KEEL_COOLER not in features)


@pytest.mark.parametrize("name", list(BOATS))
@pytest.mark.parametrize("state", list(FloatState))
def test_the_first_pass_is_short_and_holds_what_can_sink_her_or_kill(name: str, state: FloatState) -> None:
    book = default_boat(*BOATS[name])  # type: ignore[arg-type]
    if state is FloatState.AFLOAT:
        book = do(book, edits.float_or_haul(book, state, START.date()))
    asked = turns.first_pass(CHECKLISTS, book)
    assert 25 <= len(asked) <= 60, len(asked)
    assert asked[0][1].key == "before-first-board/gas-sniffed"
    assert [place.area for place, _ in asked][:8].count("before-first-board") >= 7
    for place in book.bow_to_stern():
        for prompt in asked_of(book, place).values():
            waits = {Need.TANK_EMPTY, Need.GAS_FREE} & set(walk.needs_of(CHECKLISTS, place, prompt))
            grave = prompt.severity is Severity.CATASTROPHIC and prompt.by is not By.GAUGE
            bar = walk.barred(book.boat, prompt)
            waits |= {bar.need} if bar and not bar.finding else set()
            if grave and prompt.area == place.area and not waits and not walk.asks_air(CHECKLISTS, place, prompt):
                assert (place, prompt) in asked, prompt.key
    if state is FloatState.AFLOAT:
        order = [place.area for place in turns.in_turn(CHECKLISTS, book)]
        first = ["before-first-board", *(["sump"] if "sump" in order else []), "skin-fittings"]
        assert order[: len(first)] == first
        assert order.index("stem") > order.index("engine")
    else:
        assert turns.in_turn(CHECKLISTS, book) == book.bow_to_stern()


def test_one_book_may_be_asked_by_two_checklists() -> None:
    """What is asked is kept with the book, but an owner's own areas may come while it is open."""
    book = her()
    place = next(one for one in book.bow_to_stern() if one.area == "stem")
    assert "stem/wedge-metal" in asked_of(book, place)
    without = dataclasses.replace(CHECKLISTS, areas={})
    assert not any(one.area == "stem" for one in walk.prompts_of(without, book, place))
    assert "stem/wedge-metal" in asked_of(book, place)


def test_a_place_without_a_question_is_walked_past() -> None:
    """A jet boat has neither shaft nor rudder, whatever was ticked."""
    rig, metal, built_as, *has = BOATS["aluminium workboat"]
    book = default_boat(rig, metal, built_as, *has)  # type: ignore[arg-type]
    for area in ("stern-gear", "rudder"):
        book = do(book, edits.add_compartment(book, CHECKLISTS.areas[area], ""))
    asked = {place.area for place in turns.in_turn(CHECKLISTS, book)}
    assert {place.area for place in book.bow_to_stern()} - asked == {"stern-gear", "rudder"}


def test_what_is_asked_once_is_asked_in_one_of_her_tanks_only() -> None:
    book = her()
    book = do(book, edits.add_compartment(book, CHECKLISTS.areas["water-tank"], ""))
    tanks = [place for place in book.bow_to_stern() if place.area == "water-tank"]
    key = "water-tank/fill-filter"
    assert [key in asked_of(book, tank) for tank in tanks] == [True, False]
    prompt = CHECKLISTS.prompts[key]
    other = do(book, edits.say(book, STAMP, tanks[1], prompt, Said.SOUND))
    assert [key in asked_of(other, tank) for tank in tanks] == [False, True], "where it was answered"


def test_where_there_are_no_patches_nothing_more_is_asked_of_them() -> None:
    book = her()
    place = next(one for one in book.bow_to_stern() if one.area == "old-patches")
    asked = asked_of(book, place)
    none = do(book, edits.say(book, STAMP, place, asked["old-patches/patch-list"], Said.NOT_FITTED))
    gone = set(asked) - set(asked_of(none, place))
    assert gone == {one.key for one in asked.values() if one.hangs_on in ("patch-list", "epoxy-lifted")}
    assert len(gone) >= 11
    assert "old-patches/under-the-pads" not in gone
    lifted = do(book, edits.say(book, STAMP, place, asked["old-patches/epoxy-lifted"], Said.NOT_FITTED))
    assert set(asked) - set(asked_of(lifted, place)) == {"old-patches/beyond-outline", "old-patches/lift-the-rest"}


def test_a_place_found_dry_on_opening_is_not_asked_again_where_its_water_came_from() -> None:
    book = her()
    place = next(one for one in book.bow_to_stern() if one.area == "stem")
    opening = asked_of(book, place)["everywhere/opening"]
    assert "everywhere/drain" in asked_of(book, place)
    dry = do(book, edits.say(book, STAMP, place, opening, Said.SOUND))
    unseen = do(book, edits.say(book, STAMP, place, opening, Said.UNSEEN, reason=UnseenReason.DIRTY))
    assert "everywhere/drain" not in asked_of(dry, place)
    assert "everywhere/drain" in asked_of(unseen, place)


def test_what_is_numbered_late_still_lies_where_it_lies() -> None:
    """From bow to stern a hold comes before the engine, though its questions were written last."""
    book = her()
    for area in ("cargo-hold", "engine", "holding-tank", "cockpit", "work-deck", "keel-coolers", "stove", "rudder"):
        if all(place.area != area for place in book.compartments.values()):
            book = do(book, edits.add_compartment(book, CHECKLISTS.areas[area], ""))
    order = [place.area for place in book.bow_to_stern()]
    wanted = ["cargo-hold", "holding-tank", "stove", "engine", "cockpit", "work-deck", "rudder"]
    assert [area for area in order if area in wanted] == wanted
    assert order.index("keel-coolers") < order.index("cockpit")


def test_marked_by_look_is_what_may_stand_for_itself(checklists: Checklists) -> None:
    """A look that could stand for nothing at all would be a mistake in the data."""
    for area in checklists.areas.values():
        if area.space:
            standing = [prompt for prompt in (*area.prompt, *checklists.everywhere.before) if may_stand_for(prompt)]
            assert standing, area.id


def test_what_was_said_ashore_stands_afloat_and_nothing_else_is_taken() -> None:
    book = her()
    place = next(one for one in book.bow_to_stern() if one.area == "rudder")
    prompt = CHECKLISTS.prompts["rudder/stock"]
    said = do(book, edits.say(book, STAMP, place, prompt, Said.SOUND))
    afloat = do(said, edits.float_or_haul(said, FloatState.AFLOAT, START.date()))
    noted = do(afloat, edits.say(afloat, STAMP, place, prompt, Said.SOUND, note="as in the shed"))
    assert walk.answer_of(noted, place.id, prompt.key) != walk.answer_of(afloat, place.id, prompt.key)
    with pytest.raises(NotAllowed, match="afloat"):
        edits.say(afloat, STAMP, place, prompt, Said.FINDING)


def test_bad_air_shuts_off_what_lies_inside_and_was_not_answered() -> None:
    book = her()
    for place in (one for one in book.bow_to_stern() if CHECKLISTS.areas[one.area].enclosed):
        inside = [
            prompt
            for prompt in asked_of(book, place).values()
            if Need.GAS_FREE in walk.needs_of(CHECKLISTS, place, prompt) and not (prompt.share or prompt.glance)
        ]
        before = do(book, edits.say(book, STAMP, place, inside[0], Said.NOT_FITTED))
        shut = do(before, edits.shut_off(before, STAMP, CHECKLISTS, place))
        kept = walk.answer_of(shut, place.id, inside[0].key)
        assert kept is not None
        assert kept.said is Said.NOT_FITTED, "what was answered stays"
        for prompt in asked_of(shut, place).values():
            outside = Need.GAS_FREE not in walk.needs_of(CHECKLISTS, place, prompt)
            assert walk.is_open(shut, place, prompt) is outside, prompt.key
        visit = walk.visit_of(shut, place.id)
        assert visit is None or visit.seen_percent == 0
