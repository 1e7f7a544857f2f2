"""Charge targets: what superheat and which temperature split belong to a condition, and when such readings stand.

Nothing here says what to do with refrigerant: that is licensed work. It reads a chart.
"""

from typing import NamedTuple

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics import charge_tables
from drawthrough.units import CFM, RANKINE, to_si

# What must hold before a charge reading stands.
LOWEST_OUTDOOR = to_si(55.0, "F", "temperature")  # Title 24 RA3.2 (2008 p. RA3-9, 2013 RA3.2.1.1): published
LOWEST_AIRFLOW = 300.0 * CFM / to_si(1.0, "ton", "power")  # m3/s per W; 2008 RA3.2.2.7: published (350 later: memory)
SHORTEST_STEADY = 900.0  # s; 2008 RA3.2.2, p. RA3-14: published

_SLACK = 1e-9


class Limits(NamedTuple):
    """The published limits of one charge reading, and whose they are."""

    low: float
    high: float
    what: str
    source: str
    word: str


def _kelvin(fahrenheit: tuple[int, ...] | list[int]) -> tuple[float, ...]:
    return tuple(to_si(float(value), "F", "temperature") for value in fahrenheit)


class _Chart(NamedTuple):
    rows: tuple[float, ...]
    columns: tuple[float, ...]
    cells: tuple[tuple[float | None, ...], ...]
    row_quantity: str
    source: str

    def at(self, row: float, column: float) -> float:
        """Interpolate between the four cells around a point; a blank one among them refuses."""
        for quantity, axis, value in ((self.row_quantity, self.rows, row), ("wet_bulb", self.columns, column)):
            if not axis[0] - _SLACK <= value <= axis[-1] + _SLACK:
                raise OutOfRange(quantity, value, (axis[0], axis[-1]), self.source)
        i, s = _share(self.rows, row)
        j, u = _share(self.columns, column)
        total = 0.0
        for di, dj, weight in ((0, 0, (1 - s) * (1 - u)), (0, 1, (1 - s) * u), (1, 0, s * (1 - u)), (1, 1, s * u)):
            if abs(weight) < _SLACK:
                continue
            cell = self.cells[i + di][j + dj]
            if cell is None:
                raise Unresolvable(
                    f"The chart is blank beside {self.row_quantity} {row:.2f} K and wet bulb {column:.2f} K: "
                    f"there is no target there ({self.source})."
                )
            total += weight * cell
        return total * RANKINE


def _share(axis: tuple[float, ...], value: float) -> tuple[int, float]:
    index = 0
    while index < len(axis) - 2 and value > axis[index + 1]:
        index += 1
    return index, (value - axis[index]) / (axis[index + 1] - axis[index])


_SUPERHEAT = _Chart(
    _kelvin(list(charge_tables.SUPERHEAT)),
    _kelvin(charge_tables.SUPERHEAT_WET_BULB),
    tuple(charge_tables.SUPERHEAT.values()),
    "outdoor",
    f"{charge_tables.CARRIER}; {charge_tables.LENNOX}",
)
_SPLIT = _Chart(
    _kelvin(list(charge_tables.SPLIT)),
    _kelvin(charge_tables.SPLIT_WET_BULB),
    tuple(charge_tables.SPLIT.values()),
    "dry_bulb",
    charge_tables.SPLIT_SOURCE,
)


def target_superheat(wet_bulb: float, outdoor: float) -> float:
    """Return the superheat that a full charge gives behind a fixed orifice.

    Parameters
    ----------
    wet_bulb : float
        Wet bulb of the air that enters the coil. [K]
    outdoor : float
        Outdoor dry bulb. [K]

    Returns
    -------
    float
        Target superheat at the suction service valve. [K]

    Raises
    ------
    OutOfRange
        Wet bulb outside 50 to 76 F, or outdoors outside 40 to 115 F.
    Unresolvable
        The chart is blank beside the point: the target would be below 5 F and no superheat can be judged there.

    Notes
    -----
    Bilinear between the cells of two makers' charts [1]_ [2]_, which agree in every row that both print; between
    40 and 60 F outdoors the rows are 20 F apart. Charts are in whole degrees, so they themselves are good to 0.5 F.

    The mnemonic (3 WB - 80 - DB) / 2 of the trade is off from these charts by -6.5 to +3 F and gives targets where the
    chart has none. A chart of the unit's own maker goes before this one. Whether a reading stands at all is another
    question: see `unmet_conditions`.

    Examples
    --------
    >>> round(target_superheat(293.15, 308.15) * 1.8, 2)
    14.0

    References
    ----------
    .. [1] Carrier, 38VTA040 dimensions and installation guide, table 4 (R-22).
    .. [2] Lennox, 14ACX installation instructions, p. 26 (R-410A).
    """
    return _SUPERHEAT.at(outdoor, wet_bulb)


