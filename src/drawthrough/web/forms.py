"""Forms drawn from the state's own keys: the same names, meanings and choices as the visit sheet.

`fields_of(Run, values, faults, voice, only=("mode", "speed"))` gives the fields to show, what was typed standing in
them and each fault beside its own; the macro `field` of `form_macros.html` draws one. `values_of(run)` gives what a
hand would have typed for a structure that stands, so that `entry(Run, values_of(run))` is that structure again.
`shown_of(run, voice)` gives the same in the units that are asked for, rounded where they are not the sheet's own;
`exact(sent, run, voice)` takes what came back of it unchanged for the figure that stands, so that a form which is
only looked at and saved changes nothing.
"""

import tomllib
from collections.abc import Iterable, Mapping
from typing import Any

import msgspec

from drawthrough import units, vocabulary
from drawthrough.report.names import code_name, field_help, field_label
from drawthrough.report.refusals import refusal
from drawthrough.report.voice import N_, Voice
from drawthrough.visit.entry import EntryFault
from drawthrough.visit.form import Key, keys
from drawthrough.visit.sheet_text import table_text
from drawthrough.web.views.form import FieldView, Kind
from drawthrough.web.views.shell import Choice

_RADIOS = 5  # choices up to which all are seen at once
_KINDS: dict[str, Kind] = {"texts": "area", "quantities": "area", "quantity": "quantity", "difference": "quantity"}
_YES, _NO = N_("yes"), N_("no")

# How a hand would write a field that needs a unit or a form of its own: where field units are asked for, and SI.
EXAMPLES: dict[tuple[str, str], tuple[str, str]] = {
    ("Site", "altitude"): ("1200 ft", "350 m"),
    ("Site", "currency"): ("USD", "MXN"),
    ("Site", "electricity_price"): ("0.17 /kWh", "0.17 /kWh"),
    ("Site", "summer_hours"): ("900 h", "900 h"),
    ("System", "airflow_limit_static"): ("0.8 inwc", "200 Pa"),
    ("System", "total_capacity_rated"): ("36 kBtu/h", "10.5 kW"),
    ("System", "sensible_heat_ratio_rated"): ("0.75", "0.75"),
    ("System", "airflow_rated"): ("1200 cfm", "570 L/s"),
    ("System", "static_rated"): ("0.5 inwc", "125 Pa"),
    ("System", "volts_rated"): ("230 V", "230 V"),
    ("System", "refrigerant"): ("R-410A", "R-410A"),
    ("System", "filter_merv"): ("8", "8"),
    ("System", "nameplate"): ("blower: 1/2 hp, 3.8 A", "blower: 370 W, 3.8 A"),
    ("Strips", "power"): ("10 kW", "10 kW"),
    ("Strips", "volts"): ("240 V", "240 V"),
    ("Capacitor", "capacitance"): ("7.5 uF", "7.5 uF"),
    ("Capacitor", "tolerance"): ("6 %", "6 %"),
    ("Capacitor", "volts"): ("370 V", "370 V"),
    ("FanTable", "volts"): ("230 V", "230 V"),
    ("Instrument", "accuracy"): ("1 % + 0.005 inwc", "1 % + 1 Pa"),
    ("Instrument", "resolution"): ("0.001 inwc", "0.1 Pa"),
    ("Instrument", "zeroed"): ("08:30 14:05", "08:30 14:05"),
    ("Instrument", "calibrated"): ("2026-03-01", "2026-03-01"),
    ("Run", "start"): ("14:05", "14:05"),
    ("Run", "end"): ("14:25", "14:25"),
    ("Run", "station_pressure"): ("29.1 inHg", "98.6 kPa"),
    ("Gap", "width"): ("1/8 in", "3 mm"),
    ("Gap", "length"): ("20 in", "500 mm"),
    ("Gap", "depth"): ("1 in", "25 mm"),
    ("Price", "amount"): ("140", "140"),
}
# The units in which SI figures are typed, where the sheet's own are others.
_SI = {"pressure": "Pa", "airflow": "L/s", "length": "m", "power": "kW"}


def fields_of(
    table: type[msgspec.Struct],
    values: Mapping[str, str],
    faults: Iterable[EntryFault],
    voice: Voice,
    only: Iterable[str] = (),
    *,
    prefix: str = "",
    hints: Mapping[str, str] | None = None,
) -> tuple[FieldView, ...]:
    """Return the fields of a table's form.

    Parameters
    ----------
    table : type
        The structure that is entered.
    values : mapping of str to str
        What stands in the fields, by name.
    faults : iterable of EntryFault
        What was wrong with them.
    voice : Voice
        How they are told.
    only : iterable of str
        Names of the fields to show, in this order; all that are no tables unless given.
    prefix : str
        What stands before each name, where the table lies within another one ("strips.").
    hints : mapping of str to str, optional
        What stands under a field in place of its meaning: messages that the voice translates, by name.
    """
    known = keys(table)
    wrong = {fault.field: fault for fault in faults}
    names = tuple(only) or tuple(name for name, key in known.items() if key.sort not in ("table", "tables"))
    said = hints or {}
    return tuple(_field(table, known[name], values, wrong, voice, prefix, said) for name in names)


