"""Steady windows of a log: what is asked of its columns in each mode, and the means of the windows that pass."""

import math
from typing import NamedTuple

from drawthrough.measure.record import Channel, Difference, Drift, Rules
from drawthrough.measure.series import Mean, mean_of
from drawthrough.measure.steady import Steady, find_steady, running_rows, window_drifts
from drawthrough.units import RANKINE
from drawthrough.visit.logger import Column, Finding, Log, LoggerError, mask_off
from drawthrough.visit.logger_columns import STATION
from drawthrough.visit.state import Mode

# Limits of scatter within five minutes: those that select the steady windows of a published laboratory record (dry
# bulb, dew point, outdoor power, airflow). Wet bulbs are held to the limit of dew points, strips to that of the outdoor
# unit (judgement).
DRY_BULB = 0.3 * RANKINE
DEW_POINT = 0.5 * RANKINE
POWER = 0.01
AIRFLOW = 0.02
# Supply and return must differ by this, or the mode is not what it is said to be.
LEAST_DIFFERENCE = 5.0 * RANKINE
# A drift may move the difference by the larger of these two over the window.
DRIFT = 0.5 * RANKINE
DRIFT_RELATIVE = 0.01
# Standby of an outdoor unit's board and crankcase heater stays below this (judgement). [W]
STANDBY = 100.0

LENGTH = 600.0  # of a window, usually [s]


class Asked(NamedTuple):
    """What is asked of a log in one mode."""

    channels: tuple[Channel, ...]
    differences: tuple[Difference, ...]
    power: tuple[str, ...]  # labels whose steps are starts and stops
    running: tuple[str, ...]  # labels that must be high
    findings: tuple[Finding, ...]


class WindowMean(NamedTuple):
    """The mean of one column over a window."""

    column: Column
    mean: Mean
    uncertainty: float  # standard uncertainty with the display's step [SI]


class Window(NamedTuple):
    """A steady window of a log. Rows are counted from 0 and include both ends."""

    first: int
    last: int
    start: int  # row of the last start before it
    drifts: tuple[Drift, ...]
    means: tuple[WindowMean, ...]

    @property
    def rows(self) -> int:
        """How many rows it has."""
        return self.last - self.first + 1

    @property
    def worst_drift(self) -> float:
        """The largest drift over its limit."""
        return max((abs(drift.change) / drift.limit for drift in self.drifts if drift.limit > 0.0), default=0.0)


class Windows(NamedTuple):
    """What was found in a log: the best window first, and how the rest fell out."""

    windows: tuple[Window, ...]
    steady: Steady
    findings: tuple[Finding, ...]


def ask(log: Log, mode: Mode) -> Asked:
    """Return what is asked of a log's columns in a mode."""
    findings: list[Finding] = []
    channels = tuple(_channel(column, mode) for column in log.columns)
    power = [column.label for column in log.columns if _shows_starts(column)]
    if not power:
        power = [column.label for column in log.columns if column.meaning.quantity in ("airflow", "standard_airflow")]
        what = (
            "The airflow shows the starts."
            if power
            else "Nothing shows the starts: only the log's first minutes are left out."
        )
        findings.append(Finding(None, "no power", f"No column of power or current. {what}"))
    running = [column.label for column in log.columns if column.label in power and _runs(column, mode)]
    if power and not running and mode in ("strips", "gas"):
        running = [column.label for column in log.columns if column.label in power and column.meaning.at == "blower"]
    differences = _differences(log, mode, findings)
    return Asked(channels, differences, tuple(power), tuple(running), tuple(findings))


def find_windows(log: Log, mode: Mode, length: float = LENGTH, rules: Rules | None = None) -> Windows:
    """Return the steady windows of a log, the one with the smallest drift first.

    Parameters
    ----------
    log : Log
        As read.
    mode : str
        What ran: cooling, strips, gas, fan or zero.
    length : float
        Length of a window [s]; where nothing is steady for that long, the longest that is.
    rules : Rules, optional
        What steadiness rests on.

    Raises
    ------
    LoggerError
        Nothing in the log is steady; the text says what kept most spans out.
    """
    rules = rules or Rules()
    log = _in_mode(log, mode, rules)
    asked = ask(log, mode)
    steady = find_steady(log.seconds, asked.channels, asked.differences, asked.power, asked.running, rules)
    if not steady.stretches:
        raise LoggerError(f"{log.file}: nothing in it is steady in mode {mode}. {_why(steady)}")
    asked_rows = max(steady.span, math.ceil(length / steady.spacing - 1e-6))
    longest = max(stretch.rows for stretch in steady.stretches)
    windows: list[Window] = []
    shorter = max(1, round(60.0 / steady.spacing))  # a minute at a time
    for rows in range(min(asked_rows, longest), steady.span - 1, -shorter):
        windows = _cut(log, asked, steady, rows)
        if windows:
            break
    if not windows:
        raise LoggerError(f"{log.file}: every stretch that seems steady in mode {mode} drifts. {_why(steady)}")
    findings = [*log.findings, *asked.findings]
    if windows[0].rows < asked_rows:
        minutes = windows[0].rows * steady.spacing / 60.0
        text = f"Nothing is steady for {length / 60.0:g} min: the window has {minutes:.3g} min."
        findings.append(Finding(None, "short", text))
    windows.sort(key=lambda window: window.worst_drift)
    return Windows(tuple(windows), steady, tuple(findings))


