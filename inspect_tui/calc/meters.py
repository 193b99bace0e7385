"""`inspect-tui calc`: what meters say of hull, bonds, tank water and air."""

from __future__ import annotations

from typing import Any, get_args

import click

from inspect_tui.calc.electric import calc
from inspect_tui.calc.telling import NEGATIVE, NUMBER, telling
from inspect_tui.engineering import bonding, tanks
from inspect_tui.engineering.errors import CannotCalculate
from inspect_tui.engineering.isolated_hull import hull_test
from inspect_tui.engineering.working import Working

__all__ = ["calc"]
Told = tuple[dict[str, Any], dict[str, Any], Working]


@calc.command("hull-test", context_settings=NEGATIVE)
@click.argument("ohm", type=NUMBER)
@click.option("--volts", type=NUMBER, default=12.0, show_default=True, help="Of the battery.")
@click.option("--hull", "metal", type=click.Choice(["aluminium", "steel"]), default="aluminium", show_default=True)
@telling
def hull_test_(ohm: float, volts: float, metal: Any) -> Told:
    """OHM between wiring and an isolated hull, the battery parted and all breakers on.

    \b
    Example: inspect-tui calc hull-test 1000
    """
    told = hull_test(ohm, volts, metal)
    result = {"isolation": told.isolation.value, "leak_ma": told.leak_ma, "metal_a_year_g": told.metal_g_a_year}
    return {"ohm": ohm, "volts": volts, "metal": metal}, result, told.working


@calc.command("joint", context_settings=NEGATIVE)
@click.argument("ohm", type=NUMBER)
@click.option("--across", "joint", type=click.Choice(get_args(bonding.Joint)), required=True)
@telling
def joint_(ohm: float, joint: bonding.Joint) -> Told:
    """OHM across a bond, an anode's fastening, or a part and the hull, against all limits that were found.

    \b
    Example: inspect-tui calc joint 0.3 --across anode
    """
    told = bonding.resistance(ohm, joint)
    return {"ohm": ohm, "across": joint}, {"state": told.state, "say": told.say}, told.working


@calc.command("tank", context_settings=NEGATIVE)
@click.option("--ph", "ph", type=NUMBER, help="Of the water.")
@click.option("--copper", "copper_ppb", type=NUMBER, help="In the water, µg/L.")
@click.option("--chlorine", "chlorine_mg_l", type=NUMBER, help="To disinfect with, mg/L; give --hours too.")
@click.option("--hours", "hours", type=NUMBER, help="That it stays in.")
@click.option("--head", "head_m", type=NUMBER, help="From the tank's bottom to its overflow, m.")
@telling
def tank_(**given: float | None) -> Told:
    """What tank water does to bare aluminium, and the pressure a test asks for.

    \b
    Example: inspect-tui calc tank --ph 7,8 --chlorine 100 --hours 1 --head 1.8
    """
    result: dict[str, Any] = {}
    working = Working((), ())
    ph, ppb, chlorine, hours, head = (
        given[name] for name in ("ph", "copper_ppb", "chlorine_mg_l", "hours", "head_m")
    )
    if (chlorine is None) != (hours is None):
        raise CannotCalculate("Chlorine needs both --chlorine and --hours.")
    judged = {
        "ph": tanks.acidity(ph) if ph is not None else None,
        "copper": tanks.copper(ppb) if ppb is not None else None,
        "chlorine": tanks.chlorine(chlorine, hours) if chlorine is not None and hours is not None else None,
    }
    for name, one in judged.items():
        if one is not None:
            result |= {f"{name}_passes": one.passes, f"{name}_say": one.say}
            working += one.working
    if head is not None:
        result["at_rest_kpa"] = tanks.head_kpa(head)
        result["asked"] = [f"{one.rule}: {one.kpa:.1f} kPa" for one in tanks.asked_pressures(head)]
        working += tanks.pressure_working(head)
    if not result:
        raise CannotCalculate("Give at least one of --ph, --copper, --chlorine with --hours, --head.")
    return given, result, working


@calc.command("air", context_settings=NEGATIVE)
@click.argument("oxygen_percent", type=NUMBER)
@click.argument("vapour_percent_lel", type=NUMBER)
@telling
def air_(oxygen_percent: float, vapour_percent_lel: float) -> Told:
    """OXYGEN_PERCENT and VAPOUR_PERCENT_LEL in a space before anybody goes in. No leave to enter.

    \b
    Example: inspect-tui calc air 20.9 3
    """
    oxygen, vapour = tanks.oxygen(oxygen_percent), tanks.vapour(vapour_percent_lel)
    result = {"oxygen_passes": oxygen.passes, "vapour_passes": vapour.passes, "say": [oxygen.say, vapour.say]}
    inputs = {"oxygen_percent": oxygen_percent, "vapour_percent_lel": vapour_percent_lel}
    return inputs, result, oxygen.working + vapour.working
