"""The rules of the walk."""

from __future__ import annotations

import pytest

from inspect_tui.domain import edits, walk
from inspect_tui.domain.boat_words import Feature
from inspect_tui.domain.book import Book, Edit, Stamp, after
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.measuring import measured
from inspect_tui.domain.walking import turns
from inspect_tui.domain.words import (
    FloatState,
    HullMetal,
    Likelihood,
    Rig,
    Said,
    Severity,
    Status,
    Treatment,
    UnseenReason,
)
from inspect_tui.errors import DomainError, NotAllowed
from tests.conftest import (
    START,
    SteppingClock,
    new_book_edit,
    place_called,
    prompt_called,
    reading_edit,
    with_finding,
)

STAMP = Stamp(START, "Mattis")


def test_a_sailing_boat_is_not_asked_about_steel_or_motor_things(book: Book, checklists: Checklists) -> None:
    asked = {
        prompt.key for place in book.compartments.values() for prompt in walk.prompts_of(checklists, book, place)
    }
    assert "underwater/mill-scale" not in asked
    assert "chainplates/chainplate-toes" in asked


def test_what_is_not_known_of_the_boat_is_asked(book: Book, checklists: Checklists) -> None:
    gear = place_called(book, "stern-gear")
    key = "stern-gear/saildrive-ring"
    assert key in {prompt.key for prompt in walk.prompts_of(checklists, book, gear)}
    boat = book.boat.model_copy(update={"features": {Feature.SAILDRIVE: False}})
    without = after(book, edits.change_boat(boat), Stamp(START, "Mattis"))[0]
    assert key not in {prompt.key for prompt in walk.prompts_of(checklists, without, gear)}


def test_a_tank_is_not_asked_whether_it_is_dry_and_every_other_inside_is(checklists: Checklists) -> None:
    for area in checklists.areas.values():
        book = after(Book.empty(), new_book_edit(checklists, STAMP, areas=[area]), STAMP)[0]
        place = next(iter(book.compartments.values()))
        asked = {prompt.key for prompt in walk.prompts_of(checklists, book, place)}
        dry = {"everywhere/opening", "everywhere/drain"} & asked
        inside = area.space and not area.outside
        meant_to_be_wet = area.id in {"water-tank", "fuel-tank", "holding-tank", "keel-coolers"}
        assert bool(dry) == (inside and not meant_to_be_wet), area.id


def test_a_boat_without_bottled_gas_is_not_asked_where_it_drains(book: Book, checklists: Checklists) -> None:
    galley = place_called(book, "galley")
    asked = {prompt.key for prompt in walk.prompts_of(checklists, book, galley)}
    boat = book.boat.model_copy(update={"features": {Feature.BOTTLED_GAS: False}})
    without = after(book, edits.change_boat(boat), STAMP)[0]
    assert asked - {prompt.key for prompt in walk.prompts_of(checklists, without, galley)} == {
        "galley/gas-locker-drain"
    }


def test_conditions_of_one_kind_are_alternatives_and_kinds_must_all_hold(book: Book) -> None:
    boat = book.boat
    assert walk.applies((Rig.SAIL, Rig.MOTOR), boat)
    assert not walk.applies((Rig.SAIL, HullMetal.STEEL), boat)
    assert walk.applies((), boat)


def test_compartments_run_from_bow_to_stern(book: Book, checklists: Checklists) -> None:
    order = [checklists.areas[place.area].number for place in book.bow_to_stern()]
    assert order == sorted(order)


