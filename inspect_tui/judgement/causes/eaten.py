"""The places where metal is eaten, and what their signs say of why."""

from __future__ import annotations

from dataclasses import dataclass

from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.causes import Causes, CauseTest
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.records import Finding
from inspect_tui.domain.words import BAD_BENEATH, CLOSED, Status
from inspect_tui.domain.zones import zone_of_finding
from inspect_tui.judgement.causes.cause import Found, causes_at, known_of
from inspect_tui.judgement.causes.evidence import Evidence, Gathering
from inspect_tui.judgement.causes.patches import waits_for_lifting


@dataclass(frozen=True)
class Eaten:
    """One place where metal is eaten, and what its signs say of why."""

    finding: Finding
    evidence: tuple[Evidence, ...]
    found: Found
    below: bool

    def next_test(self, *, afloat: bool) -> CauseTest | None:
        """The test to be made next there, as she lies now."""
        return self.found.next_test(afloat=afloat, below=self.below)


def known_at(book: Book, checklists: Checklists, gathering: Gathering, finding: Finding) -> Causes:
    """The causes that can be at work at a finding."""
    return known_of(checklists.causes, book.boat.hull_metal, gathering.spot(finding))


def eaten_places(book: Book, checklists: Checklists, gathering: Gathering) -> list[Eaten]:
    """Open findings of eaten metal whose repair still lies ahead, by chalk number. What lies under a patch that
    nobody has lifted is not known, and one that was sound beneath is no eaten metal."""
    return [
        Eaten(
            finding,
            evidence := gathering.at(finding),
            causes_at(known_at(book, checklists, gathering, finding), evidence),
            zone_of_finding(book, checklists, finding).wet,
        )
        for finding in sorted(book.findings.values(), key=lambda one: one.chalk)
        if finding.status not in CLOSED | {Status.REPAIRED}
        and not waits_for_lifting(finding)
        and not (finding.lifted and finding.lifted.beneath not in BAD_BENEATH)
        and (kind := checklists.kinds.get(finding.kind)) is not None
        and kind.corrosion
    ]
