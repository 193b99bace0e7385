"""Driving the app by keys, and reading the screen as a person does."""

from __future__ import annotations

import asyncio
import os
import re
import shutil
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from datetime import timedelta
from pathlib import Path
from typing import Any

from textual.pilot import Pilot

from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.store.book_file import BookFile, open_book
from inspect_tui.store.checklist_files import shipped
from inspect_tui.store.photo_files import photo_folder
from inspect_tui.terminal.app import InspectApp
from inspect_tui.terminal.keys import KeyMap
from tests.conftest import START, SteppingClock

GOLDENS = Path(__file__).parent / "goldens"
UPDATE = "UPDATE_GOLDENS"
TWO_DAYS_LATER = START + timedelta(days=2)


def screen_text(app: InspectApp) -> str:
    """The characters on the screen, line by line, without trailing blanks."""
    strips = app.screen._compositor.render_strips(app.size)
    lines = ["".join(segment.text for segment in strip).rstrip() for strip in strips[: app.size.height]]
    return "\n".join(lines) + "\n"


def check_golden(name: str, text: str) -> None:
    """Compare with the committed text; `UPDATE_GOLDENS=1` writes it anew, for a person to read in the diff."""
    path = GOLDENS / f"{name}.txt"
    if os.environ.get(UPDATE):
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    assert path.exists(), f"no golden {path}: run once with {UPDATE}=1 and read what it wrote"
    assert _timeless(text) == _timeless(path.read_text(encoding="utf-8"))


def _timeless(text: str) -> str:
    """Without when it was saved: on a slow machine a draft may be kept before the screen is read."""
    return re.sub(r" +(round \d+)  saved \S+", r" \1 saved", text)


def demo_file(folder: Path, *, write: bool = True) -> BookFile:
    copy = folder / "sandmartin.hullbook"
    if not copy.exists():
        shutil.copy(shipped("demo") / "sandmartin.hullbook", copy)
        shutil.copytree(photo_folder(shipped("demo") / "sandmartin.hullbook"), photo_folder(copy))
    return open_book(copy, SteppingClock(TWO_DAYS_LATER), "Mattis", write=write)


class Hands:
    """Presses keys and looks."""

    def __init__(self, app: InspectApp, pilot: Pilot[Any]) -> None:
        self.app = app
        self.pilot = pilot

    async def press(self, *keys: str) -> None:
        for key in keys:
            await self.pilot.press(key)
            await self.settle()

    async def settle(self) -> None:
        """Wait until the screen on top has been laid out: on a busy machine one pause may be too short."""
        for _ in range(200):
            await self.pilot.pause()
            screen = self.app.screen
            if screen.is_mounted and screen._compositor.size.area:
                break

    async def wait_for(self, what: Callable[[], object]) -> None:
        """Wait for work in the background, 20 seconds at the most."""
        for _ in range(400):
            if what():
                break
            await asyncio.sleep(0.05)
        await self.settle()

    async def type(self, text: str) -> None:
        """Type text into the focused field as one paste would not: key by key where keys exist."""
        await self.pilot.press(*[{" ": "space"}.get(sign, sign) for sign in text])
        await self.pilot.pause()

    @property
    def text(self) -> str:
        return screen_text(self.app)

    @property
    def flat(self) -> str:
        """The screen with all white space as single blanks: for looking up a sentence that may be wrapped."""
        return " ".join(self.text.split())


@asynccontextmanager
async def at_work(
    checklists: Checklists,
    book_file: BookFile | None,
    *,
    size: tuple[int, int] = (80, 24),
    start_path: Path | None = None,
    keys: KeyMap | None = None,
) -> AsyncIterator[Hands]:
    clock = book_file.clock if book_file else SteppingClock()
    app = InspectApp(checklists, clock, "Mattis", book_file=book_file, start_path=start_path)
    app.animation_level = "none"
    if keys is not None:
        app.use_keys(keys)
    async with app.run_test(size=size, notifications=True) as pilot:
        await pilot.pause()
        yield Hands(app, pilot)
