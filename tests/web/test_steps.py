"""Presses on the tasks of a day, through the application: in order, out of order, twice, in two tabs, with a reason."""

import re

import pytest

from drawthrough.plan.day import Day
from drawthrough.report.words_work import RECORDS, SHOWN_AT, SUBJECTS
from drawthrough.trade.hold_points import hold_points
from drawthrough.trade.tasks import tasks
from drawthrough.visit.facts import (
    HoldPassed,
    JobSet,
    LeadSeen,
    LeftWaiting,
    SnagMet,
    TaskBegun,
    TaskDone,
    TaskLeft,
    TerminalSeen,
    WorkDone,
)
from drawthrough.visit.state import Chemical, Job, Lead, Terminal, Work
from drawthrough.web.ledger import draft
from tests.web.filled import form, forms

pytestmark = pytest.mark.property
TO_DEAD = ("arrive", "isolate")
TO_INSIDE = (*TO_DEAD, "open the blower door", "discharge")
WORDS = "the camera fell into the pan"


@pytest.fixture
def where(client):
    """A visit that has just begun, with a system that is not described: it may have everything."""
    answer = client.post("/visit", data={"once": client.ledger.once(), "name": "Trial", "altitude": "1200 ft"})
    where = answer.headers["location"].removesuffix("/system")
    client.visit = where.split("/")[2]
    return where


def press(client, where, path, code, once="", checks=None, **more):
    """Press a button of a task, all its checks ticked unless said otherwise."""
    ticked = tasks().task[code].checks if checks is None else checks
    fields = {f"check-{k}": check for k, check in enumerate(ticked)} if path == "done" else {}
    key = "begin_once" if path == "begin" else "once"
    data = {key: once or client.ledger.once(), "task": code, **fields, **more}
    return client.post(f"{where}/work/{path}", data=data)


def do(client, where, *codes):
    for code in codes:
        answer = press(client, where, "done", code)
        assert answer.status_code == 303, (code, said(answer))


def doing(client, kind):
    return [fact for fact in client.ledger.opened(client.visit).folded.doing if isinstance(fact, kind)]


def count(client):
    return len(client.ledger.opened(client.visit).facts)


def said(answer):
    return " ".join(re.findall(r'class="refusal[^"]*" role="alert"[^>]*>(.*?)</', answer.text, re.S))


def large(page):
    return re.search(r"<h1>(.*?)</h1>", page)[1]


# --- the holding rule ---


@pytest.mark.parametrize("path", ["begin", "done"])
@pytest.mark.parametrize(
    ("code", "reason"),
    [
        ("discharge", "Nothing is opened or reached for before it is proved dead."),
        ("open the blower door", "Nothing is opened or reached for before it is proved dead."),
        ("photograph the wiring", "No hands inside before it is proved dead and the capacitor is discharged."),
        ("release the leads", "No lead comes off before all of them are written down."),
        ("try the hub", "No hub is tried before the customer knows the risk."),
        ("spray the coil", "No water before the drain is proved and what stays dry is covered."),
        ("power on", "No power before every lead is back where it belongs and the wheel spins free."),
    ],
)
def test_pressed_out_of_order_it_holds_and_says_why(client, where, path, code, reason):
    before = count(client)
    answer = press(client, where, path, code)
    assert answer.status_code == 409
    assert reason in said(answer)
    assert large(answer.text) == code.capitalize()
    assert count(client) == before
    page = client.get(f"{where}/work", params={"task": code}).text
    assert 'class="gate"' in page
    assert reason in page
    assert re.search(r'<button class="btn" form="doing" disabled>', page)


@pytest.mark.parametrize("code", ["hands inside", "first reach"])
def test_isolation_and_discharge_offer_no_reason_and_take_none(client, where, code):
    task = "photograph the wiring"
    page = client.get(f"{where}/work", params={"task": task}).text
    offered = [one.fields["hold"] for one in forms(page) if one.action.endswith("/work/pass")]
    assert code not in offered
    conditions = ";".join(one.code for one in hold_points()[code].conditions)
    sent = {"hold": code, "task": task, "why": WORDS, "open": conditions, "once": client.ledger.once()}
    answer = client.post(f"{where}/work/pass", data=sent)
    assert answer.status_code == 409
    assert "No reason passes this hold point" in said(answer)
    assert doing(client, HoldPassed) == []
    # Even a fact that says otherwise, from wherever it came, does not open it.
    pen = client.ledger.pen
    client.ledger.store.append(
        [pen.mint(HoldPassed, client.visit, hold=code, open=tuple(conditions.split(";")), why=WORDS)]
    )
    assert press(client, where, "done", task).status_code == 409


