"""Thinned plate in compression buckles before it yields; and a worn web becomes too slender for its height."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from inspect_tui.engineering.working import Seen, Source, Step, Working, shown
from inspect_tui.errors import CannotCalculate

YOUNG_MPA = {"aluminium": 70_000.0, "steel": 206_000.0}
BUCKLING = Source("IACS UR S11.5, as transcribed in open code", Seen.SECOND_HAND, "a rule for steel ships")
SLENDER = Source("ISO 12215-5:2019 table B.2, as quoted", Seen.SECOND_HAND)
FLAT_BAR, TEE_WEB = 0.50, 1.29
Metal = Literal["aluminium", "steel"]


@dataclass(frozen=True)
class Buckling:
    """Stresses [MPa]: at which an ideal plate buckles, and at which this one does, never above its yield."""

    elastic_mpa: float
    critical_mpa: float
    working: Working


def buckling(
    thickness_mm: float, spacing_mm: float, yield_mpa: float, metal: Metal = "aluminium", ratio: float = 1.0
) -> Buckling:
    """Of plate stiffened along the compression, `spacing_mm` apart. `ratio` ψ: the least compression
    over the greatest along the edge, 1 where it is even.

    Raises
    ------
    CannotCalculate : no plate.

    Examples
    --------
    >>> found = buckling(6, 300, 125)
    >>> round(found.elastic_mpa, 2), round(found.critical_mpa, 2)
    (100.8, 86.25)
    """
    if not (0 < thickness_mm <= 100 and 20 <= spacing_mm <= 5000 and 10 <= yield_mpa <= 1500 and 0 <= ratio <= 1):
        raise CannotCalculate(
            "A plate is up to 100 mm thick, its stiffeners 20 to 5000 mm apart; it yields at 10 to 1500 MPa, "
            "and its least compression is 0 to 1 times the greatest."
        )
    young, factor = YOUNG_MPA[metal], 8.4 / (ratio + 1.1)
    elastic = 0.9 * factor * young * (thickness_mm / spacing_mm) ** 2
    low = elastic <= yield_mpa / 2
    critical = elastic if low else yield_mpa * (1 - yield_mpa / (4 * elastic))
    steps = (
        Step("elastic", "0.9 · 8.4/(ψ + 1.1) · E · (t/s)²",
             f"0.9 · {shown(factor)} · {young:g} · ({thickness_mm:g}/{spacing_mm:g})²", f"{shown(elastic)} MPa",
             BUCKLING),
        Step("critical", "elastic" if low else "yield · (1 - yield/(4 · elastic))",
             "" if low else f"{yield_mpa:g} · (1 - {yield_mpa:g}/(4 · {shown(elastic)}))", f"{shown(critical)} MPa",
             BUCKLING),
    )  # fmt: skip
    return Buckling(
        elastic, critical, Working((), steps, ("The stress in the plate: the hull girder's is not known.",))
    )


@dataclass(frozen=True)
class Slenderness:
    """Height over thickness of a web, and the most that it may be before it buckles by itself."""

    ratio: float
    limit: float
    working: Working

    @property
    def passes(self) -> bool:
        return self.ratio <= self.limit


def flat_bar_limit(yield_mpa: float, metal: Metal = "aluminium") -> float:
    """h/t of a flat bar: 0.50 · √(E/yield).

    >>> round(flat_bar_limit(125), 2), round(flat_bar_limit(235, "steel"), 1)
    (11.83, 14.8)
    """
    return FLAT_BAR * math.sqrt(YOUNG_MPA[metal] / yield_mpa)


def tee_web_limit(yield_mpa: float, metal: Metal = "aluminium") -> float:
    """h/t of the web of a tee: 1.29 · √(E/τ), τ = yield/√3."""
    return TEE_WEB * math.sqrt(YOUNG_MPA[metal] * math.sqrt(3) / yield_mpa)


def slenderness(
    height_mm: float, thickness_mm: float, yield_mpa: float, metal: Metal = "aluminium", *, flanged: bool = False
) -> Slenderness:
    """Of a web as it is now: one that has worn thin may newly fail.

    Raises
    ------
    CannotCalculate : no web.
    """
    if not (0 < thickness_mm <= 100 and 0 < height_mm <= 5000 and 10 <= yield_mpa <= 1500):
        raise CannotCalculate("A web is up to 5000 mm high and 100 mm thick, and yields at 10 to 1500 MPa.")
    limit = tee_web_limit(yield_mpa, metal) if flanged else flat_bar_limit(yield_mpa, metal)
    formula = "1.29 · √(E · √3 / yield)" if flanged else "0.50 · √(E / yield)"
    steps = (
        Step("height over thickness", "h / t", f"{height_mm:g} / {thickness_mm:g}", shown(height_mm / thickness_mm),
             SLENDER),
        Step("at most", formula, f"E {YOUNG_MPA[metal]:g}, yield {yield_mpa:g} MPa", shown(limit), SLENDER),
    )  # fmt: skip
    return Slenderness(height_mm / thickness_mm, limit, Working((), steps))
