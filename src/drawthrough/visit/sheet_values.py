"""Reading one value of a sheet: a quantity, an accuracy, a time. What cannot be taken is refused with what would do."""

import datetime
import math
import re
from difflib import get_close_matches
from typing import Any, NamedTuple

from drawthrough import units, vocabulary
from drawthrough.errors import OutOfRange
from drawthrough.visit.sheet_fault import Refused

# The unit that an example in a remedy shows for a dimension or, first, for a quantity.
_USUAL = {
    "static": "inwc", "pressure_drop": "inwc", "gauge_pressure": "psig", "pressure": "inHg", "altitude": "ft",
    "liquid_volume": "gal", "dwell": "min",
    "width": "mm", "speed": "rpm", "temperature": "F", "temperature_difference": "F", "length": "in", "airflow": "cfm",
    "power": "W", "voltage": "V", "current": "A", "resistance": "ohm", "capacitance": "uF", "time": "h",
    "frequency": "Hz", "energy_price": "/kWh", "heating_value": "Btu/ft3", "dimensionless": "%",
}  # fmt: skip


def usual_unit(name: str, dimension: str) -> str:
    """Return the unit in which a hand would usually write a quantity."""
    return _USUAL.get(name) or _USUAL.get(dimension) or units.si_unit(dimension)


def _choices(dimension: str) -> str:
    return f"units of {dimension.replace('_', ' ')} are " + ", ".join(units.choices(dimension))


def _split(text: str) -> tuple[float, str]:
    try:
        return units.split(text)
    except (units.UnitError, ValueError, OverflowError) as refusal:  # the latter two: digits without end
        raise Refused("not a number", f"begin with a number, its unit after it ({refusal})") from None


def _to_si(value: float, unit: str, dimension: str, name: str) -> float:
    """Convert, refusing a unit that is missing, unknown, or of something else."""
    if not unit:
        if dimension == "dimensionless":
            return value
        example = f"{value:g} {usual_unit(name, dimension)}"
        raise Refused(
            "missing unit",
            f'write the unit with the number, in quotes, such as "{example}"; {_choices(dimension)}',
            wanted=name,
            choices=tuple(units.choices(dimension)),
        )
    try:
        return units.to_si(value, unit, dimension)
    except units.UnitError:
        pass
    measured = []
    for other in units.UNITS:
        try:
            units.find(unit, other)
        except units.UnitError:
            continue
        measured.append(other.replace("_", " "))
    if measured:
        of = " or ".join(measured)
        raise Refused(
            "wrong quantity",
            f"{unit} is a unit of {of}, and here stands a {name}; {_choices(dimension)}",
            unit=unit,
            measured=measured[0],
            wanted=name,
            choices=tuple(units.choices(dimension)),
        )
    close = get_close_matches(unit, units.choices(dimension), n=1, cutoff=0.5)
    guess = f'did you mean "{close[0]}"? ' if close else ""
    raise Refused(
        "unknown unit",
        f"{guess}{_choices(dimension)}",
        "close" if close else "",
        unit=unit,
        close=close[0] if close else "",
        wanted=name,
        choices=tuple(units.choices(dimension)),
    )


def _check(name: str, value: float, unit: str) -> float:
    try:
        return vocabulary.check(name, value)
    except OutOfRange as refusal:
        dimension = vocabulary.quantity_of(name).dimension
        shown = unit or units.si_unit(dimension)
        low, high = (units.from_si(limit, shown, dimension) for limit in refusal.limits)
        end = "" if shown == "1" else f" {shown}"
        raise Refused(
            "out of range",
            f"look at the number and its unit again: a {name} lies between {low:.4g} and {high:.4g}{end}",
            wanted=name,
            low=low,
            high=high,
            unit=end.strip(),
        ) from None


def quantity(raw: Any, name: str) -> float:
    """Return what was written for a quantity, in SI. Only a dimensionless one may stand as a bare number."""
    dimension = vocabulary.quantity_of(name).dimension
    value, unit = _number_and_unit(_without_either_way(raw) if name == "tolerance" and isinstance(raw, str) else raw)
    return _check(name, _to_si(value, unit, dimension, name), unit)


def _number_and_unit(raw: Any) -> tuple[float, str]:
    if isinstance(raw, bool) or not isinstance(raw, (int, float, str)):
        raise Refused("wrong shape", "write one number with its unit, in quotes")
    if isinstance(raw, str):
        return _split(raw)
    try:
        return float(raw), ""
    except OverflowError:
        raise Refused("not a number", "no quantity is that large") from None


def _without_either_way(text: str) -> str:
    """Take off the sign of a tolerance, "+-" or "±"."""
    return re.sub(r"^\s*(?:±|\+\s*/?\s*[-−])\s*", "", text)


def difference_dimension(name: str) -> str:
    """Return the dimension of a difference of two values of a quantity."""
    dimension = vocabulary.quantity_of(name).dimension
    return "temperature_difference" if dimension == "temperature" else dimension


def difference(raw: Any, name: str) -> float:
    """Return a resolution or an uncertainty of a quantity, in SI; not negative."""
    value, unit = _number_and_unit(raw)
    found = _to_si(value, unit, difference_dimension(name), name)
    if not 0.0 <= found < math.inf:
        raise Refused("out of range", "write it without a sign: it counts both ways", "both ways")
    return found


