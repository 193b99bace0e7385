"""What all parts of the papers are made from, and the phrases they share."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from inspect_tui.domain import shell, walk
from inspect_tui.domain.book import Book
from inspect_tui.domain.identity import Key
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.owner.money import Money
from inspect_tui.domain.reading_records import Reading
from inspect_tui.domain.records import NOWHERE, Finding, Position
from inspect_tui.domain.words import CLOSED, FrameDirection, Tier
from inspect_tui.handover.model import Ring
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.money.reckoning import Reckoned, reckon
from inspect_tui.judgement.work.action import Action, Task
from inspect_tui.judgement.work.worklist import Worklist


@dataclass(frozen=True)
class Subject:
    """The book, what is judged of it, and which photos cannot be shown and why."""

    judged: Judged
    photos: bool = True
    lost_photos: Mapping[str, str] = field(default_factory=dict)
    photo_places: Mapping[str, str] = field(default_factory=dict)
    money: Money | None = None

    @property
    def book(self) -> Book:
        return self.judged.book

    @property
    def checklists(self) -> Checklists:
        return self.judged.checklists

    @property
    def listed(self) -> Worklist:
        return self.judged.worklist

    @cached_property
    def action_of(self) -> dict[int, Action]:
        told: dict[int, Action] = {}
        for action in self.listed.actions:
            if action.chalk is not None:
                told.setdefault(action.chalk, action)
        return told

    @cached_property
    def own_action_of(self) -> dict[int, Action]:
        """Of each open finding what is done with itself; else the first thing that is done about it."""
        told = dict(self.action_of)
        own = (one for one in reversed(self.listed.actions) if one.task is Task.FINDING)
        return told | {one.chalk: one for one in own if one.chalk is not None}

    @cached_property
    def progress_of(self) -> dict[str, walk.Progress]:
        """How far each compartment is, from bow to stern."""
        return {place.id: walk.progress(self.book, self.checklists, place) for place in self.book.bow_to_stern()}

    @cached_property
    def reckoned(self) -> Reckoned | None:
        """What she costs by the owner's own numbers; None where papers must not say it."""
        if self.money is None:
            return None
        return reckon(self.book, self.checklists, self.listed, self.judged.scope, self.money)

    @property
    def currency(self) -> str:
        return self.money.currency if self.money else ""

    @cached_property
    def frames(self) -> tuple[float, float] | None:
        """Her first and her last frame, as far as the book knows: for rulers and drawings; None without any."""
        boat = self.book.boat
        rows, spacing = boat.datum.frame_table_mm, boat.datum.frame_spacing_mm
        if rows:
            return 0.0, float(len(rows) - 1)
        if spacing:
            return 0.0, float(int(boat.hull_length_m * 1000 // spacing))
        known = [one for place in self.book.compartments.values() for one in (place.frame_from, place.frame_to)]
        told = [one for one in known if one is not None]
        return (min(0.0, *told), max(told)) if told else None

    @cached_property
    def frames_mm(self) -> list[tuple[str, float]]:
        """Her frames by name, and how far aft of the bow each stands [mm]."""
        if self.frames is None:
            return []
        first, last = self.frames
        at = (
            (one, shell.from_bow_mm(self.book.boat, Position(frame=one))) for one in range(int(first), int(last) + 1)
        )
        return [(str(frame), mm) for frame, mm in at if mm is not None]

    def frames_of(self, finding: Finding) -> tuple[float, float] | None:
        """Where it stands on the ruler."""
        frame = finding.position.frame
        if frame is None or self.frames is None:
            return None
        spacing = self.book.boat.datum.frame_spacing_mm
        half = (finding.extent_length_mm or 0.0) / 2 / spacing if spacing else 0.0
        at = frame + ((finding.position.offset_mm or 0.0) / spacing if spacing else 0.0)
        return at - half, at + half

    def ring_of(self, finding: Finding) -> Ring:
        """How its number is drawn."""
        action = self.own_action_of.get(finding.chalk)
        if action is None:
            return "closed" if finding.status in CLOSED else "open"
        return "bars" if action.tier.rank <= Tier.BEFORE_AFLOAT.rank else "open"

    @cached_property
    def readings_of(self) -> dict[int | None, list[Reading]]:
        """Readings by the finding they belong to, oldest first."""
        told: dict[int | None, list[Reading]] = defaultdict(list)
        for reading in sorted(self.book.readings.values(), key=lambda one: (one.when, Key.of(one.id))):
            told[reading.finding].append(reading)
        return told

    @cached_property
    def findings_in(self) -> dict[str, list[Finding]]:
        """Findings by compartment, by chalk number."""
        told: dict[str, list[Finding]] = defaultdict(list)
        for finding in sorted(self.book.findings.values(), key=lambda one: one.chalk):
            told[finding.compartment].append(finding)
        return told

    def tier_of(self, finding: Finding) -> Tier | None:
        """The tier of its open action; None if it is closed."""
        action = self.action_of.get(finding.chalk)
        return action.tier if action else None

    def place_name(self, compartment: str) -> str:
        place = self.book.compartments.get(compartment)
        return place.name if place else compartment

    def kind_label(self, finding: Finding) -> str:
        kind = self.checklists.kinds.get(finding.kind)
        return kind.label if kind else finding.kind

    def paced(self, position: Position) -> str:
        """A position as a distance that can be taped off, by the nearest frame too if none was written down; empty if
        it cannot be told."""
        boat, datum = self.book.boat, self.book.boat.datum
        along = shell.from_bow_mm(boat, position)
        if along is None:
            return ""
        near = shell.position_at(boat, shell.ShellPlace(along, 0.0)) if position.frame is None else NOWHERE
        by_frame = f"frame {near.frame:g} {near.offset_mm:+,.0f} mm, " if near.frame is not None else ""
        forward = datum.direction is FrameDirection.FORWARD
        origin = "frame 0" if self.frames_mm else datum.origin or ("the stern" if forward else "the bow")
        if forward:
            return f"{by_frame}{boat.hull_length_m * 1000 - along:.0f} mm forward of {origin}"
        return f"{by_frame}{along:.0f} mm aft of {origin}"
