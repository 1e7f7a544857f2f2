"""What one reading means so far: figures by hand arithmetic and published formulas, and never a refusal."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from drawthrough.judge.ends import external_ends, read_between
from drawthrough.judge.so_far import so_far
from drawthrough.units import INWC
from drawthrough.visit.sheet import load
from drawthrough.visit.state import Capacitor, Reading, Run, Strips

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
VISITS = {path.stem: load(path) for path in EXAMPLES}


def means(visit, run, what, at):
    index = next(k for k, one in enumerate(run.reading) if (one.what, one.at) == (what, at))
    return {one.code: one.figures for one in so_far(visit, run.id, index).means}


@pytest.fixture(scope="module")
def visit():
    return VISITS["dirty-wheel-psc"]


@pytest.fixture(scope="module")
def strips(visit):
    return next(run for run in visit.run if run.id == "strips-found")


@pytest.mark.analytic
def test_drops_are_differences_of_holes(visit, strips):
    """0.239 - 0.092 and 0.384 - 0.239 in. w.c.; 0.183 + 0.092 over the ducts."""
    assert means(visit, strips, "static", "after filter")["the filter takes"]["drop"] == pytest.approx(0.147 * INWC)
    assert means(visit, strips, "static", "after coil")["the coil takes"]["drop"] == pytest.approx(0.145 * INWC)
    over = means(visit, strips, "static", "supply plenum")["static over the ducts"]
    assert over["static"] == pytest.approx(0.275 * INWC)


@pytest.mark.analytic
def test_strips_by_ohms_law(visit, strips):
    """P = V I; a kit's power goes with the square of the voltage; R = V^2 / P for one element of two."""
    kit = replace(visit.system, strips=Strips(power=10000.0, volts=240.0, elements=2))
    known = replace(visit, system=kit)
    told = means(known, strips, "amps", "strips")["the strips take, beside their kit"]
    assert told["power"] == pytest.approx(239.2 * 39.8)
    assert told["expected"] == pytest.approx(10000.0 * (239.2 / 240.0) ** 2)
    element = means(known, strips, "resistance", "strip element")["beside a sound element"]
    assert element["expected"] == pytest.approx(240.0**2 / 5000.0)


@pytest.mark.analytic
def test_a_capacitor_by_its_reactance(visit):
    """C = I / (2 pi f V): 1.01 A at 368 V and 60 Hz is 7.28 uF."""
    run = next(run for run in visit.run if run.id == "cooling-found")
    printed = replace(visit, system=replace(visit.system, capacitor=Capacitor(capacitance=7.5e-6)))
    told = means(printed, run, "amps", "capacitor")["the capacitor has, beside its print"]
    assert told["capacitance"] == pytest.approx(1.01 / (2 * 3.141592653589793 * 60.0 * 368.0))
    assert told["printed"] == 7.5e-6


@pytest.mark.analytic
def test_a_split_is_a_difference(visit):
    """76.2 - 52.9 is 23.3 F."""
    run = next(run for run in visit.run if run.id == "cooling-found")
    assert means(visit, run, "dry_bulb", "supply")["the air is cooled by"]["change"] == pytest.approx(23.3 / 1.8)


@pytest.mark.property
def test_a_risen_static_is_explained_as_left(visit):
    run = next(run for run in visit.run if run.id == "strips-left")
    assert "more than as found: more air meets the same ducts" in means(visit, run, "static", "supply plenum")


@pytest.mark.property
@settings(deadline=None, max_examples=60)
@given(data=st.data())
def test_nothing_is_refused_whatever_is_missing(data):
    whole = VISITS[data.draw(st.sampled_from(sorted(VISITS)))]
    runs = tuple(
        replace(run, reading=tuple(one for one in run.reading if data.draw(st.booleans()))) for run in whole.run
    )
    system = whole.system
    if data.draw(st.booleans()):
        system = replace(system, refrigerant=None, strips=None, capacitor=None, fan_table=())
    visit = replace(whole, run=runs, system=system)
    for run in runs:
        for index in range(len(run.reading)):
            so_far(visit, run.id, index)
    assert so_far(visit, "no such run", 0).means == ()


