"""How a calculation is asked for and told: numbers with comma or dot, `--json`, a sentence for what cannot be."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Mapping
from dataclasses import asdict
from functools import wraps
from typing import Any, TypeVar

import click

from inspect_tui.engineering.errors import CannotCalculate
from inspect_tui.engineering.working import Working

F = TypeVar("F", bound=Callable[..., Any])


class Number(click.ParamType[float]):
    """A number with a comma or a dot."""

    name = "number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        try:
            number = float(str(value).replace(",", "."))
        except ValueError:
            self.fail(f'"{value}" is not a number.', param, ctx)
        if not math.isfinite(number) or abs(number) > LARGEST:
            self.fail(f'"{value}" is no number of anything on a boat.', param, ctx)
        return number


LARGEST = 1e9
NUMBER = Number()
# A number with a minus is refused as a depth, not taken for an option.
NEGATIVE = {"ignore_unknown_options": True}


def telling(command: F) -> F:
    """Add --json, and turn what cannot be calculated into one sentence and exit code 1."""

    @click.option("--json", "as_json", is_flag=True, help="For programs.")
    @wraps(command)
    def run(*args: Any, as_json: bool, **options: Any) -> None:
        try:
            inputs, result, working = command(*args, **options)
        except CannotCalculate as error:
            raise click.ClickException(str(error)) from None
        except (ArithmeticError, ValueError):
            raise click.ClickException(
                "These numbers cannot be calculated with: one of them is too large or small."
            ) from None
        click.echo(_as_json(inputs, result, working) if as_json else _as_text(result, working))

    return run  # type: ignore[return-value]


def _as_json(inputs: Mapping[str, Any], result: Mapping[str, Any], working: Working) -> str:
    told = {
        "inputs": {name: value for name, value in inputs.items() if value is not None},
        "result": result,
        "working": [{**asdict(step), "source": str(step.source)} for step in working.steps],
        "sources": working.sources(),
        "not_covered": list(working.not_covered),
    }
    return json.dumps(told, ensure_ascii=False, indent=2, default=list)


def _as_text(result: Mapping[str, Any], working: Working) -> str:
    told = [f"{name:<28} {_shown(value)}" for name, value in result.items()]
    told += ["", "working"]
    told += [f"  {name:<26} {text}" if name else f"  {'':<26} {text}" for name, text in working.lines()]
    return "\n".join(told)


def _shown(value: Any) -> str:
    if value is None:
        return "–"
    if isinstance(value, float):
        return f"{value:.4g}"
    return "; ".join(map(str, value)) if isinstance(value, list | tuple) else str(value)
