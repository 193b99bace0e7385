"""Books as many people might have written them: one for each seed, through the same edits as the app uses."""

from __future__ import annotations

import random
from collections.abc import Callable
from datetime import timedelta
from typing import Any

from inspect_tui.domain import edits, walk
from inspect_tui.domain.boat_words import Feature
from inspect_tui.domain.book import ONLY, Book, Edit, Put, Stamp, after
from inspect_tui.domain.edits.causes import lift_patch, name_beside, name_patch, tick_sign
from inspect_tui.domain.knowledge.areas import ReadingKind
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.named import Kinds, Prompts
from inspect_tui.domain.measuring.metal_records import Member, MemberKind, SamplingPlan
from inspect_tui.domain.measuring.readings import KINDS
from inspect_tui.domain.records import Compartment, Datum, Finding, Lifted, PlateField, Position, Rates
from inspect_tui.domain.undoing import undo
from inspect_tui.domain.words import (
    Across,
    Beneath,
    DesignCategory,
    Face,
    FloatState,
    FrameDirection,
    HullMetal,
    Likelihood,
    Need,
    PatchEdge,
    PatchType,
    PlateRegion,
    Rig,
    Said,
    Severity,
    Side,
    Status,
    ThicknessSource,
    Treatment,
    UnseenReason,
    Water,
)
from inspect_tui.domain.zones import zone_of_finding
from inspect_tui.engineering.electricity.circuit_hunt import Switched
from inspect_tui.errors import DomainError
from inspect_tui.judgement.causes.patches import signs_shown
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.work.completion import complete
from tests.conftest import IDENTITY, START

METHODS = ("ultrasonic", "ultrasonic through paint", "caliper", "drilled hole")
# What each kind of reading is like [its own unit], good and bad.
RANGES: dict[ReadingKind, tuple[float, float]] = {
    "potential": (-1150, -500), "resistance": (0.01, 5e6), "current": (0, 400), "oxygen": (17, 21), "vapour": (0, 20),
    "salinity": (0, 36), "acidity": (4, 10), "coating": (20, 400), "length": (1, 300),
}  # fmt: skip


