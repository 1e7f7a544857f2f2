"""The cells of a pasted fan table: how a text is cut into them, and the figures and units that they hold."""

import csv
import re
from typing import NamedTuple, NoReturn

from drawthrough import units
from drawthrough.visit import entry_text
from drawthrough.visit.entry import EntryError, fault_of
from drawthrough.visit.sheet_fault import Datum, Kind

EMPTY = frozenset({"", "-", "--", "---", "–", "—", "−", "*", "n/a", "na"})
_WIDE = re.compile(r"\s{2,}")


class Row(NamedTuple):
    """One line of the text, with its number."""

    line: int
    cells: list[str]


def refuse(kind: Kind, read: str, reason: str, line: int | None = None, field: str = "text", **data: Datum) -> NoReturn:
    """Refuse the text, at a line of it."""
    raise EntryError([fault_of(field, kind, read, reason, data, line)])


def rows_of(text: str) -> list[Row]:
    """Return the lines of a text that hold anything, cut into cells."""
    lines = [(number, line) for number, line in enumerate(text.splitlines(), 1) if line.strip()]
    mark = next((mark for mark in "\t;|" if any(mark in line for _, line in lines)), "")
    if not mark and _by_commas([line for _, line in lines]):
        mark = ","
    # Two spaces part cells where single ones only join the words of a name.
    wide = not mark and all(_WIDE.search(line.strip()) for _, line in lines if len(_NUMBERS.findall(line)) > 1)
    rows = [Row(number, _cells(line, mark, wide)) for number, line in lines if _WORDS.search(line)]
    # A spreadsheet may hang empty columns behind the table.
    while rows and any(len(row.cells) > 1 for row in rows):
        width = max(len(row.cells) for row in rows)
        last = [row for row in rows if len(row.cells) == width]
        if any(row.cells[-1] for row in last):
            break
        for row in last:
            row.cells.pop()
    return rows


_NUMBERS = re.compile(r"(?<![\w.,])[\d.,]*\d")
_WORDS = re.compile(r"\w")  # a line without any is a rule that was drawn
_TWO_NUMBERS = re.compile(r"\d\s+[\d.]")


def _by_commas(lines: list[str]) -> bool:
    """Do commas part the cells, and not thousands or decimals?"""
    numeric = [line for line in lines if len(_NUMBERS.findall(line.replace(",", " "))) > 1]
    return bool(numeric) and all("," in line and not _TWO_NUMBERS.search(line) for line in numeric)


def _cells(line: str, mark: str, wide: bool) -> list[str]:
    if mark == ",":
        try:
            cells = next(csv.reader([line], skipinitialspace=True))
        except (csv.Error, StopIteration):
            cells = line.split(",")
    elif mark:
        cells = line.strip("|" if mark == "|" else "\n").split(mark)
    else:
        cells = _WIDE.split(line.strip()) if wide else line.split()
    return [cell.strip() for cell in cells]


def number_of(cell: str) -> str:
    """Return a cell's number with a decimal point and its unit taken off, or "" if it holds none."""
    if not any(letter.isdigit() for letter in cell):
        return ""
    try:
        value, unit = units.split(entry_text.with_point(cell))
    except (units.UnitError, ValueError, OverflowError):
        return ""
    if unit and not any(known(unit, of) for of in ("pressure", "airflow")):
        return ""
    return repr(value)


def is_point(cell: str) -> bool:
    """May a cell stand where an airflow is looked for?"""
    return bool(number_of(cell)) or cell.lower() in EMPTY


def value_of(number: str) -> float:
    """Return a number of `number_of`."""
    return float(number)


def known(unit: str, dimension: str) -> bool:
    """Is this a unit of a dimension?"""
    try:
        units.find(unit, dimension)
    except units.UnitError:
        return False
    return True


def unit_of(rows: list[Row], dimension: str) -> str:
    """Return the unit of a dimension that the words of the table hold, "" if there is none; two are refused."""
    found = _units(rows, dimension)
    for unit, line in found[1:]:
        if units.find(unit, dimension) != units.find(found[0][0], dimension):
            refuse("wrong shape", f"{found[0][0]}, {unit}", "units", line, unit=found[0][0], other=unit)
    return found[0][0] if found else ""


def _units(rows: list[Row], dimension: str) -> list[tuple[str, int]]:
    found = []
    for row in rows:
        words = re.split(r"[\s()\[\],:;/\\|]*[\s()\[\],:;\\|][\s()\[\],:;\\|]*", " ".join(row.cells))
        for first in range(len(words)):
            for length in (3, 2, 1):
                tried = "".join(words[first : first + length]).lstrip("0123456789.,")
                if tried and known(tried, dimension):
                    found.append((tried, row.line))
                    break
    return found
