"""Damage of every kind we know: nothing is ever taken for an empty book, and the owner is told what is back."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest

from inspect_tui.domain import edits
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.words import Said
from inspect_tui.errors import NotABook, NothingToRestore
from inspect_tui.store.backups import backup_folder, previous_file
from inspect_tui.store.book_file import BookFile, check_book, open_book
from inspect_tui.store.envelope import open_envelope
from tests.conftest import START, prompt_called

Make = Callable[..., BookFile]

DAMAGE: dict[str, Callable[[bytes], bytes]] = {
    "truncated": lambda data: data[: len(data) // 2],
    "last byte gone": lambda data: data[:-1],
    "last bytes gone": lambda data: data[:-30],
    "zero length": lambda _: b"",
    "bit flipped": lambda data: data[:900] + bytes([data[900] ^ 1]) + data[901:],
    "bit flipped in the header": lambda data: data[:20] + bytes([data[20] ^ 1]) + data[21:],
    "filled with NUL": lambda data: b"\0" * len(data),
    "garbage behind": lambda data: data + b'0, "half": {"old": 1}}',
    "NUL behind": lambda data: data + b"\0" * 4096,
    "garbage before": lambda data: b"\xff\xfe" + data,
}


def walked(make_file: Make, checklists: Checklists) -> BookFile:
    """A book with two answers, the second in the last save."""
    opened = make_file()
    for key in ("stem/dents", "stem/stem-weld"):
        place, prompt = prompt_called(checklists, opened.book, key)
        opened.record(edits.say(opened.book, opened.stamp(), place, prompt, Said.SOUND))
    opened.close()
    return opened


@pytest.mark.parametrize("kind", list(DAMAGE))
def test_a_damaged_book_comes_back_from_the_newest_good_copy(
    make_file: Make, checklists: Checklists, kind: str
) -> None:
    opened = walked(make_file, checklists)
    bad = DAMAGE[kind](opened.path.read_bytes())
    opened.path.write_bytes(bad)
    whole, words = check_book(opened.path, START + timedelta(hours=3))
    assert not whole
    assert "would restore" in words
    assert opened.path.read_bytes() == bad, "checking changes nothing"
    back = open_book(opened.path, opened.clock, "Mattis")
    assert back.restored is not None
    told = back.restored.words(START + timedelta(hours=3))
    assert "2 h ago" in told or "min ago" in told or "3 h ago" in told
    assert "kept as" in told
    # The save before the last is in .prev; what only lost its tail's tail is whole to the last save.
    whole_to_the_end = kind in ("last byte gone", "garbage behind", "NUL behind")
    assert len(back.book.answers) == (2 if whole_to_the_end else 1)
    assert open_envelope(back.path.read_bytes()), "the file itself is whole again"
    assert back.restored.set_aside is not None
    assert back.restored.set_aside.read_bytes() == bad
    back.close()
    assert open_book(opened.path, opened.clock, "Mattis").restored is None


def test_with_the_previous_save_damaged_too_a_backup_serves(make_file: Make, checklists: Checklists) -> None:
    opened = walked(make_file, checklists)
    opened.path.write_bytes(b"")
    previous_file(opened.path).write_bytes(b"\0" * 10)
    back = open_book(opened.path, opened.clock, "Mattis")
    assert back.restored is not None
    assert "backup" in back.restored.words(START)
    assert back.book.boat.name == "Sandmartin"


def test_a_missing_book_with_a_copy_beside_it_is_restored(make_file: Make, checklists: Checklists) -> None:
    opened = walked(make_file, checklists)
    opened.path.unlink()
    back = open_book(opened.path, opened.clock, "Mattis")
    assert back.restored is not None
    assert "missing" in back.restored.words(START)


def test_with_no_good_copy_the_file_is_left_and_the_owner_is_told(make_file: Make, checklists: Checklists) -> None:
    opened = walked(make_file, checklists)
    bad = opened.path.read_bytes()[:500]
    opened.path.write_bytes(bad)
    previous_file(opened.path).unlink()
    for copy in backup_folder(opened.path).iterdir():
        copy.unlink()
    with pytest.raises(NothingToRestore, match="is cut short"):
        open_book(opened.path, opened.clock, "Mattis")
    assert opened.path.read_bytes() == bad
    # And the lock is free again for whoever repairs it.
    opened.path.write_bytes(b"")
    with pytest.raises(NothingToRestore, match="empty"):
        open_book(opened.path, opened.clock, "Mattis")


def test_something_else_is_not_touched(tmp_path: Path) -> None:
    path = tmp_path / "letter.hullbook"
    path.write_text('{"format": "letter"}', encoding="utf-8")
    with pytest.raises(NotABook):
        open_book(path, lambda: START, "x")
    assert path.read_text(encoding="utf-8") == '{"format": "letter"}'


def test_a_book_reformatted_in_an_editor_is_still_whole(make_file: Make, checklists: Checklists) -> None:
    import json

    opened = walked(make_file, checklists)
    pretty = json.dumps(json.loads(opened.path.read_bytes()), indent=2, ensure_ascii=False)
    opened.path.write_text(pretty, encoding="utf-8")
    assert open_book(opened.path, opened.clock, "x").restored is None


def test_one_changed_digit_is_noticed_wherever_it_is(make_file: Make, checklists: Checklists) -> None:
    opened = walked(make_file, checklists)
    data = opened.path.read_bytes()
    digits = [at for at, byte in enumerate(data) if chr(byte).isdigit()]
    for at in (*digits[:90], *digits[90 :: max(1, len(digits) // 60)]):
        changed = data[:at] + bytes([ord("0") + (data[at] - ord("0") + 1) % 10]) + data[at + 1 :]
        opened.path.write_bytes(changed)
        whole, _ = check_book(opened.path, START)
        assert not whole, data[at - 20 : at + 5]


@pytest.mark.parametrize("behind", [b"x", b"xyz", b"\n\n", b"\0" * 40])
def test_bytes_behind_the_end_are_counted(make_file: Make, checklists: Checklists, behind: bytes) -> None:
    data = walked(make_file, checklists).path.read_bytes().rstrip(b"\n")
    assert open_envelope(data).garbage == 0
    assert open_envelope(data + b"\n").garbage == 0
    assert open_envelope(data + behind).garbage == len(behind)