class Invented:
    """A book in the making."""

    def __init__(self, seed: int, checklists: Checklists) -> None:
        self.dice = random.Random(seed)
        # Apart, so that what is drawn with it leaves all else as it was.
        self.lots = random.Random(seed)
        self.checklists = checklists
        self.now = START
        self.book = Book.empty()
        self._begin()
        steps: list[Callable[[], object]] = [
            self._answer, self._answer, self._find, self._find, self._gauge, self._gauge, self._gauge, self._meter,
            self._sign, self._sign, self._move, self._move, self._decide, self._lift, self._hunt, self._share,
            self._done, self._survey, self._member,
        ]  # fmt: skip
        for count in range(self.dice.choice((40, 80, 110))):
            self.dice.choice(steps)()
            if count == 40:
                self.now += timedelta(days=self.dice.choice((3, 200, 700)))
                self.do(edits.open_round(self.book, self.stamp, "again"))
                if self.maybe(0.5):
                    other = FloatState.HAULED_OUT if self.book.boat.afloat else FloatState.AFLOAT
                    self.do(edits.float_or_haul(self.book, other, self.now.date()))
            if count % 20 == 19:
                self.do(undo(self.book))

    @property
    def stamp(self) -> Stamp:
        self.now += timedelta(minutes=self.dice.choice((1, 7, 40, 300)))
        return Stamp(self.now, "Runa")

    def maybe(self, chance: float) -> bool:
        return self.dice.random() < chance

    def number(self, low: float, high: float, chance: float = 1.0) -> float | None:
        return round(self.dice.uniform(low, high), 2) if self.maybe(chance) else None

    def do(self, edit: Edit) -> None:
        self.book = after(self.book, edit, self.stamp)[0]

    def tried(self, make: Callable[[], Edit]) -> None:
        """A change that the rules may refuse."""
        try:
            self.do(make())
        except DomainError:
            self.now += timedelta(minutes=1)

    def place(self) -> Compartment:
        return self.dice.choice(self.book.bow_to_stern())

    def finding(self) -> Finding | None:
        return self.dice.choice(list(self.book.findings.values())) if self.book.findings else None

    def position(self) -> Position:
        pick = self.dice.choice
        return Position(
            frame=pick((None, 2.0, 7.0, 12.0)), offset_mm=self.number(-200, 200, 0.5), side=pick((*Side, None)),
            girth_mm=self.number(0, 3500, 0.6), face=pick((*Face, None)),
        )  # fmt: skip

    def _begin(self) -> None:
        pick, areas = self.dice.choice, list(self.checklists.areas.values())
        metal, state = pick(tuple(HullMetal)), pick(tuple(FloatState))
        new = edits.NewBoat("Tern", pick(tuple(Rig)), metal, pick((7.5, 11.0, 16.0)), state)
        chosen = self.dice.sample(areas, self.dice.randint(5, 12))
        wanted = [area for area in areas if area in chosen or area.id in ("electrics", "cabin-bilge")]
        self.do(edits.start_book(self.stamp, IDENTITY, new, wanted))
        datum = Datum(
            direction=pick(tuple(FrameDirection)), frame_spacing_mm=pick((None, 400.0, 500.0)),
            frame_table_mm=pick(((), (), (0.0, 350.0, 800.0, 1300.0, 1800.0, 2300.0, 2800.0, 3300.0))),
        )  # fmt: skip
        said = {
            "year_built": pick((None, 1986, 2004)), "waterline_length_m": self.number(6, 14, 0.8),
            "waterline_beam_m": self.number(2, 4, 0.8), "hull_draught_m": self.number(0.3, 1.2, 0.8),
            "displacement_kg": self.number(3000, 20000, 0.8), "design_category": pick((*DesignCategory, None)),
            "speed_kn": self.number(5, 20, 0.7), "deadrise_deg": self.number(0, 25, 0.7),
            "righting_lever_m": self.number(0.3, 1.2, 0.5), "water": pick((*Water, None)), "datum": datum,
            "circuits": ("Pump", "Pump aft", "lights"), "negative_tied": pick((None, False, True)),
            "features": {feature: self.maybe(0.5) for feature in Feature if self.maybe(0.5)},
        }  # fmt: skip
        self.do(edits.change_boat(self.book.boat.model_copy(update=said)))
        if self.maybe(0.5):
            # What an older book may hold, and nothing is worked out from.
            rates = Rates(currency="EUR", hour=60, plate_kg=pick((None, 9.0)), filler_kg=30)
            self.do(Edit("Changed the rates for estimates", (Put("rates", ONLY, rates),)))
        alloys = [alloy.id for alloy in self.checklists.metals.alloys.values() if alloy.metal is metal]
        for number in range(1, self.dice.randint(2, 4)):
            self.do(
                edits.keep_plate_field(
                    PlateField(
                        id=f"p{number}", name=f"plate {number}", region=pick(tuple(PlateRegion)),
                        alloy=pick((*alloys, "")), temper=pick(("", "H111", "H116")),
                        as_built_mm=pick((3.0, 4.0, 6.0, 10.0, None)),
                        as_built_from=pick((*ThicknessSource, None)), panel_width_mm=self.number(250, 500, 0.8),
                        panel_length_mm=self.number(500, 1500, 0.8), curvature_mm=self.number(0, 30, 0.5),
                        welded=pick((True, False, None)), area_m2=self.number(1, 9, 0.8),
                        head_m=self.number(0.5, 2, 0.5),
                        from_aft_percent=self.number(0, 100, 0.5), up_side_percent=self.number(0, 100, 0.5),
                    )
                )
            )  # fmt: skip
        for place in self.book.bow_to_stern():
            low = float(self.dice.randint(0, 12))
            lies = {
                "frame_from": pick((None, low)), "frame_to": pick((None, low + 3)), "side": pick((*Side, None)),
                "below_waterline": pick((None, None, True, False)),
                "plate_fields": tuple(one for one in self.book.plate_fields if self.maybe(0.4)),
            }  # fmt: skip
            self.do(edits.change_compartment(place.model_copy(update=lies)))

    def _answer(self) -> None:
        place = self.place()
        if not (asked := walk.prompts_of(self.checklists, self.book, place)):
            return
        prompt = self.dice.choice(asked)
        said = self.dice.choice((Said.SOUND, Said.SOUND, Said.UNSEEN, Said.NOT_FITTED))
        reason = self.dice.choice(tuple(UnseenReason)) if said is Said.UNSEEN else None
        self.tried(lambda: edits.say(self.book, self.stamp, place, prompt, said, reason=reason))

    def _share(self) -> None:
        """How much was seen of a place; where it was all, one look may answer for many, and the rest is unseen."""
        place, stamp = self.place(), self.stamp
        asked = walk.prompts_of(self.checklists, self.book, place)
        prompt = next((one for one in asked if one.share), None)
        why = self.dice.choice(tuple(UnseenReason))
        percent = float(self.dice.choice((0, 30, 60, 100)))
        if prompt is not None:
            self.tried(lambda: edits.seen_share(self.book, stamp, place, prompt, percent, [why]))
        look = next((one for one in asked if one.glance), None)
        if look is not None and percent == 100:
            self.tried(lambda: edits.say_by_look(self.book, stamp, self.checklists, place, look, tuple(Need)))
        if self.maybe(0.3):
            self.tried(lambda: edits.rest_unseen(self.book, stamp, self.checklists, place, why, "a nest"))

    def _find(self) -> None:
        place, pick = self.place(), self.dice.choice
        # On a boat with jets nothing is asked at shaft and rudder.
        asked = walk.prompts_of(self.checklists, self.book, place)
        prompt = pick((None, pick(asked))) if asked else None
        usual = prompt.kind if prompt and self.maybe(0.6) else None
        kind = usual or pick((Kinds.PITTING, Kinds.OLD_PATCH, *self.checklists.kinds))
        new = edits.NewFinding(
            kind, pick(("", "a spot")), pick(tuple(Severity)), pick(tuple(Likelihood)), self.position(),
            self.number(20, 600, 0.6), self.number(20, 400, 0.6),
        )  # fmt: skip
        self.tried(lambda: edits.write_finding(self.book, self.stamp, place, new, prompt=prompt))

    def _gauge(self) -> None:
        """Pits or thickness, at a finding or of a plate."""
        pick, finding = self.dice.choice, self.finding() if self.maybe(0.6) else None
        place = self.book.compartments[finding.compartment] if finding else self.place()
        fields = list(self.book.plate_fields)
        kind: ReadingKind = pick(("pits", "thickness"))
        said: dict[str, Any] = {
            "plate_field": pick((*fields, *fields, None)), "instrument_error": pick((None, 0.1, 0.3)),
            "clean_metal": pick((True, True, True, None, False)), "position": self.position(),
        }  # fmt: skip
        many = range(self.dice.randint(1, 6))
        if kind == "pits":
            sides = pick(((300.0, 300.0), (100.0, 150.0), (None, None)))
            said |= {"patch_length_mm": sides[0], "patch_width_mm": sides[1]}
            said |= {
                "worst_chosen": pick((None, True, False)),
                "holed_through": pick((0, 0, 0, 0, 1)),
                "soft": self.maybe(0.05),
            }
            values = [self.number(0.1, pick((1.0, 3.0, 5.5))) or 0.1 for _ in many] if self.maybe(0.9) else []
        else:
            said |= {"method": pick((*METHODS, None)), "paint_mm": self.number(0, 0.6, 0.3)}
            values = [self.number(2.0, 6.2) or 2.0 for _ in many]
        details = edits.ReadingDetails(**said)
        self.tried(lambda: edits.add_reading(self.book, self.stamp, place, kind, values, details, finding=finding))

    def _survey(self) -> None:
        """Many equal squares of one plate and its thickness, as somebody does it who reads how."""
        pick, place = self.dice.choice, self.place()
        field = pick(list(self.book.plate_fields))
        deep, side = pick((0.4, 0.9, 1.6)), pick((150.0, 300.0))
        said: dict[str, Any] = {
            "plate_field": field, "clean_metal": True, "instrument_error": pick((None, 0.1)), "patch_length_mm": side,
            "patch_width_mm": side, "worst_chosen": pick((False, False, None, True)),
        }  # fmt: skip
        plan = self._plan(field, side) if self.maybe(0.5) else None
        for at in range(self.dice.randint(4, 14)):
            if plan is not None:
                said |= {"plan": plan.id, "square": plan.drawn[at], "worst_chosen": None, "every_pit": True}
            depths = [round(0.1 + self.dice.expovariate(1 / deep), 2) for _ in range(self.dice.randint(0, 4))]
            details = edits.ReadingDetails(**said)
            self.tried(
                lambda depths=depths, details=details: edits.add_reading(  # type: ignore[misc]
                    self.book, self.stamp, place, "pits", depths, details
                )
            )
        gauged = edits.ReadingDetails(plate_field=field, clean_metal=True, instrument_error=0.1, method="ultrasonic")
        built = self.book.plate_fields[field].as_built_mm or 5.0
        left = [round(built * self.dice.uniform(0.75, 1.0), 2) for _ in range(self.dice.randint(3, 9))]
        self.tried(lambda: edits.add_reading(self.book, self.stamp, place, "thickness", left, gauged))

    def _plan(self, field: str, side: float) -> SamplingPlan | None:
        """Squares of a plate, drawn by chance."""
        plan = SamplingPlan(
            id=self.book.new_key("plans"), plate_field=field, length_mm=self.dice.choice((3000, 6000)), girth_mm=1500,
            square_length_mm=side, square_girth_mm=side, wanted=10, seed="", drawn=(), when=self.now, by="Runa",
        )  # fmt: skip
        self.tried(lambda: edits.draw_squares(self.book, plan))
        return self.book.plans.get(plan.id)

    def _member(self) -> None:
        """A frame, floor or bolt, and what was gauged on it."""
        pick, place = self.dice.choice, self.place()
        member = Member(
            id=self.book.new_key("members"), name=pick(("at frame 3", "port, aft")), kind=pick(tuple(MemberKind)),
            compartment=place.id, web_mm=pick((5.0, 8.0)), as_built_from=pick((*ThicknessSource, None)),
            web_height_mm=pick((None, 60.0, 100.0)), flange_width_mm=pick((None, 50.0)), flange_mm=6.0,
            plate_mm=pick((None, 5.0)), spacing_mm=450.0, alloy=pick(("", "5083", "steel-a")), temper="H111",
        )  # fmt: skip
        self.tried(lambda: edits.keep_member(member))
        for part in ("web", "flange"):
            values = [round(member.web_mm * self.dice.uniform(0.6, 1.0), 1)]
            details = edits.ReadingDetails(
                member=member.id, part=part, clean_metal=pick((True, None)), instrument_error=pick((None, 0.2))
            )
            finding = self.finding() if self.maybe(0.3) else None
            at = self.book.compartments[finding.compartment] if finding else place
            self.tried(
                lambda values=values, details=details, at=at, finding=finding: edits.add_reading(  # type: ignore[misc]
                    self.book, self.stamp, at, "thickness", values, details, finding=finding
                )
            )

    def _meter(self) -> None:
        pick = self.dice.choice
        kind = pick(tuple(RANGES))
        place = self.place()
        prompts = [one for one in walk.prompts_of(self.checklists, self.book, place) if kind in one.measure]
        finding = self.finding() if self.maybe(0.3) else None
        said: dict[str, Any] = {"prompt": pick(prompts).key if prompts else None}
        if kind == "potential":
            said = {
                "prompt": Prompts.REST_POTENTIAL, "electrode": pick(("agcl-sea", "cse", "zinc", "")),
                "water_salinity_g_kg": self.number(5, 36, 0.5), "without_anodes": pick((None, None, True)),
            }  # fmt: skip
        elif kind == "resistance":
            said = {"across": pick((*Across, None))}
            if said["across"] is Across.HULL and self.maybe(0.4):
                said["lamp"] = pick(("dark", "faint", "bright"))
        values = [] if said.get("lamp") else [self.number(*RANGES[kind]) or 0.0 for _ in range(pick((1, 1, 2)))]
        whole = KINDS[kind].quantity.whole
        typed = [float(round(value)) if whole else value for value in values]
        at = self.book.compartments[finding.compartment] if finding else place
        details = edits.ReadingDetails(**said)
        self.tried(lambda: edits.add_reading(self.book, self.stamp, at, kind, typed, details, finding=finding))

    def _sign(self) -> None:
        if finding := self.finding():
            sign = self.dice.choice(tuple(self.checklists.causes.signs))
            there = self.dice.choice((True, True, False, None))
            self.tried(lambda: tick_sign(finding, sign, there))
            if self.maybe(0.3):
                metal = self.dice.choice((*self.checklists.metals.galvanic, "none"))
                changed = self.book.findings[str(finding.chalk)]
                self.tried(lambda: name_beside(changed, metal))

    def _move(self) -> None:
        if finding := self.finding():
            status, note = self.dice.choice(tuple(Status)), self.dice.choice(("", "looked at twice"))
            treatment = self.dice.choice((*Treatment, None)) if status is Status.DECIDED else None
            self.tried(
                lambda: edits.move_finding(self.book, self.stamp, finding, status, note=note, treatment=treatment)
            )

    def _done(self) -> None:
        action = self.dice.choice(Judged(self.book, self.checklists).worklist.actions)
        treatment = self.dice.choice((*Treatment, None))
        self.tried(lambda: complete(self.book, self.stamp, action, edits.Repair("done so", "Mattis"), treatment))

    def _decide(self) -> None:
        if (finding := self.finding()) and self.maybe(0.4):
            own = self.dice.choice(tuple(Treatment))
            self.tried(lambda: edits.override_finding(finding, self.stamp, own, "my reason"))

    def _lift(self) -> None:
        patches = [one for one in self.book.findings.values() if one.kind == Kinds.OLD_PATCH]
        if not patches:
            return
        patch, stamp, pick = self.dice.choice(patches), self.stamp, self.dice.choice
        lifted = Lifted(
            when=stamp.when, by=stamp.by, beneath=pick(tuple(Beneath)), product=pick((True, False, None)),
            edge=pick((*PatchEdge, None)), beyond_mm=self.number(0, 90, 0.5),
            drawn=self.lots.choice((True, True, False, None)),
        )  # fmt: skip
        if self.lots.random() < 0.7:
            self.do(name_patch(patch, self.lots.choice(tuple(PatchType))))
            patch = self.book.findings[str(patch.chalk)]
        seen, absent = signs_shown(lifted)
        below = zone_of_finding(self.book, self.checklists, patch).wet
        self.tried(lambda: lift_patch(self.book, patch, lifted, seen, absent, below=below))

    def _hunt(self) -> None:
        """A whole hunt in one go, quiet or not."""
        if self.maybe(0.6):
            return
        place = next(one for one in self.book.bow_to_stern() if one.area == "electrics")
        off, shore = Switched.BASELINE.value, Switched.SHORE_IN.value
        bad = self.dice.choice((None, "Pump", "Pump aft", shore))
        for circuit in (off, shore, Switched.SHORE_OUT.value, "Pump", "Pump aft", off):
            mv = -900.0 + self.dice.randint(-3, 3) + (80 if circuit == bad else 0)
            details = edits.ReadingDetails(prompt=Prompts.CIRCUIT_HUNT, electrode="agcl-sea", circuit=circuit)
            edit = edits.add_reading(self.book, Stamp(self.now, "Runa"), place, "potential", [mv], details)
            self.book = after(self.book, edit, Stamp(self.now, "Runa"))[0]
            self.now += timedelta(minutes=2)
