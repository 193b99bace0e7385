"""The fields of a form: how each is drawn, what its widget holds at first, and what it says when it is read.

A field is known by the name that its value has in the record: `as_built_mm`, or `datum.origin` for one within.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, is_dataclass, replace
from enum import Enum
from typing import Any, ClassVar, TypeVar

from inspect_tui.domain.quantities import QUANTITIES, Quantity, plain_number
from inspect_tui.domain.records import Record
from inspect_tui.errors import NotUnderstood
from inspect_tui.terminal.widgets.choice import Choice, Option
from inspect_tui.terminal.widgets.field import Field, Row

UNSAID = "unsaid"
YES_NO = (Option("yes", "y", "yes"), Option("no", "n", "no"))
R = TypeVar("R")


def widget_id(name: str) -> str:
    """The id of a field's widget: neither a point nor a blank may stand in one."""
    return name.replace(".", "__").replace(" ", "--")


@dataclass(frozen=True)
class FormField:
    """What all fields have: the name of the value, the name on the screen, and a hint beside it."""

    name: str
    label: str
    hint: str = ""
    # Whether what is typed is a number or two.
    is_short: ClassVar[bool] = False

    def shown(self, value: object) -> str:
        """What the widget holds for a value."""
        return "" if value is None else str(value)

    def row(self, value: object) -> Row:
        return Row(self.label, Field(self.shown(value), id=widget_id(self.name), short=self.is_short), self.hint)

    def read(self, text: str) -> Any:
        """What was typed or chosen, as the record holds it.

        Raises
        ------
        NotUnderstood : with one sentence to stand beside the field.
        """
        raise NotImplementedError


@dataclass(frozen=True)
class Words(FormField):
    """Text. `needed`: what to say if it is empty."""

    needed: str = ""

    def read(self, text: str) -> str:
        if self.needed and not text.strip():
            raise NotUnderstood(self.needed)
        return text.strip()


@dataclass(frozen=True, kw_only=True)
class Number(FormField):
    """One number: of the quantity of its name, unless another is given. `needed`: what to say if it is empty."""

    of: Quantity | None = None
    needed: str = ""
    is_short: ClassVar[bool] = True

    @property
    def quantity(self) -> Quantity:
        return self.of or QUANTITIES[self.name.rsplit(".", 1)[-1]]

    def shown(self, value: object) -> str:
        return plain_number(value) if isinstance(value, float) else super().shown(value)

    def read(self, text: str) -> float | int | None:
        number = self.quantity.read(text)
        if number is None and self.needed:
            raise NotUnderstood(self.needed)
        return int(number) if number is not None and self.quantity.whole else number


@dataclass(frozen=True, kw_only=True)
class Sides(FormField):
    """Two sides of a square, as `300 x 300`."""

    is_short: ClassVar[bool] = True

    def shown(self, value: object) -> str:
        return " x ".join(plain_number(side) for side in value) if isinstance(value, tuple) else ""

    def read(self, text: str) -> tuple[float, float] | None:
        return QUANTITIES["square_mm"].pair(text)


@dataclass(frozen=True, kw_only=True)
class Choose(FormField):
    """One of several. `UNSAID` among the options stands for nothing; `long`: chosen from a list; `into`: what makes
    of its word what the record holds."""

    options: Sequence[Option]
    long: bool = False
    into: Callable[[str], Any] = str

    def shown(self, value: object) -> str:
        if value is None or value == "":
            return UNSAID
        if isinstance(value, bool):
            return "yes" if value else "no"
        return str(value.value) if isinstance(value, Enum) else str(value)

    def row(self, value: object) -> Row:
        options, chosen = list(self.options), self.shown(value)
        choice = Choice(options, chosen, id=widget_id(self.name), long=self.long)
        return Row(self.label, choice, self.hint)

    def read(self, text: str) -> Any:
        return None if text == UNSAID else self.into(text)


@dataclass(frozen=True, kw_only=True)
class YesNo(Choose):
    """Yes, no, and where it may stay open, not said; what it is of may stand beside them as the hint."""

    def row(self, value: object) -> Row:
        row = super().row(value)
        row.widget.set_class(bool(self.hint), "short")
        return row

    def read(self, text: str) -> bool | None:
        return {"yes": True, "no": False}.get(text)


def value_at(record: object, name: str) -> Any:
    """The value of that name in a record, or in a record or a table within it; None if it is not there."""
    for part in name.split("."):
        record = record.get(part) if isinstance(record, Mapping) else getattr(record, part, None)
    return record


def with_values(record: R, values: Mapping[str, object]) -> R:
    """A record with these values in the place of its own; a value of None goes out of a table.

    >>> from inspect_tui.domain.records import Position
    >>> with_values(Position(frame=14), {"frame": 15.0, "words": "under the pump"})
    Position(frame=15.0, offset_mm=None, side=None, girth_mm=None, face=None, words='under the pump')
    """
    own: dict[str, Any] = {name: value for name, value in values.items() if "." not in name}
    within: dict[str, dict[str, object]] = {}
    for name, value in values.items():
        if "." in name:
            first, rest = name.split(".", 1)
            within.setdefault(first, {})[rest] = value
    own |= {name: with_values(value_at(record, name), those) for name, those in within.items()}
    if isinstance(record, Mapping):
        return {key: value for key, value in {**record, **own}.items() if value is not None}  # type: ignore[return-value]
    if isinstance(record, Record):
        # Checked as if it came from a file: words become the words of the trade again.
        return type(record).model_validate({**dict(record), **own})
    assert is_dataclass(record)
    assert not isinstance(record, type)
    return replace(record, **own)


def complaint_of(read: Callable[[str], object]) -> Callable[[str], str]:
    """What is wrong with a text by the rules of its reader, in one sentence; empty if nothing is."""

    def check(text: str) -> str:
        try:
            read(text)
        except NotUnderstood as error:
            return str(error)
        return ""

    return check
