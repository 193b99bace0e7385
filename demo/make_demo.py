"""Build the demo book from `sandmartin.toml`: `python demo/make_demo.py [FOLDER]`.

The same data gives the same bytes: all times come from the data. A test builds it anew and compares.
"""

from __future__ import annotations

import sys
import tempfile
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, Literal

import tomli

from inspect_tui.digests import digest_of_file
from inspect_tui.domain import edits, walk
from inspect_tui.domain.boat_words import Feature
from inspect_tui.domain.book import Edit, Put, Stamp
from inspect_tui.domain.identity import Identity, Key
from inspect_tui.domain.knowledge.areas import Area, By, Prompt
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.named import Kinds, Prompts
from inspect_tui.domain.measuring.metal_records import Member, SamplingPlan
from inspect_tui.domain.measuring.readings import parse_values
from inspect_tui.domain.records import Compartment, Datum, Lifted, PartOut, PlateField, Position
from inspect_tui.domain.words import (
    Across,
    Face,
    FloatState,
    HullMetal,
    Likelihood,
    Need,
    Rig,
    Said,
    Severity,
    Side,
    Status,
    Treatment,
    UnseenReason,
)
from inspect_tui.domain.zones import zone_of_finding
from inspect_tui.handover.writers.pictures import camera_of
from inspect_tui.judgement.causes.patches import signs_shown
from inspect_tui.judgement.electricity.hunted import hunting_place
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.work.action import FindingRef, Task, key_of
from inspect_tui.judgement.work.completion import complete
from inspect_tui.store.book_file import BookFile, create_book
from inspect_tui.store.checklist_files import load_checklists

HERE = Path(__file__).parent
BOOK_NAME = "sandmartin.hullbook"
PHOTOS = "sandmartin-photos"
SECONDS_A_QUESTION = 47
IDENTITY = Identity(book_id="5a6dba47195aac4b66d31e0d8c8a1e2f", copy_name="demo")


class ScriptedClock:
    """Stands where it is put, and moves on a little with each answer."""

    def __init__(self, start: datetime) -> None:
        self.time = start

    def __call__(self) -> datetime:
        return self.time

    def tick(self) -> None:
        self.time += timedelta(seconds=SECONDS_A_QUESTION)


def build(path: Path) -> None:
    """Write the demo book to `path`, which must not exist."""
    data = tomli.loads((HERE / "sandmartin.toml").read_text(encoding="utf-8"))
    checklists = load_checklists()
    boat = data["boat"]
    clock = ScriptedClock(data["afloat"]["opened"])
    areas: list[Area] = [checklists.areas[place["area"]] for place in data["place"]]
    new = edits.NewBoat(
        boat["name"],
        Rig(boat["rig"]),
        HullMetal(boat["hull_metal"]),
        boat["hull_length_m"],
        FloatState.AFLOAT,
    )
    start = edits.start_book(Stamp(clock(), boat["by"]), IDENTITY, new, areas, data["afloat"]["purpose"])
    opened = create_book(path, start, clock, boat["by"])
    _particulars(opened, boat)
    places = [
        _named(opened, key, place) for key, place in zip(list(opened.book.compartments), data["place"], strict=True)
    ]
    _afloat(opened, clock, data["afloat"])
    opened.record(edits.float_or_haul(opened.book, FloatState.HAULED_OUT, boat["hauled_day"]))
    clock.time = boat["opened"]
    opened.record(edits.open_round(opened.book, opened.stamp(), boat["purpose"]))
    _plates(opened, data["plate"], {place["area"]: at for place, at in zip(data["place"], places, strict=True)})
    later: list[tuple[datetime, int, dict[str, Any]]] = []
    walked = [(place["begin"], at) for at, place in enumerate(data["place"]) if "begin" in place]
    *walks, last = sorted(walked)
    for begin, at in walks:
        later = _work(opened, clock, later, begin)
        later += _walk(opened, checklists, clock, places[at], data["place"][at])
    _work(opened, clock, later, None)
    for plate in data["plate"]:
        if "patches" in plate:
            _sample(opened, clock, plate, next(one for one in places if one.area == plate["sampled_in"]))
    for member in data["member"]:
        _member(opened, clock, member, next(one for one in places if one.area == member["in"]))
    for photo in data["photo"]:
        _photo(opened, clock, photo)
        _recorded(opened, checklists, photo["chalk"])
    for part in data["part"]:
        _taken_out(opened, part, next(one for one in places if one.area == part["place"]))
    for patch in data["patch"]:
        _patch(opened, checklists, clock, patch, next(one for one in places if one.area == patch["place"]))
    here = opened.book.here
    _walk(opened, checklists, clock, places[last[1]], data["place"][last[1]])
    if here is not None:
        opened.record(Edit("", (edits.stand_here(opened.book, opened.stamp(), here.compartment, here.prompt),)))
    opened.close()


