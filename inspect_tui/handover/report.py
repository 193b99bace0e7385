"""The report model: everything the papers say, in words and without layout.

Its dates come from the book, so the same book always gives the same report.
"""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from dataclasses import dataclass
from datetime import datetime

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book, dump
from inspect_tui.domain.checklists import Checklists
from inspect_tui.domain.plain import counted
from inspect_tui.domain.readings import in_words, plain_number
from inspect_tui.domain.records import Finding, Reading
from inspect_tui.domain.words import (
    FEATURE_WORDS,
    LIKELIHOOD_WORDS,
    SEVERITY_WORDS,
    TIER_WORDS,
    TREATMENT_WORDS,
    UNSEEN_WORDS,
    Said,
    Severity,
    Tier,
)
from inspect_tui.judgement.action import Action
from inspect_tui.judgement.field_actions import percent
from inspect_tui.judgement.fields import FieldJudged, limits_of
from inspect_tui.judgement.risk import MATRIX_SOURCE, TIER_SOURCE
from inspect_tui.judgement.verdict import Verdict, letters_words, source_of
from inspect_tui.judgement.worklist import Worklist, worklist

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


@dataclass(frozen=True)
class Line:
    """A name and its value."""

    name: str
    value: str


@dataclass(frozen=True)
class PlaceRow:
    """How much of one compartment was gone through."""

    name: str
    lies: str
    asked: int
    answered: int
    findings: tuple[int, ...]
    seen: str
    tally: str
    not_fitted: tuple[str, ...]
    unseen: tuple[Line, ...]
    notes: tuple[Line, ...]

    @property
    def walked(self) -> bool:
        return self.answered > 0


@dataclass(frozen=True)
class FindingSheet:
    """One finding, whole."""

    chalk: int
    title: str
    place: str
    position: str
    words: str
    judged: str
    status: str
    treatment: str
    verdict: str
    action: str
    readings: tuple[str, ...]
    history: tuple[str, ...]


@dataclass(frozen=True)
class ActionLine:
    rank: int
    what: str
    where: str
    why: str
    who: str
    after: str


@dataclass(frozen=True)
class TierPart:
    tier: str
    letter: str
    meaning: str
    actions: tuple[ActionLine, ...]
    findings: tuple[FindingSheet, ...]


@dataclass(frozen=True)
class Report:
    title: str
    boat: tuple[Line, ...]
    counts: tuple[Line, ...]
    particulars: tuple[Line, ...]
    tiers: tuple[TierPart, ...]
    closed: tuple[FindingSheet, ...]
    places: tuple[PlaceRow, ...]
    nothing: str
    loose_readings: tuple[str, ...]
    cautions: tuple[Line, ...]
    sources: tuple[str, ...]
    limits: tuple[str, ...]
    troubles: tuple[str, ...]
    digest: str
    plates: tuple[Line, ...]


def make_report(book: Book, checklists: Checklists) -> Report:
    listed = worklist(book, checklists)
    tier_of = {action.chalk: action.tier for action in listed.actions if action.chalk is not None}
    sheets = {
        finding.chalk: _sheet(book, checklists, finding, listed)
        for finding in sorted(book.findings.values(), key=lambda one: one.chalk)
    }
    tiers = []
    for tier in Tier:
        actions = listed.in_tier(tier)
        in_order = [action.chalk for action in actions if action.chalk is not None]
        tiers.append(
            TierPart(
                tier=tier.value,
                letter=tier.letter,
                meaning=TIER_WORDS[tier],
                actions=tuple(action_line(action, listed) for action in actions),
                findings=tuple(sheets[chalk] for chalk in in_order),
            )
        )
    places = tuple(_place_row(book, checklists, place.id) for place in book.bow_to_stern())
    return Report(
        title=book.boat.name,
        boat=_boat_lines(book),
        counts=_counts(book, checklists, listed),
        particulars=_particulars(book),
        tiers=tuple(tiers),
        closed=tuple(sheet for chalk, sheet in sheets.items() if chalk not in tier_of),
        places=places,
        nothing=_nothing(places),
        loose_readings=tuple(
            f"{book.compartments[reading.compartment].name}{_asked(checklists, reading)}: {reading_line(reading)}"
            for reading in sorted(book.readings.values(), key=lambda one: (one.when, one.id))
            if reading.finding is None and reading.compartment in book.compartments
        ),
        cautions=_cautions(book, checklists, listed),
        sources=(MATRIX_SOURCE, TIER_SOURCE, *_limits_lines(listed)),
        limits=LIMITS,
        troubles=tuple(
            f"A record of {lost.table} ({lost.key}) could not be read and is kept as it is: {lost.why}"
            for lost in book.unreadable
        ),
        digest=book_digest(book),
        plates=tuple(_plate_line(judged) for judged in listed.judgement.fields.values()),
    )


