"""Keys: one verb a key on every screen and in every question; every verb in reach; the owner's own keys."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import AsyncIterator, Iterator
from pathlib import Path
from typing import Any

import pytest
from textual.screen import Screen

from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.trail import Argument
from inspect_tui.terminal.keys import NAMED, UNREACHED, VERBS, KeyMap, Purpose, is_text, read_keys, verb_of
from inspect_tui.terminal.names import SUBJECTS, ScreenName
from inspect_tui.terminal.screens.base import BookScreen
from inspect_tui.terminal.screens.modals import PickMany, PickOne, ReadText, TypeLine
from inspect_tui.terminal.screens.more_keys import MoreKeys
from inspect_tui.terminal.screens.walk.see_photo import SeePhoto
from inspect_tui.terminal.widgets.choice import Choice
from inspect_tui.terminal.widgets.key_line import KeyLine, fitting
from inspect_tui.terminal.widgets.long_section import LongSection
from inspect_tui.terminal.widgets.paths import TypePath
from tests.terminal.helpers import Hands, at_work, demo_file

ROOT = Path(__file__).parents[2]
# What each screen is opened with on the demo boat.
OPENED_WITH: dict[ScreenName, dict[str, Argument]] = {
    "cause": {"chalk": 6},
    "compartment": {"compartment": "c8-demo"},
    "done": {},
    "finding": {"chalk": 29},
    "measure": {"compartment": "c9-demo", "chalk": 29},
    "member": {"member": "m1"},
    "part": {"part": "t1-demo"},
    "photos": {"chalk": 29},
    "plate": {"field": "p1"},
    "squares": {"field": "p1"},
    "walk": {"compartment": "c16-demo"},
}
SCREENS = sorted(SUBJECTS)
# Widgets and questions that have keys of their own.
OTHERS = (LongSection, Choice, PickOne, PickMany, TypeLine, TypePath, ReadText, SeePhoto, MoreKeys)


async def opened(hands: Hands, name: ScreenName) -> Screen[Any]:
    arguments = dict(OPENED_WITH.get(name, {}))
    if name == "done":
        arguments = {"action": next(iter(hands.app.judged.worklist.by_key))}
    if name != "boat":
        hands.app.go(name, **arguments)
        await hands.settle()
    if name == "inbox":
        await hands.press("ctrl+u")
        await hands.type(str(hands.app.open_file.path.parent))
        await hands.press("enter")
        await hands.app.workers.wait_for_complete()
    return hands.app.screen


async def each_screen(hands: Hands) -> AsyncIterator[tuple[ScreenName, BookScreen]]:
    """One screen after the other, the boat's under each."""
    for name in SCREENS:
        screen = await opened(hands, name)
        assert isinstance(screen, BookScreen)
        yield name, screen
        while len(hands.app.screen_stack) > 1:
            hands.app.pop_screen()
        await hands.settle()


def bound(screen: Screen[Any]) -> Iterator[tuple[str, str, str]]:
    """Every key that does something here, with its verb and the words of this screen."""
    for _, binding, _, _ in screen.active_bindings.values():
        verb = verb_of(binding)
        if verb is not None and not binding.key.startswith(UNREACHED):
            yield binding.key, verb.name, binding.description


@pytest.fixture(scope="session")
def matrix_file() -> Path:
    return ROOT / "DEVELOPERS.md"


async def test_no_key_has_two_verbs_and_the_matrix_is_printed_and_help_lists_the_keys(
    tmp_path: Path, checklists: Checklists, matrix_file: Path
) -> None:
    verbs: dict[str, set[str]] = defaultdict(set)
    async with at_work(checklists, demo_file(tmp_path), size=(100, 80)) as hands:
        async for name, screen in each_screen(hands):
            for key, verb, _ in bound(screen):
                verbs[key].add(verb)
            assert set(NAMED.findall(screen.HELP_TEXT)) <= set(VERBS), "a brace that is no verb"
            labels = {one.label for one in screen.verbs_here()}
            screen.action_help()
            await hands.settle()
            for label in labels:
                assert f"{label}:" in hands.flat, name
            assert "{" not in hands.text
    for other in OTHERS:
        for binding in getattr(other, "BINDINGS", ()):
            of = verb_of(binding)
            assert of is not None, f"{other.__name__}: {binding.key} is no verb's"
            for key in binding.key.split(","):
                verbs[key].add(of.name)
    assert {key: names for key, names in verbs.items() if len(names) > 1} == {}
    owners = [key for verb in VERBS.values() for key in verb.keys]
    assert len(owners) == len(set(owners)), "no key stands at two verbs"
    rows = "\n".join(
        f"| {' '.join(verb.keys) or '–'} | {verb.name} | {verb.label} | {verb.does} |" for verb in VERBS.values()
    )
    assert rows in matrix_file.read_text(encoding="utf-8"), f"DEVELOPERS.md, Keys:\n{rows}"


