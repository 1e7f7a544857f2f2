"""Proof and Handover: what they say of the examples and of an empty visit, in both languages; and handing over."""

import html
import re

import msgspec
import pytest

from drawthrough import __version__
from drawthrough.judge.engine import judge
from drawthrough.judge.judgement import Judgement
from drawthrough.report.view import proof_view
from drawthrough.report.view_customer import customer_view
from drawthrough.report.voice import Voice
from drawthrough.store.memory import MemoryStore
from drawthrough.visit.facts import ReportIssued, SiteDescribed, SystemDescribed
from drawthrough.visit.sheet import load
from drawthrough.web import create_app
from drawthrough.web.ledger import draft
from tests.web.conftest import Client, SteppingTimepiece

pytestmark = pytest.mark.property

EXAMPLES = (
    "dirty-wheel-psc", "dirty-coil-clean-wheel", "constant-airflow", "furnace-coil-outside", "nothing-resolved",
    "weak-capacitor", "tight-return", "mistyped-reading",
)  # fmt: skip
ROOMS = ("proof", "handover")
PNG = b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + bytes(20)
# Words of these pages that are no words of Spanish, nor of what the examples' technicians wrote.
ENGLISH = re.compile(
    r"\b(as found|as left|it stands|in doubt|not resolved|set aside|between|airflow|the numbers|readings|before|"
    r"what|because|static over|handed|licence|signature|minutes)\b",
    re.IGNORECASE,
)
SPANISH = {"accept-language": "es-MX"}


def opened(example: str) -> Client:
    """An application that holds an example."""
    app = create_app(MemoryStore(), SteppingTimepiece(), device="test")
    visit = load(f"examples/{example}.toml")
    return Client(app, app.state.ledger.bring_visit(visit, app.state.ledger.once()))


def page(client: Client, room: str, **what: object) -> str:
    """A page's source."""
    answer = client.get(f"/visit/{client.visit}/{room}", **what)
    assert answer.status_code == 200
    return answer.text


def words(source: str) -> str:
    """What a page says in its middle, without its markup; figures and their signs held together as they are."""
    main = source[source.index("<main") : source.index("</main>")]
    return html.unescape(re.sub(r"[ \n]+", " ", re.sub(r"<[^>]+>", " ", main)))


def hidden(source: str, name: str) -> str:
    """The value of a hidden field."""
    return re.search(rf'name="{name}" value="([^"]*)"', source)[1]


def hand_over(client: Client, address: str = "handover") -> str:
    """Press the button of the page at an address, and return the page that follows."""
    source = page(client, address)
    form = {name: hidden(source, name) for name in ("once", "seen")}
    answer = client.post(f"/visit/{client.visit}/handover", data=form)
    assert answer.status_code == 303
    assert answer.headers["location"] == f"/visit/{client.visit}/handover"
    return page(client, "handover")


@pytest.mark.parametrize("example", EXAMPLES)
def test_proof_says_the_view(example):
    client = opened(example)
    view = proof_view(judge(load(f"examples/{example}.toml")))
    said = words(page(client, "proof"))
    for sentence in (view.headline.text, *(one.text for one in view.more), *view.static, *view.checks, *view.others,
                     *view.readings, *(one.text for one in view.worth)):  # fmt: skip
        assert " ".join(sentence.split(" ")) in said
    for strip in view.strips:
        for line in strip.lines:
            assert f"{line.when} {line.value} {line.interval} {line.standing_word}".replace("  ", " ") in said


@pytest.mark.parametrize("example", EXAMPLES)
@pytest.mark.parametrize("language", ["en", "es"])
def test_proof_says_why_it_was_so(example, language):
    """The verdict and the best reading in sight, each cause folded with what speaks for and against it."""
    source = page(opened(example), "proof", headers={"accept-language": language})
    view = proof_view(judge(load(f"examples/{example}.toml")), Voice(language))
    folded = source.index('<details class="more fold"')
    for sentence in (view.causes.heading, view.causes.found, view.causes.left, view.next):
        assert (
            html.escape(sentence, quote=False) in html.unescape(source[:folded]).replace("&", "&amp;") or not sentence
        )
    for row in view.causes.rows:
        start = source.index(html.escape(f"<b>{row.name}</b>", quote=False).replace("&lt;", "<").replace("&gt;", ">"))
        cause = html.unescape(source[start : source.index("</details>", start)])
        for one in (row.odds, *row.lines):
            assert one in cause
    assert source.count('class="more cause"') == len(view.causes.rows)
    assert not re.search(r"<(meter|progress)", source)


