"""Time stamps as loggers write them: many forms, out of order, twice, past midnight, through a change of the clocks."""

import datetime
import re
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from drawthrough.visit.logger_table import Finding, add_finding

DAY, HOUR = 86400.0, 3600.0
_NO_YEAR = 2000  # a leap year, so that every day without a year exists

_ISO = re.compile(
    r"(?P<y>\d{4})[-/.](?P<m>\d{1,2})[-/.](?P<d>\d{1,2})(?:[T ,]+(?P<clock>.+))?$",
)
_DATE = re.compile(r"(?P<a>\d{1,2})[-/.](?P<b>\d{1,2})(?:[-/.](?P<y>\d{4}|\d{2}))?(?:[T ,]+(?P<clock>\d.*))?$")
_NAMED = re.compile(r"(?P<d>\d{1,2})[- ](?P<m>[A-Za-z]{3})[A-Za-z]*\.?[- ,]+(?P<y>\d{4})(?:[T ,]+(?P<clock>\d.*))?$")
_CLOCK = re.compile(
    r"(?P<h>\d{1,2}):(?P<m>\d{2})(?::(?P<s>\d{2}(?:[.,]\d+)?))?\s*(?P<half>[AaPp])?\.?[Mm]?\.?"
    r"\s*(?P<zone>Z|[-+]\d{2}:?\d{2})?$"
)
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


class Stamp(NamedTuple):
    """One stamp taken apart: the date if it has one, and the second of the day."""

    date: datetime.date | None
    second: float
    year: bool  # was a year written?
    zone: float | None = None  # seconds east of Greenwich


class Times(NamedTuple):
    """The times of a log's rows: seconds that rise, and the moments as they are written in a sheet."""

    rows: tuple[int, ...]  # which rows of the table were kept
    seconds: tuple[float, ...]
    moments: tuple[str, ...]  # "2026-07-08 14:05", or "14:05" where no year was written
    dated: bool


def is_stamp(cell: str) -> bool:
    """Does a cell look like a date, a time of day, or both?"""
    return read_stamp(cell, day_first=False) is not None or read_stamp(cell, day_first=True) is not None


def read_stamp(cell: str, day_first: bool) -> Stamp | None:
    """Return a stamp, or None if the cell is none."""
    text = " ".join(cell.replace("\u202f", " ").split())
    if match := _CLOCK.match(text):
        return _with_clock(None, False, text)
    for pattern, parts in ((_ISO, _iso), (_NAMED, _named), (_DATE, _monthly if not day_first else _daily)):
        if match := pattern.match(text):
            date, year = parts(match)
            return None if date is None else _with_clock(date, year, match["clock"])
    return None


def _iso(match: re.Match[str]) -> tuple[datetime.date | None, bool]:
    return _date(int(match["y"]), int(match["m"]), int(match["d"])), True


def _named(match: re.Match[str]) -> tuple[datetime.date | None, bool]:
    name = match["m"].lower()
    return _date(int(match["y"]), _MONTHS.index(name) + 1 if name in _MONTHS else 0, int(match["d"])), True


def _monthly(match: re.Match[str]) -> tuple[datetime.date | None, bool]:
    return _short(match, int(match["a"]), int(match["b"]))


def _daily(match: re.Match[str]) -> tuple[datetime.date | None, bool]:
    return _short(match, int(match["b"]), int(match["a"]))


def _short(match: re.Match[str], month: int, day: int) -> tuple[datetime.date | None, bool]:
    year = match["y"]
    if year is None:
        # Without a year and a time of day "12.5" is a number and no day.
        return (None if match["clock"] is None else _date(_NO_YEAR, month, day)), False
    return _date(int(year) + (2000 if len(year) == 2 else 0), month, day), True


def _date(year: int, month: int, day: int) -> datetime.date | None:
    if not 1970 <= year <= 2200:
        return None
    try:
        return datetime.date(year, month, day)
    except ValueError:
        return None


