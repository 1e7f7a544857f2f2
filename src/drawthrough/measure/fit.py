"""Small dense least squares with priors: many unknowns, few readings, some of them wrong.

The posterior of unknowns with Gaussian priors, seen through readings with heavy-tailed noise, is approximated by one
Gaussian. The model is linearised anew at each step (Gauss-Newton); each heavy-tailed reading is represented by a
Gaussian site whose mean and precision match the moments of the exact factor (expectation propagation), so that an
outlier loses its weight, and a reading that nothing checks keeps the variance of its noise.
"""

import math
from collections.abc import Callable, Sequence
from typing import NamedTuple

from drawthrough.errors import Unresolvable
from drawthrough.measure import dense
from drawthrough.measure.dense import backward, cholesky, forward
from drawthrough.measure.sites import MOST_LESSONS, REDUNDANCY_FLOOR, Observation, Row, Sites

SMALLEST_DETECTABLE = 4.13  # non-centrality for a false alarm of 0.1 % and a power of 80 % (Baarda)
_STILL = 1e-3  # a step below this, in standard deviations of the priors, is none
_WANDERING = 0.5  # a step below this that gains nothing is no progress
_NO_GAIN = 1e-3  # a fall of the misfit (a sum of squares) below this is none
_NEAR = 0.1  # a step below this leaves the model nearly linear
_LARGEST = 2.0  # step of any unknown, in standard deviations of its prior, beyond which the model bends too much
_MOST_STEPS = 100
_FEW_LESSONS = 2  # of a fit that is not to take long
_MOST_TRIES = 20  # steps granted to a trial without one reading: the right one needs few

Predict = Callable[[list[float]], list[Row]]


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


