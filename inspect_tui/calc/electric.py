"""`inspect-tui calc`: potentials, currents, anodes and what a few opened patches say of the rest."""

from __future__ import annotations

from typing import Any, get_args

import click

from inspect_tui.calc.telling import NEGATIVE, NUMBER, telling
from inspect_tui.calc.topics import calc
from inspect_tui.engineering import anodes, electrodes, faraday, protection, sea_water, wetted_area
from inspect_tui.engineering.couple import InSeries, couple
from inspect_tui.engineering.errors import CannotCalculate
from inspect_tui.engineering.proportion import rest_bad
from inspect_tui.engineering.working import Step, Working
from inspect_tui.store.checklist_files import load_checklists

__all__ = ["calc"]
Told = tuple[dict[str, Any], dict[str, Any], Working]
NO_WATER = "Against bare silver chloride in fresher water than the sea, give --salinity or --chloride."


@calc.command("electrode", context_settings=NEGATIVE)
@click.argument("read_mv", type=NUMBER)
@click.option("--against", "electrode", default="", help=f"The electrode: {', '.join(electrodes.ELECTRODES)}.")
@click.option("--salinity", "salinity_g_kg", type=NUMBER, help="Of the water, g/kg: for bare silver chloride.")
@click.option("--chloride", "chloride_mg_l", type=NUMBER, help="Of fresh water, mg/L: for bare silver chloride.")
@telling
def electrode_(read_mv: float, electrode: str, salinity_g_kg: float | None, chloride_mg_l: float | None) -> Told:
    """A potential READ_MV against one electrode, told against all others.

    \b
    Example: inspect-tui calc electrode -850 --against cse
    """
    told = electrodes.potential(read_mv, electrode, salinity_g_kg=salinity_g_kg, chloride_mg_l=chloride_mg_l)
    result: dict[str, Any] = {"silver_chloride_in_sea_water_mv": told.sea_mv, "error_mv": told.error_mv}
    result |= {f"{id.replace('-', '_')}_mv": electrodes.against(told.sea_mv, id) for id in electrodes.ELECTRODES}
    result["chloride_correction_mv"] = told.corrected_mv
    inputs = {"read_mv": read_mv, "electrode": told.electrode.id, "salinity_g_kg": salinity_g_kg,
              "chloride_mg_l": chloride_mg_l}  # fmt: skip
    return inputs, result, electrodes.potential_working(told)


@calc.command("protection", context_settings=NEGATIVE)
@click.argument("read_mv", type=NUMBER)
@click.option("--against", "electrode", default="", help="The electrode the reading was taken with.")
@click.option("--hull", type=click.Choice(get_args(protection.Hull)), required=True)
@click.option("--water", type=click.Choice(get_args(protection.WaterKind)), default="salt", show_default=True)
@click.option("--free", "free_mv", type=NUMBER, help="Reading with no anode at work, same electrode, mV.")
@click.option("--salinity", "salinity_g_kg", type=NUMBER, help="Of the water, g/kg.")
@click.option("--chloride", "chloride_mg_l", type=NUMBER, help="Of fresh water, mg/L.")
@telling
def protection_(
    read_mv: float,
    electrode: str,
    hull: protection.Hull,
    water: protection.WaterKind,
    free_mv: float | None,
    salinity_g_kg: float | None,
    chloride_mg_l: float | None,
) -> Told:
    """Whether a hull at READ_MV is protected, barely, or over-protected.

    \b
    Example: inspect-tui calc protection -1250 --against agcl --hull aluminium
    """

    def sea(value: float) -> electrodes.Potential:
        return electrodes.potential(value, electrode, salinity_g_kg=salinity_g_kg, chloride_mg_l=chloride_mg_l)

    read = sea(read_mv)
    protection.check_hull_mv(read.sea_mv, hull, read_mv)
    if water != "salt" and read.electrode.in_water and not read.corrected_mv:
        raise CannotCalculate(NO_WATER)
    free = sea(free_mv).sea_mv if free_mv is not None else None
    told = protection.protection(read.sea_mv, hull, water, free_mv=free)
    result = {
        "state": told.state.value,
        "silver_chloride_in_sea_water_mv": told.sea_mv,
        "shift_mv": told.shift_mv,
        "shift_passes_100_mv": told.passes_100,
        "shift_passes_200_mv": told.passes_200,
        "to_do": told.to_do,
        "warnings": list(told.warnings),
    }
    inputs = {"read_mv": read_mv, "electrode": read.electrode.id, "hull": hull, "water": water, "free_mv": free_mv}
    return inputs, result, electrodes.potential_working(read) + told.working


