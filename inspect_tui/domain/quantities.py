"""Every number that can be typed: how it is read, its unit of record, the range it can have, how it is echoed.

Comma and dot are both decimal marks. A unit may follow a number; without one the unit of record is meant. Lengths
are taken in mm, cm, m, inches, feet and thou, everywhere.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from inspect_tui.errors import NotUnderstood

MM_PER_INCH = 25.4
MM_PER_FOOT = 304.8
KG_PER_POUND = 0.45359237
LONGEST_SHOWN = 24
# Nothing on a boat is larger, in any unit of record.
LARGEST = 1e9

_LENGTHS_MM = {
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), 1.0),
    **dict.fromkeys(("µm", "μm", "um", "micron", "microns"), 0.001),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), 10.0),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), 1000.0),
    **dict.fromkeys(('"', "in", "inch", "inches"), MM_PER_INCH),
    **dict.fromkeys(("'", "ft", "foot", "feet"), MM_PER_FOOT),
    **dict.fromkeys(("thou", "mil", "mils"), MM_PER_INCH / 1000),
}
_AREAS_M2 = {
    **dict.fromkeys(("m2", "m²", "sqm"), 1.0),
    **dict.fromkeys(("cm2", "cm²"), 1e-4),
    **dict.fromkeys(("mm2", "mm²"), 1e-6),
    **dict.fromkeys(("ft2", "ft²", "sqft"), 0.09290304),
    **dict.fromkeys(("in2", "in²"), 0.00064516),
}


def _scaled(units: Mapping[str, float], of_record: float) -> dict[str, float]:
    return {word: factor / of_record for word, factor in units.items()}


# By unit of record: the words that may follow a number, and what one of them is in it.
_UNITS: Mapping[str, Mapping[str, float]] = MappingProxyType(
    {
        "mm": _LENGTHS_MM,
        "m": _scaled(_LENGTHS_MM, 1000),
        "µm": _scaled(_LENGTHS_MM, 0.001),
        "m²": _AREAS_M2,
        "cm²": _scaled(_AREAS_M2, 1e-4),
        "mm²": _scaled(_AREAS_M2, 1e-6),
        "kg": {
            **dict.fromkeys(("kg", "kilo", "kilos"), 1.0),
            "g": 0.001,
            **dict.fromkeys(("t", "tonne", "tonnes"), 1000.0),
            **dict.fromkeys(("lb", "lbs", "pound", "pounds"), KG_PER_POUND),
        },
        "mV": {"mv": 1.0, **dict.fromkeys(("v", "volt", "volts"), 1000.0)},
        "V": {"mv": 0.001, **dict.fromkeys(("v", "volt", "volts"), 1.0)},
        # Milliohm and megohm differ in their first letter's case alone.
        "ohm": {
            **dict.fromkeys(("mohm", "mΩ"), 1e-3),
            **dict.fromkeys(("ohm", "ohms", "Ω"), 1.0),
            **dict.fromkeys(("kohm", "kilohm", "kilo-ohm", "kΩ", "k"), 1e3),
            **dict.fromkeys(("Mohm", "megohm", "MΩ"), 1e6),
        },
        "mA": {"µa": 0.001, "ma": 1.0, "a": 1000.0},
        "A": {"ma": 0.001, "a": 1.0},
        "L": {"ml": 0.001, **dict.fromkeys(("l", "litre", "litres", "liter", "liters"), 1.0)},
        "h": {
            **dict.fromkeys(("h", "hour", "hours"), 1.0),
            "min": 1 / 60,
            **dict.fromkeys(("d", "day", "days"), 24.0),
        },
        "years": dict.fromkeys(("year", "years", "y", "a"), 1.0),
        "kn": {
            **dict.fromkeys(("kn", "kt", "kts", "knot", "knots"), 1.0),
            "km/h": 1 / 1.852,
            "m/s": 3.6 / 1.852,
            "mph": 1.609344 / 1.852,
        },
        "°": dict.fromkeys(("°", "deg", "degree", "degrees"), 1.0),
        "°C": dict.fromkeys(("°c", "c"), 1.0),
        "kPa": {"kpa": 1.0, "bar": 100.0},
        "MPa": dict.fromkeys(("mpa", "n/mm2", "n/mm²"), 1.0),
        "µg/L": dict.fromkeys(("µg/l", "ug/l", "ppb"), 1.0),
        "mg/L": dict.fromkeys(("mg/l", "ppm"), 1.0),
        "g/kg": dict.fromkeys(("g/kg", "ppt", "psu"), 1.0),
        "ohm m": dict.fromkeys(("ohmm", "ohm·m", "Ωm", "Ω·m"), 1.0),
        "% LEL": dict.fromkeys(("%", "lel", "%lel"), 1.0),
        "% O₂": dict.fromkeys(("%", "%o2"), 1.0),
        "": {},
    }
)
_SPELLED = {"m": "metres", "kn": "knots", "h": "hours", "°": "degrees", "L": "litres"}

_NUMBER = re.compile(
    r"""(?P<sign>[-+−])?\s*
    (?:(?P<whole>\d+)[ -](?P<top1>\d+)/(?P<bottom1>\d+)   # 1 3/16
      |(?P<top2>\d+)/(?P<bottom2>\d+)                     # 3/16
      |(?P<decimal>\d+(?:[.,]\d+)?|[.,]\d+))              # 4.7  4,7  .5
    (?:\s*(?P<unit>["']|[A-Za-zµμΩ%°][A-Za-z0-9²/%·Ω-]*\.?))?""",
    re.VERBOSE | re.ASCII,
)
_MARKS = str.maketrans({"′": "'", "’": "'", "″": '"', "”": '"'})
_BETWEEN = "; \t\n"


@dataclass(frozen=True)
class _Typed:
    """One number as it stands in a text: in its own unit, which may be missing. `apart`: a blank stands before it."""

    number: float
    unit: str | None
    fraction: bool
    shown: str
    apart: bool = False


@dataclass(frozen=True)
class Quantity:
    """What one number is: its name for people, its unit of record, and the range in which it can be.

    `example` is what would do, where something else was typed. `whole`: pieces.
    """

    name: str
    unit: str
    low: float = -LARGEST
    high: float = LARGEST
    example: str = ""
    whole: bool = False

    def read(self, text: str) -> float | None:
        """The number typed, in the unit of record; None if nothing was.

        Raises
        ------
        NotUnderstood : with one sentence that says what would do.

        Examples
        --------
        >>> HULL_LENGTH, GIRTH = QUANTITIES["hull_length_m"], QUANTITIES["girth_mm"]
        >>> HULL_LENGTH.read("12,4"), HULL_LENGTH.read("38 feet"), HULL_LENGTH.read("")
        (12.4, 11.5824, None)
        >>> GIRTH.read("2 ft 3 in"), GIRTH.read("2'3\\""), GIRTH.read("3 1/2 in"), GIRTH.read("1.2 m")
        (685.8, 685.8, 88.9, 1200.0)
        """
        if not text.strip():
            return None
        values = self._all(text)
        if len(values) != 1:
            raise NotUnderstood(f'"{_cut(text)}" is more than one number. {self.wanted}')
        return values[0]

    def read_all(self, text: str) -> tuple[float, ...]:
        """All numbers of a line, blanks or semicolons between them; a unit apart behind the last is of all.

        Raises
        ------
        NotUnderstood : nothing was typed, or a part of it cannot be read; that part is named.

        Examples
        --------
        >>> Quantity("pit depths", "mm", 0, 30).read_all('4,7 3/16" 2')
        (4.7, 4.7625, 2.0)
        """
        if not text.strip():
            raise NotUnderstood(f"Type at least one number, in {self.unit}.")
        return self._all(text)

    def pair(self, text: str) -> tuple[float, float] | None:
        """Two sides, as `300 x 250` or `4x4 in`; None if nothing was typed. A unit behind the last is of both.

        >>> SQUARE_SIDE = QUANTITIES["square_mm"]
        >>> SQUARE_SIDE.pair("300 x 250"), SQUARE_SIDE.pair("4x4 in"), SQUARE_SIDE.pair("")
        ((300.0, 250.0), (101.6, 101.6), None)
        """
        if not text.strip():
            return None
        sides = [side for part in re.split(r"\s*[x×*]\s*", text.strip()) for side in self._typed(part)]
        if len(sides) != 2:
            raise NotUnderstood(f'"{_cut(text)}" is not two sides. {self.wanted}')
        first, last = sides
        if first.unit is not None and last.unit is None:
            raise NotUnderstood(f'"{_cut(text)}" gives no unit for the second side: write it after both.')
        if first.unit is None:
            first = _Typed(first.number, last.unit, first.fraction, first.shown)
        return self._in_record(first), self._in_record(last)

    def echo(self, values: tuple[float, ...]) -> str:
        """The values as understood, with their unit; lengths also in inches.

        >>> Quantity("pit depths", "mm").echo((4.0, 4.25))
        '4 · 4.25 mm = 0.157 · 0.167 in'
        """
        said = " · ".join(plain_number(value) for value in values)
        if self.unit != "mm":
            return f"{said} {self.unit}".strip()
        return f"{said} mm = {' · '.join(f'{value / MM_PER_INCH:.3f}' for value in values)} in"

    @property
    def wanted(self) -> str:
        """What would do, as a sentence."""
        unit = f" in {_SPELLED.get(self.unit, self.unit)}" if self.unit else ""
        example = self.example or plain_number(float(f"{min(max(self.low, 1.0), self.high):.2g}"))
        return f"Type the {self.name}{unit}, for example {example}."

    def checked(self, number: float, shown: str) -> float:
        """The number, if it can be one of these.

        Raises
        ------
        NotUnderstood : out of range, or not whole.
        """
        number = round(number, 9)
        if not math.isfinite(number) or not self.low <= number <= self.high:
            if max(abs(self.low), abs(self.high)) >= LARGEST:
                raise NotUnderstood(f"{shown} is outside what anything on a boat can be. {self.wanted}")
            raise NotUnderstood(
                f"{shown} is outside what {self.name} can be "
                f"({plain_number(self.low)} to {plain_number(self.high)}{f' {self.unit}' if self.unit else ''}): "
                "check the number and its unit."
            )
        if self.whole and number != int(number):
            raise NotUnderstood(f"{shown} is not a whole number. {self.wanted}")
        return number

    def _all(self, text: str) -> tuple[float, ...]:
        numbers = list(self._typed(text))
        # A unit that stands apart behind the last of several is the unit of all.
        if numbers and numbers[-1].apart and all(typed.unit is None for typed in numbers[:-1]):
            numbers = [replace(typed, unit=numbers[-1].unit) for typed in numbers]
        return tuple(self._in_record(typed) for typed in numbers)

    def _typed(self, text: str) -> Iterator[_Typed]:
        """The numbers of a text, each with its own unit. One must not touch what follows it: `1,2,3` is neither
        three numbers nor one."""
        text = text.strip().translate(_MARKS).replace("''", '"')
        at = 0
        while at < len(text):
            if text[at] in _BETWEEN:
                at += 1
                continue
            found = _NUMBER.match(text, at)
            if found and at and found["sign"] and text[at + 1].isspace():
                # A range is not two numbers.
                found = None
            end = found.end() if found else at
            if not found or (end < len(text) and text[end] not in _BETWEEN and text[end - 1] != "'"):
                part = _cut(text[at:].split()[0])
                apart = "; put a space between numbers" if found else ""
                raise NotUnderstood(f'"{part}" is not a number{apart}. {self.wanted}')
            typed = _read(found)
            if typed.unit is not None and _UNITS["mm"].get(typed.unit) == MM_PER_FOOT:
                typed, end = _with_inches(typed, text, end)
                if end < len(text) and text[end] not in _BETWEEN:
                    raise NotUnderstood(f'"{_cut(text[at:].split()[0])}" is not a length. {self.wanted}')
            yield typed
            at = end

    def _in_record(self, typed: _Typed) -> float:
        if typed.unit is None:
            if typed.fraction and self.unit in ("mm", "m"):
                raise NotUnderstood(
                    f'"{typed.shown}" is a fraction: for inches, write the inch mark too, {typed.shown}".'
                )
            return self.checked(typed.number, typed.shown)
        factor = self._factor(typed.unit)
        if factor is None:
            raise NotUnderstood(f'"{_cut(typed.unit)}" is not a unit here. {self.wanted}')
        return self.checked(typed.number * factor, typed.shown)

    def _factor(self, word: str) -> float | None:
        units = _UNITS.get(self.unit, {self.unit.lower(): 1.0})
        if word in units:
            return units[word]
        # M as in mega is never taken for m as in milli.
        return None if word[0] == "M" and self.unit in ("mV", "ohm", "mA") else units.get(word.lower())


def _cut(text: str) -> str:
    return text if len(text) <= LONGEST_SHOWN else text[:LONGEST_SHOWN] + "…"


def _read(found: re.Match[str]) -> _Typed:
    sign = -1.0 if found["sign"] in ("-", "−") else 1.0
    unit = found["unit"].removesuffix(".") if found["unit"] else None
    shown = _cut(found.group().strip())
    apart = unit is not None and found.string[found.start("unit") - 1].isspace()
    if found["decimal"] is not None:
        return _Typed(sign * float(found["decimal"].replace(",", ".")), unit, False, shown, apart)
    top, bottom = int(found["top1"] or found["top2"]), int(found["bottom1"] or found["bottom2"])
    if bottom == 0:
        raise NotUnderstood(f'"{shown}" divides by zero.')
    return _Typed(sign * (int(found["whole"] or 0) + top / bottom), unit, True, shown, apart)


def _with_inches(feet: _Typed, text: str, end: int) -> tuple[_Typed, int]:
    """Feet together with the inches that follow them, where they do: `2 ft 3 in`, `2'3"`; and where they end."""
    room = len(text) - len(text[end:].lstrip())
    found = _NUMBER.match(text, room)
    if found is None or found["sign"]:
        return feet, end
    inches = _read(found)
    marked = inches.unit is not None and _UNITS["mm"].get(inches.unit.lower()) == MM_PER_INCH
    if not marked and not (inches.unit is None and feet.unit == "'" and room == end):
        return feet, end
    number = abs(feet.number) * MM_PER_FOOT + inches.number * MM_PER_INCH
    shown = _cut(f"{feet.shown} {inches.shown}")
    return _Typed(math.copysign(number, feet.number) / MM_PER_FOOT, feet.unit, False, shown), found.end()


def plain_number(value: float) -> str:
    """At most three decimals, no trailing zeros.

    >>> plain_number(4.7625), plain_number(12.0)
    ('4.763', '12')
    """
    return f"{value:.3f}".rstrip("0").rstrip(".")


# By the name of what they are kept in, or typed for. One place for unit, range and what would do.
QUANTITIES: Mapping[str, Quantity] = MappingProxyType(
    {
        # the boat
        "hull_length_m": Quantity("hull length", "m", 2, 120, "12.4"),
        "waterline_length_m": Quantity("waterline length", "m", 2, 120, "11.1"),
        "waterline_beam_m": Quantity("beam at the waterline", "m", 0.5, 25, "3.4"),
        "hull_draught_m": Quantity("hull draught", "m", 0.05, 10, "0.7"),
        "displacement_kg": Quantity("displacement", "kg", 50, 5e6, "11800"),
        "speed_kn": Quantity("top speed", "kn", 1, 90, "8"),
        "deadrise_deg": Quantity("deadrise", "°", 0, 60, "18"),
        "righting_lever_m": Quantity("righting lever", "m", 0.05, 3, "0.6"),
        "frame_spacing_mm": Quantity("frame spacing", "mm", 50, 5000, "400"),
        "order": Quantity("order", "", -100_000, 100_000, "1010", whole=True),
        "seen_percent": Quantity("share", "%", 0, 100, "60"),
        # where
        "frame": Quantity("frame", "", -50, 500, "14"),
        "frame_from": Quantity("frame", "", -50, 500, "12"),
        "frame_to": Quantity("frame", "", -50, 500, "15"),
        "offset_mm": Quantity("offset", "mm", -5000, 5000, "120"),
        "girth_mm": Quantity("girth", "mm", 0, 20_000, "260"),
        "girth_from_mm": Quantity("out from", "mm", 0, 20_000, "300"),
        "girth_to_mm": Quantity("out to", "mm", 0, 20_000, "1200"),
        "extent_length_mm": Quantity("extent", "mm", 0.1, 60_000, "80"),
        "extent_width_mm": Quantity("extent", "mm", 0.1, 60_000, "80"),
        "beyond_mm": Quantity("distance", "mm", 0, 1500, "30"),
        # plate
        "as_built_mm": Quantity("thickness as built", "mm", 1, 60, "6"),
        "panel_width_mm": Quantity("panel width", "mm", 50, 5000, "300"),
        "panel_length_mm": Quantity("panel length", "mm", 50, 20_000, "900"),
        "curvature_mm": Quantity("camber", "mm", 0, 1000, "10"),
        "area_m2": Quantity("area", "m²", 0.01, 1000, "4.6"),
        "from_aft_percent": Quantity("share", "%", 0, 100, "60"),
        "up_side_percent": Quantity("share", "%", 0, 100, "50"),
        "head_m": Quantity("head", "m", 0, 20, "1.2"),
        "paint_mm": Quantity("paint", "mm", 0, 20, "0.3"),
        "square_mm": Quantity("sides of the square", "mm", 1, 20_000, "300 x 300"),
        # tank water and air
        "oxygen_percent": Quantity("oxygen", "%", 0, 100, "20.9"),
        "vapour_percent_lel": Quantity("vapour", "%", 0, 1000, "3"),
        "ph": Quantity("pH", "", 0, 14, "7.8"),
        "copper_ppb": Quantity("copper", "µg/L", 0, 1e6, "200"),
        "chlorine_mg_l": Quantity("chlorine", "mg/L", 0, 10_000, "50"),
        "hours": Quantity("hours", "h", 0, 1000, "2.5"),
        "chlorine_hours": Quantity("hours", "h", 0, 1000, "4"),
        "overflow_m": Quantity("head", "m", 0, 30, "1.8"),
        # protection
        "water_chloride_mg_l": Quantity("chloride", "mg/L", 1, 19_000, "50"),
        "wetted_area_m2": Quantity("wetted area", "m²", 0.5, 5000, "38"),
        "anode_years": Quantity("years", "years", 0.1, 30, "2"),
        "anode_kg": Quantity("mass", "kg", 0.05, 500, "2"),
        "anode_length_mm": Quantity("length", "mm", 20, 5000, "300"),
        "anode_width_mm": Quantity("width", "mm", 10, 1000, "100"),
        "anode_thickness_mm": Quantity("thickness", "mm", 2, 500, "30"),
        "resistivity_ohm_m": Quantity("resistivity", "ohm m", 0.1, 500, "0.233"),
        "propeller_m2": Quantity("propeller", "m²", 0, 50, "0.3"),
        "anodes_fitted": Quantity("number fitted", "", 0, 1000, "4", whole=True),
    }
)


def salinity(low_g_kg: float) -> Quantity:
    """Of the water she lies in; what counts as sea water begins where the caller says [g/kg]."""
    return Quantity("salinity", "g/kg", low_g_kg, 42, "35")


def year_built(this_year: int) -> Quantity:
    return Quantity("year", "", 1800, this_year, "1986", whole=True)


def instrument_error(unit: str) -> Quantity:
    """How far an instrument may be off, in the unit it reads."""
    return Quantity("accuracy", unit, 0, 100 if unit == "mm" else 1e6, "0.1")