def to_the_leads(client, where):
    do(client, where, *TO_INSIDE, "photograph the wiring", "map the leads", "prove the parks", "measure the seat")
    return form(client.get(f"{where}/work", params={"task": "release the leads"}).text, "/work/pass")


def test_with_a_written_reason_it_opens_and_the_reason_is_kept(client, where):
    gate = to_the_leads(client, where)
    assert gate.fields["hold"] == "leads off"
    for _ in range(2):
        answer = client.post(gate.action, data={**gate.fields, "why": WORDS})
        assert answer.status_code == 303
        assert answer.headers["location"].endswith("/work?task=release+the+leads#now")
    (kept,) = doing(client, HoldPassed)
    assert kept.hold == "leads off"
    assert kept.why == WORDS
    assert set(kept.open) == {"leads written down", "wiring photographed"}
    do(client, where, "release the leads")
    page = client.get(f"{where}/work").text
    assert "Hold points passed with a reason" in page
    assert WORDS in page


@pytest.mark.parametrize("why", ["", "   ", "no time", "1 2 3", "... ... ..."])
def test_a_reason_that_says_nothing_is_not_taken_and_stays_as_typed(client, where, why):
    gate = to_the_leads(client, where)
    answer = client.post(gate.action, data={**gate.fields, "why": why})
    assert answer.status_code == 422
    assert "three at least" in said(answer)
    assert form(answer.text, "/work/pass").fields["why"] == why.strip()
    assert "why" not in form(answer.text, "/work/pass").shut
    assert doing(client, HoldPassed) == []


def test_a_reason_longer_than_the_report_has_room_for_is_not_taken(client, where):
    gate = to_the_leads(client, where)
    answer = client.post(gate.action, data={**gate.fields, "why": "a word " * 100})
    assert answer.status_code == 422
    assert "500" in said(answer)


def test_a_reason_does_not_speak_of_what_was_not_seen_open(client, where):
    gate = to_the_leads(client, where)
    for shown in ("", "wiring photographed", "leads told apart;wiring photographed"):
        answer = client.post(gate.action, data={**gate.fields, "open": shown, "why": WORDS})
        assert answer.status_code == 409
        assert form(answer.text, "/work/pass").fields["why"] == WORDS  # stands as typed
    assert doing(client, HoldPassed) == []


def test_no_reason_is_written_where_nothing_is_open(client, where):
    gate = to_the_leads(client, where)
    client.post(gate.action, data={**gate.fields, "why": WORDS})
    answer = client.post(gate.action, data={**gate.fields, "why": WORDS, "once": client.ledger.once()})
    assert answer.status_code == 409
    assert "Nothing holds here any more" in said(answer)
    assert len(doing(client, HoldPassed)) == 1


def test_a_reason_of_an_earlier_opening_does_not_count_in_a_later_one(client, where):
    gate = to_the_leads(client, where)
    client.post(gate.action, data={**gate.fields, "why": WORDS})
    do(client, where, "isolate")
    assert press(client, where, "done", "release the leads").status_code == 409


def test_power_that_came_on_elsewhere_is_said_on_top(client, where):
    do(client, where, *TO_INSIDE)
    assert 'class="alarm"' not in client.get(f"{where}/work").text
    pen = client.ledger.pen
    client.ledger.store.append([pen.mint(TaskDone, client.visit, task="power on", checks=("everybody is clear",))])
    page = client.get(f"{where}/work").text
    assert "The power is on, and a hold point is open. Switch off, and isolate again." in page
    assert page.index('class="alarm"') < page.index('id="now"')
    assert large(page) == "Isolate"
    alarm = page.split('class="alarm"')[1].split('id="now"')[0]
    assert "/work/pass" not in alarm
    assert press(client, where, "begin", "photograph the wiring").status_code == 409  # not dead any more


