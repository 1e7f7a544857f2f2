"""Forms: what is typed gives what a sheet would give, and each refusal is data that has its words."""

import ast
import json
import random
from pathlib import Path
from typing import get_args

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawthrough.report import refusals
from drawthrough.report.voice import Voice
from drawthrough.units import INWC
from drawthrough.visit import entry_text, sheet, sheet_text
from drawthrough.visit.entry import EntryError, EntryFault, entry
from drawthrough.visit.fold import Folded, fold
from drawthrough.visit.form import keys
from drawthrough.visit.record import Pen, facts_of
from drawthrough.visit.sheet_fault import Kind
from drawthrough.visit.sheet_places import layout_of
from drawthrough.visit.state import (
    Capacitor,
    FanTable,
    Gap,
    Instrument,
    Lead,
    Pattern,
    Price,
    Reading,
    Run,
    Site,
    Strips,
    System,
    Visit,
    Work,
)

pytestmark = pytest.mark.property

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*.toml"))
TABLES = (
    Site, System, Strips, Capacitor, FanTable, Instrument, Run, Reading, Work, Lead, Gap, Pattern, Price,
)  # fmt: skip


def folded(visit: Visit) -> Folded:
    chance = random.Random(1)
    pen = Pen("phone", lambda: 1_773_000_000_000, lambda: chance.getrandbits(80))
    return fold(facts_of(visit, pen, "system-1", "visit-1"))


PSC = folded(sheet.load(ROOT / "examples" / "dirty-wheel-psc.toml"))


def form_of(struct: msgspec.Struct, visit: Visit) -> dict[str, str]:
    """Return a structure as the fields of its form, written as a sheet writes it."""
    writer = sheet_text._Writer(layout_of(msgspec.to_builtins(visit)))
    fields: dict[str, str] = {}
    for key in keys(type(struct)).values():
        if key.sort == "table":
            inner = getattr(struct, key.field)
            found = {} if inner is None else form_of(inner, visit)
            fields |= {f"{key.name}.{name}": text for name, text in found.items()}
        elif key.sort == "tables":
            continue
        elif key.sort == "texts":
            fields[key.name] = "\r\n".join(f"{name}: {said}" for name, said in getattr(struct, key.field).items())
        elif (text := writer._value(struct, key)) is not None:
            if key.sort == "moments":
                fields[key.name] = "\n".join(json.loads(text))
            else:
                plain = json.loads(text)
                fields[key.name] = {True: "yes", False: "no"}[plain] if isinstance(plain, bool) else str(plain)
    return fields


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_visit_typed_by_hand_is_the_visit_of_its_sheet(path):
    visit = sheet.load(path)
    around = folded(visit)
    assert entry(Site, form_of(visit.site, visit)) == visit.site
    assert entry(System, form_of(visit.system, visit), around) == visit.system
    for table in visit.system.fan_table:
        assert entry(FanTable, form_of(table, visit), around) == table
    for kit in filter(None, (visit.system.strips, visit.system.capacitor)):
        assert entry(type(kit), form_of(kit, visit), around) == kit
    for one in visit.instrument:
        assert entry(Instrument, form_of(one, visit), around, instead=one.id) == one
    for run in visit.run:
        bare = msgspec.structs.replace(run, reading=())
        assert entry(Run, form_of(run, visit), around, instead=run.id) == bare
        for k, reading in enumerate(run.reading):
            assert entry(Reading, form_of(reading, visit), around, run=run.id, instead=k) == reading
    for one in (*visit.work, *visit.lead, *visit.gap, *visit.pattern, *visit.price):
        assert entry(type(one), form_of(one, visit), around) == one


STATIC = {"what": "static", "at": "after coil", "against": "room"}


def static(value, around=PSC, **more):
    return entry(Reading, {**STATIC, "value": value, **more}, around, run=PSC.run[0].id)


@pytest.mark.parametrize(
    ("typed", "inwc"),
    [
        ("0,48 inwc", 0.48),
        ("−.398", 0.398),
        ("-,398", 0.398),
        ("0,398", 0.398),
        (" 0.48 in. w.c. ", 0.48),
        ("1/16", 1 / 16),
        ("½", 0.5),
        ("1 ½ inwc", 1.5),
        ("– 0.4", 0.4),
    ],
)
def test_a_number_is_read_as_the_hand_means_it(typed, inwc):
    found = static(typed, value_unit="inwc")
    assert found.value == pytest.approx(-inwc * INWC, rel=1e-12)  # the place gives the sign
    assert found.typed.startswith(typed.strip())


