"""The records of readings: a union by kind. Units stand in the fields' names."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AwareDatetime, Field

from inspect_tui.domain.bounds import Finite, NotNegative, Percent, Positive, Whole
from inspect_tui.domain.records import Position, Record
from inspect_tui.domain.words import Across


class ReadingBase(Record):
    """`member`: of what it was read that is no plate: the id of a member, or `OTHER_MEMBER`."""

    id: str
    round: str
    compartment: str
    when: AwareDatetime
    by: str
    finding: Whole | None = None
    prompt: str | None = None
    plate_field: str | None = None
    member: str | None = None
    position: Position = Position()
    instrument: str = ""
    instrument_error: NotNegative | None = None
    clean_metal: bool | None = None
    typed: str = ""
    note: str = ""


class PitReading(ReadingBase):
    """Depths of the pits in one marked square. No depths means: looked, and none found. `every_pit`: all of them were
    typed, not only the deepest; `plan`, `square`: its number in a sampling plan."""

    kind: Literal["pits"] = "pits"
    depths_mm: tuple[NotNegative, ...] = ()
    holed_through: int = Field(default=0, ge=0)
    patch_length_mm: Positive | None = None
    patch_width_mm: Positive | None = None
    soft: bool = False
    worst_chosen: bool | None = None
    every_pit: bool | None = None
    method: Literal["needle or bridge", "ultrasonic"] | None = None
    plan: str | None = None
    square: Annotated[int, Field(ge=1, le=10_000)] | None = None

    @property
    def is_through(self) -> bool:
        """Whether it tells of a hole, or of metal that a spike goes into."""
        return bool(self.holed_through or self.soft)

    @property
    def patch_area_m2(self) -> float | None:
        if self.patch_length_mm is None or self.patch_width_mm is None:
            return None
        return self.patch_length_mm * self.patch_width_mm * 1e-6


class ThicknessReading(ReadingBase):
    """`chalk_seen`: it was taken on the chalk of an earlier reading, which somebody saw."""

    kind: Literal["thickness"] = "thickness"
    thickness_mm: tuple[Positive, ...]
    method: Literal["ultrasonic", "ultrasonic through paint", "caliper", "drilled hole"] | None = None
    paint_mm: NotNegative | None = None
    velocity_m_s: Positive | None = None
    part: Literal["web", "flange"] | None = None
    chalk_seen: bool | None = None


class PotentialReading(ReadingBase):
    """`without_anodes`: none was at work, so that this is the hull's free potential."""

    kind: Literal["potential"] = "potential"
    potential_mv: tuple[Finite, ...]
    electrode: str = ""
    circuit: str = ""
    water_salinity_g_kg: Positive | None = None
    water_chloride_mg_l: Positive | None = None
    without_anodes: bool | None = None


class ResistanceReading(ReadingBase):
    """`lamp`: what a 12 V lamp of 3 W in the lifted battery lead did, where no meter was at hand."""

    kind: Literal["resistance"] = "resistance"
    resistance_ohm: tuple[NotNegative, ...] = ()
    between: str = ""
    across: Across | None = None
    lamp: Literal["dark", "faint", "bright"] | None = None


class CurrentReading(ReadingBase):
    kind: Literal["current"] = "current"
    current_ma: tuple[Finite, ...]
    circuit: str = ""


class LengthReading(ReadingBase):
    """A width, height, gap, stain, crack or depth of water."""

    kind: Literal["length"] = "length"
    length_mm: tuple[Finite, ...]


class AreaReading(ReadingBase):
    kind: Literal["area"] = "area"
    area_cm2: tuple[NotNegative, ...]


class VolumeReading(ReadingBase):
    kind: Literal["volume"] = "volume"
    volume_l: tuple[NotNegative, ...]


class MassReading(ReadingBase):
    kind: Literal["mass"] = "mass"
    mass_kg: tuple[NotNegative, ...]


class DurationReading(ReadingBase):
    kind: Literal["duration"] = "duration"
    duration_h: tuple[NotNegative, ...]


class CountReading(ReadingBase):
    kind: Literal["count"] = "count"
    count: tuple[Annotated[int, Field(ge=0)], ...]


class CoatingReading(ReadingBase):
    kind: Literal["coating"] = "coating"
    coating_um: tuple[NotNegative, ...]


class SalinityReading(ReadingBase):
    """Water found in the boat: dissolved salt in grams per kilogram."""

    kind: Literal["salinity"] = "salinity"
    salinity_g_kg: tuple[NotNegative, ...]


class AcidityReading(ReadingBase):
    kind: Literal["acidity"] = "acidity"
    ph: tuple[Annotated[float, Field(ge=0, le=14)], ...]


class OxygenReading(ReadingBase):
    kind: Literal["oxygen"] = "oxygen"
    oxygen_percent: tuple[Percent, ...]


class VapourReading(ReadingBase):
    """Flammable vapour, in percent of the lower explosive limit."""

    kind: Literal["vapour"] = "vapour"
    vapour_percent_lel: tuple[NotNegative, ...]


class SulphideReading(ReadingBase):
    """Hydrogen sulphide in the air."""

    kind: Literal["hydrogen-sulphide"] = "hydrogen-sulphide"
    sulphide_ppm: tuple[NotNegative, ...]


class MonoxideReading(ReadingBase):
    """Carbon monoxide in the air."""

    kind: Literal["carbon-monoxide"] = "carbon-monoxide"
    monoxide_ppm: tuple[NotNegative, ...]


Reading = Annotated[
    PitReading
    | ThicknessReading
    | PotentialReading
    | ResistanceReading
    | CurrentReading
    | LengthReading
    | AreaReading
    | VolumeReading
    | MassReading
    | DurationReading
    | CountReading
    | CoatingReading
    | SalinityReading
    | AcidityReading
    | OxygenReading
    | VapourReading
    | SulphideReading
    | MonoxideReading,
    Field(discriminator="kind"),
]
