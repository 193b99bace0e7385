"""The same checks for everyone: ruff, mypy strict, and what the documents say is true."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

REPOSITORY = Path(__file__).parent.parent
README = (REPOSITORY / "README.md").read_text(encoding="utf-8")


def run(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-m", *words], cwd=REPOSITORY, capture_output=True, text=True, check=False)


def test_ruff_has_nothing_to_say() -> None:
    done = run("ruff", "check", "--no-cache", ".")
    assert done.returncode == 0, done.stdout


def test_the_code_is_formatted() -> None:
    done = run("ruff", "format", "--no-cache", "--check", ".")
    assert done.returncode == 0, done.stdout


def test_mypy_strict_has_nothing_to_say(tmp_path: Path) -> None:
    done = run("mypy", "--cache-dir", str(tmp_path))
    assert done.returncode == 0, done.stdout


def test_the_readme_shows_the_commands_that_exist() -> None:
    from inspect_tui.cli import main

    shown = set(re.findall(r"^inspect-tui (\w+)", README, re.MULTILINE))
    assert shown == {name for name in main.commands if name != "open"}
    assert "python3 -m venv .venv && .venv/bin/pip install -e . && .venv/bin/inspect-tui demo" in README
    assert "python3 -m venv .venv && .venv/bin/pip install -e '.[test]' && .venv/bin/pytest" in README
    for picture in re.findall(r"\]\((demo/pictures/[^)]+)\)", README):
        assert (REPOSITORY / picture).is_file(), picture


def test_the_wheel_carries_checklists_and_demo(tmp_path: Path) -> None:
    """An installed copy works far from the repository."""
    if shutil.which("git") is None:
        pytest.skip("needs git for a clean tree")
    built = run("pip", "wheel", "--quiet", "--no-deps", "--wheel-dir", str(tmp_path), ".")
    assert built.returncode == 0, built.stderr
    wheel = next(tmp_path.glob("*.whl"))
    program = (
        f"import sys; sys.path.insert(0, {str(wheel)!r}); import zipfile; "
        f"zipfile.ZipFile({str(wheel)!r}).extractall({str(tmp_path / 'site')!r})"
    )
    subprocess.run([sys.executable, "-c", program], check=True)
    away = f"""
import sys
sys.path = [{str(tmp_path / "site")!r}] + [one for one in sys.path if one not in ("", {str(REPOSITORY)!r})]
import inspect_tui
from pathlib import Path
assert {str(tmp_path)!r} in inspect_tui.__file__, inspect_tui.__file__
from inspect_tui.store.checklist_files import load_checklists, shipped
from inspect_tui.handover.writers.html import _template
assert len(load_checklists().areas) == {len(list((REPOSITORY / "checklists/areas").iterdir()))}
assert (shipped("demo") / "sandmartin.hullbook").is_file()
assert list((shipped("demo").parent.parent / "terminal").rglob("*.tcss"))
_template()
assert len(list((shipped("demo") / "sandmartin-photos").glob("*.jpg"))) == 7
assert (Path(inspect_tui.__file__).parent / "handover/templates/papers.typ").is_file()
assert len(list((Path(inspect_tui.__file__).parent / "handover/fonts").glob("*.ttf"))) == 6
print("whole")
"""
    done = subprocess.run([sys.executable, "-c", away], cwd=tmp_path, capture_output=True, text=True, check=False)
    assert done.stdout.strip() == "whole", done.stderr
