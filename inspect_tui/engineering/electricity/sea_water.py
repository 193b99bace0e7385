"""Sea water as a conductor: the practical salinity scale of 1978, and resistivity from salinity and temperature."""

from __future__ import annotations

import math

from inspect_tui.engineering.working import Seen, Source
from inspect_tui.errors import CannotCalculate

PSS_78 = Source("Practical Salinity Scale 1978, UNESCO technical paper 44", Seen.SECOND_HAND)
# Conductivity of sea water of salinity 35 at 15 °C and no pressure [S/m].
STANDARD_S_M = 4.2914
_A = (0.0080, -0.1692, 25.3851, 14.0941, -7.0261, 2.7081)
_B = (0.0005, -0.0056, -0.0066, -0.0375, 0.0636, -0.0144)
_K = 0.0162
_C = (0.6766097, 2.00564e-2, 1.104259e-4, -6.9698e-7, 1.0031e-9)


def _t68(temperature_c: float) -> float:
    """Temperature on the scale of 1968 from that of 1990 [°C]."""
    return temperature_c * 1.00024


def _temperature_ratio(t68: float) -> float:
    return sum(one * t68**power for power, one in enumerate(_C))


def _salinity(ratio: float, t68: float) -> float:
    root = math.sqrt(ratio)
    shift = (t68 - 15) / (1 + _K * (t68 - 15))
    return sum(a * root**power for power, a in enumerate(_A)) + shift * sum(
        b * root**power for power, b in enumerate(_B)
    )


def conductivity_s_m(salinity_g_kg: float, temperature_c: float) -> float:
    """Conductivity at the surface [S/m] of sea water, or of a mixture of sea and river water.

    Salinity 2 to 42 g/kg (taken as practical salinity, 0.5 % apart), 0 to 35 °C.

    Raises
    ------
    CannotCalculate : outside that range. Fresher water follows its own salts: measure it.
    """
    if not 2 <= salinity_g_kg <= 42:
        raise CannotCalculate("The scale holds from 2 to 42 g/kg: for fresher water measure the conductivity.")
    if not 0 <= temperature_c <= 35:
        raise CannotCalculate("The scale holds from 0 to 35 °C.")
    t = _t68(temperature_c)
    low, high = 0.0, 2.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if _salinity(middle, t) < salinity_g_kg else (low, middle)
    return STANDARD_S_M * low * _temperature_ratio(t)


def resistivity_ohm_m(salinity_g_kg: float, temperature_c: float) -> float:
    """Resistivity of the water [Ω·m]. Between two salinities it is the conductivity that is nearly straight.

    >>> round(resistivity_ohm_m(35, 15), 4), round(resistivity_ohm_m(35, 20), 3)
    (0.233, 0.209)
    """
    return 1 / conductivity_s_m(salinity_g_kg, temperature_c)
