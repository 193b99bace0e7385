"""Typed numbers: what is understood, what is refused, and that nothing is guessed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_tui.domain.knowledge.areas import ReadingKind
from inspect_tui.domain.measuring.readings import KINDS, parse_values
from inspect_tui.domain.quantities import QUANTITIES, Quantity
from inspect_tui.errors import NotUnderstood

LENGTH_MM = Quantity("length", "mm", -5000, 60_000)
LENGTH_M = Quantity("length", "m", -100, 120)

# What people type for a length, and what it is in mm.
LENGTHS = {
    "4": 4.0,
    "4,7": 4.7,
    "4.7": 4.7,
    ".5": 0.5,
    "4.7 mm": 4.7,
    "0.5 cm": 5.0,
    "0,3 m": 300.0,
    '3/16"': 4.7625,
    "3 1/2 in": 88.9,
    "3-1/2 in": 88.9,
    "3.5 inches": 88.9,
    '1 1/16"': 26.9875,
    "38 feet": 11582.4,
    "2'3\"": 685.8,
    "2′3″": 685.8,
    "2 ft 3 in": 685.8,
    "2 ft 3 1/2 in": 698.5,
    "1 foot": 304.8,
    "5 thou": 0.127,
    "250 µm": 0.25,
    "-60": -60.0,
    "−60": -60.0,
}


@pytest.mark.parametrize("typed", LENGTHS)
def test_a_length_is_understood_as_people_type_it(typed: str) -> None:
    assert LENGTH_MM.read(typed) == pytest.approx(LENGTHS[typed])
    if any(sign.isalpha() or sign in "'\"′″" for sign in typed):
        assert LENGTH_M.read(typed) == pytest.approx(LENGTHS[typed] / 1000)


@pytest.mark.parametrize(
    ("typed", "sides"),
    [
        ("300 x 250", (300, 250)),
        ("300 × 250 mm", (300, 250)),
        ("300x300", (300, 300)),
        ("300 300", (300, 300)),
        ("4x4 in", (101.6, 101.6)),
        ("4 in x 5 in", (101.6, 127)),
        ("1'x2'", (304.8, 609.6)),
        ("30 x 40 cm", (300, 400)),
        ("", None),
    ],
)
def test_two_sides_share_the_unit_behind_them(typed: str, sides: tuple[float, float] | None) -> None:
    assert QUANTITIES["square_mm"].pair(typed) == (pytest.approx(sides) if sides else None)


@pytest.mark.parametrize("typed", ["300", "3 x 4 x 5", "300 by 300", "0 x 300"])
def test_what_is_not_two_sides_is_refused(typed: str) -> None:
    with pytest.raises(NotUnderstood):
        QUANTITIES["square_mm"].pair(typed)


@pytest.mark.parametrize(
    ("typed", "kind", "values"),
    [
        ("1.2  0,8\t2.4", "pits", (1.2, 0.8, 2.4)),
        ("0.197in", "thickness", (5.0038,)),
        ("5 mm 6 mm", "thickness", (5.0, 6.0)),
        ('4,7 3/16" 2', "thickness", (4.7, 4.7625, 2.0)),
        ("-0,92V", "potential", (-920.0,)),
        ("-0.92 V -880", "potential", (-920.0, -880.0)),
        ("−880", "potential", (-880.0,)),
        ("12;13", "count", (12.0, 13.0)),
        ("2 kohm", "resistance", (2000.0,)),
        ("24 kilo-ohm 3 Mohm 4 MΩ 5 mohm 1 Ω", "resistance", (24000.0, 3e6, 4e6, 0.005, 1.0)),
        ("90 min", "duration", (1.5,)),
        ("0.3 l 250 ml", "volume", (0.3, 0.25)),
        ("10 lb 2 kg", "mass", (4.5359237, 2.0)),
        ("10 thou", "coating", (254.0,)),
    ],
)
def test_numbers_are_understood_as_people_type_them(typed: str, kind: ReadingKind, values: tuple[float, ...]) -> None:
    assert parse_values(typed, kind) == pytest.approx(values)


def test_a_pound_is_no_half_kilogram() -> None:
    # 1 lb = 0.45359237 kg, exact (international yard and pound agreement of 1959).
    assert QUANTITIES["displacement_kg"].read("26000 lb") == pytest.approx(11793.40162)


@pytest.mark.parametrize(
    ("typed", "kind", "said"),
    [
        ("", "pits", "at least one number"),
        ("4,7,3", "pits", "space between"),
        ("3/16", "thickness", "inch mark"),
        ("1/0", "count", "divides by zero"),
        ("47", "pits", "outside"),
        ("3 furlong", "pits", "not a unit"),
        ("1.5", "count", "whole number"),
        ("nan", "pits", "not a number"),
        ("inf", "length", "not a number"),
        ("1e9", "length", "not"),
        ("٤", "pits", "not a number"),
        ("1_0", "pits", "not"),
        ("9" * 500, "length", "outside"),
        ("4.7\x00", "pits", "not a number"),
        ("\u202e4.7", "pits", "not a number"),
        ("3 MV", "potential", "not a unit"),
        ("1 MOHM", "resistance", "not a unit"),
        ("OL", "resistance", "off the scale"),
    ],
)
def test_what_cannot_be_read_is_refused_in_one_sentence(typed: str, kind: ReadingKind, said: str) -> None:
    with pytest.raises(NotUnderstood, match=said) as refused:
        parse_values(typed, kind)
    assert len(str(refused.value)) < 200


@pytest.mark.parametrize("typed", ["12,4,5", "12 4", "abc", "١٢", "1e3", "200", "4x4"])
def test_one_number_is_one_number(typed: str) -> None:
    with pytest.raises(NotUnderstood, match=r"ype the length in metres, for example|check the number"):
        LENGTH_M.read(typed)


def test_the_ends_of_a_range_are_in_it() -> None:
    about = Quantity("share", "%", 0, 100)
    assert (about.read("0"), about.read("100 %")) == (0, 100)
    for typed in ("-0.001", "100.001"):
        with pytest.raises(NotUnderstood, match="0 to 100 %"):
            about.read(typed)


@given(st.text(max_size=40), st.sampled_from(sorted(KINDS)))
def test_no_text_crashes_the_parser(typed: str, kind: ReadingKind) -> None:
    about = KINDS[kind].quantity
    try:
        values = parse_values(typed, kind)
    except NotUnderstood:
        return
    assert all(about.low <= value <= about.high for value in values)
    assert about.unit in about.echo(values)


@given(st.floats(-5000, 60_000).map(lambda value: round(value, 3)))
def test_what_is_shown_is_read_again_as_the_same(value: float) -> None:
    assert LENGTH_MM.read(f"{value:.3f}") == pytest.approx(value)


def test_inches_are_echoed_with_millimetres() -> None:
    assert LENGTH_MM.echo((25.4,)) == "25.4 mm = 1.000 in"


@pytest.mark.parametrize(
    ("typed", "kind", "values"),
    [
        ("-0.92 -0.95 V", "potential", (-920, -950)),
        ("20 30 kohm", "resistance", (20_000, 30_000)),
        ("0.1 0.2 in", "pits", (2.54, 5.08)),
        ("0.1 0.2in", "pits", (0.1, 5.08)),
        ('1.2 3/16"', "pits", (1.2, 4.7625)),
        ("5 mm 6", "thickness", (5, 6)),
        ("1 2 3 mm", "pits", (1, 2, 3)),
        ("5 mm 0.2 in", "thickness", (5, 5.08)),
    ],
)
def test_a_unit_apart_behind_the_last_number_is_of_all(
    typed: str, kind: ReadingKind, values: tuple[float, ...]
) -> None:
    assert parse_values(typed, kind) == pytest.approx(values)


@pytest.mark.parametrize("typed", ["20 - 30", "1'2,3,4", "3 - 4 mm", "2 + 2"])
def test_a_range_or_a_sum_is_not_two_numbers(typed: str) -> None:
    with pytest.raises(NotUnderstood):
        LENGTH_MM.read_all(typed)


@pytest.mark.parametrize("typed", ['12"x12', "3 in x 40"])
def test_a_side_without_the_unit_of_the_other_is_asked_for(typed: str) -> None:
    with pytest.raises(NotUnderstood, match="write it after both"):
        QUANTITIES["square_mm"].pair(typed)


@pytest.mark.parametrize(
    ("unit", "typed", "value"),
    [
        ("µm", "1 mm", 1000),
        ("µm", "5 thou", 127),
        ("mm", "1000 µm", 1),
        ("kn", "10 km/h", 10 / 1.852),
        ("kn", "1 m/s", 3.6 / 1.852),
        ("kn", "7 kts", 7),
        ("kn", "8 mph", 6.951805),
        ("h", "90 min", 1.5),
        ("h", "2 days", 48),
        ("kPa", "0.2 bar", 20),
        ("V", "900 mV", 0.9),
        ("A", "20 mA", 0.02),
        ("mA", "0.5 A", 500),
        ("mA", "3 µA", 0.003),
        ("L", "250 ml", 0.25),
        ("cm²", "1 in2", 6.4516),
        ("m²", "10 ft2", 0.9290304),
        ("mm²", "1 cm2", 100),
        ("m²", "1 mm2", 1e-6),
        ("kg", "500 g", 0.5),
        ("kg", "2 t", 2000),
        ("kg", "2 lb", 0.90718474),
        ("ohm", "20 mohm", 0.02),
        ("ohm", "2 Mohm", 2e6),
        ("ohm", "3k", 3000),
        ("°", "3 deg", 3),
        ("years", "2 y", 2),
        ("MPa", "125 n/mm2", 125),
        ("µg/L", "3 ppb", 3),
        ("mg/L", "4 ppm", 4),
        ("g/kg", "35 psu", 35),
        ("ohm m", "0.2 ohmm", 0.2),
        ("°C", "15 c", 15),
    ],
)
def test_every_unit_is_what_it_is(unit: str, typed: str, value: float) -> None:
    assert Quantity("it", unit).read(typed) == pytest.approx(value)