@pytest.mark.parametrize("example", EXAMPLES)
def test_handover_says_the_customers_view(example):
    client = opened(example)
    visit = load(f"examples/{example}.toml")
    view = customer_view(judge(visit))
    said = words(page(client, "handover"))
    for sentence in (view.headline.text, view.beside, *(one.text for one in view.points), *view.open, *view.know):
        assert sentence in said
    assert visit.complaint in said
    for work in visit.work:
        assert work.note in said


@pytest.mark.parametrize("example", EXAMPLES)
def test_handover_lists_every_reading_once_as_typed(example):
    source = page(opened(example), "handover")
    table = source[source.rindex("<tbody>") :]
    cells = [html.unescape(cell).replace("−", "-") for cell in re.findall(r"<td>([^<]+)</td>", table)]
    typed = [reading.typed for run in load(f"examples/{example}.toml").run for reading in run.reading]
    figures = [re.match(r"-?[\d.,]+", cell)[0] for cell in cells if re.match(r"-?\d", cell)]
    assert sorted(map(abs, map(float, figures))) == sorted(abs(float(re.match(r"-?[\d.]+", one)[0])) for one in typed)


@pytest.mark.parametrize("example", EXAMPLES)
@pytest.mark.parametrize("room", ROOMS)
def test_pages_keep_the_policy_and_leave_no_braces(example, room):
    source = page(opened(example), room)
    assert not re.search(r"<script(?![^>]* src=)|<style|\sstyle=|\son[a-z]+=|https?://(?!www\.w3\.org)", source)
    assert not re.search(r"[{}]", words(source))
    ids = re.findall(r'\sid="([^"]+)"', source)
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("example", EXAMPLES)
@pytest.mark.parametrize("room", ROOMS)
def test_spanish_has_no_english_left(example, room):
    client = opened(example)
    visit = load(f"examples/{example}.toml")
    source = page(client, room, headers=SPANISH)
    assert '<html lang="es"' in source
    assert ENGLISH.search(words(page(client, room))), "the list would find nothing on the English page either"
    said = words(source)
    own = [
        visit.site.name, visit.system.name, visit.complaint, *(one.note for one in visit.work),
        *(one.where for one in visit.gap), *(one.note for one in visit.gap), *(one.item for one in visit.price),
        *(run.id for run in visit.run), *(one.id for one in visit.instrument),
    ]  # fmt: skip
    for words_of_the_technician in sorted(filter(None, own), key=len, reverse=True):
        said = said.replace(words_of_the_technician, "")
    assert ENGLISH.findall(said) == []


def test_an_empty_visit_says_what_is_missing(client):
    client.visit = (
        client.post("/visit", data={"once": "v", "name": "Corner", "altitude": "10 ft"})
        .headers["location"]
        .split("/")[2]
    )
    for room in ROOMS:
        said = words(page(client, room))
        assert "Describe the place and the equipment first" in said
        assert "Write down that it was handed over" not in said
    assert client.post(f"/visit/{client.visit}/handover", data={"once": "h"}).status_code == 409


@pytest.mark.parametrize("whens", [(), ("as found",)], ids=["no reading", "as found alone"])
def test_half_a_visit_says_what_one_run_says(whens):
    visit = load("examples/dirty-wheel-psc.toml")
    runs = tuple(run for run in visit.run if run.when in whens)
    app = create_app(MemoryStore(), SteppingTimepiece(), device="test")
    half = msgspec.structs.replace(visit, run=runs, work=())
    client = Client(app, app.state.ledger.bring_visit(half, app.state.ledger.once()))
    said = words(page(client, "proof"))
    if whens:
        assert "Nothing can be compared" in said
        assert re.search(r"As found, the blower moves \d+ cfm \(95\N{NO-BREAK SPACE}%: \d+ to \d+\)", said)
        assert "What the work changed cannot be said" in words(page(client, "handover"))
    else:
        assert "Nothing can be said of the air" in said
        assert (
            "What settles most for its minutes (15\N{NO-BREAK SPACE}min): Read the system as found: statics at least."
            in said
        )


def test_a_page_that_has_seen_all_is_told_that_nothing_changed(demo):
    source = page(demo, "proof")
    again = html.unescape(re.search(r'hx-get="([^"]+)"', source)[1])
    small = {"hx-request": "true"}
    assert demo.get(again, headers=small).status_code == 204
    assert demo.get(again).status_code == 200
    demo.ledger.write(demo.visit, [draft(SiteDescribed, site=load("examples/constant-airflow.toml").site)])
    answer = demo.get(again, headers=small)
    assert answer.status_code == 200
    assert 'id="proof"' in answer.text


# --- handing over ---


