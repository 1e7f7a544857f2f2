"""The blower's table as a curve, what is refused of it, and the blower against the clean one."""

import math
from itertools import combinations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics.fan import (
    FALLING_FROM,
    FALLING_SLACK,
    FanCurve,
    check_falling,
    scaled_airflow,
    wheel_ratio,
    wheel_ratio_at_held_airflow,
)
from drawthrough.physics.fan_laws import airflow_at_speed, static_at_speed
from drawthrough.units import CFM, INWC

# An invented PSC table and an invented constant-airflow one.
PSC = [(0.1, 1340), (0.2, 1315), (0.3, 1270), (0.4, 1230), (0.5, 1170), (0.6, 1095), (0.7, 990), (0.8, 850)]
HELD = [(0.1, 1190), (0.2, 1200), (0.3, 1200), (0.4, 1200), (0.5, 1198), (0.6, 1190), (0.7, 1120), (0.8, 1010)]


def table(rows: list[tuple[float, float]]) -> tuple[list[float], list[float]]:
    """Turn printed rows into SI."""
    return [p * INWC for p, _ in rows], [q * CFM for _, q in rows]


def curve_of(rows: list[tuple[float, float]]) -> FanCurve:
    return FanCurve(*table(rows))


@st.composite
def tables(draw: st.DrawFn, falling: bool = False) -> tuple[list[float], list[float]]:
    """A table of two to nine points, statics at least 4 Pa apart."""
    steps = draw(st.lists(st.floats(4.0, 80.0), min_size=1, max_size=8))
    static = [draw(st.floats(0.0, 60.0))]
    for step in steps:
        static.append(static[-1] + step)
    airflow = draw(st.lists(st.floats(0.05, 1.2), min_size=len(static), max_size=len(static)))
    if falling:
        airflow.sort(reverse=True)
    return static, airflow


shares = st.floats(0.0, 1.0)


# --- the curve ---


@pytest.mark.analytic
def test_curve_passes_its_points_and_is_straight_where_they_are() -> None:
    curve = curve_of(PSC)
    for p, q in PSC:
        assert curve.airflow(p * INWC) == pytest.approx(q * CFM, rel=1e-14)
    line = FanCurve([20.0, 50.0, 120.0, 200.0], [0.6 - 0.001 * p for p in (20.0, 50.0, 120.0, 200.0)])
    for p in (20.0, 33.3, 50.0, 119.0, 200.0):
        assert line.airflow_and_slope(p) == pytest.approx((0.6 - 0.001 * p, -0.001), rel=1e-12)
    flat = FanCurve([20.0, 50.0, 120.0], [0.5, 0.5, 0.5])
    assert flat.airflow_and_slope(77.7) == (0.5, 0.0)
    two = FanCurve([20.0, 120.0], [0.6, 0.5])
    assert two.airflow_and_slope(70.0) == pytest.approx((0.55, -0.001), rel=1e-12)


@pytest.mark.independent
@given(tables(), st.lists(shares, min_size=1, max_size=8))
def test_curve_against_scipy(rows: tuple[list[float], list[float]], where: list[float]) -> None:
    interpolate = pytest.importorskip("scipy.interpolate")
    curve = FanCurve(*rows)
    reference = interpolate.PchipInterpolator(*rows)
    low, high = curve.limits
    for share in where:
        p = min(low + share * (high - low), high)
        airflow, slope = curve.airflow_and_slope(p)
        assert airflow == pytest.approx(float(reference(p)), rel=1e-10, abs=1e-12)
        assert slope == pytest.approx(float(reference(p, 1)), rel=1e-8, abs=1e-10)
        assert curve.airflow(p) == airflow


@pytest.mark.property
@given(tables(), shares)
def test_slope_is_the_derivative(rows: tuple[list[float], list[float]], share: float) -> None:
    curve = FanCurve(*rows)
    low, high = curve.limits
    h = 1e-4
    p = low + h + share * (high - low - 2 * h)
    assume(all(abs(p - knot) > 2 * h for knot in curve.statics))
    by_differences = (curve.airflow(p + h) - curve.airflow(p - h)) / (2 * h)
    assert curve.airflow_and_slope(p)[1] == pytest.approx(by_differences, rel=1e-5, abs=1e-7)


