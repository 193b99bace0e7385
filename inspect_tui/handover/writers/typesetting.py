"""Typst, in a process of its own, run as a file: what is asked comes in as JSON, what is told goes out as JSON.

Typst keeps what it laid out through ten further layouts, 150 MB each for a book of 300 findings, and a process gives
that back only at its end.
"""

import json
import sys
from collections.abc import Callable

import typst


def write(main: str, out: str, root: str, fonts: str) -> None:
    # Straight to the file: with many photos it is large.
    typst.compile(main, out, root=root, font_paths=[fonts], pdf_standards=["ua-1"])


def pages(main: str, root: str, fonts: str) -> int:
    return int(json.loads(typst.query(main, "<pages>", field="value", one=True, root=root, font_paths=[fonts])))


def missing(signs: str, fonts: str) -> str:
    """Those of some signs that no font shows, by trial and halving."""
    quoted = json.dumps(signs, ensure_ascii=False)
    page = f'#set document(title: "x", date: none)\n#set text(font: "DejaVu Sans")\n#{quoted}'
    try:
        typst.compile(page.encode(), font_paths=[fonts], pdf_standards=["ua-1"])  # type: ignore[misc]
    except typst.TypstError:
        half = len(signs) // 2
        return missing(signs[:half], fonts) + missing(signs[half:], fonts) if half else signs
    return ""


if __name__ == "__main__":
    DOES: dict[str, Callable[..., object]] = {"write": write, "pages": pages, "missing": missing}
    asked = json.load(sys.stdin)
    try:
        told = {"told": DOES[asked.pop("do")](**asked)}
    except (typst.TypstError, OSError, RuntimeError) as error:
        told = {"error": str(error)}
    json.dump(told, sys.stdout)
