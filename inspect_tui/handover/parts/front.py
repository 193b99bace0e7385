"""The cover, and the page a buyer or seller reads first."""

from __future__ import annotations

from collections import Counter
from datetime import datetime

from inspect_tui.domain import shell, walk
from inspect_tui.domain.boat_words import FEATURE_WORDS
from inspect_tui.domain.book import Book
from inspect_tui.domain.measuring.measured import moment
from inspect_tui.domain.plain import counted, shortened
from inspect_tui.domain.quantities import plain_number
from inspect_tui.domain.records import Position
from inspect_tui.domain.words import TIER_WORDS, HullMetal, Side, Tier
from inspect_tui.handover.figures.boat import FindingDrawn, PlaceDrawn, lengthways, plan
from inspect_tui.handover.figures.metal import Left, thickness
from inspect_tui.handover.model import Block, Column, Facts, Figure, Line, Part, Points, Proof, Sheet, Table, Words
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.judgement.metal.verdict import NO_LIMIT, gone
from inspect_tui.judgement.work.action import HULL, Task, key_of, last_done
from inspect_tui.judgement.work.cure_actions import is_cured
from inspect_tui.judgement.work.worklist import Job, count_words

WORST_SHOWN = 6
WORDS = (
    ("finding", "something wrong, or worth watching; its number is chalked on the metal and never used again"),
    ("reading", "a measurement at a place, with its instrument, face and day"),
    ("plate field", "a part of the shell with one alloy and one thickness as built"),
    ("patch", "a marked square of plate in which all pits were measured"),
    ("verdict", "what the readings ask for by the rules printed with it; a surveyor may judge otherwise"),
    (
        "severity",
        "how bad it would be: I could sink her or kill someone, II flood her, III cost metal or money, IV upkeep",
    ),
    ("likelihood", "from A, it is happening now, to F, it cannot happen any more"),
    ("tier", "when something must be done: Now, Before afloat, This haul-out, Next haul-out, Watch"),
    ("unseen", "looked for and not seen, with the reason; nothing is known of it"),
    ("limber hole", "the hole in a frame or floor through which water runs to the pump"),
    ("sump", "the lowest place in the bilge, where the pump stands"),
)
BARS_SHOWN = 6


def cover(subject: Subject, proof: Proof) -> Part:
    """Which boat, in what state, in which round, who wrote, and what could not be read."""
    book = subject.book
    lost = [
        Words(f"A record of {row.table} ({row.key}) could not be read and is kept as it is: {row.why}", "trouble")
        for row in book.unreadable
    ]
    missing = [Words(told, "trouble") for told in subject.lost_photos.values()]
    facts = Facts((*boat_lines(book), *_particulars(book), Line("Digest of the book", f"SHA-256 {proof.digest}")))
    words = Sheet("words", "Words used here", (Facts(tuple(Line(*row) for row in WORDS)),))
    return Part("cover", "The boat and this round", (*lost, *missing, facts, words))


def boat_lines(book: Book) -> tuple[Line, ...]:
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
    writers = sorted({change.by for change in book.trail.values()})
    lines.append(Line("Written by", ", ".join(writers) or round_.by))
    if when := as_of(book):
        lines.append(Line("As of", when))
    return tuple(lines)


def as_of(book: Book) -> str:
    """The time of the newest change, by the book and not by the clock."""
    return moment(when) if (when := said_last(book)) else ""


def said_last(book: Book) -> datetime | None:
    """When the newest line of the trail was written that says something of the boat."""
    return max((change.when for change in book.trail.values() if not change.of_the_file), default=None)


