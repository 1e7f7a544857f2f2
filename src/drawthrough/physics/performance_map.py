"""What a unit should do, by the table of its own maker: bilinear in the wet cells, with the rule for a dry coil."""

from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

from drawthrough.errors import DrawthroughError, OutOfRange, Unresolvable


class MapError(DrawthroughError):
    """A performance map whose axes or shapes do not fit."""


@dataclass(frozen=True)
class PerformanceMap:
    """A maker's table of steady capacities and power at one airflow.

    All capacities stand on one basis, gross or net of the fan; power counts what `power_counts` says.
    `wet_bulb_margin` is how far below its lowest wet bulb the table's lines may be carried. It is 0 unless whoever
    enters the table grants it: the point at which a coil turns dry may lie a little below the lowest wet bulb.
    """

    name: str
    source: str
    outdoor: tuple[float, ...]  # [K], rising
    wet_bulb: tuple[float, ...]  # [K], rising
    dry_bulb: tuple[float, ...]  # [K], rising
    total_capacity: tuple[tuple[float, ...], ...]  # [W], by outdoor, wet bulb
    sensible_capacity: tuple[tuple[tuple[float, ...], ...], ...]  # [W], by outdoor, wet bulb, dry bulb
    power: tuple[tuple[float, ...], ...]  # [W], by outdoor, wet bulb
    basis: str = "gross"
    power_counts: str = "outdoor unit"
    wet_bulb_margin: float = 0.0  # [K]

    def __post_init__(self) -> None:
        for axis, values in (("outdoor", self.outdoor), ("wet_bulb", self.wet_bulb), ("dry_bulb", self.dry_bulb)):
            if len(values) < 2 or any(b <= a for a, b in pairwise(values)):
                raise MapError(f"{self.name}: {axis} needs two values or more, rising.")
        rows, columns, depth = len(self.outdoor), len(self.wet_bulb), len(self.dry_bulb)
        if any(
            len(table) != rows or any(len(row) != columns for row in table)
            for table in (self.total_capacity, self.power)
        ):
            raise MapError(f"{self.name}: capacity and power need {rows} rows of {columns} values.")
        if len(self.sensible_capacity) != rows or any(
            len(sheet) != columns or any(len(row) != depth for row in sheet) for sheet in self.sensible_capacity
        ):
            raise MapError(f"{self.name}: sensible capacity needs {rows} sheets of {columns} rows of {depth} values.")


class Performance(NamedTuple):
    """What a unit should do at one condition."""

    total_capacity: float
    sensible_capacity: float
    sensible_heat_ratio: float
    power: float
    dry: bool


class _Column(NamedTuple):
    """The table at one outdoor and one indoor dry bulb: values by wet bulb, the sensible ones as of a wet coil."""

    wet_bulb: tuple[float, ...]
    total: list[float]
    sensible: list[float]
    power: list[float]


def _place(axis: tuple[float, ...], value: float, quantity: str, source: str) -> tuple[int, float]:
    """Return the cell of an axis and the share of the way through it."""
    if not axis[0] - 1e-9 <= value <= axis[-1] + 1e-9:
        raise OutOfRange(quantity, value, (axis[0], axis[-1]), source)
    index = 0
    while index < len(axis) - 2 and value > axis[index + 1]:
        index += 1
    return index, (value - axis[index]) / (axis[index + 1] - axis[index])


def _wet_sensible(table: PerformanceMap, i: int, k: int) -> list[float]:
    """Return the sensible capacities by wet bulb, dry cells replaced by the line of the wet ones.

    In a dry cell a map lists the capacity of the dry coil, or a number above the total: neither belongs to the line of
    the wet coil, whose meeting point with the total is where the coil turns dry.
    """
    total = table.total_capacity[i]
    values = [row[k] for row in table.sensible_capacity[i]]
    wet = [j for j in range(len(values)) if values[j] < total[j]]
    if len(wet) < 2 or wet != list(range(wet[0], len(values))):
        raise Unresolvable(
            f"{table.name}: at {table.dry_bulb[k]:.6g} K dry bulb and {table.outdoor[i]:.6g} K outdoors fewer than two "
            "cells are wet, so the point at which the coil turns dry cannot be found."
        )
    a, b = wet[0], wet[1]
    slope = (values[b] - values[a]) / (table.wet_bulb[b] - table.wet_bulb[a])
    for j in range(a):
        values[j] = values[a] + slope * (table.wet_bulb[j] - table.wet_bulb[a])
    return values


def _column(table: PerformanceMap, outdoor: float, dry_bulb: float) -> _Column:
    i, s = _place(table.outdoor, outdoor, "outdoor", table.source)
    k, u = _place(table.dry_bulb, dry_bulb, "dry_bulb", table.source)
    corners = [
        (_wet_sensible(table, i + di, k + dk), weight)
        for di, dk, weight in (
            (0, 0, (1 - s) * (1 - u)),
            (0, 1, (1 - s) * u),
            (1, 0, s * (1 - u)),
            (1, 1, s * u),
        )
        if abs(weight) > 1e-12
    ]
    nodes = range(len(table.wet_bulb))

    def between(values: tuple[tuple[float, ...], ...]) -> list[float]:
        return [values[i][j] + s * (values[i + 1][j] - values[i][j]) for j in nodes]

    sensible = [sum(weight * column[j] for column, weight in corners) for j in nodes]
    return _Column(table.wet_bulb, between(table.total_capacity), sensible, between(table.power))


