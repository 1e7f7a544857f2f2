"""Faults of a visit sheet, as data: where, in which line, what was read, and what would do."""

from collections.abc import Iterable
from difflib import get_close_matches
from typing import Literal

import msgspec

from drawthrough.errors import DrawthroughError
from drawthrough.visit.sheet_lines import LineIndex, Path

Kind = Literal[
    "no such file", "not text", "not TOML", "empty sheet", "no runs", "unknown table", "unknown key", "missing table",
    "missing key", "wrong shape", "not a number", "missing unit", "unknown unit", "wrong quantity", "out of range",
    "not a choice", "not a time", "not an accuracy", "unknown quantity", "unknown place", "place not here", "one end",
    "two ends", "same ends", "sign against place", "sign not known", "wet bulb above dry bulb", "unequal lengths",
    "static not rising", "table rises", "table too short", "sea-level barometer", "same id", "unknown id",
    "wrong instrument", "zero of another time", "zero without its run", "ends before it starts",
    "speed spelled otherwise",
]  # fmt: skip


class SheetFault(msgspec.Struct, frozen=True, kw_only=True):
    """One fault: file, table path (counted from 1) and line; its kind, what was read, and what would do."""

    file: str
    place: str
    line: int | None
    kind: Kind
    read: str
    remedy: str

    def __str__(self) -> str:
        """Return the fault as a person reads it."""
        line = "" if self.line is None else f", line {self.line}"
        place = f", {self.place}" if self.place else ""
        read = f"\n    read: {self.read}" if self.read else ""
        return f"{self.file}{line}{place}: {self.kind}{read}\n    do:   {self.remedy}"


class SheetError(DrawthroughError):
    """A sheet that cannot be taken as it stands; carries every fault that was found."""

    def __init__(self, faults: Iterable[SheetFault]) -> None:
        self.faults = tuple(faults)
        count = "One fault" if len(self.faults) == 1 else f"{len(self.faults)} faults"
        super().__init__(f"{count} in the sheet.\n" + "\n".join(map(str, self.faults)))


# What a fault speaks of: a name, a figure in the unit that is named beside it, or the names that would do.
Datum = str | float | tuple[str, ...]


class Refused(Exception):
    """One value that cannot be taken: raised where it is read, turned into a fault where its place is known."""

    def __init__(self, kind: Kind, remedy: str, reason: str = "", **data: Datum) -> None:
        self.kind: Kind = kind
        self.remedy = remedy
        self.reason = reason  # tells faults of one kind apart that want different words
        self.data = data  # what the remedy is made of, for whoever words it otherwise
        super().__init__(remedy)


def place_text(path: Path) -> str:
    """Return a path as it is shown: ("run", 1, "reading", 0) is run[2].reading[1]."""
    text = ""
    for part in path:
        text += f"[{part + 1}]" if isinstance(part, int) else f".{part}" if text else part
    return text


class Faults:
    """Collects the faults of one sheet."""

    def __init__(self, file: str, lines: LineIndex) -> None:
        self.file = file
        self.lines = lines
        self.found: list[SheetFault] = []

    def add(self, kind: Kind, path: Path, read: object, remedy: str, reason: str = "", **data: Datum) -> None:
        """Write down one fault. The reason and the data are for forms, which word it themselves."""
        line = self.lines.line(path)
        self.found.append(
            SheetFault(file=self.file, place=place_text(path), line=line, kind=kind, read=shown(read), remedy=remedy)
        )

    def in_order(self) -> tuple[SheetFault, ...]:
        """Return the faults in the order of their lines."""
        return tuple(sorted(self.found, key=lambda fault: fault.line or 0))


LONGEST = 120  # characters of what was read that a fault repeats


def shown(read: object) -> str:
    """Return what was read as it stood in the sheet, cut where it is long."""
    if isinstance(read, bool):
        text = "true" if read else "false"
    elif isinstance(read, str):
        text = f'"{read}"'
    else:
        try:
            text = str(read)
        except (ValueError, RecursionError):  # a whole number of thousands of digits, tables without end
            text = type(read).__name__
    text = "".join(letter if letter.isprintable() else " " for letter in text)
    return text if len(text) <= LONGEST else text[: LONGEST - 1] + "…"


def listed(names: Iterable[str]) -> str:
    """Return names as a list for a sentence."""
    return ", ".join(f'"{name}"' for name in names)


def nearest(name: str, names: Iterable[str]) -> str:
    """Return the start of a remedy: the name that was probably meant, or nothing."""
    close = get_close_matches(name.lower(), {n.lower(): n for n in names}, n=1, cutoff=0.6)
    meant = next((n for n in names if close and n.lower() == close[0]), None)
    return "" if meant is None else f'did you mean "{meant}"? '
