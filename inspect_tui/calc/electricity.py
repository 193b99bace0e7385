"""`inspect-tui calc`: potentials, currents, anodes, what meters say, what opened patches say of the rest."""

from __future__ import annotations

from typing import Any, get_args

from inspect_tui.calc.spec import Flag, Number, Result, Topic, Word
from inspect_tui.engineering import tanks
from inspect_tui.engineering.electricity import (
    anodes,
    bonding,
    electrodes,
    faraday,
    protection,
    sea_water,
    wetted_area,
)
from inspect_tui.engineering.electricity.anode_plan import Anode, Duty, plan, spread
from inspect_tui.engineering.electricity.couple import couple, least_noble
from inspect_tui.engineering.electricity.isolated_hull import hull_test
from inspect_tui.engineering.proportion import rest_bad
from inspect_tui.engineering.working import Step, Working
from inspect_tui.errors import CannotCalculate

NO_WATER = "Against bare silver chloride in fresher water than the sea, give --salinity or --chloride."
SALINITY = Number("salinity_g_kg", "--salinity", "Of the water, g/kg: for bare silver chloride.")
CHLORIDE = Number("chloride_mg_l", "--chloride", "Of fresh water, mg/L: for bare silver chloride.")


def _electrode(given: dict[str, Any]) -> Result:
    told = electrodes.potential(
        given["read_mv"],
        given["electrode"],
        salinity_g_kg=given["salinity_g_kg"],
        chloride_mg_l=given["chloride_mg_l"],
    )
    result: dict[str, Any] = {"silver_chloride_in_sea_water_mv": told.sea_mv, "error_mv": told.error_mv}
    result |= {f"{id.replace('-', '_')}_mv": electrodes.against(told.sea_mv, id) for id in electrodes.ELECTRODES}
    result["chloride_correction_mv"] = told.corrected_mv
    given["electrode"] = told.electrode.id
    return result, electrodes.potential_working(told)


def _protection(given: dict[str, Any]) -> Result:
    def sea(value: float) -> electrodes.Potential:
        return electrodes.potential(
            value,
            given["electrode"],
            salinity_g_kg=given["salinity_g_kg"],
            chloride_mg_l=given["chloride_mg_l"],
        )

    read, hull, water = sea(given["read_mv"]), given["hull"], given["water"]
    protection.check_hull_mv(read.sea_mv, hull, given["read_mv"])
    if water != "salt" and read.electrode.in_water and not read.corrected_mv:
        raise CannotCalculate(NO_WATER)
    free = sea(given["free_mv"]).sea_mv if given["free_mv"] is not None else None
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
    given["electrode"] = read.electrode.id
    return result, electrodes.potential_working(read) + told.working


def _couple(given: dict[str, Any]) -> Result:
    from inspect_tui.store.checklist_files import load_checklists

    series, one, other = load_checklists().metals.galvanic, given["one"], given["other"]
    for name in (one, other):
        if name not in series:
            raise CannotCalculate(f'"{name}" is not in the series: {", ".join(series)}.')
    if one == other:
        raise CannotCalculate("That is one metal, not two.")
    pair = series[one], series[other]
    given |= {"eaten_m2": None, "noble_m2": None}
    if areas := given.pop("areas_m2"):
        in_order = least_noble(*pair)[0] is pair[0]
        given["eaten_m2"], given["noble_m2"] = areas if in_order else reversed(areas)
    told = couple(*pair, eaten_m2=given["eaten_m2"], noble_m2=given["noble_m2"])
    result = {
        "drives_mv": told.drives_mv,
        "voltage_mv": told.voltage_mv,
        "least_mv": told.least_mv,
        "most_mv": told.most_mv,
        "eaten": told.eaten.name,
        "area_ratio": told.area_ratio,
        "verdict": told.verdict,
    }
    return result, told.working


def _faraday(given: dict[str, Any]) -> Result:
    metal, current, hours = given["metal"], given["current_a"], given["hours"]
    plate, density = given["plate_mm"], given["density_a_m2"]
    kg = faraday.mass_kg(metal, current, hours)
    yearly = None if density is None else faraday.penetration_mm_per_year(metal, density)
    result = {
        "mass_g": kg * 1000,
        "capacity_ah_kg": faraday.capacity_ah_kg(metal),
        "volume_cm3": kg / faraday.METALS[metal].density_kg_m3 * 1e6,
        "hole_mm": faraday.hole_mm(metal, current, hours, plate) if plate is not None else None,
        "even_loss_mm": None if yearly is None else yearly * hours / faraday.HOURS_A_YEAR,
    }
    return result, faraday.faraday_working(metal, current, hours, plate)


def _resistivity(given: dict[str, Any]) -> Result:
    salinity, temperature = given["salinity_g_kg"], given["temperature_c"]
    ohm_m = sea_water.resistivity_ohm_m(salinity, temperature)
    step = Step("conductivity", "PSS-78, solved for the ratio to 4.2914 S/m", f"S {salinity:g}, {temperature:g} °C",
                f"{1 / ohm_m:.4g} S/m", sea_water.PSS_78)  # fmt: skip
    not_covered = ("River water below 2 g/kg has salts of its own: measure its conductivity.",)
    return {"resistivity_ohm_m": ohm_m, "conductivity_s_m": 1 / ohm_m}, Working((), (step,), not_covered)


