"""The fitted joint model: values, intervals and budgets of whatever can be derived from its unknowns."""

import math
from collections.abc import Callable
from typing import NamedTuple

from drawthrough.judge.judgement import Contribution
from drawthrough.judge.model import Model
from drawthrough.measure.fit import Solution, solve
from drawthrough.measure.sites import Row

COVERAGE = 1.959963984540054  # two-sided 95 % of a normal
_LEAN = 1.0  # shift of the interval's ends, in standard deviations, up to which the third order is trusted
_SHOWN = 0.01  # shares of variance below this are added up as "everything else"


class Interval(NamedTuple):
    """Median, 95 % interval, and whether the posterior leans further than the interval can follow."""

    value: float
    low: float
    high: float
    leans: bool


class Derived(NamedTuple):
    """The logarithm of a derived number: its value at any unknowns, its gradient at the fit, and variance of its own.

    `extra` is the variance that no unknown of the fit carries (the noise of a wattmeter, say).
    """

    logarithm: Callable[[list[float]], float]
    gradient: dict[int, float]
    extra: tuple[tuple[str, float], ...] = ()
    linear: bool = False  # the logarithm is a weighted sum of unknowns
    natural: bool = False  # the number itself, not its logarithm, is nearly normal


class Joint:
    """The solved joint model of one visit."""

    def __init__(self, model: Model, *, patient: bool = True) -> None:
        self.model = model
        unknowns = model.unknowns
        self.solution: Solution = solve(
            unknowns.names, unknowns.mean, unknowns.sd, model.observations, model.predict, model.start, patient
        )
        self.mean = list(self.solution.mean)
        self.rows: list[Row] = model.predict(self.mean)
        self._pulls: list[list[float]] | None = None
        self._leans: dict[tuple[tuple[int, float], ...], tuple[float, float]] = {}  # by direction

    def linear(
        self, weights: dict[int, float], constant: float = 0.0, extra: tuple[tuple[str, float], ...] = ()
    ) -> Derived:
        """Return a derived number that is a weighted sum of unknowns (themselves logarithms) plus a constant."""
        weights = {index: weight for index, weight in weights.items() if weight}
        return Derived(
            lambda x: constant + sum(weight * x[index] for index, weight in weights.items()),
            weights,
            extra,
            linear=True,
        )

    def sd(self, derived: Derived) -> float:
        """Return the standard deviation of a derived logarithm."""
        return math.sqrt(self.solution.variance(derived.gradient) + sum(variance for _, variance in derived.extra))

    def interval(self, derived: Derived) -> Interval:
        """Return the median and the 95 % interval of a derived number."""
        if derived.natural:
            value = math.exp(derived.logarithm(self.mean))
            half = COVERAGE * self.sd(derived)
            return Interval(value, value * (1.0 - half), value * (1.0 + half), False)
        middle, low, high, leans = self.log_interval(derived)
        return Interval(math.exp(middle), math.exp(low), math.exp(high), leans)

    def log_interval(self, derived: Derived) -> Interval:
        """Return the median and the 95 % interval of the logarithm of a derived number.

        A posterior that leans is followed to third order: both ends of a logarithm's interval move by the same amount.
        Where it leans further than that holds, the plain interval is given and `leans` says so.
        """
        centre = derived.logarithm(self.mean)
        half = COVERAGE * self.sd(derived)
        middle, ends, spread = self._lean(derived)
        leans = abs(ends) > _LEAN
        if leans:
            middle = ends = 0.0
        shifted = centre + ends * spread
        return Interval(centre + middle * spread, shifted - half, shifted + half, leans)

    def budget(self, derived: Derived) -> tuple[Contribution, ...]:
        """Return what the variance of a derived number is made of, largest share first.

        Each reading and each prior moves the answer by its gain; the squares of those moves add up to the variance.
        """
        covariance = self.solution.covariance
        size = len(self.mean)
        moved = [sum(w * covariance[i][k] for i, w in derived.gradient.items()) for k in range(size)]
        parts: dict[str, float] = {}
        for name, move, sd in zip(self.model.unknowns.names, moved, self.model.unknowns.sd, strict=True):
            parts[f"prior: {name}"] = (move / sd) ** 2
        for observation, row, (_, precision) in zip(
            self.model.observations, self.rows, self.solution.sites, strict=True
        ):
            pull = sum(moved[i] * slope for i, slope in zip(row[1], row[2], strict=True))
            parts[observation.label] = pull * pull * precision
        for label, variance in derived.extra:
            parts[label] = parts.get(label, 0.0) + variance
        total = sum(parts.values()) or 1.0
        ranked = sorted(parts.items(), key=lambda item: -item[1])
        shown = tuple(Contribution(label=n, share=v / total) for n, v in ranked if v / total >= _SHOWN)
        rest = 1.0 - sum(c.share for c in shown)
        return (*shown, Contribution(label="everything else", share=rest)) if rest > 1e-6 else shown

    def _fall(self, x: list[float], rows: list[Row]) -> float:
        """Return minus the log density of some unknowns, but for a constant.

        The model is exact here; the noise is that of the Gaussian sites, which already hold the heavy tails' moments.
        """
        unknowns = self.model.unknowns
        total = sum(((v - m) / s) ** 2 for v, m, s in zip(x, unknowns.mean, unknowns.sd, strict=True))
        for row, (mean, precision) in zip(rows, self.solution.sites, strict=True):
            total += precision * (row[0] - mean) ** 2
        return 0.5 * total

    def _lean(self, derived: Derived) -> tuple[float, float, float]:
        """Return how far median and interval ends lie from the peak, in standard deviations, and that deviation.

        Along the line of conditional means the log posterior falls as t^2/2 + a t^3, and the width across it changes
        as exp(c t). To third order the median is shifted by c - 2 a, and the quantile of normal score z by
        c - 3 a - a (z^2 - 1).
        """
        variance = self.solution.variance(derived.gradient)
        if variance <= 0.0 or not derived.linear:
            return 0.0, 0.0, 0.0
        spread = math.sqrt(variance)
        # Several numbers lie along one direction (an airflow, and that airflow for each ton): it is followed once.
        direction = tuple(sorted((i, w / spread) for i, w in derived.gradient.items() if w))
        known = self._leans.get(direction)
        if known is None:
            known = self._leans[direction] = self._lean_along(derived, spread)
        return (*known, spread)

    def _lean_along(self, derived: Derived, spread: float) -> tuple[float, float]:
        """Follow one direction both ways: how far median and interval ends lie from the peak, in its deviations."""
        covariance = self.solution.covariance
        reach = 1.0
        line = [
            reach / spread * sum(w * covariance[i][k] for i, w in derived.gradient.items())
            for k in range(len(self.mean))
        ]
        up = [m + d for m, d in zip(self.mean, line, strict=True)]
        down = [m - d for m, d in zip(self.mean, line, strict=True)]
        try:
            above, below = self.model.predict(up), self.model.predict(down)
        except (ArithmeticError, ValueError):  # a leak of more than all the air: no normal reaches there
            return math.inf, math.inf
        skew = (self._fall(up, above) - self._fall(down, below)) / (2 * reach**3)
        widening = 0.0
        for high, low, (_, precision), pulled in zip(above, below, self.solution.sites, self._pulled(), strict=True):
            change = sum((a - b) * pulled[i] for i, a, b in zip(high[1], high[2], low[2], strict=True))
            widening -= precision * change / (2 * reach)
        return widening - 2 * skew, widening - 3 * skew - skew * (COVERAGE**2 - 1)

    def _pulled(self) -> list[list[float]]:
        """Covariance times each row's gradient: how each reading pulls at every unknown."""
        if self._pulls is None:
            covariance = self.solution.covariance
            self._pulls = [
                [sum(line[i] * slope for i, slope in zip(indices, slopes, strict=True)) for line in covariance]
                for _, indices, slopes in self.rows
            ]
        return self._pulls
