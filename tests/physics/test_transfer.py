"""Airflow carried from one run to another."""

from math import exp, isclose, log

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange
from drawthrough.physics.transfer import plate_airflow, transfer_airflow, transfer_uncertainty

flows = st.floats(0.05, 2.0)
drops = st.floats(1.0, 500.0)
exponents = st.floats(1.0, 2.0)
densities = st.floats(0.8, 1.4)
viscosities = st.floats(1.6e-5, 2.2e-5)


@pytest.mark.analytic
def test_a_turbulent_section_keeps_its_velocity_heads() -> None:
    """n = 2: dp = c rho Q^2, whatever the viscosity. Warm air at 1.1 kg/m3 against 1.21."""
    second = transfer_airflow(0.5, 40.0, 55.0, 2.0, 1.21, 1.10, 1.8e-5, 1.95e-5)
    assert isclose(55.0 / (1.10 * second**2), 40.0 / (1.21 * 0.5**2), rel_tol=1e-12)


@pytest.mark.analytic
def test_a_laminar_section_keeps_its_viscous_law() -> None:
    """n = 1: dp = c mu Q, whatever the density."""
    second = transfer_airflow(0.5, 40.0, 55.0, 1.0, 1.21, 1.10, 1.8e-5, 1.95e-5)
    assert isclose(55.0 / (1.95e-5 * second), 40.0 / (1.8e-5 * 0.5), rel_tol=1e-12)


@pytest.mark.independent
@pytest.mark.parametrize(("first", "second"), [(40.0, 50.0), (120.0, 35.0)])
def test_uncertainty_of_a_transfer(first: float, second: float) -> None:
    """Against the derivatives of the uncertainties package, with pressure ratio and exponent as inputs."""
    uncertainties = pytest.importorskip("uncertainties")
    umath = pytest.importorskip("uncertainties.umath")
    ratio = uncertainties.ufloat(second / first, 0.02 * second / first)
    exponent = uncertainties.ufloat(1.9, 0.05)
    expected = umath.log(ratio ** (1 / exponent)).std_dev
    moved = transfer_airflow(0.5, first, second, 1.9)
    assert isclose(transfer_uncertainty(0.5, moved, 1.9, 0.05, 0.02), expected, rel_tol=1e-9)


@pytest.mark.analytic
def test_plate_with_the_square_root_of_its_instructions() -> None:
    """n = 2 at equal density is Q_plate sqrt(P / P_plate)."""
    assert isclose(plate_airflow(0.5, 36.0, 49.0, 2.0), 0.5 * 7 / 6, rel_tol=1e-12)


@pytest.mark.property
@given(flows, drops, st.floats(0.1, 10.0), exponents, densities, densities, viscosities, viscosities)
def test_there_and_back(
    airflow: float, first: float, ratio: float, n: float, rho1: float, rho2: float, mu1: float, mu2: float
) -> None:
    second = first * ratio
    there = transfer_airflow(airflow, first, second, n, rho1, rho2, mu1, mu2)
    assert isclose(transfer_airflow(there, second, first, n, rho2, rho1, mu2, mu1), airflow, rel_tol=1e-11)


@pytest.mark.property
@given(flows, drops, exponents, st.floats(1.001, 3.0))
def test_more_pressure_means_more_air(airflow: float, first: float, n: float, more: float) -> None:
    assert transfer_airflow(airflow, first, first * more, n) > airflow
    assert isclose(transfer_airflow(airflow, first, first, n), airflow, rel_tol=1e-12)


@pytest.mark.property
@given(flows, st.floats(0.3, 3.0), st.floats(1.1, 1.9), st.floats(0.0, 0.2), st.floats(0.0, 0.2))
def test_uncertainty_by_finite_differences(airflow: float, ratio: float, n: float, u_n: float, u_ratio: float) -> None:
    """Slopes of ln Q against ln of the pressure ratio and against the exponent, by central differences."""

    def ln_second(exponent: float, ln_ratio: float) -> float:
        return log(transfer_airflow(airflow, 50.0, 50.0 * exp(ln_ratio), exponent))

    h = 1e-5
    by_n = (ln_second(n + h, log(ratio)) - ln_second(n - h, log(ratio))) / (2 * h)
    by_ratio = (ln_second(n, log(ratio) + h) - ln_second(n, log(ratio) - h)) / (2 * h)
    expected = ((by_n * u_n) ** 2 + (by_ratio * u_ratio) ** 2) ** 0.5
    moved = transfer_airflow(airflow, 50.0, 50.0 * ratio, n)
    assert isclose(transfer_uncertainty(airflow, moved, n, u_n, u_ratio), expected, rel_tol=1e-5, abs_tol=1e-9)


@pytest.mark.property
@given(flows, drops, st.floats(0.5, 2.0), exponents, densities, densities)
def test_plate_is_a_transfer(
    airflow: float, reference: float, ratio: float, n: float, rho1: float, rho2: float
) -> None:
    """Through the supply ducts, the plate's run first; at equal static and density nothing changes."""
    moved = plate_airflow(airflow, reference, reference * ratio, n, rho1, rho2)
    assert isclose(moved, transfer_airflow(airflow, reference, reference * ratio, n, rho1, rho2), rel_tol=1e-12)
    assert isclose(plate_airflow(airflow, reference, reference, n, rho1, rho1), airflow, rel_tol=1e-12)


@pytest.mark.property
@pytest.mark.parametrize(
    ("quantity", "call"),
    [
        ("airflow_first", lambda: transfer_airflow(0.0, 40.0, 50.0, 1.9)),
        ("pressure_drop_first", lambda: transfer_airflow(0.5, 0.0, 50.0, 1.9)),
        ("pressure_drop_second", lambda: transfer_airflow(0.5, 40.0, -50.0, 1.9)),
        ("exponent", lambda: transfer_airflow(0.5, 40.0, 50.0, 0.5)),
        ("airflow_second", lambda: transfer_airflow(5.0, 1.0, 500.0, 1.0)),
        ("density_second", lambda: transfer_airflow(0.5, 40.0, 50.0, 1.9, 1.2, 0.0)),
        ("viscosity_second", lambda: transfer_airflow(0.5, 40.0, 50.0, 1.9, 1.2, 1.2, 1.8e-5, 1.0)),
        ("exponent", lambda: transfer_uncertainty(0.5, 0.6, float("nan"), 0.05, 0.02)),
        ("airflow_second", lambda: transfer_uncertainty(0.5, -0.6, 1.9, 0.05, 0.02)),
        ("exponent_uncertainty", lambda: transfer_uncertainty(0.5, 0.6, 1.9, -0.05, 0.02)),
        ("relative_uncertainty", lambda: transfer_uncertainty(0.5, 0.6, 1.9, 0.05, 2.0)),
        ("exponent", lambda: plate_airflow(0.5, 30.0, 33.0, 2.4)),
    ],
)
def test_refusals(quantity: str, call) -> None:  # type: ignore[no-untyped-def]
    """Each names the quantity, and limits outside which the value does lie."""
    with pytest.raises(OutOfRange) as refused:
        call()
    assert refused.value.quantity == quantity
    low, high = refused.value.limits
    assert not low < refused.value.value < high
