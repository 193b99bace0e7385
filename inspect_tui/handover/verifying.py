"""Whether papers are what their book gives: made anew from the book as it stood at their head, and compared."""

from __future__ import annotations

import hashlib
import json
import re
import tempfile
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import product, zip_longest
from pathlib import Path
from typing import Any

from inspect_tui.digests import read_regular
from inspect_tui.domain.book import Book
from inspect_tui.domain.measuring.measured import moment
from inspect_tui.domain.owner.money import Money
from inspect_tui.errors import BadPicture, HandoverError, NoProof
from inspect_tui.handover.making import made_of, made_with
from inspect_tui.handover.papers import PROOF_ENDING, Format, write_papers
from inspect_tui.handover.report import Contents, PartName, Reader, book_at, book_digest
from inspect_tui.judgement.judged import Judged

_HEX = "[0-9a-f]"
_DIGEST = (re.compile(rf"digest:({_HEX}{{64}})"), re.compile(rf"Digest of the book: SHA-256\s+({_HEX}{{64}})"),
           re.compile(rf'"digest": "({_HEX}{{64}})"'))  # fmt: skip
_HEAD = (re.compile(rf"head:({_HEX}{{64}})"), re.compile(rf"Head of the trail:\s+({_HEX}{{64}})"),
         re.compile(rf'"head": "({_HEX}{{64}})"'))  # fmt: skip
_MADE = (re.compile(rf"made-of:({_HEX}{{16}})"), re.compile(rf"made of\s+({_HEX}{{16}})"))
_FOR = (re.compile(r"made-for:([a-z ]*)\."), re.compile(r"^[^\n]*, made for ([a-z ]+)\.\n"))
_OBJECT = re.compile(rb"\n(\d+) 0 obj\n(.*?)\nendobj", re.DOTALL)
_CONTENT = re.compile(rb"/Type/Page/[^\n]*?/Contents (\d+) 0 R")
MOST_TOLD = 12
SHOWN = 40
SAME, DIFFERS, UNKNOWN = 0, 1, 2
WHAT_TO_DO = {
    DIFFERS: "Do not rely on these papers: write them anew from the book, and ask whoever gave them to you.",
    UNKNOWN: "To be sure, write the papers anew from the book and compare them by eye.",
}
PAPER_ENDINGS = frozenset({".pdf", ".html", ".txt", ".csv", ".json"})


@dataclass(frozen=True)
class Comparison:
    """What the comparison found, in sentences. `code`: 0 the same, 1 it differs, 2 it cannot be told."""

    code: int
    words: tuple[str, ...]


def compare(judged: Judged, file: Path, photos: Path, money: Money) -> Comparison:
    """Hold one paper, or a folder of them, against the book; `photos`: the folder where its photos lie;
    `money`: the owner's own numbers, as they are today.

    Raises
    ------
    NoProof : neither the file nor a proof file beside it names a book.
    OSError : it cannot be read.
    """
    found = _compared(judged, file, photos, money)
    return replace(found, words=(*found.words, WHAT_TO_DO[found.code])) if found.code in WHAT_TO_DO else found


def _compared(judged: Judged, file: Path, photos: Path, money: Money) -> Comparison:
    if file.is_dir():
        proofs = sorted(file.glob(f"*{PROOF_ENDING}"))
        if proofs:
            return _together(_against_proof(judged, _read(proof), proof.parent, photos, money) for proof in proofs)
        lone = [one for one in sorted(file.iterdir()) if one.suffix in PAPER_ENDINGS]
        if not lone:
            raise NoProof(f"No papers of this program lie in {file}.")
        return _together(_alone(judged, one, photos, money) for one in lone)
    if file.name.endswith(PROOF_ENDING):
        return _against_proof(judged, _read(file), file.parent, photos, money)
    known = _proof_beside(file)
    if known is not None:
        return _against_proof(judged, known, file.parent, photos, money, file.name)
    return _alone(judged, file, photos, money)


def _together(found: Iterable[Comparison]) -> Comparison:
    told = list(found)
    codes = {one.code for one in told}
    code = DIFFERS if DIFFERS in codes else max(codes)
    return Comparison(code, tuple(dict.fromkeys(words for one in told for words in one.words)))


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
        known = json.loads(read_regular(proof))
        assert isinstance(known["files"], dict)
        assert isinstance(known["digest"], str)
        assert isinstance(known["head"], str)
    except (ValueError, KeyError, TypeError, AssertionError, RecursionError):
        raise NoProof(f"{proof.name} cannot be read as a proof.") from None
    proof_read: Mapping[str, Any] = known
    return proof_read


