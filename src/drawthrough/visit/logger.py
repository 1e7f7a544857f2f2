"""A logger's file as series of quantities at places: what can be read is read, what cannot is a finding."""

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from drawthrough.visit.logger_clock import find_times
from drawthrough.visit.logger_columns import (
    SKIP,
    STATION,
    Mapped,
    Meaning,
    find_column,
    mapping,
    read_header,
    spelled,
)
from drawthrough.visit.logger_series import Column, degrees_of, read_column
from drawthrough.visit.logger_table import Finding, LoggerError, Row, Table, add_finding, number_of, read_table

__all__ = ["Column", "Finding", "Log", "LoggerError", "load", "mask_off", "read"]


class Log(NamedTuple):
    """A logger's file: times that rise, columns of values, and what had to be put right, set aside or guessed."""

    file: str
    seconds: tuple[float, ...]
    moments: tuple[str, ...]
    stamps: tuple[str, ...]  # as they stand in the file
    columns: tuple[Column, ...]
    findings: tuple[Finding, ...]

    def column(self, quantity: str, at: str, against: str | None = None) -> Column | None:
        """Return the column of a quantity at a place, if there is one."""
        for column in self.columns:
            if column.meaning[:3] == (quantity, at, against):
                return column
        return None


def load(path: Path | str, maps: Sequence[str] = ()) -> Log:
    """Return the log in a file.

    Raises
    ------
    LoggerError
        The file cannot be opened or holds nothing that can be used, or a mapping is wrong.
    """
    try:
        source = Path(path).read_bytes()
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise LoggerError(f"{path}: it cannot be opened ({reason}).") from None
    return read(source, maps, str(path))


def read(source: str | bytes, maps: Sequence[str] = (), file: str = "log") -> Log:
    """Return a log from what stands in its file.

    Parameters
    ----------
    source : str or bytes
        What stands in the file.
    maps : sequence of str
        Mappings `column=quantity@place:unit`, which overrule what the header seems to say.
    file : str
        What findings and errors call it.

    Raises
    ------
    LoggerError
        No text, no table, no times, no column that can be used, or a mapping that is wrong.
    """
    given = [mapping(text) for text in maps]
    table = read_table(source, file)
    findings = list(table.findings)
    mapped = _mapped(given, table)
    times, used = find_times(table, mapped, findings, file)
    rows = [table.rows[i] for i in times.rows]
    named = _named(table, mapped, used, rows, findings)
    warm = [(meaning, [cell for _, cell in cells]) for _, meaning, cells in named if meaning.dimension == "temperature"]
    degrees = degrees_of(warm, table.decimal_comma)
    columns: list[Column] = []
    for header, meaning, cells in named:
        column = read_column(header, meaning, cells, table.decimal_comma, degrees, findings)
        if column is None:
            continue
        if any(other.meaning[:3] == column.meaning[:3] for other in columns):
            text = f"{header}: another column is {column.label} already; --map can say which one counts."
            add_finding(findings, None, "column left out", text)
        else:
            columns.append(column)
    if not columns:
        names = ", ".join(one for one in table.header if one)[:300]
        why = next((f" {one.text}" for one in findings if one.kind == "column left out"), "")
        raise LoggerError(
            f"{file}: no column can be used (found {names}); say what one holds with "
            f"--map 'column=dry_bulb@supply:F'.{why}"
        )
    stamps = tuple(" ".join(row.cells[i] for i in sorted(used) if row.cells[i]) for row in rows)
    return Log(file, times.seconds, times.moments, stamps, tuple(columns), tuple(findings))


def mask_off(
    log: Log, running: Sequence[bool], keep: Sequence[str] = ("power", "blower_power", "volts", "amps")
) -> Log:
    """Return a log in which nothing is believed of the air and the refrigerant while the system is off.

    A probe in still air reads the cabinet, a flow meter its own zero.

    Parameters
    ----------
    log : Log
        As read.
    running : sequence of bool
        Of each row: was the system running?
    keep : sequence of str
        Quantities that mean something while it is off.
    """
    columns = []
    for column in log.columns:
        if column.meaning.quantity in keep or column.meaning.at in ("outdoor", STATION):
            columns.append(column)
        else:
            values = tuple(value if on else None for value, on in zip(column.values, running, strict=True))
            columns.append(column._replace(values=values))
    off = sum(not on for on in running)
    findings = list(log.findings)
    if off:
        text = "Rows while the system was off: what probes in the air and the refrigerant say there is not used."
        findings.append(Finding(None, "off", text, off))
    return log._replace(columns=tuple(columns), findings=tuple(findings))


def _named(
    table: Table, mapped: dict[int, Meaning], used: set[int], rows: Sequence[Row], findings: list[Finding]
) -> list[tuple[str, Meaning, list[tuple[int, str]]]]:
    """Return each column whose meaning is known with its cells, each with its line; mapped ones first."""
    found = []
    order = sorted((i for i in range(len(table.header)) if i not in used), key=lambda i: (i not in mapped, i))
    for index in order:
        header = table.header[index]
        below = table.units[index] if table.units else ""
        meaning, why = (mapped[index], "") if index in mapped else read_header(header, spelled(below))
        cells = [(row.line, row.cells[index]) for row in rows]
        if meaning is None:
            if header and any(number_of(cell, table.decimal_comma) for _, cell in cells):
                text = f"{header}: {why}; --map '{header}=...' would say it."
                add_finding(findings, None, "column left out", text)
        elif meaning.quantity != SKIP:
            found.append((header, meaning, cells))
    return found


def _mapped(given: Sequence[Mapped], table: Table) -> dict[int, Meaning]:
    found: dict[int, Meaning] = {}
    for one in given:
        index = find_column(one.column, table.header)
        if index in found:
            raise LoggerError(f"--map: the column {one.column!r} is mapped twice.")
        found[index] = one.meaning
    return found
