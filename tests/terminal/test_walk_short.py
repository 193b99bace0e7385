"""The walk is short where all is well, and asks everything where it is not."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path

from inspect_tui.domain import edits, walk
from inspect_tui.domain.boat_words import BoatType, Feature
from inspect_tui.domain.book import Edit, Put, Stamp
from inspect_tui.domain.knowledge.areas import By
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.records import Answer, Compartment
from inspect_tui.domain.walking import turns
from inspect_tui.domain.walking.triage import may_stand_for
from inspect_tui.domain.words import FloatState, HullMetal, Rig, Said, UnseenReason
from inspect_tui.store.book_file import BookFile, create_book
from inspect_tui.terminal.screens.modals import PickOne
from inspect_tui.terminal.screens.walk.walk import WalkScreen
from inspect_tui.terminal.screens.walk.walk_words import WalkWords
from tests.conftest import IDENTITY, START, SteppingClock
from tests.terminal.helpers import Hands, at_work

# A sloop of 26 compartments, two of them voids that nobody opened.
HERS = (
    "before-first-board", "stem", "chain-locker", "forward-cabin", "hull-sides", "deck", "chainplates", "mast-step",
    "cabin-bilge", "sump", "hollow-keel", "head", "galley", "electrics", "water-tank", "fuel-tank", "skin-fittings",
    "engine", "stern-gear", "exhaust", "cockpit", "lazarette", "rudder", "bulkheads", "old-patches", "underwater",
)  # fmt: skip
SEALED = ("hollow-keel", "bulkheads")
MOST_KEYS = 260


def sloop(checklists: Checklists, folder: Path, *areas: str) -> BookFile:
    new = edits.NewBoat(
        "Tern", Rig.SAIL, HullMetal.ALUMINIUM, 11.5, FloatState.HAULED_OUT, BoatType.YACHT,
        {Feature.SAILDRIVE: False, Feature.FOAM: False},
    )  # fmt: skip
    hers = [checklists.areas[id] for id in areas or HERS]
    start = edits.start_book(Stamp(START, "Mattis"), IDENTITY, new, hers)
    return create_book(folder / "tern.hullbook", start, SteppingClock(), "Mattis")


class Walker:
    """Somebody on a sound boat: says yes to what is so, measures the air, leaves sealed voids shut."""

    def __init__(self, hands: Hands) -> None:
        self.hands = hands
        self.keys: dict[str, int] = {}

    @property
    def screen(self) -> WalkScreen:
        assert isinstance(self.hands.app.screen, WalkScreen), self.hands.text
        return self.hands.app.screen

    async def press(self, place: Compartment, *keys: str) -> None:
        self.keys[place.area] = self.keys.get(place.area, 0) + len(keys)
        await self.hands.press(*keys)

    async def answer(self, sealed: Collection[str] = SEALED) -> None:
        """One question, as it is answered where all is well."""
        screen = self.screen
        place, prompt = screen.place, screen.prompt
        if place.area in sealed:
            await self.press(place, "r", "5")
        elif walk.asks_air(screen.checklists, place, prompt):
            await self.press(place, "m", *"21", "enter", "enter", "s")
        elif prompt.key == "old-patches/patch-list":
            await self.press(place, "n")
        else:
            await self.press(place, "s")
            while isinstance(self.hands.app.screen, PickOne):
                await self.press(place, "y")


async def test_a_sound_boat_of_26_compartments_is_walked_in_few_keys(tmp_path: Path, checklists: Checklists) -> None:
    file = sloop(checklists, tmp_path)
    assert len(file.book.compartments) == 26
    async with at_work(checklists, file) as hands:
        walker = Walker(hands)
        await hands.press("enter")
        for _ in range(400):
            if all(walk.progress(file.book, checklists, one).complete for one in file.book.bow_to_stern()):
                break
            await walker.answer()
    keys = walker.keys
    assert sum(keys.values()) <= MOST_KEYS, keys
    assert all(keys[area] <= 4 for area in SEALED), keys
    clean = [number for area, number in keys.items() if area not in SEALED]
    assert sum(clean) / len(clean) <= 9.0, " ".join(f"{a}={n}" for a, n in keys.items())
    for place in file.book.bow_to_stern():
        for prompt in walk.prompts_of(checklists, file.book, place):
            answer = walk.answer_of(file.book, place.id, prompt.key)
            if answer is None:
                assert prompt.by is By.GAUGE, f"{prompt.key} was never asked"
            elif answer.by_look:
                assert may_stand_for(prompt), prompt.key
            elif place.area in SEALED:
                assert (answer.said, answer.reason) == (Said.UNSEEN, UnseenReason.SEALED)


async def test_the_first_pass_by_keys_is_at_most_sixty_questions(tmp_path: Path, checklists: Checklists) -> None:
    file = sloop(checklists, tmp_path)
    wanted = turns.first_pass(checklists, file.book)
    async with at_work(checklists, file) as hands:
        assert f"First pass: {len(wanted)} left of {len(wanted)} (b)." in hands.flat
        walker = Walker(hands)
        await hands.press("b")
        asked, told = [], set[str]()
        while any(walk.is_open(file.book, *one) for one in wanted):
            asked.append((walker.screen.place.area, walker.screen.prompt.key))
            await walker.answer(sealed=())
            told |= {str(one.message) for one in hands.app._notifications}
        assert any("what the first pass asks is answered" in one for one in told)
        assert not any("every question answered" in one for one in told)
        assert any("The first pass is done" in one for one in told)
        await hands.press("escape", "b")
        assert "Every question of the first pass is answered" in "".join(
            str(one.message) for one in hands.app._notifications
        )
    assert len(asked) == len(set(asked)) == len(wanted) <= 60
    assert asked == [(place.area, prompt.key) for place, prompt in wanted]
    assert sum(walker.keys.values()) <= 75


async def test_the_look_says_no_and_every_question_is_asked_by_keys(tmp_path: Path, checklists: Checklists) -> None:
    file = sloop(checklists, tmp_path, "forward-cabin", "rudder", "engine")
    async with at_work(checklists, file) as hands:
        walker = Walker(hands)
        await hands.press("enter")
        while not all(walk.progress(file.book, checklists, one).complete for one in file.book.bow_to_stern()):
            if walker.screen.prompt.glance:
                await walker.press(walker.screen.place, "f")
            else:
                await walker.answer()
        assert "Nothing is left to ask" in "".join(str(one.message) for one in hands.app._notifications)
    for place in file.book.bow_to_stern():
        done = walk.progress(file.book, checklists, place)
        assert done.by_look == 0
        asked = [one for one in walk.prompts_of(checklists, file.book, place) if one.by is not By.GAUGE]
        assert done.one_by_one == len(asked) - 2, "all but the share and the look"
        assert walker.keys[place.area] >= len(asked)


async def test_the_rest_of_a_place_and_only_what_waits_in_two_keys(tmp_path: Path, checklists: Checklists) -> None:
    file = sloop(checklists, tmp_path, "skin-fittings", "forward-cabin")
    file.record(edits.float_or_haul(file.book, FloatState.AFLOAT, START.date()))
    fittings = next(one for one in file.book.bow_to_stern() if one.area == "skin-fittings")
    async with at_work(checklists, file) as hands:
        await hands.press("enter")
        assert walker_place(hands) == "skin-fittings", "afloat, what can sink her first"
        await hands.press("r")
        assert "only what waits until she is hauled out" in hands.flat
        await hands.press("w")
        reasons = {answer.reason for answer in file.book.answers.values()}
        assert reasons == {UnseenReason.NOT_HAULED}
        left = walk.progress(file.book, checklists, fittings)
        await hands.press("pageup", "r", "x")
        await hands.type("ice in the bilge")
        await hands.press("enter")
        assert walk.progress(file.book, checklists, fittings).complete
        said = {answer.note for answer in file.book.answers.values() if answer.reason is UnseenReason.OTHER}
        assert said == ({"ice in the bilge"} if not left.complete else set())


def walker_place(hands: Hands) -> str:
    screen = hands.app.screen
    assert isinstance(screen, WalkScreen)
    return screen.place.area


async def test_the_finding_just_written_opens_with_one_key_and_a_meters_question_takes_no_yes(
    tmp_path: Path, checklists: Checklists
) -> None:
    file = sloop(checklists, tmp_path, "forward-cabin")
    place = file.book.bow_to_stern()[0]
    async with at_work(checklists, file) as hands:
        await hands.press("enter", "e")
        assert "No finding is written yet" in "".join(str(one.message) for one in hands.app._notifications)
        await hands.press("s", "f", "f", "f2", "e")
        assert "Finding 1" in hands.text
        await hands.press("escape")
        hands.app.go("walk", compartment=place.id, prompt="forward-cabin/berth-thickness")
        await hands.settle()
        assert "to gauge" in hands.flat
        assert "m type what you read" in hands.flat
        assert "[S]ound" not in hands.text
        before = len(file.book.answers)
        await hands.press("s")
        assert len(file.book.answers) == before
        await hands.press("m", *"4.9", "enter", "escape")
        assert "answered by what was read" in hands.flat


async def test_the_list_of_what_is_to_be_gauged(tmp_path: Path, checklists: Checklists) -> None:
    file = sloop(checklists, tmp_path, "forward-cabin", "rudder", "electrics")
    async with at_work(checklists, file, size=(110, 30)) as hands:
        await hands.press("g")
        assert "To gauge:" in hands.flat
        before = hands.flat
        await hands.press("enter", *"4.9", "enter", "escape")
        assert hands.flat != before, "what was read is off the list"
        await hands.press("u", "escape", "escape")
        assert "rudder" in hands.flat.lower()
        while "Nothing is left to gauge" not in hands.flat:
            await hands.press("n", "escape")
    assert all(not walk.progress(file.book, checklists, one).to_gauge for one in file.book.bow_to_stern())


def test_a_question_that_replaces_another_says_what_was_said_to_the_old_one(
    tmp_path: Path, checklists: Checklists
) -> None:
    file = sloop(checklists, tmp_path, "water-tank", "underwater")
    tank, hull = (
        next(one for one in file.book.bow_to_stern() if one.area == id) for id in ("water-tank", "underwater")
    )
    old = Answer(
        round=file.book.round.id, compartment=tank.id, prompt="water-tank/water-quality", said=Said.SOUND, when=START,
        by="Liv",
    )  # fmt: skip
    moved = old.model_copy(update={"prompt": "stern-gear/anode-history", "said": Said.UNSEEN})
    file.record(Edit("as an older list asked", (Put("answers", "a", old), Put("answers", "b", moved))))
    words = WalkWords(file.book, checklists)
    for place, key, said in ((tank, "water-tank/tank-water", "sound"), (hull, "underwater/anode-life", "unseen")):
        prompt = checklists.prompts[key]
        assert walk.is_open(file.book, place, prompt), "an old answer is none to it"
        told = words.before(prompt, place)
        assert "asked anew because the question changed" in told
        assert told.endswith(said)
    assert words.before(checklists.prompts["water-tank/sediment"], tank) == ""
    for prompt in checklists.prompts.values():
        assert not set(prompt.instead_of) & set(checklists.prompts), f"{prompt.key} replaces one that is asked still"