@pytest.mark.parametrize(
    ("typed", "number"),
    [
        ("1,200", "1,200"),  # thousands, as on a sheet
        ("1,234,567.5", "1,234,567.5"),
        ("1.234,5", "1234.5"),
        ("1,20", "1.20"),
        ("12,3456", "12.3456"),
        ("0,123", "0.123"),
        ("1,2,3", "1,2,3"),  # left as it is: refused
        ("0,5 % + 0,1 F", "0.5 % + 0.1 F"),
    ],
)
def test_a_comma(typed, number):
    assert entry_text.with_point(typed) == number


def test_thousands_that_were_meant_as_decimals_are_too_large():
    assert static("1,200 Pa").value == -1200.0
    with pytest.raises(EntryError) as caught:
        static("1,200 inwc")
    (fault,) = caught.value.faults
    assert (fault.kind, fault.names["unit"]) == ("out of range", "inwc")
    assert fault.figures["high"] == pytest.approx(5000.0 / INWC)


def test_a_unit_in_the_text_wins_over_the_key():
    assert static("120 Pa", value_unit="inwc").value == -120.0
    assert static("120 Pa", value_unit="inwc").typed == "120 Pa"
    assert static("120", value_unit="Pa").typed == "120 Pa"


def test_a_typed_reading_goes_out_on_a_sheet_and_comes_back():
    visit = PSC.visit
    run = msgspec.structs.replace(visit.run[0], reading=(static("0,48", value_unit="inwc"), static("−.398 inwc")))
    changed = msgspec.structs.replace(visit, run=(run, *visit.run[1:]))
    assert sheet.read(sheet.sheet_text(changed)) == changed


def test_lists_are_parted_by_what_a_hand_uses():
    fields = {"id": "new", "measures": "static"}
    for text in ("08:40 13:50", "08:40, 13:50", "08:40\r\n13:50", "08:40;13:50"):
        assert entry(Instrument, {**fields, "zeroed": text}).zeroed == ("08:40", "13:50")
    found = entry(Instrument, {**fields, "zeroed": "2026-04-14 08:40 13:50"})
    assert found.zeroed == ("2026-04-14 08:40", "13:50")
    for text in ("0.1 0.2", "0.1, 0.2", "0,1 0,2", "0.1,0.2", "0,1; 0,2", "0.1\n0.2"):
        table = entry(FanTable, {"speed": "high", "static": text, "static_unit": "inwc", "airflow": "1200,1150 cfm"})
        assert table.static == pytest.approx((0.1 * INWC, 0.2 * INWC))


def test_what_a_form_does_not_speak_of_stands():
    plain = {"name": "Unit", "arrangement": "draw-through", "motor": "psc", "coil_inside_taps": "yes"}
    kept = entry(System, plain, PSC)
    assert (kept.strips, kept.fan_table) == (PSC.system.strips, PSC.system.fan_table)
    assert kept.strips is not None
    assert entry(System, {**plain, "strips.power": "", "strips.volts": ""}, PSC).strips is None
    assert entry(System, plain).fan_table == ()


def test_what_stands_is_not_changed_by_reading_an_entry():
    before = msgspec.json.encode(PSC.visit)
    static("0.4 inwc")
    assert msgspec.json.encode(PSC.visit) == before


RUN = {"id": "new", "when": "as found", "mode": "fan", "speed": "high"}
TABLE = {"speed": "high", "static": "0.1 0.2 0.4 inwc", "airflow": "1200 1150 1100 cfm"}
TOOL = {"id": "new", "measures": "dry_bulb"}
ZERO_FOR = next(run for run in PSC.run if run.mode == "strips" and run.when == "as found").id
WET = next(
    (run.id, reading) for run in PSC.run for reading in run.reading if reading.what == "wet_bulb"
)  # fmt: skip
MANOMETER = next(one.id for one in PSC.instrument if one.measures == "static")
NAMED = PSC.system.fan_table[0].speed

