"""How much deeper a pit is than at an earlier round, what of that the instrument can tell, and where it leads."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta

from inspect_tui.engineering.working import Seen, Source, Step, Working, shown

TWO_READINGS = Source("√2 of one reading's error, each taken as a 95 % limit", Seen.DERIVED)
STRAIGHT = Source("a straight line through two rounds: pits also grow in steps", Seen.JUDGEMENT)
DAYS_A_YEAR = 365.25
FEWEST_DAYS = 30
# A straight line through two readings says nothing of later years.
LONGEST_TOLD_Y = 30.0


@dataclass(frozen=True)
class PitGrowth:
    """Deepest pit then and now [mm] with the error of one reading [mm], and the days between. `rate_mm_year` is the
    likely one; `fastest_mm_year` what the error still allows."""

    then_mm: float
    now_mm: float
    error_mm: float
    since: date
    until: date

    @property
    def days(self) -> int:
        return (self.until - self.since).days

    @property
    def grown_mm(self) -> float:
        return self.now_mm - self.then_mm

    @property
    def tells_mm(self) -> float:
        """What a difference must be greater than before it is one."""
        return math.sqrt(2) * self.error_mm

    @property
    def significant(self) -> bool:
        return self.grown_mm > self.tells_mm and self.days >= FEWEST_DAYS

    @property
    def rate_mm_year(self) -> float:
        return max(self.grown_mm, 0.0) / self.days * DAYS_A_YEAR

    @property
    def fastest_mm_year(self) -> float:
        return (max(self.grown_mm, 0.0) + self.tells_mm) / self.days * DAYS_A_YEAR

    def through(self, left_mm: float) -> date | None:
        """The earliest credible day on which nothing is left of `left_mm`; None if that lies too far off to tell."""
        years = left_mm / self.fastest_mm_year
        return self.until + timedelta(days=years * DAYS_A_YEAR) if years <= LONGEST_TOLD_Y else None

    def words(self, left_mm: float | None) -> str:
        """In one phrase.

        >>> grown = PitGrowth(2.2, 3.3, 0.1, date(2024, 11, 1), date(2025, 11, 6))
        >>> grown.words(1.7)
        '1.1 ± 0.14 mm deeper than on 2024-11-01; nothing left by 2027-03 at the earliest'
        """
        told = f"{shown(self.grown_mm, 2)} ± {shown(self.tells_mm, 2)} mm deeper than on {self.since}"
        end = self.through(left_mm) if left_mm else None
        return f"{told}; nothing left by {end:%Y-%m} at the earliest" if end else told

    def working(self, left_mm: float | None) -> Working:
        steps = [
            Step("deeper by", "now - then", f"{shown(self.now_mm)} - {shown(self.then_mm)}",
                 f"{shown(self.grown_mm)} mm", TWO_READINGS),
            Step("told by the gauge from", "√2 · error", f"√2 · {shown(self.error_mm)}", f"{shown(self.tells_mm)} mm",
                 TWO_READINGS),
            Step("a year", "deeper by / days · 365.25", f"{shown(max(self.grown_mm, 0))} / {self.days} · 365.25",
                 f"{shown(self.rate_mm_year)} mm", STRAIGHT),
        ]  # fmt: skip
        if left_mm and (end := self.through(left_mm)):
            steps.append(
                Step("nothing left, at the earliest", "left / ((deeper by + √2 · error) / days)",
                     f"{shown(left_mm)} / ({shown(self.fastest_mm_year)} a year)", f"{end}", STRAIGHT)
            )  # fmt: skip
        return Working((), tuple(steps), ("That it was the same pit: only who saw the chalk knows.",))
