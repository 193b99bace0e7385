"""`inspect-tui calc`: metal lost, pits, plate and stiffeners."""

from __future__ import annotations

from pathlib import Path
from typing import Any, get_args

import tomli

from inspect_tui.calc.spec import Flag, Number, Result, Topic, Word, quantity_of
from inspect_tui.engineering.metal import deepest_pit as unseen
from inspect_tui.engineering.metal import growth as growing
from inspect_tui.engineering.metal import metal_loss, pits
from inspect_tui.engineering.metal.deepest_pit_working import deepest_pit_working
from inspect_tui.engineering.metal.gev import tail_check
from inspect_tui.engineering.strength import plate_strength, stiffeners
from inspect_tui.engineering.strength.pressure import EDITION, Category, Craft, Panel, Region
from inspect_tui.errors import CannotCalculate, NotUnderstood

METALS = ("aluminium", "steel")
BUILT_FROM = ("drawing", "caliper at a cut edge", "same plate, at a sound spot", "guess")


def _loss(given: dict[str, Any]) -> Result:
    set_m_s, true_m_s, paint = given["set_m_s"], given["true_m_s"], given["paint_mm"]
    if (set_m_s is None) != (true_m_s is None):
        raise CannotCalculate("Give both velocities, or neither.")
    if paint < 0:
        raise CannotCalculate("Paint cannot be thinner than 0 mm.")
    values = list(given["thickness_mm"])
    if paint:
        values = [metal_loss.through_paint(value, paint, set_m_s or metal_loss.STEEL_GAUGE_M_S) for value in values]
    if set_m_s is not None:
        values = [metal_loss.at_velocity(value, set_m_s, true_m_s) for value in values]
    told = metal_loss.metal_loss(
        values,
        given["built_mm"],
        baseline_from=given["built_from"],
        error_mm=given["error_mm"],
        aluminium=given["aluminium"],
    )
    result = {
        "left_mm": told.left_mm,
        "thinnest_mm": told.thinnest_mm,
        "loss_mm": told.loss_mm,
        "loss_percent": told.loss_percent,
        "error_mm": told.error_mm,
        "loss_measurable": told.measurable,
        "warnings": list(told.warnings),
    }
    return result, metal_loss.loss_working(told)


def _pits(given: dict[str, Any]) -> Result:
    depths, area, plate = given["depths_mm"], given["area_m2"], given["plate_mm"]
    if min(depths) <= 0:
        raise CannotCalculate("A pit without depth is no pit: leave it out.")
    told = pits.describe(depths, area)
    if plate is not None and told.deepest_mm >= plate:
        raise CannotCalculate(f"A pit of {told.deepest_mm:g} mm in a plate of {plate:g} mm is a hole: check both.")
    result: dict[str, Any] = {
        "count": told.count,
        "deepest_mm": told.deepest_mm,
        "mean_mm": told.mean_mm,
        "ten_deepest_mm": told.ten_deepest_mm,
        "depth_class": f"C-{pits.chart_class(told.deepest_mm, pits.DEPTH_CHART)}" if told.deepest_mm else None,
    }
    if told.density_per_m2 is not None:
        result["density_per_m2"] = told.density_per_m2
        result["density_class"] = f"A-{pits.chart_class(told.density_per_m2, pits.DENSITY_CHART)}"
        result["spacing_mm"] = told.spacing_mm
    if plate is not None:
        result["left_mm"] = plate - told.deepest_mm
    if (mean_loss := given["mean_loss_mm"]) is not None:
        result["pitting_factor"] = pits.pitting_factor(told.deepest_mm + mean_loss, mean_loss)
    if openings := given["openings_mm2"]:
        if area is None:
            raise CannotCalculate("The share of the surface that is pitted needs the square's --area too.")
        result["pitted_area_percent"] = pits.pitted_area_percent(openings, area)
        mean_opening = sum(openings) / len(openings)
        result["opening_class"] = f"B-{pits.chart_class(mean_opening, pits.OPENING_CHART)}"
    looked, pitted = given["patches"], given["pitted"]
    if (looked is None) != (pitted is None):
        raise CannotCalculate("The pitting probability needs both --patches and --pitted.")
    if looked is not None:
        result["pitting_probability_percent"] = pits.pitting_probability_percent(int(pitted), int(looked))
    return result, pits.pits_working(told, plate)


