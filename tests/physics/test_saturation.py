"""Saturated air: the two equations, the enhancement factor, and the inverse."""

from math import exp, log

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange
from drawthrough.physics import saturation
from drawthrough.physics.saturation import TRIPLE_POINT, enhancement_factor, saturation_pressure

pressures = st.floats(60e3, 110e3)


@pytest.mark.independent
@pytest.mark.parametrize("temperature", [220.0, 240.0, 260.0, 273.0, 275.0, 290.0, 310.0, 330.0, 353.0])
def test_saturation_pressure_against_iapws(temperature: float) -> None:
    """The handbook claims 300 ppm for its equations; over ice below -40 C they miss that by a little (320 ppm)."""
    humid = pytest.importorskip("CoolProp.HumidAirProp")
    reference = humid.HAProps_Aux("p_ws", temperature, 101325.0, 0.0)[0]
    assert saturation_pressure(temperature) == pytest.approx(reference, rel=3e-4 if temperature > 233.15 else 3.3e-4)


@pytest.mark.independent
def test_enhancement_factor_against_rp_1485() -> None:
    """The fit stays within what its docstring says, over its whole range."""
    humid = pytest.importorskip("CoolProp.HumidAirProp")

    def off(temperature: float, pressure: float) -> float:
        reference = humid.HAProps_Aux("f", temperature, pressure, 0.0)[0]
        return abs(enhancement_factor(temperature, pressure) / reference - 1.0)

    stations = [60e3, 65e3, 75e3, 85e3, 95e3, 101325.0, 110e3]
    water = [off(273.17 + 80.0 * part / 53 * 0.999, p) for part in range(54) for p in stations]
    ice = [off(223.15 + 50.0 * part / 33, p) for part in range(34) for p in stations]
    cold = [off(173.15 + 50.0 * part / 17, p) for part in range(18) for p in stations]
    assert max(water) < 8.5e-5
    assert max(ice) < 8e-5
    assert max(cold) < 3.5e-4


@pytest.mark.analytic
@pytest.mark.parametrize("temperature", [255.0, 268.0, 280.0, 300.0, 320.0])
def test_clausius_clapeyron(temperature: float) -> None:
    """The slope of ln p gives the heat of vaporisation or sublimation, as far as vapour is an ideal gas."""
    step = 0.01
    slope = log(saturation_pressure(temperature + step) / saturation_pressure(temperature - step)) / (2 * step)
    celsius = temperature - 273.15
    heat = 2.8342e6 - 250.0 * celsius if celsius < 0 else 2.5009e6 - 2365.0 * celsius
    assert slope * 461.52 * temperature**2 == pytest.approx(heat, rel=4e-3)


@pytest.mark.property
@given(st.floats(173.2, 472.0), st.floats(1e-3, 1.0))
def test_saturation_pressure_rises(temperature: float, step: float) -> None:
    """Warmer is more, across the change from ice to water as well."""
    assert saturation_pressure(temperature + step) > saturation_pressure(temperature)


@pytest.mark.property
@given(pressures)
def test_no_step_where_ice_melts(pressure: float) -> None:
    """Over ice and over water, pressure and factor meet at the triple point: 1e-5 of vapour is 0.1 mK of dew point."""
    below = TRIPLE_POINT - 1e-9
    assert saturation_pressure(below) == pytest.approx(saturation_pressure(TRIPLE_POINT), rel=2e-6)
    assert enhancement_factor(below, pressure) == pytest.approx(enhancement_factor(TRIPLE_POINT, pressure), rel=1e-5)


@pytest.mark.property
@given(st.floats(173.2, 353.0), pressures)
def test_slope_against_finite_difference(temperature: float, pressure: float) -> None:
    """The derivative that Newton uses is the derivative of the function."""
    step = 1e-3
    if abs(temperature - TRIPLE_POINT) <= step:
        temperature += 3 * step
    held, slope = saturation._saturated_and_slope(temperature, pressure)
    high, low = (saturation._saturated(temperature + sign * step, pressure) for sign in (1, -1))
    assert held == pytest.approx(saturation._saturated(temperature, pressure), rel=1e-13)
    assert slope == pytest.approx(log(high / low) / (2 * step), rel=1e-6)


@pytest.mark.property
@given(st.floats(-6.0, 10.7), pressures)
def test_dew_point_is_found_in_one_step(logarithm: float, pressure: float) -> None:
    """The guess is good enough for a single Newton step to reach 2e-6 K, and 2e-5 K in steam above 50 C."""
    vapour = exp(logarithm)
    found = saturation._dew_point(vapour, pressure)
    held, slope = saturation._saturated_and_slope(found, pressure)
    assert abs(log(vapour / held) / slope) < (2e-6 if vapour < 12e3 else 2e-5)


@pytest.mark.property
@given(st.floats(200.0, 340.0), st.floats(61e3, 100e3))
def test_enhancement_grows_with_pressure(temperature: float, pressure: float) -> None:
    """Air presses vapour out of the water: more air, more of it, and never less than without air."""
    assert 1.0 < enhancement_factor(temperature, pressure) < enhancement_factor(temperature, pressure + 5e3)


@pytest.mark.analytic
@pytest.mark.parametrize("temperature", [173.0, 474.0, float("nan")])
def test_saturation_pressure_refuses(temperature: float) -> None:
    """Outside the equations there is no answer."""
    with pytest.raises(OutOfRange, match="Hyland-Wexler"):
        saturation_pressure(temperature)


@pytest.mark.analytic
@pytest.mark.parametrize(("temperature", "pressure"), [(173.0, 1e5), (354.0, 1e5), (300.0, 59e3), (300.0, 111e3)])
def test_enhancement_factor_refuses(temperature: float, pressure: float) -> None:
    """Outside the fit there is no answer."""
    with pytest.raises(OutOfRange, match="RP-1485"):
        enhancement_factor(temperature, pressure)
