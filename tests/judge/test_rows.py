"""The expectations of the joint fit: exact derivatives, and the equations behind them."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawthrough.judge.model import build
from drawthrough.judge.priors import Priors
from drawthrough.judge.stream import REFERENCE_MASS_FLOW
from drawthrough.physics.airpath import pressure_drop
from drawthrough.visit.state import Run, Visit, Work
from tests.judge.visits import deep_clean, reading, strips_run, system


def models():
    """Models that between them hold every kind of row: strips with and without zero, wet and damp coil, flow, gas."""
    plain = deep_clean()
    yield build(plain, Priors())
    cooled = Run(
        id="cooling",
        when="as left",
        mode="cooling",
        speed="high",
        wetness="wet steady",
        reading=(
            reading("static", "after coil", -120.0, against="after filter"),
            reading("airflow", "filter slot", 0.5),
        ),
    )
    damp = strips_run("as left", 17.0, {"plenum": -36.0, "supply": 71.0}, name="damp", wetness="damp")
    yield build(
        Visit(
            site=plain.site,
            system=plain.system,
            instrument=plain.instrument,
            run=(*plain.run[:1], cooled, damp),
            work=(Work(part="seams", action="sealed"), Work(part="filter", action="replaced")),
        ),
        Priors(),
    )
    burner = Run(
        id="gas",
        when="as found",
        mode="gas",
        speed="high",
        reading=(
            reading("static", "supply plenum", 60.0, against="before coil"),
            reading("dry_bulb", "return", 293.0),
            reading("dry_bulb", "supply", 320.0),
            reading("gas_flow", "gas meter", 6e-4),
            reading("heating_value", "gas meter", 38e6),
            reading("combustion_efficiency", "gas meter", 0.8),
        ),
    )
    furnace = system(arrangement="blow-through", coil_inside_taps=False, strips=None)
    yield build(Visit(site=plain.site, system=furnace, run=(burner,)), Priors())
    held = system(motor="constant airflow", airflow_limit_static=0.65 * 249.0)
    yield build(
        Visit(site=plain.site, system=held, instrument=plain.instrument, run=plain.run, work=plain.work), Priors()
    )


MODELS = list(models())


@pytest.mark.property
@settings(deadline=None, max_examples=15)
@given(st.integers(0, len(MODELS) - 1), st.randoms(use_true_random=False))
def test_derivatives_agree_with_finite_differences(which, chance):
    model = MODELS[which]
    unknowns = model.unknowns
    x = [m + 0.3 * s * chance.uniform(-1, 1) for m, s in zip(unknowns.mean, unknowns.sd, strict=True)]
    for k, (_, indices, slopes) in enumerate(model.predict(x)):
        for index, slope in zip(indices, slopes, strict=True):
            step = 1e-5 * max(1.0, abs(x[index]))
            up, down = list(x), list(x)
            up[index] += step
            down[index] -= step
            difference = (model.predict(up)[k][0] - model.predict(down)[k][0]) / (2 * step)
            label = f"{model.observations[k].label} by {unknowns.names[index]}"
            assert slope == pytest.approx(difference, rel=2e-4, abs=2e-5), label


@pytest.mark.analytic
def test_a_section_drops_as_its_power_law_says():
    model = MODELS[0]
    x = list(model.unknowns.mean)
    stream = model.streams["strips as found"]
    stream.evaluate(x)
    find = model.unknowns.find
    air = stream.air["supply duct"]
    mass = REFERENCE_MASS_FLOW * math.exp(x[stream.flow])
    expected = pressure_drop(
        math.exp(x[find("resistance supply duct")] + x[find("change supply duct")]),
        x[find("exponent duct")],
        mass * air.volume,
        air.density,
        air.viscosity,
    )
    assert stream.drops["supply duct"][0] == pytest.approx(expected, rel=1e-6)


@pytest.mark.analytic
def test_the_air_that_has_not_leaked_in_yet_does_not_pass_the_filter():
    model = MODELS[0]
    stream = model.streams["strips as found"]
    x = list(model.unknowns.mean)
    leak, n = model.unknowns.find("leak"), model.unknowns.find("exponent filter")
    x[leak] = 0.0
    whole = stream.section["filter"].evaluate(x)[0]
    x[leak] = 0.2
    assert stream.section["filter"].evaluate(x)[0] == pytest.approx(whole * 0.8 ** x[n], rel=1e-12)


@pytest.mark.analytic
def test_a_blower_on_its_own_table_expects_nothing():
    # With s = 1, all drops outside the cabinet equal to a printed static, and the printed airflow at the table's
    # density, the logarithm of airflow over the table's is zero: the identity that defines a fan table.
    model = MODELS[0]
    row = model.fans["strips as found"]
    x = list(model.unknowns.mean)
    stream = model.streams["strips as found"]
    find = model.unknowns.find
    x[find("strength as found")] = 0.0
    x[find("table level")] = x[find("table slope")] = 0.0
    stream.evaluate(x)
    static = row.static_on_table(x)
    table = model_table(static)
    inlet = stream.air["blower"]
    flow = REFERENCE_MASS_FLOW * math.exp(x[stream.flow]) * inlet.volume
    assert row.row(x)[0] == pytest.approx(math.log(flow / table), abs=1e-9)


def model_table(static):
    from drawthrough.physics.fan import FanCurve
    from tests.judge.visits import TABLE

    return FanCurve(TABLE.static, TABLE.airflow).airflow_and_slope_beyond(static, 1.0)[0]