def _cut(log: Log, asked: Asked, steady: Steady, rows: int) -> list[Window]:
    """Return the windows of a number of rows whose drift stays within its limit.

    Cut from the end of each stretch backwards: the longer after the start, the better.
    """
    windows = []
    for stretch in steady.stretches:
        for last in range(stretch.last, stretch.first + rows - 2, -rows):
            first = last - rows + 1
            drifts = _drifts(log, asked, first, last)
            if all(abs(drift.change) <= drift.limit for drift in drifts):
                windows.append(Window(first, last, stretch.first - stretch.since, drifts, _means(log, first, last)))
    return windows


def _channel(column: Column, mode: Mode) -> Channel:
    """Return what is asked of one column."""
    quantity, at = column.meaning.quantity, column.meaning.at
    label, values = column.label, column.values
    if quantity == "dry_bulb" and at in ("return", "supply"):
        return Channel(label, values, scatter=DRY_BULB)
    if quantity in ("dew_point", "wet_bulb") and at in ("return", "supply"):
        return Channel(label, values, scatter=DEW_POINT)
    if quantity == "power" and at == "outdoor unit" and mode == "cooling":
        return Channel(label, values, scatter_relative=POWER, least=STANDBY)
    if quantity in ("power", "amps", "volts") and at == "strips" and mode == "strips":
        return Channel(label, values, scatter_relative=POWER, drift_relative=DRIFT_RELATIVE)
    if quantity in ("airflow", "standard_airflow"):
        # No limit of drift: within a minute's noise of half a percent, five readings make a slope of one percent.
        return Channel(label, values, scatter_relative=AIRFLOW)
    return Channel(label, values)


def _differences(log: Log, mode: Mode, findings: list[Finding]) -> tuple[Difference, ...]:
    ends = [log.column("dry_bulb", at) for at in ("return", "supply")]
    if ends[0] is None or ends[1] is None:
        missing = " and ".join(at for at, end in zip(("return", "supply"), ends, strict=True) if end is None)
        text = f"No dry bulb of {missing}: drift and mode cannot be judged by the air."
        findings.append(Finding(None, "no difference", text))
        return ()
    first, second = (ends[0].label, ends[1].label) if mode == "cooling" else (ends[1].label, ends[0].label)
    if mode in ("fan", "zero"):
        return (Difference("rise", first, second, drift=DRIFT),)
    name = "split" if mode == "cooling" else "rise"
    return (Difference(name, first, second, LEAST_DIFFERENCE, DRIFT, DRIFT_RELATIVE),)


def _shows_starts(column: Column) -> bool:
    quantity, at = column.meaning.quantity, column.meaning.at
    return quantity in ("power", "blower_power") or (quantity == "amps" and at in ("outdoor unit", "blower", "strips"))


def _runs(column: Column, mode: Mode) -> bool:
    """Must this column of power or airflow be high in a mode?"""
    if column.meaning.at in ("blower", "supply", "return"):
        return True
    return column.meaning.at == {"cooling": "outdoor unit", "strips": "strips"}.get(mode)


def _in_mode(log: Log, mode: Mode, rules: Rules) -> Log:
    """Return a log in which nothing of the air is believed while the system is off, or runs in another mode."""
    asked = ask(log, mode)
    named = {column.label: column for column in log.columns}
    on = running_rows([named[label].values for label in asked.running], len(log.seconds), rules)
    own = {"cooling": "outdoor unit", "strips": "strips"}.get(mode)
    for column in log.columns:
        at = column.meaning.at
        if column.meaning.quantity not in ("power", "amps") or at not in ("strips", "outdoor unit") or at == own:
            continue
        least = STANDBY if column.meaning.quantity == "power" else 1.0
        on = [state and (value is None or value < least) for state, value in zip(on, column.values, strict=True)]
    return mask_off(log, on)


def _drifts(log: Log, asked: Asked, first: int, last: int) -> tuple[Drift, ...]:
    part = slice(first, last + 1)
    channels = [channel._replace(values=channel.values[part]) for channel in asked.channels]
    return window_drifts(log.seconds[part], channels, asked.differences, 0, last - first)


def _means(log: Log, first: int, last: int) -> tuple[WindowMean, ...]:
    means = []
    for column in log.columns:
        there = [value for value in column.values[first : last + 1] if value is not None]
        if len(there) < max(3.0, 0.8 * (last - first + 1)):
            continue
        mean = mean_of(there)
        # Readings that swing by more than the display's step average it out; others hide behind it.
        hidden = column.resolution / math.sqrt(12.0) if mean.scatter < column.resolution else 0.0
        means.append(WindowMean(column, mean, max(mean.uncertainty, hidden)))
    return tuple(means)


def _why(steady: Steady) -> str:
    if not steady.refused:
        return "No span of it ran for longer than the settling time of 8 minutes after a start."
    worst = sorted(steady.refused.items(), key=lambda item: -item[1])[:4]
    return "Spans were kept out by " + ", ".join(f"{reason} ({count})" for reason, count in worst) + "."


def station_pressure(window: Window) -> WindowMean | None:
    """Return the mean of the barometer, if the log has one."""
    return next((one for one in window.means if one.column.meaning.at == STATION), None)
