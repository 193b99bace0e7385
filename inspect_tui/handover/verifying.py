"""Whether papers came from a book as it stands, and if not, what changed since."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from inspect_tui.digests import digest_of_file
from inspect_tui.domain.book import Book
from inspect_tui.domain.measured import moment
from inspect_tui.errors import NoProof
from inspect_tui.handover.papers import PROOF_ENDING
from inspect_tui.handover.report import book_digest

_DIGEST = (re.compile(r"digest:([0-9a-f]{64})"), re.compile(r"Digest of the book: SHA-256\s+([0-9a-f]{64})"),
           re.compile(r'"digest": "([0-9a-f]{64})"'))  # fmt: skip
_HEAD = (re.compile(r"head:([0-9a-f]{64})"), re.compile(r"Head of the trail:\s+([0-9a-f]{64})"),
         re.compile(r'"head": "([0-9a-f]{64})"'))  # fmt: skip
MOST_TOLD = 12


@dataclass(frozen=True)
class Comparison:
    """What the comparison found: whether all fits, and in sentences why or why not."""

    fits: bool
    words: tuple[str, ...]


def compare(book: Book, file: Path) -> Comparison:
    """Hold one paper, or a folder of them, against the book.

    Raises
    ------
    NoProof : neither the file nor a proof file beside it names a book.
    OSError : it cannot be read.
    """
    if file.is_dir():
        proofs = sorted(file.glob(f"*{PROOF_ENDING}"))
        if not proofs:
            raise NoProof(f"No papers of this program lie in {file}.")
        told = [_against_proof(book, proof) for proof in proofs]
        return Comparison(all(one.fits for one in told), tuple(words for one in told for words in one.words))
    if file.name.endswith(PROOF_ENDING):
        return _against_proof(book, file)
    data = file.read_bytes()
    text = data.decode("utf-8", "replace")
    digest, head = _first(_DIGEST, text), _first(_HEAD, text)
    words: list[str] = []
    alone: list[str] = []
    fits = True
    known = _proof_beside(file)
    if known is not None:
        if known["files"][file.name] == hashlib.sha256(data).hexdigest():
            words.append(f"{file.name} is as it was written.")
        else:
            fits = False
            words.append(f"{file.name} was changed after it was written.")
        digest, head = digest or known["digest"], head or known["head"]
    else:
        alone.append(
            f"No proof file lies beside {file.name}: it names its book, but whether it was changed is unknown."
        )
    if digest is None or head is None:
        raise NoProof(f"{file.name} names no book: give a paper of this program, or the folder it was written into.")
    since = _since(book, digest, head)
    return Comparison(fits and since.fits, (*words, *since.words, *alone))


def _first(patterns: tuple[re.Pattern[str], ...], text: str) -> str | None:
    for pattern in patterns:
        if found := pattern.search(text):
            return found[1]
    return None


def _proof_beside(file: Path) -> Mapping[str, Any] | None:
    for proof in sorted(file.parent.glob(f"*{PROOF_ENDING}")):
        known = _read(proof)
        if file.name in known["files"]:
            return known
    return None


def _read(proof: Path) -> Mapping[str, Any]:
    try:
        known = json.loads(proof.read_text(encoding="utf-8"))
        assert isinstance(known["files"], dict)
        assert isinstance(known["digest"], str)
        assert isinstance(known["head"], str)
    except (ValueError, KeyError, TypeError, AssertionError):
        raise NoProof(f"{proof.name} cannot be read as a proof.") from None
    proof_read: Mapping[str, Any] = known
    return proof_read


def _against_proof(book: Book, proof: Path) -> Comparison:
    known = _read(proof)
    words: list[str] = []
    for name, digest in sorted(known["files"].items()):
        path = proof.parent / Path(name).name
        if not path.exists():
            words.append(f"{name} is missing from the folder.")
        elif digest_of_file(path) != digest:
            words.append(f"{name} was changed after it was written.")
    since = _since(book, known["digest"], known["head"])
    return Comparison(since.fits and not words, (*words, *since.words))


def _since(book: Book, digest: str, head: str) -> Comparison:
    """What happened in the book since papers with this digest and head were written."""
    lines = sorted(book.trail.values(), key=lambda line: line.number)
    at = next((index for index, line in enumerate(lines) if line.link == head), None)
    if at is None:
        return Comparison(
            False,
            (
                "These papers did not come from this book: the head of the trail that they print is not in it. It is "
                "another book, or its trail was changed.",
            ),
        )
    later = [line for line in lines[at + 1 :] if not line.of_the_file]
    if book_digest(book, head) != digest:
        return Comparison(
            False,
            (
                "The trail is the one these papers print, but the digest is not that of the book's records: either "
                "they were changed outside, or the digest in the papers was.",
            ),
        )
    if not later:
        return Comparison(True, ("These papers came from this book as it stands.",))
    words = [f"These papers came from this book as it stood on {moment(lines[at].when)}. Changed since:"]
    words += [f"  {moment(line.when)}, {line.by}: {line.words}" for line in later[:MOST_TOLD]]
    if len(later) > MOST_TOLD:
        words.append(f"  and {len(later) - MOST_TOLD} more changes, to be read in the trail.")
    return Comparison(False, tuple(words))