def _anodes(given: dict[str, Any]) -> Result:
    given["length_m"], given["width_m"], given["thickness_m"] = given.pop("size_m")
    salt = not given.pop("fresh")
    if given["resistivity_ohm_m"] is None:
        if not salt:
            raise CannotCalculate("Fresh water varies tenfold: measure its --resistivity, or its conductivity.")
        given["resistivity_ohm_m"] = 0.233
    told = plan(
        Duty(
            given["hull"],
            given["area_m2"],
            given["years"],
            given["coating"],
            given["resistivity_ohm_m"],
            given["climate"],
            salt,
            given["temperature_c"],
            given["propeller_m2"],
        ),
        Anode(
            given["anode"],
            given["one_kg"],
            given["length_m"],
            given["width_m"],
            given["thickness_m"],
            given["shape"],
        ),
    )
    result = {
        "number": told.number,
        "governed_by": told.governed_by,
        "by_mass": told.by_mass,
        "by_current_at_first": told.by_current_first,
        "by_current_at_the_end": told.by_current_last,
        "by_reach": told.by_reach,
        "mass_kg": told.mass_kg,
        "mean_current_a": told.mean_a,
        "one_anode_a": told.one_first_a,
        "area_each_m2": given["area_m2"] / told.number,
        "spread": spread(told.number, given["area_m2"], given["waterline_m"]),
        "warnings": list(told.warnings),
    }
    return result, told.working


def _wetted_area(given: dict[str, Any]) -> Result:
    length, beam, draught = given["length_m"], given["beam_m"], given["draught_m"]
    told = wetted_area.wetted(length, beam, draught, given["displacement_kg"], given["midship_coefficient"])
    result = {"denny_mumford_m2": told.denny_m2, "delft_m2": told.delft_m2, "mean_m2": told.mean_m2,
              "low_m2": told.low_m2, "high_m2": told.high_m2,
              "box_m2": wetted_area.box_m2(length, beam, draught)}  # fmt: skip
    return result, told.working


def _patches(given: dict[str, Any]) -> Result:
    told = rest_bad(int(given["opened"]), int(given["bad"]), int(given["not_opened"]))
    result = {
        "chance_one_more_is_bad": told.chance,
        "bad_among_the_rest_low": told.low,
        "bad_among_the_rest_high": told.high,
        "chance_any_is_bad": told.any_bad,
    }
    return result, told.working


def _hull_test(given: dict[str, Any]) -> Result:
    told = hull_test(given["plus_ohm"], given["minus_ohm"], given["volts"], tied=given["tied"])
    result: dict[str, Any] = {"isolation": told.word, "say": told.fault.value}
    if told.through_ma is not None:
        result["through_ma"] = told.through_ma
    return result, told.working


def _joint(given: dict[str, Any]) -> Result:
    told = bonding.resistance(given["ohm"], given["across"])
    return {"state": told.state, "say": told.say}, told.working


def _tank(given: dict[str, Any]) -> Result:
    names = ("ph", "copper_ppb", "chlorine_mg_l", "hours", "head_m")
    ph, ppb, chlorine, hours, head = (given[name] for name in names)
    if (chlorine is None) != (hours is None):
        raise CannotCalculate("Chlorine needs both --chlorine and --hours.")
    judged = {
        "ph": tanks.acidity(ph) if ph is not None else None,
        "copper": tanks.copper(ppb) if ppb is not None else None,
        "chlorine": tanks.chlorine(chlorine, hours) if chlorine is not None else None,
    }
    result: dict[str, Any] = {}
    working = Working((), ())
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
    return result, working


def _air(given: dict[str, Any]) -> Result:
    oxygen, vapour = tanks.oxygen(given["oxygen_percent"]), tanks.vapour(given["vapour_percent_lel"])
    result = {"oxygen_passes": oxygen.passes, "vapour_passes": vapour.passes, "say": [oxygen.say, vapour.say]}
    return result, oxygen.working + vapour.working


