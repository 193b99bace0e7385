"""Which face of the metal a finding is on, and so what can be at work there: an anode outside helps nothing within
her, and what happens within her does not happen in the water outside."""

from __future__ import annotations

from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.causes import Spot
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.named import Areas
from inspect_tui.domain.records import Finding
from inspect_tui.domain.words import Face
from inspect_tui.domain.zones import zone_of_finding

# Areas that the water outside does not touch, whichever face was written: a tank may stand free within her.
TANKS = frozenset({Areas.WATER_TANK, Areas.FUEL_TANK})


def face_of(book: Book, checklists: Checklists, finding: Finding) -> Face:
    """As somebody wrote it, else as its question or its area says; else inside, where most metal is looked at."""
    prompt = checklists.prompts.get(finding.prompt or "")
    place = book.compartments.get(finding.compartment)
    area = checklists.areas.get(place.area) if place else None
    written = finding.position.face or (prompt.face if prompt else None)
    return written or (Face.OUTSIDE if area is not None and area.outside else Face.INSIDE)


def spot_of(book: Book, checklists: Checklists, finding: Finding) -> Spot:
    """What the place of a finding is to the causes."""
    inside = face_of(book, checklists, finding) is Face.INSIDE
    place = book.compartments.get(finding.compartment)
    area = place.area if place else ""
    wet = zone_of_finding(book, checklists, finding).wet
    return Spot(
        sea_side=not inside and wet and area not in TANKS, inside=inside, tank=inside and area == Areas.FUEL_TANK
    )
