"""Airflow by electric heat and by registers, on its three bases."""

from math import isclose

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange
from drawthrough.physics import moist_air
from drawthrough.physics.airflow import (
    STANDARD_DRY_BULB,
    airflow_of_heat,
    airflow_of_mass_flow,
    airflow_of_volume,
    register_airflow,
    strip_airflow,
)
from drawthrough.physics.heat_rise import heat_rise

powers = st.floats(500.0, 30_000.0)
rises = st.floats(2.0, 60.0)
humidities = st.floats(0.0, 1.0)
dry_bulbs = st.floats(283.0, 308.0)
altitudes = st.floats(-100.0, 3000.0)
mass_flows = st.floats(0.0, 5.0)
volumes = st.floats(0.6, 1.5)


@pytest.mark.analytic
def test_standard_air_has_one_volume() -> None:
    """Dry air of 0.075 lb/ft3, which is 13 1/3 ft3/lb: actual and standard airflow are the same."""
    volume = 13 + 1 / 3
    found = airflow_of_mass_flow(0.5, volume * 0.3048**3 / 0.45359237)
    assert isclose(found.airflow, found.standard_airflow, rel_tol=1e-12)
    assert isclose(found.airflow / (0.3048**3 / 60), 0.5 / 0.45359237 * 60 * volume, rel_tol=1e-12)


@pytest.mark.analytic
def test_volume_over_specific_volume_is_mass() -> None:
    found = airflow_of_volume(0.6, 0.8)
    assert isclose(found.mass_flow, 0.75, rel_tol=1e-15)
    assert isclose(found.airflow, 0.6, rel_tol=1e-15)
    assert isclose(register_airflow([0.1, 0.2, 0.3], 0.8).mass_flow, 0.75, rel_tol=1e-15)


@pytest.mark.independent
@pytest.mark.parametrize(
    ("dry_bulb", "humidity", "pressure", "rise", "power"),
    [
        (294.26, 0.45, 101325.0, 12.0, 9600.0),
        (297.0, 0.60, 101325.0, 25.0, 19200.0),
        (293.0, 0.30, 84307.0, 15.0, 9600.0),
        (288.0, 0.20, 90000.0, 30.0, 14400.0),
    ],
)
def test_strips_against_real_enthalpies(
    dry_bulb: float, humidity: float, pressure: float, rise: float, power: float
) -> None:
    """Power over the rise of CoolProp's enthalpy at equal humidity ratio, and CoolProp's volume at the return.

    A heat capacity that does not know the temperature is good to 0.1 % (as `humid_heat` says of itself), the volume to
    0.05 %.
    """
    humid_air = pytest.importorskip("CoolProp.HumidAirProp")
    at_return = ("T", dry_bulb, "P", pressure, "R", humidity)
    ratio = humid_air.HAPropsSI("W", *at_return)
    before = humid_air.HAPropsSI("H", *at_return)
    after = humid_air.HAPropsSI("H", "T", dry_bulb + rise, "P", pressure, "W", ratio)
    found = strip_airflow(240.0, power / 240.0, rise, 0.0, 0.0, 0.0, dry_bulb, humidity, pressure=pressure)
    assert isclose(found.mass_flow, power / (after - before), rel_tol=1.2e-3)
    assert isclose(found.airflow / found.mass_flow, humid_air.HAPropsSI("V", *at_return), rel_tol=5e-4)


