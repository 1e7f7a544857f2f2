"""The page of the system through its own forms: place, equipment, fan tables, instruments."""

import html
import re
import tomllib
from importlib.resources import files
from pathlib import Path

import msgspec
import pytest

from drawthrough.report.voice import Voice
from drawthrough.trade.instruments import ready
from drawthrough.visit import state
from drawthrough.visit.entry import EntryError, entry
from drawthrough.visit.facts import InstrumentListed, SystemDescribed
from drawthrough.visit.sheet import load
from drawthrough.visit.sheet_text import quantity_text
from drawthrough.web.forms import EXAMPLES, exact, shown_of, values_of
from tests.web.filled import form

pytestmark = pytest.mark.property
SHEETS = {path.stem: load(path) for path in sorted(Path("examples").glob("*.toml"))}
POSTS = ("place", "equipment", "fan-table", "fan-table/remove", "instrument")
EQUIPMENT = {"name": "Air handler", "arrangement": "draw-through", "motor": "psc", "coil_inside_taps": "yes"}
PASTED = "ESP (inwc)\tLow\tHigh\n0.1\t900\t1200\n0.3\t820\t1100\n0.5\t-\t980"
PRACTICE = re.compile(", by common practice(?!;)")
READ = {"Low": (0.1, 0.3), "High": (0.1, 0.3, 0.5)}


@pytest.fixture
def where(client):
    """The system's page of a visit whose place is named and whose equipment is described."""
    answer = client.post("/visit", data={"once": client.ledger.once(), "name": "Trial", "altitude": "1200 ft"})
    where = answer.headers["location"]
    client.visit = where.split("/")[2]
    write(client, f"{where}/equipment", EQUIPMENT)
    return where


def write(client, path, fields, once="", **more):
    answer = client.post(path, data={"once": once or client.ledger.once(), **fields}, **more)
    assert answer.status_code == 303, answer.text
    return answer.headers["location"]


def pasted(table):
    """A fan table in two columns, each value with its unit to the last digit."""
    pairs = zip(table.static, table.airflow, strict=True)
    return "\n".join(f"{quantity_text(x, 'static')}\t{quantity_text(y, 'airflow')}" for x, y in pairs)


def opened(client):
    return client.ledger.opened(client.visit)


def test_a_visit_that_is_not_there(client):
    assert client.get("/visit/nowhere/system").status_code == 404
    for name in POSTS:
        assert client.post(f"/visit/nowhere/system/{name}", data={"name": "x"}).status_code == 404


@pytest.mark.parametrize("measures", ["field", "SI"])
@pytest.mark.parametrize("name", SHEETS)
def test_what_is_shown_and_saved_again_changes_nothing(client, name, measures):
    """Each form of the page, sent as it came, writes no fact: no figure is rounded by a look at it."""
    client.visit = client.ledger.bring_visit(SHEETS[name], client.ledger.once())
    client.post("/preferences", data={"measures": measures, "here": "/"})
    before = len(opened(client).facts)
    where = f"/visit/{client.visit}/system"
    for one in SHEETS[name].instrument:
        page = client.get(f"{where}?instrument={one.id}").text
        for action in ("/place", "/equipment"):
            sent = form(page, f"/system{action}")
            assert client.post(sent.action, data=sent.fields).status_code == 303
        sent = form(page, "/system/instrument", instead=one.id)
        assert "id" not in sent.fields  # readings name it so: its name is not changed
        assert client.post(sent.action, data=sent.fields).status_code == 303
    assert len(opened(client).facts) == before
    assert opened(client).visit.system == SHEETS[name].system


def test_figures_are_shown_in_the_units_that_are_asked_for(demo):
    page = demo.get(f"/visit/{demo.visit}/system").text
    assert form(page, "/place").fields["altitude"] == "1020 ft"
    demo.post("/preferences", data={"measures": "SI", "here": "/"})
    page = demo.get(f"/visit/{demo.visit}/system").text
    assert form(page, "/place").fields["altitude"] == "310.9 m"
    assert re.fullmatch(r"[\d.]+ Pa", form(page, "/equipment").fields["static_rated"])


