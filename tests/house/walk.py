"""Walks over the package for the house tests: rooms, modules, public functions and their docstrings."""

import ast
import importlib
import inspect
import re
import textwrap
import types
import typing
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, NamedTuple

CHECKOUT = Path(__file__).resolve().parents[2]
SOURCE = CHECKOUT / "src" / "drawthrough"
TESTS = CHECKOUT / "tests"

# Top to bottom: a room may import only what stands above it.
ROOMS = (
    "errors", "units", "vocabulary", "physics", "measure", "visit", "trade", "plan", "judge", "store", "report",
    "web", "phone", "cli", "__main__",
)  # fmt: skip
PHONE_ROOMS = ("errors", "units", "vocabulary", "physics", "measure", "visit", "plan", "judge")
DOCUMENTED_ROOMS = ("physics", "measure")
EVIDENCE = ("published", "analytic", "independent")
MARKERS = (*EVIDENCE, "property", "pinned", "restated")

SECTIONS = ("Parameters", "Returns", "Raises", "Notes", "Examples", "References")
_HEAD = re.compile(r"^(\w+)\n-{3,}$", re.MULTILINE)
_ENTRY = re.compile(r"^(?P<names>\w+(?:, \w+)*) : (?P<type>.+)$")


class Module(NamedTuple):
    """One source file of the package."""

    name: str  # dotted, under drawthrough: "physics.moist_air"; "" for the package itself
    path: Path

    @property
    def room(self) -> str:
        """The room that the module belongs to."""
        return self.name.partition(".")[0]

    @property
    def tree(self) -> ast.Module:
        """The module as a syntax tree."""
        return ast.parse(self.path.read_text(encoding="utf-8"))


class Documented(NamedTuple):
    """One public function with its docstring taken apart."""

    module: str
    name: str
    call: Callable[..., Any]
    summary: str
    sections: dict[str, str]

    @property
    def path(self) -> str:
        """Dotted path under drawthrough."""
        return f"{self.module}.{self.name}"

    @property
    def entries(self) -> dict[str, tuple[str, str]]:
        """Each entry of Parameters: its type and its description."""
        return entries(self.sections.get("Parameters", ""))

    @property
    def references(self) -> list[str]:
        """Each entry of References without its number."""
        text = self.sections.get("References", "")
        return [
            " ".join(part.split()) for part in re.split(r"^\.\. \[\d+\] ", text, flags=re.MULTILINE) if part.strip()
        ]


def modules() -> list[Module]:
    """Return every module of the package in the order of its path."""
    found = []
    for path in sorted(SOURCE.rglob("*.py")):
        parts = path.relative_to(SOURCE).with_suffix("").parts
        found.append(Module(".".join(part for part in parts if part != "__init__"), path))
    return found


def load(name: str) -> Any:
    """Import a module by its dotted name under drawthrough."""
    return importlib.import_module(f"drawthrough.{name}" if name else "drawthrough")


def public_functions(rooms: tuple[str, ...] = DOCUMENTED_ROOMS) -> Iterator[Documented]:
    """Yield every public function of the rooms, each where it is defined."""
    for module in modules():
        if module.room not in rooms or any(part.startswith("_") for part in module.name.split(".")):
            continue
        loaded = load(module.name)
        for name, call in vars(loaded).items():
            if not name.startswith("_") and inspect.isfunction(call) and call.__module__ == loaded.__name__:
                summary, sections = take_apart(inspect.getdoc(call) or "")
                yield Documented(module.name, name, call, summary, sections)


def take_apart(docstring: str) -> tuple[str, dict[str, str]]:
    """Split a docstring into its summary and its sections in their order."""
    parts = _HEAD.split(docstring)
    summary = " ".join(parts[0].split("\n\n")[0].split())
    return summary, {head: body.strip("\n") for head, body in zip(parts[1::2], parts[2::2], strict=True)}


def entries(section: str) -> dict[str, tuple[str, str]]:
    """Split a section of `name : type` entries, each with its indented description."""
    found: dict[str, tuple[str, list[str]]] = {}
    current: list[str] = []
    for line in section.splitlines():
        match = _ENTRY.match(line)
        if match:
            current = []
            for name in match["names"].split(", "):  # several that share one description
                found[name] = (match["type"], current)
        else:
            current.append(line.strip())
    return {name: (kind, " ".join(part for part in text if part)) for name, (kind, text) in found.items()}


def is_float(annotation: Any) -> bool:
    """Is a parameter or a result a plain float, or a float that may be left out?"""
    if typing.get_origin(annotation) in (types.UnionType, typing.Union):
        return set(typing.get_args(annotation)) == {float, types.NoneType}
    return annotation is float


def hints(call: Callable[..., Any]) -> dict[str, Any]:
    """Return the annotations of a function as types."""
    return typing.get_type_hints(call)


def raised(call: Callable[..., Any]) -> set[str]:
    """Return the names of the exceptions that a function raises in its own body."""
    tree = ast.parse(textwrap.dedent(inspect.getsource(call)))
    names = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Raise) and node.exc is not None:
            target = node.exc.func if isinstance(node.exc, ast.Call) else node.exc
            if isinstance(target, ast.Name) and target.id[0].isupper():
                names.add(target.id)
            elif isinstance(target, ast.Attribute):
                names.add(target.attr)
    return names


def files_of_tests() -> list[Path]:
    """Return every module of tests."""
    return sorted(TESTS.rglob("test_*.py"))