# table, changed fields, field, kind, reason
REFUSED = [
    (Site, {"name": "A", "altitude": "10 ft", "colour": "red"}, "colour", "unknown key", ""),
    (Site, {"altitude": "10 ft"}, "name", "missing key", ""),
    (Site, {"name": "A", "altitude": "10 ft", "currency": "$"}, "currency", "not a choice", "currency"),
    (Work, {"part": "wheel", "action": "polished"}, "action", "not a choice", ""),
    (Gap, {"where": "a", "compartment": "b", "opens_to": "c", "width": "2 mm", "length": "3 in", "bends": "two"},
     "bends", "wrong shape", "whole"),
    (Gap, {"where": "a", "compartment": "b", "opens_to": "c", "width": "2 mm", "length": "3 in", "bends": "99"},
     "bends", "out of range", "whole"),
    (Run, {**RUN, "doors_on": "perhaps"}, "doors_on", "wrong shape", "switch"),
    (Price, {"item": "a", "amount": "$12"}, "amount", "wrong shape", "number"),
    (Price, {"item": "a", "amount": "1" * 20}, "amount", "out of range", "bill"),
    (System, {"name": "a", "arrangement": "draw-through", "motor": "psc", "coil_inside_taps": "yes",
              "nameplate": "no colon"}, "nameplate", "wrong shape", "labels"),
    (Reading, {**STATIC, "value": "much"}, "value", "not a number", ""),
    (Reading, {**STATIC, "value": "0.4"}, "value", "missing unit", ""),
    (Reading, {**STATIC, "value": "0.4 zzz"}, "value", "unknown unit", ""),
    (Reading, {**STATIC, "value": "0.4 inwcc"}, "value", "unknown unit", "close"),
    (Reading, {**STATIC, "value": "4 F"}, "value", "wrong quantity", ""),
    (Reading, {**STATIC, "value": "400 inwc"}, "value", "out of range", ""),
    (Reading, {**STATIC, "value": "4 Pa", "uncertainty": "-1 Pa"}, "uncertainty", "out of range", "both ways"),
    (Reading, {**STATIC, "value": "4 Pa", "time": "noon"}, "time", "not a time", ""),
    (Reading, {**STATIC, "what": "statics", "value": "4 Pa"}, "what", "unknown quantity", ""),
    (Reading, {**STATIC, "at": "attic", "value": "4 Pa"}, "at", "unknown place", ""),
    (Reading, {"what": "dry_bulb", "at": "attic", "value": "70 F"}, "at", "unknown place", ""),
    (Reading, {**STATIC, "against": "", "value": "-4 Pa"}, "against", "one end", ""),
    (Reading, {"what": "dry_bulb", "at": "return", "against": "room", "value": "70 F"}, "against", "two ends", ""),
    (Reading, {**STATIC, "against": "after coil", "value": "4 Pa"}, "against", "same ends", ""),
    (Reading, {**STATIC, "value": "+0.4 inwc"}, "value", "sign against place", "below"),
    (Reading, {**STATIC, "at": "supply plenum", "value": "-0.4 inwc"}, "value", "sign against place", "above"),
    (Reading, {**STATIC, "value": "4 Pa", "with": "nobody"}, "with", "unknown id", "instrument"),
    (Reading, {"what": "dry_bulb", "at": "return", "value": "70 F", "with": MANOMETER}, "with", "wrong instrument", ""),
    (FanTable, {**TABLE, "static": "0.1 0.2 inwc"}, "airflow", "unequal lengths", ""),
    (FanTable, {**TABLE, "static": "0.1 inwc 0.2 inwc"}, "static", "not a number", "row"),
    (FanTable, {**TABLE, "static": "0.1 0.4 0.2 inwc"}, "static", "static not rising", ""),
    (FanTable, {**TABLE, "airflow": "1200 1150 0 cfm"}, "airflow", "out of range", "no airflow"),
    (FanTable, {**TABLE, "airflow": "1200 1150 1500 cfm"}, "airflow", "table rises", ""),
    (FanTable, {**TABLE, "static": "0.1 inwc", "airflow": "1200 cfm"}, "static", "table too short", ""),
    (Instrument, {**TOOL, "accuracy": "1 F + 2 F"}, "accuracy", "not an accuracy", "twice"),
    (Instrument, {**TOOL, "accuracy": "1 F (k=9)"}, "accuracy", "not an accuracy", "coverage"),
    (Instrument, {**TOOL, "accuracy": "1 % + 2 digits"}, "accuracy", "not an accuracy", "digits"),
    (Instrument, {"id": "new", "measures": "relative_humidity", "accuracy": "2 %"}, "accuracy", "not an accuracy",
     "percentage"),
    (Instrument, {**TOOL, "id": MANOMETER}, "id", "same id", ""),
    (Run, {**RUN, "id": PSC.run[0].id}, "id", "same id", ""),
    (Run, {**RUN, "station_pressure": "31 inHg"}, "station_pressure", "sea-level barometer", ""),
    (Run, {**RUN, "mode": "zero"}, "zero_for", "zero without its run", ""),
    (Run, {**RUN, "zero_for": ZERO_FOR}, "zero_for", "zero without its run", "mode"),
    (Run, {**RUN, "mode": "zero", "zero_for": "nobody"}, "zero_for", "unknown id", "run"),
    (Run, {**RUN, "mode": "zero", "when": "as left", "zero_for": ZERO_FOR}, "zero_for", "zero of another time", ""),
    (Run, {**RUN, "start": "2026-04-14 10:00", "end": "2026-04-14 09:00"}, "end", "ends before it starts", ""),
    (Run, {**RUN, "speed": NAMED.upper() + " "}, "speed", "speed spelled otherwise", ""),
    (Reading, {"what": "wet_bulb", "at": WET[1].at, "value": "110 F", "time": WET[1].time or ""},
     "value", "wet bulb above dry bulb", ""),
    (Reading, {**STATIC, "at": "before heater", "against": "after heater", "value": "4 pa x"}, "value", "unknown unit",
     ""),
]  # fmt: skip


