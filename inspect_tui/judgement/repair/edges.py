"""Where a cut runs past what is known of its plate, or along the centreline."""

from __future__ import annotations

from collections.abc import Iterable

from inspect_tui.domain.book import Book
from inspect_tui.domain.records import PlateField, Position
from inspect_tui.domain.shell import from_bow_mm
from inspect_tui.domain.words import Side
from inspect_tui.engineering.work.cut_list import Rect


def by_centreline(cut: Rect, clear_mm: float) -> Iterable[str]:
    """Where a side runs along the centreline, nearer than welds may lie."""
    near = min(abs(cut.y0), abs(cut.y1))
    if near < clear_mm:
        yield (
            f"its edge lies {near:.0f} mm from the centreline: what stands there (keel, girder, seam) is not in "
            "the book, and needs clearance of its own"
        )


def beyond_field(book: Book, cut: Rect, field: PlateField) -> Iterable[str]:
    """Where the cut leaves the frames between which this plate is known to lie."""
    boat = book.boat
    ends = [
        at
        for place in book.compartments.values()
        if field.id in place.plate_fields and place.frame_from is not None and place.frame_to is not None
        for frame in (place.frame_from, place.frame_to)
        if (at := from_bow_mm(boat, Position(frame=frame))) is not None
    ]
    if not ends:
        return
    for end, past in (("forward", min(ends) - cut.x0), ("after", cut.x1 - max(ends))):
        if past > 0:
            yield (
                f"runs {past:.0f} mm past the {end} end of the compartments known to lie on {field.name}: "
                "which plate lies beyond is not written down"
            )
    yield from _past_edges(book, cut, field)


def _past_edges(book: Book, cut: Rect, field: PlateField) -> Iterable[str]:
    """Where the cut leaves the distances out between which this plate is known to lie, where all of its
    compartments on that side have theirs written down."""
    side = Side.PORT if cut.y1 <= 0 else Side.STARBOARD if cut.y0 >= 0 else None
    places = [
        one
        for one in book.compartments.values()
        if field.id in one.plate_fields and one.side in (None, Side.CENTRE, side)
    ]
    outer = [one.girth_to_mm for one in places if one.girth_to_mm is not None]
    if len(outer) < len(places) or not outer:
        return
    inner = min(one.girth_from_mm or 0.0 for one in places)
    near = 0.0 if side is None else min(abs(cut.y0), abs(cut.y1))
    for edge, past in (("outer", max(abs(cut.y0), abs(cut.y1)) - max(outer)), ("inner", inner - near)):
        if past > 0:
            yield (
                f"runs {past:.0f} mm past the {edge} edge of the compartments known to lie on {field.name}: "
                "which plate lies beyond is not written down"
            )
