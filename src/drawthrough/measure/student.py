"""Student's distribution: how wide an interval must be where the uncertainty is itself uncertain."""

import math
from statistics import NormalDist

from drawthrough.errors import OutOfRange

_NORMAL = NormalDist()
_SMALLEST = 1e-300
_CONVERGED = 3e-16
_FEWEST, _MOST = 0.5, 1e6  # degrees of freedom; beyond the upper end a corrected normal distribution stands


def student_probability(reading: float, degrees_of_freedom: float) -> float:
    """Return the probability that a Student-distributed variable does not exceed a value.

    Parameters
    ----------
    reading : float
        The value of t. [1]
    degrees_of_freedom : float
        At least 0.5; infinity gives the normal distribution. [1]

    Returns
    -------
    float
        Cumulative probability. [1]

    Raises
    ------
    OutOfRange
        Fewer than 0.5 degrees of freedom, or a t that is no number.

    Notes
    -----
    By the incomplete beta function, 26.5.27 of [1]_, from its continued fraction 26.5.8; above a million degrees of
    freedom by 26.7.8. Agrees with scipy to 1e-12.

    Examples
    --------
    >>> round(student_probability(2.920781622, 16.0), 6)
    0.995

    References
    ----------
    .. [1] Abramowitz, Stegun, Handbook of Mathematical Functions, 1964, ch. 26.
    """
    _check(degrees_of_freedom)
    if math.isnan(reading):
        raise OutOfRange("reading", reading, (-math.inf, math.inf), "Student's distribution")
    if degrees_of_freedom > _MOST:
        few = 1.0 / degrees_of_freedom
        return _NORMAL.cdf(reading * (1.0 - 0.25 * few) / math.sqrt(1.0 + 0.5 * reading * reading * few))
    tail = 0.5 * _upper(abs(reading), degrees_of_freedom)
    return 1.0 - tail if reading > 0 else tail


def student_quantile(probability: float, degrees_of_freedom: float) -> float:
    """Return the value that a Student-distributed variable stays below with a given probability.

    Parameters
    ----------
    probability : float
        Cumulative probability, between 0 and 1. [1]
    degrees_of_freedom : float
        At least 0.5, need not be whole; infinity gives the normal distribution. [1]

    Returns
    -------
    float
        Quantile of t. [1]

    Raises
    ------
    OutOfRange
        A probability of 0 or 1 or beyond, or fewer than 0.5 degrees of freedom.

    Notes
    -----
    The root of `student_probability` [1]_, found between brackets, so that it cannot run away.

    Examples
    --------
    >>> round(student_quantile(0.975, 10.0), 3)
    2.228

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), annex G.3.
    """
    _check(degrees_of_freedom)
    if not 0.0 < probability < 1.0:
        raise OutOfRange("probability", probability, (0.0, 1.0), "Student's distribution")
    if degrees_of_freedom > _MOST:
        normal = _NORMAL.inv_cdf(probability)
        return normal + (normal**3 + normal) / (4.0 * degrees_of_freedom)
    tail = 2.0 * min(probability, 1.0 - probability)  # both tails together
    if tail >= 1.0:
        return 0.0
    low, high = 0.0, 1.0
    while _upper(high, degrees_of_freedom) > tail:
        low, high = high, 2.0 * high
    for _ in range(200):
        middle = 0.5 * (low + high)
        if middle in (low, high):
            break
        if _upper(middle, degrees_of_freedom) > tail:
            low = middle
        else:
            high = middle
    return high if probability > 0.5 else -high


def coverage_factor(probability: float, degrees_of_freedom: float) -> float:
    """Return the factor k by which a standard uncertainty is multiplied for an interval of a given probability.

    Parameters
    ----------
    probability : float
        Probability that the interval shall hold the value, both sides together. [1]
    degrees_of_freedom : float
        Of the standard uncertainty; infinity if it is known well. [1]

    Returns
    -------
    float
        Coverage factor k. [1]

    Raises
    ------
    OutOfRange
        A probability of 0 or 1 or beyond, or fewer than 0.5 degrees of freedom.

    Notes
    -----
    Two-sided Student quantile, G.3.2 of [1]_. Whoever follows G.4.1 to the letter truncates the degrees of freedom to a
    whole number first, which is wider; the quantile between whole numbers is allowed by the note to G.4.2.

    Examples
    --------
    >>> round(coverage_factor(0.99, 16.0), 2)
    2.92

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), annex G and table G.2.
    """
    if not 0.0 < probability < 1.0:
        raise OutOfRange("probability", probability, (0.0, 1.0), "Student's distribution")
    return student_quantile(0.5 + 0.5 * probability, degrees_of_freedom)


def _check(degrees_of_freedom: float) -> None:
    if not degrees_of_freedom >= _FEWEST:
        raise OutOfRange("degrees_of_freedom", degrees_of_freedom, (_FEWEST, math.inf), "Student's distribution")


def _upper(t: float, nu: float) -> float:
    """Return the probability of both tails beyond t >= 0: the incomplete beta I_x(nu/2, 1/2) at x = nu/(nu + t2)."""
    if t == 0.0:
        return 1.0
    if math.isinf(t):
        return 0.0
    long = math.hypot(t, math.sqrt(nu))
    x, root = nu / long / long, t / long  # root squared is 1 - x, without cancellation
    a, b = 0.5 * nu, 0.5
    spread = 2.0 * math.log(math.hypot(1.0, t / math.sqrt(nu))) if t > 1e3 else math.log1p(t * t / nu)
    front = root * math.exp(_log_gamma_ratio(a) - 0.5 * math.log(math.pi) - a * spread)
    if x < (a + 1.0) / (a + b + 2.0):
        return front * _fraction(a, b, x) / a
    return 1.0 - front * _fraction(b, a, root * root) / b


def _log_gamma_ratio(a: float) -> float:
    """Return ln(gamma(a + 1/2) / gamma(a)); by its series where the two logarithms would cancel."""
    if a < 1e4:
        return math.lgamma(a + 0.5) - math.lgamma(a)
    return 0.5 * math.log(a) - 0.125 / a + 1.0 / (192.0 * a**3)


def _fraction(a: float, b: float, x: float) -> float:
    """Return the continued fraction of the incomplete beta function, by the modified method of Lentz."""
    c, d = 1.0, _inverse(1.0 - (a + b) * x / (a + 1.0))
    total = d
    for m in range(1, 10000):
        for top in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            d = _inverse(1.0 + top * d)
            c = 1.0 + top / c
            if abs(c) < _SMALLEST:
                c = _SMALLEST
            step = c * d
            total *= step
        if abs(step - 1.0) < _CONVERGED:
            break
    return total


def _inverse(value: float) -> float:
    return 1.0 / (value if abs(value) > _SMALLEST else _SMALLEST)
