"""Typed numbers: what is understood, what is refused, and that nothing is guessed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_tui.domain.checklists import ReadingKind
from inspect_tui.domain.errors import NotUnderstood
from inspect_tui.domain.numbers import typed_number
from inspect_tui.domain.readings import KINDS, echo, parse_values


@pytest.mark.parametrize(
    ("typed", "kind", "values"),
    [
        ("4,7", "thickness", (4.7,)),
        ("1.2  0,8\t2.4", "pits", (1.2, 0.8, 2.4)),
        ('3/16"', "thickness", (4.7625,)),
        ('1 1/4"', "length", (31.75,)),
        ("0.2 in", "pits", (5.08,)),
        ("0.197in", "thickness", (5.0038,)),
        ("5 mm 6 mm", "thickness", (5.0, 6.0)),
        ("-0,92V", "potential", (-920.0,)),
        ("−880", "potential", (-880.0,)),
        ("12;13", "count", (12.0, 13.0)),
        (".5", "pits", (0.5,)),
        ("2 kohm", "resistance", (2000.0,)),
        ("90 min", "duration", (1.5,)),
        ("0.3 l 250 ml", "volume", (0.3, 0.25)),
    ],
)
def test_numbers_are_understood_as_people_type_them(typed: str, kind: ReadingKind, values: tuple[float, ...]) -> None:
    assert parse_values(typed, kind) == pytest.approx(values)


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
    ],
)
def test_what_cannot_be_read_is_refused_in_one_sentence(typed: str, kind: ReadingKind, said: str) -> None:
    with pytest.raises(NotUnderstood, match=said) as refused:
        parse_values(typed, kind)
    assert len(str(refused.value)) < 200


@given(st.text(max_size=40), st.sampled_from(sorted(KINDS)))
def test_no_text_crashes_the_parser(typed: str, kind: ReadingKind) -> None:
    try:
        values = parse_values(typed, kind)
    except NotUnderstood:
        return
    assert all(KINDS[kind].low <= value <= KINDS[kind].high for value in values)
    assert KINDS[kind].unit in echo(values, kind)


def test_inches_are_echoed_with_millimetres() -> None:
    assert echo((25.4,), "length") == "25.4 mm = 1.000 in"


@pytest.mark.parametrize(("typed", "number"), [("12,4", 12.4), ("12.4 m", 12.4), (" ", None), ("-60", -60.0)])
def test_form_fields_take_comma_dot_and_unit(typed: str, number: float | None) -> None:
    assert typed_number(typed, "length", "m", -100, 120) == number


@pytest.mark.parametrize("typed", ["12,4,5", "12 4", "abc", "١٢", "1e3", "200"])
def test_form_fields_refuse_the_rest(typed: str) -> None:
    with pytest.raises(NotUnderstood):
        typed_number(typed, "length", "m", 2, 120)