def test_an_unticked_check_holds_and_what_was_ticked_stays(client, where):
    checks = tasks().task["isolate"].checks
    answer = press(client, where, "done", "isolate", checks=checks[:2])
    assert answer.status_code == 409
    for check in checks:
        assert (check in said(answer)) == (check in checks[2:])
        ticked = re.search(rf'value="{re.escape(check)}"( checked)?>', answer.text)
        assert bool(ticked[1]) == (check in checks[:2])
    assert doing(client, TaskDone) == []


# --- begun, done, twice, in two tabs ---


def test_begun_and_done_moves_the_day_on(client, where):
    assert large(client.get(f"{where}/work").text) == "Arrive"
    assert press(client, where, "begin", "arrive").headers["location"].endswith("/work#now")
    page = client.get(f"{where}/work").text
    assert "in hand since" in page
    assert "/work/begin" not in page.split('class="next"')[1]
    do(client, where, "arrive")
    page = client.get(f"{where}/work").text
    assert large(page) == "Tell the risk"
    assert "Done last" in page
    assert len(doing(client, TaskBegun)) == len(doing(client, TaskDone)) == 1


@pytest.mark.parametrize("path", ["begin", "done", "leave-out", "leave-waiting"])
def test_a_press_sent_twice_is_written_once(client, where, path):
    code = "change the filter"
    once = client.ledger.once()
    for _ in range(3):
        assert press(client, where, path, code, once).status_code == 303
    kind = {"begin": TaskBegun, "done": TaskDone, "leave-out": TaskLeft, "leave-waiting": LeftWaiting}[path]
    assert len(doing(client, kind)) == 1


def test_two_tabs_call_a_task_done_once(client, where):
    tabs = [form(client.get(f"{where}/work").text, "/work/done") for _ in range(2)]
    for tab in tabs:
        assert client.post(tab.action, data=tab.fields).status_code == 303
    assert [fact.task for fact in doing(client, TaskDone)] == ["arrive"]


def test_two_tabs_begin_a_task_once(client, where):
    tabs = [form(client.get(f"{where}/work").text, "/work/done") for _ in range(2)]
    for tab in tabs:
        assert client.post(f"{where}/work/begin", data=tab.fields).status_code == 303
    assert len(doing(client, TaskBegun)) == 1


def test_done_can_be_done_again(client, where):
    do(client, where, *TO_DEAD)
    again = form(client.get(f"{where}/work", params={"task": "isolate"}).text, "/work/done")
    ticks = {f"check-{k}": check for k, check in enumerate(tasks().task["isolate"].checks)}
    assert client.post(again.action, data={**again.fields, **ticks}).status_code == 303
    assert [fact.task for fact in doing(client, TaskDone)].count("isolate") == 2


def test_the_work_is_written_with_the_task_and_taken_back_with_it(client, where):
    do(client, where, "change the filter")
    opened = client.ledger.opened(client.visit)
    assert [fact.work for fact in opened.folded.work] == [Work(part="filter", action="replaced")]
    (done,) = doing(client, TaskDone)
    back = form(client.get(f"{where}/work").text, "/work/back", of=done.id)
    for _ in range(2):
        assert client.post(back.action, data=back.fields).status_code == 303
    folded = client.ledger.opened(client.visit).folded
    assert folded.work == ()
    assert doing(client, TaskDone) == []
    assert sum(isinstance(fact, WorkDone) for fact in client.ledger.opened(client.visit).facts) == 1  # stays recorded


def test_proving_the_parks_proves_each_post_and_taking_it_back_proves_none(client, where):
    """What the check says of every post is written of each; a post that a test found live stays so."""
    for colour, terminal in (("black", "relay 4"), ("blue", "park 1"), ("red", "park 2"), ("yellow", "park 3")):
        lead = Lead(colour=colour, function="speed", origin="motor", terminal=terminal, when="as found")
        client.ledger.write(client.visit, [draft(LeadSeen, lead=lead)])
    live = Terminal(name="park 3", kind="park", proved_dead=False)
    client.ledger.write(client.visit, [draft(TerminalSeen, terminal=live)])

    def posts():
        return {one.name: one.proved_dead for one in client.ledger.opened(client.visit).folded.terminal}

    do(client, where, "isolate", "open the blower door", "discharge", "prove the parks")
    assert posts() == {"park 1": True, "park 2": True, "park 3": False}
    done = doing(client, TaskDone)[-1]
    back = form(client.get(f"{where}/work").text, "/work/back", of=done.id)
    assert client.post(back.action, data=back.fields).status_code == 303
    assert posts() == {"park 3": False}


