"""Air between a filter and its gaps."""

from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange
from drawthrough.physics.bypass import filter_split, loading_trend
from drawthrough.physics.dust import dust_shares
from drawthrough.physics.opening import OpeningLaw, gap_law, law_airflow

GAP = gap_law(0.002, 1.0, 0.025, 2)
flows = st.floats(0.1, 1.0)
drops = st.floats(10.0, 150.0)
exponents = st.floats(1.0, 2.0)
loadings = st.floats(0.5, 8.0)
gaps = st.lists(
    st.builds(
        lambda width, length, ratio, bends: gap_law(width, length, ratio * width, bends),
        st.floats(0.0005, 0.01),
        st.floats(0.05, 2.0),
        st.floats(0.0, 20.0),
        st.integers(0, 2),
    ),
    min_size=1,
    max_size=3,
)


@pytest.mark.analytic
def test_two_turbulent_holes_side_by_side() -> None:
    """A filter with n = 2 and a quadratic gap divide the air as their conductances, whatever the airflow."""
    filter_conductance = 0.5 / 50.0**0.5
    gap = OpeningLaw(0.0, 1 / (0.25 * filter_conductance) ** 2)
    split = filter_split(0.4, 0.5, 50.0, 2.0, [gap])
    assert isclose(split.bypass_fraction, 0.25 / 1.25, rel_tol=1e-10)
    assert isclose(split.airflow_filter, 0.32, rel_tol=1e-10)


@pytest.mark.independent
@pytest.mark.parametrize("loading", [0.7, 1.0, 4.0])
def test_split_by_another_solver(loading: float) -> None:
    """The pressure at which filter and gap pass the airflow together, by scipy's brentq."""
    optimize = pytest.importorskip("scipy.optimize")

    def missing(pressure: float) -> float:
        return 0.6 * (pressure / (loading * 40.0)) ** (1 / 1.25) + law_airflow(GAP, pressure) - 0.55

    expected = optimize.brentq(missing, 1e-6, 1000.0, xtol=1e-13, rtol=1e-14)
    assert isclose(filter_split(0.55, 0.6, 40.0, 1.25, [GAP], loading).pressure_drop, expected, rel_tol=1e-11)


@pytest.mark.property
@given(flows, flows, drops, exponents, gaps, loadings)
def test_split_adds_up(
    airflow: float, reference: float, drop: float, n: float, around: list[OpeningLaw], loading: float
) -> None:
    """Filter and gaps pass the whole airflow at the pressure found, which lies below that of the filter alone."""
    alone = loading * drop * (airflow / reference) ** n
    if alone > 5000.0:
        return
    split = filter_split(airflow, reference, drop, n, around, loading)
    through_gaps = sum(law_airflow(gap, split.pressure_drop) for gap in around)
    assert isclose(split.airflow_filter + through_gaps, airflow, rel_tol=1e-11)
    assert isclose(split.bypass_fraction, through_gaps / airflow, rel_tol=1e-9)
    assert split.pressure_drop < alone
    assert isclose(loading * drop * (split.airflow_filter / reference) ** n, split.pressure_drop, rel_tol=1e-9)


@pytest.mark.analytic
def test_no_gap_is_the_filter_alone() -> None:
    split = filter_split(0.5, 0.5, 50.0, 1.25, [])
    assert split.bypass_fraction == 0.0
    assert isclose(split.pressure_drop, 50.0, rel_tol=1e-12)


@pytest.mark.analytic
def test_trend_by_its_parts() -> None:
    """Each step is the shares behind a filter with that step's bypass, of the air that the leaks leave."""
    (step,) = loading_trend(0.5, 0.5, 50.0, 1.25, [GAP], [2.5], 0.9, 0.06, 3.0)
    split = filter_split(0.5, 0.5, 50.0, 1.25, [GAP], 2.5)
    assert step == dust_shares(0.9, 0.06, split.bypass_fraction * 0.94, 3.0)


@pytest.mark.property
@given(flows, drops, exponents, gaps, st.floats(0.0, 0.99), st.floats(0.0, 0.3))
def test_a_gapped_filter_gets_worse_as_it_loads(
    airflow: float, drop: float, n: float, around: list[OpeningLaw], efficiency: float, leak: float
) -> None:
    """Pressure, bypass and the dust behind it all rise with loading, at unchanged efficiency."""
    steps = [filter_split(airflow, 0.6, drop, n, around, loading) for loading in (1.0, 2.0, 4.0)]
    assert steps[0].pressure_drop < steps[1].pressure_drop < steps[2].pressure_drop
    assert steps[0].bypass_fraction < steps[1].bypass_fraction < steps[2].bypass_fraction
    trend = loading_trend(airflow, 0.6, drop, n, around, [1.0, 2.0, 4.0], efficiency, leak, 1.0)
    assert trend[0].share_bypass <= trend[1].share_bypass <= trend[2].share_bypass
    assert trend[0].downstream_ratio <= trend[1].downstream_ratio + 1e-12 <= trend[2].downstream_ratio + 2e-12


@pytest.mark.property
@pytest.mark.parametrize(
    ("quantity", "call"),
    [
        ("airflow", lambda: filter_split(0.0, 0.5, 50.0, 1.25, [GAP])),
        ("airflow_reference", lambda: filter_split(0.5, -0.5, 50.0, 1.25, [GAP])),
        ("pressure_drop_reference", lambda: filter_split(0.5, 0.5, 0.0, 1.25, [GAP])),
        ("exponent", lambda: filter_split(0.5, 0.5, 50.0, 0.6, [GAP])),
        ("loading", lambda: filter_split(0.5, 0.5, 50.0, 1.25, [GAP], float("nan"))),
        ("loading", lambda: loading_trend(0.5, 0.5, 50.0, 1.25, [GAP], [0.0], 0.9, 0.0, 1.0)),
        ("efficiency", lambda: loading_trend(0.5, 0.5, 50.0, 1.25, [GAP], [1.0], 1.9, 0.0, 1.0)),
    ],
)
def test_refusals(quantity: str, call) -> None:  # type: ignore[no-untyped-def]
    """Each names the quantity, and limits outside which the value does lie."""
    with pytest.raises(OutOfRange) as refused:
        call()
    assert refused.value.quantity == quantity
    low, high = refused.value.limits
    assert not low < refused.value.value < high
