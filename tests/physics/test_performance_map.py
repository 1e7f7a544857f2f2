"""A unit's own map: its nodes, its dry coil, what lies between, and what it refuses."""

from dataclasses import replace
from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics.performance_map import MapError, PerformanceMap, dry_coil_wet_bulb, performance_by_map
from tests.published import e100

UNIT = e100.unit()
WIDE = e100.unit(1.5)
outdoors = st.floats(29.4 + 273.15, 46.1 + 273.15)
wet_bulbs = st.floats(15.0 + 273.15, 21.7 + 273.15)
dry_bulbs = st.floats(22.2 + 273.15, 26.7 + 273.15)


@pytest.mark.published
def test_every_wet_cell_of_the_e100_map_comes_back() -> None:
    """Standard 140 table 26c: the 96 wet cells, to rounding of the arithmetic."""
    seen = 0
    for outdoor, sheet in e100.LISTED.items():
        for wet_bulb, row in zip(e100.WET_BULB, sheet, strict=True):
            for dry_bulb, listed in zip(e100.DRY_BULB, row[2:], strict=True):
                if listed >= row[0]:
                    continue
                found = performance_by_map(UNIT, outdoor + 273.15, wet_bulb + 273.15, dry_bulb + 273.15)
                assert not found.dry
                assert isclose(found.total_capacity, row[0], rel_tol=1e-9)
                assert isclose(found.sensible_capacity, listed, rel_tol=1e-9)
                assert isclose(found.power, row[1], rel_tol=1e-9)
                seen += 1
    assert seen == 96


@pytest.mark.published
def test_the_rule_for_a_dry_coil_has_no_bias() -> None:
    """Standard 140 table 26c: the mean over its 24 dry cells is met within 0.1 %; interpolating the listed sensible
    figures across the edge instead would read 1.1 % low."""
    errors = []
    for outdoor, wet_bulb, dry_bulb, listed in e100.dry_cells():
        found = performance_by_map(UNIT, outdoor + 273.15, wet_bulb + 273.15, dry_bulb + 273.15)
        assert found.dry
        errors.append(found.total_capacity / listed - 1.0)
    assert len(errors) == 24
    assert abs(sum(errors) / 24) < 1e-3


@pytest.mark.property
@given(outdoors, wet_bulbs, dry_bulbs)
def test_sensible_is_never_above_total(outdoor: float, wet_bulb: float, dry_bulb: float) -> None:
    if wet_bulb > dry_bulb:
        return
    found = performance_by_map(WIDE, outdoor, wet_bulb, dry_bulb)
    assert 0.0 < found.sensible_capacity <= found.total_capacity * (1.0 + 1e-12)
    assert isclose(found.sensible_heat_ratio * found.total_capacity, found.sensible_capacity, rel_tol=1e-12)
    assert found.dry == (found.sensible_capacity == found.total_capacity)


@pytest.mark.property
@given(outdoors, dry_bulbs, st.floats(0.01, 3.0))
def test_a_dry_coil_does_not_know_the_humidity(outdoor: float, dry_bulb: float, drier: float) -> None:
    edge = dry_coil_wet_bulb(WIDE, outdoor, dry_bulb)
    at_edge, below = (performance_by_map(WIDE, outdoor, wet, dry_bulb) for wet in (edge, edge - drier))
    assert at_edge == below
    assert at_edge.dry
    just_above = performance_by_map(WIDE, outdoor, edge + 1e-6, dry_bulb)
    assert isclose(just_above.total_capacity, at_edge.total_capacity, rel_tol=1e-6)
    assert isclose(just_above.sensible_capacity, at_edge.sensible_capacity, rel_tol=1e-6)


@pytest.mark.property
@given(outdoors, dry_bulbs, st.floats(0.1, 2.0))
def test_hotter_outdoors_costs_capacity_and_takes_power(outdoor: float, dry_bulb: float, hotter: float) -> None:
    wet_bulb = 19.0 + 273.15
    if outdoor + hotter > UNIT.outdoor[-1]:
        return
    here, there = (performance_by_map(UNIT, o, wet_bulb, dry_bulb) for o in (outdoor, outdoor + hotter))
    assert there.total_capacity < here.total_capacity
    assert there.power > here.power


