"""The book as tables for a spreadsheet (RFC 4180): one row a record, units in the headings, text never a formula."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence

from inspect_tui.domain import shell, walk, zones
from inspect_tui.domain.measuring.measured import ashore
from inspect_tui.domain.measuring.readings import KINDS
from inspect_tui.domain.plain import one_line, spreadsheet_cell
from inspect_tui.domain.reading_records import PitReading, Reading, ThicknessReading
from inspect_tui.domain.records import Finding
from inspect_tui.domain.words import Zone
from inspect_tui.handover.parts.findings import verdict_words
from inspect_tui.handover.parts.subject import Subject

Row = Mapping[str, object]


def csv_text(fields: Sequence[str], rows: Iterable[Row]) -> str:
    """Rows under the headings, lines ended by CR LF; lists are joined by semicolons, nothing is an empty cell."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(fields)
    for row in rows:
        writer.writerow([_cell(row.get(name)) for name in fields])
    return out.getvalue()


def _cell(value: object) -> object:
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case str():
            return spreadsheet_cell(one_line(value))
        case list() | tuple():
            joined = "; ".join(str(_cell(one)) for one in value)
            return spreadsheet_cell(joined) if any(isinstance(one, str) for one in value) else joined
        case float():
            return f"{value:.10g}"
    return value


# `out_mm`: along the plate from the centreline, to port below 0.
POSITION = ("zone", "frame", "offset_mm", "from_bow_mm", "side", "girth_mm", "out_mm", "face", "spot")


def _position(subject: Subject, of: Finding | Reading, zone: Zone) -> dict[str, object]:
    boat, position = subject.book.boat, of.position
    place = shell.on_shell(boat, position, subject.book.compartments.get(of.compartment))
    return {
        "zone": zone.value,
        "frame": position.frame,
        "offset_mm": position.offset_mm,
        "from_bow_mm": shell.from_bow_mm(boat, position),
        "side": position.side.value if position.side else None,
        "girth_mm": position.girth_mm,
        "out_mm": place.out_mm if place else None,
        "face": position.face.value if position.face else None,
        "spot": position.words,
    }


FINDINGS = (
    "chalk", "compartment", "kind", "words", "severity", "likelihood", "status", "tier", *POSITION,
    "extent_length_mm", "extent_width_mm", "verdict", "verdict_words", "decided", "override", "override_reason",
    "photos", "found", "found_by",
)  # fmt: skip


def findings_table(subject: Subject) -> str:
    return csv_text(FINDINGS, (_finding_row(subject, one) for one in _by_chalk(subject)))


def _by_chalk(subject: Subject) -> list[Finding]:
    return sorted(subject.book.findings.values(), key=lambda one: one.chalk)


def _finding_row(subject: Subject, finding: Finding) -> Row:
    verdict = subject.judged.verdicts.of(finding)
    tier = subject.tier_of(finding)
    files = [subject.book.photos[id].file for id in finding.photos if id in subject.book.photos]
    return {
        "chalk": finding.chalk,
        "compartment": subject.place_name(finding.compartment),
        "kind": finding.kind,
        "words": finding.words,
        "severity": finding.severity.value,
        "likelihood": finding.likelihood.value,
        "status": finding.status.value,
        "tier": tier.value if tier else "closed",
        **_position(subject, finding, zones.zone_of_finding(subject.book, subject.checklists, finding)),
        "extent_length_mm": finding.extent_length_mm,
        "extent_width_mm": finding.extent_width_mm,
        "verdict": verdict.treatment.value if verdict else None,
        "verdict_words": verdict_words(verdict) if verdict else None,
        "decided": finding.treatment.value if finding.treatment else None,
        "override": finding.override.treatment.value if finding.override else None,
        "override_reason": finding.override.reason if finding.override else None,
        "photos": files,
        "found": finding.found.when.isoformat(),
        "found_by": finding.found.by,
    }


METERED = ("electrode", "water_salinity_g_kg", "water_chloride_mg_l", "without_anodes", "circuit", "across", "lamp")
READINGS = (
    "reading", "chalk", "compartment", "plate_field", "member", "part", "kind", "unit", "values", "holed_through",
    "soft", "patch_length_mm", "patch_width_mm", "plan", "square", "every_pit", "worst_chosen", "method", "paint_mm",
    *POSITION, "instrument", "instrument_error",
    "bright_metal", *METERED, "read_ashore", "round", "taken", "by", "note",
)  # fmt: skip


