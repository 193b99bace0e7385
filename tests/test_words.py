"""One thing has one word: what is printed of the other words must not come back."""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from inspect_tui.terminal.keys import VERBS
from inspect_tui.terminal.names import PALETTE

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "inspect_tui"
# Numbers in these are sizes of a screen's parts, or are read by other programs.
NO_TEXT = {"svg.py", "typst.py"}


def texts(path: Path) -> Iterator[str]:
    """The strings of a module that may be printed: no docstrings, no single words, no stylesheets."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    docs = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            yield "".join(str(part.value) if isinstance(part, ast.Constant) else "7" for part in node.values)
        elif (
            isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and id(node) not in docs
            and " " in node.value
            and "{ " not in node.value
        ):
            yield node.value


def printed() -> Iterator[tuple[str, str]]:
    for path in sorted(PACKAGE.rglob("*.py")):
        if path.name not in NO_TEXT:
            yield from ((str(path.relative_to(ROOT)), text) for text in texts(path))
    for path in sorted((ROOT / "checklists").rglob("*.toml")):
        for table in tomllib.loads(path.read_text(encoding="utf-8")).values():
            for row in table if isinstance(table, list) else ():
                for name, value in row.items() if isinstance(row, dict) else ():
                    if isinstance(value, str) and name not in ("source", "seen"):
                        yield str(path.relative_to(ROOT)), value


OTHER_WORDS = {
    "isolation test": r"\bhull tests?\b|wiring against the hull|test of the wiring",
    "%, after a space": r"[0-9]%(?![\w.(])",
    "no comma in thousands": r"(?<![\d.,])\d{1,3},\d{3}(?![\d,])",
    "Ω": r"\d (?:kilo-?|meg)?ohms?\b(?! met)",
    "such as, for example": r"needs a name, as\b|: write a [a-z]+, as [a-z]",
    "remove": r"\b[Tt]ake (?:out|off|away) (?:the|a|this) (?:newest|reading|field|photo|compartment)\b",
    "save": r"\bF2 keeps\b|\bkeeps the form\b",
}


@pytest.mark.parametrize("word", OTHER_WORDS)
def test_other_words_for_it_do_not_come_back(word: str) -> None:
    found = {where: text[:90] for where, text in printed() if re.search(OTHER_WORDS[word], text)}
    assert found == {}, f"say: {word}"


def test_a_measured_square_is_no_patch() -> None:
    for folder in ("engineering/metal", "judgement/metal", "domain/measuring", "terminal/screens/metal", "calc"):
        for path in (PACKAGE / folder).rglob("*.py"):
            for text in texts(path):
                if "calc" in folder and "patches" in text and "bad beneath" in text.replace("\n", " "):
                    continue
                told = re.sub(r"failed patch|old patch\w*|lapped patch|patch(?:es)? (?:were|was) lifted", "", text)
                assert not re.search(r"(?<![-\w])patch(es)?(?![-\w])", told), (path.name, text[:90])


def test_labels_use_the_words() -> None:
    labels = [verb.label for verb in VERBS.values()] + [title for title, _, _ in PALETTE]
    assert not {"Why", "Keep", "Take out", "Take away", "Take off", "List", "Hull test", "Take back"} & set(labels)
    for label in labels:
        assert label[0].isupper() or not label[0].isalpha()


def test_no_text_outside_the_terminal_names_a_key() -> None:
    key = re.compile(r"\bF\d{1,2}\b|\bCtrl\+|\bpress [b-z]\b")
    for where, text in printed():
        if "/terminal/" not in where:
            assert not key.search(text), (where, text[:90])
