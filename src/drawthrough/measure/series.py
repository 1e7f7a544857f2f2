"""The mean of a series that remembers: neighbouring readings resemble each other, and count for less than they are."""

import math
from collections.abc import Iterator, Sequence
from operator import mul
from typing import NamedTuple

from drawthrough.errors import Unresolvable

# The window over which autocorrelation is summed ends at this many autocorrelation times (Sokal).
_WINDOW = 5.0
# A series this many times longer than its autocorrelation time lets that time be summed up without a model; a shorter
# one is taken to be of first order, as a probe with a lag is.
_LONG = 50.0
# No series counts for fewer readings than this (judgement): two are the fewest that can have a spread.
_FEWEST = 2.0
_NO_SCATTER = "A series of equal readings, or of fewer than two, has no autocorrelation."


class Mean(NamedTuple):
    """The mean of a series, what it is worth, and how the series drifts."""

    value: float
    uncertainty: float  # standard uncertainty of the mean, in the unit of the series
    scatter: float  # standard deviation of the readings
    readings: int
    effective: float  # number of independent readings that would be worth as much
    slope: float  # per reading
    slope_uncertainty: float  # with neighbours counted as independent

    @property
    def drift(self) -> float:
        """Change over the whole series by its slope."""
        return self.slope * self.readings


def autocorrelation(values: Sequence[float], lags: int) -> list[float]:
    """Return the autocorrelation of a series at lags 0, 1, 2, ...

    Parameters
    ----------
    values : sequence of float
        At least two readings at even spacing, not all equal.
    lags : int
        The largest lag.

    Returns
    -------
    list of float
        1 at lag 0, then one for each lag. [1]

    Raises
    ------
    Unresolvable
        Fewer than two readings, or all of them equal.

    Notes
    -----
    About the series' own mean, each sum over the variance of all: the biased estimator, 2.1.6 of [1]_, which scatters
    less at long lags.

    Examples
    --------
    >>> autocorrelation([1.0, -1.0, 1.0, -1.0], 1)
    [1.0, -0.75]

    References
    ----------
    .. [1] Box, Jenkins, Reinsel, Time Series Analysis, 4th ed.
    """
    return [rho for rho, _ in zip(_correlations(values), range(min(lags, len(values) - 1) + 1), strict=False)]


def autocorrelation_time(values: Sequence[float]) -> float:
    """Return by how much the variance of a series' mean exceeds that of independent readings.

    Parameters
    ----------
    values : sequence of float
        At least two readings at even spacing, not all equal.

    Returns
    -------
    float
        Integrated autocorrelation time, in readings: 1 for independent ones. [1]

    Raises
    ------
    Unresolvable
        Fewer than two readings, or all of them equal.

    Notes
    -----
    1 + 2 * the sum of the autocorrelation, cut at the first lag that is five times the sum so far [1]_. A series
    shorter than 50 of these times lets no such sum converge; then (1 + r) / (1 - r) of a first-order series, with r
    from lag 1 and its bias -(1 + 3 r)/n taken out [2]_. Capped so that at least two independent readings are left, and
    never below 1: what alternates about its mean (a display's last digit) is not credited with more readings than it
    has.

    Examples
    --------
    >>> autocorrelation_time([1.0, -1.0, 1.0, -1.0, 1.0])
    1.0
    >>> autocorrelation_time([1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0])
    4.0

    References
    ----------
    .. [1] Sokal, Monte Carlo methods in statistical mechanics, 1996, section 3.
    .. [2] Kendall, Note on bias in the estimation of autocorrelation, Biometrika 41 (1954), 403.
    """
    count = len(values)
    longest = max(count / _FEWEST, 1.0)
    found = 1.0
    first = 0.0
    for lag, rho in enumerate(_correlations(values)):
        if lag == 1:
            first = rho
        if lag > 0:
            found += 2.0 * rho
            if lag >= _WINDOW * found and count >= _LONG * found:
                return min(max(found, 1.0), longest)
        if lag > _WINDOW * count / _LONG or (lag > 0 and lag >= _WINDOW * found):
            break
    first = (first + 1.0 / count) / (1.0 - 3.0 / count) if count > 3 else 1.0
    return min(max((1.0 + first) / (1.0 - first), 1.0), longest) if first < 1.0 else longest


def mean_of(values: Sequence[float]) -> Mean:
    """Return the mean of a series with its standard uncertainty, autocorrelation counted.

    Parameters
    ----------
    values : sequence of float
        At least three readings at even spacing.

    Returns
    -------
    Mean
        value, uncertainty and scatter (in the unit of the series), readings, effective [1], slope and slope_uncertainty
        (per reading), and from them drift.

    Raises
    ------
    Unresolvable
        Fewer than three readings, or one that is no finite number.

    Notes
    -----
    u^2 = s^2 * t / (n - t) with s^2 the mean square about the mean and t the integrated autocorrelation time [1]_: for
    independent readings (t = 1) the usual s^2/(n - 1). A drift within the series counts as slow noise. Of first-order
    series of 10 to 200 readings with r up to 0.6 nine in ten 95 % intervals by Student's t (effective less one
    degrees of freedom) hold the true mean, for r = 0.8 and 10 readings 87 %: no estimate from a series that short
    does better. Readings that are all equal have an uncertainty of 0 here: what the display's step hides belongs to
    the instrument.

    Examples
    --------
    >>> mean = mean_of([71.9, 72.1, 72.0, 72.1, 71.9, 72.0])
    >>> round(mean.value, 2), round(mean.uncertainty, 3), round(mean.effective, 1)
    (72.0, 0.037, 6.0)

    References
    ----------
    .. [1] Bayley, Hammersley, The effective number of independent observations in an autocorrelated time series, J. R.
       Stat. Soc. Suppl. 8 (1946), 184.
    """
    count = len(values)
    if count < 3 or not all(map(math.isfinite, values)):
        raise Unresolvable("A mean with an uncertainty needs at least three readings that are finite numbers.")
    if min(values) == max(values):
        return Mean(values[0], 0.0, 0.0, count, float(count), 0.0, 0.0)
    value = math.fsum(values) / count
    rest = [one - value for one in values]
    square = math.fsum(one * one for one in rest) / count
    time = autocorrelation_time(values) if square > 0.0 else 1.0
    uncertainty = math.sqrt(square * time / (count - time))
    slope, slope_uncertainty = _line(rest)
    scatter = math.sqrt(square * count / (count - 1))
    return Mean(value, uncertainty, scatter, count, count / time, slope, slope_uncertainty)


def _line(rest: Sequence[float]) -> tuple[float, float]:
    """Return the slope per reading of values about their mean, and its standard uncertainty."""
    count = len(rest)
    middle = 0.5 * (count - 1)
    width = count * (count * count - 1) / 12.0
    slope = math.fsum((i - middle) * one for i, one in enumerate(rest)) / width
    left = math.fsum((one - slope * (i - middle)) ** 2 for i, one in enumerate(rest))
    return slope, math.sqrt(left / (count - 2) / width)


def _correlations(values: Sequence[float]) -> Iterator[float]:
    """Yield the autocorrelation at lags 0, 1, 2, ..., each worked out only when it is asked for."""
    if len(values) < 2 or min(values) == max(values):
        raise Unresolvable(_NO_SCATTER)
    mean = math.fsum(values) / len(values)
    rest = [value - mean for value in values]
    whole = math.fsum(value * value for value in rest)
    if whole == 0.0:
        raise Unresolvable(_NO_SCATTER)
    for lag in range(len(rest)):
        yield sum(map(mul, rest[lag:], rest)) / whole
