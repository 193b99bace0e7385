"""Why she corrodes and whether she is protected: causes by place, potentials, the circuit hunt, old patches."""

from __future__ import annotations

from collections import Counter

from inspect_tui.domain import walk
from inspect_tui.domain.measuring.measured import moment
from inspect_tui.domain.plain import counted
from inspect_tui.domain.reading_records import PotentialReading
from inspect_tui.engineering.electricity.circuit_hunt import THRESHOLDS
from inspect_tui.handover.figures.potential import Spot, potentials
from inspect_tui.handover.model import Block, Column, Facts, Figure, Line, Part, Points, Sheet, Table, Words
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.judgement.causes.cause import Weighed
from inspect_tui.judgement.causes.eaten import Eaten
from inspect_tui.judgement.causes.patches import tally_lines
from inspect_tui.judgement.electricity.protected import PotentialJudged, bands_of, why_not_judged
from inspect_tui.judgement.work.action import HULL, Task, key_of, last_done
from inspect_tui.judgement.work.cure_actions import is_cured

HOW = (
    "Causes are ranked by signs that were ticked, brought by the question, or read from a meter. The weights are "
    "this program's judgement, not statistics, so words and counts of signs stand here, not chances. "
    "Signs from one observation, such as one lifted patch, count as one; alone they make a cause 'possible' at most, "
    "unless it was measured. Several causes may be at work together. Where the signs are too few, nothing is said."
)
MOST_POTENTIALS = 20
UNSAID = "not enough to say"


def causes_part(subject: Subject) -> Part:
    blocks: list[Block | Sheet] = [Words(HOW)]
    places = subject.judged.eaten
    if places:
        blocks += [_by_place(subject, places), *_cures(places)]
    else:
        blocks.append(Words("No eaten metal is written down whose repair still lies ahead."))
    for sheet in (_potentials(subject), _hunt(subject), _patches(subject)):
        if sheet is not None:
            blocks.append(sheet)
    return Part("causes", "Why she corrodes, and whether she is protected", tuple(blocks))


def _by_place(subject: Subject, places: list[Eaten]) -> Table:
    signs = subject.checklists.causes.signs

    def named(ids: tuple[str, ...]) -> str:
        return ", ".join(signs[id].short for id in ids) or "nothing"

    # What is said alike of several places is said once.
    where: dict[tuple[str, ...], dict[str, list[str]]] = {}
    for one in places:
        best = one.found.ranked[0]
        told = "; ".join(f"{each.cause.name}, {each.told}" for each in one.found.named)
        test = one.next_test(afloat=subject.book.boat.afloat)
        said = (
            told or UNSAID,
            f"for: {named(best.speaks_for)}; against: {named(best.against)}; not looked for: {named(best.missing)}",
            signs[test.sign].ask if test else "",
        )
        place = subject.place_name(one.finding.compartment)
        where.setdefault(said, {}).setdefault(place, []).append(f"no. {one.finding.chalk}")
    return Table(
        "Places where metal is eaten; the signs are those of the likeliest cause",
        tuple(Column(name, wide=True) for name in ("Where", "Cause", "Signs", "Next test")),
        tuple(
            ("; ".join(f"{place}, {', '.join(numbers)}" for place, numbers in at.items()), *said)
            for said, at in sorted(where.items(), key=lambda one: one[0][0] == UNSAID)
        ),
    )


def _cures(places: list[Eaten]) -> list[Block]:
    """Each cause that is named anywhere, once."""
    named: dict[str, Weighed] = {each.cause.id: each for one in places for each in one.found.named}
    if not named:
        return []
    lines = (
        Line(
            one.cause.name,
            f"{one.cause.what} Cure: {one.cause.remedy} ({one.cause.who.value}) "
            f"Source: {one.cause.source or 'none'} ({one.cause.seen}).",
        )
        for one in named.values()
    )
    return [Facts(tuple(lines))]


