"""Moist air: single properties, humidity, the full state, mixing."""

import itertools
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics.moist_air import (
    MoistAir,
    adiabatic_mixture,
    density,
    dew_point,
    dry_bulb_from_enthalpy,
    enthalpy,
    humid_heat,
    humidity_ratio_from_dew_point,
    humidity_ratio_from_relative_humidity,
    relative_humidity,
    specific_volume,
    standard_pressure,
    state_from_dew_point,
    state_from_humidity_ratio,
    state_from_relative_humidity,
    state_from_wet_bulb,
)

FOOT = 0.3048
FREEZING = 273.16

dry_bulbs = st.floats(266.0, 328.0)
shares = st.floats(0.05, 1.0)
pressures = st.floats(69e3, 106e3)
ratios = st.floats(0.0, 0.2)


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) / 1.8


@pytest.fixture(scope="module")
def reference() -> Callable[..., float]:
    """The real-gas formulation of RP-1485, as CoolProp gives it."""
    return pytest.importorskip("CoolProp.HumidAirProp").HAPropsSI  # type: ignore[no-any-return]


@pytest.mark.independent
@pytest.mark.parametrize("feet", [-1000, 0, 2500, 5000, 10000])
def test_state_against_the_real_gas(feet: int, reference: Callable[..., float]) -> None:
    """Over 20 to 130 F and 5 to 100 %: W 0.05 %, v 0.05 %, dh 0.06 %, dew point and wet bulb 0.02 F."""
    pressure = standard_pressure(feet * FOOT)
    known: list[tuple[MoistAir, float]] = []
    for fahrenheit, share in itertools.product(range(20, 131, 10), (0.05, 0.1, 0.25, 0.5, 0.75, 0.95, 1.0)):
        given_state = ("T", kelvin(fahrenheit), "R", share, "P", pressure)
        w, v, h, wet, dew = (reference(key, *given_state) for key in ("W", "V", "H", "Twb", "Tdp"))
        air = state_from_relative_humidity(kelvin(fahrenheit), share, pressure)
        assert air.humidity_ratio == pytest.approx(w, rel=5e-4)
        assert air.specific_volume == pytest.approx(v, rel=5e-4)
        assert air.dew_point == pytest.approx(dew, abs=0.02 / 1.8)
        # Where a wet and an iced wick both balance, either is right: there the reference may take the other one.
        if (air.wet_bulb < FREEZING) == (wet < FREEZING):
            assert air.wet_bulb == pytest.approx(wet, abs=0.02 / 1.8)
        else:
            assert FREEZING - 0.1 < air.wet_bulb < FREEZING <= wet < FREEZING + 0.8
        known.append((air, h))
    checked = 0
    for (warm, h_warm), (cold, h_cold) in itertools.product(known, known):
        if warm.dry_bulb - cold.dry_bulb > 2.0 and warm.humidity_ratio >= cold.humidity_ratio:
            assert warm.enthalpy - cold.enthalpy == pytest.approx(h_warm - h_cold, rel=6e-4)
            checked += 1
    assert checked > 1000


@pytest.mark.independent
@pytest.mark.parametrize("pressure", [60e3, 84e3, 101325.0, 110e3])
def test_properties_against_the_real_gas(pressure: float, reference: Callable[..., float]) -> None:
    """Volume within 0.01 %, and enthalpy above dry air at 0 C within 0.1 %, over the whole range of either."""
    datum = reference("H", "T", 273.15, "W", 0.0, "P", pressure)
    for dry_bulb, w in itertools.product(
        (215.0, 240.0, 270.0, 300.0, 330.0, 372.0), (0.0, 2e-4, 0.01, 0.05, 0.15, 0.2)
    ):
        if dry_bulb < 340.0 and w > humidity_ratio_or_most(dry_bulb, pressure):
            continue
        given_state = ("T", dry_bulb, "W", w, "P", pressure)
        v, h = reference("V", *given_state), reference("H", *given_state) - datum
        assert specific_volume(dry_bulb, w, pressure) == pytest.approx(v, rel=1e-4)
        assert density(dry_bulb, w, pressure) == pytest.approx((1.0 + w) / v, rel=1e-4)
        assert enthalpy(dry_bulb, w, pressure) == pytest.approx(h, rel=1e-3, abs=10.0)


def humidity_ratio_or_most(dry_bulb: float, pressure: float) -> float:
    try:
        return humidity_ratio_from_relative_humidity(dry_bulb, 1.0, pressure)
    except OutOfRange:
        return 0.2


