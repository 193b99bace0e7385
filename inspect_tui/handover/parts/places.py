"""What was seen and what was not, compartment by compartment, with the reason."""

from __future__ import annotations

from collections import Counter

from inspect_tui.domain import walk
from inspect_tui.domain.plain import counted
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.words import UNSEEN_WORDS, Said
from inspect_tui.handover.model import Block, Column, Part, Points, Sheet, Table, Words
from inspect_tui.handover.parts.subject import Subject

COLUMNS = (
    Column("Compartment"),
    Column("Lies"),
    Column("Stage"),
    Column("Answered"),
    Column("One by one"),
    Column("By one look"),
    Column("Unseen"),
    Column("To gauge"),
    Column("Answers"),
    Column("Findings"),
    Column("Metal seen, and what hid the rest", wide=True),
)


def places_part(subject: Subject) -> Part:
    book = subject.book
    rows = []
    sheets: list[Sheet] = []
    unseen = []
    for place in book.bow_to_stern():
        done = walk.progress(book, subject.checklists, place)
        rows.append(
            (
                place.name,
                walk.frames_words(place),
                subject.judged.stages.get(place.id, "–"),
                f"{done.answered} of {done.asked}",
                str(done.one_by_one),
                str(done.by_look),
                str(sum(not prompt.share for prompt, _ in done.unseen)),
                str(len(done.to_gauge)),
                _tally(subject, place),
                ", ".join(str(one.chalk) for one in subject.findings_in.get(place.id, [])),
                _seen_words(subject, place),
            )
        )
        unseen += [
            (place.name, prompt.ask, reason.value if reason else "", walk.why_unseen(answer))
            for prompt, reason in done.unseen
            if not prompt.share and (answer := walk.answer_of(book, place.id, prompt.key))
        ]
        if points := _points(subject, place):
            sheets.append(Sheet(f"place-{place.id}", place.name, (Points(tuple(points)),)))
    blocks: list[Block | Sheet] = [Table("Compartments from bow to stern", COLUMNS, tuple(rows))]
    if unseen:
        blocks.append(
            Table(
                "Questions answered 'unseen', each with its reason",
                (Column("Compartment"), Column("Question", wide=True), Column("Code"), Column("Why", wide=True)),
                tuple(unseen),
            )
        )
    else:
        blocks.append(Words("No question was answered 'unseen'."))
    if gone := _asked_no_more(subject):
        told = "Answers of this round to questions that these checklists ask no more; they stay in the book:"
        blocks += [Words(told), Points(gone)]
    return Part("seen", "What was seen and what was not", (*blocks, *sheets))


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


def _seen_words(subject: Subject, place: Compartment) -> str:
    if walk.progress(subject.book, subject.checklists, place).untouched:
        return "not walked in this round"
    visit = walk.visit_of(subject.book, place.id)
    if visit is None:
        return "share not written down"
    why = ", ".join(UNSEEN_WORDS[reason] for reason in visit.reasons)
    told = [f"{visit.seen_percent:g} % of the metal", f"the rest: {why}" if why else "", visit.note]
    return "; ".join(part for part in told if part)


def _tally(subject: Subject, place: Compartment) -> str:
    said = Counter(
        answer.said
        for prompt in walk.prompts_of(subject.checklists, subject.book, place)
        if not (prompt.share or prompt.glance) and (answer := walk.answer_of(subject.book, place.id, prompt.key))
    )
    if walk.visit_of(subject.book, place.id):
        return ", ".join((_tally_words(said), "1 share of metal"))
    return _tally_words(said)


def _tally_words(said: Counter[Said]) -> str:
    return ", ".join(
        counted(said[one], one.value) if one is Said.FINDING else f"{said[one]} {one.value}"
        for one in Said
        if said[one]
    )


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
