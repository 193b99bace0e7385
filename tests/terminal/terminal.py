"""A real terminal: the program in a pty of its own, keys in, screen text out."""

from __future__ import annotations

import contextlib
import fcntl
import os
import pty
import re
import select
import signal
import struct
import sys
import termios
import time
from pathlib import Path

_ESCAPES = re.compile(rb"\x1b\[[0-?]*[ -/]*[@-~]|\x1b\][^\x07\x1b]*(?:\x07|\x1b\\)|\x1b[@-Z\\-_]|\x1b[()][A-Z0-9]")
PATIENCE_S = 20.0


class Terminal:
    """One program in an 80×24 terminal. `raw` gathers all it wrote, `text` the same without the control sequences."""

    def __init__(self, *words: str, home: Path, module: str | None = "inspect_tui", path: str | None = None) -> None:
        # As people run it: in colour, and with compiled files kept from one start to the next.
        left_out = ("NO_COLOR", "COLUMNS", "LINES", "PYTHONDONTWRITEBYTECODE")
        environment = {
            **{key: value for key, value in os.environ.items() if key not in left_out},
            "TERM": "xterm-256color",
            "HOME": str(home),
            "XDG_STATE_HOME": str(home / "state"),
            "XDG_CONFIG_HOME": str(home / "config"),
            "XDG_CACHE_HOME": str(home / "cache"),
            "TEXTUAL_ANIMATIONS": "none",
            **({"PATH": path} if path else {}),
        }
        argv = [sys.executable, *(["-m", module] if module else []), *words]
        self.started = time.perf_counter()
        self.pid, self.master = pty.fork()
        if self.pid == 0:
            os.execve(sys.executable, argv, environment)
        fcntl.ioctl(self.master, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        os.kill(self.pid, signal.SIGWINCH)
        self.text = ""
        self.raw = b""
        self.status: int | None = None

    def read(self, seconds: float = 0.05) -> None:
        if self.master < 0:
            time.sleep(seconds)
            return
        ready, _, _ = select.select([self.master], [], [], seconds)
        if ready:
            with contextlib.suppress(OSError):
                data = os.read(self.master, 65536)
                self.raw += data
                self.text += _ESCAPES.sub(b" ", data).decode("utf-8", "replace")

    def wait_for(self, words: str) -> None:
        """Until these words were written; each is looked for by itself, as the screen may draw them apart."""
        until = time.monotonic() + PATIENCE_S
        while time.monotonic() < until:
            flat = " ".join(self.text.split())
            if words in flat:
                return
            self.read()
            if self.ended():
                break
        raise AssertionError(f"waited for {words!r}; the terminal says: {' '.join(self.text.split())[-1500:]!r}")

    def press(self, keys: str, pause: float = 0.08) -> None:
        """Type key by key, reading what comes back meanwhile."""
        for key in keys:
            os.write(self.master, key.encode())
            until = time.monotonic() + pause
            while time.monotonic() < until:
                self.read(0.01)

    def ended(self) -> bool:
        if self.status is None:
            pid, status = os.waitpid(self.pid, os.WNOHANG)
            if pid:
                self.status = status
        return self.status is not None

    def wait_for_end(self, seconds: float) -> int:
        """The wait status; fails if the program is still there."""
        until = time.monotonic() + seconds
        while not self.ended():
            assert time.monotonic() < until, "the program did not end"
            self.read()
        assert self.status is not None
        return self.status

    def kill(self, number: signal.Signals = signal.SIGKILL) -> None:
        os.kill(self.pid, number)

    def hang_up(self) -> None:
        """Drop the line: the terminal is gone."""
        os.close(self.master)
        self.master = -1

    def close(self) -> None:
        if not self.ended():
            self.kill()
            os.waitpid(self.pid, 0)
            self.status = -1
        if self.master >= 0:
            os.close(self.master)
