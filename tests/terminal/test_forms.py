"""All forms: what is typed into a number, what comes back half-written, and what is refused."""

from __future__ import annotations

import asyncio
import shutil
from collections.abc import Iterator
from pathlib import Path

import click
import pytest
from textual import events

from inspect_tui.calc.spec import Number as CalcNumber
from inspect_tui.calc.spec import QuantityType
from inspect_tui.calc.topics import TOPICS
from inspect_tui.domain import edits
from inspect_tui.domain.book import Stamp
from inspect_tui.domain.knowledge.areas import ReadingKind
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.measuring.readings import KINDS, parse_values
from inspect_tui.domain.quantities import QUANTITIES, Quantity
from inspect_tui.domain.trail import Argument, Draft, Form
from inspect_tui.errors import NotUnderstood
from inspect_tui.handover.sheets.field_import import read_table
from inspect_tui.store.book_file import open_book
from inspect_tui.terminal.drafts import open_again
from inspect_tui.terminal.form_fields import FormField, Number, Sides, widget_id
from inspect_tui.terminal.forms import FormScreen
from inspect_tui.terminal.names import SUBJECTS, ScreenName
from inspect_tui.terminal.opening import make_screen
from inspect_tui.terminal.screens.modals import PickOne, ReadText, TypeLine
from inspect_tui.terminal.widgets.choice import Choice, Option
from inspect_tui.terminal.widgets.field import Field
from tests.conftest import SteppingClock
from tests.store.test_migrations import BOOKS, spoil
from tests.terminal.helpers import TWO_DAYS_LATER, Hands, at_work, demo_file

# Every form of the app, with what it may be about on the demo boat.
FORMS: tuple[tuple[ScreenName, dict[str, Argument]], ...] = (
    ("anodes", {}),
    ("compartment", {"compartment": "c8-demo"}),
    ("done", {"action": "cause"}),
    ("finding", {"compartment": "c8-demo", "prompt": "cabin-bilge/pit-grid"}),
    ("finding", {"chalk": 23}),
    ("measure", {"compartment": "c8-demo", "prompt": "cabin-bilge/pit-grid"}),
    ("member", {"member": "m1"}),
    ("squares", {"field": "p3"}),
    ("measure", {"compartment": "c8-demo", "chalk": 23, "plate": "p1"}),
    ("papers", {}),
    ("particulars", {}),
    ("part", {}),
    ("part", {"part": "t1-demo"}),
    ("plate", {}),
    ("plate", {"field": "p1"}),
    ("protection", {}),
    ("tank", {}),
)
# What people type, and what it is [mm, kg, mV, Ω].
TYPED: dict[str, dict[str, float]] = {
    "length": {
        '3/16"': 4.7625, "3 1/2 in": 88.9, "3.5 inches": 88.9, '1 1/16"': 26.9875, "38 feet": 11582.4, "2'3\"": 685.8,
        "2 ft 3 in": 685.8, "200 thou": 5.08, "12 mm": 12, "1,2 cm": 12, "1.2 m": 1200, "300 µm": 0.3,
    },
    "mass": {"5 kg": 5, "11 lb": 4.98951607, "0,5 t": 500},
    "potential": {"-900 mV": -900, "-0.9 V": -900, "−0,9 V": -900},
    "resistance": {"5 ohm": 5, "1.5 kohm": 1500, "0,5 Mohm": 500_000},
}  # fmt: skip
# By unit of record: what it measures, and how many of it are one of the above.
UNITS = {
    "mm": ("length", 1), "m": ("length", 0.001), "µm": ("length", 1000), "kg": ("mass", 1), "mV": ("potential", 1),
    "V": ("potential", 0.001), "ohm": ("resistance", 1),
}  # fmt: skip


def check_number(quantity: Quantity, read: FormField | QuantityType) -> int:
    """Every example: taken at its value if it is of this kind and can be, else refused with what would do."""
    measures, scale = UNITS.get(quantity.unit, ("", 1.0))
    taken = 0
    for kind, typed in TYPED.items():
        for text, number in typed.items():
            fits = kind == measures and quantity.low <= number * scale <= quantity.high
            try:
                value = read.convert(text, None, None) if isinstance(read, QuantityType) else read.read(text)
            except (NotUnderstood, click.BadParameter) as error:
                told = getattr(error, "message", str(error))
                assert not fits, (quantity, text, told)
                assert quantity.wanted in told or "check the number and its unit" in told, told
                continue
            assert fits, (quantity, text, value)
            assert value == pytest.approx(number * scale), (quantity, text)
            taken += 1
    return taken


