"""Linear propagation and Monte Carlo, against closed forms, the `uncertainties` library and each other."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.measure.budget import matrix
from drawthrough.measure.montecarlo import Draws, draw, shortest_interval, symmetric_interval
from drawthrough.measure.propagate import Input, propagate, propagate_joint, sensitivities
from drawthrough.physics.moist_air import humidity_ratio_from_relative_humidity


def strip_airflow(volts: float, amps: float, on: float, off: float) -> float:
    """An airflow by strip heat against a zero, without units' factors."""
    return volts * amps / (1.006e3 * 1.19 * (on - off))


INPUTS = (
    Input("volts", 236.0, 1.1), Input("amps", 39.4, 0.35), Input("on", 15.9, 0.21), Input("off", 0.7, 0.19),
)  # fmt: skip
BETWEEN = {("on", "off"): 0.8, ("volts", "amps"): -0.2}


@pytest.mark.analytic
def test_product_and_power() -> None:
    """Relative uncertainties of a product add in squares, each times its power (GUM 5.1.6)."""
    found = propagate(lambda x, y: x**2 / math.sqrt(y), [Input("x", 3.0, 0.03), Input("y", 5.0, 0.1)])
    assert found.uncertainty / found.value == pytest.approx(math.hypot(2 * 0.01, 0.5 * 0.02), rel=1e-5)
    assert [line.label for line in found.budget.lines] == ["x", "y"]


@pytest.mark.analytic
def test_given_derivatives() -> None:
    """Exact derivatives and differences agree; derivatives are taken as they are given."""
    exact = propagate(lambda x: x**3, [Input("x", 2.0, 0.01)], derivatives=[12.0])
    assert exact.uncertainty == 0.12
    assert propagate(lambda x: x**3, [Input("x", 2.0, 0.01)]).uncertainty == pytest.approx(0.12, rel=1e-6)


@pytest.mark.independent
def test_uncertainties_library() -> None:
    """The same value, uncertainty and shares as a library that differentiates exactly."""
    library = pytest.importorskip("uncertainties")
    names = [one.label for one in INPUTS]
    covariance = [
        [a.uncertainty * b.uncertainty * r for b, r in zip(INPUTS, row, strict=True)]
        for a, row in zip(INPUTS, matrix(names, BETWEEN), strict=True)
    ]
    values = library.correlated_values([one.value for one in INPUTS], covariance)
    theirs = strip_airflow(*values)
    ours = propagate(strip_airflow, INPUTS, BETWEEN)
    assert ours.value == pytest.approx(theirs.nominal_value, rel=1e-14)
    assert ours.uncertainty == pytest.approx(theirs.std_dev, rel=1e-6)
    free = [library.ufloat(one.value, one.uncertainty, one.label) for one in INPUTS]
    parts = strip_airflow(*free).error_components()
    alone = propagate(strip_airflow, INPUTS)
    for variable, part in parts.items():
        line = next(line for line in alone.budget.lines if line.label == variable.tag)
        assert line.effect == pytest.approx(part, rel=1e-5)
    assert sorted(names) == sorted(line.label for line in alone.budget.lines)


@pytest.mark.independent
def test_joint_results_against_the_library() -> None:
    """Covariance of two results of the same correlated inputs; example H.2 with full digits (u(X) = 0.2956)."""
    library = pytest.importorskip("uncertainties")
    umath = pytest.importorskip("uncertainties.umath")
    from tests.published import adapters_measure as h2

    inputs = [Input(n, *h2._mean(v)) for n, v in (("v", h2.VOLTS), ("i", h2.AMPS), ("p", h2.PHASE))]
    pairs = {("v", "i"): ("volts", "amps"), ("v", "p"): ("volts", "phase"), ("i", "p"): ("amps", "phase")}
    between = {key: h2.correlation_of_means(*pair) for key, pair in pairs.items()}
    r = [[1.0, between["v", "i"], between["v", "p"]], [0, 1.0, between["i", "p"]], [0, 0, 1.0]]
    full = [[r[min(i, j)][max(i, j)] for j in range(3)] for i in range(3)]
    values = library.correlated_values_norm([(one.value, one.uncertainty) for one in inputs], full)
    v, i, p = values
    theirs = [v / i * umath.cos(p), v / i * umath.sin(p), v / i]
    between_theirs = library.correlation_matrix(theirs)
    ours = propagate_joint(
        {
            "r": lambda v, i, p: v / i * math.cos(p),
            "x": lambda v, i, p: v / i * math.sin(p),
            "z": lambda v, i, p: v / i,
        },
        inputs,
        between,
    )
    for a, (name, one) in enumerate(zip("rxz", theirs, strict=True)):
        assert ours.results[name].uncertainty == pytest.approx(one.std_dev, rel=1e-6)
        for b in range(a + 1, 3):
            assert ours.correlations[name, "rxz"[b]] == pytest.approx(float(between_theirs[a, b]), abs=1e-6)
    assert ours.results["x"].uncertainty == pytest.approx(0.29558, abs=1e-5)


