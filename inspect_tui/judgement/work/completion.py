"""What it means for the book when somebody says that an action of the worklist is done."""

from __future__ import annotations

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, Edit, Put, Stamp
from inspect_tui.domain.edits.answers import Repair
from inspect_tui.domain.records import Finding
from inspect_tui.domain.words import Status, Step, Treatment
from inspect_tui.errors import NotAllowed
from inspect_tui.judgement.work.action import Action, Task
from inspect_tui.judgement.work.launching import Signing


def asks_for_treatment(action: Action) -> bool:
    """Whether marking it done needs the decision itself: which treatment."""
    return action.chalk is not None and action.step is Step.DECIDE and action.task is Task.FINDING


def complete(
    book: Book,
    stamp: Stamp,
    action: Action,
    repair: Repair,
    treatment: Treatment | None = None,
) -> Edit:
    """Mark an action done: who and when are kept, and a finding moves on.

    Raises
    ------
    NotAllowed : a repair cannot be verified before it was measured again; a decision needs its treatment;
        places are done by answering their questions, and floating by saying that she floats.
    """
    more: tuple[Put, ...] = ()
    if action.sealing and not repair.signed.strip():
        raise NotAllowed("Sign it with your name: this job keeps the water out.")
    if refusal := not_ticked_off(action):
        raise NotAllowed(refusal)
    if action.chalk is not None:
        finding = book.findings[str(action.chalk)]
        status = _next_status(action, finding)
        if status is not None:
            bright = action.kind is not None and action.kind.bright_metal
            more = edits.move_finding(book, stamp, finding, status, repair.note, treatment, bright_metal=bright).puts
    return edits.mark_done(stamp, action.key, f"{action.what} ({action.where})", repair, *more)


def sign(stamp: Stamp, signing: Signing, name: str, note: str = "") -> Edit:
    """Sign one line of the launch list, with a name.

    Raises
    ------
    NotAllowed : no name was typed, or the line is of a launch that has not begun.
    """
    if not name.strip():
        raise NotAllowed("Sign it with your name: this job keeps the water out.")
    if signing.line.hours is not None and signing.due is None:
        raise NotAllowed("She is not afloat: this line begins when she is.")
    return edits.mark_done(stamp, signing.key, signing.line.say, edits.Repair(note=note, signed=name.strip()))


def not_ticked_off(action: Action) -> str | None:
    """Why this action cannot be marked done by hand, or None."""
    if action.task is Task.WALK:
        return "A compartment is walked by answering its questions: open it."
    if action.task is Task.GAUGE:
        return "This is answered by readings: open it for the list of what is to be gauged."
    if action.task is Task.OPEN:
        return "Opened? Then answer its unseen questions again: open the line to go to the first of them."
    if action.task is Task.HAUL:
        return "This is done by saying so on the boat screen, on the day she is lifted out."
    if action.task is Task.LAUNCH:
        return "The launch list is signed line by line: open it."
    if action.task is Task.HOLD:
        return "It is left alone until she is lifted out: say so on the boat screen then, and the work appears."
    return None


def _next_status(action: Action, finding: Finding) -> Status | None:
    if finding.status is Status.ACCEPTED or action.task in (Task.AT_ONCE, Task.RECORD):
        return None
    if finding.status is Status.REPAIRED:
        return Status.VERIFIED
    match action.step:
        case Step.CLEAN if action.kind is not None and action.kind.bright_metal:
            return Status.CLEANED
        case Step.MEASURE:
            raise NotAllowed(f"It is measured by readings: open finding {finding.chalk}, then Measure.")
        case Step.DECIDE:
            return Status.DECIDED
        case Step.GUT if action.kind is not None and action.kind.bright_metal:
            return None
        case Step.RECORD:
            return None
        case _:
            return Status.REPAIRED