async def opened(hands: Hands, name: ScreenName, arguments: dict[str, Argument]) -> FormScreen:
    screen = make_screen(name, **arguments)
    assert isinstance(screen, FormScreen)
    hands.app.push_screen(screen)
    await hands.settle()
    return screen


def every_subclass(of: type[FormScreen]) -> Iterator[type[FormScreen]]:
    for one in of.__subclasses__():
        yield one
        yield from every_subclass(one)


def test_all_forms_are_walked_here() -> None:
    for name in SUBJECTS:
        if name not in ("cause", "chalk"):
            __import__(f"inspect_tui.terminal.screens.{SUBJECTS[name]}.{name}")
    forms = {one.__name__ for one in every_subclass(FormScreen) if one.__module__.startswith("inspect_tui")}
    assert {f"{name.capitalize()}Screen" for name, _ in FORMS} == forms


async def test_every_number_of_every_form_takes_what_people_type(tmp_path: Path, checklists: Checklists) -> None:
    seen, taken = set(), 0
    async with at_work(checklists, demo_file(tmp_path), size=(100, 50)) as hands:
        for name, arguments in FORMS:
            screen = await opened(hands, name, arguments)
            for field in screen.fields.values():
                if isinstance(field, Number):
                    seen.add((name, field.name))
                    taken += check_number(field.quantity, field)
                elif isinstance(field, Sides):
                    assert field.read("4x4 in") == (101.6, 101.6)
                    assert field.read("300 x 300") == (300, 300)
                    with pytest.raises(NotUnderstood, match="300 x 300"):
                        field.read("300")
            hands.app.pop_screen()
            await hands.settle()
    assert len(seen) > 45
    assert taken > 150


def test_every_number_of_every_calculation_does_too() -> None:
    taken = sum(
        check_number(number.quantity, QuantityType(number.quantity))
        for topic in TOPICS
        for number in topic.takes
        if isinstance(number, CalcNumber)
    )
    assert taken > 200


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_reading_does_too(kind: ReadingKind) -> None:
    quantity = KINDS[kind].quantity
    measures, scale = UNITS.get(quantity.unit, ("", 1.0))
    for of, typed in TYPED.items():
        for text, number in typed.items():
            if of == measures and quantity.low <= number * scale <= quantity.high:
                assert parse_values(f"{text}; {text}", kind) == pytest.approx((number * scale,) * 2)
            else:
                with pytest.raises(NotUnderstood):
                    parse_values(text, kind)


@pytest.mark.parametrize("text", TYPED["length"])
def test_the_field_table_does_too(tmp_path: Path, checklists: Checklists, text: str) -> None:
    book_file = demo_file(tmp_path, write=False)
    book, stamp = book_file.book, Stamp(book_file.clock(), "Runa")
    number = TYPED["length"][text]
    quoted = text.replace('"', '""')
    for column, low, high in (("offset_mm", -5000, 5000), ("girth_mm", 0, 20_000), ("error", 0, 100)):
        data = f'place,measured,values,{column}\r\nCabin bilge,thickness,5,"{quoted}"\r\n'.encode()
        preview = read_table(book, checklists, stamp, data, "x.csv")
        if low <= number <= high:
            assert len(preview.good) == 1, preview.bad
        else:
            assert "check the number and its unit" in preview.bad[0].why
    data = f'place,measured,values,patch_mm\r\nCabin bilge,pits,"{quoted}",4x4 in\r\n'.encode()
    preview = read_table(book, checklists, stamp, data, "x.csv")
    assert len(preview.good) == (number <= 60), preview.bad


