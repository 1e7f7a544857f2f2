"""A sheet becomes a Visit: values in SI, signs from places, accuracies as data sheets print them; and back again."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawthrough import units, vocabulary
from drawthrough.units import CFM, INWC
from drawthrough.visit import sheet, sheet_values, state
from drawthrough.visit.air_place import SIGN_FROM_PLACE, SIGN_TURNED, SPOT_PLACES, Layout, places, sign_between
from drawthrough.visit.form import PRESSURES, keys
from drawthrough.visit.sheet import sheet_text
from drawthrough.visit.sheet_blank import blank
from drawthrough.visit.sheet_fault import Refused

HEAD = """\
[site]
name = "House"
altitude = "1000 ft"
electricity_price = "0.17 /kWh"
summer_hours = "900 h"

[system]
name = "Air handler"
arrangement = "draw-through"
motor = "psc"
coil_inside_taps = true
strips = { power = "9.6 kW", volts = "240 V" }

[[instrument]]
id = "manometer"
measures = "static"
accuracy = "1 % + 0.005 inwc"

[[run]]
id = "fan"
when = "as found"
mode = "fan"
speed = 4
"""


def read_one(row: str, head: str = HEAD) -> state.Reading:
    """Return the reading that one row of a list becomes."""
    return sheet.read(f"{head}reading = [{{ {row} }}]\n").run[0].reading[0]


def pressure(value: str, at: str, against: str, what: str = "static") -> state.Reading:
    """Return a pressure as read."""
    return read_one(f'what = "{what}", at = "{at}", against = "{against}", value = "{value}"')


def test_values_are_si() -> None:
    """Exactly the factors of the units."""
    visit = sheet.read(HEAD)
    assert visit.site.altitude == 1000 * 0.3048
    assert visit.site.electricity_price == pytest.approx(0.17 / 3.6e6, rel=1e-15)
    assert visit.site.summer_hours == 900 * 3600.0
    assert visit.system.strips == state.Strips(power=9600.0, volts=240.0)
    assert visit.run[0].speed == "4"


def test_the_hand_is_kept() -> None:
    """What was typed stays beside the value, fraction, spelling and all."""
    reading = read_one('what = "dry_bulb", at = "return", value = "73 1/2 degF"')
    assert reading.typed == "73 1/2 degF"
    assert reading.value == pytest.approx((73.5 + 459.67) * 5 / 9, rel=1e-15)
    assert read_one('what = "relative_humidity", at = "return", value = 0.45').value == 0.45
    assert read_one('what = "relative_humidity", at = "return", value = "45 %"').value == pytest.approx(0.45, rel=1e-15)


def test_with_is_the_instrument() -> None:
    """The one key that a hand writes otherwise than the state calls it."""
    reading = read_one('what = "static", at = "after coil", against = "room", value = "-100 Pa", with = "manometer"')
    assert reading.instrument == "manometer"


def test_both_ways_of_writing_readings_are_one() -> None:
    """A list of rows, or a table for each."""
    table = HEAD + '\n  [[run.reading]]\n  what = "volts"\n  at = "line"\n  value = "240 V"\n'
    assert sheet.read(table) == sheet.read(HEAD + 'reading = [{ what = "volts", at = "line", value = "240 V" }]')


def test_fan_table_row() -> None:
    """Numbers, then the unit once; commas, thousands and a unit of two words."""
    row = '\n[[system.fan_table]]\nspeed = "high"\nstatic = "{}"\nairflow = "{}"\n'
    for static, airflow in (("0.1 0.2 inwc", "1200 1100 cfm"), (".1, .2 in. w.c.", "1,200, 1,100 ft3/min")):
        (table,) = sheet.read(HEAD + row.format(static, airflow)).system.fan_table
        assert table.static == (0.1 * INWC, 0.2 * INWC)
        assert table.airflow == (1200 * CFM, 1100 * CFM)


def test_times_are_kept_as_written() -> None:
    """Texts, and TOML's own times and dates."""
    extra = 'start = 2026-04-14T09:10:00\nend = "2026-04-14 09:36"\n[[price]]\nitem = "a"\namount = 5\n'
    run = sheet.read(HEAD + extra).run[0]
    assert (run.start, run.end) == ("2026-04-14T09:10:00", "2026-04-14 09:36")


def test_bytes_with_a_mark_and_foreign_line_ends() -> None:
    """As some editors save them."""
    assert sheet.read(b"\xef\xbb\xbf" + HEAD.replace("\n", "\r\n").encode()) == sheet.read(HEAD)


# --- accuracy ---


