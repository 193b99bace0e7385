"""Every change an owner can make to a book, as an `Edit`. Each refuses what the rules of the walk forbid."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from inspect_tui.domain import walk
from inspect_tui.domain.book import ADAPTERS, ONLY, Book, Edit, Put, Stamp
from inspect_tui.domain.checklists import Area, Prompt, ReadingKind
from inspect_tui.domain.errors import NotAllowed
from inspect_tui.domain.readings import KINDS
from inspect_tui.domain.records import (
    Answer,
    Boat,
    Compartment,
    Finding,
    FloatEvent,
    PlateField,
    Rates,
    Reading,
    Round,
    StatusEvent,
    Visit,
)
from inspect_tui.domain.trail import Done, Draft, Here
from inspect_tui.domain.words import (
    FloatState,
    HullMetal,
    Likelihood,
    Rig,
    Said,
    Severity,
    Status,
    Treatment,
    UnseenReason,
)

ORDER_STEP = 100


def start_book(
    stamp: Stamp,
    *,
    name: str,
    rig: Rig,
    hull_metal: HullMetal,
    hull_length_m: float,
    float_state: FloatState,
    areas: Sequence[Area],
    purpose: str = "",
) -> Edit:
    """The first line of a book: the boat, her compartments from bow to stern, round 1."""
    name = name.strip()
    if not name:
        raise NotAllowed("She needs a name, or a number if she has none.")
    if not 2 <= hull_length_m <= 120:
        raise NotAllowed(f"{hull_length_m:g} m is not a likely hull length: between 2 and 120 m.")
    boat = Boat(
        name=name,
        rig=rig,
        hull_metal=hull_metal,
        hull_length_m=hull_length_m,
        float_history=(FloatEvent(day=stamp.when.date(), state=float_state),),
    )
    places = [_new_compartment(number, area, area.name) for number, area in enumerate(areas, 1)]
    return Edit(
        f"Started the book of {name}",
        (
            Put("boat", ONLY, boat),
            *(Put("compartments", place.id, place) for place in places),
            Put("rounds", "1", Round(id="1", number=1, opened=stamp.when, by=stamp.by, purpose=purpose)),
        ),
    )


def _new_compartment(number: int, area: Area, name: str) -> Compartment:
    return Compartment(id=f"c{number}", area=area.id, name=name, order=area.number * ORDER_STEP + number)


def add_compartment(book: Book, area: Area, name: str) -> Edit:
    number = book.next_number("compartments")
    alike = sum(place.area == area.id for place in book.compartments.values())
    place = _new_compartment(number, area, name.strip() or (f"{area.name} {alike + 1}" if alike else area.name))
    return Edit(f"Added the compartment {place.name}", (Put("compartments", place.id, place),))


def change_compartment(compartment: Compartment) -> Edit:
    if not compartment.name.strip():
        raise NotAllowed("A compartment needs a name.")
    return Edit(f"Changed the compartment {compartment.name}", (Put("compartments", compartment.id, compartment),))


def drop_compartment(book: Book, compartment: Compartment) -> Edit:
    """Take a compartment off the boat; only one with nothing written under it."""
    written = (*book.findings.values(), *book.answers.values(), *book.readings.values(), *book.visits.values())
    if any(row.compartment == compartment.id for row in written):
        raise NotAllowed(f"Something is written down in {compartment.name}: it stays in the book.")
    return Edit(f"Took away the compartment {compartment.name}", (Put("compartments", compartment.id, None),))


def change_boat(boat: Boat) -> Edit:
    if not boat.name.strip():
        raise NotAllowed("She needs a name, or a number if she has none.")
    return Edit("Changed the boat's particulars", (Put("boat", ONLY, boat),))


def keep_plate_field(field: PlateField) -> Edit:
    """A plate field, new or changed."""
    if not field.name.strip():
        raise NotAllowed("A plate field needs a name, as bottom amidships.")
    return Edit(f"Plate field {field.name}", (Put("plate_fields", field.id, field),))


def drop_plate_field(book: Book, field: PlateField) -> Edit:
    """Take a plate field out; only one that no reading or compartment names."""
    if any(row.plate_field == field.id for row in book.readings.values()):
        raise NotAllowed(f"Readings were taken on {field.name}: it stays in the book.")
    if any(field.id in place.plate_fields for place in book.compartments.values()):
        raise NotAllowed(f"A compartment lies on {field.name}: take it off there first.")
    return Edit(f"Took away the plate field {field.name}", (Put("plate_fields", field.id, None),))


def float_or_haul(book: Book, state: FloatState, day: date) -> Edit:
    """From this day on she is afloat, or out of the water."""
    history = book.boat.float_history
    if history and day < history[-1].day:
        raise NotAllowed(f"The last entry is of {history[-1].day}: a new one cannot be earlier.")
    boat = book.boat.model_copy(update={"float_history": (*history, FloatEvent(day=day, state=state))})
    return Edit(f"She is {state.value} since {day}", (Put("boat", ONLY, boat),))


def say(
    book: Book,
    stamp: Stamp,
    compartment: Compartment,
    prompt: Prompt,
    said: Said,
    *,
    reason: UnseenReason | None = None,
    note: str | None = None,
) -> Edit:
    """Answer one prompt in this round. What was noted before is kept unless a new note is given."""
    before = walk.answer_of(book, compartment.id, prompt.key)
    as_before = before is not None and (before.said, before.reason) == (said, reason)
    refusal = walk.barred(book.boat, prompt)
    if refusal and not as_before and (said is not Said.UNSEEN or reason is not UnseenReason.NOT_HAULED):
        raise NotAllowed(refusal)
    if said is Said.UNSEEN and reason is None:
        raise NotAllowed("Say why it was not seen: that is what the next reader will ask.")
    answer = Answer(
        round=book.round.id,
        compartment=compartment.id,
        prompt=prompt.key,
        said=said,
        when=stamp.when,
        by=stamp.by,
        reason=reason if said is Said.UNSEEN else None,
        note=note if note is not None else (before.note if before else ""),
    )
    put = Put("answers", walk.answer_key(answer.round, answer.compartment, answer.prompt), answer)
    return Edit(f"{said.value}: {compartment.name}: {prompt.ask}", (put,))


def seen_share(
    book: Book,
    stamp: Stamp,
    compartment: Compartment,
    prompt: Prompt,
    seen_percent: float,
    reasons: Iterable[UnseenReason] = (),
    note: str = "",
) -> Edit:
    """How much of a compartment's metal was seen this round; less than all of it asks for the reason."""
    why = tuple(reasons)
    if not 0 <= seen_percent <= 100:
        raise NotAllowed(f"{seen_percent:g} % is not a share: between 0 and 100.")
    if seen_percent < 100 and not why:
        raise NotAllowed("Say what hid the rest: that is what the next reader will ask.")
    visit = Visit(
        round=book.round.id,
        compartment=compartment.id,
        seen_percent=seen_percent,
        reasons=why if seen_percent < 100 else (),
        note=note,
    )
    said = Said.SOUND if seen_percent == 100 else Said.UNSEEN
    answered = say(book, stamp, compartment, prompt, said, reason=why[0] if said is Said.UNSEEN else None)
    return Edit(
        f"{compartment.name}: metal seen {seen_percent:g} %",
        (Put("visits", walk.visit_key(visit.round, visit.compartment), visit), *answered.puts),
    )


