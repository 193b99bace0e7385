"""Options that several screens offer."""

from __future__ import annotations

from enum import StrEnum

from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.plain import one_line
from inspect_tui.domain.words import TREATMENT_WORDS, Across, Follows, Treatment
from inspect_tui.engineering.electricity.electrodes import ELECTRODES, electrode_named
from inspect_tui.errors import CannotCalculate
from inspect_tui.terminal.form_fields import UNSAID, YES_NO
from inspect_tui.terminal.widgets.choice import Option

NOT_SAID = Option(UNSAID, "x", "not said")


def first_letter(words: type[StrEnum]) -> tuple[Option, ...]:
    """The words of a closed list, each picked by its first letter."""
    return tuple(Option(one.value, one.value[0], getattr(one, "told", one.value)) for one in words)


BRIGHT = (YES_NO[0], Option("no", "n", "no: on paint, scale or dirt"), NOT_SAID)
METHODS = (
    Option("ultrasonic", "u", "ultrasonic"),
    Option("ultrasonic through paint", "p", "through paint"),
    Option("caliper", "c", "caliper"),
    Option("drilled hole", "d", "drilled hole"),
    NOT_SAID,
)
CHOSEN = (Option("no", "e", "evenly"), Option("yes", "w", "worst-looking"), NOT_SAID)
EVERY_PIT = (Option("yes", "y", "every pit typed"), Option("no", "d", "only the deepest"), NOT_SAID)
READ_BY = (
    Option("needle or bridge", "b", "needle or bridge"),
    Option("ultrasonic", "u", "ultrasonic"),
    NOT_SAID,
)
SEEN_CHALK = (Option("yes", "y", "yes, I saw it"), Option("no", "n", "no"), NOT_SAID)
PARTS = (Option("web", "w", "web"), Option("flange", "f", "flange"))
FOLLOWED = (*(Option(one.value, "", one.value) for one in Follows), Option(UNSAID, "", "nothing in particular"))
AGAINST = (*(Option(one.id, "", one.name) for one in ELECTRODES.values()), Option(UNSAID, "", "not said"))
ACROSS = (*(Option(one.value, "", one.told) for one in Across), NOT_SAID)


def electrode_id(named: str) -> str:
    """The option for an electrode as it was written down, in older books in the owner's own words."""
    try:
        return electrode_named(named).id
    except CannotCalculate:
        return UNSAID


def treatment_options() -> list[Option]:
    return [
        Option(one.value, str(number), one.value, TREATMENT_WORDS[one]) for number, one in enumerate(Treatment, 1)
    ]


def alloy_options(book: Book, checklists: Checklists, other: str) -> list[Option]:
    """The alloys of her metal, and the one that stands there already."""
    known = [alloy.id for alloy in checklists.metals.alloys.values() if alloy.metal is book.boat.hull_metal]
    if other and other not in known:
        known.append(other)
    return [*(Option(one, "", one_line(one)) for one in known), Option(UNSAID, "", "not said")]


# Why a reading of the whole boat cannot be kept.
NO_PLACE = "She has no compartment to write it under yet: add one on the boat screen."
