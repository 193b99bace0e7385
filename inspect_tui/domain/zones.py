"""Zones by the loaded waterline: what may be under water counts as under water."""

from __future__ import annotations

from inspect_tui.domain.boat_words import Feature
from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.areas import Prompt
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.reading_records import Reading
from inspect_tui.domain.records import Boat, Compartment, Finding, Position
from inspect_tui.domain.shell import MM_PER_M, from_bow_mm
from inspect_tui.domain.words import Face, Lane, Zone

# Of topsides that flare up to 60° from the upright, half the girth is height.
FLARE = 2.0
# A keel or tank this near along the boat may be in the girth [mm].
APART_MM = 600.0


def zone_of_compartment(checklists: Checklists, compartment: Compartment | None) -> Zone:
    """What the owner said, or else what its area is; under water if the compartment or its area is not known."""
    if compartment is None or compartment.below_waterline:
        return Zone.UNDER
    if compartment.below_waterline is False:
        return Zone.ABOVE
    area = checklists.areas.get(compartment.area)
    return area.usual_zone if area else Zone.UNDER


def zone_of_prompt(checklists: Checklists, compartment: Compartment | None, prompt: Prompt | None) -> Zone:
    """What the prompt says of itself, or else its compartment; an owner who says that the compartment lies below the
    waterline is believed before a prompt."""
    if prompt is None or prompt.zone is None or (compartment and compartment.below_waterline):
        return zone_of_compartment(checklists, compartment)
    return prompt.zone


def zone_of_position(book: Book, checklists: Checklists, position: Position) -> Zone | None:
    """What the girth proves; under water if it proves nothing, None if there is none.

    To the waterline the plate of a single hull runs at most half the waterline's beam and the hull's draught, so that
    what lies further out, measured inside, lies above it. That holds where no keel or tank lies at the frame, whose
    own plate may be in the girth; of a boat without any, she must be known to have neither ballast nor a board.
    """
    boat = book.boat
    if position.girth_mm is None:
        return None
    if position.face is not Face.INSIDE or boat.waterline_beam_m is None or boat.hull_draught_m is None:
        return Zone.UNDER
    areas = checklists.areas
    hollows = [
        place
        for place in book.compartments.values()
        if place.area not in areas or areas[place.area].lane is Lane.KEEL
    ]
    unsaid = not hollows and any(boat.may_have(one) for one in (Feature.BALLAST, Feature.CENTREBOARD))
    if unsaid or any(place.area not in areas or _may_lie_at(boat, place, position) for place in hollows):
        return Zone.UNDER
    beyond_mm = position.girth_mm - (boat.waterline_beam_m / 2 + boat.hull_draught_m) * MM_PER_M
    if beyond_mm > FLARE * checklists.everywhere.near_water.half_width_mm:
        return Zone.ABOVE
    return Zone.NEAR if beyond_mm > 0 else Zone.UNDER


def _may_lie_at(boat: Boat, place: Compartment, position: Position) -> bool:
    """Whether a compartment may reach to a position along the boat; yes, unless both are known and far apart."""
    at = from_bow_mm(boat, position)
    ends = [
        from_bow_mm(boat, Position(frame=frame)) for frame in (place.frame_from, place.frame_to) if frame is not None
    ]
    known = [end for end in ends if end is not None]
    return at is None or len(known) < 2 or min(known) - APART_MM <= at <= max(known) + APART_MM


def zone_of_finding(book: Book, checklists: Checklists, finding: Finding) -> Zone:
    """By its position, else by the prompt it came from, else by its compartment."""
    return _zone_at(book, checklists, finding.position, finding.compartment, finding.prompt)


def zone_of_reading(book: Book, checklists: Checklists, reading: Reading) -> Zone:
    """By its position, else by its finding, else by its prompt, else by its compartment."""
    finding = book.findings.get(str(reading.finding))
    if finding is not None and reading.position.girth_mm is None:
        return zone_of_finding(book, checklists, finding)
    return _zone_at(book, checklists, reading.position, reading.compartment, reading.prompt)


def _zone_at(book: Book, checklists: Checklists, position: Position, compartment: str, prompt: str | None) -> Zone:
    place = book.compartments.get(compartment)
    by_prompt = zone_of_prompt(checklists, place, checklists.prompts.get(prompt or ""))
    area = checklists.areas.get(place.area) if place else None
    if Zone.ABOVE in (zone_of_compartment(checklists, place), area.usual_zone if area else Zone.UNDER):
        # The girth of a deck or a house runs along the deck, and proves nothing.
        return by_prompt
    return zone_of_position(book, checklists, position) or by_prompt
