"""Small dense least squares with priors: many unknowns, few readings, some of them wrong.

The posterior of unknowns with Gaussian priors, seen through readings with heavy-tailed noise, is approximated by one
Gaussian. The model is linearised anew at each step (Gauss-Newton); each heavy-tailed reading is represented by a
Gaussian site whose mean and precision match the moments of the exact factor (expectation propagation), so that an
outlier loses its weight, and a reading that nothing checks keeps the variance of its noise.
"""

import math
from collections.abc import Callable, Sequence
from operator import mul
from typing import NamedTuple

from drawthrough.errors import Unresolvable

# Student-t noise of 4 degrees of freedom as a mixture of normals: precision factors drawn from Gamma(2, rate 2).
# The trapezium rule in the logarithm of the factor converges geometrically; 19 nodes hold the moments to 1e-4.
_STEP = 0.5
_NODES = tuple(
    (0.5 / math.exp(t), 4.0 * math.exp(2 * t - 2 * math.exp(t)) * _STEP) for t in (k * _STEP for k in range(-14, 5))
)
SMALLEST_DETECTABLE = 4.13  # non-centrality for a false alarm of 0.1 % and a power of 80 % (Baarda)
_REDUNDANCY_FLOOR = 1e-9
_STILL = 1e-3  # a step below this, in standard deviations of the priors, is none
_WANDERING = 0.5  # a step below this that gains nothing is no progress
_NO_GAIN = 1e-3  # a fall of the misfit (a sum of squares) below this is none
_NEAR = 0.1  # a step below this leaves the model nearly linear
_MOST_STEPS = 100
_MOST_SWEEPS = 25
_LEARNED = 1e-2  # a change of a site's precision below this is none
# Two readings that contradict each other, with nothing to judge between them, make two peaks: no single Gaussian can
# settle on both. After this many lessons the sites keep what they have learned, and `settled` says so.
_MOST_LESSONS = 8
_DEAF = 1e-3  # smallest precision of a site, over that of a normal with the same standard deviation

Row = tuple[float, Sequence[int], Sequence[float]]
Predict = Callable[[list[float]], list[Row]]


class Observation(NamedTuple):
    """One reading as the solver sees it."""

    label: str
    value: float
    sd: float  # standard deviation of its own noise, in the unit of `value`
    heavy: bool = True  # Student-t noise (4 degrees of freedom) instead of Gaussian


class Fitted(NamedTuple):
    """What the fit says of one observation."""

    label: str
    value: float
    expected: float  # by the whole fit
    sd: float
    redundancy: float  # share of the observation that the others could replace, 0 to 1
    standardised: float  # residual over its own standard deviation (0 where nothing checks it)
    smallest_detectable: float  # smallest gross error that would be noticed, in the unit of `value`; inf: none
    expected_without: float  # by all others and the priors
    sd_without: float
    weight: float  # precision that it kept, over that of a normal with the same sd


class Solution(NamedTuple):
    """Posterior of the unknowns: mean, covariance, and what became of each observation."""

    names: tuple[str, ...]
    mean: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    fitted: tuple[Fitted, ...]
    sites: tuple[tuple[float, float], ...]  # mean and precision of the Gaussian that stands for each observation
    iterations: int
    settled: bool  # False: contradicting readings left more than one explanation

    def variance(self, weights: dict[int, float]) -> float:
        """Return the variance of a linear combination, given as weights by index."""
        return sum(w * v * self.covariance[i][j] for i, w in weights.items() for j, v in weights.items())


def cholesky(matrix: list[list[float]]) -> list[list[float]]:
    """Return the lower Cholesky factor of a positive definite matrix given by its lower rows.

    Parameters
    ----------
    matrix : list of list of float
        Row i holds at least the i + 1 entries up to the diagonal.

    Returns
    -------
    list of list of float
        Lower factor, row i with i + 1 entries.

    Raises
    ------
    Unresolvable
        The matrix is not positive definite.

    Notes
    -----
    Row-oriented, so that the inner product runs over whole rows.

    Examples
    --------
    >>> cholesky([[4.0], [2.0, 5.0]])
    [[2.0], [1.0, 2.0]]

    References
    ----------
    .. [1] Golub, Van Loan, Matrix Computations, 4th ed., section 4.2.
    """
    factor: list[list[float]] = []
    for i, given in enumerate(matrix):
        row: list[float] = []
        for j in range(i):
            other = factor[j]
            row.append((given[j] - sum(map(mul, row, other))) / other[j])
        rest = given[i] - sum(map(mul, row, row))
        if not rest > 0.0:
            raise Unresolvable(
                "The normal equations are not positive definite: an unknown has neither reading nor prior."
            )
        row.append(math.sqrt(rest))
        factor.append(row)
    return factor


