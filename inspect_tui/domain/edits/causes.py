"""Changes an owner makes while asking why metal is eaten: signs, the metal beside it, what a lifted patch showed."""

from __future__ import annotations

from collections.abc import Collection

from inspect_tui.domain.book import Book, Edit, Put
from inspect_tui.domain.knowledge.named import Kinds
from inspect_tui.domain.records import NO_OTHER_METAL, Finding, Lifted
from inspect_tui.domain.words import CLOSED, Beneath, Likelihood, PatchType, Severity
from inspect_tui.errors import NotAllowed


def _changed(finding: Finding, words: str, **update: object) -> Edit:
    changed = finding.model_copy(update=update)
    return Edit(f"Finding {finding.chalk}: {words}", (Put("findings", str(finding.chalk), changed),))


def tick_sign(finding: Finding, sign: str, there: bool | None) -> Edit:
    """A sign at a finding: seen, looked for and not there, or not looked for (None)."""
    seen, absent = ({sign} if there else set(), {sign} if there is False else set())
    word = "seen" if there else "not there" if there is False else "not looked for"
    return _changed(finding, f"{sign.replace('-', ' ')} {word}", **_with_signs(finding, seen, absent, {sign}))


def _with_signs(
    finding: Finding, seen: Collection[str], absent: Collection[str], asked: Collection[str]
) -> dict[str, object]:
    """The finding's signs after those `asked` for were answered; in the order they were given."""

    def kept(signs: tuple[str, ...] | None, more: Collection[str]) -> tuple[str, ...]:
        return (*(one for one in signs or () if one not in asked), *sorted(more))

    return {
        "signs": kept(finding.signs, seen),
        "signs_absent": kept(finding.signs_absent, absent),
        "signs_confirmed": kept(finding.signs_confirmed, seen) or None,
    }


def name_beside(finding: Finding, metal: str) -> Edit:
    """Which metal touches the hull at a finding, by its id in the galvanic series; or `NO_OTHER_METAL`."""
    return _changed(finding, f"beside it {'no other metal' if metal == NO_OTHER_METAL else metal}", beside=metal)


def tick_boat_wide(book: Book, finding: Finding, sign: str, there: bool | None) -> Edit:
    """A sign of the whole boat, ticked at one finding: an older word on it at any other is taken back with it."""
    said = [
        one
        for one in book.findings.values()
        if one.chalk != finding.chalk and sign in (*(one.signs_confirmed or ()), *one.signs_absent)
    ]
    opened = (put for one in said for put in tick_sign(one, sign, None).puts)
    edit = tick_sign(finding, sign, there)
    return Edit(f"{edit.words}, for the whole boat", (*edit.puts, *opened))


def name_patch(finding: Finding, patch: PatchType | None) -> Edit:
    """What an old patch is made of."""
    return _changed(finding, f"patch of {patch.value if patch else 'a kind that nobody knows'}", patch=patch)


def lift_patch(
    book: Book, finding: Finding, lifted: Lifted, seen: Collection[str], absent: Collection[str], *, below: bool
) -> Edit:
    """What an old patch showed when it was lifted, and the signs that go with it.

    Raises
    ------
    NotAllowed : it lies below the waterline and she is afloat, or the finding is closed.
    """
    if below and book.boat.afloat:
        raise NotAllowed("She is afloat: no patch below the waterline is lifted before she is hauled out.")
    if finding.status in CLOSED:
        raise NotAllowed(f"Finding {finding.chalk} is closed: open it again first, under its status.")
    update = _with_signs(finding, seen, absent, {*seen, *absent})
    if lifted.beneath is Beneath.THROUGH:
        # What was a patch is a hole now, and as grave as one.
        update |= {"kind": Kinds.HOLE, "severity": min(finding.severity, Severity.CRITICAL, key=lambda one: one.rank)}
        update["likelihood"] = Likelihood.A
    return _changed(finding, f"patch lifted, {lifted.beneath.value}", lifted=lifted, **update)
