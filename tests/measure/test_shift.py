"""Shifts of belief, against the same integrals done without any of their algebra."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawthrough.measure.shift import likelihood, sized, usual


def _problem(np, seed: int, numbers: int, readings: int):  # type: ignore[no-untyped-def]
    random = np.random.default_rng(seed)
    slopes = random.normal(size=(readings, numbers))
    noise = random.uniform(0.2, 1.0, readings)
    usual_mean, usual_sd = random.normal(size=numbers), random.uniform(0.1, 1.0, numbers)
    shown = random.normal(size=readings)
    return slopes, noise, shown, usual_mean, usual_sd


@pytest.mark.independent
@pytest.mark.parametrize(("seed", "numbers", "readings"), [(1, 2, 1), (2, 3, 3), (3, 5, 2), (4, 4, 9)])
def test_evidence_of_sized_shifts_is_that_of_the_whole_normal(seed: int, numbers: int, readings: int) -> None:
    """Against the density of the readings with all unknowns integrated out, by scipy."""
    np, stats = pytest.importorskip("numpy"), pytest.importorskip("scipy.stats")
    slopes, noise, shown, mean, sd = _problem(np, seed, numbers, readings)
    wide_mean, wide = np.full(numbers, 0.3), np.full(numbers, 3.0)
    precision = np.diag(wide**-2.0) + slopes.T @ np.diag(noise**-2.0) @ slopes
    covariance = np.linalg.inv(precision)
    fitted = covariance @ (wide_mean / wide**2 + slopes.T @ (shown / noise**2))
    alone = likelihood(fitted.tolist(), covariance.tolist(), wide_mean.tolist(), np.diag(wide**2.0).tolist())
    normal = usual(alone, mean.tolist(), sd.tolist())

    directions = np.random.default_rng(seed + 10).normal(size=(2, numbers))
    size_mean, size_sd = np.array([0.8, -0.4]), np.array([0.3, 0.5])
    gradient = directions @ np.array(normal.gradient)
    curvature = directions @ np.array(normal.curvature) @ directions.T
    made = sized(gradient.tolist(), curvature.tolist(), size_mean.tolist(), size_sd.tolist())

    def log_evidence(centre, spread) -> float:  # type: ignore[no-untyped-def]
        return float(
            stats.multivariate_normal(slopes @ centre, slopes @ spread @ slopes.T + np.diag(noise**2)).logpdf(shown)
        )

    shifted = log_evidence(
        mean + directions.T @ size_mean, np.diag(sd**2) + directions.T @ np.diag(size_sd**2) @ directions
    )
    assert made.log_ratio == pytest.approx(shifted - log_evidence(mean, np.diag(sd**2)), abs=1e-8)

    # The sizes, by regressing readings on sizes and numbers together.
    both = np.hstack([slopes @ directions.T, slopes])
    joint = np.linalg.inv(both.T @ np.diag(noise**-2.0) @ both + np.diag(np.concatenate([size_sd, sd]) ** -2.0))
    sizes = joint @ (both.T @ (shown / noise**2) + np.concatenate([size_mean / size_sd**2, mean / sd**2]))
    assert made.mean == pytest.approx(tuple(sizes[:2]), abs=1e-8)
    assert np.array(made.covariance) == pytest.approx(joint[:2, :2], abs=1e-8)
    # And the numbers themselves, under the usual beliefs and how they follow a shift.
    plain = np.linalg.inv(slopes.T @ np.diag(noise**-2.0) @ slopes + np.diag(sd**-2.0))
    assert np.array(normal.covariance) == pytest.approx(plain, abs=1e-8)
    moved = plain @ (slopes.T @ (shown / noise**2) + (mean + directions[0]) / sd**2)
    assert np.array(normal.mean) + np.array(normal.follow) @ directions[0] == pytest.approx(moved, abs=1e-8)


@pytest.mark.property
@settings(max_examples=40, deadline=None)
@given(
    gradient=st.floats(-5.0, 5.0), curvature=st.floats(0.0, 20.0), mean=st.floats(-2.0, 2.0), sd=st.floats(0.05, 2.0)
)
def test_one_size_written_out_is_the_general_form(gradient: float, curvature: float, mean: float, sd: float) -> None:
    one = sized([gradient], [[curvature]], [mean], [sd])
    unseen = sized([gradient, 0.0], [[curvature, 0.0], [0.0, 0.0]], [mean, 1.0], [sd, 0.5])
    assert unseen.log_ratio == pytest.approx(one.log_ratio, abs=1e-9 + 1e-9 * abs(one.log_ratio))
    assert unseen.mean[0] == pytest.approx(one.mean[0], abs=1e-9)


@pytest.mark.property
@settings(max_examples=40, deadline=None)
@given(gradient=st.floats(-5.0, 5.0), curvature=st.floats(0.0, 20.0), mean=st.floats(-2.0, 2.0))
def test_a_size_known_for_certain_is_the_plain_parabola(gradient: float, curvature: float, mean: float) -> None:
    made = sized([gradient], [[curvature]], [mean], [1e-4])
    assert made.log_ratio == pytest.approx(gradient * mean - 0.5 * curvature * mean * mean, abs=1e-4)
    assert math.isfinite(made.covariance[0][0])


@pytest.mark.analytic
def test_beliefs_given_back_leave_no_reading() -> None:
    nothing = likelihood([0.2, -0.1], [[0.5, 0.0], [0.0, 2.0]], [0.2, -0.1], [[0.5, 0.0], [0.0, 2.0]])
    normal = usual(nothing, [1.0, 2.0], [0.3, 0.4])
    assert normal.gradient == pytest.approx((0.0, 0.0), abs=1e-12)
    assert normal.mean == pytest.approx((1.0, 2.0))
    assert sized([0.0], [[0.0]], [0.7], [0.2]).log_ratio == pytest.approx(0.0)
