"""Potentials, currents, anodes and sea water against published numbers."""

from __future__ import annotations

import math

import pytest

from inspect_tui.engineering import anodes, electrodes, faraday, protection, sea_water
from inspect_tui.engineering.errors import CannotCalculate
from inspect_tui.engineering.proportion import rest_bad

SOURCES_DIFFER_MV = 20


# --- reference electrodes -------------------------------------------------------------------------


def test_protection_criterion_of_49_cfr_192_appendix_d() -> None:
    # -0.85 V against copper sulphate is printed beside -0.80 V against silver chloride in sea water.
    assert electrodes.potential(-850, "cse").sea_mv == pytest.approx(-800, abs=SOURCES_DIFFER_MV)
    assert electrodes.potential(-850, "cse").sea_mv == pytest.approx(-784, abs=0.5)


def test_conversions_of_a_potential_against_hydrogen() -> None:
    # Parker's tables: -0.440 V SHE is -0.756 CSE, -0.639 Ag/AgCl saturated (0.199), -0.684 SCE (0.244).
    sea = electrodes.potential(-440, "she").sea_mv
    assert electrodes.against(sea, "cse") == pytest.approx(-756, abs=1)
    assert electrodes.against(sea, "agcl-kcl") == pytest.approx(-639, abs=3)
    assert electrodes.against(sea, "sce") == pytest.approx(-684, abs=4)
    # Roberge: -0.700 V CSE (0.318) is -0.382 V SHE.
    assert electrodes.against(electrodes.potential(-700, "cse").sea_mv, "she") == pytest.approx(-382, abs=3)


def test_the_over_protection_limit_of_ufc() -> None:
    # UFC 3-570-02N: -1200 mV CSE free of voltage drop.
    assert electrodes.potential(-1200, "cse").sea_mv == pytest.approx(-1134, abs=SOURCES_DIFFER_MV)


def test_zinc_reads_the_other_way_round() -> None:
    # -0.80, -0.90, -1.15 V are +0.25, +0.15, -0.10 V against zinc (k = -1050 mV; the zinc itself from memory).
    assert [electrodes.against(one, "zinc") for one in (-800, -900, -1150)] == [250, 150, -100]


@pytest.mark.parametrize(
    ("water", "correction"),
    [({"salinity_g_kg": 20}, 14), ({"salinity_g_kg": 10}, 30), ({"salinity_g_kg": 5}, 46), ({"salinity_g_kg": 2}, 68),
     ({"chloride_mg_l": 250}, 105), ({"chloride_mg_l": 100}, 128), ({"chloride_mg_l": 50}, 145)],
)  # fmt: skip
def test_bare_silver_chloride_in_fresher_water(water: dict[str, float], correction: float) -> None:
    # Nernst with activities of sodium chloride by Pitzer; one trade page states the opposite sign.
    told = electrodes.chloride_correction_mv(electrodes.chloride_mol_kg(**water))
    assert told == pytest.approx(correction, abs=5)
    assert electrodes.potential(-900, "agcl", **water).sea_mv == pytest.approx(-900 + correction, abs=5)
    # A gel electrode carries its own chloride.
    assert electrodes.potential(-900, "sce", **water).corrected_mv == 0


@pytest.mark.parametrize(("read", "named"), [(-900, ""), (-900, "  "), (-900, "thermometer"), (-0.9e5, "cse")])
def test_a_number_without_its_electrode_is_refused(read: float, named: str) -> None:
    with pytest.raises(CannotCalculate):
        electrodes.potential(read, named)


# --- protection -----------------------------------------------------------------------------------

State = protection.State


@pytest.mark.parametrize(
    ("water", "told", "state"),
    [
        # Mercury service manual 90-863160, aluminium drives: salt 850 to 1100 mV, fresh 750 to 1050 mV.
        ("salt", -820, State.CORRODING), ("salt", -980, State.GOOD), ("salt", -1120, State.WATCH),
        ("fresh", -720, State.CORRODING), ("fresh", -1000, State.GOOD), ("fresh", -1060, State.WATCH),
        # Ours, laid together: marginal from -850, good from -900 to -1100, over past -1150.
        ("salt", -850, State.MARGINAL), ("salt", -900, State.GOOD), ("salt", -1100, State.GOOD),
        ("salt", -1150, State.WATCH), ("salt", -1250, State.OVER), ("brackish", -1250, State.OVER),
        ("fresh", -780, State.MARGINAL), ("fresh", -1101, State.OVER),
    ],
)  # fmt: skip
def test_bands_of_aluminium(water: protection.WaterKind, told: float, state: State) -> None:
    assert protection.protection(told, "aluminium", water).state is state


