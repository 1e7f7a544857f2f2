"""Capacitor, leads, voltage and motor speed: identities, orders and refusals."""

from math import isclose, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics.electrical import (
    capacitance,
    capacitance_check,
    lead_order,
    synchronous_speed,
    voltage_deviation,
)

amps = st.floats(0.05, 5.0)
volts = st.floats(100.0, 500.0)
lines = st.sampled_from([50.0, 60.0])


@pytest.mark.property
@given(amps, volts, lines)
def test_capacitance_carries_its_current(i: float, v: float, f: float) -> None:
    c = capacitance(i, v, f)
    assert isclose(2 * pi * f * c * v, i, rel_tol=1e-12)
    assert isclose(capacitance(2 * i, v, f), 2 * c, rel_tol=1e-12)
    assert isclose(capacitance(i, 2 * v, f), c / 2, rel_tol=1e-12)


@pytest.mark.analytic
def test_capacitance_check_by_hand() -> None:
    """8.6 of 10 uF, 5 % printed, 2 % known: 9 % beyond the limit, which is 0.09 / (0.86 * 0.02) of its uncertainty."""
    check = capacitance_check(8.6e-6, 10e-6, 0.05, 0.02)
    assert isclose(check.capacitance_ratio, 0.86)
    assert isclose(check.excess, 0.09)
    assert isclose(check.z, 0.09 / 0.0172)
    assert capacitance_check(10.2e-6, 10e-6, 0.05, 0.02).z < 0.0


@pytest.mark.property
@given(st.floats(0.3, 1.7), st.floats(0.01, 0.1), st.floats(0.005, 0.1), st.floats(2e-6, 60e-6))
def test_excess_changes_sign_at_the_printed_limit(ratio: float, tolerance: float, u: float, rated: float) -> None:
    check = capacitance_check(ratio * rated, rated, tolerance, u)
    assert isclose(check.capacitance_ratio, ratio, rel_tol=1e-12)
    outside = ratio < 1.0 - tolerance or ratio > 1.0 + tolerance
    assert (check.excess > 0.0) == outside or abs(check.excess) < 1e-12
    better = capacitance_check(ratio * rated, rated, tolerance, u / 2)
    assert isclose(better.z, 2 * check.z, rel_tol=1e-9, abs_tol=1e-9)


@pytest.mark.analytic
def test_leads_in_order() -> None:
    """Lowest to common is the highest speed; two that are nearly alike stand together."""
    order = lead_order({"high": 9.8, "medium": 12.4, "low": 17.1, "medium low": 14.0})
    assert order == (("high",), ("medium",), ("medium low",), ("low",))
    assert lead_order({"a": 10.0, "b": 10.15, "c": 12.0}) == (("a", "b"), ("c",))
    assert lead_order({"a": 10.0, "b": 10.15, "c": 12.0}, tolerance=0.001) == (("a",), ("b",), ("c",))


@pytest.mark.property
@given(st.dictionaries(st.sampled_from("abcdef"), st.floats(1.0, 200.0), min_size=2), st.floats(0.1, 10.0))
def test_order_does_not_depend_on_the_scale(resistances: dict[str, float], scale: float) -> None:
    order = lead_order(resistances)
    flat = [lead for group in order for lead in group]
    assert sorted(flat) == sorted(resistances)
    assert [resistances[lead] for lead in flat] == sorted(resistances.values())
    close = [abs(b / a - 1.02) for a in resistances.values() for b in resistances.values()]
    if min(close) > 1e-9:  # no pair on the very edge of the tolerance
        assert lead_order({lead: value * scale for lead, value in resistances.items()}) == order


@pytest.mark.property
@given(volts, st.floats(-0.3, 0.3))
def test_voltage_deviation(rated: float, share: float) -> None:
    assert isclose(voltage_deviation(rated * (1 + share), rated), share, rel_tol=1e-9, abs_tol=1e-12)


@pytest.mark.analytic
def test_voltage_by_hand() -> None:
    assert isclose(voltage_deviation(253.0, 230.0), 0.1)
    assert voltage_deviation(230.0, 230.0) == 0.0


@pytest.mark.analytic
@pytest.mark.parametrize(
    ("frequency", "poles", "rpm"), [(60, 2, 3600), (60, 4, 1800), (60, 6, 1200), (60, 8, 900), (50, 6, 1000)]
)
def test_synchronous_speeds(frequency: float, poles: int, rpm: float) -> None:
    """The well-known speeds of motors."""
    assert isclose(synchronous_speed(float(frequency), poles) * 60, rpm)


@pytest.mark.property
@given(st.floats(45.0, 65.0), st.sampled_from([2, 4, 6, 8, 12]))
def test_twice_the_poles_is_half_the_speed(f: float, poles: int) -> None:
    assert isclose(synchronous_speed(f, 2 * poles), synchronous_speed(f, poles) / 2, rel_tol=1e-12)


@pytest.mark.analytic
def test_refusals() -> None:
    for bad in ((0.0, 240.0, 60.0), (1.0, 0.0, 60.0), (1.0, 240.0, 400.0), (600.0, 240.0, 60.0), (1.0, 1200.0, 60.0)):
        with pytest.raises(OutOfRange):
            capacitance(*bad)
    for bad in ((0.0, 1e-5, 0.05, 0.02), (1e-5, 0.0, 0.05, 0.02), (1e-5, 1e-5, 0.6, 0.02), (1e-5, 1e-5, 0.05, 0.0)):
        with pytest.raises(OutOfRange):
            capacitance_check(*bad)
    with pytest.raises(Unresolvable):
        lead_order({"a": 10.0})
    with pytest.raises(OutOfRange):
        lead_order({"a": 10.0, "b": 0.0})
    with pytest.raises(OutOfRange):
        lead_order({"a": 10.0, "b": 12.0}, tolerance=-0.1)
    with pytest.raises(OutOfRange):
        voltage_deviation(0.0, 230.0)
    with pytest.raises(OutOfRange):
        synchronous_speed(30.0, 6)
    with pytest.raises(OutOfRange):
        synchronous_speed(60.0, 26)
    with pytest.raises(Unresolvable, match="even number"):
        synchronous_speed(60.0, 5)