def test_what_the_state_takes_by_itself_is_shown(client, where):
    write(client, f"{where}/equipment", {**EQUIPMENT, "strips.power": "10 kW", "strips.volts": "240 V"})
    page = client.get(where).text
    assert form(page, "/place").fields["currency"] == "USD"
    shown = form(page, "/equipment").fields
    assert (shown["filter_places"], shown["filter_place"], shown["strips.elements"]) == ("1", "slot", "1")


def test_a_figure_that_was_changed_is_read_anew():
    site = SHEETS["dirty-wheel-psc"].site
    voice = Voice(measures="SI")
    sent = {**shown_of(site, voice), "altitude": "342 m"}
    assert entry(state.Site, exact(sent, site, voice)).altitude == 342.0
    assert entry(state.Site, exact(shown_of(site, voice), site, voice)) == site


def test_equipment_said_again_keeps_its_tables_strips_and_labels(demo):
    before = opened(demo).visit.system
    page = demo.get(f"/visit/{demo.visit}/system").text
    write(demo, f"/visit/{demo.visit}/system/equipment", {**form(page, "/equipment").fields, "note": "another word"})
    assert opened(demo).visit.system == msgspec.structs.replace(before, note="another word")


def test_strips_are_taken_away_by_emptying_them(demo):
    page = demo.get(f"/visit/{demo.visit}/system").text
    sent = form(page, "/equipment").fields
    write(demo, f"/visit/{demo.visit}/system/equipment", {k: v for k, v in sent.items() if "strips." not in k})
    assert opened(demo).visit.system.strips is not None  # not spoken of
    write(
        demo, f"/visit/{demo.visit}/system/equipment",
        {k: "" if k.startswith("strips.") else v for k, v in sent.items() if k != "once"},
    )  # fmt: skip
    assert opened(demo).visit.system.strips is None


@pytest.mark.parametrize(
    ("path", "fields"),
    [
        ("place", {"name": "Another", "altitude": "10 ft"}),
        ("equipment", {**EQUIPMENT, "note": "new"}),
        ("fan-table", {"text": PASTED, "airflow_unit": "cfm"}),
        ("instrument", {"id": "mine", "measures": "static", "accuracy": "1 %"}),
        ("instrument", {"ready": "voltmeter"}),
    ],
)
def test_sent_twice_it_is_written_once(client, where, path, fields):
    once = client.ledger.once()
    write(client, f"{where}/{path}", fields, once)
    after = len(opened(client).facts)
    write(client, f"{where}/{path}", fields, once)
    write(client, f"{where}/{path}", fields, once)
    assert len(opened(client).facts) == after


@pytest.mark.parametrize(
    ("action", "fields", "wrong"),
    [
        ("place", {"name": "Kept", "altitude": "high", "currency": "USD"}, "altitude"),
        ("place", {"name": "Kept", "altitude": "10 ft", "currency": "dollars"}, "currency"),
        ("equipment", {**EQUIPMENT, "name": "Kept", "static_rated": "0.5 V"}, "static_rated"),
        ("equipment", {**EQUIPMENT, "name": "Kept", "strips.power": "ten kW", "strips.volts": "240 V"}, "strips.power"),
        ("equipment", {**EQUIPMENT, "name": "Kept", "capacitor.capacitance": "7.5"}, "capacitor.capacitance"),
        ("equipment", {**EQUIPMENT, "name": "Kept", "filter_places": "99"}, "filter_places"),
        ("equipment", {**EQUIPMENT, "name": "Kept", "nameplate": "no colon here"}, "nameplate"),
        ("instrument", {"id": "Kept", "measures": "static", "accuracy": "fine"}, "accuracy"),
        ("fan-table", {"speed": "Kept", "text": PASTED, "airflow_unit": "cfm", "volts": "many"}, "volts"),
    ],
)
def test_what_is_refused_comes_back_as_typed_with_its_fault_in_sight(client, where, action, fields, wrong):
    before = len(opened(client).facts)
    answer = client.post(f"{where}/{action}", data={"once": client.ledger.once(), **fields})
    assert answer.status_code == 422
    back = form(answer.text, f"/system/{action}", **({"id": "Kept"} if action == "instrument" else {}))
    assert fields.items() <= back.fields.items()
    assert wrong not in back.shut  # no fold hides it
    ids = re.search(rf'(?:name="{re.escape(wrong)}"[^>]*?) aria-describedby="([^"]+)"', answer.text)[1].split()
    fault = next(one for one in ids if one.endswith("-fault"))
    assert re.search(rf'name="{re.escape(wrong)}"[^>]* autofocus', answer.text)  # and the page comes to it by itself
    assert re.search(rf'id="{fault}">[^<]{{10,}}<', answer.text)
    assert len(opened(client).facts) == before


