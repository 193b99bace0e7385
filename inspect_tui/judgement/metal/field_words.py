"""A plate field in words: its figures in one phrase, and what is wrong with what they rest on."""

from __future__ import annotations

from inspect_tui.domain.book import Book
from inspect_tui.domain.plain import counted
from inspect_tui.engineering.metal.deepest_pit import DeepestPit
from inspect_tui.engineering.metal.growth import Growth
from inspect_tui.engineering.metal.metal_loss import Loss
from inspect_tui.judgement.metal.bays import Bay
from inspect_tui.judgement.metal.facts import Facts
from inspect_tui.judgement.metal.gathered import Metal
from inspect_tui.judgement.metal.panels import Required
from inspect_tui.judgement.metal.unseen import bound_words

# Patches count as equal in size up to this ratio.
UNEQUAL = 1.1


def alike(area_m2: float, other_m2: float) -> bool:
    return max(area_m2, other_m2) <= UNEQUAL * min(area_m2, other_m2)


def field_warnings(
    book: Book, metal: Metal, loss: Loss | None, estimate: DeepestPit | None, growing: Growth | None
) -> tuple[str, ...]:
    told: list[str] = []
    if metal.unsaid:
        told.append("Not all readings are marked as taken on bright metal.")
    if metal.aside:
        told.append(
            f"{counted(metal.aside, 'thickness reading')} set aside: read twice more on the chalk mark, and thicker."
        )
    if metal.left_out:
        told.append(f"{counted(metal.left_out, 'reading')} not on bright metal: not judged.")
    told += loss.warnings if loss else ()
    told += estimate.warnings if estimate else ()
    told += growing.warnings if growing else ()
    if metal.painted:
        told.append(f"{counted(metal.painted, 'reading')} taken through paint of unknown thickness left out.")
    if metal.thicker_by_mm > 0:
        told.append("A later round read thicker: metal does not grow back, so the thinner round counts.")
    if metal.unpaired:
        told.append(
            f"{counted(metal.unpaired, 'spot')} read this round but never before: whether they grew is not known."
        )
    others = len(metal.speaking) - estimate.looked_at if estimate else 0
    if others:
        told.append(f"{counted(others, 'square')} left out: different size, or none given.")
    equal = [
        one
        for one in metal.speaking
        if estimate and one.patch_area_m2 and alike(one.patch_area_m2, estimate.patch_area_m2)
    ]
    at_findings = sum(reading.finding is not None for reading in equal)
    if at_findings:
        told.append(
            f"{counted(at_findings, 'square')} from findings among them: if picked for looking bad, the depth is "
            "overestimated."
        )
    kinds = {
        finding.kind
        for reading in equal
        if reading.finding is not None and (finding := book.findings.get(str(reading.finding)))
    }
    if len(kinds) > 1:
        told.append(f"The squares belong to findings of different kinds ({', '.join(sorted(kinds))}): mixed causes?")
    return tuple(told)


def field_numbers(
    facts: Facts, metal: Metal, loss: Loss | None, required: Required, estimate: DeepestPit | None, bay: Bay | None
) -> str:
    """The figures of a plate field in one phrase."""
    told = []
    if loss:
        gone = max(loss.loss_percent, 0.0)
        told.append(f"{loss.left_mm:.1f} of {loss.baseline_mm:g} mm left on average, {gone:.0f} % gone")
    if bay and loss and bay.mean_mm < loss.left_mm - loss.error_mm:
        told.append(f"{bay.mean_mm:.1f} mm {bay.where}")
    if required.check:
        told.append(f"{required.check.required_mm:.1f} mm required (2008 rule)")
    if metal.depths_mm:
        told.append(f"deepest pit seen {max(metal.depths_mm):g} mm")
    if facts.holed:
        told.append(counted(facts.holed, "hole"))
    if facts.soft:
        told.append("soft under the knife")
    if facts.growth:
        told.append(facts.growth.words(facts.least_left_for(facts.growth)))
    if estimate:
        told.append(f"where nobody measured: {bound_words(estimate)}")
    return "; ".join(told) or "nothing measured"
