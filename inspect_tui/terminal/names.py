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
    "done",
    "finding",
    "hunt",
    "inbox",
    "launch",
    "measure",
    "metal",
    "papers",
    "part",
    "particulars",
    "parts",
    "patches",
    "photos",
    "plate",
    "protection",
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
    "done": "work",
    "finding": "walk",
    "hunt": "electricity",
    "inbox": "walk",
    "launch": "work",
    "measure": "metal",
    "metal": "metal",
    "papers": "papers",
    "part": "work",
    "particulars": "boat",
    "parts": "work",
    "patches": "causes",
    "photos": "walk",
    "plate": "metal",
    "protection": "electricity",
    "sheets": "papers",
    "tank": "electricity",
    "trail": "boat",
    "walk": "walk",
    "worklist": "work",
}

# Screens that are opened from the palette: title, what they are for, name.
PALETTE: tuple[tuple[str, str, ScreenName], ...] = (
    ("Worklist", "What to do first, and why", "worklist"),
    ("Launch list", "Signed line by line, before she moves and after", "launch"),
    ("Taken out", "Soles, fittings, screws: where they lie, to go back", "parts"),
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
    ("Trail", "Every change; take one back", "trail"),
    ("Boat's particulars", "Dimensions, water, frames", "particulars"),
)
