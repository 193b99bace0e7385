"""The console script, and `python -m inspect_tui`.

Opening a book is the usual case and reads in no more than the app needs; the rest is for `cli`.
"""

from __future__ import annotations

import gc
import os
import sys
from pathlib import Path
from types import ModuleType

from inspect_tui.commands import COMMANDS, fail


def start() -> None:
    # While starting, thousands of objects are made that stay; collecting among them is time lost. The app
    # turns collecting on again with its first screen.
    gc.disable()
    _without_plugins()
    match sys.argv[1:]:
        case []:
            from inspect_tui.launch import open_last

            open_last()
        case ["demo"]:
            from inspect_tui.launch import open_demo

            open_demo()
        case [word] if word not in COMMANDS and not word.startswith("-"):
            from inspect_tui.launch import open_or_start

            open_or_start(Path(word))
        case _:
            gc.enable()
            from inspect_tui.cli import main

            try:
                main(prog_name="inspect-tui")
            except OSError as error:
                # What is still held back for a full disk must not be tried again at the end.
                os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
                where = f"{error.filename}: " if error.filename else ""
                fail(f"{where}{error.strerror or error}.")


def _without_plugins() -> None:
    # pydantic reads the metadata of everything installed to look for plugins, also where they are switched off. That
    # is a thirtieth of the start; a pydantic that keeps its loader elsewhere is only slower.
    loader = ModuleType("pydantic.plugin._loader")
    vars(loader)["get_plugins"] = tuple
    sys.modules[loader.__name__] = loader


if __name__ == "__main__":
    start()
