"""Instruments: what one reading is worth, and what several readings of one instrument share.

A data sheet states limits; a standard uncertainty is made of them. Most of it is the same in every reading of the
instrument (its gain, its offset) and cancels more or less when readings are compared; the rest is new each time.
"""

import math
from typing import NamedTuple

from drawthrough.errors import OutOfRange

# Share of an instrument's variance that its readings have in common (judgement).
SHARED = 0.8
# What is left of the correlation of a shared offset on another day (judgement).
KEPT_OVERNIGHT = 0.7

_RECTANGULAR = math.sqrt(3.0)
_STEP = math.sqrt(12.0)


class Accuracy(NamedTuple):
    """What a data sheet says of an instrument, in the unit of its readings."""

    relative: float = 0.0  # share of the reading
    absolute: float = 0.0
    coverage: float | None = None  # the k of the statement; None: limits without one, which are rectangular
    resolution: float = 0.0  # the smallest step of the display
    shared: float = SHARED  # share of the variance that the instrument's readings have in common


class Parts(NamedTuple):
    """Standard uncertainty of one reading by what it shares with other readings, in the unit of the reading."""

    gain: float  # shared, in proportion to the reading
    offset: float  # shared, the same for each reading
    own: float  # new each time, the resolution included

    @property
    def total(self) -> float:
        """All parts together."""
        return math.hypot(self.gain, self.offset, self.own)


class Occasion(NamedTuple):
    """With what, and between which events, a reading was taken. Names only: equal names mean the same event."""

    instrument: str
    zero: str = ""  # the zeroing that it follows
    day: str = ""


def parts(accuracy: Accuracy, reading: float) -> Parts:
    """Return the standard uncertainty of one reading, split by what it shares with other readings.

    Parameters
    ----------
    accuracy : Accuracy
        What the data sheet says.
    reading : float
        What was read. [1]

    Returns
    -------
    Parts
        gain, offset and own, each a standard uncertainty in the unit of the reading.

    Raises
    ------
    OutOfRange
        An accuracy below zero, a coverage that is not above zero, or a shared part beyond 0 to 1.

    Notes
    -----
    Limits of +-a without a stated coverage are rectangular, u = a / sqrt(3) (4.3.7 of [1]_); stated for k, u = a / k; a
    display's step r gives r / sqrt(12) (F.2.2.1) and is new each time. 80 % of the variance is shared (judgement): a
    parameter of the accuracy.

    Examples
    --------
    >>> found = parts(Accuracy(absolute=0.5, resolution=0.1), 72.0)
    >>> round(found.offset, 3), round(found.own, 3), round(found.total, 3)
    (0.258, 0.132, 0.29)

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), 4.3.7 and F.2.2.1.
    """
    for name, value in (
        ("relative", accuracy.relative),
        ("absolute", accuracy.absolute),
        ("step", accuracy.resolution),
    ):
        if not 0.0 <= value < math.inf:
            raise OutOfRange(name, value, (0.0, math.inf), "an instrument's accuracy")
    if not 0.0 <= accuracy.shared <= 1.0:
        raise OutOfRange("shared", accuracy.shared, (0.0, 1.0), "a share of a variance")
    k = _RECTANGULAR if accuracy.coverage is None else accuracy.coverage
    if not 0.0 < k < math.inf:
        raise OutOfRange("coverage", k, (0.0, math.inf), "a coverage factor is above zero")
    gain = accuracy.relative * abs(reading) / k
    offset = accuracy.absolute / k
    common, own = math.sqrt(accuracy.shared), math.sqrt(1.0 - accuracy.shared)
    return Parts(common * gain, common * offset, math.hypot(own * gain, own * offset, accuracy.resolution / _STEP))


