"""Charge targets: the charts' own cells and blanks, a mnemonic that fails, and what must hold for a reading."""

import re
from math import isclose
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics import charge, charge_tables
from drawthrough.physics.charge import charge_limits, target_split, target_superheat, unmet_conditions
from drawthrough.units import CFM, RANKINE


def _f(value: float) -> float:
    return (value + 459.67) * RANKINE


def _superheat(wet_bulb: float, outdoor: float) -> float:
    return target_superheat(_f(wet_bulb), _f(outdoor)) / RANKINE


def _split(dry_bulb: float, wet_bulb: float) -> float:
    return target_split(_f(dry_bulb), _f(wet_bulb)) / RANKINE


def _cells() -> list[tuple[int, int, int]]:
    return [
        (wet_bulb, outdoor, cell)
        for outdoor, row in charge_tables.SUPERHEAT.items()
        for wet_bulb, cell in zip(charge_tables.SUPERHEAT_WET_BULB, row, strict=True)
        if cell is not None
    ]


@pytest.mark.published
def test_every_cell_of_the_charts_and_every_blank() -> None:
    """Carrier 38VTA040 table 4 and Lennox 14ACX p. 26: 13 rows of 14 cells, 64 of them blank."""
    assert len(_cells()) == 13 * 14 - 64
    for wet_bulb, outdoor, cell in _cells():
        assert isclose(_superheat(wet_bulb, outdoor), cell, abs_tol=1e-9)
    for outdoor, row in charge_tables.SUPERHEAT.items():
        for wet_bulb, cell in zip(charge_tables.SUPERHEAT_WET_BULB, row, strict=True):
            if cell is None:
                with pytest.raises(Unresolvable, match="blank"):
                    _superheat(wet_bulb, outdoor)


@pytest.mark.published
def test_the_charts_fall_towards_their_blanks() -> None:
    """A slip of the pen would break this: targets rise with the wet bulb, fall with outdoors, and are 5 F or more."""
    cells = {(wet_bulb, outdoor): cell for wet_bulb, outdoor, cell in _cells()}
    outdoors = list(charge_tables.SUPERHEAT)
    assert min(cells.values()) == 5
    for (wet_bulb, outdoor), cell in cells.items():
        assert cells.get((wet_bulb + 2, outdoor), 99) > cell
        index = outdoors.index(outdoor)
        if index + 1 < len(outdoors):
            assert cells.get((wet_bulb, outdoors[index + 1]), -99) <= cell


@pytest.mark.published
def test_the_mnemonic_is_no_chart() -> None:
    """(3 WB - 80 - DB) / 2 against every cell from 55 F outdoors on: off by up to 6 F down and 3 F up."""
    misses = [(3 * wet_bulb - 80 - outdoor) / 2 - cell for wet_bulb, outdoor, cell in _cells() if outdoor >= 55]
    assert -6.5 <= min(misses) <= -5.5
    assert 2.5 <= max(misses) <= 3.0
    assert (3 * 60 - 80 - 90) / 2 == 5  # it answers here,
    with pytest.raises(Unresolvable):
        _superheat(60, 90)  # where the chart does not


