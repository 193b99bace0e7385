"""A second round a year later, by keys: the first screen, the list, the map and the finding say the same."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from textual.widgets import OptionList

from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.judgement.shell.rounds import Became
from inspect_tui.store.book_file import BookFile, open_book
from tests.conftest import SteppingClock, place_called
from tests.terminal.helpers import TWO_DAYS_LATER, Hands, at_work, demo_file


def a_year_later(folder: Path) -> BookFile:
    file = demo_file(folder)
    path = file.path
    file.close()
    return open_book(path, SteppingClock(TWO_DAYS_LATER + timedelta(days=365)), "Mattis")


async def new_round(hands: Hands) -> None:
    await hands.press("f9")
    rows = hands.app.screen.query_one(OptionList)
    while "New round" not in str(rows.get_option_at_index(rows.highlighted or 0).prompt):
        await hands.press("down")
    await hands.press("enter")
    await hands.type("a year on")
    await hands.press("enter")


async def read_again(hands: Hands, chalk: int, typed: str) -> None:
    """From the list of what grew: the number of the spot, then its measuring."""
    for digit in str(chalk):
        await hands.press(digit)
    assert f"no. {chalk} " in hands.flat
    await hands.press("m")
    await hands.type(typed)
    await hands.press("enter")
    while "what grew" not in hands.app.screen.TITLE_WORDS:  # type: ignore[attr-defined]
        await hands.press("escape")


async def test_what_grew_is_the_same_on_every_screen(tmp_path: Path, checklists: Checklists) -> None:
    file = a_year_later(tmp_path)
    async with at_work(checklists, file, size=(140, 45)) as hands:
        await new_round(hands)
        assert "measure again" in hands.flat, "the spots of last time stand first"
        told = hands.app.judged.since
        pits = [one for one in told if one.what == "pit" and one.finding is not None]
        assert all(one.became is Became.AGAIN for one in pits)
        grew, same = pits[0], pits[1]
        assert grew.finding is not None
        assert same.finding is not None
        await read_again(hands, grew.finding.chalk, f"{grew.told[-1][1].gone_mm + 2.5:g}")
        await read_again(hands, same.finding.chalk, f"{same.told[-1][1].gone_mm:g}")
        since = {one.key: one for one in hands.app.judged.since}
        assert since[grew.key].became is Became.GREW
        assert since[same.key].became in (Became.SAME, Became.CANNOT)
        words = since[grew.key].words
        assert "deeper than on" in words
        # The list.
        line = next(line for line in hands.text.splitlines() if f"no. {grew.finding.chalk} " in line)
        assert line.split()[0] == "grew"
        # The first screen.
        await hands.press("escape")
        assert f"Grew: no. {grew.finding.chalk} in " in hands.flat
        assert words.split(";")[0] in hands.flat
        # The finding.
        hands.app.go("finding", chalk=grew.finding.chalk)
        await hands.settle()
        assert words.split(" than on")[0].split("± ")[0].strip() in hands.flat
        await hands.press("escape")
        # The map.
        await hands.press("comma", "v", "v", "v")
        assert "G grew" in hands.flat
        cells = hands.app.screen._map.cells.values()  # type: ignore[attr-defined]
        of = {one.became for one in cells if grew.finding.chalk in one.chalks}
        assert of <= {Became.GREW, None}


async def test_a_row_of_readings_takes_its_place_from_the_last(tmp_path: Path, checklists: Checklists) -> None:
    file = demo_file(tmp_path)
    place = place_called(file.book, "cabin-bilge")
    async with at_work(checklists, file, size=(100, 30)) as hands:
        hands.app.go("measure", compartment=place.id, plate="p1", kind="thickness", spot="9 P 300")
        await hands.settle()
        for value in ("5.9", "5.8", "5.7"):
            await hands.type(value)
            await hands.press("enter")
        newest = list(file.book.readings.values())[-3:]
        assert [(one.position.frame, one.position.girth_mm) for one in newest] == [(9, 300), (10, 300), (11, 300)]
        assert "12 P 300" in hands.text, "the next frame stands there"
        field = hands.app.screen.query_one("#spot")
        field.value = "9 P 9999999"  # type: ignore[attr-defined]
        await hands.type("5.5")
        await hands.press("enter")
        assert "not a place on her" in hands.flat
        assert list(file.book.readings.values())[-3:] == newest, "nothing is saved"
        assert "5.5" in hands.text, "what was typed stays"


async def test_a_mark_not_found_by_key(tmp_path: Path, checklists: Checklists) -> None:
    file = a_year_later(tmp_path)
    async with at_work(checklists, file, size=(140, 45)) as hands:
        await new_round(hands)
        await hands.press("2", "3", "minus")
        assert "not found again" in hands.flat
        assert file.book.findings["23"].not_found == file.book.round.id
        await hands.press("z")
        assert file.book.findings["23"].not_found is None
