"""How many of the rest: a few of equal things were opened, some were bad."""

from __future__ import annotations

import math
from dataclasses import dataclass

from inspect_tui.engineering.working import Seen, Source, Step, Working
from inspect_tui.errors import CannotCalculate

SOURCE = Source("Beta-binomial prediction with Jeffreys' prior", Seen.DERIVED)


@dataclass(frozen=True)
class Rest:
    """`bad` of `opened` were bad. `chance`: of one not opened being bad; `low`, `high`: how many of the rest are bad,
    90 % of the chance between; `any_bad`: chance that at least one is."""

    opened: int
    bad: int
    chance: float
    low: int
    high: int
    any_bad: float
    not_opened: int
    working: Working


def rest_bad(opened: int, bad: int, not_opened: int) -> Rest:
    """What `bad` among `opened` says of those not opened, if they are alike and none was chosen for its looks.

    >>> told = rest_bad(4, 4, 3)
    >>> round(told.chance, 2), told.low, told.high, round(told.any_bad, 3)
    (0.9, 1, 3, 0.991)

    Raises
    ------
    CannotCalculate : numbers that cannot be.
    """
    if opened < 1 or not 0 <= bad <= opened or not_opened < 0:
        raise CannotCalculate("At least one was opened, and no more were bad than opened.")
    if opened + not_opened > 10_000:
        raise CannotCalculate("So many are not on one boat.")
    a, b = bad + 0.5, opened - bad + 0.5
    weights = [_chance(number, not_opened, a, b) for number in range(not_opened + 1)]
    total, low, high = 0.0, 0, not_opened
    for number, weight in enumerate(weights):
        if total < 0.05 <= total + weight:
            low = number
        if total < 0.95 <= total + weight:
            high = number
        total += weight
    none = Step(
        "at least one", "1 - product of (good + ½ + i)/(opened + 1 + i)", f"i from 0 to {not_opened - 1}",
        f"{1 - weights[0]:.0%}", SOURCE,
    )  # fmt: skip
    step = Step("one more", "(bad + ½) / (opened + 1)", f"({bad} + ½) / ({opened} + 1)", f"{a / (a + b):.0%}", SOURCE)
    not_covered = (
        "It takes those not opened to be like the opened ones, and none to have been chosen for its looks.",
    )
    steps = (step, none) if not_opened else (step,)
    return Rest(opened, bad, a / (a + b), low, high, 1 - weights[0], not_opened, Working((), steps, not_covered))


def _chance(number: int, of: int, a: float, b: float) -> float:
    """Beta-binomial chance of `number` in `of`."""
    choose = math.lgamma(of + 1) - math.lgamma(number + 1) - math.lgamma(of - number + 1)
    beta = math.lgamma(number + a) + math.lgamma(of - number + b) - math.lgamma(of + a + b)
    return math.exp(choose + beta - (math.lgamma(a) + math.lgamma(b) - math.lgamma(a + b)))
