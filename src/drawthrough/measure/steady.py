"""Steady enough: which rows of a logger's record may stand for a system that runs in one way.

A row is marked if it lies in a span of a few minutes in which nothing started or stopped, each channel keeps within its
limit of scatter, each difference is there at all, and no drift changes a result by more than its limit.

Whether a drift is significant does not matter: a quarter to a half of good laboratory spans drift significantly and
harmlessly. What matters is its effect: the slope times the length of the span. Results are made of differences, so a
drift that both ends share moves none of them, and the limit (the larger of 0.5 F and 1 % of the difference) stands on
the difference. A slope that five readings make out of noise is no drift either: the change has to exceed the limit by
more than twice its own standard uncertainty.
"""

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from drawthrough.errors import Unresolvable
from drawthrough.measure.record import SLACK, Channel, Difference, Drift, Rules, Table, Values


class Stretch(NamedTuple):
    """Marked rows in one piece, both ends included, and the rows since the last start (or gap) before it."""

    first: int
    last: int
    since: int

    @property
    def rows(self) -> int:
        """How many rows it has."""
        return self.last - self.first + 1


class Steady(NamedTuple):
    """What was found in a record."""

    marked: tuple[bool, ...]  # of each row
    stretches: tuple[Stretch, ...]
    steps: tuple[int, ...]  # rows at which the power differed from that of the minute before
    spacing: float  # usual time between rows [s]
    span: int  # rows in a span
    refused: dict[str, int]  # reason: spans that it alone or with others kept out, once started and settled


def power_steps(times: Sequence[float], values: Values, rules: Rules | None = None) -> tuple[int, ...]:
    """Return the rows at which a channel of power differs by a step from the minute before.

    Parameters
    ----------
    times : sequence of float
        Rising. [s]
    values : sequence of float or None
        Power, or what moves with it (current, airflow).
    rules : Rules, optional
        step, step_floor.

    Returns
    -------
    tuple of int
        Rows in rising order. A step that takes several rows shows at each of them.

    Notes
    -----
    A field logger has no column that names the stage: the power tells when something started, stopped or changed its
    stage. A row is compared with every row of the minute before it, or with the last one if that is longer ago. A
    change counts if it exceeds 10 % of the larger of the two values and 5 % of what the channel reads when it is high
    (its 95th percentile) (judgement): the stages of the machine of [1]_ differ by 35 %, its noise is 0.6 %.

    Examples
    --------
    >>> power_steps([0.0, 60.0, 120.0, 180.0], [20.0, 20.0, 1500.0, 1510.0])
    (2,)

    References
    ----------
    .. [1] NIST and Drexel University, hardware-in-the-loop data of a two-stage heat pump, DOE EE-0009153.
    """
    rules = rules or Rules()
    floor = rules.step_floor * high_reading(values)
    found = []
    first = 0
    for i in range(1, len(values)):
        now = values[i]
        if now is None:
            continue
        while first < i - 1 and times[i] - times[first] > 60.0 + 1e-6:
            first += 1
        before = [value for value in values[first:i] if value is not None]
        if not before:
            before = [value for value in reversed(values[:i]) if value is not None][:1]
        for old in before:
            if abs(now - old) > max(rules.step * max(abs(now), abs(old)), floor):
                found.append(i)
                break
    return tuple(found)


def high_reading(values: Values) -> float:
    """Return what a channel reads when it is high.

    Parameters
    ----------
    values : sequence of float or None
        The channel.

    Returns
    -------
    float
        The 95th percentile of what is there, by size without sign; 0 for a channel without values. [1]

    Notes
    -----
    A percentile and not the greatest value, which a single bad cell would decide; nearest rank, by 2.1.1 of [1]_.

    Examples
    --------
    >>> high_reading([1.0, None, 3.0])
    3.0

    References
    ----------
    .. [1] Hyndman, Fan, Sample quantiles in statistical packages, The American Statistician 50 (1996), 361.
    """
    there = sorted(abs(value) for value in values if value is not None)
    return there[min(len(there) - 1, math.ceil(0.95 * len(there)) - 1)] if there else 0.0


def running_rows(power: Sequence[Values], count: int, rules: Rules | None = None) -> list[bool]:
    """Return for each row whether the system was running.

    Parameters
    ----------
    power : sequence of sequence of float or None
        Channels that must all be high: power, or what moves with it.
    count : int
        How many rows there are.
    rules : Rules, optional
        running.

    Returns
    -------
    list of bool
        True where every channel reads at least a fifth of what it reads when it is high (judgement).

    Notes
    -----
    A row without a value counts as the one before it. Without any channel the system counts as running throughout. The
    lowest stage of the machine of [1]_ takes about half of its highest.

    Examples
    --------
    >>> running_rows([[18.0, 1500.0, None, 45.0]], 4)
    [False, True, True, False]

    References
    ----------
    .. [1] NIST and Drexel University, hardware-in-the-loop data of a two-stage heat pump, DOE EE-0009153.
    """
    rules = rules or Rules()
    on = [True] * count
    for values in power:
        least = rules.running * high_reading(values)
        state = False
        for row, value in enumerate(values):
            state = state if value is None else value >= least and value > 0.0
            on[row] = on[row] and state
    return on