def quantities(raw: Any, name: str) -> tuple[float, ...]:
    """Return a row of quantities, written as numbers with one unit at the end: "0.1 0.2 0.3 inwc"."""
    dimension = vocabulary.quantity_of(name).dimension
    example = f'"0.1 0.2 0.3 {usual_unit(name, dimension)}"'
    if not isinstance(raw, str):
        kind = isinstance(raw, list) and raw and all(type(entry) in (int, float) for entry in raw)
        remedy = f"write one text: the numbers, then their unit once, such as {example}; {_choices(dimension)}"
        raise Refused("missing unit" if kind else "wrong shape", remedy)
    words = raw.replace(";", " ").split()
    numbers: list[float] = []
    unit = ""
    for position, word in enumerate(words):
        try:
            value, tail = units.split(word.rstrip(","))
        except (units.UnitError, ValueError, OverflowError):
            unit = " ".join(words[position:])
            break
        numbers.append(value)
        if tail:
            unit = " ".join((tail, *words[position + 1 :]))
            break
    if not numbers:
        raise Refused("not a number", f"write the numbers, then their unit once, such as {example}", "row")
    if re.search(r"\s[-+.]?\d", f" {unit}"):
        raise Refused("not a number", f"write all the numbers first, then their unit once, such as {example}", "row")
    return tuple(_check(name, _to_si(value, unit, dimension, name), unit) for value in numbers)


class Accuracy(NamedTuple):
    """An instrument's stated accuracy: share of the reading, absolute part in SI, and the coverage if one is stated."""

    relative: float
    absolute: float
    coverage: float | None


_COVERAGE = re.compile(r"[\s,(]*k\s*=\s*(?P<k>[\d.]+(?:[eE][-+]?\d+)?)\s*\)?\s*$")
_OF_READING = re.compile(r"\s*(?:of\s+(?:the\s+)?)?(?:reading|rdg)\s*$", re.IGNORECASE)
_DIGITS = re.compile(r"(?:digits?|counts?|dgt)", re.IGNORECASE)
_POINTS = re.compile(r"%\s*(?:rh|points?)", re.IGNORECASE)


def accuracy(raw: Any, name: str, resolution: float | None) -> Accuracy:
    """Return an accuracy as data sheets print it: "1 % + 0.005 inwc", "0.5 F (k=2)", "0.8 % + 2 digits"."""
    dimension = difference_dimension(name)
    example = (
        f'"1 % + 0.1 {units.si_unit(dimension)}"' if dimension != "dimensionless" else '"2 % rh" or "2 % of reading"'
    )
    if not isinstance(raw, str):
        raise Refused(
            "not an accuracy", f"write a text such as {example}, with (k=2) after it if the data sheet says so"
        )
    text, coverage = raw, None
    if match := _COVERAGE.search(raw):
        text = raw[: match.start()]
        coverage = _coverage(match["k"])
    found: dict[str, float] = {}
    for term in re.split(r"(?<![\d.][eE])\s*\+(?!\s*/?\s*[-−])", _without_either_way(text)):
        kind, value = _term(_without_either_way(term), name, dimension, resolution, example)
        if kind in found:
            raise Refused("not an accuracy", f"write one {kind} part only, such as {example}", "twice")
        if not 0.0 <= value < math.inf:
            raise Refused("out of range", "write an accuracy without a sign: it counts both ways", "both ways")
        found[kind] = value
    absolute = found.get("absolute", 0.0) + found.get("digits", 0.0)
    return Accuracy(found.get("relative", 0.0), absolute, coverage)


def _coverage(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not 0.5 <= value <= 5.0:
        raise Refused("not an accuracy", "write the coverage as (k=2); a coverage lies between 0.5 and 5", "coverage")
    return value


def _term(term: str, name: str, dimension: str, resolution: float | None, example: str) -> tuple[str, float]:
    value, unit = _split(term)
    if match := _OF_READING.search(unit):
        return "relative", _to_si(value, unit[: match.start()], "dimensionless", "share")
    if _DIGITS.fullmatch(unit):
        if resolution is None:
            remedy = 'add a resolution to the instrument: "digits" are counted in steps of it'
            raise Refused("not an accuracy", remedy, "digits")
        return "digits", value * resolution
    if dimension != "dimensionless":
        return ("relative", value * 0.01) if unit == "%" else ("absolute", _to_si(value, unit, dimension, name))
    if _POINTS.fullmatch(unit):
        return "absolute", value * 0.01
    if unit == "%":
        raise Refused("not an accuracy", f"say of what the percentage is: {example}", "percentage")
    return "absolute", _to_si(value, unit, dimension, name)


def moment(raw: Any) -> str:
    """Return a time, a date, or both, as it was written."""
    if isinstance(raw, (datetime.datetime, datetime.date, datetime.time)):
        return raw.isoformat()
    remedy = 'write a time of day ("14:05"), a date ("2026-04-14") or both ("2026-04-14 14:05")'
    if not isinstance(raw, str):
        raise Refused("not a time", remedy)
    if re.fullmatch(r"[0-9]{4}-(0[1-9]|1[0-2])", raw):
        return raw
    whole = re.match(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", raw)
    if whole or re.match(r"[0-9]{2}:[0-9]{2}", raw):
        try:
            (datetime.datetime if whole else datetime.time).fromisoformat(raw)
        except ValueError:
            pass
        else:
            return raw
    raise Refused("not a time", remedy)
