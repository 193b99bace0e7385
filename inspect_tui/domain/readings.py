"""The kinds of reading: their units, their plausible range, and how typed numbers become records."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from inspect_tui.domain import records
from inspect_tui.domain.checklists import ReadingKind
from inspect_tui.domain.errors import NotUnderstood
from inspect_tui.domain.numbers import typed_number
from inspect_tui.domain.records import Reading, ReadingBase

MM_PER_INCH = 25.4
LONGEST_SHOWN = 24


@dataclass(frozen=True)
class KindOfReading:
    """What one kind of reading is called, and the range [low, high] outside which a value is doubted."""

    label: str
    record: type[ReadingBase]
    values: str
    unit: str
    low: float
    high: float
    hint: str
    letter: str


KINDS: dict[ReadingKind, KindOfReading] = {
    "pits": KindOfReading(
        "pit depths", records.PitReading, "depths_mm", "mm", 0, 30, "each pit of the patch, deepest first", "p"
    ),
    "thickness": KindOfReading(
        "plate thickness", records.ThicknessReading, "thickness_mm", "mm", 0.3, 50, "metal left at each spot", "t"
    ),
    "potential": KindOfReading(
        "potential", records.PotentialReading, "potential_mv", "mV", -2000, 1500, "hull against the electrode", "e"
    ),
    "resistance": KindOfReading(
        "resistance", records.ResistanceReading, "resistance_ohm", "ohm", 0, 1e9, "between two parts", "r"
    ),
    "current": KindOfReading("current", records.CurrentReading, "current_ma", "mA", -1e6, 1e6, "in the lead", "c"),
    "length": KindOfReading(
        "length", records.LengthReading, "length_mm", "mm", -5000, 60000, "width, height, crack or stain", "l"
    ),
    "area": KindOfReading("area", records.AreaReading, "area_cm2", "cm²", 0, 1e6, "bare or damaged metal", "a"),
    "volume": KindOfReading("volume", records.VolumeReading, "volume_l", "L", 0, 20000, "water that came out", "v"),
    "mass": KindOfReading("mass", records.MassReading, "mass_kg", "kg", 0, 50000, "to be moved", "m"),
    "duration": KindOfReading("time", records.DurationReading, "duration_h", "h", 0, 9000, "until it came back", "d"),
    "count": KindOfReading("count", records.CountReading, "count", "pieces", 0, 100000, "how many", "n"),
    "coating": KindOfReading(
        "coating thickness", records.CoatingReading, "coating_um", "µm", 0, 20000, "paint and filler", "k"
    ),
    "salinity": KindOfReading(
        "salinity", records.SalinityReading, "salinity_g_kg", "g/kg", 0, 300, "of the water found", "s"
    ),
    "acidity": KindOfReading("acidity", records.AcidityReading, "ph", "pH", 0, 14, "of the water found", "h"),
    "oxygen": KindOfReading("oxygen", records.OxygenReading, "oxygen_percent", "% O₂", 0, 30, "in the air", "o"),
    "vapour": KindOfReading(
        "flammable vapour", records.VapourReading, "vapour_percent_lel", "% LEL", 0, 200, "in the air", "f"
    ),
}

# Unit words that may follow a number, and what one of them is in the unit of record.
_FACTORS: dict[str, dict[str, float]] = {
    "mm": {
        "mm": 1.0,
        "cm": 10.0,
        "m": 1000.0,
        '"': MM_PER_INCH,
        "in": MM_PER_INCH,
        "inch": MM_PER_INCH,
        "thou": MM_PER_INCH / 1000,
        "mil": MM_PER_INCH / 1000,
    },
    "mV": {"mv": 1.0, "v": 1000.0},
    "ohm": {"ohm": 1.0, "ohms": 1.0, "Ω": 1.0, "kohm": 1e3, "k": 1e3, "Mohm": 1e6},
    "mA": {"ma": 1.0, "a": 1000.0},
    "cm²": {"cm2": 1.0, "cm²": 1.0, "m2": 1e4, "m²": 1e4},
    "L": {"l": 1.0, "ml": 0.001},
    "kg": {"kg": 1.0, "t": 1000.0},
    "h": {"h": 1.0, "min": 1 / 60, "d": 24.0},
    "pieces": {},
    "µm": {"µm": 1.0, "um": 1.0, "mm": 1000.0},
    "g/kg": {"g/kg": 1.0, "psu": 1.0},
    "pH": {},
    "% O₂": {"%": 1.0},
    "% LEL": {"%": 1.0},
}
_NUMBER = re.compile(
    r"""\s*(?P<sign>[-+−])?\s*
    (?:(?P<whole>\d+)[ -](?P<num1>\d+)/(?P<den1>\d+)   # 1 3/16
      |(?P<num2>\d+)/(?P<den2>\d+)                     # 3/16
      |(?P<decimal>\d+(?:[.,]\d+)?|[.,]\d+))           # 4.7  4,7  .5
    \s*(?P<unit>"|''|[A-Za-zµΩ%°][A-Za-z0-9²/%]*)?\s*""",
    re.VERBOSE | re.ASCII,
)


