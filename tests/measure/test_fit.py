"""The solver of the joint fit: against closed forms, against scipy, and against itself with a reading left out."""

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import Unresolvable
from drawthrough.measure.dense import cholesky
from drawthrough.measure.fit import SMALLEST_DETECTABLE, solve
from drawthrough.measure.sites import Observation


def location(values, sd, prior_sd, heavy=True):
    """One unknown with a prior of mean 0, read several times."""
    readings = [Observation(f"reading {k}", value, sd, heavy) for k, value in enumerate(values)]
    return solve(["x"], [0.0], [prior_sd], readings, lambda x: [(x[0], (0,), (1.0,))] * len(values))


def line(values, heavy, sd=0.2):
    """Intercept and slope through readings at 0, 1, 2, ..."""

    def predict(x):
        return [(x[0] + k * x[1], (0, 1), (1.0, float(k))) for k in range(len(values))]

    readings = [Observation(f"at {k}", value, sd, heavy) for k, value in enumerate(values)]
    return solve(["intercept", "slope"], [0.0, 0.0], [10.0, 10.0], readings, predict)


@pytest.mark.analytic
def test_gaussian_reading_and_prior_average_by_their_precisions():
    solution = location([1.0, 2.0], 0.5, 1.0, heavy=False)
    # Conjugate normal: precision 1 + 4 + 4, mean (4*1 + 4*2)/9 (any text on Bayesian statistics).
    assert solution.mean[0] == pytest.approx(12 / 9, rel=1e-9)
    assert solution.covariance[0][0] == pytest.approx(1 / 9, rel=1e-9)


@pytest.mark.analytic
def test_a_reading_that_nothing_checks_keeps_the_variance_of_its_noise():
    solution = location([1.0], 0.5, 1e4)
    assert math.sqrt(solution.covariance[0][0]) == pytest.approx(0.5, rel=2e-3)
    assert solution.fitted[0].redundancy == pytest.approx(0.0, abs=5e-3)
    assert solution.fitted[0].standardised == pytest.approx(0.0, abs=1e-3)


@pytest.mark.analytic
def test_redundancies_of_gaussian_readings_add_up_to_readings_plus_priors_less_unknowns():
    # Baarda: the redundancies of all observations sum to their number less that of the unknowns; two vague priors
    # hold almost none of it.
    solution = line([0.1, 0.9, 2.2, 2.9, 4.1], heavy=False)
    assert sum(f.redundancy for f in solution.fitted) == pytest.approx(3.0, abs=2e-3)
    one = solution.fitted[2]
    assert one.smallest_detectable == pytest.approx(SMALLEST_DETECTABLE * 0.2 / math.sqrt(one.redundancy))


def exact_location(values, sd, prior_sd):
    """Posterior of the location by a fine grid: mean, sd and 95 % interval of Student-t readings, nu = 4."""
    numpy = pytest.importorskip("numpy")
    grid = numpy.linspace(-12.0, 12.0, 200_001)
    scale = sd / math.sqrt(2.0)
    density = -0.5 * (grid / prior_sd) ** 2
    for value in values:
        density += -2.5 * numpy.log1p(((value - grid) / scale) ** 2 / 4)
    weight = numpy.exp(density - density.max())
    weight /= weight.sum()
    mean = float((weight * grid).sum())
    spread = math.sqrt(float((weight * (grid - mean) ** 2).sum()))
    low, high = numpy.interp([0.025, 0.975], numpy.cumsum(weight), grid)
    return mean, spread, float(low), float(high)


# How far the one Gaussian misses the exact posterior, in its standard deviations: mean, and the interval's ends.
# A t-distributed reading that pulls against a prior of twice its width leans towards the prior (0.27), and a gross
# error among four readings leaves a shoulder on its side (0.51): no Gaussian can show either.
CASES = [
    ([1.0], 1.0, 0.02, 0.30),
    ([1.0, 1.2], 100.0, 0.02, 0.15),
    ([1.0, 1.2, 0.8], 1.0, 0.05, 0.20),
    ([1.0, 1.2, 0.8, 4.0], 100.0, 0.40, 0.55),
]


@pytest.mark.independent
@pytest.mark.parametrize(("values", "prior_sd", "mean_apart", "ends_apart"), CASES)
def test_heavy_tails_agree_with_the_exact_posterior(values, prior_sd, mean_apart, ends_apart):
    mean, spread, low, high = exact_location(values, 0.5, prior_sd)
    solution = location(values, 0.5, prior_sd)
    sd = math.sqrt(solution.covariance[0][0])
    assert sd == pytest.approx(spread, rel=0.05)
    assert abs(solution.mean[0] - mean) < mean_apart * spread
    assert abs(solution.mean[0] - 1.96 * sd - low) < ends_apart * spread
    assert abs(solution.mean[0] + 1.96 * sd - high) < ends_apart * spread