def _with_clock(date: datetime.date | None, year: bool, clock: str | None) -> Stamp | None:
    if clock is None:
        return None if date is None else Stamp(date, 0.0, year)
    match = _CLOCK.match(clock.strip())
    if match is None:
        return None
    hour, minute = int(match["h"]), int(match["m"])
    second = float((match["s"] or "0").replace(",", "."))
    if match["half"]:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if match["half"].lower() == "p" else 0)
    if hour > 24 or minute > 59 or second >= 61.0 or (hour == 24 and (minute or second)):
        return None
    zone = None
    if match["zone"]:
        sign = -1.0 if match["zone"][0] == "-" else 1.0
        digits = re.sub(r"\D", "", match["zone"])
        zone = 0.0 if match["zone"] == "Z" else sign * (int(digits[:2]) * HOUR + int(digits[2:]) * 60.0)
    return Stamp(date, hour * HOUR + minute * 60.0 + second, year, zone)


def read_times(lines: Sequence[int], cells: Sequence[tuple[str, ...]], findings: list[Finding]) -> Times | None:
    """Return the times of rows from their stamp, or from a date and a time beside each other; None if few can be read.

    Parameters
    ----------
    lines : sequence of int
        Line of each row.
    cells : sequence of tuple of str
        The cell of the stamp of each row, or its cells of date and time.
    findings : list of Finding
        What had to be put right is added here.
    """
    texts = [" ".join(part for part in parts if part) for parts in cells]
    raw = _numeric(texts) or _written(texts, lines, findings)
    if raw is None:
        return None
    seconds, dated, epoch = raw
    return _in_order(lines, seconds, dated, epoch, findings)


def _numeric(texts: Sequence[str]) -> tuple[list[float | None], bool, bool] | None:
    """Return stamps that are numbers: seconds or milliseconds since 1970, or the days of a spreadsheet."""
    values: list[float | None] = []
    for text in texts:
        try:
            value = float(text)
        except ValueError:
            value = -1.0
        if 1e11 < value < 1e14:
            value /= 1000.0
        elif 30000.0 < value < 80000.0:
            value = (value - 25569.0) * DAY
        values.append(value if 1e8 < value < 1e10 else None)
    there = sum(value is not None for value in values)
    return (values, True, True) if there * 2 > len(texts) else None


def _written(
    texts: Sequence[str], lines: Sequence[int], findings: list[Finding]
) -> tuple[list[float | None], bool, bool] | None:
    day_first = _day_first(texts)
    stamps = [read_stamp(text, day_first) for text in texts]
    if sum(stamp is not None for stamp in stamps) * 2 <= len(stamps):
        return None
    if day_first:
        add_finding(findings, lines[0], "day first", "Dates are written day before month.")
    base = datetime.date(1970, 1, 1)
    dated = any(stamp.year for stamp in stamps if stamp is not None)
    seconds: list[float | None] = []
    for stamp in stamps:
        if stamp is None:
            seconds.append(None)
            continue
        days = 0 if stamp.date is None else (stamp.date - base).days
        seconds.append(days * DAY + stamp.second - (stamp.zone or 0.0))
    zones = {stamp.zone for stamp in stamps if stamp is not None and stamp.zone is not None}
    if zones:
        shift = min(zones)
        seconds = [None if second is None else second + shift for second in seconds]
    return seconds, dated, False


def _day_first(texts: Sequence[str]) -> bool:
    """Are dates written day before month? Only a day beyond 12 tells for sure; else dates with dots are."""
    pairs = [match for text in texts if (match := _DATE.match(" ".join(text.split())))]
    if any(int(match["a"]) > 12 for match in pairs):
        return True
    if any(int(match["b"]) > 12 for match in pairs):
        return False
    return bool(pairs) and all("." in match[0].split(" ")[0] for match in pairs)