def _limits_lines(listed: Worklist) -> tuple[str, ...]:
    """Which limits the verdicts rest on, and each of their rules with its source."""
    limits = limits_of(listed.judgement.book, listed.judgement.checklists)
    head = f"Verdicts by the limits file {limits.file} ({limits.title}), SHA-256 {limits.digest}."
    letters = f"Likelihood {letters_words(limits)}."
    return (head, letters, *(f"Rule {rule.id}: {rule.say}. Source: {source_of(rule)}." for rule in limits.rule))


def _plate_line(judged: FieldJudged) -> Line:
    """One plate field: what it is, what its readings say, and what is doubtful."""
    field = judged.field
    built = (
        f"{field.as_built_mm:g} mm ({field.as_built_from.value})" if field.as_built_mm and field.as_built_from else ""
    )
    told = [field.region.value, f"{field.alloy} {field.temper}".strip(), built, field.extent]
    if judged.verdict:
        told.append(f"{judged.verdict.treatment.value}: {judged.verdict.numbers}; {judged.verdict.because}")
    if judged.required.why_not:
        told.append(f"required thickness {judged.required.why_not}")
    if judged.estimate is None:
        told.append(f"not measured: {judged.estimate_missing}")
    elif judged.hole_chance_later is not None:
        told.append(
            f"chance of a hole where nobody looked, until the next haul-out: {percent(judged.hole_chance_later)}"
        )
    return Line(
        field.name,
        ". ".join(part[0].upper() + part[1:].rstrip(".") for part in (*told, *judged.warnings) if part) + ".",
    )


def action_line(action: Action, listed: Worklist) -> ActionLine:
    return ActionLine(
        action.rank, action.what, action.where, action.why, action.who.value, listed.after_words(action)
    )


def book_digest(book: Book) -> str:
    """SHA-256 over all that is said about the boat, in hexadecimal; what lies on the desk does not count."""
    said = {
        name: {key: dump(row) for key, row in sorted(rows.items())}
        for name, rows in sorted(book.tables.items())
        if name not in ("here", "drafts")
    }
    return hashlib.sha256(json.dumps(said, sort_keys=True, ensure_ascii=False).encode()).hexdigest()


def moment(when: datetime) -> str:
    """A time as it was where the book was written."""
    return f"{when:%Y-%m-%d %H:%M}"


def reading_line(reading: Reading) -> str:
    """What was measured, where, with what, when, on which metal."""
    parts = [in_words(reading)]
    if position := walk.position_words(reading.position):
        parts.append(position)
    if reading.instrument:
        error = f" ± {reading.instrument_error:g}" if reading.instrument_error is not None else ""
        parts.append(f"{reading.instrument}{error}")
    if reading.clean_metal is not None:
        parts.append("on bright metal" if reading.clean_metal else "NOT on bright metal")
    if reading.note:
        parts.append(reading.note)
    parts.append(f"{moment(reading.when)} by {reading.by}")
    return "; ".join(parts)


def _nothing(places: tuple[PlaceRow, ...]) -> str:
    """What an empty tier may claim: no more than was looked at."""
    open_ = sum(place.answered < place.asked for place in places)
    return f"Nothing written down; {counted(open_, 'compartment')} not gone through." if open_ else "Nothing."


def _asked(checklists: Checklists, reading: Reading) -> str:
    prompt = checklists.prompts_by_key().get(reading.prompt or "")
    return f" ({prompt.ask})" if prompt else ""


