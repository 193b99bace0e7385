"""A stranger's folder: opened, walked, written of, verified; nothing outside is touched, nothing is started, and all
of it is told in sentences."""

from __future__ import annotations

import os
import re
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from tests.faults.hostile import BOOK, MARK, OPENERS, make_bundle, make_owners
from tests.terminal.terminal import Terminal

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="needs links, pipes and a pty")
# What a terminal obeys: set the title, ask for an answer, the 8-bit forms of both; and what hides or turns text.
OBEYED = re.compile(rf"\x1b\]0;{MARK}|\x1b\[6n|\x1b\[8m|\x9b|\x9d|\u202e")
HOME, F6 = "\x1b[H", "\x1b[17~"


class World:
    """The received folder, the owner's, and stand-ins for all that could be started."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.owners = make_owners(root / "owners")
        self.book = make_bundle(root / "received", self.owners)
        self.started = root / "started.txt"
        bin_ = root / "bin"
        bin_.mkdir()
        for name in OPENERS:
            stand_in = bin_ / name
            stand_in.write_text(f'#!/bin/sh\necho "{name} $@" >> "{self.started}"\n')
            stand_in.chmod(stand_in.stat().st_mode | stat.S_IXUSR)
        self.environment = {
            **os.environ,
            "PATH": f"{bin_}:{os.environ['PATH']}",
            "HOME": str(root / "home"),
            "XDG_STATE_HOME": str(root / "home/state"),
            "XDG_CONFIG_HOME": str(root / "home/config"),
            "XDG_CACHE_HOME": str(root / "home/cache"),
        }
        (root / "home").mkdir()
        self.before = self.marks()

    def marks(self) -> dict[str, tuple[int, int, bytes]]:
        return {
            path.name: (path.stat().st_mtime_ns, path.stat().st_mode, path.read_bytes())
            for path in self.owners.iterdir()
        }

    def run(self, *words: str) -> tuple[int, str]:
        done = subprocess.run(
            [sys.executable, "-m", "inspect_tui", *words],
            env=self.environment,
            cwd=self.root / "received",
            capture_output=True,
            timeout=120,
            check=False,
        )
        return done.returncode, done.stdout.decode() + done.stderr.decode()

    def check(self, text: str) -> None:
        assert self.marks() == self.before, "the owner's files are as they were"
        assert not list(self.root.rglob(MARK)), "nothing was run"
        assert not (obeyed := OBEYED.search(text)), repr(text[max(0, obeyed.start() - 60) : obeyed.end() + 20])
        assert "Traceback" not in text


@pytest.fixture
def world(tmp_path: Path) -> World:
    return World(tmp_path)


def told_to_start(world: World) -> list[str]:
    return world.started.read_text().splitlines() if world.started.exists() else []


@pytest.mark.parametrize(
    ("words", "codes"),
    [
        (["worklist", BOOK], {0}),
        (["worklist", BOOK, "--csv"], {0}),
        (["worklist", BOOK, "--json"], {0}),
        (["papers", BOOK, "-o", "sandmartin papers"], {0}),
        (["verify", BOOK], {1}),
        (["verify", BOOK, "--papers", "sandmartin papers"], {1}),
        (["verify", BOOK, "--papers", "sandmartin papers/pipe-proof.json"], {1}),
        (["sheets", BOOK, "-o", "sheets"], {0, 1}),
        (["writeup", BOOK, "sandmartin-photos/script.jpg"], {1}),
        (["writeup", BOOK, "sandmartin-photos/pipe.jpg"], {1}),
        (["writeup", BOOK, "sandmartin-photos/endless.jpg"], {1}),
    ],
    ids=lambda value: " ".join(value)[:60] if isinstance(value, list) else "",
)
def test_every_command_on_it_ends_in_words(world: World, words: list[str], codes: set[int]) -> None:
    code, text = world.run(*words)
    assert code in codes, text[-800:]
    assert text.strip()
    world.check(text)
    assert told_to_start(world) == []


def test_papers_of_it_show_the_good_picture_and_say_what_is_wrong_with_the_others(world: World) -> None:
    code, text = world.run("papers", BOOK, "-o", "new papers")
    assert code == 0, text
    for name in ("plan.desktop", "script.jpg", "pipe.jpg", "endless.jpg", "diary.jpg", "folder.jpg", "vast.png"):
        assert re.search(
            rf"{re.escape(name)}.* (cannot be read|has 20000 ×|cannot be shown|is not the picture)", text
        ), name
    assert "good.jpg" not in text
    world.check(text)
    page = next((world.root / "received" / "new papers").glob("*.html")).read_text(encoding="utf-8")
    assert "<script>" not in page.lower().replace("<script>\n", "")
    assert not OBEYED.search(page)


def test_it_is_opened_and_walked_and_its_photos_are_looked_at(world: World) -> None:
    terminal = Terminal(str(world.book), home=world.root / "home", path=world.environment["PATH"])
    try:
        terminal.wait_for("=HYPERLINK")
        terminal.press("?", pause=0.3)
        terminal.press("\x1b", pause=0.5)
        for key in "j#pwhkcl":
            terminal.press(key, pause=0.5)
            terminal.press("\x1b", pause=0.4)
        terminal.press("#", pause=0.5)
        for keys in (HOME, "\r", F6):
            os.write(terminal.master, keys.encode())
            terminal.read(0.5)
            terminal.read(0.5)
        for _ in range(18):
            terminal.press("v", pause=0.3)
            os.write(terminal.master, b"\x1b[B")
            terminal.read(0.1)
        terminal.press("\x1b", pause=0.5)
        terminal.press("\x11", pause=0.5)
        if not terminal.ended():
            terminal.press("l", pause=0.5)
        terminal.wait_for_end(10)
        raw = terminal.raw.decode("utf-8", "replace")
    finally:
        terminal.close()
    world.check(raw)
    assert told_to_start(world), "the good picture is shown"
    for line in told_to_start(world):
        opener, _, path = line.partition(" ")
        assert opener in ("xdg-open", "open")
        assert re.fullmatch(
            rf"{re.escape(str(world.root / 'home/cache'))}/inspect-tui/shown/photo-[0-9a-f]+\.jpg", path
        )
