"""Findings: written, changed, and moved on from found to verified or accepted."""

from __future__ import annotations

from dataclasses import dataclass

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book, Edit, Put, Stamp
from inspect_tui.domain.knowledge.areas import Prompt
from inspect_tui.domain.knowledge.named import Kinds
from inspect_tui.domain.records import NOWHERE, Answer, Compartment, Cut, Finding, Override, Position, StatusEvent
from inspect_tui.domain.words import CLOSED, Follows, Likelihood, Said, Severity, Status, Treatment
from inspect_tui.errors import NotAllowed


@dataclass(frozen=True)
class NewFinding:
    """Something wrong as somebody writes it down, before it has its number. `circuit`: of a leak, which one."""

    kind: str
    words: str
    severity: Severity
    likelihood: Likelihood
    position: Position = NOWHERE
    extent_length_mm: float | None = None
    extent_width_mm: float | None = None
    follows: Follows | None = None
    circuit: str | None = None


def write_finding(
    book: Book,
    stamp: Stamp,
    compartment: Compartment,
    new: NewFinding,
    *,
    prompt: Prompt | None = None,
    chalk: int | None = None,
    note: str = "",
) -> Edit:
    """A new finding with its chalk number; the prompt it came from is answered 'finding'."""
    number = chalk or book.next_number("findings")
    if str(number) in book.findings:
        number = book.next_number("findings")
    found = StatusEvent(status=Status.FOUND, when=stamp.when, by=stamp.by, round=book.round.id)
    finding = Finding(
        chalk=number,
        compartment=compartment.id,
        kind=new.kind,
        words=new.words,
        severity=new.severity,
        likelihood=new.likelihood,
        history=(found,),
        prompt=prompt.key if prompt else None,
        signs=prompt.signs if prompt else (),
        position=new.position,
        extent_length_mm=new.extent_length_mm,
        extent_width_mm=new.extent_width_mm,
        follows=new.follows,
        circuit=new.circuit,
    )
    puts = [Put("findings", str(number), finding)]
    if prompt is not None:
        if bar := walk.barred(book.boat, prompt):
            raise NotAllowed(bar.say)
        before = walk.answer_of(book, compartment.id, prompt.key)
        answered = Answer(
            round=book.round.id,
            compartment=compartment.id,
            prompt=prompt.key,
            said=Said.FINDING,
            when=stamp.when,
            by=stamp.by,
            note=note or (before.note if before else ""),
        )
        puts.append(Put("answers", walk.answer_key(book.round.id, compartment.id, prompt.key), answered))
    return Edit(f"Finding {number} in {compartment.name}", tuple(puts))


def change_finding(finding: Finding) -> Edit:
    return Edit(f"Changed finding {finding.chalk}", (Put("findings", str(finding.chalk), finding),))


def move_finding(
    book: Book,
    stamp: Stamp,
    finding: Finding,
    status: Status,
    note: str = "",
    treatment: Treatment | None = None,
    *,
    bright_metal: bool = False,
) -> Edit:
    """A finding goes on to another status, or back to an earlier one (reopened); its history is kept.

    Only what was repaired can be verified: eaten metal (`bright_metal`) by a new reading, the rest by a
    reading or a word about what was looked at.
    """
    if status is Status.VERIFIED:
        _check_repair(book, finding, note, bright_metal=bright_metal)
    if status is Status.WITHDRAWN:
        return withdraw_finding(book, stamp, finding, note)
    if status is Status.ACCEPTED and not note.strip():
        raise NotAllowed("To accept a finding as it is, write why: a surveyor will ask.")
    if status is Status.DECIDED and treatment is None and finding.treatment is None:
        raise NotAllowed("Choose what is to be done before the finding counts as decided.")
    if status is Status.DECIDED and treatment is Treatment.LEAVE_BARE and not note.strip():
        raise NotAllowed("To leave it bare, write why: a surveyor will ask.")
    event = StatusEvent(status=status, when=stamp.when, by=stamp.by, round=book.round.id, note=note)
    history = (*finding.history, event)
    moved = finding.model_copy(update={"history": history, "treatment": treatment or finding.treatment})
    return Edit(f"Finding {finding.chalk}: {status.value}", (Put("findings", str(finding.chalk), moved),))


