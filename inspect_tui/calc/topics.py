"""`inspect-tui calc`: one calculation with its working, no book needed."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any, get_args

import click
import tomli

from inspect_tui.calc.telling import LARGEST, NEGATIVE, NUMBER, telling
from inspect_tui.engineering import deepest_pit as unseen
from inspect_tui.engineering import growth as growing
from inspect_tui.engineering import metal_loss, pits, plate_strength, stiffeners
from inspect_tui.engineering.deepest_pit_working import deepest_pit_working
from inspect_tui.engineering.errors import CannotCalculate
from inspect_tui.engineering.gev import tail_check
from inspect_tui.engineering.pressure import EDITION, Category, Craft, Panel, Region
from inspect_tui.engineering.working import Working

NUMBER_KEYS = ("waterline_length_m", "displacement_kg", "speed_kn", "chine_beam_m", "deadrise_deg",
               "righting_lever_m",
               "short_mm", "long_mm", "camber_mm", "head_m", "from_aft", "side_height", "proof_mpa", "ultimate_mpa",
               "actual_mm")  # fmt: skip
WORD_KEYS = ("region", "metal", "category", "sail")


@click.group()
def calc() -> None:
    """One calculation with its working: formula in symbols and numbers, source, what it does not cover.

    Numbers take a comma or a dot. --json gives inputs, result, working and sources; every key carries its unit.
    """


@calc.command("loss", context_settings=NEGATIVE)
@click.argument("thickness_mm", nargs=-1, type=NUMBER, required=True)
@click.option("--built", "built_mm", type=NUMBER, required=True, help="Thickness as built, mm.")
@click.option(
    "--built-from",
    default="guess",
    show_default=True,
    type=click.Choice(["drawing", "caliper at a cut edge", "sound reading on the same plate", "guess"]),
)
@click.option("--error", "error_mm", type=NUMBER, default=0.1, show_default=True, help="Of the gauge, mm.")
@click.option("--aluminium", is_flag=True, help="Look for a gauge left on its steel setting.")
@click.option("--paint", "paint_mm", type=NUMBER, default=0.0, help="Paint under a single-echo probe, mm.")
@click.option("--set-velocity", "set_m_s", type=NUMBER, help="Velocity the gauge was set to, m/s.")
@click.option("--true-velocity", "true_m_s", type=NUMBER, help="Velocity of the metal, m/s.")
@telling
def loss(
    thickness_mm: Sequence[float],
    built_mm: float,
    built_from: str,
    error_mm: float,
    aluminium: bool,
    paint_mm: float,
    set_m_s: float | None,
    true_m_s: float | None,
) -> tuple[dict[str, Any], dict[str, Any], Working]:
    """Metal left and lost, from gauged THICKNESS_MM between the pits.

    \b
    Example: inspect-tui calc loss 5.4 5.2 5.3 --built 6 --built-from drawing
    """
    if (set_m_s is None) != (true_m_s is None):
        raise CannotCalculate("Give both velocities, or neither.")
    values = list(thickness_mm)
    if paint_mm < 0:
        raise CannotCalculate("Paint is not thinner than nothing.")
    if paint_mm:
        values = [
            metal_loss.through_paint(value, paint_mm, set_m_s or metal_loss.STEEL_GAUGE_M_S) for value in values
        ]
    if set_m_s is not None and true_m_s is not None:
        values = [metal_loss.at_velocity(value, set_m_s, true_m_s) for value in values]
    told = metal_loss.metal_loss(values, built_mm, baseline_from=built_from, error_mm=error_mm, aluminium=aluminium)
    result = {
        "left_mm": told.left_mm,
        "thinnest_mm": told.thinnest_mm,
        "loss_mm": told.loss_mm,
        "loss_percent": told.loss_percent,
        "error_mm": told.error_mm,
        "loss_measurable": told.measurable,
        "warnings": list(told.warnings),
    }
    inputs = {"thickness_mm": list(thickness_mm), "built_mm": built_mm, "built_from": built_from,
              "paint_mm": paint_mm,
              "set_m_s": set_m_s, "true_m_s": true_m_s}  # fmt: skip
    return inputs, result, metal_loss.loss_working(told)


@calc.command("pits", context_settings=NEGATIVE)
@click.argument("depths_mm", nargs=-1, type=NUMBER, required=True)
@click.option("--area", "area_m2", type=NUMBER, help="Of the patch, m² (300 × 300 mm is 0.09).")
@click.option("--plate", "plate_mm", type=NUMBER, help="Thickness of the plate, mm.")
@click.option(
    "--mean-loss", "mean_loss_mm", type=NUMBER, help="Mean loss between the pits, mm: for the pitting factor."
)
@click.option("--opening", "openings_mm2", type=NUMBER, multiple=True, help="Mouth of a pit, mm²; once for each pit.")
@click.option("--patches", type=int, help="Number of patches looked at, with --pitted: the pitting probability.")
@click.option("--pitted", type=int, help="Number of them that had a pit.")
@telling
def pits_(
    depths_mm: Sequence[float],
    area_m2: float | None,
    plate_mm: float | None,
    mean_loss_mm: float | None,
    openings_mm2: Sequence[float],
    patches: int | None,
    pitted: int | None,
) -> tuple[dict[str, Any], dict[str, Any], Working]:
    """Describe the pits of a patch: number, depth, density, chart classes.

    \b
    Example: inspect-tui calc pits 3.1 2.4 1.9 1.2 0.8 --area 0.09 --plate 6
    """
    if min(depths_mm) <= 0:
        raise CannotCalculate("A pit without depth is none: leave it out.")
    told = pits.describe(depths_mm, area_m2)
    if plate_mm is not None and told.deepest_mm >= plate_mm:
        raise CannotCalculate(f"A pit of {told.deepest_mm:g} mm in a plate of {plate_mm:g} mm is a hole: check both.")
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
    if plate_mm is not None:
        result["left_mm"] = plate_mm - told.deepest_mm
    if mean_loss_mm is not None:
        result["pitting_factor"] = pits.pitting_factor(told.deepest_mm + mean_loss_mm, mean_loss_mm)
    if openings_mm2:
        if area_m2 is None:
            raise CannotCalculate("The share of the surface that is pit needs the patch's --area too.")
        result["pitted_area_percent"] = pits.pitted_area_percent(openings_mm2, area_m2)
        mean_opening = sum(openings_mm2) / len(openings_mm2)
        result["opening_class"] = f"B-{pits.chart_class(mean_opening, pits.OPENING_CHART)}"
    if (patches is None) != (pitted is None):
        raise CannotCalculate("The pitting probability needs both --patches and --pitted.")
    if patches is not None and pitted is not None:
        result["pitting_probability_percent"] = pits.pitting_probability_percent(pitted, patches)
    inputs = {
        "depths_mm": list(depths_mm),
        "area_m2": area_m2,
        "plate_mm": plate_mm,
        "mean_loss_mm": mean_loss_mm,
        "openings_mm2": list(openings_mm2) or None,
        "patches": patches,
        "pitted": pitted,
    }
    return inputs, result, pits.pits_working(told, plate_mm)


@calc.command("deepest-pit", context_settings=NEGATIVE)
@click.argument("depths_mm", nargs=-1, type=NUMBER, required=True)
@click.option("--patch-area", "patch_area_m2", type=NUMBER, required=True, help="Of one patch, m².")
@click.option("--total-area", "total_area_m2", type=NUMBER, required=True, help="Of all they speak for, m².")
@click.option("--plate", "plate_mm", type=NUMBER, help="Thickness of the plate, mm.")
@click.option("--not-found", type=int, default=0, show_default=True, help="Patches without a pit.")
@click.option("--holed", type=int, default=0, show_default=True, help="Patches holed through.")
@click.option("--smallest", "smallest_mm", type=NUMBER, default=0.1, show_default=True, help="Least pit seen, mm.")
@click.option("--method", type=click.Choice(get_args(unseen.Method)), default="auto", show_default=True)
@click.option("--confidence", type=NUMBER, default=0.95, show_default=True, help="Of the bounds, one-sided.")
@click.option("--worst", "worst_chosen", is_flag=True, help="The patches were chosen because they looked worst.")
@telling
def deepest_pit_(**options: Any) -> tuple[dict[str, Any], dict[str, Any], Working]:
    """Deepest pit in what was not looked at, from the deepest pit of each of several equal patches (DEPTHS_MM).

    \b
    Example: inspect-tui calc deepest-pit 1.2 0.8 2.4 1.9 3.1 1.1 0.9 1.6 \\
      --patch-area 0.09 --total-area 4.6 --plate 6
    """
    inputs = {**options, "depths_mm": list(options["depths_mm"])}
    found = unseen.deepest_pit(options.pop("depths_mm"), **options)
    tail = tail_check(found.sample)
    warnings = list(found.warnings)
    if tail and tail.doubtful:
        warnings.append("The depths speak against the Gumbel law (likelihood ratio): mixed causes?")
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
    return inputs, result, deepest_pit_working(found)


@calc.command("growth")
@click.option("--built", "built_mm", type=NUMBER, required=True, help="Thickness as built, mm.")
@click.option("--now", "now_mm", type=NUMBER, required=True, help="Thickness now, mm.")
@click.option("--years", type=NUMBER, required=True, help="Since she was built.")
@click.option("--required", "required_mm", type=NUMBER, help="Thickness needed, mm; without it no life is told.")
@click.option("--previous", "previous_mm", type=NUMBER, help="Thickness last time, mm.")
@click.option("--years-since", "years_since_previous", type=NUMBER, help="Since last time.")
@click.option("--error", "error_mm", type=NUMBER, default=0.1, show_default=True, help="Of the gauge, mm.")
@click.option("--pit", "pit_mm", type=NUMBER, help="Deepest pit now, mm: adds its band.")
@click.option("--ahead", "years_ahead", type=NUMBER, default=2.0, show_default=True, help="Years for that band.")
@telling
def growth_(
    pit_mm: float | None, years_ahead: float, **options: Any
) -> tuple[dict[str, Any], dict[str, Any], Working]:
    """Rate of loss, years left, when to look again; and how deep a pit may go.

    \b
    Example: inspect-tui calc growth --built 6 --now 5.2 --years 39 \\
      --required 3.6 --pit 2.6
    """
    inputs = {**options, "pit_mm": pit_mm, "years_ahead": years_ahead}
    built, now, years = (options.pop(name) for name in ("built_mm", "now_mm", "years"))
    told = growing.growth(built, now, years, **options)
    result: dict[str, Any] = {
        "long_term_mm_per_year": told.long_term_mm_per_year,
        "short_term_mm_per_year": told.short_term_mm_per_year,
        "rate_mm_per_year": told.rate_mm_per_year,
        "life_years": told.life_years,
        "interval_years": told.interval_years,
        "detectable_mm": told.detectable_mm,
    }
    working = growing.growth_working(
        told, (("thickness", f"{built:g} mm as built, {now:g} mm now, {years:g} years"),)
    )
    if pit_mm is not None:
        if not 0 < pit_mm < now:
            raise CannotCalculate(f"A pit of {pit_mm:g} mm in {now:g} mm of plate is a hole, or none: check both.")
        working += growing.pit_band_working(pit_mm, years, years_ahead)
        names = ("pit_cube_root_mm", "pit_square_root_mm", "pit_straight_mm")
        result |= dict(zip(names, growing.pit_band(pit_mm, years, years_ahead), strict=True))
    result["warnings"] = [*told.warnings, *([growing.PITS_NOT_COVERED] if pit_mm is not None else [])]
    return inputs, result, working


@calc.command("plate")
@click.option(
    "--file",
    "file",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="TOML file with the same names as the options, underscores for dashes.",
)
@click.option("--region", type=click.Choice(get_args(Region)))
@click.option("--metal", type=click.Choice(["aluminium", "steel"]))
@click.option("--sail/--motor", "sail", default=None)
@click.option("--category", type=click.Choice(get_args(Category)))
@click.option("--waterline-length-m", type=NUMBER)
@click.option("--displacement-kg", type=NUMBER)
@click.option("--speed-kn", type=NUMBER)
@click.option("--chine-beam-m", type=NUMBER)
@click.option("--deadrise-deg", type=NUMBER)
@click.option("--righting-lever-m", type=NUMBER, help="Greatest below 60° of heel.")
@click.option("--short-mm", type=NUMBER, help="Panel, short side.")
@click.option("--long-mm", type=NUMBER, help="Panel, long side.")
@click.option("--camber-mm", type=NUMBER)
@click.option("--head-m", type=NUMBER, help="Of water, for a bulkhead or tank.")
@click.option("--from-aft", type=NUMBER, help="x/LWL, 0 to 1; if not given, forward.")
@click.option("--side-height", type=NUMBER, help="kZ, 0 at the deck edge to 1 at the waterline.")
@click.option("--proof-mpa", type=NUMBER, help="Proof stress, as welded: 125 for 5083.")
@click.option("--ultimate-mpa", type=NUMBER, help="Tensile strength, as welded: 275 for 5083.")
@click.option("--actual-mm", type=NUMBER, help="Mean thickness left.")
@telling
def plate(file: Path | None, **options: Any) -> tuple[dict[str, Any], dict[str, Any], Working]:
    """Thickness a panel needs by ISO 12215-5:2008, and what a worn one still carries.

    \b
    Example: inspect-tui calc plate --region bottom --metal aluminium --sail --category A \\
      --waterline-length-m 10 --displacement-kg 8000 --short-mm 300 --long-mm 900 \\
      --proof-mpa 125 --ultimate-mpa 275 --actual-mm 4
    """
    given = {**_from_file(file), **{name: value for name, value in options.items() if value is not None}}
    needed = ["region", "metal", "sail", "category", "waterline_length_m", "displacement_kg", "short_mm", "long_mm",
              "proof_mpa", "ultimate_mpa"]  # fmt: skip
    if lacking := [name for name in needed if name not in given]:
        raise CannotCalculate(f"Not given: {', '.join('--' + name.replace('_', '-') for name in lacking)}.")
    craft = Craft(
        given["sail"],
        given["category"],
        given["waterline_length_m"],
        given["displacement_kg"],
        given.get("chine_beam_m"),
        given.get("speed_kn"),
        given.get("deadrise_deg"),
        given.get("righting_lever_m"),
    )
    panel = Panel(
        given["region"],
        given["short_mm"],
        given["long_mm"],
        given.get("from_aft", 1.0),
        given.get("side_height", 1.0),
        given.get("head_m"),
        given.get("camber_mm", 0.0),
    )
    check = plate_strength.check_plate(
        craft, panel, given["metal"], given["ultimate_mpa"], given["proof_mpa"], given.get("actual_mm")
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
    lines = [(name.replace("_", " "), str(value)) for name, value in given.items()]
    return given, result, plate_strength.plate_working(check, panel, lines)


def _from_file(file: Path | None) -> dict[str, Any]:
    """Options from a TOML file; a name or value that is none is told with its place."""
    if file is None:
        return {}
    try:
        given = tomli.loads(file.read_text(encoding="utf-8"))
    except (tomli.TOMLDecodeError, UnicodeDecodeError) as error:
        raise CannotCalculate(f"{file}: not valid TOML: {error}.") from None
    for name, value in given.items():
        if name in NUMBER_KEYS:
            if isinstance(value, bool) or not isinstance(value, int | float):
                raise CannotCalculate(f"{file}: {name}: {value!r} is not a number.")
            if abs(value) > LARGEST:
                raise CannotCalculate(f"{file}: {name}: this is no number of anything on a boat.")
            given[name] = float(value)
        elif name not in WORD_KEYS:
            raise CannotCalculate(f"{file}: {name}: this key is not known; check its spelling.")
    words = {"region": get_args(Region), "metal": ("aluminium", "steel"), "category": get_args(Category),
             "sail": (True, False)}  # fmt: skip
    for name, allowed in words.items():
        if name in given and given[name] not in allowed:
            raise CannotCalculate(f"{file}: {name}: {given[name]!r} is not one of {', '.join(map(str, allowed))}.")
    return given


@calc.command("stiffener")
@click.option("--web-height", "web_height_mm", type=NUMBER, required=True, help="mm.")
@click.option("--web", "web_mm", type=NUMBER, required=True, help="Web thickness as built, mm.")
@click.option("--flange-width", "flange_width_mm", type=NUMBER, default=0.0, help="mm; none: a flat bar.")
@click.option("--flange", "flange_mm", type=NUMBER, default=0.0, help="Flange thickness, mm.")
@click.option("--plate", "plate_mm", type=NUMBER, required=True, help="Plate it stands on, mm.")
@click.option("--spacing", "spacing_mm", type=NUMBER, required=True, help="From stiffener to stiffener, mm.")
@click.option("--metal", type=click.Choice(["aluminium", "steel"]), required=True)
@click.option("--loss", "loss_mm", type=NUMBER, required=True, help="Even loss of its thickness, mm.")
@click.option("--plate-loss", "plate_loss_mm", type=NUMBER, default=0.0, help="Even loss of the plate, mm.")
@click.option("--pressure-kpa", type=NUMBER, help="Of the panel; with span and proof stress: what is asked.")
@click.option("--span", "span_mm", type=NUMBER, help="Unsupported length of the stiffener, mm.")
@click.option("--proof-mpa", type=NUMBER, help="Proof stress, as welded.")
@telling
def stiffener(
    loss_mm: float,
    plate_loss_mm: float,
    pressure_kpa: float | None,
    span_mm: float | None,
    proof_mpa: float | None,
    **options: Any,
) -> tuple[dict[str, Any], dict[str, Any], Working]:
    """Section modulus a flat bar or angle has left after an even loss.

    \b
    Example: inspect-tui calc stiffener --web-height 80 --web 8 --plate 5 \\
      --spacing 400 --metal aluminium --loss 1.5
    """
    bar = stiffeners.Stiffener(**options)
    required = None
    given = (pressure_kpa, span_mm, proof_mpa)
    if any(one is not None for one in given):
        if pressure_kpa is None or span_mm is None or proof_mpa is None:
            raise CannotCalculate("What is asked for needs all three: --pressure-kpa, --span and --proof-mpa.")
        stress = stiffeners.stiffener_stress_mpa(bar.metal, proof_mpa)
        required = stiffeners.required_modulus_cm3(pressure_kpa, bar.spacing_mm, span_mm, stress)
    check = stiffeners.check_stiffener(bar, loss_mm, plate_loss_mm, required)
    result = {
        "built_cm3": check.built_cm3,
        "worn_cm3": check.worn_cm3,
        "left_percent": check.left_percent,
        "required_cm3": check.required_cm3,
        "enough": check.enough,
    }
    inputs = {**options, "loss_mm": loss_mm, "plate_loss_mm": plate_loss_mm, "pressure_kpa": pressure_kpa,
              "span_mm": span_mm, "proof_mpa": proof_mpa}  # fmt: skip
    lines = [("loss", f"{loss_mm:g} mm of the stiffener, {plate_loss_mm:g} mm of the plate")]
    return inputs, result, stiffeners.stiffener_working(bar, check, loss_mm, lines)