def _afloat(opened: BookFile, clock: ScriptedClock, data: dict[str, Any]) -> None:
    """Potentials of the hull, and a circuit hunt, from before she was hauled out."""
    opened.record(edits.with_circuits(opened.book, data["circuits"]))
    place = hunting_place(opened.book)
    assert place is not None
    for one in (*data["potentials"], *data["hunt"]):
        clock.time = one["when"]
        details = edits.ReadingDetails(
            prompt=Prompts.CIRCUIT_HUNT if "on" in one else Prompts.REST_POTENTIAL,
            circuit=one.get("on", ""),
            electrode=data["electrode"],
            water_salinity_g_kg=data["salinity"],
            instrument=data["instrument"],
            note=one.get("note", ""),
            without_anodes=one.get("without_anodes"),
            typed=one["mv"],
        )
        values = parse_values(one["mv"], "potential")
        opened.record(edits.add_reading(opened.book, opened.stamp(), place, "potential", values, details))


def _patch(
    opened: BookFile, checklists: Checklists, clock: ScriptedClock, data: dict[str, Any], place: Compartment
) -> None:
    """An old patch that no question brought up, and what it showed if it was lifted."""
    clock.time = data["when"]
    new = edits.NewFinding(Kinds.OLD_PATCH, data["words"], Severity.MARGINAL, Likelihood.C, **_where(data))
    opened.record(edits.write_finding(opened.book, opened.stamp(), place, new))
    if "lifted" in data:
        _lift(opened, checklists, Key.of(opened.book.newest("findings")).number, data["lifted"])


def _lift(opened: BookFile, checklists: Checklists, chalk: int, data: dict[str, Any]) -> None:
    stamp = opened.stamp()
    lifted = Lifted.model_validate({"when": stamp.when, "by": stamp.by, **data})
    seen, absent = signs_shown(lifted)
    finding = opened.book.findings[str(chalk)]
    below = zone_of_finding(opened.book, checklists, finding).wet
    opened.record(edits.lift_patch(opened.book, finding, lifted, seen, absent, below=below))


def _where(data: dict[str, Any]) -> dict[str, Any]:
    """Position and extent of a finding."""
    at = data["at"]
    long, wide = data.get("size", (None, None))
    position = Position(
        frame=at["frame"],
        offset_mm=at.get("offset"),
        side=Side(at["side"]),
        girth_mm=at.get("girth"),
        face=Face(at["face"]),
        words=at.get("spot", ""),
    )
    return {"position": position, "extent_length_mm": long, "extent_width_mm": wide}


def _photo(opened: BookFile, clock: ScriptedClock, data: dict[str, Any]) -> None:
    """A picture that `make_photos.py` drew, put to its finding."""
    clock.tick()
    path = HERE / PHOTOS / data["file"]
    finding = opened.book.findings[str(data["chalk"])]
    edit = edits.attach_photo(
        opened.book,
        opened.stamp(),
        finding,
        file=path.name,
        sha256=digest_of_file(path),
        taken=camera_of(path).taken,
        original=data["original"],
        caption=data["caption"],
    )
    opened.record(edit)


def _recorded(opened: BookFile, checklists: Checklists, chalk: int) -> None:
    """Whoever photographed it recorded it too, before it was cleaned."""
    key = key_of(Task.RECORD, FindingRef(chalk))
    record = Judged(opened.book, checklists).worklist.by_key.get(key)
    if record is not None:
        opened.record(complete(opened.book, opened.stamp(), record, edits.Repair()))


def _taken_out(opened: BookFile, data: dict[str, Any], place: Compartment) -> None:
    """Something that lies in the shed until it goes back."""
    stamp = opened.stamp()
    fields = {name: value for name, value in data.items() if name != "place"}
    key = opened.book.new_key("parts")
    part = PartOut.model_validate({**fields, "id": key, "compartment": place.id, "when": stamp.when, "by": stamp.by})
    opened.record(edits.take_out_part(part))


def _plates(opened: BookFile, plates: list[dict[str, Any]], places: dict[str, Compartment]) -> None:
    """The plate fields, and which compartments lie on them."""
    for plate in plates:
        fields = {name: value for name, value in plate.items() if name in PlateField.model_fields}
        opened.record(edits.keep_plate_field(PlateField.model_validate(fields)))
        for area in plate["lies"]:
            place = opened.book.compartments[places[area].id]
            lies = (*place.plate_fields, plate["id"])
            opened.record(edits.change_compartment(place.model_copy(update={"plate_fields": lies})))


