"""Whatever a single reading says within what can be typed, a judgement comes of it; what cannot be is set aside."""

from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from drawthrough.judge.engine import judge
from drawthrough.judge.sift import sifted
from drawthrough.report.text import text
from drawthrough.visit.sheet import load
from drawthrough.vocabulary import quantity_of

pytestmark = pytest.mark.property
EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


@cache
def visit_of(path):
    return load(path)


def with_reading(visit, number, value):
    """The visit with one of its readings, counted through all runs, at another value."""
    runs = list(visit.run)
    for k, run in enumerate(runs):
        if number < len(run.reading):
            reading = list(run.reading)
            reading[number] = replace(reading[number], value=value)
            runs[k] = replace(run, reading=tuple(reading))
            return replace(visit, run=tuple(runs)), run.id, number
        number -= len(run.reading)
    raise AssertionError


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(EXAMPLES), st.data())
def test_no_single_reading_brings_a_judgement_down(path, data):
    visit = visit_of(path)
    readings = [reading for run in visit.run for reading in run.reading]
    number = data.draw(st.integers(0, len(readings) - 1))
    quantity = quantity_of(readings[number].what)
    value = data.draw(st.sampled_from([quantity.low, quantity.high]) | st.floats(quantity.low, quantity.high))
    changed, run, index = with_reading(visit, number, value)
    judgement = judge(changed)
    assert any((one.run, one.index) == (run, index) for one in judgement.readings)
    assert len(judgement.readings) == len(readings)
    assert text(judgement)  # and it can be told


def test_a_return_as_hot_as_boiling_water_is_set_aside_and_the_rest_is_judged_as_without_it():
    visit = visit_of(EXAMPLES[[path.stem for path in EXAMPLES].index("dirty-wheel-psc")])
    number = next(k for k, one in enumerate(one for run in visit.run for one in run.reading) if one.at == "return")
    changed, run, index = with_reading(visit, number, 373.0)
    judgement = judge(changed)
    (mine,) = (one for one in judgement.readings if (one.run, one.index) == (run, index))
    assert mine.standing == "set aside"
    assert [reason.code for reason in mine.reasons] == ["beyond what can be worked with"]
    without = replace(
        changed,
        run=tuple(
            replace(one, reading=tuple(r for k, r in enumerate(one.reading) if (one.id, k) != (run, index)))
            for one in changed.run
        ),
    )
    assert judge(without).results == judgement.results


def test_what_can_be_worked_with_is_not_touched():
    for path in EXAMPLES:
        visit = visit_of(path)
        assert sifted(visit).visit is visit


def test_supply_air_below_freezing_has_no_total_capacity_and_still_a_judgement():
    """What leaves the coil is ice then: an enthalpy balance less liquid condensate does not hold."""
    visit = visit_of(EXAMPLES[[path.stem for path in EXAMPLES].index("dirty-wheel-psc")])
    runs = tuple(
        replace(
            run,
            reading=tuple(
                replace(one, value=268.0) if one.what == "dry_bulb" and one.at == "supply" else one
                for one in run.reading
            ),
        )
        if run.mode == "cooling"
        else run
        for run in visit.run
    )
    judgement = judge(replace(visit, run=runs))
    assert judgement.result("total_capacity", "as found") is None
    assert judgement.result("sensible_capacity", "as found") is not None
