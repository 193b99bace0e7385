"""`verify --papers`: one changed digit in the book, in a photo, in the trail, or in a paper is caught."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner

from inspect_tui.cli import main
from inspect_tui.domain import edits
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


@pytest.mark.parametrize("paper", ["papers", *(f"papers/Sandmartin-{name}" for name in (
    "papers.pdf", "papers.html", "papers.txt", "findings.csv", "book.json", "proof.json"))])  # fmt: skip
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
    assert f"The photo {photo.name} was changed" in told


def test_one_digit_of_a_paper_changed(at: Path) -> None:
    page = at / "papers/Sandmartin-papers.txt"
    page.write_text(page.read_text(encoding="utf-8").replace("3.1", "2.1", 1), encoding="utf-8")
    for paper in ("papers", "papers/Sandmartin-papers.txt"):
        code, told = verify(at, paper)
        assert code == 1
        assert "Sandmartin-papers.txt was changed after it was written" in told


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
    assert code == 1
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
