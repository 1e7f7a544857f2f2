"""The mean of a series that remembers, against closed forms and emcee."""

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import Unresolvable
from drawthrough.measure.series import autocorrelation, autocorrelation_time, mean_of
from drawthrough.measure.student import coverage_factor


def first_order(count: int, r: float, seed: int) -> list[float]:
    """A stationary first-order series with unit innovations and true mean 0."""
    source = random.Random(seed)
    value = source.gauss(0.0, 1.0 / math.sqrt(1.0 - r * r))
    found = []
    for _ in range(count):
        found.append(value)
        value = r * value + source.gauss(0.0, 1.0)
    return found


@pytest.mark.analytic
@pytest.mark.parametrize("r", [0.0, 0.3, 0.6, 0.8, 0.95])
def test_time_of_a_first_order_series(r: float) -> None:
    """(1 + r)/(1 - r), within three standard errors sqrt(2 (2 W + 1)/n) of the estimate over its window W."""
    count = 40_000
    time = (1 + r) / (1 - r)
    error = math.sqrt(2 * (2 * 5 * time + 1) / count)
    assert autocorrelation_time(first_order(count, r, 11)) == pytest.approx(time, rel=3 * error)


@pytest.mark.analytic
@pytest.mark.parametrize("r", [0.0, 0.5, 0.8])
def test_uncertainty_of_a_first_order_mean(r: float) -> None:
    """The variance of the mean of n readings in closed form, against the mean square of the estimates of 200 series.

    Of 2,000 readings. The window of the sum leaves out a tail: at 500 readings with r = 0.8, 55 autocorrelation times,
    the uncertainty comes out 11 % short.
    """
    count = 2000
    variance = 1.0 / (1 - r * r)
    exact = variance / count * ((1 + r) / (1 - r) - 2 * r * (1 - r**count) / (count * (1 - r) ** 2))
    squares = [mean_of(first_order(count, r, seed)).uncertainty ** 2 for seed in range(200)]
    ratio = math.sqrt(math.fsum(squares) / len(squares) / exact)
    assert ratio == pytest.approx(1.0, abs=0.05)


@pytest.mark.analytic
@pytest.mark.parametrize(("count", "r", "least"), [(10, 0.0, 0.93), (10, 0.6, 0.86), (20, 0.6, 0.87), (60, 0.8, 0.87)])
def test_intervals_hold_the_true_mean(count: int, r: float, least: float) -> None:
    """Share of 95 % intervals that hold the true mean; counting neighbours as independent would hold far fewer."""
    held = naive = 0
    for seed in range(600):
        mean = mean_of(first_order(count, r, seed))
        k = coverage_factor(0.95, max(mean.effective - 1.0, 1.0))
        held += abs(mean.value) <= k * mean.uncertainty
        naive += abs(mean.value) <= coverage_factor(0.95, count - 1.0) * mean.scatter / math.sqrt(count)
    assert held / 600 >= least
    if r >= 0.6:
        assert naive < 0.85 * held


@pytest.mark.independent
@pytest.mark.parametrize("r", [0.0, 0.4, 0.9])
def test_emcee(r: float) -> None:
    """The same estimate as emcee's with the same window, to rounding."""
    autocorr = pytest.importorskip("emcee.autocorr")
    numpy = pytest.importorskip("numpy")
    values = first_order(6000, r, 4)
    theirs = float(autocorr.integrated_time(numpy.array(values), c=5, tol=0)[0])
    assert autocorrelation_time(values) == pytest.approx(max(theirs, 1.0), rel=1e-9)
    assert r == 0.0 or theirs > 2.0


@pytest.mark.independent
def test_autocorrelation_against_numpy() -> None:
    """Lag by lag, as a full correlation gives it."""
    numpy = pytest.importorskip("numpy")
    values = numpy.array(first_order(500, 0.7, 8))
    rest = values - values.mean()
    full = numpy.correlate(rest, rest, "full")[499:] / (rest @ rest)
    assert autocorrelation(list(values), 30) == pytest.approx(list(full[:31]))


@pytest.mark.analytic
def test_mean_and_line() -> None:
    """A straight line has its slope, and counts for two independent readings; white noise for what it is."""
    line = mean_of([72.0 + 0.1 * i for i in range(11)])
    assert (line.value, line.slope, line.slope_uncertainty) == pytest.approx((72.5, 0.1, 0.0))
    assert line.drift == pytest.approx(1.1)
    assert line.effective == 2.0
    assert line.uncertainty == pytest.approx(0.1 * math.sqrt(10.0))  # s about the mean, over the root of 2 - 1
    plain = mean_of([1.0, -1.0, 1.0, -1.0, 1.0, -1.0])
    assert plain.effective == 6.0
    assert plain.uncertainty == pytest.approx(math.sqrt(1.0 / 5.0))


@pytest.mark.property
@given(st.lists(st.floats(-1e3, 1e3), min_size=3, max_size=40), st.floats(-1e3, 1e3), st.floats(0.01, 100.0))
def test_shift_and_scale(values: list[float], shift: float, scale: float) -> None:
    """Another zero moves the mean alone, another unit scales all of it; at least two and at most n readings count."""
    if max(values) - min(values) < 1e-6 * max(1.0, *map(abs, values)):
        return
    one, other = mean_of(values), mean_of([shift + scale * value for value in values])
    slack = 1e-6 * scale * (max(values) - min(values)) + 1e-9 * abs(shift)
    assert other.value == pytest.approx(shift + scale * one.value, rel=1e-9, abs=slack)
    assert other.scatter == pytest.approx(scale * one.scatter, rel=1e-6, abs=slack)
    assert 2.0 * (1 - 1e-12) <= max(one.effective, 2.0) <= len(values)
    assert one.uncertainty <= one.scatter * (1 + 1e-9)
    assert one.uncertainty >= one.scatter / math.sqrt(len(values)) * (1 - 1e-9)


@pytest.mark.property
def test_equal_readings_and_refusals() -> None:
    """Equal readings have no scatter and no autocorrelation; too few have no mean worth its name."""
    assert mean_of([5.0, 5.0, 5.0])[:3] == (5.0, 0.0, 0.0)
    for values in ([], [1.0], [2.0, 2.0]):
        with pytest.raises(Unresolvable):
            autocorrelation(values, 1)
    for values in ([1.0, 2.0], [1.0, math.nan, 2.0], [1.0, math.inf, 2.0]):
        with pytest.raises(Unresolvable):
            mean_of(values)