@pytest.mark.parametrize(
    ("text", "measures", "expected"),
    [
        ("1 % + 0.005 inwc", "static", (0.01, 0.005 * INWC, None)),
        ("0.005 inwc + 1 % of reading", "static", (0.01, 0.005 * INWC, None)),
        ("+-1 % + 0.005 inwc", "static", (0.01, 0.005 * INWC, None)),
        ("0.5 F (k=2)", "dry_bulb", (0.0, 0.5 * 5 / 9, 2.0)),
        ("± 0.5 F, k = 2", "dry_bulb", (0.0, 0.5 * 5 / 9, 2.0)),
        ("0.3 K", "wet_bulb", (0.0, 0.3, None)),
        ("0.8 % + 2 digits", "volts", (0.008, 0.2, None)),
        ("0.8 % rdg + 0.3 V + 2 dgt", "volts", (0.008, 0.5, None)),
        ("2 % rh", "relative_humidity", (0.0, 0.02, None)),
        ("2 % of reading", "relative_humidity", (0.02, 0.0, None)),
        ("0.02", "relative_humidity", (0.0, 0.02, None)),
        ("2 rpm", "speed", (0.0, 2 / 60, None)),
        ("1 psi", "gauge_pressure", (0.0, units.PSI, None)),
        ("1e-2 of reading + 1e+1 Pa", "static", (0.01, 10.0, None)),
    ],
)
def test_accuracy(text: str, measures: str, expected: tuple[float, float, float | None]) -> None:
    """As data sheets print it; of a temperature the absolute part is a difference."""
    found = sheet_values.accuracy(text, measures, 0.1)
    assert found[:2] == pytest.approx(expected[:2], rel=1e-12)
    assert found.coverage == expected[2]


# --- signs ---


@pytest.mark.parametrize("value", ["0.31 inwc", "-0.31 inwc", "\u22120.31 inwc"])
def test_suction_lies_below_the_room(value: str) -> None:
    """With or without its minus; without, the note says so."""
    reading = pressure(value, "after coil", "room")
    assert reading.value == -0.31 * INWC
    assert reading.typed == value
    assert reading.note == ("" if value[0] in "-\u2212" else SIGN_FROM_PLACE)


def test_note_of_the_hand_is_kept() -> None:
    """The remark comes after it, and once only."""
    row = 'what = "static", at = "after coil", against = "room", value = "0.31 inwc", note = "second hole"'
    visit = sheet.read(f"{HEAD}reading = [{{ {row} }}]")
    assert visit.run[0].reading[0].note == f"second hole {SIGN_FROM_PLACE}"
    assert sheet.read(sheet_text(visit)) == visit


@pytest.mark.parametrize(
    ("at", "against", "sign"),
    [
        ("room", "return plenum", 1),
        ("return plenum", "after filter", 1),
        ("after filter", "before filter", -1),
        ("before coil", "after coil", 1),
        ("supply plenum", "return plenum", 1),
        ("return plenum", "supply plenum", -1),
        ("after blower", "supply plenum", 1),
        ("supply plenum", "room", 1),
        ("after coil", "before blower", 0),
        ("before filter", "return plenum", 0),
    ],
)
def test_sign_between_places(at: str, against: str, sign: int) -> None:
    """Draw-through, filter in a slot, strips."""
    assert sign_between(Layout("draw-through", "slot", 1, True), at, against) == sign


def test_coil_after_the_blower_lies_above_the_room() -> None:
    """Blow-through: what was suction is pressure."""
    assert sign_between(Layout("blow-through", "slot", 1, True), "before coil", "room") == 1
    assert sign_between(Layout("draw-through", "slot", 1, True), "before coil", "room") == -1


def test_nothing_lies_where_no_heater_is() -> None:
    """Without strips the supply plenum is the place after the blower."""
    assert sign_between(Layout("draw-through", "slot", 1, False), "after blower", "supply plenum") == 0


@given(
    arrangement=st.sampled_from(("draw-through", "blow-through")),
    filter_place=st.sampled_from(("slot", "grille")),
    filters=st.integers(0, 2),
    heater=st.booleans(),
    data=st.data(),
)
@pytest.mark.property
def test_sign_turns_with_the_ends(arrangement: str, filter_place: str, filters: int, heater: bool, data: Any) -> None:
    """For every system and any two of its places."""
    layout = Layout(arrangement, filter_place, filters, heater)
    ends = st.sampled_from(places(layout))
    at, against = data.draw(ends), data.draw(ends)
    assert sign_between(layout, at, against) == -sign_between(layout, against, at)


