"""The working behind a result: what went in, formula in symbols and in numbers, source, what is not covered."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum


class Seen(StrEnum):
    """How well a source is known."""

    READ = "read in the source"
    SECOND_HAND = "quoted by another document"
    TRADE = "a trade page or forum"
    MEMORY = "from memory, not seen"
    DERIVED = "derived here"
    COMMON = "common practice, no source"
    JUDGEMENT = "judgement of this program"


@dataclass(frozen=True)
class Source:
    """Where a formula, a number or a rule comes from, and how well that is known."""

    name: str
    seen: Seen
    borrowed: str = ""

    def __str__(self) -> str:
        told = f"{self.name} ({self.seen.value})" if self.name else self.seen.value
        return f"{told}; {self.borrowed}" if self.borrowed else told


@dataclass(frozen=True)
class Step:
    """One line of a calculation, to be followed with a pocket calculator."""

    what: str
    formula: str
    numbers: str
    result: str
    source: Source


@dataclass(frozen=True)
class Working:
    """Everything behind one result."""

    inputs: tuple[tuple[str, str], ...]
    steps: tuple[Step, ...]
    not_covered: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()

    def __add__(self, other: Working) -> Working:
        known = dict(self.inputs)
        return Working(
            self.inputs + tuple(line for line in other.inputs if known.get(line[0]) != line[1]),
            self.steps + other.steps,
            self.not_covered + tuple(one for one in other.not_covered if one not in self.not_covered),
            self.doubts + tuple(one for one in other.doubts if one not in self.doubts),
        )

    def lines(self) -> list[tuple[str, str]]:
        """Headed lines, for a screen, a shell or a paper."""
        told = list(self.inputs)
        for number, step in enumerate(self.steps):
            told.append((step.what, " = ".join(part for part in (step.formula, step.numbers, step.result) if part)))
            # One source for several steps in a row is named once, below them.
            if number + 1 == len(self.steps) or self.steps[number + 1].source != step.source:
                told.append(("", f"source: {step.source}"))
        told += [("doubt", one) for one in self.doubts]
        return told + [("not covered", one) for one in self.not_covered]

    def sources(self) -> list[str]:
        """Each source once, in the order of use."""
        return list(dict.fromkeys(str(step.source) for step in self.steps))


def shown(value: float, digits: int = 3) -> str:
    """A number with so many significant digits, without an exponent for everyday sizes.

    >>> shown(4.39284), shown(0.0315), shown(12345.6), shown(0.0000012), shown(7.0)
    ('4.39', '0.0315', '12346', '1.2e-06', '7')
    """
    if value == 0 or not math.isfinite(value):
        return f"{value:g}"
    places = digits - 1 - math.floor(math.log10(abs(value)))
    if places > 6:
        return f"{value:.2g}"
    text = f"{value:.{max(places, 0)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