@pytest.mark.independent
def test_monte_carlo_agrees_with_the_linear_law() -> None:
    """Where the function is nearly straight, both give the same uncertainty, correlation included."""
    linear = propagate(strip_airflow, INPUTS, BETWEEN)
    draws = draw(strip_airflow, INPUTS, BETWEEN, draws=40_000, seed=7)
    assert draws.uncertainty == pytest.approx(linear.uncertainty, rel=0.02)
    assert draws.mean == pytest.approx(linear.value, abs=0.05 * linear.uncertainty)
    interval = symmetric_interval(draws)
    assert interval.width == pytest.approx(2 * 1.96 * linear.uncertainty, rel=0.03)


@pytest.mark.independent
def test_through_physics() -> None:
    """An engine function takes part as it is; its slope is that of a fine difference."""
    inputs = [Input("dry_bulb", 295.0, 0.2), Input("relative_humidity", 0.5, 0.02), Input("pressure", 1.0e5, 50.0)]
    found = propagate(humidity_ratio_from_relative_humidity, inputs)
    above, below = (humidity_ratio_from_relative_humidity(295.0, phi, 1e5) for phi in (0.5001, 0.4999))
    fine = (above - below) / 2e-4
    line = found.budget.lines[0]
    assert line.label == "relative_humidity"
    assert line.sensitivity == pytest.approx(fine, rel=1e-4)


@pytest.mark.analytic
@pytest.mark.parametrize(
    ("shape", "freedom", "spread", "end"),
    [
        ("normal", math.inf, 1.0, 1.959964),
        ("rectangular", math.inf, 1.0, math.sqrt(3) * 0.95),
        ("triangular", math.inf, 1.0, math.sqrt(6) * (1 - math.sqrt(0.05))),
        ("t", 5.0, math.sqrt(5 / 3), 2.570582),
    ],
)
def test_shapes(shape: str, freedom: float, spread: float, end: float) -> None:
    """Standard deviation and 95 % ends of each shape, within four standard errors of 40,000 draws."""
    draws = draw(lambda x: x, [Input("x", 0.0, 1.0, freedom, shape)], draws=40_000, seed=3)  # type: ignore[arg-type]
    assert draws.uncertainty == pytest.approx(spread, rel=0.03)
    assert symmetric_interval(draws).high == pytest.approx(end, rel=0.04)
    assert symmetric_interval(draws).low == pytest.approx(-end, rel=0.04)
    assert draws.mean == pytest.approx(0.0, abs=0.03)


@pytest.mark.analytic
def test_shortest_interval_of_a_skewed_result() -> None:
    """1 - exp: the shortest interval of an exponential begins at zero and ends at -ln(1 - p)."""
    draws = draw(
        lambda x: -math.log(0.5 + x / math.sqrt(12)), [Input("x", 0.0, 1.0 - 1e-9, shape="rectangular")], draws=40_000
    )
    found = shortest_interval(draws)
    assert found.low == pytest.approx(0.0, abs=0.02)
    assert found.high == pytest.approx(-math.log(0.05), rel=0.04)
    assert found.width < symmetric_interval(draws).width


