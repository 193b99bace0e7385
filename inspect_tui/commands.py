"""The words a command line may begin with, and the one way in which text reaches a terminal outside the app."""

from __future__ import annotations

import os
import sys
from typing import NoReturn, TextIO

from inspect_tui.domain.plain import visible

# Any other word is the name of a book.
COMMANDS = ("demo", "worklist", "plan", "papers", "shots", "sheets", "writeup", "verify", "calc", "open")


def say(text: str) -> None:
    """Text on stdout: the same bytes on every system, and nothing in it drives the terminal."""
    try:
        _write(sys.stdout, text)
    except BrokenPipeError:
        # The reader (a pager) went away: nobody is left to tell.
        _give_up()
    except OSError as error:
        _give_up()
        fail(f"This cannot be written: {error.strerror or error}.")


def warn(sentence: str) -> None:
    """One sentence on stderr."""
    _write(sys.stderr, f"inspect-tui: {sentence}\n")


def fail(sentence: str) -> NoReturn:
    """One sentence on stderr, exit code 1."""
    warn(sentence)
    sys.exit(1)


def _write(stream: TextIO, text: str) -> None:
    clean = "\r\n".join(visible(part) for part in text.split("\r\n"))
    stream.flush()
    stream.buffer.write(clean.encode())
    stream.buffer.flush()


def _give_up() -> None:
    """What is still held back must not fail again at the very end."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