# What stands on a screen of sixty columns, too.
AT_SIXTY = {"boat": " NOW", "walk": "Sound", "finding": "Words", "measure": "Numbers", "worklist": "NOW"}


async def test_every_verb_is_in_the_footer_or_under_more_and_nothing_is_cut(
    tmp_path: Path, checklists: Checklists
) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        async for name, screen in each_screen(hands):
            for columns in (60, 80):
                await hands.pilot.resize_terminal(columns, 24)
                await hands.settle()
                here = screen.verbs_here()
                line = fitting(here, columns)
                drawn = "".join(f" {one.key} {one.label} " for one in line)
                assert len(drawn) <= columns, "nothing is cut"
                assert drawn.rstrip() in hands.text.splitlines()[-1], name
                assert "more" in {one.verb.name for one in line}
                assert screen.query_one(KeyLine)
                if columns == 60:
                    assert AT_SIXTY.get(name, "") in hands.text, name
            screen.action_more()
            await hands.settle()
            more = hands.app.screen
            assert isinstance(more, MoreKeys)
            listed = {option.value for option in more._options}
            moves = {one.verb.name for one in here if one.verb.purpose is Purpose.MOVE}
            assert {one.verb.name for one in here} <= listed | moves | {"more"}, name
            keys = [option.key for option in more._options]
            assert all(keys), "each row has its key"
            assert len(set(keys)) == len(keys), keys


# Keys that nobody would press by chance: every verb that may change has another.
OTHER_KEYS = [
    *(f"ctrl+{letter}" for letter in "bdfgklnotvwxy"), *(f"alt+{letter}" for letter in "abcdefghijklmnopqrstuvwxyz"),
    *(f"ctrl+f{number}" for number in range(1, 13)), "alt+1", "alt+2", "alt+3", "alt+4",
]  # fmt: skip


def other_keys() -> dict[str, str]:
    changeable = [verb.name for verb in VERBS.values() if not verb.fixed]
    return dict(zip(changeable, OTHER_KEYS, strict=False))


def test_there_are_enough_other_keys() -> None:
    assert len(other_keys()) == sum(not verb.fixed for verb in VERBS.values()) <= len(OTHER_KEYS)


def with_file(folder: Path, text: str) -> KeyMap:
    path = folder / "keys.toml"
    path.write_text(text, encoding="utf-8")
    return read_keys(path)


async def test_with_other_keys_no_old_key_is_printed_anywhere(tmp_path: Path, checklists: Checklists) -> None:
    keys = with_file(tmp_path, "[keys]\n" + "".join(f'{verb} = "{key}"\n' for verb, key in other_keys().items()))
    assert keys.troubles == ()
    old = re.compile(r"(?<![\w^])(F\d{1,2}|\^[sqr])(?!\w)")
    async with at_work(checklists, demo_file(tmp_path), size=(140, 45), keys=keys) as hands:
        async for name, screen in each_screen(hands):
            for key, verb, _ in bound(screen):
                assert key in keys.of(verb) or VERBS[verb].fixed, f"{verb} still has {key}"
            seen = [hands.text]
            for action in ("action_help", "action_more"):
                getattr(screen, action)()
                await hands.settle()
                seen.append(hands.text)
                hands.app.pop_screen()
                await hands.settle()
            for text in seen:
                assert not old.findall(text), (name, old.findall(text))
            verbs = {one.verb.name: one.key for one in screen.verbs_here() if one.key and not one.verb.fixed}
            assert all(key.startswith(("^", "alt", "ctrl")) for key in verbs.values()), verbs


