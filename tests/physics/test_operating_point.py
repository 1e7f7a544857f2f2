"""Where blower and path meet, for each kind of motor, and whose gain it was."""

import math
from itertools import permutations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics.fan import FanCurve
from drawthrough.physics.operating_point import (
    FULL_POWER_STATIC,
    TABLE_DENSITY,
    OperatingPoint,
    RatedPart,
    Section,
    operating_point,
    shared_gain,
)
from drawthrough.physics.resistance import REFERENCE_AIRFLOW, REFERENCE_DENSITY, pressure_drop
from drawthrough.units import CFM, INWC

STATIC = [p * INWC for p in (0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9)]
FALLING = [q * CFM for q in (1345, 1340, 1315, 1270, 1230, 1170, 1095, 990, 850, 640)]
HELD = [q * CFM for q in (1190, 1195, 1200, 1200, 1200, 1200, 1200, 1200, 1080, 940)]
LIMIT = 0.7 * INWC

# Return duct, filter, coil (wet), heater, supply duct; densities of a run with strips.
PATH = (
    Section(30.0, 1.9, 1.19),
    Section(28.0, 1.25, 1.19),
    Section(50.0, 1.7, 1.19, 1.82e-5, 0.97),
    Section(8.0, 1.9, 1.15),
    Section(35.0, 1.9, 1.11, 1.9e-5),
)
RATED = (RatedPart(45.0, 1.7), RatedPart(7.0, 1.9))


def turned(path: tuple[Section, ...], factor: float) -> list[Section]:
    return [part._replace(resistance_coefficient=part.resistance_coefficient * factor) for part in path]


def asked(path: tuple[Section, ...], airflow: float, density: float) -> float:
    """Return what a path asks for, in the plainest words."""
    return sum(
        part.resistance_coefficient
        * (airflow * density * part.share / part.density / REFERENCE_AIRFLOW) ** part.exponent
        * (part.density / REFERENCE_DENSITY) ** (part.exponent - 1)
        * (part.viscosity / 1.8134e-5) ** (2 - part.exponent)
        for part in path
    )


# --- motors whose table falls ---


@pytest.mark.analytic
def test_straight_table_and_square_path() -> None:
    """Q = a - b P and P = c Q^2: the positive root of b c Q^2 + Q - a."""
    a, b = 0.7, 0.001
    curve = FanCurve([10.0, 100.0, 400.0], [a - b * p for p in (10.0, 100.0, 400.0)])
    part = Section(100.0, 2.0, TABLE_DENSITY)
    c = pressure_drop(100.0, 2.0, 1.0, TABLE_DENSITY)
    root = (-1 + math.sqrt(1 + 4 * b * c * a)) / (2 * b * c)
    for motor in ("psc", "constant torque"):
        point = operating_point(curve, motor, [part])
        assert point.airflow == pytest.approx(root, rel=1e-12)
        assert point.static_table == pytest.approx(c * root**2, rel=1e-11)
        assert point.held is False


@pytest.mark.independent
@pytest.mark.parametrize("strength", [0.85, 0.93, 1.0, 1.04])
@pytest.mark.parametrize("density", [1.08, 1.19])
def test_against_brentq_on_the_blowers_rise(strength: float, density: float) -> None:
    """The blower's rise at an airflow, found by inverting the table, meets the path's drops."""
    interpolate, optimize = pytest.importorskip("scipy.interpolate"), pytest.importorskip("scipy.optimize")
    reference = interpolate.PchipInterpolator(STATIC, FALLING)

    def rise(airflow: float) -> float:
        clean = airflow / strength
        external = optimize.brentq(lambda p: float(reference(p)) - clean, STATIC[0], STATIC[-1], xtol=1e-12, rtol=1e-14)
        inside = sum(pressure_drop(p.resistance_coefficient, p.exponent, clean, TABLE_DENSITY) for p in RATED)
        return strength**2 * density / TABLE_DENSITY * (external + inside)

    low, high = (strength * q for q in (FALLING[-1] * 1.0001, FALLING[0] * 0.9999))
    expected = optimize.brentq(lambda q: rise(q) - asked(PATH, q, density), low, high, xtol=1e-13, rtol=1e-14)
    point = operating_point(FanCurve(STATIC, FALLING), "psc", PATH, strength, density, RATED)
    assert point.airflow == pytest.approx(expected, rel=1e-9)
    assert point.rise == pytest.approx(rise(expected), rel=1e-8)


