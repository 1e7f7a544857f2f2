"""The writing line: which reading is asked for, in which units, with which instrument, and how it was typed."""

from collections.abc import Mapping
from urllib.parse import urlencode

from msgspec.structs import replace

from drawthrough import units, vocabulary
from drawthrough.report.names import code_name, quantity_name, short_name
from drawthrough.report.voice import N_, Voice
from drawthrough.trade.reading_list import (
    Wanted,
    known,
    layout_of,
    parted,
    remark_free,
    sign_of,
    usual_place_of,
    usual_unit_of,
    wanted,
)
from drawthrough.visit.air_place import AIR_PLACES, SPOT_PLACES, places
from drawthrough.visit.form import PRESSURES
from drawthrough.visit.state import Reading, Run, Visit
from drawthrough.web.desk import Desk, run_address
from drawthrough.web.forms import values_of
from drawthrough.web.ledger import Opened
from drawthrough.web.refusal import Refusal
from drawthrough.web.unit_keys import keys_of
from drawthrough.web.views.readings import WritingView
from drawthrough.web.views.shell import Choice

# Quantities that are read on site, in the order in which they are offered.
READ = (
    "static", "pressure_drop", "dry_bulb", "wet_bulb", "relative_humidity", "temperature", "volts", "amps", "power",
    "blower_power", "speed", "resistance", "capacitance", "gauge_pressure", "airflow", "frequency", "dew_point",
    "volume", "duration", "gas_flow", "heating_value", "combustion_efficiency",
)  # fmt: skip


def _fits(measures: str, what: str) -> bool:
    """Can an instrument of one quantity have read another one? The sheet's own rule."""
    return vocabulary.quantity_of(measures).dimension == vocabulary.quantity_of(what).dimension


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
    fit = [one.id for one in opened.folded.instrument if one.measures == what] or [
        one.id for one in opened.folded.instrument if _fits(one.measures, what)
    ]
    return fit[0] if len(fit) == 1 else ""


def _placed_instrument(opened: Opened, one: Wanted) -> str:
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


def _instruments(opened: Opened, what: str, chosen: str) -> tuple[Choice, ...]:
    return tuple(
        Choice(code=one.id, name=one.id, chosen=one.id == chosen)
        for one in opened.folded.instrument
        if one.id == chosen or _fits(one.measures, what)
    )


def passed_of(asked: Mapping[str, str]) -> int:
    """Return how many wanted readings are passed over for now, as an address or a form says."""
    text = asked.get("passed", "")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 4 else 0


def passed_after(before: tuple[Wanted, ...], after: tuple[Wanted, ...], passed: int) -> int:
    """Return how many of the wanted readings are passed over once one more was written down, perhaps one of them."""
    return passed if before[:passed] == after[:passed] else passed - 1


def _asked_for(still: tuple[Wanted, ...], asked: Mapping[str, str]) -> Wanted | None:
    """Return the reading that a form was for, if it says so, else the next one that is wanted."""
    what, at = asked.get("what", ""), asked.get("at", "")
    if what in READ and at in (AIR_PLACES if what in PRESSURES else SPOT_PLACES):
        own = (what, at, asked.get("against") or None, asked.get("hole") or None)
        listed = next((one for one in still if known(one) == own), None)
        return listed or Wanted(*own)
    passed = passed_of(asked)
    return still[passed] if passed < len(still) else None


