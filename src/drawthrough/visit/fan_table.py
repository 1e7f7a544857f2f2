"""A maker's fan table, pasted from a page or a spreadsheet or read from a file, as one table for each speed.

These forms are taken; cells are parted by tabs, semicolons, bars, commas (each cell then without spaces between its
numbers, or in double quotes), two or more spaces, or single spaces:

- Statics along the head, a row for each speed:
      Speed      0.1   0.2   0.3  in. w.c.
      Med High  1190  1150  1105  cfm
- Statics down the first column, a column for each speed:
      ESP (inwc)  Low  High
      0.1         900  1200
- One speed in two columns, static and airflow, with or without a head; its name is then given beside.
- One speed in two rows, the first of statics, the second of airflows; a word may stand before each.

Units stand in the head, in the lines above, behind a row, in a cell, or are given beside. A dash, a star, "n/a" or
nothing marks a point that the maker does not print. Statics may fall down the page: they are turned round. Lines
without figures above the head are read for units only, and so are lines below it. With single spaces a name of several
words may stand before a row, but not over a column: there the columns could not be told apart.
"""

import csv
import re
from collections.abc import Mapping
from typing import NamedTuple, NoReturn

from drawthrough import units
from drawthrough.visit import entry_text
from drawthrough.visit.entry import EntryError, EntryFault, entry, fault_of
from drawthrough.visit.fold import Folded
from drawthrough.visit.sheet_fault import Datum, Kind
from drawthrough.visit.state import FanTable

_EMPTY = frozenset({"", "-", "--", "---", "–", "—", "−", "*", "n/a", "na"})
_OF_STATIC = re.compile(r"static|pressure|\besp\b|\btesp\b|est[aá]tica|presi[oó]n", re.IGNORECASE)
_OF_SPEED = re.compile(r"speed|\btap\b|velocidad|\bterminal\b", re.IGNORECASE)
_OF_AIRFLOW = re.compile(r"^(?:air\s*flow|volume|caudal|flujo)\b", re.IGNORECASE)
_WIDE = re.compile(r"\s{2,}")
_LARGEST = 100_000  # characters that a table may have


class _Row(NamedTuple):
    line: int
    cells: list[str]


class _Column(NamedTuple):
    """One speed: its points, and the line in which it is found."""

    speed: str
    points: list[tuple[str, str]]
    line: int


def fan_table_of(
    text: str, speed: str = "", fields: Mapping[str, str] | None = None, around: Folded | None = None
) -> tuple[FanTable, ...]:
    """Return the tables of a text, one for each speed.

    Parameters
    ----------
    text : str
        As pasted; see above for the forms.
    speed : str
        Name of the speed, where the text holds one without a name.
    fields : mapping of str to str, optional
        The other fields of a fan table's form, for all of them: coil, filter, heater, volts, flow_basis; and
        static_unit and airflow_unit for a text that does not tell its units.
    around : Folded, optional
        The visit so far: its motor says whether an airflow may rise with the static.

    Raises
    ------
    EntryError
        The text is no such table, or one of its speeds cannot be taken. Faults name the line.
    """
    given = dict(fields or {})
    if len(text) > _LARGEST:
        _refuse("wrong shape", text, "table")
    rows = _rows(text.translate({0xA0: " ", 0x202F: " ", 0xFEFF: ""}))
    columns = _columns(rows, speed)
    static_unit = _unit(rows, "pressure") or given.get("static_unit", "")
    airflow_unit = _unit(rows, "airflow") or given.get("airflow_unit", "")
    for wanted, unit in (("static", static_unit), ("airflow", airflow_unit)):
        if not unit:
            _refuse("missing unit", "", "table", field=wanted, wanted=wanted)
    made: list[FanTable] = []
    faults: list[EntryFault] = []
    for column in columns:
        points = column.points
        if len(points) > 1 and _value(points[0][0]) > _value(points[-1][0]):
            points = points[::-1]
        one = {
            **given,
            "speed": column.speed,
            "static": " ".join([static for static, _ in points]),
            "airflow": " ".join([airflow for _, airflow in points]),
            "static_unit": static_unit,
            "airflow_unit": airflow_unit,
        }
        if not points:
            faults.append(fault_of("airflow", "table too short", column.speed, "", {}, column.line))
            continue
        try:
            made.append(entry(FanTable, one, around))
        except EntryError as error:
            faults.extend(
                EntryFault(
                    field=fault.field, kind=fault.kind, read=fault.read, reason=fault.reason, names=fault.names,
                    figures=fault.figures, choices=fault.choices, line=column.line,
                )
                for fault in error.faults
            )  # fmt: skip
    if faults:
        raise EntryError(faults)
    return tuple(made)


