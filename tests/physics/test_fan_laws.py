"""The fan laws among themselves, and power against airflow and static."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange
from drawthrough.physics.fan_laws import (
    air_power,
    airflow_at_speed,
    power_at_speed,
    specific_fan_power,
    static_at_speed,
    static_efficiency,
    system_static,
)
from drawthrough.units import CFM, INWC

speeds = st.floats(10.0, 20.0)
airflows = st.floats(0.3, 1.2)
statics = st.floats(10.0, 300.0)
densities = st.floats(0.8, 1.4)


@pytest.mark.analytic
def test_twice_the_speed() -> None:
    assert airflow_at_speed(0.3, 9.0, 18.0) == 0.6
    assert static_at_speed(30.0, 9.0, 18.0) == 120.0
    assert power_at_speed(30.0, 9.0, 18.0) == 240.0
    assert static_at_speed(30.0, 9.0, 9.0, 1.2, 0.9) == pytest.approx(22.5)
    assert power_at_speed(30.0, 9.0, 9.0, 1.2, 0.9) == pytest.approx(22.5)
    assert system_static(30.0, 0.3, 0.6) == 120.0
    assert system_static(30.0, 0.3, 0.6, 1.0) == pytest.approx(60.0)


@pytest.mark.property
@given(airflows, statics, speeds, speeds, densities, densities)
def test_laws_hold_together(
    airflow: float, static: float, first: float, second: float, rho_first: float, rho_second: float
) -> None:
    """Power goes as airflow times static, static as the duct's square, and the way back is the way there."""
    at_second = airflow_at_speed(airflow, first, second)
    static_second = static_at_speed(static, first, second, rho_first, rho_second)
    power_second = power_at_speed(airflow * static, first, second, rho_first, rho_second)
    assert power_second == pytest.approx(at_second * static_second, rel=1e-12)
    assert static_at_speed(static, first, second) == pytest.approx(system_static(static, airflow, at_second), rel=1e-12)
    assert airflow_at_speed(at_second, second, first) == pytest.approx(airflow, rel=1e-12)
    assert static_at_speed(static_second, second, first, rho_second, rho_first) == pytest.approx(static, rel=1e-12)
    assert power_at_speed(power_second, second, first, rho_second, rho_first) == pytest.approx(
        airflow * static, rel=1e-12
    )


@pytest.mark.property
@given(airflows, airflows, statics, st.floats(1.0, 2.0))
def test_system_turns_around(first: float, second: float, static: float, exponent: float) -> None:
    there = system_static(static, first, second, exponent)
    assert system_static(there, second, first, exponent) == pytest.approx(static, rel=1e-11)
    assert (there > static) == (second > first) or there == pytest.approx(static, rel=1e-12)


@pytest.mark.analytic
def test_power_in_the_units_of_the_trade() -> None:
    # 1 cfm against 1 in. w.c. in foot-pounds: 1 ft3/min times 5.20233 lbf/ft2, 1 lbf is 0.45359237 kg at 9.80665 m/s2.
    by_hand = 62.427961 / 12 * 0.45359237 * 9.80665 * 0.3048 / 60
    assert air_power(CFM, INWC) == pytest.approx(by_hand, rel=1e-7)
    assert specific_fan_power(400.0, 0.5) == 800.0
    assert static_efficiency(124.0, 800.0) == 0.155


@pytest.mark.property
@given(airflows, statics, st.floats(100.0, 1000.0))
def test_efficiency_is_air_power_over_electric_power(airflow: float, static: float, power: float) -> None:
    share = air_power(airflow, static) / power
    if share > 1.0:
        with pytest.raises(OutOfRange):
            static_efficiency(static, specific_fan_power(power, airflow))
    else:
        assert static_efficiency(static, specific_fan_power(power, airflow)) == pytest.approx(share, rel=1e-12)


@pytest.mark.analytic
def test_what_cannot_be_is_refused() -> None:
    bad = math.nan
    for value in (0.0, -1.0, 101.0, bad):
        for call in (airflow_at_speed, static_at_speed, power_at_speed):
            with pytest.raises(OutOfRange):
                call(0.5, value, 18.0)
            with pytest.raises(OutOfRange):
                call(0.5, 18.0, value)
    for value in (0.0, -0.1, bad):
        with pytest.raises(OutOfRange):
            airflow_at_speed(value, 18.0, 18.0)
        with pytest.raises(OutOfRange):
            power_at_speed(value, 18.0, 18.0)
        with pytest.raises(OutOfRange):
            system_static(100.0, value, 0.5)
        with pytest.raises(OutOfRange):
            system_static(100.0, 0.5, value)
        with pytest.raises(OutOfRange):
            air_power(value, 100.0)
        with pytest.raises(OutOfRange):
            specific_fan_power(400.0, value)
        with pytest.raises(OutOfRange):
            static_efficiency(100.0, value)
    for value in (5001.0, bad):
        with pytest.raises(OutOfRange):
            static_at_speed(value, 18.0, 18.0)
        with pytest.raises(OutOfRange):
            system_static(value, 0.5, 0.5)
        with pytest.raises(OutOfRange):
            air_power(0.5, value)
        with pytest.raises(OutOfRange):
            static_efficiency(value, 800.0)
    with pytest.raises(OutOfRange):
        system_static(100.0, 0.5, 0.5, 2.1)
    with pytest.raises(OutOfRange):
        specific_fan_power(-1.0, 0.5)
    for call in (static_at_speed, power_at_speed):
        with pytest.raises(OutOfRange):
            call(100.0, 18.0, 18.0, 0.1, 1.2)
        with pytest.raises(OutOfRange):
            call(100.0, 18.0, 18.0, 1.2, 3.0)
