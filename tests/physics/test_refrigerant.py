"""Saturation of refrigerants, superheat and subcooling."""

from math import log

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics.refrigerant import (
    REFRIGERANTS,
    Phase,
    saturation_pressure_of,
    saturation_temperature_of,
    subcooling,
    superheat,
)
from drawthrough.physics.refrigerant_nodes import NODES

PHASES: tuple[Phase, ...] = ("bubble", "dew")
FLUIDS = {"R-22": "R22", "R-134a": "R134a", "R-32": "R32", "R-410A": "R410A", "R-407C": "R407C", "R-454B": "R454B.mix"}
PURE = ("R-22", "R-134a", "R-32")

names = st.sampled_from(REFRIGERANTS)
phases = st.sampled_from(PHASES)
temperatures = st.floats(233.2, 338.7)


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) / 1.8


@pytest.mark.independent
@pytest.mark.parametrize("phase", PHASES)
@pytest.mark.parametrize("name", FLUIDS)
def test_against_coolprop(name: str, phase: Phase) -> None:
    """Between the nodes, where it is hardest: within 0.0005 F both ways; 0.018 F would be enough."""
    properties = pytest.importorskip("CoolProp.CoolProp").PropsSI
    seen = 0
    for fahrenheit in range(-35, 150, 5):
        temperature = kelvin(fahrenheit + 0.1)
        try:
            pressure = properties("P", "T", temperature, "Q", PHASES.index(phase), FLUIDS[name])
        except ValueError:  # the reference's flash of a mixture fails at some temperatures
            continue
        seen += 1
        assert saturation_temperature_of(name, phase, pressure) == pytest.approx(temperature, abs=0.0005 / 1.8)
        assert saturation_pressure_of(name, phase, temperature) == pytest.approx(pressure, rel=1e-5)
    assert seen >= 34


@pytest.mark.independent
def test_nodes_are_what_the_generator_makes() -> None:
    """Nobody has edited the nodes: the generator gives them again."""
    pytest.importorskip("CoolProp")
    pytest.importorskip("numpy")
    from tools import refrigerant_nodes as generator

    assert set(NODES) == {(name, phase) for name in generator.FLUIDS for phase in generator.QUALITY}
    for (name, phase), nodes in NODES.items():
        for index in range(0, len(nodes), 4):
            temperature = generator.kelvin(generator.FIRST + generator.STEP * index)
            made = generator.node(generator.FLUIDS[name], generator.QUALITY[phase], temperature)
            assert nodes[index] == pytest.approx(made, rel=2e-6)


@pytest.mark.property
@given(names, phases, temperatures)
def test_there_and_back(name: str, phase: Phase, temperature: float) -> None:
    """Pressure and temperature are inverse to each other within 0.0001 F."""
    pressure = saturation_pressure_of(name, phase, temperature)
    assert saturation_temperature_of(name, phase, pressure) == pytest.approx(temperature, abs=0.0001 / 1.8)


@pytest.mark.property
@given(names, phases, st.floats(233.2, 338.0), st.floats(0.001, 0.5))
def test_pressure_rises(name: str, phase: Phase, temperature: float, step: float) -> None:
    """Warmer is more pressure, across the nodes as well; and the other way round."""
    low, high = (saturation_pressure_of(name, phase, t) for t in (temperature, temperature + step))
    assert low < high
    assert saturation_temperature_of(name, phase, low) < saturation_temperature_of(name, phase, high)


@pytest.mark.property
@pytest.mark.parametrize("phase", PHASES)
@pytest.mark.parametrize("name", REFRIGERANTS)
def test_value_and_slope_join_at_the_nodes(name: str, phase: Phase) -> None:
    """At each node the curve passes through it, with the node's slope on either side."""
    nodes = NODES[(name, phase)]
    step = 1e-4
    for index in range(1, len(nodes) - 1):
        temperature = kelvin(-40 + 10 * index)
        value, slope = nodes[index]
        here = log(saturation_pressure_of(name, phase, temperature))
        assert here == pytest.approx(value, abs=1e-12)
        for sign in (-1, 1):
            beside = log(saturation_pressure_of(name, phase, temperature + sign * step))
            assert (beside - here) / (1 / (temperature + sign * step) - 1 / temperature) == pytest.approx(
                slope, rel=1e-4
            )