def _plane(slope: float) -> PerformanceMap:
    """A map that is linear in each temperature, so that the meeting point is known in closed form."""
    outdoor, wet_bulb, dry_bulb = (300.0, 310.0), (288.0, 290.0, 292.0), (296.0, 300.0)
    return PerformanceMap(
        "plane", "closed form", outdoor, wet_bulb, dry_bulb,
        tuple(tuple(8000.0 - 40.0 * (o - 300.0) + 200.0 * (w - 290.0) for w in wet_bulb) for o in outdoor),
        tuple(
            tuple(tuple(7000.0 - 20.0 * (o - 300.0) - 400.0 * (w - 290.0) + slope * (d - 298.0) for d in dry_bulb)
                  for w in wet_bulb)
            for o in outdoor
        ),
        tuple(tuple(1800.0 + 20.0 * (o - 300.0) for _ in wet_bulb) for o in outdoor),
    )  # fmt: skip


@pytest.mark.analytic
@pytest.mark.parametrize(("outdoor", "dry_bulb"), [(300.0, 296.0), (303.0, 298.0), (310.0, 300.0), (306.5, 299.1)])
def test_meeting_point_of_planes(outdoor: float, dry_bulb: float) -> None:
    """8000 - 40 o + 200 w = 7000 - 20 o - 400 w + 100 d, solved by hand."""
    expected = 290.0 + (-1000.0 + 20.0 * (outdoor - 300.0) + 100.0 * (dry_bulb - 298.0)) / 600.0
    assert isclose(dry_coil_wet_bulb(_plane(100.0), outdoor, dry_bulb), expected, rel_tol=1e-12)
    found = performance_by_map(_plane(100.0), outdoor, 288.05, dry_bulb)
    total = 8000.0 - 40.0 * (outdoor - 300.0) + 200.0 * (max(expected, 288.05) - 290.0)
    assert isclose(found.total_capacity, total, rel_tol=1e-12)


@pytest.mark.analytic
def test_outside_the_map() -> None:
    with pytest.raises(Unresolvable, match="stays wet"):
        dry_coil_wet_bulb(UNIT, 29.4 + 273.15, 22.2 + 273.15)  # would be at 13.8 C, below the map
    for outdoor, wet_bulb, dry_bulb in ((302.0, 290.0, 297.0), (305.0, 295.2, 297.0), (305.0, 290.0, 300.0)):
        with pytest.raises(OutOfRange):
            performance_by_map(UNIT, outdoor, wet_bulb, dry_bulb)
    with pytest.raises(OutOfRange, match="wet bulb is not above"):
        performance_by_map(_plane(100.0), 305.0, 291.9, 291.0)
    with pytest.raises(OutOfRange):
        performance_by_map(UNIT, 29.4 + 273.15, 287.0, 22.2 + 273.15)
    with pytest.raises(OutOfRange):
        performance_by_map(e100.unit(0.5), 29.4 + 273.15, 287.0, 22.2 + 273.15)


@pytest.mark.analytic
def test_a_map_that_says_too_little() -> None:
    flat = _plane(0.0)
    dry = replace(flat, sensible_capacity=tuple(tuple((9000.0, 9000.0) for _ in range(3)) for _ in range(2)))
    with pytest.raises(Unresolvable, match="fewer than two"):
        performance_by_map(dry, 305.0, 290.0, 298.0)
    level = replace(flat, total_capacity=((8000.0,) * 3,) * 2, sensible_capacity=((((4000.0,) * 2,) * 3),) * 2)
    with pytest.raises(Unresolvable, match="stays wet"):
        dry_coil_wet_bulb(level, 305.0, 298.0)
    assert performance_by_map(level, 305.0, 289.0, 298.0).sensible_heat_ratio == 0.5


@pytest.mark.analytic
@pytest.mark.parametrize(
    "change",
    [
        {"outdoor": (300.0, 300.0)},
        {"wet_bulb": (288.0,)},
        {"power": ((1800.0,) * 3,)},
        {"total_capacity": ((8000.0,) * 2,) * 2},
        {"sensible_capacity": (((4000.0,) * 3,) * 3,) * 2},
    ],
)
def test_maps_that_do_not_fit(change: dict[str, tuple[float, ...]]) -> None:
    with pytest.raises(MapError):
        replace(_plane(100.0), **change)
