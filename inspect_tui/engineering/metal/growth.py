"""How fast metal goes, how long it lasts, and when to look again."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from inspect_tui.engineering.working import Seen, Source, Step, Working, shown
from inspect_tui.errors import CannotCalculate

API_570 = Source("API 570 form: long and short term rate, the greater governs", Seen.SECOND_HAND)
# A longer life is no statement about a boat.
LONGEST_TOLD_Y = 50
API_510 = Source("API 510 training key: half the remaining life, at most 10 years", Seen.READ)
TWO_READINGS = Source("√2 times one reading's error", Seen.DERIVED)
GODARD = Source(
    "Pathak & Godard, Nature 218 (1968) 893, abstract, restating H. P. Godard, Can. J. Chem. Eng. 38 (1960) 167: "
    "depth as the cube root of time, aluminium in fresh water",
    Seen.READ,
)
HUNKELER = Source(
    "Hunkeler & Böhni, Corrosion 40 (1984) 534: depth as the square root of time", Seen.READ, "abstract"
)
PESSIMIST = Source("the pessimist's", Seen.JUDGEMENT)
EXPONENTS = {"cube root": 1 / 3, "square root": 1 / 2, "straight": 1.0}
LONGEST_INTERVAL_Y = 10.0
PITS_NOT_COVERED = (
    "Pits follow these laws only while the metal corrodes freely in water that stays the same: not with another "
    "metal or a leak of current at work, not in crevices or under old epoxy, not with copper in the bilge."
)


@dataclass(frozen=True)
class Growth:
    """Loss since as built and since the last time [mm], rates [mm/year] (None: too small to be told from the
    measuring error), and the rate that governs. `life_years` is None where nothing is being lost; `life_least_years`
    is the earliest that the error of the readings still allows."""

    loss_mm: float
    last_loss_mm: float | None
    long_term_mm_per_year: float | None
    short_term_mm_per_year: float | None
    rate_mm_per_year: float | None
    life_years: float | None
    interval_years: float
    detectable_mm: float
    warnings: tuple[str, ...]
    life_least_years: float | None = None


def rate(earlier_mm: float, later_mm: float, years: float) -> float:
    """Loss per year [mm/year]; a reading thicker than before counts as no loss.

    Examples
    --------
    In inches, 0.400 in 1983 to 0.260 in 2003 (API training key, example 1):

    >>> round(rate(0.400, 0.260, 20), 4)
    0.007
    """
    if years <= 0:
        raise CannotCalculate("The years between two readings must be more than 0.")
    return max(earlier_mm - later_mm, 0.0) / years


def remaining_life(actual_mm: float, required_mm: float, rate_mm_per_year: float) -> float:
    """Years until the required thickness is reached; 0 if it is passed, infinite if nothing is being lost.

    >>> round(remaining_life(3.24, 0.37, 0.34), 3)
    8.441
    """
    if actual_mm <= required_mm:
        return 0.0
    return math.inf if rate_mm_per_year <= 0 else (actual_mm - required_mm) / rate_mm_per_year


def inspection_interval(life_years: float, longest_years: float = LONGEST_INTERVAL_Y) -> float:
    """Half of the remaining life, and no more than `longest_years` (10 in API 510, 15 in API 653) [years].

    >>> inspection_interval(8.0), inspection_interval(math.inf, 15)
    (4.0, 15)
    """
    return min(life_years / 2, longest_years)


def growth(
    built_mm: float,
    now_mm: float,
    years: float,
    *,
    required_mm: float | None = None,
    previous_mm: float | None = None,
    years_since_previous: float | None = None,
    error_mm: float = 0.1,
    longest_years: float = LONGEST_INTERVAL_Y,
) -> Growth:
    """Rates since as built and since the last time, the greater of the two, life and interval.

    Parameters
    ----------
    built_mm, now_mm, previous_mm : thickness as built, now, and last time [mm]
    years, years_since_previous : since as built, and since last time [years]
    required_mm : thickness needed [mm]; without it no life is told
    error_mm : of one reading [mm]; a loss below √2 of it gives no rate

    Examples
    --------
    7.8 mm to 3.24 mm in 15 years:

    >>> round(growth(7.8, 3.24, 15, required_mm=0.37).rate_mm_per_year, 3)
    0.304
    """
    if (previous_mm is None) != (years_since_previous is None):
        raise CannotCalculate("A previous reading needs the years since it, and those years need the reading.")
    for told in (built_mm, now_mm, *([] if previous_mm is None else [previous_mm])):
        if not math.isfinite(told) or told <= 0:
            raise CannotCalculate(f"{told:g} mm is not a thickness.")
    detectable = math.sqrt(2) * error_mm
    warnings: list[str] = []
    long_term = _quoted("as built", built_mm, now_mm, years, detectable, warnings)
    short_term = None
    if previous_mm is not None and years_since_previous is not None:
        short_term = _quoted("the last time", previous_mm, now_mm, years_since_previous, detectable, warnings)
    quoted = [one for one in (long_term, short_term) if one is not None]
    governing = max(quoted) if quoted else None
    life = until = None
    if required_mm is not None:
        life = None if not governing else remaining_life(now_mm, required_mm, governing)
        if now_mm <= required_mm:
            life = 0.0
    # A rate too small to be told may still be as large as what the readings cannot tell apart.
    at_most = (
        detectable / (years_since_previous or years) if None in (long_term, short_term) and not governing else 0.0
    )
    least = None
    if required_mm is not None:
        until = remaining_life(now_mm, required_mm, at_most) if life is None else life
        if governing:
            period = years if governing == long_term or years_since_previous is None else years_since_previous
            least = remaining_life(now_mm, required_mm, governing + detectable / period)
    return Growth(
        built_mm - now_mm,
        None if previous_mm is None else previous_mm - now_mm,
        long_term,
        short_term,
        governing,
        life,
        inspection_interval(math.inf if until is None else until, longest_years),
        detectable,
        tuple(warnings),
        least,
    )


def _quoted(
    since: str, earlier_mm: float, now_mm: float, years: float, detectable_mm: float, warnings: list[str]
) -> float | None:
    told = rate(earlier_mm, now_mm, years)
    loss = earlier_mm - now_mm
    if loss < 0:
        warnings.append(
            f"Thicker now than {since} by {-loss:.2f} mm: counted as no loss. Another spot, another gauge, or paint?"
        )
    # Rounding of decimal readings must not decide.
    elif 0 < loss < detectable_mm - 1e-9:
        warnings.append(
            f"The loss since {since}, {loss:.2f} mm, is below the {detectable_mm:.2f} mm that two readings can tell "
            "apart: no rate is quoted."
        )
        return None
    return told


def pit_depth_later(depth_mm: float, age_years: float, years_ahead: float, exponent: float) -> float:
    """Depth [mm] of a pit some years on: d·((age + ahead)/age)^n.

    Parameters
    ----------
    depth_mm : now [mm]
    age_years : since the pit began; the boat's age if nothing better is known [years]
    exponent : n = 1/3 for aluminium in fresh water, 1/2 where the pit's own resistance governs, 1 the pessimist's [-]

    >>> round(pit_depth_later(2.0, 10, 10, 1.0), 2), round(pit_depth_later(2.0, 10, 10, 1 / 3), 2)
    (4.0, 2.52)
    """
    if age_years <= 0 or years_ahead < 0:
        raise CannotCalculate("The age of the pit must be more than 0, and the look ahead not below 0.")
    return depth_mm * math.pow((age_years + years_ahead) / age_years, exponent)


def pit_band(depth_mm: float, age_years: float, years_ahead: float) -> tuple[float, float, float]:
    """Depth [mm] later by the cube root, the square root and the straight line: a band with a pessimist."""
    told = [pit_depth_later(depth_mm, age_years, years_ahead, n) for n in EXPONENTS.values()]
    return told[0], told[1], told[2]


def pit_band_working(depth_mm: float, age_years: float, years_ahead: float) -> Working:
    """The deepest pit some years on by each law; the straight line is the pessimist's."""
    band = pit_band(depth_mm, age_years, years_ahead)
    steps = tuple(
        Step(
            f"deepest in {years_ahead:g} years, {name}",
            "d·((age + years)/age)^n",
            f"{depth_mm:g} × (({age_years:g} + {years_ahead:g})/{age_years:g})^{exponent:.2f}",
            f"{depth:.2f} mm",
            source,
        )
        for (name, exponent), depth, source in zip(
            EXPONENTS.items(), band, (GODARD, HUNKELER, PESSIMIST), strict=True
        )
    )
    age = f"{age_years:g} years, taken as her age: if the pits are younger, they grew faster"
    return Working((("age of the pits", age),), steps, (PITS_NOT_COVERED,))