def _boat_lines(book: Book) -> tuple[Line, ...]:
    """Which boat, in what state, in which round."""
    boat, round_ = book.boat, book.round
    lines = [
        Line("Boat", f"{boat.name}: {boat.rig.value}, {boat.hull_metal.value}, hull length {boat.hull_length_m:g} m"),
    ]
    if boat.float_history:
        last = boat.float_history[-1]
        lines.append(Line("State", f"{last.state.value} since {last.day}"))
    until = f" to {moment(round_.closed)}" if round_.closed else ", still open"
    purpose = f", {round_.purpose}" if round_.purpose else ""
    lines.append(Line("Round", f"{round_.number}{purpose}, by {round_.by}, {moment(round_.opened)}{until}"))
    if book.trail:
        newest = max(change.when for change in book.trail.values())
        lines.append(Line("As of", moment(newest)))
    return tuple(lines)


def _particulars(book: Book) -> tuple[Line, ...]:
    """What is written down of her besides; what is not, is left out."""
    boat = book.boat
    measured = (
        ("Built", boat.year_built, ""),
        ("Waterline length", boat.waterline_length_m, "m"),
        ("Waterline beam", boat.waterline_beam_m, "m"),
        ("Hull draught", boat.hull_draught_m, "m"),
        ("Displacement", boat.displacement_kg, "kg"),
        ("Design category", boat.design_category, ""),
        ("Speed", boat.speed_kn, "kn"),
        ("Deadrise", boat.deadrise_deg, "degrees"),
        ("Lies in", boat.water, "water"),
    )
    lines = [
        Line(name, f"{plain_number(value) if isinstance(value, float) else value} {unit}".strip())
        for name, value, unit in measured
        if value is not None
    ]
    for name, fitted in (("Has", True), ("Has not", False)):
        told = [words for feature, words in FEATURE_WORDS.items() if boat.features.get(feature) is fitted]
        if told:
            lines.append(Line(name, "; ".join(told)))
    lines.append(Line("Positions", _datum_words(book)))
    return tuple(lines)


def _datum_words(book: Book) -> str:
    datum = book.boat.datum
    parts = [f"frames {datum.direction.value}"]
    if datum.origin:
        parts.append(f"origin: {datum.origin}")
    if datum.frame_spacing_mm:
        parts.append(f"frame spacing {datum.frame_spacing_mm:g} mm")
    return "; ".join(parts) if datum.origin or datum.frame_spacing_mm else "origin and frame spacing not written down"


def _counts(book: Book, checklists: Checklists, listed: Worklist) -> tuple[Line, ...]:
    rows = [walk.progress(book, checklists, place) for place in book.bow_to_stern()]
    asked, answered = sum(row.asked for row in rows), sum(row.answered for row in rows)
    unseen = sum(len(row.unseen) for row in rows)
    lines = [
        Line("Compartments", f"{len(rows)}, of which {sum(row.complete for row in rows)} gone through"),
        Line("Questions", f"{answered} of {asked} answered; {unseen} of them 'unseen'"),
        Line("Findings", str(len(book.findings))),
    ]
    lines += [Line(tier.value, counted(len(listed.in_tier(tier)), "action")) for tier in Tier]
    return tuple(lines)


