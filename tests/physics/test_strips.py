"""Strip heat: Ohm's law forwards and backwards, and elements counted."""

from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics.strips import (
    element_resistance,
    elements_by_amps,
    elements_by_resistance,
    power_at_voltage,
    strip_power,
)

powers = st.floats(2e3, 3e4)
volts = st.floats(190.0, 260.0)
kits = st.integers(1, 6)


@pytest.mark.analytic
def test_a_kit_by_hand() -> None:
    """10 kW at 240 V in two elements: 41.67 A, 5.76 ohm, 11.52 ohm each."""
    assert isclose(strip_power(240.0, 10000.0 / 240.0), 10000.0)
    assert isclose(element_resistance(10000.0, 240.0), 5.76)
    assert isclose(element_resistance(10000.0, 240.0, 2), 11.52)
    assert isclose(power_at_voltage(10000.0, 208.0, 240.0), 10000.0 * 208.0**2 / 240.0**2)
    assert elements_by_amps(240.0, 20.8, 10000.0, 240.0, 2).nearest == 1
    assert elements_by_resistance(11.5, 10000.0, 240.0, 2).nearest == 1


@pytest.mark.property
@given(powers, volts, volts)
def test_power_follows_the_resistance(power: float, rated: float, actual: float) -> None:
    """V^2/R with the nameplate's R is V I with the current that R takes."""
    resistance = element_resistance(power, rated)
    expected = strip_power(actual, actual / resistance)
    assert isclose(power_at_voltage(power, actual, rated), expected, rel_tol=1e-12)
    assert isclose(power_at_voltage(expected, rated, actual), power, rel_tol=1e-12)


@pytest.mark.property
@given(powers, volts, volts, kits, st.data())
def test_working_elements_are_counted(
    power: float, rated: float, actual: float, fitted: int, data: st.DataObject
) -> None:
    working = data.draw(st.integers(1, fitted))
    each = element_resistance(power, rated, fitted)
    by_amps = elements_by_amps(actual, working * actual / each, power, rated, fitted)
    by_ohms = elements_by_resistance(each / working, power, rated, fitted)
    for found in (by_amps, by_ohms):
        assert found.nearest == working
        assert abs(found.remainder) < 1e-9
        assert isclose(found.elements, found.nearest + found.remainder, rel_tol=1e-12)


@pytest.mark.property
@given(powers, volts, kits, st.floats(0.94, 1.06))
def test_the_remainder_is_the_readings_error(power: float, rated: float, fitted: int, error: float) -> None:
    each = element_resistance(power, rated, fitted)
    found = elements_by_amps(rated, error * fitted * rated / each, power, rated, fitted)
    assert isclose(found.remainder, fitted * (error - 1.0), abs_tol=1e-9)


@pytest.mark.analytic
def test_refusals() -> None:
    assert elements_by_amps(240.0, 0.0, 10000.0, 240.0, 2).nearest == 0
    with pytest.raises(Unresolvable, match="another one"):
        elements_by_amps(240.0, 63.0, 10000.0, 240.0, 2)
    with pytest.raises(Unresolvable, match="another one"):
        elements_by_resistance(3.0, 10000.0, 240.0, 2)
    for call in (
        lambda: strip_power(0.0, 40.0),
        lambda: strip_power(240.0, 0.0),
        lambda: power_at_voltage(0.0, 240.0, 240.0),
        lambda: power_at_voltage(1e4, 0.0, 240.0),
        lambda: power_at_voltage(1e4, 240.0, 2e-308),
        lambda: element_resistance(1e4, 240.0, 0),
        lambda: element_resistance(1e4, 240.0, 13),
        lambda: elements_by_amps(0.0, 20.0, 1e4, 240.0, 2),
        lambda: elements_by_amps(240.0, -1.0, 1e4, 240.0, 2),
        lambda: elements_by_resistance(0.0, 1e4, 240.0, 2),
    ):
        with pytest.raises(OutOfRange):
            call()
