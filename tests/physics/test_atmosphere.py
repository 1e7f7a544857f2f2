"""The standard atmosphere, the station's pressure, viscosity."""

from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange
from drawthrough.physics.atmosphere import check_station_pressure, standard_pressure, viscosity

altitudes = st.floats(-500.0, 6000.0)


@pytest.mark.independent
@pytest.mark.parametrize("altitude", [-500.0, 0.0, 300.0, 1524.0, 3048.0, 6000.0])
def test_standard_pressure_against_psychrolib(altitude: float) -> None:
    """The same equation, in another's hand."""
    psychrolib = pytest.importorskip("psychrolib")
    psychrolib.SetUnitSystem(psychrolib.SI)
    assert standard_pressure(altitude) == pytest.approx(psychrolib.GetStandardAtmPressure(altitude), rel=1e-9)


@pytest.mark.analytic
def test_standard_pressure_is_hydrostatic() -> None:
    """Near the ground, pressure falls by density times gravity: 1.225 kg/m3."""
    assert (standard_pressure(-5.0) - standard_pressure(5.0)) / 10.0 == pytest.approx(1.225 * 9.80665, rel=1e-3)


@pytest.mark.property
@given(st.floats(-500.0, 5999.0))
def test_standard_pressure_falls(altitude: float) -> None:
    """Higher is less, and never less than an isothermal atmosphere would fall from there."""
    here, above = standard_pressure(altitude), standard_pressure(altitude + 1.0)
    assert here * exp(-1.0 / 7000.0) < above < here


@pytest.mark.property
@given(altitudes, st.floats(-0.0499, 0.0499))
def test_weather_passes(altitude: float, share: float) -> None:
    """Within 5 % of the standard atmosphere a reading is handed back unchanged."""
    pressure = standard_pressure(altitude) * (1.0 + share)
    assert check_station_pressure(pressure, altitude) == pressure


@pytest.mark.property
@given(altitudes, st.floats(0.0501, 0.9), st.sampled_from([-1, 1]))
def test_beyond_weather_is_refused(altitude: float, share: float, sign: int) -> None:
    """Beyond 5 % it is refused, and the limits are named."""
    pressure = standard_pressure(altitude) * (1.0 + sign * share)
    with pytest.raises(OutOfRange, match="altitude") as refusal:
        check_station_pressure(pressure, altitude)
    assert refusal.value.limits[0] < standard_pressure(altitude) < refusal.value.limits[1]


@pytest.mark.analytic
def test_the_trap_of_the_barometer() -> None:
    """29.9 in. Hg at 5,000 ft is the sea's barometer, 20 % too dense; 24.9 is the station's."""
    inch = 3386.389
    with pytest.raises(OutOfRange):
        check_station_pressure(29.9 * inch, 1524.0)
    assert check_station_pressure(24.9 * inch, 1524.0) == 24.9 * inch


@pytest.mark.analytic
@pytest.mark.parametrize("altitude", [-501.0, 6001.0, float("nan")])
def test_altitude_refused(altitude: float) -> None:
    """No house stands there."""
    with pytest.raises(OutOfRange):
        standard_pressure(altitude)


@pytest.mark.independent
@pytest.mark.parametrize("dry_bulb", [250.0, 273.15, 300.0, 325.0, 350.0])
def test_viscosity_against_coolprop(dry_bulb: float) -> None:
    """Sutherland's formula stays within 0.7 % of Lemmon and Jacobsen 2004, always on the low side."""
    reference = pytest.importorskip("CoolProp.CoolProp").PropsSI("V", "T", dry_bulb, "P", 101325.0, "Air")
    assert 0.993 * reference < viscosity(dry_bulb) < reference


@pytest.mark.property
@given(st.floats(201.0, 399.0))
def test_viscosity_rises_by_its_own_law(dry_bulb: float) -> None:
    """The slope is that of Sutherland's law: d ln mu / d ln T = 3/2 - T / (T + S)."""
    step = 1e-3
    slope = (viscosity(dry_bulb + step) - viscosity(dry_bulb - step)) / (2 * step) / viscosity(dry_bulb) * dry_bulb
    assert slope == pytest.approx(1.5 - dry_bulb / (dry_bulb + 110.4), rel=1e-6)


@pytest.mark.analytic
@pytest.mark.parametrize("dry_bulb", [199.0, 401.0])
def test_viscosity_refuses(dry_bulb: float) -> None:
    """Outside 200 to 400 K there is no answer."""
    with pytest.raises(OutOfRange):
        viscosity(dry_bulb)
