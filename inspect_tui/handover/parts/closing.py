"""Cautions, the rules that spoke, and the limits of the inspection."""

from __future__ import annotations

from collections.abc import Iterator

from inspect_tui.domain.knowledge.named import Cautions
from inspect_tui.domain.words import Said, Severity
from inspect_tui.handover.model import (
    Blanks,
    Column,
    Facts,
    Head,
    Line,
    Part,
    Points,
    Proof,
    Table,
    Words,
)
from inspect_tui.handover.parts.cover import glossary
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.judgement.metal.fields import limits_of
from inspect_tui.judgement.metal.verdict import Verdict, letters_words, source_of
from inspect_tui.judgement.work.risk import MATRIX_SOURCE, TIER_SOURCE

LIMITS = (
    "This is a record of what one or more people saw, measured and wrote down on the days named here. It is not "
    "a survey, a class certificate or a promise.",
    "Nothing here says that the boat is fit for any use. Whether she may be floated, loaded, insured or sold is for "
    "a licensed surveyor and the local authorities.",
    "What was not seen is not known. Absence from the list of findings says nothing about places listed as unseen "
    "or not asked.",
    "Ultrasonic and caliper readings hold for the spot they were taken at. Pits lie between spots.",
    "Severity, likelihood and order of work are judgements by the rules printed here; rules borrowed from steel "
    "ships or resting on common practice are marked so.",
    "Hot work, gas-freeing, mains electrics and pressure tests are for qualified people under local rules.",
)

NO_FILE_PROVES = (
    "No file can prove by itself when it was written: a book that was forged as a whole, with its papers, agrees "
    "with them. Send the head of the trail to somebody today; --head checks the book against it later."
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


def rules_part(subject: Subject) -> Part:
    """By which rules things were judged and ranked, each with its source and how well that is known."""
    limits = limits_of(subject.book, subject.checklists)
    used = {rule.id for verdict in _verdicts(subject) for rule in verdict.rules}
    rules = Table(
        f"Rules of the limits file {limits.file} that spoke here; the others are in the file",
        (Column("Rule"), Column("Says", wide=True), Column("Source, and how well it is known", wide=True)),
        tuple((rule.id, rule.say, str(source_of(rule))) for rule in limits.rule if rule.id in used),
    )
    return Part(
        "rules",
        "Rules",
        (
            Facts(
                (
                    Line("Ranking", f"{MATRIX_SOURCE} {TIER_SOURCE}"),
                    Line("Verdicts", f"by the limits file {limits.file} ({limits.title}), SHA-256 {limits.digest}"),
                    Line("Likelihood", letters_words(limits)),
                )
            ),
            rules,
        ),
    )


def _verdicts(subject: Subject) -> Iterator[Verdict]:
    verdicts = subject.judged.verdicts
    held = [one.verdict for one in verdicts.fields.values()] + [one.verdict for one in verdicts.members.values()]
    yield from (verdict for verdict in held if verdict is not None)
    yield from (told for one in subject.book.findings.values() if (told := verdicts.of(one)) is not None)


SIGNED = ("Looked and wrote: name", "Date, signature", "Read as surveyor: name", "Date, signature")


def limits_part(proof: Proof, *, signed: bool = False) -> Part:
    """What these papers are not, the words used in them, by what they are checked; `signed`: room for signatures."""
    return Part(
        "limits",
        "Limits of this inspection",
        (
            Points(LIMITS),
            *((Head("Signed"), Blanks(SIGNED)) if signed else ()),
            Head("Words used here"),
            Facts(glossary()),
            Head("By what these papers are checked"),
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
        dense=True,
    )
