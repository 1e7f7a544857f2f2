"""Each fault of a sheet: found where it is, called what it is, with a remedy; all of them together."""

from typing import Any

import pytest

from drawthrough.errors import DrawthroughError
from drawthrough.visit import sheet
from drawthrough.visit.sheet import SheetError, SheetFault
from drawthrough.visit.sheet_fault import LONGEST

BASE = """\
complaint = "Weak air."

[site]
name = "House"
altitude = "1000 ft"

[system]
name = "Air handler"
arrangement = "draw-through"
motor = "psc"
coil_inside_taps = true
filter_place = "slot"
static_rated = "0.5 inwc"

[system.strips]
power = "9.6 kW"
volts = "240 V"

[[system.fan_table]]
speed = "high"
static = "0.1 0.2 0.3 0.4 inwc"
airflow = "1350 1320 1280 1240 cfm"

[[instrument]]
id = "manometer"
measures = "static"
accuracy = "1 % + 0.003 inwc"
resolution = "0.001 inwc"

[[instrument]]
id = "probe"
measures = "dry_bulb"
accuracy = "0.5 F"

[[run]]
id = "strips-found"
when = "as found"
mode = "strips"
speed = "high"
station_pressure = "28.9 inHg"
reading = [
    { what = "static", at = "return plenum", against = "room", value = "-0.1 inwc", with = "manometer" },
    { what = "dry_bulb", at = "return", value = "73.5 F", with = "probe" },
    { what = "wet_bulb", at = "return", value = "62.0 F", with = "probe" },
]

[[run]]
id = "zero-found"
when = "as found"
mode = "zero"
speed = "high"
zero_for = "strips-found"

  [[run.reading]]
  what = "dry_bulb"
  at = "supply"
  value = "75.1 F"
"""


def faults(text: str | bytes) -> tuple[SheetFault, ...]:
    """Return the faults of a sheet."""
    visit, found = sheet.examine(text, "base.toml")
    assert (visit is None) == bool(found)
    return found


def broken(old: str, new: str) -> SheetFault:
    """Return the one fault of the base sheet in which one text was replaced, after checking its line."""
    assert BASE.count(old) == 1, f"{old!r} stands {BASE.count(old)} times"
    text = BASE.replace(old, new)
    found = faults(text)
    assert len(found) == 1, [str(fault) for fault in found]
    fault = found[0]
    assert fault.file == "base.toml"
    assert fault.remedy
    first = BASE[: BASE.index(old)].count("\n") + 1
    assert fault.line is not None
    assert first <= fault.line <= first + max(new.count("\n"), old.count("\n"))
    return fault


def expect(fault: SheetFault, kind: str, place: str, read: str, *remedy: str) -> None:
    """Assert what a fault says."""
    assert (fault.kind, fault.place) == (kind, place)
    assert read in fault.read
    for part in remedy:
        assert part in fault.remedy
    shown = str(fault)
    assert shown.startswith(f"base.toml, line {fault.line}, {place}: {kind}")
    assert fault.remedy in shown


def test_base_has_none() -> None:
    """What the other tests break is whole."""
    assert faults(BASE) == ()


# --- values ---


def test_unknown_unit() -> None:
    """With the units there are, and the one that was probably meant."""
    fault = broken('"-0.1 inwc"', '"-0.1 inwcc"')
    expect(fault, "unknown unit", "run[1].reading[1].value", "inwcc", 'did you mean "inwc"?', "Pa", "psi")


def test_missing_unit_bare_number() -> None:
    """A bare number where a unit is needed."""
    fault = broken('value = "75.1 F"', "value = 75.1")
    expect(fault, "missing unit", "run[2].reading[1].value", "75.1", '"75.1 F"', "units of temperature are K, C, F")


def test_missing_unit_in_text() -> None:
    """A number in quotes without its unit."""
    fault = broken('altitude = "1000 ft"', 'altitude = "1000"')
    expect(fault, "missing unit", "site.altitude", '"1000"', '"1000 ft"', "units of length")


def test_wrong_quantity() -> None:
    """A unit of something else."""
    fault = broken('"-0.1 inwc"', '"-0.1 cfm"')
    expect(fault, "wrong quantity", "run[1].reading[1].value", "cfm", "cfm is a unit of airflow", "a static", "Pa")


