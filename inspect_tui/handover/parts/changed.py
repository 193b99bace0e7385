"""What changed since papers were last made: new, worse, better, corrected or taken back."""

from __future__ import annotations

from collections.abc import Iterator

from inspect_tui.domain.book import ADAPTERS, Book, dump
from inspect_tui.domain.chain import rewound
from inspect_tui.domain.plain import shortened
from inspect_tui.domain.records import Finding
from inspect_tui.domain.trail import PapersMade
from inspect_tui.domain.words import CLOSED
from inspect_tui.handover.model import Column, Line, Part, Table, Words
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.judgement.shell.rounds import Became

MOST_NUMBERS, MOST_TOLD = 12, 3


def last_papers(book: Book) -> PapersMade | None:
    """The newest papers that were made from an earlier state of the book; None if there are none."""
    head = book.said_until
    earlier = [one for one in book.papers.values() if one.head != head]
    return max(earlier, key=lambda one: (one.when, one.id), default=None)


def changed_lines(subject: Subject) -> tuple[Line, ...]:
    """New, worse, better, corrected; in a line each, or that nothing was or no papers were made before."""
    grew = _grown(subject)
    book, papers = subject.book, last_papers(subject.book)
    if papers is None:
        return (*grew, Line("Papers", "none were made from an earlier state of this book"))
    then = rewound(
        {name: {key: dump(row) for key, row in rows.items()} for name, rows in book.tables.items()}, papers.head
    )
    lines = [Line("Then", f"{papers.when:%Y-%m-%d}, for: {papers.name}")]
    if then is not None:
        was = {key: ADAPTERS["findings"].validate_python(row) for key, row in then.get("findings", {}).items()}
        lines += _findings(book, was)
    told = [one.words for one in subject.judged.corrections]
    if told:
        more = f"; {len(told)} in all, each under Corrections" if len(told) > MOST_TOLD else ""
        lines.append(Line("Corrected", "; ".join(shortened(one, 90) for one in told[:MOST_TOLD]) + more))
    if len(lines) == 1:
        lines.append(Line("Since", "nothing was found, changed or taken back"))
    return (*lines, *grew)


def _grown(subject: Subject) -> tuple[Line, ...]:
    """What grew since an earlier round."""
    grew = [one for one in subject.judged.since if one.became is Became.GREW]
    if not grew:
        return ()
    told = "; ".join(f"{one.name}: {one.words}" for one in grew[:MOST_TOLD])
    more = f"; {len(grew)} spots in all" if len(grew) > MOST_TOLD else ""
    return (Line("Grew", shortened(told, 240) + more),)


def _findings(book: Book, was: dict[str, Finding]) -> Iterator[Line]:
    fresh = [one.chalk for key, one in book.findings.items() if key not in was]
    both = [(was[key], one) for key, one in book.findings.items() if key in was]
    worse = [
        now.chalk
        for then, now in both
        if now.severity.rank < then.severity.rank or (then.status in CLOSED and now.status not in CLOSED)
    ]
    right = [now.chalk for then, now in both if then.status not in CLOSED and now.status in CLOSED]
    for name, chalks in (("New", fresh), ("Worse", worse), ("Put right", right)):
        if chalks:
            yield Line(name, _listed(sorted(chalks)))


def _listed(chalks: list[int]) -> str:
    more = f" and {len(chalks) - MOST_NUMBERS} more" if len(chalks) > MOST_NUMBERS else ""
    return f"no. {', '.join(map(str, chalks[:MOST_NUMBERS]))}{more}"


def corrections_part(subject: Subject) -> Part:
    """Everything that papers said before and the book says no more, with what it says now, who and when."""
    rows = tuple(
        (
            f"{one.papers:%Y-%m-%d}",
            f"finding {one.key}" if one.table == "findings" else f"reading {one.key}, {one.where}",
            one.what,
            one.before,
            one.after or "–",
            f"{one.when:%Y-%m-%d %H:%M}, {one.by}",
        )
        for one in subject.judged.corrections
    )
    if not rows:
        made = (
            "No papers were made before these."
            if not subject.book.papers
            else "Nothing in earlier papers has since been taken back or changed."
        )
        return Part("corrections", "Corrections", (Words(made),))
    columns = (
        Column("Papers of", narrow=True),
        Column("What"),
        Column("How", narrow=True),
        Column("Said before", wide=True),
        Column("Says now", wide=True),
        Column("When, by whom"),
    )
    return Part(
        "corrections", "Corrections", (Table("What earlier papers said and the book no longer says", columns, rows),)
    )
