"""What makes papers: the program, the trade knowledge, the libraries that set type and shrink photos. The same book
made by the same set gives the same bytes."""

from __future__ import annotations

import importlib.metadata
from collections.abc import Mapping
from functools import cache
from pathlib import Path

from inspect_tui.digests import digest_of_texts
from inspect_tui.domain.chain import digest_of
from inspect_tui.domain.knowledge.checklists import Checklists

_ROOMS = ("domain", "engineering", "handover", "judgement")
_SOURCES = frozenset({".py", ".typ", ".html"})


def made_with(checklists: Checklists) -> Mapping[str, str]:
    """Each part of the set that makes papers: a version, or a SHA-256 in hexadecimal over its files."""
    return {
        "program": f"inspect-tui {importlib.metadata.version('inspect-tui')}, sources {_sources()[:16]}",
        "knowledge": f"checklists {checklists.digest[:16]}",
        "typst": f"typst {importlib.metadata.version('typst')}",
        "pillow": f"Pillow {importlib.metadata.version('pillow')}",
    }


def made_of(checklists: Checklists) -> str:
    """One digest over all of it, which papers print."""
    return digest_of(dict(made_with(checklists)))[:16]


@cache
def _sources() -> str:
    package = Path(__file__).resolve().parent.parent
    found = (path for room in _ROOMS for path in (package / room).rglob("*") if path.suffix in _SOURCES)
    return digest_of_texts(sorted(found, key=lambda path: path.relative_to(package).as_posix()))
