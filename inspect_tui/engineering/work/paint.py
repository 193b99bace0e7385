"""Litres of paint for an area, with what is lost on the way."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from inspect_tui.engineering.working import Seen, Source, Step, Working, shown
from inspect_tui.errors import CannotCalculate

SPREAD = Source("makers' sheets: m² a litre = volume of solids in percent · 10 / µm dry", Seen.READ)
LOSSES = Source("makers' sheets: brush or roller 10 to 15 %, airless 30 %, conventional spray up to 50 %", Seen.READ)
ROUGHNESS = Source("makers' sheets: 5 to 20 % into the roughness of blasted metal", Seen.READ)
By = Literal["brush", "roller", "airless", "spray"]
LOST_PERCENT: dict[str, float] = {"brush": 15.0, "roller": 15.0, "airless": 30.0, "spray": 50.0}
NOT_COVERED = ("Uneven film, 5 to 10 % more; wind, 5 to 30 % more when spraying out of doors.",)


@dataclass(frozen=True)
class Paint:
    """Litres to buy [L], and m² that one litre covers with nothing lost."""

    litres: float
    spread_m2_l: float
    working: Working


def spread_m2_l(solids_percent: float, dry_um: float) -> float:
    """m² that a litre covers, nothing lost.

    >>> spread_m2_l(65, 125), spread_m2_l(60, 200)
    (5.2, 3.0)
    """
    return solids_percent * 10 / dry_um


def paint(
    area_m2: float,
    solids_percent: float,
    dry_um: float,
    *,
    coats: int = 1,
    by: By = "roller",
    rough_percent: float = 10,
) -> Paint:
    """`dry_um`: thickness of one dry coat [µm]; `rough_percent`: lost into roughness, of the first coat only.

    Raises
    ------
    CannotCalculate : a paint that nobody makes, or no area.
    """
    if not (0 < area_m2 <= 5000 and 1 <= coats <= 20):
        raise CannotCalculate("The area must be above 0 and at most 5000 m², in 1 to 20 coats.")
    if not (5 <= solids_percent <= 100 and 5 <= dry_um <= 3000):
        raise CannotCalculate("Solids are 5 to 100 % by volume, and a dry coat 5 to 3000 µm.")
    if not 0 <= rough_percent < 50:
        raise CannotCalculate("Roughness takes from 0 to half of the first coat.")
    spread = spread_m2_l(solids_percent, dry_um)
    bare = area_m2 / spread
    rough = bare * rough_percent / 100
    litres = (bare * coats + rough) / (1 - LOST_PERCENT[by] / 100)
    steps = (
        Step("a litre covers", "solids · 10 / dry", f"{solids_percent:g} · 10 / {dry_um:g}", f"{shown(spread)} m²",
             SPREAD),
        Step("on the metal", "area · coats / covers", f"{area_m2:g} · {coats} / {shown(spread)}",
             f"{shown(bare * coats)} L", SPREAD),
        Step("into the roughness", "of the first coat", f"{rough_percent:g} % of {shown(bare)}", f"{shown(rough)} L",
             ROUGHNESS),
        Step("to buy", "(on the metal + roughness) / (1 - lost)",
             f"({shown(bare * coats)} + {shown(rough)}) / (1 - {LOST_PERCENT[by] / 100:g})", f"{shown(litres)} L",
             LOSSES),
    )  # fmt: skip
    return Paint(litres, spread, Working((), steps, NOT_COVERED))
