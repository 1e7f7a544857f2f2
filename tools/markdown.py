"""The little Markdown that the generated pages need."""

from collections.abc import Iterable, Sequence


def table(heads: Sequence[str], lines: Iterable[Sequence[str]]) -> list[str]:
    """Return the lines of a table."""
    return [
        "| " + " | ".join(heads) + " |",
        "|" + "---|" * len(heads),
        *("| " + " | ".join(_cell(cell) for cell in line) + " |" for line in lines),
    ]


def _cell(text: str) -> str:
    return " ".join(text.split()).replace("|", "\\|")