def _forward(factor: list[list[float]], right: list[float]) -> list[float]:
    solved: list[float] = []
    for row, value in zip(factor, right, strict=True):
        solved.append((value - sum(map(mul, row, solved))) / row[-1])
    return solved


def _backward(factor: list[list[float]], right: list[float]) -> list[float]:
    solved = list(right)
    for i in range(len(factor) - 1, -1, -1):
        row = factor[i]
        value = solved[i] = solved[i] / row[i]
        for j in range(i):
            solved[j] -= row[j] * value
    return solved


def _inverse_factor(factor: list[list[float]]) -> list[list[float]]:
    """Rows of the inverse of a lower factor, row i with i + 1 entries."""
    columns: list[list[float]] = []
    size = len(factor)
    for start in range(size):
        column = [1.0 / factor[start][start]]
        for i in range(start + 1, size):
            row = factor[i]
            column.append(-sum(map(mul, row[start:i], column)) / row[i])
        columns.append(column)
    return [[columns[j][i - j] for j in range(i + 1)] for i in range(size)]


def _covariance(factor: list[list[float]]) -> list[list[float]]:
    rows = _inverse_factor(factor)
    size = len(rows)
    columns = [[rows[i][j] for i in range(j, size)] for j in range(size)]
    full = [[0.0] * size for _ in range(size)]
    for i in range(size):
        for j in range(i + 1):
            full[i][j] = full[j][i] = sum(map(mul, columns[i], columns[j][i - j :]))
    return full


def _match(distance: float, sd: float, cavity_precision: float) -> tuple[float, float]:
    """Mean and variance of the noise of one t-distributed reading, the other readings given.

    `distance` is the reading minus what the others expect, `cavity_precision` the precision of that expectation.
    """
    variance = sd * sd
    total = first = second = 0.0
    for spread, weight in _NODES:
        tau = variance * spread
        shrink = 1.0 / (1.0 + tau * cavity_precision)
        z = weight * math.sqrt(shrink) * math.exp(-0.5 * distance * distance * cavity_precision * shrink)
        mean = tau * cavity_precision * shrink * distance
        total += z
        first += z * mean
        second += z * (tau * shrink + mean * mean)
    if total <= 0.0:  # so far out that no node sees it: the reading says nothing
        return distance, 1.0 / cavity_precision
    first /= total
    return first, second / total - first * first


