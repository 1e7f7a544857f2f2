"""The JSON Schema of a visit sheet, made from the same form by which sheets are read."""

from typing import Any

import msgspec

from drawthrough import units, vocabulary
from drawthrough.visit import sheet_values
from drawthrough.visit.air_place import AIR_PLACES, SPOT_PLACES
from drawthrough.visit.form import PRESSURES, Key, keys
from drawthrough.visit.state import Reading, Visit

Schema = dict[str, Any]

# A number, a fraction or a mixed number; then a unit, unless the quantity is dimensionless.
_NUMBER = r"^\s*[-+−]?\s*(\d[\d,]*\.?\d*|\.\d+)([eE][-+]?\d+)?(\s+\d+)?(\s*/\s*\d+)?\s*"
_WITH_UNIT = _NUMBER + r"[^\s\d].*$"
_ROW = r"^\s*([-+−]?[\d.,]+([eE][-+]?\d+)?[;\s]*)+[^\s\d].*$"


def schema() -> Schema:
    """Return the schema (draft 2020-12) of a visit sheet, as TOML readers turn it into JSON."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Visit sheet",
        "description": (
            "One visit of a technician to an air-conditioning system, before and after a cleaning, in one file written "
            "by hand. Values are texts of a number and its unit. What tables must say together is checked on reading."
        ),
        **_table(Visit),
    }


def _table(table: type[msgspec.Struct]) -> Schema:
    known = keys(table)
    made: Schema = {
        "type": "object",
        "properties": {name: {"description": key.meaning, **_key(key)} for name, key in known.items()},
        "required": [name for name, key in known.items() if key.required] + (["run"] if table is Visit else []),
        "additionalProperties": False,
    }
    if table is Reading:
        made |= {
            "if": {"properties": {"what": {"enum": list(PRESSURES)}}},
            "then": {"required": ["against"], "properties": {"at": _air(), "against": _air()}},
            "else": {"properties": {"at": {"enum": list(SPOT_PLACES)}, "against": False}},
        }
    return made


def _air() -> Schema:
    return {"enum": list(AIR_PLACES)}


def _key(key: Key) -> Schema:
    if key.sort == "table" and key.table is not None:
        return _table(key.table)
    if key.sort == "tables" and key.table is not None:
        least = {"minItems": 1} if key.name == "run" else {}
        return {"type": "array", "items": _table(key.table), **least}
    if key.sort == "choice":
        return {"enum": list(key.choices)}
    if key.sort == "whole":
        low, high = key.limits
        return {"type": "integer", "minimum": low, "maximum": high}
    if key.sort == "quantity":
        return _quantity(key.quantity)
    if key.sort == "quantities":
        return {
            "type": "string",
            "pattern": _ROW,
            "examples": [f"0.1 0.2 0.3 {_usual(key.quantity)}"],
            **_units(key.quantity),
        }
    if key.sort == "text":
        text: Schema = {"type": "string", **({"minLength": 1} if key.required else {})}
        return {"anyOf": [text, {"type": "integer"}]} if key.or_number else text
    return dict(_OTHERS[key.sort])


def _quantity(name: str) -> Schema:
    if vocabulary.quantity_of(name).dimension == "dimensionless":
        return {"anyOf": [{"type": "string", "pattern": _NUMBER}, {"type": "number"}], **_units(name)}
    return {"type": "string", "pattern": _WITH_UNIT, "examples": [f"1 {_usual(name)}"], **_units(name)}


def _usual(name: str) -> str:
    return sheet_values.usual_unit(name, vocabulary.quantity_of(name).dimension)


def _units(name: str) -> Schema:
    """Return which units may stand: annotations for whoever builds a form from the schema."""
    quantity = vocabulary.quantity_of(name)
    return {"x-quantity": quantity.name, "x-units": units.choices(quantity.dimension)}


_MOMENT: Schema = {
    "type": "string",
    "pattern": r"^(\d{4}-\d{2}(-\d{2}([T ]\d{2}:\d{2}.*)?)?|\d{2}:\d{2}.*)$",
    "examples": ["14:05", "2026-04-14", "2026-04-14 14:05"],
}

_OTHERS: dict[str, Schema] = {
    "switch": {"type": "boolean"},
    "number": {"type": "number"},
    "texts": {"type": "object", "additionalProperties": {"type": "string"}},
    "moment": _MOMENT,
    "moments": {"type": "array", "items": _MOMENT},
    "words": {"type": "array", "items": {"type": "string", "minLength": 1}},
    "value": {"anyOf": [{"type": "string", "pattern": _NUMBER}, {"type": "number"}], "examples": ["0.31 inwc"]},
    "difference": {"anyOf": [{"type": "string", "pattern": _NUMBER}, {"type": "number"}], "examples": ["0.001 inwc"]},
    "accuracy": {"type": "string", "minLength": 3, "examples": ["1 % + 0.005 inwc", "0.5 F (k=2)", "0.8 % + 2 digits"]},
    "what": {"enum": list(vocabulary.QUANTITIES)},
    "place": {"enum": ["room", *(p for p in (*AIR_PLACES, *SPOT_PLACES) if p != "room")]},
}