def _refuse(
    kind: Kind, read: str, reason: str, line: int | None = None, field: str = "text", **data: Datum
) -> NoReturn:
    raise EntryError([fault_of(field, kind, read, reason, data, line)])


# --- cells ---


def _rows(text: str) -> list[_Row]:
    lines = [(number, line) for number, line in enumerate(text.splitlines(), 1) if line.strip()]
    mark = next((mark for mark in "\t;|" if any(mark in line for _, line in lines)), "")
    if not mark and _by_commas([line for _, line in lines]):
        mark = ","
    # Two spaces part cells where single ones only join the words of a name.
    wide = not mark and all(_WIDE.search(line.strip()) for _, line in lines if len(_NUMBERS.findall(line)) > 1)
    return [_Row(number, _cells(line, mark, wide)) for number, line in lines]


_NUMBERS = re.compile(r"(?<![\w.,])[\d.,]*\d")
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
    cells = [cell.strip() for cell in cells]
    while len(cells) > 1 and not cells[-1] and mark != "\t":
        cells.pop()
    return cells


def _number(cell: str) -> str:
    """Return a cell's number with a decimal point and its unit taken off, or "" if it holds none."""
    if not any(letter.isdigit() for letter in cell):
        return ""
    try:
        value, unit = units.split(entry_text.with_point(cell))
    except (units.UnitError, ValueError, OverflowError):
        return ""
    if unit and not any(_known(unit, of) for of in ("pressure", "airflow")):
        return ""
    return repr(value)


def _value(number: str) -> float:
    return float(number)


def _known(unit: str, dimension: str) -> bool:
    try:
        units.find(unit, dimension)
    except units.UnitError:
        return False
    return True


def _unit(rows: list[_Row], dimension: str) -> str:
    """Return the first unit of a dimension that the words of the table hold, as units are shown."""
    for row in rows:
        words = re.split(r"[\s()\[\],:;/\\|]*[\s()\[\],:;\\|][\s()\[\],:;\\|]*", " ".join(row.cells))
        for first in range(len(words)):
            for length in (3, 2, 1):
                tried = "".join(words[first : first + length]).lstrip("0123456789.,")
                if tried and _known(tried, dimension):
                    return tried
    return ""


# --- the shape ---


def _columns(rows: list[_Row], speed: str) -> list[_Column]:
    figures = [k for k, row in enumerate(rows) if len(list(filter(None, map(_number, row.cells)))) > 1]
    if not figures:
        _refuse("wrong shape", rows[0].cells[0] if rows else "", "table")
    first = figures[0]
    body = [rows[k] for k in figures]
    head = rows[first - 1] if first else None
    named = [not _number(row.cells[0]) for row in body]
    if not named[0] and not any(named):
        if head is not None and len(head.cells) > 1:
            return _down(head, _body(rows, first), speed)
        if all(len(row.cells) == 2 for row in body):
            return _down(None, _body(rows, first), speed)
        if len(body) == 2:
            return _along(body[0], body[1:], speed)
        _refuse("wrong shape", " ".join(body[0].cells), "table", body[0].line)
    if named[0] and len(body) > 1 and not any(named[1:]) and _heads_are_speeds(body):
        return _down(body[0], _body(rows, first + 1), speed)
    return _along(body[0], _body(rows, first + 1), speed)


def _body(rows: list[_Row], first: int) -> list[_Row]:
    """Return the rows from one on that hold a figure at all."""
    return [row for row in rows[first:] if any(map(_number, row.cells))]


