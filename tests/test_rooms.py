"""The rooms of the house, that their doors open one way, and that nothing in them grows too large."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests import structure
from tests.structure import PACKAGE, files, module_of, tree_of

REPOSITORY = Path(__file__).parent.parent
LEAVES = {"errors", "digests", "files", "clock", "commands"}
# Each room, and what of the house it may import.
MAY: dict[str, set[str]] = {
    "domain": {"domain", "errors"},
    "engineering": {"engineering", "errors"},
    "judgement": {"judgement", "domain", "engineering", "errors"},
    "store": {"store", "domain", "errors", "digests", "files"},
    "handover": {"handover", "judgement", "engineering", "domain", "errors", "digests", "files"},
    "terminal": {"terminal", "handover", "judgement", "engineering", "store", "domain", "errors", "digests", "files"},
    "calc": {"calc", "engineering", "domain", "store", "errors", "commands"},
    "cli": {"calc", "launch", "handover", "judgement", "store", "domain", *LEAVES},
    "launch": {"terminal", "handover", "store", "domain", *LEAVES},
    "__main__": {"cli", "launch", "commands"},
    "__init__": set(),
    **{leaf: set[str]() for leaf in LEAVES},
    "commands": {"domain"},
}
OWNERS = {
    "textual": {"terminal"},
    "tinydb": {"store"},
    "filelock": {"store"},
    "jinja2": {"handover"},
    "typst": {"handover"},
    "click": {"cli", "calc"},
}
SUBJECTS = {"metal", "electricity", "causes", "work", "boat", "walk", "papers", "repair", "shell", "money"}
# Folders inside a room that are no subjects: kinds of thing.
KINDS = {
    "domain": {"knowledge", "edits", "measuring", "owner", "walking"},
    "engineering": {"strength"},
    "handover": {"parts", "figures", "writers", "sheets", "fonts", "templates"},
    "terminal": {"screens", "widgets"},
}


def room_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


@pytest.mark.parametrize("path", structure.files(), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_imports_run_one_way(path: Path) -> None:
    room = room_of(path)
    for name in structure.imports(path):
        parts = name.split(".")
        if parts[0] == "inspect_tui" and len(parts) > 1:
            assert parts[1] in MAY[room], f"{room} imports {name}"
        if parts[0] in OWNERS:
            assert room in OWNERS[parts[0]], f"{room} imports {parts[0]}"


def test_no_files_import_each_other_in_a_circle() -> None:
    assert structure.circles(structure.arrows()) == []


def test_a_circle_would_be_seen() -> None:
    assert structure.circles({"a": {"b"}, "b": {"c"}, "c": {"a"}, "d": {"a"}}) == [["a", "b", "c"]]


def test_screens_know_a_desk_and_not_the_app() -> None:
    known = {module for module, targets in structure.arrows().items() if "inspect_tui.terminal.app" in targets}
    assert known == {"inspect_tui.launch"}
    app = PACKAGE / "terminal" / "app.py"
    assert len(app.read_text(encoding="utf-8").splitlines()) <= 340


def test_folders_hold_no_more_than_can_be_overlooked_and_are_named_by_subject() -> None:
    for folder in {path.parent for path in structure.files()}:
        held = [path for path in folder.glob("*.py") if path.name != "__init__.py"]
        assert len(held) <= 15, folder
        parts = folder.relative_to(PACKAGE).parts
        for inner in parts[1:]:
            assert inner in SUBJECTS | KINDS.get(parts[0], set()), folder


def test_files_can_be_read_in_one_sitting() -> None:
    long = {path: len(path.read_text(encoding="utf-8").splitlines()) for path in structure.files()}
    assert not {str(path): lines for path, lines in long.items() if lines > 400}


def test_functions_fit_on_a_screen_and_take_few_things() -> None:
    long = {f"{path}:{node.name}": structure.code_lines(node) for path, node in structure.functions()}
    assert not {where: lines for where, lines in long.items() if lines > 60}
    # The inputs of a formula are as many as the formula has.
    greedy = {
        f"{path}:{node.name}": structure.parameters(node)
        for path, node in structure.functions()
        if room_of(path) != "engineering"
    }
    assert not {where: count for where, count in greedy.items() if count > 8}


def test_nothing_lies_about_unused() -> None:
    assert structure.unused() == set()


def test_what_stands_twice_stands_once() -> None:
    assert structure.twice() == []


def test_docstrings_stand_on_four_of_ten_functions() -> None:
    assert structure.documented() >= 0.40


@pytest.mark.parametrize("path", sorted((PACKAGE / "domain").rglob("*.py")), ids=lambda path: path.name)
def test_the_domain_touches_neither_disk_nor_clock(path: Path) -> None:
    assert not structure.imports(path) & {"os", "pathlib", "io", "time", "random", "secrets", "socket", "subprocess"}
    assert ".now(" not in path.read_text(encoding="utf-8")


def test_every_error_hangs_on_one_root_and_stands_in_the_tree() -> None:
    from inspect_tui import errors

    drawn = re.findall(r"(?:├──|└──) (\w+)", errors.__doc__ or "")
    made = {name: one for name, one in vars(errors).items() if isinstance(one, type)}
    assert {"InspectError", *drawn} == set(made)
    assert all(issubclass(one, errors.InspectError) for one in made.values())
    for path in structure.files():
        if path.name != "errors.py":
            assert not re.search(r"^class \w+\((?:Exception|\w*Error)\)", path.read_text(encoding="utf-8"), re.M), (
                path
            )


@pytest.mark.parametrize(
    ("module", "absent"),
    [
        ("inspect_tui.cli", ["textual", "jinja2", "pydantic", "tinydb", "inspect_tui.engineering"]),
        ("inspect_tui.judgement.judged", ["textual", "tinydb", "jinja2", "click", "numpy"]),
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


def test_help_is_there_before_the_libraries_are() -> None:
    program = (
        "import sys; sys.argv = ['inspect-tui', '--help']\n"
        "from inspect_tui.__main__ import start\n"
        "try: start()\n"
        "except SystemExit: print([one for one in ('pydantic', 'tinydb', 'textual') if one in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True, timeout=60)
    assert done.stdout.strip().endswith("[]")
    assert "worklist" in done.stdout


def test_the_top_level_holds_nothing_more() -> None:
    listed = subprocess.run(["git", "ls-files"], cwd=REPOSITORY, capture_output=True, text=True, check=False)
    if listed.returncode:
        pytest.skip("not a checkout")
    top = {line.split("/")[0] for line in listed.stdout.splitlines()}
    assert {name for name in top if not name.startswith(".")} <= {
        "README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", "inspect_tui", "checklists", "demo", "tests",
    }  # fmt: skip


def test_every_stylesheet_belongs_to_a_screen() -> None:
    screens = PACKAGE / "terminal" / "screens"
    for path in screens.rglob("*.py"):
        for sheet in re.findall(r'CSS_PATH = "(.+)"', path.read_text(encoding="utf-8")):
            assert (path.parent / sheet).is_file(), sheet
    assert not [sheet for sheet in screens.rglob("*.tcss") if not sheet.with_suffix(".py").is_file()]


def test_the_words_that_begin_a_command_are_the_commands() -> None:
    from inspect_tui.cli import main
    from inspect_tui.commands import COMMANDS

    assert set(main.commands) == set(COMMANDS)


@pytest.mark.parametrize("command", ["calc", "writeup", "sheets", "papers", "worklist", "verify"])
def test_a_command_alone_prints_its_help_and_starts_nothing(tmp_path: Path, command: str) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "inspect_tui", command],
        capture_output=True, text=True, check=False, timeout=60, cwd=tmp_path, stdin=subprocess.DEVNULL,
    )  # fmt: skip
    assert f"Usage: inspect-tui {command} " in done.stdout + done.stderr
    assert "Options:" in done.stdout + done.stderr
    assert list(tmp_path.iterdir()) == []


def test_what_is_worked_out_or_written_down_is_never_changed_in_place() -> None:
    """Dataclasses of the rooms without a screen are frozen."""
    loose = [
        f"{module_of(path)}.{node.name}"
        for path in files()
        if path.relative_to(PACKAGE).parts[0] in ("domain", "engineering", "judgement", "handover", "calc", "store")
        for node in ast.walk(tree_of(path))
        if isinstance(node, ast.ClassDef)
        for one in node.decorator_list
        if ast.unparse(one).startswith("dataclass") and "frozen=True" not in ast.unparse(one)
    ]
    assert loose == []
