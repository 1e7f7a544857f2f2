"""Which room may import which, and that the phone's rooms need nothing but the standard library and msgspec."""

import ast
import json
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator

import pytest

from tests.house import walk

MODULES = walk.modules()
IMPORTED_AS = {"Jinja2": "jinja2", "python-multipart": "python_multipart", "svg.py": "svg"}
# Not for the phone: it has neither sockets nor threads, and each of these costs start-up time on the desk.
HEAVY = {"socket", "ssl", "subprocess", "sqlite3", "asyncio", "multiprocessing", "concurrent", "http", "urllib3"}


def imported(module: walk.Module) -> Iterator[tuple[str, int]]:
    """Yield each dotted name that a module imports, with its line; names taken from a package are spelled out."""
    package = ["drawthrough", *module.name.split(".")] if module.name else ["drawthrough"]
    if module.path.name != "__init__.py":
        package = package[:-1]
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield alias.name, node.lineno
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else []
            stem = ".".join([*base, *([node.module] if node.module else [])])
            for alias in node.names:
                yield f"{stem}.{alias.name}", node.lineno


def faults(module: walk.Module, names: Iterator[tuple[str, int]], allowed: set[str]) -> Iterator[str]:
    """Yield what a module imports that it may not."""
    for name, line in names:
        top, _, rest = name.partition(".")
        if top == "drawthrough":
            room = rest.partition(".")[0]
            if room in walk.ROOMS and module.room in walk.ROOMS:
                if walk.ROOMS.index(room) > walk.ROOMS.index(module.room):
                    yield f"{module.name}:{line} imports {name}, a room below its own"
            elif room in walk.ROOMS:
                yield f"{module.name}:{line}: the package itself imports {name}"
        elif top not in sys.stdlib_module_names and top not in allowed:
            yield f"{module.name}:{line} imports {name}"


def declared() -> set[str]:
    """Return the packages that pyproject.toml declares for running, as they are imported."""
    project = tomllib.loads((walk.CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    names = {re.split(r"[<>=!~ \[]", entry)[0] for entry in project["dependencies"]}
    return {IMPORTED_AS.get(name, name) for name in names}


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.name or "drawthrough")
def test_a_room_imports_only_rooms_above_it(module: walk.Module) -> None:
    """Rooms stand in one order; physics has the standard library alone, the phone's rooms msgspec as well."""
    if module.name:
        assert module.room in walk.ROOMS, f"{module.room} is no room"
    allowed = declared()
    if module.room in walk.PHONE_ROOMS:
        allowed = set() if module.room in ("errors", "units", "vocabulary", "physics") else {"msgspec"}
    assert list(faults(module, imported(module), allowed)) == []


def test_what_running_needs() -> None:
    """The engine needs msgspec alone; the rest is for the pages, and each of it was weighed (decision 0026)."""
    assert declared() == {"msgspec", "jinja2", "platformdirs", "python_multipart", "starlette", "svg", "uvicorn"}


@pytest.mark.parametrize(
    ("name", "text", "fault"),
    [
        ("physics.moist_air", "from drawthrough.judge import air", "a room below"),
        ("physics.moist_air", "from drawthrough import cli", "a room below"),
        ("physics.moist_air", "import numpy as np", "numpy"),
        ("physics.moist_air", "def f():\n    import msgspec", "msgspec"),
        ("physics.moist_air", "from ..visit import state", "a room below"),
    ],
)
def test_the_rule_sees_what_is_forbidden(name: str, text: str, fault: str, tmp_path: object) -> None:
    """The check itself: each of these is caught."""
    path = tmp_path / "moist_air.py"  # type: ignore[operator]
    path.write_text(text, encoding="utf-8")
    module = walk.Module(name, path)
    found = list(faults(module, imported(module), set()))
    assert len(found) == 1
    assert fault in found[0]


CHILD = """
import importlib, json, sys
first, names = json.loads(sys.argv[1])
for name in first:
    importlib.import_module(name)
before = set(sys.modules)
for name in names:
    importlib.import_module(name)
print(json.dumps(sorted({name.partition('.')[0] for name in set(sys.modules) - before})))
"""


@pytest.mark.parametrize("room", walk.PHONE_ROOMS)
def test_nothing_else_is_loaded(room: str) -> None:
    """In a fresh process a room loads the standard library and nothing else, beyond what msgspec alone has loaded."""
    names = [f"drawthrough.{module.name}" for module in MODULES if module.room == room]
    first = [] if room in ("errors", "units", "vocabulary", "physics") else ["msgspec"]
    command = [sys.executable, "-c", CHILD, json.dumps([first, names])]
    child = subprocess.run(command, capture_output=True, text=True, check=False)
    assert child.returncode == 0, child.stderr
    loaded = set(json.loads(child.stdout))
    assert {name for name in loaded if name not in sys.stdlib_module_names} <= {"drawthrough"}
    assert loaded & HEAVY == set()
