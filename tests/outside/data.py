"""Published arrays: largest values of other things, for which fits were printed; and pits of real pipe."""

from __future__ import annotations

# Annual highest sea levels at Port Pirie, South Australia, 1923-87, in m: example data of Coles 2001, as in the
# public R packages `evd` and `ismev`.
_PORT_PIRIE = """
4.03 3.83 3.65 3.88 4.01 4.08 4.18 3.80 4.36 3.96 3.98 4.69 3.85 3.96 3.85 3.93 3.75 3.63 3.57 4.25 3.97 4.05 4.24
4.22 3.73 4.37 4.06 3.71 3.96 4.06 4.55 3.79 3.89 4.11 3.85 3.86 3.86 4.21 4.01 4.11 4.24 3.96 4.21 3.74 3.85 3.88
3.66 4.11 3.71 4.18 3.90 3.78 3.91 3.72 4.00 3.66 3.62 4.33 4.55 3.75 4.08 3.90 3.88 3.94 4.33
"""
# Largest inclusion of each of 24 fields, in µm: the example of ASTM E2283, as quoted in a public notebook.
_E2283 = """
40.29 37.24 29.03 52.46 62.21 33.98 30.73 37.43 35.00 44.82 66.13 48.55 73.48 44.79 70.87 59.83 22.18 64.32 78.91
46.53 94.28 49.15 82.39 37.43
"""
PORT_PIRIE = tuple(map(float, _PORT_PIRIE.split()))
E2283 = tuple(map(float, _E2283.split()))


# Deepest pits [mil] of coated buried steel pipe at 15 places under two coatings: Rencher & Christensen, Methods of
# Multivariate Analysis, table 5.3, read as the companion data set; that the unit is mil, from memory.
BURIED_PIPE_MIL = (
    (73, 43, 47, 53, 58, 47, 52, 38, 61, 56, 56, 34, 55, 65, 75),
    (51, 41, 43, 41, 47, 32, 24, 43, 53, 52, 57, 44, 57, 40, 68),
)
# Number of pits at the same places, from the same table.
BURIED_PIPE_PITS = (
    (31, 19, 22, 26, 36, 30, 29, 36, 34, 33, 19, 19, 26, 15, 18),
    (35, 14, 19, 29, 34, 26, 19, 37, 24, 27, 14, 19, 30, 7, 13),
)
