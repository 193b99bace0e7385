"""Plate fields, and numbers that are judged while they are typed, all by the keyboard."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.store.book_file import BookFile
from inspect_tui.terminal.screens.options import METHODS
from tests.conftest import place_called
from tests.terminal.helpers import Hands, at_work, demo_file

PATCHES = ("1.2 0.8", "0,8", "2.4 1.1", "1.9", '3.1 1/16"', "1.1", "0.9", "1.6", "1.4", "2.2 2.0", "1.0", "1.3")


async def write_bottom(hands: Hands) -> None:
    """A bottom of 5 mm, by the form: name, alloy, thickness as built, panel, area."""
    await hands.press("k", "a", "p")
    await hands.type("bottom")
    await hands.press("enter", "b", "enter", "space", "5", "enter")
    await hands.type("H111")
    await hands.press("enter")
    await hands.type("5")
    await hands.press("enter", "c", "enter", "y", "enter")
    await hands.type("240")
    await hands.press("enter")
    await hands.type("480")
    await hands.press("enter", "enter")
    await hands.type("9")
    await hands.press("f2")


async def measure(hands: Hands, opened: BookFile, **more: Any) -> None:
    """Pits, also on a plate of which no square was drawn, where thickness is asked for first."""
    place = place_called(opened.book, "cabin-bilge")
    hands.app.go("measure", compartment=place.id, **more)
    if "plate" in more:
        await hands.settle()
        hands.app.screen.query_one("#kind").pick("pits")  # type: ignore[attr-defined]
        await hands.settle()


async def test_twelve_patches_on_a_bottom_of_five_millimetres(
    make_file: Callable[..., BookFile], checklists: Checklists
) -> None:
    opened = make_file()
    async with at_work(checklists, opened, size=(80, 28)) as hands:
        await write_bottom(hands)
        assert opened.book.plate_fields["p1-demo"].as_built_mm == 5
        assert opened.book.plate_fields["p1-demo"].alloy == "5083"
        assert "no square" in hands.text
        hands.app.go("squares", field="p1-demo")
        await hands.settle()
        await hands.type("6000")
        await hands.press("enter")
        await hands.type("1500")
        await hands.press("f2")
        assert "Squares in the order drawn" in hands.text
        await hands.press("escape")
        [plan] = opened.book.plans.values()
        assert len(plan.drawn) == 40
        place = place_called(opened.book, "cabin-bilge")
        hands.app.go("measure", compartment=place.id, plate="p1-demo")
        await hands.settle()
        for patch in PATCHES[:-1]:
            await hands.type(patch)
            await hands.press("enter")
        await hands.type(PATCHES[-1])
        seen = " ".join(hands.text.split())
        for words in (
            "INSERT PLATE, before she floats",
            "deepest pit 3.1 of 5 mm",
            "not measured",
            "judged by 12 squares",
            "a hole cannot be ruled out",
            "hole chance",
            "worth taking",
        ):
            assert words in seen, seen
        assert [getattr(one, "square", None) for one in opened.book.readings.values()] == list(plan.drawn[:11])
        await hands.press("f3")
        assert "The working" in hands.text
        await hands.press("escape", "f5")
        assert "Deepest of" in hands.text or "by depth" in hands.text
        await hands.press("escape", "enter", "enter")
        assert len(opened.book.readings) == 12, "Enter keeps the patch, Enter on the empty line goes back"
        assert "plate field" in hands.text


@pytest.mark.parametrize(
    ("kind", "typed", "told"),
    [
        ("pits", "3.1 2.4 0.8", "mean of the pits 2.10 mm"),
        ("pits", "3.1", "choose the plate it lies on"),
        ("length", "80", "no limit applies"),
        ("pits", "", "type a number first"),
    ],
)
async def test_the_working_of_what_gets_no_verdict_says_why(
    make_file: Callable[..., BookFile], checklists: Checklists, kind: str, typed: str, told: str
) -> None:
    opened = make_file()
    async with at_work(checklists, opened, size=(100, 30)) as hands:
        await measure(hands, opened)
        await hands.settle()
        hands.app.screen.query_one("#kind").pick(kind)  # type: ignore[attr-defined]
        await hands.settle()
        await hands.type(typed)
        await hands.press("f3")
        assert told in hands.flat
        assert ("type a number first" in hands.flat) is (not typed)


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("6.2", "goes through: type 'hole'"),
        ("-1", "outside what pit depths can be"),
        ("47", "outside what pit depths can be"),
        ("deep", "is not a number"),
        ("1,2,3", "is not a number"),
        ("3/16", "write the inch mark"),
    ],
)
async def test_nonsense_about_pits_gets_a_sentence_and_stays_on_the_line(
    make_file: Callable[..., BookFile], checklists: Checklists, typed: str, sentence: str
) -> None:
    opened = make_file()
    async with at_work(checklists, opened) as hands:
        await write_bottom(hands)
        await measure(hands, opened, plate="p1-demo")
        await hands.settle()
        await hands.type(typed)
        assert sentence in " ".join(hands.text.split())
        assert "INSERT PLATE" not in hands.text
        await hands.press("enter")
        assert not opened.book.readings
        assert hands.app.screen.query_one("#values").value == typed  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("typed", "sentence"), [("60", "outside what plate"), ("12", "is too thick for a 5 mm plate")]
)
async def test_nonsense_about_thickness_gets_a_sentence(
    make_file: Callable[..., BookFile], checklists: Checklists, typed: str, sentence: str
) -> None:
    opened = make_file()
    async with at_work(checklists, opened) as hands:
        await write_bottom(hands)
        await measure(hands, opened, plate="p1-demo")
        await hands.settle()
        hands.app.screen.query_one("#kind").pick("thickness")  # type: ignore[attr-defined]
        await hands.settle()
        await hands.type(typed)
        assert sentence in " ".join(hands.text.split())
        await hands.press("enter")
        assert not opened.book.readings
        assert hands.app.screen.query_one("#values").value == typed  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("patches", "sentence"),
    [(["1.5"] * 6, "All depths are equal"), (["1.5", "1.2"], "2 squares cannot speak"),
     (["none"] * 6, "Only 0 of 6 squares gave a depth")],
)  # fmt: skip
async def test_patches_that_cannot_speak_for_the_rest_say_so(
    make_file: Callable[..., BookFile], checklists: Checklists, patches: list[str], sentence: str
) -> None:
    opened = make_file()
    async with at_work(checklists, opened) as hands:
        await write_bottom(hands)
        await measure(hands, opened, plate="p1-demo")
        await hands.settle()
        for patch in patches:
            await hands.type(patch)
            await hands.press("enter")
        assert sentence in " ".join(hands.text.split())
        assert len(opened.book.readings) == len(patches)


async def test_what_the_form_says_of_a_reading_is_kept_with_it(
    make_file: Callable[..., BookFile], checklists: Checklists
) -> None:
    opened = make_file()
    async with at_work(checklists, opened, size=(100, 30)) as hands:
        await write_bottom(hands)
        await measure(hands, opened, plate="p1-demo")
        await hands.settle()

        async def kept(kind: str, typed: str, **chosen: str) -> dict[str, Any]:
            hands.app.screen.query_one("#kind").pick(kind)  # type: ignore[attr-defined]
            await hands.settle()
            for id, value in chosen.items():
                field: Any = hands.app.screen.query_one(f"#{id}")
                if id in ("square_mm", "paint_mm"):
                    field.value = value
                else:
                    field.pick(value)
                await hands.settle()
            hands.app.screen.query_one("#values").focus()
            await hands.type(typed)
            await hands.press("enter")
            return opened.book.readings[opened.book.newest("readings")].model_dump()

        told = await kept("pits", "1.2 soft", square_mm="200 x 100", chosen="no", bright="yes")
        assert (told["patch_length_mm"], told["patch_width_mm"]) == (200, 100)
        assert (told["worst_chosen"], told["clean_metal"], told["soft"]) == (False, True, True)
        assert told["plate_field"] == "p1-demo"
        told = await kept("pits", "1.1", chosen="yes", bright="no")
        assert (told["worst_chosen"], told["clean_metal"]) == (True, False)
        told = await kept("thickness", "4.6", method=METHODS[1].value, paint_mm="0.4")
        assert (told["method"], told["paint_mm"]) == (METHODS[1].value, 0.4)
        assert told["plate_field"] == "p1-demo"
        told = await kept("thickness", "4.6", method=METHODS[0].value)
        assert (told["method"], told["paint_mm"]) == (METHODS[0].value, None)


async def test_holes_and_soft_metal_are_typed_as_words(
    make_file: Callable[..., BookFile], checklists: Checklists
) -> None:
    opened = make_file()
    async with at_work(checklists, opened) as hands:
        await write_bottom(hands)
        await measure(hands, opened, plate="p1-demo")
        await hands.settle()
        await hands.type("1.2 soft")
        assert "soft under the knife" in " ".join(hands.text.split())
        await hands.press("enter")
        await hands.type("hole")
        assert "holed through" in " ".join(hands.text.split())
        await hands.press("enter")
        kept = [reading.model_dump() for reading in opened.book.readings.values()]
        assert [one["soft"] for one in kept] == [True, False]
        assert [one["holed_through"] for one in kept] == [0, 1]


async def test_a_plate_form_complains_and_keeps_what_was_typed(
    make_file: Callable[..., BookFile], checklists: Checklists
) -> None:
    opened = make_file()
    async with at_work(checklists, opened) as hands:
        await hands.press("k", "a", "p", "f2")
        assert "A plate field needs a name" in hands.text
        await hands.type("bottom")
        hands.app.screen.query_one("#as_built_mm").value = "sixty"  # type: ignore[attr-defined]
        await hands.press("f2")
        assert '"sixty" is not a number' in hands.text
        hands.app.screen.query_one("#as_built_mm").value = "6"  # type: ignore[attr-defined]
        await hands.press("f2")
        assert "Say how the thickness is known" in hands.text
        assert not opened.book.plate_fields


async def test_a_field_that_was_measured_on_stays(tmp_path: Path, checklists: Checklists) -> None:
    opened = demo_file(tmp_path)
    async with at_work(checklists, opened) as hands:
        await hands.press("k", "enter", "f8", "y")
        assert "bottom has readings" in hands.flat, hands.text
        assert "p1" in opened.book.plate_fields


async def test_from_what_is_worst_to_its_history_in_two_keys(tmp_path: Path, checklists: Checklists) -> None:
    """The map opens at the worst cell; Enter opens what lies there, with its history. The arrows move, the next worst
    is one key away, and what is shown changes with another."""
    async with at_work(checklists, demo_file(tmp_path), size=(80, 24)) as hands:
        await hands.press("comma")
        assert "4.2 mm left at the thinnest, 30 % gone" in hands.flat
        assert "not placed on the shell: 11 findings" in hands.flat
        await hands.press("enter")
        assert "Finding 30" in hands.flat
        assert "plate thickness 4.2" in hands.flat, "its history"
        await hands.press("escape", "right")
        assert "from frame 16, starboard" in hands.flat
        await hands.press("left", "up", "up", "up")
        assert "not seen" in hands.flat
        await hands.press("enter")
        assert "Shell, bow left" in hands.flat, "nothing lies there: it stays"
        await hands.press("pagedown")
        assert "4.2 mm left" not in hands.flat
        for name in ("pits: digit", "tier: digit", "grew: G grew", "age: digit", "seen: how much", "gone: a digit"):
            await hands.press("v")
            assert name in hands.flat
        bands = re.findall(r"^ [PS] \d\.\d\d", hands.text, re.MULTILINE)
        await hands.pilot.resize_terminal(140, 45)
        await hands.settle()
        assert len(re.findall(r"^ [PS] \d\.\d\d", hands.text, re.MULTILINE)) > len(bands) >= 8
