"""Other beliefs for a fit that was made with wide ones: how likely the readings are under them, and what they then say.

Many explanations of the same readings differ only in what they believe of a few unknowns. One fit with beliefs wide
enough for all of them answers each by an exchange of beliefs, in closed form, instead of a fit of its own.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

from drawthrough.measure import dense
from drawthrough.measure.dense import backward, cholesky, forward


class Exchanged(NamedTuple):
    """What other beliefs make of a fit: ln of the ratio of evidence, and the mean under them."""

    log_ratio: float
    mean: tuple[float, ...]


def exchanged(
    mean: Sequence[float],
    covariance: Sequence[Sequence[float]],
    prior_mean: Sequence[float],
    prior_covariance: Sequence[Sequence[float]],
    other_mean: Sequence[float],
    other_sd: Sequence[float],
) -> Exchanged:
    """Return how likely the readings are under other beliefs, over how likely they are under those of the fit.

    Parameters
    ----------
    mean, covariance : sequence of float, sequence of sequence of float
        Of the fit, for the numbers whose beliefs are exchanged.
    prior_mean, prior_covariance : sequence of float, sequence of sequence of float
        What the fit believed of them beforehand.
    other_mean, other_sd : sequence of float
        What is believed instead, each number by itself.

    Returns
    -------
    Exchanged
        ln of the ratio of evidence [1], and the mean of the numbers under the other beliefs.

    Raises
    ------
    Unresolvable
        The other beliefs are so much wider than those of the fit that nothing is left to normalise.

    Notes
    -----
    All are normal: the ratio is the integral of N(x; m, V) N(x; a, A) / N(x; b, B) over x, which is exact where the
    fit is linear in these numbers, and as good as the fit's own normal elsewhere.

    Examples
    --------
    >>> wide = exchanged([1.0], [[0.04]], [0.0], [[1.0]], [0.0], [1.0])
    >>> round(wide.log_ratio, 12), round(wide.mean[0], 12)
    (0.0, 1.0)

    References
    ----------
    .. [1] Gelman and others, Bayesian Data Analysis, 3rd ed., section 7.4 (Bayes factors by the ratio of priors).
    """
    fitted, believed = (cholesky([list(row) for row in matrix]) for matrix in (covariance, prior_covariance))
    posterior, before = dense.covariance(fitted), dense.covariance(believed)
    size = len(mean)
    precision = [
        [posterior[i][j] - before[i][j] + (other_sd[i] ** -2 if i == j else 0.0) for j in range(size)]
        for i in range(size)
    ]
    linear = [
        sum(posterior[i][j] * mean[j] - before[i][j] * prior_mean[j] for j in range(size))
        + other_mean[i] / other_sd[i] ** 2
        for i in range(size)
    ]
    factor = cholesky(precision)
    half = forward(factor, linear)
    constant = (
        _quadratic(before, prior_mean)
        - _quadratic(posterior, mean)
        - sum((m / s) ** 2 for m, s in zip(other_mean, other_sd, strict=True))
        + sum(value * value for value in half)
    )
    determinants = (
        _log_determinant(believed)
        - _log_determinant(fitted)
        - 2.0 * sum(math.log(s) for s in other_sd)
        - _log_determinant(factor)
    )
    return Exchanged(0.5 * (constant + determinants), tuple(backward(factor, half)))


def _log_determinant(factor: list[list[float]]) -> float:
    """Return ln of the determinant of the matrix whose lower factor is given."""
    return 2.0 * sum(math.log(row[-1]) for row in factor)


def _quadratic(precision: Sequence[Sequence[float]], value: Sequence[float]) -> float:
    size = len(value)
    return sum(value[i] * precision[i][j] * value[j] for i in range(size) for j in range(size))
