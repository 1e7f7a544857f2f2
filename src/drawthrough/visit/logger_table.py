"""A logger's file as a table of cells: its letters, its separator, its header, its way of writing decimals."""

import csv
import re
from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

from drawthrough.errors import DrawthroughError

SEPARATORS = ("\t", ";", ",")
_SAMPLE = 200  # lines that are looked at to find the separator
_HEAD = 60  # lines within which the header must stand
_WIDEST = 500  # columns; a table wider than this is no logger's

_NUMBER = re.compile(r"[-+−]?(?:\d[\d,.]*|[.,]\d+)(?:[eE][-+]?\d+)?")
_STAMP = re.compile(r"\d{1,4}[-/.]\d{1,2}(?:[-/.]\d{1,4})?(?:[ T].*)?$|\d{1,2}:\d{2}")


class LoggerError(DrawthroughError):
    """A logger's file cannot be used at all; the text says why and what would do."""


class Finding(NamedTuple):
    """Something in a file that was put right, set aside or guessed: data, not an error."""

    line: int | None  # where it was first seen, counted from 1
    kind: str
    text: str
    times: int = 1  # how often


class Row(NamedTuple):
    """One line of values."""

    line: int
    cells: tuple[str, ...]


class Table(NamedTuple):
    """What stands in a file, cell by cell."""

    header: tuple[str, ...]
    units: tuple[str, ...]  # of a line of units below the header; empty where there is none
    rows: tuple[Row, ...]
    decimal_comma: bool
    findings: tuple[Finding, ...]


def read_table(source: str | bytes, file: str = "log") -> Table:
    """Return a file as a table.

    Parameters
    ----------
    source : str or bytes
        What stands in the file.
    file : str
        What the error calls it.

    Raises
    ------
    LoggerError
        It is no text, or holds no table of at least two columns with numbers.
    """
    findings: list[Finding] = []
    text = _text(source, file, findings)
    # Each line is a row by itself: a stray quote in one cell must not swallow the rest of the file.
    lines = [(number, line) for number, line in enumerate(re.split(r"\r\n|\r|\n", text), start=1) if _counts(line)]
    if not lines:
        raise LoggerError(f"{file}: it holds no line of values; export the log as CSV with a header and try again.")
    separator = _separator([line for _, line in lines[:_SAMPLE]])
    rows = [Row(number, _cells(line, separator)) for number, line in lines]
    width = Counter(len(row.cells) for row in rows).most_common(1)[0][0]
    if width < 2 or width > _WIDEST:
        raise LoggerError(
            f"{file}: it is no table: most lines have {width} column{'' if width == 1 else 's'}; "
            "export the log as CSV with commas, semicolons or tabs between the columns."
        )
    head = _head(rows, width)
    if head is None:
        header = tuple(f"column {i + 1}" for i in range(width))
        findings.append(Finding(rows[0].line, "no header", "The columns have no names: map them by their numbers."))
        body = rows
    else:
        header = _fit(rows[head].cells, width)
        body = rows[head + 1 :]
        if head:
            text_before = f"{head} line{'' if head == 1 else 's'} before the header left out."
            findings.append(Finding(rows[0].line, "preamble", text_before, head))
    units: tuple[str, ...] = ()
    if head is not None and body and _is_units(body[0].cells):
        units = _fit(body[0].cells, width)
        body = body[1:]
    kept = []
    for row in body:
        if len(row.cells) < 2 or not any(row.cells):
            add_finding(findings, row.line, "not a row", "Lines without values left out.")
        elif head is not None and row.cells[: len(header)] == header[: len(row.cells)]:
            add_finding(
                findings, row.line, "header again", "The header stands in the middle of the file again; left out."
            )
        else:
            if len(row.cells) != width:
                add_finding(
                    findings,
                    row.line,
                    "ragged",
                    f"Lines with more or fewer than {width} cells: what is missing stays empty.",
                )
            kept.append(Row(row.line, _fit(row.cells, width)))
    if not kept:
        raise LoggerError(f"{file}: a header but no line of values below it.")
    return Table(header, units, tuple(kept), _decimal_comma(kept, separator), tuple(findings))


def number_of(cell: str, decimal_comma: bool) -> tuple[float, str, int] | None:
    """Return the number that a cell begins with, the text after it, and its count of decimals; None if it has none."""
    text = cell.strip().replace("\u00a0", " ")
    match = _NUMBER.match(text)
    if match is None:
        return None
    digits = match[0].replace("−", "-")
    if decimal_comma:
        digits = digits.replace(".", "").replace(",", ".") if "," in digits else digits
    else:
        digits = digits.replace(",", "")
    try:
        value = float(digits)
    except ValueError:
        return None
    mantissa = digits.lower().partition("e")[0]
    return value, text[match.end() :].strip(), len(mantissa.partition(".")[2])