@pytest.mark.property
def test_the_missing_reading_turns_not_yet_into_a_meaning(visit, strips):
    alone = replace(
        strips, reading=tuple(one for one in strips.reading if one.at == "after filter" and one.against == "room")
    )
    before = so_far(replace(visit, run=(alone,)), strips.id, 0)
    assert [one.code for one in before.not_yet] == ["what lies before it needs the hole before it"]
    first = next(one for one in strips.reading if one.at == "return plenum")
    after = so_far(replace(visit, run=(replace(alone, reading=(*alone.reading, first)),)), strips.id, 0)
    assert "the filter takes" in [one.code for one in after.means]


def of_holes(visit, when, run_id, **inches):
    """Return a visit with one more run of single-sided statics, and what its readings mean by their places."""
    readings = tuple(
        Reading(what="static", at=at.replace("_", " "), against="room", value=value * INWC, typed=f"{value} inwc")
        for at, value in inches.items()
    )
    run = Run(id=run_id, when=when, mode="fan", speed="high", reading=readings)
    made = replace(visit, run=(*visit.run, run))
    return made, {
        one.at: {found.code: found.figures for found in so_far(made, run_id, k).means} for k, one in enumerate(readings)
    }


@pytest.mark.analytic
def test_behind_a_grille_filter_the_return_plenum_has_filter_and_duct_before_it(visit):
    """0.10 the filter, 0.30 - 0.10 the duct, 0.55 - 0.30 the coil."""
    grille = replace(visit, system=replace(visit.system, filter_place="grille"), run=())
    holes = {"after_filter": -0.10, "return_plenum": -0.30, "after_coil": -0.55}
    _, told = of_holes(grille, "as found", "a", **holes)
    assert told["after filter"]["the filter takes"]["drop"] == pytest.approx(0.10 * INWC)
    assert told["return plenum"]["the return duct takes"]["drop"] == pytest.approx(0.20 * INWC)
    assert told["after coil"]["the coil takes"]["drop"] == pytest.approx(0.25 * INWC)
    _, told = of_holes(grille, "as found", "a", return_plenum=-0.30)
    assert "the return duct takes" not in told["return plenum"]


@pytest.mark.property
@pytest.mark.parametrize("name", VISITS)
def test_only_the_external_static_stands_beside_the_nameplate(name):
    """The page of a run and the proof hold the same static against the nameplate's maximum."""
    for run in VISITS[name].run:
        for k in range(len(run.reading)):
            for one in so_far(VISITS[name], run.id, k).means:
                if "static_rated" in one.figures:
                    judged = read_between(VISITS[name].system, run, external_ends(VISITS[name].system))
                    assert one.figures["static"] == pytest.approx(judged)


@pytest.mark.property
def test_the_external_static_of_plenums_stands_beside_the_nameplate(visit):
    """A table taken with its filter in: the plenums are its ends, and 0.20 + 0.30 is 0.50 in. w.c."""
    tables = tuple(replace(table, filter="in") for table in visit.system.fan_table)
    inside = replace(visit, system=replace(visit.system, fan_table=tables), run=())
    _, told = of_holes(inside, "as found", "a", return_plenum=-0.30, supply_plenum=0.20)
    beside = told["supply plenum"]["static over the ducts, beside the nameplate"]
    assert beside["static"] == pytest.approx(0.50 * INWC)


@pytest.mark.property
@pytest.mark.parametrize(
    ("changes", "left", "more"),
    [({}, 0.25, True), ({}, 0.201, False), ({"motor": "constant airflow"}, 0.25, False)],
    ids=["clear", "within the instrument", "airflow held"],
)
def test_more_air_is_said_only_where_it_is_clear(visit, changes, left, more):
    """0.001 in. w.c. is less than a manometer tells, and a motor that holds its airflow moves no more of it."""
    bare = replace(visit, system=replace(visit.system, **changes), run=(), work=())
    found, _ = of_holes(bare, "as found", "a", supply_plenum=0.20)
    _, told = of_holes(found, "as left", "b", supply_plenum=left)
    assert ("more than as found: more air meets the same ducts" in told["supply plenum"]) is more


@pytest.mark.property
def test_another_speed_is_not_compared(visit):
    """Another speed moves another airflow, whatever was done."""
    bare = replace(visit, run=(), work=())
    made, _ = of_holes(bare, "as found", "a", supply_plenum=0.08)
    made = replace(made, run=(replace(made.run[0], speed="low"),))
    _, told = of_holes(made, "as left", "b", supply_plenum=0.20)
    assert not any("found" in one for one in told["supply plenum"])
