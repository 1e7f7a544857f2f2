"""The page of the plan through its own forms: purposes, crew, extras, the truck, chemicals, the risk that is told."""

import re
from html import unescape

import pytest
from msgspec.structs import replace

from drawthrough.plan.job import planned
from drawthrough.trade.tasks import tasks
from drawthrough.visit.facts import (
    ItemCounted,
    JobSet,
    LeftWaiting,
    RiskTold,
    SystemDescribed,
    TaskBegun,
    TaskDone,
    TaskLeft,
    VisitOpened,
)
from drawthrough.visit.state import Capacitor, Job
from drawthrough.web.ledger import draft
from tests.web.filled import form, forms

pytestmark = pytest.mark.property


@pytest.fixture
def where(demo):
    return f"/visit/{demo.visit}/plan"


def opened(client):
    return client.ledger.opened(client.visit)


def job(client):
    return opened(client).folded.job


def facts(client, kind):
    return [fact for fact in opened(client).facts if isinstance(fact, kind)]


def wrote(client, *drafts):
    client.ledger.write(client.visit, list(drafts))


def page(client, where, status=200):
    answer = client.get(where)
    assert answer.status_code == status
    return answer.text


def words(text):
    """What is read on a page."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", text)).replace("\N{NO-BREAK SPACE}", " ").split())


def press(client, where, action, name, value, fields=None):
    """Press a button that stands on the page; return the form as it stood."""
    found = [one for one in forms(page(client, where)) if one.action.endswith(action) and (name, value) in one.buttons]
    assert found, (action, name, value)
    sent = {**found[-1].fields, **(fields or {}), name: value}
    answer = client.post(found[-1].action, data=sent)
    assert answer.status_code == 303, answer.text
    return found[-1], sent


def test_a_visit_that_is_not_there(client):
    assert client.get("/visit/nowhere/plan").status_code == 404
    for end, sent in (
        ("scope", {"on": "coil"}), ("crew", {"crew": "2"}), ("extra", {"add": "treat the drain"}),
        ("item", {"item": "rags", "state": "ran out"}), ("chemical", {"name": "x", "use": "coil"}),
        ("risk/hub", {"stop_after": "30 min"}),
    ):  # fmt: skip
        assert client.post(f"/visit/nowhere/plan/{end}", data=sent).status_code == 404


def test_the_finish_stands_first_as_an_interval(demo, where):
    text = page(demo, where)
    head = words(re.search(r"<h1>(.*?)</h1>", text, re.DOTALL)[1])
    assert re.fullmatch(r"Begun now, it is over at about \d\d:\d\d, between \d\d:\d\d and \d\d:\d\d\.", head)
    assert re.search(r"Promise \d\d:\d\d:", words(text))
    length, row = re.search(r"(\S+ h.*?) as planned; in a row the same tasks take (.*?)\.", words(text)).groups()
    assert length != row


def test_a_visit_that_says_nothing_yet(client):
    """No place, no equipment: the plan says what it takes for granted, and nothing falls over."""
    answer = client.post("/visit", data={"once": client.ledger.once(), "name": "Trial", "altitude": "1200 ft"})
    where = answer.headers["location"].removesuffix("/system")
    text = words(page(client, f"{where}/plan"))
    assert "The equipment is not described yet" in text
    assert "until the equipment is described" in text


def test_purposes_are_toggles(demo, where):
    press(demo, where, "/plan/scope", "on", "capacitor")
    assert job(demo).scope == ("blower", "coil", "capacitor", "readings")
    press(demo, where, "/plan/scope", "off", "coil")
    assert job(demo).scope == ("blower", "capacitor", "readings")
    for code in ("blower", "capacitor"):
        press(demo, where, "/plan/scope", "off", code)
    assert "A visit is for one thing at least." in words(page(demo, where))
    demo.post(f"{where}/scope", data={"off": "readings"})
    assert job(demo).scope == ("readings",)
    assert demo.post(f"{where}/scope", data={"on": "ducts"}).status_code == 404


def test_a_press_sent_twice_writes_one_fact_and_another_press_of_the_same_form_one_more(demo, where):
    before = len(facts(demo, JobSet))
    form_, sent = press(demo, where, "/plan/crew", "crew", "2")
    assert demo.post(form_.action, data=sent).status_code == 303
    assert len(facts(demo, JobSet)) == before + 1
    demo.post(form_.action, data={**sent, "crew": "1"})  # gone back to the page, the other button
    assert job(demo).crew == 1
    assert len(facts(demo, JobSet)) == before + 2
    demo.post(form_.action, data=sent)  # and the first one again, which was written once
    assert len(facts(demo, JobSet)) == before + 2
    assert demo.post(form_.action, data={"crew": "3"}).status_code == 404


def test_an_extra_is_added_and_dropped(demo, where):
    text = words(page(demo, where))
    assert re.search(r"Straighten the fins now \+13 min; on a visit of its own \d h \d+ min Add", text)
    press(demo, where, "/plan/extra", "add", "straighten the fins")
    assert "straighten the fins" in job(demo).extra
    press(demo, where, "/plan/extra", "drop", "straighten the fins")
    assert "straighten the fins" not in job(demo).extra
    assert "straighten the fins" in job(demo).without
    press(demo, where, "/plan/extra", "add", "straighten the fins")
    assert job(demo).without == ()


def test_a_purpose_brings_back_what_was_dropped_for_it(demo, where):
    press(demo, where, "/plan/extra", "drop", "inspect the strips")
    press(demo, where, "/plan/scope", "on", "strips")
    assert "inspect the strips" in {one.code for one in planned(job(demo), opened(demo).folded.system)}


def test_what_the_work_cannot_be_done_without_stays(demo, where):
    before = job(demo)
    answer = demo.post(f"{where}/extra", data={"once": demo.ledger.once(), "drop": "discharge"})
    assert answer.status_code == 409
    assert "Discharge: the equipment has none, or the work cannot be done without it." in words(answer.text)
    assert job(demo) == before
    assert demo.post(f"{where}/extra", data={"add": "paint the house"}).status_code == 404


def test_what_is_begun_is_not_dropped(demo, where):
    wrote(demo, draft(TaskBegun, task="look at the seams"))
    assert not [one for one in forms(page(demo, where)) if ("drop", "look at the seams") in one.buttons]
    answer = demo.post(f"{where}/extra", data={"once": demo.ledger.once(), "drop": "look at the seams"})
    assert answer.status_code == 409
    assert "it was begun already" in words(answer.text)


def test_the_day_times_itself_anew(demo, where):
    wrote(demo, draft(TaskBegun, task="arrive"))
    wrote(demo, draft(TaskDone, task="arrive"), draft(TaskLeft, task="look at the seams", why="no light"))
    text = page(demo, where)
    assert re.search(r"<h1>Over at about", text)
    assert "in a row" not in words(text)
    assert "Look at the seams: not today (no light)." in words(text)
    assert "Look at the seams not today" in words(text)  # among the extras: it can no longer be dropped
    table = re.search(r"<table.*?</table>", text, re.DOTALL)[0]
    assert "Look at the seams" not in words(table)
    assert re.search(r"Arrive \d\d:\d\d \d\d:\d\d done", words(table))


def test_a_day_that_is_over_promises_nothing(demo, where):
    for one in planned(job(demo), opened(demo).folded.system):
        wrote(demo, draft(TaskDone, task=one.code, checks=one.task.checks))
    text = page(demo, where)
    assert re.fullmatch(r"All done at \d\d:\d\d\.", words(re.search(r"<h1>(.*?)</h1>", text, re.DOTALL)[1]))
    assert "Promise" not in words(text)
    assert "bar finish" not in text
    assert not [
        one for one in forms(text) if one.action.endswith("/extra") and ("drop", "clean the motor") in one.buttons
    ]


def test_the_drawing_has_its_sentence_and_its_table(demo, where):
    text = page(demo, where)
    assert re.search(r'<svg[^>]*class="chart day"[^>]*role="img"|<svg[^>]*role="img"[^>]*class="chart day"', text)
    table = re.search(r"<table.*?</table>", text, re.DOTALL)[0]
    assert table.count("<tr>") == len(planned(job(demo), opened(demo).folded.system)) + 1


def test_what_waits_from_an_earlier_visit_stands_on_top(demo, where):
    """With when and why; one press plans it; done, it waits no more."""
    system = opened(demo).folded.system
    first = opened(demo).facts[0]
    made = demo.ledger.pen
    earlier = made.id()
    demo.ledger.write(
        earlier,
        [
            draft(VisitOpened, system=opened(demo).folded.system_id),
            draft(SystemDescribed, system=system),
            draft(LeftWaiting, task="straighten the fins", why="behind the panel"),
        ],
    )
    # The other visit was opened later, so it is this one that is the earlier of the two.
    assert demo.ledger.opened(earlier).facts[0].moment > first.moment
    assert "behind the panel" not in words(page(demo, where))
    later = made.id()
    demo.ledger.write(
        later, [draft(VisitOpened, system=opened(demo).folded.system_id), draft(SystemDescribed, system=system)]
    )
    demo.visit = later
    there = f"/visit/{later}/plan"
    text = words(page(demo, there))
    assert re.search(
        r"Waits for an opening Straighten the fins now \+13 min;.*?Waiting since 20\d\d-\d\d-\d\d: behind", text
    )
    assert text.index("behind the panel") < text.index("Clean the motor")
    assert text.count("Straighten the fins") == 1
    press(demo, there, "/plan/extra", "add", "straighten the fins")
    assert "straighten the fins" in job(demo).extra
    wrote(demo, draft(TaskDone, task="straighten the fins"))
    assert "Waits for an opening" not in words(page(demo, there))


def test_an_item_is_ticked_by_one_press(demo, where):
    assert "0 of " in words(page(demo, where))
    row, sent = press(demo, where, "/plan/item", "state", "on the truck", {"item": "rags"})
    demo.post(row.action, data=sent)
    assert [(fact.item, fact.state) for fact in facts(demo, ItemCounted)] == [("rags", "on the truck")]
    rags = form(page(demo, where), "/plan/item", item="rags")
    assert rags.buttons == [("state", "not on the truck"), ("state", "ran out")]
    demo.post(rags.action, data={**rags.fields, "state": "ran out"})
    assert opened(demo).folded.item["rags"].state == "ran out"
    assert "missing or used up: 1" in words(page(demo, where))
    for item, state in (("a kitchen sink", "ran out"), ("rags", "lost")):
        assert demo.post(f"{where}/item", data={"item": item, "state": state}).status_code == 404


def test_a_small_press_brings_the_row_back_and_the_counts(demo, where):
    sent = {"once": demo.ledger.once(), "item": "rags", "state": "on the truck"}
    answer = demo.post(f"{where}/item", data=sent, headers={"HX-Request": "true"})
    assert answer.status_code == 200
    assert answer.text.strip().startswith('<li id="item-rags">')
    assert 'hx-target="#counted"' in answer.text
    assert "1 of " in answer.text


def test_the_capacitor_and_the_hub_puller(demo, where):
    text = words(page(demo, where))
    assert "Run capacitor 7.5 uF, the same as the old one; at least 370 V; no wider than ±6 %" in text
    assert "Hub puller hopefully not needed" in text
    system = opened(demo).folded.system
    wrote(demo, draft(SystemDescribed, system=replace(system, capacitor=None)))
    assert "no new one can be matched to it" in words(page(demo, where))
    wrote(demo, draft(SystemDescribed, system=replace(system, capacitor=Capacitor(capacitance=5e-6))))
    assert "5 uF, the same as the old one; read volts and tolerance off the old one" in words(page(demo, where))


CHEMICAL = {"name": "Foam", "use": "coil", "water_parts": "4", "sprayer_volume": "1 gal", "fills": "2"}


def test_a_chemical_by_its_label(demo, where):
    fields = {**form(page(demo, where), "/plan/chemical", name="").fields, **CHEMICAL, "dwell_least": "20 min"}
    answer = demo.post(f"{where}/chemical", data={**fields, "dwell_most": "40 min"})
    assert answer.status_code == 303
    uses = [one.use for one in job(demo).chemical]
    assert sorted(uses) == ["coil", "wheel"]
    foam = next(one for one in job(demo).chemical if one.use == "coil")
    assert (foam.name, foam.water_parts, foam.dwell_least, foam.dwell_most) == ("Foam", 4.0, 1200.0, 2400.0)
    text = words(page(demo, where))
    assert "Coil: Foam, stays 20 min to 40 min" in text
    # Two gallons, one part in five of it cleaner: 51 fluid ounces.
    assert "Foam: 51 fl oz of cleaner and 1.6 gal of water (1 to 4), 2 fills" in text
    assert "alkaline coil cleaner" not in text
    press(demo, where, "/plan/chemical", "off", "coil")
    assert [one.use for one in job(demo).chemical] == ["wheel"]


def test_a_chemical_that_cannot_be_read_comes_back_as_typed(demo, where):
    before = job(demo)
    for wrong, said in (
        ({"dwell_least": "20 min", "dwell_most": "10 min"}, "At most cannot be shorter than at least"),
        ({"sprayer_volume": "much"}, "Begin with a number"),
        ({"name": ""}, "Fill this in"),
        ({"use": "roof"}, "Choose one of these"),
    ):
        sent = {"once": demo.ledger.once(), **CHEMICAL, **wrong}
        answer = demo.post(f"{where}/chemical", data=sent)
        assert answer.status_code == 422
        back = form(answer.text, "/plan/chemical", once=sent["once"])
        assert {name: back.fields[name] for name in sent if name != "use"} == {
            name: text for name, text in sent.items() if name != "use"
        }
        assert not back.shut
        assert said in words(answer.text)
    assert job(demo) == before


def test_the_risk_is_told_with_its_stop_and_price(demo, where):
    asked = form(page(demo, where), "/plan/risk/hub")
    assert asked.fields["stop_after"] == "45 min"
    sent = {**asked.fields, "stop_after": "30", "amount": "90", "note": "she nodded"}
    for _ in range(2):
        assert demo.post(f"{where}/risk/hub", data=sent).headers["location"].endswith("/plan#risk-hub")
    (told,) = facts(demo, RiskTold)
    assert (told.guide, told.stop_after, told.amount, told.note) == ("hub", 1800.0, 90.0, "she nodded")
    text = words(page(demo, where))
    assert "for 30 min at most" in text
    assert "90.00 USD" in text
    assert re.search(r"Told at \d\d:\d\d: stop after 30 min\.", text)


def test_a_risk_that_cannot_be_read_comes_back_as_typed(demo, where):
    sent = {"once": demo.ledger.once(), "stop_after": "soon", "amount": "$90", "note": "n"}
    answer = demo.post(f"{where}/risk/hub", data=sent)
    assert answer.status_code == 422
    back = form(answer.text, "/plan/risk/hub", once=sent["once"])
    assert {name: back.fields[name] for name in sent} == sent
    assert "Begin with a number" in words(answer.text)
    assert "Write a number, without a currency sign." in words(answer.text)
    for wrong in ({"stop_after": "0 min"}, {"stop_after": ""}, {"stop_after": "30", "amount": "-5"}):
        answer = demo.post(f"{where}/risk/hub", data={**sent, "amount": "", **wrong})
        assert answer.status_code == 422
        assert 'role="alert"' in answer.text
    assert not facts(demo, RiskTold)
    assert demo.post(f"{where}/risk/nothing", data=sent).status_code == 404


def test_a_record_that_names_what_is_not_known_is_still_shown(demo, where):
    """Codes of another version, or of an equipment that was described anew."""
    wrote(demo, draft(JobSet, job=Job(scope=("ducts", "coil"), extra=("sing",), without=("discharge",))))
    text = words(page(demo, where))
    for code in ("Ducts", "Sing", "Discharge"):
        assert f"{code}: cannot be planned here." in text
    press(demo, where, "/plan/scope", "on", "blower")
    assert job(demo).scope == ("blower", "coil")


def test_the_road_says_what_is_planned(demo, where):
    count = len(planned(job(demo), opened(demo).folded.system))
    road = where.removesuffix("/plan")
    assert f"{count} tasks for one person." in words(page(demo, road))
    wrote(demo, draft(TaskDone, task="arrive"))
    assert f"{count} tasks, 1 done." in words(page(demo, road))


def test_every_task_is_told_of_somewhere(demo, where):
    """No task of the plan is missing from the page, whatever it is for."""
    for code in tasks().scopes:
        demo.post(f"{where}/scope", data={"once": demo.ledger.once(), "on": code})
    table = words(re.search(r"<table.*?</table>", page(demo, where), re.DOTALL)[0]).casefold()
    for one in planned(job(demo), opened(demo).folded.system):
        assert one.code in table