def growth_working(told: Growth, inputs: Sequence[tuple[str, str]]) -> Working:
    steps = [
        Step(
            "loss two readings can tell",
            "√2·error",
            "two readings, each with its error",
            f"{told.detectable_mm:.2f} mm",
            TWO_READINGS,
        )
    ]
    for what, loss, per_year in (
        ("long term", told.loss_mm, told.long_term_mm_per_year),
        ("short term", told.last_loss_mm, told.short_term_mm_per_year),
    ):
        if loss is not None:
            result = "no rate quoted" if per_year is None else f"{shown(per_year)} mm/year"
            steps.append(Step(what, "loss / years", f"{loss:.3f} mm over its years", result, API_570))
    if told.life_years is not None:
        steps.append(
            Step(
                "life",
                "(t - t_required)/rate",
                "the greater rate",
                f"{told.life_years:.1f} years"
                if told.life_years < LONGEST_TOLD_Y
                else f"over {LONGEST_TOLD_Y} years",
                API_570,
            )
        )
    if told.life_least_years is not None:
        steps.append(
            Step(
                "life, at the least",
                "(t - t_required)/(rate + √2·error/its years)",
                "",
                f"{told.life_least_years:.1f} years",
                TWO_READINGS,
            )
        )
    steps.append(
        Step(
            "look again within",
            "half the life, at most 10 years; where no rate can be told, what the readings cannot "
            "tell apart is taken as the rate",
            "",
            f"{told.interval_years:.1f} years",
            API_510,
        )
    )
    return Working(tuple(inputs), tuple(steps), ("A mean rate says nothing of a new cause.",), told.warnings)
