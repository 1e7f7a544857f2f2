"""What a person reads for the names of the house: quantities, places, choices, the keys of a form, and readings."""

import typing
from collections.abc import Iterator

import msgspec

from drawthrough import vocabulary
from drawthrough.judge import judgement
from drawthrough.report.labels import part
from drawthrough.report.phrase import capital
from drawthrough.report.voice import ENGLISH, N_, Voice
from drawthrough.visit import state
from drawthrough.visit.meaning import MEANING

# Where the name of a quantity, its underscores taken out, is not what a technician would say.
QUANTITY: dict[str, str] = {
    "outdoor": N_("outdoor dry bulb"),
    "speed": N_("wheel speed"),
    "power": N_("true power"),
    "blower_power": N_("blower watts"),
    "rise": N_("temperature rise"),
    "split": N_("temperature split"),
    "gauge_pressure": N_("gauge pressure"),
    "gas_flow": N_("gas flow"),
    "frequency": N_("line frequency"),
    "pressure": N_("station pressure"),
    "strength": N_("blower against clean"),
}

# Short labels of a form's keys, where a key says the same in every table.
LABELS: dict[str, str] = {
    "complaint": N_("Complaint, in the customer's words"),
    "site": N_("Site"),
    "system": N_("System"),
    "instrument": N_("Instruments"),
    "run": N_("Runs"),
    "work": N_("Work"),
    "pattern": N_("Marks of dirt"),
    "gap": N_("Gaps"),
    "price": N_("Prices"),
    "name": N_("Name"),
    "note": N_("Note"),
    "id": N_("Name to call it by"),
    "when": N_("As found or as left"),
    "volts": N_("Volts"),
    "altitude": N_("Altitude"),
    "currency": N_("Currency"),
    "electricity_price": N_("Price of electricity"),
    "summer_hours": N_("Hours of cooling in a season"),
    "arrangement": N_("Blower and coil"),
    "motor": N_("Blower motor"),
    "coil_inside_taps": N_("Coil between the two static holes"),
    "filter_place": N_("Place of the filter"),
    "filter_places": N_("Filters in the air's way"),
    "filter_merv": N_("MERV of the filter"),
    "motor_original": N_("Motor is the maker's own"),
    "label_altered": N_("A label was altered"),
    "airflow_limit_static": N_("Airflow is held up to"),
    "total_capacity_rated": N_("Rated total cooling"),
    "sensible_heat_ratio_rated": N_("Rated sensible heat ratio"),
    "airflow_rated": N_("Rated airflow"),
    "static_rated": N_("Maximum external static"),
    "volts_rated": N_("Rated voltage"),
    "refrigerant": N_("Refrigerant"),
    "metering": N_("Metering device"),
    "trap_drop": N_("Trap: drop"),
    "trap_seal": N_("Trap: seal"),
    "strips": N_("Strip heat"),
    "capacitor": N_("Run capacitor"),
    "fan_table": N_("Fan table"),
    "nameplate": N_("Other labels"),
    "power": N_("Power of the whole kit"),
    "elements": N_("Elements"),
    "capacitance": N_("Microfarads, as printed"),
    "tolerance": N_("Tolerance, as printed"),
    "static": N_("External static"),
    "airflow": N_("Airflow"),
    "coil": N_("Coil in the rated cabinet"),
    "heater": N_("Heater kit in the rated cabinet"),
    "flow_basis": N_("Standard or actual cfm"),
    "measures": N_("What it reads"),
    "accuracy": N_("Accuracy"),
    "resolution": N_("Smallest step"),
    "zeroed": N_("Zeroed at"),
    "calibrated": N_("Calibrated on"),
    "mode": N_("What runs"),
    "speed": N_("Speed"),
    "start": N_("Start"),
    "end": N_("End"),
    "lead": N_("Speed lead"),
    "wetness": N_("Coil"),
    "doors_on": N_("All doors and panels on"),
    "filter": N_("Filter"),
    "station_pressure": N_("Station pressure"),
    "also_heats": N_("What else heats or cools"),
    "zero_for": N_("Zero of the run"),
    "reading": N_("Readings"),
    "what": N_("What was read"),
    "at": N_("Where"),
    "against": N_("Against"),
    "value": N_("Value with unit"),
    "with": N_("Instrument"),
    "time": N_("Time"),
    "uncertainty": N_("Standard uncertainty"),
    "hole": N_("Hole"),
    "typed": N_("As typed"),
    "part": N_("Part"),
    "action": N_("What was done"),
    "condition": N_("Condition as left"),
    "colour": N_("Colour"),
    "function": N_("What it does"),
    "origin": N_("Comes from"),
    "terminal": N_("Lands on"),
    "where": N_("Where"),
    "compartment": N_("Compartment it lets air into"),
    "opens_to": N_("Opens to"),
    "width": N_("Width"),
    "length": N_("Length"),
    "depth": N_("Depth"),
    "bends": N_("Bends"),
    "sealed": N_("Sealed on this visit"),
    "surface": N_("Surface"),
    "dirt": N_("Dirt"),
    "photo": N_("Photo"),
    "item": N_("Item"),
    "amount": N_("Amount"),
    "job": N_("What is to be done"),
    "change": N_("Changes of the wiring that are meant"),
    "seat": N_("How motor and wheel sit"),
    "run_capacitor": N_("Run capacitor in the hand"),
    "mark": N_("Tag"),
    "role": N_("What the rules take it for"),
    "kind": N_("Kind"),
    "proved_dead": N_("Proved dead by test"),
    "holds": N_("Leads that it takes"),
    "to": N_("Speed lead that becomes live"),
    "lead_exit": N_("Where the leads leave the motor"),
    "clearance_motor_side": N_("Clearance, motor's side"),
    "clearance_far_side": N_("Clearance, far side"),
    "run_out_motor_side": N_("Wobble, motor's side"),
    "run_out_far_side": N_("Wobble, far side"),
    "weights": N_("Balance weights"),
    "set_screw": N_("Set screw"),
    "rotation": N_("Turns, seen from the motor's end"),
    "crew": N_("People at work"),
    "scope": N_("What the visit is for"),
    "extra": N_("Done while it is open"),
    "without": N_("Left out"),
    "chemical": N_("What is sprayed"),
    "use": N_("Sprayed on"),
    "water_parts": N_("Parts of water to one of cleaner"),
    "sprayer_volume": N_("What the sprayer holds"),
    "fills": N_("Fillings"),
    "dwell_least": N_("Stays at least, by the label"),
    "dwell_most": N_("Stays at most, by the label"),
    "capacitance_read": N_("Microfarads, as measured"),
    "code": N_("Date code or serial number"),
}
# And where it says something of its own in one of them.
LABELS_IN: dict[tuple[str, str], str] = {
    ("Visit", "lead"): N_("Leads"),
    ("FanTable", "filter"): N_("Filter in the rated cabinet"),
    ("FanTable", "volts"): N_("Volts of the table"),
    ("Strips", "volts"): N_("Volts of that power"),
    ("Run", "when"): N_("Before or after the work"),
    ("Lead", "when"): N_("Before or after the work"),
    ("Visit", "terminal"): N_("Terminals"),
    ("Terminal", "part"): N_("Part that it is on"),
    ("Change", "lead"): N_("Speed lead that was live"),
    ("Seat", "when"): N_("Before or after the work"),
    ("CapacitorSeen", "when"): N_("The one found, or the one left"),
}

