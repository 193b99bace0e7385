"""Plate fields, the thickness table, the pit tables, and their figures."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime

from inspect_tui.domain.measuring.measured import instrument_words
from inspect_tui.domain.plain import one_line
from inspect_tui.domain.reading_records import PitReading, Reading, ThicknessReading
from inspect_tui.domain.records import Position
from inspect_tui.domain.words import CLOSED, PlateRegion
from inspect_tui.engineering.work.paint import paint
from inspect_tui.handover.figures.metal import Row, over_rounds, probability_plot
from inspect_tui.handover.model import Block, Column, Facts, Figure, Line, Part, Points, Sheet, Table, Words
from inspect_tui.handover.parts.findings import verdict_words
from inspect_tui.handover.parts.metal.bays import bays_table
from inspect_tui.handover.parts.metal.members import grown_points, members_table, sampling_facts
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.judgement.metal.fields import FieldJudged
from inspect_tui.judgement.metal.readings_of_metal import PAINTED, metal_mm
from inspect_tui.judgement.metal.unseen import bound_words, free_words
from inspect_tui.judgement.metal.verdicts import DRIVEN
from inspect_tui.judgement.work.field_actions import percent

MOST_PAINTED_M2 = 5000
SHELL = frozenset({PlateRegion.BOTTOM, PlateRegion.BILGE, PlateRegion.KEEL, PlateRegion.SIDE})
PLACE_COLUMNS = (
    Column("Place", wide=True),
    Column("Frame", narrow=True),
    Column("Side, girth", narrow=True),
    Column("Face", narrow=True),
)


def metal_part(subject: Subject) -> Part:
    fields = subject.judged.verdicts.fields.values()
    blocks: list[Block | Sheet] = []
    for judged in fields:
        blocks.append(Sheet(f"plate-{judged.field.id}", judged.field.name, (Points(field_points(subject, judged)),)))
    if not blocks:
        blocks.append(Words("No plate field is written down: thickness as built is not known."))
    if bays := bays_table(subject):
        blocks.append(bays)
    if paints := _paint_lines(subject):
        blocks.append(Facts(paints))
    blocks.append(_thickness_table(subject) or Words("No thickness was gauged."))
    if members := members_table(subject):
        blocks.append(members)
    if grown := grown_points(subject):
        blocks.append(grown)
    if growth := _growth(subject):
        blocks.append(growth)
    return Part("metal", "Thickness of the plate", tuple(blocks))


# A usual epoxy: percent of solids by volume, and one dry coat [µm]; makers' sheets.
SOLIDS_PERCENT, COAT_UM = 65.0, 125.0


def _paint_lines(subject: Subject) -> tuple[Line, ...]:
    """Litres for two coats of each plate field whose area is written down, and the area to be blasted."""
    told = []
    for judged in subject.judged.verdicts.fields.values():
        area = judged.field.area_m2
        if area is None or area > MOST_PAINTED_M2:
            continue
        litres = [paint(area, SOLIDS_PERCENT, COAT_UM, coats=2, by=by).litres for by in ("roller", "airless")]
        words = (
            f"{area:g} m²; two coats of 125 µm at 65 % solids: {litres[0]:.1f} L by roller, {litres[1]:.1f} L airless"
        )
        told.append(Line(f"To bare and paint, {judged.field.name}", words))
    return tuple(told)


def pits_part(subject: Subject) -> Part:
    blocks: list[Block | Sheet] = [_pits_table(subject) or Words("No pit was measured.")]
    if sampling := sampling_facts(subject):
        blocks.append(sampling)
    for judged in subject.judged.verdicts.fields.values():
        if judged.estimate is None:
            continue
        found = judged.estimate
        figure = Figure(
            f"plot-{judged.field.id}",
            probability_plot(found),
            f"{judged.field.name}: deepest pit of each of {len(found.sample.depths_mm)} squares of "
            f"{found.patch_area_m2:.3g} m², and the Gumbel law fitted to them.",
            f"deepest measured {max(found.sample.depths_mm):.1f} mm; expected once in the whole field "
            f"{found.return_level_mm:.1f} mm; of the rest: {bound_words(found)}",
        )
        lines = [Line(judged.field.name, judged.advice)]
        if not found.withdrawn:
            lines.append(Line("In any case", free_words(found)))
        if driven := driven_words(subject, judged):
            lines.append(Line("But", driven))
        blocks += [figure, Facts(tuple(lines))]
    return Part("pits", "Pits", tuple(blocks))


def driven_words(subject: Subject, judged: FieldJudged) -> str:
    """Which findings on a plate field speak of causes that the statistics of free pits do not cover, if any."""
    gathered = subject.judged.verdicts.gathered
    chalks = [
        str(one.chalk)
        for one in sorted(subject.book.findings.values(), key=lambda one: one.chalk)
        if one.kind in DRIVEN and one.status not in CLOSED and gathered.field_at(one) == judged.field.id
    ]
    if not chalks:
        return ""
    return (
        f"another metal, a current or a crevice is at work here (no. {', '.join(chalks)}): the statistics of "
        "pits that grow by themselves do not cover this, and depths, chances and years worked out from them may be "
        "far too hopeful"
    )


def field_points(subject: Subject, judged: FieldJudged) -> tuple[str, ...]:
    """One plate field: what it is, what its readings say, and what is doubtful."""
    field = judged.field
    built = (
        f"{field.as_built_mm:g} mm as built ({field.as_built_from.told})"
        if field.as_built_mm and field.as_built_from
        else "thickness as built not written down"
    )
    alloy = f"{field.alloy} {field.temper}".strip() or "alloy not known"
    area = f"{field.area_m2:g} m²" if field.area_m2 else ""
    told = ["; ".join(part for part in (field.region.value, alloy, built, area, field.extent) if part)]
    if judged.verdict:
        told.append(verdict_words(judged.verdict))
    else:
        told += judged.warnings
    if judged.required.why_not:
        told.append(f"required thickness {judged.required.why_not}")
    elif judged.required.check and field.from_aft_percent is None and field.region in SHELL:
        told.append(
            "required thickness is that of its foremost panel: its place along the waterline is not written down"
        )
    if judged.estimate is None:
        told.append(f"the metal nobody measured: {judged.estimate_missing}")
    elif judged.estimate.withdrawn:
        told.append(f"the metal nobody measured: {bound_words(judged.estimate)}")
    elif judged.hole_chance_later is not None:
        told.append(
            "chance of a hole where nobody looked, until the next haul-out, if the rest is like the squares drawn: "
            f"{percent(judged.hole_chance_later)}{_young_words(judged)}"
        )
    told.append(driven_words(subject, judged) if judged.estimate else "")
    told.append(_dull_words(subject, judged))
    return tuple(part[0].upper() + part[1:].rstrip(".") + "." for part in told if part)


def _dull_words(subject: Subject, judged: FieldJudged) -> str:
    """Pits that count for nothing above, for want of bright metal, where they are the deepest."""
    gathered = subject.judged.verdicts.gathered
    dull = [
        (max(one.depths_mm), one.finding)
        for one in subject.book.readings.values()
        if isinstance(one, PitReading)
        and one.clean_metal is False
        and one.depths_mm
        and gathered.field_of(one) == judged.field.id
    ]
    if not dull:
        return ""
    deepest, chalk = max(dull, key=lambda one: one[0])
    where = f" (no. {chalk})" if chalk is not None else ""
    return f"not judged, because not read on bright metal: pits up to {deepest:.1f} mm deep{where}"


def _young_words(judged: FieldJudged) -> str:
    """When the pits began is not known: what it would be if they are young."""
    if judged.hole_chance_young is None:
        return ""
    return f" if the pits are as old as she is, {percent(judged.hole_chance_young)} if they began three years ago"


def _place_cells(subject: Subject, reading: Reading) -> tuple[str, str, str, str]:
    finding = subject.book.findings.get(str(reading.finding)) if reading.finding else None
    position = reading.position
    if position == Position() and finding:
        position = finding.position
    number = f"no. {reading.finding}, " if reading.finding else ""
    frame = "" if position.frame is None else f"{position.frame:g}"
    if position.offset_mm:
        frame += f" {'+' if position.offset_mm > 0 else '−'} {abs(position.offset_mm):g}"
    girth = "" if position.girth_mm is None else f" {position.girth_mm:g}"
    place = f"{number}{subject.place_name(reading.compartment)}"
    spot = f" ({position.words})" if position.words else ""
    side = f"{position.side.value}{girth}" if position.side else ""
    return place + spot, frame, side, position.face.value if position.face else ""


def _last_cells(reading: Reading) -> tuple[str, str]:
    return instrument_words(reading), f"{reading.when:%Y-%m-%d}"


def _thickness_table(subject: Subject) -> Table | None:
    rows = []
    for reading in _in_order(subject, ThicknessReading):
        assert isinstance(reading, ThicknessReading)
        key = subject.judged.verdicts.gathered.field_of(reading)
        judged = subject.judged.verdicts.fields.get(key or "")
        built = judged.field.as_built_mm if judged else None
        values = metal_mm(reading)
        mean = sum(values) / len(values) if values else None
        loss = built - mean if built is not None and mean is not None else None
        required = judged.required.check if judged else None
        through = " (paint taken off)" if reading.method == PAINTED else ""
        rows.append(
            (
                *_place_cells(subject, reading),
                judged.field.name if judged else _part_words(subject, reading),
                "" if built is None else f"{built:g}",
                f"{mean:.1f}{through}" if mean is not None else "paint not known",
                f"{min(values):.1f}" if values else "",
                str(len(reading.thickness_mm)),
                "" if loss is None else f"{loss:.1f}",
                "" if loss is None or not built else f"{100 * loss / built:.0f}",
                f"{required.required_mm:.1f}" if required else "",
                *_last_cells(reading),
            )
        )
    if not rows:
        return None
    return Table(
        "Thickness readings, mm; n: spots. Side: P, C or S and mm of girth. Required: by the 2008 rule for the "
        "field's panel; empty where its particulars are missing. A minus sign: thicker than the as-built figure "
        "in the book.",
        (
            *PLACE_COLUMNS,
            Column("Plate field or part"),
            Column("Built", number=True),
            Column("Mean", number=True),
            Column("Least", number=True),
            Column("n", number=True),
            Column("Loss", number=True),
            Column("%", number=True),
            Column("Req.", number=True),
            Column("Instrument", narrow=True),
            Column("Date", narrow=True),
        ),
        tuple(rows),
    ).filled(named=True)


def _part_words(subject: Subject, reading: ThicknessReading) -> str:
    """On what it was read that is no plate field."""
    member = subject.book.members.get(reading.member or "")
    if member is not None:
        return f"{member.title}, {reading.part or 'web'}"
    return "a part by itself" if reading.member else ""


def _square_words(reading: PitReading) -> str:
    told = [f"no. {reading.square}"] if reading.square is not None else []
    if reading.every_pit is not None and reading.depths_mm:
        told.append("all" if reading.every_pit else "some")
    if reading.method == "ultrasonic":
        told.append("by ultrasound")
    return ", ".join(told)


def _pits_table(subject: Subject) -> Table | None:
    rows: list[tuple[str, ...]] = []
    for reading in _in_order(subject, PitReading):
        assert isinstance(reading, PitReading)
        patch = [f"{side:g}" for side in (reading.patch_length_mm, reading.patch_width_mm) if side]
        depths = sorted(reading.depths_mm, reverse=True)
        told = [f"{round(depth, 2):g}" for depth in depths[:8]] + (
            [f"and {len(depths) - 8} more"] if len(depths) > 8 else []
        )
        if reading.holed_through:
            told.insert(0, f"{reading.holed_through} holed through")
        if reading.soft:
            told.append("soft")
        metal = "" if reading.clean_metal is None else "yes" if reading.clean_metal else "NO"
        row = (
            *_place_cells(subject, reading),
            " × ".join(patch),
            _square_words(reading),
            "  ".join(told) or "none found",
            f"{round(depths[0], 2):g}" if depths else "",
            metal,
            *_last_cells(reading),
        )
        rows[-1:] = _in_one(rows[-1], row) if rows else [row]
    if not rows:
        return None
    return Table(
        "Pit readings, mm from the surface beside the pit, deepest first, with a stroke between squares. Read: the "
        "square's number, and whether all its pits were read or some",
        (
            *PLACE_COLUMNS,
            Column("Square mm", narrow=True),
            Column("Read", narrow=True),
            Column("Depths mm", wide=True),
            Column("Deepest", number=True),
            Column("Bright", narrow=True),
            Column("Instrument", narrow=True),
            Column("Date", narrow=True),
        ),
        tuple(rows),
    ).filled(named=True)


# Of a row of pits: the depths, and the deepest of them.
_DEPTHS, _DEEPEST = len(PLACE_COLUMNS) + 2, len(PLACE_COLUMNS) + 3


def _in_one(before: tuple[str, ...], row: tuple[str, ...]) -> list[tuple[str, ...]]:
    """Two rows as one, with a stroke between their depths, where they differ in nothing else."""
    if [*before[:_DEPTHS], *before[_DEEPEST + 1 :]] != [*row[:_DEPTHS], *row[_DEEPEST + 1 :]]:
        return [before, row]
    deepest = max(before[_DEEPEST], row[_DEEPEST], key=lambda told: float(told or 0))
    return [(*row[:_DEPTHS], f"{before[_DEPTHS]} | {row[_DEPTHS]}", deepest, *row[_DEEPEST + 1 :])]


def _in_order(subject: Subject, kind: type[Reading]) -> list[Reading]:
    """Readings of one kind from bow to stern, by finding, then as they were taken."""
    order = {place.id: number for number, place in enumerate(subject.book.bow_to_stern())}
    return sorted(
        (one for one in subject.book.readings.values() if isinstance(one, kind)),
        key=lambda one: (order.get(one.compartment, 999), one.finding or 0, one.when, one.id),
    )


def _year(when: datetime) -> float:
    return when.year + (when.timetuple().tm_yday - 1) / 365.25


def _growth(subject: Subject) -> Figure | None:
    """Deepest pit of each finding, and mean thickness of each plate field, that were measured in several rounds."""
    rows: list[Row] = []
    for finding in sorted(subject.book.findings.values(), key=lambda one: one.chalk):
        pits = [
            one for one in subject.readings_of.get(finding.chalk, []) if isinstance(one, PitReading) and one.depths_mm
        ]
        rows += _rows(f"no. {finding.chalk}, deepest", ((one, max(one.depths_mm)) for one in pits))
    by_field: dict[str, list[tuple[Reading, float]]] = defaultdict(list)
    for reading in subject.book.readings.values():
        if isinstance(reading, ThicknessReading) and (key := subject.judged.verdicts.gathered.field_of(reading)):
            by_field[key] += [(reading, value) for value in metal_mm(reading)]
    for key, told in by_field.items():
        rows += _rows(f"{one_line(subject.book.plate_fields[key].name)}, mean left", told, mean=True)
    if not rows:
        return None
    what = "mm in each round: deepest pit of a finding, mean thickness left in a plate field"
    return Figure(
        "rounds",
        over_rounds(rows[:8], what),
        "Growth over the rounds. A difference smaller than the instruments' error is no growth.",
        "; ".join(f"{row.name} {' to '.join(f'{value:.1f}' for _, value in row.points)} mm" for row in rows[:8]),
    )


def _rows(name: str, told: Iterable[tuple[Reading, float]], *, mean: bool = False) -> list[Row]:
    rounds: dict[str, list[tuple[Reading, float]]] = defaultdict(list)
    for reading, value in told:
        rounds[reading.round].append((reading, value))
    if len(rounds) < 2:
        return []
    points = []
    for those in rounds.values():
        values = [value for _, value in those]
        at = max(_year(reading.when) for reading, _ in those)
        points.append((at, sum(values) / len(values) if mean else max(values)))
    return [Row(name, tuple(sorted(points)))]
