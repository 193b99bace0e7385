"""A book made of one expert case on wasted metal, and what this program decides of it."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any, Literal

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, Stamp, after
from inspect_tui.domain.edits.boat import add_compartment, keep_plate_field
from inspect_tui.domain.measuring.metal_records import Member, MemberKind
from inspect_tui.domain.records import Compartment, Finding, PlateField, Position
from inspect_tui.domain.words import (
    DesignCategory,
    Face,
    FloatState,
    Follows,
    HullMetal,
    Likelihood,
    PlateRegion,
    Rig,
    Severity,
    ThicknessSource,
    Who,
)
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.metal.verdict import Verdict
from inspect_tui.judgement.work.action import Action
from inspect_tui.store.checklist_files import load_checklists
from tests.conftest import START, finding_edit, new_book_edit

CASES: list[dict[str, Any]] = tomllib.loads(
    (Path(__file__).parent / "data" / "metal_cases.toml").read_text(encoding="utf-8")
)["case"]
BUILT_FROM = {"sound reading nearby": ThicknessSource.SOUND_PLATE}
KINDS = {
    "pit": "pitting", "cluster": "pitting", "weld-toe": "pitting", "ring": "pitting", "groove": "pitting",
    "two-rounds": "pitting", "crack": "crack", "even-loss": "thinning", "waterline": "thinning", "stray": "thinning",
    "paint": "thinning", "through": "pitting", "overplated": "old-patch",
}  # fmt: skip
FOLLOWS = {
    "weld-toe": Follows.WELD, "ring": Follows.RING, "lap": Follows.LAP, "rust-jacking": Follows.APART,
    "overplated": Follows.DOUBLED,
}  # fmt: skip
AREAS = {"deck": "deck", "tank": "water-tank", "keel": "hollow-keel", "bulkhead": "bulkheads", "transom": "transom"}


@dataclass(frozen=True)
class Decided:
    """What comes of a case here. `actions`: those of its finding, in order."""

    verdict: Verdict | None
    actions: tuple[Action, ...]
    text: str


def book_of(case: dict[str, Any]) -> Book:
    """The boat, one plate field, one finding on it, its readings round by round."""
    checklists = load_checklists()
    first = _day(case["rounds"][0], 0)
    stamp = Stamp(first, "Mattis")
    state = FloatState.AFLOAT if case["state"] == "afloat" else FloatState.HAULED_OUT
    settings = {"rig": Rig(case["rig"]), "hull_metal": HullMetal(case["metal"]), "float_state": state}
    edit = new_book_edit(checklists, stamp, case["id"], hull_length_m=case["hull_length_m"], areas=[], **settings)
    book = after(Book.empty(), edit, stamp)[0]
    known = ("waterline_length_m", "waterline_beam_m", "hull_draught_m", "displacement_kg")
    boat = book.boat.model_copy(
        update={name: case[name] for name in known}
        | {"design_category": DesignCategory.A, "speed_kn": 7.0, "inland": case.get("inland")}
    )
    book = after(book, edits.change_boat(boat), stamp)[0]
    area = AREAS.get(case["region"], "hull-sides" if case["waterline"] == "above" else "cabin-bilge")
    book = after(book, add_compartment(book, checklists.areas[area], "here"), stamp)[0]
    place = next(one for one in book.compartments.values() if one.name == "here")
    place = place.model_copy(update={"below_waterline": case["waterline"] != "above"})
    field = _field(case, book)
    if field is not None:
        book = after(book, keep_plate_field(field), stamp)[0]
        place = place.model_copy(update={"plate_fields": (field.id,)})
    book = after(book, edits.change_compartment(place), stamp)[0]
    kind = KINDS.get(case["subject"], "thinning")
    if any(one.get("holes") for one in case["rounds"]):
        kind = "hole"
    if any(one.get("crack_mm") for one in case["rounds"]):
        kind = "crack"
    if case["subject"] == "lap" and case.get("water_behind") and case["state"] == "afloat":
        kind = "flooding"
    if case.get("groove_depth_mm") or any(one.get("pits_mm") for one in case["rounds"]):
        kind = "pitting" if kind == "thinning" else kind
    # What was gauged is to be placed by its numbers, not by what somebody feared.
    gauged = load_checklists().kinds[kind].gauged and (field is not None or _has_member(case))
    feared = (Severity.NEGLIGIBLE, Likelihood.E) if gauged else (Severity.MARGINAL, Likelihood.C)
    extra = {"follows": FOLLOWS[case["subject"]]} if case["subject"] in FOLLOWS else {}
    new = {"kind": kind, **extra, "words": case["words"], "severity": feared[0], "likelihood": feared[1]}
    extent = {}
    for side in ("length_mm", "width_mm"):
        if (size := case.get(f"extent_{side}", case.get(f"groove_{side}"))) is not None:
            extent[f"extent_{side}"] = size
    position = Position(face=Face(case["face"]))
    book = after(book, finding_edit(book, stamp, place, position=position, **new, **extent), stamp)[0]
    if _has_member(case):
        book = after(book, edits.keep_member(_member(case, book, place.id)), stamp)[0]
    for number, round_ in enumerate(case["rounds"]):
        stamp = Stamp(_day(round_, number), "Mattis")
        if number:
            book = after(book, edits.open_round(book, stamp, "again"), stamp)[0]
        book = _read(book, stamp, case, round_, book.findings["1"])
    return book


def _has_member(case: dict[str, Any]) -> bool:
    """A bar or bolt; a rivet has no record of its own."""
    return bool({"web_built_mm", "diameter_built_mm"} & set(case.get("member", ()))) and case["member"][
        "kind"
    ] in set(MemberKind)


def _member(case: dict[str, Any], book: Book, compartment: str) -> Member:
    said = case["member"]
    alloy = {"A": "steel-a"}.get(case["alloy"], case["alloy"])
    return Member(
        id=book.new_key("members"),
        name="at frame 12",
        kind=MemberKind(said["kind"]),
        compartment=compartment,
        web_mm=said.get("web_built_mm") or said["diameter_built_mm"],
        as_built_from=ThicknessSource.DRAWING,
        web_height_mm=said.get("web_height_mm"),
        flange_width_mm=said.get("flange_width_mm"),
        flange_mm=said.get("flange_built_mm"),
        plate_mm=6.0 if "web_height_mm" in said else None,
        spacing_mm=500.0 if "web_height_mm" in said else None,
        alloy=alloy,
        temper="" if alloy == "steel-a" else {"5083": "H116", "6082": "T6", "6061": "T6"}[alloy],
    )


def _day(round_: dict[str, Any], number: int) -> datetime:
    return datetime.fromisoformat(round_["day"]).replace(tzinfo=START.tzinfo) + timedelta(hours=10 + number)


def _field(case: dict[str, Any], book: Book) -> PlateField | None:
    if case["region"] == "member" or "as_built_mm" not in case:
        return None
    alloy = {"A": "steel-a"}.get(case["alloy"], case["alloy"])
    return PlateField(
        id=book.new_key("plate_fields"),
        name="plate",
        region=PlateRegion(case["region"]),
        alloy=alloy,
        temper="" if alloy == "steel-a" else {"5083": "H116", "6082": "T6", "6061": "T6"}[alloy],
        as_built_mm=case["as_built_mm"],
        as_built_from=BUILT_FROM.get(case["as_built_from"]) or ThicknessSource(case["as_built_from"]),
        panel_width_mm=case.get("panel_width_mm"),
        panel_length_mm=case.get("panel_length_mm"),
        welded=True,
        up_side_percent=50,
        head_m=0.8 if "overflow_m" in case else None,
        overflow_m=case.get("overflow_m"),
    )


def _read(book: Book, stamp: Stamp, case: dict[str, Any], round_: dict[str, Any], finding: Finding) -> Book:
    place = book.compartments[finding.compartment]
    pits = [*round_.get("pits_mm", []), *([case["groove_depth_mm"]] if "groove_depth_mm" in case else [])]
    size = {}
    if "extent_length_mm" in case and "extent_width_mm" in case:
        size = {"patch_length_mm": case["extent_length_mm"], "patch_width_mm": case["extent_width_mm"]}
    if pits or round_.get("holes") or round_.get("soft"):
        details = edits.ReadingDetails(
            clean_metal=True, instrument_error=round_.get("pits_error_mm"), holed_through=int(round_.get("holes", 0)),
            soft=bool(round_.get("soft")), **size,
        )  # fmt: skip
        edit = edits.add_reading(book, stamp, place, "pits", pits, details, finding=finding)
        book = after(book, edit, stamp)[0]
    if round_.get("crack_mm"):
        details = edits.ReadingDetails(instrument_error=1.0)
        edit = edits.add_reading(book, stamp, place, "length", round_["crack_mm"], details, finding=finding)
        book = after(book, edit, stamp)[0]
    if _has_member(case):
        return _read_member(book, stamp, place, case["member"], round_)
    if round_.get("thickness_mm"):
        method = round_.get("method")
        details = edits.ReadingDetails(
            clean_metal=True, instrument_error=round_.get("thickness_error_mm"), paint_mm=round_.get("paint_mm"),
            method=method if method in ("ultrasonic", "ultrasonic through paint", "caliper") else None,
        )  # fmt: skip
        edit = edits.add_reading(
            book, stamp, place, "thickness", round_["thickness_mm"], details, finding=book.findings["1"]
        )
        book = after(book, edit, stamp)[0]
    return book


def _read_member(book: Book, stamp: Stamp, place: Compartment, said: dict[str, Any], round_: dict[str, Any]) -> Book:
    web = round_.get("thickness_mm") or [said[name] for name in ("web_left_mm", "diameter_left_mm") if name in said]
    flange = [said["flange_left_mm"]] if "flange_left_mm" in said else []
    parts: tuple[tuple[Literal["web", "flange"], list[float]], ...] = (("web", web), ("flange", flange))
    for part, values in parts:
        if values:
            details = edits.ReadingDetails(
                clean_metal=True, instrument_error=round_.get("thickness_error_mm"), method="caliper", part=part,
                member=next(iter(book.members)),
            )  # fmt: skip
            edit = edits.add_reading(book, stamp, place, "thickness", values, details, finding=book.findings["1"])
            book = after(book, edit, stamp)[0]
    return book


@cache
def decided(id: str) -> Decided:
    case = next(one for one in CASES if one["id"] == id)
    judged = Judged(book_of(case), load_checklists())
    mine = tuple(one for one in judged.worklist.actions if one.chalk == 1)
    verdict = judged.verdicts.of(judged.book.findings["1"])
    said = [one.what for one in mine] + [one.why for one in mine]
    text = " ".join([*said, *(words for _, words in verdict.lines())] if verdict else said)
    return Decided(verdict, mine, text)


def faults(case: dict[str, Any]) -> list[str]:
    """In what this program decides otherwise than the expert."""
    found = decided(case["id"])
    told = []
    accepted = {case["treatment"], *case["accept"]}
    ours = _treatment(found)
    # Only the welder can decide what the rule leaves to him.
    same = {"weld up": {"weld up", "welder decides"}}.get(ours, {ours})
    if not same & accepted:
        told.append(f"treatment {ours}, not {sorted(accepted)}")
    tiers = [one.tier.value for one in found.actions]
    if tiers and min(tiers, key=lambda one: TIERS.index(one)) not in case["tiers"]:
        told.append(f"tier {tiers}, not {case['tiers']}")
    return told


def _treatment(found: Decided) -> str:
    """Without readings that can be judged: whom the list sends there, or what it has measured."""
    if found.verdict is not None:
        return found.verdict.treatment.value
    if any(one.held for one in found.actions):
        # Nobody touches it until she is out, and then by who knows.
        return "ask"
    asked = {one.who for one in found.actions} & {Who.SURVEYOR, Who.YARD, Who.SPECIALIST}
    return "ask" if asked else "no treatment"


TIERS = ["Now", "Today", "Before she floats", "Before she sails", "This haul-out", "Next haul-out", "Watch"]
