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

import re
from collections.abc import Mapping
from typing import NamedTuple, NoReturn

from drawthrough.visit.entry import EntryError, EntryFault, entry
from drawthrough.visit.fan_table_cells import EMPTY, Row, is_point, known, number_of, refuse, rows_of, unit_of, value_of
from drawthrough.visit.fold import Folded
from drawthrough.visit.state import FanTable

_OF_STATIC = re.compile(r"static|pressure|\besp\b|\btesp\b|est[aá]tica|presi[oó]n", re.IGNORECASE)
_OF_SPEED = re.compile(r"speed|\btap\b|velocidad|\bterminal\b", re.IGNORECASE)
_OF_AIRFLOW = re.compile(r"^(?:air\s*flow|volume|caudal|flujo)\b", re.IGNORECASE)
_LARGEST = 100_000  # characters that a table may have


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
        refuse("wrong shape", text, "table")
    rows = rows_of(text.translate({0xA0: " ", 0x202F: " ", 0xFEFF: ""}))
    columns = _columns(rows, speed)
    static_unit = unit_of(rows, "pressure") or given.get("static_unit", "")
    airflow_unit = unit_of(rows, "airflow") or given.get("airflow_unit", "")
    for wanted, unit in (("static", static_unit), ("airflow", airflow_unit)):
        if not unit:
            refuse("missing unit", "", "table", field=wanted, wanted=wanted)
    if airflow_unit.lower() in ("scfm", "acfm") and not given.get("flow_basis"):
        given["flow_basis"] = airflow_unit.lower()
    made: list[FanTable] = []
    faults: list[EntryFault] = []
    for column in columns:
        points = column.points
        if len(points) > 1 and value_of(points[0][0]) > value_of(points[-1][0]):
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
            continue  # the maker prints nothing for this speed
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
    if not made:
        refuse("table too short", rows[0].cells[0], "", rows[0].line)
    return tuple(made)


def _columns(rows: list[Row], speed: str) -> list[_Column]:
    figures = [k for k, row in enumerate(rows) if len(list(filter(None, map(number_of, row.cells)))) > 1]
    if not figures:
        refuse("wrong shape", rows[0].cells[0] if rows else "", "table")
    first = figures[0]
    body = [rows[k] for k in figures]
    head = rows[first - 1] if first else None
    named = [not number_of(row.cells[0]) for row in body]
    if not named[0] and not any(named):
        if head is not None and len(head.cells) > 1:
            return _down(head, _body(rows, first), speed)
        if all(len(row.cells) == 2 for row in body):
            return _down(None, _body(rows, first), speed)
        if len(body) == 2:
            return _along(body[0], body[1:], speed)
        refuse("wrong shape", " ".join(body[0].cells), "table", body[0].line)
    if named[0] and len(body) > 1 and not any(named[1:]) and _heads_are_speeds(body):
        return _down(body[0], _body(rows, first + 1), speed)
    return _along(body[0], _body(rows, first + 1), speed)


def _body(rows: list[Row], first: int) -> list[Row]:
    """Return the rows from one on that hold a figure at all."""
    return [row for row in rows[first:] if any(map(number_of, row.cells))]


def _heads_are_speeds(body: list[Row]) -> bool:
    """Are the figures of the head numbers of taps, and the first column statics, or the other way round?"""
    corner = body[0].cells[0]
    static, tap = bool(_OF_STATIC.search(corner)), bool(_OF_SPEED.search(corner))
    if static != tap:
        return static
    head = [value_of(number) for number in map(number_of, body[0].cells) if number]
    side = [value_of(number_of(row.cells[0])) for row in body[1:]]
    whole_head, whole_side = all(x == int(x) for x in head), all(x == int(x) for x in side)
    if whole_head == whole_side:
        refuse("wrong shape", " ".join(body[0].cells), "table", body[0].line)
    return whole_head


def _along(head: Row, rows: list[Row], speed: str) -> list[_Column]:
    """Statics along the head; a row for each speed."""
    at = [k for k, cell in enumerate(head.cells) if number_of(cell)]
    statics = [number_of(head.cells[k]) for k in at]
    found = []
    for row in rows:
        start = at[0]
        cells = row.cells
        while cells and not number_of(cells[-1]) and cells[-1].lower() not in EMPTY and len(cells) > start + len(at):
            cells = cells[:-1]  # a unit behind the row
        if len(cells) != start + len(at):
            # Names of several words, or of none: the figures are the last cells.
            start = len(cells) - len(at)
            label = cells[: max(start, 0)]
            if start < 0 or not is_point(cells[start]) or any(number_of(cell) for cell in label[:1] if len(label) > 1):
                _uneven(row, at[0] + len(at), len(cells))
        name = _speed_of(" ".join(filter(None, cells[:start])), speed)
        found.append(_Column(name, _points(statics, cells[start:], row.line), row.line))
    if not found:
        refuse("table too short", " ".join(head.cells), "", head.line)
    return found


def _uneven(row: Row, wanted: int, cells: int) -> NoReturn:
    read = " ".join(row.cells)
    refuse("unequal lengths", read, "row", row.line, head=str(wanted), cells=str(cells))


def _down(head: Row | None, rows: list[Row], speed: str) -> list[_Column]:
    """Statics down the first column; a column for each speed."""
    width = max(len(row.cells) for row in rows)
    names = [speed] if head is None else _over(head, width - 1, speed)
    if width - 1 != len(names):
        _uneven(rows[0], len(names) + 1, width)
    for row in rows:
        if len(row.cells) != width:
            _uneven(row, width, len(row.cells))
        if not number_of(row.cells[0]):
            refuse("not a number", row.cells[0], "cell", row.line)
    found = []
    for k, name in enumerate(names, 1):
        points = []
        for row in rows:
            points += _points([number_of(row.cells[0])], [row.cells[k]], row.line)
        found.append(_Column(name, points, (head or rows[0]).line))
    return found


def _over(head: Row, count: int, speed: str) -> list[str]:
    """Return the names over the columns of airflow."""
    cells = head.cells
    names, corner = cells[len(cells) - count :], cells[: len(cells) - count]
    # What is left over must belong to the first column, or names of several words were cut up.
    words = " ".join(corner)
    told = bool(_OF_STATIC.search(words)) or unit_of([Row(head.line, corner)], "pressure") != ""
    if len(cells) < count or (len(corner) > 1 and not (told and all(map(_of_corner, corner)))):
        _uneven(head, count + 1, len(cells))
    return [_speed_of(name, speed if count == 1 else name) for name in names]


def _speed_of(name: str, otherwise: str) -> str:
    """Return the name of a speed without a unit behind it; the other name, where it is none."""
    words = name.split()
    while words and known(words[-1].strip("()[],"), "airflow"):
        words.pop()
    bare = " ".join(words).rstrip(",:")
    return otherwise if not bare or _OF_AIRFLOW.match(bare) else bare


def _of_corner(word: str) -> bool:
    bare = word.strip("()[].,:").lower()
    return bare in ("external", "in", "wc", "w.c", "wg", "w.g", "of") or bool(
        _OF_STATIC.search(bare) or known(bare, "pressure")
    )


def _points(statics: list[str], cells: list[str], line: int) -> list[tuple[str, str]]:
    points = []
    for static, cell in zip(statics, cells, strict=True):
        if cell.lower() in EMPTY:
            continue
        airflow = number_of(cell)
        if not airflow:
            refuse("not a number", cell, "cell", line)
        points.append((static, airflow))
    return points
