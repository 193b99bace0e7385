"""Answers to the questions of the walk, rounds, where the walk stands, and what is half written."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from typing import cast

from inspect_tui.domain import walk
from inspect_tui.domain.book import ONLY, Book, Edit, Put, Stamp
from inspect_tui.domain.identity import Key
from inspect_tui.domain.knowledge.areas import By, Prompt
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.quantities import QUANTITIES
from inspect_tui.domain.records import Answer, Compartment, Round, Visit
from inspect_tui.domain.trail import Done, Draft, Form, Here
from inspect_tui.domain.walking.triage import answered_by_look
from inspect_tui.domain.words import Need, Said, UnseenReason
from inspect_tui.errors import NotAllowed

# What the reason alone answers: nobody did anything, so that only what she is herself keeps its own reason.
_SEEN_TO = tuple(need for need in Need if need is not Need.HAULED_OUT)


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
    if prompt.must and said is Said.NOT_FITTED and not as_before:
        raise NotAllowed(
            "Here, having none is a finding. If she lacks what calls for it (shore power, gas), say so in her "
            "particulars."
        )
    if said is Said.UNSEEN and reason is None:
        raise NotAllowed("Say why it was not seen: that is what the next reader will ask.")
    told = note if note is not None else (before.note if before else "")
    if said is Said.UNSEEN and reason is UnseenReason.OTHER and not told.strip():
        raise NotAllowed("'Other' needs the reason in your words: the next reader will ask.")
    if said is Said.SOUND and prompt.by is By.GAUGE and not as_before and not _read(book, compartment, prompt):
        raise NotAllowed("This one is answered by readings; unseen, not fitted or a finding will do too.")
    answer = Answer(
        round=book.round.id,
        compartment=compartment.id,
        prompt=prompt.key,
        said=said,
        when=stamp.when,
        by=stamp.by,
        reason=reason if said is Said.UNSEEN else None,
        note=told,
    )
    put = Put("answers", walk.answer_key(answer.round, answer.compartment, answer.prompt), answer)
    # Where the one look says no, everything is asked.
    looked = _no_look(book, compartment) if prompt.glance and said is not Said.SOUND else ()
    return Edit(f"{said.value}: {compartment.name}: {prompt.ask}", (put, *looked))


def say_by_look(
    book: Book, stamp: Stamp, checklists: Checklists, compartment: Compartment, glance: Prompt, met: Collection[Need]
) -> Edit:
    """One look over the place says that all is well: it answers what it may, and nothing else. `met`: needs that were
    seen to.

    Raises
    ------
    NotAllowed : how much of the metal was seen is not written down, or it was too little; the air of a closed place
        was not tested.
    """
    visit = walk.visit_of(book, compartment.id)
    if visit is None:
        raise NotAllowed("First say how much of the metal here you saw: without that, one look answers nothing.")
    if visit.seen_percent < walk.LOOK_SHARE:
        raise NotAllowed(
            f"Less than {walk.LOOK_SHARE:g} % was seen: one look answers nothing here; each question is asked."
        )
    if bar := walk.bar_of(checklists, book.boat, compartment, glance, met):
        raise NotAllowed(bar.say)
    answered = answered_by_look(checklists, book, compartment, met)
    puts = [*say(book, stamp, compartment, glance, Said.SOUND).puts]
    for prompt in answered:
        put = say(book, stamp, compartment, prompt, Said.SOUND).puts[0]
        puts.append(replace(put, record=cast("Answer", put.record).model_copy(update={"by_look": True})))
    puts += _waiting_for_the_haul_out(book, stamp, checklists, compartment, met)
    return Edit(f"One look: {compartment.name}: {len(answered)} questions", tuple(puts))


def _waiting_for_the_haul_out(
    book: Book, stamp: Stamp, checklists: Checklists, compartment: Compartment, met: Collection[Need]
) -> list[Put]:
    """What is asked everywhere and cannot be called sound by looking alone while she floats: unseen, with that
    reason."""
    puts: list[Put] = []
    for prompt in walk.prompts_of(checklists, book, compartment):
        if not (prompt.area == walk.EVERYWHERE and prompt.by is By.LOOK and walk.is_open(book, compartment, prompt)):
            continue
        bar = walk.bar_of(checklists, book.boat, compartment, prompt, met)
        if bar is not None and bar.reason is UnseenReason.NOT_HAULED:
            puts += say(book, stamp, compartment, prompt, Said.UNSEEN, reason=bar.reason).puts
    return puts


def _no_look(book: Book, compartment: Compartment) -> tuple[Put, ...]:
    """Takes back what one look answered here in this round."""
    return tuple(
        Put("answers", key, None)
        for key, one in book.answers.items()
        if one.by_look and (one.round, one.compartment) == (book.round.id, compartment.id)
    )


def rest_unseen(
    book: Book,
    stamp: Stamp,
    checklists: Checklists,
    compartment: Compartment,
    reason: UnseenReason,
    note: str = "",
    only: UnseenReason | None = None,
) -> Edit:
    """Everything that is still open in a place is unseen for one reason; what must wait until she is hauled out is so
    for that. `only`: no more than what waits for this."""
    puts: list[Put] = []
    prompts = [one for one in walk.prompts_of(checklists, book, compartment) if walk.is_open(book, compartment, one)]
    # Where nothing of it was seen the one look is not asked.
    share = any(prompt.share for prompt in prompts)
    for prompt in prompts:
        if prompt.glance and share and only is None:
            continue
        bar = walk.bar_of(checklists, book.boat, compartment, prompt, _SEEN_TO)
        if only is not None and (bar is None or bar.reason is not only):
            continue
        why = bar.reason if bar else reason
        if prompt.share:
            puts += seen_share(book, stamp, compartment, prompt, 0, (why,), note).puts
        else:
            puts += say(book, stamp, compartment, prompt, Said.UNSEEN, reason=why, note=note or None).puts
    return Edit(f"Unseen, {reason.value}: {len(puts)} in {compartment.name}", tuple(puts))


def shut_off(book: Book, stamp: Stamp, checklists: Checklists, compartment: Compartment) -> Edit:
    """The air is bad, or nobody tested it: what lies inside and was not answered this round counts as unseen."""
    puts: list[Put] = []
    for prompt in walk.prompts_of(checklists, book, compartment):
        inside = Need.GAS_FREE in walk.needs_of(checklists, compartment, prompt)
        if not inside or prompt.glance or walk.answer_of(book, compartment.id, prompt.key) is not None:
            continue
        hauled = walk.barred(book.boat, prompt)
        reason = hauled.reason if hauled else UnseenReason.UNSAFE_AIR
        if prompt.share:
            puts += seen_share(book, stamp, compartment, prompt, 0, (reason,)).puts
            continue
        puts += say(book, stamp, compartment, prompt, Said.UNSEEN, reason=reason).puts
    return Edit(f"Bad or untested air: {compartment.name}: the inside unseen", tuple(puts))


def open_again(book: Book, compartment: Compartment) -> tuple[Put, ...]:
    """The air is good after all: what was unseen in this round for bad or untested air is asked again."""
    shut = (
        key
        for key, one in book.answers.items()
        if (one.round, one.compartment, one.reason) == (book.round.id, compartment.id, UnseenReason.UNSAFE_AIR)
    )
    return tuple(Put("answers", key, None) for key in shut)


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
    answered = say(
        book, stamp, compartment, prompt, said, reason=why[0] if said is Said.UNSEEN else None, note=note or None
    )
    looked = _no_look(book, compartment) if seen_percent < walk.LOOK_SHARE else ()
    return Edit(
        f"{compartment.name}: metal seen {seen_percent:g} %",
        (Put("visits", walk.visit_key(visit.round, visit.compartment), visit), *answered.puts, *looked),
    )


def _read(book: Book, compartment: Compartment, prompt: Prompt) -> bool:
    return (compartment.id, prompt.key) in book.read_at


@dataclass(frozen=True)
class Repair:
    """What somebody says of work that is done. `signed`: a name, under what keeps the water out; `used`: with what;
    `did`: by whom; `cost`: the invoice; `hours`: how long it took, `planned_hours`: what the plan had for it [h]."""

    note: str = ""
    signed: str = ""
    used: str = ""
    did: str = ""
    cost: str = ""
    hours: float | None = None
    planned_hours: float | None = None


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
        hours=repair.hours,
        planned_hours=repair.planned_hours if repair.hours is not None else None,
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