def solve(
    names: Sequence[str],
    prior_mean: Sequence[float],
    prior_sd: Sequence[float],
    observations: Sequence[Observation],
    predict: Predict,
    start: Sequence[float] | None = None,
    patient: bool = True,
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
    patient : bool
        Whether each reading is let go in turn where all of them together do not settle, and whether the readings take
        the time to find their weights; without it the answer is rougher where they contradict each other, and quicker.

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
    Expectation propagation with parallel updates [1]_. Each reading is seen from all others, priors counted as data:
    with c the uncertainty of what they expect, its redundancy is u^2/(u^2 + c^2) and its standardised residual the gap
    over sqrt(u^2 + c^2); for normal noise these are the textbook's 1 - v/u^2 and e/(u sqrt(r)) [2]_.

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
    approach = _Approach(names, prior_mean, prior_sd, observations, predict)
    begin = list(prior_mean if start is None else start)
    try:
        return approach.run(begin, Sites(observations, MOST_LESSONS if patient else _FEW_LESSONS))
    except Unresolvable:
        if not patient:
            raise
        # One gross error can drag the first steps to where nothing fits. Let each reading go in turn, and begin again
        # from where the others agree best: there the heavy tails decide which of them was wrong.
        found = approach.without_one(begin)
        if found is None:
            raise
        return approach.run(*found)


class _Approach:
    """The steps from a first guess to the posterior."""

    def __init__(
        self,
        names: Sequence[str],
        prior_mean: Sequence[float],
        prior_sd: Sequence[float],
        observations: Sequence[Observation],
        predict: Predict,
    ) -> None:
        self.names, self.observations, self.predict = names, observations, predict
        self.prior_mean, self.prior_sd = prior_mean, prior_sd
        self.precision = [1.0 / (sd * sd) for sd in prior_sd]

    def run(self, x: list[float], sites: Sites) -> Solution:
        """Step until nothing moves, the sites learning on the way."""
        x, rows, factor, iterations, _ = self._steps(x, sites, learn=sites.heavy)
        return _solution(self.names, x, sites, self.observations, rows, factor, iterations)

    def without_one(self, begin: list[float]) -> tuple[list[float], Sites] | None:
        """Return unknowns and sites from which one reading has been let go, so that the others agree best."""
        best: tuple[float, list[float], Sites] | None = None
        for k, observation in enumerate(self.observations):
            if not observation.heavy:
                continue
            sites = Sites(self.observations)
            sites.let_go(k)
            try:
                x, _, _, _, misfit = self._steps(begin, sites, learn=False, most=_MOST_TRIES)
            except Unresolvable:
                continue
            if best is None or misfit < best[0]:
                best = (misfit, x, sites)
        return None if best is None else best[1:]

    def _steps(
        self, x: list[float], sites: Sites, *, learn: bool, most: int = _MOST_STEPS
    ) -> tuple[list[float], list[Row], list[list[float]], int, float]:
        learned = not learn
        before: tuple[float, list[float]] | None = None  # misfit and unknowns before the last step
        iterations = 0
        while iterations < most:
            iterations += 1
            try:
                rows = self.predict(x)
                misfit = _misfit(rows, sites, self.precision, self.prior_mean, x)
            except (ArithmeticError, ValueError):  # so far off that the model has no number for it
                misfit = math.inf
            if before is None and not math.isfinite(misfit):
                break
            if before is not None and not misfit <= before[0] * (1 + 1e-9) + 1e-9:
                # The step went past the valley: come back most of the way.
                x = [b + 0.3 * (v - b) for v, b in zip(x, before[1], strict=True)]
                continue
            factor, right = _normal(rows, sites, self.precision, self.prior_mean, x)
            step = backward(factor, forward(factor, right))
            longest = max(abs(s) / sd for s, sd in zip(step, self.prior_sd, strict=True))
            damp = 1.0 if longest <= _LARGEST else _LARGEST / longest
            # In a flat valley with a kink (a printed table) steps never shrink, though nothing is gained any more.
            still = longest < _STILL or (longest < _WANDERING and before is not None and before[0] - misfit < _NO_GAIN)
            before = (misfit, x)
            x = [v + damp * s for v, s in zip(x, step, strict=True)]
            if still and learned:
                return x, rows, factor, iterations, misfit
            # The model hardly bends any more: let the readings find their weights.
            if (still or longest < _NEAR) and not learned:
                learned = sites.learn(rows, self.prior_mean, self.prior_sd, before[1])
                before = None
        raise Unresolvable(
            "The joint fit did not settle: the readings contradict one another beyond what noise can be."
        )


def _solution(
    names: Sequence[str],
    x: list[float],
    sites: Sites,
    observations: Sequence[Observation],
    rows: Sequence[Row],
    factor: list[list[float]],
    iterations: int,
) -> Solution:
    covariance = dense.covariance(factor)
    return Solution(
        tuple(names),
        tuple(x),
        tuple(map(tuple, covariance)),
        tuple(
            _fitted(o, row, covariance, site_mean, site_precision)
            for o, row, site_mean, site_precision in zip(observations, rows, sites.mean, sites.precision, strict=True)
        ),
        tuple(zip(sites.mean, sites.precision, strict=True)),
        iterations,
        sites.agreed,
    )


def _misfit(
    rows: Sequence[Row], sites: Sites, precision: Sequence[float], prior_mean: Sequence[float], x: Sequence[float]
) -> float:
    total = sum(p * (m - v) ** 2 for p, m, v in zip(precision, prior_mean, x, strict=True))
    for row, mean, weight in zip(rows, sites.mean, sites.precision, strict=True):
        total += weight * (mean - row[0]) ** 2
    return total


def _normal(
    rows: Sequence[Row],
    sites: Sites,
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


def _fitted(o: Observation, row: Row, covariance: list[list[float]], site_mean: float, site_precision: float) -> Fitted:
    expected, indices, slopes = row
    variance = sum(
        slope * sum(covariance[i][j] * other for j, other in zip(indices, slopes, strict=True))
        for i, slope in zip(indices, slopes, strict=True)
    )
    # Seen from all the others: their expectation of it, and its uncertainty. For normal noise these are the textbook's
    # redundancy 1 - v/u^2 and standardised residual e/(u sqrt(r)); they keep their meaning where a reading was let go.
    cavity = max(1.0 / variance - site_precision, REDUNDANCY_FLOOR * site_precision)
    without = (expected / variance - site_precision * site_mean) / cavity
    redundancy = 1.0 / (1.0 + 1.0 / (cavity * o.sd * o.sd))
    checked = redundancy > 1e-6
    return Fitted(
        o.label,
        o.value,
        expected,
        o.sd,
        redundancy,
        (o.value - without) / math.sqrt(o.sd * o.sd + 1.0 / cavity) if checked else 0.0,
        SMALLEST_DETECTABLE * o.sd / math.sqrt(redundancy) if checked else math.inf,
        without,
        1.0 / math.sqrt(cavity),
        site_precision * o.sd * o.sd,
    )