@pytest.mark.property
@given(tables(), shares)
def test_curve_stays_between_neighbouring_points(rows: tuple[list[float], list[float]], share: float) -> None:
    curve = FanCurve(*rows)
    for k in range(len(curve.statics) - 1):
        (x0, x1), (y0, y1) = curve.statics[k : k + 2], curve.airflows[k : k + 2]
        airflow = curve.airflow(min(x0 + share * (x1 - x0), x1))
        assert min(y0, y1) - 1e-12 <= airflow <= max(y0, y1) + 1e-12


@pytest.mark.property
@given(tables())
def test_curve_is_smooth_at_its_points(rows: tuple[list[float], list[float]]) -> None:
    curve = FanCurve(*rows)
    for knot in curve.statics[1:-1]:
        below, above = curve.airflow_and_slope(math.nextafter(knot, 0.0)), curve.airflow_and_slope(knot)
        assert below == pytest.approx(above, rel=1e-9, abs=1e-9)


@pytest.mark.property
@given(tables(falling=True), shares, shares)
def test_falling_table_gives_falling_curve(rows: tuple[list[float], list[float]], a: float, b: float) -> None:
    curve = FanCurve(*rows)
    low, high = curve.limits
    first, second = (min(low + share * (high - low), high) for share in sorted((a, b)))
    assert curve.airflow(second) <= curve.airflow(first) + 1e-12
    assert curve.airflow_and_slope(first)[1] <= 1e-12


@pytest.mark.analytic
def test_outside_the_table_is_refused() -> None:
    curve = curve_of(PSC)
    low, high = curve.limits
    assert (low, high) == (0.1 * INWC, 0.8 * INWC)
    for p in (low - 0.01, high + 0.01, -1.0, math.nan, math.inf):
        for ask in (curve.airflow, curve.airflow_and_slope):
            with pytest.raises(OutOfRange) as refusal:
                ask(p)
            assert refusal.value.quantity == "static"
            assert refusal.value.limits == (low, high)


@pytest.mark.analytic
@pytest.mark.parametrize(
    ("static", "airflow", "error"),
    [
        ([50.0], [0.5], Unresolvable),
        ([50.0, 100.0], [0.5], Unresolvable),
        ([50.0, 50.0], [0.5, 0.4], Unresolvable),
        ([100.0, 50.0], [0.5, 0.6], Unresolvable),
        ([50.0, 100.0], [0.5, 0.0], OutOfRange),
        ([50.0, 100.0], [0.5, math.nan], OutOfRange),
        ([math.nan, 100.0], [0.5, 0.4], OutOfRange),
        ([-10.0, 100.0], [0.5, 0.4], OutOfRange),
    ],
)
def test_table_that_is_none_is_refused(static: list[float], airflow: list[float], error: type[Exception]) -> None:
    with pytest.raises(error):
        FanCurve(static, airflow)


@pytest.mark.analytic
def test_continuation_is_the_tangent_and_then_fades() -> None:
    curve = FanCurve([20.0, 120.0], [0.6, 0.5])  # -0.001 per Pa
    assert curve.airflow_and_slope_beyond(70.0, 1.0) == curve.airflow_and_slope(70.0)
    assert curve.airflow_and_slope_beyond(-30.0, 1.0) == pytest.approx((0.65, -0.001))
    assert curve.airflow_and_slope_beyond(200.0, 1.0) == pytest.approx((0.42, -0.001))
    # One width of the table on, at 220 Pa and 0.4 m3/s, it turns into 0.4 exp(-0.001/0.4 (P - 220)).
    airflow, slope = curve.airflow_and_slope_beyond(420.0, 1.0)
    assert airflow == pytest.approx(0.4 * math.exp(-0.5))
    assert slope == pytest.approx(-0.001 * math.exp(-0.5))
    # With a wide margin the tangent runs until half of the last airflow is gone: 250 Pa beyond the end.
    assert curve.airflow_and_slope_beyond(369.0, 10.0) == pytest.approx((0.251, -0.001))
    assert curve.airflow_and_slope_beyond(620.0, 10.0)[0] == pytest.approx(0.25 * math.exp(-1.0))


