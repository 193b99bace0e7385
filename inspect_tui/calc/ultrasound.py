"""`inspect-tui calc ultrasound`: what a pit that ultrasound read may truly be."""

from __future__ import annotations

import math
from typing import Any

from inspect_tui.calc.spec import Number, Result, Topic
from inspect_tui.engineering.metal.spot_growth import SPOTS, least_growth_mm
from inspect_tui.engineering.metal.ultrasound import (
    ALASKA,
    LOGLOG,
    NORMAL_95,
    SHIFT,
    SHIFT_SD,
    TOO_SHALLOW,
    fit_loglog,
    pit_error_mm,
    repeat_error_mm,
)
from inspect_tui.engineering.working import Step, Working, shown
from inspect_tui.errors import CannotCalculate


def _ultrasound(given: dict[str, Any]) -> Result:
    depth, read, gauged = given["depth_mm"], given["read_mm"], given["gauged_mm"]
    if depth <= 0:
        raise CannotCalculate("A pit without depth is no pit: leave it out.")
    error = pit_error_mm(depth)
    least = least_growth_mm(depth, repeat_error_mm, given["spots"])
    result = {"error_mm": error, "least_growth_mm": least}
    steps = [
        Step("may be deeper by", f"depth · (exp({SHIFT:g} + {NORMAL_95:g} · {SHIFT_SD:g}) - 1), at least 0.1 mm",
             f"{shown(depth)} · {shown(math.expm1(SHIFT + NORMAL_95 * SHIFT_SD))}", f"{shown(error)} mm", ALASKA),
        Step("least growth that two readings of it can show", "√(then² + now²) · spots, each 0.33 · depth",
             f"spots {given['spots']:g}", f"{shown(least)} mm", SPOTS),
    ]  # fmt: skip
    not_covered = [TOO_SHALLOW, "A needle or bridge gauge is another instrument: this says nothing of it."]
    if read or gauged:
        own = fit_loglog(read, gauged)
        low, high = own.interval(depth, given["confidence"])
        result |= {"likely_mm": own.likely(depth), "least_mm": low, "most_mm": high}
        steps += [
            Step("likely", "exp(a) · read^b", f"exp({shown(own.intercept)}) · {shown(depth)}^{shown(own.slope)}",
                 f"{shown(result['likely_mm'])} mm", LOGLOG),
            Step("between", "likely · exp(± t(n - 2) · sd · √(1 + 1/n + (ln read - mean)²/Σ))",
                 f"sd {shown(own.sd)}, n {own.count}, {100 * given['confidence']:.0f} %",
                 f"{shown(low)} and {shown(high)} mm", LOGLOG),
        ]  # fmt: skip
        not_covered.append("The line through your own pits holds for that gauge and metal, within their depths.")
    return result, Working((("read", f"{shown(depth)} mm"),), tuple(steps), tuple(not_covered))


TOPICS = (
    Topic(
        "ultrasound",
        "How far out a pit read DEPTH deep by ultrasound may be; with your own pits, read and gauged, its depth.",
        "2.5 --read 1 --gauged 1.1 --read 2 --gauged 2.1 \\\n  --read 3 --gauged 3.4 --read 4 --gauged 4.6",
        (
            Number("depth_mm"),
            Number("read_mm", "--read", "Depth of a pit by the same gauge, mm; once for each.", many=True),
            Number("gauged_mm", "--gauged", "Its true depth, by needle or bridge gauge, mm.", many=True),
            Number("confidence", "--confidence", "Of the two ends.", default=0.95),
            Number("spots", "--spots", "Spots on the boat that were read twice.", default=1, whole=True),
        ),
        _ultrasound,
    ),
)