def write_finding(
    book: Book,
    stamp: Stamp,
    compartment: Compartment,
    *,
    kind: str,
    words: str,
    severity: Severity,
    likelihood: Likelihood,
    prompt: Prompt | None = None,
    chalk: int | None = None,
    note: str = "",
    **more: Any,
) -> Edit:
    """A new finding with its chalk number; the prompt it came from is answered 'finding'."""
    number = chalk or book.next_number("findings")
    if str(number) in book.findings:
        number = book.next_number("findings")
    found = StatusEvent(status=Status.FOUND, when=stamp.when, by=stamp.by, round=book.round.id)
    finding = Finding(
        chalk=number,
        compartment=compartment.id,
        kind=kind,
        words=words,
        severity=severity,
        likelihood=likelihood,
        history=(found,),
        prompt=prompt.key if prompt else None,
        signs=prompt.signs if prompt else (),
        **more,
    )
    puts = [Put("findings", str(number), finding)]
    if prompt is not None:
        if refusal := walk.barred(book.boat, prompt):
            raise NotAllowed(refusal)
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
    if status is Status.ACCEPTED and not note.strip():
        raise NotAllowed("To accept a finding as it is, write why: a surveyor will ask.")
    if status is Status.DECIDED and treatment is None and finding.treatment is None:
        raise NotAllowed("Choose what is to be done before the finding counts as decided.")
    if status is Status.DECIDED and treatment is Treatment.LEAVE_BARE and not note.strip():
        raise NotAllowed("To leave it bare, write why: a surveyor will ask.")
    event = StatusEvent(status=status, when=stamp.when, by=stamp.by, round=book.round.id, note=note)
    update: dict[str, Any] = {"history": (*finding.history, event)}
    if treatment is not None:
        update["treatment"] = treatment
    moved = finding.model_copy(update=update)
    return Edit(f"Finding {finding.chalk}: {status.value}", (Put("findings", str(finding.chalk), moved),))