def withdraw_finding(book: Book, stamp: Stamp, finding: Finding, reason: str) -> Edit:
    """It was a mistake: it stays in the book with the reason, its number is not given again, and nothing asks for
    it."""
    if not reason.strip():
        raise NotAllowed("Write why it is withdrawn: the number is still on the metal.")
    event = StatusEvent(
        status=Status.WITHDRAWN, when=stamp.when, by=stamp.by, round=book.round.id, note=reason.strip()
    )
    withdrawn = finding.model_copy(update={"history": (*finding.history, event)})
    return Edit(f"Withdrew finding {finding.chalk}", (Put("findings", str(finding.chalk), withdrawn),))


def merge_finding(book: Book, stamp: Stamp, finding: Finding, into: int) -> Edit:
    """The same thing was written twice: its readings and photos go to the other, which stays open."""
    other = book.findings.get(str(into))
    if other is None or into == finding.chalk:
        raise NotAllowed(f"There is no other finding {into}.")
    if other.status in CLOSED:
        raise NotAllowed(f"Finding {into} is closed: open it again first.")
    withdrawn = withdraw_finding(book, stamp, finding, f"the same as finding {into}").puts[0].record
    assert isinstance(withdrawn, Finding)
    grave = min(finding.severity, other.severity, key=lambda one: one.rank)
    likely = min(finding.likelihood, other.likelihood, key=lambda one: one.rank)
    photos = (*other.photos, *(one for one in finding.photos if one not in other.photos))
    keeper = other.model_copy(update={"photos": photos, "severity": grave, "likelihood": likely})
    moved = (
        Put("readings", reading.id, reading.model_copy(update={"finding": into}))
        for reading in book.readings.values()
        if reading.finding == finding.chalk
    )
    return Edit(
        f"Merged finding {finding.chalk} into {into}",
        (
            Put("findings", str(finding.chalk), withdrawn.model_copy(update={"merged_into": into, "photos": ()})),
            Put("findings", str(into), keeper),
            *moved,
        ),
    )


def _check_repair(book: Book, finding: Finding, note: str, *, bright_metal: bool) -> None:
    if finding.status is not Status.REPAIRED:
        raise NotAllowed("Only what was repaired can be verified. To close it as it is: accept it, with the reason.")
    repaired = finding.history[-1].when
    measured = any(one.finding == finding.chalk and one.when >= repaired for one in book.readings.values())
    if bright_metal and not measured:
        raise NotAllowed(f"Measure finding {finding.chalk} again first: a repair of metal is verified by readings.")
    if not measured and not note.strip():
        raise NotAllowed(f"Write what was looked at: that is what closes finding {finding.chalk}.")


def cut_as(finding: Finding, cut: Cut | None) -> Edit:
    """How the owner wants it cut out, with the reason; None takes that back.

    Raises
    ------
    NotAllowed : no reason; or a hole is to be left out.
    """
    if cut is not None and not cut.reason.strip():
        raise NotAllowed("Write why: the welder and the next owner will ask.")
    if cut is not None and cut.how == "left out" and finding.kind == Kinds.HOLE:
        raise NotAllowed(f"Finding {finding.chalk} is a hole: it cannot be left out.")
    word = "as worked out" if cut is None else cut.how if cut.other is None else f"{cut.how} {cut.other}"
    changed = finding.model_copy(update={"cut": cut})
    return Edit(f"Finding {finding.chalk} cut {word}", (Put("findings", str(finding.chalk), changed),))


def not_found_again(book: Book, finding: Finding) -> Edit:
    """Its mark was looked for in this round, and not found: it waits for no reading until the next."""
    lost = finding.model_copy(update={"not_found": book.round.id})
    return Edit(
        f"Finding {finding.chalk}: its mark was not found again", (Put("findings", str(finding.chalk), lost),)
    )


def override_finding(finding: Finding, stamp: Stamp, treatment: Treatment, reason: str) -> Edit:
    """The owner's own decision on what is to be done, with the reason."""
    own = Override(treatment=treatment, reason=reason, when=stamp.when, by=stamp.by)
    return change_finding(finding.model_copy(update={"override": own}))