def _deepest_pit(given: dict[str, Any]) -> Result:
    options = {name: value for name, value in given.items() if name != "depths_mm"}
    options |= {name: int(options[name]) for name in ("not_found", "holed")}
    found = unseen.deepest_pit(given["depths_mm"], **options)
    tail = tail_check(found.sample)
    warnings = list(found.warnings)
    if tail and tail.doubtful:
        warnings.append("The depths tell against the Gumbel law (likelihood ratio): mixed causes?")
    result = {
        "method": found.fit.method,
        "patches": found.sample.count,
        "location_mm": found.fit.location_mm,
        "scale_mm": found.fit.scale_mm,
        "location_se_mm": found.fit.location_variance_mm2**0.5,
        "scale_se_mm": found.fit.scale_variance_mm2**0.5,
        "return_patches": found.return_patches,
        "return_level_mm": found.return_level_mm,
        "return_level_se_mm": found.return_level_se_mm,
        "return_level_bound_mm": found.return_level_bound_mm,
        "deepest_likely_mm": found.deepest_likely_mm,
        "deepest_bound_mm": found.deepest_bound_mm,
        "hole_probability": found.hole_probability,
        "hole_probability_cautious": found.hole_probability_cautious,
        "more_patches": found.more_patches,
        "advice": unseen.advice(found),
        "tail_shape": tail.shape if tail else None,
        "tail_p_value": tail.p_value if tail else None,
        "warnings": warnings,
    }
    return result, deepest_pit_working(found)


def _growth(given: dict[str, Any]) -> Result:
    built, now, years, pit = (given[name] for name in ("built_mm", "now_mm", "years", "pit_mm"))
    told = growing.growth(
        built,
        now,
        years,
        required_mm=given["required_mm"],
        previous_mm=given["previous_mm"],
        years_since_previous=given["years_since_previous"],
        error_mm=given["error_mm"],
    )
    result: dict[str, Any] = {
        "long_term_mm_per_year": told.long_term_mm_per_year,
        "short_term_mm_per_year": told.short_term_mm_per_year,
        "rate_mm_per_year": told.rate_mm_per_year,
        "life_years": told.life_years,
        "life_least_years": told.life_least_years,
        "interval_years": told.interval_years,
        "detectable_mm": told.detectable_mm,
    }
    lines = (("thickness", f"{built:g} mm as built, {now:g} mm now, {years:g} years"),)
    working = growing.growth_working(told, lines)
    if pit is not None:
        if not 0 < pit < now:
            raise CannotCalculate(f"A pit of {pit:g} mm in {now:g} mm of plate is a hole, or no pit: check both.")
        working += growing.pit_band_working(pit, years, given["years_ahead"])
        names = ("pit_cube_root_mm", "pit_square_root_mm", "pit_straight_mm")
        result |= dict(zip(names, growing.pit_band(pit, years, given["years_ahead"]), strict=True))
    result["warnings"] = [*told.warnings, *([growing.PITS_NOT_COVERED] if pit is not None else [])]
    return result, working


PLATE = (
    Word("region", "--region", get_args(Region)),
    Word("metal", "--metal", METALS),
    Flag("sail", "--sail/--motor"),
    Word("category", "--category", get_args(Category)),
    Number("waterline_length_m", "--waterline-length-m"),
    Number("displacement_kg", "--displacement-kg"),
    Number("speed_kn", "--speed-kn"),
    Number("chine_beam_m", "--chine-beam-m"),
    Number("deadrise_deg", "--deadrise-deg"),
    Number("righting_lever_m", "--righting-lever-m", "Greatest below 60° of heel."),
    Number("short_mm", "--short-mm", "Panel, short side."),
    Number("long_mm", "--long-mm", "Panel, long side."),
    Number("camber_mm", "--camber-mm"),
    Number("head_m", "--head-m", "Of water, for a bulkhead or tank."),
    Number("from_aft", "--from-aft", "x/LWL, 0 to 1; if not given, forward."),
    Number("side_height", "--side-height", "kZ, 0 at the deck edge to 1 at the waterline."),
    Number("proof_mpa", "--proof-mpa", "Proof stress, as welded: 125 for 5083."),
    Number("ultimate_mpa", "--ultimate-mpa", "Tensile strength, as welded: 275 for 5083."),
    Number("actual_mm", "--actual-mm", "Mean thickness left."),
)
PLATE_NEEDS = ("region", "metal", "sail", "category", "waterline_length_m", "displacement_kg", "short_mm", "long_mm",
               "proof_mpa", "ultimate_mpa")  # fmt: skip


