"""What metal taken out, doubled, or paint adds to a boat's mass, and how far she sinks for it."""

from __future__ import annotations

from dataclasses import dataclass

from inspect_tui.engineering.working import Seen, Source, Step, Working, shown
from inspect_tui.errors import CannotCalculate

DENSITY_KG_M3 = {"aluminium": 2660.0, "steel": 7850.0}
WATER_KG_M3 = {"salt": 1025.0, "fresh": 1000.0}
# Of sailing hulls about 0.65 to 0.70, of full motor hulls up to 0.85.
WATERPLANE = 0.7
WATERPLANE_SOURCE = Source("0.65 to 0.85 by the hull's form", Seen.MEMORY)
SINKAGE = Source("Archimedes", Seen.DERIVED)
NOT_COVERED = ("Trim and heel: mass far from her middle tips her too.",)


@dataclass(frozen=True)
class Weight:
    """Mass [kg], positive if added; `sinkage_mm`, positive if she lies deeper."""

    mass_kg: float
    sinkage_mm: float
    working: Working


def weight(
    mass_kg: float,
    waterline_length_m: float,
    waterline_beam_m: float,
    *,
    coefficient: float = WATERPLANE,
    water: str = "salt",
) -> Weight:
    """How far a change of mass changes her draught: Δ / (ρ · Cwp · L · B).

    Raises
    ------
    CannotCalculate : a waterline that no boat has.

    Examples
    --------
    A tonne on 100 m² of fresh water is 10 mm:

    >>> weight(1000, 20, 5, coefficient=1.0, water="fresh").sinkage_mm
    10.0
    """
    if not (1 <= waterline_length_m <= 150 and 0.3 <= waterline_beam_m <= 40):
        raise CannotCalculate("The waterline is 1 to 150 m long and 0.3 to 40 m wide.")
    if not 0.4 <= coefficient <= 1:
        raise CannotCalculate("A waterplane fills 0.4 to 1 of its length times its beam.")
    area = coefficient * waterline_length_m * waterline_beam_m
    sinkage = mass_kg / (WATER_KG_M3[water] * area) * 1000
    steps = (
        Step("waterplane", "Cwp · L · B", f"{coefficient:g} · {waterline_length_m:g} · {waterline_beam_m:g}",
             f"{shown(area)} m²", WATERPLANE_SOURCE),
        Step("sinks by", "mass / (density of water · waterplane)",
             f"{shown(mass_kg)} / ({WATER_KG_M3[water]:g} · {shown(area)})", f"{shown(sinkage)} mm", SINKAGE),
    )  # fmt: skip
    return Weight(mass_kg, sinkage, Working((), steps, NOT_COVERED))