@pytest.mark.property
@given(tables(), st.floats(-2000.0, 3000.0), st.floats(0.0, 3.0))
def test_continuation_is_smooth_and_never_without_air(
    rows: tuple[list[float], list[float]], static: float, margin: float
) -> None:
    curve = FanCurve(*rows)
    airflow, slope = curve.airflow_and_slope_beyond(static, margin)
    assert airflow > 0.0 or (airflow == 0.0 and slope == 0.0)  # 0 only where a float can hold no less
    h = 1e-3
    if min(abs(static - knot) for knot in curve.statics) > 2 * h:
        ahead, behind = (curve.airflow_and_slope_beyond(static + s * h, margin)[0] for s in (1, -1))
        assert slope == pytest.approx((ahead - behind) / (2 * h), rel=1e-3, abs=1e-6)
    for end in curve.limits:
        inside = curve.airflow_and_slope(end)
        for near in (end - 1e-9, end + 1e-9):
            assert curve.airflow_and_slope_beyond(near, margin) == pytest.approx(inside, rel=1e-6, abs=1e-7)


# --- tables that cannot be ---


@pytest.mark.analytic
def test_rise_of_a_falling_motor_is_found() -> None:
    static, airflow = table(PSC)
    assert check_falling(static, airflow, "psc") == []
    airflow[5] = 1250 * CFM  # 6.8 % above the point before it
    (rise,) = check_falling(static, airflow, "psc")
    assert rise == (static[4], airflow[4], static[5], airflow[5])
    assert check_falling(static, airflow, "constant torque") == [rise]
    assert check_falling(static, airflow, "constant airflow") == []


@pytest.mark.analytic
def test_what_is_no_rise() -> None:
    low = [0.0, 0.5 * FALLING_FROM, FALLING_FROM, 2 * FALLING_FROM]
    assert check_falling(low, [0.40, 0.50, 0.49, 0.45], "psc") == []  # below 0.2 in. w.c. it may rise
    assert check_falling(low, [0.50, 0.50, 0.50, 0.50 * 1.0299], "psc") == []  # by less than 3 %
    assert len(check_falling(low, [0.50, 0.50, 0.50, 0.50 * 1.0301], "psc")) == 1
    several = [FALLING_FROM * k for k in range(1, 5)]
    (rise,) = check_falling(several, [0.50, 0.51, 0.52, 0.53], "psc")  # each step under 3 %, all together not
    assert (rise.airflow_low, rise.airflow_high) == (0.50, 0.52)
    (slip,) = check_falling(several, [0.50, 0.05, 0.48, 0.47], "psc")  # one misread figure, one finding
    assert (slip.airflow_low, slip.airflow_high) == (0.05, 0.48)


@pytest.mark.analytic
def test_unknown_motor_is_refused() -> None:
    with pytest.raises(Unresolvable, match="no kind of motor"):
        check_falling([50.0, 100.0], [0.5, 0.4], "ecm")  # type: ignore[arg-type]
    with pytest.raises(Unresolvable, match="2 statics and 1 airflows"):
        check_falling([50.0, 100.0], [0.5], "psc")


@pytest.mark.property
@given(tables())
def test_check_says_what_its_rule_says(rows: tuple[list[float], list[float]]) -> None:
    static, airflow = rows
    points = [(p, q) for p, q in zip(static, airflow, strict=True) if p >= FALLING_FROM * (1 - 1e-9)]
    rising = any(second > first * (1 + FALLING_SLACK) for (_, first), (_, second) in combinations(points, 2))
    rises = check_falling(static, airflow, "psc")
    assert bool(rises) == rising
    for rise in rises:
        assert rise.static_low < rise.static_high
        assert rise.airflow_high > rise.airflow_low * (1 + FALLING_SLACK)
        assert (rise.static_low, rise.airflow_low) in points
        assert (rise.static_high, rise.airflow_high) in points
    assert check_falling(static, sorted(airflow, reverse=True), "constant torque") == []


# --- the blower against the clean one ---


@pytest.mark.analytic
def test_the_clean_blower_is_its_table() -> None:
    curve = curve_of(PSC)
    for p in (30.0, 77.0, 150.0, 199.0):
        assert scaled_airflow(curve, p, 1.0) == curve.airflow(p)
    # Thin air at the inlet: the same airflow at a static that is lower by the density.
    assert scaled_airflow(curve, 100.0 / 1.2, 1.0, 1.2) == pytest.approx(curve.airflow(100.0), rel=1e-12)