def find_steady(
    times: Sequence[float],
    channels: Sequence[Channel],
    differences: Sequence[Difference] = (),
    power: Sequence[str] = (),
    running: Sequence[str] | None = None,
    rules: Rules | None = None,
) -> Steady:
    """Return the rows of a record in which the system ran steadily.

    Parameters
    ----------
    times : sequence of float
        Of each row, rising. [s]
    channels : sequence of Channel
        The columns, each as long as the times.
    differences : sequence of Difference, optional
        Differences of channels, by their labels.
    power : sequence of str, optional
        Labels of the channels whose steps are starts and stops.
    running : sequence of str, optional
        Labels of the channels that must be high for the system to count as running; without it those of the power.
    rules : Rules, optional
        What steadiness rests on.

    Returns
    -------
    Steady
        marked, stretches, steps, spacing [s], span and refused.

    Raises
    ------
    Unresolvable
        Times that do not rise, a column of another length, or a label that is not there.

    Notes
    -----
    The first row, and each row behind a gap, counts as a start: what was before it is unknown. A row stands for the
    time that ends with it, so the first row that is marked lies one spacing past the settling time. Standard
    deviations are of the sample (n - 1). Limits of 0.3 F, 0.5 F of dew point, 1 % of power and 2 % of airflow select
    the quasi-steady windows of [1]_; see `Rules` for what the rest stands on.

    Examples
    --------
    >>> times = [60.0 * i for i in range(20)]
    >>> watts = Channel("watts", [0.0] * 3 + [1500.0] * 17, scatter_relative=0.01)
    >>> find_steady(times, [watts], power=["watts"]).stretches
    (Stretch(first=12, last=19, since=9),)

    References
    ----------
    .. [1] NIST and Drexel University, hardware-in-the-loop data of a two-stage heat pump, DOE EE-0009153.
    """
    rules = rules or Rules()
    high = power if running is None else running
    tables = _tables(times, channels, differences, (*power, *high))
    count = len(times)
    if count < 2:
        return Steady((False,) * count, (), (), 0.0, rules.fewest, {})
    gaps = [later - earlier for earlier, later in pairwise(times)]
    spacing = sorted(gaps)[(len(gaps) - 1) // 2]
    span = max(rules.fewest, math.ceil(rules.span / spacing - 1e-6))
    named = {channel.label: channel for channel in channels}
    steps = sorted({row for label in power for row in power_steps(times, named[label].values, rules)})
    starts = {0, *steps, *(i + 1 for i, gap in enumerate(gaps) if gap > rules.gap * spacing)}
    on = running_rows([named[label].values for label in high], count, rules)
    since = _since(starts, count)
    marked = [False] * count
    refused: dict[str, int] = {}
    for first in range(count - span + 1):
        last = first + span - 1
        start = since[last]
        # The times decide, not the rows: within a segment the spacing may wander.
        if start > first or times[first] - times[start] < rules.settling + spacing * (1.0 - SLACK):
            continue
        if not all(on[first : last + 1]):
            continue
        reasons = {reason for table in tables for reason in table.refusals(first, last, span, rules)}
        for reason in reasons:
            refused[reason] = refused.get(reason, 0) + 1
        if not reasons:
            marked[first : last + 1] = [True] * span
    return Steady(tuple(marked), tuple(_stretches(marked, since)), tuple(steps), spacing, span, refused)


def window_drifts(
    times: Sequence[float],
    channels: Sequence[Channel],
    differences: Sequence[Difference],
    first: int,
    last: int,
    rules: Rules | None = None,
) -> tuple[Drift, ...]:
    """Return the drift of each channel and difference over a window, against its limit.

    Parameters
    ----------
    times : sequence of float
        Of each row of the record, rising. [s]
    channels : sequence of Channel
        The columns.
    differences : sequence of Difference
        Differences of channels.
    first : int
        First row of the window.
    last : int
        Last row of the window.
    rules : Rules, optional
        present.

    Returns
    -------
    tuple of Drift
        One for each channel or difference that has a limit of drift and is there.

    Notes
    -----
    The change is the slope of the least-squares line [1]_ times the number of rows: what the window's result moves by
    from its beginning to its end.

    Examples
    --------
    >>> ramp = Channel("return", [72.0 + 0.1 * i for i in range(10)], drift=0.5)
    >>> drift = window_drifts([60.0 * i for i in range(10)], [ramp], [], 0, 9)[0]
    >>> round(drift.change, 6), drift.exceeds(2.0)
    (1.0, True)

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), annex H.3.
    """
    rules = rules or Rules()
    found = (table.drift(first, last) for table in _tables(times, channels, differences, ()))
    return tuple(drift for drift in found if drift is not None)


def _since(starts: set[int], count: int) -> list[int]:
    """Return for each row the last start at or before it."""
    found = [0] * count
    for row in range(1, count):
        found[row] = row if row in starts else found[row - 1]
    return found


def _tables(
    times: Sequence[float], channels: Sequence[Channel], differences: Sequence[Difference], power: Sequence[str]
) -> list[Table]:
    if any(later <= earlier for earlier, later in pairwise(times)):
        raise Unresolvable("The times of a record must rise from row to row.")
    named = {channel.label: channel.values for channel in channels}
    for channel in channels:
        if len(channel.values) != len(times):
            raise Unresolvable(f"{channel.label} has {len(channel.values)} rows, the times have {len(times)}.")
    for label in (*power, *(end for one in differences for end in (one.first, one.second))):
        if label not in named:
            raise Unresolvable(f"There is no channel {label!r}.")
    tables = [Table(channel, channel.values) for channel in channels]
    for one in differences:
        pairs = zip(named[one.first], named[one.second], strict=True)
        tables.append(Table(one, [None if a is None or b is None else a - b for a, b in pairs]))
    return tables


def _stretches(marked: Sequence[bool], since: Sequence[int]) -> list[Stretch]:
    """Return the pieces of marked rows; a start between two marked rows parts them."""
    found: list[Stretch] = []
    for row, mark in enumerate(marked):
        if not mark:
            continue
        if found and found[-1].last == row - 1 and since[row] == since[row - 1]:
            found[-1] = found[-1]._replace(last=row)
        else:
            found.append(Stretch(row, row, row - since[row]))
    return found
