"""Moments of Gumbel order statistics from theory, and the linear estimates that follow from them.

With V = exp(-exp(-X)) uniform, the i-th and j-th of n are V(j) = v and V(i) = v·w with v ~ Beta(j, n - j + 1) and
w ~ Beta(i, j - i) independent, so each moment is an integral over the unit square: done by the tanh-sinh rule.

`python -m tests.outside.order_statistics` writes `inspect_tui/engineering/metal/mvlue_table.py`.
"""

from __future__ import annotations

import textwrap
from pathlib import Path
from typing import Any

import numpy as np
from scipy.special import gammaln

import inspect_tui

TABLE = Path(inspect_tui.__file__).parent / "engineering" / "metal" / "mvlue_table.py"
Array = Any


def _nodes() -> tuple[Array, Array, Array]:
    """ln x, ln(1 - x) and weights of the tanh-sinh rule on (0, 1)."""
    step = np.arange(-4.2, 4.2001, 0.04)
    grow = np.pi / 2 * np.sinh(step)
    log_x = -np.logaddexp(0, -2 * grow)
    log_rest = -np.logaddexp(0, 2 * grow)
    log_weight = np.log(0.04 * np.pi * np.cosh(step)) + log_x + log_rest
    return log_x, log_rest, log_weight


LOG_X, LOG_REST, LOG_WEIGHT = _nodes()


def _beta(a: float, b: float) -> Array:
    """Weights for the mean over Beta(a, b)."""
    log_norm = gammaln(a + b) - gammaln(a) - gammaln(b)
    return np.exp(LOG_WEIGHT + (a - 1) * LOG_X + (b - 1) * LOG_REST + log_norm)


def moments(n: int) -> tuple[Array, Array]:
    """Means and covariances of the standard Gumbel order statistics, ascending."""
    single = -np.log(-LOG_X)
    means = np.array([np.sum(_beta(i, n - i + 1) * single) for i in range(1, n + 1)])
    both = -np.log(-(LOG_X[:, None] + LOG_X[None, :]))
    products = np.empty((n, n))
    for j in range(1, n + 1):
        of_j = _beta(j, n - j + 1)
        products[j - 1, j - 1] = np.sum(of_j * single**2)
        for i in range(1, j):
            value = float(np.einsum("v,vw,w->", of_j * single, both, _beta(i, j - i)))
            products[i - 1, j - 1] = products[j - 1, i - 1] = value
    return means, products - np.outer(means, means)


def linear_estimates(n: int) -> tuple[Array, Array, Array]:
    """Coefficients of location and scale, and the 2 × 2 matrix of their variances in units of α²."""
    means, covariance = moments(n)
    design = np.column_stack([np.ones(n), means])
    weighted = np.linalg.solve(covariance, design)
    variances = np.linalg.inv(design.T @ weighted)
    coefficients = variances @ weighted.T
    return coefficients[0], coefficients[1], variances


def write() -> None:
    lines = [
        '"""Coefficients of the minimum-variance linear unbiased estimates of a Gumbel sample, N = 2 to 16.',
        "",
        "Computed from the moments of order statistics by `python -m tests.outside.order_statistics`; not typed in.",
        '"""',
        "",
        "from __future__ import annotations",
        "from typing import NamedTuple",
        "",
        "class Linear(NamedTuple):",
        '    """For one N: coefficients for depths in ascending order; variances and covariance in units of α²."""',
        "",
        "    location: tuple[float, ...]",
        "    scale: tuple[float, ...]",
        "    location_variance: float",
        "    covariance: float",
        "    scale_variance: float",
        "",
        "",
        "# fmt: off",
        "MVLUE: dict[int, Linear] = {",
    ]
    for n in range(2, 17):
        a, b, variances = linear_estimates(n)
        lines.append(f"    {n}: Linear(")
        for row in (a, b):
            numbers = ", ".join(repr(float(f"{value:.8f}")) for value in row)
            wrapped = textwrap.fill(f"({numbers}),", 116, initial_indent=" " * 8, subsequent_indent=" " * 9)
            lines += wrapped.splitlines()
        three = (variances[0, 0], variances[0, 1], variances[1, 1])
        lines.append(f"        {', '.join(repr(float(f'{value:.8f}')) for value in three)},")
        lines.append("    ),")
    TABLE.write_text("\n".join([*lines, "}", "# fmt: on", ""]), encoding="utf-8")


if __name__ == "__main__":
    write()
