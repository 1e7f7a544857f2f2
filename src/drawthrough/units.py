"""Units: exact factors to SI, and the reading of what a hand types ("0.48 inwc", "120 Pa", "1/16 in").

Field units live only at the edges. Inside, every quantity is a float in the unit that `vocabulary` gives it.
"""

import re
from fractions import Fraction
from typing import NamedTuple

from drawthrough.errors import DrawthroughError


class UnitError(DrawthroughError):
    """A value cannot be read: its unit is missing, unknown, or belongs to another quantity."""


class Unit(NamedTuple):
    """One unit: what it measures, and how it turns into SI: ``si = value * factor + offset``."""

    dimension: str
    factor: float
    offset: float = 0.0


INCH, FOOT, POUND, MINUTE, HOUR = 0.0254, 0.3048, 0.45359237, 60.0, 3600.0
BTU = 1055.05585262  # International Table
GRAVITY = 9.80665
PSI = POUND * GRAVITY / INCH**2
INWC = INCH * 1000 * GRAVITY  # conventional inch of water, 1000 kg/m3 and standard gravity
INHG = INCH * 13595.1 * GRAVITY  # conventional inch of mercury
CFM = FOOT**3 / MINUTE
RANKINE = 5 / 9

# The first spelling of a unit is the one that is shown. Spellings are compared without spaces, dots and case,
# except where case alone would tell two units apart (see `_fold`).
_TABLE: dict[str, dict[tuple[str, ...], tuple[float, float]]] = {
    "dimensionless": {("1",): (1, 0), ("%", "percent"): (0.01, 0)},
    "temperature": {
        ("K", "kelvin"): (1, 0),
        ("C", "degC", "°C", "celsius"): (1, 273.15),
        ("F", "degF", "°F", "fahrenheit"): (RANKINE, 459.67 * RANKINE),
    },
    "temperature_difference": {
        ("K", "kelvin"): (1, 0),
        ("C", "degC", "°C", "deltaC", "celsius"): (1, 0),
        ("F", "degF", "°F", "deltaF", "fahrenheit"): (RANKINE, 0),
    },
    "pressure": {
        ("Pa", "pascal"): (1, 0),
        ("hPa", "mbar"): (100, 0),
        ("kPa",): (1000, 0),
        ("MPa",): (1e6, 0),
        ("bar",): (1e5, 0),
        ("psi", "psia", "psig"): (PSI, 0),
        ("inwc", "inH2O", "iwc", "inwg"): (INWC, 0),
        ("mmH2O", "mmwc"): (GRAVITY, 0),
        ("inHg",): (INHG, 0),
        ("mmHg",): (INHG / 25.4, 0),
        ("atm",): (101325, 0),
    },
    "length": {
        ("m", "metre", "meter"): (1, 0),
        ("cm",): (0.01, 0),
        ("mm",): (0.001, 0),
        ("um", "µm", "micron"): (1e-6, 0),
        ("in", "inch", '"'): (INCH, 0),
        ("ft", "foot", "feet", "'"): (FOOT, 0),
    },
    "area": {
        ("m2", "m²"): (1, 0),
        ("cm2", "cm²"): (1e-4, 0),
        ("mm2", "mm²"): (1e-6, 0),
        ("in2", "in²", "sqin"): (INCH**2, 0),
        ("ft2", "ft²", "sqft"): (FOOT**2, 0),
    },
    "volume": {
        ("m3", "m³"): (1, 0),
        ("L", "litre", "liter"): (1e-3, 0),
        ("mL", "ml"): (1e-6, 0),
        ("ft3", "ft³", "cuft"): (FOOT**3, 0),
        ("gal", "gallon", "gallons"): (231 * INCH**3, 0),
        ("qt", "quart", "quarts"): (231 / 4 * INCH**3, 0),
        ("fl oz", "floz"): (231 / 128 * INCH**3, 0),
    },
    "time": {
        ("s", "sec", "second", "seconds"): (1, 0),
        ("min", "minute", "minutes"): (MINUTE, 0),
        ("h", "hr", "hour", "hours"): (HOUR, 0),
        ("d", "day", "days"): (24 * HOUR, 0),
        ("month", "months"): (30.4375 * 24 * HOUR, 0),
        ("year", "years"): (365.25 * 24 * HOUR, 0),
    },
    "velocity": {("m/s",): (1, 0), ("fpm", "ft/min"): (FOOT / MINUTE, 0)},
    "airflow": {
        ("m3/s", "m³/s"): (1, 0),
        ("m3/h", "m³/h"): (1 / HOUR, 0),
        ("L/s",): (1e-3, 0),
        ("cfm", "ft3/min", "scfm", "acfm"): (CFM, 0),
        ("ft3/h", "cfh"): (FOOT**3 / HOUR, 0),
    },
    "mass_flow": {
        ("kg/s",): (1, 0),
        ("kg/h",): (1 / HOUR, 0),
        ("lb/min",): (POUND / MINUTE, 0),
        ("lb/h", "lb/hr"): (POUND / HOUR, 0),
    },
    "density": {("kg/m3", "kg/m³"): (1, 0), ("lb/ft3", "lb/ft³"): (POUND / FOOT**3, 0)},
    "specific_volume": {("m3/kg", "m³/kg"): (1, 0), ("ft3/lb", "ft³/lb"): (FOOT**3 / POUND, 0)},
    "humidity_ratio": {
        ("kg/kg", "lb/lb", "g/g"): (1, 0),
        ("g/kg",): (1e-3, 0),
        ("gr/lb", "grains/lb"): (1 / 7000, 0),
    },
    "specific_energy": {
        ("J/kg",): (1, 0),
        ("kJ/kg",): (1000, 0),
        ("Btu/lb",): (BTU / POUND, 0),
    },
    "heat_capacity": {
        ("J/(kg.K)", "J/kg/K"): (1, 0),
        ("kJ/(kg.K)", "kJ/kg/K"): (1000, 0),
        ("Btu/(lb.F)", "Btu/lb/F"): (BTU / POUND / RANKINE, 0),
    },
    "heating_value": {
        ("J/m3",): (1, 0),
        ("MJ/m3",): (1e6, 0),
        ("Btu/ft3", "Btu/cuft"): (BTU / FOOT**3, 0),
    },
    "power": {
        ("W", "watt", "watts"): (1, 0),
        ("kW",): (1000, 0),
        ("Btu/h", "Btuh", "Btu/hr"): (BTU / HOUR, 0),
        ("kBtu/h", "kBtuh", "MBh"): (1000 * BTU / HOUR, 0),
        ("ton", "tons"): (12000 * BTU / HOUR, 0),
        ("hp",): (550 * FOOT * POUND * GRAVITY, 0),
    },
    "voltage": {("V", "volt", "volts"): (1, 0), ("mV",): (1e-3, 0), ("kV",): (1000, 0)},
    "current": {("A", "amp", "amps"): (1, 0), ("mA",): (1e-3, 0)},
    "resistance": {("ohm", "ohms", "Ω"): (1, 0), ("kohm",): (1000, 0)},
    "capacitance": {("F", "farad"): (1, 0), ("uF", "µF", "mfd"): (1e-6, 0)},
    "frequency": {("Hz", "1/s"): (1, 0), ("rpm", "1/min"): (1 / MINUTE, 0)},
    "viscosity": {("Pa.s",): (1, 0)},
    "fan_power": {("W/(m3/s)", "J/m3"): (1, 0), ("W/cfm",): (1 / CFM, 0)},
    "energy_price": {("1/J",): (1, 0), ("1/kWh", "/kWh"): (1 / 3.6e6, 0)},
}

