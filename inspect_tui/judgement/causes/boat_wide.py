"""Signs that are of the whole boat: ticked at one finding they hold for all, and the newest tick decides."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.records import Finding
from inspect_tui.domain.words import Status


@dataclass(frozen=True)
class Tick:
    """That a sign is there, or was looked for and is not; at which finding and when somebody said so."""

    there: bool
    chalk: int
    when: datetime


def ticked_at(finding: Finding, checklists: Checklists, sign: str) -> bool | None:
    """What somebody ticked of a sign at a finding; None if nobody did. Signs come with the question too: those count
    as ticked only once somebody confirmed them."""
    if sign in finding.signs_absent:
        return False
    if sign in (finding.signs_confirmed or ()):
        return True
    if sign not in finding.signs:
        return None
    prompt = checklists.prompts.get(finding.prompt or "")
    brought = finding.signs if finding.prompt and prompt is None else prompt.signs if prompt else ()
    return None if sign in brought else True


def newest_ticks(book: Book, checklists: Checklists) -> Mapping[str, Tick]:
    """For each sign of the whole boat the newest tick, of findings that were not withdrawn."""
    wide = [sign.id for sign in checklists.causes.signs.values() if sign.boat_wide]
    ticks = [
        (sign, there, finding)
        for finding in book.findings.values()
        if finding.status is not Status.WITHDRAWN
        for sign in wide
        # What an older question brought and nobody confirmed is no word on the boat.
        if (there := sign in (finding.signs_confirmed or ())) or sign in finding.signs_absent
    ]
    lines = _lines_of(book, {str(finding.chalk) for _, _, finding in ticks})
    newest: dict[str, Tick] = {}
    for sign, there, finding in ticks:
        one = Tick(there, finding.chalk, _since(finding, sign, lines.get(str(finding.chalk), [])))
        if sign not in newest or (newest[sign].when, newest[sign].chalk) < (one.when, one.chalk):
            newest[sign] = one
    return newest


def _lines_of(book: Book, chalks: set[str]) -> Mapping[str, list[tuple[datetime, Mapping[str, Any]]]]:
    """When each of these findings was changed, and what stood there before; the newest first."""
    told: dict[str, list[tuple[datetime, Mapping[str, Any]]]] = {}
    if chalks:
        for line in sorted(book.trail.values(), key=lambda one: -one.number):
            for was in line.was:
                if was.table == "findings" and was.key in chalks:
                    told.setdefault(was.key, []).append((line.when, was.fields or {}))
    return told


def _since(finding: Finding, sign: str, lines: list[tuple[datetime, Mapping[str, Any]]]) -> datetime:
    """When it was ticked as it stands: the newest change before which it was not."""
    now = _stand(finding.signs_confirmed, finding.signs_absent, sign)
    for when, before in lines:
        if _stand(before.get("signs_confirmed"), before.get("signs_absent"), sign) != now:
            return when
    return finding.found.when


def _stand(seen: Any, absent: Any, sign: str) -> tuple[bool, bool]:
    return sign in (seen or ()), sign in (absent or ())
