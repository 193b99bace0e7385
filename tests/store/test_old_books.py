"""Books of older schemas: read and written, undone, copied, damaged; and what was handed over from them is found."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from inspect_tui.cli import main
from inspect_tui.domain import edits
from inspect_tui.domain.book import Stamp
from inspect_tui.domain.chain import mismatches
from inspect_tui.domain.identity import Key
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.owner.money import Money
from inspect_tui.domain.trail import Form
from inspect_tui.domain.undoing import undo
from inspect_tui.domain.words import Said, Status, Treatment
from inspect_tui.errors import NothingToUndo
from inspect_tui.handover.report import book_digest, proof_of
from inspect_tui.handover.verifying import compare
from inspect_tui.judgement.judged import Judged
from inspect_tui.store.book_file import BookFile, open_book
from inspect_tui.store.envelope import Envelope, Tables, encode, open_envelope
from inspect_tui.store.migrations import SCHEMA, first_link
from inspect_tui.store.old_drafts import drafts_of_today
from tests.conftest import START, SteppingClock, prompt_called
from tests.store.test_migrations import BOOKS, Make, spoil


def old_book(folder: Path, change: Callable[[Tables], Any] | None = None, schema: int = 2) -> Path:
    copy = folder / "old.hullbook"
    shutil.copy(BOOKS / f"schema-{schema}.hullbook", copy)
    if change:
        spoil(copy, change)
    return copy


def opened(path: Path, clock: SteppingClock, **more: Any) -> BookFile:
    return open_book(path, clock, "Mattis", **more)


def test_a_migration_is_a_line_that_no_undo_takes_back(tmp_path: Path, clock: SteppingClock) -> None:
    file = opened(old_book(tmp_path), clock)
    line = max(file.book.trail.values(), key=lambda one: one.number)
    assert line.words.startswith("Brought over to schema ")
    assert line.of_the_file
    with pytest.raises(NothingToUndo, match="cannot be taken back"):
        undo(file.book, line.number)
    before = max(one.number for one in file.book.trail.values() if not one.of_the_file)
    file.record(undo(file.book))
    newest = max(file.book.trail.values(), key=lambda one: one.number)
    assert newest.undoes == before, "undo goes on with what the owner did last"
    assert file.book.identity is not None


def test_the_start_of_a_copy_is_not_taken_back_either(
    tmp_path: Path, make_file: Make, checklists: Checklists, clock: SteppingClock
) -> None:
    file = make_file()
    place, prompt = prompt_called(checklists, file.book, "stem/dents")
    file.record(edits.say(file.book, file.stamp(), place, prompt, Said.SOUND))
    copy = file.save_copy(tmp_path / "copy.hullbook")
    again = opened(copy, clock)
    assert again.book.identity is not None
    assert file.book.identity is not None
    assert again.book.identity.book_id == file.book.identity.book_id
    assert again.book.identity.copy_name != file.book.identity.copy_name
    assert file.book.new_key("readings") != again.book.new_key("readings")
    again.record(undo(again.book))
    assert again.book.answers == {}
    assert again.book.identity.copy_name != file.book.identity.copy_name


def test_an_old_book_that_is_only_read_says_the_same_each_time(tmp_path: Path, clock: SteppingClock) -> None:
    path = old_book(tmp_path)
    data = path.read_bytes()
    first, second = (opened(path, SteppingClock(START), write=False).book for _ in range(2))
    assert first.tables == second.tables
    assert first.identity is not None
    file = opened(path, clock, write=False)
    file.reload()
    assert file.book.tables == first.tables, "read anew it is brought over too"
    assert path.read_bytes() == data


def test_papers_of_an_old_book_are_found_before_and_after_it_is_brought_over(
    tmp_path: Path, clock: SteppingClock, checklists: Checklists
) -> None:
    path = old_book(tmp_path)
    raw = open_envelope(path.read_bytes()).tables()
    head = max(raw["trail"].values(), key=lambda line: int(line["number"]))["link"]
    done = CliRunner().invoke(main, ["papers", str(path), "-o", str(tmp_path / "out"), "--only", "text"])
    assert done.exit_code == 0, done.output
    assert head in next((tmp_path / "out").glob("*.txt")).read_text(encoding="utf-8")
    told = CliRunner().invoke(main, ["verify", str(path), "--papers", str(tmp_path / "out")])
    assert "These papers came from this book as it stands." in told.output
    file = opened(path, clock)
    assert compare(Judged(file.book, checklists), tmp_path / "out", tmp_path, Money()).code == 0
    assert proof_of(Judged(file.book, checklists)).head == head
    assert head in {line.link for line in file.book.trail.values()}
    place, prompt = prompt_called(checklists, file.book, "stem/dents")
    file.record(edits.say(file.book, file.stamp(), place, prompt, Said.NOT_FITTED))
    since = compare(Judged(file.book, checklists), tmp_path / "out", tmp_path, Money())
    assert since.code == 0, "they are what the book gave then"
    assert "Changed since:" in " ".join(since.words)
    assert "Brought over" not in " ".join(since.words)


def test_a_head_and_its_digest_are_those_of_the_book_before(
    tmp_path: Path, clock: SteppingClock, checklists: Checklists
) -> None:
    path = old_book(tmp_path)
    raw = open_envelope(path.read_bytes()).tables()
    book = opened(path, clock).book
    for line in raw["trail"].values():
        assert book_digest(book, line["link"]) is not None
    assert book_digest(book, "0" * 64) is None
    assert book_digest(book, book.said_until) == proof_of(Judged(book, checklists)).digest
    assert mismatches(open_envelope(path.read_bytes()).tables()) == []


def test_a_trail_line_that_cannot_be_read_keeps_its_number(tmp_path: Path, clock: SteppingClock) -> None:
    def set_aside(tables: Tables) -> None:
        key = max(tables["trail"], key=lambda one: Key.of(one).number)
        row = tables["trail"].pop(key)
        tables["unreadable"] = {"1": {"table": "trail", "key": key, "why": "x", "raw": row}}

    path = old_book(tmp_path, set_aside)
    number = max(
        Key.of(row["key"]).number for row in open_envelope(path.read_bytes()).tables()["unreadable"].values()
    )
    file = opened(path, clock)
    steps = SCHEMA - 2
    assert max(line.number for line in file.book.trail.values()) == number + steps, "a line for each schema"


@pytest.mark.parametrize("link", ["", "not hex", "ABCD" * 16, None])
def test_a_trail_whose_first_link_is_none_of_ours_opens(
    tmp_path: Path, clock: SteppingClock, link: str | None
) -> None:
    def change(tables: Tables) -> None:
        first = min(tables["trail"], key=lambda one: Key.of(one).number)
        if link is None:
            tables["trail"].clear()
        else:
            tables["trail"][first]["link"] = link

    path = old_book(tmp_path, change)
    assert first_link(open_envelope(path.read_bytes()).tables()) == ""
    identity = opened(path, clock).book.identity
    assert identity is not None
    assert len(identity.book_id) == 64


def test_a_leak_names_its_circuit_even_if_the_list_has_lost_it(tmp_path: Path, clock: SteppingClock) -> None:
    def change(tables: Tables) -> None:
        next(iter(tables["boat"].values()))["circuits"] = ["Pump"]
        reading = next(row for row in tables["readings"].values() if row["kind"] == "potential")
        reading["circuit"] = "Pump aft"
        for finding, words in zip(
            tables["findings"].values(),
            ("Pump moves the hull by +80 mV", "Pump aft moves the hull by -80 mV"),
            strict=True,
        ):
            finding |= {"kind": "leakage", "words": words}

    book = opened(old_book(tmp_path, change), clock).book
    assert [book.findings[chalk].circuit for chalk in ("1", "2")] == ["Pump", "Pump aft"]
    line = next(one for one in book.trail.values() if one.words.startswith("Brought over to schema 3"))
    assert {was.table for was in line.was} == {"identity", "findings"}


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        ("leakage", "Pump is loud"),
        ("leakage", "Pump moves the hull by a lot"),
        ("pitting", "Pump moves the hull by +8"),
    ],
)
def test_what_is_no_leak_of_a_hunt_gets_no_circuit(
    tmp_path: Path, clock: SteppingClock, kind: str, words: str
) -> None:
    def change(tables: Tables) -> None:
        next(iter(tables["boat"].values()))["circuits"] = ["Pump"]
        tables["findings"]["1"] |= {"kind": kind, "words": words}

    assert opened(old_book(tmp_path, change), clock).book.findings["1"].circuit is None


def test_drafts_of_one_kind_stay_apart_and_a_row_that_is_none_stays(tmp_path: Path, clock: SteppingClock) -> None:
    def change(tables: Tables) -> None:
        names = ["patch/c1", "patch/c2", "odd/a", "odd/b", "plate/p1"]
        tables["drafts"] = {
            name: {"id": name, "when": "2025-11-15T10:00:00+01:00", "fields": {"words": name}} for name in names
        }
        tables["drafts"]["broken"] = {"id": "broken"}

    book = opened(old_book(tmp_path, change), clock).book
    assert sorted(draft.fields["words"] for draft in book.drafts.values()) == [
        "odd/a", "odd/b", "patch/c1", "patch/c2", "plate/p1",
    ]  # fmt: skip
    assert [row.key for row in book.unreadable if row.table == "drafts"] == ["broken"]


def test_a_copy_of_a_newer_book_stays_of_its_schema(tmp_path: Path, make_file: Make, clock: SteppingClock) -> None:
    file = make_file()
    file.close()
    envelope = open_envelope(file.path.read_bytes())
    file.path.write_bytes(Envelope(SCHEMA + 1, 9, envelope.saved, encode(envelope.tables())).sealed())
    newer = opened(file.path, clock)
    assert newer.read_only is not None
    copy = newer.save_copy(tmp_path / "copy.hullbook")
    copied = open_envelope(copy.read_bytes())
    assert copied.schema == SCHEMA + 1
    assert copied.tables() == envelope.tables()


def test_a_row_set_aside_by_its_own_writing_is_no_change_from_outside(
    make_file: Make, checklists: Checklists, clock: SteppingClock
) -> None:
    file = make_file()
    place, prompt = prompt_called(checklists, file.book, "stem/dents")
    file.record(edits.say(file.book, file.stamp(), place, prompt, Said.SOUND))
    file.close()

    def set_aside(tables: Tables) -> None:
        key, row = tables["answers"].popitem()
        tables["unreadable"] = {"1": {"table": "answers", "key": key, "why": "x", "raw": row}}

    spoil(file.path, set_aside)
    tables = open_envelope(file.path.read_bytes()).tables()
    assert mismatches(tables) == []
    tables["unreadable"]["1"]["raw"] |= {"said": "finding"}
    assert len(mismatches(tables)) == 1


@pytest.mark.parametrize(
    ("name", "form"),
    [
        ("finding/new/c1/stem/dents", Form("finding", {"compartment": "c1", "prompt": "stem/dents"})),
        ("finding/new/c1", Form("finding", {"compartment": "c1"})),
        ("finding/7", Form("finding", {"chalk": 7})),
        ("measure/c1//stem/dents/p1", Form("measure", {"compartment": "c1", "prompt": "stem/dents", "plate": "p1"})),
        ("measure/c1//stem/dents", Form("measure", {"compartment": "c1", "prompt": "stem/dents"})),
        ("measure/c1/7/p1", Form("measure", {"compartment": "c1", "chalk": 7, "plate": "p1"})),
        ("measure/c1/7", Form("measure", {"compartment": "c1", "chalk": 7})),
        ("measure/c1/7/", Form("measure", {"compartment": "c1", "chalk": 7})),
        ("words/c1/stem/dents", Form("walk", {"compartment": "c1", "prompt": "stem/dents"}, "words")),
        ("note/7/repaired", Form("finding", {"chalk": 7}, "note", {"status": "repaired"})),
        ("reason/7/leave bare", Form("finding", {"chalk": 7}, "reason", {"treatment": "leave bare"})),
        ("photo/i1", Form("photos", {"chalk": 1}, "caption", {"photo": "i1"})),
        ("photo/i99", Form("photos", {}, "caption", {"photo": "i99"})),
        ("done/finding/7/found", Form("worklist", {}, "done", {"action": "finding/7/found"})),
        ("compartment/c1", Form("compartment", {"compartment": "c1"})),
        ("plate/p1", Form("plate", {"field": "p1"})),
        ("patch/c1", Form("patches", {}, "patch", {"compartment": "c1"})),
        ("circuit", Form("hunt", {}, "circuit")),
        ("hull-test", Form("hunt", {}, "ohms")),
        ("round", Form("boat", {}, "round")),
        ("rates", Form("rates")),
        ("note/x/y", Form("note", {"was": "note/x/y"})),
    ],
)
def test_what_a_draft_of_schema_2_was_about(name: str, form: Form) -> None:
    tables: Tables = {
        "plate_fields": {"p1": {}},
        "findings": {"1": {"photos": ["i1"]}, "2": {}, "bad": {"photos": ["i99"]}},
        "drafts": {name: {"when": "2025-11-15T10:00:00+01:00", "fields": {"words": "half", "on-p1": "yes"}}},
    }
    (row,) = drafts_of_today(tables).values()
    assert (row["screen"], row.get("arguments", {})) == (form.screen, form.arguments)
    assert (row.get("asked", ""), row.get("about", {})) == (form.asked, form.about)
    assert ("on--p1" in row["fields"]) is (form.screen == "compartment")


def test_what_an_older_book_says_is_done_decided_or_accepted_keeps_its_meaning(
    tmp_path: Path, clock: SteppingClock, checklists: Checklists
) -> None:
    file = opened(old_book(tmp_path, schema=3), clock)
    stamp = Stamp(file.book.round.opened + timedelta(days=1), "Mattis")
    # As earlier programs wrote them, letter by letter.
    for key in ("cause", "finding/1/accepted", "watch"):
        file.record(edits.mark_done(stamp, key, "done", edits.Repair("so")))
    before = Judged(file.book, checklists).worklist
    assert "cause" not in before.by_key
    accepted = edits.move_finding(file.book, stamp, file.book.findings["1"], Status.ACCEPTED, "left as it is")
    file.record(accepted)
    file.record(edits.mark_done(stamp, "finding/1/accepted", "looked at", edits.Repair()))
    assert not [one for one in Judged(file.book, checklists).worklist.actions if one.chalk == 1]
    decided = edits.move_finding(file.book, stamp, file.book.findings["2"], Status.DECIDED, "", Treatment.WELD_UP)
    file.record(decided)
    weld = next(one for one in Judged(file.book, checklists).worklist.actions if one.chalk == 2)
    own = file.book.findings["2"].override
    assert own is not None
    assert weld.doing is checklists.works[own.treatment.value], "the owner's own decision stands before it"
    assert all(done.signed is None for done in file.book.done.values()), "nobody signed what nobody was asked to sign"