@pytest.mark.property
@given(st.floats(62.0, 76.0), st.floats(40.0, 90.0))
def test_superheat_lies_between_its_neighbours(wet_bulb: float, outdoor: float) -> None:
    """All cells from 62 F wet bulb on and up to 90 F outdoors are printed."""
    value = _superheat(wet_bulb, outdoor)
    row = max(o for o in charge_tables.SUPERHEAT if o <= outdoor + 1e-9)
    above = min(o for o in charge_tables.SUPERHEAT if o >= outdoor - 1e-9)
    low, high = 2 * (wet_bulb // 2), min(2 * (wet_bulb // 2) + 2, 76.0)
    assert _superheat(low, above) - 1e-6 <= value <= _superheat(high, row) + 1e-6


@pytest.mark.property
@given(st.floats(62.0, 74.0), st.floats(42.0, 88.0), st.floats(0.1, 2.0))
def test_superheat_rises_with_humid_air_and_falls_with_heat_outdoors(w: float, o: float, step: float) -> None:
    assert _superheat(w + step, o) > _superheat(w, o)
    assert _superheat(w, o + step) <= _superheat(w, o) + 1e-9


@pytest.mark.analytic
def test_superheat_outside_the_chart() -> None:
    for wet_bulb, outdoor in ((49.9, 60), (76.1, 60), (60, 39.9), (76, 115.1)):
        with pytest.raises(OutOfRange):
            _superheat(wet_bulb, outdoor)
    # On a printed line beside a blank the line itself answers; off it, nothing does.
    assert isclose(_superheat(62, 87.5), 6.5, abs_tol=1e-9)
    with pytest.raises(Unresolvable):
        _superheat(61.9, 87.5)


@pytest.mark.analytic
def test_every_cell_of_the_split_table_on_its_quadratic() -> None:
    """From memory, so this holds the recollection to itself: all cells within 0.05 F of one quadratic."""
    c0, c1, c2, c3 = charge_tables.SPLIT_REGRESSION
    count = 0
    for dry_bulb, row in charge_tables.SPLIT.items():
        for wet_bulb, cell in zip(charge_tables.SPLIT_WET_BULB, row, strict=True):
            if cell is None:
                with pytest.raises(Unresolvable, match="blank"):
                    _split(dry_bulb, wet_bulb)
                continue
            count += 1
            assert abs(c0 + c1 * dry_bulb + c2 * wet_bulb + c3 * wet_bulb**2 - cell) < 0.055
            if wet_bulb <= dry_bulb:
                assert isclose(_split(dry_bulb, wet_bulb), cell, abs_tol=1e-9)
    assert count == sum(cell is not None for row in charge_tables.SPLIT.values() for cell in row) > 350


@pytest.mark.property
@given(st.floats(70.0, 83.9), st.floats(60.0, 69.9))
def test_split_grows_with_dry_air(dry_bulb: float, wet_bulb: float) -> None:
    c0, c1, c2, c3 = charge_tables.SPLIT_REGRESSION
    value = _split(dry_bulb, wet_bulb)
    assert abs(value - (c0 + c1 * dry_bulb + c2 * wet_bulb + c3 * wet_bulb**2)) < 0.065
    assert _split(dry_bulb, wet_bulb + 0.1) < value < _split(dry_bulb + 0.1, wet_bulb)


@pytest.mark.analytic
def test_split_outside_the_table() -> None:
    for dry_bulb, wet_bulb in ((69.9, 60), (84.1, 65), (80, 76.1), (75, 49.9), (72, 73)):
        with pytest.raises(OutOfRange):
            _split(dry_bulb, wet_bulb)


@pytest.mark.analytic
def test_limits_name_themselves() -> None:
    limits = charge_limits("expansion valve")
    assert (round(limits.low / RANKINE), round(limits.high / RANKINE), limits.what) == (4, 25, "superheat")
    assert charge_limits("subcooling", "rater").word == "from memory"
    with pytest.raises(Unresolvable, match="superheat/installer"):
        charge_limits("weight")


@pytest.mark.property
@given(st.sampled_from(["superheat", "subcooling", "split", "expansion valve"]))
def test_who_checks_is_allowed_more(method: str) -> None:
    own, others = charge_limits(method, "installer"), charge_limits(method, "rater")
    assert others.low < own.low < own.high < others.high
    assert isclose(own.low - others.low, RANKINE)
    assert isclose(others.high - own.high, RANKINE)


@pytest.mark.published
def test_conditions_at_their_edges() -> None:
    """Title 24 RA3.2: 55 F outdoors, 300 cfm per ton, 15 minutes; met exactly is met."""
    three_tons = 36000 * 1055.05585262 / 3600
    assert unmet_conditions(_f(55), 900 * CFM, three_tons, 900.0) == ()
    assert unmet_conditions(_f(54.9), 900 * CFM, three_tons, 900.0) == ("outdoor",)
    assert unmet_conditions(_f(55), 899 * CFM, three_tons, 900.0) == ("standard_airflow",)
    assert unmet_conditions(_f(55), 900 * CFM, three_tons, 899.0) == ("duration",)
    with pytest.raises(OutOfRange):
        unmet_conditions(_f(55), 0.4, 0.0, 900.0)


@pytest.mark.property
@given(st.floats(270.0, 320.0), st.floats(0.05, 1.0), st.floats(3e3, 2e4), st.floats(0.0, 3600.0))
def test_more_of_everything_never_breaks_a_condition(o: float, q: float, rated: float, t: float) -> None:
    here = set(unmet_conditions(o, q, rated, t))
    assert set(unmet_conditions(o + 1.0, q * 1.1, rated, t + 60.0)) <= here
    assert here <= set(unmet_conditions(o - 1.0, q / 1.1, rated, max(t - 60.0, 0.0)))


@pytest.mark.property
def test_nothing_here_tells_anyone_what_to_do_with_refrigerant() -> None:
    for module in (charge, charge_tables):
        text = Path(module.__file__ or "").read_text(encoding="utf-8").lower()
        assert not re.search(r"\b(add|adding|remove|removing|recover|top up|top off|vent)\b", text)