def _particulars(book: Book) -> tuple[Line, ...]:
    """What is written down of her besides; what is not, is left out."""
    boat = book.boat
    measured = (
        ("Built as", boat.built_as, ""),
        ("Built", boat.year_built, ""),
        ("Builder", boat.builder, ""),
        ("Hull number", boat.hull_number, ""),
        ("Keel", boat.keel, ""),
        ("Waterline length", boat.waterline_length_m, "m"),
        ("Waterline beam", boat.waterline_beam_m, "m"),
        ("Hull draught", boat.hull_draught_m, "m"),
        ("Displacement", boat.displacement_kg, "kg"),
        ("Design category", boat.design_category, ""),
        ("Speed", boat.speed_kn, "kn"),
        ("Deadrise", boat.deadrise_deg, "degrees"),
        ("Lies in", boat.water, "water"),
        ("Last hauled out, by word", boat.last_hauled, ""),
        ("Coatings", boat.coatings, ""),
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
    lines.append(Line("Positions", datum_words(book)))
    return tuple(lines)


def datum_words(book: Book) -> str:
    """How a place on this boat is found from what is printed."""
    datum = book.boat.datum
    parts = [f"frames {datum.direction.value}"]
    if datum.origin:
        parts.append(f"frame 0 at the {datum.origin}")
    if datum.frame_spacing_mm:
        parts.append(f"frame spacing {datum.frame_spacing_mm:g} mm")
    if not (datum.origin or datum.frame_spacing_mm):
        return "origin and frame spacing not written down"
    return "; ".join(parts)


def front(subject: Subject) -> Part:
    """What bars floating, the worst of the metal, how much was seen and what is unknown, the cause, the tiers."""
    book, listed = subject.book, subject.listed
    barring = [
        job for job in listed.jobs if job.tier.rank <= Tier.BEFORE_AFLOAT.rank and job.first.task is not Task.LAUNCH
    ]
    blocks: list[Block] = []
    if barring:
        state = "before she stays afloat another day" if book.boat.afloat else "before anybody may ask to float her"
        blocks.append(Words(f"{count_words(listed, Tier.BEFORE_AFLOAT)}, {state}; the gravest:"))
        told = [
            f"{job.tier.word}: {shortened(job.say if job.places > 1 else job.first.headline, 68)} "
            f"({_where(subject, job)}): {job.first.who.value}"
            for job in barring[:WORST_SHOWN]
        ]
        if len(barring) > WORST_SHOWN:
            told.append(f"and {len(barring) - WORST_SHOWN} more: see the worklist.")
        blocks.append(Points(tuple(told)))
    else:
        blocks.append(Words(f"Nothing written down bars floating. {nothing_words(subject)}"))
    blocks.append(boat_figure(subject))
    if figure := _worst_metal(subject):
        blocks.append(figure)
    limits = [Line("Limits", NO_LIMIT)] if book.boat.hull_metal is HullMetal.ALUMINIUM else []
    blocks.append(Facts((*_seen_lines(subject), Line("Cause of corrosion", _cause_words(subject)), *limits)))
    blocks.append(
        Table(
            "The tiers in numbers",
            (
                Column("Tier"),
                Column("Means", wide=True),
                Column("Jobs", number=True),
                Column("Places", number=True),
                Column("To look at", number=True),
            ),
            tuple(
                (
                    tier.value,
                    TIER_WORDS[tier],
                    str(len(listed.jobs_in(tier))),
                    str(sum(job.places for job in listed.jobs_in(tier))),
                    str(sum(action.tier is tier for action in listed.looks)),
                )
                for tier in Tier
            ),
        )
    )
    return Part("front", "On one page", tuple(blocks), own_page=True)


def _where(subject: Subject, job: Job) -> str:
    if job.places > 1:
        return job.where
    chalk, place = job.first.chalk, job.first.compartment
    if chalk is None:
        return place.name if place else "whole boat"
    return f"no. {chalk}, {subject.place_name(subject.book.findings[str(chalk)].compartment)}"


def nothing_words(subject: Subject) -> str:
    """What an empty tier may claim: no more than was looked at."""
    rows = [walk.progress(subject.book, subject.checklists, place) for place in subject.book.bow_to_stern()]
    open_ = sum(not row.complete for row in rows)
    return f"Nothing written down; {counted(open_, 'compartment')} not gone through." if open_ else "Nothing."


def boat_figure(subject: Subject) -> Figure:
    worst: dict[str, Tier] = {}
    for finding in subject.book.findings.values():
        tier = subject.tier_of(finding)
        if tier and (finding.compartment not in worst or tier.rank < worst[finding.compartment].rank):
            worst[finding.compartment] = tier
    drawn = []
    for place in subject.book.bow_to_stern():
        done = walk.progress(subject.book, subject.checklists, place)
        told = (
            "not walked" if done.untouched else "nothing seen" if done.all_unseen else f"{done.answered}/{done.asked}"
        )
        lane = walk.lane_of(subject.checklists, place)
        drawn.append(PlaceDrawn(place.name, lane, worst.get(place.id), told, not (done.untouched or done.all_unseen)))
    return Figure(
        "boat",
        lengthways("boat", drawn),
        "Compartments from bow to stern, each with its gravest open tier.",
        "; ".join(f"{place.name}: {place.tier.value if place.tier else place.told}" for place in drawn),
    )


def _girth_mm(position: Position) -> float | None:
    """Girth as written; a place on the centreline has none to write."""
    return 0.0 if position.girth_mm is None and position.side is Side.CENTRE else position.girth_mm


def plan_figure(subject: Subject) -> Figure | None:
    """Where the findings lie, for those whose frame is written down; None if none is."""
    boat = subject.book.boat
    drawn = [
        FindingDrawn(
            finding.chalk, along, finding.position.side, _girth_mm(finding.position), subject.tier_of(finding)
        )
        for finding in subject.book.findings.values()
        if (along := shell.from_bow_mm(boat, finding.position)) is not None
    ]
    if not drawn:
        return None
    beam = (boat.waterline_beam_m or boat.hull_length_m / 3.5) * 1000
    spacing = (boat.datum.frame_spacing_mm or 0.0) if not boat.datum.frame_table_mm else 0.0
    return Figure(
        "plan",
        plan(boat.hull_length_m * 1000, beam, drawn, spacing),
        f"Chalk numbers from above. {datum_words(subject.book)}.",
        "; ".join(f"no. {one.chalk}: {one.from_bow_mm / 1000:.1f} m from the bow" for one in drawn),
    )


def _worst_metal(subject: Subject) -> Figure | None:
    verdicts = subject.judged.verdicts
    found = []
    for finding in subject.book.findings.values():
        verdict = verdicts.of(finding)
        if verdict is None or subject.tier_of(finding) is None:
            continue
        facts = verdict.facts
        left = [value for value in (facts.left_mm, facts.thinnest_mm, facts.mean_mm) if value is not None]
        worst = 0.0 if facts.holed else min(left, default=facts.plate_mm)
        told = "holed through" if facts.holed else "soft under the knife" if facts.soft else ""
        name = f"no. {finding.chalk}, {subject.place_name(finding.compartment)}"
        field = verdicts.fields.get(verdicts.gathered.field_at(finding) or "")
        check = facts.check or (field.required.check if field else None)
        required = check.required_mm if check else None
        found.append(
            (-gone(verdict), finding.chalk, Left(name, facts.plate_mm, min(worst, facts.plate_mm), required, told))
        )
    if not found:
        return None
    worst_first = [bar for _, _, bar in sorted(found, key=lambda row: row[:2])]
    return bars_figure(
        "worst",
        worst_first[:BARS_SHOWN],
        "The thinnest metal first: what is left at the deepest pit or the lowest reading.",
    )


def bars_figure(name: str, bars: list[Left], caption: str) -> Figure:
    return Figure(
        name,
        thickness(bars),
        caption,
        "; ".join(f"{bar.name}: {bar.told or f'{bar.left_mm:.1f} of {bar.built_mm:g} mm left'}" for bar in bars),
    )


def _seen_lines(subject: Subject) -> tuple[Line, ...]:
    book = subject.book
    rows = {place.id: walk.progress(book, subject.checklists, place) for place in book.bow_to_stern()}
    asked, answered = sum(row.asked for row in rows.values()), sum(row.answered for row in rows.values())
    unseen = sum(not prompt.share for row in rows.values() for prompt, _ in row.unseen)
    one_by_one, by_look = (sum(row.one_by_one for row in rows.values()), sum(row.by_look for row in rows.values()))
    to_gauge = sum(len(row.to_gauge) for row in rows.values())
    shares = [row.seen_percent for row in rows.values() if row.seen_percent is not None]
    complete = sum(row.complete for row in rows.values())
    whole = f"{sum(shares) / max(len(rows), 1):.0f} % if every other compartment counts as unseen"
    metal = f"{sum(shares) / max(len(shares), 1):.0f} % on average of the {len(shares)} where it was told, {whole}"
    found_in = {finding.compartment for finding in book.findings.values()}
    never = [
        book.compartments[key].name
        for key, row in rows.items()
        if (row.untouched or row.all_unseen) and key not in found_in
    ]
    lines = [
        Line(
            "Seen",
            f"{complete} of {counted(len(rows), 'compartment')} gone through; "
            f"of {asked} questions {one_by_one} answered one by one, {by_look} by one look over the place, "
            f"{unseen} 'unseen', {asked - answered} not asked yet; {to_gauge} spots not gauged yet",
        ),
        *([Line("Metal seen", metal)] if shares else []),
    ]
    if never:
        lines.append(Line("Unknown", f"nothing was seen of: {'; '.join(never)}"))
    return tuple(lines)


def _cause_words(subject: Subject) -> str:
    book = subject.book
    places = subject.judged.eaten
    likely = Counter(
        one.cause.name for place in places for one in place.found.likely if not is_cured(book, place, one)
    )
    told = ", ".join(f"{name} ({counted(number, 'place')})" for name, number in likely.most_common())
    if leak := subject.judged.leak:
        told = "; ".join(filter(None, (told, f"a leak of current was measured: {leak.by}" if leak.there else "")))
    unknown = sum(not place.found.likely for place in places)
    find_out = key_of(Task.FIND_CAUSE, HULL)
    if find_out in subject.listed.by_key or told:
        open_ = (
            f"not found yet at {unknown} of {counted(len(places), 'place')} where metal is eaten" if unknown else ""
        )
        known = f"likely: {told}" if told else ""
        comes = "metal repaired before it is cured comes back to the same state"
        return "; ".join(filter(None, (known, open_, comes)))
    if last_done(book, find_out):
        newest = max((done for done in book.done.values() if done.action == find_out), key=lambda done: done.when)
        return f"{newest.note or 'looked for, nothing written'} ({moment(newest.when)}, {newest.by})"
    return "no corrosion was found that asks for one"
