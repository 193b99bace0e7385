"""The worklist, and each finding whole: where it is, how bad, what was measured, what was decided."""

from __future__ import annotations

from inspect_tui.domain import walk, zones
from inspect_tui.domain.measuring.measured import instrument_words, moment, read_words, reading_line
from inspect_tui.domain.reading_records import PitReading, Reading, ThicknessReading
from inspect_tui.domain.records import Finding, Position
from inspect_tui.domain.words import LIKELIHOOD_WORDS, TIER_WORDS, TREATMENT_WORDS, Tier
from inspect_tui.handover.model import (
    Block,
    Cell,
    Column,
    Facts,
    Line,
    Nos,
    Part,
    Picture,
    Points,
    Sheet,
    Table,
    Words,
)
from inspect_tui.handover.parts.cover import datum_words
from inspect_tui.handover.parts.front import MOST_DECIDE, nothing_words, what_is_wrong
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.judgement.electricity.meters import fails
from inspect_tui.judgement.metal.verdict import Verdict
from inspect_tui.judgement.work.action import Action
from inspect_tui.judgement.work.worklist import Job, Worklist, count_words

# More readings than this stand in a table.
MOST_IN_LINES = 3
MOST_OF_A_WAY = 3
# Readings that stand in tables of their own.
IN_TABLES = frozenset({"thickness", "pits", "potential"})
WORKLIST_COLUMNS = (
    Column("No.", number=True),
    Column("What", wide=True),
    Column("Where", wide=True),
    Column("Why it ranks here", wide=True),
    Column("Who", narrow=True),
    Column("After no."),
)
BRIEF_COLUMNS = (
    Column("No.", narrow=True),
    Column("Grade", narrow=True),
    Column("What was found", wide=True),
    Column("Where", wide=True),
    Column("When", narrow=True),
    Column("Who", narrow=True),
)


def worklist_part(subject: Subject) -> Part:
    listed = subject.listed
    blocks: list[Block] = [Words(f"{count_words(listed)}. Several jobs of a kind are one, with its places.")]
    for tier in Tier:
        jobs = listed.jobs_in(tier)
        if not jobs:
            blocks.append(Words(f"{tier.value} ({tier.word}): {TIER_WORDS[tier]}. {nothing_words(subject)}"))
            continue
        rows = tuple(
            (str(job.number), job.say, _where(job), job.first.why, job.first.who.value, _after(listed, job.first))
            for job in jobs
        )
        blocks.append(Table(f"{tier.value} ({tier.word}): {TIER_WORDS[tier]}", WORKLIST_COLUMNS, rows))
    if listed.looks:
        looks = tuple(
            (str(one.rank), f"{one.tier.word}: {one.what}", one.where, one.why, one.who.value, _after(listed, one))
            for one in listed.looks
        )
        blocks.append(Table("Still to be looked at, or settled; until then nobody knows", WORKLIST_COLUMNS, looks))
    return Part("worklist", "What to do first", tuple(blocks))


def _where(job: Job) -> Cell:
    """Its numbers, which lead to the findings; else its place in words."""
    return Nos(tuple(job.numbers)) if job.places > 1 and job.numbers else job.where


def _after(listed: Worklist, action: Action) -> str:
    """The jobs that must come first, by their numbers."""
    numbers = sorted({listed.job_of[key] for key in action.after if key in listed.job_of})
    shown = ", ".join(map(str, numbers[:6]))
    return f"{shown} …" if len(numbers) > 6 else shown


def brief_part(subject: Subject) -> Part:
    """Every finding in a line, the gravest first; what was put right in one sentence."""
    rows = []
    closed = []
    for finding in subject.book.findings.values():
        action = subject.own_action_of.get(finding.chalk)
        if action is None:
            closed.append(finding.chalk)
            continue
        verdict = subject.judged.verdicts.of(finding)
        numbers = f"; {verdict.numbers}" if verdict else ""
        rows.append(
            (
                (finding.severity.rank, action.tier.rank, action.rank),
                (
                    Nos((finding.chalk,)),
                    f"{finding.severity.roman} {finding.likelihood.value}",
                    f"{subject.kind_label(finding)}: {finding.words}{numbers}",
                    f"{subject.place_name(finding.compartment)}, {walk.position_words(finding.position) or '–'}",
                    action.tier.word,
                    action.who.value,
                ),
            )
        )
    told = tuple(row for _, row in sorted(rows, key=lambda one: one[0]))
    blocks: list[Block] = [Table("", BRIEF_COLUMNS, told, leads=True)] if told else [Words("Nothing is open.")]
    if closed:
        blocks.append(Words(f"Put right or closed: findings {', '.join(map(str, sorted(closed)))}.", "note"))
    return Part("brief", "Every finding in a line, the gravest first", tuple(blocks))