@pytest.mark.property
@given(
    st.tuples(*[st.tuples(st.floats(-1e3, 1e3), st.floats(1e-3, 1e2)) for _ in range(3)]),
    st.tuples(*[st.floats(-50, 50) for _ in range(3)]),
)
def test_a_straight_function_is_exact(
    inputs: tuple[tuple[float, float], ...], slopes: tuple[float, float, float]
) -> None:
    """Differences of a linear function are its slopes."""
    found = sensitivities(
        lambda x, y, z: slopes[0] * x + slopes[1] * y + slopes[2] * z,
        [Input(str(i), value, uncertainty) for i, (value, uncertainty) in enumerate(inputs)],
    )
    assert found == pytest.approx(slopes, rel=1e-4, abs=1e-4)


@pytest.mark.property
@given(st.integers(0, 2**32))
def test_same_seed_same_draws(seed: int) -> None:
    """Draws are repeatable, rising, and their shortest interval is never longer than the symmetric one."""
    inputs = [Input("x", 1.0, 0.2), Input("y", 2.0, 0.1, shape="rectangular")]
    function: Callable[..., float] = lambda x, y: x * y  # noqa: E731
    first = draw(function, inputs, draws=1000, seed=seed)
    assert first == draw(function, inputs, draws=1000, seed=seed)
    assert list(first.values) == sorted(first.values)
    assert shortest_interval(first).width <= symmetric_interval(first).width


@pytest.mark.property
@given(st.floats(-1.0, 1.0))
def test_correlation_of_draws(r: float) -> None:
    """The variance of a sum of two correlated draws is 2 + 2 r, also at both ends."""
    draws = draw(lambda x, y: x + y, [Input("x", 0, 1.0), Input("y", 0, 1.0)], {("x", "y"): r}, draws=4000, seed=5)
    assert draws.uncertainty**2 == pytest.approx(2 + 2 * r, rel=0.1, abs=1e-9)


@pytest.mark.property
def test_refusals() -> None:
    """Nothing is guessed where there is no answer."""
    one = [Input("x", 0.0, 1.0)]
    for fault in (
        lambda: propagate(lambda x: math.nan, one),
        lambda: propagate(lambda x: math.inf if x else 1.0, one),
        lambda: propagate(lambda x: x, one, derivatives=[]),
        lambda: draw(lambda x: math.nan, one),
        lambda: draw(lambda x, y: x, [*one, Input("y", 0, 1.0, shape="rectangular")], {("x", "y"): 0.5}),
        lambda: draw(
            lambda x, y, z: x, [*one, Input("y", 0, 1.0), Input("z", 0, 1.0)],
            {("x", "y"): -0.9, ("y", "z"): -0.9, ("x", "z"): -0.9},
        ),
        lambda: draw(
            lambda x, y, z: x, [*one, Input("y", 0, 1.0), Input("z", 0, 1.0)],
            {("x", "y"): 1.0, ("y", "z"): 0.0, ("x", "z"): 1.0},
        ),
    ):  # fmt: skip
        with pytest.raises(Unresolvable):
            fault()
    for fault in (
        lambda: draw(lambda x: x, one, draws=10),
        lambda: draw(lambda x: x, [Input("x", 0.0, -1.0)]),
        lambda: draw(lambda x: x, [Input("x", 0.0, 1.0, 2.0, "t")]),
        lambda: symmetric_interval(Draws(tuple(map(float, range(1000)))), 1.0),
        lambda: shortest_interval(Draws(tuple(map(float, range(1000)))), 0.0),
    ):
        with pytest.raises(OutOfRange):
            fault()


@pytest.mark.property
def test_what_is_known_exactly_has_no_share() -> None:
    """An input without uncertainty is not moved, and correlates with nothing."""
    asked = []

    def function(x: float, y: float) -> float:
        asked.append(x)
        return x + y

    found = propagate_joint({"f": function, "x": lambda x, y: x}, [Input("x", 1.0, 0.0), Input("y", 2.0, 0.1)])
    assert set(asked) == {1.0}
    assert found.results["f"].budget.share("x") == 0.0
    assert found.correlations["f", "x"] == 0.0
