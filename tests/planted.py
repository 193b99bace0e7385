"""Plants faults, one at a time, and tells which the tests do not see: `python -m tests.planted --seed 1 --count 20`.

Each fault is put into a copy of the repository: a comparison flipped, a constant changed, a call taken out, `and` and
`or` swapped, a branch dropped, or a value in a row of the trade knowledge changed. The tests that import what was
changed are run on it, the nearest first, until one fails. Printed at the end: the share caught, and the survivors.
"""

from __future__ import annotations

import argparse
import ast
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from queue import Queue

from tests.structure import arrows, files, module_of

REPOSITORY = Path(__file__).parent.parent
ROOMS = (
    "domain", "engineering", "judgement", "store", "handover", "terminal", "calc", "checklists",
    "files", "digests", "commands", "launch", "cli",
)  # fmt: skip
COPIED = ("inspect_tui", "checklists", "demo", "tests", "pyproject.toml", "README.md", "DEVELOPERS.md", "LICENSE")
FLIPPED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.In: ast.NotIn, ast.NotIn: ast.In,
}  # fmt: skip
# Tests that read the code or the whole house rather than run it, and the walks of the screen.
NOT_RUN = ("test_quality.py", "test_rooms.py", "test_real_terminal.py", "benchmarks")
LONGEST_S = 600


@dataclass(frozen=True)
class Fault:
    """One change of one file: the characters from `start` to `end` become `text`."""

    path: Path
    line: int
    what: str
    start: int
    end: int
    text: str

    def __str__(self) -> str:
        return f"{self.path}:{self.line}: {self.what}"


def faults_in(path: Path) -> list[Fault]:
    """Every fault that could be planted in a file of the repository."""
    source = (REPOSITORY / path).read_text(encoding="utf-8")
    if path.suffix == ".toml":
        return list(_in_rows(path, source))
    starts = [0]
    for row in source.splitlines(keepends=True):
        starts.append(starts[-1] + len(row))

    def at(line: int, column: int) -> int:
        """Columns of the tree are counted in bytes."""
        row = source[starts[line - 1] : starts[line]]
        return starts[line - 1] + len(row.encode()[:column].decode())

    def fault(node: ast.expr | ast.stmt, what: str, text: str) -> Fault:
        start, end = at(node.lineno, node.col_offset), at(node.end_lineno or 0, node.end_col_offset or 0)
        return Fault(path, node.lineno, what, start, end, text)

    found: list[Fault] = []
    for node in _reached(ast.parse(source)):
        if isinstance(node, ast.Compare) and type(node.ops[0]) in FLIPPED:
            ops = [FLIPPED[type(node.ops[0])](), *node.ops[1:]]
            changed = ast.unparse(ast.Compare(node.left, ops, node.comparators))
            found.append(fault(node, f"{ast.unparse(node)} → {changed}", f"({changed})"))
        elif isinstance(node, ast.Constant) and isinstance(node.value, bool | int | float):
            other = repr(not node.value) if isinstance(node.value, bool) else repr(node.value * 2 or 1)
            found.append(fault(node, f"{node.value!r} → {other}", other))
        elif isinstance(node, ast.Expr) and isinstance(node.value, ast.Call):
            found.append(fault(node, f"without {ast.unparse(node)[:60]}", "pass"))
        elif isinstance(node, ast.BoolOp):
            op = ast.Or() if isinstance(node.op, ast.And) else ast.And()
            changed = ast.unparse(ast.BoolOp(op, node.values))
            found.append(fault(node, f"{ast.unparse(node)[:80]}: and, or swapped", f"({changed})"))
        elif isinstance(node, ast.If | ast.IfExp):
            found.append(fault(node.test, f"never: if {ast.unparse(node.test)[:80]}", "False"))
    return found


def _reached(tree: ast.AST) -> Iterator[ast.AST]:
    """The nodes that run: no annotations, no texts put together, nothing for types alone."""
    for name, value in ast.iter_fields(tree):
        if name in ("annotation", "returns") or isinstance(tree, ast.JoinedStr | ast.Import | ast.ImportFrom):
            continue
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.AST):
                yield child
                yield from _reached(child)


def _in_rows(path: Path, source: str) -> Iterator[Fault]:
    """Numbers, yes and no, and words of a list in the rows of a file of trade knowledge."""
    for found in re.finditer(r'^(?!id|source|seen)\w+ = (.*)$|"[\w-]+" = (0\.\d+)', source, re.MULTILINE):
        group = 1 if found[1] is not None else 2
        value = found[group]
        if value in ("true", "false"):
            other = "false" if value == "true" else "true"
        elif re.fullmatch(r"-?[\d.]+", value):
            other = str(round(float(value) / 2, 4))
        elif re.fullmatch(r'\["[\w-]+"(, "[\w-]+")*\]', value):
            other = "[]"
        else:
            continue
        line = source.count("\n", 0, found.start()) + 1
        yield Fault(path, line, f"{found.group()} → {other}", found.start(group), found.end(group), other)


