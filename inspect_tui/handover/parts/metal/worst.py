"""The worst metal in two stacks: strength against what is required, tightness by what is left under the pits."""

from __future__ import annotations

from collections.abc import Iterable

from inspect_tui.domain.plain import one_line
from inspect_tui.handover.figures.metal import COLUMN_PT, Left, what_is_left
from inspect_tui.handover.model import Figure, Head, Leaf, Words
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.judgement.metal.facts import Facts


def left_range(facts: Facts) -> tuple[float, float]:
    """What is left under the deepest pit, at the least and at the most [mm]."""
    least = facts.left_mm or 0.0
    if facts.most_ground_mm is None:
        return least, least
    return least, max(least, facts.most_ground_mm - (facts.deepest_mm or 0.0))


def worst_metal(subject: Subject) -> Iterable[Leaf]:
    """Strength and tightness apart, the worst three of each."""
    strength: list[tuple[float, int, Left]] = []
    tightness: list[tuple[float, int, Left]] = []
    for finding in subject.book.findings.values():
        verdict = subject.judged.verdicts.of(finding)
        if verdict is None or subject.tier_of(finding) is None or verdict.facts.member is not None:
            continue
        facts = verdict.facts
        name = f"no. {finding.chalk}, {one_line(subject.place_name(finding.compartment))}"
        built = facts.plate_mm
        if facts.mean_mm is not None:
            mean, required = min(facts.mean_mm, built), facts.check.required_mm if facts.check else None
            need = f", {required:.1f} required" if required else ""
            share = mean / required if required else 1 + mean / built
            strength.append(
                (share, finding.chalk, Left(name, built, mean, mean, required, f"{mean:.1f} of {built:g} mm{need}"))
            )
        if facts.holed or (facts.left_mm is not None and facts.deepest_mm):
            least, most = (0.0, 0.0) if facts.holed else left_range(facts)
            range_ = f"{least:.1f} to {most:.1f}" if most - least >= 0.05 else f"{least:.1f}"
            told = "holed" if facts.holed else f"{range_} of {built:g} mm"
            tightness.append((least / built, finding.chalk, Left(name, built, least, most, None, told)))
    worst = [[one for _, _, one in sorted(rows, key=lambda row: row[:2])[:3]] for rows in (strength, tightness)]
    yield Head(
        "The worst metal",
        "a range: plate there not gauged" if any(one.most_mm > one.least_mm for one in worst[1]) else "",
    )
    if any(worst):
        svg = what_is_left(*worst)
        told = "; ".join(f"{one.name}: {one.told}" for rows in worst for one in rows)
        yield Figure("worst", svg, "", f"The worst metal: {told}", COLUMN_PT)
    else:
        yield Words("No plate was gauged and no pit measured that can be judged.", "note")