def solve(
    names: Sequence[str],
    prior_mean: Sequence[float],
    prior_sd: Sequence[float],
    observations: Sequence[Observation],
    predict: Predict,
    start: Sequence[float] | None = None,
    largest_step: float = 2.0,
) -> Solution:
    """Return the Gaussian that stands for the posterior of a small non-linear model.

    Parameters
    ----------
    names : sequence of str
        Names of the unknowns.
    prior_mean, prior_sd : sequence of float
        Gaussian prior of each unknown.
    observations : sequence of Observation
        The readings, with the standard deviation of their own noise.
    predict : callable
        From the unknowns to one row per observation: expected value, indices of the unknowns it depends on
        (ascending), and its derivatives by them.
    start : sequence of float, optional
        Where to begin; the prior means if not given.
    largest_step : float
        Largest change of any unknown in one step, in standard deviations of its prior: the model bends.

    Returns
    -------
    Solution
        Mean, covariance, and for each observation residual, redundancy, smallest detectable error and what the
        others expect of it.

    Raises
    ------
    Unresolvable
        No convergence, or an unknown with neither reading nor prior.

    Notes
    -----
    Expectation propagation with parallel updates; redundancy is 1 - w*v (w: precision of the site, v: posterior
    variance of the expected value), priors counted as data. Standardised residual: residual / (u*sqrt(r)).

    Examples
    --------
    >>> reading = [Observation("x", 1.0, 0.5, heavy=False)]
    >>> solution = solve(["x"], [0.0], [0.5], reading, lambda x: [(x[0], (0,), (1.0,))])
    >>> round(solution.mean[0], 9), round(solution.covariance[0][0], 9)
    (0.5, 0.125)

    References
    ----------
    .. [1] Minka, Expectation propagation for approximate Bayesian inference, UAI 2001.
    .. [2] Baarda, A testing procedure for use in geodetic networks, 1968.
    """
    precision = [1.0 / (sd * sd) for sd in prior_sd]
    x = list(prior_mean if start is None else start)
    sites = _Sites(observations)
    learned = not sites.heavy
    before: tuple[float, list[float]] | None = None  # misfit and unknowns before the last step
    for iteration in range(1, _MOST_STEPS + 1):
        rows = predict(x)
        misfit = _misfit(rows, sites, precision, prior_mean, x)
        if before is not None and not misfit <= before[0] * (1 + 1e-9) + 1e-9:
            # The step went past the valley: come back most of the way.
            x = [b + 0.3 * (v - b) for v, b in zip(x, before[1], strict=True)]
            continue
        factor, right = _normal(rows, sites, precision, prior_mean, x)
        step = _backward(factor, _forward(factor, right))
        longest = max(abs(s) / sd for s, sd in zip(step, prior_sd, strict=True))
        damp = 1.0 if longest <= largest_step else largest_step / longest
        # In a flat valley with a kink (a printed table) steps never shrink, though nothing is gained any more.
        still = longest < _STILL or (longest < _WANDERING and before is not None and before[0] - misfit < _NO_GAIN)
        before = (misfit, x)
        x = [v + damp * s for v, s in zip(x, step, strict=True)]
        if still and learned:
            break
        if (
            still or longest < _NEAR
        ) and not learned:  # the model hardly bends any more: let the readings find their weights
            learned = sites.learn(rows, prior_mean, prior_sd, before[1])
            before = None
    else:
        raise Unresolvable(
            "The joint fit did not settle: the readings contradict one another beyond what noise can be."
        )
    covariance = _covariance(factor)
    return Solution(
        tuple(names),
        tuple(x),
        tuple(map(tuple, covariance)),
        tuple(
            _fitted(o, row, covariance, site_mean, site_precision)
            for o, row, site_mean, site_precision in zip(observations, rows, sites.mean, sites.precision, strict=True)
        ),
        tuple(zip(sites.mean, sites.precision, strict=True)),
        iteration,
        sites.agreed,
    )


def _misfit(
    rows: Sequence[Row], sites: "_Sites", precision: Sequence[float], prior_mean: Sequence[float], x: Sequence[float]
) -> float:
    total = sum(p * (m - v) ** 2 for p, m, v in zip(precision, prior_mean, x, strict=True))
    for row, mean, weight in zip(rows, sites.mean, sites.precision, strict=True):
        total += weight * (mean - row[0]) ** 2
    return total


def _normal(
    rows: Sequence[Row],
    sites: "_Sites",
    precision: Sequence[float],
    prior_mean: Sequence[float],
    x: Sequence[float],
) -> tuple[list[list[float]], list[float]]:
    """Factor of the normal matrix and right side of the normal equations at x."""
    lower = [[0.0] * i + [p] for i, p in enumerate(precision)]
    right = [p * (m - v) for p, m, v in zip(precision, prior_mean, x, strict=True)]
    for (expected, indices, slopes), mean, weight in zip(rows, sites.mean, sites.precision, strict=True):
        gap = weight * (mean - expected)
        for a, i in enumerate(indices):
            slope = slopes[a]
            if slope:
                right[i] += slope * gap
                scaled = slope * weight
                line = lower[i]
                for k, other in zip(indices[: a + 1], slopes, strict=False):
                    line[k] += scaled * other
    return cholesky(lower), right


