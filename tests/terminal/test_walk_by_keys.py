"""The whole job by the keyboard: start, walk, find, measure, stop, resume, list, papers."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from inspect_tui.domain import edits, walk
from inspect_tui.domain.boat_words import Feature
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.records import Boat
from inspect_tui.domain.words import FloatState, HullMetal, Likelihood, Rig, Said, Severity, Status, UnseenReason
from inspect_tui.store.book_file import BookFile, open_book
from inspect_tui.terminal.app import InspectApp
from inspect_tui.terminal.lists import ListScreen
from inspect_tui.terminal.palette import Palette
from inspect_tui.terminal.screens.boat.boat import BoatScreen
from inspect_tui.terminal.screens.boat.start import OF_STEEL, OFFERED, Compartments, StartScreen
from inspect_tui.terminal.screens.modals import PickOne
from inspect_tui.terminal.screens.walk.walk import WalkScreen
from inspect_tui.terminal.widgets.field import Field
from inspect_tui.terminal.widgets.long_section import LongSection
from tests.conftest import SteppingClock, finding_edit, prompt_called, reading_edit
from tests.terminal.helpers import Hands, at_work, demo_file, screen_text

# What a new user types between the empty screen and the first answer.
ENTER = "enter"
FIRST_KEYS = [*"Tern", ENTER, ENTER, "s", ENTER, "a", ENTER, *"9,5", ENTER, "h", ENTER, ENTER, ENTER, ENTER, "s"]


def opened(hands: Hands) -> BookFile:
    assert hands.app.book_file is not None
    return hands.app.book_file


async def start(hands: Hands, state: str = "h") -> None:
    """A new book, and the walk at the stem: what comes before the first board is passed over."""
    await hands.press(*[state if key == "h" else key for key in FIRST_KEYS[:-1]], "pagedown")


async def test_from_nothing_to_the_first_answer_in_fewer_than_forty_keys(
    tmp_path: Path, checklists: Checklists
) -> None:
    assert len(FIRST_KEYS) < 40
    async with at_work(checklists, None, start_path=tmp_path / "tern.hullbook") as hands:
        await hands.press(*FIRST_KEYS)
        book = opened(hands).book
        assert [answer.said for answer in book.answers.values()] == [Said.SOUND]
        assert book.boat.name == "Tern"
        assert book.boat.hull_length_m == 9.5
    assert open_book(tmp_path / "tern.hullbook", SteppingClock(), "").book.tables == book.tables


async def test_an_untouched_compartment_takes_one_key_for_each_sound_answer(
    tmp_path: Path, checklists: Checklists
) -> None:
    async with at_work(checklists, None, start_path=tmp_path / "tern.hullbook") as hands:
        await start(hands)
        book = opened(hands).book
        first, second = book.bow_to_stern()[1:3]
        asked = walk.progress(book, checklists, first).asked
        await hands.press("s", "f")
        for _ in range(asked - 2):
            await hands.press("s")
            if isinstance(hands.app.screen, PickOne):
                await hands.press("y")
        done = walk.progress(opened(hands).book, checklists, first)
        assert done.complete
        assert (done.seen_percent, done.by_look) == (100, 0), "the look said no: each was asked"
        assert second.name in hands.text, "and the walk stands in the next compartment"


async def test_stopping_and_coming_back_tomorrow(tmp_path: Path, checklists: Checklists) -> None:
    path = tmp_path / "tern.hullbook"
    async with at_work(checklists, None, start_path=path) as hands:
        await start(hands)
        await hands.press("s", "f", "s", "escape")
        assert isinstance(hands.app.screen, BoatScreen)
        await hands.press("q")
    tomorrow = open_book(path, SteppingClock(), "Mattis")
    async with at_work(checklists, tomorrow) as hands:
        assert "You stopped today at" in hands.flat
        assert "question 4 of" in hands.flat
        await hands.press("enter")
        assert isinstance(hands.app.screen, WalkScreen)
        assert "4 of" in hands.text.splitlines()[1]


async def test_a_finding_with_severity_position_and_readings(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, None, start_path=tmp_path / "tern.hullbook") as hands:
        await start(hands)
        await hands.press("s", "f", *["right"] * 3, "f")
        await hands.type("row of pits")
        await hands.press("enter", "enter", "2", "enter", "b", "enter")
        await hands.type("14")
        await hands.press("enter")
        await hands.type("-120")
        await hands.press("enter", "p", "f2")
        finding = opened(hands).book.findings["1"]
        assert (finding.words, finding.severity, finding.likelihood) == (
            "row of pits",
            Severity.CRITICAL,
            Likelihood.B,
        )
        assert walk.position_words(finding.position) == "frame 14 − 120 mm, port"
        await hands.press("m")
        await hands.type("3.1 2,4")
        assert "2 readings: 3.1 · 2.4 mm = 0.122 · 0.094 in" in hands.flat
        await hands.press("enter")
        reading = next(iter(opened(hands).book.readings.values()))
        assert reading.typed == "3.1 2,4"
        assert reading.finding == 1
        assert opened(hands).book.findings["1"].status is Status.MEASURED
        assert opened(hands).book.drafts == {}


async def test_bad_numbers_are_explained_and_nothing_typed_is_lost(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        await hands.press("number_sign", "enter", "f4")
        await hands.type("3.1 2,4,5")
        assert "put a space between numbers" in hands.flat
        before = len(opened(hands).book.readings)
        await hands.press("enter")
        assert len(opened(hands).book.readings) == before
        assert hands.app.screen.query_one("#values", Field).value == "3.1 2,4,5"


async def test_unseen_asks_for_the_reason_and_not_fitted_does_not(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, None, start_path=tmp_path / "tern.hullbook") as hands:
        await start(hands)
        await hands.press("s", "f", "u")
        assert len(opened(hands).book.answers) == 2
        await hands.press("2", "n", "u", "x")
        await hands.type("a bird nests there")
        await hands.press("enter")
        said = [(one.said, one.reason, one.note) for one in list(opened(hands).book.answers.values())[2:]]
        assert said == [
            (Said.UNSEEN, UnseenReason.REACH, ""),
            (Said.NOT_FITTED, None, ""),
            (Said.UNSEEN, UnseenReason.OTHER, "a bird nests there"),
        ]


async def test_afloat_the_walk_says_wait_and_takes_only_unseen(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, None, start_path=tmp_path / "tern.hullbook") as hands:
        await start(hands, state="a")
        book = opened(hands).book
        assert book.boat.float_state is FloatState.AFLOAT
        place = next(one for one in book.compartments.values() if one.area == "rudder")
        prompts = walk.prompts_of(checklists, book, place)
        key = next(prompt.key for prompt in prompts if "hauled out" in prompt.needs)
        hands.app.go("walk", compartment=place.id, prompt=key)
        await hands.pilot.pause()
        assert "She is afloat" in hands.flat
        await hands.press("s", "f")
        assert opened(hands).book.answers == {}
        await hands.press("u")
        assert [one.reason for one in opened(hands).book.answers.values()] == [UnseenReason.NOT_HAULED]


async def test_any_answer_and_any_finding_can_be_taken_back(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, None, start_path=tmp_path / "tern.hullbook") as hands:
        await start(hands)
        await hands.press("s", "f", "f", "f2", "z", "z", "z")
        assert opened(hands).book.answers == {}
        assert opened(hands).book.findings == {}
        await hands.press("escape", "j", "down", "enter", "y")
        assert "Took back" in hands.text


async def test_a_half_typed_form_comes_back(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, None, start_path=tmp_path / "tern.hullbook") as hands:
        await start(hands)
        await hands.press("s", "f", "f")
        await hands.type("half a sen")
        await hands.press("escape", "s", "left", "f")
        assert hands.app.screen.query_one("#words", Field).value == "half a sen"
        await hands.press("escape", "right", "f", "f2")
        assert set(opened(hands).book.findings) == {"2"}, "number 1 is on the metal already"


async def test_looking_at_a_form_leaves_no_draft(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        for pressed in ("d", "e"):
            await hands.press(pressed)
            await hands.pilot.pause(0.5)
            await hands.press("escape")
        assert opened(hands).book.drafts == {}


async def test_done_on_the_list_moves_the_finding_on(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        await hands.press("w", "down", "d")
        await hands.type("hose led overboard")
        await hands.press("enter")
        await hands.type("new hose")
        await hands.press("f2")
        book = opened(hands).book
        assert book.findings["39"].status is Status.REPAIRED
        newest = max(book.done.values(), key=lambda done: done.when)
        assert (newest.note, newest.used, newest.by) == ("hose led overboard", "new hose", "Mattis")
        assert "verify the repair" in hands.flat


async def test_enter_on_the_list_goes_to_the_finding_and_y_opens_the_working(
    tmp_path: Path, checklists: Checklists
) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        await hands.press("w", "enter")
        assert "Finding 39" in hands.text
        await hands.press("escape", "y")
        assert "I × B = high" in hands.text


async def test_own_decision_with_its_reason(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        await hands.press("number_sign", "enter", "f9", "1", "2")
        await hands.press("enter")
        assert opened(hands).book.findings["1"].override is None, "a reason is needed"
        await hands.type("above the waterline")
        await hands.press("enter")
        override = opened(hands).book.findings["1"].override
        assert override is not None
        assert override.reason == "above the waterline"


async def test_compartments_can_be_added_named_and_taken_away(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        before = len(opened(hands).book.compartments)
        await hands.press("a", "enter")
        await hands.press(*["end"], *["backspace"] * 50)
        await hands.type("Spare locker")
        await hands.press("f2")
        assert "Spare locker" in {one.name for one in opened(hands).book.compartments.values()}
        await hands.press("e", "f8", "y")
        assert len(opened(hands).book.compartments) == before


async def test_particulars_are_checked_for_sense(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        await hands.press("h")
        hands.app.screen.query_one("#waterline_length_m", Field).value = "15"
        await hands.press("f2")
        assert "longer than the hull" in hands.flat
        hands.app.screen.query_one("#waterline_length_m", Field).value = "11,3"
        await hands.press("f2")
        assert opened(hands).book.boat.waterline_length_m == 11.3


async def test_arrows_go_from_field_to_field_in_a_form_longer_than_the_screen(
    tmp_path: Path, checklists: Checklists
) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        await hands.press("h")
        seen = []
        for _ in range(4):
            assert hands.app.focused is not None
            seen.append(hands.app.focused.id)
            await hands.press("down")
        assert len(set(seen)) == 4
        await hands.press("up")
        assert hands.app.focused is not None
        assert hands.app.focused.id == seen[-1]


async def test_a_new_round_and_a_change_of_state(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        await hands.press("f9", "3", "enter")
        assert len(opened(hands).book.rounds) == 2, "a round needs its purpose"
        await hands.type("spring")
        await hands.press("enter", "escape", "f9", "4", "y")
        book = opened(hands).book
        assert (book.round.number, book.round.purpose, book.boat.afloat) == (3, "spring", True)
        await hands.press("enter", "right")
        assert "round 2" in hands.flat


async def test_read_only_nothing_is_changed_and_everything_can_be_read(
    tmp_path: Path, checklists: Checklists
) -> None:
    demo_file(tmp_path).close()
    async with at_work(checklists, demo_file(tmp_path, write=False)) as hands:
        assert "READ ONLY" in hands.text
        tables = opened(hands).book.tables
        await hands.press("enter", "s", "u", "f", "z", "n", "m", *"12", "enter", "escape", "escape")
        await hands.press("w", "d", "enter", "f2", "escape", "escape", "p", "f2", "escape", "f5")
        assert opened(hands).book.tables == tables


async def test_a_failed_save_stays_in_sight_and_a_copy_can_be_saved(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        path = opened(hands).path
        path.write_bytes(path.read_bytes() + b"\n")
        await hands.press("enter", "n")
        assert "Another program has changed" in hands.flat
        assert "NOT SAVED" in hands.text
        await hands.press("escape", "q")
        assert "save a copy elsewhere" in hands.text
        await hands.press("c", "enter")
        copy = open_book(tmp_path / "sandmartin-copy.hullbook", SteppingClock(), "")
        assert copy.book.answers == opened(hands).book.answers
        await hands.press("q", "o")
        await hands.pilot.pause()
    assert open_book(path, SteppingClock(), "").book.answers == copy.book.answers


async def test_the_palette_reaches_every_screen(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path), size=(100, 30)) as hands:
        commands = {command.title for command in hands.app.get_system_commands(hands.app.screen)}
        wanted = {"Worklist", "Chalk numbers", "Papers", "Trail", "Undo", "Boat's particulars"}
        assert wanted <= commands
        for title, seen in (("worklist", "AFLOAT"), ("trail", "Started the book"), ("light or dark", "Esc")):
            await hands.press("ctrl+p")
            await hands.type(title)
            await hands.pilot.pause(0.4)
            await hands.press("enter")
            await hands.pilot.pause(0.2)
            if title == "trail":
                await hands.press("end")
            assert seen in hands.text or title == "light or dark"
        assert hands.app.theme == "sunlight"


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_the_mouse_works_too(size: tuple[int, int], tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path), size=size) as hands:
        await hands.pilot.click("LongSection", offset=(8, 1))
        assert "Before the first board" in hands.text
        assert not isinstance(hands.app.screen, StartScreen)


async def test_words_typed_before_the_answer_wait_and_go_with_it(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, None, start_path=tmp_path / "tern.hullbook") as hands:
        await start(hands)
        await hands.press("s", "f", "a")
        await hands.type("smells of diesel")
        await hands.press("enter")
        assert len(opened(hands).book.answers) == 2
        assert "saved with the answer: smells of diesel" in hands.flat
        await hands.press("s")
        assert [answer.note for answer in opened(hands).book.answers.values()] == ["", "", "smells of diesel"]
        assert opened(hands).book.drafts == {}


async def test_sound_over_an_open_finding_is_asked_first(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, None, start_path=tmp_path / "tern.hullbook") as hands:
        await start(hands)
        await hands.press("s", "f", "f", "f2", "s", "n")
        assert [answer.said for answer in opened(hands).book.answers.values()][2:] == [Said.FINDING]
        await hands.press("s", "y")
        assert [answer.said for answer in opened(hands).book.answers.values()][2:] == [Said.SOUND]
        assert set(opened(hands).book.findings) == {"1"}


async def test_loose_pits_can_become_a_finding_at_once(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, None, start_path=tmp_path / "tern.hullbook") as hands:
        await start(hands)
        await hands.press("s", "f", "right", "right", "right", "m")
        assert "pit depths" in hands.text
        await hands.type("4.7 5")
        await hands.press("enter")
        assert "Pits belong to a finding" in hands.flat
        await hands.press("y")
        book = opened(hands).book
        assert next(iter(book.readings.values())).finding == 1
        assert "Finding 1" in hands.text
        assert book.drafts == {}


async def test_a_finding_is_not_verified_without_repair_and_reading(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        await hands.press("number_sign", "enter", "f7", "v", "enter")
        assert "Only what was repaired" in hands.flat
        await hands.press("f7", "r", "enter", "f7", "v", "enter")
        assert "Measure finding 1 again" in hands.flat
        assert opened(hands).book.findings["1"].status is Status.REPAIRED


async def test_a_form_whose_subject_is_taken_back_closes(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, None, start_path=tmp_path / "tern.hullbook") as hands:
        await start(hands)
        await hands.press("f", "f2")
        hands.app.go("finding", chalk=1)
        await hands.pilot.pause()
        hands.app.undo_last()
        await hands.pilot.pause()
        assert isinstance(hands.app.screen, WalkScreen)
        await hands.press("escape", "a", "enter")
        hands.app.undo_last()
        await hands.pilot.pause()
        assert isinstance(hands.app.screen, BoatScreen)


async def test_what_is_typed_and_deleted_again_leaves_no_draft(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        await hands.press("h", "end", "X")
        await hands.pilot.pause(0.5)
        assert [one.screen for one in opened(hands).book.drafts.values()] == ["particulars"]
        await hands.press("backspace")
        await hands.pilot.pause(0.5)
        assert opened(hands).book.drafts == {}


async def test_half_written_forms_are_listed_opened_and_thrown_away(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        hands.app.go("walk", compartment="c8-demo", prompt="everywhere/opening")
        await hands.settle()
        await hands.press("f")
        await hands.type("half")
        await hands.press("escape", "escape", "f")
        await hands.type("other")
        await hands.press("escape", "f9", "2", "1", "o")
        assert hands.app.screen.query_one("#words", Field).value == "half"
        await hands.press("escape", "f9", "2", "1", "t", "f9", "2", "1", "t", "f9", "2")
        assert opened(hands).book.drafts == {}


async def test_the_writer_can_change(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        hands.app.write_as("Liv")
        await hands.press("enter", "n")
        assert max(opened(hands).book.trail.values(), key=lambda change: change.number).by == "Liv"


async def test_unticked_compartments_stay_unticked_after_going_back(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, None, start_path=tmp_path / "tern.hullbook") as hands:
        to_the_places = ["down"] * (len(OFFERED) - len(OF_STEEL) + 1)
        await hands.press(*FIRST_KEYS[:-2], *to_the_places, "space", "escape", "f2", "enter")
        assert "stem" not in {place.area for place in opened(hands).book.compartments.values()}


async def test_a_form_keeps_what_it_does_not_show_and_long_is_not_wide(
    tmp_path: Path, checklists: Checklists
) -> None:
    file = demo_file(tmp_path)
    boat = file.book.boat
    datum = boat.datum.model_copy(update={"frame_table_mm": (0.0, 480.0, 970.0)})
    file.record(edits.change_boat(boat.model_copy(update={"datum": datum})))
    async with at_work(checklists, file, size=(100, 60)) as hands:
        hands.app.go("particulars")
        await hands.settle()
        hands.app.screen.query_one("#name", Field).value = "Sand Martin"
        await hands.press("f2")
        kept = opened(hands).book.boat
        assert kept.name == "Sand Martin"
        assert kept.datum == datum
        assert kept.float_history == boat.float_history
        hands.app.go("finding", chalk=23)
        await hands.settle()
        hands.app.screen.query_one("#extent_length_mm", Field).value = "710"
        hands.app.screen.query_one("#extent_width_mm", Field).value = "170"
        await hands.press("f2")
        finding = opened(hands).book.findings["23"]
        assert (finding.extent_length_mm, finding.extent_width_mm) == (710, 170)


async def test_the_walk_shows_the_findings_and_readings_of_its_own_place_alone(
    tmp_path: Path, checklists: Checklists
) -> None:
    file = demo_file(tmp_path)
    area = checklists.areas["cabin-bilge"]
    file.record(edits.add_compartment(file.book, area, "Second bilge"))
    first, second = [place for place in file.book.bow_to_stern() if place.area == "cabin-bilge"]
    prompt = prompt_called(checklists, file.book, "cabin-bilge/pit-grid")[1]
    for place, words, depth in ((first, "of the first", 1.11), (second, "of the second", 2.22)):
        file.record(finding_edit(file.book, file.stamp(), place, prompt, words=words))
        file.record(reading_edit(file.book, file.stamp(), place, "pits", [depth], prompt=prompt.key))
    async with at_work(checklists, file, size=(100, 50)) as hands:
        for place, words, read in ((first, "of the first", "1.11"), (second, "of the second", "2.22")):
            hands.app.go("walk", compartment=place.id, prompt=prompt.key)
            await hands.settle()
            assert words in hands.text
            assert read in hands.text
            assert ("of the first" in hands.text) + ("of the second" in hands.text) == 1
            assert ("1.11" in hands.text) + ("2.22" in hands.text) == 1
            await hands.press("escape")


async def test_a_number_typed_sign_by_sign_finds_its_row_across_gaps(tmp_path: Path, checklists: Checklists) -> None:
    file = demo_file(tmp_path)
    place = file.book.bow_to_stern()[0]
    file.record(finding_edit(file.book, file.stamp(), place, chalk=112, words="the last"))
    async with at_work(checklists, file, size=(100, 50)) as hands:
        await hands.press("number_sign", "7")
        screen = hands.app.screen
        assert isinstance(screen, ListScreen)
        assert screen.list_key == "7"
        await hands.press("1", "1", "2")
        assert screen.list_key == "112"
        await hands.press("escape", "j", "4", "2", "3")
        trail = hands.app.screen
        assert isinstance(trail, ListScreen)
        assert trail.list_key.partition("-")[0] == "423"


async def test_after_a_new_round_nobody_is_told_of_a_place_where_they_never_were(
    make_file: Callable[..., BookFile], checklists: Checklists
) -> None:
    opened = make_file()
    async with at_work(checklists, opened) as hands:
        await hands.press("enter", "s", "escape")
        assert "You stopped today at" in hands.flat
        hands.app.record(lambda: edits.open_round(opened.book, opened.stamp(), "spring"))
        await hands.settle()
        assert "Round 2 has not begun. Enter starts in" in hands.flat
        assert "You stopped" not in hands.flat
        await hands.press("enter", "s", "escape")
        assert "You stopped today at" in hands.flat


async def test_a_palette_closed_while_it_gathers_its_commands_is_no_fault(
    make_file: Callable[..., BookFile], checklists: Checklists
) -> None:
    async with at_work(checklists, make_file()) as hands:
        palette = Palette()
        # As it is when it was closed in between: nothing of it stands on any screen.
        await Palette._gather_commands.__wrapped__(palette, "x")  # type: ignore[attr-defined]
        await hands.press("ctrl+p")
        assert isinstance(hands.app.screen, Palette)
        await hands.press("escape")
        assert isinstance(hands.app.screen, BoatScreen)


async def test_what_is_to_be_said_of_the_file_stands_beside_it_and_covers_nothing(checklists: Checklists) -> None:
    app = InspectApp(checklists, SteppingClock(), "Mattis", start_path=Path("/boats/tern.hullbook"))
    app.note = "There is no file /boats/tern.hullbook: mistyped?"
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        lines = screen_text(app).splitlines()
        at = next(number for number, line in enumerate(lines) if "There is no file" in line)
        assert "tern.hullbook" in lines[at - 1], "under its field"
        assert any("[w]orkboat" in line for line in lines), "no choice is covered"
        app.screen.query_one("#file", Field).value = "/boats/other.hullbook"
        await pilot.pause()
        assert "There is no file" not in screen_text(app)


@pytest.mark.parametrize("state", ["h", "a"])
async def test_that_she_floats_is_a_reason_only_while_she_does(
    state: str, tmp_path: Path, checklists: Checklists
) -> None:
    async with at_work(checklists, None, start_path=tmp_path / "tern.hullbook") as hands:
        await start(hands, state)
        await hands.press("s", "f", "u")
        assert ("she was afloat" in hands.flat) is (state == "a")


async def test_jets_take_shaft_and_rudder_off_the_list_and_bring_them_back(
    tmp_path: Path, checklists: Checklists
) -> None:
    async with at_work(checklists, None, start_path=tmp_path / "tern.hullbook") as hands:
        await hands.press(*FIRST_KEYS[:-2])
        places = hands.app.screen.query_one(Compartments)
        places.highlighted = places.get_option_index(f"has {Feature.WATER_JET.value}")
        assert {"stern-gear", "rudder"} <= places.ticked
        await hands.press("space")
        assert not {"stern-gear", "rudder"} & places.ticked
        await hands.press("space")
        assert {"stern-gear", "rudder"} <= places.ticked


def test_only_riveted_steel_may_be_iron() -> None:
    told = {
        (metal, riveted): Boat(
            name="x", rig=Rig.SAIL, hull_metal=metal, hull_length_m=9.0, features={Feature.RIVETED: riveted}
        ).metal_words
        for metal in HullMetal
        for riveted in (True, False)
    }
    assert told == {
        (HullMetal.ALUMINIUM, True): "aluminium", (HullMetal.ALUMINIUM, False): "aluminium",
        (HullMetal.STEEL, True): "steel or iron", (HullMetal.STEEL, False): "steel",
    }  # fmt: skip


async def test_a_place_without_a_question_says_so(tmp_path: Path, checklists: Checklists) -> None:
    """On a boat with jets there is no shaft to ask about."""
    async with at_work(checklists, None, start_path=tmp_path / "tern.hullbook") as hands:
        await start(hands)
        await hands.press("escape")
        book = opened(hands).book
        boat = book.boat.model_copy(update={"features": {**book.boat.features, Feature.WATER_JET: True}})
        assert hands.app.record(lambda: edits.change_boat(boat))
        place = next(one for one in book.bow_to_stern() if one.area == "stern-gear")
        hands.app.screen.query_one(LongSection).selected = place.id
        await hands.press("enter")
        assert "Nothing is asked there on this boat" in hands.flat
        assert isinstance(hands.app.screen, BoatScreen)


async def test_all_questions_of_a_place_in_one_list(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, None, start_path=tmp_path / "tern.hullbook") as hands:
        await start(hands)
        await hands.press("s", "s", "slash")
        assert "Stem and fore peak: " in hands.text
        assert "= How much of the metal" in hands.flat, "with what was said"
        await hands.type("wedge")
        await hands.press("enter")
        assert "is the metal in the wedge free of paste" in hands.flat


async def test_what_is_no_metal_gets_its_number_on_a_tag(tmp_path: Path, checklists: Checklists) -> None:
    """There is nothing to chalk where a pump or its alarm is missing."""
    async with at_work(checklists, None, start_path=tmp_path / "tern.hullbook") as hands:
        await start(hands)
        await hands.press("s", "f", "f")
        assert "chalk 1 on the metal, ring it" in hands.flat
        await hands.press("enter", "7")
        assert "write 1 on a tag there" in hands.flat
