"""The fields of the measuring form. Which of them show depends on the kind of reading that is chosen."""

from __future__ import annotations

from collections.abc import Sequence

from inspect_tui.domain.knowledge.areas import ReadingKind
from inspect_tui.domain.plain import one_line
from inspect_tui.domain.quantities import instrument_error
from inspect_tui.domain.readings import KINDS
from inspect_tui.domain.records import PlateField
from inspect_tui.domain.words import Across
from inspect_tui.terminal.form_fields import UNSAID, Choose, FormField, Number, Sides, Words, YesNo
from inspect_tui.terminal.screens.options import ACROSS, AGAINST, BRIGHT, CHOSEN, METHODS
from inspect_tui.terminal.widgets.choice import Option


def measuring_fields(kinds: Sequence[ReadingKind], plates: Sequence[PlateField]) -> list[FormField]:
    """For these kinds of reading, the first one chosen, on these plate fields."""
    options = [Option(kind, KINDS[kind].letter, KINDS[kind].label, KINDS[kind].unit) for kind in kinds]
    lies = (*(Option(one.id, "", one_line(one.name)) for one in plates), Option(UNSAID, "", "not said"))
    unit = KINDS[kinds[0]].unit
    return [
        Choose("kind", "What", options=options, long=True),
        Choose("plate", "Plate", options=lies, long=True),
        Sides("square_mm", "Patch", "mm × mm: its two sides"),
        YesNo("chosen", "Chosen", options=CHOSEN),
        Choose("method", "Method", options=METHODS),
        Number("paint_mm", "Paint", "mm of paint under the probe"),
        Words("instrument", "Instrument"),
        Number("error", "Accuracy ±", unit, of=instrument_error(unit)),
        Words("spot", "Spot", "in words, if it has no finding"),
        YesNo("bright", "Bright metal", options=BRIGHT),
        Choose("electrode", "Electrode", options=AGAINST, long=True),
        Choose("across", "Across", options=ACROSS, long=True, into=Across),
        Words("values", "Numbers", unit),
    ]