@calc.command("couple")
@click.argument("one")
@click.argument("other")
@click.option("--areas", "areas_m2", type=(NUMBER, NUMBER), help="Bare and wet, of ONE and OTHER, m².")
@telling
def couple_(one: str, other: str, areas_m2: tuple[float, float] | None) -> Told:
    """What metals ONE and OTHER do to each other in sea water; names as in metals.toml.

    \b
    Example: inspect-tui calc couple aluminium copper --areas 2 0.01
    """
    series = load_checklists().metals.galvanic
    for name in (one, other):
        if name not in series:
            raise CannotCalculate(f'"{name}" is not in the series: {", ".join(series)}.')
    if one == other:
        raise CannotCalculate("That is one metal, not two.")
    pair = [InSeries(row.name, row.low_mv, row.high_mv, row.middle_mv) for row in (series[one], series[other])]
    eaten_m2 = noble_m2 = None
    if areas_m2 is not None:
        eaten_m2, noble_m2 = areas_m2 if pair[0].middle_mv <= pair[1].middle_mv else areas_m2[::-1]
    told = couple(pair[0], pair[1], eaten_m2=eaten_m2, noble_m2=noble_m2)
    result = {
        "voltage_mv": told.voltage_mv,
        "least_mv": told.least_mv,
        "most_mv": told.most_mv,
        "eaten": told.eaten.name,
        "area_ratio": told.area_ratio,
        "verdict": told.verdict,
    }
    return {"one": one, "other": other, "eaten_m2": eaten_m2, "noble_m2": noble_m2}, result, told.working


@calc.command("faraday")
@click.argument("metal", type=click.Choice(list(faraday.METALS)))
@click.option("--current", "current_a", type=NUMBER, required=True, help="A.")
@click.option("--hours", type=NUMBER, required=True)
@click.option("--density", "density_a_m2", type=NUMBER, help="Of a current spread over a face, A/m².")
@click.option("--plate", "plate_mm", type=NUMBER, help="Thickness of a plate it may go through, mm.")
@telling
def faraday_(metal: str, current_a: float, hours: float, plate_mm: float | None, density_a_m2: float | None) -> Told:
    """What a current takes off METAL in so many hours.

    \b
    Example: inspect-tui calc faraday aluminium --current 0.1 --hours 168 --plate 5
    """
    kg = faraday.mass_kg(metal, current_a, hours)
    result = {
        "mass_g": kg * 1000,
        "capacity_ah_kg": faraday.capacity_ah_kg(metal),
        "volume_cm3": kg / faraday.METALS[metal].density_kg_m3 * 1e6,
        "hole_mm": faraday.hole_mm(metal, current_a, hours, plate_mm) if plate_mm is not None else None,
        "even_loss_mm": None
        if density_a_m2 is None
        else faraday.penetration_mm_per_year(metal, density_a_m2) * hours / faraday.HOURS_A_YEAR,
    }
    inputs = {
        "metal": metal,
        "current_a": current_a,
        "hours": hours,
        "plate_mm": plate_mm,
        "density_a_m2": density_a_m2,
    }
    return inputs, result, faraday.faraday_working(metal, current_a, hours, plate_mm)


@calc.command("resistivity", context_settings=NEGATIVE)
@click.option("--salinity", "salinity_g_kg", type=NUMBER, required=True, help="g/kg, 2 to 42.")
@click.option("--temperature", "temperature_c", type=NUMBER, required=True, help="°C, 0 to 35.")
@telling
def resistivity_(salinity_g_kg: float, temperature_c: float) -> Told:
    """Resistivity of sea water, or of sea water mixed with river water.

    \b
    Example: inspect-tui calc resistivity --salinity 35 --temperature 15
    """
    ohm_m = sea_water.resistivity_ohm_m(salinity_g_kg, temperature_c)
    result = {"resistivity_ohm_m": ohm_m, "conductivity_s_m": 1 / ohm_m}
    step = Step("conductivity", "PSS-78, solved for the ratio to 4.2914 S/m",
                f"S {salinity_g_kg:g}, {temperature_c:g} °C", f"{1 / ohm_m:.4g} S/m", sea_water.PSS_78)  # fmt: skip
    not_covered = ("River water below 2 g/kg has salts of its own: measure its conductivity.",)
    return {"salinity_g_kg": salinity_g_kg, "temperature_c": temperature_c}, result, Working((), (step,), not_covered)


