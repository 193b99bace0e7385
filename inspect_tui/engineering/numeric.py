"""The few numerical tools the statistics need: a root, Student's t, a small optimiser. Plain `math`."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from inspect_tui.errors import CannotCalculate


def root(function: Callable[[float], float], low: float, high: float, tolerance: float = 1e-12) -> float:
    """Where a function that changes sign between `low` and `high` is zero (Illinois false position, bisected
    where that is slow).

    Raises
    ------
    ValueError : no change of sign between the ends.

    Examples
    --------
    >>> round(root(lambda x: x * x - 2, 0, 2), 9)
    1.414213562
    """
    at_low, at_high = function(low), function(high)
    if at_low == 0 or at_high == 0:
        return low if at_low == 0 else high
    if (at_low > 0) == (at_high > 0):
        raise CannotCalculate("no change of sign between the ends")
    side = 0
    for turn in range(200):
        span = abs(high - low)
        if span <= tolerance * (abs(low) + abs(high) + tolerance):
            break
        middle = (low * at_high - high * at_low) / (at_high - at_low) if turn % 4 != 3 else (low + high) / 2
        at_middle = function(middle)
        if at_middle == 0:
            return middle
        if (at_middle > 0) == (at_high > 0):
            high, at_high = middle, at_middle
            at_low = at_low / 2 if side == -1 and turn % 4 != 3 else at_low
            side = -1
        else:
            low, at_low = middle, at_middle
            at_high = at_high / 2 if side == 1 and turn % 4 != 3 else at_high
            side = 1
    return (low + high) / 2


def student_t_quantile(probability: float, degrees_of_freedom: int) -> float:
    """The t below which a share `probability` [-] of Student's distribution lies, for 0.5 <= probability < 1.

    The distribution is summed by the finite series for whole degrees of freedom (Abramowitz & Stegun 26.7.3 and
    26.7.4, from memory; the tests compare with another library).

    Examples
    --------
    The 95 % one-sided value for 9 degrees of freedom, as in any table.

    >>> round(student_t_quantile(0.95, 9), 3)
    1.833
    """
    if not 0.5 <= probability < 1 or degrees_of_freedom < 1:
        raise CannotCalculate("probability from 0.5 to below 1, at least one degree of freedom")
    if probability == 0.5:
        return 0.0
    high = 2.0
    while _student_t_cdf(high, degrees_of_freedom) < probability:
        high *= 2
    return root(lambda t: _student_t_cdf(t, degrees_of_freedom) - probability, 0.0, high)


def _student_t_cdf(t: float, degrees: int) -> float:
    angle = math.atan2(t, math.sqrt(degrees))
    cos2, term, total = math.cos(angle) ** 2, 1.0, 0.0
    if degrees % 2:
        term = math.cos(angle)
        for k in range(1, (degrees - 1) // 2 + 1):
            total += term
            term *= cos2 * 2 * k / (2 * k + 1)
        return 0.5 + (angle + math.sin(angle) * total) / math.pi
    for k in range(1, degrees // 2 + 1):
        total += term
        term *= cos2 * (2 * k - 1) / (2 * k)
    return 0.5 + math.sin(angle) * total / 2


def smallest(
    function: Callable[[Sequence[float]], float], start: Sequence[float], steps: Sequence[float]
) -> tuple[list[float], float]:
    """Where a function of a few variables is least, and how little: the simplex search of Nelder and Mead (1965).

    Examples
    --------
    >>> at, least = smallest(lambda p: (p[0] - 1) ** 2 + (p[1] + 2) ** 2, [0, 0], [1, 1])
    >>> [round(x, 5) for x in at], round(least, 9)
    ([1.0, -2.0], 0.0)
    """
    size = len(start)
    points = [list(start)] + [[x + steps[i] * (i == j) for j, x in enumerate(start)] for i in range(size)]
    corners = sorted((function(point), point) for point in points)
    for _ in range(400 * size):
        (best, at_best), (worst, at_worst) = corners[0], corners[-1]
        if abs(worst - best) < 1e-13 and max(abs(a - b) for a, b in zip(at_best, at_worst, strict=True)) < 1e-7:
            break
        centre = [sum(point[i] for _, point in corners[:-1]) / size for i in range(size)]

        def moved(by: float, centre: list[float] = centre, at: list[float] = at_worst) -> tuple[float, list[float]]:
            point = [c + by * (c - x) for c, x in zip(centre, at, strict=True)]
            return function(point), point

        turned = moved(1.0)
        if turned[0] < best:
            corners[-1] = min(turned, moved(2.0))
        elif turned[0] < corners[-2][0]:
            corners[-1] = turned
        else:
            drawn_in = moved(-0.5) if turned[0] >= worst else moved(0.5)
            if drawn_in[0] < min(worst, turned[0]):
                corners[-1] = drawn_in
            else:
                shrunk = [[(x + b) / 2 for x, b in zip(point, at_best, strict=True)] for _, point in corners[1:]]
                corners[1:] = [(function(point), point) for point in shrunk]
        corners.sort()
    return corners[0][1], corners[0][0]


def curvature(function: Callable[[Sequence[float]], float], at: Sequence[float], steps: Sequence[float]) -> Matrix:
    """Second derivatives of a function by central differences with the given steps."""
    size = len(at)

    def value(*moves: tuple[int, float]) -> float:
        point = list(at)
        for i, by in moves:
            point[i] += by
        return function(point)

    return [
        [
            (value((i, h), (j, k)) - value((i, h), (j, -k)) - value((i, -h), (j, k)) + value((i, -h), (j, -k)))
            / (4 * h * k)
            for j, k in enumerate(steps)
        ]
        for i, h in zip(range(size), steps, strict=True)
    ]


Matrix = list[list[float]]


def inverse(matrix: Matrix) -> Matrix:
    """Of a small matrix, by Gauss and Jordan with pivoting.

    Raises
    ------
    ValueError : the matrix has no inverse.

    >>> inverse([[2.0, 0.0], [0.0, 4.0]])
    [[0.5, 0.0], [0.0, 0.25]]
    """
    size = len(matrix)
    rows = [[*map(float, row), *(float(i == j) for j in range(size))] for i, row in enumerate(matrix)]
    for column in range(size):
        pivot = max(range(column, size), key=lambda r: abs(rows[r][column]))
        if rows[pivot][column] == 0:
            raise CannotCalculate("the matrix has no inverse")
        rows[column], rows[pivot] = rows[pivot], rows[column]
        rows[column] = [x / rows[column][column] for x in rows[column]]
        for other in range(size):
            if other != column:
                factor = rows[other][column]
                rows[other] = [x - factor * y for x, y in zip(rows[other], rows[column], strict=True)]
    return [row[size:] for row in rows]
