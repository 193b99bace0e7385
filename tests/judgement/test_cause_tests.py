"""The tests that tell causes apart: what a person does, in an order in which none spoils another, and none that lets
water in."""

from __future__ import annotations

import itertools
import re

import pytest

from inspect_tui.domain.knowledge.causes import Causes, Spot
from inspect_tui.domain.words import HullMetal
from inspect_tui.judgement.causes.cause import WORTH_MAKING, find_causes, known_of
from inspect_tui.store.checklist_files import load_checklists
from tests.judgement.test_cause import CASES
from tests.judgement.test_cause_apart import APART

# With these words a test begins: somebody does something.
BEGINS = frozenset(
    {
        "air", "ask", "close", "compare", "cut", "drain", "follow", "go", "hang", "hold", "lay", "let", "look",
        "measure", "move", "name", "photograph", "pour", "put", "read", "run", "scrape", "set", "sight", "slide",
        "stroke", "switch", "take", "tap", "wipe",
    }
)  # fmt: skip
SPOTS = (
    Spot(sea_side=True, inside=False, tank=False),
    Spot(sea_side=False, inside=True, tank=False),
    Spot(sea_side=False, inside=True, tank=True),
)


@pytest.fixture(scope="module")
def known() -> Causes:
    return load_checklists().causes


def test_each_test_says_what_is_done_by_hand_and_what_to_look_for(known: Causes) -> None:
    for test in known.tests.values():
        assert re.findall(r"\w+", test.how.lower())[0] in BEGINS, test.id
        assert re.search(
            r"\b(look|read|listen|feel|ask|measure|watch|turn|see|hold|squeeze|smell)", test.how.lower()
        ), test.id
        assert len(test.how.split()) >= 8, test.id
        assert test.how.endswith((".", "?")), test.id


def test_every_sign_but_the_place_itself_is_learned_by_one_test(known: Causes) -> None:
    learned = [test.sign for test in known.tests.values()]
    assert set(known.signs) - set(learned) == {"fuel-tank"}


def test_what_needs_the_dirt_is_marked_and_so_is_what_takes_it(known: Causes) -> None:
    dirty = {test.sign for test in known.tests.values() if test.dirty}
    assert {
        "powder", "dirt", "copper-stain", "alkaline-blister", "poultice-outline", "grey-paste", "black-slime",
        "bright-crater", "slime-line", "feather-growth", "worm-tracks", "blue-black-skin", "product-lump",
        "board-outline", "copper-drip",
    } <= dirty  # fmt: skip
    for test in known.tests.values():
        assert test.spoils is (test.wipes or bool(test.does))
        if re.search(r"\b(wipe|scrape|brush|pour)\b", test.how.lower()) and test.id not in ("lift", "crater"):
            assert test.spoils, test.id


@pytest.mark.parametrize("number", range(0, len(CASES) + len(APART), 3))
def test_nothing_is_spoiled_that_is_still_worth_looking_at(known: Causes, number: int) -> None:
    """From the first look to the last, as she lies on land and afloat, under water and above."""
    case: dict[str, list[str]] = [*CASES, *APART][number]
    here = known_of(known, tuple(HullMetal)[number % 2], SPOTS[number // 3 % 3])
    for afloat, below in ((False, True), (True, True), (True, False)):
        seen, absent, made = list(case["seen"]), list(case.get("absent", ())), []
        while (test := find_causes(here, seen, absent).next_test(afloat=afloat, below=below)) is not None:
            told = find_causes(here, seen, absent)
            assert test.can_be_made(afloat=afloat, below=below)
            assert not (afloat and below and test.does)
            if test.spoils:
                left = [
                    one
                    for one in told._tests
                    if one.dirty
                    and one is not test
                    and one.can_be_made(afloat=afloat, below=below)
                    and told.learned.get(one.id, 0.0) >= WORTH_MAKING
                    and not (test.dirty and one.spoils)
                ]
                assert not left, (test.id, [one.id for one in left])
            made.append(test.id)
            absent.append(test.sign)
        assert len(made) == len(set(made)) or len({known.tests[one].sign for one in made}) == len(made)


def test_for_every_test_and_zone_nothing_opens_her_afloat_under_water(known: Causes) -> None:
    for test, afloat, below in itertools.product(known.tests.values(), (False, True), (False, True)):
        can = test.can_be_made(afloat=afloat, below=below)
        assert can is not ((test.afloat and not afloat) or (bool(test.does) and afloat and below)), test.id
        assert not test.does or "sinking" in test.cautions


def test_a_test_that_scrapes_waits_for_one_that_looks(known: Causes) -> None:
    here = known_of(known, HullMetal.STEEL)
    order = [one.id for one in find_causes(here, ["pits"])._tests]
    assert order.index("paint-look") < order.index("what-lay-there"), "by its worth alone it would come first"
    asked: list[str] = []
    absent: list[str] = []
    while (test := find_causes(here, ["pits"], absent).next_test(afloat=False)) is not None:
        asked.append(test.id)
        absent.append(test.sign)
    for look in ("what-lay-there", "skin-look", "outline", "slime-look", "cover-edge"):
        assert asked.index(look) < asked.index("powder-wipe") < asked.index("paint-look"), look
    assert asked.index("powder-wipe") < asked.index("bowl-lens")


def test_a_slime_of_the_fuel_is_asked_for_in_a_fuel_tank_alone(known: Causes) -> None:
    for spot in SPOTS:
        asked = {one.sign for one in find_causes(known_of(known, HullMetal.ALUMINIUM, spot), ["pits"])._tests}
        assert ("slime-line" in asked) is spot.tank