class _Sites:
    """The Gaussians that stand for the readings: mean and precision of each, refined by expectation propagation."""

    def __init__(self, observations: Sequence[Observation]) -> None:
        self.observations = observations
        self.mean = [o.value for o in observations]
        self.precision = [1.0 / (o.sd * o.sd) for o in observations]
        self.heavy = any(o.heavy for o in observations)
        self.agreed = True
        self._lessons = 0

    def learn(
        self, rows: Sequence[Row], prior_mean: Sequence[float], prior_sd: Sequence[float], x: list[float]
    ) -> bool:
        """Refine all heavy-tailed sites with the model held linear at x; return whether there was nothing to learn.

        Works on the expected values themselves, as many as there are readings. With G their covariance under the
        priors and R the variances of the sites, S = G + R gives the variance of each expected value, R - R S^-1 R,
        and its mean.
        """
        self._lessons += 1
        if self._lessons > _MOST_LESSONS:
            self.agreed = False
            return True
        size = len(prior_sd)
        scaled: list[list[float]] = []
        expected: list[float] = []  # by the priors alone
        for value, indices, slopes in rows:
            dense = [0.0] * size
            for i, slope in zip(indices, slopes, strict=True):
                dense[i] = slope * prior_sd[i]
                value += slope * (prior_mean[i] - x[i])
            scaled.append(dense)
            expected.append(value)
        prior = [[sum(map(mul, row, scaled[j])) for j in range(i + 1)] for i, row in enumerate(scaled)]
        first = 0.0
        for sweep in range(_MOST_SWEEPS):
            # Readings that contradict each other make the sites swing: smaller steps let them rest.
            share = 1.0 if sweep < 6 else 0.5
            inverse = _inverse_factor(
                cholesky([[*row[:-1], row[-1] + 1.0 / p] for row, p in zip(prior, self.precision, strict=True)])
            )
            gaps = [m - e for m, e in zip(self.mean, expected, strict=True)]
            half = [sum(map(mul, row, gaps)) for row in inverse]
            solved = [0.0] * len(gaps)
            diagonal = [0.0] * len(gaps)
            for row, h in zip(inverse, half, strict=True):
                for j, value in enumerate(row):
                    solved[j] += value * h
                    diagonal[j] += value * value
            moved = 0.0
            for k, o in enumerate(self.observations):
                if not o.heavy:
                    continue
                weight = self.precision[k]
                variance = (1.0 - diagonal[k] / weight) / weight
                change, change_natural = self._lesson(k, o, variance, self.mean[k] - solved[k] / weight, share)
                natural = weight * self.mean[k] + change_natural
                moved = max(moved, abs(change) / weight)
                self.precision[k] = weight + change
                self.mean[k] = natural / self.precision[k]
            if sweep == 0:
                first = moved
            if moved < _LEARNED:
                break
        return first < 5 * _LEARNED

    def _lesson(self, k: int, o: Observation, variance: float, now: float, share: float) -> tuple[float, float]:
        """Change of precision and of precision times mean that one reading's exact noise asks of its site."""
        weight, natural = self.precision[k], self.precision[k] * self.mean[k]
        cavity = max(1.0 / variance - weight, _REDUNDANCY_FLOOR * weight)
        pull = now / variance - natural
        noise, width = _match(o.value - pull / cavity, o.sd, cavity)
        fresh, fresh_natural = 1.0 / width - cavity, (o.value - noise) / width - pull
        if fresh < _DEAF / (o.sd * o.sd):  # it only widens what the others say: let it (nearly) go
            fresh = _DEAF / (o.sd * o.sd)
            fresh_natural = fresh * o.value
        return share * (fresh - weight), share * (fresh_natural - natural)


def _fitted(o: Observation, row: Row, covariance: list[list[float]], site_mean: float, site_precision: float) -> Fitted:
    expected, indices, slopes = row
    variance = sum(
        slope * sum(covariance[i][j] * other for j, other in zip(indices, slopes, strict=True))
        for i, slope in zip(indices, slopes, strict=True)
    )
    redundancy = min(1.0, max(0.0, 1.0 - variance / (o.sd * o.sd)))
    checked = redundancy > 1e-6
    cavity = max(1.0 / variance - site_precision, _REDUNDANCY_FLOOR * site_precision)
    return Fitted(
        o.label,
        o.value,
        expected,
        o.sd,
        redundancy,
        (o.value - expected) / (o.sd * math.sqrt(redundancy)) if checked else 0.0,
        SMALLEST_DETECTABLE * o.sd / math.sqrt(redundancy) if checked else math.inf,
        (expected / variance - site_precision * site_mean) / cavity,
        1.0 / math.sqrt(cavity),
        site_precision * o.sd * o.sd,
    )