def test_what_is_typed_cannot_become_markup(client, where):
    sly = '</textarea><script>alert(1)</script><b class="x">'
    write(client, f"{where}/equipment", {**EQUIPMENT, "name": sly, "note": sly, "nameplate": f"label: {sly}"})
    write(client, f"{where}/instrument", {"id": sly, "measures": "static", "accuracy": "1 %", "note": sly})
    write(client, f"{where}/fan-table", {"text": "0.1 0.2 inwc\n900 800 cfm", "speed": sly})
    page = client.get(where).text
    assert "<script>alert" not in page
    assert '<b class="x">' not in page
    assert form(page, "/equipment").fields["note"] == sly
    assert html.escape(sly, quote=False) in page.replace("&#34;", '"')


def typed_in(client, where, action, values, **holding):
    """Type into the fields that the page has, none beside them; press the button twice."""
    sheet = form(client.get(where).text, f"/system/{action}", **holding)
    assert {name for name, text in values.items() if text} <= sheet.fields.keys()
    for _ in range(2):
        write(client, sheet.action, {**sheet.fields, **values}, sheet.fields["once"])


@pytest.mark.parametrize(("language", "measures"), [("en", "field"), ("es", "SI")])
@pytest.mark.parametrize("name", SHEETS)
def test_the_pages_own_fields_take_all_of_an_example(client, name, language, measures):
    """Each form as the page of a visit that is empty gives it, filled in as a hand would."""
    visit = SHEETS[name]
    client.post("/preferences", data={"language": language, "measures": measures, "here": "/"})
    answer = client.post("/visit", data={"once": client.ledger.once(), "name": "Trial", "altitude": "0 ft"})
    where = answer.headers["location"]
    client.visit = where.split("/")[2]
    before = len(opened(client).facts)
    typed_in(client, where, "place", values_of(visit.site))
    typed_in(client, where, "equipment", values_of(visit.system))
    for table in visit.system.fan_table:
        fields = {k: v for k, v in values_of(table).items() if k not in ("static", "airflow")}
        typed_in(client, where, "fan-table", {**fields, "text": pasted(table)})
    for tool in visit.instrument:
        typed_in(client, where, "instrument", values_of(tool), instead="")
    folded = opened(client).folded
    assert (folded.site, folded.system, folded.instrument) == (visit.site, visit.system, visit.instrument)
    assert len(opened(client).facts) - before == 2 + len(visit.system.fan_table) + len(visit.instrument)


# --- fan tables ---


def test_a_table_is_asked_for_after_the_equipment(client):
    answer = client.post("/visit", data={"once": client.ledger.once(), "name": "Trial", "altitude": "0 ft"})
    where = answer.headers["location"]
    refused = client.post(f"{where}/fan-table", data={"once": client.ledger.once(), "text": PASTED})
    assert refused.status_code == 409
    assert 'name="text"' not in client.get(where).text


def test_a_table_of_several_speeds_needs_no_name(client, where):
    """Nothing that a browser would insist on stands in its form, and each speed is read by its own head."""
    block = re.search(r'action="[^"]*/fan-table" class="entry">.*?</form>', client.get(where).text, re.DOTALL)[0]
    assert " required" not in block
    write(client, f"{where}/fan-table", {**form(client.get(where).text, "/fan-table").fields, "text": PASTED,
                                         "airflow_unit": "cfm"})  # fmt: skip
    tables = opened(client).folded.system.fan_table
    assert {one.speed: len(one.static) for one in tables} == {name: len(points) for name, points in READ.items()}
    assert tables[0].airflow[0] == pytest.approx(900 * 0.3048**3 / 60, rel=1e-12)  # one cubic foot a minute
    assert (tables[0].coil, tables[0].filter, tables[0].heater) == ("dry", "out", "out")


