"""Screens are read in when they are first wanted: the boat is on the screen sooner."""

from __future__ import annotations

from importlib import import_module
from typing import cast

from inspect_tui.domain.trail import Argument, Form
from inspect_tui.terminal.names import SUBJECTS, ScreenName
from inspect_tui.terminal.screens.base import BookScreen


def make_screen(name: ScreenName, **arguments: Argument | None) -> BookScreen:
    """A screen over the open book: class `NameScreen` of module `name`."""
    module = import_module(f"inspect_tui.terminal.screens.{SUBJECTS[name]}.{name}")
    said = {key: value for key, value in arguments.items() if value is not None}
    screen = cast("BookScreen", getattr(module, f"{name.capitalize()}Screen")(**said))
    screen.form = Form(name, said)
    return screen