def standard_uncertainty(accuracy: Accuracy, reading: float) -> float:
    """Return the standard uncertainty of one reading of an instrument.

    Parameters
    ----------
    accuracy : Accuracy
        What the data sheet says.
    reading : float
        What was read. [1]

    Returns
    -------
    float
        Standard uncertainty, in the unit of the reading. [1]

    Notes
    -----
    All of `parts` together [1]_.

    Examples
    --------
    >>> round(standard_uncertainty(Accuracy(relative=0.01, coverage=2.0), 240.0), 3)
    1.2

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), 4.3.
    """
    return parts(accuracy, reading).total


def offset_correlation(first: Occasion, second: Occasion, correlation: float = KEPT_OVERNIGHT) -> float:
    """Return the correlation of the shared offsets of two readings.

    Parameters
    ----------
    first : Occasion
        Of one reading.
    second : Occasion
        Of the other.
    correlation : float
        What is left of the correlation on another day (judgement). [1]

    Returns
    -------
    float
        0 to 1: between different instruments none, after zeroing anew none, within a day all of it. [1]

    Notes
    -----
    Sharing follows the event: a manometer's zero is shared until it is zeroed again, a thermometer's offset within a
    day. The covariance of readings with one instrument is F.1.2.3 of [1]_.

    Examples
    --------
    >>> offset_correlation(Occasion("probe", day="Monday"), Occasion("probe", day="Tuesday"))
    0.7

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), F.1.2.
    """
    if first.instrument != second.instrument or first.zero != second.zero:
        return 0.0
    return 1.0 if first.day == second.day else correlation


def covariance(
    accuracy: Accuracy, reading_first: float, reading_second: float, first: Occasion, second: Occasion
) -> float:
    """Return the covariance of two readings of instruments of one accuracy.

    Parameters
    ----------
    accuracy : Accuracy
        Of the instrument, or of two instruments of one make.
    reading_first : float
        One reading. [1]
    reading_second : float
        The other. [1]
    first : Occasion
        Of the one.
    second : Occasion
        Of the other.

    Returns
    -------
    float
        Covariance, in the square of the readings' unit. [1]

    Notes
    -----
    An instrument keeps its gain through zeroing and overnight: only its offset follows `offset_correlation`. F.1.2.3 of
    [1]_.

    Examples
    --------
    >>> meter = Occasion("meter")
    >>> round(covariance(Accuracy(relative=0.02, shared=1.0), 100.0, 50.0, meter, meter), 4)
    0.6667

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), F.1.2.
    """
    if first.instrument != second.instrument:
        return 0.0
    one, other = parts(accuracy, reading_first), parts(accuracy, reading_second)
    sign = math.copysign(1.0, reading_first) * math.copysign(1.0, reading_second)
    return sign * one.gain * other.gain + offset_correlation(first, second) * one.offset * other.offset


def difference_uncertainty(
    accuracy: Accuracy, reading_first: float, reading_second: float, first: Occasion, second: Occasion
) -> float:
    """Return the standard uncertainty of the difference of two readings.

    Parameters
    ----------
    accuracy : Accuracy
        Of the instrument, or of two instruments of one make.
    reading_first : float
        One reading. [1]
    reading_second : float
        The other. [1]
    first : Occasion
        Of the one; the same instrument on both occasions is one probe used for both ends.
    second : Occasion
        Of the other.

    Returns
    -------
    float
        Standard uncertainty of the difference, in the unit of the readings. [1]

    Notes
    -----
    One probe used for both ends has no offset, and a gain in proportion to the difference: equation 13 of [1]_ with the
    covariance of the two.

    Examples
    --------
    >>> probe = Accuracy(absolute=0.5, shared=1.0)
    >>> difference_uncertainty(probe, 96.0, 72.0, Occasion("one"), Occasion("one"))
    0.0
    >>> round(difference_uncertainty(probe, 96.0, 72.0, Occasion("one"), Occasion("two")), 3)
    0.408

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), 5.2.2.
    """
    one, other = parts(accuracy, reading_first), parts(accuracy, reading_second)
    own = one.own**2 + other.own**2
    if first.instrument != second.instrument:
        return math.sqrt(own + one.gain**2 + one.offset**2 + other.gain**2 + other.offset**2)
    gain = math.copysign(one.gain, reading_first) - math.copysign(other.gain, reading_second)
    apart = 1.0 - offset_correlation(first, second)
    return math.sqrt(own + gain**2 + 2.0 * apart * one.offset * other.offset)