@pytest.mark.independent
def test_what_the_fits_say_is_what_the_generator_makes() -> None:
    """Nobody has edited the coefficients: the generator gives them again."""
    pytest.importorskip("CoolProp")
    pytest.importorskip("numpy")
    from drawthrough.physics import moist_air_coefficients as kept
    from tools import moist_air_coefficients as generator

    water, _ = generator.fit_factor_over_water()
    ice, _, _ = generator.fit_factor_over_ice(water)
    rows = generator.states()
    made = {
        "FACTOR_OVER_WATER": water,
        "FACTOR_OVER_ICE": ice,
        "VOLUME": generator.fit_volume(rows)[0],
        "ENTHALPY": generator.fit_enthalpy(rows)[0],
        "LIQUID": generator.fit_condensed(0.02, 80.0, 0.0)[0],
        "DEW_GUESS": generator.fit_dew_point(273.16, 353.15)[0],
        "FROST_GUESS": generator.fit_dew_point(173.15, 273.16)[0],
    }
    for name, values in made.items():
        assert getattr(kept, name) == pytest.approx(tuple(values), rel=1e-5)


@pytest.mark.analytic
@given(dry_bulbs, st.floats(0.0, 1.0), pressures)
def test_nearly_an_ideal_gas(dry_bulb: float, share: float, pressure: float) -> None:
    """Volume is less than that of an ideal gas, by 0.13 % at most; density and volume hold the same mass."""
    w = humidity_ratio_from_relative_humidity(dry_bulb, share, pressure)
    ideal = 8.314462618 / 0.0289654 * dry_bulb * (1.0 + w / 0.62195) / pressure
    volume = specific_volume(dry_bulb, w, pressure)
    assert 0.9987 * ideal < volume < ideal
    assert density(dry_bulb, w, pressure) * volume == pytest.approx(1.0 + w, rel=1e-12)


@pytest.mark.analytic
def test_the_datum_of_enthalpy() -> None:
    """Dry air is 0 at 0 C, and vapour then holds the heat of vaporisation of water that is 0 at 0 C."""
    assert enthalpy(273.15, 0.0) == pytest.approx(0.0, abs=1e-9)
    assert enthalpy(273.15, 0.0, 70e3) == pytest.approx(0.0, abs=1e-9)
    assert enthalpy(273.15, 0.003) / 0.003 == pytest.approx(2.5009e6, rel=5e-4)


@pytest.mark.property
@given(st.floats(214.0, 372.0), ratios, pressures)
def test_enthalpy_there_and_back(dry_bulb: float, w: float, pressure: float) -> None:
    """The dry bulb is found again."""
    h = enthalpy(dry_bulb, w, pressure)
    assert dry_bulb_from_enthalpy(h, w, pressure) == pytest.approx(dry_bulb, abs=1e-8)


@pytest.mark.independent
@pytest.mark.parametrize("w", [0.0, 0.005, 0.012])
@pytest.mark.parametrize("fahrenheit", [80, 100, 120, 140])
def test_humid_heat_of_a_rise(w: float, fahrenheit: int, reference: Callable[..., float]) -> None:
    """From 70 F to 140 F at most, the heat of a rise is within 0.1 % of the real gas, from sea level to 10,000 ft."""
    for pressure in (standard_pressure(0.0), standard_pressure(10000 * FOOT)):
        high, low = (reference("H", "T", kelvin(t), "W", w, "P", pressure) for t in (fahrenheit, 70))
        assert humid_heat(w) * (fahrenheit - 70) / 1.8 == pytest.approx(high - low, rel=1e-3)


@pytest.mark.property
@given(st.floats(290.0, 305.0), st.floats(0.0, 0.02), st.floats(2.0, 30.0))
def test_humid_heat_is_the_slope_of_enthalpy(dry_bulb: float, w: float, rise: float) -> None:
    """The same rise from the enthalpy itself, within 0.15 %."""
    slope = (enthalpy(dry_bulb + rise, w) - enthalpy(dry_bulb, w)) / rise
    assert humid_heat(w) == pytest.approx(slope, rel=1.5e-3)


@pytest.mark.property
@given(dry_bulbs, ratios, pressures, st.floats(0.1, 5.0))
def test_volume_grows(dry_bulb: float, w: float, pressure: float, step: float) -> None:
    """With temperature and humidity, and against pressure; density falls with all that."""
    volume = specific_volume(dry_bulb, w, pressure)
    assert specific_volume(dry_bulb + step, w, pressure) > volume
    assert specific_volume(dry_bulb, w, pressure + 100.0 * step) < volume
    assert density(dry_bulb + step, w, pressure) < density(dry_bulb, w, pressure)
    if w < 0.19:
        assert specific_volume(dry_bulb, w + 0.001 * step, pressure) > volume
        assert density(dry_bulb, w + 0.001 * step, pressure) < density(dry_bulb, w, pressure)


