"""What may be said of the metal that nobody looked at: on what it rests, and why it is withdrawn."""

from __future__ import annotations

import math
from collections.abc import Sequence

from inspect_tui.domain.book import Book
from inspect_tui.domain.measuring.sampling import passed_over
from inspect_tui.domain.plain import counted
from inspect_tui.domain.reading_records import PitReading
from inspect_tui.domain.shell import on_shell
from inspect_tui.engineering.metal.deepest_pit import DeepestPit, missed_altogether
from inspect_tui.judgement.metal.gathered import Metal

# More than this share of the squares drawn not read: what kept somebody away may make them worse; judgement.
MOST_PASSED_OVER = 0.1
# Squares strewn by hand reach over so much of the plate at least, or they count as one block; judgement.
LEAST_SPREAD = 0.25
# A plan that was drawn from less than this share of the plate speaks of that part alone; judgement.
MOST_OF_FIELD = 0.75


def bound_words(found: DeepestPit) -> str:
    """What the squares say of the rest, and on what it rests; a bound past the plate promises nothing."""
    if found.withdrawn:
        return f"no depth is named for the rest: {found.withdrawn}"
    percent = f"{100 * found.confidence:g} %"
    if found.deepest_bound_mm >= found.sample.plate_mm:
        bound = f"a hole cannot be ruled out (the {percent} bound goes through the plate)"
    else:
        bound = f"no pit deeper than {found.deepest_bound_mm:.1f} mm ({percent} bound)"
    return f"if the rest is like the squares read, {bound}"


def free_words(found: DeepestPit) -> str:
    """What holds whatever the law, and how often so many squares miss a second cause altogether."""
    deepest, unseen = max(found.sample.depths_mm), found.unseen_squares
    missed = 10 * missed_altogether(found.looked_at)
    return (
        f"{100 * found.confidence:g} % sure: at most {found.most_deeper} of the {unseen} squares not looked at have "
        f"a pit deeper than {deepest:g} mm, the deepest in those drawn by lot; a second cause at work in "
        f"only one square in twenty is missed {missed:.0f} times in 10"
    )


def withdrawn_because(book: Book, metal: Metal, found: DeepestPit) -> str:
    """Why nothing is named for the rest: known from the record, never from the depths of the squares."""
    if chosen := chosen_because(book, metal, found):
        return chosen
    known = max(metal.depths_mm, default=0.0)
    if metal.holes and not found.sample.holed:
        return "the plate is holed elsewhere"
    if known > found.deepest_bound_mm:
        return f"a pit of {known:g} mm is known elsewhere on this plate, deeper than the squares measured allow"
    kinds = {
        finding.kind
        for reading in metal.speaking
        if reading.finding is not None and (finding := book.findings.get(str(reading.finding)))
    }
    return "the squares belong to findings of different kinds: mixed causes" if len(kinds) > 1 else ""


def chosen_because(book: Book, metal: Metal, found: DeepestPit) -> str:
    """Why the squares do not stand for the plate: from how they were chosen and where they lie."""
    loose = [one for one in metal.speaking if one.plan not in book.plans]
    chosen = [one.worst_chosen for one in loose]
    if any(chosen):
        return "the squares were chosen by how they looked"
    if None in chosen:
        return "nobody said how the squares were chosen, so they count as chosen by looks"
    for plan in {one.plan for one in metal.speaking if one.plan in book.plans}:
        of_plan = book.plans[str(plan)]
        read = [one.square for one in metal.speaking if one.plan == plan and one.square is not None]
        if strangers := set(read) - set(of_plan.drawn):
            return f"square {min(strangers)} was never drawn"
        drawn_from_m2 = of_plan.length_mm * of_plan.girth_mm / 1e6
        if drawn_from_m2 < MOST_OF_FIELD * found.total_area_m2:
            return f"the squares were drawn from only {drawn_from_m2:.1f} m² of it"
        missing = passed_over(of_plan, read)
        if len(missing) > MOST_PASSED_OVER * len(of_plan.drawn[: len(read) + len(missing)]):
            return f"{counted(len(missing), 'square')} passed over for others drawn later"
    return _in_one_block(book, loose, found) if loose else ""


def _in_one_block(book: Book, loose: Sequence[PitReading], found: DeepestPit) -> str:
    """Squares that no plan drew: whether they lie spread over the plate, by the places written down with them."""
    places = [on_shell(book.boat, one.position, book.compartments.get(one.compartment)) for one in loose]
    known = [place for place in places if place is not None]
    if len(known) < len(places):
        return "where the squares lie was not written down: they may lie in one block"
    side_mm = math.sqrt(found.patch_area_m2) * 1000
    along, across = [one.from_bow_mm for one in known], [one.out_mm for one in known]
    spread_m2 = (max(along) - min(along) + side_mm) * (max(across) - min(across) + side_mm) / 1e6
    if spread_m2 < LEAST_SPREAD * found.total_area_m2:
        return "the squares lie in one block"
    return ""
