"""The working of every number: each method once, with its source; then, thing by thing, the values put into it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from inspect_tui.engineering.working import Working
from inspect_tui.handover.model import Block, Facts, Head, Line, Part, Sheet, Words
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.judgement.metal.verdict import Verdict
from inspect_tui.judgement.work.risk import MATRIX_SOURCE, TIER_SOURCE

HOW = (
    "Each method is given once, under a number with M; what it does not cover is under a number with N, what is "
    "doubtful "
    "under one with D. Below, each item has its values and the numbers of the methods they went into."
)


@dataclass(frozen=True)
class _Once:
    """Sentences that are printed once and named by number elsewhere."""

    letter: str
    told: dict[str, int] = field(default_factory=dict)

    def name(self, sentence: str) -> str:
        return f"{self.letter}{self.told.setdefault(sentence, len(self.told) + 1)}"

    def lines(self) -> tuple[Line, ...]:
        return tuple(Line(f"{self.letter}{number}", sentence) for sentence, number in self.told.items())


def working_part(subject: Subject) -> Part:
    methods, missing, doubts = _Once("M"), _Once("N"), _Once("D")
    values = []
    for title, before, working in _all(subject):
        told = list(before)
        if working.inputs:
            told.append("given: " + ", ".join(f"{name} {value}" for name, value in working.inputs))
        for step in working.steps:
            name = methods.name(f"{step.what}{f': {step.formula}' if step.formula else ''}. Source: {step.source}.")
            told.append(f"{name} {' = '.join(part for part in (step.numbers, step.result) if part)}")
        marks = [doubts.name(one) for one in working.doubts] + [missing.name(one) for one in working.not_covered]
        if marks:
            told.append(f"see {', '.join(marks)}")
        values.append(Line(title, "; ".join(told)))
    blocks: list[Block | Sheet] = [
        Words(HOW, "note"),
        Facts((Line("Rank", MATRIX_SOURCE), Line("Tiers", TIER_SOURCE))),
    ]
    for head, once in (("Methods", methods), ("What they do not cover", missing), ("Doubtful", doubts)):
        if once.told:
            blocks += [Head(head), Facts(once.lines())]
    blocks += [Head("Values"), Facts(tuple(values))]
    return Part("working", "Working of the numbers", tuple(blocks), dense=True)


def _all(subject: Subject) -> Iterator[tuple[str, list[str], Working]]:
    """Everything that was worked out: its name, what rules said of it, the working."""
    judged = subject.judged
    for one in judged.verdicts.fields.values():
        told = _rules(one.verdict)
        if one.estimate is None:
            told.append(f"not looked at: {one.estimate_missing}")
        elif tail := one.tail():
            words = "tells against the Gumbel law: mixed causes?" if tail.doubtful else "no sign against it"
            told.append(f"tail: likelihood ratio, shape {tail.shape:.2f}, p = {tail.p_value:.2f}: {words}")
        yield (
            f"Plate {one.field.name}",
            told,
            one.verdict.working if one.verdict else Working((), (), (), one.warnings),
        )
    for member in judged.verdicts.members.values():
        working = member.verdict.working if member.verdict else Working((), (), (), (member.missing,))
        yield member.member.title, _rules(member.verdict), working
    for job in judged.scope:
        if job.working.steps:
            yield f"Job {job.letter}, no. {', '.join(map(str, job.findings))}", [], job.working
    for finding in sorted(subject.book.findings.values(), key=lambda each: each.chalk):
        if verdict := judged.verdicts.of(finding):
            yield f"No. {finding.chalk}", _rules(verdict), verdict.working
    history = [each for _, each in judged.electricity.history if each is not None]
    if history:
        yield "The newest potential", [], history[-1].working
    if hunt := judged.electricity.hunt:
        yield "The circuit hunt", [], hunt.working
    if test := judged.electricity.hull_test:
        yield "Isolation test", [], test.working
    for pool in judged.patches.pools:
        if among := pool.among:
            yield f"Patches not lifted: {pool.name}", [], among.working
    for place in judged.eaten:
        for each in place.found.named:
            yield f"Cause at no. {place.finding.chalk}: {each.cause.name}", [], each.working


def _rules(verdict: Verdict | None) -> list[str]:
    """By which rules it was judged, without their sentences: those stand among the rules."""
    if verdict is None:
        return []
    asked = [f"{rule.asks} by rule {rule.id}: {verdict.conditions(rule)}" for rule in verdict.rules]
    return [
        verdict.treatment.value,
        *asked,
        f"severity {verdict.severity.value}, likelihood {verdict.likelihood.value}",
    ]
