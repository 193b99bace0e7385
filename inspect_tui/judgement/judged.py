"""Everything that follows from a book, each thing worked out once, when it is first asked for."""

from __future__ import annotations

from datetime import datetime
from functools import cached_property

from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.judgement.causes.eaten import Eaten, eaten_places
from inspect_tui.judgement.causes.evidence import Evidence, Gathering
from inspect_tui.judgement.causes.patches import Tally, tally
from inspect_tui.judgement.corrections import Correction, corrections
from inspect_tui.judgement.electricity.electricity import Electricity
from inspect_tui.judgement.metal.verdicts import Verdicts
from inspect_tui.judgement.repair.repair_scope import Job, jobs
from inspect_tui.judgement.repair.scope import ScopedJob, scope
from inspect_tui.judgement.shell.rounds import Since, since_rounds
from inspect_tui.judgement.walk.stages import Stage, stages_of
from inspect_tui.judgement.work.cure_actions import cure_actions
from inspect_tui.judgement.work.field_actions import field_actions, hole_actions, member_actions
from inspect_tui.judgement.work.finding_actions import finding_actions
from inspect_tui.judgement.work.launching import Signing, launch_actions, launch_list
from inspect_tui.judgement.work.meter_actions import meter_actions
from inspect_tui.judgement.work.opened import closing_actions
from inspect_tui.judgement.work.place_actions import place_actions
from inspect_tui.judgement.work.settling import settling_actions
from inspect_tui.judgement.work.worklist import Worklist, worklist


class Judged:
    """One state of a book, judged. Screens, shell commands and papers take what they say from here."""

    def __init__(self, book: Book, checklists: Checklists, now: datetime | None = None) -> None:
        """`now`: what is due is held against it; the time of the book's newest line if nobody says."""
        self.book = book
        self.checklists = checklists
        self.now = now or max(line.when for line in book.trail.values())

    @cached_property
    def verdicts(self) -> Verdicts:
        """On the metal, at findings and on plate fields."""
        return Verdicts(self.book, self.checklists)

    @cached_property
    def electricity(self) -> Electricity:
        """Potentials, hunt, wiring, and what other meters found outside its limits."""
        return Electricity(self.book)

    @cached_property
    def gathering(self) -> Gathering:
        """The signs of a cause, place by place."""
        return Gathering(self.book, self.checklists, self.electricity)

    @property
    def leak(self) -> Evidence | None:
        """Whether current leaks into the hull; None if nothing tells."""
        return self.gathering.leak

    @cached_property
    def eaten(self) -> list[Eaten]:
        """The places where metal is eaten, with what their signs say."""
        return eaten_places(self.book, self.checklists, self.gathering)

    @cached_property
    def patches(self) -> Tally:
        """The old patches: lifted, waiting, and what the ones say of the others."""
        return tally(self.book)

    @cached_property
    def worklist(self) -> Worklist:
        """What to do, in which order, and why."""
        book, checklists, verdicts = self.book, self.checklists, self.verdicts
        return worklist(
            book,
            [
                *finding_actions(book, checklists, verdicts, self.patches),
                *place_actions(book, checklists),
                *field_actions(book, verdicts),
                *member_actions(book, verdicts),
                *hole_actions(book, checklists),
                *meter_actions(book, checklists, self.electricity, self.leak),
                *cure_actions(book, checklists, verdicts, self.eaten),
                *closing_actions(book, checklists),
                *settling_actions(book, checklists, self.electricity.failing),
            ],
            launch_actions(book, self.launch, self.now),
        )

    @cached_property
    def stages(self) -> dict[str, Stage]:
        """How far the work at each compartment has come."""
        return stages_of(self.book, self.checklists)

    @cached_property
    def launch(self) -> tuple[Signing, ...]:
        """The launch list, line by line."""
        return launch_list(self.book, self.checklists, self.now)

    @cached_property
    def jobs(self) -> list[Job]:
        """What a welder is to quote for."""
        return jobs(self.book, self.checklists, self.verdicts, self.worklist)

    @cached_property
    def scope(self) -> tuple[ScopedJob, ...]:
        """What needs metal or heat, gathered into jobs."""
        return scope(self.book, self.checklists, self.jobs)

    @cached_property
    def since(self) -> tuple[Since, ...]:
        """What became of each spot since an earlier round."""
        return since_rounds(self.book, self.verdicts)

    @cached_property
    def corrections(self) -> tuple[Correction, ...]:
        """What papers that were handed out say, and the book says no more."""
        return corrections(self.book)
