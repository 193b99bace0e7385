"""The screens by name: where each lies, and what the palette says of it. Imports nothing: all may name one."""

from __future__ import annotations

from typing import Literal

ScreenName = Literal[
    "anodes",
    "boat",
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

# The folder of `screens/` that each lies in.
SUBJECTS: dict[ScreenName, str] = {
    "anodes": "electricity",
    "boat": "boat",
    "cause": "causes",
    "causes": "causes",
    "chalk": "walk",
    "compartment": "boat",
    "finding": "walk",
    "hunt": "electricity",
    "inbox": "walk",
    "measure": "metal",
    "metal": "metal",
    "papers": "papers",
    "particulars": "boat",
    "patches": "causes",
    "photos": "walk",
    "plate": "metal",
    "protection": "electricity",
    "rates": "papers",
    "sheets": "papers",
    "tank": "electricity",
    "trail": "boat",
    "walk": "walk",
    "worklist": "work",
}

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