def _sheet(book: Book, checklists: Checklists, finding: Finding, listed: Worklist) -> FindingSheet:
    place = book.compartments.get(finding.compartment)
    kind = checklists.kinds.get(finding.kind)
    word, _ = LIKELIHOOD_WORDS[finding.likelihood]
    action = next((one for one in listed.actions if one.chalk == finding.chalk), None)
    size = [f"{side:g}" for side in (finding.extent_length_mm, finding.extent_width_mm) if side]
    position = [walk.position_words(finding.position) or "position not written down"]
    if size:
        position.append(f"extent {' × '.join(size)} mm")
    treatment = TREATMENT_WORDS[finding.treatment] if finding.treatment else ""
    if finding.override:
        treatment = (
            f"{TREATMENT_WORDS[finding.override.treatment]}; the owner's own decision: {finding.override.reason}"
        )
    readings = sorted(
        (one for one in book.readings.values() if one.finding == finding.chalk), key=lambda one: (one.when, one.id)
    )
    return FindingSheet(
        chalk=finding.chalk,
        title=kind.label if kind else finding.kind,
        place=place.name if place else finding.compartment,
        position="; ".join(position),
        words=finding.words,
        judged=(
            f"severity {finding.severity.roman} {finding.severity.value} ({SEVERITY_WORDS[finding.severity]}), "
            f"likelihood {finding.likelihood.value} {word}"
        ),
        status=finding.status.value,
        treatment=treatment,
        verdict=_verdict_words(listed.judgement.of(finding)),
        action=f"{action.rank}. {action.what}. {action.why}" if action else "",
        readings=tuple(reading_line(one) for one in readings),
        history=tuple(
            f"{moment(event.when)} {event.status.value} by {event.by}{': ' + event.note if event.note else ''}"
            for event in finding.history
        ),
    )


def _verdict_words(verdict: Verdict | None) -> str:
    if verdict is None:
        return ""
    doubts = f" Doubtful: {' '.join(verdict.warnings)}" if verdict.warnings else ""
    return f"{verdict.treatment.value}: {verdict.numbers}; {verdict.because}.{doubts}"


def _place_row(book: Book, checklists: Checklists, place_id: str) -> PlaceRow:
    place = book.compartments[place_id]
    done = walk.progress(book, checklists, place)
    visit = walk.visit_of(book, place_id)
    seen = "share not written down"
    if visit:
        why = ", ".join(UNSEEN_WORDS[reason] for reason in visit.reasons)
        seen = f"{visit.seen_percent:g} % of the metal{' — the rest: ' + why if why else ''}"
    if done.untouched:
        seen = "not walked in this round"
    prompts = walk.prompts_of(checklists, book.boat, place)
    answers = [walk.answer_of(book, place_id, prompt.key) for prompt in prompts if not prompt.share]
    said = Counter(answer.said for answer in answers if answer)
    notes = []
    for prompt in prompts:
        answer = walk.answer_of(book, place_id, prompt.key)
        if answer and answer.note:
            notes.append(Line(f"{prompt.ask} ({answer.said.value})", answer.note))
    return PlaceRow(
        name=place.name,
        lies=walk.frames_words(place),
        asked=done.asked,
        answered=done.answered,
        findings=tuple(sorted(one.chalk for one in book.findings.values() if one.compartment == place_id)),
        seen=seen,
        unseen=tuple(
            Line(prompt.ask, UNSEEN_WORDS[reason] if reason else "no reason written down")
            for prompt, reason in done.unseen
            if not prompt.share
        ),
        notes=tuple(notes),
        tally=", ".join(
            counted(said[one], one.value) if one is Said.FINDING else f"{said[one]} {one.value}"
            for one in Said
            if said[one]
        ),
        not_fitted=tuple(
            prompt.ask
            for prompt in prompts
            if (answer := walk.answer_of(book, place_id, prompt.key)) and answer.said is Said.NOT_FITTED
        ),
    )


def _cautions(book: Book, checklists: Checklists, listed: Worklist) -> tuple[Line, ...]:
    """The cautions of every prompt that led to a finding or stays to be done, and of every verdict; and hot work,
    always."""
    wanted = {"hot-work", "confined-space"}
    wanted |= {caution.id for action in listed.actions if action.verdict for caution in action.verdict.cautions}
    prompts = checklists.prompts_by_key()
    for finding in book.findings.values():
        if finding.prompt in prompts and finding.severity is not Severity.NEGLIGIBLE:
            wanted |= set(prompts[finding.prompt].cautions)
    for answer in book.answers.values():
        if answer.said is Said.UNSEEN and answer.prompt in prompts:
            wanted |= set(prompts[answer.prompt].cautions)
    return tuple(
        Line(caution.title, f"{caution.say} {caution.more} Source: {caution.source}.")
        for caution in checklists.cautions.values()
        if caution.id in wanted
    )
