"""Fault forms: no fault is no effect, signs, derivatives, and the combination at its limits."""

from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange
from drawthrough.physics.faults import COMBINATION_CAPACITY, airflow_fault, charge_effect, combined_effect

indoors = st.floats(294.15, 300.15)
outdoors = st.floats(294.15, 311.15)
low_charge = st.floats(-0.3, -0.001)
high_charge = st.floats(0.001, 0.3)
low_air = st.floats(-0.36, -0.001)


@pytest.mark.property
@given(indoors, outdoors, st.floats(0.75, 1.25))
def test_no_fault_is_no_effect(dry_bulb: float, outdoor: float, fraction: float) -> None:
    assert charge_effect(0.0, dry_bulb, outdoor) == (1.0, 1.0, 1.0)
    assert airflow_fault(0.0, dry_bulb, outdoor) == (1.0, 1.0, 1.0)
    for ratio in combined_effect(0.0, 0.0, dry_bulb, outdoor, fraction):
        assert isclose(ratio, 1.0, rel_tol=1e-12)


@pytest.mark.property
@given(indoors, outdoors, low_charge, high_charge)
def test_charge(dry_bulb: float, outdoor: float, low: float, high: float) -> None:
    """Too much charge takes more power; the efficiency ratio is capacity over power on both sides."""
    under, over = charge_effect(low, dry_bulb, outdoor), charge_effect(high, dry_bulb, outdoor)
    assert over.power_ratio > 1.0
    for effect in (under, over):
        assert isclose(effect.cop_ratio * effect.power_ratio, effect.capacity_ratio, rel_tol=1e-12)


@pytest.mark.property
@given(indoors, outdoors, st.sampled_from([-0.25, -0.12, 0.07, 0.22]))
def test_slope_of_the_charge_form(dry_bulb: float, outdoor: float, deviation: float) -> None:
    """Central difference against dY/dF = a1 + a2 t_i + a3 t_o + 2 a4 F, with the printed coefficients."""
    a1, a2, a3, a4 = (-0.946, 0.0493, -0.00118, -1.15) if deviation < 0 else (-0.163, 0.0114, -0.00021, -0.14)
    step = 1e-4
    found = (
        charge_effect(deviation + step, dry_bulb, outdoor).capacity_ratio
        - charge_effect(deviation - step, dry_bulb, outdoor).capacity_ratio
    ) / (2 * step)
    expected = a1 + a2 * (dry_bulb - 273.15) + a3 * (outdoor - 273.15) + 2 * a4 * deviation
    assert isclose(found, expected, abs_tol=1e-9)


@pytest.mark.analytic
def test_charge_by_hand() -> None:
    """1 + (-0.946 + 0.0493*25 - 0.00118*30 + 1.15*0.1)*(-0.1) = 0.96339."""
    effect = charge_effect(-0.1, 298.15, 303.15)
    assert isclose(effect.capacity_ratio, 0.96339, abs_tol=1e-9)
    power = 1 + (-0.313 + 0.0115 * 25 + 0.00266 * 30 + 0.0116) * -0.1
    assert isclose(effect.power_ratio, power, abs_tol=1e-12)


@pytest.mark.analytic
def test_airflow_by_hand() -> None:
    """The three forms at 25 and 30 C and a fifth less air, with the coefficients from memory."""
    found = airflow_fault(-0.2, 298.15, 303.15)
    assert isclose(found.capacity_ratio, 1 + (0.295 - 0.02925 - 0.0471 - 0.01384) * -0.2, abs_tol=1e-12)
    assert isclose(found.cop_ratio, 1 + (0.185 + 0.04425 - 0.0192 + 0.0554) * -0.2, abs_tol=1e-12)
    assert isclose(found.shr_ratio, 1 + (0.0593 + 0.129 + 0.0543 + 0.0578) * -0.2, abs_tol=1e-12)


@pytest.mark.property
@given(indoors, outdoors, low_air)
def test_low_airflow_costs_all_three(dry_bulb: float, outdoor: float, deviation: float) -> None:
    for ratio in airflow_fault(deviation, dry_bulb, outdoor):
        assert ratio < 1.0
    # Total capacity moves by less than a third of what the airflow does.
    assert 1.0 - airflow_fault(deviation, dry_bulb, outdoor).capacity_ratio < -deviation / 3.0


@pytest.mark.analytic
@pytest.mark.parametrize("deviation", [-0.25, -0.1, 0.15])
def test_charge_alone_comes_back_from_the_combination(deviation: float) -> None:
    """Without an airflow fault the equivalent airflow cancels, at any temperature."""
    alone = charge_effect(deviation, 297.0, 305.0)
    both = combined_effect(deviation, 0.0, 297.0, 305.0)
    assert isclose(both.capacity_ratio, alone.capacity_ratio, rel_tol=1e-12)
    assert isclose(both.eir_ratio, 1.0 / alone.cop_ratio, rel_tol=1e-12)


@pytest.mark.analytic
def test_airflow_alone_is_the_curve_of_airflow() -> None:
    c0, c1, c2 = COMBINATION_CAPACITY
    found = combined_effect(0.0, -0.2, 299.0, 308.0, 0.95)
    ratio = (c0 + c1 * 0.76 + c2 * 0.76**2) / (c0 + c1 * 0.95 + c2 * 0.95**2)
    assert isclose(found.capacity_ratio, ratio, rel_tol=1e-12)


@pytest.mark.property
@given(outdoors, st.floats(-0.25, -0.02), st.floats(-0.35, -0.02))
def test_low_charge_and_low_air_cost_less_than_their_product(outdoor: float, ch: float, af: float) -> None:
    """Where a low charge costs capacity, it stands for more air, on a curve of airflow that flattens."""
    both = combined_effect(ch, af, 299.82, outdoor).capacity_ratio
    each = combined_effect(ch, 0.0, 299.82, outdoor).capacity_ratio * combined_effect(0.0, af, 299.82, outdoor)[0]
    if combined_effect(ch, 0.0, 299.82, 308.15).capacity_ratio < 1.0:
        assert each < both < 1.0


@pytest.mark.analytic
def test_refusals() -> None:
    for bad in ((-0.31, 299.0, 308.0), (0.31, 299.0, 308.0), (0.1, 293.0, 308.0), (0.1, 299.0, 312.0)):
        with pytest.raises(OutOfRange):
            charge_effect(*bad)
        with pytest.raises(OutOfRange):
            combined_effect(bad[0], 0.0, *bad[1:])
    for bad in ((0.01, 299.0, 308.0), (-0.37, 299.0, 308.0), (-0.1, 293.0, 308.0), (-0.1, 299.0, 312.0)):
        with pytest.raises(OutOfRange):
            airflow_fault(*bad)
    for airflow, fraction in ((-0.41, 1.0), (0.26, 1.0), (0.0, 0.74)):
        with pytest.raises(OutOfRange):
            combined_effect(0.0, airflow, 299.0, 308.0, fraction)
