"""The rooms of the house, and that their doors open one way."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

import inspect_tui

PACKAGE = Path(inspect_tui.__file__).parent
REPOSITORY = Path(__file__).parent.parent

# Each room, and what of the house it may import.
MAY: dict[str, set[str]] = {
    "domain": {"domain"},
    "engineering": {"engineering"},
    "judgement": {"judgement", "domain", "engineering"},
    "store": {"store", "domain"},
    "handover": {"handover", "judgement", "engineering", "domain"},
    "terminal": {"terminal", "handover", "judgement", "engineering", "store", "domain"},
    "calc": {"calc", "engineering", "store"},
    "cli": {"calc", "launch", "handover", "judgement", "store", "domain", "clock"},
    "launch": {"terminal", "store", "domain", "clock"},
    "clock": set(),
    "__main__": {"cli", "launch"},
    "__init__": set(),
}
OWNERS = {
    "textual": {"terminal"},
    "tinydb": {"store"},
    "filelock": {"store"},
    "jinja2": {"handover"},
    "typst": {"handover"},
    "click": {"cli", "calc"},
}


def imports(path: Path) -> set[str]:
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import"
            names.add(node.module or "")
    return names


def room_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


@pytest.mark.parametrize("path", sorted(PACKAGE.rglob("*.py")), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_imports_run_one_way(path: Path) -> None:
    room = room_of(path)
    for name in imports(path):
        parts = name.split(".")
        if parts[0] == "inspect_tui" and len(parts) > 1:
            assert parts[1] in MAY[room], f"{room} imports {name}"
        if parts[0] in OWNERS:
            assert room in OWNERS[parts[0]], f"{room} imports {parts[0]}"


@pytest.mark.parametrize("path", sorted((PACKAGE / "domain").glob("*.py")), ids=lambda path: path.name)
def test_the_domain_touches_neither_disk_nor_clock(path: Path) -> None:
    assert not imports(path) & {"os", "pathlib", "io", "time", "random", "socket", "subprocess"}
    assert ".now(" not in path.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("module", "absent"),
    [
        ("inspect_tui.cli", ["textual", "jinja2"]),
        ("inspect_tui.judgement.work.worklist", ["textual", "tinydb", "jinja2", "click", "numpy"]),
        ("inspect_tui.handover.papers", ["textual", "tinydb", "click"]),
        ("inspect_tui.store.book_file", ["textual", "jinja2", "click"]),
        # What the first screen waits for.
        (
            "inspect_tui.terminal.app, inspect_tui.launch",
            ["inspect_tui.judgement", "jinja2", "click", "typst"],
        ),
    ],
)
def test_what_a_module_drags_in(module: str, absent: list[str]) -> None:
    program = f"import sys, {module}; print([name for name in {absent!r} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True, timeout=60)
    assert done.stdout.strip() == "[]"


def test_files_can_be_read_in_one_sitting() -> None:
    long = {path: len(path.read_text(encoding="utf-8").splitlines()) for path in PACKAGE.rglob("*.py")}
    assert not {str(path): lines for path, lines in long.items() if lines > 450}


def test_the_top_level_holds_nothing_more() -> None:
    listed = subprocess.run(["git", "ls-files"], cwd=REPOSITORY, capture_output=True, text=True, check=False)
    if listed.returncode:
        pytest.skip("not a checkout")
    top = {line.split("/")[0] for line in listed.stdout.splitlines()}
    assert {name for name in top if not name.startswith(".")} <= {
        "README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", "inspect_tui", "checklists", "demo", "tests",
    }  # fmt: skip


def test_every_screen_has_its_stylesheet() -> None:
    for path in (PACKAGE / "terminal" / "screens").glob("*.py"):
        for sheet in re.findall(r'CSS_PATH = "(.+)"', path.read_text(encoding="utf-8")):
            assert (path.parent / sheet).is_file(), sheet