@calc.command("anodes", context_settings=NEGATIVE)
@click.option("--hull", type=click.Choice(["aluminium", "steel"]), required=True)
@click.option("--area", "area_m2", type=NUMBER, required=True, help="Wetted, m².")
@click.option("--years", type=NUMBER, required=True, help="They shall last.")
@click.option("--coating", type=click.Choice(list(anodes.COATINGS)), default="II", show_default=True)
@click.option("--anode", type=click.Choice(list(anodes.ANODE_METALS)), default="aluminium", show_default=True)
@click.option("--mass", "one_kg", type=NUMBER, required=True, help="Net, of one anode, kg.")
@click.option("--size", "size_m", type=(NUMBER, NUMBER, NUMBER), required=True, help="Length, width, thickness, m.")
@click.option("--shape", type=click.Choice(get_args(anodes.Shape)), default="short flush", show_default=True)
@click.option("--resistivity", type=NUMBER, help="Of the water, Ω·m; of the sea 0.233 if it is not given.")
@click.option("--climate", type=click.Choice(get_args(anodes.Climate)), default="temperate", show_default=True)
@click.option("--propeller", "propeller_m2", type=NUMBER, default=0.0, help="Bare propeller and shaft, m².")
@click.option("--temperature", "temperature_c", type=NUMBER, help="Of the water, °C, where it is above 20.")
@click.option("--fresh", is_flag=True, help="She lies in fresh water.")
@telling
def anodes_(size_m: tuple[float, float, float], fresh: bool, **options: Any) -> Told:
    """How many anodes, by mass and by current.

    \b
    Example: inspect-tui calc anodes --hull aluminium --area 38 --years 2 --mass 3 --size 0.3 0.1 0.03
    """
    length, width, thickness = size_m
    if options["resistivity"] is None:
        if fresh:
            raise CannotCalculate("Fresh waters differ tenfold: measure its --resistivity, or its conductivity.")
        options["resistivity"] = 0.233
    told = anodes.plan(length_m=length, width_m=width, thickness_m=thickness, salt=not fresh, **options)
    result = {
        "number": told.number,
        "governed_by": told.governed_by,
        "by_mass": told.by_mass,
        "by_current_at_first": told.by_current_first,
        "by_current_at_the_end": told.by_current_last,
        "mass_kg": told.mass_kg,
        "mean_current_a": told.mean_a,
        "one_anode_a": told.one_first_a,
        "area_each_m2": options["area_m2"] / told.number,
        "warnings": list(told.warnings),
    }
    return {**options, "length_m": length, "width_m": width, "thickness_m": thickness}, result, told.working


@calc.command("wetted-area")
@click.option("--length", "length_m", type=NUMBER, required=True, help="Of the waterline, m.")
@click.option("--beam", "beam_m", type=NUMBER, required=True, help="Of the waterline, m.")
@click.option("--draught", "draught_m", type=NUMBER, required=True, help="Of the hull without keel, m.")
@click.option("--displacement", "displacement_kg", type=NUMBER, required=True, help="kg.")
@click.option("--midship", "midship", type=NUMBER, default=0.75, show_default=True, help="Coefficient Cm.")
@telling
def wetted_area_(length_m: float, beam_m: float, draught_m: float, displacement_kg: float, midship: float) -> Told:
    """Wetted area of the hull without keel and rudder, by two formulas with their spread.

    \b
    Example: inspect-tui calc wetted-area --length 11.1 --beam 3.35 --draught 0.72 --displacement 11800
    """
    told = wetted_area.wetted(length_m, beam_m, draught_m, displacement_kg, midship)
    result = {"denny_mumford_m2": told.denny_m2, "delft_m2": told.delft_m2, "mean_m2": told.mean_m2,
              "low_m2": told.low_m2, "high_m2": told.high_m2,
              "box_m2": wetted_area.box_m2(length_m, beam_m, draught_m)}  # fmt: skip
    inputs = {"length_m": length_m, "beam_m": beam_m, "draught_m": draught_m, "displacement_kg": displacement_kg,
              "midship_coefficient": midship}  # fmt: skip
    return inputs, result, told.working


@calc.command("patches")
@click.argument("bad", type=int)
@click.argument("opened", type=int)
@click.argument("not_opened", type=int)
@telling
def patches_(bad: int, opened: int, not_opened: int) -> Told:
    """BAD of OPENED patches were bad beneath: what does that say of the NOT_OPENED?

    \b
    Example: inspect-tui calc patches 3 4 5
    """
    told = rest_bad(opened, bad, not_opened)
    result = {
        "chance_one_more_is_bad": told.chance,
        "bad_among_the_rest_low": told.low,
        "bad_among_the_rest_high": told.high,
        "chance_any_is_bad": told.any_bad,
    }
    return {"bad": bad, "opened": opened, "not_opened": not_opened}, result, told.working
