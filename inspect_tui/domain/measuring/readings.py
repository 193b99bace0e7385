"""The kinds of reading: their units, their plausible range, and how typed numbers become records."""

from __future__ import annotations

from dataclasses import dataclass

from inspect_tui.domain import reading_records
from inspect_tui.domain.knowledge.areas import ReadingKind
from inspect_tui.domain.quantities import Quantity, plain_number
from inspect_tui.domain.reading_records import Reading, ReadingBase
from inspect_tui.errors import NotUnderstood


@dataclass(frozen=True)
class KindOfReading:
    """One kind of reading: its quantity, its record and the field of it that holds the values."""

    quantity: Quantity
    record: type[ReadingBase]
    values: str
    hint: str
    letter: str

    @property
    def label(self) -> str:
        return self.quantity.name

    @property
    def unit(self) -> str:
        return self.quantity.unit


# Readings of the plate itself: what the limits judge, and what a finding counts as measured by.
OF_THE_METAL: tuple[ReadingKind, ...] = ("pits", "thickness")

# fmt: off
KINDS: dict[ReadingKind, KindOfReading] = {
    "pits": KindOfReading(
        Quantity("pit depths", "mm", 0, 30, "1.2 0.8"),
        reading_records.PitReading, "depths_mm", "each pit of the square, deepest first", "p",
    ),
    "thickness": KindOfReading(
        Quantity("plate thickness", "mm", 0.3, 50, "5.4"),
        reading_records.ThicknessReading, "thickness_mm", "metal left at each spot", "t",
    ),
    "potential": KindOfReading(
        Quantity("potential", "mV", -2000, 1500, "-850"),
        reading_records.PotentialReading, "potential_mv", "hull against the electrode", "e",
    ),
    "resistance": KindOfReading(
        Quantity("resistance", "ohm", 0, 1e9, "20000"),
        reading_records.ResistanceReading, "resistance_ohm", "between two parts", "r",
    ),
    "current": KindOfReading(
        Quantity("current", "mA", -1e6, 1e6, "5"),
        reading_records.CurrentReading, "current_ma", "in the lead", "c",
    ),
    "length": KindOfReading(
        Quantity("length", "mm", -5000, 60000, "40"),
        reading_records.LengthReading, "length_mm", "width, height, crack or stain", "l",
    ),
    "area": KindOfReading(
        Quantity("area", "cm²", 0, 1e6, "25"),
        reading_records.AreaReading, "area_cm2", "bare or damaged metal", "a",
    ),
    "volume": KindOfReading(
        Quantity("volume", "L", 0, 20000, "2"),
        reading_records.VolumeReading, "volume_l", "water that came out", "v",
    ),
    "mass": KindOfReading(
        Quantity("mass", "kg", 0, 50000, "30"),
        reading_records.MassReading, "mass_kg", "to be moved", "m",
    ),
    "duration": KindOfReading(
        Quantity("time", "h", 0, 9000, "24"),
        reading_records.DurationReading, "duration_h", "until it came back", "d",
    ),
    "count": KindOfReading(
        Quantity("count", "pieces", 0, 100000, "3", whole=True),
        reading_records.CountReading, "count", "how many", "n",
    ),
    "coating": KindOfReading(
        Quantity("coating thickness", "µm", 0, 20000, "250"),
        reading_records.CoatingReading, "coating_um", "paint and filler", "k",
    ),
    "salinity": KindOfReading(
        Quantity("salinity", "g/kg", 0, 300, "35"),
        reading_records.SalinityReading, "salinity_g_kg", "of the water found", "s",
    ),
    "acidity": KindOfReading(
        Quantity("acidity", "pH", 0, 14, "7.8"),
        reading_records.AcidityReading, "ph", "of the water found", "h",
    ),
    "oxygen": KindOfReading(
        Quantity("oxygen", "% O₂", 0, 30, "20.9"),
        reading_records.OxygenReading, "oxygen_percent", "in the air", "o",
    ),
    "vapour": KindOfReading(
        Quantity("flammable vapour", "% LEL", 0, 200, "3"),
        reading_records.VapourReading, "vapour_percent_lel", "in the air", "f",
    ),
    "hydrogen-sulphide": KindOfReading(
        Quantity("hydrogen sulphide", "ppm", 0, 1000, "0"),
        reading_records.SulphideReading, "sulphide_ppm", "in the air", "y",
    ),
    "carbon-monoxide": KindOfReading(
        Quantity("carbon monoxide", "ppm", 0, 5000, "0"),
        reading_records.MonoxideReading, "monoxide_ppm", "in the air", "q",
    ),
}
# fmt: on


def parse_values(text: str, kind: ReadingKind) -> tuple[float, ...]:
    """The numbers typed for one kind of reading, in its unit of record.

    Raises
    ------
    NotUnderstood : with one sentence that names the part that could not be read.

    Examples
    --------
    >>> parse_values("-0.92 V", "potential")
    (-920.0,)
    """
    if kind == "resistance" and "ol" in text.lower().split():
        raise NotUnderstood("OL means off the scale: type the top of the meter's range, for example 20 Mohm.")
    return KINDS[kind].quantity.read_all(text)


@dataclass(frozen=True)
class TypedLine:
    """What a typed line says: values; of a square of pits how many go through, and whether the metal is soft."""

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


def values_of(reading: Reading) -> tuple[float, ...]:
    values: tuple[float, ...] = getattr(reading, KINDS[reading.kind].values)
    return values


def in_words(reading: Reading) -> str:
    """One line for lists and papers: what was measured, the values, the unit."""
    about = KINDS[reading.kind]
    values = values_of(reading)
    said = " · ".join(plain_number(value) for value in values) + f" {about.unit}" if values else "none found"
    if isinstance(reading, reading_records.ResistanceReading):
        said = f"lamp {reading.lamp}" if reading.lamp else said
        said += f", across {reading.across.told}" if reading.across else ""
    if isinstance(reading, reading_records.PitReading):
        if reading.holed_through:
            said += f", {reading.holed_through} holed through"
        if reading.patch_length_mm and reading.patch_width_mm:
            said += f", square {plain_number(reading.patch_length_mm)} × {plain_number(reading.patch_width_mm)} mm"
    return f"{about.label} {said}"
