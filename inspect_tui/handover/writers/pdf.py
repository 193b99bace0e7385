"""The papers as PDF, tagged for screen readers (PDF/UA-1), set by Typst from the report as data."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass
from functools import lru_cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from inspect_tui.domain.plain import visible
from inspect_tui.errors import CannotSet
from inspect_tui.handover.model import (
    Bar,
    Columns,
    Facts,
    Figure,
    Nos,
    Part,
    Picture,
    Points,
    Report,
    Sheet,
    Strong,
    Words,
)
from inspect_tui.handover.report import Contents, make_report
from inspect_tui.handover.writers.pictures import Laid, Shrunk
from inspect_tui.judgement.judged import Judged

FONTS = Path(str(files("inspect_tui.handover") / "fonts"))
_TEMPLATE = "papers.typ"
_TYPESETTER = str(files("inspect_tui.handover") / "writers" / "typesetting.py")
# Given a JPEG itself, Typst holds it decoded, over a megabyte each; out of a frame like this it passes the file on.
_FRAME = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="{wide}" height="{high}">'
    '<image width="{wide}" height="{high}" href="{name}"/></svg>'
)
# What the fonts that travel with the program are known to have; anything else is tried out first.
_TOGETHER = re.compile(r"(?<=\d) (?=(?:mm|m|m²|kg|h|mV|%)(?![\w]))")
_EVERYDAY = re.compile("[^\\n -~\\u00a0-\\u024f\\u0370-\\u03ff\\u0400-\\u04ff–—‘’“”…′″≥≤−×·→◁₂⟨⟩]")


def write_pdf(report: Report, pictures: Mapping[str, Laid], work: Path, out: Path) -> None:
    """Write the PDF to `out`; the same report gives the same bytes. `work` is a folder for what Typst reads;
    the pictures lie in `photos` inside it, named by their ids.

    Raises
    ------
    CannotSet : the typesetter refused.
    """
    _typeset("write", main=str(_laid_out(report, pictures, work)), out=str(out), root=str(work))


def pages(judged: Judged, contents: Contents) -> int:
    """How many pages the papers with these contents have.

    Raises
    ------
    CannotSet, OSError : they cannot be set.
    """
    with tempfile.TemporaryDirectory(prefix="inspect-tui-") as work:
        return count_pages(make_report(judged, contents), Path(work))


def count_pages(report: Report, work: Path) -> int:
    """How many pages the PDF will have, without reading a photo: each has its place whatever it shows."""
    folder = work / "photos"
    folder.mkdir(parents=True, exist_ok=True)
    blank = {picture.photo: _blank().laid(folder / f"{picture.photo}.jpg") for picture in report.pictures()}
    return int(_typeset("pages", main=str(_laid_out(report, blank, work)), root=str(work)))


def _typeset(do: str, **asked: str) -> Any:
    """Ask the typesetter.

    Raises
    ------
    CannotSet : it refused, or its process did not end well.
    """
    done = subprocess.run(
        [sys.executable, "-P", _TYPESETTER],
        input=json.dumps({"do": do, "fonts": str(FONTS)} | asked).encode(),
        capture_output=True,
        check=False,
        # glibc holds on to less of what is freed.
        env=os.environ | {"MALLOC_TRIM_THRESHOLD_": "131072"},
    )
    if done.returncode:
        last = (done.stderr.decode(errors="replace").splitlines() or [f"it ended with {done.returncode}"])[-1]
        raise CannotSet(f"The PDF could not be made: {last}")
    told = json.loads(done.stdout)
    if "error" in told:
        raise CannotSet(f"The PDF could not be made: {told['error'].splitlines()[0]}")
    return told["told"]


@lru_cache(maxsize=1)
def _blank() -> Shrunk:
    import io

    from PIL import Image

    out = io.BytesIO()
    Image.new("RGB", (4, 3), "white").save(out, "JPEG")
    return Shrunk(out.getvalue(), 4, 3)


def _laid_out(report: Report, pictures: Mapping[str, Laid], work: Path) -> Path:
    """Write what Typst reads, and give the file it begins with."""
    work.mkdir(parents=True, exist_ok=True)
    told = json.dumps(_plain(report, pictures), ensure_ascii=False)
    strange = sorted(set(_EVERYDAY.findall(told)))
    if named := _not_in_fonts("".join(strange)):
        told = told.translate({ord(sign): f"⟨U+{ord(sign):04X}⟩" for sign in named})
    (work / "report.json").write_text(told, encoding="utf-8")
    for laid in pictures.values():
        told = _FRAME.format(wide=laid.wide, high=laid.high, name=laid.path.name)
        laid.path.with_suffix(".svg").write_text(told, encoding="utf-8")
    main = work / "main.typ"
    main.write_bytes((files("inspect_tui.handover") / "templates" / _TEMPLATE).read_bytes())
    return main


@lru_cache(maxsize=8)
def _not_in_fonts(signs: str) -> str:
    """Those of some signs that no font here can show; PDF/UA allows none of them, so they are named instead."""
    return str(_typeset("missing", signs=signs)) if signs else ""


def _plain(value: Any, pictures: Mapping[str, Laid]) -> Any:
    """The report as JSON can hold it: each block names its kind, text is made visible."""
    match value:
        case str():
            return _TOGETHER.sub("\u00a0", visible(value).replace("\r\n", "\n").replace("\t", "    "))
        case Facts(lines):
            return {"kind": "Facts", "lines": _plain(lines, pictures)}
        case Points(items, how):
            return {"kind": "Points", "points": _plain(items, pictures), "how": how}
        case Nos(chalks):
            return {"nos": list(chalks)}
        case Strong(text):
            return {"strong": _plain(text, pictures)}
        case Bar():
            return {"bar": _fields(value, pictures)}
        case Report():
            rings = {str(chalk): state for chalk, state in value.rings.items()}
            anchors = {str(chalk): id for chalk, id in value.anchors.items()}
            return _fields(value, pictures) | {"rings": rings, "anchors": anchors, "targets": list(value.anchors)}
        case dict():
            return value
        case Words(text, kind):
            return {"kind": "Words", "text": _plain(text, pictures), "how": kind}
        case Sheet() | Part():
            told = _fields(value, pictures) | {"blocks": _plain(_there(value.blocks, pictures), pictures)}
            return told | ({"kind": "Sheet"} if isinstance(value, Sheet) else {})
        case Columns(shares, stacks):
            told_stacks = [_plain(_there(stack, pictures), pictures) for stack in stacks]
            return {"kind": "Columns", "shares": list(shares), "stacks": told_stacks}
        case Figure():
            return _fields(value, pictures) | {"kind": "Figure"}
        case tuple() | list():
            return [_plain(one, pictures) for one in value]
        case _ if is_dataclass(value):
            return _fields(value, pictures) | {"kind": type(value).__name__}
    return value


def _there(blocks: Sequence[object], pictures: Mapping[str, Laid]) -> list[object]:
    """Without the photos that cannot be shown."""
    return [one for one in blocks if not isinstance(one, Picture) or one.photo in pictures]


def _fields(value: Any, pictures: Mapping[str, Laid]) -> dict[str, Any]:
    return {field.name: _plain(getattr(value, field.name), pictures) for field in fields(value)}
