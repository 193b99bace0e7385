"""Options that several screens offer."""

from __future__ import annotations

from inspect_tui.domain.words import TREATMENT_WORDS, Across, Treatment
from inspect_tui.engineering.electrodes import ELECTRODES, electrode_named
from inspect_tui.engineering.errors import CannotCalculate
from inspect_tui.terminal.widgets.choice import Option

BRIGHT = [
    Option("yes", "y", "yes"),
    Option("no", "n", "no: on paint, scale or dirt"),
    Option("unsaid", "x", "not said"),
]
METHODS = [
    Option("ultrasonic", "u", "ultrasonic"),
    Option("ultrasonic through paint", "p", "through paint"),
    Option("caliper", "c", "caliper"),
    Option("drilled hole", "d", "drilled hole"),
    Option("unsaid", "x", "not said"),
]
CHOSEN = [
    Option("evenly", "e", "evenly"),
    Option("worst", "w", "worst-looking"),
    Option("unsaid", "x", "not said"),
]
AGAINST = [*(Option(one.id, "", one.name) for one in ELECTRODES.values()), Option("unsaid", "", "not said")]
ACROSS = [
    *(Option(one.value, "", one.value) for one in Across),
    Option("unsaid", "x", "not said"),
]


def electrode_id(named: str) -> str:
    """The option for an electrode as it was written down, in older books in the owner's own words."""
    try:
        return electrode_named(named).id
    except CannotCalculate:
        return "unsaid"


def treatment_options() -> list[Option]:
    return [
        Option(one.value, str(number), one.value, TREATMENT_WORDS[one]) for number, one in enumerate(Treatment, 1)
    ]