@pytest.mark.property
@given(dry_bulbs, shares, pressures)
def test_humidity_there_and_back(dry_bulb: float, share: float, pressure: float) -> None:
    """Relative humidity and dew point give the humidity ratio back."""
    w = humidity_ratio_from_relative_humidity(dry_bulb, share, pressure)
    assert relative_humidity(dry_bulb, w, pressure) == pytest.approx(share, rel=1e-12)
    dew = dew_point(w, pressure)
    assert humidity_ratio_from_dew_point(dew, pressure) == pytest.approx(w, rel=1e-6)
    assert dew <= dry_bulb + 1e-5


@pytest.mark.independent
@pytest.mark.parametrize("celsius", [-15.0, 2.0, 12.0, 21.0, 30.0])
def test_dew_point_against_psychrolib(celsius: float) -> None:
    """A library without the enhancement factor: W lower by 0.4 to 0.6 % (f - 1), dew point within 0.1 K."""
    psychrolib = pytest.importorskip("psychrolib")
    psychrolib.SetUnitSystem(psychrolib.SI)
    ours = humidity_ratio_from_dew_point(celsius + 273.15, 101325.0)
    theirs = psychrolib.GetSatHumRatio(celsius, 101325.0)
    assert 1.0038 < ours / theirs < 1.0060
    assert dew_point(theirs, 101325.0) == pytest.approx(celsius + 273.15, abs=0.1)


@pytest.mark.property
@given(dry_bulbs, shares, pressures)
def test_four_ways_to_one_state(dry_bulb: float, share: float, pressure: float) -> None:
    """Whichever measure of humidity is given, the state is the same; dew point, wet bulb and dry bulb are in order."""
    air = state_from_relative_humidity(dry_bulb, share, pressure)
    assert air.dew_point <= air.wet_bulb + 1e-4
    assert air.wet_bulb <= dry_bulb + 1e-4
    near: dict[str, Any] = {"rel": 1e-5, "abs": 1e-5}
    others = [
        state_from_humidity_ratio(dry_bulb, min(air.humidity_ratio, most(dry_bulb, pressure)), pressure),
        state_from_dew_point(dry_bulb, min(air.dew_point, dry_bulb), pressure),
        state_from_wet_bulb(dry_bulb, min(air.wet_bulb, dry_bulb), pressure),
    ]
    if share < 1.0 - 1e-6:
        for other in others:
            assert tuple(other._replace(enthalpy=0.0)) == pytest.approx(tuple(air._replace(enthalpy=0.0)), **near)
            assert other.enthalpy == pytest.approx(air.enthalpy, abs=0.1)
    for other in others:
        assert other.enthalpy == pytest.approx(air.enthalpy, rel=1e-4, abs=5.0)


def most(dry_bulb: float, pressure: float) -> float:
    return humidity_ratio_from_relative_humidity(dry_bulb, 1.0, pressure)


@pytest.mark.analytic
@given(st.floats(274.0, 328.0), pressures)
def test_saturated_air_is_one_temperature(dry_bulb: float, pressure: float) -> None:
    """At 100 % dry bulb, wet bulb and dew point are one."""
    air = state_from_relative_humidity(dry_bulb, 1.0, pressure)
    assert air.wet_bulb == pytest.approx(dry_bulb, abs=2e-5)
    assert air.dew_point == pytest.approx(dry_bulb, abs=2e-5)


@pytest.mark.analytic
@given(dry_bulbs, shares, dry_bulbs, shares, st.floats(0.01, 5.0), st.floats(0.01, 5.0))
def test_mixing_keeps_heat_and_water(t1: float, rh1: float, t2: float, rh2: float, m1: float, m2: float) -> None:
    """Dry mass, water and enthalpy of the mixture are those of the two streams; it lies between them."""
    one, two = state_from_relative_humidity(t1, rh1, 95e3), state_from_relative_humidity(t2, rh2, 95e3)
    try:
        mixed = adiabatic_mixture(one, two, m1, m2)
    except OutOfRange as refusal:  # fog
        assume(refusal.quantity != "humidity_ratio")
        raise
    total = m1 + m2
    assert mixed.humidity_ratio * total == pytest.approx(m1 * one.humidity_ratio + m2 * two.humidity_ratio, rel=1e-12)
    assert mixed.enthalpy * total == pytest.approx(m1 * one.enthalpy + m2 * two.enthalpy, rel=1e-9, abs=1e-3)
    assert min(t1, t2) - 0.3 <= mixed.dry_bulb <= max(t1, t2) + 0.3