def test_out_of_range() -> None:
    """With the limits in the unit that was typed."""
    fault = broken('"73.5 F"', '"735 F"')
    expect(fault, "out of range", "run[1].reading[2].value", "735 F", "between -99.67 and 260.3 F")


def test_not_a_number() -> None:
    """Words where a value should stand."""
    fault = broken('"73.5 F"', '"warm"')
    expect(fault, "not a number", "run[1].reading[2].value", "warm", "begin with a number")


@pytest.mark.parametrize("value", ["true", '["73.5 F"]', "{ f = 1 }", "2026-04-14"])
def test_not_even_a_value(value: str) -> None:
    """Another kind of thing where a value should stand."""
    fault = broken('value = "75.1 F"', f"value = {value}")
    expect(fault, "wrong shape", "run[2].reading[1].value", "", "one number with its unit")


def test_comma_as_decimal_point() -> None:
    """Commas stand between thousands only."""
    fault = broken('"-0.1 inwc"', '"-0,1 inwc"')
    expect(fault, "not a number", "run[1].reading[1].value", "-0,1", "decimals with a point")


@pytest.mark.parametrize("digits", ["9" * 400, "1e999", "9" * 5000])
def test_digits_without_end(digits: str) -> None:
    """No number is too long to be refused in an orderly way."""
    for fault in faults(BASE.replace('"75.1 F"', f'"{digits} F"')):
        assert fault.kind in ("out of range", "not a number")
        assert len(fault.read) <= LONGEST
    for fault in faults(BASE.replace('"75.1 F"', digits)):
        assert fault.kind in ("missing unit", "not a number", "not TOML")
    for fault in faults(BASE.replace('"75.1 F"', f'"{digits}/{digits} F"')):
        assert fault.kind in ("not a number", "unknown unit")


def test_infinite_and_not_a_number() -> None:
    """TOML knows both; no reading is either."""
    for value in ("inf", "nan"):
        text = BASE + f'\n[[run.reading]]\nwhat = "relative_humidity"\nat = "return"\nvalue = {value}\n'
        assert [fault.kind for fault in faults(text)] == ["out of range"]
        assert [fault.kind for fault in faults(BASE + f'\n[[price]]\nitem = "a"\namount = {value}\n')] == [
            "out of range"
        ]


# --- keys, tables, choices ---


def test_unknown_key() -> None:
    """With the one that was probably meant."""
    fault = broken('altitude = "1000 ft"', 'altitude = "1000 ft"\naltitud = "3 ft"')
    expect(fault, "unknown key", "site.altitud", "altitud", 'did you mean "altitude"?', "summer_hours")


def test_unknown_key_in_a_list_of_readings() -> None:
    """In the very line of the reading."""
    fault = broken('value = "62.0 F", with = "probe"', 'value = "62.0 F", width = "probe"')
    expect(fault, "unknown key", "run[1].reading[3].width", "width", 'did you mean "with"?')


def test_unknown_table() -> None:
    """A table that a sheet does not have."""
    fault = broken("[[run.reading]]", "[[readings]]")
    expect(fault, "unknown table", "readings", "readings", "here may stand", "run")


def test_run_without_when() -> None:
    """Before or after is never guessed."""
    text = BASE.replace('id = "zero-found"\nwhen = "as found"\n', 'id = "zero-found"\n')
    (fault,) = faults(text)
    expect(fault, "missing key", "run[2].when", "", "add when", '"as found", "as left"')
    assert text.split("\n")[(fault.line or 0) - 1] == "[[run]]"


def test_required_key_left_empty() -> None:
    """As in a blank sheet."""
    expect(broken('name = "House"', 'name = " "'), "missing key", "site.name", '" "', "fill it in")


def test_missing_table() -> None:
    """A sheet without a system."""
    text = BASE[: BASE.index("[system]")] + BASE[BASE.index("[[instrument]]") :].replace(
        "[[run.reading]]", "[[run.reading]]"
    )
    kinds = {(fault.kind, fault.place) for fault in faults(text)}
    assert ("missing table", "system") in kinds


def test_not_a_choice() -> None:
    """With all that may stand there."""
    fault = broken('motor = "psc"', 'motor = "constant torqe"')
    expect(fault, "not a choice", "system.motor", "constant torqe", 'did you mean "constant torque"?', '"psc"')


