"""The fits to measured blowers against their formulas as printed, in cfm, in. w.c. and watts."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange
from drawthrough.physics.measured_fans import (
    measured_ecm,
    measured_ecm_speed,
    measured_psc_airflow,
    measured_psc_power,
    measured_psc_speed,
)
from drawthrough.units import CFM, INWC

statics = st.floats(0.0, 1.0)  # in. w.c.
HIGH = 2405 * CFM


@pytest.mark.analytic
@pytest.mark.parametrize("inches", [0.0, 0.21, 0.5, 0.8])
def test_measured_fits_in_the_units_of_their_source(inches: float) -> None:
    def fall(p: float) -> float:
        return 10 * (math.exp(5.35 * p) - 1)

    static = inches * INWC
    airflow = 1003 + fall(0.5) - fall(inches)
    assert measured_psc_airflow(static, 1003 * CFM) / CFM == pytest.approx(airflow, rel=1e-12)
    free, top = 1003 + fall(0.5), 1179 + fall(0.5)
    power = 0.33 * (1 + 0.3 * (free / top - 1)) * airflow
    assert measured_psc_power(static, 1003 * CFM, 1179 * CFM, 0.33 / CFM) == pytest.approx(power, rel=1e-12)
    blocked = math.log(free / 10 + 1) / 5.35
    speed = 1040 * free / top + (1100 - 1040 * free / top) * inches / blocked
    assert measured_psc_speed(static, 1003 * CFM, 1179 * CFM) * 60 == pytest.approx(speed, rel=1e-12)

    held = measured_ecm(static, 1760 * CFM, HIGH, 0.3665 / CFM, 1000.0)
    power = 1760 * ((0.3665 - 0.235 * 0.5) * (1760 / 2405) ** 2 + 0.235 * inches)
    assert held == pytest.approx((1760 * CFM, power, True), rel=1e-12)
    speed = (1100 - 463.5 * (0.5 - inches)) * 1760 / 2405
    assert measured_ecm_speed(static, 1760 * CFM, HIGH) * 60 == pytest.approx(speed, rel=1e-12)


@pytest.mark.analytic
def test_power_limit() -> None:
    limited = measured_ecm(0.8 * INWC, HIGH, HIGH, 0.3665 / CFM, 1000.0)
    unlimited = 2405 * (0.3665 - 0.235 * 0.5 + 0.235 * 0.8)
    assert limited.blower_power == 1000.0
    assert not limited.held
    assert limited.airflow == pytest.approx(HIGH * math.sqrt(1000 / unlimited), rel=1e-12)


@pytest.mark.property
@given(st.floats(0.0, 0.8), st.floats(0.0, 0.8), st.floats(900.0, 1300.0))
def test_measured_psc_falls_and_speeds_up(first: float, second: float, cfm: float) -> None:
    """Choked, a PSC blower moves less, draws less and turns faster."""
    low, high = sorted((first * INWC, second * INWC))
    if high - low < 0.1:
        return
    q, top, sfp = cfm * CFM, 1300 * CFM, 0.33 / CFM
    assert measured_psc_airflow(high, q) < measured_psc_airflow(low, q)
    assert measured_psc_power(high, q, top, sfp) < measured_psc_power(low, q, top, sfp)
    assert measured_psc_speed(high, q, top) > measured_psc_speed(low, q, top)


@pytest.mark.property
@given(statics, st.floats(1000.0, 2405.0), st.floats(500.0, 1200.0))
def test_measured_ecm_draws_more_when_choked_up_to_its_limit(inches: float, cfm: float, limit: float) -> None:
    here = measured_ecm(inches * INWC, cfm * CFM, HIGH, 0.3665 / CFM, limit)
    there = measured_ecm(min(inches + 0.001, 1.0) * INWC, cfm * CFM, HIGH, 0.3665 / CFM, limit)
    assert here.blower_power <= there.blower_power + 1e-9 <= limit + 2e-9
    assert there.airflow <= here.airflow * (1 + 1e-12)
    assert there.airflow == pytest.approx(here.airflow, rel=2e-3)
    assert here.held == (here.airflow == cfm * CFM)
    n = 1e-3
    if n < inches < 1 - n:
        ahead, behind = (measured_ecm_speed((inches + s * n) * INWC, cfm * CFM, HIGH) * 60 for s in (1, -1))
        assert (ahead - behind) / (2 * n) == pytest.approx(463.5 * cfm / 2405, rel=1e-8)


@pytest.mark.analytic
def test_measured_fits_outside_their_range_are_refused() -> None:
    good = 0.5
    for static in (-0.1, 1.01 * INWC, math.nan):
        with pytest.raises(OutOfRange):
            measured_psc_airflow(static, good)
        with pytest.raises(OutOfRange):
            measured_psc_speed(static, good, good)
        with pytest.raises(OutOfRange):
            measured_psc_power(static, good, good, 800.0)
        with pytest.raises(OutOfRange):
            measured_ecm(static, good, good, 800.0, 1000.0)
        with pytest.raises(OutOfRange):
            measured_ecm_speed(static, good, good)
    for airflow in (0.0, 2.1, math.nan):
        with pytest.raises(OutOfRange):
            measured_psc_airflow(50.0, airflow)
        with pytest.raises(OutOfRange):
            measured_psc_speed(50.0, airflow, good)
        with pytest.raises(OutOfRange):
            measured_psc_power(50.0, good, airflow, 800.0)
        with pytest.raises(OutOfRange):
            measured_ecm(50.0, airflow, good, 800.0, 1000.0)
        with pytest.raises(OutOfRange):
            measured_ecm_speed(50.0, good, airflow)
    with pytest.raises(OutOfRange):
        measured_psc_airflow(1.0 * INWC, 1003 * CFM)  # blocked at 0.89 in. w.c.
    with pytest.raises(OutOfRange) as refusal:
        measured_psc_speed(1.0 * INWC, 1003 * CFM, 1179 * CFM)
    assert refusal.value.limits[1] / INWC == pytest.approx(math.log(114.5 + 0.3) / 5.35, rel=1e-2)
    for power in (0.0, math.nan, 2e4):
        with pytest.raises(OutOfRange):
            measured_psc_power(50.0, good, good, power)
        with pytest.raises(OutOfRange):
            measured_ecm(50.0, good, good, power, 1000.0)
        with pytest.raises(OutOfRange):
            measured_ecm(50.0, good, good, 800.0, power)
