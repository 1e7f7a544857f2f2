"""Writing a Visit as a sheet, such that reading it gives the same Visit again."""

import json
import math
import re
from typing import Any

import msgspec

from drawthrough import units, vocabulary
from drawthrough.visit import sheet_values
from drawthrough.visit.air_place import Layout, places, settle, sign_between
from drawthrough.visit.form import PRESSURES, Key, keys
from drawthrough.visit.sheet_fault import Refused
from drawthrough.visit.sheet_places import layout_of
from drawthrough.visit.state import Instrument, Reading, Visit


def sheet_text(visit: Visit) -> str:
    """Return a visit as the text of a sheet.

    Values are written in the units of the trade where this loses nothing, else in SI to the last digit.
    """
    builtins: dict[str, Any] = msgspec.to_builtins(visit)
    return _Writer(layout_of(builtins)).table(visit, "", "").lstrip("\n")


def table_text(struct: msgspec.Struct) -> str:
    """Return one structure that stands alone as the keys of its table."""
    return _Writer(Layout("draw-through", "slot", 1, True)).table(struct, "", "")


class _Writer:
    def __init__(self, layout: Layout) -> None:
        self.layout = layout

    def table(self, struct: msgspec.Struct, header: str, brackets: str) -> str:
        """Return one table with the tables below it."""
        plain, below = [], []
        for key in keys(type(struct)).values():
            if key.table is not None:
                below.append(self._below(struct, key, header))
            elif key.sort == "texts":
                below.append(_texts(getattr(struct, key.field), f"{header}.{key.name}".lstrip(".")))
            elif (text := self._value(struct, key)) is not None:
                plain.append(f"{key.name} = {text}\n")
        opening = f"\n{brackets}\n" if brackets else ""
        return opening + "".join(plain) + "".join(below)

    def _below(self, struct: msgspec.Struct, key: Key, header: str) -> str:
        value = getattr(struct, key.field)
        path = f"{header}.{key.name}" if header else key.name
        if key.sort == "table":
            return "" if value is None else self.table(value, path, f"[{path}]")
        if key.table is Reading and value:
            rows = "".join(f"    {{ {', '.join(self._pairs(reading))} }},\n" for reading in value)
            return f"{key.name} = [\n{rows}]\n"
        return "".join(self.table(one, path, f"[[{path}]]") for one in value)

    def _pairs(self, reading: Reading) -> list[str]:
        written = ((key, self._value(reading, key)) for key in keys(Reading).values())
        return [f"{key.name} = {text}" for key, text in written if text is not None]

    def _value(self, struct: msgspec.Struct, key: Key) -> str | None:
        """Return the value of one key as it stands in the sheet, or None if it need not be written."""
        if key.sort == "accuracy":
            assert isinstance(struct, Instrument)
            return _accuracy(struct)
        value = getattr(struct, key.field)
        if key.sort in ("value", "text") and isinstance(struct, Reading) and key.field in ("value", "typed"):
            return self._reading_value(struct) if key.field == "value" else self._typed(struct)
        default = next(field for field in msgspec.structs.fields(type(struct)) if field.name == key.field).default
        if not key.required and value == default:
            return None
        if key.sort == "quantity":
            return _string(quantity_text(value, key.quantity))
        if key.sort == "quantities":
            return _string(_row(value, key.quantity))
        if key.sort == "difference":
            assert isinstance(struct, (Reading, Instrument))
            return _string(_difference(value, struct.what if isinstance(struct, Reading) else struct.measures))
        if key.sort in ("moments", "words"):
            return f"[{', '.join(map(_string, value))}]" if value else None
        if key.sort == "switch":
            return "true" if value else "false"
        return repr(value) if key.sort in ("whole", "number") else _string(value)

    def _reading_value(self, reading: Reading) -> str:
        if self._typed(reading) is None:
            return _string(reading.typed)
        sign = "+" if reading.what in PRESSURES and math.copysign(1.0, reading.value) > 0.0 else ""
        return _string(sign + _plain(reading.value, vocabulary.quantity_of(reading.what).dimension))

    def _typed(self, reading: Reading) -> str | None:
        """Return what the hand typed, if the value cannot be had by reading it again."""
        try:
            value = sheet_values.quantity(reading.typed, reading.what)
        except Refused:
            return _string(reading.typed)
        remark = ""
        if reading.what in PRESSURES and reading.against is not None:
            here = places(self.layout)
            if reading.at not in here or reading.against not in here:
                return _string(reading.typed)
            sign = sign_between(self.layout, reading.at, reading.against)
            settled = settle(value, reading.typed, reading.what, sign)
            value, remark = settled.value, settled.fault or settled.remark
        return None if value == reading.value and remark in reading.note else _string(reading.typed)