def test_taking_isolation_back_holds_again(client, where):
    do(client, where, *TO_INSIDE)
    isolated = next(fact for fact in doing(client, TaskDone) if fact.task == "isolate")
    client.post(f"{where}/work/back", data={"of": isolated.id, "once": client.ledger.once()})
    assert press(client, where, "done", "photograph the wiring").status_code == 409


def test_the_day_goes_differently(client, where):
    """Any task that nothing stands in the way of can be begun at once, whatever the order of the plan."""
    do(client, where, *TO_INSIDE)
    assert press(client, where, "begin", "open the coil panel").status_code == 303
    page = client.get(f"{where}/work").text
    assert large(page) == "Open the coil panel"
    assert "Passed over" in page  # the readings as found
    do(client, where, "open the coil panel", "look at the coil")


@pytest.mark.parametrize("code", ["isolate", "pull the blower"])
def test_what_the_visit_cannot_do_without_is_not_left_out(client, where, code):
    answer = press(client, where, "leave-out", code, why="no time for it")
    assert answer.status_code == 409
    assert "cannot do without it" in said(answer)
    assert doing(client, TaskLeft) == []


def test_left_out_with_its_why_and_brought_back(client, where):
    assert press(client, where, "leave-out", "change the filter", why="none on the truck").status_code == 303
    page = client.get(f"{where}/work").text
    assert "Left out today" in page
    assert "none on the truck" in page
    (left,) = doing(client, TaskLeft)
    back = form(page, "/work/back", of=left.id)
    client.post(back.action, data=back.fields)
    assert doing(client, TaskLeft) == []


def test_seen_and_out_of_reach_waits(client, where):
    page = client.get(f"{where}/work").text
    assert '<option value="change the capacitor">' in page
    answer = press(client, where, "leave-waiting", "change the capacitor", why="swollen, behind the blower")
    assert answer.status_code == 303
    (waits,) = doing(client, LeftWaiting)
    assert (waits.task, waits.why) == ("change the capacitor", "swollen, behind the blower")
    assert doing(client, TaskLeft) == []  # it was not of this visit
    page = client.get(f"{where}/work").text
    assert "Waits for an opening" in page
    assert "swollen, behind the blower" in page


def test_a_task_of_the_visit_that_waits_is_left_out_today(client, where):
    press(client, where, "leave-waiting", "wipe the cabinet", why="dirty back wall")
    assert [fact.task for fact in doing(client, TaskLeft)] == ["wipe the cabinet"]


def test_a_surprise_is_written_once_and_listed(client, where):
    sent = form(client.get(f"{where}/work").text, "/work/snag").fields
    for _ in range(2):
        client.post(f"{where}/work/snag", data={**sent, "note": "a wasps' nest at the disconnect"})
    client.post(f"{where}/work/snag", data={"note": "", "once": client.ledger.once()})
    assert [fact.note for fact in doing(client, SnagMet)] == ["a wasps' nest at the disconnect"]
    assert "a wasps&#39; nest" in client.get(f"{where}/work").text


@pytest.mark.parametrize("path", ["begin", "done", "leave-out", "leave-waiting"])
@pytest.mark.parametrize("code", ["", "paint the cabinet"])
def test_a_task_that_is_not_there(client, where, path, code):
    assert client.post(f"{where}/work/{path}", data={"task": code}).status_code == 404
    assert client.post(f"/visit/nowhere/work/{path}", data={"task": "arrive"}).status_code == 404


def test_what_no_form_sends(client, where):
    assert client.post(f"{where}/work/pass", data={"hold": "nothing"}).status_code == 404
    first = client.ledger.opened(client.visit).facts[0].id
    assert client.post(f"{where}/work/back", data={"of": first}).status_code == 404
    assert client.get(f"{where}/work", params={"task": "no such task"}).status_code == 200


# --- what soaks, works or drips ---


def to_the_oil(client, where):
    do(client, where, *TO_INSIDE, "prove the parks")
    gate = form(client.get(f"{where}/work", params={"task": "release the leads"}).text, "/work/pass")
    client.post(gate.action, data={**gate.fields, "why": WORDS})
    do(client, where, "release the leads", "pull the blower", "oil the hub")


