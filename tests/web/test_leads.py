"""The page of the lead map through its own forms: as found by words and presses, looked at again, moved, agreed."""

import re

import pytest
from msgspec.structs import replace

from drawthrough.visit.facts import LeadSeen, RunCapacitorSeen, SystemDescribed, Withdrawn, WorkDone
from drawthrough.visit.state import CapacitorSeen, Change, Lead, Strips, System, Terminal, Work
from drawthrough.web.lead_state import LeadState
from drawthrough.web.ledger import draft
from tests.web.filled import form, forms

pytestmark = pytest.mark.property
HARNESS = {
    "black": "black high relay 4", "blue": "blue medium park 1", "red": "red low park 2", "white": "white common L2",
    "brown": "brown capacitor herm", "brown/white": "brown white capacitor fan", "green": "green ground chassis",
}  # fmt: skip
PLACES = {
    "black": "relay 4", "blue": "park 1", "red": "park 2", "white": "L2", "brown": "herm", "brown/white": "fan",
    "green": "chassis",
}  # fmt: skip


@pytest.fixture
def where(client):
    """A visit to a system with a PSC motor of which nothing is written down yet."""
    answer = client.post("/visit", data={"once": client.ledger.once(), "name": "Trial", "altitude": "1200 ft"})
    client.visit = answer.headers["location"].split("/")[2]
    system = System(
        name="Trial", arrangement="draw-through", motor="psc", coil_inside_taps=True,
        strips=Strips(power=9600.0, volts=240.0),
    )  # fmt: skip
    client.ledger.write(client.visit, [draft(SystemDescribed, system=system)])
    return f"/visit/{client.visit}/leads"


def opened(client):
    return client.ledger.opened(client.visit)


def leads(client, when):
    return {fact.lead.colour: fact.lead.terminal for fact in opened(client).folded.lead if fact.lead.when == when}


def post(client, path, fields, status=303):
    answer = client.post(path, data=fields)
    assert answer.status_code == status, answer.text
    return answer


def say(client, where, words):
    """Type a few words, look at how they are read, and press again."""
    told = post(client, f"{where}/words", {"once": client.ledger.once(), "words": words}, 200).text
    return post(client, f"{where}/words", form(told, "/leads/words#words").fields)


def found(client, where):
    """Write the whole harness down as found; both parking posts are tested dead."""
    for words in HARNESS.values():
        say(client, where, words)
    for name in ("park 1", "park 2"):
        row = form(client.get(where).text, "/leads/post#posts", name=name)
        assert ("tested", "dead") in row.buttons
        post(client, row.action, {**row.fields, "tested": "dead"})


def look(client, where, colour, terminal):
    fact = next(one for one in opened(client).folded.lead if one.lead.colour == colour and one.lead.when == "as found")
    row = form(client.get(f"{where}?look=again").text, "/leads/left#as-left", of=fact.id)
    assert ("terminal", terminal) in row.buttons
    return row, post(client, row.action, {**row.fields, "terminal": terminal})


def move(client, where, colour, terminal):
    fact = next(one for one in opened(client).folded.lead if one.lead.colour == colour and one.lead.when == "as left")
    row = form(client.get(where).text, "/leads/moved#as-left", of=fact.id)
    return row, post(client, row.action, {**row.fields, "terminal": terminal})


def verdict(client, where):
    return re.search(r'id="verdict">(.*?)</p>', client.get(where).text).group(1)


def test_a_visit_that_is_not_there(client):
    assert client.get("/visit/nowhere/leads").status_code == 404
    for name in ("words", "usual", "left", "moved", "post", "lead", "terminal", "seat", "capacitor", "change", "motor"):
        assert client.post(f"/visit/nowhere/leads/{name}", data={"words": "black high M1"}).status_code == 404


def test_a_lead_of_a_few_words_is_written_once_its_reading_was_shown(client, where):
    told = post(client, f"{where}/words", {"once": client.ledger.once(), "words": "black high relay 4"}, 200).text
    assert "black, high, on relay 4" in told
    assert not leads(client, "as found")
    again = form(told, "/leads/words#words").fields
    assert again["words"] == again["shown"] == "black high relay 4"
    changed = post(client, f"{where}/words", {**again, "words": "black high relay 2"}, 200).text
    assert "on relay 2" in changed
    assert not leads(client, "as found"), "other words than those that were read"
    for _ in range(2):
        post(client, f"{where}/words", again)
    assert leads(client, "as found") == {"black": "relay 4"}


