"""The page of a run: what is asked next, how it is read, what is written, corrected, taken back and passed over."""

import re
from html import unescape
from urllib.parse import parse_qs, quote, urlsplit

import pytest

from drawthrough.report.voice import Voice
from drawthrough.visit.facts import ReadingCorrected, ReadingTaken
from drawthrough.web import ledger
from drawthrough.web.unit_keys import keys_of
from drawthrough.web.writing import READ, passed_after, passed_of

pytestmark = pytest.mark.property

SMALL = {"HX-Request": "true"}
FIRST = {"what": "static", "at": "return plenum", "against": "room", "value_unit": "inwc", "with": "manometer"}


def fields_in(page: str) -> dict[str, str]:
    """What the writing line of a page would send as it stands, but for the figure."""
    form = page[page.index('id="writing"') : page.index("</form>", page.index('id="writing"'))]
    sent: dict[str, str] = {}
    for tag in re.findall(r"<input[^>]*>", form):
        name = re.search(r'name="([^"]*)"', tag)
        value = re.search(r' value="([^"]*)"', tag)
        if name and ('type="radio"' not in tag or " checked" in tag):
            sent[name[1]] = unescape(value[1]) if value else ""
    for name, options in re.findall(r'<select[^>]*name="([^"]*)"[^>]*>(.*?)</select>', form):
        chosen = re.search(r'value="([^"]*)" selected', options)
        sent[name] = unescape(chosen[1]) if chosen else unescape(re.findall(r'value="([^"]*)"', options)[0])
    return sent


class Run:
    """A run that is being read, with the page as it was shown last."""

    def __init__(self, client, mode: str = "fan", when: str = "as found", name: str = "a run") -> None:
        self.client = client
        self.visit = client.visit
        self.name = name
        self.post(f"/visit/{self.visit}/describe", {"when": when, "mode": mode, "speed": "high", "id": name})
        self.where = f"/visit/{self.visit}/run/{quote(name, safe='')}"
        self.page = client.get(self.where).text

    def post(self, path: str, fields: dict[str, str]):
        answer = self.client.post(path, data={"once": self.client.ledger.once(), **fields})
        assert answer.status_code == 303, answer.text
        return answer

    def put(self, figure: str, **besides: str):
        """Type a figure on the line that the page shows, and write it down as htmx would."""
        sent = {**fields_in(self.page), "value": figure, **besides}
        answer = self.client.post(f"/visit/{self.visit}/reading", data=sent, headers=SMALL)
        self.page = answer.text
        return answer

    def look(self, address: str = "") -> str:
        self.page = self.client.get(address or self.where).text
        return self.page

    @property
    def opened(self) -> ledger.Opened:
        return self.client.ledger.opened(self.visit)

    @property
    def readings(self):
        return next(run for run in self.opened.folded.run if run.id == self.name).reading

    @property
    def asked(self) -> tuple[str, str]:
        sent = fields_in(self.page)
        return sent["what"], sent["at"]


def begin_visit(client) -> str:
    """Begin a visit of which nothing but the place is known; its address."""
    answer = client.post("/visit", data={"once": client.ledger.once(), "name": "Shed", "altitude": "300 m"})
    where = answer.headers["location"].removesuffix("/system")
    client.visit = where.rpartition("/")[2]
    return where


@pytest.fixture
def run(demo) -> Run:
    return Run(demo)


# --- writing down ---


def test_the_line_asks_for_one_after_the_other(run):
    asked = []
    for figure in ("0.114", "0.227", "0.398", "0.214"):
        asked.append(run.asked)
        assert run.put(figure).status_code == 200
    assert asked == [("static", at) for at in ("return plenum", "after filter", "after coil", "supply plenum")]
    assert [round(one.value / 249.089, 3) for one in run.readings] == [-0.114, -0.227, -0.398, 0.214]
    assert [one.typed for one in run.readings] == ["0.114 inwc", "0.227 inwc", "0.398 inwc", "0.214 inwc"]
    assert {one.instrument for one in run.readings} == {"manometer"}
    assert all(re.fullmatch(r"\d\d:\d\d", one.time) for one in run.readings)