def _potentials(subject: Subject) -> Sheet | None:
    past = subject.judged.electricity.history
    if not past:
        return None
    boat = subject.book.boat
    judged = [(reading, one) for reading, one in past if one is not None][-MOST_POTENTIALS:]
    blocks: list[Block] = []
    if last := subject.judged.electricity.at_work:
        blocks.append(Facts(tuple(Line(*line) for line in last[1].lines())))
    if judged:
        spots = [
            Spot(f"{reading.when:%Y-%m-%d}", one.read.sea_mv, _state(one), free=bool(reading.without_anodes))
            for reading, one in judged
        ]  # fmt: skip
        told = "; ".join(f"{spot.when}: {spot.sea_mv:.0f} mV, {spot.told}" for spot in spots)
        blocks.append(
            Figure("potentials", potentials(bands_of(boat), spots), "The hull's potential over the rounds", told)
        )
    rows = tuple(
        (
            moment(reading.when),
            str(subject.book.round_number(reading.round)),
            " · ".join(f"{value:g}" for value in reading.potential_mv),
            one.read.electrode.name if one else reading.electrode or "not named",
            _water(reading),
            f"{one.read.sea_mv:.0f}" if one else "",
            _state(one) if one else why_not_judged(boat, reading),
            "; ".join(part for part in (reading.instrument, reading.note) if part),
        )
        for reading, one in past
    )
    columns = (
        Column("When"), Column("Round"), Column("Read, mV"), Column("Against", wide=True), Column("Water"),
        Column("Silver chloride, sea, mV"), Column("State"), Column("With, and note", wide=True),
    )  # fmt: skip
    blocks.append(Table("Potentials of the hull at rest", columns, rows))
    return Sheet("potentials", "Protection", tuple(blocks))


def _water(reading: PotentialReading) -> str:
    if reading.water_salinity_g_kg:
        return f"{reading.water_salinity_g_kg:g} g/kg"
    return f"{reading.water_chloride_mg_l:g} mg/L Cl" if reading.water_chloride_mg_l else ""


def _state(judged: PotentialJudged) -> str:
    shift = judged.protection.shift_mv if judged.state is not None else None
    return judged.word + (f", shift {shift:.0f} mV" if shift is not None else "")


def _hunt(subject: Subject) -> Sheet | None:
    readings = subject.judged.electricity.hunt_readings
    test = subject.judged.electricity.hull_test
    blocks: list[Block] = []
    electricity = subject.judged.electricity
    if electricity.hunt_refused:
        blocks.append(Words(f"The newest circuit hunt cannot be judged: {electricity.hunt_refused}", "trouble"))
    if found := electricity.hunt:
        rows = tuple(
            (
                one.taken.name,
                f"{one.taken.potential_mv:g}",
                f"{one.baseline_mv:.0f}",
                f"{one.shift_mv:+.0f}",
                one.verdict,
            )
            for one in found.shifts
        )
        columns = (
                Column("Switched", wide=True), Column("mV", number=True), Column("Baseline then, mV", number=True),
                Column("Shift, mV", number=True), Column("Verdict"),
            )  # fmt: skip
        blocks.append(Points(found.meaning))
        blocks.append(Table(f"Circuit hunt of {readings[-1].when:%Y-%m-%d}", columns, rows))
        blocks.append(Words(f"Thresholds: {THRESHOLDS}."))
    if test is not None:
        blocks.append(Facts((Line("Isolation test", test.told),)))
    return Sheet("hunt", "Leaks of current", tuple(blocks)) if blocks else None


def _patches(subject: Subject) -> Sheet | None:
    told = subject.judged.patches
    if not told.lifted and not told.waiting:
        return None
    rows = []
    for patch in (*told.lifted, *told.waiting):
        one = patch.lifted
        between = (
            {True: "paste or powder", False: "clean"}.get(one.product, "") if one and one.product is not None else ""
        )
        rows.append(
            (
                str(patch.chalk),
                ", ".join(
                    part
                    for part in (subject.place_name(patch.compartment), walk.position_words(patch.position))
                    if part
                ),
                patch.patch.value if patch.patch else "",
                one.beneath.value if one else "not lifted",
                "" if one is None or one.drawn is None else "drawn by lot" if one.drawn else "chosen",
                between,
                one.edge.value if one and one.edge else "",
                f"{one.beyond_mm:g}" if one and one.beyond_mm is not None else "",
            )
        )
    columns = (
        Column("No.", number=True), Column("Where", wide=True), Column("Kind"), Column("Beneath"), Column("Lifted"),
        Column("Between"), Column("Its edge"), Column("Goes on outside, mm"),
    )  # fmt: skip
    facts = Facts(tuple(Line(*line) for line in tally_lines(told)))
    return Sheet("patches", "Old patches", (facts, Table("Patches by chalk number", columns, tuple(rows))))


def causes_in_short(subject: Subject) -> str:
    """The causes that are likely, at how many places none is known yet, and what was found when somebody looked."""
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
        comes = "metal repaired before its cause is cured comes back to the same state"
        return "; ".join(filter(None, (known, open_, comes)))
    if last_done(book, find_out):
        newest = max((done for done in book.done.values() if done.action == find_out), key=lambda done: done.when)
        return f"{newest.note or 'looked for, nothing written'} ({moment(newest.when)}, {newest.by})"
    return "no corrosion was found that asks for one"
