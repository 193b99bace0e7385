"""Cautions, the working of every number, and the limits of the inspection."""

from __future__ import annotations

from inspect_tui.domain.knowledge.named import Cautions
from inspect_tui.domain.words import Said, Severity
from inspect_tui.engineering.working import Working
from inspect_tui.handover.model import Block, Column, Facts, Line, Part, Points, Proof, Sheet, Table, Words
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.judgement.metal.fields import limits_of
from inspect_tui.judgement.metal.verdict import letters_words, source_of
from inspect_tui.judgement.work.risk import MATRIX_SOURCE, TIER_SOURCE

LIMITS = (
    "This is a record of what one or more people saw, measured and wrote down on the days named here. It is not "
    "a survey, a class certificate or a promise.",
    "Nothing here says that the boat is fit for any use. Whether she may be floated, loaded, insured or sold is for "
    "a licensed surveyor and the authorities of the place.",
    "What was not seen is not known. Absence from the list of findings says nothing about places listed as unseen "
    "or not asked.",
    "Ultrasonic and caliper readings hold for the spot they were taken at. Pits lie between spots.",
    "Severity, likelihood and order of work are judgements by the rules printed here; rules borrowed from steel "
    "ships or resting on common practice are marked so.",
    "Hot work, gas-freeing, mains electrics and pressure tests are for qualified people under local rules.",
)

NO_FILE_PROVES = (
    "No file can prove by itself when it was written: a book that was forged as a whole, with its papers, agrees "
    "with them. Send the head of the trail to somebody today; --head holds it against the book later."
)


def cautions_part(subject: Subject) -> Part:
    """The cautions of every prompt that led to a finding or stays to be done, and of every verdict; and hot work,
    always."""
    book, checklists = subject.book, subject.checklists
    wanted: set[str] = {Cautions.HOT_WORK, Cautions.CONFINED_SPACE}
    wanted |= {
        caution.id for action in subject.listed.actions if action.verdict for caution in action.verdict.cautions
    }
    wanted |= {id for action in subject.listed.actions if action.doing for id in action.doing.cautions}
    prompts = checklists.prompts
    for finding in book.findings.values():
        prompt = prompts.get(finding.prompt or "")
        if prompt is not None and finding.severity is not Severity.NEGLIGIBLE:
            wanted |= set(prompt.cautions)
    for answer in book.answers.values():
        if answer.said is Said.UNSEEN and answer.prompt in prompts:
            wanted |= set(prompts[answer.prompt].cautions)
    lines = tuple(
        Line(caution.title, f"{caution.say} {caution.more} Source: {caution.source}.")
        for caution in checklists.cautions.values()
        if caution.id in wanted
    )
    return Part("cautions", "Cautions", (Facts(lines),), own_page=True)


def working_part(subject: Subject) -> Part:
    """Behind each number: inputs, formula in symbols and figures, source, how well it is known, what is missing."""
    verdicts = subject.judged.verdicts
    blocks: list[Block | Sheet] = [
        Facts((Line("Rank", MATRIX_SOURCE), Line("Tiers", TIER_SOURCE))),
    ]
    for judged in verdicts.fields.values():
        lines = tuple(Line(*line) for line in judged.lines())
        blocks.append(Sheet(f"working-{judged.field.id}", f"Plate field {judged.field.name}", (Facts(lines),)))
    for key, member in verdicts.members.items():
        lines = tuple(Line(*line) for line in member.lines())
        blocks.append(Sheet(f"working-{key}", member.member.title, (Facts(lines),)))
    for job in subject.judged.jobs:
        if job.working.steps:
            lines = tuple(Line(*line) for line in job.working.lines())
            title = f"Quantities of the job at no. {job.finding.chalk}"
            blocks.append(Sheet(f"working-job-{job.finding.chalk}", title, (Facts(lines),)))
    for finding in sorted(subject.book.findings.values(), key=lambda one: one.chalk):
        if verdict := verdicts.of(finding):
            lines = tuple(Line(*line) for line in verdict.lines())
            title = f"Finding {finding.chalk}, {subject.place_name(finding.compartment)}"
            blocks.append(Sheet(f"working-{finding.chalk}", title, (Facts(lines),)))
    blocks += _of_causes(subject)
    return Part("working", "Working of the numbers", tuple(blocks))


def _of_causes(subject: Subject) -> list[Block | Sheet]:
    """Behind potentials, the circuit hunt, the patches, and each cause that is named at a place."""
    told: list[tuple[str, str, Working]] = []
    judged = [one for _, one in subject.judged.electricity.history if one is not None]
    if judged:
        told.append(("potential", "The newest potential", judged[-1].working))
    if hunt := subject.judged.electricity.hunt:
        told.append(("hunt", "The circuit hunt", hunt.working))
    if test := subject.judged.electricity.hull_test:
        told.append(("isolation", "Isolation test", test.working))
    for number, pool in enumerate(subject.judged.patches.pools, 1):
        if among := pool.among:
            told.append((f"patches-{number}", f"Patches that were not lifted: {pool.name}", among.working))
    for one in subject.judged.eaten:
        chalk = one.finding.chalk
        told += [
            (f"cause-{chalk}-{each.cause.id}", f"Cause at no. {chalk}: {each.cause.name}", each.working)
            for each in one.found.named
        ]
    return [
        Sheet(f"working-{id}", title, (Facts(tuple(Line(*line) for line in working.lines())),))
        for id, title, working in told
    ]


def limits_part(subject: Subject, proof: Proof) -> Part:
    limits = limits_of(subject.book, subject.checklists)
    rules = Table(
        f"Rules of the limits file {limits.file}",
        (Column("Rule"), Column("Says", wide=True), Column("Source, and how well it is known", wide=True)),
        tuple((rule.id, rule.say, str(source_of(rule))) for rule in limits.rule),
    )
    return Part(
        "limits",
        "Limits of this inspection",
        (
            Points(LIMITS),
            Facts(
                (
                    Line("Ranking", f"{MATRIX_SOURCE} {TIER_SOURCE}"),
                    Line("Verdicts", f"by the limits file {limits.file} ({limits.title}), SHA-256 {limits.digest}"),
                    Line("Likelihood", letters_words(limits)),
                )
            ),
            rules,
            Words("inspect-tui verify BOOK --papers FILE tells whether these papers fit their book, from these:"),
            Facts(
                (
                    Line("Digest of the book", f"SHA-256 {proof.digest}"),
                    Line("Head of the trail", f"{proof.head} after {proof.lines} lines"),
                    Line("Written with", f"{proof.program}, made of {proof.made_of}"),
                )
            ),
            Words(NO_FILE_PROVES),
        ),
    )