@pytest.mark.property
@given(st.floats(0.85, 1.05), st.floats(0.7, 1.3), st.floats(1.0, 1.25), st.sampled_from(["psc", "constant torque"]))
def test_balance(strength: float, factor: float, density: float, motor: str) -> None:
    curve = FanCurve(STATIC, FALLING)
    path = turned(PATH, factor)
    point = operating_point(curve, motor, path, strength, density, RATED)
    assert point.airflow == pytest.approx(strength * curve.airflow(point.static_table), rel=1e-12)
    assert sum(point.drops) == pytest.approx(point.rise, rel=1e-12)
    inside = sum(
        pressure_drop(p.resistance_coefficient, p.exponent, point.airflow / strength, TABLE_DENSITY) for p in RATED
    )
    entered = point.rise * TABLE_DENSITY / density / strength**2 - inside
    assert entered == pytest.approx(point.static_table, abs=1e-8)
    # More resistance is less air, more strength is more.
    assert operating_point(curve, motor, turned(PATH, factor * 1.02), strength, density, RATED).airflow < point.airflow
    assert operating_point(curve, motor, path, strength * 1.01, density, RATED).airflow > point.airflow


@pytest.mark.analytic
def test_rated_parts_as_they_are_now_cancel() -> None:
    """Parts inside the rated cabinet that are as rated leave the table's own external static."""
    curve = FanCurve(STATIC, FALLING)
    ducts = [Section(40.0, 1.9, TABLE_DENSITY), Section(40.0, 1.9, TABLE_DENSITY)]
    coil = [Section(45.0, 1.7, TABLE_DENSITY)]
    with_coil = operating_point(curve, "psc", ducts + coil, rated=[RatedPart(45.0, 1.7)])
    without = operating_point(curve, "psc", ducts)
    assert with_coil.airflow == pytest.approx(without.airflow, rel=1e-11)
    # A coil at twice its rating that is taken for one as rated makes a clean wheel look weak.
    dirty = operating_point(curve, "psc", [*ducts, Section(90.0, 1.7, TABLE_DENSITY)], rated=[RatedPart(45.0, 1.7)])
    assert dirty.airflow < 0.97 * without.airflow


@pytest.mark.analytic
def test_no_crossing_is_refused_with_its_side() -> None:
    curve = FanCurve(STATIC, FALLING)
    with pytest.raises(Unresolvable, match="too little"):
        operating_point(curve, "psc", turned(PATH, 0.03))
    with pytest.raises(Unresolvable, match="too much"):
        operating_point(curve, "psc", turned(PATH, 4.0))
    with pytest.raises(Unresolvable, match="too much"):
        operating_point(FanCurve(STATIC, HELD), "constant airflow", turned(PATH, 4.0))
    steep = FanCurve([10.0, 40.0, 60.0, 100.0, 200.0], [0.30, 0.31, 0.80, 0.79, 0.20])
    with pytest.raises(Unresolvable, match="more than one airflow"):
        operating_point(steep, "psc", [Section(45.0, 1.9)])
    with pytest.raises(Unresolvable, match="no section"):
        operating_point(curve, "psc", [])
    with pytest.raises(Unresolvable, match="no kind of motor"):
        operating_point(curve, "ecm", PATH)


