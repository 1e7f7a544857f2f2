"""Which column of a log holds its times, and the times of its rows."""

import math
import re
from collections.abc import Sequence

from drawthrough.visit.logger_columns import TIME, Meaning
from drawthrough.visit.logger_table import Finding, LoggerError, Table, add_finding, number_of
from drawthrough.visit.logger_time import Times, is_stamp, read_times

_SAMPLE = 50  # rows that are looked at
_EPOCH = re.compile(r"1\d{9}(?:\d{3})?(?:\.\d+)?")  # seconds or milliseconds since 1970, from 2001 on
_NAMES = re.compile(r"date|time|stamp|clock|elapsed|epoch|unix|^(?:t|s|sec|seconds?|min|minutes?)\b")


def find_times(table: Table, mapped: dict[int, Meaning], findings: list[Finding], file: str) -> tuple[Times, set[int]]:
    """Return the times of the rows and the columns that hold them."""
    lines = [row.line for row in table.rows]
    named = [index for index, meaning in mapped.items() if meaning.quantity == TIME]
    free = [index for index in range(len(table.header)) if index not in mapped]
    for used in [named] if named else _candidates(table, free):
        if len(used) == 1 and _is_elapsed(table, used[0]):
            times = _elapsed(table, used[0], lines, findings)
        else:
            times = read_times(lines, [tuple(row.cells[i] for i in used) for row in table.rows], findings)
        if times is not None:
            return times, set(used)
    raise LoggerError(
        f"{file}: no column holds times that can be read; say which one does with --map 'column=time' "
        "(forms: 2026-07-08 14:05:00, 7/8 2:05 PM, 14:05, seconds since 1970)."
    )


def _candidates(table: Table, free: Sequence[int]) -> list[list[int]]:
    """Return the columns that may hold the times, the likeliest first; a date and a time of day go together."""
    sample = table.rows[:_SAMPLE]
    stamps = [i for i in free if sum(is_stamp(row.cells[i]) for row in sample) * 2 > len(sample)]
    clocked = {i: all(":" in row.cells[i] for row in sample if row.cells[i]) for i in stamps}
    found = []
    if len(stamps) > 1 and clocked[stamps[0]] != clocked[stamps[1]]:
        found.append(sorted(stamps[:2], key=lambda i: clocked[i]))  # the date before the time of day
    found += [[i] for i in stamps]
    counted = [i for i in free if sum(bool(_EPOCH.fullmatch(row.cells[i])) for row in sample) * 2 > len(sample)]
    named = [i for i in free if _NAMES.search(table.header[i][:100].lower())]
    return [*found, *([i] for i in dict.fromkeys([*counted, *named]) if [i] not in found)]


def _is_elapsed(table: Table, index: int) -> bool:
    """Does a column count seconds or minutes from the start of the log?"""
    cells = [number_of(row.cells[index], table.decimal_comma) for row in table.rows[:_SAMPLE]]
    numbers = [found for found in cells if found is not None and not found[1]]
    return len(numbers) == len(cells) and all(found[0] < 1e7 for found in numbers) and not _spreadsheet(numbers)


def _spreadsheet(numbers: Sequence[tuple[float, str, int]]) -> bool:
    return all(30000.0 < found[0] < 80000.0 and found[2] > 2 for found in numbers)


def _elapsed(table: Table, index: int, lines: Sequence[int], findings: list[Finding]) -> Times | None:
    name = table.header[index].lower()
    below = table.units[index].lower() if table.units else ""
    factor = (
        60.0 if "min" in name or below.startswith("min") else 3600.0 if "hour" in name or below in ("h", "hr") else 1.0
    )
    rows: list[int] = []
    seconds: list[float] = []
    for i, row in enumerate(table.rows):
        found = number_of(row.cells[index], table.decimal_comma)
        if (
            found is None
            or not math.isfinite(found[0])
            or abs(found[0]) > 1e9
            or (seconds and found[0] * factor <= seconds[-1])
        ):
            add_finding(findings, lines[i], "no time", "Rows whose elapsed time is missing or does not rise left out.")
            continue
        rows.append(i)
        seconds.append(found[0] * factor)
    if len(rows) < 2:
        return None
    add_finding(findings, None, "elapsed", f"{table.header[index]} counts from the start: the log has no time of day.")
    return Times(tuple(rows), tuple(seconds), ("",) * len(rows), False)