# A place as it stands within a name, after what is read there.
AT: dict[str, str] = {
    "room": N_("in the room"),
    "return grille": N_("behind the return grille"),
    "return plenum": N_("in the return plenum"),
    "before filter": N_("before the filter"),
    "after filter": N_("after the filter"),
    "before coil": N_("before the coil"),
    "after coil": N_("after the coil"),
    "before blower": N_("before the blower"),
    "after blower": N_("after the blower"),
    "before heater": N_("before the heater"),
    "after heater": N_("after the heater"),
    "supply plenum": N_("in the supply plenum"),
}
# Two places that have one part between them.
ACROSS: dict[frozenset[str], str] = {
    frozenset(("before filter", "after filter")): N_("Drop across the filter"),
    frozenset(("before coil", "after coil")): N_("Drop across the coil"),
    frozenset(("before heater", "after heater")): N_("Drop across the heater"),
    frozenset(("before blower", "after blower")): N_("Rise across the blower"),
}
STATIC_AT = N_("Static {at}")
AGAINST_ROOM = N_("Static {at}, against the room")
LESS_THAT = N_("Static {at}, less that {against}")
DROP = N_("Drop, {at} to {against}")
AT_PLACE = N_("{what}, {at}")
AT_HOLE = N_("{reading}, hole {hole}")

