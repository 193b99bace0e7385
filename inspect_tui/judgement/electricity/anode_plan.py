"""What is known of a boat for her anodes: wetted area by two formulas, and the water she lies in."""

from __future__ import annotations

from inspect_tui.domain.records import Boat
from inspect_tui.domain.words import HullMetal, Water
from inspect_tui.engineering.electricity.anode_plan import Plan, spread
from inspect_tui.engineering.electricity.anodes import REACH_M2
from inspect_tui.engineering.electricity.wetted_area import Wetted, wetted

# Of the sea at 15 °C; of water that is half sea; of a river: for want of a measurement [Ω·m].
USUAL_OHM_M = {Water.SALT: 0.233, Water.BRACKISH: 0.44, Water.FRESH: 20.0}


def wetted_of(boat: Boat) -> Wetted | None:
    """From the boat's particulars; None if a dimension is not written down."""
    length, beam, draught = boat.waterline_length_m, boat.waterline_beam_m, boat.hull_draught_m
    if length is None or beam is None or draught is None or boat.displacement_kg is None:
        return None
    return wetted(length, beam, draught, boat.displacement_kg)


def plan_lines(
    told: Plan, fitted: int | None, area_m2: float, length_m: float | None = None
) -> list[tuple[str, str]]:
    """What a plan asks for, where they go, and what is wrong with the anodes that are fitted; headed lines."""
    lines = [
        ("needed", f"{told.number}: {told.by_mass} by mass; by current {told.by_current_first} at first, "
                   f"{told.by_current_last} at the end; {told.by_reach} to reach all of her. "
                   f"{told.governed_by.capitalize()} decides."),
        ("current", f"{1000 * told.first_a:.0f} mA at first, {1000 * told.mean_a:.0f} on average, "
                    f"{1000 * told.last_a:.0f} at the end; one gives {1000 * told.one_first_a:.0f} mA"),
        ("mass", f"{told.mass_kg:.2f} kg of anode metal"),
        ("where", spread(told.number, area_m2, length_m)),
    ]  # fmt: skip
    if fitted is not None and fitted < told.number:
        why = []
        if fitted < told.by_mass:
            why.append("too little metal for the years")
        if fitted < max(told.by_current_first, told.by_current_last):
            enough = ", though there is enough metal" if fitted >= told.by_mass else ""
            why.append(f"too little current{enough}")
        if fitted < told.by_reach:
            why.append(f"too far apart: they reach about {fitted * REACH_M2:.0f} of {area_m2:.0f} m² of wetted metal")
        lines.append(("fitted", f"{fitted}: TOO FEW, {', and '.join(why)}"))
    elif fitted is not None:
        lines.append(("fitted", f"{fitted}: as many as this asks for, or more"))
    return [*lines, *(("doubt", one) for one in told.warnings)]


def hull_name(boat: Boat) -> str:
    return "steel" if boat.hull_metal is HullMetal.STEEL else "aluminium"
