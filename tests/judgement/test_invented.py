"""What is said of invented books, word for word and number for number.

They hold that nothing changes unseen, not that it is right: for that there are cases with reasons, outside checks and
properties. After a change of a rule: `UPDATE_GOLDENS=1 pytest tests/judgement/test_invented.py`, then read the diff.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from enum import Enum
from pathlib import Path

import pytest

from inspect_tui.domain import shell, walk, zones
from inspect_tui.domain.book import Book
from inspect_tui.domain.measuring import measured
from inspect_tui.domain.measuring.measured import newest_of, reading_line
from inspect_tui.domain.measuring.readings import KINDS, in_words
from inspect_tui.domain.walking import turns
from inspect_tui.engineering.working import Working
from inspect_tui.errors import CannotCalculate
from inspect_tui.judgement.causes.patches import tally_lines
from inspect_tui.judgement.electricity.anode_plan import wetted_of
from inspect_tui.judgement.electricity.meters import fails, meaning_of
from inspect_tui.judgement.electricity.protected import history
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.metal.so_far import meaning_so_far, unseen_lines, verdict_line
from inspect_tui.judgement.metal.verdict import Verdict, next_change
from inspect_tui.judgement.work.rank_working import rank_working
from inspect_tui.store.checklist_files import load_checklists
from tests.judgement.invented import Invented

CHECKLISTS = load_checklists()
FROZEN = Path(__file__).parent / "data" / "invented"
UPDATE = "UPDATE_GOLDENS"
SEEDS = range(32)


def plain(value: object) -> object:
    """Any result as text, its numbers to six figures: the same on every machine."""
    if isinstance(value, float):
        return f"{value:.6g}"
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, list | tuple):
        return [plain(one) for one in value]
    if is_dataclass(value) and not isinstance(value, type):
        return {one.name: plain(getattr(value, one.name)) for one in fields(value) if one.repr}
    return value


def short(value: object) -> str:
    """A long result by its digest: that it changed is seen, what changed is looked up."""
    return hashlib.sha256(str(plain(value)).encode()).hexdigest()[:10]


def worked(working: Working) -> str:
    return f"working {short(working.lines())}"


def figures(*numbers: float | None) -> str:
    return " ".join("-" if number is None else f"{number:.6g}" for number in numbers)


def of_verdict(verdict: Verdict | None) -> str:
    if verdict is None:
        return "no verdict"
    facts = verdict.facts
    return (
        f"{verdict.treatment.value}; {verdict.severity.value} {verdict.likelihood.value}; {verdict.numbers}; "
        f"rules {verdict.strength and verdict.strength.id} {verdict.tightness and verdict.tightness.id}; "
        f"cautions {' '.join(one.id for one in verdict.cautions)}; warnings {' | '.join(verdict.warnings)}; "
        f"next {plain(next_change(facts, verdict.limits))}; "
        f"facts {figures(*facts.quantities().values())}; {worked(verdict.work_out())}; lines {short(verdict.lines())}"
    )


def of_boat(judged: Judged) -> Iterator[str]:
    book = judged.book
    yield f"head {book.head[:12]}, {len(book.trail)} changes: {short([one.words for one in book.trail.values()])}"
    yield f"waits for measuring: {[one.chalk for one in measured.waiting_for_measuring(book)]}"
    yield f"carry on: {turns.carry_on(book, CHECKLISTS)}"
    for place in book.bow_to_stern():
        done = walk.progress(book, CHECKLISTS, place)
        yield (
            f"{place.id} {place.name}, {walk.frames_words(place)}: {done.answered} of {done.asked}, unseen "
            f"{[(prompt.key, reason and reason.value) for prompt, reason in done.unseen]}, {done.seen_percent} %, "
            f"{zones.zone_of_compartment(CHECKLISTS, place).value}"
        )
    for kind in KINDS:
        if newest := newest_of(book, kind):
            yield f"newest {kind}: {newest.id}"


def of_findings(judged: Judged) -> Iterator[str]:
    book, verdicts = judged.book, judged.verdicts
    for finding in book.findings.values():
        place = book.compartments.get(finding.compartment)
        yield f"FINDING {finding.chalk} {finding.kind} {finding.status.value} {walk.position_words(finding.position)}"
        on_shell = shell.on_shell(book.boat, finding.position, place)
        yield f"  {zones.zone_of_finding(book, CHECKLISTS, finding).value}, {plain(on_shell)}"
        yield f"  {of_verdict(verdicts.of(finding))}"
        for one in judged.gathering.at(finding):
            yield f"  {'+' if one.there else '-'} {one.sign}: {one.origin}, {one.by}"
    for eaten in judged.eaten:
        yield f"EATEN {eaten.finding.chalk} below {eaten.below}"
        yield f"  {short([one.working.lines() for one in eaten.found.ranked])}"
        yield "  " + "; ".join(f"{one.cause.id} {one.chance:.6f} {one.word}" for one in eaten.found.ranked[:6])
        for afloat in (True, False):
            test = eaten.next_test(afloat=afloat)
            yield f"  next {test and test.id}"


def of_readings(judged: Judged) -> Iterator[str]:
    book, verdicts = judged.book, judged.verdicts
    for reading in book.readings.values():
        lines: list[object] = [in_words(reading), reading_line(book.boat, reading)]
        values = getattr(reading, KINDS[reading.kind].values)
        if reading.kind in ("pits", "thickness"):
            finding, plate = book.findings.get(str(reading.finding)), book.plate_fields.get(reading.plate_field or "")
            lines.append(meaning_so_far(verdicts, reading, finding, plate))
        elif values:
            try:
                meaning = meaning_of(book.boat, reading.kind, values, getattr(reading, "across", None))
                lines += [meaning.lines, meaning.working.lines()] if meaning else []
            except CannotCalculate as error:
                lines.append(str(error))
        zone = zones.zone_of_reading(book, CHECKLISTS, reading).value
        yield f"READING {reading.id} {zone}, fails {fails(book.boat, reading)}, {short(lines)}"


def of_fields(judged: Judged) -> Iterator[str]:
    for name, field in judged.verdicts.fields.items():
        loss, estimate, growth = field.loss, field.estimate, field.growth
        yield f"FIELD {name} {of_verdict(field.verdict)}"
        yield f"  seen {field.seen_percent}, below {field.below}, aged {field.aged}, {' | '.join(field.warnings)}"
        yield f"  loss {field.loss_missing} {loss and short(loss)}"
        yield f"  required {field.required.wrong} {short(field.required.check)}"
        yield f"  estimate {field.estimate_missing} {estimate and short(estimate)}"
        yield f"  later {figures(field.hole_chance_later)}"
        yield f"  growth {growth and short(growth)} unseen {unseen_lines(field)} lines {short(field.lines())}"
        if field.verdict:
            yield f"  {verdict_line(judged.verdicts, field.verdict)}"


def of_members(judged: Judged) -> Iterator[str]:
    for name, member in judged.verdicts.members.items():
        yield f"MEMBER {name} {of_verdict(member.verdict)} {member.missing}"
        yield f"  below {member.below}, lines {short(member.lines())}"


def of_list(judged: Judged) -> Iterator[str]:
    listed = judged.worklist
    for one in listed.actions:
        yield f"ACTION {one.rank} {one.tier.value} {one.key}: {one.what}"
        yield f"  {one.where} / {one.why}"
        yield (
            f"  {one.step.value}, {one.who.value}, {one.severity.value} {one.likelihood} {one.risk.value}, "
            f"below {one.below}, haul {one.needs_haul}, order {one.order}, cures {sorted(one.cures)}, "
            f"label {one.label}, {one.headline}"
        )
        yield f"  after {'; '.join(listed.after_labels(one))}; rank {short(rank_working(one, listed))}"
    for job in judged.jobs:
        plate = job.plate
        yield f"JOB {job.finding.chalk} {job.treatment} own {job.own} {job.plate_missing} {plain(plate)}"
        yield f"  {[one.name for one in job.adjacent]} {worked(job.working)}"


def of_electricity(judged: Judged) -> Iterator[str]:
    found = judged.electricity
    yield f"free {plain(found.free)}, hull test {found.hull_test and (found.hull_test.told, found.hull_test.leak)}"
    yield f"at work {found.at_work and (found.at_work[0].id, found.at_work[1].word, found.at_work[1].state)}"
    yield f"leak {plain(judged.leak)}, failing {[one.id for one in found.failing]}, hunt {short(found.hunt)}"
    for reading, judged_mv in history(judged.book):
        yield f"history {reading.id} {judged_mv and (judged_mv.word, figures(judged_mv.read.sea_mv))}"
    patches = judged.patches
    yield f"patches {tally_lines(patches)} {[pool.likelihood for pool in patches.pools]}"
    wetted = wetted_of(judged.book.boat)
    yield f"wetted {wetted and figures(wetted.mean_m2)}"


def told(book: Book) -> str:
    judged = Judged(book, CHECKLISTS)
    parts = (of_boat, of_list, of_findings, of_readings, of_fields, of_members, of_electricity)
    return "\n".join(line.rstrip() for part in parts for line in part(judged)) + "\n"


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_said_of_an_invented_book_does_not_change_unseen(seed: int) -> None:
    path, text = FROZEN / f"{seed:02}.txt", told(Invented(seed, CHECKLISTS).book)
    if os.environ.get(UPDATE):
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    assert text == path.read_text(encoding="utf-8")