def _turns_dry(column: _Column, margin: float) -> float | None:
    """Return the wet bulb at which total and sensible meet, or None if that lies below the table and its margin."""
    axis = column.wet_bulb
    above = [t - s for t, s in zip(column.total, column.sensible, strict=True)]  # rises with the wet bulb
    # The highest cell that the rule makes dry begins the segment of the meeting point; if none is, the lowest one does.
    j = next((j for j in range(len(axis) - 2, -1, -1) if above[j] <= 0.0), 0)
    slope = (above[j + 1] - above[j]) / (axis[j + 1] - axis[j])
    if not slope > 0.0:
        return None
    found = axis[j] - above[j] / slope
    return found if found >= axis[0] - margin - 1e-9 else None


def _along(column: _Column, values: list[float], wet_bulb: float) -> float:
    axis = column.wet_bulb
    j = 0
    while j < len(axis) - 2 and wet_bulb > axis[j + 1]:
        j += 1
    return values[j] + (values[j + 1] - values[j]) * (wet_bulb - axis[j]) / (axis[j + 1] - axis[j])


def dry_coil_wet_bulb(table: PerformanceMap, outdoor: float, dry_bulb: float) -> float:
    """Return the entering wet bulb at and below which a unit's coil stays dry.

    Parameters
    ----------
    table : PerformanceMap
        The unit's performance map.
    outdoor : float
        Outdoor dry bulb. [K]
    dry_bulb : float
        Dry bulb of the air that enters the coil. [K]

    Returns
    -------
    float
        Wet bulb at which sensible and total capacity meet. [K]

    Raises
    ------
    OutOfRange
        Outdoor or dry bulb outside the map.
    Unresolvable
        The two do not meet within the map and its margin, or too few cells are wet to draw the line.

    Notes
    -----
    The lines of the wet cells are carried on until they meet [1]_. By that rule the capacities that the E100 map lists
    for its 24 dry cells are met within 24 W (0.34 %); the map's figures are 29.3 W apart.

    Examples
    --------
    >>> table = PerformanceMap(
    ...     "invented", "doctest", (300.0, 310.0), (288.0, 292.0), (297.0, 300.0),
    ...     ((7000.0, 8000.0), (6600.0, 7500.0)),
    ...     (((6800.0, 7400.0), (5300.0, 6600.0)), ((6500.0, 7100.0), (5000.0, 6300.0))),
    ...     ((1700.0, 1750.0), (2000.0, 2050.0)), wet_bulb_margin=1.0,
    ... )
    >>> round(dry_coil_wet_bulb(table, 300.0, 297.0), 3)
    287.68

    References
    ----------
    .. [1] ANSI/ASHRAE Standard 140, case E100, performance data for a dry coil.
    """
    found = _turns_dry(_column(table, outdoor, dry_bulb), table.wet_bulb_margin)
    if found is None:
        raise Unresolvable(f"{table.name}: the coil stays wet down to the lowest wet bulb of the map.")
    return found


def performance_by_map(table: PerformanceMap, outdoor: float, wet_bulb: float, dry_bulb: float) -> Performance:
    """Return what a unit should do by its own performance map.

    Parameters
    ----------
    table : PerformanceMap
        The unit's performance map.
    outdoor : float
        Outdoor dry bulb. [K]
    wet_bulb : float
        Wet bulb of the air that enters the coil. [K]
    dry_bulb : float
        Dry bulb of the air that enters the coil. [K]

    Returns
    -------
    Performance
        `total_capacity` [W] and `sensible_capacity` [W] on the map's basis, `sensible_heat_ratio` [1], `power` of what
        the map counts [W], and `dry`, whether the coil stays dry.

    Raises
    ------
    OutOfRange
        A temperature outside the map; a wet bulb below it is accepted only where the coil is dry, or within the
        map's margin.
    Unresolvable
        Too few cells of the map are wet to find where the coil turns dry.

    Notes
    -----
    Linear in each of the three temperatures. Below the wet bulb at which sensible and total meet the coil is dry and
    nothing depends on the wet bulb any more: capacity and power stay those of the meeting point [1]_. A map holds at
    its own airflow and for a clean unit in full charge.

    Examples
    --------
    >>> table = PerformanceMap(
    ...     "invented", "doctest", (300.0, 310.0), (288.0, 292.0), (297.0, 300.0),
    ...     ((7000.0, 8000.0), (6600.0, 7500.0)),
    ...     (((6000.0, 6700.0), (4500.0, 5200.0)), ((5700.0, 6400.0), (4200.0, 4900.0))),
    ...     ((1700.0, 1750.0), (2000.0, 2050.0)),
    ... )
    >>> performance_by_map(table, 300.0, 290.0, 297.0)
    Performance(total_capacity=7500.0, sensible_capacity=5250.0, sensible_heat_ratio=0.7, power=1725.0, dry=False)

    References
    ----------
    .. [1] ANSI/ASHRAE Standard 140, case E100, performance data for a dry coil.
    """
    low, high = table.wet_bulb[0], table.wet_bulb[-1]
    if not wet_bulb <= high + 1e-9:
        raise OutOfRange("wet_bulb", wet_bulb, (low, high), table.source)
    if wet_bulb > dry_bulb:
        raise OutOfRange("wet_bulb", wet_bulb, (low, dry_bulb), "a wet bulb is not above its dry bulb")
    column = _column(table, outdoor, dry_bulb)
    turns_dry = _turns_dry(column, table.wet_bulb_margin)
    dry = turns_dry is not None and wet_bulb <= turns_dry
    if turns_dry is not None and dry:
        wet_bulb = turns_dry
    elif not wet_bulb >= low - table.wet_bulb_margin - 1e-9:
        raise OutOfRange("wet_bulb", wet_bulb, (low - table.wet_bulb_margin, high), table.source)
    total = _along(column, column.total, wet_bulb)
    sensible = total if dry else _along(column, column.sensible, wet_bulb)
    return Performance(total, sensible, sensible / total, _along(column, column.power, wet_bulb), dry)