@pytest.mark.parametrize(("words", "lacks"), [("", "colour"), ("black", "does"), ("black high", "lands")])
def test_what_a_few_words_lack_is_said_and_they_stay(client, where, words, lacks):
    told = post(client, f"{where}/words", {"once": client.ledger.once(), "words": words}, 422).text
    assert lacks in re.search(r'id="words-fault">(.*?)</p>', told).group(1)
    assert form(told, "/leads/words#words").fields["words"] == words
    assert not opened(client).folded.lead


def test_words_are_read_while_they_are_typed_and_nothing_is_written(client, where):
    before = len(opened(client).facts)
    told = client.get(f"{where}/read", params={"words": "azul media estacionado 2", "origin": "motor"})
    assert told.status_code == 200
    assert "park 2" in told.text
    assert "<html" not in told.text
    assert len(opened(client).facts) == before


def test_a_usual_lead_is_one_press(client, where):
    rows = [one for one in forms(client.get(where).text) if one.action.endswith("/leads/usual#usual")]
    row = next(one for one in rows if one.fields["colour"] == "red")
    answer = post(client, row.action, {**row.fields, "terminal": "M2"})
    assert answer.headers["location"].endswith("/leads#usual")
    assert leads(client, "as found") == {"red": "M2"}
    again = [one.fields["colour"] for one in forms(client.get(where).text) if one.action.endswith("/leads/usual#usual")]
    assert "red" not in again
    assert "black" in again
    typed = next(one for one in rows if one.fields["function"] == "strips")
    told = post(client, typed.action, {**typed.fields, "other": "K2"}, 422).text
    assert "without either it cannot be known again" in told
    assert form(told, "/leads/usual#usual", of=typed.fields["of"]).fields["other"] == "K2"
    post(client, typed.action, {**typed.fields, "other": "K2", "mark": "S1"})
    assert opened(client).folded.lead[-1].lead.mark == "S1"


def test_the_second_look_gives_no_hint_until_it_is_answered(client, where):
    found(client, where)
    page = client.get(where).text
    assert not any("/leads/left" in one.action for one in forms(page)), "nothing is asked beside the drawing"
    assert "relay 4" in page[page.index('"chart leads"') :].split("</svg>")[0]
    blind = client.get(f"{where}?look=again").text
    asked = [one for one in forms(blind) if one.action.endswith("/leads/left#as-left")]
    assert len(asked) == len(HARNESS)
    assert len({tuple(one.buttons) for one in asked}) == 1, "every lead is asked with the same buttons in one order"
    drawn = blind[blind.index('"chart leads"') :].split("</svg>")[0]
    listed = blind[blind.index("Written down as found") :].split("</ol>")[0]
    numbers = blind[blind.index("<tbody>") :].split("</tbody>")[0]
    for name in PLACES.values():
        assert name not in drawn + listed + numbers
    assert "Energised" not in blind
    look(client, where, "black", "relay 4")
    after = client.get(where).text
    drawn = after[after.index('"chart leads"') :].split("</svg>")[0]
    assert "relay 4" in drawn
    assert "herm" not in drawn, "the others are still kept back"
    shown = client.get(f"{where}?look=found").text
    assert "herm" in shown[shown.index('"chart leads"') :].split("</svg>")[0]


def test_one_press_says_where_a_lead_is_with_what_was_known_of_it(client, where):
    post(client, f"{where}/lead", {
        "once": client.ledger.once(), "colour": "black", "function": "high", "origin": "motor", "terminal": "relay 4",
        "when": "as found", "mark": "T1", "note": "stiff",
    })  # fmt: skip
    row, _ = look(client, where, "black", "relay 4")
    post(client, row.action, {**row.fields, "terminal": "relay 4"})
    before, after = (fact.lead for fact in opened(client).folded.lead)
    assert after == replace(before, when="as left", note="")


def test_a_lead_put_back_wrong_is_found_moved_and_then_it_agrees(client, where):
    found(client, where)
    wrong = {**PLACES, "black": "park 1", "blue": "relay 4"}
    for colour, place in wrong.items():
        look(client, where, colour, place)
    page = client.get(where).text
    assert "Exchange black and blue: black belongs on relay 4, blue on park 1." in page
    assert page.count('class="wire left wrong"') == 2
    for colour in ("black", "blue"):
        row, _ = move(client, where, colour, PLACES[colour])
        count = len(opened(client).facts)
        post(client, row.action, {**row.fields, "terminal": PLACES[colour]})
        assert len(opened(client).facts) == count, "the same form again writes nothing"
    assert leads(client, "as left") == PLACES
    assert verdict(client, where).startswith("It agrees")
    assert 'wrong"' not in client.get(where).text
    assert sum(isinstance(one, Withdrawn) for one in opened(client).facts) == 2


