"""The reference shapes of blowers against their formulas as printed, in cfm, in. w.c. and watts."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics.fan import check_falling
from drawthrough.physics.fan_shapes import REFERENCE_FANS, reference_airflow, reference_specific_fan_power
from drawthrough.units import CFM, INWC

statics = st.floats(0.0, 1.0)  # in. w.c.
kinds = st.sampled_from(sorted(REFERENCE_FANS))


@pytest.mark.analytic
@pytest.mark.parametrize("inches", [0.0, 0.13, 0.5, 0.77, 1.0])
def test_reference_fan_in_the_units_of_its_source(inches: float) -> None:
    airflow = reference_airflow("psc", inches * INWC, 1200 * CFM, 0.5 * INWC) / CFM
    assert airflow == pytest.approx(1200 + 49 * (inches - 0.5) - 570 * (inches**2 - 0.25), rel=1e-12)
    power = reference_specific_fan_power("constant airflow multi stage", inches * INWC, 1400 * CFM) * CFM
    assert power == pytest.approx(0.125 + 0.25 * inches - 0.01 * inches**2, rel=1e-12)
    edge = reference_specific_fan_power("psc", inches * INWC, 2000 * CFM) * CFM
    assert edge == pytest.approx(0.57 - 0.2 * inches + 0.19 * inches**2, rel=1e-12)


@pytest.mark.property
@given(kinds, statics, statics, st.floats(1000.0, 1800.0))
def test_reference_curve_is_one_curve(kind: str, first: float, second: float, cfm: float) -> None:
    """Whichever of its points is known, it is the same curve."""
    there = reference_airflow(kind, second * INWC, cfm * CFM, first * INWC)
    assert reference_airflow(kind, first * INWC, there, second * INWC) == pytest.approx(cfm * CFM, rel=1e-12)
    h = 1e-3
    if h < second < 1 - h:
        ahead, behind = (reference_airflow(kind, (second + s * h) * INWC, there, second * INWC) for s in (1, -1))
        fan = REFERENCE_FANS[kind]
        slope = fan.airflow_linear + 2 * fan.airflow_square * second * INWC
        assert (ahead - behind) / (2 * h * INWC) == pytest.approx(slope, rel=1e-7, abs=1e-12)


@pytest.mark.property
@given(kinds, statics, st.floats(800.0, 2000.0))
def test_reference_power_is_continuous_in_size(kind: str, inches: float, cfm: float) -> None:
    here = reference_specific_fan_power(kind, inches * INWC, cfm * CFM)
    there = reference_specific_fan_power(kind, inches * INWC, min(cfm + 0.01, 2000.0) * CFM)
    assert there == pytest.approx(here, rel=1e-4)
    assert here > 0.0


@pytest.mark.analytic
def test_reference_fans_fall_as_their_motors_must() -> None:
    static = [0.1 * k * INWC for k in range(11)]
    for kind in REFERENCE_FANS:
        airflow = [reference_airflow(kind, p, 1200 * CFM, 0.5 * INWC) for p in static]
        motor = "constant torque" if kind.startswith("constant torque") else "psc"
        if kind.startswith("constant airflow"):
            assert max(airflow) / min(airflow) < 1.03
        elif kind != "psc with controls":  # its controls raise the speed: it rises by 3 % up to 0.4 in. w.c.
            assert check_falling(static, airflow, motor) == []


@pytest.mark.analytic
def test_reference_fan_outside_its_fit_is_refused() -> None:
    for static in (-0.1, 1.01 * INWC, math.nan):
        with pytest.raises(OutOfRange):
            reference_airflow("psc", static, 0.5, 100.0)
        with pytest.raises(OutOfRange):
            reference_airflow("psc", 100.0, 0.5, static)
        with pytest.raises(OutOfRange):
            reference_specific_fan_power("psc", static, 0.5)
    for cfm in (799.0, 2001.0, math.nan):
        with pytest.raises(OutOfRange):
            reference_specific_fan_power("psc", 100.0, cfm * CFM)
    with pytest.raises(OutOfRange):
        reference_airflow("psc", 1.0 * INWC, 400 * CFM, 0.1 * INWC)  # none left
    with pytest.raises(Unresolvable):
        reference_airflow("hand", 100.0, 0.5, 100.0)
    with pytest.raises(Unresolvable):
        reference_specific_fan_power("hand", 100.0, 0.5)