def _wanted(desk: Desk, opened: Opened, run: Run, asked: Mapping[str, str]) -> WritingView:
    voice = desk.voice
    visit = opened.visit
    still = wanted(visit, run) if visit is not None else ()
    passed = min(passed_of(asked), len(still))
    base = _base(desk, opened, run)
    other = address_of(base.run_href, {"free": "1", "passed": str(passed)})
    one = _asked_for(still, asked)
    if one is None:
        if visit is None:
            label = voice.say(N_("Describe the system first; then the list says what to read."))
        elif still:
            label = voice.count("{n} reading was passed over.", "{n} readings were passed over.", len(still))
        else:
            label = voice.say(N_("Nothing more is wanted of this run."))
        return replace(base, label=label, other_href=other, back_href=base.run_href if still else "", done=True)
    instrument = asked.get("with") or _placed_instrument(opened, one)
    named = Reading(what=one.what, at=one.at, against=one.against, hole=one.hole, value=0.0, typed="")
    unit = one.unit if one.again else unit_before(visit, one.what)
    return replace(
        base,
        label=short_name(named, voice),
        hint=_hint(visit, run, one, voice),
        what=one.what,
        at=one.at,
        against=one.against or "",
        hole=one.hole or "",
        instrument=instrument,
        units=keys_of(one.what, asked.get("value_unit") or unit, desk.preferences.measures),
        instruments=_instruments(opened, one.what, instrument),
        passed=str(passed),
        skip_href=address_of(base.run_href, {"passed": str(passed + 1)}),
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
    known = {one.id: one.measures for one in opened.folded.instrument}
    instrument = asked.get("with", "")
    if instrument not in known or not _fits(known[instrument], what):
        instrument = instrument_for(opened, what)
    pressure = what in PRESSURES
    system = opened.folded.system
    here = places(layout_of(system, run)) if system is not None else AIR_PLACES
    ends = tuple(dict.fromkeys((*here, "room"))) if pressure else ()
    spots = tuple(place for place in ends if place != "room") if pressure else SPOT_PLACES
    usual_at, usual_against = _usual_ends(opened, what)
    at = _first_of((asked.get("at", ""), usual_at), spots)
    against = _first_of((asked.get("against", ""), usual_against, "room"), ends) if pressure else ""
    base = _base(desk, opened, run)

    def choices(codes: tuple[str, ...], chosen: str) -> tuple[Choice, ...]:
        return tuple(Choice(code=code, name=code_name(code, voice), chosen=code == chosen) for code in codes)

    return replace(
        base,
        label=voice.say(N_("Another reading")),
        what=what,
        at=at,
        against=against,
        hole=asked.get("hole", ""),
        instrument=instrument,
        value=asked.get("value", ""),
        units=keys_of(what, unit_before(opened.visit, what) or usual_unit_of(what), desk.preferences.measures),
        free=True,
        whats=tuple(Choice(code=one, name=quantity_name(one, voice), chosen=one == what) for one in READ),
        places=choices(spots, at),
        against_places=choices(ends, against),
        instruments=_instruments(opened, what, instrument),
        time=asked.get("time", ""),
        note=asked.get("note", ""),
        uncertainty=asked.get("uncertainty", ""),
        passed=asked.get("passed", ""),
        back_href=address_of(base.run_href, asked),
    )


def _first_of(wished: tuple[str, ...], offered: tuple[str, ...]) -> str:
    return next((one for one in wished if one in offered), offered[0])


def _usual_ends(opened: Opened, what: str) -> tuple[str, str]:
    """Return where the list has a pressure first; where anything else was read last, or the list has it."""
    read = [
        (one.at, "") for run in opened.folded.run for one in run.reading if one.what == what and what not in PRESSURES
    ]
    return read[-1] if read else usual_place_of(what)


def _correction(desk: Desk, opened: Opened, run: Run, fact: str, asked: Mapping[str, str]) -> WritingView:
    reading = run.reading[index_of(opened, run, fact)]
    given = values_of(reading)
    figure, unit = parted(reading.typed)
    base = _base(desk, opened, run)
    instrument = asked.get("with", reading.instrument or "")
    return replace(
        base,
        label=desk.voice.say(N_("Correct: {reading}")).format(reading=short_name(reading, desk.voice)),
        what=reading.what,
        at=reading.at,
        against=reading.against or "",
        hole=reading.hole or "",
        instrument=instrument,
        value=figure,
        units=keys_of(reading.what, unit, desk.preferences.measures),
        instruments=_instruments(opened, reading.what, instrument),
        time=reading.time or "",
        note=remark_free(reading.note),
        uncertainty=given.get("uncertainty", ""),
        of=fact,
        why=asked.get("why", ""),
        back_href=base.run_href,
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
    kept = {name: asked[name] for name in ("free", "passed") if asked.get(name, "0") not in ("", "0", "yes")}
    return f"{run_href}?{urlencode(kept)}" if kept else run_href