def decisive_part(subject: Subject) -> Part:
    """The findings that decide, whole, with their photos: the gravest of each way in which she is wrong."""
    shown = [one for one in what_is_wrong(subject) if one.tier is not Tier.NOW][:MOST_DECIDE]
    found = [finding for one in shown for finding in one.findings[:MOST_OF_A_WAY]]
    sheets = tuple(finding_sheet(subject, finding) for finding in found)
    return Part("decisive", "The findings that decide", sheets or (Words("None is open."),), two=True)


def findings_part(subject: Subject) -> Part:
    """By compartment from bow to stern, with what is needed to find each on the boat."""
    book = subject.book
    blocks: list[Block | Sheet] = [
        Words(
            f"How positions are given: {datum_words(book)}. The offset is measured aft of the frame, girth along "
            "the plate from the centreline; P is port, C the centreline, S starboard. The number stands on the "
            "metal, and the position is the middle of what is marked."
        )
    ]
    places = [place.id for place in book.bow_to_stern()]
    strange = [key for key in subject.findings_in if key not in places]
    for key in (*places, *strange):
        findings = subject.findings_in.get(key, [])
        blocks += [finding_sheet(subject, finding) for finding in findings]
    boat = book.boat
    loose = [
        f"{subject.place_name(reading.compartment)}{_asked(subject, reading)}: {reading_line(boat, reading)}"
        f"{'; FAILS its limits' if fails(boat, reading) else ''}"
        for reading in subject.readings_of[None]
        if reading.compartment in book.compartments and reading.kind not in IN_TABLES
    ]
    if loose:
        blocks.append(Sheet("loose", "Readings that belong to no finding", (Points(tuple(loose)),)))
    return Part("findings", "Findings, by compartment from bow to stern", tuple(blocks), two=True)


def _asked(subject: Subject, reading: Reading) -> str:
    prompt = subject.checklists.prompts.get(reading.prompt or "")
    return f" ({prompt.ask})" if prompt else ""


def state_word(subject: Subject, finding: Finding) -> str:
    tier = subject.tier_of(finding)
    return f"{tier.value}; {finding.status.value}" if tier else f"closed; {finding.status.value}"


def place_lines(subject: Subject, finding: Finding) -> list[Line]:
    """Where a finding is, so that somebody who never saw the boat finds it."""
    place = subject.book.compartments.get(finding.compartment)
    name = subject.place_name(finding.compartment)
    lies = walk.frames_words(place) if place else ""
    position = [
        f"{name} ({lies})" if lies else name,
        walk.position_words(finding.position) or "position not written down",
    ]
    if paced := subject.paced(finding.position):
        position.append(paced)
    position.append(zones.zone_of_finding(subject.book, subject.checklists, finding).value)
    size = [f"{side:g}" for side in (finding.extent_length_mm, finding.extent_width_mm) if side]
    if size:
        position.append(f"{' × '.join(size)} mm, along the boat first")
    return [Line("Where", "; ".join(position))]


def finding_sheet(subject: Subject, finding: Finding) -> Sheet:
    blocks: list[Block] = [Words(finding.words, "own")] if finding.words else []
    blocks.append(Facts((*place_lines(subject, finding), *_judged_lines(subject, finding))))
    readings = subject.readings_of.get(finding.chalk, [])
    if len(readings) > MOST_IN_LINES:
        blocks.append(_readings_table(subject, finding, readings))
    elif readings:
        blocks.append(Points(tuple(_reading_words(subject, finding, one) for one in readings)))
    events = (
        f"{moment(event.when)} {event.status.value} by {event.by}{': ' + event.note if event.note else ''}"
        for event in finding.history
    )
    blocks += [*_pictures(subject, finding), Facts((Line("History", "; ".join(events)),))]
    return Sheet(
        f"finding-{finding.chalk}",
        subject.kind_label(finding),
        tuple(blocks),
        chalk=finding.chalk,
        tag=state_word(subject, finding),
        frames=subject.frames_of(finding),
        mark=str(finding.chalk),
        whole=len(readings) <= 12 and len(finding.photos) <= 3 and len(finding.words) < 1500,
    )