def _sample(opened: BookFile, clock: ScriptedClock, plate: dict[str, Any], place: Compartment) -> None:
    """Squares that chance drew, measured to learn of the rest of a plate field."""
    clock.time = plate["drawn"]
    stamp, (long, wide) = opened.stamp(), plate["patch"]
    plan = SamplingPlan(
        id=opened.book.new_key("plans"),
        plate_field=plate["id"],
        length_mm=plate["sheet"][0],
        girth_mm=plate["sheet"][1],
        square_length_mm=long,
        square_girth_mm=wide,
        wanted=len(plate["patches"]),
        seed="",
        drawn=(),
        when=stamp.when,
        by=stamp.by,
    )
    opened.record(edits.draw_squares(opened.book, plan))
    drawn = opened.book.plans[plan.id].drawn
    clock.time = plate["sampled"]
    for square, typed in zip(drawn, plate["patches"], strict=False):
        clock.tick()
        values = () if typed == "none" else parse_values(typed, "pits")
        details = edits.ReadingDetails(
            typed=typed,
            plate_field=plate["id"],
            patch_length_mm=long,
            patch_width_mm=wide,
            instrument="bridge gauge",
            instrument_error=0.1,
            clean_metal=True,
            every_pit=False,
            method="needle or bridge",
            plan=plan.id,
            square=square,
        )
        edit = edits.add_reading(opened.book, opened.stamp(), place, "pits", values, details)
        opened.record(edit)


def _member(opened: BookFile, clock: ScriptedClock, data: dict[str, Any], place: Compartment) -> None:
    """A frame or floor, and what was gauged of its parts."""
    clock.time = data["gauged"]
    fields = {name: value for name, value in data.items() if name in Member.model_fields}
    opened.record(edits.keep_member(Member.model_validate({**fields, "compartment": place.id})))
    parts: tuple[Literal["web", "flange"], ...] = ("web", "flange")
    for part in parts:
        clock.tick()
        details = edits.ReadingDetails(
            typed=data[part],
            member=data["id"],
            part=part,
            instrument="caliper",
            instrument_error=0.1,
            method="caliper",
            clean_metal=True,
        )
        values = parse_values(data[part], "thickness")
        opened.record(edits.add_reading(opened.book, opened.stamp(), place, "thickness", values, details))


def _work(
    opened: BookFile, clock: ScriptedClock, later: list[tuple[datetime, int, dict[str, Any]]], until: datetime | None
) -> list[tuple[datetime, int, dict[str, Any]]]:
    """What was done to findings up to a time, in the order of time; gives back what comes after it."""
    due = sorted((one for one in later if until is None or one[0] <= until), key=lambda one: one[:2])
    for when, chalk, step in due:
        clock.time = when
        finding = opened.book.findings[str(chalk)]
        treatment = Treatment(step["treatment"]) if "treatment" in step else None
        stamp = opened.stamp()
        opened.record(
            edits.move_finding(opened.book, stamp, finding, Status(step["status"]), step.get("note", ""), treatment)
        )
    return [one for one in later if one not in due]


def _particulars(opened: BookFile, boat: dict[str, Any]) -> None:
    plain = ("year_built", "waterline_length_m", "waterline_beam_m", "hull_draught_m", "displacement_kg",
             "design_category", "speed_kn", "deadrise_deg", "water", "negative_tied")  # fmt: skip
    record = opened.book.boat
    first = record.float_history[0].model_copy(update={"day": boat["float_day"]})
    fields = {name: boat[name] for name in plain}
    fields |= {
        "float_history": (first,),
        "datum": Datum(origin=boat["origin"], frame_spacing_mm=boat["frame_spacing_mm"]),
        "features": {Feature(name): has for name, has in boat["features"].items()},
    }
    opened.record(edits.change_boat(type(record).model_validate({**record.model_dump(), **fields})))


def _named(opened: BookFile, key: str, place: dict[str, Any]) -> Compartment:
    compartment = opened.book.compartments[key].model_copy(
        update={
            "name": place["name"],
            "girth_from_mm": place["out"][0] if "out" in place else None,
            "girth_to_mm": place["out"][1] if "out" in place else None,
            "frame_from": float(place["from"]),
            "frame_to": float(place["to"]),
            "side": Side(place["side"]) if "side" in place else None,
        }
    )
    opened.record(edits.change_compartment(compartment))
    return compartment


