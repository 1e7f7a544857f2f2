"""The page of the work through its own forms: what was done to a part and how it was left, prices, what to mind.

The leads have a page of their own; the steps of the day are pressed in `test_steps.py`.
"""

import re

import pytest

from drawthrough.trade.cautions import cautions, standing
from drawthrough.trade.tasks import tasks
from drawthrough.visit.facts import WorkDone
from drawthrough.visit.state import Work
from tests.web.filled import form, forms

pytestmark = pytest.mark.property


@pytest.fixture
def where(client):
    """A visit that has just begun."""
    answer = client.post("/visit", data={"once": client.ledger.once(), "name": "Trial", "altitude": "1200 ft"})
    where = answer.headers["location"].removesuffix("/system")
    client.visit = where.split("/")[2]
    return where


def write(client, path, fields, once=""):
    answer = client.post(path, data={"once": once or client.ledger.once(), **fields})
    assert answer.status_code == 303, answer.text
    return answer.headers["location"]


def opened(client):
    return client.ledger.opened(client.visit)


def done(client):
    return [fact.work for fact in opened(client).folded.work]


def press(client, where, part, action):
    """Press one of the buttons that stand in a part's row; return the row as it stood."""
    row = form(client.get(f"{where}/work").text, "/work/press", part=part)
    assert ("action", action) in row.buttons
    assert write(client, row.action, {**row.fields, "action": action}, row.fields["once"]).endswith("/work#work")
    return row


def test_a_visit_that_is_not_there(client):
    assert client.get("/visit/nowhere/work").status_code == 404
    for name in ("work", "work/press", "work/left", "price"):
        assert client.post(f"/visit/nowhere/{name}", data={"part": "wheel", "action": "cleaned"}).status_code == 404


def test_one_press_says_what_was_done_and_one_more_how_it_was_left(client, where):
    press(client, where, "wheel", "cleaned")
    assert done(client) == [Work(part="wheel", action="cleaned")]
    asked = form(client.get(f"{where}/work").text, "/work/left")
    assert [value for _, value in asked.buttons] == ["seen clean", "likely clean", "not seen", "still dirty"]
    for _ in range(2):
        write(client, asked.action, {**asked.fields, "condition": "likely clean"}, asked.fields["once"])
    assert done(client) == [Work(part="wheel", action="cleaned", condition="likely clean")]
    page = client.get(f"{where}/work").text
    assert "wheel: cleaned, likely clean" in page
    assert not [one for one in forms(page) if one.action.endswith("/work/left")]


def test_how_it_was_left_keeps_the_note(client, where):
    write(client, f"{where}/work", {"part": "coil", "action": "rinsed", "note": "both faces"})
    asked = form(client.get(f"{where}/work").text, "/work/left")
    write(client, asked.action, {**asked.fields, "condition": "seen clean"}, asked.fields["once"])
    assert done(client) == [Work(part="coil", action="rinsed", condition="seen clean", note="both faces")]


def test_two_tabs_say_how_it_was_left_once(client, where):
    press(client, where, "wheel", "cleaned")
    tabs = [form(client.get(f"{where}/work").text, "/work/left") for _ in range(2)]
    for tab, condition in zip(tabs, ("seen clean", "still dirty"), strict=True):
        write(client, tab.action, {**tab.fields, "condition": condition}, tab.fields["once"])
    assert [one.condition for one in done(client)] == ["seen clean"]


def test_a_row_sent_twice_is_written_once_and_another_press_of_it_is_not_lost(client, where):
    row = press(client, where, "wheel", "cleaned")
    write(client, row.action, {**row.fields, "action": "cleaned"}, row.fields["once"])
    assert len(done(client)) == 1
    # Someone went back to the page as it stood before, and pressed another button of the same row.
    write(client, row.action, {**row.fields, "action": "rinsed"}, row.fields["once"])
    assert [one.action for one in done(client)] == ["cleaned", "rinsed"]


@pytest.mark.parametrize(
    ("part", "action", "asked"),
    [
        ("coil", "cleaned", True),
        ("coil", "inspected", True),
        ("coil", "not done", False),
        ("filter", "replaced", False),
        ("capacitor", "inspected", False),
    ],
)
def test_how_it_was_left_is_asked_where_it_was_looked_at(client, where, part, action, asked):
    press(client, where, part, action)
    assert ("/work/left" in client.get(f"{where}/work").text) is asked


def test_every_part_has_its_row(client, where):
    rows = [one for one in forms(client.get(f"{where}/work").text) if one.action.endswith("/work/press")]
    assert len({row.fields["once"] for row in rows}) == len(rows) == 15
    for row in rows:
        press(client, where, row.fields["part"], "inspected")
    assert [one.part for one in done(client)] == [row.fields["part"] for row in rows]


@pytest.mark.parametrize(
    ("path", "fields", "status"),
    [
        ("work/press", {"part": "wheel", "action": "polished"}, 422),
        ("work/press", {"part": "chimney", "action": "cleaned"}, 422),
        ("work/press", {}, 422),
        ("work/left", {"of": "nothing", "condition": "seen clean"}, 404),
        ("work/left", {"condition": "spotless"}, 404),
        ("withdraw", {"of": "nothing"}, 404),
    ],
)
def test_what_no_button_sends_writes_nothing(client, where, path, fields, status):
    before = len(opened(client).facts)
    answer = client.post(f"{where}/{path}", data={"once": client.ledger.once(), **fields})
    assert answer.status_code == status
    assert len(opened(client).facts) == before


