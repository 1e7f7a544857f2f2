"""Exchange of beliefs: against the marginal likelihood of linear models by scipy, and against what needs no thought."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawthrough.measure.exchange import exchanged

numbers = st.floats(-2.0, 2.0)
widths = st.floats(0.05, 1.0)


def _fit(numpy, design, data, noise, prior_mean, prior_sd):
    """The exact posterior of a linear model with normal noise, and ln of the evidence."""
    prior = numpy.diag(numpy.square(prior_sd))
    precision = numpy.linalg.inv(prior) + design.T @ design / noise**2
    covariance = numpy.linalg.inv(precision)
    mean = covariance @ (numpy.linalg.inv(prior) @ prior_mean + design.T @ data / noise**2)
    multivariate = pytest.importorskip("scipy.stats").multivariate_normal
    total = design @ prior @ design.T + noise**2 * numpy.eye(len(data))
    return mean, covariance, prior, multivariate(design @ prior_mean, total).logpdf(data)


@pytest.mark.independent
@settings(deadline=None, max_examples=60)
@given(st.integers(1, 4), st.integers(0, 10**6), st.floats(0.05, 1.0))
def test_against_the_evidence_of_a_linear_model(size, seed, noise):
    """scipy's multivariate normal of the data: the evidence under each belief, from two fits of their own."""
    numpy = pytest.importorskip("numpy")
    rng = numpy.random.default_rng(seed)
    design = rng.normal(size=(size + 2, size))
    data = rng.normal(size=size + 2)
    wide, narrow = rng.uniform(0.8, 2.0, size), rng.uniform(0.1, 0.7, size)
    first_mean, second_mean = rng.normal(size=size), rng.normal(size=size)
    mean, covariance, prior, first = _fit(numpy, design, data, noise, first_mean, wide)
    other_mean, _, _, second = _fit(numpy, design, data, noise, second_mean, narrow)
    found = exchanged(mean, covariance.tolist(), first_mean, prior.tolist(), second_mean, narrow)
    assert found.log_ratio == pytest.approx(second - first, rel=1e-6, abs=1e-6)
    assert found.mean == pytest.approx(other_mean, rel=1e-6, abs=1e-6)


@pytest.mark.property
@settings(deadline=None, max_examples=60)
@given(numbers, widths, numbers)
def test_the_same_belief_changes_nothing(mean, width, prior):
    found = exchanged([mean], [[0.2 * width**2]], [prior], [[width**2]], [prior], [width])
    assert found.log_ratio == pytest.approx(0.0, abs=1e-9)
    assert found.mean[0] == pytest.approx(mean)


@pytest.mark.analytic
def test_readings_that_say_nothing_speak_for_nobody():
    """Where the posterior is the prior, the evidence of every belief is the same: the readings are silent."""
    found = exchanged([0.3], [[1.0]], [0.3], [[1.0]], [-1.0], [0.4])
    assert found.log_ratio == pytest.approx(0.0, abs=1e-9)
    assert found.mean[0] == pytest.approx(-1.0)


@pytest.mark.property
@settings(deadline=None, max_examples=60)
@given(numbers, st.floats(0.05, 0.3), st.floats(0.05, 0.5))
def test_the_belief_nearer_to_what_was_read_is_the_likelier(mean, sd, width):
    near = exchanged([mean], [[sd**2]], [0.0], [[4.0]], [mean + 0.1], [width])
    far = exchanged([mean], [[sd**2]], [0.0], [[4.0]], [mean + 1.0], [width])
    assert near.log_ratio > far.log_ratio