def test_choice_of_another_kind() -> None:
    """A number where a word is expected."""
    expect(broken('motor = "psc"', "motor = 3"), "not a choice", "system.motor", "3", '"psc"')


@pytest.mark.parametrize(
    ("old", "new", "place"),
    [
        ('name = "House"', "name = 5", "site.name"),
        ("coil_inside_taps = true", 'coil_inside_taps = "yes"', "system.coil_inside_taps"),
        ('volts = "240 V"', 'volts = "240 V"\nelements = "2"', "system.strips.elements"),
        ('resolution = "0.001 inwc"', 'zeroed = "08:45"', "instrument[1].zeroed"),
        ("[system.strips]", "[system.nameplate]\nhp = 2\n[system.strips]", "system.nameplate"),
    ],
)  # fmt: skip
def test_wrong_shape(old: str, new: str, place: str) -> None:
    """A text, a number, a switch or a list where another is expected."""
    expect(broken(old, new), "wrong shape", place, "", "write")


def test_one_bracket_too_few_and_one_too_many() -> None:
    """[[site]] for [site]; [run] for [[run]]."""
    text = BASE.replace("[site]", "[[site]]")
    (fault,) = faults(text)
    expect(fault, "wrong shape", "site", "", "one table, [site]")
    text = BASE[: BASE.index('[[run]]\nid = "zero')].replace("[[run]]", "[run]")
    assert {(fault.kind, fault.place) for fault in faults(text)} >= {("wrong shape", "run")}


def test_whole_number_out_of_range() -> None:
    """A filter has no MERV 80."""
    fault = broken('filter_place = "slot"', "filter_merv = 80")
    expect(fault, "out of range", "system.filter_merv", "80", "from 1 to 20")


def test_currency() -> None:
    """Three letters."""
    expect(
        broken('altitude = "1000 ft"', 'altitude = "1000 ft"\ncurrency = "$"'),
        "not a choice",
        "site.currency",
        "$",
        "USD",
    )


def test_unknown_quantity() -> None:
    """`what` is a name of the vocabulary."""
    fault = broken('what = "wet_bulb"', 'what = "wetbulb"')
    expect(fault, "unknown quantity", "run[1].reading[3].what", "wetbulb", 'did you mean "wet_bulb"?')


@pytest.mark.parametrize("value", ['"half past nine"', "5", '"2026"', '"25:10"', '"2026-13"'])
def test_not_a_time(value: str) -> None:
    """Neither a time of day nor a date."""
    fault = broken('speed = "high"\nstation', f'speed = "high"\nstart = {value}\nstation')
    expect(fault, "not a time", "run[1].start", value.strip('"'), "14:05")


def test_ends_before_it_starts() -> None:
    """Where both are full dates; a bare time may lie past midnight."""
    span = 'start = "2026-04-14 09:10"\nend = "2026-04-14 08:50"\n'
    fault = broken("station_pressure", f"{span}station_pressure")
    expect(fault, "ends before it starts", "run[1].end", "08:50", "09:10")
    assert faults(BASE.replace("station_pressure", 'start = "23:50"\nend = "00:20"\nstation_pressure')) == ()


# --- instruments ---


@pytest.mark.parametrize(
    ("accuracy", "remedy"),
    [
        ("5", "such as"),
        ('"1 % + 2 % of reading"', "one relative part only"),
        ('"0.5 F (k=9)"', "between 0.5 and 5"),
        ('"0.5 F + 2 digits"', "add a resolution"),
    ],
)
def test_not_an_accuracy(accuracy: str, remedy: str) -> None:
    """What a data sheet would not print."""
    expect(
        broken('accuracy = "0.5 F"', f"accuracy = {accuracy}"), "not an accuracy", "instrument[2].accuracy", "", remedy
    )


def test_percentage_of_what() -> None:
    """2 % of a relative humidity may be two points or a fiftieth."""
    text = BASE.replace('measures = "dry_bulb"\naccuracy = "0.5 F"', 'measures = "relative_humidity"\naccuracy = "2 %"')
    kinds = {fault.place: fault for fault in faults(text)}
    expect(kinds["instrument[2].accuracy"], "not an accuracy", "instrument[2].accuracy", "2 %", "of what", "2 % rh")


