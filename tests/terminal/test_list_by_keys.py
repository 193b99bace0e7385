"""The list and the launch, driven by keys: found, narrowed, done, signed, withdrawn; from the shed to a month
afloat."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from inspect_tui.domain import edits
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.launch import Phase
from inspect_tui.domain.words import FloatState, Status, Tier, Who
from inspect_tui.judgement.work.action import Task
from inspect_tui.store.book_file import BookFile
from inspect_tui.terminal.screens.work.worklist import WorklistScreen
from tests.conftest import SteppingClock, finding_edit
from tests.terminal.helpers import Hands, at_work, demo_file


def full(folder: Path, jobs: int) -> BookFile:
    """The demo boat with so many findings more, each a job of its own."""
    file = demo_file(folder)
    places = list(file.book.compartments.values())
    for number in range(jobs):
        kind = ("dent", "gear", "wiring", "fitting")[number % 4]
        place = places[number % len(places)]
        file.record(finding_edit(file.book, file.stamp(), place, kind=kind, words=f"spot-{number}-here"))
    return file


def screen(hands: Hands) -> WorklistScreen:
    assert isinstance(hands.app.screen, WorklistScreen)
    return hands.app.screen


def rows(hands: Hands) -> list[str]:
    return [option.id for option in screen(hands).query_one("#list").options if option.id]  # type: ignore[attr-defined]


async def test_a_hundred_jobs_are_found_narrowed_and_done_in_four_keys(
    tmp_path: Path, checklists: Checklists
) -> None:
    file = full(tmp_path, 100)
    async with at_work(checklists, file, size=(100, 40)) as hands:
        await hands.press("w")
        whole = len(rows(hands))
        assert whole > 100
        await hands.press("o", "w", "e")
        judged = hands.app.judged.worklist
        assert {judged.by_key[key].who for key in rows(hands)} == {Who.ELECTRICIAN}
        assert "only electrician" in hands.text
        await hands.press("o", "a")
        assert len(rows(hands)) == whole, "the same key shows all again"
        await hands.press("o", "t", "4")
        assert {judged.by_key[key].tier for key in rows(hands)} == {Tier.BEFORE_SAILING}
        await hands.press("o", "a", "slash")
        await hands.type("spot-42-")
        assert len(rows(hands)) in (1, 2)
        await hands.press("enter", "enter")
        assert "spot-42-here" in hands.text
        await hands.press("escape")
        key = screen(hands).list_key
        await hands.press("d", "f2")
        assert key not in hands.app.judged.worklist.by_key
        assert isinstance(hands.app.screen, WorklistScreen)


async def test_done_keeps_the_place_and_says_how_far_one_is(tmp_path: Path, checklists: Checklists) -> None:
    file = full(tmp_path, 40)
    async with at_work(checklists, file, size=(100, 40)) as hands:
        await hands.press("w", "slash")
        await hands.type("dent spot-")
        await hands.press("enter", *["down"] * 4)
        before, at = rows(hands), screen(hands).list_at
        done_before = hands.text.split("done this round")[0].split()[-1]
        await hands.press("d", "space")
        assert "Choose" in hands.flat
        await hands.press("2")
        await hands.press("f2")
        chosen = screen(hands).list_key
        assert screen(hands).list_at in (at, at - 1)
        assert chosen in before[at - 1 : at + 2] or hands.app.judged.worklist.by_key[chosen].chalk is not None
        assert int(hands.text.split("done this round")[0].split()[-1]) == int(done_before) + 1


async def test_of_several_alike_one_or_all_are_done(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path), size=(100, 40)) as hands:
        await hands.press("w", "slash")
        await hands.type("record it")
        await hands.press("enter")
        job = screen(hands).job
        assert job is not None
        assert job.places > 2
        await hands.press("d", "1", "f2")
        left = next(
            one for one in hands.app.judged.worklist.jobs if one.first.task is Task.RECORD and one.tier is job.tier
        )
        assert left.places == job.places - 1
        await hands.press("d", "a", "f2")
        keys = [one.key for one in left.actions]
        assert not set(keys) & set(hands.app.judged.worklist.by_key)
        await hands.press("z")
        assert set(keys) <= set(hands.app.judged.worklist.by_key), "one undo for all that one key did"


async def test_a_finding_is_withdrawn_and_another_merged(tmp_path: Path, checklists: Checklists) -> None:
    file = demo_file(tmp_path)
    async with at_work(checklists, file, size=(100, 40)) as hands:
        hands.app.go("finding", chalk=41)
        await hands.settle()
        await hands.press("f7", "w", "enter")
        assert len(file.book.findings["41"].history) == 1, "a reason is asked for"
        await hands.type("a shadow")
        await hands.press("enter")
        assert file.book.findings["41"].status is Status.WITHDRAWN
        hands.app.go("finding", chalk=8)
        await hands.settle()
        await hands.press("f7", "s")
        await hands.type("22")
        await hands.press("enter")
        assert file.book.findings["8"].merged_into == 22


async def test_what_is_taken_out_is_written_down_and_comes_back(tmp_path: Path, checklists: Checklists) -> None:
    file = demo_file(tmp_path)
    async with at_work(checklists, file, size=(100, 40)) as hands:
        await hands.press("x")
        assert "GOES BACK AFTER COATING" in hands.text
        await hands.press("a")
        await hands.type("gas pipe")
        await hands.press("f2")
        assert "Write where it lies now" in hands.flat
        await hands.type("on the shelf")
        await hands.press("f2")
        part = file.book.parts[file.book.newest("parts")]
        assert (part.words, part.lies) == ("gas pipe", "on the shelf")
        await hands.press("end", "d", "f2")
        assert "BACK IN" in hands.text


async def sign_all(hands: Hands, of: tuple[Phase, ...]) -> int:
    """Sign every line of these phases with a name; on the launch list already."""
    signed = 0
    for one in hands.app.judged.launch:
        if one.line.phase in of and one.open:
            hands.app.screen.choose(one.line.id)  # type: ignore[attr-defined]
            await hands.press("enter")
            await hands.type("Liv")
            await hands.press("enter")
            signed += 1
    return signed


async def test_from_the_list_to_afloat_and_the_month_after(tmp_path: Path, checklists: Checklists) -> None:
    file = demo_file(tmp_path)
    async with at_work(checklists, file, size=(100, 40)) as hands:
        # What was opened is closed, by name.
        await hands.press("w")
        while closing := [one for one in hands.app.judged.worklist.jobs if one.first.task is Task.CLOSE]:
            screen(hands).choose(closing[0].first.key)
            await hands.press("d", *(["a"] if closing[0].places > 1 else []))
            await hands.press("f2")
            assert "Sign it with your name" in hands.flat, "not one key"
            await hands.type("Liv")
            await hands.press("f2")
        assert not [one for one in hands.app.judged.worklist.actions if one.task is Task.CLOSE]
        # The launch list, line by line.
        await hands.press("escape", "l")
        assert "BEFORE SHE MOVES" in hands.text
        await hands.press("enter", "enter")
        assert "Sign it with your name" in hands.flat
        await hands.press("escape")
        assert await sign_all(hands, (Phase.BEFORE, Phase.SLINGS)) > 15
        await hands.press("escape", "f9", "4", "y")
        assert file.book.boat.float_state is FloatState.AFLOAT
        floated = file.book.boat.float_history[-1].when
        assert floated is not None
        # Each dated line falls due by itself, and none erases another.
        clock = hands.app.clock
        assert isinstance(clock, SteppingClock)
        clock.start += timedelta(hours=2)
        await hands.press("w")
        due = [one for one in hands.app.judged.worklist.in_tier(Tier.TODAY) if one.task is Task.WATCH]
        assert [one.detail for one in due] == ["night-1"]
        screen(hands).choose(due[0].key)
        await hands.press("d")
        await hands.type("Liv")
        await hands.press("f2")
        clock.start += timedelta(days=31)
        dated = {one.line.id: one for one in hands.app.judged.launch if one.due}
        assert not dated["night-1"].open
        assert all(one.overdue(hands.app.judged.now) for id, one in dated.items() if id != "night-1")
        await hands.press("escape", "l")
        assert "DUE" in hands.text
        assert await sign_all(hands, (Phase.NIGHT, Phase.LATER)) == len(dated) - 1
        left = [one for one in hands.app.judged.worklist.actions if one.task in (Task.WATCH, Task.LAUNCH, Task.CLOSE)]
        assert not left
        signed = {done.action: done for done in file.book.done.values() if done.signed}
        assert {f"watch/{id}" for id in dated} <= set(signed)
        assert len({signed[f"watch/{id}"].when for id in dated}) == len(dated), "each has its own date"


async def test_the_air_is_tested_again_whenever_one_comes_back(tmp_path: Path, checklists: Checklists) -> None:
    file = demo_file(tmp_path)
    async with at_work(checklists, file, size=(100, 40)) as hands:
        await hands.press("enter")
        assert "WAIT" in hands.text, "the program was closed: the test is void"
        await hands.press("s")
        assert "Go to its" in hands.flat
        await hands.press("y")
        assert "air in the tank been tested" in hands.flat
        await hands.press("s")
        assert "WAIT" in hands.text, "a word is no reading"
        await hands.press("s", "y", "m")
        await hands.type("20,9")
        await hands.press("enter", "enter")
        await hands.press("s")
        assert "The air in here has not been tested" not in hands.flat
        tank = next(one.id for one in file.book.bow_to_stern() if one.name == "Port water tank")
        hands.app.go("walk", compartment=tank, prompt="everywhere/powder")
        await hands.settle()
        assert "min ago" in hands.flat, "its age is shown"
        await hands.press("pagedown", "pageup")
        assert "air in the tank been tested" in hands.flat, "it begins with the air"
        await hands.press("right", "right")
        assert "WAIT" not in hands.text, "a glance elsewhere is no leaving"
        await hands.press("pagedown")
        file.clock.start += timedelta(minutes=6)  # type: ignore[attr-defined]
        await hands.press("pageup")
        await hands.press("right", "right")
        assert "WAIT" in hands.text, "she was left"


async def test_undo_asks_before_it_reaches_back_before_today(tmp_path: Path, checklists: Checklists) -> None:
    file = demo_file(tmp_path)
    async with at_work(checklists, file, size=(100, 40)) as hands:
        before = file.book.tables
        await hands.press("z")
        assert "before you began" in hands.flat
        await hands.press("n")
        assert file.book.tables == before
        await hands.press("x", "f8", "y", "z")
        assert file.book.parts == before["parts"], "today's own is taken back at once"


async def test_afloat_nothing_is_called_sound_by_looking_alone(tmp_path: Path, checklists: Checklists) -> None:
    file = demo_file(tmp_path)
    file.record(edits.float_or_haul(file.book, FloatState.AFLOAT, file.stamp().when.date()))
    async with at_work(checklists, file, size=(100, 40)) as hands:
        hands.app.go("walk", compartment="c9-demo", prompt="sump/pump-foot")
        await hands.settle()
        answers = dict(file.book.answers)
        assert "looking alone cannot call it sound" in hands.flat
        assert "[S]ound" not in hands.text or "sound, 2025" in hands.text
        await hands.press("s")
        assert file.book.answers == answers
        await hands.press("f")
        assert "Finding" in hands.text, "what can be seen is a finding"


@pytest.mark.parametrize("key", ["s", "f"])
async def test_what_a_question_needs_is_asked_once_a_sitting(
    key: str, tmp_path: Path, checklists: Checklists
) -> None:
    file = demo_file(tmp_path)
    async with at_work(checklists, file, size=(100, 40)) as hands:
        hands.app.go("walk", compartment="c14-demo", prompt="electrics/plate-below")
        await hands.settle()
        await hands.press(key)
        assert "Is the shore lead out" in hands.flat
        await hands.press("n")
        assert "Is the shore lead out" not in hands.flat
        await hands.press(key, "y")
        assert "Is the shore lead out" not in hands.flat
        afloat = edits.float_or_haul(file.book, FloatState.AFLOAT, file.stamp().when.date())
        assert afloat.words


async def test_the_plan_by_keys_done_brings_the_next_up_and_hours_and_heat_change_it(
    tmp_path: Path, checklists: Checklists
) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        await hands.press("equals_sign")
        assert "Plan 5:55 of 6:00 today" in hands.flat
        for words in ("DAY 1, today", "call the electrician", "0:20", "39", "to hand today", "gas meter"):
            assert words in hands.flat, words
        first = hands.app.judged.worklist.jobs[0].first
        await hands.press("d")
        await hands.type("bottle off")
        await hands.press("f2")
        assert first.key not in hands.app.judged.worklist.by_key
        assert "Have the source stopped" in hands.text.splitlines()[3], "the next came up"
        # Two hours a day, no heat, four degrees: the plan follows, and says what waits.
        await hands.press("e", "h", "backspace", "2", "enter")
        assert "of 2:00 today" in hands.flat
        await hands.press("e", "w", "e", "t", "4", "enter", "end")
        assert "no heat" in hands.flat
        assert "4 °C" in hands.flat
        assert "WAITS" in hands.text or "waits" in hands.flat
        await hands.press("e", "h", "backspace", "9", "9", "enter")
        assert "not a number that fits" in hands.flat


async def test_the_card_on_the_boat_names_what_is_in_hand_and_is_ticked_off_there(
    tmp_path: Path, checklists: Checklists
) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        book = hands.app.open_file.book
        first, second = hands.app.judged.worklist.jobs[:2]
        assert first.say[:40] in hands.flat
        assert "about 0:20 h, owner" in hands.flat
        await hands.press("d")
        assert hands.app.screen.form.screen == "done"  # type: ignore[attr-defined]
        await hands.press("f2")
        assert hands.app.open_file.book is not book
        assert second.say[:40] in hands.flat
        assert hands.app.judged.worklist.jobs[0].first.key == second.first.key
