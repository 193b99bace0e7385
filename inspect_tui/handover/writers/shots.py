"""The shot list as text: what a seller far away is asked to photograph."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping

from inspect_tui.domain import walk
from inspect_tui.domain.knowledge.shots import Shot
from inspect_tui.domain.records import Boat

CARE = (
    "Before the first picture: hatches open, gas bottle shut, shore lead out, somebody ashore who knows. Nothing is "
    "opened, scraped or unscrewed below the waterline of a boat that floats. A smell of gas or petrol: out, no "
    "switch. Nobody puts a head into a tank or a closed void. Originals, not pictures sent through a messaging "
    "app; a "
    "ruler or a coin in each close one; the name of the place on paper in the picture."
)
WIDE = 96


def shots_of(boat: Boat, shots: Mapping[str, Shot]) -> list[Shot]:
    """Those that are worth asking for of this boat, in their order."""
    return [shot for shot in shots.values() if walk.applies(shot.applies, boat)]


def shots_text(boat: Boat, shots: Mapping[str, Shot]) -> str:
    """To be sent as it stands."""
    asked = shots_of(boat, shots)
    lines = [f"{boat.name}: pictures to take ({len(asked)})", "", textwrap.fill(CARE, WIDE), ""]
    for number, shot in enumerate(asked, 1):
        lines.append(textwrap.fill(f"{number:>2}  {shot.take}.", WIDE, subsequent_indent="    "))
        lines.append(f"    It shows: {shot.tells}")
    return "\n".join(lines) + "\n"