@pytest.mark.analytic
def test_an_outlier_loses_its_weight_and_is_named():
    solution = location([1.0, 1.1, 0.9, 1.05, 4.0], 0.2, 100.0)
    assert solution.mean[0] == pytest.approx(1.01, abs=0.05)
    assert solution.fitted[4].weight < 0.05
    assert abs(solution.fitted[4].standardised) > 5
    assert all(f.weight > 0.8 for f in solution.fitted[:4])


@pytest.mark.analytic
def test_two_readings_that_contradict_each_other_are_not_settled_and_neither_is_preferred():
    solution = location([1.0, 3.0], 0.2, 100.0)
    assert not solution.settled
    assert solution.mean[0] == pytest.approx(2.0, abs=0.01)
    assert solution.fitted[0].weight == pytest.approx(solution.fitted[1].weight, rel=0.05)


@pytest.mark.analytic
def test_what_the_others_expect_is_the_fit_without_the_reading():
    values = [0.1, 0.9, 2.6, 2.9, 4.1]
    whole = line(values, heavy=False)

    def predict(x):
        return [(x[0] + k * x[1], (0, 1), (1.0, float(k))) for k in range(5) if k != 2]

    others = [Observation("", value, 0.2, False) for k, value in enumerate(values) if k != 2]
    without = solve(["intercept", "slope"], [0.0, 0.0], [10.0, 10.0], others, predict)
    assert whole.fitted[2].expected_without == pytest.approx(without.mean[0] + 2 * without.mean[1], rel=1e-8)
    variance = without.variance({0: 1.0, 1: 2.0})
    assert whole.fitted[2].sd_without == pytest.approx(math.sqrt(variance), rel=1e-8)


@pytest.mark.independent
def test_a_curved_model_agrees_with_scipy_least_squares():
    optimize = pytest.importorskip("scipy.optimize")
    numpy = pytest.importorskip("numpy")
    chance = random.Random(3)
    times = [0.2 * k for k in range(12)]
    values = [2.0 * math.exp(-0.7 * t) + chance.gauss(0.0, 0.05) for t in times]

    def predict(x):
        rows = []
        for t in times:
            decay = math.exp(-x[1] * t)
            rows.append((x[0] * decay, (0, 1), (decay, -t * x[0] * decay)))
        return rows

    readings = [Observation(f"{t}", value, 0.05, False) for t, value in zip(times, values, strict=True)]
    ours = solve(["start", "rate"], [1.5, 0.5], [1.0, 0.5], readings, predict)

    def residuals(x):
        fitted = [(v - x[0] * math.exp(-x[1] * t)) / 0.05 for t, v in zip(times, values, strict=True)]
        return [*fitted, (x[0] - 1.5) / 1.0, (x[1] - 0.5) / 0.5]

    theirs = optimize.least_squares(residuals, [1.5, 0.5], xtol=1e-14, ftol=1e-14, gtol=1e-14)
    assert ours.mean == pytest.approx(list(theirs.x), rel=1e-6)
    covariance = numpy.linalg.inv(theirs.jac.T @ theirs.jac)
    for i in range(2):
        for j in range(2):
            assert ours.covariance[i][j] == pytest.approx(covariance[i, j], rel=2e-3)


@pytest.mark.property
@given(st.lists(st.floats(-1.0, 1.0), min_size=9, max_size=9))
def test_cholesky_factor_squares_to_its_matrix(entries):
    base = [entries[3 * i : 3 * i + 3] for i in range(3)]
    matrix = [
        [sum(base[i][k] * base[j][k] for k in range(3)) + (1.0 if i == j else 0.0) for j in range(3)] for i in range(3)
    ]
    factor = cholesky(matrix)
    for i in range(3):
        for j in range(i + 1):
            product = sum(factor[i][k] * factor[j][k] for k in range(j + 1))
            assert product == pytest.approx(matrix[i][j], rel=1e-9, abs=1e-12)


@pytest.mark.analytic
def test_a_matrix_that_is_not_positive_definite_is_refused():
    with pytest.raises(Unresolvable, match="neither reading nor prior"):
        cholesky([[1.0], [2.0, 1.0]])


@pytest.mark.property
@given(st.lists(st.floats(-2.0, 2.0), min_size=2, max_size=6), st.floats(0.1, 1.0))
def test_the_order_of_readings_does_not_matter(values, sd):
    one, other = location(values, sd, 1.0), location(values[::-1], sd, 1.0)
    assert one.mean[0] == pytest.approx(other.mean[0], rel=1e-6, abs=1e-6)
    assert one.settled == other.settled
