"""Forms drawn from the state's own keys: the same names, meanings and choices as the visit sheet.

`fields_of(Run, values, faults, voice, only=("mode", "speed"))` gives the fields to show, what was typed standing in
them and each fault beside its own; the macro `field` of `form_macros.html` draws one. `values_of(run)` gives what a
hand would have typed for a structure that stands, so that `entry(Run, values_of(run))` is that structure again.
"""

import tomllib
from collections.abc import Iterable, Mapping
from typing import Any

import msgspec

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


def fields_of(
    table: type[msgspec.Struct],
    values: Mapping[str, str],
    faults: Iterable[EntryFault],
    voice: Voice,
    only: Iterable[str] = (),
    *,
    prefix: str = "",
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
    """
    known = keys(table)
    wrong = {fault.field: fault for fault in faults}
    names = tuple(only) or tuple(name for name, key in known.items() if key.sort not in ("table", "tables"))
    return tuple(_field(table, known[name], values, wrong, voice, prefix) for name in names)


def _field(
    table: type[msgspec.Struct], key: Key, values: Mapping[str, str], wrong: Mapping[str, EntryFault], voice: Voice,
    prefix: str,
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
    return FieldView(
        name=name,
        id=f"{table.__name__.lower()}-{name.replace('.', '-')}",
        label=field_label(key.name, voice, table.__name__),
        help=field_help(table.__name__, key.name, voice),
        kind=kind,
        value=value,
        choices=choices,
        required=key.required,
        fault=refusal(fault, voice) if fault is not None else "",
    )


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
        if name not in given and key.sort in ("choice", "switch"):
            value = getattr(struct, key.field)
            if value is not None:
                given[name] = _text(value)
    return given


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
