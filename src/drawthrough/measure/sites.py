"""Readings with heavy-tailed noise as Gaussians: expectation propagation over Student-t factors."""

import math
from collections.abc import Sequence
from operator import mul
from typing import NamedTuple

from drawthrough.measure.dense import cholesky, inverse_factor

# Student-t noise of 4 degrees of freedom as a mixture of normals: precision factors drawn from Gamma(2, rate 2).
# The trapezium rule in the logarithm of the factor converges geometrically; 19 nodes hold the moments to 1e-4.
_STEP = 0.5
_NODES = tuple(
    (0.5 / math.exp(t), 4.0 * math.exp(2 * t - 2 * math.exp(t)) * _STEP) for t in (k * _STEP for k in range(-14, 5))
)
REDUNDANCY_FLOOR = 1e-9  # of the precision that the others give a reading, over its own: below it is none
_MOST_SWEEPS = 25
_ROUNDED = 1e-12  # of a variance that others leave of a reading's own: below it is rounding
_LEARNED = 1e-2  # a change of a site's precision below this is none
# Two readings that contradict each other, with nothing to judge between them, make two peaks: no single Gaussian can
# settle on both. After this many lessons the sites keep what they have learned, and `settled` says so.
MOST_LESSONS = 8
_DEAF = 1e-3  # smallest precision of a site, over that of a normal with the same standard deviation


Row = tuple[float, Sequence[int], Sequence[float]]


class Observation(NamedTuple):
    """One reading as the solver sees it."""

    label: str
    value: float
    sd: float  # standard deviation of its own noise, in the unit of `value`
    heavy: bool = True  # Student-t noise (4 degrees of freedom) instead of Gaussian


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


class Sites:
    """The Gaussians that stand for the readings: mean and precision of each, refined by expectation propagation."""

    def __init__(self, observations: Sequence[Observation], lessons: int = MOST_LESSONS) -> None:
        self.observations = observations
        self.mean = [o.value for o in observations]
        self.precision = [1.0 / (o.sd * o.sd) for o in observations]
        self.heavy = any(o.heavy for o in observations)
        self.agreed = True
        self._lessons, self._most = 0, lessons

    def let_go(self, k: int) -> None:
        """Take a reading's weight away; it may come back when the sites learn."""
        self.precision[k] = _DEAF / self.observations[k].sd ** 2

    def learn(
        self, rows: Sequence[Row], prior_mean: Sequence[float], prior_sd: Sequence[float], x: list[float]
    ) -> bool:
        """Refine all heavy-tailed sites with the model held linear at x; return whether there was nothing to learn.

        Works on the expected values themselves, as many as there are readings. With G their covariance under the
        priors and R the variances of the sites, S = G + R gives the variance of each expected value, R - R S^-1 R,
        and its mean.
        """
        self._lessons += 1
        if self._lessons > self._most:
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
            inverse = inverse_factor(
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
                variance = max(1.0 - diagonal[k] / weight, _ROUNDED) / weight
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
        cavity = max(1.0 / variance - weight, REDUNDANCY_FLOOR * weight)
        pull = now / variance - natural
        noise, width = _match(o.value - pull / cavity, o.sd, cavity)
        fresh, fresh_natural = 1.0 / width - cavity, (o.value - noise) / width - pull
        if fresh < _DEAF / (o.sd * o.sd):  # it only widens what the others say: let it (nearly) go
            fresh = _DEAF / (o.sd * o.sd)
            fresh_natural = fresh * o.value
        return share * (fresh - weight), share * (fresh_natural - natural)