async def test_an_owners_key_does_what_its_verb_does(tmp_path: Path, checklists: Checklists) -> None:
    keys = with_file(tmp_path, '[keys]\nworklist = "%"\nsave = ["f12", "ctrl+s"]\nundo = "u"\nunseen = "z"\n')
    assert keys.troubles == ()
    file = demo_file(tmp_path)
    async with at_work(checklists, file, keys=keys) as hands:
        await hands.press("percent_sign")
        assert "jobs at" in hands.text
        await hands.press("escape", "w")
        assert "jobs at" not in hands.text, "the old key is free"
        await hands.press("enter", "z")
        assert "Air" in hands.flat or "could it not be seen" in hands.flat or "WAIT" in hands.flat
        await hands.press("escape", "escape", "f")
        await hands.type("by the owner's keys")
        await hands.press("f12")
        assert "by the owner's keys" in {one.words for one in file.book.findings.values()}
        await hands.press("u")
        assert "by the owner's keys" not in {one.words for one in file.book.findings.values()}


@pytest.mark.parametrize(
    ("text", "told", "verb"),
    [
        ('[keys]\nsaev = "f5"', "there is no such verb. Did you mean save?", "save"),
        ('[keys]\nsound = "f"', "f already belongs to finding, so sound keeps its own key", "sound"),
        ('[keys]\nsound = "hyperspace"', "'hyperspace' is not a key", "sound"),
        ('[keys]\non = "x"', "its key cannot be changed", "on"),
        ("[keys]\nsound = 4", "write a key", "sound"),
        ('[keys]\nsave = "s"', "it needs a key that is not a letter", "save"),
        ("keys = 4", "[keys] is not a table", "save"),
        ("[keys", "cannot be read, so the usual keys apply", "save"),
    ],
)
async def test_what_is_wrong_in_an_owners_file_is_told_and_the_program_starts(
    text: str, told: str, verb: str, tmp_path: Path, checklists: Checklists
) -> None:
    keys = with_file(tmp_path, text + "\n")
    assert any(told in one for one in keys.troubles), keys.troubles
    assert keys.keys[verb] == VERBS[verb].keys
    async with at_work(checklists, demo_file(tmp_path), size=(110, 30), keys=keys) as hands:
        assert " ".join(told.split()[:3]) in hands.flat
        await hands.press("enter")
        assert "16 of 20" in hands.flat


def test_two_verbs_may_change_their_keys_with_each_other(tmp_path: Path) -> None:
    keys = with_file(tmp_path, '[keys]\nsound = "f"\nfinding = "s"\n')
    assert (keys.keys["sound"], keys.keys["finding"], keys.troubles) == (("f",), ("s",), ())
    assert read_keys(tmp_path / "none.toml") == KeyMap()


def test_what_is_typed_into_is_reached_by_no_letter() -> None:
    for verb in VERBS.values():
        assert verb.fixed or all(not is_text(key) for key in KeyMap().of(verb.name, typing=True))
    assert [KeyMap().shown(verb, typing=True) for verb in ("save", "undo", "help", "decide")] == [
        "F2", "F9 z", "F1", "F9",
    ]  # fmt: skip


async def test_a_click_on_the_line_of_keys_and_on_an_answer_does_what_it_says(
    tmp_path: Path, checklists: Checklists
) -> None:
    file = demo_file(tmp_path)
    async with at_work(checklists, file) as hands:
        at = hands.text.splitlines()[-1].index("Worklist")
        await hands.pilot.click("KeyLine", offset=(at, 0))
        await hands.settle()
        assert "jobs at" in hands.text
        hands.app.go("walk", compartment="c20-demo")
        await hands.settle()
        line = next(one for one in hands.text.splitlines() if "0–9" in one)
        before = len(file.book.answers)
        await hands.pilot.click("Answers", offset=(line.index("All of it") - 1, 1))
        await hands.settle()
        assert len(file.book.answers) == before + 1, "the whole of the metal was seen"


async def test_the_menu_of_a_form_takes_letters(tmp_path: Path, checklists: Checklists) -> None:
    file = demo_file(tmp_path)
    async with at_work(checklists, file) as hands:
        hands.app.go("finding", chalk=29)
        await hands.settle()
        await hands.press("f9", "c")
        assert "Finding 29" in hands.text
        assert "Not there" in hands.text, "its cause"
        await hands.press("escape", "f9", "f6")
        assert "2 photos" in hands.text, "a key that is no letter works in the menu too"
