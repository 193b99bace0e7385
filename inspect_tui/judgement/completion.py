"""What it means for the book when somebody says that an action of the worklist is done."""

from __future__ import annotations

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, Edit, Put, Stamp
from inspect_tui.domain.checklists import Checklists
from inspect_tui.domain.errors import NotAllowed
from inspect_tui.domain.records import Finding
from inspect_tui.domain.words import Status, Step, Treatment
from inspect_tui.judgement.action import Action


def asks_for_treatment(action: Action) -> bool:
    """Whether marking it done needs the decision itself: which treatment."""
    return action.chalk is not None and action.step is Step.DECIDE


def complete(
    book: Book,
    checklists: Checklists,
    stamp: Stamp,
    action: Action,
    note: str = "",
    treatment: Treatment | None = None,
) -> Edit:
    """Mark an action done: who and when are kept; a finding moves on, an opened place is asked again.

    Raises
    ------
    NotAllowed : a repair cannot be verified before it was measured again; a decision needs its treatment.
    """
    more: tuple[Put, ...] = ()
    if action.chalk is not None:
        finding = book.findings[str(action.chalk)]
        status = _next_status(book, action, finding)
        if status is not None:
            more = edits.move_finding(book, stamp, finding, status, note, treatment).puts
    elif action.key.startswith("open/") and action.compartment is not None:
        more = edits.ask_unseen_again(book, checklists, action.compartment)
    elif action.key.startswith("walk/"):
        raise NotAllowed("A compartment is walked by answering its questions: Enter goes there.")
    return edits.mark_done(stamp, action.key, f"{action.what} ({action.where})", note, *more)


def _next_status(book: Book, action: Action, finding: Finding) -> Status | None:
    if finding.status is Status.ACCEPTED or action.step is Step.WATCH:
        return None
    if finding.status is Status.REPAIRED:
        repaired = finding.history[-1].when
        measured = any(
            reading.finding == finding.chalk and reading.when >= repaired for reading in book.readings.values()
        )
        if action.kind is not None and action.kind.bright_metal and not measured:
            raise NotAllowed(f"Measure finding {finding.chalk} again first: a repair is verified by readings.")
        return Status.VERIFIED
    match action.step:
        case Step.CLEAN if action.kind is not None and action.kind.bright_metal:
            return Status.CLEANED
        case Step.MEASURE:
            return Status.MEASURED
        case Step.DECIDE:
            return Status.DECIDED
        case Step.GUT if action.kind is not None and action.kind.bright_metal:
            return None
        case _:
            return Status.REPAIRED