def sources(rooms: Sequence[str]) -> list[Path]:
    chosen = [
        path.relative_to(REPOSITORY)
        for path in files()
        if path.relative_to(REPOSITORY).parts[1].removesuffix(".py") in rooms
    ]
    if "checklists" in rooms:
        chosen += sorted(path.relative_to(REPOSITORY) for path in (REPOSITORY / "checklists").rglob("*.toml"))
    return chosen


def planted(rooms: Sequence[str], seed: int, count: int) -> list[Fault]:
    """As many faults, drawn evenly over all that could be planted."""
    every = [fault for path in sources(rooms) for fault in faults_in(path)]
    return random.Random(seed).sample(every, min(count, len(every)))


def tests_for(path: Path) -> list[str]:
    """The test files that import a file, however indirectly, the nearest first; and its own examples."""
    graph = {module: set(targets) for module, targets in arrows().items()}
    wanted = "inspect_tui.store.checklist_files"
    if path.suffix == ".py":
        wanted = module_of(REPOSITORY / path)
    ranked: list[tuple[int, str]] = []
    for test in sorted((REPOSITORY / "tests").rglob("test_*.py")):
        name = str(test.relative_to(REPOSITORY))
        if any(part in name for part in NOT_RUN):
            continue
        tree = ast.parse(test.read_text(encoding="utf-8"))
        first = {
            full
            for node in ast.walk(tree)
            if isinstance(node, ast.ImportFrom)
            for full in (str(node.module), *(f"{node.module}.{alias.name}" for alias in node.names))
        }
        far = _distance(graph, first, wanted)
        if far is not None:
            # The walks of the screen are slow: they come last.
            ranked.append((far + 100 * name.startswith("tests/terminal"), name))
    own = [str(path)] if path.suffix == ".py" else []
    return [*own, *(name for _, name in sorted(ranked))]


def _distance(graph: dict[str, set[str]], first: set[str], wanted: str) -> int | None:
    reached, edge, far = set(first), set(first), 0
    while edge:
        if wanted in edge:
            return far
        edge = {target for module in edge for target in graph.get(module, ())} - reached
        reached |= edge
        far += 1
    return None


def caught(fault: Fault, copy: Path, marks: str) -> bool:
    """Whether a test fails, hangs or cannot begin with the fault in its place."""
    file = copy / fault.path
    whole = file.read_text(encoding="utf-8")
    file.write_text(whole[: fault.start] + fault.text + whole[fault.end :], encoding="utf-8")
    environment = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1", "PYTHONPATH": str(copy), "HYPOTHESIS_SEED": "0"}
    try:
        wanted = tests_for(fault.path)
        done = subprocess.run(
            [sys.executable, "-m", "pytest", "-x", "-n", "0", "--no-header", "-m", marks, *wanted],
            cwd=copy, env=environment, capture_output=True, check=False, timeout=LONGEST_S,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        return True
    finally:
        file.write_text(whole, encoding="utf-8")
    # 5: nothing was collected.
    return done.returncode not in (0, 5)


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.planted", description=(__doc__ or "").partition(":")[0])
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--count", type=int, default=20)
    parser.add_argument("--room", action="append", choices=ROOMS, help="only here; may be given more than once")
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--marks", help="which tests, as for pytest -m; else the quick set, but of the terminal all")
    parser.add_argument("--show", action="store_true", help="only show what would be planted")
    asked = parser.parse_args()
    rooms = asked.room or ("domain", "judgement", "store")
    marks = asked.marks if asked.marks is not None else "" if "terminal" in rooms else "not slow"
    faults = planted(rooms, asked.seed, asked.count)
    if asked.show:
        print("\n".join(map(str, faults)))
        return 0
    survivors: list[Fault] = []
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor(asked.jobs) as pool:
        copies: Queue[Path] = Queue()
        for number in range(asked.jobs):
            copy = Path(folder) / str(number)
            for name in COPIED:
                source = REPOSITORY / name
                if source.is_dir():
                    shutil.copytree(source, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
                else:
                    shutil.copy(source, copy / name)
            copies.put(copy)

        def tried(fault: Fault) -> None:
            copy, began = copies.get(), time.monotonic()
            try:
                seen = caught(fault, copy, marks)
            finally:
                copies.put(copy)
            if not seen:
                survivors.append(fault)
            print(f"{'caught  ' if seen else 'SURVIVED'} {time.monotonic() - began:4.0f} s  {fault}", flush=True)

        list(pool.map(tried, faults))
    share = 100 * (len(faults) - len(survivors)) / max(len(faults), 1)
    print(f"\nseed {asked.seed}: {len(faults) - len(survivors)} of {len(faults)} caught, {share:.0f} %")
    for fault in survivors:
        print(f"  survived: {fault}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