@pytest.mark.property
@given(dry_bulbs, st.floats(0.05, 0.95), st.floats(0.0, 3.0), st.floats(0.1, 3.0))
def test_mixing_like_with_like(dry_bulb: float, share: float, m1: float, m2: float) -> None:
    """A stream mixed with itself is itself, and the order does not matter."""
    air = state_from_relative_humidity(dry_bulb, share, 95e3)
    other = state_from_relative_humidity(dry_bulb, share * 0.5, 95e3)
    assert tuple(adiabatic_mixture(air, air, m1, m2)) == pytest.approx(tuple(air), rel=1e-7, abs=1e-4)
    there, back = adiabatic_mixture(air, other, m1, m2), adiabatic_mixture(other, air, m2, m1)
    assert tuple(there) == pytest.approx(tuple(back), rel=1e-9, abs=1e-6)


@pytest.mark.analytic
def test_mixing_refusals() -> None:
    """Nothing flows; a stream flows backwards; two places; fog."""
    air = state_from_relative_humidity(300.0, 0.5, 101325.0)
    high = state_from_relative_humidity(300.0, 0.5, 84e3)
    hot, cold = state_from_relative_humidity(310.0, 1.0, 101325.0), state_from_relative_humidity(275.0, 1.0, 101325.0)
    with pytest.raises(Unresolvable, match="Nothing flows"):
        adiabatic_mixture(air, air, 0.0, 0.0)
    with pytest.raises(OutOfRange, match="mass_flow_second"):
        adiabatic_mixture(air, air, 1.0, -0.1)
    with pytest.raises(Unresolvable, match="not one place"):
        adiabatic_mixture(air, high, 1.0, 1.0)
    with pytest.raises(OutOfRange, match="holds no more"):
        adiabatic_mixture(hot, cold, 1.0, 1.0)


@pytest.mark.analytic
@pytest.mark.parametrize(
    ("quantity", "call"),
    [
        ("dry_bulb", lambda: state_from_relative_humidity(354.0, 0.1, 1e5)),
        ("pressure", lambda: state_from_relative_humidity(300.0, 0.5, 5e4)),
        ("relative_humidity", lambda: state_from_relative_humidity(300.0, 1.01, 1e5)),
        ("relative_humidity", lambda: humidity_ratio_from_relative_humidity(300.0, float("nan"), 1e5)),
        ("humidity_ratio", lambda: state_from_relative_humidity(300.0, 0.0, 1e5)),
        ("humidity_ratio", lambda: state_from_relative_humidity(350.0, 1.0, 1e5)),
        ("humidity_ratio", lambda: state_from_humidity_ratio(290.0, 0.02, 1e5)),
        ("wet_bulb", lambda: state_from_wet_bulb(290.0, 291.0, 1e5)),
        ("dew_point", lambda: state_from_dew_point(290.0, 291.0, 1e5)),
        ("dew_point", lambda: humidity_ratio_from_dew_point(360.0, 1e5)),
        ("pressure", lambda: humidity_ratio_from_dew_point(280.0, 1.2e5)),
        ("pressure", lambda: dew_point(0.01, 1.2e5)),
        ("humidity_ratio", lambda: dew_point(0.0, 1e5)),
        ("humidity_ratio", lambda: relative_humidity(300.0, 0.05, 1e5)),
        ("dry_bulb", lambda: enthalpy(374.0, 0.0)),
        ("humidity_ratio", lambda: enthalpy(300.0, -0.001)),
        ("pressure", lambda: specific_volume(300.0, 0.01, 1e3)),
        ("humidity_ratio", lambda: density(300.0, 0.3, 1e5)),
        ("humidity_ratio", lambda: humid_heat(0.21)),
        ("dry_bulb", lambda: dry_bulb_from_enthalpy(5e6, 0.01)),
        ("dry_bulb", lambda: dry_bulb_from_enthalpy(-6.5e4, 0.0)),
    ],
)
def test_outside_is_refused(quantity: str, call: Callable[[], object]) -> None:
    """Each refusal names the quantity that is out of range."""
    with pytest.raises(OutOfRange) as refusal:
        call()
    assert refusal.value.quantity == quantity
