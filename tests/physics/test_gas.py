"""Heat and airflow of a gas furnace."""

from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange
from drawthrough.physics.airflow import airflow_of_heat
from drawthrough.physics.gas import (
    GAS_PRESSURE_REFERENCE,
    GAS_TEMPERATURE_REFERENCE,
    JACKET_LOSS,
    clocked_gas_flow,
    gas_airflow,
    gas_heat,
)

FLOW, HEAT = 6.5e-4, 38.6e6
flows = st.floats(1e-4, 9e-4)
heats = st.floats(30e6, 100e6)
efficiencies = st.floats(0.6, 0.99)
pressures = st.floats(80_000.0, 115_000.0)
temperatures = st.floats(270.0, 300.0)


@pytest.mark.analytic
def test_clocked_by_hand() -> None:
    """A cubic foot in 36 s is 100 cubic feet in an hour."""
    assert isclose(clocked_gas_flow(0.3048**3, 36.0), 100 * 0.3048**3 / 3600, rel_tol=1e-12)


@pytest.mark.analytic
def test_base_conditions_are_14_73_psia_and_60_f() -> None:
    assert isclose(GAS_PRESSURE_REFERENCE, 14.73 * 6894.757293, rel_tol=1e-6)
    assert isclose(GAS_TEMPERATURE_REFERENCE, (60 + 459.67) / 1.8, rel_tol=1e-6)


@pytest.mark.analytic
def test_input_at_base_conditions() -> None:
    """100,000 Btu/h: 100 ft3/h of 1000 Btu/ft3; 82 % less 1 % of them warm the air."""
    flow, heating_value = 100 * 0.3048**3 / 3600, 1000 * 1055.05585262 / 0.3048**3
    at_base = gas_heat(flow, heating_value, 0.82, 0.01, GAS_PRESSURE_REFERENCE, GAS_TEMPERATURE_REFERENCE)
    assert isclose(at_base, 0.81 * 1e5 * 1055.05585262 / 3600, rel_tol=1e-12)


@pytest.mark.independent
def test_gas_at_the_meter_against_real_methane() -> None:
    """A cold meter at 2 psi in the mountains, by CoolProp's densities of methane; it is ideal to 0.1 %."""
    properties = pytest.importorskip("CoolProp.CoolProp")
    meter = properties.PropsSI("D", "P", 98_000.0, "T", 280.0, "Methane")
    base = properties.PropsSI("D", "P", GAS_PRESSURE_REFERENCE, "T", GAS_TEMPERATURE_REFERENCE, "Methane")
    assert isclose(gas_heat(FLOW, HEAT, 0.8, 0.0, 98_000.0, 280.0), FLOW * HEAT * 0.8 * meter / base, rel_tol=1e-3)


@pytest.mark.analytic
def test_airflow_by_its_parts() -> None:
    """Gas heat at the meter's absolute pressure, plus the blower where there is no zero, over the rise."""
    heat = gas_heat(FLOW, HEAT, 0.8, JACKET_LOSS, 101325.0 + 1744.0, 285.0)
    state = (295.0, 0.4)
    found = gas_airflow(FLOW, HEAT, 0.8, 30.0, 285.0, 1744.0, 400.0, dry_bulb=295.0, relative_humidity=0.4)
    assert found == airflow_of_heat(heat + 400.0, 30.0, *state)
    zeroed = gas_airflow(FLOW, HEAT, 0.8, 30.0, 285.0, 1744.0, 400.0, 0.6, dry_bulb=295.0, relative_humidity=0.4)
    assert zeroed == airflow_of_heat(heat, 30.0 - 0.6, *state)


@pytest.mark.analytic
def test_altitude_thins_the_gas_as_well_as_the_air() -> None:
    """At 1524 m the meter's cubic foot holds a sixth less; the airflow by mass falls with the heat."""
    low, high = (gas_airflow(FLOW, HEAT, 0.8, 30.0, 285.0, 1744.0, altitude=metres) for metres in (0.0, 1524.0))
    assert isclose(high.mass_flow / low.mass_flow, (84307 + 1744) / (101325 + 1744), rel_tol=1e-5)
    assert 0.16 < 1 - high.mass_flow / low.mass_flow < 0.17


