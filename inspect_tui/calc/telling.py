"""How a calculation is told: for people, and for programs."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from inspect_tui.engineering.working import Working


def as_json(inputs: Mapping[str, Any], result: Mapping[str, Any], working: Working) -> str:
    told = {
        "inputs": inputs,
        "result": result,
        "working": [{**asdict(step), "source": str(step.source)} for step in working.steps],
        "sources": working.sources(),
        "not_covered": list(working.not_covered),
    }
    return json.dumps(told, ensure_ascii=False, indent=2, default=list)


def as_text(result: Mapping[str, Any], working: Working) -> str:
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
