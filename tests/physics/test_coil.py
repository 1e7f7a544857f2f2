"""Apparatus dew point and bypass factor: round trips, limits, and the sensible part of a listed unit."""

from math import exp, isclose, log, sqrt

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics import coil, moist_air
from drawthrough.physics._root import bracketed
from drawthrough.physics.coil import apparatus, bypass_factor_at, leaving_state, sensible_of_total, state_behind
from drawthrough.physics.cooling import capacity
from tests.published import e100

P = 101325.0
dry_bulbs = st.floats(294.0, 303.0)
humidities = st.floats(0.4, 0.65)
dew_points = st.floats(278.0, 287.0)
factors = st.floats(0.02, 0.3)
pressures = st.floats(80e3, 103e3)


def _humid(dry_bulb: float, relative: float, pressure: float) -> float:
    return moist_air.humidity_ratio_from_relative_humidity(dry_bulb, relative, pressure)


@pytest.mark.property
@given(dry_bulbs, humidities, dew_points, factors, pressures)
def test_apparatus_is_the_inverse_of_leaving_state(
    dry_bulb: float, relative: float, dew_point: float, factor: float, pressure: float
) -> None:
    w = _humid(dry_bulb, relative, pressure)
    # Where the line grazes saturation two dew points share it: only lines that cross it are asked.
    steep = (_humid(dew_point + 0.01, 1.0, pressure) - _humid(dew_point, 1.0, pressure)) / 0.01
    surface = _humid(dew_point, 1.0, pressure)
    assume(surface < w - 2e-4)
    assume((w - surface) / (dry_bulb - dew_point) < 0.9 * steep)
    behind = leaving_state(dry_bulb, w, dew_point, factor, pressure)
    assume(behind[1] <= _humid(behind[0], 1.0, pressure))
    found = apparatus(dry_bulb, w, *behind, pressure)
    assert isclose(found.dew_point, dew_point, abs_tol=1e-4)
    assert isclose(found.bypass_factor, factor, abs_tol=1e-5)


@pytest.mark.analytic
def test_apparatus_lies_on_both_lines() -> None:
    """The point found is saturated, and on the line through both states."""
    w1, w2 = 0.01115, 0.00972
    found = apparatus(299.85, w1, 287.71, w2, P)
    surface = _humid(found.dew_point, 1.0, P)
    slope = (w1 - w2) / (299.85 - 287.71)
    assert isclose(surface, w1 - slope * (299.85 - found.dew_point), rel_tol=1e-9)
    by_moisture = (w2 - surface) / (w1 - surface)
    assert isclose(found.bypass_factor, by_moisture, rel_tol=1e-6)


@pytest.mark.analytic
def test_no_apparatus() -> None:
    with pytest.raises(Unresolvable, match="cool and dry"):
        apparatus(299.0, 0.009, 287.0, 0.009, P)
    with pytest.raises(Unresolvable, match="cool and dry"):
        apparatus(287.0, 0.011, 299.0, 0.009, P)
    with pytest.raises(Unresolvable, match="supersaturated"):
        apparatus(299.0, 0.014, 285.0, 0.0130, P)
    with pytest.raises(Unresolvable, match="misses saturation"):
        apparatus(299.0, 0.014, 295.0, 0.009, P)
    with pytest.raises(Unresolvable, match="misses saturation"):
        apparatus(299.0, 0.0030, 290.0, 0.0020, P)


@pytest.mark.property
@given(dry_bulbs, humidities, st.floats(0.2, 1.2), st.floats(2.0, 14.0), st.floats(0.0, 0.003))
def test_state_behind_is_the_inverse_of_capacity(
    dry_bulb: float, relative: float, m: float, cooled: float, dried: float
) -> None:
    w = _humid(dry_bulb, relative, P)
    q = capacity(m, dry_bulb, w, dry_bulb - cooled, w - dried)
    t, after = state_behind(dry_bulb, w, q.total_capacity, q.sensible_capacity, m)
    assert isclose(t, dry_bulb - cooled, abs_tol=1e-7)
    assert isclose(after, w - dried, abs_tol=1e-10)


@pytest.mark.analytic
def test_state_behind_without_water_is_division() -> None:
    w = 0.008
    t, _ = state_behind(299.0, w, 6000.0, 6000.0, 0.5)
    assert isclose(t, 299.0 - 6000.0 / (0.5 * moist_air.humid_heat(w)), abs_tol=0.01)
    with pytest.raises(Unresolvable, match="more moisture"):
        state_behind(299.0, 0.004, 14000.0, 6000.0, 0.5)


@pytest.mark.analytic
def test_state_behind_gives_up_rather_than_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    """With half the heat of vaporisation each step overshoots by as much as it was off."""
    monkeypatch.setattr(coil, "_VAPORISATION", 1.235e6)
    with pytest.raises(Unresolvable, match="No state behind"):
        state_behind(299.0, 0.011, 8000.0, 6400.0, 0.5)