def _against_proof(
    judged: Judged, known: Mapping[str, Any], folder: Path, photos: Path, money: Money, only: str | None = None
) -> Comparison:
    since = _since(judged.book, known["digest"], known["head"])
    if since.code != SAME:
        return since
    files = {name: digest for name, digest in sorted(known["files"].items()) if only in (None, name)}
    words: list[str] = []
    there: dict[str, bytes] = {}
    for name in files:
        try:
            there[name] = read_regular(folder / Path(name).name)
        except FileNotFoundError:
            words.append(f"{name} is missing from the folder.")
        except (OSError, ValueError) as error:
            words.append(f"{name} cannot be read: {getattr(error, 'strerror', None) or error}.")
    changed = [name for name, data in there.items() if hashlib.sha256(data).hexdigest() != files[name]]
    other = _other_maker(known, judged)
    contents = {name: _contents_of(known.get("contents"), name) for name in there}
    if other or None in contents.values():
        lost = bool(words)
        words += [
            f"{name} was changed after it was written: its digest is not that in the proof." for name in changed
        ]
        why = other or "their proof does not say what they were made from"
        words.append(
            f"These papers cannot be made anew here: {why}. The other files match the digests beside them, but "
            "that alone proves nothing."
        )
        return Comparison(DIFFERS if lost or changed else UNKNOWN, (*words, *since.words))
    by_contents: dict[Contents, list[str]] = defaultdict(list)
    for name, one in contents.items():
        if one is not None:
            by_contents[one].append(name)
    then = _judged_at(judged, known["head"])
    for one, names in by_contents.items():
        anew, troubles = _made_anew(then, one, {_format_of(name, there[name]) for name in names}, photos, money)
        for name in names:
            words += _difference(name, there[name], anew.get(name), troubles)
    if not words:
        words.append("These papers are what this book gives, byte for byte.")
        return Comparison(SAME, (*words, *since.words))
    return Comparison(DIFFERS, (*words, *since.words))


def _alone(judged: Judged, file: Path, photos: Path, money: Money) -> Comparison:
    """A paper without its proof: it is held against each of the papers that this program makes of the book."""
    data = read_regular(file)
    text = data.decode("utf-8", "replace")
    digest, head = _first(_DIGEST, text), _first(_HEAD, text)
    kind = _format_of(file.name, data)
    if (digest is None or head is None) and not (kind in ("text", "csv") and "," in text.partition("\n")[0]):
        raise NoProof(
            f"{file.name} names no book: give a paper made by this program, or the folder it was written into."
        )
    note = f"No proof file lies beside {file.name}."
    since = Comparison(SAME, ())
    if digest is not None and head is not None:
        since = _since(judged.book, digest, head)
        if since.code != SAME:
            return since
    formats: set[Format] = {kind if head or kind != "text" else "csv"}
    then = _judged_at(judged, head or judged.book.said_until)
    nearest: tuple[int, list[str]] = (-1, [])
    reader = _first(_FOR, text)
    for contents in _usual_contents(formats):
        if reader is not None and contents.reader != reader:
            continue
        anew, troubles = _made_anew(then, contents, formats, photos, money)
        for made in anew.values():
            if made == data:
                return Comparison(SAME, (f"{file.name} is what this book gives, byte for byte.", *since.words, note))
            alike = _alike(data, made)
            if alike > nearest[0]:
                nearest = (alike, _difference(file.name, data, made, troubles))
    printed = _first(_MADE, text)
    if printed == made_of(judged.checklists):
        return Comparison(DIFFERS, (*nearest[1], *since.words, note))
    why = (
        "it names no program that made it"
        if printed is None
        else f"another set made it ({printed}), not the one here"
    )
    return Comparison(
        UNKNOWN,
        (
            f"Whether {file.name} was changed, and what it was made from, cannot be told: {why}.",
            *nearest[1],
            *since.words,
            note,
        ),
    )


def _usual_contents(formats: set[Format]) -> Iterable[Contents]:
    readers: tuple[tuple[Reader, ...], ...] = ((), *((one,) for one in Reader))
    if formats <= {"csv", "json"}:
        return [Contents()]
    shown = ((True, False), (False, False), (True, True)) if formats != {"text"} else ((True, False), (False, False))
    return [
        Contents.for_readers(*chosen, photos=photos, located=located)
        if chosen
        else Contents(photos=photos, located=located)
        for chosen, (photos, located) in product(readers, shown)
    ]


def _format_of(name: str, data: bytes) -> Format:
    beginning = data[:200].lstrip().lower()
    if beginning.startswith(b"%pdf-"):
        return "pdf"
    if beginning.startswith((b"<!doctype html", b"<html")):
        return "html"
    if beginning.startswith(b"{"):
        return "json"
    return "csv" if name.endswith(".csv") else "text"


def _contents_of(told: Any, name: str) -> Contents | None:
    """What a proof says that a paper was made of; None if it says nothing that can be."""
    try:
        said = told[name]
        parts = frozenset(PartName(one) for one in said["parts"])
        reader, money = str(said.get("reader", "")), bool(said.get("money", False))
        return Contents(parts, bool(said["photos"]), bool(said["located"]), str(said["name"]), reader, money)
    except (KeyError, TypeError, ValueError):
        return None


def _other_maker(known: Mapping[str, Any], judged: Judged) -> str:
    """In words, what made these papers that is not what is here; nothing if it is the same set."""
    told = known.get("made_with")
    if not isinstance(told, dict):
        return f"an earlier program made them ({str(known.get('program', 'unknown'))[:60]})"
    differs = [
        f"{str(told.get(name, 'unknown'))[:80]} there, {here} here"
        for name, here in made_with(judged.checklists).items()
        if told.get(name) != here
    ]
    return f"another set made them ({'; '.join(differs)})" if differs else ""


