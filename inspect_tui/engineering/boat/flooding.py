"""Water coming in: through a hole or a parted hose, against the pump at its real lift, and the time that is left."""

from __future__ import annotations

import math
from dataclasses import dataclass

from inspect_tui.engineering.working import Seen, Source, Step, Working, shown
from inspect_tui.errors import CannotCalculate

GRAVITY_M_S2 = 9.81
# A hole with a sharp edge; a hose that parted at its seacock lets more through.
SHARP_EDGE = 0.6
PUMP_SHARE = 0.5
ORIFICE = Source("Torricelli's law with a coefficient of discharge", Seen.DERIVED)
SHARP = Source("0.6 for a sharp edge: a textbook value", Seen.MEMORY)
HALF = Source("a pump rated 4000 gal/h gave 2600 at 3 ft of lift; about half the rating in use", Seen.TRADE)
NOT_COVERED = (
    "Worked out with the water outside at the level given: as the hull fills, less comes in, but she sinks deeper.",
    "A pump that is clogged, or whose battery is under water, gives nothing.",
)
MOST_HEIGHT_M = 20.0


@dataclass(frozen=True)
class Flooding:
    """Flows [L/min]: `inflow`, `pump` at its real lift, `net` of both; `minutes` to the lowest opening with the pump
    at work, and `minutes_alone` without it; None where nothing rises, or the room below the opening is not known."""

    inflow_l_min: float
    pump_l_min: float
    net_l_min: float
    minutes: float | None
    minutes_alone: float | None
    pump_hours: float | None
    say: str
    working: Working


def orifice_l_min(diameter_mm: float, depth_m: float, coefficient: float = SHARP_EDGE) -> float:
    """Cd · A · √(2·g·h) through a round hole [L/min], `depth_m` below the water outside.

    Raises
    ------
    CannotCalculate : no hole, no depth, or a coefficient that no opening has.

    Examples
    --------
    >>> [round(orifice_l_min(25, depth), 1) for depth in (0.25, 0.5, 1.0)]
    [39.1, 55.3, 78.3]
    """
    if not 0 < diameter_mm <= 2000:
        raise CannotCalculate("A hole must be more than 0 and at most 2 m across.")
    if not 0 < depth_m <= MOST_HEIGHT_M:
        raise CannotCalculate("The hole must be below the water outside, by up to 20 m.")
    if not 0.3 <= coefficient <= 1:
        raise CannotCalculate("A coefficient of discharge lies between 0.3 and 1.")
    area_m2 = math.pi / 4 * (diameter_mm / 1000) ** 2
    return coefficient * area_m2 * math.sqrt(2 * GRAVITY_M_S2 * depth_m) * 60_000


def flooding(
    diameter_mm: float,
    depth_m: float,
    *,
    pump_l_h: float = 0.0,
    pump_share: float = PUMP_SHARE,
    battery_hours: float | None = None,
    room_l: float | None = None,
    coefficient: float = SHARP_EDGE,
) -> Flooding:
    """`pump_l_h`: what stands on the pump; `pump_share`: what of it comes out at its real lift; `battery_hours`: how
    long the battery feeds it; `room_l`: litres that fit in below the lowest opening.

    Raises
    ------
    CannotCalculate : see `orifice_l_min`; or less than nothing.
    """
    inflow = orifice_l_min(diameter_mm, depth_m, coefficient)
    if pump_l_h < 0 or not 0 < pump_share <= 1 or (battery_hours or 0) < 0 or (room_l or 0) < 0:
        raise CannotCalculate("The pump's flow and share, battery hours and room cannot be less than 0.")
    pump = pump_l_h * pump_share / 60
    net = inflow - pump
    alone = room_l / inflow if room_l else None
    minutes = _minutes(net, alone, room_l, battery_hours)
    steps = [
        Step("comes in", "Cd · π/4 · d² · √(2 · g · h)",
             f"{coefficient:g} · π/4 · {shown(diameter_mm / 1000)}² · √(2 · 9.81 · {shown(depth_m)})",
             f"{shown(inflow)} L/min", ORIFICE),
        Step("edge of the hole", "Cd", f"{coefficient:g}", "0.6 sharp, up to 1 for a rounded mouth", SHARP),
    ]  # fmt: skip
    if pump_l_h:
        steps.append(Step("pump at its lift", "rating · share / 60", f"{shown(pump_l_h)} · {pump_share:g} / 60",
                          f"{shown(pump)} L/min", HALF))  # fmt: skip
        steps.append(Step("rises by", "comes in - pump", f"{shown(inflow)} - {shown(pump)}", f"{shown(net)} L/min",
                          ORIFICE))  # fmt: skip
    if room_l:
        steps += _time_steps(inflow, net, room_l, battery_hours)
    say = _say(net, pump_l_h, battery_hours, minutes, room_l)
    return Flooding(inflow, pump, net, minutes, alone, battery_hours, say, Working((), tuple(steps), NOT_COVERED))


def _time_steps(inflow: float, net: float, room_l: float, battery_hours: float | None) -> list[Step]:
    """How the time to the lowest opening is found: pumped first, while the battery lasts."""

    def step(what: str, formula: str, room: float, rate: float, before: float = 0.0) -> Step:
        more = f"{shown(before)} + " if before else ""
        return Step(
            what, formula, f"{more}{shown(room)} / {shown(rate)}", f"{shown(before + room / rate)} min", ORIFICE
        )

    alone = step("without the pump", "room / comes in", room_l, inflow)
    if net == inflow or (net <= 0 and battery_hours is None):
        return [alone]
    pumped_min = (battery_hours or 0) * 60
    if battery_hours is None or (net > 0 and room_l / net <= pumped_min):
        return [alone, step("to the lowest opening", "room / rises by", room_l, net)]
    left = room_l - max(net, 0) * pumped_min
    formula = "battery + (room - risen by then) / comes in"
    return [alone, step("to the lowest opening", formula, left, inflow, pumped_min)]


def _minutes(net: float, alone: float | None, room_l: float | None, battery_hours: float | None) -> float | None:
    """Until the lowest opening: with the pump while its battery lasts, and without it from then on."""
    if room_l is None or alone is None:
        return None
    if net > 0:
        pumped = room_l / net
        if battery_hours is None or pumped <= battery_hours * 60:
            return pumped
        risen = net * battery_hours * 60
        return battery_hours * 60 + (room_l - risen) / (room_l / alone)
    return None if battery_hours is None else battery_hours * 60 + alone


def _say(
    net: float, pump_l_h: float, battery_hours: float | None, minutes: float | None, room_l: float | None
) -> str:
    ends = f" {shown(minutes)} min to the lowest opening." if minutes is not None else ""
    if net > 0:
        told = "More comes in than the pump gives." if pump_l_h else "Nothing pumps it out."
        return f"{told}{ends}" + (
            "" if room_l else " How long she has cannot be told: the room below the opening is not known."
        )
    if battery_hours is None:
        return "The pump gives more than comes in, for as long as its battery lasts: how long is not known."
    return f"For {shown(battery_hours)} h, while its battery lasts, the pump gives more than comes in.{ends}"
