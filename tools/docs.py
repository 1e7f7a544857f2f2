"""Writes every generated page of the documentation. A test demands that this changes nothing.

Only `docs/performance.md` is not made here: its figures are measured, by `make bench`.
"""

import sys
from collections.abc import Callable
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parent.parent
if str(CHECKOUT) not in sys.path:
    sys.path.insert(0, str(CHECKOUT))

from drawthrough.cli.sheet import printed_schema  # noqa: E402
from tools import commands_page, functions_page, judgement_page, picture, validation_page, vocabulary_page  # noqa: E402


def sheet_schema() -> str:
    """Return the JSON Schema of the visit sheet as a file."""
    return printed_schema() + "\n"


PAGES: dict[str, Callable[[], str]] = {
    "docs/commands.md": commands_page.render,
    "docs/demo.svg": picture.render,
    "docs/functions.md": functions_page.render,
    "docs/judgement.md": judgement_page.render,
    "docs/judgement.schema.json": judgement_page.render_schema,
    "docs/validation.md": validation_page.render,
    "docs/visit-sheet.schema.json": sheet_schema,
    "docs/vocabulary.md": vocabulary_page.render,
}


def main() -> int:
    """Write the pages and say which of them changed."""
    for name, render in PAGES.items():
        path = CHECKOUT / name
        new = render()
        old = path.read_text(encoding="utf-8") if path.exists() else None
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(new, encoding="utf-8")
        print(f"{name}: {'unchanged' if new == old else 'written'}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