def test_the_answer_is_the_next_line_and_the_row_alone(run):
    answer = run.put("0.114")
    assert answer.headers["hx-trigger"] == "visit-changed"
    assert "<html" not in answer.text
    assert answer.text.count("<article") == 1
    assert "−0.114" in answer.text
    assert fields_in(answer.text)["at"] == "after filter"
    assert len(answer.content) < 6000


def test_nothing_is_judged_before_it_is_acknowledged(run, monkeypatch):
    def never(visit):
        raise AssertionError("judged while somebody waits")

    monkeypatch.setattr(ledger, "begin", never)
    assert run.put("0.114").status_code == 200
    assert run.client.get(f"{run.where}?rows=1").status_code == 500  # here it is judged: the trap does work


def test_the_standing_follows_in_a_request_of_its_own(run):
    run.put("0.114")
    assert "written down" in run.page
    rows = run.client.get(f"{run.where}?rows=1").text
    assert "<html" not in rows
    assert "written down" not in rows
    assert 'class="judged"' in rows
    assert "airflow, as found" in rows


def test_what_is_missing_for_the_airflow_is_said(client):
    where = begin_visit(client)
    equipment = {"name": "unit", "arrangement": "draw-through", "motor": "psc", "coil_inside_taps": "yes"}
    client.post(f"{where}/system/equipment", data={"once": client.ledger.once(), **equipment})
    run = Run(client, "strips")
    assert "Airflow: not yet." in client.get(f"{run.where}?rows=1").text
    run.put("0.1")
    rows = client.get(f"{run.where}?rows=1").text
    assert "airflow, as found: not resolved" in rows
    assert "For: airflow." in rows  # the reading that would settle it


def test_sent_twice_it_is_written_once(run):
    sent = {**fields_in(run.page), "value": "0.114"}
    for headers in (SMALL, SMALL, {}):
        answer = run.client.post(f"/visit/{run.visit}/reading", data=sent, headers=headers)
        assert answer.status_code in (200, 303)
    assert len(run.readings) == 1


def test_two_tabs_lose_nothing(run):
    other = run.client.get(run.where).text
    run.put("0.114")
    sent = {**fields_in(other), "value": "0.115"}
    assert run.client.post(f"/visit/{run.visit}/reading", data=sent, headers=SMALL).status_code == 200
    assert [one.typed for one in run.readings] == ["0.114 inwc", "0.115 inwc"]


def test_without_script_the_same_page_comes_back(run):
    sent = {**fields_in(run.page), "value": "0.114"}
    answer = run.client.post(f"/visit/{run.visit}/reading", data=sent)
    assert (answer.status_code, answer.headers["location"]) == (303, run.where)
    assert fields_in(run.look())["at"] == "after filter"


def test_the_unit_of_the_hand_is_kept(run):
    run.put("28", value_unit="Pa")
    assert fields_in(run.page)["value_unit"] == "Pa"
    run.put("0.227 in. w.c.")  # a unit in the text wins, and the key of the same unit is chosen next
    assert run.readings[1].value == pytest.approx(-0.227 * 249.08891, rel=1e-4)
    assert fields_in(run.page)["value_unit"] == "inwc"


def test_as_left_asks_for_the_same_again(demo):
    found = next(one for one in demo.ledger.opened(demo.visit).folded.run if one.id == "strips-found")
    run = Run(demo, "strips", "as left", "once more")
    asked = fields_in(run.page)
    first = found.reading[0]
    assert (asked["what"], asked["at"], asked["with"]) == (first.what, first.at, first.instrument)


# --- how it is read, before it is written ---


def preview(run: Run, value: str, **besides: str) -> str:
    return run.client.get(f"/visit/{run.visit}/preview", params={**fields_in(run.page), "value": value, **besides}).text


def test_it_is_told_how_it_is_read_and_what_it_would_mean(run):
    run.put("0.114")
    run.put("0.227")
    told = preview(run, "0.398")
    assert "Reads as −0.398 in. w.c. with manometer: the coil takes 0.171 in. w.c." in told
    assert len(run.readings) == 2


