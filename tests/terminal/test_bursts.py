"""Keys that come faster than screens open: every one lands where it would if somebody waited for each."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.store.book_file import BookFile
from tests.terminal.helpers import Hands, at_work, demo_file

KEYS_A_SECOND = 20
# A reading, a finding with a severity, a remark, a worklist with a job found and opened, metal measured.
BURSTS: dict[str, list[str]] = {
    "a finding from the boat": ["f", *"weeping", "enter", "enter", "2", "enter", "b", "f2"],
    "the numbers of a finding": ["number_sign", "2", "9", "enter", "f4", *"1.2", "space", *"0.8", "enter", "escape"],
    "a remark in the walk": ["enter", "a", *"dry", "enter", "u", "1"],
    "a job found and opened": ["w", "slash", *"sump", "enter", "enter", "escape"],
    "a plate measured": ["k", "down", "m", *"5.1", "enter", "escape"],
    "a new plate field": ["k", "a", "p", *"side", "enter", "enter", "f2"],
    "a compartment renamed": ["e", "end", *"x2", "f2"],
    "menus and back": ["f9", "w", "escape", "c", "escape", "p", "escape", "l", "escape", "x", "escape"],
}


@contextmanager
def kept_busy() -> Iterator[None]:
    """Another thread that works all the time, as on a slow laptop."""
    stop = threading.Event()

    def work() -> None:
        while not stop.is_set():
            sum(range(20_000))

    threads = [threading.Thread(target=work, daemon=True) for _ in range(2)]
    for thread in threads:
        thread.start()
    try:
        yield
    finally:
        stop.set()
        for thread in threads:
            thread.join()


async def slowly(hands: Hands, keys: list[str]) -> None:
    await hands.press(*keys)
    await hands.pilot.pause(0.5)


async def in_a_burst(hands: Hands, keys: list[str]) -> None:
    """As a terminal sends them: nobody waits for anything."""
    from textual.events import Key
    from textual.keys import _character_to_key, _get_unicode_name_from_key

    driver: Any = hands.app
    loop = asyncio.get_running_loop()
    began = loop.time()
    for number, key in enumerate(keys):
        name = _character_to_key(key) if len(key) == 1 else key
        sign = {"space": " ", "number_sign": "#", "slash": "/"}.get(name, key if len(key) == 1 else None)
        assert _get_unicode_name_from_key(name)
        driver.post_message(Key(name, sign))
        await asyncio.sleep(max(began + (number + 1) / KEYS_A_SECOND - loop.time(), 0))
    await hands.wait_for(lambda: hands.app._taking is None and hands.app._is_quiet())
    await hands.pilot.pause(1.0)
    await hands.settle()


def outcome(file: BookFile) -> dict[str, object]:
    """What the book holds of it, without the hours; forms left half-written too."""
    book = file.book
    return {
        "findings": sorted((one.chalk, one.words, one.severity, one.likelihood) for one in book.findings.values()),
        "answers": sorted((one.compartment, one.prompt, one.said, one.note) for one in book.answers.values()),
        "readings": sorted((key, one.typed) for key, one in book.readings.items()),
        "plates": sorted(one.name for one in book.plate_fields.values()),
        "places": sorted(one.name for one in book.compartments.values()),
        "drafts": sorted((key, sorted(one.fields.items())) for key, one in book.drafts.items()),
    }


@pytest.mark.parametrize("name", BURSTS)
async def test_every_key_lands_where_a_slow_one_would(
    name: str, tmp_path: Path, checklists: Checklists, monkeypatch: pytest.MonkeyPatch
) -> None:
    # How long a key is kept before it is let through to a screen that does not come is no matter of where it lands.
    monkeypatch.setattr("inspect_tui.terminal.in_turn.LONGEST_S", 60.0)
    told: list[tuple[str, dict[str, object]]] = []
    plays: tuple[Callable[[Hands, list[str]], Any], ...] = (slowly, in_a_burst)
    for number, play in enumerate(plays):
        folder = tmp_path / str(number)
        folder.mkdir()
        file = demo_file(folder)
        async with at_work(checklists, file, size=(100, 30)) as hands:
            if play is in_a_burst:
                with kept_busy():
                    await play(hands, BURSTS[name])
            else:
                await play(hands, BURSTS[name])
            told.append((type(hands.app.screen).__name__, outcome(file)))
    assert told[0] == told[1]