def _in_order(
    lines: Sequence[int], seconds: Sequence[float | None], dated: bool, epoch: bool, findings: list[Finding]
) -> Times | None:
    """Return rising times: midnight and the change of the clocks put right, what is out of order left out."""
    known = [second for second in seconds if second is not None]
    steps = sorted(b - a for a, b in pairwise(known) if b > a)
    usual = steps[len(steps) // 2] if steps else 60.0
    bare = max(known, default=0.0) <= DAY  # times of day without a date
    rows: list[int] = []
    found: list[float] = []
    shift = 0.0
    repeats: list[int] = []
    for row, second in enumerate(seconds):
        if second is None:
            add_finding(findings, lines[row], "no time", "Rows without a time stamp that can be read left out.")
            continue
        now = second + shift
        if found and now <= found[-1]:
            back = found[-1] - now
            if bare and back > 0.5 * DAY:
                shift += DAY
                add_finding(findings, lines[row], "midnight", "The time of day begins anew: taken as the next day.")
            elif not dated and not bare and back > 300.0 * DAY:
                shift += 366.0 * DAY
                add_finding(findings, lines[row], "new year", "The date begins anew: taken as the next year.")
            elif not epoch and abs(back + usual - HOUR) <= 1.5 * usual and _goes_on(seconds, row, usual):
                shift += HOUR
                add_finding(
                    findings, lines[row], "clock set back", "One hour comes twice: taken as the end of summer time."
                )
            now = second + shift
        if found and now == found[-1]:
            repeats.append(len(found) - 1)
            rows.append(row)
            found.append(now)
            continue
        if found and now < found[-1]:
            add_finding(findings, lines[row], "out of order", "Rows older than the one before them left out.")
            continue
        rows.append(row)
        found.append(now)
    if len(found) < 2:
        return None
    rows, found = _spread(rows, found, repeats, lines, findings)
    usual = _usual(found)
    for row, (before, after) in zip(rows[1:], pairwise(found), strict=True):
        if after - before > 1.5 * usual:
            add_finding(findings, lines[row], "gap", "Rows are missing before this line.")
    return Times(tuple(rows), tuple(found), tuple(_moment(one, dated) for one in found), dated)


def _usual(found: Sequence[float]) -> float:
    steps = sorted(b - a for a, b in pairwise(found))
    return steps[(len(steps) - 1) // 2]


def _goes_on(seconds: Sequence[float | None], row: int, usual: float) -> bool:
    """Do the rows after a jump back go on as before? A single row out of order does not."""
    after = [second for second in seconds[row : row + 6] if second is not None]
    return len(after) > 1 and all(0.0 <= b - a <= 3.0 * usual for a, b in pairwise(after))


def _spread(
    rows: list[int], found: list[float], repeats: list[int], lines: Sequence[int], findings: list[Finding]
) -> tuple[list[int], list[float]]:
    """Return times without repeats: stamps too coarse for their rows are spread, single repeats left out."""
    if not repeats:
        return rows, found
    if len(repeats) * 3 > len(found):  # the stamp shows minutes, the logger writes more often
        groups: list[list[int]] = []
        for i, time in enumerate(found):
            if groups and found[groups[-1][0]] == time:
                groups[-1].append(i)
            else:
                groups.append([i])
        most = max(map(len, groups))
        starts = [found[group[0]] for group in groups]
        width = _usual(starts) if len(starts) > 1 else 60.0
        spread = []
        for g, group in enumerate(groups):
            # The first group may lack its beginning: its rows belong to the end of it.
            skipped = most - len(group) if g == 0 else 0
            spread += [found[group[0]] + width * (skipped + k) / most for k in range(len(group))]
        add_finding(
            findings, lines[rows[0]], "coarse stamps", f"Up to {most} rows share one stamp: spread evenly over it."
        )
        return rows, spread
    add_finding(
        findings, lines[rows[repeats[0] + 1]], "same time twice", "Rows with the stamp of the row before left out."
    )
    gone = {i + 1 for i in repeats}
    kept = [i for i in range(len(found)) if i not in gone]
    return [rows[i] for i in kept], [found[i] for i in kept]


def _moment(second: float, dated: bool) -> str:
    moment = datetime.datetime(1970, 1, 1) + datetime.timedelta(seconds=round(second))
    clock = moment.strftime("%H:%M") if moment.second == 0 else moment.strftime("%H:%M:%S")
    return f"{moment.date().isoformat()} {clock}" if dated else clock
