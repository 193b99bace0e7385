"""The shell as a map: bay by bay along, band by band out from the centreline, what is known of each cell.

Nothing is drawn between readings: a cell says what was read or found in it, how much of its plate was seen, or that
nobody looked. Plate that belongs to no compartment whose place across the boat is written down counts as not seen.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from functools import cached_property

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.reading_records import PitReading, ThicknessReading
from inspect_tui.domain.records import Compartment, Position
from inspect_tui.domain.shell import from_bow_mm, on_shell
from inspect_tui.domain.words import CLOSED, Side, Tier
from inspect_tui.judgement.metal.readings_of_metal import metal_mm
from inspect_tui.judgement.metal.verdicts import Verdicts
from inspect_tui.judgement.shell.rounds import Became, Since
from inspect_tui.judgement.work.worklist import Worklist

# Without frames the boat is drawn in steps of this [mm].
STEP_MM = 500.0
MOST_COLUMNS = 60


class Looked(StrEnum):
    """How much of a cell's plate was seen in the round."""

    SEEN = "seen"
    PART = "seen in part"
    NOT = "not seen"


@dataclass(frozen=True)
class Cell:
    """One bay by one band. `left_mm`: the thinnest reading in it, `gone_percent` of the plate as built; `pit_mm`: the
    deepest pit; `chalks`: open findings; `tier`: of the gravest of them; `became`: the first of what its spots
    became since an earlier round; `read`: the day of the newest reading in it."""

    looked: Looked
    left_mm: float | None = None
    gone_percent: float | None = None
    pit_mm: float | None = None
    holed: bool = False
    chalks: tuple[int, ...] = ()
    tier: Tier | None = None
    became: Became | None = None
    read: date | None = None

    @property
    def bars(self) -> bool:
        """Whether something in it must be done before she floats."""
        return self.tier is not None and self.tier.rank <= Tier.BEFORE_AFLOAT.rank

    @property
    def worst(self) -> float:
        """For going from the worst to the next: holes, then what is gone, then pits, then findings."""
        gone = self.gone_percent or 0.0
        return (1000.0 if self.holed else 0.0) + gone + (self.pit_mm or 0.0) + (500.0 if self.bars else 0.0)


_UNKNOWN = Cell(Looked.NOT)


@dataclass(frozen=True)
class ShellMap:
    """`columns`: edges aft of the bow [mm], one more than there are columns; `names`: of the columns; `bands`:
    edges out from the centreline [mm], from port to starboard. `cells` by column and band. `unplaced`: open
    findings without a place on the shell; `places`: the smallest compartment that holds the middle of a cell, by
    its id. `framed`: columns run from frame to frame, and are named by them; else by metres."""

    columns: tuple[float, ...]
    names: tuple[str, ...]
    bands: tuple[float, ...]
    cells: dict[tuple[int, int], Cell]
    unplaced: tuple[int, ...]
    places: dict[tuple[int, int], str]
    framed: bool = True

    def where(self, column: int) -> str:
        """Where a column begins, in words."""
        name = self.names[column]
        return f"frame {name}" if self.framed and name else f"{self.columns[column] / 1000:.1f} m aft of the bow"

    def cell_at(self, column: int, band: int) -> Cell:
        return self.cells.get((column, band), _UNKNOWN)

    @cached_property
    def by_worst(self) -> list[tuple[int, int]]:
        """Cells that hold something, the worst first."""
        told = [(cell.worst, at) for at, cell in self.cells.items() if cell.chalks or cell.worst > 0]
        return [at for _, at in sorted(told, key=lambda one: (-one[0], one[1]))]


