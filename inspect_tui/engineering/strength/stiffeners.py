"""What a frame or stringer still carries after it has lost metal: a flat bar or an angle, welded to its plate."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inspect_tui.engineering.strength.plate_strength import Metal
from inspect_tui.engineering.strength.pressure import ISO
from inspect_tui.engineering.working import Seen, Source, Step, Working, shown
from inspect_tui.errors import CannotCalculate

SECTION = Source("section modulus of stacked rectangles (parallel axis theorem)", Seen.DERIVED)
EFFECTIVE = {"aluminium": 60.0, "steel": 80.0}
NOT_COVERED = (
    "Loss is taken as even over all faces: pits, a wasted toe of the weld, cut-outs, shear of "
    "the web and tripping are not counted.",
)


@dataclass(frozen=True)
class Stiffener:
    """A flat bar, or an angle if it has a flange; all in mm. The plate works with it over 60 times its thickness
    (aluminium) or 80 times (steel), or over the spacing if that is less."""

    web_height_mm: float
    web_mm: float
    plate_mm: float
    spacing_mm: float
    metal: Metal
    flange_width_mm: float = 0.0
    flange_mm: float = 0.0

    def __post_init__(self) -> None:
        if min(self.web_height_mm, self.web_mm, self.plate_mm, self.spacing_mm) <= 0:
            raise CannotCalculate("Web, plate and spacing need sizes above 0, in mm.")
        if (self.flange_width_mm > 0) != (self.flange_mm > 0) or self.flange_mm < 0:
            raise CannotCalculate("A flange needs both a width and a thickness, in mm.")

    @property
    def effective_width_mm(self) -> float:
        return min(EFFECTIVE[self.metal] * self.plate_mm, self.spacing_mm)

    def worn(self, stiffener_loss_mm: float, plate_loss_mm: float = 0.0) -> Stiffener:
        """The same after an even loss [mm] of thickness from the stiffener, and from the plate."""
        if stiffener_loss_mm < 0 or plate_loss_mm < 0:
            raise CannotCalculate("A loss cannot be below 0.")
        if stiffener_loss_mm >= self.web_mm or plate_loss_mm >= self.plate_mm:
            raise CannotCalculate("The loss is all of the thickness: nothing is left to calculate.")
        flange = max(self.flange_mm - stiffener_loss_mm, 0.0)
        return Stiffener(
            self.web_height_mm,
            self.web_mm - stiffener_loss_mm,
            self.plate_mm - plate_loss_mm,
            self.spacing_mm,
            self.metal,
            self.flange_width_mm if flange else 0.0,
            flange,
        )

    def parts(self) -> list[tuple[float, float, float]]:
        """Width, height and height of the centre above the plate's outer face [mm] of each rectangle."""
        told = [
            (self.effective_width_mm, self.plate_mm, self.plate_mm / 2),
            (self.web_mm, self.web_height_mm, self.plate_mm + self.web_height_mm / 2),
        ]
        if self.flange_mm:
            told.append(
                (self.flange_width_mm, self.flange_mm, self.plate_mm + self.web_height_mm + self.flange_mm / 2)
            )
        return told


def section_modulus_cm3(stiffener: Stiffener) -> float:
    """Elastic section modulus [cm³] at the far edge of the stiffener, with the plate that works with it.

    Examples
    --------
    A flat bar 80 × 8 on 5 mm plate:

    >>> round(section_modulus_cm3(Stiffener(80, 8, 5, 400, "aluminium")), 1)
    16.5
    """
    parts = stiffener.parts()
    area = sum(width * height for width, height, _ in parts)
    axis = sum(width * height * at for width, height, at in parts) / area
    inertia = sum(width * height**3 / 12 + width * height * (at - axis) ** 2 for width, height, at in parts)
    top = stiffener.plate_mm + stiffener.web_height_mm + stiffener.flange_mm
    return inertia / max(top - axis, axis) / 1000


def required_modulus_cm3(
    pressure_kpa: float, spacing_mm: float, span_mm: float, stress_mpa: float, curvature: float = 1.0
) -> float:
    """SM = 83.33·kCS·P·s·lu²·1e-9/σd [cm³] (ISO 12215-5:2008).

    >>> round(required_modulus_cm3(48.25, 300, 900, 87.5), 2)
    11.17
    """
    if min(pressure_kpa, spacing_mm, span_mm, stress_mpa) <= 0:
        raise CannotCalculate("Pressure, spacing, span and stress must be above 0.")
    return 83.33 * curvature * pressure_kpa * spacing_mm * span_mm**2 * 1e-9 / stress_mpa


def stiffener_stress_mpa(metal: Metal, proof_mpa: float) -> float:
    """σd of stiffeners [MPa]: 0.7 of the welded proof stress of aluminium, 0.8 of the yield of steel.

    5083 as welded:

    >>> stiffener_stress_mpa("aluminium", 125)
    87.5
    """
    return (0.7 if metal == "aluminium" else 0.8) * proof_mpa


@dataclass(frozen=True)
class StiffenerCheck:
    """Section modulus as built, as worn, and asked for [cm³]."""

    built_cm3: float
    worn_cm3: float
    required_cm3: float | None

    @property
    def left_percent(self) -> float:
        return 100 * self.worn_cm3 / self.built_cm3

    @property
    def enough(self) -> bool | None:
        return None if self.required_cm3 is None else self.worn_cm3 >= self.required_cm3


def check_stiffener(
    stiffener: Stiffener, loss_mm: float, plate_loss_mm: float = 0.0, required_cm3: float | None = None
) -> StiffenerCheck:
    """Section modulus left after an even loss, against what it was and what is asked.

    >>> check = check_stiffener(Stiffener(80, 8, 5, 400, "aluminium"), 2.0, 0.5, 11.17)
    >>> round(check.left_percent), check.enough
    (75, True)
    """
    return StiffenerCheck(
        section_modulus_cm3(stiffener), section_modulus_cm3(stiffener.worn(loss_mm, plate_loss_mm)), required_cm3
    )


def stiffener_working(
    stiffener: Stiffener, check: StiffenerCheck, loss_mm: float, inputs: Sequence[tuple[str, str]]
) -> Working:
    kind = "angle" if stiffener.flange_mm else "flat bar"
    steps = [
        Step(
            "plate working with it",
            f"min({EFFECTIVE[stiffener.metal]:g}·t, spacing)",
            f"min({EFFECTIVE[stiffener.metal]:g} × {stiffener.plate_mm:g}, {stiffener.spacing_mm:g})",
            f"{stiffener.effective_width_mm:g} mm",
            ISO,
        ),
        Step(
            "section modulus as built",
            "I / distance to the far edge",
            f"{kind} {stiffener.web_height_mm:g} × {stiffener.web_mm:g} on {stiffener.plate_mm:g} mm",
            f"{check.built_cm3:.2f} cm³",
            SECTION,
        ),
        Step("as worn", "the same, less the loss", f"{loss_mm:g} mm off", f"{check.worn_cm3:.2f} cm³", SECTION),
        Step(
            "left",
            "100·worn/built",
            f"100 × {check.worn_cm3:.2f}/{check.built_cm3:.2f}",
            f"{check.left_percent:.0f} %",
            SECTION,
        ),
    ]
    if check.required_cm3 is not None:
        steps.append(Step("asked for", "83.33·kCS·P·s·lu²·1e-9/σd", "", f"{shown(check.required_cm3)} cm³", ISO))
    return Working(tuple(inputs), tuple(steps), NOT_COVERED)