def test_an_over_protected_hull_is_told_what_to_do() -> None:
    told = protection.protection(-1250, "aluminium", "salt")
    assert "Take anodes off" in told.to_do
    assert "safe" not in told.to_do.lower()


def test_a_shift_of_140_passes_one_rule_and_fails_the_other() -> None:
    # 100 mV: UFC 3-570-02N; 200 mV: Sherman, Advanced Marine Electrics, pp 127-132.
    told = protection.protection(-900, "aluminium", "salt", free_mv=-760)
    assert (told.shift_mv, told.passes_100, told.passes_200) == (140, True, False)
    assert any("200 mV of small-craft practice" in one for one in told.warnings)


# --- Faraday --------------------------------------------------------------------------------------


def test_one_ampere_for_a_year() -> None:
    for metal, kg in (("aluminium", 2.940), ("zinc", 10.685), ("steel", 9.126), ("magnesium", 3.972)):
        assert faraday.mass_kg(metal, 1, 8760) == pytest.approx(kg, rel=2e-3)
    # DoD TP-17 (2017): zinc 23.5 lb/A·year and 372 Ah/lb.
    assert faraday.mass_kg("zinc", 1, 8760) / 0.45359237 == pytest.approx(23.5, rel=5e-3)
    assert faraday.capacity_ah_kg("zinc") * 0.45359237 == pytest.approx(372, rel=5e-3)


def test_one_ampere_for_a_day_in_five_millimetres_of_aluminium() -> None:
    assert faraday.mass_kg("aluminium", 1, 24) * 1000 == pytest.approx(8.05, rel=5e-3)
    assert faraday.mass_kg("aluminium", 1, 24) / 2700 * 1e6 == pytest.approx(2.98, rel=5e-3)
    assert faraday.hole_mm("aluminium", 1, 24, 5) == pytest.approx(27.6, rel=5e-3)
    for metal, rate in (("aluminium", 1.089), ("zinc", 1.496), ("steel", 1.160), ("copper", 1.159), ("lead", 2.986)):
        assert faraday.penetration_mm_per_year(metal, 1) == pytest.approx(rate, rel=2e-3)


# --- anodes ---------------------------------------------------------------------------------------


def test_a_published_calculation_by_b401() -> None:
    # Worked example after DNV-RP-B401: 3000 m² · 0.05 · 0.080 + 800 m² buried · 0.020, 25 years, 2000 Ah/kg · 0.90,
    # anodes of 250 kg.
    mean = 3000 * 0.05 * 0.080 + 800 * 0.020
    assert mean == pytest.approx(28.0)
    kg = anodes.mass_needed_kg(mean, 25, 2000, 0.90)
    assert kg == pytest.approx(3406.67, abs=0.01)
    assert math.ceil(kg / 250) == 14


def test_a_published_ship_example_stops_at_the_mass_and_is_short_of_current() -> None:
    # 4500 m², 95 % coated at 13.5 and the rest at 200 mA/m², breaking down 2 % for 2 years and 3 % for 3; 2000 Ah/kg
    # at 0.825, anodes of 29 kg. The source stops at 61 anodes by mass: 54.8 A of the 66.3 A it asks for.
    mean = 66.3
    kg = anodes.mass_needed_kg(mean, 5, 2000, 0.825)
    assert kg == pytest.approx(1760, rel=3e-3)
    assert math.ceil(kg / 29) == 61
    assert mean > 54.8, "current decides, which the example leaves out"


def test_small_craft_and_navy_arithmetic() -> None:
    # UFC 3-570-02N: 5600 ft² · 2 + 3500 ft² · 1 mA is 14.7 A; 10 years at 7.6 lb/A·year 1117.2 lb.
    assert pytest.approx(1117.2) == (5600 * 2 + 3500) / 1000 * 10 * 7.6
    # The next one prints 13.08 and takes 13 anodes; 62.16 A / 4.75 A is 13.09: 14 are needed.
    assert math.ceil((106_560 * 0.5 + 44_400 * 0.2) / 1000 / 4.75) == 14
    # Nippon Zaidan 1996 prints 13, rounded to 14; its own arithmetic gives 11.26: 12.
    assert math.ceil((190 * 22 + 2 * 500) / 460) == 12


def test_resistances_of_b401_table_10_7() -> None:
    assert anodes.stand_off_ohm(1, 0.05, 0.25) == pytest.approx(0.1346, abs=1e-3)
    assert anodes.stand_off_ohm(0.15, 0.05, 0.25) == pytest.approx(0.4363, abs=1e-3)
    assert anodes.resistance_ohm("short flush", 0.2, 0.1, 0, 0.25) == pytest.approx(0.5568, abs=1e-3)
    assert anodes.current_a(250, 0.119) == pytest.approx(2.10, abs=0.01)
    assert anodes.current_a(250, 0.175) == pytest.approx(1.43, abs=0.01)


