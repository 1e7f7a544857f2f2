"""The wet bulb, both ways, above and below freezing."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange
from drawthrough.physics import psychrometer
from drawthrough.physics.air_properties import _water, enthalpy
from drawthrough.physics.humidity import humidity_ratio_from_relative_humidity
from drawthrough.physics.psychrometer import humidity_ratio_from_wet_bulb, wet_bulb
from drawthrough.physics.saturation import TRIPLE_POINT

dry_bulbs = st.floats(215.0, 345.0)
shares = st.floats(1e-3, 1.0)
pressures = st.floats(60e3, 110e3)


def humid(dry_bulb: float, share: float, pressure: float) -> float:
    """A humidity ratio of air; what would be above 0.2 is left out."""
    try:
        return humidity_ratio_from_relative_humidity(dry_bulb, share, pressure)
    except OutOfRange:
        assume(False)
        raise


@pytest.mark.independent
@pytest.mark.parametrize("pressure", [70e3, 84.3e3, 101325.0])
@pytest.mark.parametrize(("dry_bulb", "bulb"), [(300.0, 292.0), (318.0, 291.0), (290.0, 289.0), (271.0, 269.5)])
def test_humidity_against_coolprop(dry_bulb: float, bulb: float, pressure: float) -> None:
    """The humidity ratio from a wet bulb is that of the real-gas formulation, within 0.05 % of the saturated one."""
    ratio = pytest.importorskip("CoolProp.HumidAirProp").HAPropsSI
    reference = ratio("W", "T", dry_bulb, "B", bulb, "P", pressure)
    saturated = ratio("W", "T", bulb, "R", 1.0, "P", pressure)
    assert abs(humidity_ratio_from_wet_bulb(dry_bulb, bulb, pressure) - reference) < 5e-4 * saturated


@pytest.mark.independent
@pytest.mark.parametrize("celsius", [-6.0, 5.0, 15.0, 25.0, 40.0])
def test_wet_bulb_against_psychrolib(celsius: float) -> None:
    """Without enhancement factor and with constant heat capacities another library stays within 0.1 K."""
    psychrolib = pytest.importorskip("psychrolib")
    psychrolib.SetUnitSystem(psychrolib.SI)
    w = humidity_ratio_from_relative_humidity(celsius + 273.15, 0.6, 95e3)
    reference = psychrolib.GetTWetBulbFromHumRatio(celsius, w, 95e3) + 273.15
    assert wet_bulb(celsius + 273.15, w, 95e3) == pytest.approx(reference, abs=0.1)


@pytest.mark.property
@given(dry_bulbs, shares, pressures)
def test_there_and_back(dry_bulb: float, share: float, pressure: float) -> None:
    """The two functions are inverse to each other, to what 1e-6 K of wet bulb is worth."""
    w = humid(dry_bulb, share, pressure)
    found = wet_bulb(dry_bulb, w, pressure)
    assume(found <= dry_bulb and found > 213.15)
    assert humidity_ratio_from_wet_bulb(dry_bulb, found, pressure) == pytest.approx(w, rel=1e-7, abs=2e-8)


@pytest.mark.analytic
@given(dry_bulbs, shares, pressures)
def test_energy_balance(dry_bulb: float, share: float, pressure: float) -> None:
    """Air and the water that it takes up hold together what the saturated air holds."""
    w = humid(dry_bulb, share, pressure)
    found = wet_bulb(dry_bulb, w, pressure)
    assume(found > 213.15)
    saturated = humid(found, 1.0, pressure)
    left = enthalpy(dry_bulb, w, pressure) + (saturated - w) * _water(found)
    assert left == pytest.approx(enthalpy(found, saturated, pressure), abs=0.05)


@pytest.mark.property
@given(dry_bulbs, shares, pressures, st.floats(0.9, 0.999))
def test_drier_air_has_a_lower_wet_bulb(dry_bulb: float, share: float, pressure: float, less: float) -> None:
    """Between dew point and dry bulb, and lower the drier the air: across freezing as well."""
    w = humid(dry_bulb, share, pressure)
    moist, dry = wet_bulb(dry_bulb, w, pressure), wet_bulb(dry_bulb, w * less, pressure)
    assert dry <= moist + 1e-6
    assert moist <= dry_bulb + 1e-6


@pytest.mark.property
@given(dry_bulbs, pressures)
def test_saturated_air_is_at_its_wet_bulb(dry_bulb: float, pressure: float) -> None:
    """Without evaporation the wick is as warm as the air; where ice melts, as near as the two factors meet."""
    w = humid(dry_bulb, 1.0, pressure)
    near = 1e-4 if abs(dry_bulb - TRIPLE_POINT) < 1e-3 else 1e-5
    assert wet_bulb(dry_bulb, w, pressure) == pytest.approx(dry_bulb, abs=near)
    assert humidity_ratio_from_wet_bulb(dry_bulb, dry_bulb, pressure) == pytest.approx(w, rel=1e-12)


@pytest.mark.property
@given(st.floats(274.0, 282.0), st.floats(0.02, 0.98))
def test_two_wicks_about_freezing(dry_bulb: float, part: float) -> None:
    """Where a wet and an iced wick both balance, the iced one is given, and it is the lower."""
    wet = humidity_ratio_from_wet_bulb(dry_bulb, TRIPLE_POINT, 101325.0)
    iced = humidity_ratio_from_wet_bulb(dry_bulb, TRIPLE_POINT - 1e-9, 101325.0)
    assert iced > wet
    w = wet + part * (iced - wet)
    found = wet_bulb(dry_bulb, w, 101325.0)
    other = psychrometer._newton(275.0, w, 101325.0, enthalpy(dry_bulb, w), TRIPLE_POINT, 400.0)
    assert found < TRIPLE_POINT <= other < found + 0.8
    assert humidity_ratio_from_wet_bulb(dry_bulb, other, 101325.0) == pytest.approx(w, rel=1e-6)


@pytest.mark.analytic
def test_a_wet_bulb_above_the_dry_bulb_is_refused() -> None:
    """The refusal says why, and names the dry bulb as the limit."""
    with pytest.raises(OutOfRange, match="no wet bulb lies above its dry bulb") as refusal:
        humidity_ratio_from_wet_bulb(295.0, 295.1, 101325.0)
    assert refusal.value.limits[1] == 295.0


@pytest.mark.analytic
def test_a_wet_bulb_below_that_of_dry_air_is_refused() -> None:
    """The lower limit named is the wet bulb of dry air, which itself passes."""
    with pytest.raises(OutOfRange, match="nor below that of dry air") as refusal:
        humidity_ratio_from_wet_bulb(310.0, 283.0, 101325.0)
    lowest = refusal.value.limits[0]
    assert lowest == pytest.approx(wet_bulb(310.0, 0.0, 101325.0), abs=1e-6)
    assert humidity_ratio_from_wet_bulb(310.0, lowest + 1e-5, 101325.0) == pytest.approx(0.0, abs=1e-7)


@pytest.mark.analytic
def test_out_of_range_is_refused() -> None:
    """Temperature, pressure and humidity outside the fit; more vapour than air can hold."""
    for dry_bulb, w, pressure in ((200.0, 0.0, 1e5), (354.0, 0.01, 1e5), (300.0, 0.01, 5e4), (300.0, -0.01, 1e5)):
        with pytest.raises(OutOfRange):
            wet_bulb(dry_bulb, w, pressure)
    with pytest.raises(OutOfRange, match="holds no more"):
        wet_bulb(290.0, 0.02, 101325.0)
    with pytest.raises(OutOfRange, match="humidity_ratio"):
        humidity_ratio_from_wet_bulb(350.0, 345.0, 101325.0)