@pytest.mark.analytic
def test_ends_of_the_table_belong_to_it() -> None:
    curve = FanCurve([20.0, 100.0, 200.0], [0.6, 0.5, 0.3])
    for static, airflow in ((20.0, 0.6), (100.0, 0.5), (200.0, 0.3)):
        resistance = static / pressure_drop(1.0, 2.0, airflow, TABLE_DENSITY)
        # A hair inside, so that rounding does not put the crossing outside.
        for hair in (1e-12, -1e-12):
            if (static, hair) in ((20.0, -1e-12), (200.0, 1e-12)):
                continue
            point = operating_point(curve, "psc", [Section(resistance * (1 + hair), 2.0, TABLE_DENSITY)])
            assert point.airflow == pytest.approx(airflow, rel=1e-9)


@pytest.mark.analytic
def test_what_is_out_of_range_is_refused() -> None:
    curve = FanCurve(STATIC, FALLING)
    for keywords in ({"strength": 0.01}, {"strength": math.nan}, {"density": 0.1}, {"density_table": 3.0}):
        with pytest.raises(OutOfRange):
            operating_point(curve, "psc", PATH, **keywords)
    with pytest.raises(OutOfRange):
        operating_point(curve, "psc", [PATH[0]._replace(share=0.0)])
    held = FanCurve(STATIC, HELD)
    for limit in (0.0, 6000.0, math.nan):
        with pytest.raises(OutOfRange):
            operating_point(held, "constant airflow", PATH, airflow_limit_static=limit)


# --- motors that hold their airflow ---


def held_point(factor: float, strength: float = 1.0, limit: float | None = LIMIT) -> OperatingPoint:
    curve = FanCurve(STATIC, HELD)
    path = turned(PATH, factor)
    return operating_point(curve, "constant airflow", path, strength, TABLE_DENSITY, RATED, airflow_limit_static=limit)


@pytest.mark.analytic
def test_below_its_limit_the_airflow_is_held() -> None:
    plain = held_point(0.8)
    assert plain.held
    assert plain.airflow == pytest.approx(1200 * CFM, rel=1e-12)
    assert plain.static_table < 0.4 * INWC
    assert held_point(0.8, strength=0.95).airflow == pytest.approx(plain.airflow, rel=1e-12)
    assert held_point(0.8, strength=0.95).held
    assert held_point(0.8, strength=0.5, limit=None).airflow == plain.airflow  # no limit given: held all over the table


@pytest.mark.analytic
def test_full_effort_beyond_the_low_end_of_the_table_leaves_the_airflow_held() -> None:
    """A path of filters, a cabinet rated with much inside: at full effort the table would be left at its low end."""
    curve = FanCurve(STATIC, HELD)
    path, rated = [Section(150.0, 1.25, TABLE_DENSITY)], [RatedPart(120.0, 1.9)]
    point = operating_point(curve, "constant airflow", path, 1.0, TABLE_DENSITY, rated, airflow_limit_static=LIMIT)
    assert point.held
    asks = pressure_drop(150.0, 1.25, point.airflow, TABLE_DENSITY) - pressure_drop(
        120.0, 1.9, point.airflow, TABLE_DENSITY
    )
    assert asks == pytest.approx(point.static_table, abs=1e-9)
    assert point.airflow == pytest.approx(curve.airflow(asks), rel=1e-9)


@pytest.mark.analytic
def test_beyond_its_limit_the_table_is_followed() -> None:
    curve = FanCurve(STATIC, HELD)
    point = held_point(1.5)
    assert not point.held
    assert LIMIT < point.static_table < STATIC[-1]
    assert point.airflow == pytest.approx(curve.airflow(point.static_table), rel=1e-11)
    dirty = held_point(1.35, strength=0.95)
    assert not dirty.held
    assert dirty.airflow < held_point(1.35).airflow
    assert dirty.airflow == pytest.approx(0.95 * curve.airflow(dirty.static_table), rel=1e-11)


@pytest.mark.analytic
def test_a_dirty_wheel_reaches_its_limit_earlier() -> None:
    """Ahead of the limit full effort follows the power limit: Q = s Q_limit sqrt((c + P_limit) / (c + p))."""
    clean, dirty = held_point(1.1), held_point(1.1, strength=0.9)
    assert clean.held
    assert not dirty.held
    p = dirty.static_table
    assert p < LIMIT
    effort = 0.9 * 1200 * CFM * math.sqrt((FULL_POWER_STATIC + LIMIT) / (FULL_POWER_STATIC + p))
    assert dirty.airflow == pytest.approx(effort, rel=1e-9)
    assert dirty.airflow < clean.airflow


