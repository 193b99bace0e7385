"""What is left of a frame, floor, stringer or bolt: of its parts and section, and whether its web is too slender."""

from __future__ import annotations

from dataclasses import dataclass

from inspect_tui.engineering.strength.buckling import Metal, Slenderness, slenderness
from inspect_tui.engineering.strength.stiffeners import EFFECTIVE, SECTION, Stiffener, section_modulus_cm3
from inspect_tui.engineering.working import Seen, Source, Step, Working, shown
from inspect_tui.errors import CannotCalculate

SHARES = Source("arithmetic", Seen.DERIVED)
NOT_COVERED = (
    "The thinnest reading of a part is taken for its whole length; a wasted weld toe, cut-outs, shear and tripping "
    "are not counted.",
)


@dataclass(frozen=True)
class Section:
    """A flat bar, or an angle or tee with a flange, on its plate; all in mm. Nothing where it is not known."""

    web_mm: float
    web_height_mm: float | None = None
    flange_mm: float | None = None
    flange_width_mm: float | None = None
    plate_mm: float | None = None
    spacing_mm: float | None = None

    def stiffener(self, metal: Metal) -> Stiffener | None:
        """For its section modulus; None where sizes are missing."""
        if self.web_height_mm is None or self.plate_mm is None or self.spacing_mm is None:
            return None
        flanged = self.flange_mm is not None and self.flange_width_mm is not None
        return Stiffener(
            self.web_height_mm,
            self.web_mm,
            self.plate_mm,
            self.spacing_mm,
            metal,
            (self.flange_width_mm or 0.0) if flanged else 0.0,
            (self.flange_mm or 0.0) if flanged else 0.0,
        )


@dataclass(frozen=True)
class MemberWear:
    """`loss_share`: gone at the worst part [0..1]; `section_share`: of its section modulus, or a bolt's area, that is
    left [0..1]; `slender`, `slender_built`: height over thickness of the web now and as built."""

    loss_share: float
    section_share: float | None
    slender: Slenderness | None
    slender_built: Slenderness | None
    words: str
    working: Working


def member_wear(
    built: Section,
    worn: Section,
    metal: Metal,
    *,
    yield_mpa: float | None = None,
    bolt: bool = False,
    error_mm: float = 0.1,
) -> MemberWear:
    """Compare a member as it is with what it was built.

    Parameters
    ----------
    built, worn : the same member then and now; of a bolt `web_mm` is its diameter
    error_mm : of the gauge; it is told, and decides nothing
    yield_mpa : of its metal, as welded: without it slenderness is not told

    Raises
    ------
    CannotCalculate : nothing left, or sizes that cannot be.

    Examples
    --------
    >>> floor = Section(8, 150, 8, 60, 6, 500)
    >>> told = member_wear(floor, Section(5.8, 150, 6.4, 60, 6, 500), "steel")
    >>> round(told.loss_share, 3), round(told.section_share, 2)
    (0.275, 0.79)
    >>> round(member_wear(Section(20), Section(15), "steel", bolt=True).section_share, 4)
    0.5625
    """
    if worn.web_mm <= 0 or built.web_mm <= 0:
        raise CannotCalculate("Nothing is left of it to calculate.")
    parts = [("diameter" if bolt else "web", built.web_mm, worn.web_mm)]
    if built.flange_mm is not None and worn.flange_mm is not None:
        parts.append(("flange", built.flange_mm, worn.flange_mm))
    losses = [(name, max(then - now, 0.0) / then) for name, then, now in parts]
    steps = [
        Step(f"gone from the {name}", "(built - now) / built", f"({shown(then)} - {shown(now)}) / {shown(then)}",
             f"{100 * share:.0f} %", SHARES)
        for (name, then, now), (_, share) in zip(parts, losses, strict=True)
    ]  # fmt: skip
    told = [f"{name} {shown(now)} ± {shown(error_mm, 2)} of {shown(then)} mm left" for name, then, now in parts]
    section = slender = slender_built = None
    if bolt:
        section = (min(worn.web_mm, built.web_mm) / built.web_mm) ** 2
        steps.append(Step("area left", "(now / built)²", f"({shown(worn.web_mm)} / {shown(built.web_mm)})²",
                          f"{100 * section:.0f} %", SHARES))  # fmt: skip
        told.append(f"{100 * section:.0f} % of its area")
    else:
        then, now = built.stiffener(metal), worn.stiffener(metal)
        if then is not None and now is not None:
            before, after = section_modulus_cm3(then), section_modulus_cm3(now)
            section = min(after / before, 1.0)
            width = f"min({EFFECTIVE[metal]:g} × {shown(then.plate_mm)}, {shown(then.spacing_mm)})"
            steps += [
                Step("plate working with it", f"min({EFFECTIVE[metal]:g}·t, spacing)", width,
                     f"{shown(then.effective_width_mm)} mm", SECTION),
                Step("section modulus left", "worn / built, I / distance to its far edge, with that plate",
                     f"{shown(after, 4)} / {shown(before, 4)} cm³", f"{100 * section:.0f} %", SECTION),
            ]  # fmt: skip
            told.append(f"{100 * section:.0f} % of its section modulus")
        if yield_mpa is not None and built.web_height_mm is not None:
            flanged = built.flange_mm is not None
            slender = slenderness(built.web_height_mm, worn.web_mm, yield_mpa, metal, flanged=flanged)
            slender_built = slenderness(built.web_height_mm, built.web_mm, yield_mpa, metal, flanged=flanged)
            steps += slender.working.steps
            told.append(f"web {slender.ratio:.1f} times as high as thick, at most {slender.limit:.1f}")
    worst = max(share for _, share in losses)
    return MemberWear(worst, section, slender, slender_built, "; ".join(told), Working((), tuple(steps), NOT_COVERED))
