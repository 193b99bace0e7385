"""What all parts of the papers are made from, and the phrases they share."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from inspect_tui.domain import shell
from inspect_tui.domain.book import Book
from inspect_tui.domain.identity import Key
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.reading_records import Reading
from inspect_tui.domain.records import NOWHERE, Finding, Position
from inspect_tui.domain.words import FrameDirection, Tier
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.work.action import Action
from inspect_tui.judgement.work.worklist import Worklist


@dataclass(frozen=True)
class Subject:
    """The book, what is judged of it, and which photos cannot be shown and why."""

    judged: Judged
    photos: bool = True
    lost_photos: Mapping[str, str] = field(default_factory=dict)
    photo_places: Mapping[str, str] = field(default_factory=dict)

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
        if datum.direction is FrameDirection.FORWARD:
            return f"{by_frame}{boat.hull_length_m * 1000 - along:.0f} mm forward of {datum.origin or 'the stern'}"
        return f"{by_frame}{along:.0f} mm aft of {datum.origin or 'the bow'}"