def _walk(
    opened: BookFile, checklists: Checklists, clock: ScriptedClock, compartment: Compartment, place: dict[str, Any]
) -> list[tuple[datetime, int, dict[str, Any]]]:
    """Answer the prompts of one compartment in order; give back what happens to its findings later."""
    clock.time = place["begin"]
    findings = {one["prompt"]: one for one in place.get("finding", [])}
    unseen, not_fitted, notes = place.get("unseen", {}), place.get("not_fitted", []), place.get("notes", {})
    prompts = walk.prompts_of(checklists, opened.book, compartment)
    asked = {*findings, *unseen, *not_fitted}
    unknown = {*findings, *unseen, *not_fitted, *notes} - {prompt.key for prompt in prompts}
    if unknown:
        raise ValueError(f"{compartment.name}: no such prompts: {sorted(unknown)}")
    later: list[tuple[datetime, int, dict[str, Any]]] = []
    for prompt in prompts:
        stand = edits.stand_here(opened.book, opened.stamp(), compartment.id, prompt.key)
        if prompt.key == place.get("stop_before"):
            opened.record(Edit("", (stand,)))
            break
        if walk.answer_of(opened.book, compartment.id, prompt.key) is not None:
            continue
        if prompt.unless and prompt not in walk.prompts_of(checklists, opened.book, compartment):
            continue
        if prompt.by is By.GAUGE and prompt.key not in asked and "all_unseen" not in place:
            continue
        clock.tick()
        if prompt.glance and ("all_unseen" in place or place["seen"] < walk.LOOK_SHARE):
            continue
        if prompt.glance and not asked:
            stamp, met = opened.stamp(), tuple(Need)
            opened.record(edits.say_by_look(opened.book, stamp, checklists, compartment, prompt, met))
        elif prompt.share:
            opened.record(_share(opened, compartment, prompt, place))
        elif prompt.key in findings:
            chalk = _finding(opened, checklists, compartment, prompt, findings[prompt.key], stand)
            later += [(step["when"], chalk, step) for step in findings[prompt.key].get("then", [])]
        else:
            reason = unseen.get(prompt.key, place.get("all_unseen"))
            said = Said.UNSEEN if reason else Said.NOT_FITTED if prompt.key in not_fitted else Said.SOUND
            # Whoever wrote a finding here does not call the place free of its kind.
            sums_up = prompt.area == walk.EVERYWHERE and (prompt.kind != Kinds.PITTING or prompt.key == Prompts.PITS)
            if prompt.glance and said is Said.SOUND:
                said = Said.FINDING
            if said is Said.SOUND and sums_up and prompt.kind in {one["kind"] for one in place.get("finding", [])}:
                said = Said.FINDING
            edit = edits.say(
                opened.book,
                opened.stamp(),
                compartment,
                prompt,
                said,
                reason=UnseenReason(reason) if reason else None,
                note=notes.get(prompt.key),
            )
            opened.record(Edit(edit.words, (*edit.puts, stand)))
    return later


def _share(opened: BookFile, compartment: Compartment, prompt: Prompt, place: dict[str, Any]) -> Edit:
    hid = (UnseenReason(place["hid"]),) if "hid" in place else ()
    return edits.seen_share(opened.book, opened.stamp(), compartment, prompt, place["seen"], hid)


def _finding(
    opened: BookFile,
    checklists: Checklists,
    compartment: Compartment,
    prompt: Prompt,
    data: dict[str, Any],
    stand: Put,
) -> int:
    new = edits.NewFinding(
        data["kind"], data["words"], Severity(data["severity"]), Likelihood(data["likelihood"]), **_where(data)
    )
    chalk: int = data["chalk"]
    edit = edits.write_finding(opened.book, opened.stamp(), compartment, new, prompt=prompt, chalk=chalk)
    opened.record(Edit(edit.words, (*edit.puts, stand)))
    finding = opened.book.findings[str(chalk)]
    if "beside" in data:
        opened.record(edits.name_beside(finding, data["beside"]))
    for sign, there in data.get("signs", {}).items():
        opened.record(edits.tick_sign(opened.book.findings[str(chalk)], sign, there))
    if "lifted" in data:
        _lift(opened, checklists, chalk, data["lifted"])
    for reading in data.get("readings", []):
        finding = opened.book.findings[str(chalk)]
        long, wide = reading.get("patch", (None, None))
        details = edits.ReadingDetails(
            prompt=prompt.key,
            typed=reading["typed"],
            position=finding.position,
            instrument=reading.get("instrument", ""),
            instrument_error=reading.get("error"),
            clean_metal=reading.get("clean"),
            across=Across(reading["across"]) if "across" in reading else None,
            patch_length_mm=long,
            patch_width_mm=wide,
        )
        kind, values = reading["kind"], parse_values(reading["typed"], reading["kind"])
        stamp = opened.stamp()
        opened.record(edits.add_reading(opened.book, stamp, compartment, kind, values, details, finding=finding))
    return chalk


if __name__ == "__main__":
    target = Path(sys.argv[1] if len(sys.argv) > 1 else HERE) / BOOK_NAME
    with tempfile.TemporaryDirectory() as folder:
        build(Path(folder) / BOOK_NAME)
        target.write_bytes((Path(folder) / BOOK_NAME).read_bytes())
    print(target)