@pytest.mark.analytic
@given(names, temperatures)
def test_bubble_stands_above_dew(name: str, temperature: float) -> None:
    """A pure refrigerant has one line; a blend boils at a higher pressure than it dews."""
    bubble, dew = (saturation_pressure_of(name, phase, temperature) for phase in PHASES)
    if name in PURE:
        assert bubble == dew
    else:
        assert bubble > dew


@pytest.mark.analytic
@pytest.mark.parametrize("phase", PHASES)
@pytest.mark.parametrize("name", REFRIGERANTS)
def test_the_ends_of_the_range(name: str, phase: Phase) -> None:
    """The first and the last node are answered and come back; a hundredth of a degree beyond is refused."""
    for fahrenheit, beyond in ((-40.0, -40.01), (150.0, 150.01)):
        end = saturation_pressure_of(name, phase, kelvin(fahrenheit))
        assert saturation_temperature_of(name, phase, end) == pytest.approx(kelvin(fahrenheit), abs=1e-6)
        with pytest.raises(OutOfRange, match="nodes from -40 to 150 F"):
            saturation_pressure_of(name, phase, kelvin(beyond))
        with pytest.raises(OutOfRange, match="nodes from -40 to 150 F"):
            saturation_temperature_of(name, phase, end * (1.001 if fahrenheit > 0 else 0.999))


@pytest.mark.analytic
def test_names() -> None:
    """Hyphen, spaces and case do not matter; what is not known is refused with what is."""
    expected = saturation_pressure_of("R-410A", "dew", 280.0)
    for spelling in ("R410A", "r-410a", "R 410A"):
        assert saturation_pressure_of(spelling, "dew", 280.0) == expected
    with pytest.raises(Unresolvable, match="R-410A, R-407C"):
        saturation_pressure_of("R-12", "dew", 280.0)
    with pytest.raises(Unresolvable, match="use bubble"):
        saturation_temperature_of("R-410A", "liquid", 1e6)  # type: ignore[arg-type]


@pytest.mark.analytic
@given(names, st.floats(240.0, 335.0), st.floats(-10.0, 20.0), st.floats(60e3, 106e3))
def test_superheat_and_subcooling_by_definition(name: str, saturation: float, apart: float, pressure: float) -> None:
    """A line so many degrees from dew or bubble, read on a gauge at any altitude, shows just these degrees."""
    dew = saturation_pressure_of(name, "dew", saturation) - pressure
    bubble = saturation_pressure_of(name, "bubble", saturation) - pressure
    assert superheat(name, saturation + apart, dew, pressure) == pytest.approx(apart, abs=1e-4)
    assert subcooling(name, saturation - apart, bubble, pressure) == pytest.approx(apart, abs=1e-4)


@pytest.mark.independent
def test_superheat_of_a_blend_counts_no_glide() -> None:
    """R-454B at 100 psia: superheat from dew, subcooling from bubble, in the reference's figures."""
    properties = pytest.importorskip("CoolProp.CoolProp").PropsSI
    pressure = 689476.0
    dew, bubble = (properties("T", "P", pressure, "Q", quality, "R454B.mix") for quality in (1, 0))
    assert dew - bubble > 1.0
    assert superheat("R-454B", dew + 5.0, pressure - 101325.0, 101325.0) == pytest.approx(5.0, abs=0.002)
    assert subcooling("R-454B", bubble - 5.0, pressure - 101325.0, 101325.0) == pytest.approx(5.0, abs=0.002)


@pytest.mark.property
@given(st.floats(5e5, 1.2e6), st.floats(70e3, 100e3))
def test_altitude_matters(gauge: float, pressure: float) -> None:
    """The same gauge reading higher up stands for less pressure: more superheat, less subcooling."""
    for measure, sign in ((superheat, 1), (subcooling, -1)):
        low, high = (measure("R-410A", 290.0, gauge, station) for station in (pressure + 3000.0, pressure))
        assert sign * (high - low) > 0


@pytest.mark.analytic
@pytest.mark.parametrize("measure", [superheat, subcooling])
def test_a_station_pressure_out_of_range_is_refused(measure: object) -> None:
    """Zero for a station pressure (an absolute reading taken twice) is refused."""
    assert callable(measure)
    with pytest.raises(OutOfRange, match="sites up to"):
        measure("R-410A", 290.0, 8e5, 0.0)
