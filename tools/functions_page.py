"""Makes `docs/functions.md`: every public function of physics and measure, its sentence and its sources."""

import inspect

from tests.house.walk import Documented, public_functions
from tools.markdown import table


def render() -> str:
    """Return the page."""
    parts = [
        "# Functions of the engine",
        "",
        "SI floats in, SI floats out. Each docstring holds the units, the equation, its range and its sources:",
        "`python -c \"help('drawthrough.physics.moist_air')\"`.",
    ]
    module = None
    rows: list[list[str]] = []
    for function in public_functions():
        if function.module != module:
            if rows:
                parts += ["", *table(["function", "what it returns", "sources"], rows)]
                rows = []
            module = function.module
            parts += ["", f"## {module}"]
        rows.append(_line(function))
    if rows:
        parts += ["", *table(["function", "what it returns", "sources"], rows)]
    return "\n".join(parts) + "\n"


def _line(function: Documented) -> list[str]:
    signature = ", ".join(inspect.signature(function.call).parameters)
    return [f"`{function.name}({signature})`", function.summary, " ".join(function.references)]
