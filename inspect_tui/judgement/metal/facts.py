"""What is known of one piece of metal, in numbers, under the names that the limits use."""

from __future__ import annotations

import math
import statistics
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from inspect_tui.domain.reading_records import PitReading
from inspect_tui.domain.words import Follows
from inspect_tui.engineering.metal.metal_loss import Loss
from inspect_tui.engineering.metal.pits import describe
from inspect_tui.engineering.metal.spot_growth import SpotGrowth
from inspect_tui.engineering.strength.plate_strength import PlateCheck
from inspect_tui.judgement.metal.gathered import Metal

FOLLOWS = {
    "at_weld": Follows.WELD,
    "ring": Follows.RING,
    "lap": Follows.LAP,
    "apart": Follows.APART,
    "doubled": Follows.DOUBLED,
}
Stray = Literal["low", "high"]
# So many readings, and so far off as a share of the plate, before one of them is doubted; judgement.
FEWEST_BESIDE, FAR_SHARE = 4, 0.2


@dataclass(frozen=True)
class Facts:
    """What is known of one piece of metal, in numbers; None where it is not.

    `plate_mm` as built; `mean_mm`, `thinnest_mm` and `error_mm` of the thickness between the pits; `ground_mm` of the
    plate the pits start from, no more than as built, and `most_ground_mm` what it may be where nobody gauged beside
    them; `deepest_mm` from the surface beside the pit; `left_error_mm` of what is left under it, all instruments
    counted; `later_share`: plate left at the next haul-out / as built. `stray`: one reading far off all others,
    `others_mm` the mean and the thinnest of those;
    `painted`: all of the thickness was read through paint; `afloat`: water stands behind it. `member`: of a frame or
    another member its own quantities, in place of all others. `inland_mm`: the inland yardstick; `follows`: what
    the attack runs along; `across_panel`: it is a line long enough to weaken the panel, not a spot in it.
    """

    plate_mm: float
    deepest_mm: float | None = None
    holes: int = 0
    soft: bool = False
    mean_mm: float | None = None
    thinnest_mm: float | None = None
    ground_mm: float | None = None
    error_mm: float = 0.1
    pits: int = 0
    spacing_mm: float | None = None
    deep_pits: int = 0
    check: PlateCheck | None = None
    hole_chance: float | None = None
    later_share: float | None = None
    most_ground_mm: float | None = None
    left_error_mm: float = 0.1
    stray: Stray | None = None
    others_mm: tuple[float, float] | None = None
    painted: bool = False
    afloat: bool = False
    growth: SpotGrowth | None = None
    member: Mapping[str, float] | None = None
    inland_mm: float | None = None
    buckling_left: float | None = None
    thicker_since: bool = False
    follows: Follows | None = None
    across_panel: bool = False

    @property
    def left_mm(self) -> float | None:
        """Under the deepest pit."""
        if self.deepest_mm is None:
            return None
        ground = self.plate_mm if self.ground_mm is None else self.ground_mm
        return max(ground - self.deepest_mm, 0.0)

    def left_for(self, growth: SpotGrowth) -> float | None:
        """What such growth still has to go through: under the pit, or the plate itself."""
        return self.left_mm if growth.what == "deeper" else self.thinnest_mm

    def least_left_for(self, growth: SpotGrowth) -> float | None:
        """The same, by the least that the instruments allow: what an earliest day is told from."""
        left, error = self.left_for(growth), self.left_error_mm if growth.what == "deeper" else self.error_mm
        return None if left is None else max(left - error, 0.0)

    @property
    def holed(self) -> int:
        """Places holed through; a pit as deep as the plate that is left is one."""
        return self.holes or int(bool(self.deepest_mm) and self.left_mm == 0.0)

    @property
    def pit_share(self) -> float | None:
        """Metal gone at the deepest pit; nothing where no pit was found."""
        if self.left_mm is None:
            return None
        return (self.plate_mm - self.left_mm) / self.plate_mm if self.deepest_mm else 0.0

    @property
    def of_the_others(self) -> Facts | None:
        """The same without the reading that may be wrong, where there is one: what all others say."""
        if self.others_mm is None:
            return None
        mean, thinnest = self.others_mm
        return replace(self, stray=None, mean_mm=mean, thinnest_mm=thinnest)

    def quantities(self) -> dict[str, float]:
        """By the names that the limits use; what is not known is left out. Rounded, so that 0.8 of 4 mm and 1.2 of 6
        are the same fifth."""
        if self.member is not None:
            return {name: round(value, 6) for name, value in self.member.items()}
        told: dict[str, float | None] = {
            "holes": float(self.holed),
            "soft": float(self.soft),
            "pit_share": self.pit_share,
            "left_under_pit_mm": self.left_mm if self.deepest_mm else None,
            "pits": float(self.pits),
            "pit_spacing_mm": self.spacing_mm,
            "deep_pits": float(self.deep_pits),
            "hole_chance": self.hole_chance,
            "mean_thickness_mm": self.mean_mm,
            "stray_low": float(self.stray == "low"),
            "stray_high": float(self.stray == "high"),
            "painted": float(self.painted),
            "afloat": float(self.afloat),
            **{name: float(self.follows is what) for name, what in FOLLOWS.items()},
        }
        if self.across_panel and self.left_mm is not None and self.check is not None:
            told["line_of_required"] = (self.left_mm + self.left_error_mm) / self.check.required_mm
        if self.mean_mm is not None:
            told |= self._strength(min(self.mean_mm, self.plate_mm))
        return {name: round(value, 6) for name, value in told.items() if value is not None}

    def _strength(self, mean_mm: float) -> dict[str, float | None]:
        loss = self.plate_mm - mean_mm
        told: dict[str, float | None] = {
            "loss_share": loss / self.plate_mm,
            "loss_over_error": loss / max(self.error_mm, 0.01),
            "required_known": float(self.check is not None),
            "inland_known": float(self.inland_mm is not None),
        }
        thinnest = mean_mm if self.thinnest_mm is None else min(self.thinnest_mm, self.plate_mm)
        told["thinnest_share"] = thinnest / self.plate_mm
        told["thicker_since"] = float(self.thicker_since)
        told["buckling_left"] = self.buckling_left
        if self.inland_mm is not None:
            told["thickness_of_inland"] = (mean_mm - self.error_mm) / self.inland_mm
            told["thinnest_of_inland"] = (thinnest - self.error_mm) / self.inland_mm
        if self.check is not None:
            required = self.check.required_mm
            told["thickness_of_required"] = (mean_mm - self.error_mm) / required
            told["thinnest_of_required"] = (thinnest - self.error_mm) / required
            if self.check.minimum_mm is not None:
                told["thickness_of_minimum"] = (mean_mm - self.error_mm) / self.check.minimum_mm
            if self.plate_mm > required:
                told["margin_used"] = loss / (self.plate_mm - required)
        return told