def _check_repair(book: Book, finding: Finding, note: str, *, bright_metal: bool) -> None:
    if finding.status is not Status.REPAIRED:
        raise NotAllowed("Only what was repaired can be verified. To close it as it is: accepted, with the reason.")
    repaired = finding.history[-1].when
    measured = any(one.finding == finding.chalk and one.when >= repaired for one in book.readings.values())
    if bright_metal and not measured:
        raise NotAllowed(f"Measure finding {finding.chalk} again first: a repair of metal is verified by readings.")
    if not measured and not note.strip():
        raise NotAllowed(f"Write what was looked at: finding {finding.chalk} is closed by it.")


def add_reading(
    book: Book,
    stamp: Stamp,
    compartment: Compartment,
    kind: ReadingKind,
    values: Sequence[float],
    *,
    finding: Finding | None = None,
    **more: Any,
) -> Edit:
    """A new reading. A finding that was only found or cleaned counts as measured by depths or thickness."""
    about = KINDS[kind]
    number = book.next_number("readings")
    reading: Reading = ADAPTERS["readings"].validate_python(
        {
            "id": f"r{number}",
            "kind": kind,
            "round": book.round.id,
            "compartment": compartment.id,
            "when": stamp.when,
            "by": stamp.by,
            "finding": finding.chalk if finding else None,
            about.values: [int(value) if kind == "count" else value for value in values],
            **more,
        }
    )
    puts = [Put("readings", reading.id, reading)]
    if (
        finding
        and kind in ("pits", "thickness")
        and finding.status in (Status.FOUND, Status.CLEANED)
        and reading.clean_metal is not False
    ):
        puts += move_finding(book, stamp, finding, Status.MEASURED).puts
    where = f"finding {finding.chalk}" if finding else compartment.name
    return Edit(f"Measured {about.label} at {where}", tuple(puts))


def finding_of(book: Book, stamp: Stamp, compartment: Compartment, reading: Reading, prompt: Prompt | None) -> Edit:
    """A finding for pits that belong to none, at the place they were measured."""
    found = write_finding(
        book,
        stamp,
        compartment,
        kind="pitting",
        words="",
        severity=prompt.severity if prompt else Severity.MARGINAL,
        likelihood=Likelihood.C,
        prompt=prompt if prompt and not prompt.share else None,
        position=reading.position,
    )
    moved = Put("readings", reading.id, reading.model_copy(update={"finding": int(found.puts[0].key)}))
    return Edit(found.words, (*found.puts, moved))


def take_out_reading(reading: Reading) -> Edit:
    return Edit(f"Took out the reading {reading.id}", (Put("readings", reading.id, None),))


def mark_done(stamp: Stamp, action: str, what: str, note: str = "", *more: Put) -> Edit:
    done = Done(action=action, what=what, when=stamp.when, by=stamp.by, note=note)
    key = f"{action}@{stamp.when.isoformat()}"
    return Edit(f"Done: {what}", (Put("done", key, done), *more))


def open_round(book: Book, stamp: Stamp, purpose: str) -> Edit:
    """Close the round that is open and begin the next: prompts are asked anew, findings stay."""
    last = book.round
    number = book.next_number("rounds")
    new = Round(id=str(number), number=number, opened=stamp.when, by=stamp.by, purpose=purpose)
    puts = [Put("rounds", new.id, new)]
    if last.closed is None:
        puts.append(Put("rounds", last.id, last.model_copy(update={"closed": stamp.when})))
    return Edit(f"Opened round {number}", tuple(puts))


def stand_here(book: Book, stamp: Stamp, compartment: str, prompt: str) -> Put:
    """Where the walk stands now, to carry on from."""
    return Put("here", ONLY, Here(round=book.round.id, compartment=compartment, prompt=prompt, when=stamp.when))


def keep_draft(stamp: Stamp, form: str, fields: dict[str, str], chalk: int | None = None) -> Edit:
    draft = Draft(id=form, when=stamp.when, fields=fields, chalk=chalk)
    return Edit("Draft", (Put("drafts", form, draft),))


def drop_draft(form: str) -> Put:
    return Put("drafts", form, None)


def set_rates(rates: Rates) -> Edit:
    """What work and metal cost the owner; the papers then estimate, and otherwise show no money."""
    if rates.currency.strip() and not any(sign.isalpha() or sign in "€$£¥" for sign in rates.currency):
        raise NotAllowed(f"{rates.currency} is not a money: write EUR, or whatever you pay in.")
    if not rates.currency.strip() and (rates.hour or rates.plate_kg or rates.filler_kg):
        raise NotAllowed("In which money? Write EUR, or whatever you pay in.")
    return Edit("Changed the rates for estimates", (Put("rates", ONLY, rates),))
