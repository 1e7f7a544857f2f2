"""Bypass: how air divides between a filter and the gaps around it, and how that goes on as the filter loads."""

from collections.abc import Sequence
from math import exp, log, sqrt
from typing import NamedTuple

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics.dust import DustShares, dust_shares
from drawthrough.physics.opening import OpeningLaw, law_airflow

_ROUNDS = 60  # of Newton's method; it needs about five
_SAME = 1e-13  # relative


class FilterSplit(NamedTuple):
    """How air divides between a filter and the gaps around it."""

    pressure_drop: float
    airflow_filter: float
    bypass_fraction: float


def filter_split(
    airflow: float,
    airflow_reference: float,
    pressure_drop_reference: float,
    exponent: float,
    gaps: Sequence[OpeningLaw],
    loading: float = 1.0,
) -> FilterSplit:
    """Return how an airflow divides between a filter and the gaps around it.

    Parameters
    ----------
    airflow : float
        Airflow through filter and gaps together. [m3/s]
    airflow_reference : float
        Airflow through the filter alone at which its pressure drop is known. [m3/s]
    pressure_drop_reference : float
        Pressure drop of the clean filter at that airflow. [Pa]
    exponent : float
        Exponent of airflow in the filter's pressure drop. [1]
    gaps : sequence of OpeningLaw
        Gaps around the filter, each by its pressure law.
    loading : float
        Pressure drop of the filter as it is over the clean one, at equal airflow. [1]

    Returns
    -------
    FilterSplit
        `pressure_drop` [Pa], `airflow_filter` through the filter [m3/s], and `bypass_fraction`, the share of the
        airflow given that takes the gaps [1].

    Raises
    ------
    OutOfRange
        A value outside its plausible range, or an exponent outside 1 to 2.
    Unresolvable
        The two laws could not be brought together.

    Notes
    -----
    Filter and gaps see one pressure: dp = l dp_ref (Q_f / Q_ref)^n, and the gaps' airflows follow from their laws. It
    is solved by Newton in ln dp from the pressure at which the filter alone would pass everything, which lies above.
    Where the filter's pressure drop was read with the gaps in place, the gaps' laws at that pressure are enough.

    Examples
    --------
    >>> split = filter_split(0.50, 0.50, 50.0, 1.25, [OpeningLaw(678.75, 526750.0)])
    >>> round(split.pressure_drop, 2), round(split.bypass_fraction, 4)
    (48.88, 0.018)

    References
    ----------
    .. [1] Ward and Siegel, 2005. ASHRAE Transactions 111(1) (its crack law; composition derived).
    """
    for name, value, low, high in (
        ("airflow", airflow, 0.0, 50.0),
        ("airflow_reference", airflow_reference, 0.0, 50.0),
        ("pressure_drop_reference", pressure_drop_reference, 0.0, 5000.0),
        ("loading", loading, 0.0, 100.0),
    ):
        if not low < value <= high:
            raise OutOfRange(name, value, (low, high), "plausible range")
    if not 1.0 <= exponent <= 2.0:
        raise OutOfRange("exponent", exponent, (1.0, 2.0), "laminar media to fully turbulent flow")
    pressure_drop = loading * pressure_drop_reference * (airflow / airflow_reference) ** exponent
    for _ in range(_ROUNDS):
        through = airflow_reference * (pressure_drop / (loading * pressure_drop_reference)) ** (1.0 / exponent)
        around = 0.0
        slope = through / exponent  # of the airflow against ln dp
        for gap in gaps:
            around += law_airflow(gap, pressure_drop)
            slope += pressure_drop / sqrt(gap.linear * gap.linear + 4.0 * gap.quadratic * pressure_drop)
        total = through + around
        if abs(total - airflow) <= _SAME * airflow:
            return FilterSplit(pressure_drop, through, around / total)
        pressure_drop *= exp(-log(total / airflow) * total / slope)
    raise Unresolvable("The airflow could not be divided between the filter and its gaps.")


def loading_trend(
    airflow: float,
    airflow_reference: float,
    pressure_drop_reference: float,
    exponent: float,
    gaps: Sequence[OpeningLaw],
    loading: Sequence[float],
    efficiency: float,
    leak_fraction: float,
    concentration_ratio: float,
) -> tuple[DustShares, ...]:
    """Return the dust shares behind a gapped filter as it loads.

    Parameters
    ----------
    airflow : float
        Airflow through filter and gaps together, the same at each loading. [m3/s]
    airflow_reference : float
        Airflow through the filter alone at which its pressure drop is known. [m3/s]
    pressure_drop_reference : float
        Pressure drop of the clean filter at that airflow. [Pa]
    exponent : float
        Exponent of airflow in the filter's pressure drop. [1]
    gaps : sequence of OpeningLaw
        Gaps around the filter, each by its pressure law.
    loading : sequence of float
        Pressure drops of the filter over the clean one, at equal airflow. [1]
    efficiency : float
        Efficiency of the filter itself in one size bin, taken as unchanged. [1]
    leak_fraction : float
        Share of the blower's air that enters by leaks after the filter. [1]
    concentration_ratio : float
        Dust concentration at the leaks over that of the return air. [1]

    Returns
    -------
    tuple of DustShares
        One for each loading: `share_leak`, `share_bypass`, `share_filter` and `downstream_ratio` [1].

    Raises
    ------
    OutOfRange
        As `filter_split` and `dust_shares` do.
    Unresolvable
        As `filter_split` and `dust_shares` do.

    Notes
    -----
    A gapped filter gets worse as it loads: its pressure drop rises and pushes more air through the gap. Its media get
    better meanwhile, which is left out, and a blower that is not held at constant airflow moves less.

    Examples
    --------
    >>> gap = OpeningLaw(678.75, 526750.0)
    >>> [round(step.share_bypass, 3) for step in loading_trend(0.5, 0.5, 50.0, 1.25, [gap], [1, 3], 0.9, 0.0, 1.0)]
    [0.155, 0.247]

    References
    ----------
    .. [1] Ward and Siegel, 2005. ASHRAE Transactions 111(1) (direction of the effect).
    """
    steps = []
    for one in loading:
        split = filter_split(airflow, airflow_reference, pressure_drop_reference, exponent, gaps, one)
        around = split.bypass_fraction * (1.0 - leak_fraction)  # of the blower's air
        steps.append(dust_shares(efficiency, leak_fraction, around, concentration_ratio))
    return tuple(steps)
