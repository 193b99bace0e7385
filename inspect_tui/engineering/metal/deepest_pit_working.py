"""The working of the deepest unseen pit, line by line, for a pocket calculator as far as one reaches."""

from __future__ import annotations

import math

from inspect_tui.engineering.metal.deepest_pit import DeepestPit, missed_altogether
from inspect_tui.engineering.metal.every_pit import EXPONENTIAL
from inspect_tui.engineering.metal.gumbel import MAX_STABLE, SHIBATA, WANG, reduced_variate
from inspect_tui.engineering.metal.mvlue_table import MVLUE
from inspect_tui.engineering.metal.prediction import LAWLESS
from inspect_tui.engineering.numeric import student_t_quantile
from inspect_tui.engineering.working import Seen, Source, Step, Working, shown

EXCESS = Source("the excess over the exact quantile falls as 1/N", Seen.DERIVED)
NOT_COVERED = (
    "Holds for pits of one cause, in squares of equal size chosen without looking for the worst. Not for leaks of "
    "current, for metal under a failed patch, or where another metal touches the plate.",
    "It speaks of today: what the pits do until the next haul-out is another question.",
)


EXCEEDS = Source("order statistics: any law, if the squares were drawn by lot", Seen.DERIVED)
JEFFREYS = Source("Jeffreys' mean of a share; that no pit began there is taken from the book", Seen.DERIVED)


def deepest_pit_working(found: DeepestPit) -> Working:
    """Inputs, steps with their sources, and what the result does not cover."""
    if found.every is not None:
        law = [*found.every.steps(found.confidence, found.deepest_bound_mm), *_free_steps(found)]
        return Working(_inputs(found), (*_size_steps(found)[:2], *law, *_chances(found)), NOT_COVERED, found.warnings)
    steps = (*_size_steps(found), *_fit_steps(found), *_level_steps(found), *_unseen_steps(found))
    return Working(_inputs(found), steps, NOT_COVERED, found.warnings)


def _inputs(found: DeepestPit) -> tuple[tuple[str, str], ...]:
    sample = found.sample
    inputs = [
        ("deepest per square", " ".join(f"{depth:g}" for depth in sorted(sample.depths_mm)) + " mm"),
        (
            "squares",
            f"N = {found.looked_at}, {found.none_began} without a pit, {sample.not_found} with none seen, "
            f"{sample.holed} holed",
        ),
    ]
    if sample.not_found:
        inputs.append(("smallest pit seen", f"{sample.smallest_mm:g} mm"))
    if sample.plate_mm < math.inf:
        inputs.append(("plate", f"t = {sample.plate_mm:g} mm"))
    return tuple(inputs)


def _size_steps(found: DeepestPit) -> tuple[Step, ...]:
    areas = f"{shown(found.total_area_m2, 4)} / {shown(found.patch_area_m2, 4)}"
    whole = shown(found.return_patches, 4)
    steps = [
        Step("whole area in squares", "T = A / a", areas, whole, SHIBATA),
        Step("not looked at", "T' = T - N", f"{whole} - {found.looked_at}", shown(found.unseen_patches, 4), SHIBATA),
    ]
    if found.none_began:
        count = found.sample.count
        steps.append(
            Step("of them with a pit", "T' · (pitted + ½) / (N + 1)",
                 f"{shown(found.unseen_patches, 4)} · {count + 0.5:g} / {found.looked_at + 1}",
                 shown(found.pitted_patches, 4), JEFFREYS)
        )  # fmt: skip
    return tuple(steps)


def _level_steps(found: DeepestPit) -> tuple[Step, ...]:
    """The level that is reached on average once in the whole area, with its error and its bound."""
    fit, y = found.fit, reduced_variate(found.return_patches)
    degrees = max(len(found.sample.depths_mm) - 1, 1)
    student = student_t_quantile(found.confidence, degrees)
    return (
        Step(
            "reduced variate",
            "y = -ln(-ln(1 - 1/T))",
            f"-ln(-ln(1 - 1/{shown(found.return_patches, 4)}))",
            f"{y:.4f}",
            SHIBATA,
        ),
        Step(
            "return level",
            "x = λ + α·y",
            f"{shown(fit.location_mm, 4)} + {shown(fit.scale_mm, 4)} × {y:.4f}",
            f"{found.return_level_mm:.2f} mm",
            fit.source,
        ),
        Step(
            "its standard error",
            "SE = √(var λ + 2y·cov + y²·var α)",
            f"√({fit.location_variance_mm2:.4g} + 2 × {y:.4f} × {fit.covariance_mm2:.4g} + {y:.4f}² × "
            f"{fit.scale_variance_mm2:.4g})",
            f"{found.return_level_se_mm:.2f} mm",
            fit.source,
        ),
        Step(
            f"if the rest is like these, {100 * found.confidence:g} % bound of the return level",
            f"x + t({degrees})·SE, t for one less than the depths measured",
            f"{found.return_level_mm:.2f} + {student:.3f} × {found.return_level_se_mm:.2f}",
            f"{found.return_level_bound_mm:.2f} mm",
            WANG,
        ),
    )


