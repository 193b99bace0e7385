"""Random books of metal: two rounds, plate fields, members, findings, squares, every instrument. Put together from
records, so that thousands of them take seconds."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import Any

from inspect_tui.domain.book import ONLY, Book
from inspect_tui.domain.measuring.metal_records import Member, MemberKind, SamplingPlan
from inspect_tui.domain.measuring.sampling import draw
from inspect_tui.domain.reading_records import PitReading, Reading, ThicknessReading
from inspect_tui.domain.records import (
    Boat,
    Compartment,
    Finding,
    FloatEvent,
    PlateField,
    Position,
    Record,
    Round,
    StatusEvent,
)
from inspect_tui.domain.trail import Change
from inspect_tui.domain.words import (
    DesignCategory,
    FloatState,
    Follows,
    HullMetal,
    Likelihood,
    PlateRegion,
    Rig,
    Severity,
    Side,
    Status,
    ThicknessSource,
)

START = datetime(2024, 5, 1, 9, tzinfo=UTC)
AREAS = ("cabin-bilge", "hull-sides", "deck", "water-tank")
REGIONS = {"cabin-bilge": PlateRegion.BOTTOM, "hull-sides": PlateRegion.SIDE, "deck": PlateRegion.DECK,
           "water-tank": PlateRegion.TANK}  # fmt: skip


@dataclass(frozen=True)
class Metals:
    """A book and the dice it was made with."""

    book: Book
    dice: random.Random

    def readings(self, kind: type[Any]) -> list[Any]:
        return [one for one in self.book.readings.values() if isinstance(one, kind)]


def with_rows(book: Book, table: str, *records: Record) -> Book:
    """The book with these records in, under their own keys."""
    rows = {**book.tables[table], **{_key(one): one for one in records}}
    return replace(book, tables={**book.tables, table: rows})


def without(book: Book, reading: Reading) -> Book:
    rows = {key: one for key, one in book.readings.items() if key != reading.id}
    return replace(book, tables={**book.tables, "readings": rows})


def _key(record: Any) -> str:
    return str(getattr(record, "id", None) or getattr(record, "chalk", ONLY))


class _Making:
    def __init__(self, seed: int) -> None:
        self.dice = random.Random(seed)
        self.count = 0
        self.now = START

    def maybe(self, chance: float) -> bool:
        return self.dice.random() < chance

    def some(self, low: float, high: float) -> float:
        return round(self.dice.uniform(low, high), 1)

    def book(self) -> Book:
        pick = self.dice.choice
        afloat = self.maybe(0.4)
        boat = Boat(
            name="Tern", rig=pick(tuple(Rig)), hull_metal=pick(tuple(HullMetal)), hull_length_m=11.0,
            year_built=pick((None, 1986, 2015)), waterline_length_m=10.0, waterline_beam_m=3.0, hull_draught_m=0.6,
            displacement_kg=8000.0, design_category=pick((DesignCategory.A, DesignCategory.C, None)), speed_kn=7.0,
            righting_lever_m=0.6, deadrise_deg=15.0, inland=pick((None, None, True)),
            float_history=(
                FloatEvent(day=START.date(), state=FloatState.AFLOAT if afloat else FloatState.HAULED_OUT),
            ),
        )  # fmt: skip
        line = Change(number=1, when=START, by="x", words="Started", was=())
        book = with_rows(Book.empty(), "boat", boat)
        book = replace(book, tables={**book.tables, "trail": {"1": line}})
        book = with_rows(book, "rounds", Round(id="1", number=1, opened=START, by="x"))
        for number, area in enumerate(AREAS, 1):
            book = self._place(book, area, number)
        for round_number in (1, 2)[: self.dice.choice((1, 2, 2))]:
            if round_number == 2:
                self.now += timedelta(days=self.dice.choice((40, 380)))
                book = with_rows(book, "rounds", Round(id="2", number=2, opened=self.now, by="x"))
            book = with_rows(book, "readings", *self._round(book, str(round_number)))
        return book

    def _place(self, book: Book, area: str, number: int) -> Book:
        pick = self.dice.choice
        steel = book.boat.hull_metal is HullMetal.STEEL
        field = PlateField(
            id=f"p{number}", name=area, region=REGIONS[area], alloy=pick(("steel-a" if steel else "5083", "")),
            temper="" if steel else "H116", as_built_mm=pick((3.0, 4.0, 5.0, 6.0, 8.0, 12.0)),
            as_built_from=pick(tuple(ThicknessSource)), panel_width_mm=pick((None, 250.0, 400.0)),
            panel_length_mm=900.0, welded=True, area_m2=pick((None, 6.0, 12.0)), head_m=0.8, up_side_percent=50.0,
        )  # fmt: skip
        place = Compartment(id=f"c{number}", area=area, name=area, order=number, plate_fields=(field.id,))
        member = Member(
            id=f"m{number}", name="at frame 4", kind=pick(tuple(MemberKind)), compartment=place.id,
            web_mm=pick((5.0, 8.0)), web_height_mm=pick((None, 60.0, 90.0)), flange_mm=pick((None, 6.0)),
            flange_width_mm=50.0, plate_mm=5.0, spacing_mm=400.0, alloy=field.alloy, temper=field.temper,
        )  # fmt: skip
        plan = SamplingPlan(
            id=f"q{number}", plate_field=field.id, length_mm=4000, girth_mm=3000, square_length_mm=300,
            square_girth_mm=300, wanted=10, seed="s", drawn=draw("s", 130, 10), when=START, by="x",
        )  # fmt: skip
        found = StatusEvent(status=Status.MEASURED, when=START, by="x", round="1")
        finding = Finding(
            chalk=number, compartment=place.id, kind=pick(("pitting", "thinning", "crevice")), words="w",
            severity=Severity.NEGLIGIBLE, likelihood=Likelihood.E, history=(found,),
            extent_length_mm=pick((None, 400.0)), extent_width_mm=30.0, follows=pick((None, None, *Follows)),
        )  # fmt: skip
        for table, record in (
            ("plate_fields", field), ("compartments", place), ("members", member), ("plans", plan),
            ("findings", finding),
        ):  # fmt: skip
            book = with_rows(book, table, record)
        return book

    def _round(self, book: Book, round_id: str) -> Sequence[Reading]:
        told: list[Reading] = []
        for number in range(1, len(AREAS) + 1):
            field = book.plate_fields[f"p{number}"]
            plate = field.as_built_mm or 5.0
            if self.maybe(0.7):
                told += [
                    self.thickness(book, round_id, number, finding=number) for _ in range(self.dice.randint(1, 2))
                ]
            if self.maybe(0.7):
                told.append(self.pits(book, round_id, number, plate, finding=number))
            if self.maybe(0.5):
                told += [self.thickness(book, round_id, number) for _ in range(self.dice.randint(1, 3))]
            if self.maybe(0.6):
                told.append(self.on_member(book, round_id, number))
            if self.maybe(0.6):
                told += self._squares(book, round_id, number, plate)
        return told

    def _base(self, round_id: str, number: int) -> dict[str, Any]:
        self.count += 1
        self.now += timedelta(minutes=3)
        return {
            "id": f"r{self.count}", "round": round_id, "compartment": f"c{number}", "when": self.now, "by": "x",
            "clean_metal": self.dice.choice((True, True, True, None, False)),
            "instrument_error": self.dice.choice((None, 0.1, 0.2, 0.5)),
        }  # fmt: skip

    def thickness(self, book: Book, round_id: str, number: int, finding: int | None = None) -> ThicknessReading:
        plate = book.plate_fields[f"p{number}"].as_built_mm or 5.0
        wear = self.dice.choice((0.05, 0.15, 0.3, 0.6))
        values = tuple(round(plate * self.dice.uniform(1 - wear, 1.0), 1) for _ in range(self.dice.randint(1, 5)))
        return ThicknessReading(
            **self._base(round_id, number), thickness_mm=tuple(max(one, 0.3) for one in values), finding=finding,
            plate_field=f"p{number}", paint_mm=0.2,
            method=self.dice.choice(("ultrasonic", "caliper", "ultrasonic through paint", None)),
        )  # fmt: skip

    def pits(
        self, book: Book, round_id: str, number: int, plate: float, finding: int | None = None, **more: Any
    ) -> PitReading:
        deep = self.dice.choice((0.1, 0.3, 0.6, 0.95)) * plate
        depths = tuple(
            min(round(self.dice.uniform(0.1, max(deep, 0.2)), 1), round(plate - 0.1, 1))
            for _ in range(self.dice.randint(0, 5))
        )
        return PitReading(
            **{
                **self._base(round_id, number), "depths_mm": depths, "plate_field": f"p{number}", "finding": finding,
                "patch_length_mm": 300.0, "patch_width_mm": 300.0,
                "method": self.dice.choice(("needle or bridge", "ultrasonic", None)),
                "holed_through": int(self.maybe(0.05)), "soft": self.maybe(0.05), **more,
            }
        )  # fmt: skip

    def _squares(self, book: Book, round_id: str, number: int, plate: float) -> list[Reading]:
        plan = book.plans[f"q{number}"]
        drawn = self.maybe(0.7)
        told: list[Reading] = []
        for at in range(self.dice.randint(3, 9)):
            more: dict[str, Any] = {
                "every_pit": self.dice.choice((True, True, False)),
                "holed_through": 0,
                "soft": False,
            }
            if drawn:
                more |= {"plan": plan.id, "square": plan.drawn[at]}
            else:
                more |= {
                    "worst_chosen": self.dice.choice((None, False, True)),
                    "position": Position(frame=float(at), side=Side.PORT, girth_mm=100.0 * at),
                }
            told.append(self.pits(book, round_id, number, plate, **more))
        return told

    def on_member(self, book: Book, round_id: str, number: int) -> ThicknessReading:
        member = book.members[f"m{number}"]
        return ThicknessReading(
            **self._base(round_id, number), member=member.id, part=self.dice.choice(("web", "flange", None)),
            thickness_mm=(round(member.web_mm * self.dice.uniform(0.5, 1.0), 1),), method="caliper",
        )  # fmt: skip


def metals(seed: int) -> Metals:
    making = _Making(seed)
    return Metals(making.book(), making.dice)
