"""What is known of each plate field: what is left, what is required, how deep the deepest unseen pit may be."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.metals import Limits
from inspect_tui.domain.reading_records import PitReading, Reading
from inspect_tui.domain.records import PlateField
from inspect_tui.domain.words import HullMetal, PlateRegion
from inspect_tui.domain.zones import zone_of_compartment
from inspect_tui.engineering.metal.deepest_pit import (
    FEWEST_PATCHES,
    DeepestPit,
    advice,
    deepest_pit,
)
from inspect_tui.engineering.metal.deepest_pit_working import deepest_pit_working
from inspect_tui.engineering.metal.gev import TailCheck, tail_check
from inspect_tui.engineering.metal.growth import PITS_NOT_COVERED, Growth, growth, growth_working, pit_depth_later
from inspect_tui.engineering.metal.metal_loss import Loss, loss_working, metal_loss
from inspect_tui.engineering.working import Seen, Source, Step, Working
from inspect_tui.errors import CannotCalculate
from inspect_tui.judgement.metal.bays import Bay, thinnest_bay
from inspect_tui.judgement.metal.facts import Facts, facts_of
from inspect_tui.judgement.metal.field_words import alike, field_numbers, field_warnings
from inspect_tui.judgement.metal.gathered import Gathered, Metal
from inspect_tui.judgement.metal.panels import Required, required_of
from inspect_tui.judgement.metal.readings_of_metal import metal_mm
from inspect_tui.judgement.metal.unseen import withdrawn_because
from inspect_tui.judgement.metal.verdict import Verdict, judge

SHORTEST_RATE_DAYS = 300
# Where nobody knows when the pits began, what it would be if they are as young as this stands beside; judgement.
YOUNG_PITS_Y = 3.0
STRAIGHT = Source("a straight line from her age: the pessimist's choice", Seen.JUDGEMENT)
ABOVE = frozenset({PlateRegion.DECK})


@dataclass(frozen=True)
class FieldJudged:
    """One plate field with everything that follows from its readings; what could not be worked out says why."""

    field: PlateField
    metal: Metal
    seen_percent: float | None
    loss: Loss | None
    loss_missing: str
    required: Required
    estimate: DeepestPit | None
    estimate_missing: str
    hole_chance_later: float | None
    hole_chance_young: float | None
    growth: Growth | None
    verdict: Verdict | None
    below: bool
    warnings: tuple[str, ...]
    aged: bool

    @property
    def deepest_mm(self) -> float | None:
        return max(self.metal.depths_mm, default=None)

    @property
    def advice(self) -> str:
        return advice(self.estimate) if self.estimate else self.estimate_missing

    def tail(self) -> TailCheck | None:
        """Whether the deepest pits tell against the Gumbel law; slow, so worked out when somebody looks."""
        return tail_check(self.estimate.sample) if self.estimate else None

    def lines(self) -> list[tuple[str, str]]:
        """The whole working, headed."""
        told: list[tuple[str, str]] = []
        if self.verdict:
            told += self.verdict.lines()
        else:
            told += [("verdict", "none yet"), *(("doubt", warning) for warning in self.warnings)]
        if self.estimate is None:
            told.append(("not looked at", self.estimate_missing))
        elif tail := self.tail():
            words = "tells against the Gumbel law: mixed causes?" if tail.doubtful else "no sign against it"
            told.append(
                (
                    "tail",
                    f"likelihood ratio of a general tail: shape {tail.shape:.2f}, p = {tail.p_value:.2f}: {words}",
                )
            )
        return told


def limits_of(book: Book, checklists: Checklists, field: PlateField | None = None) -> Limits:
    """By the metal of the field's alloy, if that is known; else by the hull's."""
    alloy = checklists.metals.alloys.get(field.alloy) if field else None
    metal = alloy.metal if alloy else book.boat.hull_metal
    return checklists.metals.limits_for(metal, inland=bool(book.boat.inland))


def judge_fields(book: Book, checklists: Checklists, gathered: Gathered) -> dict[str, FieldJudged]:
    return {key: judge_field(book, checklists, gathered, field) for key, field in book.plate_fields.items()}


def judge_field(
    book: Book, checklists: Checklists, gathered: Gathered, field: PlateField, more: Iterable[Reading] = ()
) -> FieldJudged:
    """Everything about one plate field; `more` are readings being typed and not kept yet."""
    metal = gathered.on_field(field.id, more)
    loss, loss_missing = _loss(book, field, metal)
    required = required_of(book.boat, checklists, field, loss.left_mm if loss else None)
    # Pits are measured from the surface beside them: what is left of the plate there is what they can go through.
    ground = field.as_built_mm
    if ground is not None and loss is not None:
        ground = min(ground, loss.left_mm)
    estimate, estimate_missing = _estimate(field, metal, ground)
    if estimate is not None:
        estimate = replace(estimate, withdrawn=withdrawn_because(book, metal, estimate))
    age = age_years(book, [*metal.pits, *metal.thickness])
    pits_age = age_years(book, metal.pits, field.attacked_since)
    limits = limits_of(book, checklists, field)
    later = None
    if estimate is not None and ground is not None:
        later = estimate.chance_deeper(ground / _grown(pits_age, limits.years_to_next_haul_out))
    below = field.region not in ABOVE and (
        field.region is not PlateRegion.BULKHEAD or any(_places_below(book, checklists, field))
    )
    growing = _growth(metal, loss, required, age)
    warnings = field_warnings(book, metal, loss, estimate, growing)
    verdict = None
    if field.as_built_mm is not None and ground is not None:
        bay = thinnest_bay(field, metal) if loss else None
        facts = _facts(field, metal, loss, required, bay, ground)
        verdict = judge(
            replace(facts, hole_chance=later, later_share=_left_later(facts, metal, limits)),
            limits,
            below=below,
            afloat=book.boat.afloat,
            hazards=checklists.cautions,
            numbers=book.boat.told(field_numbers(facts, metal, loss, required, estimate, bay)),
            warnings=warnings,
            work_out=partial(_working, metal, loss, required, estimate, growing, later, pits_age, limits),
        )
    return FieldJudged(
        field,
        metal,
        _seen(book, field),
        loss,
        loss_missing,
        required,
        estimate,
        estimate_missing,
        later,
        None
        if field.attacked_since is not None or estimate is None or ground is None
        else estimate.chance_deeper(ground / _grown(YOUNG_PITS_Y, limits.years_to_next_haul_out)),
        growing,
        verdict,
        below,
        warnings,
        age is not None,
    )


def _facts(
    field: PlateField, metal: Metal, loss: Loss | None, required: Required, bay: Bay | None, ground_mm: float
) -> Facts:
    """Those of its readings; the mean is that of its thinnest bay, if one is known."""
    assert field.as_built_mm is not None
    facts = facts_of(field.as_built_mm, metal, loss, required.check, ground_mm=ground_mm)
    mean = facts.mean_mm if bay is None or facts.mean_mm is None else min(facts.mean_mm, bay.mean_mm)
    return replace(
        facts,
        mean_mm=mean,
        growth=metal.growth,
        inland_mm=required.inland_mm,
        buckling_left=required.buckling_left(field.as_built_mm, mean),
    )


def _loss(book: Book, field: PlateField, metal: Metal) -> tuple[Loss | None, str]:
    if field.as_built_mm is None:
        return None, "no thickness as built is written down"
    readings = metal.thickness_mm()
    if not readings:
        return None, "no thickness was gauged on it"
    try:
        return (
            metal_loss(
                readings,
                field.as_built_mm,
                baseline_from=field.as_built_from.told if field.as_built_from else "guess",
                error_mm=metal.thickness_error_mm,
                aluminium=book.boat.hull_metal is HullMetal.ALUMINIUM,
            ),
            "",
        )
    except CannotCalculate as error:
        return None, str(error)


def _estimate(field: PlateField, metal: Metal, ground_mm: float | None) -> tuple[DeepestPit | None, str]:
    """The deepest unseen pit, or why it cannot be told. Soft metal, and a pit as deep as what is left of the plate,
    count as holed."""
    sized = [(reading, area) for reading in metal.speaking if (area := reading.patch_area_m2)]
    if field.area_m2 is None:
        return None, "give the plate field its area, then the squares can speak for the rest of it"
    if not sized:
        return None, "no square of known size was measured on it"
    every = [area for _, area in sized]
    sized = max(([one for one in sized if alike(one[1], area)] for area in sorted(set(every))), key=len)
    if len(sized) < len(every) and len(sized) < FEWEST_PATCHES:
        return (
            None,
            f"the squares differ in size, {min(every):.3g} to {max(every):.3g} m²: only equal ones can be compared",
        )
    areas = [area for _, area in sized]
    deepest = [
        math.inf if reading.holed_through or reading.soft else max(reading.depths_mm, default=0.0)
        for reading, _ in sized
    ]
    through = math.inf if ground_mm is None else ground_mm
    try:
        return deepest_pit(
            [depth for depth in deepest if 0 < depth < through],
            sum(areas) / len(areas),
            field.area_m2,
            plate_mm=ground_mm,
            none_began=sum(depth <= 0 for depth in deepest),
            holed=sum(depth >= through for depth in deepest),
            smallest_mm=metal.smallest_seen_mm,
            worst_chosen=any(reading.worst_chosen for reading, _ in sized),
            squares=_every_pit([reading for reading, _ in sized], through),
        ), ""
    except CannotCalculate as error:
        return None, str(error)


def _every_pit(squares: Sequence[PitReading], through_mm: float) -> list[list[float]]:
    """The pits of each square, if in all of them every pit was typed; a hole is one as deep as the plate."""
    if not all(one.every_pit or not (one.depths_mm or one.is_through) for one in squares) or (
        math.isinf(through_mm) and any(one.is_through for one in squares)
    ):
        return []
    return [[*one.depths_mm, *[through_mm] * max(one.holed_through, int(one.soft))] for one in squares]


def age_years(book: Book, readings: Iterable[Reading], since: int | None = None) -> float | None:
    """Years since she was built, or since the year that is given, at the newest of these readings; None if that is
    not written down, or lies ahead."""
    newest: datetime | None = max((reading.when for reading in readings), default=None)
    began = book.boat.year_built if since is None else since
    if newest is None or began is None or began > newest.year:
        return None
    return max(float(newest.year - began), 1.0)


def _grown(age: float | None, years: float) -> float:
    return 1.0 if age is None else pit_depth_later(1.0, age, years, 1.0)


def _left_later(facts: Facts, metal: Metal, limits: Limits) -> float | None:
    """Share of the plate that is left at the next haul-out where something was seen to grow [-]."""
    left = facts.left_for(metal.growth) if metal.growth else None
    if metal.growth is None or left is None:
        return None
    return (left - metal.growth.fastest_mm_year * limits.years_to_next_haul_out) / facts.plate_mm


def _growth(metal: Metal, loss: Loss | None, required: Required, age: float | None) -> Growth | None:
    """Rates of the mean thickness, against as built and against the round before."""
    if loss is None or age is None:
        return None
    before = before_years = None
    if metal.earlier:
        last_round = max(metal.earlier, key=lambda one: one.when).round
        last = [reading for reading in metal.earlier if reading.round == last_round]
        days = (max(one.when for one in metal.thickness) - max(one.when for one in last)).days
        # Nearer rounds tell the scatter of the spots, not a rate.
        if days > SHORTEST_RATE_DAYS:
            values = [value for reading in last for value in metal_mm(reading)]
            before, before_years = sum(values) / len(values), days / 365.25
    try:
        return growth(
            loss.baseline_mm,
            loss.left_mm,
            age,
            required_mm=required.check.required_mm if required.check else None,
            previous_mm=before,
            years_since_previous=before_years,
            error_mm=loss.error_mm,
        )
    except CannotCalculate:
        return None


def _working(
    metal: Metal,
    loss: Loss | None,
    required: Required,
    estimate: DeepestPit | None,
    growing: Growth | None,
    later: float | None,
    age: float | None,
    limits: Limits,
) -> Working:
    told = Working((), ())
    if loss:
        told += loss_working(loss)
    told += required.working()
    if growing and loss:
        told += growth_working(growing, (("age of the plate", f"{age:g} years, the same as hers"),) if age else ())
    for one in metal.growths:
        told += one.working()
    if estimate:
        told += deepest_pit_working(estimate)
    if estimate and loss and estimate.sample.plate_mm < loss.baseline_mm:
        ground = f"{estimate.sample.plate_mm:.2f} mm, the mean left: depths are counted from there"
        told += Working((("plate for the pits", ground),), ())
    if estimate and later is not None:
        years = limits.years_to_next_haul_out
        factor = _grown(age, years)
        if age is None:
            told += Working(
                (("before the next haul-out", "year built not written down: no growth is counted in"),), ()
            )
        else:
            step = Step(
                "chance of a hole before the next haul-out",
                "1 - P(deepest < t·age/(age + years))",
                f"t / {factor:.3f}, from {age:g} years and {years:g} ahead",
                f"{100 * later:.2g} %",
                STRAIGHT,
            )
            told += Working((), (step,), (PITS_NOT_COVERED,))
    return told


def _seen(book: Book, field: PlateField) -> float | None:
    """Metal seen in this round [%], the mean of the compartments that lie on it."""
    shares = [
        visit.seen_percent
        for place in book.compartments.values()
        if field.id in place.plate_fields and (visit := walk.visit_of(book, place.id))
    ]
    return sum(shares) / len(shares) if shares else None


def _places_below(book: Book, checklists: Checklists, field: PlateField) -> Iterable[bool]:
    return (
        zone_of_compartment(checklists, place).wet
        for place in book.compartments.values()
        if field.id in place.plate_fields
    )
