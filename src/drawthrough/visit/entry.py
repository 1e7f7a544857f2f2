"""What is typed into a form becomes a structure of the state, by the rules of the visit sheet and in view of the visit.

An entry is held against what stands; what stands is not held against it again, save for the bulbs of its own run and
for the fan tables, where an entry changes the motor.
"""

from collections.abc import Iterable, Mapping
from typing import Any, TypeVar

import msgspec

from drawthrough.errors import DrawthroughError
from drawthrough.visit import entry_text
from drawthrough.visit.air_place import Layout
from drawthrough.visit.fold import Folded
from drawthrough.visit.form import Key, keys
from drawthrough.visit.sheet_checks import check_bulbs, check_fan_table, check_instrument, check_run, check_site
from drawthrough.visit.sheet_fault import LONGEST, Datum, Faults, Kind
from drawthrough.visit.sheet_lines import LineIndex, Path
from drawthrough.visit.sheet_places import layout_of, settle_reading
from drawthrough.visit.sheet_reader import Reader, build
from drawthrough.visit.state import FanTable, Instrument, Reading, Run, Site, System

T = TypeVar("T", bound=msgspec.Struct)
Entry = dict[str, Any]

UNIT = "_unit"  # ends the name of the field that holds the unit of another one
ASIDE = ("once",)  # fields that a form carries for itself

_NO_LINES = LineIndex("")
# Where a fault belongs to a table as a whole: the field at which a form shows it.
_WHOLE: dict[Kind, str] = {"one end": "against", "zero without its run": "zero_for"}
_BULBS = ("dry_bulb", "wet_bulb")


class EntryFault(msgspec.Struct, frozen=True, kw_only=True):
    """One fault of a form: its field, its kind, what was read, and what it speaks of. `reason` tells words apart."""

    field: str
    kind: Kind
    read: str = ""
    reason: str = ""
    names: dict[str, str] = {}  # words of the house, ids, and what was typed
    figures: dict[str, float] = {}  # in the unit that `names` has under "unit", where they have one
    choices: tuple[str, ...] = ()
    line: int | None = None  # of a text of many lines


class EntryError(DrawthroughError):
    """A form that cannot be taken as it stands; carries every fault that was found, as data."""

    def __init__(self, faults: Iterable[EntryFault]) -> None:
        self.faults = tuple(faults)
        super().__init__("; ".join(f"{fault.field}: {fault.kind}" for fault in self.faults))


def fault_of(
    field: str, kind: Kind, read: str, reason: str, data: Mapping[str, Datum], line: int | None = None
) -> EntryFault:
    """Return a fault, its data sorted into names, figures and choices."""
    text = "".join(letter if letter.isprintable() else " " for letter in read)
    choices = data.get("choices", ())
    return EntryFault(
        field=field,
        kind=kind,
        read=text if len(text) <= LONGEST else text[: LONGEST - 1] + "…",
        reason=reason,
        names={name: datum for name, datum in data.items() if isinstance(datum, str)},
        figures={name: float(datum) for name, datum in data.items() if isinstance(datum, (int, float))},
        choices=choices if isinstance(choices, tuple) else (),
        line=line,
    )


class _FormFaults(Faults):
    """Collects the faults of a form as data, each at its field."""

    def __init__(self, typed: Mapping[str, str], at: str = "") -> None:
        super().__init__("", _NO_LINES)
        self.typed = typed
        self.at = at
        self.entries: list[EntryFault] = []

    def add(self, kind: Kind, path: Path, read: object, remedy: str, reason: str = "", **data: Datum) -> None:
        """Take note of a fault; the remedy of the sheet is left aside."""
        field = self.at or ".".join(str(part) for part in path) or _WHOLE.get(kind, "")
        self.entries.append(fault_of(field, kind, self.typed.get(field) or str(read), reason, data))


def entry(
    table: type[T],
    fields: Mapping[str, str],
    around: Folded | None = None,
    *,
    run: str | None = None,
    instead: str | int | None = None,
    aside: Iterable[str] = ASIDE,
) -> T:
    """Return the structure that a form describes.

    Parameters
    ----------
    table : type
        Site, System, Strips, Capacitor, FanTable, Instrument, Run, Reading, Work, Lead, Gap, Pattern or Price.
    fields : mapping of str to str
        What was posted, by the sheet's names of the keys ("with" names the instrument of a reading). Empty: not given.
        A quantity has its unit in the text, or under its name with `_unit` after it. "yes" and "no"; a list is one text
        with spaces, commas or newlines between; labels stand one on a line, "name: text". A table within the table has
        its fields after a point ("strips.power"): where none of them was posted, what stands is kept; where all were
        posted empty, it is taken away. Fan tables and the readings of a run are entries of their own.
    around : Folded, optional
        The visit so far. Without it nothing is known of equipment, runs and instruments, and nothing held against them.
    run : str, optional
        Reading only: id of the run that it was taken in.
    instead : str or int, optional
        What the entry replaces: the id of a run or an instrument, the place of a reading within its run.
    aside : iterable of str
        Names of fields that are none of the table's and are passed over.

    Raises
    ------
    EntryError
        The form has faults; it carries them all.
    """
    typed = {name: entry_text.cleaned(text) for name, text in fields.items()}
    faults = _FormFaults(typed)
    raw = _raw(table, "", typed, faults, set(aside))
    found = Reader(faults).table(table, raw, ())
    if table is Reading and "value" in found and not typed.get("typed"):
        found["typed"] = entry_text.with_unit(typed["value"], typed.get(f"value{UNIT}", ""))
    _held_against(table, found, around, run, instead, faults)
    if faults.entries:
        raise EntryError(faults.entries)
    made: T = build(table, found)
    return _with_what_stands(made, typed, around)