@pytest.mark.analytic
def test_a_zero_cancels_what_stays() -> None:
    """A blower of 450 W, a cold leak and probes that differ add to both rises: a zero leaves the strips' answer.

    Without a zero, blower watts given, the offset of 0.6 K is read as less air.
    """
    mass_flow, ratio = 0.7, moist_air.humidity_ratio_from_relative_humidity(295.0, 0.5, 101325.0)
    by_strips, by_blower = heat_rise(9600.0, mass_flow, ratio), heat_rise(450.0, mass_flow, ratio)
    offset = 0.6
    state = {"dry_bulb": 295.0, "relative_humidity": 0.5}
    on, off = by_strips + by_blower + offset, by_blower + offset
    assert isclose(strip_airflow(240.0, 40.0, on, off, **state).mass_flow, mass_flow, rel_tol=1e-12)
    alone = strip_airflow(240.0, 40.0, on, blower_power=450.0, **state).mass_flow
    assert isclose(alone, mass_flow * (by_strips + by_blower) / on, rel_tol=1e-12)
    assert isclose(strip_airflow(240.0, 40.0, on, off, 450.0, **state).mass_flow, mass_flow, rel_tol=1e-12)


@pytest.mark.analytic
def test_heat_that_is_lost_before_the_probe() -> None:
    """96 of 9600 W lost through the walls: the airflow is 1 % less than without."""
    whole = strip_airflow(240.0, 40.0, 13.0, 0.5).mass_flow
    assert isclose(strip_airflow(240.0, 40.0, 13.0, 0.5, heat_loss=96.0).mass_flow, 0.99 * whole, rel_tol=1e-12)


@pytest.mark.analytic
def test_without_a_state_the_air_is_standard() -> None:
    """Dry, 70 F, sea level; altitude alone or its pressure say the same."""
    left_out = airflow_of_heat(9600.0, 13.0)
    assert left_out == airflow_of_heat(9600.0, 13.0, STANDARD_DRY_BULB, 0.0, pressure=101325.0)
    assert left_out == airflow_of_heat(9600.0, 13.0, altitude=0.0)
    assert isclose(left_out.airflow, left_out.standard_airflow, rel_tol=2e-3)
    high = airflow_of_heat(9600.0, 13.0, altitude=1500.0)
    assert high == airflow_of_heat(9600.0, 13.0, pressure=moist_air.standard_pressure(1500.0))
    assert high == airflow_of_heat(9600.0, 13.0, altitude=1500.0, pressure=moist_air.standard_pressure(1500.0))


@pytest.mark.property
@given(powers, rises, dry_bulbs, humidities, altitudes)
def test_airflow_and_rise_are_inverse(
    power: float, rise: float, dry_bulb: float, humidity: float, altitude: float
) -> None:
    """The rise that the heat makes in the airflow found is the rise that was read."""
    found = airflow_of_heat(power, rise, dry_bulb, humidity, altitude)
    pressure = moist_air.standard_pressure(altitude)
    ratio = moist_air.humidity_ratio_from_relative_humidity(dry_bulb, humidity, pressure)
    assert isclose(heat_rise(power, found.mass_flow, ratio), rise, rel_tol=1e-12)
    assert isclose(found.airflow, found.mass_flow * moist_air.specific_volume(dry_bulb, ratio, pressure), rel_tol=1e-12)


@pytest.mark.property
@given(st.floats(200.0, 260.0), st.floats(10.0, 80.0), rises, st.floats(-1.0, 1.5), dry_bulbs, humidities)
def test_slopes_of_the_strips(
    volts: float, amps: float, rise: float, off: float, dry_bulb: float, humidity: float
) -> None:
    """1 % of volts or amps is 1 % of airflow; a rise counts by its share of the net rise (central differences)."""

    def mass_flow(v: float, i: float, on: float, zero: float) -> float:
        return strip_airflow(v, i, on, zero, dry_bulb=dry_bulb, relative_humidity=humidity).mass_flow

    here, h = mass_flow(volts, amps, rise, off), 1e-5
    assert isclose(mass_flow(volts * 1.01, amps, rise, off), 1.01 * here, rel_tol=1e-12)
    assert isclose(mass_flow(volts, amps * 1.01, rise, off), 1.01 * here, rel_tol=1e-12)
    slope = (mass_flow(volts, amps, rise + h, off) - mass_flow(volts, amps, rise - h, off)) / (2 * h)
    assert isclose(slope, -here / (rise - off), rel_tol=1e-6)
    opposite = (mass_flow(volts, amps, rise, off + h) - mass_flow(volts, amps, rise, off - h)) / (2 * h)
    assert isclose(opposite, -slope, rel_tol=1e-6)


