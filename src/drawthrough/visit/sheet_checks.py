"""What the tables of a sheet must say together: ids, times, fan tables, bulbs, barometer."""

import datetime
import re
from itertools import pairwise
from typing import Any

from drawthrough import units, vocabulary
from drawthrough.errors import OutOfRange
from drawthrough.physics import atmosphere, fan
from drawthrough.visit.sheet_fault import Faults, listed, nearest
from drawthrough.visit.sheet_lines import Path

Entry = dict[str, Any]


def check(sheet: Entry, faults: Faults) -> None:
    """Write down every fault that shows only when the keys of a sheet are seen together."""
    runs: list[Entry] = sheet.get("run", [])
    if not runs:
        faults.add("no runs", (), "", "add a [[run]] with its readings: without one there is nothing to judge")
    site: Entry = sheet.get("site", {})
    system: Entry = sheet.get("system", {})
    check_site(site, ("site",), faults)
    _ids(sheet, faults)
    for i, table in enumerate(system.get("fan_table", ())):
        check_fan_table(table, system.get("motor"), ("system", "fan_table", i), faults)
    for i, run in enumerate(runs):
        check_run(run, ("run", i), sheet, faults)
        check_bulbs(run, ("run", i), faults)
        for j, reading in enumerate(run.get("reading", ())):
            check_instrument(reading, ("run", i, "reading", j), sheet, faults)


def check_site(site: Entry, path: Path, faults: Faults) -> None:
    """Write down what is wrong with the site's table."""
    currency = site.get("currency", "USD")
    if not re.fullmatch("[A-Z]{3}", currency):
        remedy = 'write three capital letters, such as "USD" or "EUR"'
        faults.add("not a choice", (*path, "currency"), currency, remedy, "currency")


def check_run(run: Entry, path: Path, sheet: Entry, faults: Faults) -> None:
    """Write down what is wrong with a run, its readings aside, in view of the other tables of its sheet."""
    _zero(run, path, sheet.get("run", []), faults)
    _span(run, path, faults)
    _speed(run, path, sheet, faults)
    _barometer(run, path, sheet, faults)


def _ids(sheet: Entry, faults: Faults) -> None:
    for table, key in (("instrument", "id"), ("run", "id"), ("terminal", "name")):
        first: dict[str, int] = {}
        for i, entry in enumerate(sheet.get(table, ())):
            if key not in entry:
                continue
            name = entry[key]
            if name in first:
                line = faults.lines.line((table, first[name], key))
                where = f" in line {line}" if line else ""
                remedy = f"give it another {key}: {table} {first[name] + 1}{where} has it"
                faults.add("same id", (table, i, key), name, remedy, of=name)
            else:
                first[name] = i


def check_fan_table(table: Entry, motor: fan.Motor | None, path: Path, faults: Faults) -> None:
    """Write down the first thing that is wrong with a maker's table."""
    static, airflow = table.get("static"), table.get("airflow")
    if static is None or airflow is None:
        return
    if len(static) != len(airflow):
        read = f"{len(static)} statics, {len(airflow)} airflows"
        remedy = "write one airflow for each static, in the same order"
        faults.add(
            "unequal lengths", (*path, "airflow"), read, remedy, statics=str(len(static)), airflows=str(len(airflow))
        )
        return
    if min(airflow, default=1.0) <= 0.0:
        remedy = "leave that point out: a maker prints no airflow, or a zero, where the blower may not run"
        faults.add("out of range", (*path, "airflow"), "0", remedy, "no airflow")
        return
    if len(static) < 2:
        remedy = "copy at least two points of the maker's table"
        faults.add("table too short", (*path, "static"), len(static), remedy)
        return
    for low, high in pairwise(static):
        if not low < high:
            read = f"{_inwc(low)} followed by {_inwc(high)}"
            remedy = "write the statics from the lowest to the highest, each once"
            faults.add("static not rising", (*path, "static"), read, remedy, before=_inwc(low), after=_inwc(high))
            return
    _falling(table, motor, path, faults)


def _inwc(pressure: float) -> str:
    return f"{pressure / units.INWC:.4g} inwc"


def _falling(table: Entry, motor: fan.Motor | None, path: Path, faults: Faults) -> None:
    if motor is None:
        return
    rises = fan.check_falling(table["static"], table["airflow"], motor)
    if rises:
        rise = rises[0]
        before = f"{_cfm(rise.airflow_low)} at {_inwc(rise.static_low)}"
        read = f"{before}, {_cfm(rise.airflow_high)} at {_inwc(rise.static_high)}"
        remedy = f"compare with the maker's table: on a {motor} motor the airflow falls as the static rises"
        faults.add("table rises", (*path, "airflow"), read, remedy, motor=motor)


def _cfm(airflow: float) -> str:
    return f"{airflow / units.CFM:.4g} cfm"