def test_another_tab_was_faster(client, where):
    found(client, where)
    row, _ = look(client, where, "black", "relay 4")
    other = {**row.fields, "once": client.ledger.once()}
    post(client, row.action, {**other, "terminal": "relay 4"})
    assert list(leads(client, "as left")) == ["black"]
    told = post(client, row.action, {**other, "terminal": "park 1"}, 409).text
    assert "It was said before that this lead is on relay 4" in told
    moved, _ = move(client, where, "black", "L2")
    told = post(client, moved.action, {**moved.fields, "once": client.ledger.once(), "terminal": "herm"}, 409).text
    assert "taken back or moved before" in told
    assert leads(client, "as left") == {"black": "L2"}


@pytest.mark.parametrize("name", ["left", "moved"])
def test_a_press_that_says_nothing_comes_back_with_the_fault_at_its_lead(client, where, name):
    found(client, where)
    look(client, where, "black", "relay 4")
    rows = [one for one in forms(client.get(where).text) if one.action.endswith(f"/leads/{name}#as-left")]
    told = post(client, rows[-1].action, {**rows[-1].fields, "other": "x" * 121}, 422).text
    assert form(told, f"/leads/{name}#as-left", of=rows[-1].fields["of"]).fields["other"] == "x" * 121
    assert f"{name}-{rows[-1].fields['of']}-fault" in told
    assert len(leads(client, "as left")) == 1
    assert client.post(f"{where}/{name}", data={"of": "nobody", "terminal": "M1"}).status_code == 404


def test_another_speed_that_is_meant_is_not_held_against_the_map(client, where):
    found(client, where)
    row = form(client.get(where).text, "/leads/change#change")
    told = post(client, row.action, {**row.fields, "lead": "black", "to": "black", "kind": "other speed"}, 422).text
    assert "another one that takes its place" in told
    for _ in range(2):
        post(client, row.action, {**row.fields, "lead": "black", "to": "blue", "kind": "other speed"})
    assert [fact.change for fact in opened(client).folded.change] == [
        Change(kind="other speed", lead="black", to="blue")
    ]
    for colour, place in {**PLACES, "black": "park 1", "blue": "relay 4"}.items():
        look(client, where, colour, place)
    assert verdict(client, where).startswith("It agrees")
    assert "changed as meant" in client.get(where).text


def test_a_post_is_proved_dead_or_found_live_by_one_press(client, where):
    say(client, where, "red low park 1")
    assert "Prove park 1 dead by test" in client.get(where).text
    row = form(client.get(where).text, "/leads/post#posts", name="park 1")
    for tested, dead in (("dead", True), ("live", False)):
        post(client, row.action, {**row.fields, "once": client.ledger.once(), "tested": tested})
        assert opened(client).folded.terminal == (Terminal(name="park 1", kind="park", proved_dead=dead),)
    assert "the test found the post live" in client.get(where).text
    post(client, row.action, {**row.fields, "once": client.ledger.once(), "kind": "live"})
    assert opened(client).folded.terminal[0].kind == "live"
    assert client.post(row.action, data={"name": "park 1", "kind": "hole"}).status_code == 404


def test_a_terminal_spelled_otherwise_is_the_same_one(client, where):
    say(client, where, "red low M2")
    for name in ("M2", " m2 "):
        post(client, f"{where}/terminal", {"once": client.ledger.once(), "name": name, "kind": "park"})
    assert [one.name for one in opened(client).folded.terminal] == ["M2"]
    told = post(
        client, f"{where}/terminal", {"once": client.ledger.once(), "name": "M3", "kind": "park", "holds": "0"}, 422
    )
    assert form(told.text, "/leads/terminal#terminal").fields["name"] == "M3"


def test_seat_of_both_times(client, where):
    for when, exit_, side in (("as found", "4 o'clock", "0.25 in"), ("as left", "8 o'clock", "0.5 in")):
        row = form(client.get(where).text, "/leads/seat#seat", when=when)
        assert not row.fields["lead_exit"], "what was written as found is not shown beside"
        post(client, row.action, {
            **row.fields, "lead_exit": exit_, "clearance_motor_side": side, "set_screw": "off the flat", "weights": "2",
        })  # fmt: skip
    page = client.get(where).text
    assert "0.25 in" in page
    for told in ("Turn the motor", "Shift the wheel", "bites on the flat"):
        assert told in page
    row = form(page, "/leads/seat#seat", when="as left")
    told = post(client, row.action, {**row.fields, "weights": "many"}, 422).text
    assert form(told, "/leads/seat#seat", when="as left").fields["weights"] == "many"


