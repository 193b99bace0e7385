"""What may be said of the metal that nobody looked at: on what it rests, and why it is withdrawn."""

from __future__ import annotations

from inspect_tui.domain.book import Book
from inspect_tui.engineering.metal.deepest_pit import DeepestPit, missed_altogether
from inspect_tui.judgement.metal.gathered import Metal


def bound_words(found: DeepestPit) -> str:
    """What the patches say of the rest, and on what it rests; a bound past the plate promises nothing."""
    if found.withdrawn:
        return f"no depth is named for the rest: {found.withdrawn}"
    percent = f"{100 * found.confidence:g} %"
    if found.deepest_bound_mm >= found.sample.plate_mm:
        return (
            f"if the rest is like these, a hole cannot be ruled out ({percent} bound {found.deepest_bound_mm:.1f} mm)"
        )
    return f"if the rest is like these, below {found.deepest_bound_mm:.1f} mm at {percent}"


def free_words(found: DeepestPit) -> str:
    """What holds whatever the law, and how often so many patches miss a second cause altogether."""
    share, deepest = 100 * found.share_deeper, max(found.sample.depths_mm)
    missed = 10 * missed_altogether(found.looked_at)
    return (
        f"at most {share:.0f} % of the rest is deeper than the deepest seen, {deepest:g} mm, at "
        f"{100 * found.confidence:g} %; a second cause on one patch in twenty is missed {missed:.0f} times in 10"
    )


def withdrawn_because(book: Book, metal: Metal, found: DeepestPit) -> str:
    """Why nothing is named for the rest: known from the record, never from the depths of the patches."""
    chosen = [one.worst_chosen for one in metal.speaking]
    if any(chosen):
        return "the patches were chosen by how they looked"
    if None in chosen:
        return "nobody said how the patches were chosen, so that they count as chosen"
    known = max(metal.depths_mm, default=0.0)
    if metal.holes and not found.sample.holed:
        return "the plate is holed elsewhere"
    if known > found.deepest_bound_mm:
        return f"{known:g} mm is known elsewhere on this plate, deeper than they allow"
    kinds = {
        finding.kind
        for reading in metal.speaking
        if reading.finding is not None and (finding := book.findings.get(str(reading.finding)))
    }
    return "the patches belong to findings of different kinds: mixed causes" if len(kinds) > 1 else ""
