"""What a section costs, in whatever air, and the ways back from it."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange
from drawthrough.physics.atmosphere import viscosity
from drawthrough.physics.resistance import (
    REFERENCE_AIRFLOW,
    REFERENCE_DENSITY,
    REFERENCE_VISCOSITY,
    airflow_through,
    pressure_drop,
    resistance_from_drop,
)
from drawthrough.units import RANKINE

resistances = st.floats(1.0, 500.0)
exponents = st.floats(1.0, 2.0)
airflows = st.floats(0.05, 1.5)
densities = st.floats(0.8, 1.4)
viscosities = st.floats(1.6e-5, 2.2e-5)


@pytest.mark.analytic
def test_reference_state() -> None:
    assert pytest.approx(1000 * 0.3048**3 / 60, rel=1e-8) == REFERENCE_AIRFLOW
    assert pytest.approx(101325 / (287.042 * 293.15), rel=1e-4) == REFERENCE_DENSITY  # dry air as an ideal gas
    assert pytest.approx(viscosity(293.15), rel=1e-4) == REFERENCE_VISCOSITY
    assert pressure_drop(60.0, 1.7, REFERENCE_AIRFLOW) == 60.0
    assert pressure_drop(60.0, 1.7, 0.0) == 0.0


@pytest.mark.analytic
def test_limits_of_the_law() -> None:
    # Fully turbulent: dynamic pressure, viscosity plays no part. Laminar: viscosity and velocity, no density.
    base = pressure_drop(60.0, 2.0, 0.4, 1.2, 1.8e-5)
    assert pressure_drop(60.0, 2.0, 0.8, 1.2, 1.8e-5) == pytest.approx(4 * base, rel=1e-12)
    assert pressure_drop(60.0, 2.0, 0.4, 0.6, 3.6e-5) == pytest.approx(0.5 * base, rel=1e-12)
    base = pressure_drop(60.0, 1.0, 0.4, 1.2, 1.8e-5)
    assert pressure_drop(60.0, 1.0, 0.8, 1.2, 1.8e-5) == pytest.approx(2 * base, rel=1e-12)
    assert pressure_drop(60.0, 1.0, 0.4, 0.6, 3.6e-5) == pytest.approx(2 * base, rel=1e-12)


@pytest.mark.analytic
@pytest.mark.parametrize("exponent", [1.25, 1.7, 1.9])
def test_equal_reynolds_number_is_equal_friction(exponent: float) -> None:
    """dp / (rho Q^2) is a function of rho Q / mu alone, in whatever air."""
    first = pressure_drop(60.0, exponent, 0.5, 1.2, 1.8e-5) / (1.2 * 0.5**2)
    second = pressure_drop(60.0, exponent, 0.5 * 1.5 * 1.1, 0.8, 1.8e-5 * 1.1) / (0.8 * (0.5 * 1.5 * 1.1) ** 2)
    assert first == pytest.approx(second, rel=1e-12)


@pytest.mark.analytic
def test_warm_supply_air_costs_more_at_equal_mass_flow() -> None:
    """95 F against 55 F: 8 % by density, as 1/rho, and a little by viscosity."""
    mass_flow = 0.55
    rho = {t: 101325 / (287.05 * (t + 459.67) * RANKINE) for t in (55.0, 95.0)}
    mu = {t: viscosity((t + 459.67) * RANKINE) for t in (55.0, 95.0)}
    warm, cold = (pressure_drop(50.0, 1.9, mass_flow / rho[t], rho[t], mu[t]) for t in (95.0, 55.0))
    assert warm / cold == pytest.approx(rho[55.0] / rho[95.0] * (mu[95.0] / mu[55.0]) ** 0.1, rel=1e-12)
    assert warm / cold == pytest.approx(1.08, abs=0.01)


@pytest.mark.property
@given(resistances, exponents, airflows, densities, viscosities)
def test_round_trips(k: float, n: float, airflow: float, density: float, mu: float) -> None:
    drop = pressure_drop(k, n, airflow, density, mu)
    assert airflow_through(drop, k, n, density, mu) == pytest.approx(airflow, rel=1e-11)
    assert resistance_from_drop(drop, n, airflow, density, mu) == pytest.approx(k, rel=1e-11)


@pytest.mark.property
@given(resistances, exponents, airflows, densities, viscosities)
def test_derivatives_in_logarithms(k: float, n: float, airflow: float, density: float, mu: float) -> None:
    base = math.log(pressure_drop(k, n, airflow, density, mu))
    step = 1e-6
    up = math.exp(step)
    assert (math.log(pressure_drop(k * up, n, airflow, density, mu)) - base) / step == pytest.approx(1.0, abs=1e-7)
    assert (math.log(pressure_drop(k, n, airflow * up, density, mu)) - base) / step == pytest.approx(n, abs=1e-7)
    assert (math.log(pressure_drop(k, n, airflow, density * up, mu)) - base) / step == pytest.approx(n - 1, abs=1e-7)
    assert (math.log(pressure_drop(k, n, airflow, density, mu * up)) - base) / step == pytest.approx(2 - n, abs=1e-7)


@pytest.mark.analytic
def test_what_is_no_section_is_refused() -> None:
    good = {"resistance_coefficient": 60.0, "exponent": 1.7, "airflow_local": 0.5, "density": 1.2, "viscosity": 1.8e-5}
    wrong = {"resistance_coefficient": -1.0, "exponent": 2.6, "airflow_local": -0.1, "density": 0.1, "viscosity": 1e-3}
    for name, value in wrong.items():
        for bad in (value, math.nan):
            with pytest.raises(OutOfRange) as refusal:
                pressure_drop(**{**good, name: bad})
            assert refusal.value.quantity == name
    for bad in (-1.0, 5001.0, math.nan):
        with pytest.raises(OutOfRange):
            airflow_through(bad, 60.0, 1.7)
        with pytest.raises(OutOfRange):
            resistance_from_drop(bad, 1.7, 0.5)
    with pytest.raises(OutOfRange):
        airflow_through(20.0, 0.0, 1.7)
    with pytest.raises(OutOfRange):
        resistance_from_drop(20.0, 1.7, 0.0)