def parse_values(text: str, kind: ReadingKind) -> tuple[float, ...]:
    """The numbers typed for one kind of reading, in its unit of record.

    Spaces or semicolons stand between numbers; comma and dot are both decimal marks; a fraction needs
    an inch mark or a unit, as `3/16"`.

    Raises
    ------
    NotUnderstood : with one sentence that names the part that could not be read.

    Examples
    --------
    >>> parse_values('4,7 3.1', "pits")
    (4.7, 3.1)
    >>> parse_values('3/16"', "thickness")
    (4.7625,)
    >>> parse_values("-0.92 V", "potential")
    (-920.0,)
    """
    about = KINDS[kind]
    text = text.strip()
    if kind == "resistance" and "ol" in text.lower().split():
        raise NotUnderstood("OL means more than the meter reads: type the end of its range, as 20 Mohm.")
    if not text:
        raise NotUnderstood(f"Type at least one number, in {about.unit}.")
    values: list[float] = []
    at = 0
    while at < len(text):
        if text[at] in "; \t":
            at += 1
            continue
        found = _NUMBER.match(text, at)
        rest = text[at:].split()[0]
        shown = rest if len(rest) <= LONGEST_SHOWN else rest[:LONGEST_SHOWN] + "…"
        # A number must not touch what follows it: `1,2,3` is neither three numbers nor one.
        if not found or (
            found.end() < len(text) and text[found.end()] != ";" and not text[found.end() - 1].isspace()
        ):
            raise NotUnderstood(f'"{shown}" is not a number I can read; put a space between numbers.')
        values.append(_one_value(found, about, shown))
        at = found.end()
    return tuple(values)


@dataclass(frozen=True)
class TypedLine:
    """What a typed line says: values; of a patch of pits how many go through, and whether the metal is soft."""

    values: tuple[float, ...]
    holes: int = 0
    soft: bool = False


_HOLE, _SOFT, _NONE = {"hole", "holes", "through"}, {"soft"}, {"none", "no", "nil"}


def typed_line(text: str, kind: ReadingKind) -> TypedLine:
    """One line of numbers; of pits also with the words hole, soft and none.

    >>> typed_line("2.1 1.4 hole", "pits")
    TypedLine(values=(2.1, 1.4), holes=1, soft=False)
    """
    if kind != "pits":
        return TypedLine(parse_values(text, kind))
    tokens = text.split()
    holes = sum(token.lower() in _HOLE for token in tokens)
    soft = any(token.lower() in _SOFT for token in tokens)
    rest = " ".join(token for token in tokens if token.lower() not in _HOLE | _SOFT)
    if (not rest and (holes or soft)) or rest.lower() in _NONE:
        return TypedLine((), holes, soft)
    # A depth of nothing is no pit.
    return TypedLine(tuple(value for value in parse_values(rest, "pits") if value > 0), holes, soft)