def ratio_uncertainty(
    accuracy: Accuracy, reading_first: float, reading_second: float, first: Occasion, second: Occasion
) -> float:
    """Return the standard uncertainty of the ratio of two readings, over the ratio.

    Parameters
    ----------
    accuracy : Accuracy
        Of the instrument, or of two instruments of one make.
    reading_first : float
        The reading above, not zero. [1]
    reading_second : float
        The reading below, not zero. [1]
    first : Occasion
        Of the one.
    second : Occasion
        Of the other.

    Returns
    -------
    float
        Relative standard uncertainty of the ratio. [1]

    Raises
    ------
    OutOfRange
        A reading of zero.

    Notes
    -----
    A shared gain cancels whole; a shared offset b leaves b * (1/x1 - 1/x2); what is new each time stays. Equation 13 of
    [1]_ in relative terms.

    Examples
    --------
    >>> clamp, hour = Accuracy(relative=0.02, coverage=2.0), Occasion("clamp")
    >>> round(ratio_uncertainty(clamp, 21.0, 19.0, hour, hour), 4)
    0.0063

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), 5.1.6 and 5.2.2.
    """
    for name, value in (("reading_first", reading_first), ("reading_second", reading_second)):
        if value == 0.0 or not math.isfinite(value):
            raise OutOfRange(name, value, (-math.inf, math.inf), "a ratio needs two readings other than zero")
    one, other = parts(accuracy, reading_first), parts(accuracy, reading_second)
    relative_own = (one.own / reading_first) ** 2 + (other.own / reading_second) ** 2
    a, b = one.offset / reading_first, other.offset / reading_second
    if first.instrument != second.instrument:
        gains = (one.gain / reading_first) ** 2 + (other.gain / reading_second) ** 2
        return math.sqrt(relative_own + gains + a * a + b * b)
    apart = 1.0 - offset_correlation(first, second)
    return math.sqrt(relative_own + (a - b) ** 2 + 2.0 * apart * a * b)


def offset_in_ratio(offset: float, reading_first: float, reading_second: float) -> float:
    """Return what an offset that both readings share does to their ratio, as a share of the ratio.

    Parameters
    ----------
    offset : float
        What the instrument adds to both readings. [1]
    reading_first : float
        The true reading above, not zero. [1]
    reading_second : float
        The true reading below; with the offset it must not vanish. [1]

    Returns
    -------
    float
        Ratio as read over the true ratio, minus one. [1]

    Raises
    ------
    OutOfRange
        A reading of zero, or one that the offset turns into zero.

    Notes
    -----
    The whole effect, not its first order: (x1 + b) / (x2 + b) * x2 / x1 - 1, near b * (1/x1 - 1/x2), which is a
    covariance of 1 in 5.2.2 of [1]_. At 0.005 in. w.c. on 0.08 and 0.13 the first order says 2.4 %, the whole effect
    is 2.3 %.

    Examples
    --------
    >>> round(offset_in_ratio(0.5, 19.0, 24.0), 4)
    0.0054

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), 5.2.2.
    """
    read = reading_second + offset
    for name, value in (("reading_first", reading_first), ("reading_second", reading_second), ("reading_second", read)):
        if value == 0.0 or not math.isfinite(value):
            raise OutOfRange(name, value, (-math.inf, math.inf), "a ratio needs two readings other than zero")
    # b * (x2 - x1) / (x1 * (x2 + b)): the same without cancellation
    return offset * (reading_second - reading_first) / (reading_first * read)