def test_accuracy_without_unit_and_below_zero() -> None:
    """The parts of an accuracy are quantities too."""
    place = "instrument[2].accuracy"
    expect(broken('accuracy = "0.5 F"', 'accuracy = "0.5"'), "missing unit", place, "0.5", "F")
    expect(broken('accuracy = "0.5 F"', 'accuracy = "-0.5 F"'), "out of range", place, "-0.5", "without a sign")
    expect(
        broken('resolution = "0.001 inwc"', 'resolution = "-1 Pa"'), "out of range", "instrument[1].resolution", "-1 Pa"
    )


@pytest.mark.parametrize(
    ("table", "old", "other"), [("instrument", "probe", "manometer"), ("run", "zero-found", "strips-found")]
)
def test_same_id(table: str, old: str, other: str) -> None:
    """Two instruments, or two runs, with one id: the line of the first is named."""
    text = BASE.replace(f'id = "{old}"', f'id = "{other}"')
    found = [fault for fault in faults(text) if fault.kind == "same id"]
    first = BASE[: BASE.index(f'id = "{other}"')].count("\n") + 1
    (fault,) = found
    expect(fault, "same id", f"{table}[2].id", other, f"line {first}")


def test_unknown_instrument() -> None:
    """With the one that was probably meant."""
    fault = broken('value = "62.0 F", with = "probe"', 'value = "62.0 F", with = "prob"')
    expect(fault, "unknown id", "run[1].reading[3].with", "prob", 'did you mean "probe"?', '"manometer"')


def test_wrong_instrument() -> None:
    """A manometer reads no temperature."""
    fault = broken('value = "62.0 F", with = "probe"', 'value = "62.0 F", with = "manometer"')
    expect(fault, "wrong instrument", "run[1].reading[3].with", "manometer", "measures static", "wet_bulb")


# --- runs ---


def test_unknown_zero_for() -> None:
    """A zero belongs to a strips run that is there."""
    fault = broken('zero_for = "strips-found"', 'zero_for = "strip-found"')
    expect(fault, "unknown id", "run[2].zero_for", "strip-found", 'did you mean "strips-found"?')


def test_zero_without_its_run() -> None:
    """A zero that belongs to nothing; something that is no zero and belongs."""
    (fault,) = faults(BASE.replace('zero_for = "strips-found"\n', ""))
    expect(fault, "zero without its run", "run[2]", "zero-found", '"strips-found"')
    (fault,) = faults(BASE.replace('mode = "zero"', 'mode = "fan"'))
    expect(fault, "zero without its run", "run[2].zero_for", "strips-found", "only a zero")


def test_zero_of_another_time() -> None:
    """A zero as left for a strips run as found."""
    text = BASE.replace('when = "as found"\nmode = "zero"', 'when = "as left"\nmode = "zero"')
    (fault,) = faults(text)
    expect(fault, "zero of another time", "run[2].zero_for", "strips-found", "as found", "as left")


def test_speed_spelled_otherwise() -> None:
    """A capital would lose the fan table without a word."""
    fault = broken('speed = "high"\nstation', 'speed = "High "\nstation')
    expect(fault, "speed spelled otherwise", "run[1].speed", "High", 'write "high"')


def test_no_runs() -> None:
    """Nothing to judge."""
    (fault,) = faults(BASE[: BASE.index("[[run]]")])
    assert fault.kind == "no runs"
    assert "[[run]]" in fault.remedy


def test_sea_level_barometer() -> None:
    """A weather report's pressure at 5,000 ft."""
    text = BASE.replace('"1000 ft"', '"5000 ft"').replace('"28.9 inHg"', '"29.9 inHg"')
    (fault,) = faults(text)
    expect(fault, "sea-level barometer", "run[1].station_pressure", "29.90 inHg", "near 24.90 inHg", "sea level")


def test_wet_bulb_above_dry_bulb() -> None:
    """At one place of one run."""
    fault = broken('"62.0 F"', '"74.0 F"')
    expect(fault, "wet bulb above dry bulb", "run[1].reading[3].value", "74.0 F", "73.5 F")


