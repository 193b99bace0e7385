"""Least thickness of steel shell by the inland rules: a yardstick for pleasure craft, no legal limit."""

from __future__ import annotations

import math
from dataclasses import dataclass

from inspect_tui.engineering.working import Seen, Source, Step, Working, shown
from inspect_tui.errors import CannotCalculate

SOURCE = Source(
    "German inland rules 2008, Annex II § 3.02 and § 15.02 (Rhine text; since 2018 by reference to ES-TRIN)",
    Seen.READ,
    "for vessels of 20 m or 100 m³ and more: a yardstick for a pleasure boat, not a legal limit",
)
LEAST_MM = 3.0
LOCAL_ALLOWANCE = 0.10
NOT_COVERED = (
    "The limits hold for normal, even wear, sound frames and no sign of overstress; small local spots may be 10 % "
    "thinner; below that the plate is replaced or repaired. Thinner is allowed only with a certified calculation.",
)


@dataclass(frozen=True)
class Inland:
    """Least thickness [mm] of bottom and side, and of the bilge."""

    shell_mm: float
    bilge_mm: float
    working: Working


def inland_minimum(
    length_m: float,
    frame_spacing_mm: float,
    draught_m: float,
    *,
    passenger: bool = False,
    double_bottom: bool = False,
) -> Inland:
    """`length_m`: L, of a passenger vessel that of the waterline; `double_bottom`: with wing voids too.

    Raises
    ------
    CannotCalculate : outside what the rules are for.

    Examples
    --------
    >>> found = inland_minimum(38.5, 500, 2.2)
    >>> round(found.shell_mm, 3), round(found.bilge_mm, 3)
    (3.81, 4.763)
    """
    if not (5 <= length_m <= 140 and 200 <= frame_spacing_mm <= 1500 and 0.2 <= draught_m <= 6):
        raise CannotCalculate("L is 5 to 140 m, frames stand 200 to 1500 mm apart, and the draught is 0.2 to 6 m.")
    if passenger:
        return _passenger(length_m, frame_spacing_mm, draught_m)
    f = 1.0 if frame_spacing_mm <= 500 else 1 + 0.0013 * (frame_spacing_mm - 500)
    c = 0.95 if double_bottom else 1.0
    # The least of 3 mm is that of the shorter vessels' formula.
    short = length_m <= 40
    basic = 1.5 + 0.06 * length_m if short else 2.3 + 0.04 * length_m
    by_length = max(f * c * basic, LEAST_MM) if short else f * c * basic
    by_water = 0.005 * frame_spacing_mm * math.sqrt(draught_m)
    shell = max(by_length, by_water)
    # For the bilge f may be 1; never less than bottom and side.
    bilge = max(1.25 * c * basic, shell)
    formula = "f · c · (1.5 + 0.06 · L)" if short else "f · c · (2.3 + 0.04 · L)"
    steps = (
        Step("by length", formula, f"{f:g} · {c:g} · {shown(basic)}", f"{shown(by_length)} mm, at least 3", SOURCE),
        Step("by draught", "0.005 · a · √T", f"0.005 · {frame_spacing_mm:g} · √{draught_m:g}",
             f"{shown(by_water)} mm", SOURCE),
        Step("bottom and side", "the greater", "", f"{shown(shell)} mm", SOURCE),
        Step("bilge", "1.25 · c · (…), not less than bottom and side", f"1.25 · {c:g} · {shown(basic)}",
             f"{shown(bilge)} mm", SOURCE),
    )  # fmt: skip
    return Inland(shell, bilge, Working((), steps, NOT_COVERED))


def _passenger(length_m: float, frame_spacing_mm: float, draught_m: float) -> Inland:
    spacing = max(frame_spacing_mm, 400.0)
    f = 1 + 0.0013 * (spacing - 500)
    by_water, by_length = 0.006 * frame_spacing_mm * math.sqrt(draught_m), f * 0.55 * math.sqrt(length_m)
    least = max(by_water, by_length, LEAST_MM)
    steps = (
        Step("by draught", "0.006 · a · √T", f"0.006 · {frame_spacing_mm:g} · √{draught_m:g}",
             f"{shown(by_water)} mm", SOURCE),
        Step("by length", "f · 0.55 · √LWL", f"{f:g} · 0.55 · √{length_m:g}", f"{shown(by_length)} mm", SOURCE),
        Step("everywhere", "the greater, at least 3 mm", "", f"{shown(least)} mm", SOURCE),
    )  # fmt: skip
    return Inland(least, least, Working((), steps, NOT_COVERED))