def test_a_correction_is_previewed_in_its_own_place(run):
    for figure in ("0.114", "0.227", "0.398"):
        run.put(figure)
    fact = run.opened.folded.history[(run.name, 1)][0].fact
    run.look(f"{run.where}?correct={fact}")
    assert "the filter takes 0.200 in. w.c." in preview(run, "0.314")


@pytest.mark.parametrize("value", ["", " ", "-", "−", "."])
def test_a_figure_that_has_hardly_begun_is_no_fault(run, value):
    assert preview(run, value) == ""


@pytest.mark.parametrize(("value", "said"), [("twelve", "number"), ("75 F", "F measures"), ("9999", "range")])
def test_a_fault_is_told_early(run, value, said):
    assert said in preview(run, value)


# --- refused ---


@pytest.mark.parametrize("headers", [SMALL, {}], ids=["htmx", "plain"])
@pytest.mark.parametrize("value", ["twelve", "75 F", "9999", '"><script>'])
def test_what_is_refused_is_kept_as_typed(run, value, headers):
    sent = {**fields_in(run.page), "value": value, "note": "hole behind the pipe", "time": "09:31"}
    answer = run.client.post(f"/visit/{run.visit}/reading", data=sent, headers=headers)
    assert answer.status_code == 422
    assert ("<html" in answer.text) == (headers == {})
    kept = fields_in(answer.text)
    assert {name: kept[name] for name in sent} == sent  # the id too: mended and sent again it is written once
    assert 'class="refusal"' in answer.text
    assert "<script>" not in answer.text.partition("<form")[2]
    assert not run.readings


def test_a_refusal_is_of_the_reading_that_was_typed(run):
    """Another tab has gone on: the line still speaks of what this one typed."""
    mine = fields_in(run.page)
    run.put("0.114")
    answer = run.client.post(f"/visit/{run.visit}/reading", data={**mine, "value": "a lot"}, headers=SMALL)
    assert fields_in(answer.text)["at"] == mine["at"] == "return plenum"


def test_a_fault_behind_the_fold_opens_it(run):
    assert run.put("0.1", time="half past").status_code == 422
    assert '<details class="more" open>' in run.page


def test_another_unit_is_offered_after_another_quantity(run):
    """Without script the quantity is changed and sent at once: what comes back has its places and units."""
    run.look(f"{run.where}?free=1")
    assert run.put("230", what="volts").status_code == 422
    again = fields_in(run.page)
    assert (again["what"], again["value"], again["value_unit"]) == ("volts", "230", "V")
    assert "against" not in again
    assert run.put("230", at="line").status_code == 200
    assert (run.readings[0].what, run.readings[0].at, run.readings[0].value) == ("volts", "line", 230.0)


# --- another reading than the next one ---


@pytest.mark.parametrize("what", READ)
def test_every_quantity_has_its_places_units_and_instruments(run, what):
    page = run.look(f"{run.where}?free=1&what={what}")
    sent = fields_in(page)
    assert sent["what"] == what
    assert ("against" in sent) == (what in ("static", "pressure_drop"))
    assert sent["value_unit"]


@pytest.mark.parametrize("what", READ)
def test_every_quantity_can_be_chosen_before_the_system_is_described(client, what):
    begin_visit(client)
    run = Run(client)
    assert "Describe the system first" in run.page
    assert fields_in(run.look(f"{run.where}?free=1&what={what}"))["what"] == what


def test_everything_of_a_reading_can_be_written(run):
    run.look(f"{run.where}?free=1&what=dry_bulb")
    answer = run.put(
        "55.2", at="supply", hole="left", uncertainty="0.1 F", note="behind the elbow", time="09:41",
        value_unit="F", **{"with": "supply probe"},
    )  # fmt: skip
    assert answer.status_code == 200
    one = run.readings[0]
    assert (one.what, one.at, one.hole, one.note, one.time) == (
        "dry_bulb",
        "supply",
        "left",
        "behind the elbow",
        "09:41",
    )
    assert one.uncertainty == pytest.approx(0.1 / 1.8)
    assert one.instrument == "supply probe"