def test_drop_with_the_hoses_swapped() -> None:
    """A drop is what it is: turned, and the note says so. A static would be a fault."""
    reading = pressure("-0.15 inwc", "after filter", "after coil", "pressure_drop")
    assert reading.value == 0.15 * INWC
    assert reading.note == SIGN_TURNED
    reading = pressure("0.15 inwc", "after coil", "after filter", "pressure_drop")
    assert reading.value == -0.15 * INWC
    assert reading.note == SIGN_FROM_PLACE


def test_near_zero_a_sign_is_believed() -> None:
    """It may be noise; up to 0.01 inwc."""
    assert pressure("+0.008 inwc", "return plenum", "room").value == 0.008 * INWC
    with pytest.raises(sheet.SheetError):
        pressure("+0.012 inwc", "return plenum", "room")


# --- back to text ---


def text_of(least: int = 0) -> st.SearchStrategy[str]:
    """Any text that TOML can hold, control characters included."""
    words = st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\0"), min_size=least, max_size=12)
    return words.filter(lambda text: len(text.strip()) >= least)


def quantity_of(name: str, least: float | None = None) -> st.SearchStrategy[float]:
    """Any value within a quantity's range."""
    row = vocabulary.quantity_of(name)
    return st.floats(row.low if least is None else least, row.high)


