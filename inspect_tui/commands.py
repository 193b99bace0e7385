"""The words that a command line may begin with, and how a command ends that cannot go on."""

from __future__ import annotations

import sys
from typing import NoReturn

# Any other word is the name of a book.
COMMANDS = ("demo", "worklist", "papers", "sheets", "writeup", "verify", "calc", "open")


def fail(sentence: str) -> NoReturn:
    """One sentence on stderr, exit code 1."""
    print(f"inspect-tui: {sentence}", file=sys.stderr)
    sys.exit(1)