def test_only_instruments_that_can_have_read_it_are_offered(run):
    page = run.look(f"{run.where}?free=1&what=volts&with=manometer")
    options = re.search(r'<select id="with".*?</select>', page)[0]
    assert "voltmeter" in options
    assert "manometer" not in options
    assert fields_in(page)["with"] == "voltmeter"


# --- passed over ---


def test_what_is_passed_over_can_be_asked_for_again(run):
    run.look(f"{run.where}?passed=1")
    assert run.asked == ("static", "after filter")
    run.put("0.227")
    assert run.asked == ("static", "after coil")
    page = run.look(f"{run.where}?passed=99")
    assert "passed over" in page
    assert "Nothing more is wanted" not in page
    assert f'href="{run.where}">Ask for them again' in page
    assert fields_in(run.look())["at"] == "return plenum"


def test_one_that_was_passed_over_is_read_after_all(run):
    run.look(f"{run.where}?passed=1")
    href = unescape(re.search(r'href="([^"]*free=1[^"]*)"', run.page)[1])
    assert parse_qs(urlsplit(href).query) == {"free": ["1"], "passed": ["1"]}
    run.look(href)
    run.put("0.114", at="return plenum", against="room")
    assert run.asked == ("static", "after filter")  # not one further


@pytest.mark.parametrize("passed", ["²", "٣", "-1", "1e9", "9" * 5000, "x", ""])
def test_an_odd_address_is_no_fault_of_the_program(run, passed):
    assert passed_of({"passed": passed}) == 0
    assert run.client.get(run.where, params={"passed": passed}).status_code in (200, 414)


def test_passed_over_is_counted_in_what_is_still_wanted():
    assert passed_after(("a", "b", "c"), ("a", "b"), 2) == 2
    assert passed_after(("a", "b", "c"), ("b", "c"), 2) == 1


# --- corrected, taken back ---


def correct(run: Run, index: int, **fields: str):
    fact = run.opened.folded.history[(run.name, index)][0].fact
    run.look(f"{run.where}?correct={fact}")
    sent = {**fields_in(run.page), **fields}
    return run.client.post(f"/visit/{run.visit}/reading", data=sent, headers=SMALL)


def test_a_correction_keeps_the_old_figure_with_when_and_why(run):
    run.put("0.241")
    answer = correct(run, 0, value="0.214", why="two figures <turned> round")
    assert answer.headers["hx-redirect"] == run.where
    page = run.look()
    assert re.search(
        r"<s[^>]*>−0.241 inwc</s> <span class=\"time\">\d\d:\d\d</span> two figures &lt;turned&gt; round", page
    )
    assert [one.typed for one in run.readings] == ["0.214 inwc"]
    kinds = [type(fact) for fact in run.opened.facts][-2:]
    assert kinds == [ReadingTaken, ReadingCorrected]


def test_a_correction_begins_with_what_was_written(run):
    """So that a time or a note can be mended alone, and nothing else is lost on the way."""
    run.look(f"{run.where}?free=1&what=static")
    run.put("0.114", at="return plenum", hole="left", uncertainty="0.002 inwc", note="behind the pipe", time="09:31")
    before = run.readings[0]
    correct(run, 0, time="09:32")
    after = run.readings[0]
    assert after.time == "09:32"
    for name in ("what", "at", "against", "value", "typed", "instrument", "uncertainty", "hole", "note"):
        assert getattr(after, name) == getattr(before, name), name


def test_a_refused_correction_keeps_everything(run):
    run.put("0.241")
    answer = correct(run, 0, value="lots", why="misread")
    kept = fields_in(answer.text)
    assert answer.status_code == 422
    assert (kept["value"], kept["why"], bool(kept["of"])) == ("lots", "misread", True)


def withdraw(run: Run, of: str, why: str = ""):
    return run.post(f"/visit/{run.visit}/withdraw", {"of": of, "why": why, "here": run.where})


