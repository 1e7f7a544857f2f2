"""What to do if it sticks, through its page: the clock from the first press, the promised stop, what was said of it."""

import re

import pytest

from drawthrough.store.memory import MemoryStore
from drawthrough.trade.guides import guides
from drawthrough.units import MINUTE
from drawthrough.visit.facts import RiskTold, SnagMet
from drawthrough.web import create_app
from tests.web.conftest import Client, SteppingTimepiece
from tests.web.filled import form

pytestmark = pytest.mark.property
HUB = guides()["hub"]


class MovedTimepiece(SteppingTimepiece):
    """A clock that a test moves on."""

    minutes = 0.0

    def milliseconds(self) -> int:
        return super().milliseconds() + int(self.minutes * 60_000)


@pytest.fixture
def clock():
    return MovedTimepiece(1_000_000)


@pytest.fixture
def client(clock):
    """An application that holds one visit, which has just begun."""
    made = Client(create_app(MemoryStore(), clock, device="test"))
    answer = made.post("/visit", data={"once": made.ledger.once(), "name": "Trial", "altitude": "1200 ft"})
    made.visit = answer.headers["location"].split("/")[2]
    return made


@pytest.fixture
def where(client):
    return f"/visit/{client.visit}"


def snags(client):
    doing = client.ledger.opened(client.visit).folded.doing
    return [(fact.step, fact.note) for fact in doing if isinstance(fact, SnagMet)]


def press(client, where, what, code="hub", **more):
    sent = form(client.get(f"{where}/guide/{code}").text, f"/guide/{code.replace(' ', '%20')}").fields
    return client.post(f"{where}/guide/{code}", data={**sent, "press": what, **more})


def shown(client, where, code="hub"):
    return client.get(f"{where}/guide/{code}").text


@pytest.mark.parametrize("code", guides())
def test_every_guide_says_all_that_it_has(client, where, code):
    page = shown(client, where, code)
    for step in guides()[code].step:
        for text in (step.text, step.risk, step.go_on):
            assert text.replace("'", "&#39;") in page
    assert client.get(f"{where}/work", params={"task": guides()[code].applies[0]}).text.count("/guide/") >= 1


@pytest.mark.parametrize("path", ["/guide/glue", "/guide/"])
def test_a_guide_that_is_not_there(client, where, path):
    assert client.get(where + path).status_code == 404
    assert client.post(f"{where}/guide/hub", data={"press": "wish"}).status_code == 404


def test_one_press_a_step_and_one_when_it_came_off(client, where):
    press(client, where, "start")
    press(client, where, "next")
    press(client, where, "next")
    press(client, where, "solved")
    first, second, third = (step.code for step in HUB.step[:3])
    assert snags(client) == [
        (first, ""), (second, "did not help"), (third, "did not help"), (third, "that did it"),
    ]  # fmt: skip
    page = shown(client, where)
    assert "It came right at" in page
    assert "It sticks again: start the clock" in page
    work = client.get(f"{where}/work").text  # it explains the hours
    assert work.count(HUB.title) >= 4


def test_sent_twice_or_in_two_tabs_it_goes_on_by_one_step(client, where):
    press(client, where, "start")
    sent = form(shown(client, where), "/guide/hub").fields
    for once in (sent["once"], sent["once"], client.ledger.once()):
        answer = client.post(f"{where}/guide/hub", data={**sent, "once": once, "press": "next"})
        assert answer.status_code == 303
    assert len(snags(client)) == 2


def test_the_last_step_leads_nowhere(client, where):
    press(client, where, "start")
    for _ in range(len(HUB.step) + 3):
        press(client, where, "next")
    assert snags(client)[-1][0] == HUB.step[-1].code
    assert len(snags(client)) == len(HUB.step)
    assert "Did not help, next" not in shown(client, where)


def test_stop_by_comes_from_the_first_press_and_the_promise(client, where, clock):
    client.ledger.write(client.visit, [(RiskTold, {"guide": "hub", "stop_after": 30 * MINUTE, "amount": 80.0})])
    press(client, where, "start")
    start, stop = re.search(r"Started at (\d\d:\d\d), stop by (\d\d:\d\d)", shown(client, where)).groups()

    def minutes(time):
        hours, rest = time.split(":")
        return 60 * int(hours) + int(rest)

    assert (minutes(stop) - minutes(start)) % 1440 in (29, 30)
    clock.minutes = 12
    page = shown(client, where)
    assert re.search(r"Started at (\d\d:\d\d), stop by (\d\d:\d\d)", page).groups() == (start, stop)  # it does not move
    assert "12 min of hands so far, of 30 min." in page
    assert "are over" not in page


def test_after_the_stop_point_the_page_says_so_first(client, where, clock):
    client.ledger.write(client.visit, [(RiskTold, {"guide": "hub", "stop_after": 30 * MINUTE})])
    press(client, where, "start")
    clock.minutes = 31
    page = shown(client, where)
    assert page.index("The 30 min that were promised are over. Stop, and let the customer choose.") < page.index("<h1>")
    press(client, where, "solved")
    assert "are over" not in shown(client, where)


def test_soaking_does_not_count(client, where, clock):
    press(client, where, "start")
    soak = next(k for k, step in enumerate(HUB.step) if step.wait)
    for _ in range(soak):
        press(client, where, "next")
    clock.minutes = 40
    page = shown(client, where)
    assert "The clock rests while it soaks" in page
    assert "0 min of hands so far, of 45 min." in page
    press(client, where, "next")
    clock.minutes = 50
    assert "10 min of hands so far, of 45 min." in shown(client, where)


def test_a_guide_without_a_promise_has_no_stop(client, where, clock):
    press(client, where, "start", "wheel")
    clock.minutes = 500
    page = shown(client, where, "wheel")
    assert "Started at" in page
    assert "stop by" not in page
    assert "are over" not in page


def test_what_was_told_stands_beside_it(client, where):
    assert "/plan#risk-hub" in shown(client, where)
    client.ledger.write(client.visit, [(RiskTold, {"guide": "hub", "stop_after": 20 * MINUTE, "amount": 80.0})])
    page = shown(client, where)
    assert re.search(r"Told at \d\d:\d\d: stop after 20 min; it adds .*80.* at most\.", page)
    assert "We work on yours for 20 min at most" in page


def test_a_step_that_soaks_is_a_timer_on_every_page(client, where):
    press(client, where, "start")
    soak = next(k for k, step in enumerate(HUB.step) if step.wait)
    for _ in range(soak):
        press(client, where, "next")
    (reached,) = [
        fact for fact in client.ledger.opened(client.visit).folded.doing if getattr(fact, "step", "") == "soak"
    ]
    timer = re.search(r'href="([^"]+)" data-timer="([^"]+)" data-until="(\d+)"', client.get(f"{where}/photos").text)
    assert timer[1] == f"{where}/guide/hub#at"
    assert timer[2] == reached.id
    assert int(timer[3]) == reached.moment // 65536 + HUB.step[soak].takes.likely * 1000
    press(client, where, "next")
    assert "data-timer" not in client.get(f"{where}/photos").text
