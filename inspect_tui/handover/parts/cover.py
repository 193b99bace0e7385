"""Which boat, in what state, in which round, who wrote; the words used; and how a place is found on her."""

from __future__ import annotations

from datetime import datetime

from inspect_tui.domain.boat_words import FEATURE_WORDS
from inspect_tui.domain.book import Book
from inspect_tui.domain.measuring.measured import instrument_words, moment
from inspect_tui.domain.quantities import plain_number
from inspect_tui.domain.words import LIKELIHOOD_WORDS, TIER_WORDS, Rig, Tier
from inspect_tui.handover.model import Blanks, Facts, Head, Line, Part, Words
from inspect_tui.handover.parts.subject import Subject

RIG_WORDS = {Rig.SAIL: "sailing boat", Rig.MOTOR: "motor boat"}
WORDS = (
    ("finding", "something wrong, or worth watching; its number is chalked on the metal and never used again"),
    ("reading", "a measurement at a place, with its instrument, face and day"),
    ("plate field", "a part of the shell with one alloy and one thickness as built"),
    ("patch", "a marked square of plate in which all pits were measured"),
    ("verdict", "what the readings ask for by the rules printed with it; a surveyor may judge otherwise"),
    (
        "severity",
        "how bad it would be. I: could sink her or kill someone; II: could flood her; III: costs metal or "
        "money; IV: upkeep",
    ),
    ("likelihood", "; ".join(f"{letter.value} {word}" for letter, (word, _) in LIKELIHOOD_WORDS.items())),
    ("tier", "when something must be done: " + "; ".join(f"{one.word}: {TIER_WORDS[one]}" for one in Tier)),
    ("grade", "severity and likelihood together, as II B"),
    ("round", "one pass through the boat, days or weeks long"),
    ("one look", "one look over a whole place that answers the plain questions asked in it"),
    ("stage", "how far the work at a place has come: closed, emptied, cleaned, looked at, measured and so on"),
    ("to gauge", "spots where plate is still to be measured"),
    ("unseen", "could not be looked at, with the reason; nothing is known of it"),
    ("limber hole", "the hole in a frame or floor through which water runs to the pump"),
    ("sump", "the lowest place in the bilge, where the pump stands"),
)
NOT_KNOWN = (
    "Place of the inspection",
    "Weather, light",
    "Role of each who looked",
    "Report number",
    "Gauge: make and serial",
    "Probe, frequency",
    "Calibrated: when, on what",
    "Sound velocity m/s",
    "Couplant",
    "Through paint?",
)


def about(book: Book) -> tuple[str, ...]:
    """What she is, in a line or two."""
    boat = book.boat
    built = f", built {boat.year_built}" if boat.year_built else ""
    sizes = [f"{boat.hull_length_m:g} m"]
    sizes += [f"{boat.displacement_kg / 1000:.1f} t"] if boat.displacement_kg else []
    sizes += [f"design category {boat.design_category}"] if boat.design_category else []
    named = [one for one in (boat.builder, boat.hull_number) if one]
    last = boat.float_history[-1] if boat.float_history else None
    lies = f"{boat.water} water · " if boat.water else ""
    state = f"{last.state.value} since {last.day:%-d %B %Y}" if last else "afloat or hauled out: not written down"
    first = " · ".join((f"{boat.metal_words} {RIG_WORDS[boat.rig]}{built}", *sizes, *named))
    return (first[:1].upper() + first[1:], f"{lies}{state}")


def cover(subject: Subject) -> Part:
    """Which boat, in what state, in which round, who wrote, with what, and what could not be read."""
    book = subject.book
    facts = Facts((*boat_lines(book), *_particulars(book)))
    told = instruments(subject)
    lines = [Line(str(number), one) for number, one in enumerate(told, 1)] or [
        Line("", "no reading names its instrument")
    ]
    return Part(
        "cover",
        "The boat, and who looked with what",
        (
            facts,
            Head("Instruments, by the readings"),
            Facts(tuple(lines)),
            Head("Not in the book: to be filled in by whoever signs", "what stays empty is not known"),
            Blanks(NOT_KNOWN),
        ),
    )


def troubles(subject: Subject) -> tuple[Words, ...]:
    """What could not be read, of the book and of its photos."""
    lost = [
        f"A record of {row.table} ({row.key}) could not be read and is kept as it is: {row.why}"
        for row in subject.book.unreadable
    ]
    return tuple(Words(told, "trouble") for told in (*lost, *subject.lost_photos.values()))


def glossary() -> tuple[Line, ...]:
    return tuple(Line(*row) for row in WORDS)


def instruments(subject: Subject) -> list[str]:
    """Instruments named in the readings, each once."""
    return sorted({instrument_words(one) for one in subject.book.readings.values() if one.instrument})


def who_looked(subject: Subject) -> str:
    """Who, in which days, in what state, with what."""
    book = subject.book
    days = sorted({line.when.date() for line in book.trail.values() if not line.of_the_file})
    who = ", ".join(sorted({change.by for change in book.trail.values()})) or book.round.by
    span = (
        ""
        if not days
        else f", {days[0]}"
        if days[0] == days[-1]
        else f", {days[0]} to {days[-1]}, on {len(days)} days"
    )
    state = ""
    if book.boat.float_history:
        state = "; " + ", ".join(f"{one.state.value} from {one.day}" for one in book.boat.float_history[-2:])
    told = instruments(subject)
    with_ = (
        f"; with {'; '.join(told[:6])}{f'; and {len(told) - 6} more' if len(told) > 6 else ''}"
        if told
        else "; no instrument named"
    )
    return f"{who}{span}{state}{with_}. Makes, serial numbers and calibration are not in the book."


def boat_lines(book: Book) -> tuple[Line, ...]:
    boat, round_ = book.boat, book.round
    lines = [
        Line("Boat", f"{boat.name}: {boat.rig.value}, {boat.metal_words}, hull length {boat.hull_length_m:g} m"),
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
        ("Last hauled out, as told", boat.last_hauled, ""),
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
