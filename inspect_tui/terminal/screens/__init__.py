"""One screen a file, each with its stylesheet beside it.

Screens are opened by name and read in when they are first wanted: the boat is on the screen sooner.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any, Literal, cast

if TYPE_CHECKING:
    from inspect_tui.terminal.screens.base import BookScreen

ScreenName = Literal[
    "anodes",
    "cause",
    "causes",
    "chalk",
    "compartment",
    "finding",
    "hunt",
    "inbox",
    "measure",
    "metal",
    "papers",
    "particulars",
    "patches",
    "photos",
    "plate",
    "protection",
    "rates",
    "sheets",
    "tank",
    "trail",
    "walk",
    "worklist",
]


def make_screen(name: ScreenName, *args: Any, **settings: Any) -> BookScreen:
    """A screen over the open book: module `name`, class `NameScreen`."""
    module = import_module(f"{__name__}.{name}")
    return cast("BookScreen", getattr(module, f"{name.capitalize()}Screen")(*args, **settings))