@pytest.mark.parametrize(("table", "fields", "field", "kind", "reason"), REFUSED, ids=lambda one: str(one)[:40])
def test_each_refusal_is_at_its_field_and_has_its_words(table, fields, field, kind, reason):
    run = WET[0] if kind == "wet bulb above dry bulb" else PSC.run[0].id
    with pytest.raises(EntryError) as caught:
        entry(table, fields, PSC, run=run if table is Reading else None)
    found = [(fault.field, fault.kind, fault.reason) for fault in caught.value.faults]
    assert found == [(field, kind, reason)]
    for voice in (Voice(), Voice("es")):
        said = refusals.refusal(caught.value.faults[0], voice)
        assert said.endswith((".", "?"))
        assert "{" not in said


def test_places_that_are_not_here():
    bare = msgspec.structs.replace(PSC.system, strips=None, fan_table=(), filter_places=0)
    around = msgspec.structs.replace(PSC, system=bare, run=())
    for fields, reason in (
        ({"what": "volts", "at": "strips", "value": "240 V"}, "strips"),
        ({**STATIC, "at": "after filter", "value": "4 Pa"}, ""),
    ):
        with pytest.raises(EntryError) as caught:
            entry(Reading, fields, around)
        assert [(f.kind, f.reason) for f in caught.value.faults] == [("place not here", reason)]


def test_while_the_equipment_is_unknown_a_pressure_needs_its_sign():
    with pytest.raises(EntryError) as caught:
        entry(Reading, {**STATIC, "value": "4 Pa"})
    (fault,) = caught.value.faults
    assert (fault.kind, fault.reason) == ("sign not known", "equipment")
    assert entry(Reading, {**STATIC, "value": "-4 Pa"}).value == -4.0


def test_a_dry_bulb_below_the_wet_bulb_beside_it_is_refused_and_a_correction_of_it_is_not():
    run, wet = WET
    cold = {"what": "dry_bulb", "at": wet.at, "value": "35 F", "time": wet.time or ""}
    own = next(one for one in PSC.run if one.id == run)
    place = next(k for k, one in enumerate(own.reading) if one.what == "dry_bulb" and one.at == wet.at)
    with pytest.raises(EntryError) as caught:
        entry(Reading, cold, PSC, run=run, instead=place)
    assert caught.value.faults[0].kind == "wet bulb above dry bulb"
    warm = entry(Reading, {**cold, "value": "99 F"}, PSC, run=run, instead=place)
    assert warm.typed == "99 F"


def test_every_kind_and_reason_that_a_form_can_meet_has_words_and_no_other():
    """The reasons are read from the code that gives them."""
    unreachable = {
        "no such file", "not text", "not TOML", "empty sheet", "no runs", "unknown table", "missing table",
    }  # fmt: skip
    told = {kind for kind, _ in refusals.WORDS}
    assert told == set(get_args(Kind)) - unreachable
    reasons: set[str] = {""}
    visit = ROOT / "src" / "drawthrough" / "visit"
    for path in (*visit.glob("sheet*.py"), visit / "entry.py", *visit.glob("fan_table*.py")):
        reasons |= {
            node.value
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
            if isinstance(node, ast.Constant) and isinstance(node.value, str)
        }
    assert {reason for _, reason in refusals.WORDS} <= reasons
    assert set(refusals.WORDS.values()) <= set(refusals.messages())


def test_choices_are_told():
    fault = EntryFault(field="x", kind="unknown id", reason="run", names={"of": "b"})
    assert "none yet" in refusals.refusal(fault)


words = st.text(max_size=30) | st.from_regex(r"[-+−]?[\d.,/ ]{0,8}[a-zA-Z% ]{0,6}", fullmatch=True)


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(TABLES), st.data())
def test_nothing_typed_makes_it_fail_otherwise(table, data):
    fields = {}
    for key in keys(table).values():
        names = [f"{key.name}.{name}" for name in keys(key.table)] if key.sort == "table" else [key.name]
        for name in names:
            known = st.sampled_from(key.choices or ("static", "wet_bulb", "room", "after coil", "yes", "0.1 inwc"))
            fields[name] = data.draw(words | known)
            if data.draw(st.booleans()):
                fields[f"{name}_unit"] = data.draw(words)
    for around in (None, PSC):
        faults: tuple[EntryFault, ...] = ()
        try:
            assert isinstance(entry(table, fields, around, run=PSC.run[0].id), table)
        except EntryError as error:
            faults = error.faults
        assert all(refusals.refusal(fault) for fault in faults)
