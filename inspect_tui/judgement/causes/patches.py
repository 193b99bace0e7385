"""Old patches: those lifted, what they showed, and what that says of those nobody has lifted."""

from __future__ import annotations

from dataclasses import dataclass

from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.named import Kinds, Signs
from inspect_tui.domain.records import Finding, Lifted
from inspect_tui.domain.words import BAD_BENEATH, Beneath, Likelihood, PatchEdge, Status
from inspect_tui.engineering.proportion import Rest, rest_bad

NOT_DECIDED = (Status.FOUND, Status.CLEANED, Status.MEASURED)
# Lift them all where one more is as likely bad as good; judgement of this program.
LIFT_ALL = 0.5
# From this chance on bad metal beneath may well be.
MAY_WELL = 0.1


@dataclass(frozen=True)
class Tally:
    """All patches by chalk number, and what the lifted ones say of the rest; None before one is lifted."""

    lifted: tuple[Finding, ...]
    waiting: tuple[Finding, ...]
    rest: Rest | None

    @property
    def bad(self) -> tuple[Finding, ...]:
        return tuple(one for one in self.lifted if one.lifted and one.lifted.beneath in BAD_BENEATH)

    @property
    def farthest_mm(self) -> float | None:
        """How far the attack went on outside the outline, at the worst."""
        return max((one.lifted.beyond_mm for one in self.lifted if one.lifted and one.lifted.beyond_mm), default=None)


def waits_for_lifting(finding: Finding) -> bool:
    """Whether nobody has seen yet what lies under this patch."""
    return finding.kind == Kinds.OLD_PATCH and finding.lifted is None and finding.status in NOT_DECIDED


def tally(book: Book) -> Tally:
    patches = sorted(
        (one for one in book.findings.values() if one.kind == Kinds.OLD_PATCH or one.lifted),
        key=lambda one: one.chalk,
    )
    lifted = tuple(one for one in patches if one.lifted)
    waiting = tuple(one for one in patches if waits_for_lifting(one))
    counts = Tally(lifted, waiting, None)
    if not lifted:
        return counts
    return Tally(lifted, waiting, rest_bad(len(lifted), len(counts.bad), len(waiting)))


def tally_lines(told: Tally) -> list[tuple[str, str]]:
    """What was found and what it says, in headed lines."""
    if not told.lifted:
        if not told.waiting:
            return [("patches", "none is written down yet")]
        return [
            ("lifted", f"none of {len(told.waiting)}"),
            ("to do", "Hauled out: lift one of each kind, the worst-looking first, and write down what it shows."),
        ]
    lines = [("lifted", f"{len(told.lifted)}, of these bad beneath: {len(told.bad)}")]
    rest = told.rest
    if rest is not None and rest.not_opened:
        lines.append(
            (
                "not lifted",
                f"{rest.not_opened} more: of those lifted {rest.bad} of {rest.opened} were bad; the worst-looking "
                "are lifted first and tell little of the others, and nothing of patches of another kind",
            )
        )
        lines.append(("to do", advice(rest)))
    if told.farthest_mm:
        lines.append(
            ("beyond", f"the attack went on up to {told.farthest_mm:g} mm outside the outline: bare as much")
        )
    if rest is not None:
        lines += [("doubt", one) for one in rest.working.not_covered]
    return lines


def advice(rest: Rest) -> str:
    """Whether to lift the rest."""
    if rest.chance >= LIFT_ALL:
        return "Lift them all: one more is as likely bad as good, or worse (judgement)."
    if rest.low > 0 or rest.any_bad >= LIFT_ALL:
        return "Lift more: that one of them is bad is likelier than not (judgement)."
    return "Lift one of each kind that was not tried yet; look at the rest again each season (judgement)."


def likelihood_beneath(rest: Rest) -> Likelihood:
    """The letter of there being bad metal under one that was not lifted; judgement of this program."""
    return Likelihood.B if rest.chance >= LIFT_ALL else Likelihood.C if rest.chance >= MAY_WELL else Likelihood.D


def signs_shown(lifted: Lifted) -> tuple[frozenset[str], frozenset[str]]:
    """Signs of a cause that a lifted patch shows, and those that it shows are not there."""
    seen: set[str] = {Signs.OLD_PATCH}
    absent: set[str] = set()
    if lifted.beneath in BAD_BENEATH:
        seen.add(Signs.PITS)
    elif lifted.beneath is Beneath.SOUND:
        absent.add(Signs.PITS)
    if lifted.product is not None:
        (seen if lifted.product else absent).add(Signs.GREY_PASTE)
    if lifted.edge is PatchEdge.BULGED:
        seen |= {Signs.PRODUCT_LUMP, Signs.HOLLOW}
    elif lifted.edge is PatchEdge.LIFTING:
        seen.add(Signs.HOLLOW)
    return frozenset(seen), frozenset(absent)
