"""Pictures to ask for: only of what she has, nothing dangerous asked, and written beside the book."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from click.testing import CliRunner

from inspect_tui.cli import main
from inspect_tui.domain.boat_words import BoatType, Feature
from inspect_tui.domain.book import Book, Stamp, after
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.words import FloatState, HullMetal, Rig
from inspect_tui.handover.writers.shots import shots_of, shots_text
from tests.conftest import START, new_book_edit
from tests.judgement.test_afloat import touching
from tests.terminal.helpers import at_work, demo_file

STAMP = Stamp(START, "Mattis")


def asked(checklists: Checklists, **more: Any) -> set[str]:
    book, _ = after(Book.empty(), new_book_edit(checklists, STAMP, **more), STAMP)
    return {shot.id for shot in shots_of(book.boat, checklists.shots)}


def test_each_boat_is_asked_for_pictures_of_what_she_has(checklists: Checklists) -> None:
    sloop = asked(checklists)
    assert {"chainplates", "keel-and-stands", "anodes"} <= sloop
    assert {"weed-hatch", "rivet-rows", "base-plate-edge", "ramp-and-tow"}.isdisjoint(sloop)
    barge = asked(
        checklists, rig=Rig.MOTOR, hull_metal=HullMetal.STEEL, built_as=BoatType.BARGE,
        features={Feature.RIVETED: True}, float_state=FloatState.AFLOAT,
    )  # fmt: skip
    assert {"rivet-rows", "base-plate-edge"} <= barge
    assert {"chainplates", "keel-and-stands", "anodes"}.isdisjoint(barge), "no mast, and she floats"
    assert min(len(sloop), len(barge)) >= 15


def test_no_picture_asks_a_layman_to_open_or_bare_a_hull_that_floats(checklists: Checklists) -> None:
    for shot in checklists.shots.values():
        assert shot.take[0].isupper()
        assert not shot.take.endswith(".")
        if FloatState.HAULED_OUT not in shot.applies:
            found = touching(shot.take)
            assert not found or "sole board" in shot.take or "lining panel" in shot.take, f"{shot.id}: {found}"


def test_the_list_is_printed_and_written_beside_the_book(tmp_path: Path, checklists: Checklists) -> None:
    file = demo_file(tmp_path)
    text = shots_text(file.book.boat, checklists.shots)
    assert text.startswith("Sandmartin: pictures to take (")
    assert "a tank or a closed void" in " ".join(text.split())
    assert len(re.findall(r"(?m)^ ?\d+  ", text)) == len(shots_of(file.book.boat, checklists.shots))
    assert max(map(len, text.splitlines())) <= 130
    file.close()
    told = CliRunner().invoke(main, ["shots", str(file.path)])
    assert (told.exit_code, told.output) == (0, text)


async def test_the_screen_lists_and_writes_it(tmp_path: Path, checklists: Checklists) -> None:
    file = demo_file(tmp_path)
    async with at_work(checklists, file) as hands:
        hands.app.go("shots")
        await hands.settle()
        assert "pictures to ask for" in hands.flat
        await hands.press("down", "f2")
        assert "Written:" in "".join(str(one.message) for one in hands.app._notifications)
    written = file.path.with_suffix(".shots.txt").read_text(encoding="utf-8")
    assert written == shots_text(file.book.boat, checklists.shots)
