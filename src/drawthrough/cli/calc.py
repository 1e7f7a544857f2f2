"""`drawthrough calc`: one thing worked out by hand, with its equation, its limits and its sources."""

import argparse
import json
from typing import Any, NamedTuple

from drawthrough import units, vocabulary
from drawthrough.cli.calculations.table import Calculation, CalculationError, Key
from drawthrough.errors import OutOfRange

# What is shown beside the SI value: by quantity where a dimension has more than one custom, else by dimension.
FIELD_BY_QUANTITY = {
    "pressure": "psi", "saturation_pressure": "psi", "gauge_pressure": "psi", "altitude": "ft", "blower_power": "W",
    "power": "kW", "enthalpy": "kJ/kg", "diameter": "in", "particle_diameter": "um", "duration": "min", "speed": "rpm",
}  # fmt: skip
FIELD_BY_DIMENSION = {
    "temperature": "F", "temperature_difference": "F", "pressure": "inwc", "length": "in", "area": "in2",
    "velocity": "fpm", "airflow": "cfm", "mass_flow": "lb/min", "density": "lb/ft3", "specific_volume": "ft3/lb",
    "humidity_ratio": "gr/lb", "specific_energy": "Btu/lb", "power": "Btu/h", "capacitance": "uF",
    "fan_power": "W/cfm", "volume": "ft3",
}  # fmt: skip

ABSOLUTE = ("pressure", "saturation_pressure")  # quantities for which psig would be a misreading


class Given(NamedTuple):
    """One input as it was typed and as it was read."""

    key: Key
    typed: str
    value: Any


def add_parser(subparsers: Any) -> None:
    """Add the command to the command line."""
    parser = subparsers.add_parser(
        "calc",
        help="work out one thing by hand: moist air, airflow, a capacitor, dust shares, ...",
        description="Works out one thing, and says by which equation, within which limits and from which sources.",
        epilog="Without a NAME all calculations are listed. Example: drawthrough calc moist-air dry_bulb=80F "
        "wet_bulb=67F pressure=14.696psia",
    )
    parser.add_argument("name", nargs="?", metavar="NAME", help="which calculation")
    parser.add_argument("pairs", nargs="*", metavar="key=value", help="each value with its unit: dry_bulb=80F")
    parser.add_argument("--json", action="store_true", help="print one JSON object, values in SI")


def run(arguments: argparse.Namespace) -> int:
    """Work out what was asked for and print it."""
    from drawthrough.cli.calculations import CALCULATIONS

    if arguments.name is None:
        print(_list_json(CALCULATIONS) if arguments.json else _list_text(CALCULATIONS))
        return 0
    calculation = CALCULATIONS.get(arguments.name)
    if calculation is None:
        raise CalculationError(f"There is no calculation {arguments.name!r}; there are: {', '.join(CALCULATIONS)}.")
    given = read(calculation, arguments.pairs)
    try:
        results = calculation.work({one.key.name: one.value for one in given})
    except OutOfRange as refusal:
        raise CalculationError(explain(refusal)) from refusal
    print(_json(calculation, given, results) if arguments.json else _text(calculation, given, results))
    return 0


def read(calculation: Calculation, pairs: list[str]) -> list[Given]:
    """Read the key=value pairs of a calculation and check that what is needed is there, once.

    Raises
    ------
    CalculationError
        An unknown, doubled, missing or superfluous key, or a value that cannot be read.
    """
    given: dict[str, Given] = {}
    for pair in pairs:
        name, equals, typed = pair.partition("=")
        name = name.strip()
        key = calculation.key(name)
        if not equals:
            raise CalculationError(f"{pair!r} is not key=value. {_keys_of(calculation)}")
        if key is None:
            raise CalculationError(f"{calculation.name} has no key {name!r}. {_keys_of(calculation)}")
        if name in given:
            raise CalculationError(f"{name} is given twice.")
        given[name] = Given(key, typed.strip(), read_value(key, typed))
    for group in calculation.one_of:
        found = [name for name in group if name in given]
        if len(found) > 1:
            raise CalculationError(f"Give one of {_either(group)}, not both {' and '.join(found)}.")
        if not found:
            raise CalculationError(f"{calculation.name} needs one of {_either(group)}. {_keys_of(calculation)}")
    for group in calculation.at_most_one:
        found = [name for name in group if name in given]
        if len(found) > 1:
            raise CalculationError(f"Give one of {_either(group)}, not both {' and '.join(found)}.")
    grouped = {name for group in (*calculation.one_of, *calculation.at_most_one) for name in group}
    missing = [
        key.name for key in calculation.keys if not key.optional and key.name not in grouped and key.name not in given
    ]
    if missing:
        raise CalculationError(f"{calculation.name} needs {', '.join(missing)}. {_keys_of(calculation)}")
    return list(given.values())


def read_value(key: Key, typed: str) -> Any:
    """Read the value of a key in SI, or its text where it has choices."""
    if key.choices:
        folded = {_bare(choice): choice for choice in key.choices}
        chosen = folded.get(_bare(typed))
        if chosen is None:
            raise CalculationError(f"{key.name}={typed} is not one of {', '.join(key.choices)}.")
        return chosen
    if key.listed:
        return tuple(_read_number(key, part) for part in typed.split(",") if part.strip()) or _empty(key)
    return _read_number(key, typed)


def _bare(text: str) -> str:
    """Return a word as it is compared: R410A is R-410A."""
    return text.strip().lower().replace("-", "").replace(" ", "")


def _empty(key: Key) -> Any:
    raise CalculationError(f"{key.name} has no value; several are separated by commas.")