@pytest.mark.parametrize(
    ("printed", "told"),
    [
        ({"capacitance": "7.5 uF", "volts": "440 V", "tolerance": "6 %"}, "It fits"),
        ({"capacitance": "10 uF", "volts": "440 V", "tolerance": "6 %"}, "rated 10 uF, and 7.5 uF is wanted"),
        ({"capacitance": "7.5 uF", "volts": "250 V", "tolerance": "6 %"}, "made for 250 V"),
    ],
)
def test_whether_a_new_capacitor_fits_the_old_one_and_what_it_reads(client, where, printed, told):
    old = {
        "when": "as found",
        "capacitance": "7.5 uF",
        "volts": "370 V",
        "tolerance": "6 %",
        "capacitance_read": "6.1 uF",
    }
    post(client, f"{where}/capacitor", {"once": client.ledger.once(), **old})
    assert "Read: 6.1 uF, −18.7 % from its print: outside its tolerance." in client.get(where).text
    post(client, f"{where}/capacitor", {"once": client.ledger.once(), "when": "as left", **printed})
    assert told in client.get(where).text


def test_another_motor_voids_the_fan_table(client, where):
    row = form(client.get(where).text, "/leads/motor#motor")
    before = opened(client).folded.system
    post(client, row.action, {**row.fields, "motor_original": "no", "label_altered": "yes"})
    assert opened(client).folded.system == replace(before, motor_original=False, label_altered=True)
    assert "The fan table is void" in client.get(where).text


def test_a_map_that_cannot_be_drawn_says_so_and_its_leads_can_be_taken_back(client, where):
    nowhere = Lead(colour="", function="high", origin="motor", terminal="M1", when="as found")
    client.ledger.write(client.visit, [draft(LeadSeen, lead=nowhere)])
    assert "neither colour nor mark" in verdict(client, where)
    row = form(client.get(where).text, "/withdraw", of=opened(client).folded.lead[0].id)
    post(client, row.action, row.fields)
    assert LeadState(opened(client)).error is None


def test_without_a_system_leads_can_be_written_and_the_motor_is_asked_for_later(client):
    answer = client.post("/visit", data={"once": client.ledger.once(), "name": "Trial", "altitude": "1200 ft"})
    client.visit = answer.headers["location"].split("/")[2]
    where = f"/visit/{client.visit}/leads"
    page = client.get(where).text
    assert "Describe the system first." in page
    assert not any(one.action.endswith("/leads/usual#usual") for one in forms(page))
    say(client, where, "black high relay 4")
    assert verdict(client, where).startswith("1 lead is written down as found")
    assert post(client, f"{where}/motor", {"once": client.ledger.once(), "motor_original": "no"}, 409)


def test_the_lead_map_of_the_demo_agrees(demo):
    where = f"/visit/{demo.visit}/leads"
    assert verdict(demo, where).startswith("It agrees")


@pytest.mark.parametrize("capacitance", [0.0, 7.5e-6])
def test_a_capacitor_that_another_device_wrote_oddly_is_shown_all_the_same(client, where, capacitance):
    odd = CapacitorSeen(when="as left", capacitance=capacitance, tolerance=0.0, capacitance_read=7e-6)
    old = CapacitorSeen(when="as found", capacitance=7.5e-6, tolerance=0.06, volts=370.0)
    client.ledger.write(client.visit, [draft(RunCapacitorSeen, run_capacitor=one) for one in (odd, old)])
    assert "cannot be compared" in client.get(where).text


def test_the_capacitor_s_history_is_that_of_the_system(client, where):
    """Earlier visits to the same system tell what its capacitors were; after two new ones it asks to look further."""
    system = opened(client).folded.system_id
    assert "On earlier visits" not in client.get(where).text
    read = 7.4e-6
    for k in range(2):
        one = CapacitorSeen(when="as left", capacitance=7.5e-6, tolerance=0.06, capacitance_read=read, code=f"24{k}1")
        work = Work(part="capacitor", action="replaced")
        client.ledger.write(client.visit, [draft(RunCapacitorSeen, run_capacitor=one), draft(WorkDone, work=work)])
        answer = client.post("/visit", data={"once": client.ledger.once(), "system": system})
        client.visit = answer.headers["location"].split("/")[2]
        text = client.get(f"/visit/{client.visit}/leads").text
        assert f"7.5 uF, code 24{k}1; it read 7.4 uF, 99 % of its print." in text
        assert ("Replaced twice before" in text) == (k == 1)
