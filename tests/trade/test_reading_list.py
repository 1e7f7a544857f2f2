"""The list of readings: each can be read where it stands, none is asked for twice, and as left repeats as found."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from drawthrough import units, vocabulary
from drawthrough.trade.instruments import ready
from drawthrough.trade.reading_list import layout_of, sign_of, usual_unit_of, wanted
from drawthrough.visit.air_place import SPOT_PLACES, places
from drawthrough.visit.entry import entry
from drawthrough.visit.form import PRESSURES
from drawthrough.visit.sheet import load
from drawthrough.visit.state import Instrument

pytestmark = pytest.mark.property
EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
VISITS = [load(path) for path in EXAMPLES]
RUNS = [(visit, run) for visit in VISITS for run in visit.run]


@pytest.mark.parametrize(("visit", "run"), RUNS, ids=lambda one: getattr(one, "id", ""))
def test_everything_wanted_can_be_read_here(visit, run):
    here = {*places(layout_of(visit.system, run)), "room"}
    for one in wanted(visit, replace(run, reading=())):
        assert one.at in (here if one.what in PRESSURES else SPOT_PLACES)
        assert (one.against in here) if one.what in PRESSURES else one.against is None
        units.find(one.unit, vocabulary.quantity_of(one.what).dimension)


@pytest.mark.parametrize(("visit", "run"), RUNS, ids=lambda one: getattr(one, "id", ""))
def test_what_is_read_is_not_asked_for_again(visit, run):
    have = {(one.what, one.at, one.against, one.hole) for one in run.reading}
    if run.when == "as found":
        assert not have & {(one.what, one.at, one.against, one.hole) for one in wanted(visit, run)}


@pytest.mark.parametrize(("visit", "run"), RUNS, ids=lambda one: getattr(one, "id", ""))
def test_as_left_asks_for_the_same_in_the_same_order(visit, run):
    if run.when == "as left":
        again = [(one.what, one.at, one.against) for one in wanted(visit, replace(run, reading=()))]
        counterparts = [
            [(one.what, one.at, one.against) for one in found.reading]
            for found in visit.run
            if found.when == "as found" and found.mode == run.mode
        ]
        assert again in counterparts


def test_signs_follow_the_blower():
    """The return side lies below the room and the supply side above it (common practice, no source)."""
    visit = VISITS[[path.stem for path in EXAMPLES].index("dirty-wheel-psc")]
    run = visit.run[1]
    assert sign_of(visit, run, "static", "return plenum", "room") == -1
    assert sign_of(visit, run, "static", "supply plenum", "room") == 1
    assert sign_of(visit, run, "pressure_drop", "after filter", "after coil") == 1
    assert sign_of(visit, run, "dry_bulb", "return", None) == 0
    assert usual_unit_of("static") == "inwc"


@pytest.mark.parametrize("kind", ready(), ids=lambda kind: kind["id"])
def test_a_ready_instrument_can_be_listed(kind):
    made = entry(Instrument, kind)
    assert made.accuracy_relative or made.accuracy_absolute
    assert made.resolution


@pytest.mark.parametrize("mode", ["cooling", "gas", "fan"])
def test_a_coil_after_the_blower_is_read_at_its_own_two_holes(mode):
    """No hole is asked for by two names, and what lies straight across the coil is the coil alone."""
    visit = VISITS[[path.stem for path in EXAMPLES].index("furnace-coil-outside")]
    run = replace(visit.run[0], mode=mode, reading=())
    path = layout_of(visit.system, run).path
    asked = [one for one in wanted(replace(visit, run=(run,)), run) if one.what in PRESSURES]
    holes = [path.station(one.at) for one in asked if one.against == "room"]
    assert len(holes) == len(set(holes))
    assert [path.span(one.at, one.against) for one in asked if one.against != "room"] == [[("coil", 1)]]


def test_a_gas_run_asks_for_what_its_airflow_needs():
    """Gas flow, heating value and efficiency, as the judge takes them."""
    visit = VISITS[[path.stem for path in EXAMPLES].index("furnace-coil-outside")]
    run = replace(visit.run[0], mode="gas", reading=())
    asked = {one.what for one in wanted(replace(visit, run=(run,)), run)}
    assert {"gas_flow", "heating_value", "combustion_efficiency"} <= asked