def test_wet_bulb_is_held_against_its_own_moment() -> None:
    """A dry bulb of the same time counts before one of another time; saturated air is no fault."""
    rows = (
        '    { what = "dry_bulb", at = "outdoor", value = "90 F", time = "09:00" },\n'
        '    { what = "dry_bulb", at = "outdoor", value = "70 F", time = "15:00" },\n'
        '    { what = "wet_bulb", at = "outdoor", value = "75 F", time = "TIME" },\n'
        '    { what = "wet_bulb", at = "supply", value = "75 F" },\n]\n'
    )
    at_nine, at_three = (BASE.replace("]\n\n[[run]]\nid = \"zero", rows.replace("TIME", t) + "\n[[run]]\nid = \"zero")
                         for t in ("09:00", "15:00"))  # fmt: skip
    assert faults(at_nine) == ()
    assert [fault.kind for fault in faults(at_three)] == ["wet bulb above dry bulb"]
    assert faults(BASE.replace('"62.0 F"', '"73.5 F"')) == ()


# --- fan tables ---


def test_table_rises() -> None:
    """A psc blower's table that rises by more than 3 % above 0.2 inwc; a constant-airflow one may."""
    fault = broken("1350 1320 1280 1240 cfm", "1350 1320 1380 1240 cfm")
    expect(fault, "table rises", "system.fan_table[1].airflow", "1320 cfm at 0.2 inwc, 1380 cfm at 0.3 inwc", "psc")
    text = BASE.replace("1350 1320 1280 1240 cfm", "1350 1320 1380 1240 cfm")
    assert [f.kind for f in faults(text.replace('"psc"', '"constant torque"'))] == ["table rises"]
    assert faults(text.replace('"psc"', '"constant airflow"')) == ()


def test_table_may_rise_a_little_and_at_low_static() -> None:
    """2 % are rounding; below 0.2 inwc a psc table may rise."""
    assert faults(BASE.replace("1350 1320 1280 1240 cfm", "1350 1320 1345 1240 cfm")) == ()
    assert faults(BASE.replace("1350 1320 1280 1240 cfm", "1200 1320 1280 1240 cfm")) == ()


def test_static_not_rising() -> None:
    """Two points the wrong way round, or one twice."""
    place = "system.fan_table[1].static"
    expect(
        broken("0.1 0.2 0.3 0.4 inwc", "0.1 0.3 0.2 0.4 inwc"),
        "static not rising",
        place,
        "0.3 inwc followed by 0.2 inwc",
    )
    expect(
        broken("0.1 0.2 0.3 0.4 inwc", "0.1 0.2 0.2 0.4 inwc"),
        "static not rising",
        place,
        "0.2 inwc followed by 0.2 inwc",
    )


def test_unequal_lengths() -> None:
    """Four statics, three airflows."""
    fault = broken("1350 1320 1280 1240 cfm", "1350 1320 1280 cfm")
    expect(fault, "unequal lengths", "system.fan_table[1].airflow", "4 statics, 3 airflows", "one airflow for each")


def test_table_too_short_and_empty_point() -> None:
    """One point is no curve; an airflow of zero is a maker's way to print a dash."""
    text = BASE.replace("0.1 0.2 0.3 0.4 inwc", "0.1 inwc").replace("1350 1320 1280 1240 cfm", "1350 cfm")
    assert [fault.kind for fault in faults(text)] == ["table too short"]
    fault = broken("1350 1320 1280 1240 cfm", "1350 1320 1280 0 cfm")
    expect(fault, "out of range", "system.fan_table[1].airflow", "0", "leave that point out")


@pytest.mark.parametrize(
    ("row", "kind"),
    [
        ("[0.1, 0.2, 0.3, 0.4]", "missing unit"),
        ('["0.1 inwc", "0.2 inwc", "0.3 inwc", "0.4 inwc"]', "wrong shape"),
        ('"0.1 0.2 0.3 0.4"', "missing unit"),
        ('"0.1 inwc 0.2 inwc 0.3 inwc 0.4 inwc"', "not a number"),
        ('"inwc"', "not a number"),
        ('"0.1 0.2 0.3 0.4 cfm"', "wrong quantity"),
        ('"0.1 0.2 0.3 400 inwc"', "out of range"),
    ],
)
def test_row_of_quantities(row: str, kind: str) -> None:
    """The one way in which a row is written."""
    fault = broken('static = "0.1 0.2 0.3 0.4 inwc"', f"static = {row}")
    expect(fault, kind, "system.fan_table[1].static", "")


# --- places and signs ---