def _string(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007F")


def _texts(values: dict[str, str], header: str) -> str:
    if not values:
        return ""
    rows = [f"{k if re.fullmatch('[A-Za-z0-9_-]+', k) else _string(k)} = {_string(v)}\n" for k, v in values.items()]
    return f"\n[{header}]\n" + "".join(rows)


def _plain(value: float, dimension: str) -> str:
    """Return an SI value to its last digit."""
    unit = units.si_unit(dimension)
    return repr(value) if unit == "1" else f"{value!r} {unit}"


def quantity_text(value: float, name: str) -> str:
    """Return a quantity in a unit of the trade if reading that gives the very same value, else in SI."""
    dimension = vocabulary.quantity_of(name).dimension
    usual = sheet_values.usual_unit(name, dimension)
    return _short(value, [usual, *units.choices(dimension)], dimension) or _plain(value, dimension)


def _difference(value: float, name: str) -> str:
    dimension = sheet_values.difference_dimension(name)
    unit = sheet_values.usual_unit("" if dimension != vocabulary.quantity_of(name).dimension else name, dimension)
    return _short(value, [unit], dimension) or _plain(value, dimension)


def _row(values: tuple[float, ...], name: str) -> str:
    dimension = vocabulary.quantity_of(name).dimension
    unit = sheet_values.usual_unit(name, dimension)
    short = [_short(value, [unit], dimension) for value in values]
    if all(short):
        return " ".join((*(text.split()[0] for text in short), unit))
    return " ".join((*map(repr, values), units.si_unit(dimension)))


def _short(value: float, among: list[str], dimension: str) -> str:
    """Return a value with few digits in the first unit in which reading it gives the very same value, or ""."""
    for unit in among:
        converted = units.from_si(value, unit, dimension)
        for digits in (2, 3, 4, 5, 6):
            number = f"{float(f'{converted:.{digits}g}'):.12g}"
            if units.to_si(float(number), unit, dimension) == value:
                return number if unit == "1" else f"{number} {unit}"
    return ""


def _accuracy(instrument: Instrument) -> str | None:
    terms = []
    if instrument.accuracy_relative:
        bare = sheet_values.difference_dimension(instrument.measures) != "dimensionless"
        percent = f"{instrument.accuracy_relative * 100:.6g}"
        if float(percent) * 0.01 == instrument.accuracy_relative:
            terms.append(f"{percent} %" if bare else f"{percent} % of reading")
        else:
            terms.append(f"{instrument.accuracy_relative!r} of reading")
    if instrument.accuracy_absolute:
        terms.append(_points(instrument) or _difference(instrument.accuracy_absolute, instrument.measures))
    if not terms and instrument.coverage is None:
        return None
    coverage = "" if instrument.coverage is None else f" (k={instrument.coverage!r})"
    return _string((" + ".join(terms) or "0 % of reading") + coverage)


def _points(instrument: Instrument) -> str:
    """Return the absolute part for a dimensionless quantity, where a bare percentage would not say of what."""
    if sheet_values.difference_dimension(instrument.measures) != "dimensionless":
        return ""
    return repr(instrument.accuracy_absolute)
