"""Lays out plain text: paragraphs, a table of figures, and a strip of intervals on one axis."""

import math
import re
import textwrap
from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

GAP = 2  # columns between two cells
_UNIT = re.compile(r"(?<=\d) (?=(?:%|F|V|W|uF|µF|kW|cfm|min|in\.|Pa|L/s|K|°C)(?!\w))|(?<=in\.) (?=w\.c\.)")
_TIED = "\N{NO-BREAK SPACE}"  # between a number and its unit until the line is broken


class Line(NamedTuple):
    """One row of a table: a name, its cells, what stands in the last column, and what stands under it."""

    name: tuple[str, ...]
    cells: tuple[tuple[str, ...], ...]
    last: str = ""
    under: tuple[str, ...] = ()


class Bar(NamedTuple):
    """One interval of a strip: its name, ends and best value (None: not resolved), and whether it is in doubt."""

    name: str
    low: float
    high: float
    value: float | None
    doubtful: bool = False


def paragraph(text: str, width: int, first: str = "  ", rest: str | None = None) -> list[str]:
    """Return a text as lines of at most this width; the second and all further lines begin with `rest`."""
    indent = " " * len(first) if rest is None else rest
    tied = _UNIT.sub(_TIED, text)
    wrapped = textwrap.wrap(tied, width, initial_indent=first, subsequent_indent=indent, break_on_hyphens=False)
    return [line.replace(_TIED, " ") for line in wrapped]


def table(heads: Sequence[str], lines: Iterable[Line], width: int) -> list[str]:
    """Return a table: a column of names, one for each head, and a last one without a head.

    Where the width does not hold a figure beside its interval, the interval goes under it.
    """
    lines = list(lines)
    stacked = all(cell == _stacked(cell) for line in lines for cell in line.cells)
    headings = [_stacked((head,)) if stacked else (head,) for head in heads]
    columns = [
        max(len(part) for part in (*headings[k], *(part for line in lines for part in line.cells[k])))
        for k in range(len(heads))
    ]
    last = max((len(line.last) for line in lines), default=0)
    room = width - 2 - sum(columns) - GAP * len(columns) - (GAP + last)
    longest = max((len(part) for line in lines for part in line.name), default=0)
    if room < min(longest, 18) and any(" (" in part for line in lines for cell in line.cells for part in cell):
        return table(heads, [line._replace(cells=tuple(map(_stacked, line.cells))) for line in lines], width)
    name = max(10, min(longest, room))
    made = [
        _joined("", [words[k] if k < len(words) else "" for words in headings], name, columns, "")
        for k in range(max(map(len, headings), default=0))
    ]
    for line in lines:
        names = [
            part
            for text in line.name
            for part in textwrap.wrap(text, name, subsequent_indent="  ", break_on_hyphens=False)
        ]
        height = max(len(names), *(len(cell) for cell in line.cells), 1)
        for k in range(height):
            cells = [cell[k] if k < len(cell) else "" for cell in line.cells]
            made.append(_joined(names[k] if k < len(names) else "", cells, name, columns, line.last if not k else ""))
        for text in line.under:
            made.extend(paragraph(text, width, " " * 6))
    return made


def _stacked(cell: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(part for text in cell for part in _BREAK.split(text))


_BREAK = re.compile(r" (?=\()|(?<= over) (?=as )|(?<= /) ")


def _joined(name: str, cells: Sequence[str], wide: int, columns: Sequence[int], last: str) -> str:
    parts = [f"{name:<{wide}}", *(f"{cell:<{column}}" for cell, column in zip(cells, columns, strict=True)), last]
    return ("  " + (" " * GAP).join(parts)).rstrip()


_TICKS = (0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3, 1.4, 1.6, 1.8, 2.0, 2.5, 3.0)
_SPAN = (0.4, 2.5)  # ratios beyond these are not drawn: the interval ends in an arrow


def strip(groups: Sequence[tuple[str, Sequence[Bar]]], width: int) -> list[str]:
    """Return intervals of ratios as bars on one logarithmic axis with a line at 1, in groups with a heading."""
    bars = [bar for _, group in groups for bar in group]
    if not bars:
        return []
    low = max(_SPAN[0], min(0.9, *(bar.low for bar in bars)) * 0.97)
    high = min(_SPAN[1], max(1.1, *(bar.high for bar in bars)) * 1.03)
    name = max(len(bar.name) for bar in bars) + 4
    wide = width - 2 - name - 1
    scale = (wide - 1) / math.log(high / low)

    def at(ratio: float) -> int:
        return round(math.log(min(max(ratio, low), high) / low) * scale)

    made = []
    for heading, group in groups:
        if group:
            made.append(f"  {heading}")
        made.extend(f"    {bar.name:<{name - 2}} {_drawn(bar, at, wide, low, high)}".rstrip() for bar in group)
    made.append(" " * (name + 3) + _axis(at, wide, low, high))
    return made


def _drawn(bar: Bar, at: Callable[[float], int], wide: int, low: float, high: float) -> str:
    cells = [" "] * wide
    cells[at(1.0)] = "|"
    first, last = at(bar.low), at(bar.high)
    ink = "-" if bar.value is None else "/" if bar.doubtful else "="
    for k in range(first, last + 1):
        if bar.value is None and (((k - first) % 2 and k != last) or k == at(1.0)):
            continue  # open and broken: nothing is claimed
        cells[k] = ink
    if bar.value is not None:
        cells[at(bar.value)] = "O"
    if bar.low < low:
        cells[0] = "<"
    if bar.high > high:
        cells[-1] = ">"
    return "".join(cells)


def _axis(at: Callable[[float], int], wide: int, low: float, high: float) -> str:
    cells = [" "] * wide
    taken: list[tuple[int, int]] = []
    for tick in sorted(_TICKS, key=lambda tick: tick != 1.0):  # the line at 1 is named before all others
        if not low <= tick <= high:
            continue
        text = f"{tick:g}"
        start = min(max(at(tick) - len(text) // 2 if len(text) > 1 else at(tick), 0), wide - len(text))
        end = start + len(text)
        if any(start < after + 2 and end + 2 > before for before, after in taken):
            continue
        taken.append((start, end))
        cells[start:end] = text
    return "".join(cells).rstrip()