def target_split(dry_bulb: float, wet_bulb: float) -> float:
    """Return the drop of dry bulb that the California table expects across a system with enough air.

    Parameters
    ----------
    dry_bulb : float
        Return dry bulb. [K]
    wet_bulb : float
        Return wet bulb. [K]

    Returns
    -------
    float
        Target of return minus supply dry bulb. [K]

    Raises
    ------
    OutOfRange
        Dry bulb outside 70 to 84 F, wet bulb outside 50 to 76 F or above the dry bulb.
    Unresolvable
        The table is blank beside the point.

    Notes
    -----
    Bilinear between the cells of the table [1]_, which is **from memory**: it was not re-read, though all its cells
    collapse on one quadratic within 0.05 F. A split is evidence of airflow only while the charge stands and the
    machine is steady; a large one says little air, a small one low capacity or, seldom, much air.

    Examples
    --------
    >>> round(target_split(297.0389, 290.3722) * 1.8, 1)
    18.6

    References
    ----------
    .. [1] California Title 24, 2008 Reference Residential Appendix, table RA3.2-3, from memory.
    """
    if wet_bulb > dry_bulb + _SLACK:
        raise OutOfRange("wet_bulb", wet_bulb, (_SPLIT.columns[0], dry_bulb), "a wet bulb is not above its dry bulb")
    return _SPLIT.at(dry_bulb, wet_bulb)


def charge_limits(method: str, checker: str = "installer") -> Limits:
    """Return the published limits of a charge reading.

    Parameters
    ----------
    method : str
        "superheat", "subcooling", "split" (deviation from the target), or "expansion valve" (the superheat itself).
    checker : str
        "installer" or "rater": whoever checks another's work is allowed one degree more.

    Returns
    -------
    Limits
        `low` and `high`, the lowest and highest that passes [K]; `what` they bound; `source`; `word`, how far the
        figures can be trusted.

    Raises
    ------
    Unresolvable
        No limits for that method and checker.

    Notes
    -----
    Limits of one code [1]_, not of nature; the maker's own go before them. No limit says what to do.

    Examples
    --------
    >>> limits = charge_limits("superheat")
    >>> round(limits.high * 1.8, 6), limits.word
    (5.0, 'published')

    References
    ----------
    .. [1] California Title 24, 2008 Reference Residential Appendix RA3.2.2.6 and RA3.2.2.7.
    """
    for row in charge_tables.CRITERIA:
        if row.method == method and row.checker == checker:
            return Limits(row.low * RANKINE, row.high * RANKINE, row.what, row.source, row.word)
    known = sorted({f"{row.method}/{row.checker}" for row in charge_tables.CRITERIA})
    raise Unresolvable(f"There are no limits for {method!r} by {checker!r}; there are: {', '.join(known)}.")


def unmet_conditions(
    outdoor: float,
    standard_airflow: float,
    total_capacity_rated: float,
    duration: float,
) -> tuple[str, ...]:
    """Return which of the three conditions for a charge reading are not met.

    Parameters
    ----------
    outdoor : float
        Outdoor dry bulb. [K]
    standard_airflow : float
        Airflow across the coil, of standard air. [m3/s]
    total_capacity_rated : float
        Rated total cooling. [W]
    duration : float
        Time since the machine has run steadily. [s]

    Returns
    -------
    tuple[str, ...]
        Names of what falls short, of "standard_airflow", "outdoor" and "duration"; empty if the readings stand.

    Raises
    ------
    OutOfRange
        A rated capacity that is not above zero.

    Notes
    -----
    At least 300 cfm of standard air per ton (350 in later editions, from memory), 55 F outdoors, and 15 minutes of
    steady running [1]_. A charge judged with a dirty coil or wheel is judged at the wrong airflow.

    Examples
    --------
    >>> unmet_conditions(283.15, 0.3, 10550.0, 1200.0)
    ('standard_airflow', 'outdoor')

    References
    ----------
    .. [1] California Title 24, Reference Residential Appendix RA3.2, 2008 pp. RA3-9, RA3-14, RA3-15; 2013 RA3.2.1.1.
    """
    if not 0.0 < total_capacity_rated <= 1e5:
        raise OutOfRange("total_capacity_rated", total_capacity_rated, (0.0, 1e5), "residential units")
    met = {
        "standard_airflow": standard_airflow >= LOWEST_AIRFLOW * total_capacity_rated * (1.0 - _SLACK),
        "outdoor": outdoor >= LOWEST_OUTDOOR - _SLACK,
        "duration": duration >= SHORTEST_STEADY,
    }
    return tuple(name for name, holds in met.items() if not holds)