def facts_of(
    plate_mm: float, metal: Metal, loss: Loss | None, check: PlateCheck | None, *, ground_mm: float, holes: int = 0
) -> Facts:
    """The facts of readings, for a finding and a plate field alike; `ground_mm` is the plate the pits start from. The
    thinnest reading of any round stands: metal does not grow back."""
    depths = metal.depths_mm
    rounds = by_round(metal)
    # Read again in another round they are the same pits: those of the round with the most count.
    most = max(rounds.values(), key=lambda those: sum(len(one.depths_mm) for one in those), default=[])
    counted = [depth for one in most for depth in one.depths_mm]
    areas = [one.patch_area_m2 for one in most]
    area = sum(one for one in areas if one) if areas and all(areas) else None
    ground = min(ground_mm, plate_mm)
    holes = max(metal.holes, holes)
    stray = stray_of(metal.all_thickness_mm, plate_mm, metal.thickness_error_mm)
    return Facts(
        plate_mm,
        max(depths, default=0.0 if metal.pits and not holes and not metal.soft else None),
        holes,
        metal.soft,
        _mean(metal, loss, stray) if loss else None,
        min(loss.thinnest_mm, metal.thinnest_mm) if loss and metal.thinnest_mm else None,
        ground,
        loss.error_mm if loss else metal.thickness_error_mm,
        len(counted),
        describe(counted, area).spacing_mm if area and len(counted) > 1 else None,
        max((_deep(those, plate_mm / 2 - (plate_mm - ground)) for those in rounds.values()), default=0),
        check,
        left_error_mm=math.hypot(metal.pit_error_mm, loss.error_mm if loss else metal.thickness_error_mm),
        stray=stray,
        thicker_since=metal.thicker_by_mm > math.sqrt(2) * metal.thickness_error_mm,
        others_mm=_others(metal.all_thickness_mm) if stray == "low" else None,
        painted=metal.all_painted,
    )


def _mean(metal: Metal, loss: Loss, stray: Stray | None) -> float:
    """Mean thickness [mm]; one reading far above all others is no plate, and left out."""
    values = sorted(metal.thickness_mm())
    if stray == "high" and len(values) > 1 and values[-1] == max(metal.all_thickness_mm):
        return min(statistics.fmean(values[:-1]), loss.left_mm)
    return loss.left_mm


def _others(values_mm: Sequence[float]) -> tuple[float, float]:
    """Mean and thinnest [mm] of all but the thinnest."""
    _, *others = sorted(values_mm)
    return statistics.fmean(others), others[0]


def by_round(metal: Metal) -> dict[str, list[PitReading]]:
    rounds: dict[str, list[PitReading]] = defaultdict(list)
    for one in metal.pits:
        rounds[one.round].append(one)
    return rounds


def _deep(readings: Sequence[PitReading], past_mm: float) -> int:
    """How many pits of one round go deeper than this [mm]."""
    return sum(depth > past_mm for one in readings for depth in one.depths_mm)


def stray_of(values_mm: Sequence[float], plate_mm: float, error_mm: float) -> Stray | None:
    """Whether just one reading of four or more lies far below all others, or far above others that lie together.

    >>> stray_of([5.9, 6.0, 3.1, 5.9, 6.0], 6, 0.1), stray_of([5.0, 4.9, 10.0, 5.0], 5, 0.1)
    ('low', 'high')
    >>> stray_of([3.6, 3.5, 2.9, 3.7], 6, 0.1)
    """
    if len(values_mm) < FEWEST_BESIDE:
        return None
    far = max(FAR_SHARE * plate_mm, 5 * error_mm)
    lowest, *rest = sorted(values_mm)
    *low, highest = sorted(values_mm)
    if rest[0] - lowest > far:
        return "low"
    return "high" if highest - low[-1] > far and low[-1] - low[0] <= far else None
