"""Reading a visit sheet: TOML text in, a Visit out, or every fault that stands in the way."""

import re
import tomllib
from pathlib import Path as FilePath

from drawthrough.visit.sheet_checks import check
from drawthrough.visit.sheet_fault import Faults, Kind, SheetError, SheetFault, shown
from drawthrough.visit.sheet_lines import LineIndex
from drawthrough.visit.sheet_places import settle_places
from drawthrough.visit.sheet_reader import Reader, build
from drawthrough.visit.sheet_text import sheet_text
from drawthrough.visit.state import Visit

__all__ = ["SheetError", "SheetFault", "examine", "load", "read", "sheet_text"]


def read(source: str | bytes, file: str = "sheet") -> Visit:
    """Return the visit that a sheet describes.

    Parameters
    ----------
    source : str or bytes
        The sheet's text.
    file : str
        What the faults call it.

    Raises
    ------
    SheetError
        The sheet has faults; it carries them all.
    """
    visit, faults = examine(source, file)
    if visit is None:
        raise SheetError(faults)
    return visit


def load(path: FilePath | str) -> Visit:
    """Return the visit that a sheet in a file describes.

    Raises
    ------
    SheetError
        The file cannot be opened, or the sheet has faults.
    """
    file = str(path)
    try:
        source = FilePath(path).read_bytes()
    except (OSError, ValueError) as refusal:
        reason = getattr(refusal, "strerror", None) or str(refusal)
        remedy = f"give the path of a sheet that can be opened ({reason})"
        fault = SheetFault(file=file, place="", line=None, kind="no such file", read="", remedy=remedy)
        raise SheetError([fault]) from None
    return read(source, file)


def examine(source: str | bytes, file: str = "sheet") -> tuple[Visit | None, tuple[SheetFault, ...]]:
    """Return the visit that a sheet describes, or None and all the faults that were found."""
    text, kind, remedy = _text(source)
    if kind is not None:
        return None, (SheetFault(file=file, place="", line=None, kind=kind, read="", remedy=remedy),)
    try:
        raw = tomllib.loads(text)
    except (ValueError, RecursionError) as refusal:  # beside TOMLDecodeError: digits, or brackets, without end
        return None, (_not_toml(text, refusal, file),)
    faults = Faults(file, LineIndex(text))
    entry = Reader(faults).table(Visit, raw, ())
    settle_places(entry, faults)
    check(entry, faults)
    if faults.found:
        return None, faults.in_order()
    visit: Visit = build(Visit, entry)
    return visit, ()


def _text(source: str | bytes) -> tuple[str, Kind | None, str]:
    """Return the text of a sheet, or the kind of its fault and the remedy."""
    if isinstance(source, bytes):
        try:
            source = source.decode("utf-8-sig")
        except UnicodeDecodeError:
            return "", "not text", "save the sheet as plain text in UTF-8; this is another kind of file"
    if "\0" in source:
        return "", "not text", "save the sheet as plain text in UTF-8; this is another kind of file"
    if not re.sub(r"#[^\n]*", "", source).strip():
        return (
            "",
            "empty sheet",
            "begin with [site] and [system]; examples/ holds whole sheets, docs/visit-sheet.md every table",
        )
    return source, None, ""


_UNQUOTED = re.compile(r"=\s*[-+]?[\d.]+(?:/\d+)?\s*[A-Za-z%°µ\"'/]")


def _not_toml(text: str, refusal: Exception, file: str) -> SheetFault:
    lines = text.split("\n")
    match = re.search(r"at line (\d+)", str(refusal))
    number = int(match[1]) if match else len(lines) if "end of document" in str(refusal) else None
    read = lines[number - 1].strip() if number is not None and number <= len(lines) else ""
    if isinstance(refusal, RecursionError):
        remedy = "the brackets are nested without end; a sheet needs no more than two"
    elif _UNQUOTED.search(read):
        remedy = 'a value with a unit stands in quotes, such as value = "0.31 inwc"'
    else:
        remedy = f"mend the line so that it is TOML: {shown(str(refusal)[:100])}"
    cut = shown(read)[1:-1] if read else ""
    return SheetFault(file=file, place="", line=number, kind="not TOML", read=cut, remedy=remedy)
