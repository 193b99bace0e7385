"""The whole book and what is judged of it as JSON, and the JSON Schema (2020-12) that tells its shape."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from pydantic import TypeAdapter

from inspect_tui.domain.book import ADAPTERS, dump
from inspect_tui.domain.chain import DESK
from inspect_tui.handover.model import Proof
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.handover.writers.lists import action_row

VERSION = 1
_TEXT = {"type": "string"}
_TEXT_OR_NOTHING = {"type": ["string", "null"]}
_VERDICT = {
    "type": "object",
    "required": ["about", "id", "treatment", "severity", "likelihood", "numbers", "rules", "working"],
    "properties": {
        "about": {"enum": ["finding", "plate field"]},
        "id": _TEXT,
        "treatment": _TEXT,
        "severity": _TEXT,
        "likelihood": _TEXT,
        "numbers": _TEXT,
        "rules": {"type": "array", "items": _TEXT},
        "doubts": {"type": "array", "items": _TEXT},
        "working": {"type": "array", "items": {"type": "array", "items": _TEXT, "minItems": 2, "maxItems": 2}},
    },
}
_ACTION = {
    "type": "object",
    "required": ["rank", "tier", "chalk", "compartment", "what", "where", "why", "who", "after"],
    "properties": {
        "rank": {"type": "integer"},
        "chalk": {"type": ["integer", "null"]},
        "compartment": _TEXT_OR_NOTHING,
        "likelihood": _TEXT_OR_NOTHING,
        "below_waterline": {"type": "boolean"},
        "after": {"type": "array", "items": _TEXT},
        **dict.fromkeys(("tier", "what", "where", "why", "who", "step", "severity", "risk"), _TEXT),
    },
}


def export(subject: Subject, proof: Proof) -> str:
    """Records as they are stored, by table and key; verdicts with their working; the worklist."""
    verdicts = subject.judged.verdicts
    rows = [
        _verdict_row("finding", str(finding.chalk), verdict)
        for finding in subject.book.findings.values()
        if (verdict := verdicts.of(finding))
    ]
    rows += [_verdict_row("plate field", key, one.verdict) for key, one in verdicts.fields.items() if one.verdict]
    told = {
        "format": "inspect-tui export",
        "version": VERSION,
        "proof": {
            "digest": proof.digest,
            "head": proof.head,
            "lines": proof.lines,
            "as_of": proof.as_of,
            "program": f"{proof.program}, made of {proof.made_of}",
        },
        "book": {
            name: {key: dump(row) for key, row in rows.items()}
            for name, rows in subject.book.tables.items()
            if name not in DESK
        },
        "unreadable": [
            {"table": row.table, "key": row.key, "why": row.why, "raw": row.raw} for row in subject.book.unreadable
        ],
        "verdicts": rows,
        "worklist": [action_row(action, subject.listed) for action in subject.listed.actions],
    }
    return json.dumps(told, ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def _verdict_row(about: str, id: str, verdict: Any) -> dict[str, object]:
    return {
        "about": about,
        "id": id,
        "treatment": verdict.treatment.value,
        "severity": verdict.severity.value,
        "likelihood": verdict.likelihood.value,
        "numbers": verdict.numbers,
        "rules": [rule.id for rule in verdict.rules],
        "doubts": list(verdict.warnings),
        "working": [list(line) for line in verdict.lines()],
    }


@cache
def export_schema() -> str:
    """The JSON Schema of the export, from the records themselves."""
    names = [name for name in ADAPTERS if name not in DESK]
    refs, shared = TypeAdapter.json_schemas(
        [(name, "serialization", ADAPTERS[name]) for name in names], ref_template="#/$defs/{model}"
    )
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Export of an inspect-tui book",
        "type": "object",
        "required": ["format", "version", "proof", "book", "verdicts", "worklist"],
        "properties": {
            "format": {"const": "inspect-tui export"},
            "version": {"const": VERSION},
            "proof": {
                "type": "object",
                "required": ["digest", "head", "lines", "as_of", "program"],
                "properties": {
                    "digest": {"type": "string", "pattern": "^[0-9a-f]{64}$"},
                    "head": {"type": "string", "pattern": "^([0-9a-f]{64})?$"},
                    "lines": {"type": "integer", "minimum": 0},
                    "as_of": _TEXT,
                    "program": _TEXT,
                },
            },
            "book": {
                "type": "object",
                "required": names,
                "properties": {
                    name: {"type": "object", "additionalProperties": refs[name, "serialization"]} for name in names
                },
            },
            "unreadable": {"type": "array"},
            "verdicts": {"type": "array", "items": _VERDICT},
            "worklist": {"type": "array", "items": _ACTION},
        },
        **shared,
    }
    return json.dumps(schema, ensure_ascii=False, indent=1) + "\n"
