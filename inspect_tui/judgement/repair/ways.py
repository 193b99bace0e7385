"""The ways to do one repair, side by side: what each takes, and what stays unknown after it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.named import Kinds
from inspect_tui.domain.words import Treatment
from inspect_tui.engineering.work.cut_list import Cutting, Rect
from inspect_tui.engineering.work.repair import INSERT_LEAST_MM, insert_weld_m
from inspect_tui.engineering.work.weights import weight
from inspect_tui.errors import CannotCalculate
from inspect_tui.judgement.repair.repair_scope import Job, Plate, quantities

LAP_MM = 51.0
LAP_SOURCE = "51 mm past what is eaten away (API 653 9.10.1.1, as quoted, for tank bottoms)"
INSERTED = (Treatment.INSERT_PLATE, Treatment.REPLATE)


@dataclass(frozen=True)
class Way:
    """One way to do a job. `mass_kg` of new metal, `added_kg` that she carries more than before; `hours` as a range
    [h]; `unknown`: what stays unknown; `barred`: why it cannot be done like this, empty where it can."""

    name: str
    inserts: int
    mass_kg: float | None
    weld_m: float | None
    hours: tuple[float, float]
    added_kg: float
    sinkage_mm: float | None
    unknown: str
    barred: str = ""


@dataclass(frozen=True)
class Spot:
    """A finding to be cut out, and where what is marked lies on the developed shell [mm]."""

    job: Job
    rect: Rect


def ways(
    book: Book, checklists: Checklists, spots: list[Spot], cut: Rect, plate: Plate, cutting: Cutting
) -> tuple[Way, ...]:
    """What is proposed, and side by side with it what else could be done."""
    works = checklists.works
    insert, replate, welding = (works[one.value] for one in (*INSERTED, Treatment.WELD_UP))
    least_weld = insert_weld_m(INSERT_LEAST_MM, INSERT_LEAST_MM, cutting.radius_mm)

    def laid(name: str, cuts: Sequence[Rect], hours: tuple[float, float], unknown: str, barred: str = "") -> Way:
        made = [
            quantities(
                book, one.x1 - one.x0, one.y1 - one.y0, plate.thickness_mm, spots[0].job.alloy,
                assumed_size=False,
            )[0]
            for one in cuts
        ]  # fmt: skip
        return Way(
            name, len(cuts), sum(one.mass_kg for one in made), sum(one.weld_m for one in made), hours, 0.0, 0.0,
            unknown, barred,
        )  # fmt: skip

    def by_weld(cuts: Sequence[Rect]) -> tuple[float, float]:
        """An insert's hours are those of one of 300 × 300 mm; longer welds take longer in proportion."""
        share = sum(max(cutting.weld_m(one) / least_weld, 1.0) for one in cuts)
        return insert.hours[0] * share, insert.hours[1] * share

    around = "the plate past the cut, until its edge is gauged"
    ways = [laid("one insert" if len(spots) == 1 else "one insert for all", [cut], by_weld([cut]), around)]
    if len(spots) > 1:
        single = [cutting.cut_round(one.rect.grown(cutting.margin_mm)) for one in spots]
        narrow = min(one.apart_mm(other) for at, one in enumerate(single) for other in single[at + 1 :])
        barred = f"{max(narrow, 0):.0f} mm of old plate between them" if narrow < cutting.strip_mm else ""
        ways.append(laid("an insert each", single, by_weld(single), "the plate between them", barred))
    bay = _bay(cut, cutting)
    if bay is not None:
        ways.append(laid("replate the bay", [bay], replate.hours, "frames and plate beside the bay"))
    ways.append(_welded_up(spots, welding.hours))
    ways.append(_doubled(book, checklists, spots, plate, cutting))
    return tuple(ways)


def _bay(cut: Rect, cutting: Cutting) -> Rect | None:
    """From the last frame before the cut to the first behind it, at its own height."""
    before = [one for one in cutting.frames_mm if one <= cut.x0]
    behind = [one for one in cutting.frames_mm if one >= cut.x1]
    return Rect(max(before), cut.y0, min(behind), cut.y1) if before and behind else None


def _welded_up(spots: list[Spot], hours: tuple[float, float]) -> Way:
    """Only pits are built up: where plate is thin, cracked or gone there is nothing to build on."""
    other = [one.job.finding.chalk for one in spots if one.job.finding.kind != Kinds.PITTING]
    barred = f"no. {', '.join(map(str, other))}: not only pits" if other else "the numbers ask for new plate"
    return Way(
        "build up by welding", 0, None, None, (hours[0] * len(spots), hours[1] * len(spots)), 0.0, 0.0,
        "how thin it is under each weld; no limit on pit depth for welding was found for aluminium", barred,
    )  # fmt: skip


def _doubled(book: Book, checklists: Checklists, spots: list[Spot], plate: Plate, cutting: Cutting) -> Way:
    """A plate laid on outside."""
    lapped = spots[0].rect
    for one in spots[1:]:
        lapped = lapped.around(one.rect)
    lapped = replace(cutting, frames_mm=(), least_mm=0).cut_round(lapped.grown(LAP_MM))
    made, _ = quantities(
        book, lapped.x1 - lapped.x0, lapped.y1 - lapped.y0, plate.thickness_mm, spots[0].job.alloy,
        assumed_size=False,
    )  # fmt: skip
    boat, sinks = book.boat, None
    if boat.waterline_length_m is not None and boat.waterline_beam_m is not None:
        try:
            sinks = weight(made.mass_kg, boat.waterline_length_m, boat.waterline_beam_m).sinkage_mm
        except CannotCalculate:
            sinks = None
    hours = checklists.works[Treatment.INSERT_PLATE.value].hours
    return Way(
        "a plate laid on outside", 1, made.mass_kg, made.weld_m, hours, made.mass_kg, sinks,
        "the plate beneath goes on corroding unseen, and counts for nothing",
        "never permanent on bottom or shell (TB 55); " + LAP_SOURCE,
    )  # fmt: skip


def ways_table(told: Sequence[Way]) -> list[tuple[str, ...]]:
    """The ways side by side, with a row of names above: what it takes, and what she carries more for it."""
    rows: list[tuple[str, ...]] = [("way", "metal", "weld", "hours", "adds")]
    for one in told:
        adds = f"{one.added_kg:.1f} kg" if one.added_kg else "nothing"
        if one.added_kg and one.sinkage_mm is not None:
            adds += f", {one.sinkage_mm:.2f} mm deeper"
        rows.append(
            (
                f"({one.name})" if one.barred else one.name,
                "–" if one.mass_kg is None else f"{one.mass_kg:.1f} kg",
                "–" if one.weld_m is None else f"{one.weld_m:.1f} m",
                f"{one.hours[0]:.0f}–{one.hours[1]:.0f} h",
                adds,
            )
        )
    return rows
