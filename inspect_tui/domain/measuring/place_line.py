"""A place on the shell as one line, typed in a row: frame, side, how far out, face."""

from __future__ import annotations

import re

from pydantic import ValidationError

from inspect_tui.domain.bounds import first_fault
from inspect_tui.domain.records import NOWHERE, Position
from inspect_tui.domain.words import Face, Side
from inspect_tui.errors import NotUnderstood

PLACE = re.compile(
    r"(?:fr(?:ame)?\.?\s*)?(?P<frame>\d+(?:[.,]\d+)?)(?:\s*(?P<sign>[+-])\s*(?P<offset>\d+(?:[.,]\d+)?))?"
    r"\s+(?P<side>[psc])(?:\s+(?P<girth>\d+(?:[.,]\d+)?))?(?:\s+(?P<face>[io])[a-z]*)?",
    re.IGNORECASE,
)
FACES = {"i": Face.INSIDE, "o": Face.OUTSIDE}


def position_of(text: str) -> Position:
    """The place that a line names; what is no such line is words.

    >>> told = position_of("14+120 P 300 i")
    >>> told.frame, told.offset_mm, told.side.value, told.girth_mm, told.face.value
    (14.0, 120.0, 'P', 300.0, 'inside')
    >>> position_of("under the pump").words, position_of(" ") == NOWHERE
    ('under the pump', True)

    Raises
    ------
    NotUnderstood : it names a place that no boat has.
    """
    line = text.strip()
    told = PLACE.fullmatch(line)
    if told is None:
        return Position(words=line) if line else NOWHERE
    number = {name: float(told[name].replace(",", ".")) for name in ("frame", "offset", "girth") if told[name]}
    offset = number.get("offset")
    try:
        return Position(
            frame=number["frame"],
            offset_mm=-offset if offset and told["sign"] == "-" else offset,
            side=Side(told["side"].upper()),
            girth_mm=number.get("girth"),
            face=FACES[told["face"].lower()] if told["face"] else None,
        )
    except ValidationError as error:
        raise NotUnderstood(f"{line!r} is not a place on her: {first_fault(error)}.") from None


def place_line(position: Position) -> str:
    """The line that names this place; empty where it cannot be named so.

    >>> place_line(position_of("frame 14 - 20 s 1300"))
    '14-20 S 1300'
    """
    if position.frame is None or position.side is None:
        return position.words
    offset = f"{position.offset_mm:+g}" if position.offset_mm else ""
    girth = "" if position.girth_mm is None else f" {position.girth_mm:g}"
    face = f" {position.face.value[0]}" if position.face else ""
    return f"{position.frame:g}{offset} {position.side.value}{girth}{face}"


def next_along(position: Position) -> Position:
    """The next frame, as far out, on the same side and face; nowhere, where it names no frame.

    >>> place_line(next_along(position_of("14 P 300")))
    '15 P 300'
    """
    if position.frame is None or position.side is None:
        return NOWHERE
    return position.model_copy(update={"frame": position.frame + 1, "words": ""})