@pytest.mark.analytic
@pytest.mark.parametrize("strength", [0.8, 0.9, 1.05])
def test_strength_scales_as_the_fan_laws_do(strength: float) -> None:
    """A blower of strength s is the clean one at s times the speed."""
    curve = curve_of(PSC)
    for p in (60.0, 100.0, 150.0):
        static = static_at_speed(p, 18.0, 18.0 * strength)
        assert scaled_airflow(curve, static, strength) == pytest.approx(
            airflow_at_speed(curve.airflow(p), 18.0, 18.0 * strength), rel=1e-12
        )


@pytest.mark.property
@given(st.floats(0.7, 1.1), st.floats(0.8, 1.3), shares)
def test_more_strength_is_more_airflow(strength: float, density_ratio: float, share: float) -> None:
    curve = curve_of(PSC)
    low, high = curve.limits
    p = low + (0.2 + 0.6 * share) * (high - low)
    static = p * strength**2 / density_ratio
    airflow = scaled_airflow(curve, static, strength, density_ratio)
    assert airflow == pytest.approx(strength * curve.airflow(p), rel=1e-9)
    assert scaled_airflow(curve, static, strength * 1.01, density_ratio) > airflow


@pytest.mark.analytic
def test_strength_outside_its_range_is_refused() -> None:
    curve = curve_of(PSC)
    for strength, ratio in ((0.0, 1.0), (1.6, 1.0), (math.nan, 1.0), (1.0, 0.2), (1.0, 3.1)):
        with pytest.raises(OutOfRange):
            scaled_airflow(curve, 100.0, strength, ratio)
    with pytest.raises(OutOfRange) as refusal:
        scaled_airflow(curve, 150.0, 0.8)  # 234 Pa on the table, which ends at 199
    assert refusal.value.quantity == "static"


@pytest.mark.analytic
def test_wheel_alone() -> None:
    # A wheel that gives 0.9 of its air at equal speed, on a motor that unloads by 2 %: the blower lost 8.2 %.
    assert wheel_ratio(0.9 * 1.02, 1.0, 18.0 * 1.02, 18.0) == pytest.approx(0.9, rel=1e-12)
    # A clean wheel whose motor lost speed: no part of it is the wheel's.
    assert wheel_ratio(0.825, 1.0, 0.825 * 18.0, 18.0) == pytest.approx(1.0, rel=1e-12)
    # Held airflow: only speed tells.
    assert wheel_ratio_at_held_airflow(20.0, 18.0) == pytest.approx(0.9, rel=1e-12)


@pytest.mark.property
@given(st.floats(0.5, 1.2), st.floats(0.5, 1.2), st.floats(8.0, 25.0), st.floats(8.0, 25.0))
def test_wheel_ratio_turns_around(s_found: float, s_left: float, n_found: float, n_left: float) -> None:
    there, back = wheel_ratio(s_found, s_left, n_found, n_left), wheel_ratio(s_left, s_found, n_left, n_found)
    assert there * back == pytest.approx(1.0, rel=1e-12)
    held = wheel_ratio_at_held_airflow(n_found, n_left)
    assert held * wheel_ratio_at_held_airflow(n_left, n_found) == pytest.approx(1.0, rel=1e-12)
    assert wheel_ratio(s_left, s_left, n_found, n_left) == pytest.approx(held, rel=1e-12)


@pytest.mark.analytic
def test_wheel_that_does_not_turn_is_refused() -> None:
    for speeds in ((0.0, 18.0), (18.0, -1.0), (18.0, 101.0), (math.nan, 18.0)):
        with pytest.raises(OutOfRange):
            wheel_ratio_at_held_airflow(*speeds)
        with pytest.raises(OutOfRange):
            wheel_ratio(0.9, 1.0, *speeds)
    with pytest.raises(OutOfRange):
        wheel_ratio(1.6, 1.0, 18.0, 18.0)


@pytest.mark.analytic
def test_constant_airflow_table_may_be_flat_and_rise() -> None:
    curve = curve_of(HELD)
    assert check_falling(*table(HELD), "constant airflow") == []
    assert curve.airflow_and_slope(0.15 * INWC)[1] > 0.0
    assert curve.airflow_and_slope(0.35 * INWC) == pytest.approx((1200 * CFM, 0.0), abs=1e-15)