def _judged_at(judged: Judged, head: str) -> Judged:
    then = book_at(judged.book, head)
    assert then is not None, "the head was found in the trail before"
    return Judged(then, judged.checklists)


def _made_anew(
    then: Judged, contents: Contents, formats: set[Format], photos: Path, money: Money
) -> tuple[dict[str, bytes], tuple[str, ...]]:
    with tempfile.TemporaryDirectory(prefix="inspect-tui-verify-") as folder:
        try:
            pack = write_papers(then, Path(folder), formats, contents, photos=photos, money=money)
        except (HandoverError, BadPicture) as error:
            return {}, (str(error),)
        return {path.name: path.read_bytes() for path in pack.files}, pack.troubles


def _alike(data: bytes, made: bytes) -> int:
    """How many lines agree before the first that does not."""
    ours, theirs = made.splitlines(), data.splitlines()
    return next((at for at, pair in enumerate(zip(theirs, ours, strict=False)) if pair[0] != pair[1]), len(theirs))


def _difference(name: str, data: bytes, made: bytes | None, troubles: tuple[str, ...]) -> list[str]:
    """In a sentence where a paper differs from what the book gives; nothing if it does not."""
    if data == made:
        return []
    because = "".join(f" {one}" for one in troubles[:3])
    if made is None:
        return [f"{name} is not a paper that this book gives.{because}"]
    if data.startswith(b"%PDF-"):
        pairs = zip_longest(_pages(data), _pages(made))
        page = next((f", page {at}," for at, (theirs, ours) in enumerate(pairs, 1) if theirs != ours), "")
        return [f"{name}{page} is not the PDF that this book gives.{because}"]
    theirs, ours = (text.decode("utf-8", "replace").splitlines() for text in (data, made))
    at = _alike(data, made)
    said, gives = (lines[at] if at < len(lines) else "" for lines in (theirs, ours))
    sign = next(
        (i for i, pair in enumerate(zip(said, gives, strict=False)) if pair[0] != pair[1]), min(len(said), len(gives))
    )
    begin = max(0, sign - SHOWN)
    return [
        f"{name}, line {at + 1}, is not what this book gives. It says “{said[begin : sign + SHOWN].strip()}”; "
        f"the book gives “{gives[begin : sign + SHOWN].strip()}”.{because}"
    ]


def _pages(pdf: bytes) -> list[bytes | None]:
    """What is drawn on each page, as it lies in the file."""
    objects = {found[1]: found[2] for found in _OBJECT.finditer(pdf)}
    return [objects.get(number) for number in _CONTENT.findall(pdf)]


def _since(book: Book, digest: str, head: str) -> Comparison:
    """Whether papers with this digest and head came from this book, and what happened in it since."""
    lines = sorted(book.trail.values(), key=lambda line: line.number)
    at = next((index for index, line in enumerate(lines) if line.link == head), None)
    if at is None:
        return Comparison(
            DIFFERS,
            (
                "These papers did not come from this book: the head of the trail that they print is not in it. It is "
                "another book, or its trail was changed.",
            ),
        )
    later = [line for line in lines[at + 1 :] if not line.of_the_file]
    if book_digest(book, head) != digest:
        return Comparison(
            DIFFERS,
            (
                "The trail is the one these papers print, but the digest is not that of the book's records: either "
                "they were changed outside, or the digest in the papers was.",
            ),
        )
    if not later:
        return Comparison(SAME, ("These papers came from this book as it stands.",))
    words = [f"These papers came from this book as it stood on {moment(lines[at].when)}. Changed since:"]
    words += [f"  {moment(line.when)}, {line.by}: {line.words}" for line in later[:MOST_TOLD]]
    if len(later) > MOST_TOLD:
        words.append(f"  and {len(later) - MOST_TOLD} more changes, to be read in the trail.")
    return Comparison(SAME, tuple(words))


def find_head(book: Book, head: str) -> Comparison:
    """Whether a head that somebody was sent is one of this book's: when it stood, and how much was written since.
    That what stands before it is unchanged follows from the chain, which must be whole."""
    wanted = head.strip().lower()
    lines = sorted(book.trail.values(), key=lambda line: line.number)
    found = [line for line in lines if len(wanted) >= 16 and line.link.startswith(wanted)]
    if not found:
        if wanted == book_digest(book):
            return Comparison(
                DIFFERS, ("That is the digest of the book, not a head: papers print the head below it.",)
            )
        short = " Give at least 16 of its characters." if len(wanted) < 16 else ""
        return Comparison(DIFFERS, (f"No line of this book's trail has that head.{short}",))
    line = found[0]
    since = sum(one.number > line.number for one in lines)
    return Comparison(
        SAME,
        (
            f"That head stood on {moment(line.when)}, after line {line.number} of the trail ({line.words}). It "
            f"vouches for lines 1 to {line.number}, as long as the book fits its trail; {since} more written since.",
        ),
    )