def _zero(run: Entry, path: Path, runs: list[Entry], faults: Faults) -> None:
    heated = [other["id"] for other in runs if "id" in other and other.get("mode") in ("strips", "gas")]
    belongs = run.get("zero_for")
    if belongs is None:
        if run.get("mode") == "zero":
            remedy = f"add zero_for with the id of the strips run it belongs to: {listed(heated) or 'none is here yet'}"
            faults.add("zero without its run", path, run.get("id", ""), remedy, choices=tuple(heated))
        return
    if run.get("mode") not in ("zero", None):
        remedy = 'take it out, or write mode = "zero": only a zero belongs to another run'
        faults.add("zero without its run", (*path, "zero_for"), belongs, remedy, "mode")
    elif belongs not in heated:
        remedy = f"{nearest(belongs, heated)}write the id of a strips run: {listed(heated) or 'none is here yet'}"
        faults.add("unknown id", (*path, "zero_for"), belongs, remedy, "run", of=belongs, choices=tuple(heated))
    else:
        other = next(one for one in runs if one.get("id") == belongs)
        if {run.get("when"), other.get("when")} == {"as found", "as left"}:
            found = f'"{belongs}" was {other["when"]}, this zero {run["when"]}'
            remedy = f"{found}: a zero is taken right before or right after its run"
            faults.add("zero of another time", (*path, "zero_for"), belongs, remedy, of=belongs, when=other["when"])


def _span(run: Entry, path: Path, faults: Faults) -> None:
    start, end = _clock(run.get("start")), _clock(run.get("end"))
    # A bare time of day may lie past midnight; only full dates can be compared.
    if start is None or end is None or (start.tzinfo is None) != (end.tzinfo is None):
        return
    if end < start:
        remedy = f"it started {run['start']}: mend one of the two"
        faults.add("ends before it starts", (*path, "end"), run["end"], remedy, start=run["start"])


def _clock(text: str | None) -> datetime.datetime | None:
    try:
        return None if text is None else datetime.datetime.fromisoformat(text)
    except ValueError:
        return None


def _speed(run: Entry, path: Path, sheet: Entry, faults: Faults) -> None:
    speed = run.get("speed")
    named = [table["speed"] for table in sheet.get("system", {}).get("fan_table", ()) if "speed" in table]
    if speed is None or speed in named:
        return
    same = [name for name in named if "".join(name.lower().split()) == "".join(speed.lower().split())]
    if same:
        remedy = f'write "{same[0]}", as in the fan table, so that the two are found to belong together'
        faults.add("speed spelled otherwise", (*path, "speed"), speed, remedy, speed=same[0])


def _barometer(run: Entry, path: Path, sheet: Entry, faults: Faults) -> None:
    pressure, altitude = run.get("station_pressure"), sheet.get("site", {}).get("altitude")
    if pressure is None or altitude is None:
        return
    try:
        atmosphere.check_station_pressure(pressure, altitude)
    except OutOfRange:
        here = atmosphere.standard_pressure(altitude) / units.INHG
        remedy = (
            f"write the pressure on site, near {here:.2f} inHg at this altitude; a weather report is reduced to sea "
            "level. Or take it out, or mend the altitude"
        )
        read = f"{pressure / units.INHG:.2f} inHg"
        faults.add("sea-level barometer", (*path, "station_pressure"), read, remedy, here=here)


def check_bulbs(run: Entry, path: Path, faults: Faults) -> None:
    """Write down each wet bulb of a run that lies above the dry bulb of the same air."""
    readings: list[Entry] = run.get("reading", [])
    for j, wet in enumerate(readings):
        if wet.get("what") != "wet_bulb" or "value" not in wet or "at" not in wet:
            continue
        dry = [
            one for one in readings if one.get("what") == "dry_bulb" and one.get("at") == wet["at"] and "value" in one
        ]
        together = [one for one in dry if one.get("time") == wet.get("time")] or dry
        if together and wet["value"] > max(one["value"] for one in together):
            warmest = max(together, key=lambda one: float(one["value"]))
            remedy = (
                f"read both again: air of {warmest['typed']} cannot have that wet bulb. Is the wick wet, was it the "
                "same moment, are the two swapped?"
            )
            where = (*path, "reading", j, "value")
            faults.add("wet bulb above dry bulb", where, wet["typed"], remedy, dry=warmest["typed"], wet=wet["typed"])


def check_instrument(reading: Entry, path: Path, sheet: Entry, faults: Faults) -> None:
    """Write down an instrument that is not there, or that measures something else."""
    name = reading.get("with")
    if name is None:
        return
    known = {one["id"]: one for one in sheet.get("instrument", ()) if "id" in one}
    if name not in known:
        others = f", or write one of {listed(known)}" if known else ""
        remedy = f"{nearest(name, known)}add an [[instrument]] of this id{others}"
        faults.add("unknown id", (*path, "with"), name, remedy, "instrument", of=name, choices=tuple(known))
        return
    measures, what = known[name].get("measures"), reading.get("what")
    if measures is None or what is None:
        return
    if vocabulary.quantity_of(measures).dimension != vocabulary.quantity_of(what).dimension:
        remedy = f'"{name}" measures {measures}, here stands a {what}: name the instrument that read it'
        faults.add("wrong instrument", (*path, "with"), name, remedy, of=name, measured=measures, wanted=what)
