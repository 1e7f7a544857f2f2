"""A logger's columns over time with their steady windows, for picking one."""

import math
from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta

from drawthrough import units
from drawthrough.report.charts.axis import Axis, axis
from drawthrough.report.charts.canvas import WIDTH, Box, Canvas, Line, Point
from drawthrough.report.charts.chart import Chart, Table, title
from drawthrough.report.charts.widths import width_of
from drawthrough.report.field import FieldUnit
from drawthrough.report.names import code_name, quantity_name
from drawthrough.report.voice import ENGLISH, Voice
from drawthrough.visit.logger import Column, Log
from drawthrough.visit.logger_columns import PRESSURES, STATION
from drawthrough.visit.logger_steady import Window

_LEFT, _TOP, _RIGHT = 44.0, 38.0, WIDTH - 4.0
_FREE = _LEFT + 6.0
_PANEL, _SHARED, _BETWEEN = 66.0, 108.0, 26.0  # height of a panel with one line, with several, and between two
_NUMBERS = 15.0  # height of a row of numbers
_MOST_PANELS = 4
_MOST_LINES = 3  # of one panel
_SQUARES = 5
_PIXELS = 296  # points of a line: one for each pixel is enough
_CLOCK = (60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 21600, 43200, 86400, 172800, 604800)  # round times [s]
_DAY = 86400.0
# In which panel a quantity stands, first the one by which a window is chosen; all others follow in the log's order.
_FIRST = ("dry_bulb", "power", "blower_power", "airflow", "standard_airflow", "static", "pressure_drop")
# The field's unit of a dimension; of all others the unit in which the log stands.
_UNIT = {"temperature": "F", "airflow": "cfm", "power": "W", "voltage": "V"}
_LINES = ("trace", "trace second", "trace third")


def steady_chart(log: Log, windows: Sequence[Window], voice: Voice = ENGLISH) -> Chart | None:
    """Return a log's columns over time with its windows marked and numbered in the order given, the best first.

    None where the log has fewer than two rows or no column with a value.
    """
    panels = _panels(log)
    if len(log.seconds) < 2 or log.seconds[-1] <= log.seconds[0] or not panels:
        return None
    time = Axis(log.seconds[0], log.seconds[-1], 1.0, _LEFT, _RIGHT)
    numbers = _numbers(log, windows, time)
    top = _TOP + _NUMBERS * max((row for _, row, _ in numbers), default=0)
    boxes = []
    for columns in panels:
        boxes.append(Box(_LEFT, top, _RIGHT, top + (_PANEL if len(columns) == 1 else _SHARED)))
        top = boxes[-1].bottom + _BETWEEN
    foot = boxes[-1].bottom
    canvas = Canvas(foot + 22.0)
    for window in windows:
        left, right = (time.at(log.seconds[row]) for row in (window.first, window.last))
        for box in boxes:
            canvas.bar(Box(left, box.top, max(right, left + 1.0), box.bottom), "window", hatched=True)
    for x, row, text in numbers:
        canvas.text((x, 13.0 + _NUMBERS * row), text, "figure bold", "middle")
    for box, columns in zip(boxes, panels, strict=True):
        _panel(canvas, log, columns, time, box, voice)
    for second, text in _clock(log, time):
        canvas.text((time.at(second), foot + 17.0), text, "figure", "middle")
    sentence = voice.count(
        "The log over time, with one steady window marked.",
        "The log over time, with {n} steady windows marked; number 1 drifts least.",
        len(windows),
    )
    return Chart(canvas.render("steady", sentence), sentence, _table(log, windows, voice))


def _numbers(log: Log, windows: Sequence[Window], time: Axis) -> list[tuple[float, int, str]]:
    """Return where the number of each window stands: in the first of two rows that has room for it.

    The best window comes first, so that a number without room is that of a later one.
    """
    placed: list[tuple[float, int, str]] = []
    for number, window in enumerate(windows, 1):
        wide = width_of(str(number), "figure bold")
        middle = (time.at(log.seconds[window.first]) + time.at(log.seconds[window.last])) / 2
        middle = min(max(middle, _FREE), _RIGHT - wide / 2)
        for row in (0, 1):
            if all(other != row or abs(middle - x) > wide + 4.0 for x, other, _ in placed):
                placed.append((middle, row, str(number)))
                break
    return placed


def _panels(log: Log) -> list[list[Column]]:
    """Return the columns of each panel: one quantity a panel."""
    groups: dict[str, list[Column]] = {}
    for column in log.columns:
        if any(value is not None for value in column.values) and column.meaning.at != STATION:
            groups.setdefault(column.meaning.quantity, []).append(column)
    order = sorted(groups, key=lambda name: _FIRST.index(name) if name in _FIRST else len(_FIRST))
    panels = []
    for name in order[:_MOST_PANELS]:
        # Return and supply before all others.
        columns = sorted(groups[name], key=lambda column: column.meaning.at not in ("return", "supply"))
        panels.append(columns[:_MOST_LINES])
    return panels


