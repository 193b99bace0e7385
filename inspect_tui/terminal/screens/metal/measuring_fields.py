"""The fields of the measuring form, which of them show, and what they say of a reading beside its numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.areas import ReadingKind
from inspect_tui.domain.measuring.measured import last_electrode, last_every_pit, last_patch, newest_of
from inspect_tui.domain.measuring.metal_records import OTHER_MEMBER, SamplingPlan
from inspect_tui.domain.measuring.place_line import position_of
from inspect_tui.domain.measuring.readings import KINDS, OF_THE_METAL, TypedLine
from inspect_tui.domain.measuring.sampling import place_words, plan_of, read_of
from inspect_tui.domain.plain import one_line
from inspect_tui.domain.quantities import instrument_error
from inspect_tui.domain.reading_records import PitReading, Reading
from inspect_tui.domain.records import Position
from inspect_tui.domain.words import Across
from inspect_tui.judgement.electricity.protected import newest_water
from inspect_tui.terminal.form_fields import UNSAID, Choose, FormField, Number, Sides, Words, YesNo
from inspect_tui.terminal.forms import FormScreen
from inspect_tui.terminal.screens.options import (
    ACROSS,
    AGAINST,
    BRIGHT,
    CHOSEN,
    EVERY_PIT,
    METHODS,
    PARTS,
    READ_BY,
    SEEN_CHALK,
    electrode_id,
)
from inspect_tui.terminal.widgets.choice import Option

MEASURE_HELP = """
Type the numbers with spaces between and press {on}: they are saved as one reading, and the line is empty for the
next square or spot. {on} on the empty line goes back.

  1.2 0,8 2.4       plain numbers are in the unit shown (mm for depth and thickness)
  3/16" 0.2in 40thou  inches, with the mark
  -0.92 V           volts where millivolts are asked for
  none              pits: the square was looked at, and has none
  2.1 1.4 hole      pits: and one goes right through
  1.2 soft          pits: and the metal gives under the knife

The other lines say what was understood, what it means so far by the limits file, what would change that, and what
the squares say of the metal nobody looked at. If a number cannot be read, nothing is saved and nothing is lost.

For the whole plate to be judged by a few squares, have them drawn first: {add} in the metal list. Type each
as one reading, 'none' too. Five is the least, 20 to 30 is usual.

Bright metal  was the spot, and the floor of each pit, clean metal? A reading on paint or scale is kept as such
On            a plate field (see 'Metal' on the boat screen), a frame or other member (never averaged with plate), or
              another part. Wrong for the newest reading? Put it right, then {more}, 'Put on'
Square        one drawn by lot (added in the metal list); it speaks for the rest
Sides         in mm, of a square you picked yourself; Chosen: whether by its looks
Typed         every pit, or only the deepest
On the chalk  a thin reading stands until two more at its mark, on bright metal, with as good a gauge, are thicker
Gauge         ultrasound reads pits with an error that grows with their depth, up to six tenths of it
Instrument    remembered from the last reading of the same kind
Spot          frame, side and mm out (14+120 P 300) put a reading on the shell map; once saved, the next frame is
              filled in, so that a row can be typed number by number