def test_a_timer_stands_on_every_page_of_the_visit_until_what_waits_is_begun(client, where):
    to_the_oil(client, where)
    for page in ("", "/work", "/as-found", "/photos", "/guide/hub", "/system"):
        shown = client.get(f"{where}{page}").text
        until = re.search(r'data-timer="([^"]+)" data-until="(\d+)" data-most="0"', shown)
        assert until, page
        assert re.search(r"soaking until \d\d:\d\d", shown)  # without JavaScript
    (oiled,) = [fact for fact in doing(client, TaskDone) if fact.task == "oil the hub"]
    assert until[1] == oiled.id
    wait = tasks().task["oil the hub"].idle
    assert int(until[2]) == (oiled.moment // 65536) + sum(wait) / 3 * 1000
    assert "data-timer" not in client.get("/").text
    client.ledger.write(client.visit, [(TaskBegun, {"task": "try the hub"})])
    assert "data-timer" not in client.get(f"{where}/work").text


def test_a_label_says_how_long_and_how_long_at_most(client, where):
    label = Chemical(name="a wheel cleaner", use="wheel", dwell_least=300.0, dwell_most=600.0)
    made = [(JobSet, {"job": Job(chemical=(label,))}), (TaskDone, {"task": "soak the wheel"})]
    done = client.ledger.write(client.visit, made)[-1].moment // 65536
    shown = client.get(f"{where}/work").text
    timer = re.search(r'data-until="(\d+)" data-most="(\d+)" data-say="([^"]*)" data-near="([^"]*)"', shown)
    assert (int(timer[1]) - done, int(timer[2]) - done) == (300_000, 600_000)
    assert "Next: Wash the wheel." in timer[3]
    assert "nearly over" in timer[4]
    assert "at the latest by the label" in shown


def test_a_timer_that_nobody_heard_is_silent_after_a_while(client, where):
    to_the_oil(client, where)
    folded = client.ledger.opened(client.visit).folded
    (timer,) = Day(folded, client.app.state.timepiece.milliseconds() / 1000).timers
    assert timer.next == "try the hub"
    assert Day(folded, timer.until + 7100).timers == (timer,)
    assert Day(folded, timer.until + 7300).timers == ()


def test_a_gate_says_what_is_met_and_leads_to_what_is_not(client, where):
    do(client, where, *TO_DEAD, "open the blower door")
    page = client.get(f"{where}/work", params={"task": "photograph the wiring"}).text
    gate = page.split('class="gate"')[1].split("</ul>")[0]
    assert re.search(r"The capacitor is discharged and proved\.</a> <span class=\"word\">open", gate)
    assert re.search(r"Isolated, locked and proved dead\. <span class=\"word\">met", gate)
    assert f'href="{where}/work?task=discharge#now"' in gate


def test_a_job_that_the_equipment_does_not_have_is_said_and_the_rest_shown(client, where):
    client.ledger.write(client.visit, [(JobSet, {"job": Job(extra=("polish the wheel",))})])
    page = client.get(f"{where}/work")
    assert page.status_code == 200
    assert "polish the wheel" in page.text.split('class="refusal"')[1].split("</p>")[0]
    assert large(page.text) == "Arrive"


def test_what_is_to_be_written_down_leads_to_where_it_is_written(demo):
    asked = {name for task in tasks().task.values() for name in task.record if not name.startswith("photo of ")}
    assert asked == set(RECORDS)
    photos = {name.removeprefix("photo of ") for task in tasks().task.values() for name in task.record} - asked
    assert photos == set(SUBJECTS)
    for path in (*(place.path for place in RECORDS.values()), *SHOWN_AT.values()):
        page, _, place = path.partition("#")
        answer = demo.get(f"/visit/{demo.visit}/{page}")
        assert answer.status_code == 200, path
        assert not place or f'id="{place}"' in answer.text, path


def test_a_photo_is_asked_for_with_its_subject_filled_in(client, where):
    page = client.get(f"{where}/work", params={"task": "photograph the wiring"}).text
    link = re.search(r'href="([^"]+of=wiring)"', page)[1].replace("&amp;", "&")
    camera = form(client.get(link).text, "/photos").fields
    assert (camera["of"], camera["when"]) == ("wiring", "as found")