def test_afloat_a_prompt_that_needs_her_hauled_out_takes_only_unseen(checklists: Checklists) -> None:
    edit = new_book_edit(checklists, STAMP, float_state=FloatState.AFLOAT)
    book, _ = after(Book.empty(), edit, STAMP)
    place, prompt = prompt_called(checklists, book, "old-patches/epoxy-lifted")
    with pytest.raises(NotAllowed, match="afloat"):
        edits.say(book, STAMP, place, prompt, Said.SOUND)
    with pytest.raises(NotAllowed, match="afloat"):
        edits.say(book, STAMP, place, prompt, Said.UNSEEN, reason=UnseenReason.NO_TIME)
    with pytest.raises(NotAllowed, match="afloat"):
        with_finding(book, checklists, STAMP, "old-patches/epoxy-lifted")
    said = edits.say(book, STAMP, place, prompt, Said.UNSEEN, reason=UnseenReason.NOT_HAULED)
    book, _ = after(book, said, STAMP)
    book, _ = after(book, edits.float_or_haul(book, FloatState.HAULED_OUT, START.date()), STAMP)
    assert walk.barred(book.boat, prompt) is None


def test_unseen_without_a_reason_is_refused(book: Book, checklists: Checklists) -> None:
    place, prompt = prompt_called(checklists, book, "stem/dents")
    with pytest.raises(NotAllowed, match="why"):
        edits.say(book, STAMP, place, prompt, Said.UNSEEN)


def test_less_than_all_of_the_metal_seen_asks_for_the_reason(book: Book, checklists: Checklists) -> None:
    place, prompt = prompt_called(checklists, book, "everywhere/share")
    with pytest.raises(NotAllowed, match="hid"):
        edits.seen_share(book, STAMP, place, prompt, 70)
    book, _ = after(book, edits.seen_share(book, STAMP, place, prompt, 70, [UnseenReason.SEALED]), STAMP)
    assert walk.progress(book, checklists, place).seen_percent == 70


def test_progress_counts_answers_and_the_walk_carries_on_where_it_stopped(book: Book, checklists: Checklists) -> None:
    first = book.bow_to_stern()[0]
    prompts = walk.prompts_of(checklists, book, first)
    for prompt in prompts[:3]:
        book, _ = after(book, edits.say(book, STAMP, first, prompt, Said.SOUND), STAMP)
    done = walk.progress(book, checklists, first)
    assert (done.answered, done.complete) == (3, False)
    assert turns.carry_on(book, checklists) == turns.Place(first.id, 3)
    here = edits.stand_here(book, STAMP, first.id, prompts[5].key)
    book, _ = after(book, Edit("", (here,)), STAMP)
    assert turns.carry_on(book, checklists) == turns.Place(first.id, 5)


def test_where_nothing_is_open_the_walk_stands_where_it_stopped_or_at_the_first(checklists: Checklists) -> None:
    bare = after(Book.empty(), new_book_edit(checklists, STAMP, areas=[]), STAMP)[0]
    assert turns.carry_on(bare, checklists) is None, "nowhere to go"
    book = after(Book.empty(), new_book_edit(checklists, STAMP, areas=[checklists.areas["stem"]]), STAMP)[0]
    (stem,) = book.bow_to_stern()
    while (index := walk.first_open(book, checklists, stem)) is not None:
        prompt = walk.prompts_of(checklists, book, stem)[index]
        book = after(book, edits.say(book, STAMP, stem, prompt, Said.NOT_FITTED), STAMP)[0]
    assert turns.carry_on(book, checklists) == turns.Place(stem.id, 0), "nobody stood anywhere"
    prompts = walk.prompts_of(checklists, book, stem)
    book = after(book, Edit("", (edits.stand_here(book, STAMP, stem.id, prompts[3].key),)), STAMP)[0]
    assert turns.carry_on(book, checklists) == turns.Place(stem.id, 3)


def test_a_new_round_asks_anew_and_keeps_the_findings(book: Book, checklists: Checklists) -> None:
    place, prompt = prompt_called(checklists, book, "stem/dents")
    book = with_finding(book, checklists, STAMP, "stem/stem-weld")
    book, _ = after(book, edits.say(book, STAMP, place, prompt, Said.SOUND), STAMP)
    book, _ = after(book, edits.open_round(book, STAMP, "next spring"), STAMP)
    assert walk.answer_of(book, place.id, prompt.key) is None
    earlier = walk.earlier_answer(book, place.id, prompt.key)
    assert earlier is not None
    assert earlier.said is Said.SOUND
    assert set(book.findings) == {"1"}
    assert book.rounds["1-demo"].closed is not None