def faulty(fields: Iterable[FieldView]) -> bool:
    """Is there a fault among these fields? What they are folded into then stands open."""
    return any(one.fault for one in fields)


def _field(
    table: type[msgspec.Struct], key: Key, values: Mapping[str, str], wrong: Mapping[str, EntryFault], voice: Voice,
    prefix: str, hints: Mapping[str, str],
) -> FieldView:  # fmt: skip
    name = f"{prefix}{key.name}"
    value = values.get(name, "")
    fault = wrong.get(name)
    choices = _choices(key, value, voice)
    kind: Kind = _KINDS.get(key.sort, "text")
    if key.name == "note":
        kind = "area"
    if choices:
        kind = "radios" if len(choices) <= _RADIOS else "select"
    label = field_label(key.name, voice, table.__name__)
    help_ = voice.say(hints[key.name]) if key.name in hints else field_help(table.__name__, key.name, voice)
    return FieldView(
        name=name,
        id=f"{table.__name__.lower()}-{name.replace('.', '-')}",
        label=label,
        help="" if help_.casefold() in label.casefold() else help_,
        example=_example(table, key, voice),
        kind=kind,
        value=value,
        choices=choices,
        required=key.required,
        fault=refusal(fault, voice) if fault is not None else "",
    )


def _example(table: type[msgspec.Struct], key: Key, voice: Voice) -> str:
    field, si = EXAMPLES.get((table.__name__, key.name), ("", ""))
    written = si if voice.measures == "SI" else field
    return voice.say(N_("such as {example}")).format(example=written) if written else ""


def _choices(key: Key, value: str, voice: Voice) -> tuple[Choice, ...]:
    if key.sort == "switch":
        codes: tuple[tuple[str, str], ...] = (("yes", voice.say(_YES)), ("no", voice.say(_NO)))
    else:
        codes = tuple((code, code_name(code, voice)) for code in key.choices)
    if codes and not key.required and not _has_default(key):
        codes = (("", voice.say(N_("not known"))), *codes)
    return tuple(Choice(code=code, name=name, chosen=code == value) for code, name in codes)


def _has_default(key: Key) -> bool:
    """Does the state take a value of its own where none is given? Then one of the choices always stands."""
    return key.name in ("doors_on", "wetness", "filter", "filter_place", "coil", "heater", "flow_basis", "sealed")


def values_of(struct: msgspec.Struct, *, prefix: str = "") -> dict[str, str]:
    """Return what a hand would have typed for a structure, by the names of its fields; defaults are written out."""
    given = {f"{prefix}{name}": text for name, text in _flat("", tomllib.loads(table_text(struct)))}
    for key in keys(type(struct)).values():
        name = f"{prefix}{key.name}"
        if name not in given and (key.sort in ("choice", "switch", "whole") or key.name == "currency"):
            value = getattr(struct, key.field)
            if value is not None:
                given[name] = _text(value)
        elif key.sort == "table" and (within := getattr(struct, key.field)) is not None:
            given |= values_of(within, prefix=f"{name}.")
    return given


def shown_of(struct: msgspec.Struct, voice: Voice, *, prefix: str = "") -> dict[str, str]:
    """Return what a hand would have typed for a structure, in the units that are asked for."""
    given = values_of(struct, prefix=prefix)
    if voice.measures == "SI":
        given |= dict(_in_si(struct, prefix))
    return given


def _in_si(struct: msgspec.Struct, prefix: str) -> Iterable[tuple[str, str]]:
    for key in keys(type(struct)).values():
        value = getattr(struct, key.field, None)
        if isinstance(value, msgspec.Struct):
            yield from _in_si(value, f"{prefix}{key.name}.")
        elif key.sort == "quantity" and value is not None:
            dimension = vocabulary.quantity_of(key.quantity).dimension
            if dimension in _SI:
                yield f"{prefix}{key.name}", f"{units.from_si(value, _SI[dimension], dimension):.4g} {_SI[dimension]}"


def exact(sent: Mapping[str, str], stands: msgspec.Struct | None, voice: Voice) -> dict[str, str]:
    """Return what was sent, with the figure that stands in place of each one that came back as it was shown."""
    if stands is None:
        return dict(sent)
    shown, whole = shown_of(stands, voice), values_of(stands)
    return {name: whole[name] if name in whole and text == shown[name] else text for name, text in sent.items()}


def _flat(before: str, table: Mapping[str, Any]) -> Iterable[tuple[str, str]]:
    for name, value in table.items():
        if isinstance(value, dict) and before + name == "nameplate":
            yield before + name, "\n".join(f"{label}: {text}" for label, text in value.items())
        elif isinstance(value, dict):
            yield from _flat(f"{before}{name}.", value)
        elif not (isinstance(value, list) and value and isinstance(value[0], dict)):
            yield before + name, _text(value)


def _text(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return " ".join(map(str, value)) if isinstance(value, list) else str(value)
