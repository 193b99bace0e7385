"""`inspect-tui calc`: water coming in, mass and sinkage, paint, thin plate in compression, inland steel."""

from __future__ import annotations

from typing import Any

from inspect_tui.calc.spec import Flag, Number, Result, Topic, Word
from inspect_tui.engineering.boat.flooding import PUMP_SHARE, SHARP_EDGE, flooding
from inspect_tui.engineering.strength.buckling import buckling, slenderness
from inspect_tui.engineering.strength.inland import LOCAL_ALLOWANCE, inland_minimum
from inspect_tui.engineering.work.paint import LOST_PERCENT, paint
from inspect_tui.engineering.work.repair import plate_mass_kg
from inspect_tui.engineering.work.weights import DENSITY_KG_M3, WATER_KG_M3, WATERPLANE, weight
from inspect_tui.errors import CannotCalculate

METALS = tuple(DENSITY_KG_M3)


def _flood(given: dict[str, Any]) -> Result:
    found = flooding(
        given["hole_mm"],
        given["depth_m"],
        pump_l_h=given["pump_l_h"],
        pump_share=given["pump_percent"] / 100,
        battery_hours=given["battery_hours"],
        room_l=given["room_l"],
        coefficient=given["coefficient"],
    )
    result = {
        "inflow_l_min": found.inflow_l_min,
        "pump_l_min": found.pump_l_min,
        "net_l_min": found.net_l_min,
        "to_lowest_opening_min": found.minutes,
        "without_pump_min": found.minutes_alone,
        "say": found.say,
    }
    return result, found.working


def _weight(given: dict[str, Any]) -> Result:
    metal, area, thickness, mass = given["metal"], given["area_m2"], given["thickness_mm"], given["mass_kg"]
    if (mass is None) == (area is None or thickness is None):
        raise CannotCalculate("Give --mass, or --area and --thickness of a plate.")
    if mass is None:
        mass = plate_mass_kg(area, thickness, DENSITY_KG_M3[metal])
    mass = -mass if given["taken_out"] else mass
    found = weight(mass, given["length_m"], given["beam_m"], coefficient=given["coefficient"], water=given["water"])
    return {"mass_kg": found.mass_kg, "sinkage_mm": found.sinkage_mm}, found.working


def _paint(given: dict[str, Any]) -> Result:
    found = paint(
        given["area_m2"],
        given["solids_percent"],
        given["dry_um"],
        coats=int(given["coats"]),
        by=given["by"],
        rough_percent=given["rough_percent"],
    )
    return {"to_buy_l": found.litres, "one_litre_covers_m2": found.spread_m2_l}, found.working


def _buckling(given: dict[str, Any]) -> Result:
    plate = buckling(given["thickness_mm"], given["spacing_mm"], given["yield_mpa"], given["metal"])
    result: dict[str, Any] = {"elastic_mpa": plate.elastic_mpa, "critical_mpa": plate.critical_mpa}
    working = plate.working
    if (height := given["web_height_mm"]) is not None and (web := given["web_mm"]) is not None:
        found = slenderness(height, web, given["yield_mpa"], given["metal"], flanged=given["flanged"])
        result |= {"web_ratio": found.ratio, "web_ratio_at_most": found.limit, "web_passes": found.passes}
        working += found.working
    return result, working


def _inland(given: dict[str, Any]) -> Result:
    found = inland_minimum(
        given["length_m"],
        given["frames_mm"],
        given["draught_m"],
        passenger=given["passenger"],
        double_bottom=given["double_bottom"],
    )
    result = {
        "bottom_and_side_mm": found.shell_mm,
        "bilge_mm": found.bilge_mm,
        "small_spots_mm": found.shell_mm * (1 - LOCAL_ALLOWANCE),
    }
    return result, found.working


TOPICS = (
    Topic(
        "flood",
        "Water through a hole HOLE wide, DEPTH below the water, against a pump and its battery.",
        "25 0.5 --pump 4000 --room 3000 --battery 2",
        (
            Number("hole_mm"),
            Number("depth_m"),
            Number("pump_l_h", "--pump", "Output marked on the pump, L/h.", default=0.0),
            Number("pump_percent", "--comes-out", "Share of that at its real lift, %.", default=100 * PUMP_SHARE),
            Number("battery_hours", "--battery", "How long the battery feeds it, h."),
            Number("room_l", "--room", "What fits in below the lowest opening, L."),
            Number("coefficient", "--edge", "Of discharge: 0.6 for a sharp edge.", default=SHARP_EDGE),
        ),
        _flood,
    ),
    Topic(
        "weight",
        "How far a plate taken out or added, or any mass, lifts or sinks her.",
        "--area 2 --thickness 5 --length 11.1 --beam 3.35",
        (
            Number("mass_kg", "--mass", "Any mass; or the plate by its size."),
            Number("area_m2", "--area", "Of the plate."),
            Number("thickness_mm", "--thickness", "Of the plate."),
            Number("length_m", "--length", "Of the waterline.", required=True),
            Number("beam_m", "--beam", "Of the waterline.", required=True),
            Word("metal", "--metal", METALS, default="aluminium"),
            Word("water", "--water", tuple(WATER_KG_M3), default="salt"),
            Number("coefficient", "--waterplane", "Its area / (length · beam).", default=WATERPLANE),
            Flag("taken_out", "--taken-out", "It leaves the boat."),
        ),
        _weight,
    ),
    Topic(
        "paint",
        "Litres of paint for AREA, at SOLIDS percent by volume and DRY µm a coat.",
        "38 65 125 --coats 2 --by airless",
        (
            Number("area_m2"),
            Number("solids_percent"),
            Number("dry_um"),
            Number("coats", "--coats", default=1.0),
            Word("by", "--by", tuple(LOST_PERCENT), default="roller"),
            Number("rough_percent", "--rough", "Of the first coat, into the roughness, %.", default=10.0),
        ),
        _paint,
    ),
    Topic(
        "buckling",
        "Stress at which plate THICKNESS thick, stiffeners SPACING apart, buckles; and whether a web is too slender.",
        "4 400 --yield 125 --web-height 60 --web 4.5",
        (
            Number("thickness_mm"),
            Number("spacing_mm"),
            Number("yield_mpa", "--yield", "0.2 % proof stress of the welded metal.", default=125.0),
            Word("metal", "--metal", METALS, default="aluminium"),
            Number("web_height_mm", "--web-height", "Of a stiffener."),
            Number("web_mm", "--web", "Its thickness now."),
            Flag("flanged", "--flanged", "It has a flange."),
        ),
        _buckling,
    ),
    Topic(
        "inland",
        "Least thickness of steel shell by the inland rules: LENGTH, frames FRAMES apart, DRAUGHT. A yardstick.",
        "38.5 500 2.2",
        (
            Number("length_m"),
            Number("frames_mm"),
            Number("draught_m"),
            Flag("passenger", "--passenger", "A passenger vessel; LENGTH is that of the waterline."),
            Flag("double_bottom", "--double-bottom", "With wing voids."),
        ),
        _inland,
    ),
)
