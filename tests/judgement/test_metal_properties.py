"""What holds of every book of metal, tried on random ones: two rounds, plate fields, members, all instruments.

`METAL_BOOKS=5000 pytest tests/judgement/test_metal_properties.py` tries so many; fewer go with every run.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from inspect_tui.domain.book import Book
from inspect_tui.domain.reading_records import PitReading, Reading, ThicknessReading
from inspect_tui.domain.words import TREATMENT_WORDS, WELDED, Treatment
from inspect_tui.domain.zones import zone_of_reading
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.metal.readings_of_metal import PAINTED
from inspect_tui.judgement.metal.verdict import Verdict, asks_for
from inspect_tui.judgement.metal.verdicts import Verdicts
from inspect_tui.judgement.work.action import FieldRef, FindingRef, Task
from inspect_tui.store.checklist_files import load_checklists
from tests.judgement.metal_books import Metals, metals, with_rows, without

CHECKLISTS = load_checklists()
BOOKS = int(os.environ.get("METAL_BOOKS", "50"))
CHUNK = 50
PAINTED_OVER = (Treatment.CLEAN_AND_COAT, Treatment.FILL)
CHUNKS = [range(first, min(first + CHUNK, BOOKS)) for first in range(0, BOOKS, CHUNK)]
every_book = pytest.mark.parametrize("seeds", CHUNKS, ids=lambda seeds: f"from {seeds[0]}")

Weight = tuple[int, int, int]


def weight(verdict: Verdict | None) -> Weight:
    """How much a verdict asks: treatment, and the ranks of severity and likelihood turned round."""
    if verdict is None:
        return (0, 0, 0)
    # To be gauged again and to be asked about are the same: nothing is done before.
    treatment = Treatment.ASK if verdict.treatment is Treatment.MEASURE_AGAIN else verdict.treatment
    return asks_for(treatment), -verdict.severity.rank, -verdict.likelihood.rank


def milder(before: Verdict | None, after: Verdict | None) -> bool:
    """Whether a verdict asks for less in any way: treatment, severity or likelihood."""
    if before is None:
        return False
    return any(new < old for old, new in zip(weight(before), weight(after), strict=True))


def of_findings(book: Book) -> dict[int, Verdict | None]:
    verdicts = Verdicts(book, CHECKLISTS)
    return {finding.chalk: verdicts.of(finding) for finding in book.findings.values()}


def told(book: Book) -> dict[str, Any]:
    """Everything that the numbers say, in words."""
    verdicts = Verdicts(book, CHECKLISTS)
    found: dict[str, Any] = {
        f"no. {finding.chalk}": (verdict.lines() if (verdict := verdicts.of(finding)) else None)
        for finding in book.findings.values()
    }
    found |= {key: judged.lines() for key, judged in verdicts.fields.items()}
    return found | {key: judged.lines() for key, judged in verdicts.members.items()}


def judged_readings(made: Metals) -> Iterator[Reading]:
    """One of those at findings of the newest round that counts, if there is any."""
    newest = max(made.book.rounds)
    yours = [
        one
        for one in made.book.readings.values()
        if one.round == newest and one.finding is not None and one.clean_metal is not False
        and getattr(one, "method", None) != PAINTED
    ]  # fmt: skip
    if yours:
        yield made.dice.choice(yours)


def worse(reading: Reading, made: Metals) -> Reading:
    """The same, with a thinner spot or a deeper pit in it."""
    if isinstance(reading, ThicknessReading):
        mine = [one for one in made.readings(ThicknessReading) if one.finding == reading.finding]
        thinnest = min(value for one in mine if one.clean_metal is not False for value in one.thickness_mm)
        least = max(round(thinnest * made.dice.uniform(0.4, 1.0), 1), 0.3)
        return reading.model_copy(update={"thickness_mm": (*reading.thickness_mm, least)})
    assert isinstance(reading, PitReading)
    deepest = max(reading.depths_mm, default=0.1)
    # A new pit of any depth.
    return reading.model_copy(
        update={"depths_mm": (*reading.depths_mm, round(deepest * made.dice.uniform(0.2, 1.4) + 0.1, 1))}
    )


@every_book
def test_a_worse_reading_never_makes_a_verdict_milder(seeds: range) -> None:
    for seed in seeds:
        made = metals(seed)
        before = of_findings(made.book)
        for reading in judged_readings(made):
            after = of_findings(with_rows(made.book, "readings", worse(reading, made)))
            assert reading.finding is not None
            assert not milder(before[reading.finding], after[reading.finding]), (seed, reading)


def _told_anew(before: Verdict | None, after: Verdict | None) -> bool:
    """Whether a smaller error of the gauge shows a loss that was within it."""
    if before is None or after is None:
        return False
    old, new = (one.facts.quantities().get("loss_over_error", 0.0) for one in (before, after))
    return old <= 1.0 < new


@every_book
def test_a_better_reading_never_makes_a_verdict_harsher(seeds: range) -> None:
    """One more sound reading, a smaller error of the gauge."""
    for seed in seeds:
        made = metals(seed)
        before = of_findings(made.book)
        for reading in judged_readings(made):
            chalk = reading.finding
            assert chalk is not None
            better: Reading = reading.model_copy(update={"instrument_error": 0.1})
            if isinstance(reading, ThicknessReading) and made.dice.random() < 0.5:
                plate = made.book.plate_fields[reading.plate_field or ""].as_built_mm or 0.0
                better = reading.model_copy(update={"thickness_mm": (*reading.thickness_mm, plate)})
            after = of_findings(with_rows(made.book, "readings", better))
            grew = [one for one in (before[chalk], after[chalk]) if one and one.facts.growth]
            # What grew between the rounds, and a loss that the worse gauge could not tell, are other questions.
            assert grew or _told_anew(before[chalk], after[chalk]) or not milder(after[chalk], before[chalk]), (
                seed,
                reading,
                better,
            )


@every_book
def test_order_of_entry_and_taking_out_leave_no_trace(seeds: range) -> None:
    for seed in seeds:
        made = metals(seed)
        readings = list(made.book.readings.values())
        if not readings:
            continue
        before = told(made.book)
        turned = {one.id: one for one in made.dice.sample(readings, len(readings))}
        assert told(replace(made.book, tables={**made.book.tables, "readings": turned})) == before, seed
        one = made.dice.choice(readings)
        assert told(with_rows(without(made.book, one), "readings", one)) == before, seed


@every_book
def test_a_finding_never_ranks_below_its_own_readings_nor_a_withdrawn_statement_below_a_told_one(
    seeds: range,
) -> None:
    for seed in seeds:
        made = metals(seed)
        judged = Judged(made.book, CHECKLISTS)
        for action in judged.worklist.actions:
            if isinstance(action.about, FindingRef) and action.chalk is not None:
                mine = [one for one in made.book.readings.values() if one.finding == action.chalk]
                wet = any(zone_of_reading(made.book, CHECKLISTS, one).wet for one in mine)
                assert action.below or not wet, seed
            if isinstance(action.about, FieldRef) and action.verdict is not None:
                assert action.likelihood is not None
        for field in judged.verdicts.fields.values():
            if field.verdict and field.hole_chance_later is not None:
                letter = field.verdict.limits.letter(field.hole_chance_later)
                assert field.verdict.likelihood.rank <= letter.rank, "withdrawn or not, the chance counts"


@every_book
def test_of_what_nobody_looked_at_more_is_never_less(seeds: range) -> None:
    """More unseen never shrinks a bound, a sound square never raises the chance, a deeper deepest never lowers it."""
    for seed in seeds:
        made = metals(seed)
        fields = Verdicts(made.book, CHECKLISTS).fields
        for key, judged in fields.items():
            found = judged.estimate
            if found is None:
                continue
            larger = judged.field.model_copy(update={"area_m2": found.total_area_m2 * 1.5})
            more = Verdicts(with_rows(made.book, "plate_fields", larger), CHECKLISTS).fields[key].estimate
            assert more is None or more.deepest_bound_mm >= found.deepest_bound_mm - 1e-6, seed
            speaking = [one for one in judged.metal.speaking if one.depths_mm and one.patch_area_m2]
            if not speaking:
                continue
            last = max(speaking, key=lambda one: max(one.depths_mm))
            deeper = last.model_copy(update={"depths_mm": (*last.depths_mm[:-1], max(last.depths_mm) + 0.1)})
            if max(last.depths_mm) not in last.depths_mm[:-1]:
                deeper = last.model_copy(
                    update={"depths_mm": tuple(one + 0.1 * (one == max(last.depths_mm)) for one in last.depths_mm)}
                )
            again = Verdicts(with_rows(made.book, "readings", deeper), CHECKLISTS).fields[key].estimate
            if again is not None and again.sample.holed == found.sample.holed:
                assert again.deepest_bound_mm >= found.deepest_bound_mm - 1e-6, seed
            sound = last.model_copy(
                update={
                    "id": "r9999", "depths_mm": (), "holed_through": 0, "soft": False,
                    "square": None, "plan": None, "finding": None,
                    "worst_chosen": False, "when": last.when + timedelta(hours=1), "every_pit": last.every_pit,
                }
            )  # fmt: skip
            plan = made.book.plans.get(last.plan or "")
            if plan is not None:
                free = next(one for one in plan.drawn if one not in {read.square for read in speaking})
                sound = sound.model_copy(update={"plan": plan.id, "square": free})
            one_more = Verdicts(with_rows(made.book, "readings", sound), CHECKLISTS).fields[key]
            # Once five were drawn, those that were chosen speak no more: another question.
            same = {one.id for one in judged.metal.speaking} | {sound.id}
            if one_more.estimate is not None and {one.id for one in one_more.metal.speaking} == same:
                assert one_more.hole_chance_later is not None
                assert judged.hole_chance_later is not None
                assert one_more.hole_chance_later <= judged.hole_chance_later + 1e-9, seed


@every_book
def test_plate_and_members_never_speak_of_each_other(seeds: range) -> None:
    for seed in seeds:
        made = metals(seed)
        of_members = [one for one in made.book.readings.values() if one.member is not None]
        bare = made.book
        for one in of_members:
            bare = without(bare, one)
        ours, theirs = Verdicts(made.book, CHECKLISTS), Verdicts(bare, CHECKLISTS)
        assert {key: one.loss for key, one in ours.fields.items()} == {
            key: one.loss for key, one in theirs.fields.items()
        }, seed
        for member in ours.members.values():
            if not any(one.member == member.member.id for one in of_members):
                assert member.verdict is None


@every_book
def test_thicker_plate_with_as_much_gone_is_never_judged_harsher(seeds: range) -> None:
    """A millimetre more as built and in every reading: the same loss, and less of it."""
    for seed in seeds:
        made = metals(seed)
        before = of_findings(made.book)
        thicker = made.book
        for field in made.book.plate_fields.values():
            assert field.as_built_mm is not None
            thicker = with_rows(
                thicker, "plate_fields", field.model_copy(update={"as_built_mm": field.as_built_mm + 1.0})
            )
        for reading in made.readings(ThicknessReading):
            if reading.member is None:
                values = tuple(round(value + 1.0, 1) for value in reading.thickness_mm)
                thicker = with_rows(thicker, "readings", reading.model_copy(update={"thickness_mm": values}))
        after = of_findings(thicker)
        for chalk, verdict in before.items():
            assert not milder(after[chalk], verdict), (seed, chalk)


@every_book
def test_afloat_no_plate_or_member_under_water_is_cut_heated_or_drawn_until_she_is_out(seeds: range) -> None:
    """The lines that numbers make without a finding: ashore the work is named, afloat it waits and says so."""
    for seed in seeds:
        made = metals(seed)
        for action in Judged(made.book, CHECKLISTS).worklist.actions:
            if action.task not in (Task.MEMBER, Task.PLATE_STRENGTH) or action.verdict is None:
                continue
            held = made.book.boat.afloat and action.below
            # Paint and filler bare the metal too; asking and gauging have words of their own.
            works = [words for one in (*WELDED, *PAINTED_OVER) if (words := TREATMENT_WORDS[one]) in action.what]
            assert action.verdict.strength is not None
            waits_not = action.verdict.strength.treatment in (Treatment.ASK, Treatment.MEASURE_AGAIN)
            assert works or waits_not, (seed, action.what)
            assert not (held and works) or "until she is hauled out; only then" in action.what, (seed, action.what)
            assert not (held and works) or action.needs_haul, (seed, action.what)
            assert "hauled out" not in action.what or held, (seed, action.what)