def test_a_single_table_without_a_name_is_asked_for_it(client, where):
    answer = client.post(
        f"{where}/fan-table", data={"once": client.ledger.once(), "text": "0.1 0.2 inwc\n900 800 cfm", "speed": ""}
    )
    assert answer.status_code == 422
    assert re.search(r'name="speed"[^>]* aria-invalid="true"', answer.text)


def test_it_is_shown_as_read_before_it_is_written(client, where):
    before = len(opened(client).facts)
    sent = {"text": PASTED, "airflow_unit": "cfm", "static_unit": "", "volts": "230 V", "look": "yes"}
    answer = client.post(f"{where}/fan-table", data={"once": client.ledger.once(), **sent})
    assert answer.status_code == 200
    assert len(opened(client).facts) == before
    assert f'formaction="{where}/fan-table#as-read"' in answer.text
    shown = answer.text.split('id="as-read"')[1].split("</form>")[0]
    assert re.findall(r"<h3>(\w+)</h3>", shown) == list(READ)
    assert re.findall(r"<td>([\d.]+)</td>", shown)[:4] == ["0.1", "0.3", "900", "820"]
    back = form(answer.text, "/fan-table").fields
    assert {k: v for k, v in sent.items() if k != "look"}.items() <= back.items()
    write(client, f"{where}/fan-table", back, back["once"])  # and from there it is written
    assert len(opened(client).folded.system.fan_table) == 2
    assert re.findall(r"<h3>(\w+)</h3>", client.get(where).text) == list(READ)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_a_file_is_read_as_what_was_pasted(client, where, encoding):
    text = PASTED.replace("Low", "Baja é").replace("\t", ";").encode(encoding)
    write(client, f"{where}/fan-table", {"airflow_unit": "cfm"}, files={"file": ("table.csv", text, "text/csv")})
    assert [one.speed for one in opened(client).folded.system.fan_table] == ["Baja é", "High"]


def test_a_file_that_is_none_comes_back_as_text(client, where):
    file = {"file": ("table.csv", b"\x89PNG\r\n\x1a\n\x00\xff", "text/csv")}
    answer = client.post(f"{where}/fan-table", data={"once": client.ledger.once()}, files=file)
    assert answer.status_code == 422
    assert 'role="alert"' in answer.text


def test_a_speed_said_again_replaces_its_table_and_one_can_be_taken_away(client, where):
    write(client, f"{where}/fan-table", {"text": PASTED, "airflow_unit": "cfm"})
    write(client, f"{where}/fan-table", {"text": "0.1 0.2 inwc\n700 600 cfm", "speed": "Low", "coil": "wet"})
    tables = {one.speed: one for one in opened(client).folded.system.fan_table}
    assert set(tables) == set(READ)
    assert tables["Low"].coil == "wet"
    away = form(client.get(where).text, "/remove", speed="Low")
    write(client, away.action, away.fields, away.fields["once"])
    write(client, away.action, away.fields, away.fields["once"])
    assert [one.speed for one in opened(client).folded.system.fan_table] == ["High"]
    assert sum(isinstance(one, SystemDescribed) for one in opened(client).facts) == 4


# --- instruments ---


def test_the_ready_kinds_say_what_their_figures_rest_on():
    data = tomllib.loads((files("drawthrough.trade") / "instruments.toml").read_text(encoding="utf-8"))
    assert data["source"] == "common practice"
    assert len(ready()) >= 9


def test_one_press_each_lists_them_all(client, where):
    """The page comes back with the fold open, so that the next press is the next instrument."""
    page = client.get(where).text
    for count in range(1, len(ready()) + 1):
        presses = form(page, "/instrument", once="")
        name, kind = presses.buttons[0]
        page = client.get(write(client, presses.action, {name: kind, "once": ""})).text
        listed = opened(client).folded.instrument
        assert len(listed) == count
        assert listed[-1].id == kind
    assert [one.id for one in listed] == [one["id"] for one in ready()]
    assert len(PRACTICE.findall(page)) == len(ready())


def test_pressed_twice_it_is_listed_once(client, where):
    for _ in range(2):
        assert "#ready" in write(client, f"{where}/instrument", {"ready": "manometer", "once": ""})
    assert len(opened(client).folded.instrument) == 1
    assert client.post(f"{where}/instrument", data={"ready": "divining rod"}).status_code == 404


