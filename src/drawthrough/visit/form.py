"""The form of a visit sheet: the keys of each table and what may stand in them, drawn from the state's own fields."""

import types
from functools import cache
from typing import Any, Literal, NamedTuple, Union, get_args, get_origin

import msgspec

from drawthrough import vocabulary
from drawthrough.visit.meaning import MEANING
from drawthrough.visit.state import Instrument, Reading

Sort = Literal[
    "text", "texts", "choice", "whole", "switch", "number", "moment", "moments", "quantity", "quantities",
    "value", "difference", "accuracy", "what", "place", "words", "table", "tables",
]  # fmt: skip

PRESSURES = ("static", "pressure_drop")  # quantities that have two ends

# Fields whose quantity is not called like the field.
_QUANTITY = {
    "summer_hours": "duration",
    "airflow_limit_static": "static",
    "station_pressure": "pressure",
    "sprayer_volume": "liquid_volume",
    "dwell_least": "dwell",
    "dwell_most": "dwell",
    "capacitance_read": "capacitance",
    "clearance_motor_side": "clearance",
    "clearance_far_side": "clearance",
    "run_out_motor_side": "run_out",
    "run_out_far_side": "run_out",
}
_WHOLE: dict[str, tuple[int, int]] = {
    "filter_places": (0, 6),
    "filter_merv": (1, 20),
    "elements": (1, 12),
    "bends": (0, 10),
    "crew": (1, 2),
    "fills": (1, 20),
    "holds": (1, 6),
    "weights": (0, 24),
}
_MOMENTS = ("start", "end", "time", "calibrated")
_WORDS = ("scope", "extra", "without")
_EITHER = ("speed",)  # text that may also be typed as a whole number


class Key(NamedTuple):
    """One key of a table: its name in the sheet, the field it fills, and what may stand there."""

    name: str
    field: str
    sort: Sort
    required: bool
    meaning: str
    quantity: str = ""
    choices: tuple[str, ...] = ()
    limits: tuple[int, int] = (0, 0)
    table: type[msgspec.Struct] | None = None
    or_number: bool = False


@cache
def keys(table: type[msgspec.Struct]) -> dict[str, Key]:
    """Return the keys of a table by their names, in the order in which a sheet shows them."""
    return {key.name: key for key in _keys(table)}


def _keys(table: type[msgspec.Struct]) -> list[Key]:
    meaning = MEANING[table.__name__]
    found = [
        _key(table, field.name, field.type, field.required, meaning)
        for field in msgspec.structs.fields(table)
        if not (table is Instrument and field.name in ("accuracy_relative", "accuracy_absolute", "coverage"))
    ]
    if table is Instrument:
        found.append(Key("accuracy", "", "accuracy", False, meaning["accuracy"]))
    order = list(meaning)
    # In TOML plain keys must stand before the tables.
    return sorted(found, key=lambda key: (key.sort in ("texts", "table", "tables"), order.index(key.name)))


def _key(table: type[msgspec.Struct], field: str, kind: Any, required: bool, meanings: dict[str, str]) -> Key:
    name = "with" if (table, field) == (Reading, "instrument") else field
    meaning = meanings[name]
    kind = _without_none(kind)
    origin = get_origin(kind)
    if table is Reading and field in ("what", "value", "at", "against", "typed", "uncertainty"):
        sorts: dict[str, Sort] = {"what": "what", "value": "value", "typed": "text", "uncertainty": "difference"}
        return Key(name, field, sorts.get(field, "place"), required and field != "typed", meaning)
    if table is Instrument and field in ("measures", "resolution"):
        return Key(name, field, "what" if field == "measures" else "difference", required, meaning)
    if origin is Literal:
        return Key(name, field, "choice", required, meaning, choices=get_args(kind))
    if origin is dict:
        return Key(name, field, "texts", required, meaning)
    if origin is tuple:
        inner = get_args(kind)[0]
        if inner is float:
            return Key(name, field, "quantities", required, meaning, quantity=field)
        if inner is str:
            return Key(name, field, "words" if field in _WORDS else "moments", required, meaning)
        return Key(name, field, "tables", required, meaning, table=inner)
    if kind is bool:
        return Key(name, field, "switch", required, meaning)
    if kind is int:
        return Key(name, field, "whole", required, meaning, limits=_WHOLE[field])
    if kind is float:
        if field == "amount":
            return Key(name, field, "number", required, meaning)
        quantity = vocabulary.quantity_of(_QUANTITY.get(field, field)).name
        return Key(name, field, "quantity", required, meaning, quantity=quantity)
    if kind is str:
        return Key(
            name, field, "moment" if field in _MOMENTS else "text", required, meaning, or_number=field in _EITHER
        )
    return Key(name, field, "table", required, meaning, table=kind)


def _without_none(kind: Any) -> Any:
    if get_origin(kind) in (Union, types.UnionType):
        (kind,) = (part for part in get_args(kind) if part is not type(None))
    return kind
