"""Answers to the questions of the walk, rounds, where the walk stands, and what is half written."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from inspect_tui.domain import walk
from inspect_tui.domain.book import ONLY, Book, Edit, Put, Stamp
from inspect_tui.domain.identity import Key
from inspect_tui.domain.knowledge.areas import Prompt
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.quantities import QUANTITIES
from inspect_tui.domain.records import Answer, Compartment, Round, Visit
from inspect_tui.domain.trail import Done, Draft, Form, Here
from inspect_tui.domain.words import Need, Said, UnseenReason
from inspect_tui.errors import NotAllowed


def say(
    book: Book,
    stamp: Stamp,
    compartment: Compartment,
    prompt: Prompt,
    said: Said,
    *,
    reason: UnseenReason | None = None,
    note: str | None = None,
    bar: walk.Bar | None = None,
) -> Edit:
    """Answer one prompt in this round. What was noted before is kept unless a new note is given. `bar`: what keeps it
    from being done now; how she lies always counts."""
    before = walk.answer_of(book, compartment.id, prompt.key)
    as_before = before is not None and (before.said, before.reason) == (said, reason)
    bar = bar or walk.barred(book.boat, prompt)
    seen = bar is not None and bar.finding and said is Said.FINDING
    taken = seen or said is Said.NOT_FITTED or (bar is not None and (said, reason) == (Said.UNSEEN, bar.reason))
    if bar and not as_before and not taken:
        raise NotAllowed(bar.say)
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


def shut_off(book: Book, stamp: Stamp, checklists: Checklists, compartment: Compartment) -> Edit:
    """The air is bad, or nobody tested it: what lies inside and was not answered this round counts as unseen."""
    puts: list[Put] = []
    for prompt in walk.prompts_of(checklists, book, compartment):
        inside = Need.GAS_FREE in walk.needs_of(checklists, compartment, prompt)
        if not inside or walk.answer_of(book, compartment.id, prompt.key) is not None:
            continue
        hauled = walk.barred(book.boat, prompt)
        reason = hauled.reason if hauled else UnseenReason.UNSAFE_AIR
        puts += say(book, stamp, compartment, prompt, Said.UNSEEN, reason=reason).puts
    return Edit(f"Bad or untested air: {compartment.name}: the inside unseen", tuple(puts))


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
    QUANTITIES["seen_percent"].checked(seen_percent, f"{seen_percent:g} %")
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


@dataclass(frozen=True)
class Repair:
    """What somebody says of work that is done. `signed`: a name, under what keeps the water out; `used`: with what;
    `did`: by whom; `cost`: hours, or the invoice."""

    note: str = ""
    signed: str = ""
    used: str = ""
    did: str = ""
    cost: str = ""


def mark_done(stamp: Stamp, action: str, what: str, repair: Repair, *more: Put) -> Edit:
    done = Done(
        action=action,
        what=what,
        when=stamp.when,
        by=stamp.by,
        note=repair.note,
        signed=repair.signed.strip() or None,
        used=repair.used or None,
        did=repair.did or None,
        cost=repair.cost or None,
    )
    key = f"{action}@{stamp.when.isoformat()}"
    return Edit(f"Done: {what}", (Put("done", key, done), *more))


def open_round(book: Book, stamp: Stamp, purpose: str) -> Edit:
    """Close the round that is open and begin the next: prompts are asked anew, findings stay."""
    last = book.round
    key = book.new_key("rounds")
    number = Key.of(key).number
    new = Round(id=key, number=number, opened=stamp.when, by=stamp.by, purpose=purpose)
    puts = [Put("rounds", new.id, new)]
    if last.closed is None:
        puts.append(Put("rounds", last.id, last.model_copy(update={"closed": stamp.when})))
    return Edit(f"Opened round {number}", tuple(puts))


def stand_here(book: Book, stamp: Stamp, compartment: str, prompt: str) -> Put:
    """Where the walk stands now, to carry on from."""
    return Put("here", ONLY, Here(round=book.round.id, compartment=compartment, prompt=prompt, when=stamp.when))


def keep_draft(stamp: Stamp, form: Form, fields: dict[str, str], chalk: int | None = None) -> Put:
    """What is being typed on a form, to be found there again."""
    draft = Draft(
        id=form.key,
        when=stamp.when,
        fields=fields,
        chalk=chalk,
        screen=form.screen,
        arguments=dict(form.arguments),
        asked=form.asked,
        about=dict(form.about),
    )
    return Put("drafts", form.key, draft)


def drop_draft(form: Form) -> Put:
    return Put("drafts", form.key, None)