def patch_sides(text: str) -> tuple[float | None, float | None]:
    """Length and width of a patch in mm, or neither.

    >>> patch_sides("300 x 250")
    (300.0, 250.0)
    """
    sides = [side for side in re.split(r"\s*[x×*]\s*|\s+", text.strip().lower().replace("mm", "")) if side]
    if not sides:
        return None, None
    if len(sides) != 2:
        raise NotUnderstood("A patch has two sides, in mm: 300 x 300.")
    one, other = (typed_number(side, "patch", "mm", 1, 20000) for side in sides)
    return one, other


def _one_value(found: re.Match[str], about: KindOfReading, shown: str) -> float:
    unit = found["unit"]
    number = _number(found, shown)
    if found["decimal"] is None and unit is None and about.unit == "mm":
        raise NotUnderstood(f'"{shown}" is a fraction: write the inch mark too, as {shown}".')
    if unit is not None:
        factor = _unit_factor(unit, about.unit)
        if factor is None:
            raise NotUnderstood(
                f'"{unit}" is not a unit here: {about.label} is typed in plain numbers, {about.unit}.'
            )
        number *= factor
    number = round(number, 9)
    if not math.isfinite(number) or not about.low <= number <= about.high:
        raise NotUnderstood(
            f"{shown} is outside what {about.label} can be ({about.low:g} to {about.high:g} {about.unit}): "
            "check the number and its unit."
        )
    if about.unit == "pieces" and number != int(number):
        raise NotUnderstood(f"{shown} is not a whole number of pieces.")
    return number


def _number(found: re.Match[str], shown: str) -> float:
    sign = -1.0 if found["sign"] in ("-", "−") else 1.0
    if found["decimal"] is not None:
        return sign * float(found["decimal"].replace(",", "."))
    whole, top, bottom = (
        int(found["whole"] or 0),
        int(found["num1"] or found["num2"]),
        int(found["den1"] or found["den2"]),
    )
    if bottom == 0:
        raise NotUnderstood(f'"{shown}" divides by zero.')
    return sign * (whole + top / bottom)


def _unit_factor(unit: str, record_unit: str) -> float | None:
    factors = _FACTORS[record_unit]
    unit = unit.replace("''", '"')
    if unit in factors:
        return factors[unit]
    return factors.get(unit.lower()) if unit != "MV" else None


def echo(values: tuple[float, ...], kind: ReadingKind) -> str:
    """The values as understood, with their unit; lengths also in inches.

    >>> echo((3.1,), "pits")
    '3.1 mm = 0.122 in'
    >>> echo((4.0, 4.25), "thickness")
    '4 · 4.25 mm = 0.157 · 0.167 in'
    """
    about = KINDS[kind]
    said = " · ".join(plain_number(value) for value in values)
    if about.unit != "mm":
        return f"{said} {about.unit}"
    inches = " · ".join(f"{value / MM_PER_INCH:.3f}" for value in values)
    return f"{said} mm = {inches} in"


def plain_number(value: float) -> str:
    """At most three decimals, no trailing zeros.

    >>> plain_number(4.7625), plain_number(12.0)
    ('4.763', '12')
    """
    return f"{value:.3f}".rstrip("0").rstrip(".")


def values_of(reading: Reading) -> tuple[float, ...]:
    values: tuple[float, ...] = getattr(reading, KINDS[reading.kind].values)
    return values


def in_words(reading: Reading) -> str:
    """One line for lists and papers: what was measured, the values, the unit."""
    about = KINDS[reading.kind]
    values = values_of(reading)
    said = " · ".join(plain_number(value) for value in values) + f" {about.unit}" if values else "none found"
    if isinstance(reading, records.ResistanceReading):
        said = f"lamp {reading.lamp}" if reading.lamp else said
        said += f", across {reading.across.value}" if reading.across else ""
    if isinstance(reading, records.PitReading):
        if reading.holed_through:
            said += f", {reading.holed_through} holed through"
        if reading.patch_length_mm and reading.patch_width_mm:
            said += f", patch {plain_number(reading.patch_length_mm)} × {plain_number(reading.patch_width_mm)} mm"
    return f"{about.label} {said}"