def plan(**more: object) -> anodes.Plan:
    settings: dict[str, object] = {
        "hull": "aluminium", "area_m2": 38.0, "years": 2.0, "coating": "II", "anode": "zinc", "one_kg": 3.0,
        "length_m": 0.30, "width_m": 0.10, "thickness_m": 0.03,
    }  # fmt: skip
    return anodes.plan(**(settings | more))  # type: ignore[arg-type]


def test_enough_mass_but_too_little_current_is_caught() -> None:
    # One heavy block in nearly fresh water: metal for years, but the water lets little current through.
    told = plan(one_kg=50.0, resistivity=4.2, coating="bare")
    assert told.by_mass < max(told.by_current_first, told.by_current_last) == told.number
    assert told.governed_by == "current"
    assert "Current decides" in told.warnings[0]
    assert plan(one_kg=0.2).governed_by == "mass"


@pytest.mark.parametrize(
    ("more", "told"),
    [({"anode": "magnesium"}, "No magnesium"), ({"anode": "iron"}, "no anode metal"), ({"coating": "V"}, "category"),
     ({"years": 0}, "above nothing"), ({"length_m": -1}, "above nothing")],
)  # fmt: skip
def test_plans_that_cannot_be_are_refused(more: dict[str, object], told: str) -> None:
    with pytest.raises(CannotCalculate, match=told):
        plan(**more)


# --- sea water ------------------------------------------------------------------------------------


def test_check_values_of_unesco_technical_paper_44() -> None:
    # Fofonoff and Millard, UNESCO 44: R = 1, 15 °C, 0; 1.2, 20 °C, 2000 dbar; 0.65, 5 °C, 1500 dbar.
    for row, told in (((1, 15, 0), 35.0), ((1.2, 20, 2000), 37.245628), ((0.65, 5, 1500), 27.995347)):
        assert sea_water.practical_salinity(*row) == pytest.approx(told, abs=1e-5)


@pytest.mark.parametrize("salinity", [2, 5, 10, 20, 30, 35, 40])
@pytest.mark.parametrize("temperature", [0, 5, 15, 25, 35])
def test_resistivity_against_the_reference_library(salinity: float, temperature: float) -> None:
    # gsw, the TEOS-10 library: conductivity in mS/cm from practical salinity.
    gsw = pytest.importorskip("gsw")
    told = 10 / float(gsw.C_from_SP(salinity, temperature, 0))
    assert sea_water.resistivity_ohm_m(salinity, temperature) == pytest.approx(told, rel=5e-3)


def test_a_published_table_is_headed_with_the_wrong_temperature() -> None:
    # "Chlorinity 20 ppt, 30 °C": 1 / 0.054551 Ω·cm. Salinity 36.1 at 25 °C gives it, not at 30 °C.
    printed = 1 / 0.054551 / 100
    assert sea_water.resistivity_ohm_m(1.80655 * 20, 25) == pytest.approx(printed, rel=0.01)
    assert sea_water.resistivity_ohm_m(1.80655 * 20, 30) != pytest.approx(printed, rel=0.05)


def test_resistivity_must_not_be_interpolated_straight_in_salinity() -> None:
    # A published worked file takes 2.58 Ω·m at salinity 6 that way; by PSS-78 at 25 °C it is 0.94.
    assert sea_water.resistivity_ohm_m(6, 25) == pytest.approx(0.94, abs=0.01)


@pytest.mark.parametrize(("salinity", "temperature"), [(1.9, 15), (43, 15), (35, -1), (35, 36), (math.nan, 15)])
def test_outside_its_range_the_scale_is_not_used(salinity: float, temperature: float) -> None:
    with pytest.raises(CannotCalculate):
        sea_water.resistivity_ohm_m(salinity, temperature)


# --- how many of the rest -------------------------------------------------------------------------


def test_patches_opened_speak_for_the_rest() -> None:
    # Regression pins, worked out here; the mean of the beta-binomial is (k + ½)/(n + 1).
    told = rest_bad(3, 0, 5)
    assert told.chance == pytest.approx(0.5 / 4)
    assert told.low == 0
    assert 0.3 < told.any_bad < 0.5
    sure = rest_bad(6, 6, 4)
    assert sure.chance == pytest.approx(6.5 / 7)
    assert sure.any_bad > 0.99
    with pytest.raises(CannotCalculate):
        rest_bad(3, 4, 1)