def test_a_finding_cleaned_after_it_was_measured_waits_to_be_measured_again(
    book: Book, checklists: Checklists, clock: SteppingClock
) -> None:
    book = with_finding(book, checklists, Stamp(clock(), "M"), "stem/stem-weld")
    place = place_called(book, "stem")
    measure = Stamp(clock(), "M")
    book, _ = after(book, reading_edit(book, measure, place, "pits", [1.2], finding=book.findings["1"]), measure)
    assert book.findings["1"].status is Status.MEASURED
    assert measured.waiting_for_measuring(book) == []
    clean = Stamp(clock(), "M")
    book, _ = after(book, edits.move_finding(book, clean, book.findings["1"], Status.CLEANED), clean)
    assert [one.chalk for one in measured.waiting_for_measuring(book)] == [1]
    again = Stamp(clock(), "M")
    book, _ = after(book, reading_edit(book, again, place, "pits", [2.0], finding=book.findings["1"]), again)
    assert measured.waiting_for_measuring(book) == []


def test_a_reading_on_dirty_metal_does_not_count_as_measured(book: Book, checklists: Checklists) -> None:
    book = with_finding(book, checklists, STAMP, "stem/stem-weld")
    place = place_called(book, "stem")
    edit = reading_edit(book, STAMP, place, "pits", [1.2], finding=book.findings["1"], clean_metal=False)
    book, _ = after(book, edit, STAMP)
    assert book.findings["1"].status is Status.FOUND


def test_accepting_needs_a_reason_and_deciding_needs_a_treatment(book: Book, checklists: Checklists) -> None:
    book = with_finding(book, checklists, STAMP, "stem/stem-weld")
    with pytest.raises(NotAllowed, match="why"):
        edits.move_finding(book, STAMP, book.findings["1"], Status.ACCEPTED)
    with pytest.raises(NotAllowed, match="done"):
        edits.move_finding(book, STAMP, book.findings["1"], Status.DECIDED)
    moved = edits.move_finding(book, STAMP, book.findings["1"], Status.DECIDED, treatment=Treatment.WELD_UP)
    assert after(book, moved, STAMP)[0].findings["1"].treatment is Treatment.WELD_UP


def test_a_compartment_with_something_written_in_it_stays(book: Book, checklists: Checklists) -> None:
    book = with_finding(book, checklists, STAMP, "stem/stem-weld")
    with pytest.raises(NotAllowed, match="cannot be removed"):
        edits.drop_compartment(book, place_called(book, "stem"))
    deck = place_called(book, "deck")
    book, _ = after(book, edits.drop_compartment(book, deck), STAMP)
    assert deck.id not in book.compartments
    book, _ = after(book, edits.add_compartment(book, checklists.areas["deck"], ""), STAMP)
    assert deck.id not in book.compartments, "a number is never given twice"


@pytest.mark.parametrize(("name", "length"), [("", 12.0), ("  ", 12.0), ("Tern", 0.5), ("Tern", 500.0)])
def test_a_book_without_a_name_or_with_an_unlikely_length_is_refused(
    checklists: Checklists, name: str, length: float
) -> None:
    with pytest.raises(DomainError):
        new_book_edit(checklists, STAMP, name, hull_length_m=length)


def test_severity_and_likelihood_are_kept_as_said(book: Book, checklists: Checklists) -> None:
    book = with_finding(
        book, checklists, STAMP, "stem/stem-weld", severity=Severity.CRITICAL, likelihood=Likelihood.B, words="[/ x"
    )
    finding = book.findings["1"]
    assert (finding.severity, finding.likelihood, finding.words) == (Severity.CRITICAL, Likelihood.B, "[/ x")