@pytest.mark.parametrize(("first", "then"), [("es", "en"), ("en", "es")])
def test_listed_in_one_language_it_is_known_in_another(client, where, first, then):
    client.post("/preferences", data={"language": first, "here": "/"})
    write(client, f"{where}/instrument", {"ready": "manometer"})
    client.post("/preferences", data={"language": then, "here": "/"})
    presses = form(client.get(where).text, "/instrument", once="")
    assert ("ready", "manometer") not in presses.buttons
    assert ("ready", "voltmeter") in presses.buttons
    write(client, f"{where}/instrument", {"ready": "manometer"})
    assert len(opened(client).folded.instrument) == 1


def test_another_accuracy_is_the_hands_own(client, where):
    write(client, f"{where}/instrument", {"ready": "manometer"})
    assert PRACTICE.search(client.get(where).text)
    change = form(client.get(f"{where}?instrument=manometer").text, "/instrument", instead="manometer")
    write(client, change.action, {**change.fields, "accuracy": "0.5 % + 0.002 inwc (k=2)", "id": "renamed"})
    (one,) = opened(client).folded.instrument
    assert one.id == "manometer"
    assert (one.accuracy_relative, one.coverage) == (0.005, 2.0)
    assert one.accuracy_absolute == pytest.approx(0.002 * 249.08891, rel=1e-6)
    assert not PRACTICE.search(client.get(where).text)


def test_zeroed_now(client, where):
    write(client, f"{where}/instrument", {"ready": "manometer"})
    for count in (1, 2):
        press = form(client.get(where).text, "/instrument", zero="manometer")
        for _ in range(2):
            write(client, press.action, press.fields, press.fields["once"])
        (one,) = opened(client).folded.instrument
        assert len(one.zeroed) == count
    assert one.zeroed[-1] in client.get(where).text
    assert client.post(f"{where}/instrument", data={"zero": "nothing"}).status_code == 404


def test_one_that_nothing_was_read_with_can_be_taken_off_the_list(client, where):
    write(client, f"{where}/instrument", {"ready": "manometer"})
    write(client, f"{where}/instrument", {"zero": "manometer"})
    away = form(client.get(f"{where}?instrument=manometer").text, "/instrument", away="manometer")
    for _ in range(2):
        write(client, away.action, away.fields, away.fields["once"])
    assert opened(client).folded.instrument == ()
    write(client, f"{where}/instrument", {"ready": "manometer"})
    assert [one.id for one in opened(client).folded.instrument] == ["manometer"]


def test_one_that_was_read_with_stays(demo):
    used = next(one.instrument for run in opened(demo).visit.run for one in run.reading if one.instrument)
    where = f"/visit/{demo.visit}/system"
    assert 'name="away"' not in demo.get(f"{where}?instrument={used}").text
    answer = demo.post(f"{where}/instrument", data={"once": demo.ledger.once(), "away": used})
    assert answer.status_code == 409
    assert used in {one.id for one in opened(demo).folded.instrument}
    assert not any(isinstance(one, InstrumentListed) and one.id in opened(demo).folded.withdrawn
                   for one in opened(demo).facts)  # fmt: skip


# --- examples beside the fields ---


def a_table(name):
    """A structure of that kind, of any example."""
    visits = SHEETS.values()
    found = {
        "Site": [one.site for one in visits],
        "System": [one.system for one in visits if one.system.motor == "constant airflow"],
        "Strips": [one.system.strips for one in visits if one.system.strips],
        "Capacitor": [one.system.capacitor for one in visits if one.system.capacitor],
        "Instrument": [tool for one in visits for tool in one.instrument if tool.measures == "static"],
        "Run": [run for one in visits for run in one.run],
        "Gap": [gap for one in visits for gap in one.gap],
        "Price": [price for one in visits for price in one.price],
    }
    return found[name][0]


@pytest.mark.parametrize(("table", "name"), [key for key in EXAMPLES if key[0] != "FanTable"])
@pytest.mark.parametrize("which", [0, 1], ids=["field", "SI"])
def test_what_stands_as_an_example_can_be_typed(table, name, which):
    fields = {k: v for k, v in values_of(a_table(table)).items() if k != "reading"}
    typed = {**fields, name: EXAMPLES[table, name][which]}
    try:
        made = entry(getattr(state, table), typed)
    except EntryError as error:
        pytest.fail(str(error))
    assert made is not None
