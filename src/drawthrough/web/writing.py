"""The writing line: which reading is asked for, in which units, with which instrument, and how it was typed."""

from collections.abc import Mapping
from urllib.parse import urlencode

from msgspec.structs import replace

from drawthrough import units, vocabulary
from drawthrough.report.names import code_name, quantity_name, short_name
from drawthrough.report.voice import N_, Voice
from drawthrough.trade.reading_list import Wanted, layout_of, sign_of, usual_unit_of, wanted
from drawthrough.visit.air_place import SPOT_PLACES, places
from drawthrough.visit.form import PRESSURES
from drawthrough.visit.sheet_values import usual_unit
from drawthrough.visit.state import Reading, Run, Visit
from drawthrough.web.desk import Desk, run_address
from drawthrough.web.ledger import Opened
from drawthrough.web.refusal import Refusal
from drawthrough.web.views.readings import UnitKey, WritingView
from drawthrough.web.views.shell import Choice

# Quantities that are read on site, in the order in which they are offered.
READ = (
    "static", "pressure_drop", "dry_bulb", "wet_bulb", "relative_humidity", "temperature", "volts", "amps", "power",
    "blower_power", "speed", "resistance", "capacitance", "gauge_pressure", "airflow", "frequency", "dew_point",
    "volume", "duration", "gas_flow", "heating_value", "combustion_efficiency",
)  # fmt: skip
# Units beside the line: those of the field first, then SI.
_KEYS: dict[str, tuple[str, ...]] = {
    "pressure": ("inwc", "Pa"), "temperature": ("F", "C"), "temperature_difference": ("F", "K"),
    "airflow": ("cfm", "L/s"), "power": ("W", "kW"), "voltage": ("V",), "current": ("A",), "frequency": ("Hz",),
    "resistance": ("ohm",), "capacitance": ("uF",), "length": ("in", "mm"), "time": ("s", "min"),
    "dimensionless": ("%",),
}  # fmt: skip
_KEYS_OF = {"speed": ("rpm",), "gauge_pressure": ("psig", "bar"), "frequency": ("Hz",)}
_LABELS = {"inwc": "in. w.c.", "F": "°F", "C": "°C", "ohm": "Ω", "uF": "µF"}


def keys_of(what: str, chosen: str, measures: str) -> tuple[UnitKey, ...]:
    """Return the unit keys of a quantity, one of them chosen."""
    dimension = vocabulary.quantity_of(what).dimension
    offered = _KEYS_OF.get(what) or _KEYS.get(dimension) or (usual_unit(what, dimension),)
    if chosen not in offered:
        if chosen and _measures(chosen, dimension):
            offered = (chosen, *offered)
        else:
            chosen = offered[-1] if measures == "SI" else offered[0]
    return tuple(UnitKey(code=one, label=_LABELS.get(one, one), chosen=one == chosen) for one in offered)


def _measures(unit: str, dimension: str) -> bool:
    try:
        units.find(unit, dimension)
    except units.UnitError:
        return False
    return True


def unit_before(visit: Visit | None, what: str) -> str:
    """Return the unit in which this quantity was typed last, so that a hand that thinks in it goes on in it."""
    typed = [one.typed for run in (visit.run if visit else ()) for one in run.reading if one.what == what]
    if not typed:
        return ""
    try:
        return units.split(typed[-1])[1]
    except units.UnitError:
        return ""


def instrument_for(opened: Opened, what: str) -> str:
    """Return the instrument last used for a quantity, else the only one that measures it."""
    used = [one.instrument for run in opened.folded.run for one in run.reading if one.what == what and one.instrument]
    if used:
        return used[-1]
    dimension = vocabulary.quantity_of(what).dimension
    fit = [one.id for one in opened.folded.instrument if one.measures == what] or [
        one.id for one in opened.folded.instrument if vocabulary.quantity_of(one.measures).dimension == dimension
    ]
    return fit[0] if len(fit) == 1 else ""


def _placed_instrument(opened: Opened, run: Run, one: Wanted) -> str:
    """Return the instrument of the same reading in another run, else that of the quantity."""
    same = [
        reading.instrument
        for other in opened.folded.run
        for reading in other.reading
        if (reading.what, reading.at, reading.against) == (one.what, one.at, one.against) and reading.instrument
    ]
    return same[-1] if same else instrument_for(opened, one.what)


def line_for(desk: Desk, opened: Opened, run: Run, asked: Mapping[str, str]) -> WritingView:
    """Return the writing line that a page asks for.

    Parameters
    ----------
    desk : Desk
        Who asks.
    opened : Opened
        The visit.
    run : Run
        The run that is written into.
    asked : mapping
        What the address or the form says: `correct` (a fact), `free`, `passed`, and what was typed so far.
    """
    fact = asked.get("correct") or asked.get("of") or ""
    if fact:
        return _correction(desk, opened, run, fact, asked)
    if asked.get("free"):
        return _free(desk, opened, run, asked)
    return _wanted(desk, opened, run, asked)


def _base(desk: Desk, opened: Opened, run: Run) -> WritingView:
    return WritingView(
        visit=opened.id,
        run=run.id,
        run_href=run_address(opened.id, run.id),
        action=f"/visit/{opened.id}/reading",
        once=desk.ledger.once(),
        label="",
        hint="",
        what="",
        at="",
        against="",
        hole="",
        instrument="",
    )


