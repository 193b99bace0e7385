"""Old patches: those lifted, what they showed, and what little that says of those nobody has lifted. Patches of one
kind are counted together, and never with those of another."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.named import Kinds, Signs
from inspect_tui.domain.records import Finding, Lifted
from inspect_tui.domain.words import BAD_BENEATH, Beneath, Likelihood, PatchEdge, PatchType, Status
from inspect_tui.engineering.proportion import Among, among_rest

NOT_DECIDED = (Status.FOUND, Status.CLEANED, Status.MEASURED)


@dataclass(frozen=True)
class Pool:
    """Patches of one kind, by chalk number; those of which nobody wrote the kind may be mixed."""

    type: PatchType | None
    lifted: tuple[Finding, ...]
    waiting: tuple[Finding, ...]

    @property
    def name(self) -> str:
        return self.type.value if self.type else "kind not said, may be mixed"

    @property
    def bad(self) -> tuple[Finding, ...]:
        return tuple(one for one in self.lifted if one.lifted and one.lifted.beneath in BAD_BENEATH)

    @property
    def drawn(self) -> bool:
        """Whether a lot chose every one of those lifted."""
        return bool(self.lifted) and all(one.lifted and one.lifted.drawn for one in self.lifted)

    @cached_property
    def among(self) -> Among | None:
        """How many of the rest are bad; only a lot can tell, and only of patches that are known to be alike."""
        if not self.waiting or not self.drawn or self.type is None:
            return None
        return among_rest(len(self.lifted), len(self.bad), len(self.waiting))

    @property
    def counted(self) -> str:
        """What those lifted showed, and what it says of the rest."""
        bad, lifted, rest = len(self.bad), len(self.lifted), len(self.waiting)
        if not lifted:
            return f"none of {rest} lifted; what other kinds showed says nothing of them"
        told = f"of {lifted} lifted, {bad} {'was' if bad == 1 else 'were'} bad"
        if not rest:
            return told
        if among := self.among:
            return f"{told}, drawn by lot: of the other {rest}, {_span(among.low, among.high)} bad, at 90 %"
        why = [
            "those that look worst are lifted first" if not self.drawn else "",
            "their kinds may differ" if self.type is None else "",
        ]
        return f"{told}; says little of the other {rest}: {' and '.join(part for part in why if part)}"

    @property
    def advice(self) -> str:
        """Whether to lift the rest; judgement of this program."""
        return {
            None: "Once she is hauled out, lift one of these and write down what it shows.",
            Likelihood.B: "Lift them all (judgement): of those lifted, at least half were bad.",
            Likelihood.C: "Lift more: bad metal was found under one of this kind (judgement).",
            Likelihood.D: "Look at the rest again each season; lift the next where an edge opens (judgement).",
        }[self.likelihood]

    @property
    def likelihood(self) -> Likelihood | None:
        """The letter of there being bad metal under one that was not lifted, None if none was; judgement of this
        program. One more bad never lowers it, and one more sound never raises it."""
        if not self.lifted:
            return None
        if not self.bad:
            return Likelihood.D
        return Likelihood.B if 2 * len(self.bad) >= len(self.lifted) else Likelihood.C


@dataclass(frozen=True)
class Tally:
    """All patches by kind, and all together by chalk number."""

    pools: tuple[Pool, ...]

    @cached_property
    def lifted(self) -> tuple[Finding, ...]:
        return _by_chalk(one for pool in self.pools for one in pool.lifted)

    @cached_property
    def waiting(self) -> tuple[Finding, ...]:
        return _by_chalk(one for pool in self.pools for one in pool.waiting)

    @property
    def farthest_mm(self) -> float | None:
        """How far the attack went on outside the outline, at the worst."""
        return max((one.lifted.beyond_mm for one in self.lifted if one.lifted and one.lifted.beyond_mm), default=None)

    def sisters_of(self, finding: Finding) -> Pool | None:
        """Those of its kind, if one of them was lifted."""
        return next((pool for pool in self.pools if pool.type is finding.patch and pool.lifted), None)


def waits_for_lifting(finding: Finding) -> bool:
    """Whether nobody has seen yet what lies under this patch."""
    return finding.kind == Kinds.OLD_PATCH and finding.lifted is None and finding.status in NOT_DECIDED


def tally(book: Book) -> Tally:
    patches = _by_chalk(one for one in book.findings.values() if one.kind == Kinds.OLD_PATCH or one.lifted)
    pools = (
        Pool(
            type,
            tuple(one for one in patches if one.patch is type and one.lifted),
            tuple(one for one in patches if one.patch is type and waits_for_lifting(one)),
        )
        for type in (*PatchType, None)
    )
    return Tally(tuple(pool for pool in pools if pool.lifted or pool.waiting))


def tally_lines(told: Tally) -> list[tuple[str, str]]:
    """What was found and what it says, kind by kind, in headed lines."""
    if not told.pools:
        return [("patches", "none is written down yet")]
    lines = []
    for pool in told.pools:
        lines.append(("patches", f"{pool.name}: {pool.counted}"))
        if pool.waiting:
            lines.append(("to do", pool.advice))
    if told.farthest_mm:
        lines.append(("beyond", f"corrosion reached {told.farthest_mm:g} mm past the patch: clean at least that far"))
    for pool in told.pools:
        if among := pool.among:
            lines += [("source", f"{pool.name}: {step.source}") for step in among.working.steps]
            lines += [("doubt", one) for one in among.working.not_covered]
    return lines


def _by_chalk(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    return tuple(sorted(findings, key=lambda one: one.chalk))


def _span(low: int, high: int) -> str:
    return f"{low} {'is' if low == 1 else 'are'}" if low == high else f"{low} to {high} are"


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