def _unit_of(column: Column, voice: Voice) -> FieldUnit:
    dimension = column.meaning.dimension
    if column.meaning.quantity in PRESSURES:
        return voice.unit("inwc")
    if dimension in _UNIT:
        return voice.unit(_UNIT[dimension])
    zero = units.from_si(0.0, column.unit, dimension)
    return FieldUnit(units.from_si(1.0, column.unit, dimension) - zero, column.unit, 2, zero)


def _panel(canvas: Canvas, log: Log, columns: Sequence[Column], time: Axis, box: Box, voice: Voice) -> None:
    unit = _unit_of(columns[0], voice)
    values = [unit.of(value) for column in columns for value in column.values if value is not None]
    scale = axis(min(values), max(values), box.bottom, box.top, _SQUARES)
    for value in scale.squares():
        canvas.line((_LEFT, scale.at(value)), (_RIGHT, scale.at(value)), "square")
    canvas.line((_LEFT, box.top), (_LEFT, box.bottom), "axis")
    canvas.line((_LEFT, box.bottom), (_RIGHT, box.bottom), "axis")
    for value, text in scale.ticks(26.0):
        canvas.text((_LEFT - 5.0, scale.at(value) + 4.5), text, "figure", "end")
    lines = []
    for column, name in zip(columns, _LINES, strict=False):
        pieces = _traced(log, column, unit, time, scale)
        for piece in pieces:
            canvas.curve(piece, name)
        lines.append(max(pieces, key=len, default=[]))
    # The quantity above its panel, each line's place beside it.
    name = quantity_name(columns[0].meaning.quantity, voice)
    canvas.text((0.0, box.top - 8.0), title(name, unit), "soft", halo=True)
    room = Box(_LEFT + 2.0, box.top, _RIGHT, box.bottom - 1.0)
    for k, (column, points) in enumerate(zip(columns, lines, strict=True)):
        if points:
            anchors = points[:: max(1, len(points) // 12)]
            first = k * len(anchors) // len(columns)  # lines that share a panel are named apart
            anchors = [*anchors[first:], *anchors[:first]]
            canvas.label([Line(_where(column, voice), "words")], anchors, room, 3.0)


def _where(column: Column, voice: Voice) -> str:
    at = code_name(column.meaning.at, voice)
    if column.meaning.against is None:
        return at
    return voice.say("{at} against {against}", at=at, against=code_name(column.meaning.against, voice))


def _traced(log: Log, column: Column, unit: FieldUnit, time: Axis, scale: Axis) -> list[list[Point]]:
    """Return a column as lines, broken where it has no value; of the values of one pixel the lowest and highest."""
    pieces: list[list[Point]] = [[]]
    every = max(1, math.ceil(2 * len(log.seconds) / _PIXELS))
    for first in range(0, len(log.seconds), every):
        there = [
            (value, log.seconds[row])
            for row, value in enumerate(column.values[first : first + every], first)
            if value is not None
        ]
        if not there:
            if pieces[-1]:
                pieces.append([])
            continue
        for value, second in sorted({min(there), max(there)}, key=lambda pair: pair[1]):
            pieces[-1].append((time.at(second), scale.at(unit.of(value))))
    return [piece for piece in pieces if len(piece) > 1]


def _clock(log: Log, time: Axis) -> Iterator[tuple[float, str]]:
    """Yield round times of the day with their texts, as the log's own clock has them."""
    begin = datetime.fromisoformat(log.moments[0])
    into = begin.hour * 3600 + begin.minute * 60 + begin.second
    pixels = (_RIGHT - _LEFT) / (time.high - time.low)
    step = next((step for step in _CLOCK if step * pixels >= 52.0), _CLOCK[-1])
    second = math.ceil(into / step) * step - into
    while second <= time.high - time.low:
        moment = begin + timedelta(seconds=second)
        if 16.0 < second * pixels < _RIGHT - _LEFT - 16.0:
            yield time.low + second, f"{moment:%H:%M}" if step < _DAY else f"{moment:%m-%d}"
        second += step


def _table(log: Log, windows: Sequence[Window], voice: Voice) -> Table:
    heads = (
        voice.say("window"),
        voice.say("from"),
        voice.say("to"),
        voice.say("minutes"),
        voice.say("largest drift, share of its limit"),
    )
    rows = []
    for number, window in enumerate(windows, 1):
        first, last = (datetime.fromisoformat(log.moments[row]) for row in (window.first, window.last))
        minutes = (log.seconds[window.last] - log.seconds[window.first]) / 60.0
        rows.append((str(number), f"{first:%H:%M}", f"{last:%H:%M}", f"{minutes:.0f}", f"{window.worst_drift:.2f}"))
    return Table(heads, tuple(rows))
