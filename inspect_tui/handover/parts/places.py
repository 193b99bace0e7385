"""What was seen and what was not, compartment by compartment, with the reason."""

from __future__ import annotations

from inspect_tui.domain import walk
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.words import UNSEEN_WORDS, Said
from inspect_tui.handover.model import Block, Column, Head, Part, Points, Sheet, Table, Words
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.judgement.work.action import Task

COLUMNS = (
    Column("Compartment", wide=True),
    Column("Frames", narrow=True),
    Column("Stage", narrow=True),
    Column("Seen %", number=True),
    Column("Answered", narrow=True),
    Column("One by one", number=True),
    Column("One look", number=True),
    Column("Unseen", number=True),
    Column("To gauge", number=True),
    Column("What hid the rest", wide=True),
)


def places_part(subject: Subject) -> Part:
    rows = []
    for place in subject.book.bow_to_stern():
        done = subject.progress_of[place.id]
        rows.append(
            (
                place.name,
                walk.frames_words(place),
                subject.judged.stages.get(place.id, "–"),
                "–" if done.seen_percent is None else f"{done.seen_percent:g}",
                f"{done.answered} of {done.asked}",
                str(done.one_by_one),
                str(done.by_look),
                str(sum(not prompt.share for prompt, _ in done.unseen)),
                str(len(done.to_gauge)),
                _hidden_words(subject, place),
            )
        )
    note = (
        "Seen: share of the metal, as told by whoever looked. One by one: questions looked at by themselves; one "
        "look: answered together by one look over the place; unseen: nothing is known; the rest "
        "of the answers say how much was seen, and whether all of it is sound."
    )
    return Part("seen", "What was seen and what was not", (Table("", COLUMNS, tuple(rows), note=note),))


def unseen_part(subject: Subject) -> Part:
    """Every question that was answered 'unseen', by place and reason; notes; what she has not got."""
    groups: dict[tuple[str, str], list[str]] = {}
    sheets: list[Sheet] = []
    for place in subject.book.bow_to_stern():
        for prompt, _ in subject.progress_of[place.id].unseen:
            if not prompt.share and (answer := walk.answer_of(subject.book, place.id, prompt.key)):
                groups.setdefault((place.name, walk.why_unseen(answer)), []).append(prompt.ask)
        if points := _points(subject, place):
            sheets.append(Sheet(f"place-{place.id}", place.name, (Points(tuple(points)),)))
    blocks: list[Block | Sheet] = []
    if groups:
        rows = tuple((place, why, str(len(asks)), " ".join(asks)) for (place, why), asks in groups.items())
        columns = (Column("Compartment"), Column("Why"), Column("Questions", number=True), Column("Which", wide=True))
        blocks.append(Table("Questions answered 'unseen'", columns, rows))
    else:
        blocks.append(Words("No question was answered 'unseen'."))
    opened = [one for one in subject.listed.actions if one.task in (Task.CLOSE, Task.REFIT)]
    if opened:
        blocks.append(Head("Opened or taken out, and still to be put back"))
        blocks.append(Points(tuple(f"{one.where}: {one.headline}" for one in opened)))
    if gone := _asked_no_more(subject):
        told = "Answers of this round to questions that these checklists no longer ask; they stay in the book:"
        blocks += [Words(told), Points(gone)]
    return Part("unseen", "Why it was not seen, and notes", (*blocks, *sheets), two=True)


def _asked_no_more(subject: Subject) -> tuple[str, ...]:
    """Answers of this round to questions that were dropped or replaced, or that an owner's folder asked."""
    book = subject.book
    gone = [
        one
        for one in book.answers.values()
        if one.round == book.round.id and one.prompt not in subject.checklists.prompts
    ]
    return tuple(
        f"{subject.place_name(one.compartment)}: {one.prompt}: {one.said.value}{': ' + one.note if one.note else ''}"
        for one in gone
    )


def _hidden_words(subject: Subject, place: Compartment) -> str:
    if subject.progress_of[place.id].untouched:
        return "not walked in this round"
    visit = walk.visit_of(subject.book, place.id)
    if visit is None:
        return "share not written down"
    why = ", ".join(UNSEEN_WORDS[reason] for reason in visit.reasons)
    return "; ".join(part for part in (why, visit.note) if part)


def _points(subject: Subject, place: Compartment) -> list[str]:
    """Notes to answers, and what the boat has not got."""
    told = []
    for prompt in walk.prompts_of(subject.checklists, subject.book, place):
        answer = walk.answer_of(subject.book, place.id, prompt.key)
        if answer is None:
            continue
        if answer.said is Said.NOT_FITTED:
            told.append(f"Not fitted: {prompt.ask}")
        if answer.note:
            told.append(f"Note: {prompt.ask} ({answer.said.value}): {answer.note}")
    return told