def readings_table(subject: Subject) -> str:
    rows = []
    for reading in sorted(subject.book.readings.values(), key=lambda one: (one.when, one.id)):
        about = KINDS[reading.kind]
        row: dict[str, object] = {
            "reading": reading.id,
            "chalk": reading.finding,
            "compartment": subject.place_name(reading.compartment),
            "plate_field": reading.plate_field,
            "member": reading.member,
            "kind": reading.kind,
            "unit": about.unit,
            "values": list(getattr(reading, about.values)),
            **_position(subject, reading, zones.zone_of_reading(subject.book, subject.checklists, reading)),
            "instrument": reading.instrument,
            "instrument_error": reading.instrument_error,
            "bright_metal": reading.clean_metal,
            "read_ashore": ashore(subject.book.boat, reading) or None,
            "round": subject.book.round_number(reading.round),
            "taken": reading.when.isoformat(),
            "by": reading.by,
            "note": reading.note,
        }
        if isinstance(reading, PitReading):
            row |= {
                "holed_through": reading.holed_through,
                "soft": reading.soft,
                "patch_length_mm": reading.patch_length_mm,
                "patch_width_mm": reading.patch_width_mm,
                "method": reading.method,
                **{name: getattr(reading, name) for name in ("plan", "square", "every_pit", "worst_chosen")},
            }
        elif isinstance(reading, ThicknessReading):
            row |= {"method": reading.method, "paint_mm": reading.paint_mm, "part": reading.part}
        for name in METERED:
            row[name] = getattr(reading, name, None)
        rows.append(row)
    return csv_text(READINGS, rows)


PLATES = (
    "plate_field", "name", "region", "alloy", "temper", "as_built_mm", "as_built_from", "area_m2", "mean_left_mm",
    "least_mm", "loss_mm", "loss_percent", "required_mm", "deepest_pit_mm", "bound_if_the_rest_is_like_these_mm",
    "bound_confidence",
    "hole_chance_to_next_haul_out", "verdict", "doubts",
)  # fmt: skip


def plates_table(subject: Subject) -> str:
    rows: list[Row] = []
    for judged in subject.judged.verdicts.fields.values():
        field, loss, found = judged.field, judged.loss, judged.estimate
        rows.append(
            {
                "plate_field": field.id,
                "name": field.name,
                "region": field.region.value,
                "alloy": field.alloy,
                "temper": field.temper,
                "as_built_mm": field.as_built_mm,
                "as_built_from": field.as_built_from.value if field.as_built_from else None,
                "area_m2": field.area_m2,
                "mean_left_mm": loss.left_mm if loss else None,
                "least_mm": loss.thinnest_mm if loss else None,
                "loss_mm": loss.loss_mm if loss else None,
                "loss_percent": loss.loss_percent if loss else None,
                "required_mm": judged.required.check.required_mm if judged.required.check else None,
                "deepest_pit_mm": judged.deepest_mm,
                "bound_if_the_rest_is_like_these_mm": found.bound_told_mm if found else None,
                "bound_confidence": found.confidence if found else None,
                "hole_chance_to_next_haul_out": judged.hole_chance_later if found and not found.withdrawn else None,
                "verdict": judged.verdict.treatment.value if judged.verdict else None,
                "doubts": list(judged.warnings),
            }
        )
    return csv_text(PLATES, rows)


UNSEEN = ("compartment", "frames", "question", "code", "note", "answered", "by")


def unseen_table(subject: Subject) -> str:
    """Every question answered 'unseen', and every compartment of which nothing was asked yet."""
    rows: list[Row] = []
    for place in subject.book.bow_to_stern():
        done = walk.progress(subject.book, subject.checklists, place)
        frames = walk.frames_words(place)
        if done.untouched:
            rows.append({"compartment": place.name, "frames": frames, "question": "all", "code": "not walked"})
        for prompt, reason in done.unseen:
            answer = walk.answer_of(subject.book, place.id, prompt.key)
            rows.append(
                {
                    "compartment": place.name,
                    "frames": frames,
                    "question": prompt.ask,
                    "code": reason.value if reason else "",
                    "note": answer.note if answer else "",
                    "answered": answer.when.isoformat() if answer else "",
                    "by": answer.by if answer else "",
                }
            )
    return csv_text(UNSEEN, rows)