def shell_map(
    book: Book,
    checklists: Checklists,
    verdicts: Verdicts,
    listed: Worklist,
    since: Sequence[Since] = (),
    band_mm: float = STEP_MM,
    within: Compartment | None = None,
) -> ShellMap:
    """What is known of the shell. `since`: what became of its spots; `band_mm`: height of a band along the plate;
    `within`: only what lies about one compartment, in columns as narrow as the bands are high."""
    zoom = _window(book, within) if within is not None else None
    columns, names, framed = _columns(book) if zoom is None else (*_steps(zoom[0], band_mm), False)
    placed: dict[int, tuple[float, float]] = {}
    unplaced = []
    for finding in book.findings.values():
        if finding.status in CLOSED:
            continue
        at = on_shell(book.boat, finding.position, book.compartments.get(finding.compartment))
        if at is None:
            unplaced.append(finding.chalk)
        else:
            placed[finding.chalk] = (at.from_bow_mm, at.out_mm)
    metal = list(_metal(book))
    outs = [abs(out) for _, out in placed.values()] + [abs(out) for _, out, _ in metal]
    outs += [one.girth_to_mm for one in book.compartments.values() if one.girth_to_mm is not None]
    most = max(1, math.ceil((max(outs, default=band_mm) + 1) / band_mm))
    bands = tuple(band_mm * one for one in range(-most, most + 1))
    if zoom is not None:
        low, high = zoom[1]
        bands = tuple(band_mm * one for one in range(math.floor(low / band_mm), math.ceil(high / band_mm) + 1))
    tiers = {one.chalk: one.tier for one in reversed(listed.actions) if one.chalk is not None}
    chalks: dict[tuple[int, int], list[int]] = defaultdict(list)
    for chalk, (along, out) in placed.items():
        if (lies := _cell(columns, bands, along, out)) is not None:
            chalks[lies].append(chalk)
    found: dict[tuple[int, int], list[PitReading | ThicknessReading]] = defaultdict(list)
    for along, out, reading in metal:
        if (lies := _cell(columns, bands, along, out)) is not None:
            found[lies].append(reading)
    became: dict[str, Became] = {one.newest.id: one.became for one in since}
    cells: dict[tuple[int, int], Cell] = {}
    for column in range(len(columns) - 1):
        for band in range(len(bands) - 1):
            here = column, band
            looked = _looked(book, checklists, columns[column : column + 2], bands[band : band + 2])
            cell = _of(book, verdicts, looked, found.get(here, []), sorted(chalks.get(here, [])), tiers, became)
            if cell is not None:
                cells[here] = cell
    told = ShellMap(columns, names, bands, cells, tuple(sorted(unplaced)), {}, framed)
    for column in range(len(columns) - 1):
        for band in range(len(bands) - 1):
            if holding := places_at(book, checklists, told, column, band):
                told.places[column, band] = min(holding, key=across_mm).id
    return told