def _plate(given: dict[str, Any]) -> Result:
    file = given.pop("file")
    typed = {name: value for name, value in given.items() if value is not None}
    given |= (_from_file(Path(file)) if file else {}) | typed
    if lacking := [name for name in PLATE_NEEDS if given[name] is None]:
        raise CannotCalculate(f"Not given: {', '.join('--' + name.replace('_', '-') for name in lacking)}.")
    names = ("sail", "category", "waterline_length_m", "displacement_kg", "chine_beam_m", "speed_kn", "deadrise_deg",
             "righting_lever_m")  # fmt: skip
    craft = Craft(*(given[name] for name in names))
    panel = Panel(
        given["region"],
        given["short_mm"],
        given["long_mm"],
        1.0 if given["from_aft"] is None else given["from_aft"],
        1.0 if given["side_height"] is None else given["side_height"],
        given["head_m"],
        given["camber_mm"] or 0.0,
    )
    check = plate_strength.check_plate(
        craft, panel, given["metal"], given["ultimate_mpa"], given["proof_mpa"], given["actual_mm"]
    )
    result = {
        "edition": EDITION,
        "pressure_kpa": check.pressure.pressure_kpa,
        "design_stress_mpa": check.stress_mpa,
        "required_mm": check.required_mm,
        "minimum_mm": check.minimum_mm,
        "actual_mm": check.actual_mm,
        "carried_kpa": check.carried_kpa,
        "clamped_stress_mpa": check.clamped_stress_mpa,
        "enough_by_pressure": check.enough,
        "enough_by_minimum": check.above_minimum,
    }
    lines = [(name.replace("_", " "), str(value)) for name, value in given.items() if value is not None]
    return result, plate_strength.plate_working(check, panel, lines)


def _from_file(file: Path) -> dict[str, Any]:
    """Options from a TOML file, numbers as they may be typed; a name or value that is none is told with its place."""
    try:
        read = tomli.loads(file.read_text(encoding="utf-8"))
    except (tomli.TOMLDecodeError, UnicodeDecodeError) as error:
        raise CannotCalculate(f"{file}: not valid TOML: {error}.") from None
    except OSError as error:
        raise CannotCalculate(f"{file} cannot be read: {error.strerror or error}.") from None
    known = {one.name: one for one in PLATE}
    given: dict[str, Any] = {}
    for name, value in read.items():
        match known.get(name):
            case None:
                raise CannotCalculate(f"{file}: {name}: this key is not known; check its spelling.")
            case Number():
                given[name] = _number(file, name, value)
            case Word(choices=allowed) if value not in allowed:
                raise CannotCalculate(f"{file}: {name}: {value!r} is not one of {', '.join(allowed)}.")
            case Flag() if not isinstance(value, bool):
                raise CannotCalculate(f"{file}: {name}: {value!r} is not one of True, False.")
            case _:
                given[name] = value
    return given


def _number(file: Path, name: str, value: object) -> float:
    try:
        number = None if isinstance(value, bool) else quantity_of(name).read(str(value))
    except NotUnderstood as error:
        raise CannotCalculate(f"{file}: {name}: {error}") from None
    if number is None:
        raise CannotCalculate(f"{file}: {name}: {value!r} is not a number.")
    return number


def _stiffener(given: dict[str, Any]) -> Result:
    names = ("web_height_mm", "web_mm", "flange_width_mm", "flange_mm", "plate_mm", "spacing_mm", "metal")
    bar = stiffeners.Stiffener(**{name: given[name] for name in names})
    loss, plate_loss = given["loss_mm"], given["plate_loss_mm"]
    asked = (given["pressure_kpa"], given["span_mm"], given["proof_mpa"])
    required = None
    if any(one is not None for one in asked):
        pressure, span, proof = asked
        if pressure is None or span is None or proof is None:
            raise CannotCalculate("The required thickness needs all three: --pressure-kpa, --span and --proof-mpa.")
        stress = stiffeners.stiffener_stress_mpa(bar.metal, proof)
        required = stiffeners.required_modulus_cm3(pressure, bar.spacing_mm, span, stress)
    check = stiffeners.check_stiffener(bar, loss, plate_loss, required)
    result = {
        "built_cm3": check.built_cm3,
        "worn_cm3": check.worn_cm3,
        "left_percent": check.left_percent,
        "required_cm3": check.required_cm3,
        "enough": check.enough,
    }
    lines = [("loss", f"{loss:g} mm of the stiffener, {plate_loss:g} mm of the plate")]
    return result, stiffeners.stiffener_working(bar, check, loss, lines)


