"""Traverse points and what they average."""

from collections.abc import Callable
from math import isclose, log, pi, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics.traverse import (
    CIRCULAR,
    Rule,
    average_velocity,
    circular_positions,
    points_per_side,
    rectangular_positions,
    traverse_airflow,
    velocity,
)

SIDE = {5: 0.5, 6: 0.8, 7: 1.2}  # a side that takes so many points
CIRCLES: list[tuple[int, Rule]] = [(points, rule) for rule, rows in CIRCULAR.items() for points in rows]


def mean(positions: tuple[float, ...], profile: Callable[[float], float]) -> float:
    """Return the plain mean of a profile of the distance from the nearer wall, on a width of 1."""
    return sum(profile(min(y, 1 - y)) for y in positions) / len(positions)


def on_one(points: int) -> tuple[float, ...]:
    """Return the positions on a side of length 1."""
    return tuple(y / SIDE[points] for y in rectangular_positions(SIDE[points]))


@pytest.mark.analytic
@pytest.mark.parametrize("points", SIDE)
def test_rectangular_points_average_a_logarithm(points: int) -> None:
    """The mean of ln(y / half) over a side is -1, of a straight rise 1/2 of its end: what the rule is made for."""
    assert isclose(mean(on_one(points), lambda y: log(2 * y)), -1.0, abs_tol=0.03)
    assert isclose(mean(on_one(points), lambda y: 2 * y), 0.5, abs_tol=0.03)
    equal = tuple((i + 0.5) / points for i in range(points))
    assert abs(mean(on_one(points), lambda y: log(2 * y)) + 1) < abs(mean(equal, lambda y: log(2 * y)) + 1)


@pytest.mark.analytic
@pytest.mark.parametrize(("points", "rule"), CIRCLES)
def test_circular_points_average_a_logarithm(points: int, rule: Rule) -> None:
    """Over a circle of diameter 1 the mean of ln(2 y) is -3/2; of 2 y it is 1/3, which only one rule is made for."""
    positions = circular_positions(1.0, points, rule)
    assert isclose(mean(positions, lambda y: log(2 * y)), -1.5, abs_tol=0.02)
    if rule == "log-linear":
        assert isclose(mean(positions, lambda y: 2 * y), 1 / 3, abs_tol=0.01)


@pytest.mark.analytic
def test_airflow_of_a_power_law_duct() -> None:
    """A 1/7 power law in a rectangular duct and in a round one comes within 0.5 % of its integral."""
    wide, high = rectangular_positions(0.5), rectangular_positions(0.8)
    grid = [(min(x, 0.5 - x) / 0.25 * min(y, 0.8 - y) / 0.4) ** (1 / 7) * 6.0 for x in wide for y in high]
    assert isclose(traverse_airflow(grid, 0.4), 6.0 * (7 / 8) ** 2 * 0.4, rel_tol=5e-3)
    round_duct = [(2 * min(y, 1 - y)) ** (1 / 7) * 6.0 for y in circular_positions(1.0, 10)]
    exact = 2 * pi * (7 / 8 - 7 / 15) * 0.25 * 6.0  # integral of (1 - r)^(1/7) over the circle
    assert isclose(traverse_airflow(round_duct, pi / 4), exact, rel_tol=5e-3)


@pytest.mark.analytic
def test_velocity_by_bernoulli() -> None:
    """8 m/s of 1.25 kg/m3 have 40 Pa."""
    assert isclose(velocity(40.0, 1.25), 8.0, rel_tol=1e-15)
    assert isclose(average_velocity([10.0, 40.0], 1.25), 6.0, rel_tol=1e-15)


@pytest.mark.analytic
def test_sides_at_their_limits() -> None:
    """760 mm and 915 mm belong to six points; so do 30 and 36 inches."""
    assert [points_per_side(side) for side in (0.759, 0.760, 0.762, 0.9144, 0.915, 0.916)] == [5, 6, 6, 6, 6, 7]


@pytest.mark.property
@given(st.floats(0.05, 5.0))
def test_rectangular_positions_mirror(side: float) -> None:
    """They rise, lie inside, mirror about the middle, and number what the side needs."""
    positions = rectangular_positions(side)
    assert len(positions) == points_per_side(side)
    assert list(positions) == sorted(positions)
    assert 0 < positions[0] < positions[-1] < side
    for near, far in zip(positions, reversed(positions), strict=True):
        assert isclose(near + far, side, rel_tol=1e-12)


@pytest.mark.property
@given(st.floats(0.05, 5.0), st.sampled_from(CIRCLES))
def test_circular_positions_mirror(diameter: float, circle: tuple[int, Rule]) -> None:
    positions = circular_positions(diameter, *circle)
    assert len(positions) == circle[0]
    assert list(positions) == sorted(positions)
    for near, far in zip(positions, reversed(positions), strict=True):
        assert isclose(near + far, diameter, rel_tol=1e-12)


@pytest.mark.property
@given(st.lists(st.floats(0.0, 500.0), min_size=1, max_size=49), st.floats(0.8, 1.4))
def test_the_root_of_the_mean_is_never_less(pressures: list[float], density: float) -> None:
    """Why velocity pressures are not averaged."""
    wrong = sqrt(2 * (sum(pressures) / len(pressures)) / density)
    right = average_velocity(pressures, density)
    assert right <= wrong * (1 + 1e-12)
    assert min(pressures) <= density / 2 * right**2 * (1 + 1e-12)


@pytest.mark.property
@given(st.floats(0.0, 500.0), st.floats(0.8, 1.4), st.integers(1, 49), st.floats(0.01, 2.0))
def test_a_flat_profile(pressure: float, density: float, points: int, area: float) -> None:
    speed = velocity(pressure, density)
    assert isclose(density / 2 * speed**2, pressure, rel_tol=1e-12, abs_tol=1e-300)
    assert isclose(average_velocity([pressure] * points, density), speed, rel_tol=1e-12)
    assert isclose(traverse_airflow([speed] * points, area), speed * area, rel_tol=1e-12)


@pytest.mark.property
@pytest.mark.parametrize(
    ("quantity", "call"),
    [
        ("length", lambda: points_per_side(0.0)),
        ("length", lambda: rectangular_positions(50.0)),
        ("diameter", lambda: circular_positions(-0.2, 6)),
        ("points", lambda: circular_positions(0.2, 12)),
        ("points", lambda: circular_positions(0.2, 4, "log-Tchebycheff")),
        ("velocity_pressure", lambda: velocity(-3.0, 1.2)),
        ("density", lambda: velocity(3.0, 0.0)),
        ("velocity_pressure", lambda: average_velocity([10.0, -1.0], 1.2)),
        ("points", lambda: average_velocity([], 1.2)),
        ("points", lambda: traverse_airflow([], 0.2)),
        ("velocity", lambda: traverse_airflow([4.0, -1.0], 0.2)),
        ("area", lambda: traverse_airflow([4.0], 0.0)),
    ],
)
def test_refusals(quantity: str, call) -> None:  # type: ignore[no-untyped-def]
    """Each names the quantity, and limits outside which the value does lie."""
    with pytest.raises(OutOfRange) as refused:
        call()
    assert refused.value.quantity == quantity
    low, high = refused.value.limits
    assert not low < refused.value.value < high


@pytest.mark.property
def test_a_number_of_points_between_those_of_the_rule() -> None:
    with pytest.raises(Unresolvable, match="4, 6, 8, 10 points on a diameter, not 5"):
        circular_positions(0.2, 5)