def add_finding(findings: list[Finding], line: int | None, kind: str, text: str) -> None:
    """Write down a finding, or count it where the same one is there already."""
    for i in range(len(findings) - 1, -1, -1):
        if findings[i].kind == kind and findings[i].text == text:
            findings[i] = findings[i]._replace(times=findings[i].times + 1)
            return
    findings.append(Finding(line, kind, text))


def _text(source: str | bytes, file: str, findings: list[Finding]) -> str:
    text = source if isinstance(source, str) else _decoded(source, file, findings)
    if "\0" in text:
        raise LoggerError(f"{file}: it is no text (another kind of file); export the log as CSV.")
    return text.removeprefix("\ufeff")


def _decoded(source: bytes, file: str, findings: list[Finding]) -> str:
    if source.startswith((b"\xff\xfe", b"\xfe\xff")):
        try:
            return source.decode("utf-16")
        except UnicodeDecodeError:
            raise LoggerError(f"{file}: it is no text that can be read; export the log as CSV in UTF-8.") from None
    try:
        return source.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = source.count(b"\n", 0, error.start) + 1
    findings.append(Finding(line, "letters", "Not UTF-8: read as Windows letters (cp1252)."))
    return source.decode("cp1252", errors="replace")


def _counts(line: str) -> bool:
    bare = line.strip()
    return bool(bare.strip(",;\t ")) and not bare.startswith("#")


def _separator(lines: Sequence[str]) -> str:
    """Return the separator by which most lines fall into the same number of columns."""
    best, best_score = SEPARATORS[-1], (0, 0)
    for separator in SEPARATORS:
        counts = Counter(len(_cells(line, separator)) for line in lines)
        wide = [(often, width) for width, often in counts.items() if width > 1]
        score = max(wide, default=(0, 0))
        if score[0] > best_score[0]:
            best, best_score = separator, score
    return best


def _cells(line: str, separator: str) -> tuple[str, ...]:
    try:
        cells = next(csv.reader([line], delimiter=separator, skipinitialspace=True), [])
    except csv.Error:
        cells = line.split(separator)
    return tuple(cell.strip() for cell in cells)


def _fit(cells: tuple[str, ...], width: int) -> tuple[str, ...]:
    return (*cells[:width], *[""] * (width - len(cells)))


def _is_value(cell: str) -> bool:
    return bool(_NUMBER.match(cell) or _STAMP.match(cell))


def _head(rows: Sequence[Row], width: int) -> int | None:
    """Return which row is the header: the last line of words before the first line of values."""
    for i, row in enumerate(rows[:_HEAD]):
        filled = [cell for cell in row.cells if cell]
        if len(row.cells) >= max(2, width - 1) and sum(map(_is_value, filled)) * 2 > len(filled):
            words = [j for j in range(i) if len(rows[j].cells) >= max(2, width - 1)]
            if len(words) > 1 and _is_units(rows[words[-1]].cells):
                return words[-2]
            return words[-1] if words else None
    words = [j for j, row in enumerate(rows[:_HEAD]) if len(row.cells) >= max(2, width - 1)]
    return words[0] if words else None


_UNIT = re.compile(
    r"[\[(]?\s*(?:°?\s*[CFK]|deg\s*[CF]|%(?:\s*rh)?|k?W|V(?:AC)?|A(?:mps?)?|in\.?\s*(?:w\.?\s*[cg]\.?|H2O|Hg)|[hk]?Pa|psi[ag]?|s?cfm|"
    r"L/s|m3/[hs]|Hz|rpm|s|sec|min|h|lb/min|fpm|m/s)?\s*[\])]?",
    re.IGNORECASE,
)


def _is_units(cells: Sequence[str]) -> bool:
    filled = [cell for cell in cells if cell]
    return bool(filled) and sum(bool(_UNIT.fullmatch(cell)) for cell in filled) * 2 > len(filled)


def _decimal_comma(rows: Sequence[Row], separator: str) -> bool:
    """Are decimals written with a comma? Three digits after every comma beside points elsewhere are thousands."""
    commas = points = thousands = 0
    for row in rows[:_SAMPLE]:
        for cell in row.cells:
            bare = cell.lstrip("+-−")
            if re.fullmatch(r"\d*,\d+(?:\s*\D{0,6})?", bare):
                commas += 1
                thousands += bool(re.match(r"[1-9]\d{0,2},\d{3}(?!\d)", bare))
            elif re.fullmatch(r"\d*\.\d+(?:\s*\D{0,6})?", bare):
                points += 1
            elif re.match(r"\d{1,3}(?:\.\d{3})+,\d", bare):
                return True
    return commas > 0 and (commas > thousands or points == 0) and commas >= points