def maybe(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    """The value or None."""
    return st.none() | strategy


clock = st.times().map(lambda time: time.isoformat()) | st.datetimes().map(lambda moment: moment.isoformat(" "))
day = st.dates().map(str) | st.just("2026-04")


@st.composite
def filled(draw: Any, table: type[Any], **given_fields: Any) -> Any:
    """Any structure that a sheet can give, from its form; fields that hang together are handed in."""
    made: dict[str, Any] = {}
    for key in keys(table).values():
        if key.field in given_fields or (not key.required and draw(st.booleans())):
            continue
        if key.sort == "text":
            made[key.field] = draw(text_of(1 if key.required else 0))
        elif key.sort == "choice":
            made[key.field] = draw(st.sampled_from(key.choices))
        elif key.sort == "whole":
            made[key.field] = draw(st.integers(*key.limits))
        elif key.sort == "switch":
            made[key.field] = draw(st.booleans())
        elif key.sort == "number":
            made[key.field] = draw(st.floats(-1e12, 1e12))
        elif key.sort == "quantity":
            made[key.field] = draw(quantity_of(key.quantity))
        elif key.sort == "moment":
            made[key.field] = draw(clock | day)
        elif key.sort == "moments":
            made[key.field] = tuple(draw(st.lists(clock, max_size=2)))
        elif key.sort == "texts":
            made[key.field] = draw(st.dictionaries(text_of(), text_of(), max_size=2))
        elif key.sort == "accuracy":
            made["accuracy_relative"] = draw(st.floats(0, 1))
            made["accuracy_absolute"] = draw(st.floats(0, 1e6))
            made["coverage"] = draw(maybe(st.floats(0.5, 5)))
    for name, value in given_fields.items():
        drawn = draw(value)
        if drawn is not None:
            made[name] = drawn
    return table(**made)


fan_tables = st.lists(
    st.tuples(quantity_of("static"), quantity_of("airflow", 1e-3)), min_size=2, max_size=5, unique_by=lambda row: row[0]
).flatmap(
    lambda rows: filled(
        state.FanTable,
        static=st.just(tuple(sorted(row[0] for row in rows))),
        airflow=st.just(tuple(sorted((row[1] for row in rows), reverse=True))),
        speed=st.sampled_from(("high", "low")),
    )
)
instruments = st.sampled_from(sorted(vocabulary.QUANTITIES)).flatmap(
    lambda name: filled(state.Instrument, id=st.uuids().map(str), measures=st.just(name), resolution=st.floats(0, 1e6))
)


@st.composite
def readings(draw: Any, layout: Layout) -> state.Reading:
    """A reading that a sheet can give: typed by a hand, or stated in SI by a program."""
    what = draw(st.sampled_from(sorted(vocabulary.QUANTITIES)))
    against = None
    value = draw(quantity_of(what))
    if what in PRESSURES:
        here = places(layout)
        at, against = draw(st.lists(st.sampled_from(here), min_size=2, max_size=2, unique=True))
        sign = sign_between(layout, at, against)
        value = abs(value) * sign if sign else value
    else:
        at = draw(st.sampled_from([spot for spot in SPOT_PLACES if layout.heater or not spot.startswith("strip")]))
    typed = draw(text_of())
    if what not in PRESSURES and draw(st.booleans()):
        dimension = vocabulary.quantity_of(what).dimension
        typed = f"{value!r} {units.si_unit(dimension)}"
    return draw(
        filled(
            state.Reading,
            what=st.just(what),
            at=st.just(at),
            against=st.just(against),
            value=st.just(value),
            typed=st.just(typed),
            instrument=st.none(),
            uncertainty=maybe(st.floats(0, 1e3)),
        )
    )


@st.composite
def visits(draw: Any) -> state.Visit:
    """Any visit that a sheet can give."""
    strips = draw(maybe(filled(state.Strips)))
    tables = tuple(draw(st.lists(fan_tables, max_size=2)))
    system = draw(
        filled(
            state.System,
            strips=st.just(strips),
            fan_table=st.just(tables),
            capacitor=maybe(filled(state.Capacitor)),
        )
    )
    heater = system.arrangement == "blow-through" or strips is not None or any(t.heater == "in" for t in tables)
    layout = Layout(system.arrangement, system.filter_place, system.filter_places, heater)
    runs = []
    for index in range(draw(st.integers(1, 3))):
        run = filled(
            state.Run,
            id=st.just(f"run {index}"),
            mode=st.sampled_from(("fan", "cooling")),
            speed=st.sampled_from(("high", "low", "other")),
            start=maybe(clock),
            end=st.none(),
            zero_for=st.none(),
            station_pressure=st.none(),
            reading=st.lists(
                readings(layout).filter(lambda reading: reading.what not in ("wet_bulb", "dry_bulb")), max_size=3
            ).map(tuple),
        )
        runs.append(draw(run))
    site = filled(state.Site, currency=st.sampled_from(("USD", "EUR", None)))
    rows = {
        name: st.lists(filled(table), max_size=2).map(tuple)
        for name, table in (
            ("work", state.Work), ("lead", state.Lead), ("gap", state.Gap), ("pattern", state.Pattern),
            ("price", state.Price),
        )
    }  # fmt: skip
    return draw(
        filled(
            state.Visit,
            site=site,
            system=st.just(system),
            run=st.just(tuple(runs)),
            instrument=st.lists(instruments, max_size=2).map(tuple),
            **rows,
        )
    )


@pytest.mark.property
@given(visit=visits())
def test_round_trip(visit: state.Visit) -> None:
    """Every visit that a sheet can give comes back the same, to the last digit and letter."""
    assert sheet.read(sheet_text(visit)) == visit


@pytest.mark.property
@settings(max_examples=200)
@given(data=st.data())
def test_round_trip_of_quantities(data: Any) -> None:
    """Whatever unit the writer chooses."""
    from drawthrough.visit.sheet_text import quantity_text

    name = data.draw(st.sampled_from(sorted(vocabulary.QUANTITIES)))
    row = vocabulary.quantity_of(name)
    round_ones = st.integers(0, 2000).map(lambda n: max(row.low, n * row.high / 2000))
    value = data.draw(st.floats(row.low, row.high) | round_ones)
    assert sheet_values.quantity(quantity_text(value, name), name) == value


def test_written_as_a_hand_would() -> None:
    """Units of the trade, few digits, nothing that is a default."""
    text = sheet_text(sheet.read(HEAD))
    for line in ('altitude = "1000 ft"', 'power = "9600 W"', 'accuracy = "1 % + 0.005 inwc"', 'summer_hours = "900 h"'):
        assert f"\n{line}\n" in text
    assert "doors_on" not in text
    assert "note" not in text


def test_blank_sheet_names_every_key_and_lacks_only_what_is_needed() -> None:
    """Filling in what is empty is all that has to be done."""
    text = blank()
    visit, found = sheet.examine(text)
    assert visit is None
    assert {fault.kind for fault in found} == {"missing key"}
    for table in (state.Site, state.System, state.FanTable, state.Instrument, state.Run, state.Reading, state.Gap):
        for key in keys(table).values():
            assert key.name in text
            assert key.meaning in text
    filled_in = text
    for line in ('name = ""', 'id = ""', 'speed = ""'):
        filled_in = filled_in.replace(f"\n{line}", f'\n{line[:-2]}"x"')
    for old, new in (
        ('altitude = ""', 'altitude = "10 ft"'), ('arrangement = ""', 'arrangement = "draw-through"'),
        ('motor = ""', 'motor = "psc"'), ('coil_inside_taps = ""', "coil_inside_taps = true"),
        ('\nwhen = ""', '\nwhen = "as left"'), ('mode = ""', 'mode = "fan"'),
    ):  # fmt: skip
        filled_in = filled_in.replace(old, new, 1)
    assert sheet.read(filled_in).run[0].when == "as left"


@pytest.mark.parametrize("raw", [None, 5.0, [], {}])
def test_quantity_refuses_what_is_no_value(raw: Any) -> None:
    """Whatever TOML may hold."""
    with pytest.raises(Refused):
        sheet_values.quantity(raw, "static")
