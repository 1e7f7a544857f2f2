"""Every factor against pint, and the reading of what a hand types."""

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough import units

REGISTRY = pint.UnitRegistry()

# Ours, by dimension and first spelling, in pint's words. Btu is the International Table one: pint's plain Btu is
# rounded to 1055.056 J, 0.13 ppm above it, and its ton of refrigeration is made from that.
PINT = {
    "dimensionless": {"1": "dimensionless", "%": "percent"},
    "temperature": {"K": "kelvin", "C": "degree_Celsius", "F": "degree_Fahrenheit"},
    "temperature_difference": {"K": "kelvin", "C": "delta_degree_Celsius", "F": "delta_degree_Fahrenheit"},
    "pressure": {
        "Pa": "pascal", "hPa": "hectopascal", "kPa": "kilopascal", "MPa": "megapascal", "bar": "bar", "psi": "psi",
        "inwc": "inch_H2O", "mmH2O": "millimeter_H2O", "inHg": "inch_Hg", "mmHg": "millimeter_Hg", "atm": "atmosphere",
    },
    "length": {"m": "meter", "cm": "centimeter", "mm": "millimeter", "um": "micrometer", "in": "inch", "ft": "foot"},
    "area": {"m2": "meter**2", "cm2": "centimeter**2", "mm2": "millimeter**2", "in2": "inch**2", "ft2": "foot**2"},
    "volume": {"m3": "meter**3", "L": "liter", "mL": "milliliter", "ft3": "foot**3", "gal": "gallon"}
    | {"qt": "quart", "fl oz": "fluid_ounce"},
    "time": {"s": "second", "min": "minute", "h": "hour", "d": "day", "month": "year/12", "year": "julian_year"},
    "velocity": {"m/s": "meter/second", "fpm": "foot/minute"},
    "airflow": {
        "m3/s": "meter**3/second", "m3/h": "meter**3/hour", "L/s": "liter/second", "cfm": "foot**3/minute",
        "ft3/h": "foot**3/hour",
    },
    "mass_flow": {"kg/s": "kg/second", "kg/h": "kg/hour", "lb/min": "pound/minute", "lb/h": "pound/hour"},
    "density": {"kg/m3": "kg/meter**3", "lb/ft3": "pound/foot**3"},
    "specific_volume": {"m3/kg": "meter**3/kg", "ft3/lb": "foot**3/pound"},
    "humidity_ratio": {"kg/kg": "kg/kg", "g/kg": "gram/kg", "gr/lb": "grain/pound"},
    "specific_energy": {"J/kg": "J/kg", "kJ/kg": "kJ/kg", "Btu/lb": "Btu_it/pound"},
    "heat_capacity": {
        "J/(kg.K)": "J/kg/kelvin", "kJ/(kg.K)": "kJ/kg/kelvin", "Btu/(lb.F)": "Btu_it/pound/delta_degree_Fahrenheit",
    },
    "heating_value": {"J/m3": "J/meter**3", "MJ/m3": "MJ/meter**3", "Btu/ft3": "Btu_it/foot**3"},
    "power": {
        "W": "watt", "kW": "kilowatt", "Btu/h": "Btu_it/hour", "kBtu/h": "1000*Btu_it/hour",
        "ton": "12000*Btu_it/hour", "hp": "horsepower",
    },
    "voltage": {"V": "volt", "mV": "millivolt", "kV": "kilovolt"},
    "current": {"A": "ampere", "mA": "milliampere"},
    "resistance": {"ohm": "ohm", "kohm": "kiloohm"},
    "capacitance": {"F": "farad", "uF": "microfarad"},
    "frequency": {"Hz": "1/second", "rpm": "1/minute"},
    "viscosity": {"Pa.s": "pascal*second"},
    "fan_power": {"W/(m3/s)": "watt/(meter**3/second)", "W/cfm": "watt/(foot**3/minute)"},
    "energy_price": {"1/J": "1/J", "1/kWh": "1/kWh"},
}  # fmt: skip
ALL = [(dimension, unit) for dimension in units.UNITS for unit in units.choices(dimension)]


@pytest.mark.parametrize(("dimension", "unit"), ALL)
def test_factor_is_pints(dimension: str, unit: str) -> None:
    """Both see the same value in SI, at two points, so that factor and offset are both held."""
    name = PINT[dimension][unit]
    si = PINT[dimension][units.si_unit(dimension)]
    for number in (1.0, 350.0):
        if dimension == "temperature":
            theirs = REGISTRY.Quantity(number, name).to(si).magnitude
        else:
            theirs = (number * REGISTRY.Quantity(name)).to(si).magnitude
        assert units.to_si(number, unit, dimension) == pytest.approx(theirs, rel=1e-12)


def test_the_inch_of_water_is_the_conventional_one() -> None:
    """1000 kg/m3 and standard gravity, 249.08891 Pa; water at its real density of 4 C would give 28 ppm less."""
    assert pytest.approx(249.08891, abs=5e-6) == units.INWC
    real = REGISTRY.Quantity(1.0, "inch_H2O_4C").to("pascal").magnitude
    assert units.INWC / real - 1 == pytest.approx(28e-6, abs=3e-6)


@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("1/16 in", "length", 0.0015875),
        ("1 1/2 in", "length", 0.0381),
        ("1,200 cfm", "airflow", 1200 * 0.3048**3 / 60),
        ("-0.48 inwc", "pressure", -0.48 * 249.08891),
        ("−0.48 in. w.c.".replace("in. w.c.", "inwc"), "pressure", -0.48 * 249.08891),
        ("1e5 Pa", "pressure", 1e5),
        ("50 %", "dimensionless", 0.5),
        ("0.5", "dimensionless", 0.5),
        (".5 V", "voltage", 0.5),
        ("32F", "temperature", 273.15),
        ("18 deltaF", "temperature_difference", 10.0),
        ("5uF", "capacitance", 5e-6),
    ],
)
def test_what_a_hand_types(text: str, dimension: str, value: float) -> None:
    """Numbers, fractions, mixed numbers and thousands, with the unit close by or apart."""
    assert units.parse(text, dimension) == pytest.approx(value, rel=1e-8)


@pytest.mark.parametrize(
    ("text", "dimension", "said"),
    [
        ("0.48", "pressure", "has no unit"),
        ("0.48 inwx", "pressure", "not a unit of pressure"),
        ("0.48 V", "pressure", "unit of voltage"),
        ("about 5 V", "voltage", "does not begin with a number"),
        ("1/0 in", "length", "does not begin with a number"),
        ("1,5 V", "voltage", "write the decimals with a point"),
        ("", "voltage", "does not begin with a number"),
    ],
)
def test_what_cannot_be_read_is_refused(text: str, dimension: str, said: str) -> None:
    """Each refusal names what was read and what would do."""
    with pytest.raises(units.UnitError, match=said):
        units.parse(text, dimension)


@given(st.sampled_from(ALL), st.floats(-1e6, 1e6))
def test_there_and_back(pair: tuple[str, str], value: float) -> None:
    """A value comes back from its unit."""
    dimension, unit = pair
    back = units.to_si(units.from_si(value, unit, dimension), unit, dimension)
    assert back == pytest.approx(value, rel=1e-12, abs=1e-9)


@given(st.text(max_size=12), st.sampled_from(sorted(units.UNITS)))
def test_any_text_is_read_or_refused(text: str, dimension: str) -> None:
    """No text makes the reader fail in another way."""
    try:
        value = units.parse(text, dimension)
    except units.UnitError:
        return
    assert math.isfinite(value) or "e" in text.lower() or len(text) > 8