def test_unknown_place() -> None:
    """Of a pressure, and of anything else."""
    fault = broken('at = "return plenum"', 'at = "return plenun"')
    expect(fault, "unknown place", "run[1].reading[1].at", "return plenun", 'did you mean "return plenum"?', '"room"')
    fault = broken('at = "supply"\n', 'at = "suply"\n')
    expect(fault, "unknown place", "run[2].reading[1].at", "suply", 'did you mean "supply"?', '"gas meter"')


def test_a_pressure_is_not_read_at_a_spot() -> None:
    """ "supply" is a place of a temperature, "supply plenum" one of a pressure."""
    fault = broken('at = "return plenum"', 'at = "supply"')
    expect(fault, "unknown place", "run[1].reading[1].at", "supply", 'did you mean "supply plenum"?')


def test_place_not_on_this_system() -> None:
    """No strips, no heater; a filter grille stands in the room; no filter at all; the grille belongs to the duct."""
    place = "run[1].reading[1].at"
    without = BASE[: BASE.index("[system.strips]")] + BASE[BASE.index("[[system.fan_table]]") :]
    without = without.replace('mode = "strips"', 'mode = "fan"')
    text = without.replace('at = "return plenum"', 'at = "after heater"')
    found = {fault.kind: fault for fault in faults(text)}
    expect(found["place not here"], "place not here", place, "after heater", "no heater", "[system.strips]")
    grille = BASE.replace('"slot"', '"grille"').replace('at = "return plenum"', 'at = "before filter"')
    (fault,) = faults(grille)
    expect(fault, "place not here", place, "before filter", "room")
    fault = broken('at = "return plenum"', 'at = "return grille"')
    expect(fault, "place not here", place, "return grille", "return plenum")
    (fault,) = faults(BASE.replace('"slot"', '"slot"\nfilter_places = 0').replace('"return plenum"', '"after filter"'))
    expect(fault, "place not here", place, "after filter", "filter_places = 0")


def test_strips_that_are_not_there() -> None:
    """Amps of strips on a system without."""
    without = BASE[: BASE.index("[system.strips]")] + BASE[BASE.index("[[system.fan_table]]") :]
    text = (
        without.replace('mode = "strips"', 'mode = "fan"')
        + '\n[[run.reading]]\nwhat = "amps"\nat = "strips"\nvalue = "40 A"\n'
    )
    found = [fault for fault in faults(text) if fault.kind == "place not here"]
    assert [fault.place for fault in found] == ["run[2].reading[2].at"]


def test_pressure_with_one_end() -> None:
    """A hose to the room and a hose to the other side are different readings."""
    fault = broken(', against = "room"', "")
    expect(fault, "one end", "run[1].reading[1]", "static", 'against = "room"')


def test_temperature_with_two_ends() -> None:
    """Only a pressure has two."""
    fault = broken('at = "return", value = "73.5 F"', 'at = "return", against = "supply", value = "73.5 F"')
    expect(fault, "two ends", "run[1].reading[2].against", "supply", "dry_bulb")


def test_same_ends() -> None:
    """Both hoses at one place."""
    fault = broken('against = "room"', 'against = "return plenum"')
    expect(fault, "same ends", "run[1].reading[1].against", "return plenum", "name the other one")


def test_sign_against_its_place() -> None:
    """Written out, on the suction side and on the other."""
    fault = broken('"-0.1 inwc"', '"+0.1 inwc"')
    expect(fault, "sign against place", "run[1].reading[1].value", "+0.1 inwc", "return plenum lies below room")
    text = BASE.replace('at = "return plenum"', 'at = "supply plenum"')
    (fault,) = faults(text)
    expect(fault, "sign against place", "run[1].reading[1].value", "-0.1 inwc", "supply plenum lies above room")


def test_sign_not_known() -> None:
    """Between two places with nothing between them a sign must be written."""
    text = BASE.replace('at = "return plenum", against = "room"', 'at = "after coil", against = "before blower"')
    assert faults(text) == ()
    (fault,) = faults(text.replace('"-0.1 inwc"', '"0.1 inwc"'))
    expect(fault, "sign not known", "run[1].reading[1].value", "0.1 inwc", "write + or -")


# --- files ---