A reading that is removed stays in the trail. The up arrow goes to the other fields.
"""

# Readings of the metal itself: whether it was bright matters.
ON_METAL = ("pits", "thickness", "length", "area", "resistance", "coating")


def measuring_fields(book: Book, kinds: Sequence[ReadingKind], usual: str | None) -> list[FormField]:
    """For these kinds of reading, the first one chosen, on what lies there: the plate fields, and the members."""
    options = [Option(kind, KINDS[kind].letter, KINDS[kind].label, KINDS[kind].unit) for kind in kinds]
    lies = (
        *(Option(one.id, "", one_line(one.name)) for one in book.plate_fields.values()),
        *(Option(one.id, "", one_line(f"{one.title}")) for one in book.members.values()),
        Option(OTHER_MEMBER, "", "a frame, pipe or other part, not plate"),
        Option(UNSAID, "", "not said"),
    )
    unit = KINDS[kinds[0]].unit
    return [
        Choose("kind", "What", options=options, long=True),
        Choose("plate", "On", options=lies, long=True),
        Choose("part", "Part", options=PARTS),
        Choose("square", "Square", options=square_options(book, usual), long=True),
        Sides("square_mm", "Sides", "mm × mm: its two sides"),
        YesNo("chosen", "Chosen", options=CHOSEN),
        YesNo("every_pit", "Typed", options=EVERY_PIT),
        Choose("read_by", "Gauge", options=READ_BY),
        Choose("method", "Method", options=METHODS),
        YesNo("chalk_seen", "On the chalk", options=SEEN_CHALK),
        Number("paint_mm", "Paint", "mm of paint under the probe"),
        Words("instrument", "Instrument"),
        Number("error", "Accuracy ±", unit, of=instrument_error(unit)),
        Words("spot", "Spot", "frame, side, mm out: 14+120 P 300; or words"),
        YesNo("bright", "Bright metal", options=BRIGHT),
        Choose("electrode", "Electrode", options=AGAINST, long=True),
        Choose("across", "Across", options=ACROSS, long=True, into=Across),
        Words("values", "Numbers", unit),
    ]


def first_values(
    book: Book,
    kind: ReadingKind,
    plate: str | None,
    here: list[Reading],
    chalk: int | None,
    across: Across | None,
) -> dict[str, object]:
    """What stands in the fields before anything is typed: as it was for the last reading like it."""
    last, square = newest_of(book, kind), last_patch(here)
    usual = (300.0, 300.0) if plate and chalk is None else None
    return {
        "kind": kind,
        "plate": plate,
        "part": PARTS[0].value,
        "square": next_square(book, plate) if chalk is None else None,
        "every_pit": last_every_pit(here),
        "read_by": last.method if isinstance(last, PitReading) else None,
        "square_mm": (square.patch_length_mm, square.patch_width_mm) if square else usual,
        "instrument": last.instrument if last else "",
        "error": last.instrument_error if last else None,
        "electrode": electrode_id(last_electrode(book)),
        "across": across,
    }


def square_options(book: Book, field: str | None) -> list[Option]:
    """The squares that were drawn of a plate field and are not read yet, in the order drawn."""
    plan = plan_of(book, field) if field else None
    none = Option(UNSAID, "", "none of those drawn")
    if plan is None:
        return [none]
    read = read_of(book, plan)
    left = [number for number in plan.drawn if number not in read]
    return [*(Option(str(number), "", place_words(plan, number)) for number in left), none]


def next_square(book: Book, field: str | None) -> str:
    """The option of the square that is read next; that of none once enough are read."""
    plan = plan_of(book, field) if field else None
    if plan is None or len(read_of(book, plan)) >= plan.wanted:
        return UNSAID
    return square_options(book, field)[0].value


@dataclass(frozen=True)
class Beside:
    """What the place of a reading says of it before anything is typed."""

    kind: ReadingKind
    prompt: str | None
    at: Position
    plan: SamplingPlan | None

    def shown(self, book: Book, on: str, method: str, *, square: bool, loose: bool) -> dict[str, bool]:
        """Which fields show for this kind of reading, on what is chosen."""
        pits, thickness = self.kind == "pits", self.kind == "thickness"
        of_plate = on in book.plate_fields or on == UNSAID
        # What lies at a finding was looked for: it never speaks for the rest.
        drawn, sampled = pits and self.plan is not None and loose, pits and of_plate and loose
        return {
            "plate": self.kind in OF_THE_METAL,
            "part": thickness and on in book.members,
            "square": drawn,
            "square_mm": pits and of_plate and not (drawn and square),
            "chosen": sampled and not (drawn and square),
            "every_pit": sampled,
            "read_by": pits,
            "method": thickness,
            "chalk_seen": thickness and not loose,
            "paint_mm": thickness and method == METHODS[1].value,
            "spot": loose,
            "electrode": self.kind == "potential",
            "across": self.kind == "resistance",
            "bright": self.kind in ON_METAL,
        }

    def details(self, form: FormScreen, book: Book, typed: TypedLine) -> edits.ReadingDetails:
        """What the form says of a reading of this kind beside its numbers.

        Raises
        ------
        NotUnderstood : the size of the square, the paint, or the accuracy.
        """
        kind, spot, on = self.kind, form.text_of("spot").strip(), form.text_of("plate")
        salinity, chloride = newest_water(book) if kind == "potential" else (None, None)
        method = form.value("method") if kind == "thickness" else form.value("read_by") if kind == "pits" else None
        of_metal, pits = kind in OF_THE_METAL, kind == "pits"
        square = form.value("square") if pits and self.plan is not None else None
        sides: tuple[float | None, float | None] = (None, None)
        if square and self.plan:
            sides = (self.plan.square_length_mm, self.plan.square_girth_mm)
        elif pits:
            sides = form.value("square_mm") or (None, None)
        member = on if of_metal and (on in book.members or on == OTHER_MEMBER) else None
        return edits.ReadingDetails(
            prompt=self.prompt,
            plate_field=on if of_metal and on in book.plate_fields else None,
            member=member,
            part=form.value("part") if kind == "thickness" and on in book.members else None,
            chalk_seen=form.value("chalk_seen")
            if kind == "thickness" and form.row_of("chalk_seen").display
            else None,
            position=position_of(spot) if spot else self.at,
            instrument=form.text_of("instrument").strip(),
            instrument_error=instrument_error(KINDS[kind].unit).read(form.text_of("error")),
            clean_metal=form.value("bright"),
            typed=form.text_of("values"),
            holed_through=typed.holes,
            soft=typed.soft,
            patch_length_mm=sides[0],
            patch_width_mm=sides[1],
            worst_chosen=form.value("chosen") if pits and not square else None,
            every_pit=form.value("every_pit") if pits else None,
            plan=self.plan.id if square and self.plan else None,
            square=int(square) if square else None,
            method=method,
            paint_mm=form.number("paint_mm") if method == METHODS[1].value else None,
            electrode=form.value("electrode") or "" if kind == "potential" else "",
            water_salinity_g_kg=salinity,
            water_chloride_mg_l=chloride,
            across=form.value("across") if kind == "resistance" else None,
        )