def _raw(table: type[msgspec.Struct], prefix: str, typed: Mapping[str, str], faults: Faults, aside: set[str]) -> Entry:
    """Return a table as a sheet would hold it."""
    known = keys(table)
    made: Entry = {}
    for name, text in typed.items():
        if not name.startswith(prefix) or name in aside:
            continue
        stem, _, inner = name[len(prefix) :].partition(".")
        key = known.get(stem)
        if inner and key is not None and key.sort == "table":
            continue
        if not inner and stem.endswith(UNIT) and _takes_unit(known.get(stem.removesuffix(UNIT))):
            continue
        if inner or key is None or key.table is not None:
            faults.add("unknown key", (name,), name, "")
        elif text:
            made[stem] = entry_text.raw(key, text, typed.get(f"{name}{UNIT}", ""))
    for key in known.values():
        if key.sort == "table" and key.table is not None:
            within = f"{prefix}{key.name}."
            if any(text and name.startswith(within) and not name.endswith(UNIT) for name, text in typed.items()):
                made[key.name] = _raw(key.table, within, typed, faults, aside)
    return made


def _takes_unit(key: Key | None) -> bool:
    return key is not None and key.sort in ("quantity", "quantities", "value", "difference", "accuracy")


def _with_what_stands(made: T, typed: Mapping[str, str], around: Folded | None) -> T:
    """Return an entry with those of its tables that the form did not speak of as they stand."""
    if not isinstance(made, System) or around is None or around.system is None:
        return made
    stands = around.system
    kept: Entry = {"fan_table": stands.fan_table}
    for name in ("strips", "capacitor"):
        if not any(field.startswith(f"{name}.") for field in typed):
            kept[name] = getattr(stands, name)
    if "nameplate" not in typed:
        kept["nameplate"] = stands.nameplate
    return msgspec.structs.replace(made, **kept)


def _held_against(
    table: type[msgspec.Struct],
    found: Entry,
    around: Folded | None,
    run: str | None,
    instead: str | int | None,
    faults: _FormFaults,
) -> None:
    """Write down what shows only in view of the other keys, and of the visit so far."""
    system = around.system if around else None
    if table is Site:
        check_site(found, (), faults)
    elif table is FanTable:
        check_fan_table(found, system.motor if system else None, (), faults)
    elif table is System and system is not None:
        faults.at = "motor"
        for one in system.fan_table:
            check_fan_table({"static": one.static, "airflow": one.airflow}, found.get("motor"), (), faults)
    elif table is Instrument and around is not None:
        _own_id(found, (one.id for one in around.instrument), instead, faults)
    elif table is Run:
        if around is not None:
            _own_id(found, (one.id for one in around.run), instead, faults)
        check_run(found, (), _sheet_of_runs(found, around, instead), faults)
    elif table is Reading:
        settle_reading(found, _layout(around), faults)
        if around is not None:
            known = [{"id": one.id, "measures": one.measures} for one in around.instrument]
            check_instrument(found, (), {"instrument": known}, faults)
            _in_its_run(found, around, run, instead, faults)


def _own_id(found: Entry, ids: Iterable[str], instead: str | int | None, faults: Faults) -> None:
    if "id" in found and found["id"] != instead and found["id"] in ids:
        faults.add("same id", ("id",), found["id"], "", of=found["id"])


def _sheet_of_runs(found: Entry, around: Folded | None, instead: str | int | None) -> Entry:
    """Return what a run is held against, as a sheet would hold it."""
    if around is None:
        return {"run": [found]}
    others = [{"id": one.id, "mode": one.mode, "when": one.when} for one in around.run if one.id != instead]
    sheet: Entry = {"run": [*others, found]}
    if around.site is not None:
        sheet["site"] = {"altitude": around.site.altitude}
    if around.system is not None:
        sheet["system"] = {"fan_table": [{"speed": one.speed} for one in around.system.fan_table]}
    return sheet


def _layout(around: Folded | None) -> Layout | None:
    """Return what the places of the equipment depend on; None while it has not been described."""
    if around is None or around.system is None:
        return None
    system = around.system
    described: Entry = {
        "arrangement": system.arrangement,
        "filter_place": system.filter_place,
        "filter_places": system.filter_places,
        "fan_table": [{"heater": one.heater} for one in system.fan_table],
    }
    if system.strips is not None:
        described["strips"] = {}
    return layout_of({"system": described, "run": [{"mode": one.mode} for one in around.run]})


def _in_its_run(found: Entry, around: Folded, run: str | None, instead: str | int | None, faults: _FormFaults) -> None:
    """Hold a reading against the others of its run."""
    if run is None:
        return
    own = next((one for one in around.run if one.id == run), None)
    if own is None:
        faults.add("unknown id", ("run",), run, "", "run", of=run, choices=tuple(one.id for one in around.run))
        return
    if found.get("what") not in _BULBS or "value" not in found:
        return
    others = [
        {"what": one.what, "at": one.at, "value": one.value, "time": one.time, "typed": one.typed}
        for k, one in enumerate(own.reading)
        if one.what in _BULBS and one.at == found.get("at") and k != instead
    ]
    before, after = _FormFaults({}), _FormFaults(faults.typed, "value")
    check_bulbs({"reading": others}, (), before)
    check_bulbs({"reading": [found, *others]}, (), after)
    if len(after.entries) > len(before.entries):
        faults.entries.append(after.entries[0])
