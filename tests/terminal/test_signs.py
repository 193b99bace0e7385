"""One alphabet of signs on all screens, and what the walk says beside its question."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from textual.geometry import Size

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.areas import By, Prompt
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.words import Said, Tier
from inspect_tui.judgement.shell.shell_map import Looked
from inspect_tui.terminal.screens.boat.boat import LEGEND as BOAT_LEGEND
from inspect_tui.terminal.screens.metal.map import LEGEND as MAP_LEGEND
from inspect_tui.terminal.screens.metal.map import LOOKED_SIGNS, tenths
from inspect_tui.terminal.screens.walk.walk_words import LIST_LEGEND, LIST_SIGNS, WalkWords
from inspect_tui.terminal.widgets.long_section import Look
from tests.terminal.helpers import at_work, demo_file


def signs_of(legend: str) -> dict[str, str]:
    """The signs that a legend explains, each with its words."""
    return {part[0]: part[1:].strip() for part in re.split(r"\s{2,}|\n", legend) if len(part.split()[0]) == 1}


def test_a_sign_means_one_thing_on_all_screens() -> None:
    told: dict[str, set[str]] = {}
    for legend in (BOAT_LEGEND, MAP_LEGEND, LIST_LEGEND):
        for sign, words in signs_of(legend).items():
            told.setdefault(sign, set()).add(words)
    assert told["="] == {"seen", "sound"}, "seen and sound are one sign: looked at, and nothing is open"
    assert told["/"] == {"part seen"}
    assert all(word.startswith("not ") for word in told["."])
    looks = {Look.SEEN: Looked.SEEN, Look.UNSEEN: Looked.PART, Look.NOT_BEGUN: Looked.NOT}
    assert {look: LOOKED_SIGNS[looked] for look, looked in looks.items()} == {look: look.value for look in Look}


def test_every_sign_of_the_list_of_questions_is_explained() -> None:
    assert {*LIST_SIGNS.values(), "/", "?", "~"} == set(signs_of(LIST_LEGEND))
    assert set(LIST_SIGNS) == set(Said)


@pytest.mark.parametrize(("percent", "digit"), [(0.0, "0"), (9.4, "0"), (29.6, "3"), (30.0, "3"), (100.0, "9")])
def test_a_tenth_on_the_map_is_the_tenth_of_the_per_cent_printed_beside_it(percent: float, digit: str) -> None:
    assert tenths(percent) == digit


def tank(book: Book, checklists: Checklists) -> tuple[Compartment, tuple[Prompt, ...]]:
    place = next(one for one in book.compartments.values() if one.name == "Port water tank")
    return place, walk.prompts_of(checklists, book, place)


def test_the_questions_of_a_place_stand_whole_where_they_fit_and_else_on_a_line_each(
    tmp_path: Path, checklists: Checklists
) -> None:
    book = demo_file(tmp_path).book
    place, prompts = tank(book, checklists)
    words = WalkWords(book, checklists)
    whole, at = words.asked_here(prompts, place, 15, (), Size(40, 99))
    flat = " ".join(whole.plain.split())
    assert all(prompt.ask in flat for prompt in prompts)
    assert whole.plain.splitlines()[at].startswith(">"), "the chosen one stands on the line that is told"
    assert len(whole.plain.splitlines()) > len(prompts)
    cut, at = words.asked_here(prompts, place, 15, (), Size(40, 30))
    assert len(cut.plain.splitlines()) == len(prompts)
    assert at == 15
    assert all(len(line) <= 40 for line in (*whole.plain.splitlines(), *cut.plain.splitlines()))


def test_an_answer_that_must_be_asked_again_is_not_drawn_as_sound(tmp_path: Path, checklists: Checklists) -> None:
    book = demo_file(tmp_path).book
    place, prompts = tank(book, checklists)
    air = next(prompt for prompt in prompts if walk.asks_air(checklists, place, prompt))
    share = next(prompt for prompt in prompts if prompt.share)
    words = WalkWords(book, checklists)
    signs = {prompt.key: sign for sign, prompt in words.signed(prompts, place, {air.key})}
    assert signs[air.key] == "?"
    assert {prompt.key: sign for sign, prompt in words.signed(prompts, place)}[air.key] == "="
    assert signs[share.key] == "/", "seen in part is not unseen"
    for prompt in prompts:
        answer = walk.answer_of(book, place.id, prompt.key)
        expected = LIST_SIGNS[answer.said] if answer else "~" if prompt.by is By.GAUGE else " "
        assert signs[prompt.key] == expected or prompt in (air, share)


async def test_the_list_beside_the_question_asks_for_the_air_again_until_it_is_tested(
    tmp_path: Path, checklists: Checklists
) -> None:
    async with at_work(checklists, demo_file(tmp_path), size=(140, 45)) as hands:
        await hands.press("enter")
        assert " WAIT " in hands.text
        assert re.search(r"│\s+\? Has the air in the tank been tested", hands.text)
        assert LIST_LEGEND.splitlines()[0] in hands.text


def test_where_the_walk_stands_is_one_line_and_counts_what_is_asked(tmp_path: Path, checklists: Checklists) -> None:
    book = demo_file(tmp_path).book
    place, prompts = tank(book, checklists)
    words = WalkWords(book, checklists)
    asked = [prompt for prompt in prompts if prompt.by is not By.GAUGE]
    told = words.of_place(place, prompts, 15, 140).plain
    assert f"16 of {len(asked)}" in told
    assert told.startswith("Port water tank   "), "wide gaps where there is room"
    narrow = words.of_place(place, prompts, 15, 78).plain
    assert len(narrow) <= 78
    assert "5 open" in narrow
    few = words.of_place(place, prompts[:4], 1, 140, "first pass: 28 of 57 answered").plain
    assert "2 of 4" in few
    assert few.endswith("all answered   first pass: 28 of 57 answered"), "what is counted is what is asked here"


async def test_a_block_of_red_is_danger_to_life_alone(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        await hands.press("w")
        screen = hands.app.screen
        styles = {tier: str(screen.tier_mark(tier).style) for tier in Tier}  # type: ignore[attr-defined]
    assert [tier for tier in Tier if "reverse" in styles[tier]] == [Tier.NOW]
    red = hands.app.theme_variables["error"]
    assert [tier for tier in Tier if red in styles[tier]] == [Tier.NOW, Tier.TODAY]


async def test_a_finding_at_how_much_was_seen_is_one_of_the_place(tmp_path: Path, checklists: Checklists) -> None:
    """Its words are words: none of them is a key of the walk."""
    opened = demo_file(tmp_path)
    async with at_work(checklists, opened, size=(140, 45)) as hands:
        place = next(one for one in opened.book.compartments.values() if one.area == "cabin-bilge")
        share = next(prompt for prompt in walk.prompts_of(checklists, opened.book, place) if prompt.share)
        hands.app.go("walk", compartment=place.id, prompt=share.key)
        await hands.settle()
        await hands.press("f")
        await hands.type("water under the sole")
        await hands.press("f6")
        assert "Save the finding first: F2." in hands.flat, "a photo waits until there is something to hang it on"
        await hands.press("f2")
    newest = max(opened.book.findings.values(), key=lambda one: one.chalk)
    assert (newest.words, newest.compartment, newest.prompt) == ("water under the sole", place.id, None)