TOPICS = (
    Topic(
        "loss",
        "Metal left and lost, from gauged THICKNESS_MM between the pits.",
        "5.4 5.2 5.3 --built 6 --built-from drawing",
        (
            Number("thickness_mm", many=True),
            Number("built_mm", "--built", "Thickness as built, mm.", required=True),
            Word("built_from", "--built-from", BUILT_FROM, default="guess"),
            Number("error_mm", "--error", "Of the gauge, mm.", default=0.1),
            Flag("aluminium", "--aluminium", "Look for a gauge left on its steel setting."),
            Number("paint_mm", "--paint", "Paint under a single-echo probe, mm.", default=0.0),
            Number("set_m_s", "--set-velocity", "Velocity the gauge was set to, m/s."),
            Number("true_m_s", "--true-velocity", "Velocity of the metal, m/s."),
        ),
        _loss,
    ),
    Topic(
        "pits",
        "Describe the pits of a square: number, depth, density, chart classes.",
        "3.1 2.4 1.9 1.2 0.8 --area 0.09 --plate 6",
        (
            Number("depths_mm", many=True),
            Number("area_m2", "--area", "Of the square, m² (300 × 300 mm is 0.09)."),
            Number("plate_mm", "--plate", "Thickness of the plate, mm."),
            Number("mean_loss_mm", "--mean-loss", "Mean loss between the pits, mm: for the pitting factor."),
            Number("openings_mm2", "--opening", "Mouth of a pit, mm²; once for each pit.", many=True),
            Number("patches", "--patches", "Squares looked at, with --pitted: the pitting probability.", whole=True),
            Number("pitted", "--pitted", "Number of them that had a pit.", whole=True),
        ),
        _pits,
    ),
    Topic(
        "deepest-pit",
        "Deepest pit in what was not looked at, from the deepest pit of each of several equal squares (DEPTHS_MM).",
        "1.2 0.8 2.4 1.9 3.1 1.1 0.9 1.6 \\\n  --patch-area 0.09 --total-area 4.6 --plate 6",
        (
            Number("depths_mm", many=True),
            Number("patch_area_m2", "--patch-area", "Of one square, m².", required=True),
            Number("total_area_m2", "--total-area", "Of all they speak for, m².", required=True),
            Number("plate_mm", "--plate", "Thickness of the plate, mm."),
            Number("not_found", "--not-found", "Squares without a pit.", default=0, whole=True),
            Number("holed", "--holed", "Squares holed through.", default=0, whole=True),
            Number("smallest_mm", "--smallest", "Smallest pit seen, mm.", default=0.1),
            Word("method", "--method", get_args(unseen.Method), default="auto"),
            Number("confidence", "--confidence", "Of the bounds, one-sided.", default=0.95),
            Flag("worst_chosen", "--worst", "The squares were chosen because they looked worst."),
        ),
        _deepest_pit,
    ),
    Topic(
        "growth",
        "Rate of loss, years left, when to look again; and how deep a pit may go.",
        "--built 6 --now 5.2 --years 39 \\\n  --required 3.6 --pit 2.6",
        (
            Number("built_mm", "--built", "Thickness as built, mm.", required=True),
            Number("now_mm", "--now", "Thickness now, mm.", required=True),
            Number("years", "--years", "Since she was built.", required=True),
            Number("required_mm", "--required", "Thickness needed, mm; without it no life is given."),
            Number("previous_mm", "--previous", "Thickness last time, mm."),
            Number("years_since_previous", "--years-since", "Since last time."),
            Number("error_mm", "--error", "Of the gauge, mm.", default=0.1),
            Number("pit_mm", "--pit", "Deepest pit now, mm: adds its band."),
            Number("years_ahead", "--ahead", "Years for that band.", default=2.0),
        ),
        _growth,
    ),
    Topic(
        "plate",
        "Thickness a panel needs by ISO 12215-5:2008, and what a worn one still carries.",
        "--region bottom --metal aluminium --sail --category A \\\n"
        "  --waterline-length-m 10 --displacement-kg 8000 --short-mm 300 --long-mm 900 \\\n"
        "  --proof-mpa 125 --ultimate-mpa 275 --actual-mm 4",
        (
            Word("file", "--file", help="TOML file with the same names as the options, underscores for dashes."),
            *PLATE,
        ),
        _plate,
    ),
    Topic(
        "stiffener",
        "Section modulus a flat bar or angle has left after an even loss.",
        "--web-height 80 --web 8 --plate 5 \\\n  --spacing 400 --metal aluminium --loss 1.5",
        (
            Number("web_height_mm", "--web-height", "mm.", required=True),
            Number("web_mm", "--web", "Web thickness as built, mm.", required=True),
            Number("flange_width_mm", "--flange-width", "mm; none: a flat bar.", default=0.0),
            Number("flange_mm", "--flange", "Flange thickness, mm.", default=0.0),
            Number("plate_mm", "--plate", "Plate it stands on, mm.", required=True),
            Number("spacing_mm", "--spacing", "From stiffener to stiffener, mm.", required=True),
            Word("metal", "--metal", METALS, required=True),
            Number("loss_mm", "--loss", "Even loss of its thickness, mm.", required=True),
            Number("plate_loss_mm", "--plate-loss", "Even loss of the plate, mm.", default=0.0),
            Number("pressure_kpa", "--pressure-kpa", "Of the panel; with span and proof stress: what is required."),
            Number("span_mm", "--span", "Unsupported length of the stiffener, mm."),
            Number("proof_mpa", "--proof-mpa", "Proof stress, as welded."),
        ),
        _stiffener,
    ),
)
