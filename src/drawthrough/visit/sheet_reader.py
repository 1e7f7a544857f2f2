"""Reading the tables of a sheet, or one of them alone, by the form: each key by its sort, each fault written down."""

from typing import Any

import msgspec

from drawthrough import vocabulary
from drawthrough.visit import sheet_values
from drawthrough.visit.form import Key, keys
from drawthrough.visit.sheet_fault import Faults, Kind, Refused, listed, nearest
from drawthrough.visit.sheet_lines import Path
from drawthrough.visit.sheet_plain import PLAIN
from drawthrough.visit.state import Reading

Entry = dict[str, Any]


def build(table: type[msgspec.Struct], entry: Entry) -> Any:
    """Return a structure from what was read of it, once it is known to be whole."""
    made: Entry = {}
    for key in keys(table).values():
        if key.sort == "accuracy":
            if key.name in entry:
                made["accuracy_relative"], made["accuracy_absolute"], made["coverage"] = entry[key.name]
        elif key.name not in entry:
            continue
        elif key.table is not None:
            value = entry[key.name]
            made[key.field] = (
                build(key.table, value) if key.sort == "table" else tuple(build(key.table, one) for one in value)
            )
        else:
            made[key.field] = entry[key.name]
    return table(**made)


class Reader:
    """Reads tables into entries (key to value, in SI), writing down each fault and going on."""

    def __init__(self, faults: Faults) -> None:
        self.faults = faults

    def table(self, table: type[msgspec.Struct], raw: Entry, path: Path) -> Entry:
        """Return what could be read of one table."""
        known = keys(table)
        for name in raw:
            if name not in known:
                kind: Kind = "unknown key" if path else "unknown table"
                remedy = f"{nearest(name, known)}here may stand {', '.join(known)}"
                self.faults.add(kind, (*path, name), name, remedy)
        entry: Entry = {}
        for name, key in known.items():
            if name not in raw:
                if key.required:
                    self._missing(key, path)
                continue
            place = (*path, name)
            try:
                entry[name] = self._value(key, raw[name], place, raw)
            except Refused as refusal:
                self.faults.add(refusal.kind, place, raw[name], refusal.remedy, refusal.reason, **refusal.data)
            except _Unread:
                continue
        if table is Reading and "value" in entry:
            value = raw["value"]
            entry["written"] = value if isinstance(value, str) else repr(value)
            entry.setdefault("typed", entry["written"])
        return entry

    def _missing(self, key: Key, path: Path) -> None:
        if key.sort == "table":
            self.faults.add("missing table", (*path, key.name), "", f"add a table [{key.name}]: {key.meaning}")
            return
        choices = f"; one of {listed(key.choices)}" if key.choices else ""
        remedy = f"add {key.name}: {key.meaning}{choices}"
        self.faults.add("missing key", (*path, key.name), "", remedy, meaning=key.meaning)

    def _value(self, key: Key, raw: Any, path: Path, around: Entry) -> Any:
        """Return the value of one key, in SI."""
        sort = key.sort
        if key.required and isinstance(raw, str) and not raw.strip():
            choices = f"; one of {listed(key.choices)}" if key.choices else ""
            raise Refused("missing key", f"fill it in: {key.meaning}{choices}", meaning=key.meaning)
        if sort == "table" or sort == "tables":
            return self._tables(key, raw, path)
        if sort == "quantity":
            return sheet_values.quantity(raw, key.quantity)
        if sort == "quantities":
            return sheet_values.quantities(raw, key.quantity)
        if sort == "value":
            return sheet_values.quantity(raw, self._subject(around, "what"))
        if sort == "difference":
            return sheet_values.difference(raw, self._subject(around, "what" if "what" in around else "measures"))
        if sort == "accuracy":
            return self._accuracy(raw, around)
        if sort == "moment":
            return sheet_values.moment(raw)
        if sort == "moments":
            if not isinstance(raw, list):
                raise Refused("wrong shape", f'write a list, such as {key.name} = ["08:40"]')
            return tuple(sheet_values.moment(one) for one in raw)
        if sort == "words":
            if not isinstance(raw, list) or not all(isinstance(one, str) and one for one in raw):
                raise Refused("wrong shape", f'write a list of texts, such as {key.name} = ["coil"]')
            return tuple(raw)
        return PLAIN[sort](key, raw)

    def _tables(self, key: Key, raw: Any, path: Path) -> Any:
        assert key.table is not None
        header = ".".join(part for part in path if isinstance(part, str))
        if key.sort == "table":
            if not isinstance(raw, dict):
                raise Refused("wrong shape", f"write it as one table, [{header}], with its keys below")
            return self.table(key.table, raw, path)
        if not isinstance(raw, list) or not all(isinstance(one, dict) for one in raw):
            raise Refused("wrong shape", f"write each as a table of its own under [[{header}]], with two brackets")
        return [self.table(key.table, one, (*path, index)) for index, one in enumerate(raw)]

    def _subject(self, around: Entry, key: str) -> str:
        """Return the quantity that a value belongs to, as the key beside it names it."""
        name = around.get(key)
        if not isinstance(name, str) or name not in vocabulary.QUANTITIES:
            raise _Unread
        return name

    def _accuracy(self, raw: Any, around: Entry) -> sheet_values.Accuracy:
        name = self._subject(around, "measures")
        resolution = None
        if "resolution" in around:
            try:
                resolution = sheet_values.difference(around["resolution"], name)
            except Refused:
                raise _Unread from None  # the resolution's own fault says what is wrong
        return sheet_values.accuracy(raw, name, resolution)


class _Unread(Exception):
    """A value cannot be read because of a fault that is written down elsewhere."""
