"""Thickness bay by bay, port and starboard side by side: as built, last round, now, allowed, loss, the worst row."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass, field

from inspect_tui.domain.reading_records import ThicknessReading
from inspect_tui.domain.shell import from_bow_mm, on_shell
from inspect_tui.domain.words import Side
from inspect_tui.handover.model import Bar, Cell, Column, Strong, Table
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.judgement.metal.readings_of_metal import metal_mm

_OUTER = (Column("loss %", number=True), Column("last", number=True), Column("now", number=True))
COLUMNS = (
    *_OUTER,
    Column("port", narrow=True),
    Column("as built", number=True),
    Column("frames", narrow=True),
    Column("allowed", number=True),
    Column("starboard", narrow=True),
    *reversed(_OUTER),
)
NOTE = (
    "Millimetres; the mean of the bay in that round, in brackets its least. Heavy: below what is allowed. Arrow: the "
    "worst row. The bar is what is left, the long stroke what is allowed, the short one as built. Allowed: what "
    "ISO 12215-5 (2008) asks of the mean of a panel, with no allowance for wear; a class rule may ask for more. 'Not "
    "read' is not sound. A minus sign before a loss: thicker than the as-built figure in the book."
)


@dataclass(frozen=True)
class _Bay:
    now: list[float] = field(default_factory=list)
    last: dict[int, list[float]] = field(default_factory=lambda: defaultdict(list))


def bays_table(subject: Subject) -> Table | None:
    """Plate fields as strakes, their bays from bow to stern; None where no reading has a frame and a side."""
    book, verdicts = subject.book, subject.judged.verdicts
    frames = [(int(name), mm) for name, mm in subject.frames_mm]
    told: dict[str, dict[tuple[int, bool], _Bay]] = defaultdict(lambda: defaultdict(_Bay))
    for reading in book.readings.values():
        if not isinstance(reading, ThicknessReading) or reading.member is not None:
            continue
        key = verdicts.gathered.field_of(reading)
        at = _place(subject, reading)
        values = metal_mm(reading)
        if key is None or at is None or not values:
            continue
        bay = max((one for one, mm in frames if mm <= at[0] + 1e-6), default=None)
        if bay is None:
            continue
        held = told[key][bay, at[1] < 0]
        if reading.round == book.round.id:
            held.now.extend(values)
        else:
            held.last[book.round_number(reading.round)].extend(values)
    rows: list[tuple[Cell, ...]] = []
    worst = _worst(subject, told)
    for key, bays in told.items():
        judged = verdicts.fields[key]
        built = judged.field.as_built_mm
        required = judged.required.check.required_mm if judged.required.check else None
        known = judged.field.as_built_from.told if judged.field.as_built_from else "not known how"
        rows.append((f"{judged.field.name}: {f'{built:g} as built ({known})' if built else 'as built not known'}",))
        for bay in sorted({one for one, _ in bays}):
            port, starboard = bays.get((bay, True)), bays.get((bay, False))
            rows.append(
                (
                    *_side(port, built, required, left=True, worst=worst == (key, bay, True)),
                    f"{built:g}" if built else "–", f"{bay}–{bay + 1}", f"{required:.1f}" if required else "–",
                    *reversed(_side(starboard, built, required, left=False, worst=worst == (key, bay, False))),
                )
            )  # fmt: skip
    return Table("Thickness by plate field and bay", COLUMNS, tuple(rows), note=NOTE) if rows else None


def _mean(values: list[float]) -> float:
    return sum(values) / len(values)


def _place(subject: Subject, reading: ThicknessReading) -> tuple[float, float] | None:
    """Aft of the bow [mm] and to which side; a side alone is enough, the centreline is none."""
    book = subject.book
    finding = book.findings.get(str(reading.finding)) if reading.finding is not None else None
    place = book.compartments.get(reading.compartment)
    for position in (reading.position, finding.position if finding else None):
        if position is None or (along := from_bow_mm(book.boat, position)) is None:
            continue
        at = on_shell(book.boat, position, place)
        side = position.side or (place.side if place else None)
        if at is not None and at.out_mm:
            return along, at.out_mm
        if side in (Side.PORT, Side.STARBOARD):
            return along, -1.0 if side is Side.PORT else 1.0
    return None


def _worst(subject: Subject, told: dict[str, dict[tuple[int, bool], _Bay]]) -> tuple[str, int, bool] | None:
    found = []
    for key, bays in told.items():
        built = subject.judged.verdicts.fields[key].field.as_built_mm
        found += [(_mean(one.now) / built, key, bay, port) for (bay, port), one in bays.items() if one.now and built]
    if not found:
        return None
    _, key, bay, port = min(found)
    return key, bay, port


def _side(bay: _Bay | None, built: float | None, required: float | None, *, left: bool, worst: bool) -> list[Cell]:
    """Loss, last, now, bar; outermost first."""
    last = _mean(bay.last[max(bay.last)]) if bay is not None and bay.last else None
    shown = "–" if last is None else f"{last:.1f}"
    if bay is None or not bay.now:
        return ["–", shown, "not read", ""]
    now = _mean(bay.now)
    told = f"{now:.1f} ({min(bay.now):.1f})" if now - min(bay.now) >= 0.05 else f"{now:.1f}"
    loss = f"{100 * (1 - now / built):.0f}".replace("-", "−") if built else "–"
    below = required is not None and now < required
    bar: Cell = Bar(now, built, required, math.ceil(built), leftward=left) if built else ""
    return [
        Strong(f"→ {loss}") if worst else loss,
        shown,
        Strong(told) if below or worst else told,
        bar,
    ]