def _unseen_steps(found: DeepestPit) -> list[Step]:
    """The deepest pit in what was not looked at, and the chance that it goes through."""
    fit, sample, unseen = found.fit, found.sample, shown(found.pitted_patches, 4)
    location, scale = shown(fit.location_mm, 4), shown(fit.scale_mm, 4)
    exact = found.exact_mm
    steps = []
    if sample.plate_mm < math.inf and found.hole_probability is not None:
        steps.append(
            Step(
                "chance of a hole, fit taken as exact",
                "1 - exp(-T'·exp(-(t - λ)/α))",
                f"1 - exp(-{unseen} × exp(-({sample.plate_mm:g} - {location})/{scale}))",
                f"{100 * found.hole_probability:.2g} %",
                MAX_STABLE,
            )
        )
    steps.append(
        Step(
            f"if the rest is like these, {100 * found.confidence:g} % bound of the deepest pit, fit taken as exact",
            f"λ + α·(ln T' - ln(-ln {found.confidence:g}))",
            f"{location} + {scale} × ({math.log(found.pitted_patches):.3f} + "
            f"{-math.log(-math.log(found.confidence)):.3f})",
            f"{exact:.2f} mm",
            MAX_STABLE,
        )
    )
    counted_in = (
        f"the same, allowing for the fit resting on only {sample.count} squares",
        "P(deepest < d) integrated over λ, α",
        "by the program, not by hand",
        f"{found.deepest_bound_mm:.2f} mm",
        LAWLESS,
    )
    return [*steps, Step(*counted_in), *_chances(found), *_free_steps(found)]


def _free_steps(found: DeepestPit) -> list[Step]:
    """What holds in any case, of squares drawn by lot, and how often they miss a second cause."""
    looked, unseen, number = found.looked_at, found.unseen_squares, found.most_deeper
    return [
        Step("squares deeper than the deepest drawn, at most", "j: M/(M+n) · (M-1)/(M+n-1) · …, j factors, > 5 %",
             f"M {unseen}, n {looked}", f"{number}", EXCEEDS),
        Step("a second cause on one square in twenty is missed", "(1 - 1/20)^n", f"0.95^{looked}",
             f"{100 * missed_altogether(looked):.0f} %", EXCEEDS),
    ]  # fmt: skip


def _chances(found: DeepestPit) -> list[Step]:
    """What is likely, the chance of a hole with the law's own uncertainty, and how many more would help."""
    sample, exact = found.sample, found.exact_mm
    source = LAWLESS if found.every is None else EXPONENTIAL
    program = (
        (
            "deepest unmeasured pit, as likely deeper as not",
            "P(deepest < d) = 0.5",
            f"{found.deepest_likely_mm:.2f} mm",
        ),
        (
            "chance of a hole, allowing for the same",
            "1 - P(deepest < plate)",
            "" if found.hole_probability_cautious is None else f"{100 * found.hole_probability_cautious:.2g} %",
        ),
    )
    steps = [Step(name, how, "by the program, not by hand", value, source) for name, how, value in program if value]
    if found.more_patches:
        steps.append(
            Step(
                "more squares",
                "N·(bound - exact)/(plate - exact) - N",
                f"{found.telling} × ({found.deepest_bound_mm:.2f} - {exact:.2f})/({sample.plate_mm:g} - {exact:.2f}) "
                f"- {found.telling}",
                str(found.more_patches),
                EXCESS,
            )
        )
    return steps


def _fit_steps(found: DeepestPit) -> list[Step]:
    fit, sample = found.fit, found.sample
    location, scale = f"{shown(fit.location_mm, 4)} mm", f"{shown(fit.scale_mm, 4)} mm"
    if fit.method == "mvlue":
        table, ordered = MVLUE[sample.count], sorted(sample.depths_mm)
        names = (("location", "λ", table.location, location), ("scale", "α", table.scale, scale))
        return [
            Step(
                what,
                f"{sign} = Σ {'a' if sign == 'λ' else 'b'}ᵢ·xᵢ",
                " + ".join(f"{c:.4f}×{x:g}" for c, x in zip(coefficients, ordered, strict=True)).replace("+ -", "- "),
                value,
                fit.source,
            )
            for what, sign, coefficients, value in names
        ]
    if fit.method == "moments":
        return [
            Step("scale", "α = s·√6/π", "from the standard deviation (n - 1)", scale, fit.source),
            Step("location", "λ = mean - 0.5772·α", "from the mean", location, fit.source),
        ]
    return (
        [
            Step(
                "scale",
                "α = mean - Σx·e^(-x/α)/Σe^(-x/α)",
                "solved by the program; put α in to check",
                scale,
                fit.source,
            ),
            Step("location", "λ = -α·ln(mean of e^(-x/α))", "for squares that all had a pit", location, fit.source),
        ]
        if sample.complete
        else [
            Step(
                "scale and location",
                "greatest likelihood",
                "solved by the program, counting squares without a pit or holed",
                f"α = {scale}, λ = {location}",
                fit.source,
            ),
        ]
    )