def _judged_lines(subject: Subject, finding: Finding) -> list[Line]:
    """What was written of it, what the numbers say, what was decided and seen, what is to be done."""
    word, _ = LIKELIHOOD_WORDS[finding.likelihood]
    lines = [
        Line(
            "As written",
            f"severity {finding.severity.roman} {finding.severity.value}, "
            f"likelihood {finding.likelihood.value} {word}",
        )
    ]
    if verdict := subject.judged.verdicts.of(finding):
        lines.append(Line("Numbers", verdict_words(verdict)))
    elif why := not_judged(subject, finding):
        lines.append(Line("Numbers", f"not judged: {why}"))
    if own := finding.override:
        decided = TREATMENT_WORDS[own.treatment]
        told = f"own decision: {decided}, against the numbers or without them; because: {own.reason}"
        lines.append(Line("Owner", f"{told} ({moment(own.when)}, {own.by})"))
    elif finding.treatment:
        lines.append(Line("Decided", TREATMENT_WORDS[finding.treatment]))
    if one := finding.lifted:
        parts = [
            one.beneath.value,
            "" if one.product is None else "paste or powder between" if one.product else "nothing between",
            f"edge {one.edge.value}" if one.edge else "",
            f"attack goes on {one.beyond_mm:g} mm outside" if one.beyond_mm else "",
        ]
        lines.append(Line("Patch lifted", f"{', '.join(filter(None, parts))} ({moment(one.when)}, {one.by})"))
    if action := subject.action_of.get(finding.chalk):
        lines.append(Line("To do", action.what.split(" — ")[0]))
    return lines


def not_judged(subject: Subject, finding: Finding) -> str:
    """Why depths or thicknesses at a finding got no verdict; empty if none were measured."""
    measured = [
        one for one in subject.readings_of.get(finding.chalk, []) if isinstance(one, PitReading | ThicknessReading)
    ]
    kind = subject.checklists.kinds.get(finding.kind)
    if not measured:
        return ""
    if kind is not None and not kind.gauged:
        return f"the limits file has no rule for '{kind.label}'"
    if all(one.clean_metal is False for one in measured):
        return "none of its readings was taken on bright metal"
    return "its plate field, or the plate's thickness as built, is not written down"


def _reading_words(subject: Subject, finding: Finding, reading: Reading) -> str:
    """One reading in a line; where it was taken only if that is elsewhere than the finding."""
    same = reading.position == finding.position
    shown = reading.model_copy(update={"position": Position()}) if same else reading
    return reading_line(subject.book.boat, shown)


def _readings_table(subject: Subject, finding: Finding, readings: list[Reading]) -> Table:
    def where(reading: Reading) -> str:
        return "" if reading.position == finding.position else walk.position_words(reading.position)

    def metal(reading: Reading) -> str:
        return "" if reading.clean_metal is None else "bright" if reading.clean_metal else "NOT bright"

    return Table(
        f"Readings at no. {finding.chalk}",
        (
            Column("Measured", wide=True),
            Column("Where, if elsewhere"),
            Column("With"),
            Column("Metal"),
            Column("When, by whom"),
        ),
        tuple(
            (
                read_words(subject.book.boat, one) + (f"; {one.note}" if one.note else ""),
                where(one),
                instrument_words(one),
                metal(one),
                f"{moment(one.when)}, {one.by}",
            )
            for one in readings
        ),
    ).filled()


def _pictures(subject: Subject, finding: Finding) -> list[Block]:
    if not subject.photos:
        return []
    told: list[Block] = []
    for number, id in enumerate(finding.photos, 1):
        photo = subject.book.photos.get(id)
        if photo is None:
            told.append(Words(f"Photo {id} is not in the book any more.", "trouble"))
        elif id in subject.lost_photos:
            told.append(Words(subject.lost_photos[id], "trouble"))
        else:
            words = photo.caption or f"no. {finding.chalk}, {subject.kind_label(finding)}"
            when = f", {moment(photo.taken)}" if photo.taken else ""
            at = f", {subject.photo_places[id]}" if id in subject.photo_places else ""
            told.append(
                Picture(
                    id,
                    f"{words}{when}{at}",
                    f"Photo {number} of finding {finding.chalk}: {words}",
                )
            )
    return told


def verdict_words(verdict: Verdict) -> str:
    doubts = f" Doubtful: {' '.join(verdict.warnings)}" if verdict.warnings else ""
    return f"{verdict.treatment.value}: {verdict.numbers}; {verdict.because}.{doubts}"