@pytest.mark.analytic
def test_leaving_state_at_its_ends() -> None:
    """Bypass 1 leaves the air as it was, 0 at the saturated apparatus; a dry coil leaves the moisture."""
    assert leaving_state(299.0, 0.011, 285.0, 1.0, P) == (299.0, 0.011)
    t, w = leaving_state(299.0, 0.011, 285.0, 0.0, P)
    assert (t, w) == (285.0, _humid(285.0, 1.0, P))
    assert leaving_state(299.0, 0.005, 285.0, 0.1, P)[1] == 0.005
    with pytest.raises(OutOfRange):
        leaving_state(299.0, 0.011, 285.0, 1.1, P)


@pytest.mark.analytic
def test_bypass_factor_by_transfer_units() -> None:
    """BF = exp(-A0 / m): A0 from the rating gives the same factor."""
    a0 = -log(0.08) * 0.55
    assert isclose(bypass_factor_at(0.08, 0.8), exp(-a0 / (0.8 * 0.55)), rel_tol=1e-12)
    for bad in ((1.2, 1.0), (0.1, 0.3), (0.1, 1.6)):
        with pytest.raises(OutOfRange):
            bypass_factor_at(*bad)


@pytest.mark.property
@given(factors, st.floats(0.7, 1.4))
def test_bypass_there_and_back(factor: float, flow: float) -> None:
    moved = bypass_factor_at(factor, flow)
    assert isclose(bypass_factor_at(moved, 1.0 / flow), factor, rel_tol=1e-12)
    assert (moved > factor) == (flow > 1.0) or isclose(flow, 1.0, rel_tol=1e-12)


@pytest.mark.property
@given(dry_bulbs, humidities, dew_points, factors, st.floats(0.3, 1.0))
def test_sensible_of_total_is_that_of_the_leaving_state(
    dry_bulb: float, relative: float, dew_point: float, factor: float, m: float
) -> None:
    w = _humid(dry_bulb, relative, P)
    assume(_humid(dew_point, 1.0, P) < w - 1e-5)
    behind = leaving_state(dry_bulb, w, dew_point, factor, P)
    q = capacity(m, dry_bulb, w, *behind)
    assert isclose(sensible_of_total(dry_bulb, w, q.total_capacity, m, factor, P), q.sensible_capacity, rel_tol=1e-7)


@pytest.mark.published
def test_sensible_part_of_the_e100_unit_from_its_rating_alone() -> None:
    """The sensible capacities of the 96 wet cells of the E100 map, from listed totals and one bypass factor.

    One factor serves the whole map to 1.1 % root mean square and 2.7 % at most, without bias (0.07 %); the figures of
    the map are 29.3 W apart, 0.4 to 1.1 % of them. The bounds leave a tenth above what was found.
    """
    m = e100.AIRFLOW * 1.2041
    rated = moist_air.humidity_ratio_from_wet_bulb(26.7 + 273.15, 19.4 + 273.15, P)
    behind = state_behind(26.7 + 273.15, rated, 8181.0, 6365.0, m)
    factor = apparatus(26.7 + 273.15, rated, *behind, P).bypass_factor
    errors = []
    for sheet in e100.LISTED.values():
        for wet_bulb, row in zip(e100.WET_BULB, sheet, strict=True):
            for dry_bulb, listed in zip(e100.DRY_BULB, row[2:], strict=True):
                if listed < row[0]:
                    w = moist_air.humidity_ratio_from_wet_bulb(dry_bulb + 273.15, wet_bulb + 273.15, P)
                    errors.append(sensible_of_total(dry_bulb + 273.15, w, row[0], m, factor, P) / listed - 1.0)
    assert len(errors) == 96
    assert sqrt(sum(error**2 for error in errors) / 96) < 0.0125
    assert max(abs(error) for error in errors) < 0.03
    assert abs(sum(errors) / 96) < 0.002


@pytest.mark.analytic
def test_sensible_of_total_of_a_dry_coil_and_refusals() -> None:
    assert sensible_of_total(299.0, 0.005, 5000.0, 0.5, 0.1, P) == 5000.0
    with pytest.raises(Unresolvable, match="above -10 C"):
        sensible_of_total(299.0, 0.011, 60000.0, 0.5, 0.1, P)
    with pytest.raises(OutOfRange):
        sensible_of_total(299.0, 0.011, 5000.0, 0.5, 0.96, P)
    with pytest.raises(OutOfRange):
        sensible_of_total(299.0, 0.011, 0.0, 0.5, 0.1, P)


@pytest.mark.property
@given(st.floats(0.1, 5.0), st.floats(-3.0, 3.0))
def test_bracketed_finds_the_root_of_a_cubic(steep: float, root: float) -> None:
    found = bracketed(lambda x: steep * (x - root) * (1.0 + (x - root) ** 2), -4.0, 4.5, 1e-13)
    assert isclose(found, root, abs_tol=1e-9)


@pytest.mark.analytic
def test_bracketed_at_the_ends_and_without_a_root() -> None:
    assert bracketed(lambda x: x, 0.0, 1.0, 1e-9) == 0.0
    assert bracketed(lambda x: x - 1.0, 0.0, 1.0, 1e-9) == 1.0
    with pytest.raises(Unresolvable):
        bracketed(lambda x: x * x + 1.0, -1.0, 1.0, 1e-9)
    with pytest.raises(Unresolvable, match="not found"):
        bracketed(lambda x: 1.0 if x > 0.3 else -1.0, 0.0, 1.0, 0.0)
