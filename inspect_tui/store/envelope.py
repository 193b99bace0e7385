"""The bytes of a book: a header with schema, sequence and checksum around the tables. Plain JSON.

The checksum is over schema, sequence, time and the bytes of the tables as they stand. A file that somebody opened and
saved in a text editor is still whole if its tables say the same.
"""

from __future__ import annotations

import hashlib
import json
import re
from dataclasses import dataclass
from typing import Any

from inspect_tui.errors import Damaged, NotABook

FORMAT = "inspect-tui book"
_HEADER = re.compile(
    rb'\{"format":"inspect-tui book","schema":(?P<schema>\d{1,4}),"sequence":(?P<sequence>\d{1,15}),'
    rb'"saved":"(?P<saved>[^"\\]{0,40})","bytes":(?P<bytes>\d{1,15}),"sha256":"(?P<sha256>[0-9a-f]{64})","tables":'
)
HEADER_ROOM = 512

Tables = dict[str, dict[str, Any]]


@dataclass(frozen=True)
class Envelope:
    """One whole book as bytes, checked."""

    schema: int
    sequence: int
    saved: str
    body: bytes
    garbage: int = 0

    def tables(self) -> Tables:
        """The tables, decoded afresh at each call: no two callers share them."""
        tables: Tables = json.loads(self.body)
        return tables

    def digest(self) -> str:
        told = f"{self.schema} {self.sequence} {self.saved} ".encode()
        return hashlib.sha256(told + self.body).hexdigest()

    def sealed(self) -> bytes:
        digest = self.digest()
        header = (
            f'{{"format":"{FORMAT}","schema":{self.schema},"sequence":{self.sequence},"saved":"{self.saved}",'
            f'"bytes":{len(self.body)},"sha256":"{digest}","tables":'
        )
        return header.encode() + self.body + b"}"


def encode(tables: Tables) -> bytes:
    """The tables as compact JSON. Not-a-number is refused rather than written as broken JSON."""
    return _text(tables)


class RowCache:
    """The encoded text of rows and tables that were saved last time and are still the same objects."""

    def __init__(self) -> None:
        self._tables: dict[str, tuple[dict[str, Any], bytes]] = {}
        self._rows: dict[str, dict[str, tuple[object, bytes]]] = {}

    def encode(self, tables: Tables) -> bytes:
        """The same bytes as `encode`."""
        parts = []
        for name, rows in tables.items():
            known = self._tables.get(name)
            if known is None or known[0] is not rows:
                known = (rows, self._encode_table(name, rows))
                self._tables[name] = known
            parts.append(_text(name) + b":" + known[1])
        return b"{" + b",".join(parts) + b"}"

    def _encode_table(self, name: str, rows: dict[str, Any]) -> bytes:
        before = self._rows.get(name, {})
        now: dict[str, tuple[object, bytes]] = {}
        for key, row in rows.items():
            known = before.get(key)
            now[key] = known if known is not None and known[0] is row else (row, _text(key) + b":" + _text(row))
        self._rows[name] = now
        return b"{" + b",".join(text for _, text in now.values()) + b"}"


def _text(value: object) -> bytes:
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode()


def sequence_in(beginning: bytes) -> int:
    """The save number that the first bytes of a book name; -1 if they are no book's."""
    header = _HEADER.match(beginning, 0, HEADER_ROOM)
    return int(header["sequence"]) if header else -1


def open_envelope(data: bytes) -> Envelope:
    """Check the bytes of a book file.

    Bytes behind the end are passed over (and counted in `garbage`): the checksum tells that the book
    before them is whole.

    Raises
    ------
    NotABook : readable, but something else.
    Damaged : not whole; the sentence says in what way.
    """
    if not data:
        raise Damaged("the file is empty")
    header = _HEADER.match(data, 0, HEADER_ROOM)
    if header is None:
        return _open_reformatted(data)
    end = header.end() + int(header["bytes"])
    body = data[header.end() : end]
    if len(body) < int(header["bytes"]):
        raise Damaged("the file is cut short")
    envelope = Envelope(
        schema=int(header["schema"]),
        sequence=int(header["sequence"]),
        saved=header["saved"].decode("utf-8", "replace"),
        body=body,
        garbage=0 if data[end:] in (b"}", b"}\n") else max(1, len(data) - end - 1),
    )
    if envelope.digest() != header["sha256"].decode():
        raise Damaged("the checksum does not match: something in it was changed")
    return envelope


def _open_reformatted(data: bytes) -> Envelope:
    try:
        read = json.loads(data)
    except ValueError:
        if data.lstrip(b"\0 \r\n\t{").startswith(b'"format":"inspect-tui book"') or not data.strip(b"\0"):
            raise Damaged("its beginning cannot be read") from None
        raise Damaged("it cannot be read as a book") from None
    if not isinstance(read, dict) or not {"tables", "sha256"} & set(read):
        raise NotABook("This file is not a book of inspect-tui; it was left as it is.")
    try:
        body = encode(read["tables"])
        envelope = Envelope(int(read["schema"]), int(read["sequence"]), str(read["saved"]), body)
        sound = envelope.digest() == read["sha256"] and read["format"] == FORMAT
    except (KeyError, TypeError, ValueError, AttributeError):
        raise Damaged("parts of its header are missing") from None
    if not sound:
        raise Damaged("the checksum does not match: something in it was changed")
    return envelope
