"""What kind of evidence stands behind each public function of physics, as far as names can tell.

A function counts as tested by a test that uses it: directly, through another function of its module, or as the
function (or within the adapter) of a published row. That a name is used does not prove that the test is a good one;
that it is not used proves that there is none.
"""

import ast
import importlib
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.house import walk
from tests.published import rows

UNMARKED = ("house", "cli", "visit")  # their tests hold the house together; they say nothing of a figure's truth
PHYSICS = {id(function.call): function.path for function in walk.public_functions(("physics",))}


def markers(nodes: list[ast.expr]) -> set[str]:
    """Return the evidence markers among decorators or the values of `pytestmark`."""
    found = set()
    for node in nodes:
        for part in ast.walk(node):
            if isinstance(part, ast.Attribute) and part.attr in walk.MARKERS:
                found.add(part.attr)
    return found


def marked_tests(tree: ast.Module) -> Iterator[tuple[ast.FunctionDef, set[str]]]:
    """Yield every test of a module with its evidence markers."""
    everywhere: set[str] = set()
    for node in tree.body:
        if isinstance(node, ast.Assign) and any(getattr(target, "id", "") == "pytestmark" for target in node.targets):
            everywhere |= markers([node.value])

    def within(body: list[ast.stmt], inherited: set[str]) -> Iterator[tuple[ast.FunctionDef, set[str]]]:
        for node in body:
            if isinstance(node, ast.ClassDef):
                yield from within(node.body, inherited | markers(node.decorator_list))
            elif isinstance(node, ast.FunctionDef) and node.name.startswith("test"):
                yield node, inherited | markers(node.decorator_list)

    yield from within(tree.body, everywhere)


def aliases(tree: ast.Module) -> dict[str, Any]:
    """Return what each imported name of drawthrough stands for in a module."""
    found: dict[str, Any] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and (node.module or "").partition(".")[0] == "drawthrough":
            for alias in node.names:
                found[alias.asname or alias.name] = _resolve(f"{node.module}.{alias.name}")
        elif isinstance(node, ast.Import):
            for alias in node.names:
                if alias.name.partition(".")[0] == "drawthrough":
                    found[alias.asname or "drawthrough"] = _resolve(alias.name if alias.asname else "drawthrough")
    return found


def _resolve(path: str) -> Any:
    try:
        return importlib.import_module(path)
    except ModuleNotFoundError:
        module, _, name = path.rpartition(".")
        return getattr(importlib.import_module(module), name, None)


def functions_used(tree: ast.Module) -> dict[str, set[str]]:
    """Return for each top-level definition of a module which physics functions it uses, through others as well."""
    names = aliases(tree)
    direct: dict[str, set[str]] = {}
    calls: dict[str, set[str]] = {}

    def value(node: ast.AST) -> Any:
        if isinstance(node, ast.Name):
            return names.get(node.id)
        if isinstance(node, ast.Attribute):
            base = value(node.value)
            return None if base is None else getattr(base, node.attr, None)
        return None

    def note(name: str, node: ast.AST) -> None:
        direct.setdefault(name, set())
        calls.setdefault(name, set())
        for part in ast.walk(node):
            if isinstance(part, ast.Name | ast.Attribute):
                path = PHYSICS.get(id(value(part)))
                if path:
                    direct[name].add(path)
            if isinstance(part, ast.Name):
                calls[name].add(part.id)
            elif isinstance(part, ast.arg):
                calls[name].add(part.arg)  # a fixture

    for node in tree.body:
        if isinstance(node, ast.FunctionDef):
            note(node.name, node)
        elif isinstance(node, ast.ClassDef):
            note(node.name, node)
            for inner in node.body:
                if isinstance(inner, ast.FunctionDef):
                    note(inner.name, inner)
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            for target in targets:
                if isinstance(target, ast.Name):
                    note(target.id, node)

    def reach(name: str, seen: set[str]) -> set[str]:
        if name in seen or name not in direct:
            return set()
        seen.add(name)
        return direct[name].union(*(reach(other, seen) for other in calls[name]))

    return {name: reach(name, set()) for name in direct}


def evidence() -> dict[str, set[str]]:
    """Return the kinds of evidence behind each physics function."""
    found: dict[str, set[str]] = defaultdict(set)
    for path in walk.files_of_tests():
        if path.parent.name in UNMARKED:
            continue
        tree = _tree(path)
        used = functions_used(tree)
        for test, kinds in marked_tests(tree):
            for function in used[test.name]:
                found[function] |= kinds
    adapters: dict[str, dict[str, set[str]]] = {}
    for row in rows.load():
        if row.word != "published" or row.disagrees is not None:
            continue
        if row.function.startswith("adapters."):
            if row.topic not in adapters:
                adapters[row.topic] = functions_used(_tree(rows.FOLDER / f"adapters_{row.topic}.py"))
            for function in adapters[row.topic].get(row.function.partition(".")[2], ()):
                found[function].add("published")
        else:
            function = PHYSICS.get(id(rows.find_function(row)))
            if function:
                found[function].add("published")
    return found


def _tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


FOUND = evidence()


@pytest.mark.parametrize("function", sorted(PHYSICS.values()))
def test_function_has_evidence(function: str) -> None:
    """Each function has a published, analytic or independent test, and a property test."""
    kinds = FOUND[function]
    assert kinds & set(walk.EVIDENCE), f"{function} has only {sorted(kinds)}"
    assert "property" in kinds, f"{function} has no property test"


@pytest.mark.parametrize("path", walk.files_of_tests(), ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_every_test_says_what_kind_of_evidence_it_is(path: Path) -> None:
    """Outside house, cli and visit each test carries a marker; `test_row` carries its row's."""
    if path.parent.name in UNMARKED:
        return
    tests = list(marked_tests(_tree(path)))
    assert tests, f"{path.name} holds no test"
    assert [test.name for test, kinds in tests if not kinds and test.name != "test_row"] == []
