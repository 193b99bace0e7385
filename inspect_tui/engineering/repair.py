"""Quantities of a repair: plate mass, filler metal; and when air may be entered."""

from __future__ import annotations

import math

ALUMINIUM_KG_M3 = 2660.0


def plate_mass_kg(area_m2: float, thickness_mm: float, density_kg_m3: float = ALUMINIUM_KG_M3) -> float:
    """Area · thickness · density / 1000 [kg].

    >>> plate_mass_kg(1, 5), plate_mass_kg(1, 5, 7850)
    (13.3, 39.25)
    """
    return area_m2 * thickness_mm * density_kg_m3 / 1000


def vee_filler_kg_per_m(thickness_mm: float, density_kg_m3: float = ALUMINIUM_KG_M3) -> float:
    """Filler metal left in a 60° butt [kg/m]: 1.10·t²·tan 30°·ρ, 10 % for reinforcement.

    Within 6 % of the chart AlcoTec ALC-10030C at its true plates of 1/4, 1/2 and 1 in.

    >>> round(vee_filler_kg_per_m(6.35), 3)
    0.068
    """
    return 1.10 * thickness_mm**2 * math.tan(math.radians(30)) * density_kg_m3 * 1e-6


def air_may_be_entered(oxygen_percent: float, flammable_percent_lel: float) -> bool:
    """Limits of 29 CFR 1915.12: oxygen from 19.5 to below 22.0 %, flammable vapour below 10 % of its lower limit.

    Toxic gas is a test of its own, and the order is oxygen, flammable, toxic. That the numbers pass is no leave to
    enter: a competent person on the spot gives that.

    >>> air_may_be_entered(20.9, 0), air_may_be_entered(19.4, 0), air_may_be_entered(22.0, 0)
    (True, False, False)
    """
    return 19.5 <= oxygen_percent < 22.0 and flammable_percent_lel < 10
