"""What is put right in the walk: answers, the air, what was written down and is undone again."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from inspect_tui.domain import edits, walk
from inspect_tui.domain.boat_words import Feature
from inspect_tui.domain.book import Stamp, after
from inspect_tui.domain.knowledge.areas import By
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.undoing import undo
from inspect_tui.domain.walking import turns
from inspect_tui.domain.words import FloatState, Need, Said, UnseenReason
from inspect_tui.errors import NotAllowed
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.walk.stages import Stage
from inspect_tui.judgement.work.action import Task
from inspect_tui.store.book_file import BookFile
from inspect_tui.terminal.desk import Sitting
from inspect_tui.terminal.screens.walk.walk import WalkScreen
from tests.conftest import START, place_called, prompt_called, reading_edit
from tests.terminal.helpers import Hands, at_work
from tests.terminal.test_walk_short import sloop


def at(hands: Hands) -> tuple[str, str]:
    screen = hands.app.screen
    assert isinstance(screen, WalkScreen)
    return screen.place.id, screen.prompt.key


def test_a_finding_made_of_loose_pits_is_undone_with_what_it_took(tmp_path: Path, checklists: Checklists) -> None:
    file = sloop(checklists, tmp_path, "cabin-bilge")
    (place,) = file.book.bow_to_stern()
    file.record(reading_edit(file.book, file.stamp(), place, "pits", [2.1]))
    (reading,) = file.book.readings.values()
    before = file.book.tables
    file.record(edits.finding_of(file.book, file.stamp(), place, reading, None))
    assert file.book.readings[reading.id].finding == 1
    file.record(undo(file.book))
    assert {name: rows for name, rows in file.book.tables.items() if name != "trail"} == {
        name: rows for name, rows in before.items() if name != "trail"
    }
    file.record(edits.finding_of(file.book, file.stamp(), place, reading, None))
    later = reading_edit(
        file.book, file.stamp(), place, "pits", [1.0], finding=next(iter(file.book.findings.values()))
    )
    number = file.book.trail[file.book.newest("trail")].number
    file.record(later)
    with pytest.raises(NotAllowed, match=r"Take back change|has readings"):
        undo(file.book, number)


async def test_the_air_may_be_called_good_before_or_after_it_is_read(tmp_path: Path, checklists: Checklists) -> None:
    for order in (("s", "m"), ("m", "s")):
        folder = tmp_path / order[0]
        folder.mkdir()
        file = sloop(checklists, folder, "fuel-tank")
        async with at_work(checklists, file, size=(100, 40)) as hands:
            await hands.press("enter")
            screen = hands.app.screen
            assert isinstance(screen, WalkScreen)
            air = at(hands)
            for key in order:
                await hands.press(key)
                if key == "m":
                    for gas in ("20.9", "0", "0", "0"):
                        await hands.type(gas)
                        await hands.press("enter")
                    await hands.press("escape")
                while at(hands)[1] != air[1]:
                    await hands.press("left")
            assert Need.GAS_FREE in screen.met, order


async def test_what_bad_air_shut_is_asked_again_when_the_air_is_good(tmp_path: Path, checklists: Checklists) -> None:
    file = sloop(checklists, tmp_path, "fuel-tank", "deck")
    tank = place_called(file.book, "fuel-tank")

    def shut() -> int:
        return sum(one.reason is UnseenReason.UNSAFE_AIR for one in file.book.answers.values())

    async with at_work(checklists, file, size=(100, 40)) as hands:
        hands.app.go("walk", compartment=tank.id)
        await hands.settle()
        await hands.press("u", "1")
        assert shut() > 3
        assert "inside unseen too" in hands.flat
        hands.app.pop_screen()
        hands.app.go("walk", compartment=tank.id)
        await hands.settle()
        await hands.press("m")
        for gas in ("20.9", "0", "0", "0"):
            await hands.type(gas)
            await hands.press("enter")
        await hands.press("escape", "s")
        assert shut() == 0
        assert walk.first_open(file.book, checklists, tank) is not None


async def test_an_answer_put_right_stays_in_its_place_and_an_undo_stands_where_it_was(
    tmp_path: Path, checklists: Checklists
) -> None:
    file = sloop(checklists, tmp_path, "stem", "deck")
    async with at_work(checklists, file, size=(100, 40)) as hands:
        await hands.press("enter", "s", "f", "n", "n", "n")
        place, here = at(hands)
        await hands.press("left", "left")
        mended = at(hands)
        await hands.press("u", "1")
        assert at(hands)[0] == place
        assert at(hands) != (place, here), "the next one, and not the next that is open"
        assert file.book.answers[walk.answer_key(file.book.round.id, *mended)].said is Said.UNSEEN
        await hands.press("pagedown")
        assert at(hands)[0] != place
        await hands.press("z")
        assert at(hands) == mended, "where it was taken back"
        assert file.book.answers[walk.answer_key(file.book.round.id, *mended)].said is Said.NOT_FITTED


def test_who_only_looks_elsewhere_has_not_left(checklists: Checklists) -> None:
    sitting = Sitting()
    sitting.enter("tank", START)
    sitting.met[Need.GAS_FREE] = START
    sitting.enter("deck", START + timedelta(minutes=1))
    assert sitting.met == {}
    sitting.enter("tank", START + timedelta(minutes=3))
    assert Need.GAS_FREE in sitting.met
    sitting.enter("deck", START + timedelta(minutes=4))
    sitting.enter("tank", START + timedelta(minutes=9))
    assert sitting.met == {}, "five minutes are no glance"


def test_that_there_is_none_of_what_must_be_there_is_a_finding(tmp_path: Path, checklists: Checklists) -> None:
    file = sloop(checklists, tmp_path, "before-first-board", "sump", "stove", "electrics")
    wanted = [prompt for prompt in checklists.prompts.values() if prompt.must]
    assert {"sump/alarm", "stove/co-alarm", "electrics/trip-proved"} <= {prompt.key for prompt in wanted}
    for prompt in wanted:
        place = place_called(file.book, prompt.area)
        with pytest.raises(NotAllowed, match="none is a finding"):
            edits.say(file.book, file.stamp(), place, prompt, Said.NOT_FITTED)
        assert checklists.kinds[prompt.kind or ""].id in ("alarm", "live-hull", "shore-earth")
    without = file.book.boat.model_copy(update={"features": {Feature.SHORE_POWER: False}})
    book, _ = after(file.book, edits.change_boat(without), Stamp(START, "x"))
    place = place_called(book, "electrics")
    assert "electrics/trip-proved" not in {one.key for one in walk.prompts_of(checklists, book, place)}


def test_of_the_first_pass_is_nothing_that_can_only_be_unseen_as_she_lies(
    tmp_path: Path, checklists: Checklists
) -> None:
    file = sloop(checklists, tmp_path)
    ashore = turns.first_pass(checklists, file.book)
    file.record(edits.float_or_haul(file.book, FloatState.AFLOAT, START.date()))
    afloat = turns.first_pass(checklists, file.book)
    assert len(afloat) < len(ashore)
    for _, prompt in afloat:
        bar = walk.barred(file.book.boat, prompt)
        assert bar is None or bar.finding, prompt.key


def test_a_tank_nobody_opened_is_not_emptied(tmp_path: Path, checklists: Checklists) -> None:
    file: BookFile = sloop(checklists, tmp_path, "fuel-tank", "before-first-board")
    tank = place_called(file.book, "fuel-tank")

    def stage() -> Stage | None:
        return Judged(file.book, checklists).stages.get(tank.id)

    outside = next(
        prompt
        for prompt in walk.prompts_of(checklists, file.book, tank)
        if Need.GAS_FREE not in walk.needs_of(checklists, tank, prompt) and prompt.by is not By.GAUGE
        and not (prompt.share or prompt.glance or walk.asks_air(checklists, tank, prompt))
    )  # fmt: skip
    file.record(edits.say(file.book, file.stamp(), tank, outside, Said.SOUND))
    assert stage() is Stage.CLOSED, "what is told from outside opens nothing"
    inside = next(
        prompt
        for prompt in walk.prompts_of(checklists, file.book, tank)
        if Need.GAS_FREE in walk.needs_of(checklists, tank, prompt) and not (prompt.share or prompt.glance)
        and walk.is_open(file.book, tank, prompt)
    )  # fmt: skip
    file.record(edits.say(file.book, file.stamp(), tank, inside, Said.SOUND))
    assert stage() is not Stage.CLOSED
    board = place_called(file.book, "before-first-board")
    assert board.id not in Judged(file.book, checklists).stages, "no space with plate of its own"


def test_what_a_question_may_have_opened_names_the_thing(tmp_path: Path, checklists: Checklists) -> None:
    file = sloop(checklists, tmp_path, "head", "exhaust")
    for key in ("head/under-base",):
        place, prompt = prompt_called(checklists, file.book, key)
        assert prompt.leaves_open
        file.record(edits.say(file.book, file.stamp(), place, prompt, Said.SOUND))
    listed = [one for one in Judged(file.book, checklists).worklist.jobs if one.first.task is Task.CLOSE]
    assert listed
    for job in listed:
        assert job.say.startswith("If it was opened: ")
        assert len(job.say) > len("If it was opened: ") + 10, "and what"