def test_taken_back_it_stays_legible_and_can_be_put_back(run):
    run.put("0.241")
    correct(run, 0, value="0.214")
    withdraw(run, run.opened.folded.history[(run.name, 0)][0].fact, "door was off")
    page = run.look()
    assert run.readings == ()
    gone = page[page.index("1 reading taken back") :]
    assert "−0.214" in gone  # as it stood last
    assert "door was off" in gone
    back = re.search(r'name="of" value="([^"]+)"', gone)[1]
    withdraw(run, back)
    assert [one.typed for one in run.readings] == ["0.214 inwc"]


def test_taken_back_in_two_tabs_it_is_put_back_by_taking_both_withdrawals_back(run):
    run.put("0.241")
    fact = run.opened.folded.history[(run.name, 0)][0].fact
    withdraw(run, fact)
    withdraw(run, fact)
    for _ in range(2):
        page = run.look()
        withdraw(run, re.search(r'name="of" value="([^"]+)"', page[page.index("taken back") :])[1])
    assert len(run.readings) == 1


@pytest.mark.parametrize("correct", ["nothing", "'", "%00"])
def test_what_is_not_there_cannot_be_corrected(run, correct):
    assert run.client.get(f"{run.where}?correct={correct}").status_code == 404


# --- told in another way ---


def test_whoever_reads_si_has_its_keys_first():
    assert [key.code for key in keys_of("static", "", "SI")] == ["Pa", "inwc"]
    assert [key.chosen for key in keys_of("static", "", "SI")] == [True, False]
    assert [key.code for key in keys_of("static", "", "field")] == ["inwc", "Pa"]
    assert [(key.code, key.chosen) for key in keys_of("blower_power", "", "SI")] == [("W", True), ("kW", False)]
    assert next((key.code, key.chosen) for key in keys_of("static", "mmwc", "field")) == ("mmwc", True)


def test_in_spanish(run):
    run.client.headers = {"accept-language": "es"}
    page = run.look()
    assert '<html lang="es"' in page
    voice = Voice("es")
    for text in ("Write it down", "Pass over for now", "Another reading", "with what, when", "Turn the sign"):
        assert voice.say(text) in unescape(page)
    assert voice.count("{n} still wanted", "{n} still wanted", 10) in page


def test_a_note_is_text(run):
    run.put("0.114", note='<img src=x onerror="1">')
    assert "<img src=x" not in run.look()
    assert "&lt;img src=x" in run.page


# --- beginning a run ---


def test_a_name_that_was_proposed_follows_the_mode(demo):
    page = demo.get(f"/visit/{demo.visit}/describe?when=as+found&mode=fan").text
    name = unescape(re.search(r'name="id" value="([^"]*)"', page)[1])
    assert name == "fan, as found"
    sent = {"once": demo.ledger.once(), "when": "as found", "mode": "strips", "speed": "high", "id": name}
    first = demo.post(f"/visit/{demo.visit}/describe", data=sent)
    assert first.headers["location"].endswith(quote("strips, as found", safe=""))
    assert demo.post(f"/visit/{demo.visit}/describe", data=sent).headers["location"] == first.headers["location"]
    assert (
        sum(run.mode == "strips" and run.when == "as found" for run in demo.ledger.opened(demo.visit).folded.run) == 2
    )


def test_a_run_described_again_keeps_its_readings(run):
    run.put("0.114")
    run.post(
        f"/visit/{run.visit}/describe",
        {"when": "as found", "mode": "fan", "speed": "low", "id": run.name, "instead": run.name},
    )
    found = next(one for one in run.opened.folded.run if one.id == run.name)
    assert (found.speed, len(found.reading)) == ("low", 1)


def test_a_run_may_be_called_anything(demo):
    run = Run(demo, name="a/b ?c#d %2F <e>")
    assert run.put("0.1").status_code == 200
    assert run.client.get(f"{run.where}?rows=1").status_code == 200
    assert len(run.readings) == 1