@pytest.mark.property
@given(st.floats(0.75, 1.45), st.floats(0.9, 1.0))
def test_a_held_airflow_gives_way_without_a_jump(factor: float, strength: float) -> None:
    try:
        here, there = held_point(factor, strength), held_point(factor * 1.0001, strength)
    except Unresolvable:
        assume(False)
        raise
    assert there.airflow == pytest.approx(here.airflow, rel=1e-3)
    assert held_point(factor).airflow >= here.airflow * (1 - 1e-12)
    assert sum(here.drops) == pytest.approx(here.rise, rel=1e-12)
    if here.held:
        assert here.airflow == pytest.approx(FanCurve(STATIC, HELD).airflow(here.static_table), rel=1e-12)


# --- whose gain ---


@pytest.mark.analytic
def test_two_changes_share_alone_and_last() -> None:
    value = {(): 0.3, ("a",): 0.37, ("b",): 0.41, ("a", "b"): 0.55}
    gain = shared_gain(lambda made: value[tuple(sorted(made))], ["a", "b"])
    assert gain["a"] == pytest.approx(((0.37 - 0.3) + (0.55 - 0.41)) / 2)
    assert gain["b"] == pytest.approx(((0.41 - 0.3) + (0.55 - 0.37)) / 2)
    assert shared_gain(lambda made: 7.0, []) == {}


@pytest.mark.property
@given(st.lists(st.floats(-1.0, 1.0), min_size=16, max_size=16))
def test_shares_are_the_mean_over_all_orders(values: list[float]) -> None:
    changes = ["wheel", "coil", "filter", "motor"]

    def solve(made: frozenset[str]) -> float:
        return values[sum(1 << changes.index(change) for change in made)]

    gain = shared_gain(solve, changes)
    assert sum(gain.values()) == pytest.approx(values[15] - values[0], abs=1e-12)
    orders = list(permutations(changes))
    for change in changes:
        brought = 0.0
        for order in orders:
            before = frozenset(order[: order.index(change)])
            brought += solve(before | {change}) - solve(before)
        assert gain[change] == pytest.approx(brought / len(orders), abs=1e-12)


@pytest.mark.property
@given(st.floats(0.85, 0.98), st.floats(1.05, 1.8), st.floats(1.05, 1.6))
def test_whose_gain_a_cleaning_was(wheel: float, coil: float, filter_: float) -> None:
    """Shares of an operating point: each positive, together the whole, none for what was not changed."""
    curve = FanCurve(STATIC, FALLING)

    def solve(made: frozenset[str]) -> float:
        path = list(PATH)
        if "filter" not in made:
            path[1] = path[1]._replace(resistance_coefficient=path[1].resistance_coefficient * filter_)
        if "coil" not in made:
            path[2] = path[2]._replace(resistance_coefficient=path[2].resistance_coefficient * coil)
        strength = 1.0 if "wheel" in made else wheel
        return math.log(operating_point(curve, "psc", path, strength, 1.19, RATED).airflow)

    gain = shared_gain(solve, ["wheel", "coil", "filter", "motor"])
    whole = solve(frozenset({"wheel", "coil", "filter"})) - solve(frozenset())
    assert sum(gain.values()) == pytest.approx(whole, abs=1e-12)
    assert min(gain["wheel"], gain["coil"], gain["filter"]) > 0.0
    assert gain["motor"] == 0.0


@pytest.mark.analytic
def test_shares_that_cannot_be_are_refused() -> None:
    with pytest.raises(Unresolvable):
        shared_gain(lambda made: 0.0, ["coil", "coil"])
    with pytest.raises(OutOfRange):
        shared_gain(lambda made: 0.0, [str(k) for k in range(11)])
