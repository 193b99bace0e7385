"""Frames, floors and other members; the squares that chance drew; and what grew since an earlier round."""

from __future__ import annotations

from collections.abc import Iterator

from inspect_tui.domain.measuring.metal_records import SamplingPlan
from inspect_tui.domain.measuring.sampling import passed_over, read_of
from inspect_tui.domain.plain import counted
from inspect_tui.handover.model import Column, Facts, Line, Points, Table
from inspect_tui.handover.parts.findings import verdict_words
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.judgement.metal.members import MemberJudged


def members_table(subject: Subject) -> Table | None:
    """Each member by itself: as built, what is left, and what the limits say."""
    rows = [_row(subject, judged) for judged in subject.judged.verdicts.members.values()]
    if not rows:
        return None
    return Table(
        "Frames, floors and other members, never averaged with plate. Least: thinnest reading of all rounds; "
        "section: what is left of the section modulus as built, with its plate; of a bolt, of its area.",
        (
            Column("Member"),
            Column("Place"),
            Column("As built mm", number=True),
            Column("Least mm", number=True),
            Column("Section left %", number=True),
            Column("By the limits", wide=True),
        ),
        tuple(rows),
    )


def _row(subject: Subject, judged: MemberJudged) -> tuple[str, ...]:
    member, wear = judged.member, judged.wear
    share = wear.section_share if wear else None
    return (
        f"{member.title}",
        subject.place_name(member.compartment),
        f"{member.web_mm:g}",
        f"{member.web_mm * (1 - wear.loss_share):.1f}" if wear else "",
        "" if share is None else f"{100 * share:.0f}",
        verdict_words(judged.verdict) if judged.verdict else judged.missing,
    )


def sampling_facts(subject: Subject) -> Facts | None:
    """How the squares were chosen, so that anybody can repeat the draw."""
    lines = tuple(_sampling(subject, plan) for plan in subject.book.plans.values())
    return Facts(lines) if lines else None


def _sampling(subject: Subject, plan: SamplingPlan) -> Line:
    read = read_of(subject.book, plan)
    missed = passed_over(plan, read)
    numbers = ", ".join(str(number) for number in plan.drawn if number in read) or "none yet"
    told = (
        f"{plan.wanted} squares of {plan.square_length_mm:g} × {plan.square_girth_mm:g} mm drawn by lot on "
        f"{plan.when:%Y-%m-%d %H:%M}, before they were read, from a sheet {plan.length_mm:g} × {plan.girth_mm:g} mm, "
        f"numbered from its forward lower corner row by row; order: SHA-256 of {plan.seed[:12]}…/{plan.id} and the "
        f"number. Read: {numbers}"
    )
    if missed:
        told += f". Passed over: {', '.join(map(str, missed))}"
    field = subject.book.plate_fields.get(plan.plate_field)
    return Line(f"Squares of {field.name if field else plan.plate_field}", f"{told}.")


def grown_points(subject: Subject) -> Points | None:
    """What was read in more than one round: what grew beyond what can be told, and how much was compared."""
    told = tuple(_grown(subject))
    return Points(told) if told else None


def _grown(subject: Subject) -> Iterator[str]:
    verdicts = subject.judged.verdicts
    twice = verdicts.gathered.read_twice
    if not twice:
        return
    count = 0
    for finding in sorted(subject.book.findings.values(), key=lambda one: one.chalk):
        verdict = verdicts.of(finding)
        grown = verdict.facts.growth if verdict else verdicts.gathered.crack(finding)
        if verdict and grown is not None:
            count += 1
            yield f"No. {finding.chalk}: {grown.words(verdict.facts.least_left_for(grown))}."
        elif grown is not None and grown.significant:
            count += 1
            yield f"No. {finding.chalk}, crack: {grown.words()}."
    for judged in verdicts.fields.values():
        for one in judged.metal.growths:
            if one.where and one.significant:
                count += 1
                yield f"{judged.field.name}, {one.words()}."
    grew = f"{count or 'none'} grew beyond what the gauges can tell"
    yield f"{counted(twice, 'spot')} of the boat read in more than one round; {grew}."
