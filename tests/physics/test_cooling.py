"""Measured cooling against another library, identities and limits."""

from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics import moist_air
from drawthrough.physics.cooling import (
    capacity,
    coefficient_of_performance,
    gross_capacity,
    net_capacity,
    rating_net_capacity,
    sensible_heat_ratio,
)

flows = st.floats(0.1, 1.5)
warm = st.floats(293.0, 306.0)
cool = st.floats(278.0, 292.0)
moist = st.floats(0.007, 0.016)
drying = st.floats(0.0, 0.004)
watts = st.floats(0.0, 2000.0)


@pytest.mark.independent
@pytest.mark.parametrize("pressure", [101325.0, 84300.0])
@pytest.mark.parametrize(
    ("before", "humid", "after", "dry"),
    [(299.8, 0.5, 286.5, 0.93), (297.0, 0.45, 285.0, 0.9), (303.0, 0.6, 289.0, 0.95), (295.0, 0.3, 283.0, 0.55)],
)
def test_total_capacity_against_coolprop(
    before: float, humid: float, after: float, dry: float, pressure: float
) -> None:
    """0.15 %: 0.06 % of enthalpy difference each way, 0.02 % for the altitude, water's heat capacity 0.3 % of 2 %."""
    coolprop = pytest.importorskip("CoolProp.HumidAirProp").HAPropsSI
    water = pytest.importorskip("CoolProp.CoolProp").PropsSI
    w1, w2 = (coolprop("W", "T", t, "P", pressure, "R", r) for t, r in ((before, humid), (after, dry)))
    h1, h2 = (coolprop("H", "T", t, "P", pressure, "W", w) for t, w in ((before, w1), (after, w2)))
    drained = water("H", "T", after, "P", pressure, "Water") - water("H", "T", 273.16, "P", pressure, "Water")
    expected = 0.5 * (h1 - h2 - (w1 - w2) * drained)
    assert isclose(capacity(0.5, before, w1, after, w2).total_capacity, expected, rel_tol=1.5e-3)


@pytest.mark.independent
@pytest.mark.parametrize(
    ("before", "after", "w"), [(299.8, 286.5, 0.008), (305.0, 290.0, 0.012), (294.0, 284.0, 0.005)]
)
def test_sensible_capacity_against_coolprop(before: float, after: float, w: float) -> None:
    """At constant humidity ratio all of the enthalpy difference is sensible; 0.1 % is the constant heat capacity's."""
    coolprop = pytest.importorskip("CoolProp.HumidAirProp").HAPropsSI
    h1, h2 = (coolprop("H", "T", t, "P", 101325.0, "W", w) for t in (before, after))
    assert isclose(capacity(0.5, before, w, after, w).sensible_capacity, 0.5 * (h1 - h2), rel_tol=1e-3)


@pytest.mark.analytic
def test_latent_capacity_is_vaporisation() -> None:
    """At equal dry bulb: what is condensed, times the enthalpy of vapour less that of the water drained."""
    found = capacity(1.0, 290.0, 0.010, 290.0, 0.009, 288.15)
    vapour = moist_air.enthalpy(290.0, 0.010) - moist_air.enthalpy(290.0, 0.009)
    assert found.sensible_capacity == 0.0
    assert isclose(found.condensate_heat, 0.001 * 4186.0 * 15.0, rel_tol=1e-12)
    assert isclose(found.latent_capacity, vapour - found.condensate_heat, rel_tol=1e-12)
    assert 2450.0 < found.latent_capacity < 2490.0  # 1 g/s at 15 C: 2.47 MJ/kg


@pytest.mark.property
@given(flows, warm, moist, cool, drying)
def test_capacities_add_up_and_scale_with_the_flow(m: float, t1: float, w1: float, t2: float, dried: float) -> None:
    once, twice = capacity(m, t1, w1, t2, w1 - dried), capacity(2 * m, t1, w1, t2, w1 - dried)
    assert isclose(once.sensible_capacity + once.latent_capacity, once.total_capacity, rel_tol=1e-12)
    for a, b in zip(once, twice, strict=True):
        assert isclose(2 * a, b, rel_tol=1e-12, abs_tol=1e-9)


@pytest.mark.property
@given(flows, warm, moist, cool, drying, st.floats(0.1, 3.0))
def test_colder_and_drier_supply_is_more_cooling(
    m: float, t1: float, w1: float, t2: float, dried: float, step: float
) -> None:
    less = capacity(m, t1, w1, t2, w1 - dried)
    assert capacity(m, t1, w1, t2 - step, w1 - dried).sensible_capacity > less.sensible_capacity
    assert capacity(m, t1, w1, t2, w1 - dried - 1e-4 * step).latent_capacity > less.latent_capacity


@pytest.mark.property
@given(st.floats(1e3, 2e4), watts)
def test_gross_and_net_are_each_others_inverse(q: float, fan: float) -> None:
    assert isclose(net_capacity(gross_capacity(q, fan), fan), q, rel_tol=1e-12)
    assert gross_capacity(q, fan) >= q >= net_capacity(q, fan)


@pytest.mark.property
@given(st.floats(1e3, 2e4), st.floats(0.1, 1.0), st.floats(100.0, 1500.0))
def test_rating_takes_off_the_fan_it_assumes(q: float, airflow: float, per_flow: float) -> None:
    assert isclose(rating_net_capacity(q, airflow, per_flow), net_capacity(q, per_flow * airflow), rel_tol=1e-12)
    assert rating_net_capacity(q, 2 * airflow, per_flow) < rating_net_capacity(q, airflow, per_flow)


@pytest.mark.property
@given(st.floats(1e3, 2e4), st.floats(0.3, 1.0), st.floats(500.0, 8000.0), watts)
def test_ratios(q: float, share: float, power: float, fan: float) -> None:
    assert isclose(sensible_heat_ratio(share * q, q), share, rel_tol=1e-12)
    assert isclose(coefficient_of_performance(q, power) * power, q, rel_tol=1e-12)
    net = net_capacity(q, fan)
    if net > 0.0:
        # The fan's heat is sensible: taken off both, it lowers the ratio.
        assert sensible_heat_ratio(share * q - fan, net) <= share + 1e-12


@pytest.mark.analytic
def test_refusals() -> None:
    with pytest.raises(OutOfRange):
        capacity(0.0, 299.0, 0.01, 287.0, 0.009)
    with pytest.raises(OutOfRange):
        capacity(0.5, 299.0, 0.01, 272.0, 0.003)
    with pytest.raises(OutOfRange):
        net_capacity(8000.0, -1.0)
    with pytest.raises(OutOfRange):
        gross_capacity(8000.0, 6000.0)
    with pytest.raises(OutOfRange):
        rating_net_capacity(8000.0, -0.1)
    with pytest.raises(OutOfRange):
        rating_net_capacity(8000.0, 0.4, -1.0)
    with pytest.raises(OutOfRange):
        coefficient_of_performance(8000.0, 0.0)
    with pytest.raises(Unresolvable):
        sensible_heat_ratio(1000.0, 0.0)