BARE = ("dimensionless", "humidity_ratio")  # a pure number needs no unit: kg/kg is one as well
_CASE_MATTERS = {"mpa", "mv", "ma"}  # MPa is not mPa: for these the spelling must match exactly


def _fold(spelling: str) -> str:
    bare = re.sub(r"[\s.]", "", spelling)
    return bare if bare.lower() in _CASE_MATTERS else bare.lower()


UNITS: dict[str, dict[str, Unit]] = {
    dimension: {
        _fold(spelling): Unit(dimension, float(factor), float(offset))
        for spellings, (factor, offset) in rows.items()
        for spelling in spellings
    }
    for dimension, rows in _TABLE.items()
}

_NUMBER = re.compile(
    r"""^\s*(?P<sign>[-+−]?)\s*
    (?:(?P<whole>\d+)\s+(?=\d+\s*/))?            # the 1 of "1 1/2"
    (?:(?P<top>\d+)\s*/\s*(?P<bottom>\d+)
      |(?P<decimal>\d{1,3}(?:,\d{3})+(?:\.\d*)?|\d+\.?\d*(?:[eE][-+]?\d+)?|\.\d+(?:[eE][-+]?\d+)?))
    \s*(?P<unit>.*?)\s*$""",
    re.VERBOSE,
)


