"""Student's distribution against closed forms and scipy."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange
from drawthrough.measure.student import coverage_factor, student_probability, student_quantile

FREEDOMS = (0.5, 1.0, 1.7, 2.0, 3.0, 5.0, 16.7, 100.0, 2345.6, 1e5, 3e6, math.inf)


@pytest.mark.analytic
@pytest.mark.parametrize("probability", [1e-6, 0.01, 0.3, 0.5, 0.77, 0.975, 0.999999])
def test_closed_forms(probability: float) -> None:
    """One degree of freedom is the Cauchy distribution, two have an algebraic quantile."""
    assert student_quantile(probability, 1.0) == pytest.approx(
        math.tan(math.pi * (probability - 0.5)), rel=1e-9, abs=1e-12
    )
    tail = 4 * probability * (1 - probability)
    assert student_quantile(probability, 2.0) == pytest.approx(
        2 * (probability - 0.5) * math.sqrt(2 / tail), rel=1e-9, abs=1e-12
    )


@pytest.mark.independent
@pytest.mark.parametrize("freedom", FREEDOMS)
def test_scipy(freedom: float) -> None:
    """Quantile and probability, from few degrees of freedom to none that count."""
    stats = pytest.importorskip("scipy.stats")
    for probability in (1e-8, 1e-4, 0.025, 0.2, 0.4999, 0.6, 0.9, 0.995, 0.9999999):
        t = float(stats.t.ppf(probability, freedom))
        assert student_quantile(probability, freedom) == pytest.approx(t, rel=3e-10)
        assert student_probability(t, freedom) == pytest.approx(float(stats.t.cdf(t, freedom)), rel=1e-9, abs=2e-12)


@pytest.mark.property
@given(st.floats(1e-6, 1 - 1e-6), st.floats(0.5, 1e7))
def test_round_trip(probability: float, freedom: float) -> None:
    """The probability of the quantile is the probability."""
    assert student_probability(student_quantile(probability, freedom), freedom) == pytest.approx(probability, abs=1e-10)


@pytest.mark.property
@given(st.floats(0.01, 0.99), st.floats(0.5, 1e5), st.floats(1.01, 10.0))
def test_fewer_degrees_are_wider(probability: float, freedom: float, more: float) -> None:
    """k falls with the degrees of freedom, down to that of the normal distribution."""
    assert coverage_factor(probability, freedom) > coverage_factor(probability, freedom * more)
    assert coverage_factor(probability, freedom) > coverage_factor(probability, math.inf)


@pytest.mark.property
@given(st.floats(-50, 50), st.floats(0.5, 1e8))
def test_symmetric(t: float, freedom: float) -> None:
    """Both tails are alike."""
    assert student_probability(t, freedom) + student_probability(-t, freedom) == pytest.approx(1.0, abs=1e-14)


@pytest.mark.property
def test_refusals() -> None:
    """A probability of 0 or 1 has no quantile, no degrees of freedom no distribution."""
    for probability in (0.0, 1.0, -0.1, math.nan):
        with pytest.raises(OutOfRange):
            student_quantile(probability, 5.0)
        with pytest.raises(OutOfRange):
            coverage_factor(probability, 5.0)
    for freedom in (0.0, -3.0, math.nan):
        with pytest.raises(OutOfRange):
            student_quantile(0.9, freedom)
    with pytest.raises(OutOfRange):
        student_probability(math.nan, 5.0)
    assert student_probability(-math.inf, 3.0) == 0.0
    assert student_probability(math.inf, 3.0) == 1.0
