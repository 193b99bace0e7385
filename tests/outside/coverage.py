"""How often the 95 % prediction bound holds: invented hulls whose deepest unseen pit is known.

`python -m tests.outside.coverage` simulates and writes the table into DEVELOPERS.md between its two marks.
"""

from __future__ import annotations

import math
import random
import re
from dataclasses import dataclass
from pathlib import Path

from inspect_tui.engineering.metal.likelihood import Sample, maximum_likelihood
from inspect_tui.engineering.metal.prediction import DeepestUnseen
from inspect_tui.errors import CannotCalculate

HULLS = 500
UNSEEN_PATCHES = 200
LOCATION_MM, SCALE_MM = 1.5, 0.45
# The gauge sees nothing below this: about a fifth of the patches. Deeper than the plate: about one in twenty.
SMALLEST_MM, PLATE_MM = 1.3, 2.85
PATCHES = (8, 12, 20, 30)
MARKS = ("<!-- coverage -->", "<!-- end of coverage -->")
DEVELOPERS = Path(__file__).parents[2] / "DEVELOPERS.md"


@dataclass(frozen=True)
class Coverage:
    patches: int
    complete: float
    no_pit: float
    no_pit_and_holes: float


def gumbel(chance: random.Random, shift: float = 0.0) -> float:
    return LOCATION_MM + SCALE_MM * (shift - math.log(-math.log(chance.random())))


def share_held(patches: int, *, smallest_mm: float, plate_mm: float, hulls: int = HULLS) -> float:
    """Share of hulls [%] in which the deepest unseen pit is not deeper than the bound; hulls in which nothing can be
    estimated (all depths censored but one) are drawn again."""
    chance = random.Random(f"{patches} {smallest_mm} {plate_mm}")
    held = done = 0
    while done < hulls:
        depths = [gumbel(chance) for _ in range(patches)]
        deepest_unseen = gumbel(chance, math.log(UNSEEN_PATCHES))
        sample = Sample(
            tuple(depth for depth in depths if smallest_mm <= depth < plate_mm),
            not_found=sum(depth < smallest_mm for depth in depths),
            holed=sum(depth >= plate_mm for depth in depths),
            smallest_mm=smallest_mm,
            plate_mm=plate_mm,
        )
        if len(sample.depths_mm) < 3:
            continue
        try:
            fit = maximum_likelihood(sample)
        except CannotCalculate:
            continue
        held += DeepestUnseen(sample, fit, UNSEEN_PATCHES).probability_below(deepest_unseen) <= 0.95
        done += 1
    return 100 * held / hulls


def simulate() -> list[Coverage]:
    return [
        Coverage(
            patches,
            share_held(patches, smallest_mm=-math.inf, plate_mm=math.inf),
            share_held(patches, smallest_mm=SMALLEST_MM, plate_mm=math.inf),
            share_held(patches, smallest_mm=SMALLEST_MM, plate_mm=PLATE_MM),
        )
        for patches in PATCHES
    ]


def table(rows: list[Coverage]) -> str:
    lines = [
        "| patches | every patch with a pit | some without a pit | some without, some holed |",
        "|--:|--:|--:|--:|",
    ]
    lines += [f"| {r.patches} | {r.complete:.1f} % | {r.no_pit:.1f} % | {r.no_pit_and_holes:.1f} % |" for r in rows]
    return "\n".join(lines)


def written(marks: tuple[str, str] = MARKS) -> str:
    """A table as it stands in DEVELOPERS.md, between its marks."""
    found = re.search(f"{marks[0]}\n(.*?)\n{marks[1]}", DEVELOPERS.read_text(encoding="utf-8"), re.DOTALL)
    assert found, "the marks are missing from DEVELOPERS.md"
    return found[1]


def write(text: str, marks: tuple[str, str] = MARKS) -> None:
    """A table in the place of the one that stands there."""
    whole = DEVELOPERS.read_text(encoding="utf-8")
    old, new = (f"{marks[0]}\n{one}\n{marks[1]}" for one in (written(marks), text))
    DEVELOPERS.write_text(whole.replace(old, new), encoding="utf-8")


if __name__ == "__main__":
    write(table(simulate()))
