"""Places on the developed shell: how far from the bow along the boat, how far out along the plate, on which face."""

from __future__ import annotations

from dataclasses import dataclass

from inspect_tui.domain.records import Boat, Compartment, Datum, Position
from inspect_tui.domain.words import Face, FrameDirection, Side

MM_PER_M = 1000.0
_OUT = {Side.PORT: -1.0, Side.CENTRE: 0.0, Side.STARBOARD: 1.0}


@dataclass(frozen=True)
class ShellPlace:
    """`from_bow_mm`: aft of the bow, along the boat. `out_mm`: from the centreline along the plate, to port minus."""

    from_bow_mm: float
    out_mm: float
    face: Face | None = None


def _frame_mm(datum: Datum, frame: float) -> float | None:
    """A frame's distance from the origin [mm]: by the table, between its rows by their share, beyond it by the
    spacing; else by the spacing. None where neither reaches."""
    table, spacing = datum.frame_table_mm, datum.frame_spacing_mm
    last = len(table) - 1
    if table and 0 <= frame <= last:
        before = min(int(frame), max(last - 1, 0))
        return table[before] + (frame - before) * (table[min(before + 1, last)] - table[before])
    if spacing is None:
        return None
    beyond = 0 if not table or frame < 0 else last
    return (table[beyond] if table else 0.0) + (frame - beyond) * spacing


def _nearest_frame(datum: Datum, at_mm: float) -> int | None:
    """The whole frame that lies nearest to a distance from the origin [mm]; None on a boat without frames."""
    if datum.frame_table_mm:
        rows = datum.frame_table_mm
        return min(range(len(rows)), key=lambda frame: abs(rows[frame] - at_mm))
    return None if datum.frame_spacing_mm is None else round(at_mm / datum.frame_spacing_mm)


def from_bow_mm(boat: Boat, position: Position) -> float | None:
    """Distance from the bow along the boat [mm], by her frames or, with no frame, by a tape from the origin; None if
    it cannot be told.

    What is counted forward from the stern is taken off the hull's length. An offset from a frame runs aft.

    >>> from inspect_tui.domain.words import HullMetal, Rig
    >>> boat = Boat(name="x", rig=Rig.SAIL, hull_metal=HullMetal.STEEL, hull_length_m=12,
    ...             datum=Datum(frame_spacing_mm=500))
    >>> from_bow_mm(boat, Position(frame=14, offset_mm=120)), from_bow_mm(boat, Position(offset_mm=640))
    (7120.0, 640.0)
    """
    if position.frame is None:
        along, aft = position.offset_mm, 0.0
    else:
        along, aft = _frame_mm(boat.datum, position.frame), position.offset_mm or 0.0
    if along is None:
        return None
    if boat.datum.direction is FrameDirection.FORWARD:
        along = boat.hull_length_m * MM_PER_M - along
    return along + aft


def on_shell(boat: Boat, position: Position, compartment: Compartment | None = None) -> ShellPlace | None:
    """Where a position lies; None if frame or tape, side or girth leave it open.

    A position that names no side lies on its compartment's. On the centreline the girth is 0 and need not be written.

    >>> from inspect_tui.domain.words import HullMetal, Rig
    >>> boat = Boat(name="x", rig=Rig.SAIL, hull_metal=HullMetal.STEEL, hull_length_m=12,
    ...             datum=Datum(frame_spacing_mm=500))
    >>> on_shell(boat, Position(frame=14, offset_mm=120, side=Side.PORT, girth_mm=260))
    ShellPlace(from_bow_mm=7120.0, out_mm=-260.0, face=None)
    """
    along = from_bow_mm(boat, position)
    side = position.side or (compartment.side if compartment else None)
    girth = position.girth_mm if position.girth_mm is not None or side is not Side.CENTRE else 0.0
    if along is None or girth is None or (girth and side in (None, Side.CENTRE)):
        return None
    return ShellPlace(along, _OUT[side or Side.CENTRE] * girth, position.face)


def position_at(boat: Boat, place: ShellPlace) -> Position:
    """The position of a place: its nearest frame and the offset aft of it, or a tape's length from the origin.

    >>> from inspect_tui.domain.words import HullMetal, Rig
    >>> boat = Boat(name="x", rig=Rig.SAIL, hull_metal=HullMetal.STEEL, hull_length_m=12,
    ...             datum=Datum(frame_spacing_mm=500))
    >>> position = position_at(boat, ShellPlace(7120, -260))
    >>> position.frame, position.offset_mm, position.side.value, position.girth_mm
    (14.0, 120.0, 'P', 260.0)
    """
    forward = boat.datum.direction is FrameDirection.FORWARD
    from_origin = boat.hull_length_m * MM_PER_M - place.from_bow_mm if forward else place.from_bow_mm
    frame = _nearest_frame(boat.datum, from_origin)
    offset = from_origin
    if frame is not None:
        offset = place.from_bow_mm - (from_bow_mm(boat, Position(frame=frame)) or 0.0)
    side = Side.CENTRE if place.out_mm == 0 else Side.PORT if place.out_mm < 0 else Side.STARBOARD
    return Position(frame=frame, offset_mm=offset, side=side, girth_mm=abs(place.out_mm), face=place.face)