@pytest.mark.parametrize(("name", "arguments"), FORMS, ids=lambda one: one if isinstance(one, str) else "")
async def test_what_is_refused_stays_typed_and_says_what_would_do(
    tmp_path: Path, checklists: Checklists, name: ScreenName, arguments: dict[str, Argument]
) -> None:
    if name in ("papers", "part"):
        pytest.skip("no number in it")
    book_file = demo_file(tmp_path)
    async with at_work(checklists, book_file, size=(100, 60)) as hands:
        screen = await opened(hands, name, arguments)
        before = book_file.book.tables["trail"]
        numbers = [field for field in screen.fields.values() if isinstance(field, Number)]
        for field in screen.fields.values():
            if getattr(field, "needed", "") and not isinstance(field, Number):
                screen.query_one(f"#{widget_id(field.name)}", Field).value = "words"
        if name == "measure":
            screen.query_one("#values", Field).value = "3"
        wanted = next(field for field in numbers if screen.row_of(field.name).display)
        widget = screen.query_one(f"#{widget_id(wanted.name)}", Field)
        widget.value = "seven"
        await hands.press("f2")
        assert hands.app.screen is screen
        assert widget.value == "seven"
        assert f'"seven" is not a number. {wanted.quantity.wanted}' in hands.flat
        assert book_file.book.tables["trail"] == before


async def fill(screen: FormScreen) -> dict[str, str]:
    """Something of one's own in every field: text in what is typed, the next word in what is chosen."""
    for widget in screen._inputs():
        if isinstance(widget, Field):
            widget.value = f"half {widget.id}"
        else:
            values = [option.value for option in widget.options]
            widget.pick(values[(values.index(widget.value) + 1) % len(values)])
    return screen._typed()


async def test_every_half_written_form_opens_again_as_it_was(tmp_path: Path, checklists: Checklists) -> None:
    """All of them are left half written, the program is closed, and each comes back."""
    kept = [(name, arguments) for name, arguments in FORMS if name not in ("papers", "done", "part")]
    book_file = demo_file(tmp_path)
    typed: dict[str, tuple[ScreenName, dict[str, Argument], dict[str, str]]] = {}
    async with at_work(checklists, book_file, size=(100, 60)) as hands:
        for name, arguments in kept:
            screen = await opened(hands, name, arguments)
            words = await fill(screen)
            await asyncio.sleep(0.1)
            await hands.press("escape")
            assert hands.app.screen is not screen
            (fresh,) = set(book_file.book.drafts) - set(typed)
            typed[fresh] = name, arguments, words
    book_file.close()
    again = open_book(book_file.path, SteppingClock(TWO_DAYS_LATER), "Mattis")
    assert set(again.book.drafts) == set(typed)
    async with at_work(checklists, again, size=(100, 60)) as hands:
        for key, (name, arguments, words) in typed.items():
            open_again(hands.app.screen, again.book.drafts[key])  # type: ignore[arg-type]
            await hands.settle()
            back = hands.app.screen
            assert type(back).__name__ == f"{name.capitalize()}Screen"
            assert isinstance(back, FormScreen)
            assert back.form.arguments == arguments
            assert back._typed() == words, name
            await hands.press("escape")