def _columns(book: Book) -> tuple[tuple[float, ...], tuple[str, ...], bool]:
    """Edges of the columns: her frames, several to a column where there are many; else even steps. Whether they are
    frames."""
    boat, long_mm = book.boat, book.boat.hull_length_m * 1000
    rows = boat.datum.frame_table_mm
    spacing = boat.datum.frame_spacing_mm
    frames = range(len(rows)) if rows else range(int(long_mm // spacing) + 1) if spacing else range(0)
    at = {frame: from_bow_mm(boat, Position(frame=frame)) for frame in frames}
    edges = sorted((mm, str(frame)) for frame, mm in at.items() if mm is not None and 0 <= mm <= long_mm)
    framed = len(edges) >= 3
    if not framed:
        count = max(2, math.ceil(long_mm / STEP_MM))
        edges = [(long_mm * one / count, f"{long_mm * one / count / 1000:.1f}") for one in range(count + 1)]
    every = math.ceil(len(edges) / MOST_COLUMNS)
    edges = edges[::every]
    if edges[0][0] > 0:
        edges = [(0.0, ""), *edges]
    if edges[-1][0] < long_mm:
        edges.append((long_mm, ""))
    return tuple(mm for mm, _ in edges), tuple(name for _, name in edges[:-1]), framed


def _window(book: Book, place: Compartment) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """Along and across [mm], where a compartment lies; None where its frames or its place across are not written
    down."""
    if place.girth_to_mm is None or (along := _ends(book, place)) is None:
        return None
    inner, outer = place.girth_from_mm or 0.0, place.girth_to_mm
    port, starboard = (-outer, -inner), (inner, outer)
    return along, port if place.side is Side.PORT else starboard if place.side is Side.STARBOARD else (-outer, outer)


def _ends(book: Book, place: Compartment) -> tuple[float, float] | None:
    """How far aft of the bow it begins and ends [mm]."""
    ends = [
        at
        for frame in (place.frame_from, place.frame_to)
        if frame is not None and (at := from_bow_mm(book.boat, Position(frame=frame))) is not None
    ]
    return (min(ends), max(ends)) if len(ends) == 2 else None


def _steps(along: tuple[float, float], step_mm: float) -> tuple[tuple[float, ...], tuple[str, ...]]:
    """Even columns, named by metres aft of the bow."""
    low, high = along
    step = max(step_mm, (high - low) / MOST_COLUMNS)
    count = max(2, math.ceil((high - low) / step))
    edges = tuple(low + step * one for one in range(count + 1))
    return edges, tuple(f"{one / 1000:.1f}" for one in edges[:-1])


def _cell(columns: Sequence[float], bands: Sequence[float], along: float, out: float) -> tuple[int, int] | None:
    column = next((at for at in range(len(columns) - 1) if columns[at] <= along < columns[at + 1]), None)
    band = next((at for at in range(len(bands) - 1) if bands[at] <= out < bands[at + 1]), None)
    return None if column is None or band is None else (column, band)


def _metal(book: Book) -> Iterable[tuple[float, float, PitReading | ThicknessReading]]:
    """Readings of the plate with their places: their own, else their finding's."""
    for reading in book.readings.values():
        if not isinstance(reading, PitReading | ThicknessReading) or reading.member is not None:
            continue
        finding = book.findings.get(str(reading.finding)) if reading.finding is not None else None
        place = book.compartments.get(reading.compartment)
        for position in (reading.position, finding.position if finding else None):
            at = on_shell(book.boat, position, place) if position is not None else None
            if at is not None:
                yield at.from_bow_mm, at.out_mm, reading
                break


def places_at(book: Book, checklists: Checklists, told: ShellMap, column: int, band: int) -> list[Compartment]:
    """The compartments that the middle of a cell lies in, as far as their places are written down."""
    along = (told.columns[column] + told.columns[column + 1]) / 2
    out = (told.bands[band] + told.bands[band + 1]) / 2
    return places_holding(book, checklists, along, out)


def across_mm(place: Compartment) -> float:
    return (place.girth_to_mm or 0.0) - (place.girth_from_mm or 0.0)


def places_holding(book: Book, checklists: Checklists, along_mm: float, out_mm: float) -> list[Compartment]:
    """The compartments that hold a point of the shell, as far as their places are written down."""
    return [place for place in book.bow_to_stern() if _holds(book, checklists, place, along_mm, out_mm)]


def _looked(book: Book, checklists: Checklists, along: Sequence[float], out: Sequence[float]) -> Looked:
    """The most that any compartment lets be said of it: its frames and its place across must hold the middle."""
    middle, across = sum(along) / 2, sum(out) / 2
    best = Looked.NOT
    for place in book.compartments.values():
        if not _holds(book, checklists, place, middle, across):
            continue
        visit = walk.visit_of(book, place.id)
        seen = visit.seen_percent if visit else 0.0
        if seen >= walk.LOOK_SHARE:
            return Looked.SEEN
        if seen > 0:
            best = Looked.PART
    return best


def _holds(book: Book, checklists: Checklists, place: Compartment, along: float, out: float) -> bool:
    area = checklists.areas.get(place.area)
    if area is None or not area.space or area.outside or place.girth_to_mm is None:
        return False
    if not (place.girth_from_mm or 0.0) <= abs(out) <= place.girth_to_mm:
        return False
    if place.side in (Side.PORT, Side.STARBOARD) and (out < 0) is not (place.side is Side.PORT):
        return False
    ends = _ends(book, place)
    return ends is not None and ends[0] <= along <= ends[1]


def _of(
    book: Book,
    verdicts: Verdicts,
    looked: Looked,
    readings: Sequence[PitReading | ThicknessReading],
    chalks: list[int],
    tiers: dict[int, Tier],
    became: dict[str, Became],
) -> Cell | None:
    if looked is Looked.NOT and not readings and not chalks:
        return None
    left = pit = gone = None
    holed = False
    for reading in readings:
        if isinstance(reading, PitReading):
            pit = max([pit or 0.0, *reading.depths_mm])
            holed = holed or reading.is_through
        elif values := metal_mm(reading):
            left = min([*([left] if left is not None else []), *values])
            field = book.plate_fields.get(verdicts.gathered.field_of(reading) or "")
            if field is not None and field.as_built_mm:
                gone = max(gone or 0.0, 100 * (1 - min(values) / field.as_built_mm), 0.0)
    told = [tiers[chalk] for chalk in chalks if chalk in tiers]
    order = list(Became)
    grown = [became[one.id] for one in readings if one.id in became]
    return Cell(
        looked, left, gone, pit, holed, tuple(chalks), min(told, key=lambda one: one.rank) if told else None,
        min(grown, key=order.index) if grown else None, max((one.when.date() for one in readings), default=None),
    )  # fmt: skip
