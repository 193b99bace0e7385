"""The walk is short where all is well, and asks everything where it is not."""

from __future__ import annotations

from pathlib import Path

from inspect_tui.domain import edits, walk
from inspect_tui.domain.boat_words import BoatType, Feature
from inspect_tui.domain.book import Stamp
from inspect_tui.domain.knowledge.areas import By
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.walking.triage import may_stand_for
from inspect_tui.domain.words import FloatState, HullMetal, Rig, Said, UnseenReason
from inspect_tui.store.book_file import BookFile, create_book
from inspect_tui.terminal.screens.modals import PickOne
from inspect_tui.terminal.screens.walk.walk import WalkScreen
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

    async def answer(self) -> None:
        """One question, as it is answered where all is well."""
        screen = self.screen
        place, prompt = screen.place, screen.prompt
        if place.area in SEALED:
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