# The drafts of schema 2 by name, each with fields as that schema called them, and the same of today.
OLD_DRAFTS: dict[str, tuple[dict[str, str], dict[str, str]]] = {
    "finding/new/c1/stem/dents": (
        {"words": "a dent", "frame": "3", "offset": "40", "side": "P", "girth": "200", "face": "inside",
         "spot": "low", "long": "80", "wide": "30", "kind": "dent"},
        {"words": "a dent", "position__frame": "3", "position__offset_mm": "40", "position__side": "P",
         "position__girth_mm": "200", "position__face": "inside", "position__words": "low",
         "extent_length_mm": "80", "extent_width_mm": "30", "kind": "dent"},
    ),
    "finding/1": ({"words": "more of it"}, {"words": "more of it"}),
    "compartment/c1": (
        {"name": "Peak", "from": "0", "to": "2", "lies": "above", "order": "10", "on-p1": "yes"},
        {"name": "Peak", "frame_from": "0", "frame_to": "2", "below_waterline": "no", "order": "10", "on--p1": "yes"},
    ),
    "particulars": (
        {"name": "Other", "metal": "steel", "category": "B", "origin": "stem", "direction": "FORWARD",
         "spacing": "500", "foam": "yes", "hull_length_m": "11"},
        {"name": "Other", "hull_metal": "steel", "design_category": "B", "datum__origin": "stem",
         "datum__direction": "counted forward from the stern", "datum__frame_spacing_mm": "500",
         "features__foam": "yes", "hull_length_m": "11"},
    ),
    "plate/p1": ({"as_built_mm": "6", "alloy": "5083"}, {"as_built_mm": "6", "alloy": "5083"}),
    "measure/c1//stem/dents/p1": (
        {"values": "1.2 0.8", "patch": "300 x 300", "chosen": "evenly", "paint": "0.2", "plate": "none"},
        {"values": "1.2 0.8", "square_mm": "300 x 300", "chosen": "no", "paint_mm": "0.2", "plate": "unsaid"},
    ),
    "measure/c1/1/": ({"values": "4"}, {"values": "4"}),
    "protection": (
        {"salinity": "35", "chloride": "", "anodes": "none", "values": "-900"},
        {"water_salinity_g_kg": "35", "water_chloride_mg_l": "", "anodes": "yes", "values": "-900"},
    ),
    "tank": (
        {"oxygen": "20", "vapour": "1", "ph": "7", "copper": "3", "chlorine": "5", "hours": "4", "overflow": "1"},
        {"oxygen_percent": "20", "vapour_percent_lel": "1", "ph": "7", "copper_ppb": "3", "chlorine_mg_l": "5",
         "chlorine_hours": "4", "overflow_m": "1"},
    ),
    "anodes": (
        {"area": "30", "years": "3", "mass": "2", "length": "300", "width": "90", "thickness": "30",
         "resistivity": "0.2", "propeller": "0.1", "fitted": "4"},
        {"wetted_area_m2": "30", "anode_years": "3", "anode_kg": "2", "anode_length_mm": "300",
         "anode_width_mm": "90", "anode_thickness_mm": "30", "resistivity_ohm_m": "0.2", "propeller_m2": "0.1",
         "anodes_fitted": "4"},
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", OLD_DRAFTS)
async def test_a_form_left_half_written_in_schema_2_opens_as_it_was(
    tmp_path: Path, checklists: Checklists, name: str
) -> None:
    copy = tmp_path / "old.hullbook"
    shutil.copy(BOOKS / "schema-2.hullbook", copy)
    fields, wanted = OLD_DRAFTS[name]
    row = {"id": name, "when": "2025-11-15T10:00:00+01:00", "fields": fields}
    spoil(copy, lambda tables: tables.update(drafts={name: row}))
    book_file = open_book(copy, SteppingClock(TWO_DAYS_LATER), "Mattis")
    (draft,) = book_file.book.drafts.values()
    async with at_work(checklists, book_file, size=(100, 60)) as hands:
        open_again(hands.app.screen, draft)  # type: ignore[arg-type]
        await hands.settle()
        screen = hands.app.screen
        assert isinstance(screen, FormScreen), hands.text
        typed = screen._typed()
        assert {key: typed[key] for key in wanted} == wanted
        assert all(isinstance(one, Choice | Field) for one in screen._inputs())


LINES: tuple[tuple[str, str, str], ...] = (
    ("words/c1/stem/dents", "walk", "words"),
    ("note/1/repaired", "finding", "note"),
    ("reason/1/leave bare", "finding", "reason"),
    ("reason/1", "finding", "reason"),
    ("patch/c1", "patches", "patch"),
    ("circuit", "hunt", "circuit"),
    ("hull-test", "hunt", "ohms"),
    ("round", "boat", "round"),
)


@pytest.mark.parametrize(("name", "screen", "asked"), LINES)
async def test_a_line_left_half_written_in_schema_2_is_asked_again(
    tmp_path: Path, checklists: Checklists, name: str, screen: str, asked: str
) -> None:
    copy = tmp_path / "old.hullbook"
    shutil.copy(BOOKS / "schema-2.hullbook", copy)
    row = {"id": name, "when": "2025-11-15T10:00:00+01:00", "fields": {"words": "half of it"}}
    spoil(copy, lambda tables: tables.update(drafts={name: row}))
    book_file = open_book(copy, SteppingClock(TWO_DAYS_LATER), "Mattis")
    (draft,) = book_file.book.drafts.values()
    assert (draft.screen, draft.asked) == (screen, asked)
    async with at_work(checklists, book_file, size=(100, 60)) as hands:
        open_again(hands.app.screen, draft)  # type: ignore[arg-type]
        await hands.settle()
        assert "half of it" in hands.text


def test_no_quantity_stands_for_nothing() -> None:
    """Each has an example that it takes itself."""
    for name, quantity in QUANTITIES.items():
        text = quantity.example
        assert (quantity.pair(text) if name == "square_mm" else quantity.read(text)) is not None


async def test_a_length_that_nobody_touched_keeps_its_last_digit(tmp_path: Path, checklists: Checklists) -> None:
    book_file = demo_file(tmp_path)
    boat = book_file.book.boat.model_copy(update={"hull_length_m": 11.58243, "waterline_beam_m": 3.14159})
    book_file.record(edits.change_boat(boat))
    before = len(book_file.book.trail)
    async with at_work(checklists, book_file, size=(100, 60)) as hands:
        await opened(hands, "particulars", {})
        await hands.press("f2")
        assert len(book_file.book.trail) == before, "nothing was changed, nothing is written"
        screen = await opened(hands, "particulars", {})
        screen.query_one("#hull_draught_m", Field).value = "2 ft 3 in"
        await hands.press("f2")
    kept = book_file.book.boat
    assert (kept.hull_length_m, kept.waterline_beam_m, kept.hull_draught_m) == (11.58243, 3.14159, 0.6858)


async def test_keys_faster_than_a_question_closes_change_nothing(tmp_path: Path, checklists: Checklists) -> None:
    book_file = demo_file(tmp_path)
    async with at_work(checklists, book_file) as hands:
        for question in (
            PickOne("Which?", [Option("y", "y", "yes"), Option("n", "n", "no")]),
            TypeLine("Which?"),
            ReadText("Words", [("a", "b")]),
        ):
            answers: list[object] = []
            below = hands.app.screen
            hands.app.push_screen(question, answers.append)
            await hands.settle()
            for key in ("y", "y", "enter", "escape", "n"):
                question.post_message(events.Key(key, key if len(key) == 1 else None))
                if isinstance(question, ReadText | TypeLine):
                    question.dismiss(None)
            await hands.settle()
            await hands.settle()
            assert hands.app.screen is below
            assert len(answers) == 1


async def test_after_a_reading_is_kept_nothing_is_half_written(tmp_path: Path, checklists: Checklists) -> None:
    book_file = demo_file(tmp_path)
    async with at_work(checklists, book_file, size=(100, 60)) as hands:
        screen = await opened(hands, "measure", {"compartment": "c8-demo", "chalk": 23})
        screen.query_one("#bright", Choice).pick("yes")
        screen.query_one("#chosen", Choice).pick("no")
        await hands.type('1/8"')
        await hands.press("enter")
        assert "Saved as reading" in hands.text
        await asyncio.sleep(0.5)
        await hands.press("escape", "escape")
    assert not book_file.book.drafts


async def test_a_complaint_goes_when_the_field_is_put_right(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path), size=(100, 60)) as hands:
        screen = await opened(hands, "particulars", {})
        screen.query_one("#hull_draught_m", Field).value = "seven"
        await hands.press("f2")
        assert '"seven" is not a number' in hands.flat
        screen.query_one("#hull_draught_m", Field).value = "0.7"
        await hands.settle()
        assert "is not a number" not in hands.flat


@pytest.mark.parametrize("kind", ["boat", "walk", "finding"])
async def test_a_half_written_line_whose_subject_is_gone_loses_no_word_and_stops_nothing(
    tmp_path: Path, checklists: Checklists, kind: str
) -> None:
    book_file = demo_file(tmp_path)
    form = {
        "boat": Form("patches", {}, "patch", {"compartment": "c99-demo"}),
        "walk": Form("walk", {"compartment": "c8-demo", "prompt": "cabin-bilge/long-gone"}, "words"),
        "finding": Form("finding", {"chalk": 23}, "reason"),
    }[kind]
    draft = Draft(
        id=form.key, when=TWO_DAYS_LATER, fields={"words": "half of it"}, screen=form.screen,
        arguments=dict(form.arguments), asked=form.asked, about=dict(form.about),
    )  # fmt: skip
    async with at_work(checklists, book_file, size=(100, 60)) as hands:
        open_again(hands.app.screen, draft)  # type: ignore[arg-type]
        await hands.settle()
        assert "half of it" in hands.text or "was removed" in hands.text
