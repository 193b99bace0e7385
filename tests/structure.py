"""The house as it stands: which file imports which, how long things are, and what nobody uses. Read from the code."""

from __future__ import annotations

import ast
from collections import defaultdict
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import inspect_tui
from inspect_tui.terminal.names import SUBJECTS

PACKAGE = Path(inspect_tui.__file__).parent
ROOT = "inspect_tui"
Function = ast.FunctionDef | ast.AsyncFunctionDef


@cache
def files() -> tuple[Path, ...]:
    return tuple(sorted(path for path in PACKAGE.rglob("*.py") if "shipped" not in path.parts))


@cache
def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def module_of(path: Path) -> str:
    parts = (ROOT, *path.relative_to(PACKAGE).with_suffix("").parts)
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imports(path: Path) -> set[str]:
    """All modules and names that a file imports, wherever in it: in functions, for types, by `import_module`."""
    names: set[str] = set()
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import"
            names |= {f"{node.module}.{alias.name}" for alias in node.names} | {str(node.module)}
        elif isinstance(node, ast.Call) and _called(node) in ("import_module", "__import__"):
            names.add(_beginning(path, node.args[0]))
    return names


def _called(node: ast.Call) -> str:
    return node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")


def _beginning(path: Path, argument: ast.expr) -> str:
    """The part of a name that is known before the program runs, with a star behind it."""
    first = argument.values[0] if isinstance(argument, ast.JoinedStr) else argument
    assert isinstance(first, ast.Constant), f"{path}: what it imports cannot be told"
    return str(first.value) + ("*" if isinstance(argument, ast.JoinedStr) else "")


def arrows() -> dict[str, set[str]]:
    """For each module of ours the modules of ours that it imports."""
    known = {module_of(path) for path in files()}
    found: dict[str, set[str]] = defaultdict(set)
    for path in files():
        for name in imports(path):
            if name.endswith("*"):
                found[module_of(path)] |= {one for one in known if one.startswith(name[:-1])}
            elif name in known:
                found[module_of(path)].add(name)
    # A package is imported with what lies in it; only what its own file imports is an arrow.
    return {module: targets - {module} for module, targets in found.items()}


def circles(graph: dict[str, set[str]]) -> list[list[str]]:
    """Modules that import each other in a loop (Tarjan's strongly connected components)."""
    index: dict[str, int] = {}
    low: dict[str, int] = {}
    stack: list[str] = []
    found: list[list[str]] = []

    def visit(module: str) -> None:
        index[module] = low[module] = len(index)
        stack.append(module)
        for target in sorted(graph.get(module, ())):
            if target not in index:
                visit(target)
                low[module] = min(low[module], low[target])
            elif target in stack:
                low[module] = min(low[module], index[target])
        if low[module] == index[module]:
            at = stack.index(module)
            loop = stack[at:]
            del stack[at:]
            if len(loop) > 1:
                found.append(sorted(loop))

    for module in sorted(graph):
        if module not in index:
            visit(module)
    return found


def functions() -> Iterator[tuple[Path, Function]]:
    for path in files():
        for node in ast.walk(tree_of(path)):
            if isinstance(node, Function):
                yield path, node


def code_lines(node: Function) -> int:
    """Lines of a function without its docstring."""
    length = (node.end_lineno or node.lineno) - node.lineno + 1
    if ast.get_docstring(node) is not None:
        told = node.body[0]
        length -= (told.end_lineno or told.lineno) - told.lineno + 1
    return length


def parameters(node: Function) -> int:
    of = node.args
    return len([one for one in (*of.posonlyargs, *of.args, *of.kwonlyargs) if one.arg not in ("self", "cls")])


def statements() -> int:
    """Statements in the package, docstrings not counted."""
    every = (node for path in files() for node in ast.walk(tree_of(path)))
    return sum(isinstance(node, ast.stmt) and not _is_docstring(node) for node in every)


def _is_docstring(node: ast.stmt) -> bool:
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant) and isinstance(node.value.value, str)


def documented() -> float:
    """The share of functions that have a docstring."""
    told = [ast.get_docstring(node) is not None for _, node in functions()]
    return sum(told) / len(told)


def unused() -> set[str]:
    """Functions, classes and constants at the top of a module that nothing in the package names."""
    named: dict[str, int] = defaultdict(int)
    defined: dict[str, str] = {}
    for path in files():
        for node in ast.walk(tree_of(path)):
            if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load):
                named[node.id] += 1
            elif isinstance(node, ast.Attribute):
                named[node.attr] += 1
            elif isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value.isidentifier():
                # Names in annotations kept as text, and in __all__.
                named[node.value] += node.value in defined
        for top in tree_of(path).body:
            for name in _defined(top):
                defined[f"{module_of(path)}.{name}"] = name
    # Screens are opened by their name.
    named |= {f"{name.capitalize()}Screen": 1 for name in SUBJECTS}
    return {where for where, name in defined.items() if not named[name] and not name.startswith("__")}


def _defined(node: ast.stmt) -> list[str]:
    if isinstance(node, Function | ast.ClassDef):
        # What is decorated is handed to something else: click commands, for one.
        return [] if isinstance(node, Function) and node.decorator_list else [node.name]
    targets = (
        node.targets if isinstance(node, ast.Assign) else [node.target] if isinstance(node, ast.AnnAssign) else []
    )
    return [one.id for one in targets if isinstance(one, ast.Name)]


def twice() -> list[list[str]]:
    """Functions of four statements and more whose code is the same to the letter."""
    bodies: dict[str, list[str]] = defaultdict(list)
    for path, node in functions():
        body = node.body[1:] if ast.get_docstring(node) is not None else node.body
        if sum(isinstance(one, ast.stmt) for part in body for one in ast.walk(part)) >= 4:
            bodies["\n".join(ast.dump(one) for one in body)].append(f"{module_of(path)}.{node.name}")
    return [places for places in bodies.values() if len(places) > 1]