def test_a_fact_of_another_kind_was_not_left_in_any_condition(client, where):
    other = opened(client).facts[0].id
    answer = client.post(f"{where}/work/left", data={"of": other, "condition": "seen clean"})
    assert answer.status_code == 404


def test_what_was_done_can_be_taken_back(client, where):
    press(client, where, "wheel", "cleaned")
    page = client.get(f"{where}/work").text
    back = next(one for one in forms(page) if one.action.endswith("/withdraw"))
    assert back.fields["here"] == f"{where}/work"
    assert write(client, back.action, back.fields, back.fields["once"]) == f"{where}/work"
    assert done(client) == []
    assert sum(isinstance(one, WorkDone) for one in opened(client).facts) == 1  # it stays in the record


@pytest.mark.parametrize(
    ("name", "fields", "wrong"),
    [
        ("work", {"part": "wheel", "action": "polished", "note": "as I wrote it"}, "action"),
        ("work", {"part": "wheel", "action": "cleaned", "condition": "spotless", "note": "as I wrote it"}, "condition"),
        ("price", {"item": "a second return", "amount": "a lot"}, "amount"),
        ("price", {"item": "", "amount": "140"}, "item"),
    ],
)
def test_what_is_refused_comes_back_as_typed_with_its_fault_in_sight(client, where, name, fields, wrong):
    before = len(opened(client).facts)
    answer = client.post(f"{where}/{name}", data={"once": client.ledger.once(), **fields})
    assert answer.status_code == 422
    back = form(answer.text, f"/{name}")
    chosen = ("part", "action", "condition", "when")  # a choice that does not exist cannot be shown as chosen
    for field, value in fields.items():
        assert back.fields[field] == value or (field in chosen and field == wrong), field
    assert wrong not in back.shut
    assert f"-{wrong}-fault" in answer.text
    assert len(opened(client).facts) == before


@pytest.mark.parametrize(
    ("name", "fields"),
    [
        ("work", {"part": "wheel", "action": "cleaned"}),
        ("price", {"item": "coil", "amount": "620"}),
    ],
)
def test_sent_twice_it_is_written_once(client, where, name, fields):
    sent = form(client.get(f"{where}/work").text, f"/{name}").fields
    for _ in range(3):
        write(client, f"{where}/{name}", {**sent, **fields}, sent["once"])
    assert len(getattr(opened(client).folded, name)) == 1


def test_what_is_typed_cannot_become_markup(client, where):
    sly = "</textarea><script>alert(1)</script>"
    write(client, f"{where}/work", {"part": "wheel", "action": "cleaned", "note": sly})
    write(client, f"{where}/price", {"item": sly, "amount": "1"})
    page = client.get(f"{where}/work").text
    assert "<script>alert" not in page
    assert page.count("&lt;script&gt;alert(1)") >= 2
    refused = client.post(f"{where}/work", data={"part": "wheel", "action": "", "note": sly})
    assert "<script>alert" not in refused.text
    assert form(refused.text, "/work").fields["note"] == sly


def test_a_price_said_again_replaces_the_amount(client, where):
    for amount in ("620", "640.50"):
        write(client, f"{where}/price", {"item": "coil, pulled", "amount": amount})
    page = client.get(f"{where}/work").text
    assert "coil, pulled: 640.50" in page
    assert "620" not in page.split('id="price"')[1].split("</ol>")[0]


# --- what to mind ---


def minding(page):
    """What stands under Mind, and whether the fold is open."""
    return re.search(r"<details class=\"more\"( open)?><summary>Mind</summary>.*?</details>", page, re.S)


def test_what_to_mind_stands_open_the_first_time_and_stays_at_hand(client, where):
    """Before hands go in it is read once; then it is folded, and one tap away."""
    before = minding(client.get(f"{where}/work?task=isolate").text)
    assert before[1]
    write(client, f"{where}/work/begin", {"task": "isolate"})
    after = minding(client.get(f"{where}/work?task=isolate").text)
    assert not after[1]
    for code in tasks().task["isolate"].cautions:
        one = cautions()[code]
        for shown in (before[0], after[0]):
            assert one.text.replace("'", "&#39;") in shown
            assert all(section in shown for section in one.citations)
    assert "cited from memory" in before[0]


def test_every_task_minds_what_always_stands(client, where):
    for code in ("arrive", "isolate", "pull the blower", "power on"):
        shown = minding(client.get(f"{where}/work", params={"task": code}).text)[0]
        assert all(one.text in shown for one in standing())


def test_every_caution_names_what_it_rests_on(client, where):
    for code in ("isolate", "spray the coil"):
        shown = minding(client.get(f"{where}/work", params={"task": code}).text)[0]
        lines = re.findall(r"<li>.*?</li>", shown, re.S)
        assert lines
        assert all(re.search(r'cited">[^<]+</span>', line) for line in lines)


def test_what_was_just_done_asks_on_top_how_it_was_left(client, where):
    press(client, where, "wheel", "cleaned")
    page = client.get(f"{where}/work").text
    asked = next(one for one in forms(page) if one.action.endswith("/work/left"))
    assert asked.fields["back"] == "now"
    answer = client.post(asked.action, data={**asked.fields, "condition": "seen clean"})
    assert answer.headers["location"].endswith("/work#now")


def test_the_leads_are_one_tap_away(client, where):
    assert f'href="{where}/leads"' in client.get(f"{where}/work").text
