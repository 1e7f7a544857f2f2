"""Leaks by a pressure test, as a hole, by tape and by temperature."""

from math import exp, isclose, log

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange
from drawthrough.physics.heat_rise import heat_rise
from drawthrough.physics.leak import (
    MIXING_DIFFERENCE,
    TAPE_GAIN,
    leak_airflow,
    leak_pressure_drop,
    mixing_leak_fraction,
    orifice_area,
    tape_leak_fraction,
)
from drawthrough.physics.opening import OpeningLaw, law_airflow, orifice_airflow

flows = st.floats(1e-4, 0.05)
pressures = st.floats(1.0, 500.0)
exponents = st.floats(0.5, 1.0)


@pytest.mark.analytic
def test_exponent_of_a_hole_and_of_a_laminar_crack() -> None:
    """0.5 follows an orifice from one pressure to another, 1 a laminar crack."""
    hole = orifice_airflow(0.002, 25.0)
    assert isclose(leak_airflow(hole, 25.0, 150.0, 0.5), orifice_airflow(0.002, 150.0), rel_tol=1e-12)
    crack = OpeningLaw(4000.0, 0.0)
    assert isclose(leak_airflow(law_airflow(crack, 25.0), 25.0, 150.0, 1.0), law_airflow(crack, 150.0), rel_tol=1e-12)
    assert isclose(leak_pressure_drop(0.02, 0.01, 25.0, 0.5), 100.0, rel_tol=1e-12)


@pytest.mark.analytic
def test_area_of_a_hole_without_loss() -> None:
    """10 Pa drive 1.25 kg/m3 at 4 m/s, so 0.04 m3/s need 100 cm2."""
    assert isclose(orifice_area(0.04, 10.0, 1.0, 1.25), 0.01, rel_tol=1e-12)


@pytest.mark.property
@given(flows, pressures, pressures, exponents)
def test_leak_there_and_back(reference: float, test: float, running: float, exponent: float) -> None:
    through = leak_airflow(reference, test, running, exponent)
    assert isclose(leak_pressure_drop(through, reference, test, exponent), running, rel_tol=1e-9)
    assert isclose(leak_airflow(through, running, test, exponent), reference, rel_tol=1e-9)
    assert (through > reference) == (running > test) or isclose(running, test, rel_tol=1e-12)


@pytest.mark.property
@given(flows, pressures, st.floats(0.3, 1.0), st.floats(0.8, 1.4))
def test_area_is_the_inverse_of_the_orifice(airflow: float, pressure: float, coefficient: float, rho: float) -> None:
    area = orifice_area(airflow, pressure, coefficient, rho)
    assert isclose(orifice_airflow(area, pressure, coefficient, rho), airflow, rel_tol=1e-12)


@pytest.mark.analytic
def test_tape_on_a_blower_that_holds_its_airflow() -> None:
    """Constant airflow: the filter gains what the leak loses, so the exact gain is -ln(1 - f) / f."""
    leak, exponent = 0.08, 1.25
    after = 50.0 * (1 / (1 - leak)) ** exponent
    gain = -log(1 - leak) / leak
    assert isclose(tape_leak_fraction(50.0, after, exponent, gain), leak, rel_tol=1e-12)


@pytest.mark.property
@given(st.floats(-0.1, 0.5), st.floats(1.0, 2.0), st.floats(0.3, 1.2), pressures)
def test_tape_inverts_its_model(leak: float, exponent: float, gain: float, before: float) -> None:
    """d ln Q_filter = g f and d ln dp = n d ln Q_filter give the leak back."""
    after = before * exp(exponent * gain * leak)
    assert isclose(tape_leak_fraction(before, after, exponent, gain), leak, rel_tol=1e-9, abs_tol=1e-12)


@pytest.mark.property
def test_gains_are_intervals_within_the_accepted_range() -> None:
    assert all(0.1 <= low < high <= 1.5 for low, high in TAPE_GAIN.values())


@pytest.mark.analytic
def test_mixing_of_two_airs() -> None:
    """0.9 parts at 20 C and 0.1 parts at 45 C, heated by 500 W, are taken apart again."""
    blower = heat_rise(500.0, 0.68, 0.008)
    mixed = 0.9 * 293.15 + 0.1 * 318.15 + blower
    assert isclose(mixing_leak_fraction(mixed, 293.15, 318.15, blower), 0.1, rel_tol=1e-12)


@pytest.mark.property
@given(st.floats(-0.02, 0.5), st.floats(285.0, 305.0), st.floats(11.2, 30.0), st.booleans(), st.floats(0.0, 2.0))
def test_mixing_inverts(leak: float, inside: float, apart: float, colder: bool, rise: float) -> None:
    around = inside - apart if colder else inside + apart
    mixed = (1 - leak) * inside + leak * around + rise
    assert isclose(mixing_leak_fraction(mixed, inside, around, rise), leak, abs_tol=1e-11)


@pytest.mark.property
@pytest.mark.parametrize(
    ("quantity", "call"),
    [
        ("pressure_drop_reference", lambda: leak_airflow(0.01, 0.0, 100.0)),
        ("pressure_drop", lambda: leak_airflow(0.01, 25.0, -5.0)),
        ("leak_exponent", lambda: leak_airflow(0.01, 25.0, 100.0, 1.2)),
        ("airflow_reference", lambda: leak_airflow(-0.01, 25.0, 100.0)),
        ("airflow", lambda: leak_pressure_drop(0.0, 0.01, 25.0)),
        ("pressure_drop", lambda: leak_pressure_drop(1.0, 0.001, 25.0)),
        ("airflow", lambda: orifice_area(-1.0, 25.0)),
        ("pressure_drop", lambda: orifice_area(0.01, 0.0)),
        ("pressure_drop_after", lambda: tape_leak_fraction(50.0, 0.0, 1.25, 0.8)),
        ("exponent", lambda: tape_leak_fraction(50.0, 53.0, 0.5, 0.8)),
        ("tape_gain", lambda: tape_leak_fraction(50.0, 53.0, 1.25, 0.0)),
        ("leak_fraction", lambda: tape_leak_fraction(5.0, 500.0, 1.25, 0.8)),
        ("dry_bulb_surround", lambda: mixing_leak_fraction(297.0, 296.0, 296.0 + 0.99 * MIXING_DIFFERENCE, 0.5)),
        ("dry_bulb_surround", lambda: mixing_leak_fraction(297.0, 296.0, 296.0, 0.5)),
        ("dry_bulb_surround", lambda: mixing_leak_fraction(295.0, 296.0, 290.0, 0.5)),
        ("dry_bulb_mixed", lambda: mixing_leak_fraction(float("nan"), 296.0, 318.0, 0.5)),
        ("rise", lambda: mixing_leak_fraction(297.0, 296.0, 318.0, 500.0)),
        ("leak_fraction", lambda: mixing_leak_fraction(330.0, 296.0, 318.0, 0.5)),
    ],
)
def test_refusals(quantity: str, call) -> None:  # type: ignore[no-untyped-def]
    """Each names the quantity, and limits outside which the value does lie."""
    with pytest.raises(OutOfRange) as refused:
        call()
    assert refused.value.quantity == quantity
    low, high = refused.value.limits
    assert not low < refused.value.value < high
