"""`verify --papers`: one changed digit in the book, in a photo, in the trail, or in a paper is caught."""

from __future__ import annotations

import hashlib
import json
import re
import shutil
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from inspect_tui.cli import main
from inspect_tui.domain import edits
from inspect_tui.domain.chain import chained
from inspect_tui.store.book_file import BookFile, open_book
from inspect_tui.store.checklist_files import shipped
from inspect_tui.store.envelope import Envelope, encode, open_envelope
from inspect_tui.store.photo_files import photo_folder
from tests.conftest import START, SteppingClock

DEMO = shipped("demo") / "sandmartin.hullbook"


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo book with its photos and its papers."""
    tmp_path = tmp_path_factory.mktemp("written")
    shutil.copy(DEMO, tmp_path / DEMO.name)
    shutil.copytree(photo_folder(DEMO), photo_folder(tmp_path / DEMO.name))
    done = CliRunner().invoke(main, ["papers", str(tmp_path / DEMO.name), "-o", str(tmp_path / "papers")])
    assert done.exit_code == 0, done.output
    return tmp_path


@pytest.fixture
def at(written: Path, tmp_path: Path) -> Path:
    """The same, to be spoiled."""
    shutil.copytree(written, tmp_path, dirs_exist_ok=True)
    return tmp_path


def verify(at: Path, paper: str = "papers") -> tuple[int, str]:
    done = CliRunner().invoke(main, ["verify", str(at / DEMO.name), "--papers", str(at / paper)])
    return done.exit_code, done.output


def respell(at: Path, old: str, new: str) -> None:
    """Change the tables of the book by hand, and make its checksum fit again."""
    path = at / DEMO.name
    envelope = open_envelope(path.read_bytes())
    text = envelope.body.decode()
    assert old in text
    body = encode(json.loads(text.replace(old, new, 1)))
    path.write_bytes(Envelope(envelope.schema, envelope.sequence, envelope.saved, body).sealed())


@pytest.mark.parametrize("paper", ["papers", "papers/Sandmartin-findings.csv", "papers/Sandmartin-proof.json"])
def test_papers_of_the_book_as_it_stands_fit(at: Path, paper: str) -> None:
    code, told = verify(at, paper)
    assert code == 0, told
    assert "These papers came from this book as it stands." in told


@pytest.mark.parametrize("name", ["papers.pdf", "papers.html", "papers.txt", "book.json"])
def test_a_paper_alone_names_its_book(at: Path, name: str) -> None:
    shutil.copy(at / f"papers/Sandmartin-{name}", at / "alone")
    code, told = verify(at, "alone")
    assert code == 0
    assert "No proof file lies beside alone" in told


def test_one_digit_of_a_record_changed_outside(at: Path) -> None:
    respell(at, '"depths_mm":[3.1,', '"depths_mm":[2.1,')
    code, told = verify(at)
    assert code == 1
    assert "Readings, record" in told
    assert "the digest is not that of the book" in told


def test_one_digit_of_the_trail_changed(at: Path) -> None:
    respell(at, '"words":"Started the book of Sandmartin"', '"words":"Started the book of Sandmartim"')
    code, told = verify(at)
    assert code == 1
    assert "Line 1 of the trail" in told


def test_one_bit_of_a_photo_changed(at: Path) -> None:
    photo = next(photo_folder(at / DEMO.name).glob("029*"))
    data = bytearray(photo.read_bytes())
    data[len(data) // 2] ^= 1
    photo.write_bytes(bytes(data))
    code, told = verify(at)
    assert code == 1
    assert f"The photo {photo.name} has been changed" in told


def flip_pdf(data: bytes) -> bytes:
    """One bit of what is drawn on page 3."""
    number = re.findall(rb"/Type/Page/[^\n]*?/Contents (\d+) 0 R", data)[2]
    at = data.index(b"stream", data.index(b"\n%s 0 obj" % number)) + 60
    return data[:at] + bytes([data[at] ^ 1]) + data[at + 1 :]


FORGED: dict[str, tuple[str, Callable[[bytes], bytes], str]] = {
    "HTML": ("papers.html", lambda data: data.replace(b"3.1", b"5.1", 1), "papers.html, line"),
    "text": ("papers.txt", lambda data: data.replace(b"3.1", b"5.1", 1), "papers.txt, line"),
    "table": ("findings.csv", lambda data: data.replace(b"3", b"4", 1), "findings.csv, line"),
    "export": ("book.json", lambda data: data.replace(b"3.1", b"5.1", 1), "book.json, line"),
    "PDF": ("papers.pdf", flip_pdf, "papers.pdf, page 3, is not the PDF"),
}


@pytest.mark.parametrize("proof_too", [False, True])
@pytest.mark.parametrize("kind", FORGED)
def test_a_forged_paper_is_named_also_where_its_proof_was_forged_alike(at: Path, kind: str, proof_too: bool) -> None:
    name, forge, says = FORGED[kind]
    page = at / f"papers/Sandmartin-{name}"
    data = forge(page.read_bytes())
    assert data != page.read_bytes()
    page.write_bytes(data)
    if proof_too:
        proof = at / "papers/Sandmartin-proof.json"
        known = json.loads(proof.read_bytes())
        known["files"][page.name] = hashlib.sha256(data).hexdigest()
        proof.write_text(json.dumps(known), encoding="utf-8")
    code, told = verify(at, f"papers/{page.name}")
    assert code == 1, told
    assert f"Sandmartin-{says}" in told


def test_in_a_folder_each_forged_paper_is_named_and_no_other(at: Path) -> None:
    for name, forge, _ in FORGED.values():
        page = at / f"papers/Sandmartin-{name}"
        page.write_bytes(forge(page.read_bytes()))
    code, told = verify(at)
    assert code == 1
    assert all(f"Sandmartin-{says}" in told for _, _, says in FORGED.values())
    assert told.count("Sandmartin-") == len(FORGED)


@pytest.mark.parametrize(("kind", "code"), [("HTML", 1), ("text", 1), ("export", 1), ("PDF", 1), ("table", 2)])
def test_a_forged_paper_alone(at: Path, kind: str, code: int) -> None:
    """A table names neither its book nor what made it: there it cannot be told."""
    name, forge, _ = FORGED[kind]
    alone = at / "alone" / name
    alone.parent.mkdir()
    alone.write_bytes(forge((at / f"papers/Sandmartin-{name}").read_bytes()))
    found, told = verify(at, f"alone/{name}")
    assert found == code, told
    assert f"{name}" in told
    assert ("cannot be told" in told) == (code == 2)


@pytest.mark.parametrize("what", ["program", "knowledge", "typst", "pillow"])
def test_papers_of_another_set_cannot_be_told(at: Path, what: str) -> None:
    proof = at / "papers/Sandmartin-proof.json"
    known = json.loads(proof.read_bytes())
    known["made_with"][what] = "something 9.9"
    proof.write_text(json.dumps(known), encoding="utf-8")
    code, told = verify(at)
    assert code == 2, told
    assert "something 9.9 there" in told
    assert "that alone proves nothing" in told


def test_papers_of_an_earlier_program_are_held_by_their_digests_only(at: Path) -> None:
    proof = at / "papers/Sandmartin-proof.json"
    known = json.loads(proof.read_bytes())
    del known["made_with"], known["contents"]
    proof.write_text(json.dumps(known), encoding="utf-8")
    code, told = verify(at)
    assert code == 2
    assert "an earlier program made them" in told
    (at / "papers/Sandmartin-papers.txt").write_text("other", encoding="utf-8")
    code, told = verify(at)
    assert code == 1
    assert "Sandmartin-papers.txt was changed after it was written" in told


def test_a_text_of_another_set_alone_cannot_be_told(at: Path) -> None:
    page = at / "alone.txt"
    told = (at / "papers/Sandmartin-papers.txt").read_text(encoding="utf-8")
    page.write_text(re.sub("made of [0-9a-f]{16}", "made of " + "0" * 16, told), encoding="utf-8")
    code, said = verify(at, "alone.txt")
    assert code == 2, said
    assert "another set made it (0000000000000000)" in said


def forged_book(at: Path, change: Callable[[dict[str, Any]], object]) -> None:
    """A forger's book: something changed, and the whole chain made to fit again with the program's own functions."""
    path = at / DEMO.name
    envelope = open_envelope(path.read_bytes())
    tables = envelope.tables()
    change(tables)
    for line in tables["trail"].values():
        line.pop("link")
        for was in line["was"]:
            was.pop("became", None)
    body = encode(chained(tables))
    path.write_bytes(Envelope(envelope.schema, envelope.sequence, envelope.saved, body).sealed())


def test_a_record_forged_and_the_trail_rechained_no_longer_fits_the_papers(at: Path) -> None:
    forged_book(at, lambda tables: tables["findings"]["5"].update(words="a scratch"))
    code, told = verify(at)
    assert code == 1
    assert "did not come from this book" in told


def test_dates_shifted_and_rechained_no_longer_fit_the_papers_nor_a_head_that_was_sent(at: Path) -> None:
    sent = json.loads((at / "papers/Sandmartin-proof.json").read_bytes())["head"]
    assert "stood on 2025-11-16" in CliRunner().invoke(main, ["verify", str(at / DEMO.name), "--head", sent]).output
    forged_book(at, lambda tables: [line.update(when="2019" + line["when"][4:]) for line in tables["trail"].values()])
    assert verify(at)[0] == 1
    done = CliRunner().invoke(main, ["verify", str(at / DEMO.name), "--head", sent])
    assert done.exit_code == 1
    assert "No line of this book's trail has that head" in done.output


def test_a_trail_whose_dates_run_backwards_is_noticed(at: Path) -> None:
    assert "before line" not in verify(at)[1]
    opened = open_book(at / DEMO.name, SteppingClock(START - timedelta(days=900)), "Runa")
    opened.record(edits.change_finding(opened.book.findings["5"].model_copy(update={"words": "deeper now"})))
    opened.close()
    code, told = verify(at)
    assert code == 0, "a clock may have stood wrong"
    assert "a clock was wrong, or these are not the dates of writing" in told


def test_a_schema_lowered_to_be_chained_anew_does_not_fit(at: Path) -> None:
    path = at / DEMO.name
    envelope = open_envelope(path.read_bytes())
    tables = envelope.tables()
    tables["findings"]["5"]["words"] = "a scratch"
    path.write_bytes(Envelope(1, envelope.sequence, envelope.saved, encode(tables)).sealed())
    code, told = verify(at)
    assert code == 1, told


def test_a_reading_withdrawn_is_told_as_changed_since(at: Path) -> None:
    opened = open_book(at / DEMO.name, SteppingClock(START + timedelta(days=9)), "Runa")
    opened.record(edits.take_out_reading(next(iter(opened.book.readings.values()))))
    opened.close()
    code, told = verify(at)
    assert code == 0, told
    assert "Runa: " in told
    assert "Changed since" in told


def test_what_no_file_can_prove_is_said(at: Path) -> None:
    assert "No file can prove by itself" in verify(at, "papers/Sandmartin-findings.csv")[1]


def test_a_flipped_bit_in_the_book_file_is_damage(at: Path) -> None:
    path = at / DEMO.name
    data = bytearray(path.read_bytes())
    data[-2000] ^= 1
    path.write_bytes(bytes(data))
    code, told = verify(at)
    assert code == 1
    assert "The book is damaged" in told


def test_what_changed_since_is_told_line_by_line(at: Path) -> None:
    opened = open_book(at / DEMO.name, SteppingClock(START + timedelta(days=9)), "Runa")
    opened.record(edits.change_finding(opened.book.findings["5"].model_copy(update={"words": "deeper now"})))
    opened.close()
    code, told = verify(at, "papers/Sandmartin-papers.pdf")
    assert code == 0, told
    assert "as it stood on 2025-11-16" in told
    assert "Runa: Changed finding 5" in told


def test_papers_of_another_book_are_told_apart(at: Path, make_file: Callable[..., BookFile]) -> None:
    opened = make_file("other.hullbook")
    opened.close()
    done = CliRunner().invoke(main, ["verify", str(opened.path), "--papers", str(at / "papers")])
    assert done.exit_code == 1
    assert "did not come from this book" in done.output


@pytest.mark.parametrize(("name", "told"), [("nowhere", "There is no"), ("strange.txt", "names no book")])
def test_what_is_no_paper_is_told_in_a_sentence(at: Path, name: str, told: str) -> None:
    (at / "strange.txt").write_text("hello")
    code, said = verify(at, name)
    assert code == 1
    assert told in said
    assert "Traceback" not in said
