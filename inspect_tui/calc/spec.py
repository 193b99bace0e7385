"""A topic of `calc` is a specification: its numbers, words and flags, and what is worked out from them.

The unit of a number is that of its name: `built_mm`, `area_m2`, `read_mv`. All are read by one parser, with whatever
unit is typed.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import click

from inspect_tui.calc.telling import as_json, as_text
from inspect_tui.commands import say
from inspect_tui.domain.quantities import Quantity
from inspect_tui.engineering.working import Working
from inspect_tui.errors import CannotCalculate, NotUnderstood

Result = tuple[dict[str, Any], Working]
# By the ending of a name, the longest first.
_UNITS = {
    "l_h": "L/h", "l_min": "L/min", "um": "µm",
    "g_kg": "g/kg", "mg_l": "mg/L", "a_m2": "A/m²", "m_s": "m/s", "mm2": "mm²", "ohm_m": "ohm m", "m2": "m²",
    "mm": "mm", "mv": "mV", "kg": "kg", "kn": "kn", "deg": "°", "kpa": "kPa", "mpa": "MPa", "ppb": "µg/L", "l": "L",
    "ohm": "ohm", "c": "°C", "a": "A", "m": "m", "percent": "%", "years": "years", "hours": "h", "volts": "V",
}  # fmt: skip


def quantity_of(name: str) -> Quantity:
    """The quantity that a name says.

    >>> quantity_of("built_mm").unit, quantity_of("chloride_mg_l").name, quantity_of("years").unit
    ('mm', 'chloride', 'years')
    """
    for ending, unit in _UNITS.items():
        if name == ending or name.endswith(f"_{ending}"):
            return Quantity(name.removesuffix(ending).strip("_").replace("_", " ") or name.replace("_", " "), unit)
    return Quantity(name.replace("_", " "), "")


class QuantityType(click.ParamType[float]):
    """A number of a quantity, with or without its unit."""

    def __init__(self, quantity: Quantity) -> None:
        self.quantity = quantity
        self.name = f"number, {quantity.unit}" if quantity.unit else "number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        try:
            number = self.quantity.read(str(value))
        except NotUnderstood as error:
            self.fail(str(error), param, ctx)
        if number is None:
            self.fail(self.quantity.wanted, param, ctx)
        return number


@dataclass(frozen=True)
class Number:
    """A number. Without a `flag` it is an argument. `many`: as many as are typed; `sides`: so many at once."""

    name: str
    flag: str = ""
    help: str = ""
    default: float | None = None
    required: bool = False
    many: bool = False
    sides: int = 1
    whole: bool = False

    @property
    def quantity(self) -> Quantity:
        about = quantity_of(self.name)
        return Quantity(about.name, about.unit, whole=self.whole)

    def parameter(self) -> click.Parameter:
        kind = QuantityType(self.quantity)
        if not self.flag:
            return click.Argument([self.name], type=kind, nargs=-1 if self.many else 1, required=True)
        return click.Option(
            [self.flag, self.name],
            type=(kind,) * self.sides if self.sides > 1 else kind,
            required=self.required,
            default=self.default,
            show_default=self.default is not None,
            multiple=self.many,
            help=self.help,
        )


@dataclass(frozen=True)
class Word:
    """One of several words, or any where no choices are given. Without a `flag` it is an argument."""

    name: str
    flag: str = ""
    choices: Sequence[str] = ()
    default: str | None = None
    required: bool = False
    help: str = ""

    def parameter(self) -> click.Parameter:
        kind = click.Choice(list(self.choices)) if self.choices else click.STRING
        if not self.flag:
            return click.Argument([self.name], type=kind, required=True)
        return click.Option(
            [self.flag, self.name],
            type=kind,
            required=self.required,
            default=self.default,
            show_default=bool(self.default),
            help=self.help,
        )


@dataclass(frozen=True)
class Flag:
    """Yes if it stands there. `flag` may name its opposite too: `--sail/--motor`, which may then be left open."""

    name: str
    flag: str
    help: str = ""

    def parameter(self) -> click.Parameter:
        either = "/" in self.flag
        return click.Option([self.flag, self.name], is_flag=True, default=None if either else False, help=self.help)


@dataclass(frozen=True)
class Topic:
    """One calculation: what it is, an example that works, what it takes, and what works it out.

    `work_out` gets what was typed by name, and gives the result and its working; what it adds to what was typed
    stands among the inputs.
    """

    name: str
    what: str
    example: str
    takes: Sequence[Number | Word | Flag]
    work_out: Callable[[dict[str, Any]], Result]

    def command(self) -> click.Command:
        def run(as_json_: bool, **given: Any) -> None:
            given = {name: list(value) if isinstance(value, tuple) else value for name, value in given.items()}
            try:
                result, working = self.work_out(given)
            except CannotCalculate as error:
                raise click.ClickException(str(error)) from None
            except (ArithmeticError, ValueError):
                sentence = "Nothing can be worked out from these numbers: one of them is too large or too small."
                raise click.ClickException(sentence) from None
            inputs = {name: value for name, value in given.items() if value not in (None, [])}
            say((as_json(inputs, result, working) if as_json_ else as_text(result, working)) + "\n")

        return click.Command(
            self.name,
            # A number with a minus is refused as a depth, not taken for an option.
            context_settings={"ignore_unknown_options": True},
            callback=run,
            params=[
                *(one.parameter() for one in self.takes),
                click.Option(["--json", "as_json_"], is_flag=True, help="For programs."),
            ],
            help=f"{self.what}\n\n\b\nExample: inspect-tui calc {self.name} {self.example}",
        )