def test_what_was_handed_over_is_the_judgement_as_it_was(demo):
    source = page(demo, "handover")
    form = {name: hidden(source, name) for name in ("once", "seen")}
    for _ in range(2):  # the same form again writes nothing more
        assert demo.post(f"/visit/{demo.visit}/handover", data=form).status_code == 303
    (fact,) = demo.ledger.opened(demo.visit).folded.report
    assert fact.engine == __version__
    issued = msgspec.json.decode(fact.judgement, type=Judgement)
    assert issued == judge(load("examples/dirty-wheel-psc.toml"))
    said = words(page(demo, "handover"))
    assert re.search(r"Handed over \d{4}-\d\d-\d\d \d\d:\d\d\.", said)
    assert "The record has grown" not in said
    assert "Write down that it was handed over" not in said


def test_a_page_that_was_handed_over_stays_as_it_was(demo):
    before = words(hand_over(demo))
    other = load("examples/nothing-resolved.toml")
    demo.ledger.write(demo.visit, [draft(SystemDescribed, system=other.system), draft(SiteDescribed, site=other.site)])
    after = words(page(demo, "handover"))
    assert "The record has grown since; this page says what was said then." in after
    assert other.site.name not in after
    headline = customer_view(judge(load("examples/dirty-wheel-psc.toml"))).headline.text
    assert headline in before
    assert headline in after
    assert re.findall(r"\d+\.\d+ F", before) == re.findall(r"\d+\.\d+ F", after)
    now = words(page(demo, "handover?now=1"))
    assert other.site.name in now
    assert "The record has grown" not in now
    again = words(hand_over(demo, "handover?now=1"))
    assert other.site.name in again
    assert len(demo.ledger.opened(demo.visit).folded.report) == 2


def test_what_nobody_has_seen_is_not_handed_over(demo):
    source = page(demo, "handover")
    form = {name: hidden(source, name) for name in ("once", "seen")}
    other = load("examples/nothing-resolved.toml")
    demo.ledger.write(demo.visit, [draft(SiteDescribed, site=other.site)])
    answer = demo.post(f"/visit/{demo.visit}/handover", data=form)
    assert answer.status_code == 409
    assert "The record has changed since this page was opened" in words(answer.text)
    assert other.site.name in words(answer.text)
    assert demo.ledger.opened(demo.visit).folded.report == ()


def test_a_handing_over_that_was_taken_back_is_none(demo):
    hand_over(demo)
    (fact,) = demo.ledger.opened(demo.visit).folded.report
    demo.post(f"/visit/{demo.visit}/withdraw", data={"once": "w", "of": fact.id, "here": "/"})
    said = words(page(demo, "handover"))
    assert "Handed over" not in said
    assert "Write down that it was handed over" in said


def test_a_judgement_of_an_unknown_form_is_not_guessed(demo):
    demo.ledger.write(demo.visit, [draft(ReportIssued, engine="9.9", judgement='{"form": 99}')])
    said = words(page(demo, "handover"))
    assert "a form that this version does not read" in said
    assert customer_view(judge(load("examples/dirty-wheel-psc.toml"))).headline.text in said


def test_photos_stand_in_pairs(demo):
    for turn, (of, when) in enumerate(
        [
            ("the wheel", "as found"),
            ("the wheel", "as left"),
            ("<i>coil</i>", "as found"),
            ("the work", "while working"),
        ]
    ):
        demo.post(
            f"/visit/{demo.visit}/photos", data={"once": f"p{turn}", "of": of, "when": when},
            files={"photo": ("p.png", PNG + bytes([turn]))},
        )  # fmt: skip
    source = page(demo, "handover")
    assert source.count("<h2>the wheel</h2>") == 1
    assert 'alt="the wheel, before"' in source
    assert 'alt="the wheel, after"' in source
    assert "&lt;i&gt;coil&lt;/i&gt;" in source
    assert "the work" not in re.findall(r"<h2>([^<]*)</h2>", source)
    for photo in demo.ledger.opened(demo.visit).folded.photo:
        assert (f"/photo/{photo.digest}" in source) == (photo.when != "while working")


def test_what_is_typed_cannot_become_markup(demo):
    site = msgspec.structs.replace(load("examples/dirty-wheel-psc.toml").site, name="<b>Corner</b>")
    demo.ledger.write(demo.visit, [draft(SiteDescribed, site=site)])
    source = page(demo, "handover")
    assert "&lt;b&gt;Corner&lt;/b&gt;" in source
    assert "<b>Corner" not in source


def test_the_handover_is_told_in_si_at_will(demo):
    demo.post("/preferences", data={"measures": "SI", "here": "/"})
    said = words(page(demo, "handover"))
    assert "litres a second" in said
    line = customer_view(judge(load("examples/dirty-wheel-psc.toml")), Voice("en", "SI")).strip_lines[0]
    assert f"{line.value} {line.interval}" in said
