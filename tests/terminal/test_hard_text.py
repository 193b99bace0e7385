"""Text that tries to break out survives every screen, the store, the HTML and the text summary."""

from __future__ import annotations

import html
from pathlib import Path

import pytest

from inspect_tui.domain import edits
from inspect_tui.domain.book import Stamp
from inspect_tui.domain.edits import with_circuits
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.named import Prompts
from inspect_tui.domain.plain import one_line, visible
from inspect_tui.domain.records import PlateField, Position
from inspect_tui.domain.words import Likelihood, PlateRegion, Said, Severity, Status
from inspect_tui.engineering.electricity.circuit_hunt import Switched
from inspect_tui.handover.papers import write_papers
from inspect_tui.judgement.judged import Judged
from inspect_tui.store.book_file import BookFile, create_book, open_book
from tests.conftest import SteppingClock, finding_edit, new_book_edit, prompt_called, reading_edit
from tests.terminal.helpers import at_work

HARD = {
    "brackets": "[aft] tank",
    "open bracket": "[/",
    "markup action": "[@click=app.quit]quit[/]",
    "comma": "4,7",
    "fraction": '3/16"',
    "emoji": "⚓ 🛠️ 👩‍🔧",
    "long": "wet " * 2500,
    "nul": "a\x00b",
    "escape sequence": "\x1b[31mred\x1b]0;title\x07",
    "right to left": "סירה של דניאל",
    "override": "abc\u202edef",
    "script": "<script>alert(1)</script>&amp;",
    "formula": "=1+1",
    "typst": '#panic("x")',
    "template": "{{ 7*7 }}{% raw %}",
}


def hard_book(path: Path, checklists: Checklists, text: str) -> BookFile:
    """A book in which everything an owner can write is this text."""
    clock = SteppingClock()
    opened = create_book(path, new_book_edit(checklists, Stamp(clock(), text), text), clock, text)
    place, prompt = prompt_called(checklists, opened.book, "stem/stem-weld")
    opened.record(edits.change_compartment(place.model_copy(update={"name": text})))
    place = opened.book.compartments[place.id]
    opened.record(
        finding_edit(
            opened.book,
            opened.stamp(),
            place,
            kind="pitting",
            words=text,
            severity=Severity.CRITICAL,
            likelihood=Likelihood.B,
            prompt=prompt,
            position=Position(frame=1, words=text),
        )
    )
    finding = opened.book.findings["1"]
    opened.record(
        reading_edit(
            opened.book,
            opened.stamp(),
            place,
            "pits",
            [1.2],
            finding=finding,
            instrument=text,
            note=text,
            typed=text,
        )
    )
    opened.record(edits.move_finding(opened.book, opened.stamp(), opened.book.findings["1"], Status.CLEANED, text))
    field = PlateField(
        id="p1", name=text, region=PlateRegion.BOTTOM, as_built_mm=6, alloy=text, temper=text, extent=text, area_m2=4
    )
    opened.record(edits.keep_plate_field(field))
    place = opened.book.compartments[place.id]
    opened.record(edits.change_compartment(place.model_copy(update={"plate_fields": ("p1",)})))
    patch = finding_edit(
        opened.book, opened.stamp(), place, kind="old-patch", words=text, severity=Severity.CRITICAL,
        likelihood=Likelihood.B,
    )  # fmt: skip
    opened.record(patch)
    opened.record(with_circuits(opened.book, (text,)))
    for circuit in (Switched.BASELINE.value, text):
        edit = reading_edit(
            opened.book, opened.stamp(), place, "potential", [-900], prompt=Prompts.CIRCUIT_HUNT,
            electrode="agcl-sea", circuit=circuit, instrument=text, typed=text,
        )  # fmt: skip
        opened.record(edit)
    place, prompt = prompt_called(checklists, opened.book, "stem/dents")
    opened.record(edits.say(opened.book, opened.stamp(), place, prompt, Said.SOUND, note=text))
    return opened


# What a screen could stumble over; the rest is drawn there as any other words, and is tried in store and papers.
DRAWN = ("markup action", "long", "escape sequence", "right to left")


@pytest.mark.parametrize("text", [HARD[one] for one in DRAWN], ids=DRAWN)
async def test_every_screen_shows_it_and_none_falls_over(tmp_path: Path, checklists: Checklists, text: str) -> None:
    opened = hard_book(tmp_path / "hard.hullbook", checklists, text)
    tables = opened.book.tables
    start = visible(one_line(text))[:5]
    async with at_work(checklists, opened, size=(100, 30)) as hands:
        seen = [hands.text]
        for keys in (
            "enter", "left a", "escape escape number_sign", "enter", "f4", "escape escape escape w",
            "y", "escape escape j", "enter", "escape escape p", "escape e", "escape h",
            "escape k", "enter", "escape y", "escape m",
        ):  # fmt: skip
            await hands.press(*keys.split())
            seen.append(hands.text)
        hands.app.go("hunt")
        await hands.settle()
        for name in ("causes", "patches", "protection", "tank"):
            hands.app.go(name)
            await hands.settle()
            seen.append(hands.text)
        hands.app.go("cause", chalk=1)
        await hands.settle()
        seen.append(hands.text)
        await hands.press(*["escape"] * 7, "q")
    assert "\x1b" not in "".join(seen)
    if text not in (HARD["right to left"], HARD["emoji"]):  # these may be laid out in other cells
        assert sum(start in one for one in seen) >= 8
    again = open_book(opened.path, SteppingClock(), "")
    without_desk = {name: rows for name, rows in tables.items() if name not in ("here", "drafts")}
    assert {name: rows for name, rows in again.book.tables.items() if name in without_desk} == without_desk


@pytest.mark.parametrize("text", HARD.values(), ids=HARD.keys())
def test_the_papers_show_it_literally(tmp_path: Path, checklists: Checklists, text: str) -> None:
    opened = hard_book(tmp_path / "hard.hullbook", checklists, text)
    page, plain = write_papers(Judged(opened.book, checklists), tmp_path / "papers", ("html", "text")).files[:2]
    shown = visible(text.strip())
    source = page.read_text(encoding="utf-8")
    assert html.escape(shown).replace("&#x27;", "&#39;").replace("&quot;", "&#34;") in source
    assert "<script" not in source
    assert "\x00" not in source
    # The text is wrapped between words; nothing else is done to it.
    assert " ".join(one_line(text).split()) in " ".join(plain.read_text(encoding="utf-8").split())
    assert "\x1b" not in plain.read_text(encoding="utf-8")
