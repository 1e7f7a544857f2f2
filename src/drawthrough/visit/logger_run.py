"""A steady window as a run of the visit sheet."""

import json

from drawthrough import units, vocabulary
from drawthrough.measure.rounding import rounded
from drawthrough.visit.logger import Log
from drawthrough.visit.logger_columns import STATION
from drawthrough.visit.logger_steady import Window, WindowMean, station_pressure
from drawthrough.visit.sheet_values import difference_dimension, usual_unit
from drawthrough.visit.state import Mode, Reading, Run, Wetness, When

# Cooling wets the coil by its first condensate and keeps it wet from here on (judgement). [s]
_WET_AFTER = 900.0
_WET_DEW_POINT_DROP = 0.5  # [K]; a supply dew point this far below the return's means condensate


def run_of(log: Log, window: Window, run_id: str, when: When, mode: Mode, speed: str, wetness: Wetness | None) -> Run:
    """Return a window as a run: each column's mean as a reading with its standard uncertainty.

    Parameters
    ----------
    log : Log
        Where the window comes from.
    window : Window
        Which rows.
    run_id : str
        What to call the run.
    when, mode, speed
        As in the visit sheet.
    wetness : str or None
        State of the coil; None: as the record shows it.
    """
    barometer = station_pressure(window)
    time = log.moments[window.first] or None
    readings = tuple(_reading(one, time) for one in window.means if one.column.meaning.at != STATION)
    return Run(
        id=run_id,
        when=when,
        mode=mode,
        speed=speed,
        reading=readings,
        start=log.moments[window.start] or None,
        end=log.moments[window.last] or None,
        wetness=wetness or _wetness(log, window, mode),
        station_pressure=None if barometer is None else barometer.mean.value,
        note=_note(log, window),
    )


def run_text(run: Run) -> str:
    """Return a run as a `[[run]]` table of a visit sheet."""
    lines = ["[[run]]", f"id = {_string(run.id)}", f"when = {_string(run.when)}", f"mode = {_string(run.mode)}"]
    lines.append(f"speed = {_string(run.speed)}")
    for key, text in (("start", run.start), ("end", run.end), ("wetness", run.wetness)):
        if text is not None:
            lines.append(f"{key} = {_string(text)}")
    if run.station_pressure is not None:
        pressure = units.from_si(run.station_pressure, "inHg", "pressure")
        lines.append(f"station_pressure = {_string(f'{pressure:.2f} inHg')}")
    lines.append(f"note = {_string(run.note)}")
    lines.append("reading = [")
    for one in run.reading:
        against = [] if one.against is None else [f"against = {_string(one.against)}"]
        pairs = [f"what = {_string(one.what)}", f"at = {_string(one.at)}", *against, f"value = {_string(one.typed)}"]
        if one.uncertainty is not None:
            pairs.append(f"uncertainty = {_string(uncertainty_text(one))}")
        if one.time is not None:
            pairs.append(f"time = {_string(one.time)}")
        lines.append(f"    {{ {', '.join(pairs)} }},")
    lines.append("]")
    return "\n".join(lines) + "\n"


def _reading(one: WindowMean, time: str | None) -> Reading:
    meaning = one.column.meaning
    unit = usual_unit(meaning.quantity, meaning.dimension)
    value = units.from_si(one.mean.value, unit, meaning.dimension)
    shown = rounded(value, _step(one.uncertainty, unit, meaning.quantity))
    return Reading(
        what=meaning.quantity,
        at=meaning.at,
        against=meaning.against,
        # What is written is what counts: the value is read back from its text.
        value=units.parse(f"{shown.value} {unit}", meaning.dimension),
        typed=f"{shown.value} {unit}",
        uncertainty=one.uncertainty,
        time=time,
    )


def _step(uncertainty: float, unit: str, quantity: str) -> float:
    return units.from_si(uncertainty, unit, difference_dimension(quantity))


def uncertainty_text(one: Reading) -> str:
    """Return the standard uncertainty of a reading with its unit, as a sheet has it; the reading must have one."""
    assert one.uncertainty is not None
    unit = usual_unit(one.what, vocabulary.quantity_of(one.what).dimension)
    step = _step(one.uncertainty, unit, one.what)
    return f"{rounded(step, step).uncertainty} {unit}"


def _wetness(log: Log, window: Window, mode: Mode) -> Wetness:
    """Return the state of the coil as the record shows it: damp where it cannot show it."""
    if mode != "cooling":
        return "dry"
    means = {one.column.meaning[:2]: one.mean.value for one in window.means}
    inlet, outlet = means.get(("dew_point", "return")), means.get(("dew_point", "supply"))
    if inlet is None or outlet is None:
        return "damp"
    if inlet - outlet < _WET_DEW_POINT_DROP:
        return "damp"  # it may be dry, or drying: nothing here tells
    return "wet steady" if log.seconds[window.first] - log.seconds[window.start] >= _WET_AFTER else "damp"


def _note(log: Log, window: Window) -> str:
    minutes = (log.seconds[window.last] - log.seconds[window.first]) / 60.0
    after = (log.seconds[window.first] - log.seconds[window.start]) / 60.0
    stamps = f"{log.stamps[window.first]} to {log.stamps[window.last]}"
    return (
        f"Means of {window.rows} rows of a log, {' '.join(stamps.split())} ({minutes:.3g} min), {after:.3g} min after "
        f"the last start; largest drift {window.worst_drift:.0%} of its limit."
    )


def _string(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007F")
