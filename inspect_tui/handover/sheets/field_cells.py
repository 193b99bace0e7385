"""The cells of a field table: what each takes, and one clear sentence for what it does not."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable
from typing import get_args

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book, Stamp
from inspect_tui.domain.knowledge.areas import Prompt, ReadingKind
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.measuring.measured import moment_of
from inspect_tui.domain.measuring.readings import KINDS
from inspect_tui.domain.quantities import QUANTITIES
from inspect_tui.domain.records import Compartment, Position
from inspect_tui.domain.words import Face, Said, Severity, Side, UnseenReason
from inspect_tui.errors import NotUnderstood

_SAID = {one.value: one for one in Said} | {one.value[0]: one for one in Said}


def nearest(word: str, words: list[str]) -> str:
    """A guess at what was meant, if one is near."""
    near = difflib.get_close_matches(word.casefold(), [one.casefold() for one in words], 1)
    return f" Did you mean {near[0]}?" if near else ""


def place_of(book: Book, name: str) -> Compartment:
    found = next((one for one in book.compartments.values() if one.name.casefold() == name.casefold()), None)
    if found is None:
        meant = nearest(name, [one.name for one in book.compartments.values()])
        if not name:
            raise NotUnderstood("The place is missing.")
        raise NotUnderstood(f'There is no compartment "{name}" on this boat.{meant}')
    return found


def prompt_of(book: Book, checklists: Checklists, place: Compartment, key: str) -> Prompt | None:
    if not key:
        return None
    prompts = walk.prompts_of(checklists, book, place)
    found = next((prompt for prompt in prompts if prompt.key == key), None)
    if found is None:
        raise NotUnderstood(f'"{key}" is not a question asked in {place.name}.')
    return found


def stamp_of(stamp: Stamp, taken: str, by: str) -> Stamp:
    if not taken:
        return Stamp(stamp.when, by or stamp.by)
    return Stamp(moment_of(taken, stamp.when), by or stamp.by)


def position_of(cell: Callable[[str], str]) -> Position:
    side, face = cell("side").upper()[:1], cell("face").casefold()
    if cell("side") and side not in {one.value for one in Side}:
        raise NotUnderstood(f'"{cell("side")}" is not a side: P, C or S.')
    faces = [one for one in Face if face and one.value.startswith(face)]
    if face and not faces:
        raise NotUnderstood(f'"{cell("face")}" is not a face: inside or outside.')
    return Position(
        frame=QUANTITIES["frame"].read(cell("frame")),
        offset_mm=QUANTITIES["offset_mm"].read(cell("offset_mm")),
        side=Side(side) if side else None,
        girth_mm=QUANTITIES["girth_mm"].read(cell("girth_mm")),
        face=faces[0] if faces else None,
    )


def chalk_of(text: str) -> int | None:
    if not text:
        return None
    if not re.fullmatch(r"[0-9]{1,6}", text):
        raise NotUnderstood(f'"{text}" is not a chalk number.')
    return int(text)


def said_of(word: str, reason: str) -> tuple[Said, UnseenReason | None] | None:
    if not word:
        return None
    said = _SAID.get(word.casefold())
    if said is None:
        raise NotUnderstood(f'"{word}" is not an answer: sound, finding, unseen or not fitted.')
    if said is not Said.UNSEEN:
        return said, None
    try:
        return said, UnseenReason(reason.casefold()) if reason else None
    except ValueError:
        told = ", ".join(one.value for one in UnseenReason)
        meant = nearest(reason, [one.value for one in UnseenReason])
        raise NotUnderstood(f'"{reason}" is not one of the reasons: {told}.{meant}') from None


def kind_of(word: str) -> ReadingKind:
    wanted = word.casefold()
    for kind in get_args(ReadingKind):
        if wanted and wanted in (kind, KINDS[kind].label):
            told: ReadingKind = kind
            return told
    raise NotUnderstood(f'"{word}" is not a kind of reading: {", ".join(get_args(ReadingKind))}.')


def severity_of(word: str) -> Severity | None:
    """I to IV, or the word."""
    if not word:
        return None
    for one in Severity:
        if word.casefold() in (one.value, one.roman.casefold()):
            return one
    told = ", ".join(f"{one.roman} {one.value}" for one in Severity)
    raise NotUnderstood(f'"{word}" is not a severity: {told}.')


def plate_of(book: Book, name: str) -> str | None:
    """The id of a plate field, by its name."""
    if not name:
        return None
    for key, field in book.plate_fields.items():
        if field.name.casefold() == name.casefold():
            return key
    known = [field.name for field in book.plate_fields.values()]
    raise NotUnderstood(f'There is no plate field "{name}".{nearest(name, known)}')
