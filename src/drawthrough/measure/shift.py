"""What a shift of beliefs by a known direction and an uncertain size makes of how likely the readings are.

Where several explanations differ from the usual by a shift each, one fit with wide beliefs serves them all: what the
readings say is taken out of it, joined to the usual beliefs, and each explanation costs a small integral in closed
form.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

from drawthrough.measure import dense
from drawthrough.measure.dense import backward, cholesky, forward


class Likelihood(NamedTuple):
    """What readings alone say of some numbers: the precision matrix, and it times the value that they point to."""

    precision: tuple[tuple[float, ...], ...]
    linear: tuple[float, ...]


class Usual(NamedTuple):
    """The usual beliefs joined to the readings: how the evidence falls with a shift of the beliefs, and the numbers.

    ln of the evidence for beliefs shifted by d is `gradient` d - d `curvature` d / 2, over that for the usual ones.
    `mean` and `covariance` are of the numbers themselves; a shift d moves their mean by `follow` d.
    """

    gradient: tuple[float, ...]
    curvature: tuple[tuple[float, ...], ...]
    mean: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    follow: tuple[tuple[float, ...], ...]


class Sized(NamedTuple):
    """Shifts of uncertain size, sized by the readings: ln of the evidence over that for no shift, and the sizes."""

    log_ratio: float
    mean: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]


def likelihood(
    mean: Sequence[float],
    covariance: Sequence[Sequence[float]],
    prior_mean: Sequence[float],
    prior_covariance: Sequence[Sequence[float]],
) -> Likelihood:
    """Return what the readings of a fit say by themselves, its beliefs taken away.

    Parameters
    ----------
    mean, covariance : sequence of float, sequence of sequence of float
        Of the fit, for the numbers asked for.
    prior_mean, prior_covariance : sequence of float, sequence of sequence of float
        What the fit believed of them beforehand.

    Returns
    -------
    Likelihood
        Exact where the fit is linear in these numbers and normal, and as good as the fit's own normal elsewhere.

    Raises
    ------
    Unresolvable
        A covariance that is none.

    Notes
    -----
    Precisions add up where readings and beliefs are apart [1]_: that of the fit less that of its beliefs is what the
    readings say, and so are the precisions times their means. Valid for any normal fit.

    Examples
    --------
    >>> alone = likelihood([0.5], [[0.5]], [0.0], [[1.0]])
    >>> round(alone.precision[0][0], 9), round(alone.linear[0], 9)
    (1.0, 1.0)

    References
    ----------
    .. [1] Gelman and others, Bayesian Data Analysis, 3rd ed., section 3.5 (normal with known variance).
    """
    after, before = (dense.covariance(cholesky([list(row) for row in m])) for m in (covariance, prior_covariance))
    size = range(len(mean))
    return Likelihood(
        tuple(tuple(after[i][j] - before[i][j] for j in size) for i in size),
        tuple(sum(after[i][j] * mean[j] - before[i][j] * prior_mean[j] for j in size) for i in size),
    )


def usual(readings: Likelihood, mean: Sequence[float], sd: Sequence[float]) -> Usual:
    """Return the usual beliefs, each number by itself, joined to what readings say.

    Parameters
    ----------
    readings : Likelihood
        What the readings say; nothing of some numbers, perhaps.
    mean, sd : sequence of float
        The usual beliefs.

    Returns
    -------
    Usual
        How the evidence falls with a shift of the beliefs, and the numbers themselves.

    Raises
    ------
    Unresolvable
        Readings whose precision is none.

    Notes
    -----
    With A the usual variances and L, l what the readings say, the evidence is that of a normal in the mean b of the
    beliefs: gradient (1 + L A)^-1 (l - L b), curvature L (1 + A L)^-1 [1]_. Both hold where L has no inverse.

    Examples
    --------
    >>> joined = usual(Likelihood(((1.0,),), (1.0,)), [0.0], [1.0])
    >>> round(joined.mean[0], 9), round(joined.gradient[0], 9), round(joined.curvature[0][0], 9)
    (0.5, 0.5, 0.5)

    References
    ----------
    .. [1] Gelman and others, Bayesian Data Analysis, 3rd ed., section 14.2 (the normal linear model).
    """
    size = range(len(mean))
    scaled = cholesky(
        [[sd[i] * readings.precision[i][j] * sd[j] + (1.0 if i == j else 0.0) for j in range(i + 1)] for i in size]
    )
    inverse = dense.covariance(scaled)
    beyond = [readings.linear[i] - sum(readings.precision[i][j] * mean[j] for j in size) for i in size]
    half = [sum(inverse[i][j] * sd[j] * beyond[j] for j in size) for i in size]
    return Usual(
        gradient=tuple(half[i] / sd[i] for i in size),
        curvature=tuple(
            tuple(((1.0 if i == j else 0.0) - inverse[i][j]) / (sd[i] * sd[j]) for j in size) for i in size
        ),
        mean=tuple(mean[i] + sd[i] * half[i] for i in size),
        covariance=tuple(tuple(sd[i] * inverse[i][j] * sd[j] for j in size) for i in size),
        follow=tuple(tuple(sd[i] * inverse[i][j] / sd[j] for j in size) for i in size),
    )


def sized(
    gradient: Sequence[float],
    curvature: Sequence[Sequence[float]],
    mean: Sequence[float],
    sd: Sequence[float],
) -> Sized:
    """Return how likely shifts of uncertain size make the readings, and which sizes.

    Parameters
    ----------
    gradient, curvature : sequence of float, sequence of sequence of float
        Of the evidence along the directions of the shifts.
    mean, sd : sequence of float
        What is believed of each size beforehand.

    Returns
    -------
    Sized
        ln of the evidence over that for no shift [1], and the sizes with their covariance.

    Raises
    ------
    Unresolvable
        A curvature that falls below none.

    Notes
    -----
    The integral of exp(g a - a c a / 2) over sizes a, each normal beforehand, with g the gradient and c the curvature
    [1]_. It holds as far as the evidence is a normal in the shift.

    Examples
    --------
    A shift that readings cannot see changes nothing:

    >>> sized([0.0], [[0.0]], [1.0], [0.5])
    Sized(log_ratio=0.0, mean=(1.0,), covariance=((0.25,),))

    References
    ----------
    .. [1] MacKay, Information Theory, Inference, and Learning Algorithms, 2003, ch. 28 (evidence of a normal).
    """
    log_ratio, factor, half = _integral(gradient, curvature, mean, sd)
    return Sized(log_ratio, tuple(backward(factor, half)), tuple(map(tuple, dense.covariance(factor))))


def evidence(
    gradient: Sequence[float],
    curvature: Sequence[Sequence[float]],
    mean: Sequence[float],
    sd: Sequence[float],
) -> float:
    """Return the `log_ratio` of `sized` alone, for those who weigh many.

    Parameters
    ----------
    gradient, curvature : sequence of float, sequence of sequence of float
        Of the evidence along the directions of the shifts.
    mean, sd : sequence of float
        What is believed of each size beforehand.

    Returns
    -------
    float
        ln of the evidence over that for no shift. [1]

    Raises
    ------
    Unresolvable
        A curvature that falls below none.

    Notes
    -----
    The integral of `sized`, its sizes left out.

    Examples
    --------
    >>> evidence([0.0], [[0.0]], [1.0], [0.5])
    0.0

    References
    ----------
    .. [1] MacKay, Information Theory, Inference, and Learning Algorithms, 2003, ch. 28 (evidence of a normal).
    """
    if len(mean) == 1:  # most causes have one size: the same, written out
        precision = curvature[0][0] + sd[0] ** -2
        linear = gradient[0] + mean[0] / sd[0] ** 2
        return 0.5 * (linear * linear / precision - (mean[0] / sd[0]) ** 2 - math.log(precision * sd[0] ** 2))
    return _integral(gradient, curvature, mean, sd)[0]


def _integral(
    gradient: Sequence[float],
    curvature: Sequence[Sequence[float]],
    mean: Sequence[float],
    sd: Sequence[float],
) -> tuple[float, list[list[float]], list[float]]:
    """Return ln of the integral over the sizes, the factor of their precision, and half of their solution."""
    size = range(len(mean))
    factor = cholesky([[curvature[i][j] + (sd[i] ** -2 if i == j else 0.0) for j in range(i + 1)] for i in size])
    half = forward(factor, [gradient[i] + mean[i] / sd[i] ** 2 for i in size])
    log_ratio = 0.5 * (sum(v * v for v in half) - sum((m / s) ** 2 for m, s in zip(mean, sd, strict=True)))
    log_ratio -= sum(math.log(row[-1] * s) for row, s in zip(factor, sd, strict=True))
    return log_ratio, factor, half
