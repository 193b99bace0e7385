"""How many of the rest: a few of equal things were opened, some were bad."""

from __future__ import annotations

import math
from dataclasses import dataclass

from inspect_tui.engineering.working import Seen, Source, Step, Working
from inspect_tui.errors import CannotCalculate

SOURCE = Source("Beta-binomial prediction with Jeffreys' prior", Seen.DERIVED)
EXACT = Source("exact limits of a hypergeometric draw, each side tested at 1 in 20", Seen.DERIVED)
EACH_SIDE = 0.05
MOST_THINGS = 10_000


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
        raise CannotCalculate("At least one must have been opened, and no more can be bad than were opened.")
    if opened + not_opened > MOST_THINGS:
        raise CannotCalculate("No boat has so many.")
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
        f"{100 * (1 - weights[0]):.0f} %", SOURCE,
    )  # fmt: skip
    step = Step(
        "one more", "(bad + ½) / (opened + 1)", f"({bad} + ½) / ({opened} + 1)", f"{100 * a / (a + b):.0f} %", SOURCE
    )
    not_covered = ("Assumes the unopened ones are like the opened ones, and that none was picked for its looks.",)
    steps = (step, none) if not_opened else (step,)
    return Rest(opened, bad, a / (a + b), low, high, 1 - weights[0], not_opened, Working((), steps, not_covered))


@dataclass(frozen=True)
class Among:
    """How many of those not opened are bad, where the opened ones were drawn by lot: from `low` to `high`."""

    low: int
    high: int
    working: Working


def among_rest(opened: int, bad: int, not_opened: int) -> Among:
    """Limits of how many bad ones are left, exact whatever their share was: each side is missed at most once in
    twenty draws. `opened`, `bad`, `not_opened` are numbers of things [-]; the draw is hypergeometric.

    By hand: of 10, 5 drawn and none bad. With 3 bad among the 10 that happens in 21 of 252 draws, with 4 in 6 of 252.

    >>> told = among_rest(5, 0, 5)
    >>> told.low, told.high
    (0, 3)

    Raises
    ------
    CannotCalculate : numbers that cannot be.
    """
    if opened < 1 or not 0 <= bad <= opened or not 0 <= not_opened <= MOST_THINGS - opened:
        raise CannotCalculate(
            "At least one must have been opened, no more can be bad than were opened, and no boat has so many."
        )
    may_be = [
        left
        for left in range(not_opened + 1)
        if _drawn(opened, not_opened, bad, left, at_most=True) > EACH_SIDE
        and _drawn(opened, not_opened, bad, left, at_most=False) > EACH_SIDE
    ]
    low, high = min(may_be), max(may_be)
    step = Step(
        "bad among the rest", "every number with which drawing so many bad or more, and so many or fewer, "
        "would each happen more than once in twenty", f"{bad} of {opened} drawn by lot, {not_opened} left",
        f"{low} to {high}", EXACT,
    )  # fmt: skip
    return Among(
        low, high, Working((), (step,), ("It holds only if those opened were drawn by lot, not picked by eye.",))
    )


def _drawn(opened: int, not_opened: int, bad: int, left: int, *, at_most: bool) -> float:
    """Chance of drawing at most, or at least, `bad` bad ones where `bad + left` are bad in all."""
    all_bad, every = bad + left, opened + not_opened
    numbers = range(bad + 1) if at_most else range(bad, opened + 1)
    ways = sum(math.comb(all_bad, one) * math.comb(every - all_bad, opened - one) for one in numbers)
    return ways / math.comb(every, opened)


def _chance(number: int, of: int, a: float, b: float) -> float:
    """Beta-binomial chance of `number` in `of`."""
    choose = math.lgamma(of + 1) - math.lgamma(number + 1) - math.lgamma(of - number + 1)
    beta = math.lgamma(number + a) + math.lgamma(of - number + b) - math.lgamma(of + a + b)
    return math.exp(choose + beta - (math.lgamma(a) + math.lgamma(b) - math.lgamma(a + b)))