@pytest.mark.property
@given(powers, rises, dry_bulbs, st.floats(0.0, 0.9), altitudes)
def test_damp_air_takes_more_heat(power: float, rise: float, dry_bulb: float, humidity: float, altitude: float) -> None:
    drier = airflow_of_heat(power, rise, dry_bulb, humidity, altitude)
    damper = airflow_of_heat(power, rise, dry_bulb, humidity + 0.1, altitude)
    assert damper.mass_flow < drier.mass_flow


@pytest.mark.property
@given(mass_flows, volumes)
def test_bases_there_and_back(mass_flow: float, volume: float) -> None:
    found = airflow_of_mass_flow(mass_flow, volume)
    back = airflow_of_volume(found.airflow, volume)
    for one, other in zip(found, back, strict=True):
        assert isclose(one, other, rel_tol=1e-12, abs_tol=1e-300)


@pytest.mark.property
@given(st.lists(st.floats(0.0, 0.5), max_size=20), volumes)
def test_registers_add_up(registers: list[float], volume: float) -> None:
    """In any order, and register by register."""
    found = register_airflow(registers, volume)
    assert found == register_airflow(registers[::-1], volume)
    one_by_one = sum(airflow_of_volume(one, volume).mass_flow for one in registers)
    assert isclose(found.mass_flow, one_by_one, rel_tol=1e-12, abs_tol=1e-15)


@pytest.mark.property
@given(st.floats(-5.0, 20.0), st.floats(0.0, 20.0))
def test_a_rise_no_greater_than_its_zero_is_refused(off: float, less: float) -> None:
    assume(off - less >= -60)
    with pytest.raises(OutOfRange) as refused:
        strip_airflow(240.0, 40.0, off - less, off)
    assert refused.value.quantity == "rise"


@pytest.mark.property
@pytest.mark.parametrize(
    ("quantity", "call"),
    [
        ("volts", lambda: strip_airflow(-240.0, 40.0, 13.0)),
        ("amps", lambda: strip_airflow(240.0, float("nan"), 13.0)),
        ("rise", lambda: strip_airflow(240.0, 40.0, 200.0)),
        ("rise_off", lambda: strip_airflow(240.0, 40.0, 13.0, float("nan"))),
        ("blower_power", lambda: strip_airflow(240.0, 40.0, 13.0, blower_power=-1.0)),
        ("heat_loss", lambda: strip_airflow(240.0, 40.0, 13.0, heat_loss=1e4)),
        ("power", lambda: strip_airflow(240.0, 0.0, 13.0)),
        ("power", lambda: airflow_of_heat(-1.0, 13.0)),
        ("rise", lambda: airflow_of_heat(9600.0, 0.0)),
        ("pressure", lambda: airflow_of_heat(9600.0, 13.0, altitude=1524.0, pressure=101325.0)),
        ("relative_humidity", lambda: airflow_of_heat(9600.0, 13.0, relative_humidity=45.0)),
        ("mass_flow", lambda: airflow_of_mass_flow(-0.1, 0.85)),
        ("specific_volume", lambda: airflow_of_mass_flow(0.1, 0.0)),
        ("airflow", lambda: airflow_of_volume(-0.1, 0.85)),
        ("specific_volume", lambda: airflow_of_volume(0.1, 50.0)),
        ("airflow", lambda: register_airflow([0.1, -0.1], 0.85)),
    ],
)
def test_refusals(quantity: str, call) -> None:  # type: ignore[no-untyped-def]
    """Each names the quantity, and limits outside which the value does lie."""
    with pytest.raises(OutOfRange) as refused:
        call()
    assert refused.value.quantity == quantity
    low, high = refused.value.limits
    assert not low < refused.value.value < high