def test_not_toml_with_its_line() -> None:
    """The commonest slip: a value with a unit, and no quotes."""
    fault = broken('value = "75.1 F"', "value = 75.1 F")
    assert (fault.kind, fault.read) == ("not TOML", "value = 75.1 F")
    assert "quotes" in fault.remedy


def test_key_twice() -> None:
    """What the TOML reader says is passed on, with its line."""
    text = BASE.replace('name = "House"', 'name = "House"\nname = "Home"')
    (fault,) = faults(text)
    assert (fault.kind, fault.line, fault.read) == ("not TOML", 5, 'name = "Home"')


def test_cut_off() -> None:
    """A file that ends in the middle of a list."""
    (fault,) = faults(BASE[: BASE.index(']\n\n[[run]]\nid = "zero')])
    assert fault.kind == "not TOML"
    assert fault.line is not None


@pytest.mark.parametrize("text", ["", "  \n\n", "# only a remark\n", b"", b"\xef\xbb\xbf"])
def test_empty_sheet(text: str | bytes) -> None:
    """Nothing, blanks, remarks."""
    (fault,) = faults(text)
    assert fault.kind == "empty sheet"
    assert "[site]" in fault.remedy


@pytest.mark.parametrize("data", [b"\x89PNG\r\n\x1a\n\x00\xff", b"name = \x00", BASE.encode("utf-16")])
def test_binary_file(data: bytes) -> None:
    """A picture; a null; another encoding."""
    (fault,) = faults(data)
    assert fault.kind == "not text"
    assert "UTF-8" in fault.remedy


@pytest.mark.parametrize("text", ["a = " + "[" * 100_000, "a = " + "{a=" * 50_000, "a = 1" + "0" * 5000, "[" * 100_000])
def test_without_end(text: str) -> None:
    """Brackets and digits without end."""
    assert faults(text)


def test_no_such_file(tmp_path: Any) -> None:
    """A name that is nowhere, and a folder."""
    for path in (tmp_path / "none.toml", tmp_path, "a\0b"):
        with pytest.raises(SheetError) as caught:
            sheet.load(path)
        (fault,) = caught.value.faults
        assert fault.kind == "no such file"


# --- all of them together ---


def test_all_faults_come_together_in_order_of_lines() -> None:
    """One reading of the file gives the whole list."""
    text = (
        BASE.replace('"1000 ft"', "1000")
        .replace('motor = "psc"', 'motor = "pcs"')
        .replace('"-0.1 inwc"', '"-0.1 xx"')
        .replace('"62.0 F"', '"99 F"')
        .replace('zero_for = "strips-found"', 'zero_for = "nothing"')
    )
    with pytest.raises(SheetError) as caught:
        sheet.read(text, "base.toml")
    found = caught.value.faults
    assert [fault.kind for fault in found] == [
        "missing unit", "not a choice", "unknown unit", "wet bulb above dry bulb", "unknown id",
    ]  # fmt: skip
    lines = [fault.line or 0 for fault in found]
    assert lines == sorted(lines)
    assert isinstance(caught.value, DrawthroughError)
    told = str(caught.value)
    assert told.startswith("5 faults in the sheet.")
    for fault in found:
        assert str(fault) in told


WAYS_OF_WRITING = """\
complaint = '''one
two [[run]]
it's three'''  # [[run]]
[site]
"name" = "a \\"House\\" # 1"
altitude = '1000 ft'
[ system ]
name = 'x'
arrangement = "draw-through"
motor = "psc"
coil_inside_taps = true
strips.power = "9 kW"
strips.volts = 240
[[run]]
id = '''a
b'''
when = "as found"
mode = "fan"
speed = "1"
reading = [ # ]
  {what = "dry_bulb", at = "return", value = "70 F"},

  {what = "dry_bulb", at = "return", value = 71}, # }
]
"""


def test_lines_hold_in_every_way_of_writing() -> None:
    """Inline lists over several lines, dotted and quoted keys, long strings, remarks with brackets in them."""
    text = WAYS_OF_WRITING
    found = {fault.place: fault.line for fault in faults(text)}
    lines = text.split("\n")
    assert found == {
        "system.strips.volts": 1 + next(i for i, line in enumerate(lines) if line.startswith("strips.volts")),
        "run[1].reading[2].value": 1 + next(i for i, line in enumerate(lines) if "= 71}" in line),
    }