def _heads_are_speeds(body: list[_Row]) -> bool:
    """Are the figures of the head numbers of taps, and the first column statics, or the other way round?"""
    corner = body[0].cells[0]
    static, tap = bool(_OF_STATIC.search(corner)), bool(_OF_SPEED.search(corner))
    if static != tap:
        return static
    head = [_value(number) for number in map(_number, body[0].cells) if number]
    side = [_value(_number(row.cells[0])) for row in body[1:]]
    whole_head, whole_side = all(x == int(x) for x in head), all(x == int(x) for x in side)
    if whole_head != whole_side:
        return whole_head
    _refuse("wrong shape", " ".join(body[0].cells), "table", body[0].line)


def _along(head: _Row, rows: list[_Row], speed: str) -> list[_Column]:
    """Statics along the head; a row for each speed."""
    at = [k for k, cell in enumerate(head.cells) if _number(cell)]
    statics = [_number(head.cells[k]) for k in at]
    found = []
    for row in rows:
        start = at[0]
        cells = row.cells
        while cells and not _number(cells[-1]) and cells[-1].lower() not in _EMPTY and len(cells) > start + len(at):
            cells = cells[:-1]  # a unit behind the row
        if len(cells) != start + len(at):
            # Names of several words, or of none: the figures are the last cells.
            start = len(cells) - len(at)
            label = cells[: max(start, 0)]
            if start < 0 or any(_number(cell) for cell in label[:1] if len(label) > 1):
                _uneven(row, len(at), len(cells))
        name = " ".join(filter(None, cells[:start]))
        if not name or _OF_AIRFLOW.match(name) or _known(name.strip("()[] "), "airflow"):
            name = speed
        found.append(_Column(name, _points(statics, cells[start:], row.line), row.line))
    if not found:
        _refuse("table too short", " ".join(head.cells), "", head.line)
    return found


def _uneven(row: _Row, wanted: int, cells: int) -> NoReturn:
    read = " ".join(row.cells)
    _refuse("unequal lengths", read, "row", row.line, head=str(wanted), cells=str(cells))


def _down(head: _Row | None, rows: list[_Row], speed: str) -> list[_Column]:
    """Statics down the first column; a column for each speed."""
    width = max(len(row.cells) for row in rows)
    names = [speed] if head is None else _over(head, width - 1, speed)
    if width - 1 != len(names):
        _uneven(rows[0], len(names) + 1, width)
    for row in rows:
        if len(row.cells) != width:
            _uneven(row, width, len(row.cells))
        if not _number(row.cells[0]):
            _refuse("not a number", row.cells[0], "cell", row.line)
    found = []
    for k, name in enumerate(names, 1):
        points = []
        for row in rows:
            points += _points([_number(row.cells[0])], [row.cells[k]], row.line)
        found.append(_Column(name, points, (head or rows[0]).line))
    return found


def _over(head: _Row, count: int, speed: str) -> list[str]:
    """Return the names over the columns of airflow."""
    cells = head.cells
    names, corner = cells[len(cells) - count :], cells[: len(cells) - count]
    # What is left over must belong to the first column, or names of several words were cut up.
    words = " ".join(corner)
    told = bool(_OF_STATIC.search(words)) or _unit([_Row(head.line, corner)], "pressure") != ""
    if len(cells) < count or (len(corner) > 1 and not (told and all(map(_of_corner, corner)))):
        _uneven(head, count + 1, len(cells))
    if count == 1 and (_OF_AIRFLOW.match(names[0]) or _known(names[0].strip("()[] "), "airflow")):
        return [speed]
    return names


def _of_corner(word: str) -> bool:
    bare = word.strip("()[].,:").lower()
    return bare in ("external", "in", "wc", "w.c", "wg", "w.g", "of") or bool(
        _OF_STATIC.search(bare) or _known(bare, "pressure")
    )


def _points(statics: list[str], cells: list[str], line: int) -> list[tuple[str, str]]:
    points = []
    for static, cell in zip(statics, cells, strict=True):
        if cell.lower() in _EMPTY:
            continue
        airflow = _number(cell)
        if not airflow:
            _refuse("not a number", cell, "cell", line)
        points.append((static, airflow))
    return points