@pytest.mark.property
@given(flows, heats, efficiencies, st.floats(0.0, 0.05), pressures, temperatures, st.floats(1.01, 1.5))
def test_heat_is_proportional(
    flow: float, heat: float, efficiency: float, jacket: float, pressure: float, temperature: float, more: float
) -> None:
    """To the flow, to the pressure at the meter, and against its temperature; a second meter state is no new gas."""
    one = gas_heat(flow, heat, efficiency, jacket, pressure, temperature)
    assert isclose(gas_heat(flow * more, heat, efficiency, jacket, pressure, temperature), more * one, rel_tol=1e-12)
    assert isclose(gas_heat(flow / more, heat, efficiency, jacket, pressure * more, temperature), one, rel_tol=1e-12)
    assert gas_heat(flow, heat, efficiency, jacket, pressure, temperature + 5.0) < one
    assert isclose(
        gas_heat(flow, heat, efficiency, jacket, pressure, temperature, pressure, temperature),
        flow * heat * (efficiency - jacket),
        rel_tol=1e-9,
    )


@pytest.mark.property
@given(st.floats(0.01, 1.0), st.floats(20.0, 600.0), st.integers(2, 5))
def test_more_turns_say_the_same(volume: float, duration: float, turns: int) -> None:
    one = clocked_gas_flow(volume, duration)
    assert isclose(clocked_gas_flow(volume * turns, duration * turns), one, rel_tol=1e-12)


@pytest.mark.property
@given(flows, heats, efficiencies, st.floats(10.0, 50.0), temperatures, st.floats(0.0, 2.0))
def test_airflow_against_its_readings(
    flow: float, heat: float, efficiency: float, rise: float, temperature: float, off: float
) -> None:
    """Twice the net rise is half the air; a better efficiency is more air; the zero cancels what adds to both."""
    one = gas_airflow(flow, heat, efficiency, rise, temperature, 1744.0, rise_off=0.0)
    twice = gas_airflow(flow, heat, efficiency, 2 * rise, temperature, 1744.0, rise_off=0.0)
    assert isclose(twice.mass_flow, one.mass_flow / 2, rel_tol=1e-12)
    better = gas_airflow(flow, heat, efficiency + 0.01, rise, temperature, 1744.0, rise_off=0.0)
    assert better.mass_flow > one.mass_flow
    shifted = gas_airflow(flow, heat, efficiency, rise + off, temperature, 1744.0, rise_off=off)
    assert isclose(shifted.mass_flow, one.mass_flow, rel_tol=1e-9)


@pytest.mark.property
@pytest.mark.parametrize(
    ("quantity", "call"),
    [
        ("volume", lambda: clocked_gas_flow(0.0, 60.0)),
        ("duration", lambda: clocked_gas_flow(0.03, -60.0)),
        ("gas_flow", lambda: clocked_gas_flow(50.0, 60.0)),
        ("gas_flow", lambda: gas_heat(-1e-4, HEAT, 0.8, 0.01, 1e5, 288.0)),
        ("heating_value", lambda: gas_heat(FLOW, 1000.0, 0.8, 0.01, 1e5, 288.0)),
        ("combustion_efficiency", lambda: gas_heat(FLOW, HEAT, 80.0, 0.01, 1e5, 288.0)),
        ("jacket_loss", lambda: gas_heat(FLOW, HEAT, 0.8, 0.5, 1e5, 288.0)),
        ("pressure", lambda: gas_heat(FLOW, HEAT, 0.8, 0.01, 1744.0, 288.0)),
        ("temperature", lambda: gas_heat(FLOW, HEAT, 0.8, 0.01, 1e5, 60.0)),
        ("rise", lambda: gas_airflow(FLOW, HEAT, 0.8, 200.0, 288.0, 1744.0)),
        ("rise_off", lambda: gas_airflow(FLOW, HEAT, 0.8, 30.0, 288.0, 1744.0, rise_off=float("nan"))),
        ("blower_power", lambda: gas_airflow(FLOW, HEAT, 0.8, 30.0, 288.0, 1744.0, -5.0)),
        ("gauge_pressure", lambda: gas_airflow(FLOW, HEAT, 0.8, 30.0, 288.0, -1.0)),
        ("rise", lambda: gas_airflow(FLOW, HEAT, 0.8, 0.5, 288.0, 1744.0, rise_off=0.6)),
        ("pressure", lambda: gas_airflow(FLOW, HEAT, 0.8, 30.0, 288.0, 1744.0, altitude=1524.0, pressure=101325.0)),
    ],
)
def test_refusals(quantity: str, call) -> None:  # type: ignore[no-untyped-def]
    """Each names the quantity, and limits outside which the value does lie."""
    with pytest.raises(OutOfRange) as refused:
        call()
    assert refused.value.quantity == quantity
    low, high = refused.value.limits
    assert not low < refused.value.value < high
