"""How much one spot has lost since an earlier round, what of that the instrument can tell, and where it leads.

On a boat with many spots one of them differs by more than the error of two readings sooner or later, though nothing
grew: the line is drawn so that among all spots of the boat it is passed by chance once in forty rounds (Bonferroni).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import NormalDist
from typing import Literal

from inspect_tui.engineering.working import Seen, Source, Step, Working, shown
from inspect_tui.errors import CannotCalculate

TWO_READINGS = Source("√2 times one reading's error, each taken as a 95 % limit", Seen.DERIVED)
SPOTS = Source("the chance of a false alarm shared among all spots of the boat (Bonferroni)", Seen.DERIVED)
STRAIGHT = Source("a straight line through the rounds: pits also grow in steps", Seen.JUDGEMENT)
DAYS_A_YEAR = 365.25
FEWEST_DAYS = 30
# A straight line through a few readings says nothing of later years.
LONGEST_TOLD_Y = 30.0
FALSE_ALARM = 0.025
NORMAL_95 = NormalDist().inv_cdf(0.975)
What = Literal["deeper", "thinner", "longer"]
SAME_SPOT = "Whether it was the same spot, only whoever saw the chalk knows."
RUBBED = "Metal can also be rubbed away: see whether it is bright and smooth, and what lies or moves against it."


@dataclass(frozen=True)
class SpotReading:
    """What is gone at a spot on one day [mm]: depth of a pit, plate lost, length of a crack; `error_mm` of the
    reading, taken as a 95 % limit."""

    day: date
    gone_mm: float
    error_mm: float


@dataclass(frozen=True)
class SpotGrowth:
    """One spot over two rounds or more, oldest first. `what` it has become; `spots`: how many spots of the boat were
    read twice, this one among them; `where`: which spot, in words, if it has no number."""

    readings: tuple[SpotReading, ...]
    what: What = "deeper"
    spots: int = 1
    where: str = ""

    def __post_init__(self) -> None:
        days = [one.day for one in self.readings]
        if len(days) < 2 or days != sorted(set(days)):
            raise CannotCalculate("Growth needs readings on two days or more, in order.")

    @property
    def first(self) -> SpotReading:
        return self.readings[0]

    @property
    def last(self) -> SpotReading:
        return self.readings[-1]

    @property
    def since(self) -> SpotReading:
        """The round that the newest is held against: where it grew the most beyond what can be told."""
        return max(self.readings[:-1], key=lambda one: self.last.gone_mm - one.gone_mm - self._two_mm(one))

    @property
    def days(self) -> int:
        return (self.last.day - self.since.day).days

    @property
    def grown_mm(self) -> float:
        return self.last.gone_mm - self.since.gone_mm

    def _two_mm(self, before: SpotReading) -> float:
        return math.hypot(before.error_mm, self.last.error_mm)

    @property
    def error_mm(self) -> float:
        """Of the difference, as a 95 % limit of this spot alone."""
        return self._two_mm(self.since)

    @property
    def strictness(self) -> float:
        """Standard deviations that a difference must pass, over the 1.96 of one spot and one earlier round."""
        compared = self.spots * (len(self.readings) - 1)
        return NormalDist().inv_cdf(1 - FALSE_ALARM / compared) / NORMAL_95

    @property
    def tells_mm(self) -> float:
        """What a difference must be greater than before it is one, among so many spots."""
        return self.strictness * self.error_mm

    @property
    def significant(self) -> bool:
        return self.grown_mm > self.tells_mm and self.days >= FEWEST_DAYS

    @property
    def rate_mm_year(self) -> float:
        return max(self.grown_mm, 0.0) / self.days * DAYS_A_YEAR

    @property
    def fastest_mm_year(self) -> float:
        """What the error of this spot still allows."""
        return (max(self.grown_mm, 0.0) + self.error_mm) / self.days * DAYS_A_YEAR

    @property
    def faster(self) -> tuple[float, float] | None:
        """Rate before and since [mm a year], where three rounds show that it goes faster; None if they do not."""
        if len(self.readings) < 3:
            return None
        first, middle, last = self.readings[-3:]
        before, now = ((b.gone_mm - a.gone_mm) / (b.day - a.day).days for a, b in ((first, middle), (middle, last)))
        one, two = (middle.day - first.day).days, (last.day - middle.day).days
        error = math.sqrt(
            (first.error_mm / one) ** 2 + (middle.error_mm * (1 / one + 1 / two)) ** 2 + (last.error_mm / two) ** 2
        )
        grew = now - before > self.strictness * error
        return (max(before, 0.0) * DAYS_A_YEAR, now * DAYS_A_YEAR) if grew else None

    def through(self, left_mm: float) -> date | None:
        """The earliest credible day on which nothing is left of `left_mm`; None if that lies too far off to tell."""
        fastest = max(self.fastest_mm_year, self._last_step_mm_year)
        years = left_mm / fastest
        return self.last.day + timedelta(days=years * DAYS_A_YEAR) if years <= LONGEST_TOLD_Y else None

    @property
    def _last_step_mm_year(self) -> float:
        return self.faster[1] if self.faster else 0.0

    def words(self, left_mm: float | None = None) -> str:
        """In one phrase.

        >>> grown = SpotGrowth((SpotReading(date(2024, 11, 1), 2.2, 0.1), SpotReading(date(2025, 11, 6), 3.3, 0.1)))
        >>> grown.words(1.7)
        '1.1 ± 0.14 mm deeper than on 2024-11-01; could be through from 2027-03 at the earliest'
        """
        where = f"{self.where}: " if self.where else ""
        told = f"{where}{shown(self.grown_mm, 2)} ± {shown(self.error_mm, 2)} mm {self.what} than on {self.since.day}"
        if self.faster:
            before, now = self.faster
            until = self.readings[-2].day
            told += f", and faster than before: {shown(now, 2)} mm a year, {shown(before, 2)} until {until}"
        end = self.through(left_mm) if left_mm else None
        return f"{told}; could be through from {end:%Y-%m} at the earliest" if end else told

    def working(self, left_mm: float | None = None) -> Working:
        since, last = self.since, self.last
        steps = [
            Step(f"{self.what} by", "now - then", f"{shown(last.gone_mm)} - {shown(since.gone_mm)}",
                 f"{shown(self.grown_mm)} mm", TWO_READINGS),
            Step("error of the difference", "√(then² + now²)",
                 f"√({shown(since.error_mm)}² + {shown(last.error_mm)}²)", f"{shown(self.error_mm)} mm",
                 TWO_READINGS),
            Step("shows from", f"error · {shown(self.strictness)}, for {self.spots} spots read twice on the boat",
                 f"{shown(self.error_mm)} · {shown(self.strictness)}", f"{shown(self.tells_mm)} mm", SPOTS),
            Step("a year", "deeper by / days · 365.25".replace("deeper", self.what),
                 f"{shown(max(self.grown_mm, 0))} / {self.days} · 365.25", f"{shown(self.rate_mm_year)} mm",
                 STRAIGHT),
        ]  # fmt: skip
        if left_mm and (end := self.through(left_mm)):
            fastest = shown(max(self.fastest_mm_year, self._last_step_mm_year))
            formula, values = f"left / (({self.what} by + error) / days)", f"{shown(left_mm)} / ({fastest} a year)"
            steps.append(Step("nothing left, at the earliest", formula, values, f"{end}", STRAIGHT))
        return Working((), tuple(steps), (SAME_SPOT, *([RUBBED] if self.what != "longer" else [])))


def least_growth_mm(gone_mm: float, error_of: Callable[[float], float], spots: int = 1) -> float:
    """The least growth of a spot [mm] that two readings can tell, by an instrument whose error [mm] depends on what
    it reads.

    >>> from inspect_tui.engineering.metal.ultrasound import repeat_error_mm
    >>> round(least_growth_mm(2.0, lambda depth: 0.1, spots=20), 2)
    0.22
    >>> [round(least_growth_mm(depth, repeat_error_mm, spots=20), 1) for depth in (1.0, 2.0, 3.0)]
    [1.3, 2.5, 3.8]
    """
    if not 1 <= spots <= 10_000:
        raise CannotCalculate("A boat has 1 to 10000 spots that were read twice.")
    grown = 0.0
    for _ in range(200):
        then = SpotReading(date(2024, 1, 1), gone_mm, error_of(gone_mm))
        now = SpotReading(date(2025, 1, 1), gone_mm + grown, error_of(gone_mm + grown))
        grown = SpotGrowth((then, now), spots=spots).tells_mm
    return grown
