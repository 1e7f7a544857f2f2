"""Heat and rise, and a rise freed from drift."""

from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange
from drawthrough.physics.heat_rise import heat_rise, rise_without_drift, sensible_heat

mass_flows = st.floats(0.05, 5.0)
ratios = st.floats(0.0, 0.03)


@pytest.mark.independent
@pytest.mark.parametrize(("dry_bulb", "ratio"), [(295.0, 0.0), (300.0, 0.012), (290.0, 0.005)])
def test_heat_against_real_enthalpies(dry_bulb: float, ratio: float) -> None:
    """A rise of 12 K at equal humidity ratio, by CoolProp; a constant heat capacity is good to 0.1 %."""
    humid_air = pytest.importorskip("CoolProp.HumidAirProp")
    cold = humid_air.HAPropsSI("H", "T", dry_bulb, "P", 101325.0, "W", ratio)
    warm = humid_air.HAPropsSI("H", "T", dry_bulb + 12.0, "P", 101325.0, "W", ratio)
    assert isclose(sensible_heat(0.68, ratio, 12.0), 0.68 * (warm - cold), rel_tol=1.2e-3)
    assert isclose(heat_rise(0.68 * (warm - cold), 0.68, ratio), 12.0, rel_tol=1.2e-3)


@pytest.mark.analytic
def test_a_return_that_drifts_linearly() -> None:
    """A house that warms by 0.2 K/min, supply 13 K above it, read 90 s after the return."""

    def inside(seconds: float) -> float:
        return 294.0 + 0.2 / 60 * seconds

    read = (inside(400.0 + 90.0) + 13.0) - inside(400.0)
    corrected = rise_without_drift(read, inside(0.0), inside(600.0), 600.0, 90.0)
    assert isclose(corrected.rise, 13.0, rel_tol=1e-12)
    assert isclose(corrected.rise_uncertainty, 0.15, rel_tol=1e-9)


@pytest.mark.property
@given(st.floats(0.0, 30_000.0), st.floats(0.2, 5.0), ratios)
def test_heat_and_rise_are_inverse(power: float, mass_flow: float, ratio: float) -> None:
    rise = heat_rise(power, mass_flow, ratio)
    if rise <= 120.0:
        assert isclose(sensible_heat(mass_flow, ratio, rise), power, rel_tol=1e-12, abs_tol=1e-9)


@pytest.mark.property
@given(mass_flows, ratios, st.floats(-60.0, 60.0), st.floats(0.1, 0.9))
def test_heat_is_proportional(mass_flow: float, ratio: float, rise: float, part: float) -> None:
    """To the mass flow and to the rise; two parts of a duct lose together what the whole loses."""
    whole = sensible_heat(mass_flow, ratio, rise)
    parts = sensible_heat(mass_flow, ratio, part * rise) + sensible_heat(mass_flow, ratio, (1 - part) * rise)
    assert isclose(parts, whole, rel_tol=1e-9, abs_tol=1e-9)
    assert isclose(sensible_heat(mass_flow, ratio, -rise), -whole, rel_tol=1e-12)


@pytest.mark.property
@given(
    st.floats(1.0, 50.0), st.floats(290.0, 300.0), st.floats(-2.0, 2.0), st.floats(60.0, 900.0), st.floats(-1.0, 1.0)
)
def test_drift_is_odd_in_lag_and_in_drift(rise: float, start: float, drift: float, span: float, part: float) -> None:
    """Reading the other end first, or cooling instead of warming, turns the correction round; neither one: none."""
    lag = part * span
    one = rise_without_drift(rise, start, start + drift, span, lag)
    for other in (
        rise_without_drift(rise, start, start + drift, span, -lag),
        rise_without_drift(rise, start + drift, start, span, lag),
    ):
        assert isclose(one.rise + other.rise, 2 * rise, rel_tol=1e-12)
        assert isclose(one.rise_uncertainty, other.rise_uncertainty, rel_tol=1e-12, abs_tol=1e-15)
    assert isclose(one.rise_uncertainty, abs(one.rise - rise) / 2, abs_tol=1e-12)
    assert rise_without_drift(rise, start, start + drift, span, 0.0) == (rise, 0.0)


@pytest.mark.property
@pytest.mark.parametrize(
    ("quantity", "call"),
    [
        ("mass_flow", lambda: sensible_heat(-1.0, 0.01, 10.0)),
        ("rise", lambda: sensible_heat(1.0, 0.01, 500.0)),
        ("humidity_ratio", lambda: sensible_heat(1.0, -0.01, 10.0)),
        ("power", lambda: heat_rise(-500.0, 0.7, 0.01)),
        ("mass_flow", lambda: heat_rise(500.0, 0.0, 0.01)),
        ("mass_flow", lambda: heat_rise(500.0, float("nan"), 0.01)),
        ("rise", lambda: rise_without_drift(float("nan"), 294.0, 295.0, 600.0, 60.0)),
        ("dry_bulb_before", lambda: rise_without_drift(13.0, 70.0, 295.0, 600.0, 60.0)),
        ("dry_bulb_after", lambda: rise_without_drift(13.0, 294.0, 71.0, 600.0, 60.0)),
        ("duration", lambda: rise_without_drift(13.0, 294.0, 295.0, 0.0, 60.0)),
        ("lag", lambda: rise_without_drift(13.0, 294.0, 295.0, 600.0, 601.0)),
        ("lag", lambda: rise_without_drift(13.0, 294.0, 295.0, 9000.0, -4000.0)),
    ],
)
def test_refusals(quantity: str, call) -> None:  # type: ignore[no-untyped-def]
    """Each names the quantity, and limits outside which the value does lie."""
    with pytest.raises(OutOfRange) as refused:
        call()
    assert refused.value.quantity == quantity
    low, high = refused.value.limits
    assert not low < refused.value.value < high
