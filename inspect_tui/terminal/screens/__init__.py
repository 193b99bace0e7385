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

# Screens that are opened from the palette: title, what they are for, name.
PALETTE: tuple[tuple[str, str, ScreenName], ...] = (
    ("Worklist", "What to do first, and why", "worklist"),
    ("Chalk numbers", "All findings by number", "chalk"),
    ("Metal", "Plate fields: what is left, what is needed", "metal"),
    ("Papers", "Write the papers to hand over", "papers"),
    ("Photos", "Go through a folder of pictures", "inbox"),
    ("Field sheets", "Print sheets to fill in by hand; read them back", "sheets"),
    ("Why she corrodes", "Causes by place, and what would tell more", "causes"),
    ("Old patches", "What lay beneath, and what of the rest", "patches"),
    ("Protection", "The hull's potential among its bands, over time", "protection"),
    ("Tank water and air", "pH, copper, chlorine, oxygen, test pressure", "tank"),
    ("Anodes", "How many, by mass and by current", "anodes"),
    ("Circuit hunt", "Which circuit leaks into the hull", "hunt"),
    ("Rates", "Your prices, for estimates on job sheets", "rates"),
    ("Trail", "Every change; take one back", "trail"),
    ("Boat's particulars", "Dimensions, water, frames", "particulars"),
)


def make_screen(name: ScreenName, *args: Any, **settings: Any) -> BookScreen:
    """A screen over the open book: module `name`, class `NameScreen`."""
    module = import_module(f"{__name__}.{name}")
    return cast("BookScreen", getattr(module, f"{name.capitalize()}Screen")(*args, **settings))
