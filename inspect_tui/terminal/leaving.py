"""However the program ends: what is open goes to the disk first."""

from __future__ import annotations

import asyncio
import contextlib
import os
import signal
import threading
import traceback
from collections.abc import Callable
from datetime import datetime

import platformdirs

HANG_UP_PATIENCE_S = 3.0


def listen_for_hang_up(hang_up: Callable[[], None]) -> None:
    """Be told when the line dropped or the system wants us gone."""
    loop = asyncio.get_running_loop()
    for name in ("SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)
        if number is not None and threading.current_thread() is threading.main_thread():
            with contextlib.suppress(NotImplementedError, RuntimeError, ValueError):
                loop.add_signal_handler(number, hang_up)


def leave_anyway_soon() -> None:
    """Out, whatever hangs."""

    def leave() -> None:
        threading.Event().wait(HANG_UP_PATIENCE_S)
        os._exit(1)

    threading.Thread(target=leave, daemon=True).start()


def keep_crash(now: datetime) -> str:
    """The story of the fault that is being handled goes to a file; one line for the screen."""
    told = traceback.format_exc()
    line = "inspect-tui hit a fault of its own and stopped. What was answered is saved."
    try:
        folder = platformdirs.user_log_path("inspect-tui", ensure_exists=True)
        crash = folder / f"crash-{now:%Y%m%d-%H%M%S}.txt"
        crash.write_text(told, encoding="utf-8")
    except OSError:
        return f"{line} {told.strip().splitlines()[-1]}"
    return f"{line} The details are in {crash}"