def _read_number(key: Key, typed: str) -> float:
    dimension = key.row.dimension
    try:
        value = units.parse(typed, dimension)
        _, unit = units.split(typed)
    except units.UnitError as error:
        raise CalculationError(f"{key.name}: {error}") from error
    suffix = unit.lower().replace(".", "")
    if suffix == "psig" and key.row.name in ABSOLUTE:
        raise CalculationError(f"{key.name}={typed} is a gauge reading; {key.name} is absolute, such as 14.696psia.")
    if suffix == "psia" and key.row.name not in ABSOLUTE:
        raise CalculationError(f"{key.name}={typed} is absolute; {key.name} is counted from its surroundings, as psig.")
    low, high, source = key.range
    if not low <= value <= high:
        raise CalculationError(explain(OutOfRange(key.name, value, (low, high), source), key.row))
    return value


def explain(refusal: OutOfRange, row: vocabulary.Quantity | None = None) -> str:
    """Say a refusal with units, as the field and as SI have them."""
    if row is None:
        try:
            row = vocabulary.quantity_of(refusal.quantity)
        except vocabulary.UnknownQuantity:
            return str(refusal)
    value, low, high = (both(limit, row) for limit in (refusal.value, *refusal.limits))
    return f"{refusal.quantity} = {value} lies outside {low} to {high} ({refusal.source})."


def field_unit(row: vocabulary.Quantity) -> str:
    """Return the unit in which the field reads a quantity."""
    return FIELD_BY_QUANTITY.get(row.name) or FIELD_BY_DIMENSION.get(row.dimension) or row.unit


def in_unit(value: Any, unit: str, row: vocabulary.Quantity) -> str:
    """Return a value, or several, as text in a unit."""
    if isinstance(value, tuple):
        return ", ".join(_number(units.from_si(part, unit, row.dimension)) for part in value) + _label(unit)
    return _number(units.from_si(value, unit, row.dimension)) + _label(unit)


def both(value: Any, row: vocabulary.Quantity) -> str:
    """Return a value in the field's unit, and in SI where that is another one."""
    field = field_unit(row)
    text = in_unit(value, field, row)
    return text if field == row.unit else f"{text} ({in_unit(value, row.unit, row)})"


def _number(value: float) -> str:
    return f"{value:.6g}"


def _label(unit: str) -> str:
    return "" if unit == "1" else f" {unit}"


def _either(group: tuple[str, ...]) -> str:
    return f"{', '.join(group[:-1])} or {group[-1]}"


def _keys_of(calculation: Calculation) -> str:
    return f"Keys: {calculation.usage}."


def _json(calculation: Calculation, given: list[Given], results: dict[str, Any]) -> str:
    answer = {
        "calc": calculation.name,
        "inputs": {
            one.key.name: {"value": one.value} if one.key.choices else {"value": one.value, "unit": one.key.row.unit}
            for one in given
        },
        "results": {
            name: {"value": value, "unit": calculation.quantity_of_result(name).unit} for name, value in results.items()
        },
        "equation": calculation.equation,
        "sources": list(calculation.sources),
        "limits": limits(calculation),
        "notes": list(calculation.notes),
    }
    return json.dumps(answer, ensure_ascii=False, indent=2, allow_nan=False)


def limits(calculation: Calculation) -> dict[str, dict[str, Any]]:
    """Return for each key of a quantity the range that is accepted, in SI, and whose range that is."""
    found = {}
    for key in calculation.keys:
        if not key.choices:
            low, high, source = key.range
            found[key.name] = {"low": low, "high": high, "unit": key.row.unit, "source": source}
    return found


def _text(calculation: Calculation, given: list[Given], results: dict[str, Any]) -> str:
    rows = []
    for one in given:
        si = "" if one.key.choices else in_unit(one.value, one.key.row.unit, one.key.row)
        rows.append(("given", one.key.name, one.typed, si))
    for name, value in results.items():
        row = calculation.quantity_of_result(name)
        rows.append(("result", name, in_unit(value, field_unit(row), row), in_unit(value, row.unit, row)))
    wide = [max(len(row[column]) for row in rows) for column in range(4)]
    lines = [f"{calculation.name}: {calculation.says}", ""]
    for what, name, field, si in rows:
        same = si if si != field else ""
        lines.append(f"  {what:<{wide[0]}}  {name:<{wide[1]}}  {field:<{wide[2]}}  {same}".rstrip())
    lines += ["", f"equation  {calculation.equation}"]
    for name, limit in limits(calculation).items():
        key = calculation.key(name)
        if key is None or key.name not in {one.key.name for one in given}:
            continue
        field = field_unit(key.row)
        low, high = (in_unit(limit[end], field, key.row) for end in ("low", "high"))
        lines.append(f"limits    {name} {low} to {high} ({limit['source']})")
    lines += [f"source    {source}" for source in calculation.sources]
    lines += [f"note      {note}" for note in calculation.notes]
    return "\n".join(lines)


def _list_text(calculations: dict[str, Calculation]) -> str:
    lines = ["drawthrough calc NAME key=value ... [--json]", ""]
    for calculation in calculations.values():
        lines += [
            f"{calculation.name}: {calculation.says}",
            f"    {calculation.usage}",
            f"    e.g. drawthrough calc {calculation.name} {calculation.example}",
        ]
    return "\n".join(lines)


def _list_json(calculations: dict[str, Calculation]) -> str:
    listed = {
        name: {
            "says": calculation.says,
            "usage": calculation.usage,
            "keys": [key.name for key in calculation.keys],
            "results": list(calculation.results),
            "example": calculation.example,
        }
        for name, calculation in calculations.items()
    }
    return json.dumps({"calculations": listed}, ensure_ascii=False, indent=2)