def choices(dimension: str) -> list[str]:
    """Return the units of a dimension as they are shown, the SI unit first."""
    return [spellings[0] for spellings in _TABLE[dimension]]


def si_unit(dimension: str) -> str:
    """Return the SI unit in which a dimension is computed."""
    return choices(dimension)[0]


def find(unit: str, dimension: str) -> Unit:
    """Return the unit of a dimension by any of its spellings.

    Raises
    ------
    UnitError
        The unit is not known, or it measures something else.
    """
    folded = _fold(unit)
    found = UNITS[dimension].get(folded)
    if found is not None:
        return found
    others = [name for name, spellings in UNITS.items() if folded in spellings]
    wanted = ", ".join(choices(dimension))
    if others:
        measured = " or ".join(name.replace("_", " ") for name in others)
        raise UnitError(f"{unit!r} is a unit of {measured}, not of {dimension.replace('_', ' ')}; use {wanted}.")
    raise UnitError(f"{unit!r} is not a unit of {dimension.replace('_', ' ')}; use {wanted}.")


def split(text: str) -> tuple[float, str]:
    """Split what was typed into its number and its unit.

    Parameters
    ----------
    text : str
        A number, a fraction or a mixed number, followed by a unit: "0.48 inwc", "1/16 in", "1 1/2 in", "1,200 cfm".

    Returns
    -------
    tuple of float and str
        The number, and the unit as it was typed ("" if there was none).

    Raises
    ------
    UnitError
        No number stands at the start.
    """
    match = _NUMBER.match(text)
    if match is None or (match["bottom"] is not None and int(match["bottom"]) == 0):
        raise UnitError(f"{text!r} does not begin with a number.")
    if match["top"] is not None:
        value = float(int(match["whole"] or 0) + Fraction(int(match["top"]), int(match["bottom"])))
    else:
        value = float(match["decimal"].replace(",", ""))
    if match["unit"].startswith(","):
        raise UnitError(f"{text!r}: write the decimals with a point, and commas only between thousands.")
    return (-value if match["sign"] in ("-", "−") else value), match["unit"]


def parse(text: str, dimension: str) -> float:
    """Read a value with its unit and return it in SI.

    Parameters
    ----------
    text : str
        What was typed. A value of a dimension in `BARE` may stand without a unit; every other one needs it.
    dimension : str
        What is expected, a key of `UNITS`.

    Returns
    -------
    float
        The value in the dimension's SI unit.

    Raises
    ------
    UnitError
        No number, no unit, an unknown unit, or a unit of something else.
    """
    value, unit = split(text)
    if not unit:
        if dimension in BARE:
            return value
        raise UnitError(f"{text!r} has no unit; add one of {', '.join(choices(dimension))}.")
    return to_si(value, unit, dimension)


def to_si(value: float, unit: str, dimension: str) -> float:
    """Convert a number in a unit to the dimension's SI unit."""
    found = find(unit, dimension)
    return value * found.factor + found.offset


def from_si(value: float, unit: str, dimension: str) -> float:
    """Convert an SI value to a unit of its dimension."""
    found = find(unit, dimension)
    return (value - found.offset) / found.factor