# What a reading is called for which quantity and place together have a word of their own.
READINGS: dict[tuple[str, str], str] = {
    ("dry_bulb", "return"): N_("Dry bulb, return"),
    ("dry_bulb", "supply"): N_("Dry bulb, supply"),
    ("dry_bulb", "supply far"): N_("Dry bulb, supply, second point"),
    ("dry_bulb", "outdoor"): N_("Dry bulb, outdoors"),
    ("dry_bulb", "around cabinet"): N_("Dry bulb around the cabinet"),
    ("wet_bulb", "return"): N_("Wet bulb, return"),
    ("wet_bulb", "supply"): N_("Wet bulb, supply"),
    ("relative_humidity", "return"): N_("Relative humidity, return"),
    ("relative_humidity", "supply"): N_("Relative humidity, supply"),
    ("speed", "blower"): N_("Wheel speed"),
    ("blower_power", "blower"): N_("Blower watts"),
    ("amps", "blower"): N_("Blower amps"),
    ("volts", "line"): N_("Line voltage"),
    ("frequency", "line"): N_("Line frequency"),
    ("volts", "strips"): N_("Volts at the strips"),
    ("amps", "strips"): N_("Amps of the strips"),
    ("power", "strips"): N_("Watts of the strips"),
    ("resistance", "strip element"): N_("Ohms of a strip element"),
    ("volts", "capacitor"): N_("Volts across the capacitor"),
    ("amps", "capacitor"): N_("Amps in the capacitor's lead"),
    ("capacitance", "capacitor"): N_("Capacitor on a meter"),
    ("power", "outdoor unit"): N_("Watts of the outdoor unit"),
    ("amps", "outdoor unit"): N_("Amps of the outdoor unit"),
    ("gauge_pressure", "suction line"): N_("Suction pressure"),
    ("gauge_pressure", "liquid line"): N_("Liquid pressure"),
    ("temperature", "suction line"): N_("Suction line temperature"),
    ("temperature", "liquid line"): N_("Liquid line temperature"),
    ("gas_flow", "gas meter"): N_("Gas flow at the meter"),
    ("heating_value", "gas meter"): N_("Heating value of the gas"),
    ("combustion_efficiency", "gas meter"): N_("Combustion efficiency"),
    ("airflow", "grille"): N_("Airflow at a return grille"),
    ("airflow", "register"): N_("Airflow at a register"),
    ("airflow", "filter slot"): N_("Airflow at the filter slot"),
}


def quantity_name(name: str, voice: Voice = ENGLISH) -> str:
    """Return what a quantity of the vocabulary is called; one that it does not hold is told as it stands."""
    return voice.say(QUANTITY.get(name, name.replace("_", " ")))


def field_label(name: str, voice: Voice = ENGLISH, table: str = "") -> str:
    """Return the short label of a form's key, for a table's own meaning of it where the table is given."""
    known = LABELS_IN.get((table, name)) or LABELS.get(name)
    return voice.say(known) if known is not None else capital(quantity_name(name, voice))


def field_help(table: str, name: str, voice: Voice = ENGLISH) -> str:
    """Return the line that says what a key of a table means."""
    return voice.say(MEANING[table][name])


_WRITTEN = {"psc": "PSC", "scfm": "scfm", "acfm": "acfm"}  # abbreviations of the trade, the same in every language


def code_name(code: str, voice: Voice = ENGLISH) -> str:
    """Return what a choice, a place or a standing is called."""
    return _WRITTEN.get(code) or part(code, voice)


def reading_name(reading: state.Reading | judgement.ReadingStanding, voice: Voice = ENGLISH) -> str:
    """Return what a technician would call a reading: "Static after the filter, against the room"."""
    name = _reading_name(reading, voice)
    hole = reading.hole if isinstance(reading, state.Reading) else None
    return voice.say(AT_HOLE, reading=name, hole=hole) if hole else name


def short_name(reading: state.Reading, voice: Voice = ENGLISH) -> str:
    """Return what a reading is called where it is plain that a static is read against the room."""
    if reading.what == "static" and reading.against == "room" and not reading.hole:
        return voice.say(STATIC_AT, at=voice.say(AT.get(reading.at, reading.at)))
    return reading_name(reading, voice)


def _reading_name(reading: state.Reading | judgement.ReadingStanding, voice: Voice) -> str:
    at = reading.at
    if reading.against is not None:
        across = ACROSS.get(frozenset((at, reading.against)))
        if across is not None:
            return voice.say(across)
        placed = voice.say(AT.get(at, at))
        if reading.against == "room":
            return voice.say(AGAINST_ROOM, at=placed)
        if reading.what == "pressure_drop":
            return voice.say(DROP, at=voice.say(at), against=voice.say(reading.against))
        return voice.say(LESS_THAT, at=placed, against=voice.say(AT.get(reading.against, reading.against)))
    known = READINGS.get((reading.what, at))
    if known is not None:
        return voice.say(known)
    return voice.say(AT_PLACE, what=capital(quantity_name(reading.what, voice)), at=voice.say(at))


def codes() -> Iterator[str]:
    """Yield every word that a field of a visit or of a judgement chooses from."""
    for module in (state, judgement):
        for value in vars(module).values():
            if typing.get_origin(value) is typing.Literal:
                yield from typing.get_args(value)
            elif isinstance(value, type) and issubclass(value, msgspec.Struct):
                for field in msgspec.structs.fields(value):
                    yield from _choices(field.type)


def _choices(kind: object) -> Iterator[str]:
    if typing.get_origin(kind) is typing.Literal:
        yield from typing.get_args(kind)
    else:
        for inner in typing.get_args(kind):
            yield from _choices(inner)


def messages() -> Iterator[str]:
    """Yield the words for everything that is named here, and the meanings that forms show as help."""
    yield from codes()
    for name in vocabulary.QUANTITIES:
        yield name.replace("_", " ")
        yield QUANTITY.get(name, name.replace("_", " "))
    for table in MEANING.values():
        yield from table.values()
