"""How far a place is, told from what is written down."""

from __future__ import annotations

from datetime import timedelta

from inspect_tui.domain import edits, walk
from inspect_tui.domain.book import Book, Edit, Stamp, after
from inspect_tui.domain.knowledge.areas import By
from inspect_tui.domain.records import Compartment, PartKind, PartOut
from inspect_tui.domain.words import Said, Status, Treatment, UnseenReason
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.walk.stages import Stage
from inspect_tui.judgement.work.action import Task
from inspect_tui.judgement.work.completion import complete
from inspect_tui.store.checklist_files import load_checklists
from tests.conftest import START, finding_edit, new_book_edit, place_called, prompt_called, reading_edit

STAMP = Stamp(START, "Mattis")
CHECKLISTS = load_checklists()


def her() -> tuple[Book, Compartment]:
    areas = [CHECKLISTS.areas[id] for id in ("forward-cabin", "water-tank")]
    book, _ = after(Book.empty(), new_book_edit(CHECKLISTS, STAMP, areas=areas), STAMP)
    return book, place_called(book, "forward-cabin")


def do(book: Book, edit: Edit, days: int = 0) -> Book:
    return after(book, edit, Stamp(START + timedelta(days=days), "Mattis"))[0]


def stage(book: Book) -> Stage:
    return Judged(book, CHECKLISTS).stages[place_called(book, "forward-cabin").id]


def looked_over(book: Book, place: Compartment) -> Book:
    """Everything that is asked, sound."""
    _, share = prompt_called(CHECKLISTS, book, "everywhere/share")
    book = do(book, edits.seen_share(book, STAMP, place, share, 100))
    while (index := walk.first_open(book, CHECKLISTS, place)) is not None:
        prompt = walk.prompts_of(CHECKLISTS, book, place)[index]
        book = do(book, edits.say(book, STAMP, place, prompt, Said.FINDING if prompt.glance else Said.SOUND))
    return book


def gauged(book: Book, place: Compartment) -> Book:
    for prompt in walk.progress(book, CHECKLISTS, place).to_gauge:
        assert prompt.by is By.GAUGE
        book = do(book, reading_edit(book, STAMP, place, prompt.measure[0], [4.0], prompt=prompt.key))
    return book


def test_a_sound_place_is_closed_emptied_cleaned_looked_at_and_closed_up() -> None:
    book, place = her()
    assert stage(book) is Stage.CLOSED
    _, share = prompt_called(CHECKLISTS, book, "everywhere/share")
    shared = do(book, edits.seen_share(book, STAMP, place, share, 100))
    assert stage(shared) is Stage.CLOSED, "how much was seen is no look"
    _, opening = prompt_called(CHECKLISTS, book, "everywhere/opening")
    opened = do(shared, edits.say(shared, STAMP, place, opening, Said.SOUND))
    assert stage(opened) is Stage.EMPTIED
    _, powder = prompt_called(CHECKLISTS, book, "everywhere/powder")
    unseen = do(opened, edits.say(opened, STAMP, place, powder, Said.UNSEEN, reason=UnseenReason.DIRTY))
    assert stage(unseen) is Stage.EMPTIED, "nobody wiped it"
    wiped = do(opened, edits.say(opened, STAMP, place, powder, Said.SOUND))
    assert stage(wiped) is Stage.CLEANED
    looked = looked_over(wiped, place)
    assert stage(looked) is Stage.LOOKED_AT, "and there is metal to gauge"
    assert stage(gauged(looked, place)) is Stage.CLOSED_UP, "nothing to repair, nothing open"
    again = do(looked, edits.open_round(looked, STAMP, "spring"))
    assert stage(again) is Stage.CLOSED, "each round begins anew"


def test_what_was_taken_out_empties_a_place_and_keeps_it_from_being_closed_up() -> None:
    book, place = her()
    part = PartOut(
        id="1", what=PartKind.SOLE, words="two boards", compartment=place.id, lies="in the shed", when=START, by="x"
    )
    out = do(book, edits.take_out_part(part))
    assert stage(out) is Stage.EMPTIED
    done = gauged(looked_over(out, place), place)
    assert stage(done) is Stage.COATED
    listed = Judged(done, CHECKLISTS).worklist
    back = next(one for one in listed.actions if one.task is Task.REFIT)
    signed = complete(done, Stamp(START + timedelta(days=1), "Liv"), back, edits.Repair(signed="Liv"))
    assert stage(do(done, signed, days=1)) is Stage.CLOSED_UP


def test_a_place_with_eaten_metal_goes_on_as_its_findings_do() -> None:
    book, place = her()
    book = gauged(looked_over(book, place), place)
    book = do(book, finding_edit(book, STAMP, place, kind="pitting"))
    assert stage(book) is Stage.LOOKED_AT, "not measured"

    def moved(book: Book, status: Status, treatment: Treatment | None = None, note: str = "") -> Book:
        finding = book.findings["1"]
        return do(book, edits.move_finding(book, STAMP, finding, status, note, treatment))

    book = moved(book, Status.CLEANED)
    assert stage(book) is Stage.LOOKED_AT
    book = moved(book, Status.MEASURED)
    assert stage(book) is Stage.MEASURED
    book = moved(book, Status.DECIDED, Treatment.CLEAN_AND_COAT)
    assert stage(book) is Stage.DECIDED
    book = moved(book, Status.REPAIRED)
    assert stage(book) is Stage.REPAIRED
    withdrawn = do(book, edits.move_finding(book, STAMP, book.findings["1"], Status.WITHDRAWN, "not hers"))
    assert stage(withdrawn) is Stage.CLOSED_UP, "a mistake holds nothing up"
    read = do(book, reading_edit(book, Stamp(START + timedelta(days=1), "x"), place, "pits", [0.2],
                                 finding=book.findings["1"], clean_metal=True), days=1)  # fmt: skip
    later = Stamp(START + timedelta(days=2), "Mattis")
    verified = after(read, edits.move_finding(read, later, read.findings["1"], Status.VERIFIED, "dry"), later)[0]
    assert stage(verified) is Stage.CLOSED_UP


def test_a_fitting_that_is_no_metal_holds_the_repair_and_not_the_coat() -> None:
    book, place = her()
    book = gauged(looked_over(book, place), place)
    book = do(book, finding_edit(book, STAMP, place, kind="fitting"))
    assert stage(book) is Stage.MEASURED, "not decided"
    done = do(book, edits.move_finding(book, STAMP, book.findings["1"], Status.ACCEPTED, "as built"))
    assert stage(done) is Stage.CLOSED_UP