def _instruments(opened: Opened, chosen: str) -> tuple[Choice, ...]:
    return tuple(Choice(code=one.id, name=one.id, chosen=one.id == chosen) for one in opened.folded.instrument)


def _wanted(desk: Desk, opened: Opened, run: Run, asked: Mapping[str, str]) -> WritingView:
    voice = desk.voice
    visit = opened.visit
    passed = int(asked["passed"]) if asked.get("passed", "").isdigit() else 0
    still = wanted(visit, run) if visit is not None else ()
    base = _base(desk, opened, run)
    other = f"{base.run_href}?free=1"
    if passed >= len(still):
        label = (
            voice.say(N_("Nothing more is wanted of this run."))
            if visit is not None
            else voice.say(N_("Describe the system first; then the list says what to read."))
        )
        return replace(base, label=label, other_href=other, done=True)
    one = still[passed]
    instrument = asked.get("with") or _placed_instrument(opened, run, one)
    name = short_name(
        Reading(what=one.what, at=one.at, against=one.against, hole=one.hole, value=0.0, typed=""), voice
    )
    unit = asked.get("value_unit") or one.unit if one.again else unit_before(visit, one.what) or one.unit
    return replace(
        base,
        label=name,
        hint=_hint(visit, run, one, voice),
        what=one.what,
        at=one.at,
        against=one.against or "",
        hole=one.hole or "",
        instrument=instrument,
        units=keys_of(one.what, unit, desk.preferences.measures),
        instruments=_instruments(opened, instrument),
        passed=str(passed),
        skip_href=f"{base.run_href}?passed={passed + 1}",
        other_href=other,
        left=voice.count("{n} still wanted", "{n} still wanted", len(still) - passed),
    )


def _hint(visit: Visit | None, run: Run, one: Wanted, voice: Voice) -> str:
    if one.note:
        return one.note
    sign = sign_of(visit, run, one.what, one.at, one.against) if visit is not None else 0
    if sign and one.against == "room":
        return voice.say(N_("below the room: no minus needed")) if sign < 0 else voice.say(N_("above the room"))
    return ""


def _free(desk: Desk, opened: Opened, run: Run, asked: Mapping[str, str]) -> WritingView:
    voice = desk.voice
    what = asked.get("what") if asked.get("what") in READ else READ[0]
    assert what is not None
    instrument = asked.get("with") or instrument_for(opened, what)
    pressure = what in PRESSURES
    here = places(layout_of(opened.folded.system, run)) if opened.folded.system else ()
    ends = tuple(dict.fromkeys((*here, "room"))) if pressure else ()
    spots = tuple(place for place in ends if place != "room") if pressure else SPOT_PLACES
    at, against = asked.get("at") or spots[0], asked.get("against") or "room"

    def choices(codes: tuple[str, ...], chosen: str) -> tuple[Choice, ...]:
        return tuple(Choice(code=code, name=code_name(code, voice), chosen=code == chosen) for code in codes)

    return replace(
        _base(desk, opened, run),
        label=voice.say(N_("Another reading")),
        what=what,
        at=at,
        against=against if pressure else "",
        hole=asked.get("hole", ""),
        instrument=instrument,
        units=keys_of(what, unit_before(opened.visit, what) or usual_unit_of(what), desk.preferences.measures),
        free=True,
        whats=tuple(Choice(code=one, name=quantity_name(one, voice), chosen=one == what) for one in READ),
        places=choices(spots, at),
        against_places=choices(ends, against) if pressure else (),
        instruments=_instruments(opened, instrument),
        time=asked.get("time", ""),
        note=asked.get("note", ""),
        passed=asked.get("passed", ""),
    )


def _correction(desk: Desk, opened: Opened, run: Run, fact: str, asked: Mapping[str, str]) -> WritingView:
    index = next(
        (k for (name, k), versions in opened.folded.history.items() if name == run.id and versions[0].fact == fact),
        None,
    )
    if index is None:
        from drawthrough.web.refusal import Refusal

        raise Refusal.missing()
    reading = run.reading[index]
    unit = units.split(reading.typed)[1]
    return replace(
        _base(desk, opened, run),
        label=short_name(reading, desk.voice),
        what=reading.what,
        at=reading.at,
        against=reading.against or "",
        hole=reading.hole or "",
        instrument=reading.instrument or "",
        value="",
        units=keys_of(reading.what, unit, desk.preferences.measures),
        instruments=_instruments(opened, reading.instrument or ""),
        time=reading.time or "",
        note=reading.note,
        of=fact,
        why=asked.get("why", ""),
    )


def index_of(opened: Opened, run: Run, fact: str) -> int:
    """Return the place in its run of a reading that a fact took.

    Raises
    ------
    Refusal
        There is no such reading.
    """
    for (name, k), versions in opened.folded.history.items():
        if name == run.id and versions[0].fact == fact:
            return k
    raise Refusal.missing()


def address_of(run_href: str, asked: Mapping[str, str]) -> str:
    """Return the address of a run's page with the writing line where it was."""
    kept = {name: asked[name] for name in ("passed",) if asked.get(name, "0") != "0"}
    return f"{run_href}?{urlencode(kept)}" if kept else run_href
