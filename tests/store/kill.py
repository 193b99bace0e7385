"""Kill the program at random moments of a scripted walk, again and again: `python -m tests.store.kill 200`.

Each time a child runs the app and answers question after question as fast as it can, telling each answer that
the screen has acknowledged. It is killed without warning; then the book must open, whole, with every answer told.
"""

from __future__ import annotations

import asyncio
import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from inspect_tui.clock import now
from inspect_tui.domain import walk
from inspect_tui.domain.book import Stamp
from inspect_tui.store.book_file import create_book, open_book
from inspect_tui.store.checklist_files import load_checklists
from inspect_tui.terminal.app import InspectApp
from inspect_tui.terminal.screens.walk.walk import WalkScreen
from tests.conftest import new_book_edit

LONGEST_WALK_S = 1.5


async def _walk(path: Path) -> None:
    """The child: answer with one key after another, and tell what was acknowledged."""
    checklists = load_checklists()
    app = InspectApp(checklists, now, "child", book_file=open_book(path, now, "child"))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        await pilot.pause()
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        print("ready", flush=True)
        while True:
            place, prompt = screen.place.id, screen.prompt.key
            await pilot.press("n" if not screen.prompt.share else "s")
            if (screen.place.id, screen.prompt.key) != (place, prompt):
                print(walk.answer_key(app.open_file.book.round.id, place, prompt), flush=True)


def kill_once(path: Path, moment: random.Random) -> tuple[int, bool]:
    """One life of the program; how many answers it told, and whether the file had to be restored."""
    child = subprocess.Popen([sys.executable, "-m", "tests.store.kill", "--child", str(path)], stdout=subprocess.PIPE)
    assert child.stdout is not None
    assert child.stdout.readline() == b"ready\n"
    time.sleep(moment.uniform(0, LONGEST_WALK_S))
    child.kill()
    told = child.stdout.read().decode().splitlines()
    child.wait()
    child.stdout.close()
    opened = open_book(path, now, "parent")
    lost = [key for key in told if key not in opened.book.answers]
    if lost:
        raise AssertionError(f"lost after a kill: {lost}")
    restored = opened.restored is not None
    opened.close()
    return len(told), restored


def kill_many(times: int, seed: int = 0) -> tuple[int, int]:
    """Kill `times` times; the answers acknowledged in all, and how often something had to be restored."""
    moment = random.Random(seed)
    acknowledged = restored = 0
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "walked.hullbook"
        for number in range(times):
            if number % 10 == 0:  # a fresh book now and then: small files and grown ones
                path = Path(folder) / f"walked-{number}.hullbook"
                create_book(path, new_book_edit(load_checklists(), Stamp(now(), "parent")), now, "parent").close()
            told, back = kill_once(path, moment)
            acknowledged += told
            restored += back
    return acknowledged, restored


if __name__ == "__main__":
    if sys.argv[1] == "--child":
        asyncio.run(_walk(Path(sys.argv[2])))
    else:
        answers, repairs = kill_many(int(sys.argv[1]))
        print(f"{sys.argv[1]} kills: {answers} answers acknowledged, 0 lost, {repairs} files restored from a copy")