TOPICS = (
    Topic(
        "electrode",
        "A potential READ_MV against one electrode, given against all others.",
        "-850 --against cse",
        (
            Number("read_mv"),
            Word("electrode", "--against", default="", help=f"The electrode: {', '.join(electrodes.ELECTRODES)}."),
            SALINITY,
            CHLORIDE,
        ),
        _electrode,
    ),
    Topic(
        "protection",
        "Whether a hull at READ_MV is protected, barely, or over-protected.",
        "-1250 --against agcl --hull aluminium",
        (
            Number("read_mv"),
            Word("electrode", "--against", default="", help="The electrode the reading was taken with."),
            Word("hull", "--hull", get_args(protection.Hull), required=True),
            Word("water", "--water", get_args(protection.WaterKind), default="salt"),
            Number("free_mv", "--free", "Reading with no anode at work, same electrode, mV."),
            SALINITY,
            CHLORIDE,
        ),
        _protection,
    ),
    Topic(
        "couple",
        "What metals ONE and OTHER do to each other in sea water; names as in metals.toml.",
        "aluminium copper --areas 2 0.01",
        (Word("one"), Word("other"), Number("areas_m2", "--areas", "Bare and wet, of ONE and OTHER, m².", sides=2)),
        _couple,
    ),
    Topic(
        "faraday",
        "What a current takes off METAL in so many hours.",
        "aluminium --current 0.1 --hours 168 --plate 5",
        (
            Word("metal", choices=tuple(faraday.METALS)),
            Number("current_a", "--current", "A.", required=True),
            Number("hours", "--hours", required=True),
            Number("density_a_m2", "--density", "Of a current spread over a face, A/m²."),
            Number("plate_mm", "--plate", "Thickness of a plate it may go through, mm."),
        ),
        _faraday,
    ),
    Topic(
        "resistivity",
        "Resistivity of sea water, or of sea water mixed with river water.",
        "--salinity 35 --temperature 15",
        (
            Number("salinity_g_kg", "--salinity", "g/kg, 2 to 42.", required=True),
            Number("temperature_c", "--temperature", "°C, 0 to 35.", required=True),
        ),
        _resistivity,
    ),
    Topic(
        "anodes",
        "How many anodes, by mass, by current and by reach.",
        "--hull aluminium --area 38 --years 2 --mass 3 --size 0.3 0.1 0.03",
        (
            Word("hull", "--hull", ("aluminium", "steel"), required=True),
            Number("area_m2", "--area", "Wetted, m².", required=True),
            Number("years", "--years", "They must last.", required=True),
            Word("coating", "--coating", tuple(anodes.COATINGS), default="II"),
            Word("anode", "--anode", tuple(anodes.ANODE_METALS), default="aluminium"),
            Number("one_kg", "--mass", "Net, of one anode, kg.", required=True),
            Number("size_m", "--size", "Length, width, thickness, m.", required=True, sides=3),
            Word("shape", "--shape", get_args(anodes.Shape), default="short flush"),
            Number("resistivity_ohm_m", "--resistivity", "Of the water, Ω·m; of the sea 0.233 if it is not given."),
            Word("climate", "--climate", get_args(anodes.Climate), default="temperate"),
            Number("propeller_m2", "--propeller", "Bare propeller and shaft, m².", default=0.0),
            Number("temperature_c", "--temperature", "Of the water, °C, where it is above 20."),
            Number("waterline_m", "--waterline", "Length of the waterline, m: how far apart they go."),
            Flag("fresh", "--fresh", "She lies in fresh water."),
        ),
        _anodes,
    ),
    Topic(
        "wetted-area",
        "Wetted area of the hull without keel and rudder, by two formulas with their spread.",
        "--length 11.1 --beam 3.35 --draught 0.72 --displacement 11800",
        (
            Number("length_m", "--length", "Of the waterline, m.", required=True),
            Number("beam_m", "--beam", "Of the waterline, m.", required=True),
            Number("draught_m", "--draught", "Of the hull without keel, m.", required=True),
            Number("displacement_kg", "--displacement", "kg.", required=True),
            Number("midship_coefficient", "--midship", "Coefficient Cm.", default=0.75),
        ),
        _wetted_area,
    ),
    Topic(
        "patches",
        "BAD of OPENED patches were bad beneath: what does that say of the NOT_OPENED?",
        "3 4 5",
        (Number("bad", whole=True), Number("opened", whole=True), Number("not_opened", whole=True)),
        _patches,
    ),
    Topic(
        "isolation",
        "Ohms between the poles and an isolated hull, the battery disconnected and all breakers on.",
        "--positive 24000 --negative 90 --not-tied",
        (
            Number("plus_ohm", "--positive", "Positive to hull; also a pole that nobody named."),
            Number("minus_ohm", "--negative", "Negative to hull."),
            Number("volts", "--volts", "Of the battery.", default=12.0),
            Flag("tied", "--tied/--not-tied", "A pole is tied to the hull on purpose."),
        ),
        _hull_test,
    ),
    Topic(
        "joint",
        "OHM across a bond, an anode's fastening, or a part and the hull, against all limits that were found.",
        "0.3 --across anode",
        (Number("ohm"), Word("across", "--across", get_args(bonding.Joint), required=True)),
        _joint,
    ),
    Topic(
        "tank",
        "What tank water does to bare aluminium, and the pressure a test asks for.",
        "--ph 7,8 --chlorine 100 --hours 1 --head 1.8",
        (
            Number("ph", "--ph", "Of the water."),
            Number("copper_ppb", "--copper", "In the water, µg/L."),
            Number("chlorine_mg_l", "--chlorine", "To disinfect with, mg/L; give --hours too."),
            Number("hours", "--hours", "That it stays in."),
            Number("head_m", "--head", "From the tank's bottom to its overflow, m."),
        ),
        _tank,
    ),
    Topic(
        "air",
        "OXYGEN_PERCENT and VAPOUR_PERCENT_LEL in a space before anybody goes in. This is not a permit to enter.",
        "20.9 3",
        (Number("oxygen_percent"), Number("vapour_percent_lel")),
        _air,
    ),
)
